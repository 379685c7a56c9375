//! Left column, lower part: superfat, alkali, water, and the size of the batch.

use super::Scene;
use crate::open::OpenDesign;
use crate::theme::{self, Tokens};
use crate::views::Changes;
use crate::widgets::number_field::NumberField;
use crate::widgets::{self, heading, name, small};
use barwright_core::design::{Alkali, WaterRule};
use barwright_core::edit::Edit;
use barwright_core::number::{self, NumberError, fixed, short};
use barwright_core::units::{
    Bars, FatMass, LyeConcentration, MassUnit, OutOfRange, Purity, Share, Superfat, WaterPercent, WaterRatio,
};
use eframe::egui::{self, Align, ComboBox, Id, Layout, RichText, Slider, TextEdit, Ui};
use std::sync::Arc;

const NAMES: f32 = 60.0;

/// Reads a percent of a bounded kind.
fn percent<T: TryFrom<f64, Error = OutOfRange>>(text: &str) -> Result<T, String> {
    bounded(number::parse(text, &["%"]))
}

fn bounded<T: TryFrom<f64, Error = OutOfRange>>(value: Result<f64, NumberError>) -> Result<T, String> {
    T::try_from(value.map_err(|e| e.to_string())?).map_err(|e| e.to_string())
}

/// A row with its name at the left.
fn row(ui: &mut Ui, label: &str, content: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        ui.allocate_ui_with_layout(egui::vec2(NAMES, 24.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(NAMES);
            ui.label(label);
        });
        content(ui);
    });
}

/// Draws the controls.
pub fn show(ui: &mut Ui, open: &mut OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    ui.add_space(8.0);
    ui.separator();
    heading(ui, "Lye");
    superfat(ui, open, changes);
    alkali(ui, open, changes);
    water(ui, open, scene, changes);
    heading(ui, "Batch");
    size(ui, open, scene, changes);
    notes(ui, open, changes);
}

fn id_of(open: &OpenDesign, what: &str) -> Id {
    Id::unique((what, open.key))
}

fn superfat(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    let now = open.design().superfat.get();
    let field_id = id_of(open, "superfat");
    row(ui, "Superfat", |ui| {
        let mut value = now;
        let width = (ui.available_width() - 70.0).max(80.0);
        let slider = widgets::slider(ui, true, width, Slider::new(&mut value, 0.0..=15.0).step_by(0.5));
        name(ui, &slider, "Superfat");
        if slider.changed() {
            changes.gesture(Edit::Superfat(Superfat::nearest(value)), slider.id);
        }
        changes.watch(&slider);
        slider.on_hover_text(
            "Percent of the alkali that is held back, so that some fat stays free. Natural fats vary: 5 % or more is usual (common practice, no source)",
        );
        let shown = format!("{} %", short(now, 2));
        let field = NumberField { id: field_id, name: "Superfat, percent", shown: &shown, width: 62.0 };
        let step = |by: f64| Some(Superfat::nearest(now + 0.5 * by));
        changes.field(ui, &field, percent, step, Edit::Superfat);
    });
    NumberField::complaint(ui, field_id);
}

const KINDS: [&str; 3] = ["Sodium hydroxide (NaOH)", "Potassium hydroxide (KOH)", "Both"];

fn alkali(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    let now = open.design().alkali;
    let koh = now.koh_share.get();
    let kind = if koh <= 0.0 {
        0
    } else if koh >= 100.0 {
        1
    } else {
        2
    };
    let [share_id, naoh_id, koh_id] = ["koh share", "naoh purity", "koh purity"].map(|w| id_of(open, w));
    row(ui, "Alkali", |ui| {
        let combo = ComboBox::from_id_salt("alkali kind").selected_text(KINDS[kind]).width(ui.available_width());
        let response = combo.show_ui(ui, |ui| {
            for (i, (text, share)) in KINDS.into_iter().zip([0.0, 100.0, 5.0]).enumerate() {
                if ui.selectable_label(i == kind, text).clicked() && i != kind {
                    changes.edit(Edit::Alkali(Alkali { koh_share: Share::nearest(share), ..now }));
                }
            }
        });
        name(ui, &response.response, "Kind of alkali");
    });
    if kind == 2 {
        row(ui, "", |ui| {
            let shown = format!("{} %", short(koh, 2));
            let field = NumberField {
                id: share_id,
                name: "Potassium hydroxide, percent of the equivalents",
                shown: &shown,
                width: 62.0,
            };
            let step = |by: f64| Some(Share::nearest(koh + by));
            changes.field(ui, &field, percent, step, |koh_share| Edit::Alkali(Alkali { koh_share, ..now }));
            ui.label("as KOH, by equivalents");
        });
        NumberField::complaint(ui, share_id);
    }
    let mut purity = |ui: &mut Ui, id: Id, label: &str, now_pure: Purity, with: &dyn Fn(Purity) -> Alkali| {
        let shown = format!("{} %", short(now_pure.get(), 2));
        let field = NumberField { id, name: &format!("Purity of the {label}, percent"), shown: &shown, width: 62.0 };
        let step = |by: f64| Some(Purity::nearest(now_pure.get() + 0.5 * by));
        let response = changes.field(ui, &field, percent, step, |p| Edit::Alkali(with(p)));
        response.on_hover_text("The figure on the tub; sodium hydroxide is usually 97 to 99.5 %, potassium hydroxide 85 to 92 % (from memory)");
    };
    row(ui, "Purity", |ui| {
        if kind != 1 {
            purity(ui, naoh_id, "sodium hydroxide", now.naoh_purity, &|naoh_purity| Alkali { naoh_purity, ..now });
            ui.label("NaOH");
        }
        if kind != 0 {
            purity(ui, koh_id, "potassium hydroxide", now.koh_purity, &|koh_purity| Alkali { koh_purity, ..now });
            ui.label("KOH");
        }
    });
    NumberField::complaint(ui, naoh_id);
    NumberField::complaint(ui, koh_id);
}

fn water(ui: &mut Ui, open: &mut OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let rule = open.design().water;
    let batch = open.evaluation(scene.library).batch;
    // Without fats there is no lye yet; the slider then stands where the rule or a new design has it.
    let concentration = batch.lye_concentration.unwrap_or_else(|| match (rule, WaterRule::default()) {
        (WaterRule::LyeConcentration(c), _) | (_, WaterRule::LyeConcentration(c)) => c.get(),
        _ => LyeConcentration::MIN,
    });
    let [c_id, r_id, p_id] = ["concentration", "ratio", "percent of fats"].map(|w| id_of(open, w));
    let tip = "The three say the same. The one you set last, in bold, is kept when the fats or the superfat change";
    let caption = |ui: &mut Ui, text: &str, kept: bool| {
        let tokens = Tokens::of(ui);
        let text = RichText::new(text);
        let text = if kept { text.font(theme::strong(13.0)) } else { text.color(tokens.quiet) };
        ui.label(text).on_hover_text(tip);
    };
    row(ui, "Water", |ui| {
        let mut value = concentration;
        let width = (ui.available_width() - 97.0).max(60.0);
        let slider = widgets::slider(ui, true, width, Slider::new(&mut value, 20.0..=45.0).step_by(0.5));
        name(ui, &slider, "Lye concentration");
        if slider.changed() {
            let to = LyeConcentration::nearest(value);
            changes.gesture(Edit::Water(WaterRule::LyeConcentration(to)), slider.id);
        }
        changes.watch(&slider);
        slider.on_hover_text("Pure alkali in percent of the lye: further right is stronger, with less water");
        let shown = format!("{} %", fixed(concentration, 1));
        let field = NumberField { id: c_id, name: "Lye concentration, percent", shown: &shown, width: 62.0 };
        let step = |by: f64| Some(LyeConcentration::nearest(concentration + 0.5 * by));
        changes.field(ui, &field, percent, step, |c| Edit::Water(WaterRule::LyeConcentration(c)));
        caption(ui, "lye", matches!(rule, WaterRule::LyeConcentration(_)));
    });
    row(ui, "", |ui| {
        let ratio = WaterRatio::from_concentration(concentration);
        let shown = fixed(ratio, 2);
        let field = NumberField { id: r_id, name: "Water to alkali ratio", shown: &shown, width: 48.0 };
        let read = |t: &str| bounded(number::parse(t.trim_end_matches(": 1").trim_end_matches(":1"), &[]));
        let step = |by: f64| Some(WaterRatio::nearest(ratio + 0.05 * by));
        changes.field(ui, &field, read, step, |r| Edit::Water(WaterRule::WaterToAlkali(r)));
        caption(ui, ": 1 to alkali", matches!(rule, WaterRule::WaterToAlkali(_)));
        let of_fats = batch.water_percent_of_fats;
        let shown = of_fats.map_or_else(|| "–".into(), |p| format!("{} %", fixed(p, 1)));
        let field = NumberField { id: p_id, name: "Water in percent of fats", shown: &shown, width: 62.0 };
        let step = |by: f64| of_fats.map(|p| WaterPercent::nearest(p + 0.5 * by));
        changes.field(ui, &field, percent, step, |p| Edit::Water(WaterRule::PercentOfFats(p)));
        caption(ui, "of fats", matches!(rule, WaterRule::PercentOfFats(_)));
    });
    for id in [c_id, r_id, p_id] {
        NumberField::complaint(ui, id);
    }
}

fn size(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let design = Arc::clone(open.design());
    let [mass_id, bars_id] = ["fat mass", "bars"].map(|w| id_of(open, w));
    row(ui, "Fats", |ui| {
        let unit = scene.unit;
        let shown = number::mass(barwright_core::units::Grams(design.fat_mass.get()), unit);
        let field = NumberField { id: mass_id, name: "Mass of all fats", shown: &shown, width: 92.0 };
        let read = |text: &str| {
            let mass = number::parse_mass(text, unit).map_err(|e| e.to_string())?;
            FatMass::new(mass.0).map_err(|e| e.to_string())
        };
        // Ten grams, or an ounce.
        let grams = if unit == MassUnit::Gram { 10.0 } else { unit.grams() };
        let step = |by: f64| Some(FatMass::nearest(design.fat_mass.get() + grams * by));
        let response = changes.field(ui, &field, read, step, Edit::FatMass);
        response.on_hover_text("All fats together; g, kg, oz and lb are understood");
        ui.label("cut into");
        let shown = design.bars.get().to_string();
        let field = NumberField { id: bars_id, name: "Number of bars", shown: &shown, width: 46.0 };
        let read = |text: &str| {
            let count: u32 =
                text.trim().parse().map_err(|e| format!("“{}” is not a number of bars: {e}", text.trim()))?;
            Bars::new(count).map_err(|e| e.to_string())
        };
        let count = design.bars.get();
        let step = |by: f64| Bars::new(if by > 0.0 { count + 1 } else { count.saturating_sub(1) }).ok();
        changes.field(ui, &field, read, step, Edit::Bars);
        ui.label(if design.bars.get() == 1 { "bar" } else { "bars" });
    });
    NumberField::complaint(ui, mass_id);
    NumberField::complaint(ui, bars_id);
}

fn notes(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    heading(ui, "Notes");
    let mut notes = open.design().notes.clone();
    let field = TextEdit::multiline(&mut notes)
        .id(id_of(open, "notes"))
        .hint_text("What this bar is for, what to try next time")
        .desired_rows(2)
        .char_limit(20_000)
        .desired_width(f32::INFINITY);
    let response = ui.add(field);
    name(ui, &response, "Notes");
    if response.changed() {
        changes.gesture(Edit::Notes(notes), response.id);
    }
    changes.watch(&response);
    small(ui, "Lye burns: wear goggles and gloves, add the alkali to the water, never the other way round.");
}
