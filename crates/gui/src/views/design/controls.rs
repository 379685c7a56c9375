//! What the rows of the left column share.

use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::views::figures::Figures;
use crate::widgets::number_field::NumberField;
use crate::widgets::{cut, name};
use barwright_core::design::edit::Edit;
use barwright_core::library::additions::{Amount, Stage};
use barwright_core::number::{self, NumberError, short};
use barwright_core::quantities::AnyQuantity;
use barwright_core::quantity::Unit;
use barwright_core::units::{
    AmountMass, AmountPerKg, AmountPercent, Bounded, Celsius, Grams, MassUnit, Measures, OutOfRange,
};
use eframe::egui::{self, Align, ComboBox, Id, Label, Layout, Response, RichText, TextWrapMode, Ui};
use std::sync::Arc;

const NAMES: f32 = 60.0;

/// Reads a percent of a bounded kind.
///
/// # Errors
/// What to tell the person if it is no such percent.
pub fn percent<T: TryFrom<f64, Error = OutOfRange>>(text: &str) -> Result<T, String> {
    bounded(number::parse(text, &["%"]))
}

/// Takes a number that was read if its kind allows it.
///
/// # Errors
/// What to tell the person if it was no number or its kind does not allow it.
pub fn bounded<T: TryFrom<f64, Error = OutOfRange>>(value: Result<f64, NumberError>) -> Result<T, String> {
    T::try_from(value.map_err(|e| e.to_string())?).map_err(|e| e.to_string())
}

/// A row with its name at the left; what a narrow column has no room for goes on beneath.
pub fn row(ui: &mut Ui, label: &str, content: impl FnOnce(&mut Ui)) {
    ui.horizontal_top(|ui| {
        ui.set_min_height(28.0);
        ui.allocate_ui_with_layout(egui::vec2(NAMES, 24.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(NAMES);
            ui.set_min_height(24.0);
            ui.label(label);
        });
        let room = egui::vec2(ui.available_width(), 24.0);
        ui.allocate_ui_with_layout(room, Layout::left_to_right(Align::Center).with_main_wrap(true), |ui| {
            // What goes on beneath goes there whole.
            ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
            content(ui);
        });
    });
}

/// The id of a control of an open design.
pub fn id_of(open: &OpenDesign, what: impl std::hash::Hash + std::fmt::Debug) -> Id {
    Id::unique((what, open.key))
}

/// How a quantity is written and moved: its unit's sign and the step of the arrow keys.
#[derive(Debug, Clone, Copy)]
pub struct Written<'a> {
    /// What a screen reader calls the field.
    pub name: &'a str,
    /// Sign behind the number.
    pub unit: &'a str,
    /// Step of the arrow keys.
    pub step: f64,
    /// Most decimals shown.
    pub decimals: usize,
    /// Width of the field, points.
    pub width: f32,
}

/// A field for a bounded quantity.
pub fn quantity<T: Bounded + TryFrom<f64, Error = OutOfRange>>(
    ui: &mut Ui,
    changes: &mut Changes,
    id: Id,
    written: Written<'_>,
    now: T,
    edit: impl FnOnce(T) -> Edit,
) -> Response {
    let shown = format!("{} {}", short(now.get(), written.decimals), written.unit);
    let field = NumberField { id, name: written.name, shown: shown.trim_end(), width: written.width, hint: "" };
    let read = |text: &str| bounded(number::parse(text, &[written.unit]));
    let step = |by: f64| Some(T::nearest(now.get() + written.step * by));
    changes.field(ui, &field, read, step, edit)
}

/// A field for a temperature called `name`, which takes what `T` allows.
pub fn temperature<T: Bounded + TryFrom<f64, Error = OutOfRange>>(
    ui: &mut Ui,
    changes: &mut Changes,
    id: Id,
    (name, measures): (&str, Measures),
    now: Celsius,
    edit: impl FnOnce(T) -> Edit,
) -> Response {
    // As fine as it was typed: a tenth of °F is finer than one of °C.
    let shown = Unit::Celsius.short_in(now.get(), 2, measures);
    let field = NumberField { id, name, shown: &shown, width: 62.0, hint: "" };
    let read = |text: &str| bounded(Unit::Celsius.parse_in(text, measures));
    let by = Unit::Celsius.step_in(1.0, measures);
    changes.field(ui, &field, read, |steps| Some(T::nearest(now.get() + by * steps)), edit)
}

/// Place of an amount's kind in the list.
fn kind(amount: Amount) -> usize {
    match amount {
        Amount::PercentOfFats(_) => 0,
        Amount::Grams(_) => 1,
        Amount::GramsPerKgFats(_) => 2,
    }
}

/// Reads an amount; a typed unit changes its kind, a bare number keeps it.
fn read_amount(text: &str, now: Amount, unit: MassUnit) -> Result<Amount, String> {
    let text = text.trim();
    let percent = |t: &str| percent(t).map(Amount::PercentOfFats);
    let grams = |t: &str| {
        let mass = number::parse_mass(t, unit).map_err(|e| e.to_string())?;
        AmountMass::new(mass.0).map(Amount::Grams).map_err(|e| e.to_string())
    };
    let per_kg = |t: &str| bounded::<AmountPerKg>(number::parse(t, &[])).map(Amount::GramsPerKgFats);
    if let Some(number) = text.strip_suffix("g/kg") {
        per_kg(number)
    } else if text.ends_with('%') {
        percent(text)
    } else if text.ends_with(char::is_alphabetic) {
        grams(text)
    } else {
        match now {
            Amount::PercentOfFats(_) => percent(text),
            Amount::Grams(_) => grams(text),
            Amount::GramsPerKgFats(_) => per_kg(text),
        }
    }
}

/// Reads what a material's own field understands beyond numbers and their units: spoons, cups and the
/// like; `None` for anything else.
pub type ReadMore<'a> = &'a dyn Fn(&str) -> Option<Result<Amount, String>>;

/// A field and a list for an amount of something called `what` in a batch of `fats`.
fn amount(
    ui: &mut Ui,
    changes: &mut Changes,
    id: Id,
    (what, now): (&str, Amount),
    (fats, unit): (Grams, MassUnit),
    more: Option<ReadMore<'_>>,
    edit: impl Fn(Amount) -> Edit,
) {
    let signs = ["%", unit.sign(), "g/kg"];
    let shown = match now {
        Amount::Grams(g) => short(unit.from_grams(Grams(g.get())), unit.decimals() + 1),
        _ => short(now.number(), 2),
    };
    let field = NumberField { id, name: &format!("Amount of {what}"), shown: &shown, width: 58.0, hint: "" };
    let step = |by: f64| {
        let width = match now {
            Amount::PercentOfFats(_) => 0.5,
            Amount::Grams(_) => unit.step(1.0, 0.1),
            Amount::GramsPerKgFats(_) => 1.0,
        };
        Some(now.with_number(now.number() + by * width))
    };
    let read = |text: &str| more.and_then(|more| more(text)).unwrap_or_else(|| read_amount(text, now, unit));
    let tip = if more.is_some() {
        "A number, with a unit if you like: 8 %, 60 g, 20 g/kg; or 2 tbsp, 1 cup, 150 g raw, 30 % of the water, \
         which are turned into a weight"
    } else {
        "A number, with a unit if you like: 8 %, 60 g, 20 g/kg"
    };
    changes.field(ui, &field, read, step, &edit).on_hover_text(tip);
    let combo = ComboBox::from_id_salt(id.with("kind")).selected_text(signs[kind(now)]).width(56.0);
    let response = combo.show_ui(ui, |ui| {
        let zero = [
            Amount::PercentOfFats(AmountPercent::nearest(0.0)),
            Amount::Grams(AmountMass::nearest(0.0)),
            Amount::GramsPerKgFats(AmountPerKg::nearest(0.0)),
        ];
        let weight = if unit == MassUnit::Gram { "grams" } else { "ounces" };
        let long = ["% of the fats", weight, "g per kg of fats"];
        for (other, text) in zero.into_iter().zip(long) {
            if ui.selectable_label(kind(other) == kind(now), text).clicked() && kind(other) != kind(now) {
                // Without fats there is no mass to keep, but a number.
                let kept =
                    if fats.0 > 0.0 { other.with_mass(now.mass(fats), fats) } else { other.with_number(now.number()) };
                changes.edit(edit(kept));
            }
        }
    });
    name(ui, &response.response, &format!("Unit for {what}"));
}

/// A list of stages for something called `what`.
pub fn stage(ui: &mut Ui, changes: &mut Changes, id: Id, what: &str, now: Stage, edit: impl Fn(Stage) -> Edit) {
    let combo = ComboBox::from_id_salt(id.with("stage")).selected_text(now.words()).width(104.0);
    let response = combo.show_ui(ui, |ui| {
        for stage in Stage::ALL {
            if ui.selectable_label(stage == now, stage.words()).clicked() && stage != now {
                changes.edit(edit(stage));
            }
        }
    });
    name(ui, &response.response, &format!("Stage of {what}"));
}

/// The field that adds a material from the tables, drawn by `picker`, with a button for `own` beside it where there
/// is room, else below; gives what was chosen, and whether the button was pressed.
pub fn add_row<T>(ui: &mut Ui, own: &str, picker: impl FnOnce(&mut Ui) -> Option<T>) -> (Option<T>, bool) {
    let button = |ui: &mut Ui| ui.button(RichText::new(own).color(Tokens::of(ui).accent)).clicked();
    if !takes_one_line(ui) {
        return (picker(ui), button(ui));
    }
    ui.horizontal_top(|ui| {
        let width = ui.available_width() - BUTTON;
        let chosen = ui.allocate_ui_with_layout(egui::vec2(width, 0.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(width);
            picker(ui)
        });
        (chosen.inner, button(ui))
    })
    .inner
}

/// A button that opens the `menu` of something called `what`.
fn more(ui: &mut Ui, what: &str, menu: impl FnOnce(&mut Ui)) {
    let button = ui.menu_button("…", menu);
    name(ui, &button.response, &format!("More on {what}"));
}

/// A material in the list of a stage.
pub struct Material<'a> {
    /// Names its controls.
    pub id: Id,
    /// What it is called.
    pub name: &'a str,
    /// How much of it.
    pub amount: Amount,
    /// Mass of the fats, by which amounts are counted.
    pub fats: Grams,
    /// The person's units.
    pub measures: Measures,
    /// What its field understands besides.
    pub more: Option<ReadMore<'a>>,
    /// What it weighs.
    pub mass: Arc<dyn AnyQuantity>,
    /// Whose it is.
    pub of: Figures<'a>,
}

/// The line of a `material`: name, amount, mass, what else can be done with it, and a cross.
/// `about` is said when the name is pointed at.
pub fn material(
    ui: &mut Ui,
    changes: &mut Changes,
    material: Material<'_>,
    about: impl FnOnce() -> String,
    mut menu: impl FnMut(&mut Ui, &mut Changes),
    (edit, remove): (impl Fn(Amount) -> Edit, Edit),
    (below, below_width): (impl FnOnce(&mut Ui, &mut Changes), f32),
) {
    let Material { id, name: what, amount: now, fats, measures, more: read_more, mass, of } = material;
    let quiet = Tokens::of(ui).quiet;
    // What belongs to it stands in the same line where there is room, else in one of its own.
    let in_line = takes_one_line(ui);
    let mut below = Some(below);
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        // The grams stand under "To weigh" too; a narrow column does without them here.
        let with_mass = ui.available_width() > 350.0;
        let beside = if with_mass { 264.0 } else { 198.0 } + if in_line { below_width } else { 0.0 };
        let width = (ui.available_width() - beside).max(90.0);
        let label = ui.allocate_ui_with_layout(egui::vec2(width, 26.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(width);
            cut::two_lines(ui, what, width)
        });
        label.inner.on_hover_ui(|ui| {
            ui.label(about());
        });
        amount(ui, changes, id, (what, now), (fats, measures.mass), read_more, edit);
        if in_line && let Some(below) = below.take() {
            below(ui, changes);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let cross = ui.add(egui::Button::new(RichText::new("×").color(quiet)).frame(false));
            name(ui, &cross, &format!("Remove {what}"));
            if cross.on_hover_text(format!("Remove {what}")).clicked() {
                changes.edit(remove);
            }
            more(ui, what, |ui| menu(ui, changes));
            if with_mass {
                let text = RichText::new(of.text(mass.as_ref())).color(quiet);
                of.asked(ui, mass, |ui| ui.add(Label::new(text).truncate()));
            }
        });
    });
    if let Some(below) = below {
        ui.horizontal(|ui| below(ui, changes));
        ui.add_space(2.0);
    }
    NumberField::complaint(ui, id);
}

/// Width of the button beside a field that adds a material, points.
const BUTTON: f32 = 190.0;
/// From this width on, points, a material takes one line.
const ONE_LINE: f32 = 560.0;

/// Whether there is room for all that belongs to a material in one line.
pub fn takes_one_line(ui: &Ui) -> bool {
    ui.available_width() >= ONE_LINE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typed_unit_changes_the_kind_of_an_amount() {
        let now = Amount::PercentOfFats(AmountPercent::nearest(8.0));
        let read = |text: &str| read_amount(text, now, MassUnit::Gram);
        assert_eq!(read("9,5"), Ok(Amount::PercentOfFats(AmountPercent::nearest(9.5))));
        assert_eq!(read("60 g"), Ok(Amount::Grams(AmountMass::nearest(60.0))));
        assert_eq!(read("20 g/kg"), Ok(Amount::GramsPerKgFats(AmountPerKg::nearest(20.0))));
        assert_eq!(read("2 oz"), Ok(Amount::Grams(AmountMass::nearest(2.0 * 28.349_523_125))));
        assert!(read("-1 %").is_err(), "no negative amount");
        assert!(read("3 m").is_err(), "no such unit");
    }
}
