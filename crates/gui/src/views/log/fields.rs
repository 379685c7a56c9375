//! Fields of a record: empty until something is typed.

use crate::widgets::name;
use crate::widgets::number_field::{Entry, NumberField};
use barwright_core::number;
use barwright_core::quantity::Unit;
use barwright_core::units::{AmountMass, Bounded, Measures, OutOfRange};
use eframe::egui::{ComboBox, Id, Label, TextEdit, TextStyle, TextWrapMode, Ui, WidgetText, vec2};

/// Width of a field for a number, points.
pub(super) const WIDTH: f32 = 76.0;
/// What a field has around its text, points.
const MARGINS: f32 = 12.0;

/// The word before a field so wide: they go to the next line together.
pub(super) fn before(ui: &mut Ui, word: &str, width: f32) {
    let label = WidgetText::from(word).into_galley(ui, Some(TextWrapMode::Extend), f32::INFINITY, TextStyle::Body);
    let both = label.size().x + ui.spacing().item_spacing.x + width + MARGINS;
    if ui.available_size_before_wrap().x < both {
        ui.end_row();
    }
    // As high as the field, so that the word stands in its middle at the beginning of a line too.
    ui.add_sized(vec2(label.size().x, ui.spacing().interact_size.y), Label::new(label));
}

/// A field for a value that may be left out; empty it shows the unit that a bare number has.
pub(super) fn optional<T>(
    ui: &mut Ui,
    (id, called): (Id, &str),
    [shown, unit]: [&str; 2],
    now: &mut Option<T>,
    read: impl FnOnce(&str) -> Result<T, String>,
) {
    let field = NumberField { id, name: called, shown, width: WIDTH, hint: unit };
    let read = |text: &str| if text.trim().is_empty() { Ok(None) } else { read(text).map(Some) };
    if let Entry::Typed(value) = field.show(ui, read).1 {
        *now = value;
    }
    NumberField::complaint(ui, id);
}

/// A field for what has a unit of which there are several.
pub(super) fn measured<T: Bounded + Copy + TryFrom<f64, Error = OutOfRange>>(
    ui: &mut Ui,
    at: (Id, &str),
    now: &mut Option<T>,
    unit: &Unit,
    measures: Measures,
) {
    let shown = now.map_or_else(String::new, |value| unit.short_in(value.get(), 2, measures));
    optional(ui, at, [&shown, unit.sign_in(measures)], now, |text| {
        let value = unit.parse_in(text, measures).map_err(|e| e.to_string())?;
        T::try_from(value).map_err(|e| e.to_string())
    });
}

/// A field for a number with the sign `unit`, or bare.
pub(super) fn plain<T: Bounded + Copy + TryFrom<f64, Error = OutOfRange>>(
    ui: &mut Ui,
    at: (Id, &str),
    now: &mut Option<T>,
    unit: &str,
) {
    let shown = now.map_or_else(String::new, |value| format!("{} {unit}", number::short(value.get(), 2)));
    optional(ui, at, [&shown, unit], now, |text| {
        let value = number::parse(text, &[unit]).map_err(|e| e.to_string())?;
        T::try_from(value).map_err(|e| e.to_string())
    });
}

/// A field for a count.
pub(super) fn count(ui: &mut Ui, at: (Id, &str), now: &mut Option<u32>) {
    /// More of one batch is a slip of the hand.
    const MOST: u32 = 100_000;
    let shown = now.map_or_else(String::new, |value| value.to_string());
    optional(ui, at, [&shown, ""], now, |text| {
        let value: u32 = text.trim().parse().map_err(|_not_one| "type a whole number".to_owned())?;
        if value <= MOST { Ok(value) } else { Err(format!("at most {MOST}")) }
    });
}

/// A line of text.
pub(super) fn text(ui: &mut Ui, (id, called): (Id, &str), now: &mut String, hint: &str, width: f32) {
    let response = ui.add(TextEdit::singleline(now).id(id).hint_text(hint).desired_width(width));
    name(ui, &response, called);
}

/// A choice from a list.
pub(super) fn choice<T: Copy + PartialEq>(
    ui: &mut Ui,
    (id, called): (Id, &str),
    now: &mut T,
    all: impl IntoIterator<Item = T>,
    words: impl Fn(T) -> String,
    width: f32,
) {
    let combo = ComboBox::from_id_salt(id).selected_text(words(*now)).width(width).truncate();
    let response = combo.show_ui(ui, |ui| {
        for one in all {
            ui.selectable_value(now, one, words(one));
        }
    });
    name(ui, &response.response, called);
}

/// Reads several masses: with “;” between them, or with spaces where they have no unit.
pub(super) fn masses(text: &str, measures: Measures) -> Result<Vec<AmountMass>, String> {
    let parts: Vec<&str> =
        if text.contains(';') { text.split(';').collect() } else { text.split_whitespace().collect() };
    let read = |part: &str| {
        let mass = number::parse_mass(part, measures.mass).map_err(|e| format!("weights of bars: {e}"))?;
        AmountMass::new(mass.0).map_err(|e| e.to_string())
    };
    parts.into_iter().filter(|part| !part.trim().is_empty()).map(read).collect()
}
