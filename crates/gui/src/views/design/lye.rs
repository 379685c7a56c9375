//! Left column: superfat, alkali and water.

use super::Scene;
use super::controls::{Written, bounded, id_of, percent, quantity, row, takes_one_line};
use crate::open::OpenDesign;
use crate::theme::{self, Tokens};
use crate::views::Changes;
use crate::widgets::number_field::NumberField;
use crate::widgets::steady::steady;
use crate::widgets::{self, heading, name};
use barwright_core::design::edit::Edit;
use barwright_core::design::{Alkali, AlkaliKind, WaterRule};
use barwright_core::number::{self, fixed, short};
use barwright_core::units::{LyeConcentration, Purity, PurityMargin, Share, Superfat, WaterPercent, WaterRatio};
use eframe::egui::{ComboBox, Id, Label, RichText, Ui};

/// Draws the controls.
pub fn show(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    ui.add_space(8.0);
    ui.separator();
    heading(ui, "Lye");
    superfat(ui, open, changes);
    steady(ui, "alkali", |ui| alkali(ui, open, scene, changes));
    water(ui, open, scene, changes);
}

fn superfat(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    let now = open.design().superfat.get();
    let field_id = id_of(open, "superfat");
    row(ui, "Superfat", |ui| {
        let mut value = now;
        let width = (ui.available_size_before_wrap().x - 70.0).max(80.0);
        let slider = widgets::slider(ui, true, width, &mut value, 0.0..=15.0, Some(0.5));
        name(ui, &slider, "Superfat");
        if slider.changed() {
            changes.gesture(Edit::Superfat(Superfat::nearest(value)), slider.id);
        }
        changes.watch(&slider);
        slider.on_hover_text(
            "Percent of the alkali that is held back, so that some fat stays free. Natural fats vary: 5 % or more is usual (common practice, no source)",
        );
        let shown = format!("{} %", short(now, 2));
        let field = NumberField { id: field_id, name: "Superfat, percent", shown: &shown, width: 62.0, hint: "" };
        let step = |by: f64| Some(Superfat::nearest(now + 0.5 * by));
        changes.field(ui, &field, percent, step, Edit::Superfat);
    });
    NumberField::complaint(ui, field_id);
}

fn alkali(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let now = open.design().alkali;
    let koh = now.koh_share.get();
    let kind = now.kind();
    let share_id = id_of(open, "koh share");
    // The purity of a single alkali stands in its line where there is room.
    let in_line = takes_one_line(ui) && kind != AlkaliKind::Both;
    row(ui, "Alkali", |ui| {
        let width = ui.available_size_before_wrap().x.min(300.0);
        let combo = ComboBox::from_id_salt("alkali kind").selected_text(kind.words()).width(width);
        let response = combo.show_ui(ui, |ui| {
            for other in AlkaliKind::ALL {
                if ui.selectable_label(other == kind, other.words()).clicked() && other != kind {
                    changes.edit(Edit::Alkali(now.of_kind(other)));
                }
            }
        });
        name(ui, &response.response, "Kind of alkali");
        if in_line {
            purities(ui, open, changes);
        }
    });
    if in_line {
        complaints(ui, open);
    }
    if kind == AlkaliKind::Both {
        row(ui, "", |ui| {
            let shown = format!("{} %", short(koh, 2));
            let field = NumberField {
                id: share_id,
                name: "Potassium hydroxide, percent of the equivalents",
                shown: &shown,
                width: 62.0,
                hint: "",
            };
            let step = |by: f64| Some(Share::nearest(koh + by));
            changes.field(ui, &field, percent, step, |koh_share| Edit::Alkali(Alkali { koh_share, ..now }));
            ui.label("as KOH, by equivalents");
        });
        NumberField::complaint(ui, share_id);
    }
    let told = open.cautions(scene.library, scene.measures);
    let is_doubted = |code: &str| told.iter().any(|caution| caution.code.starts_with(code));
    if !in_line {
        if kind.has_sodium() {
            row(ui, "Purity", |ui| sodium(ui, open, changes));
        }
        if kind.has_potassium() {
            row(ui, "Purity", |ui| potassium(ui, open, changes));
        }
        complaints(ui, open);
    }
    if kind.has_sodium() && (now.naoh_read_from_tub || is_doubted("naoh-purity")) {
        let read = |naoh_read_from_tub| Alkali { naoh_read_from_tub, ..now };
        from_tub(ui, changes, "sodium hydroxide", now.naoh_read_from_tub, read);
    }
    if kind.has_potassium() && (now.koh_read_from_tub || is_doubted("koh-purity")) {
        let read = |koh_read_from_tub| Alkali { koh_read_from_tub, ..now };
        from_tub(ui, changes, "potassium hydroxide", now.koh_read_from_tub, read);
    }
}

/// Whether an unusual purity of the alkali called `label` stands on the tub that is used.
fn from_tub(ui: &mut Ui, changes: &mut Changes, label: &str, now: bool, with: impl Fn(bool) -> Alkali) {
    row(ui, "", |ui| {
        let mut read = now;
        let tick = ui.checkbox(&mut read, "read from this tub");
        name(ui, &tick, &format!("The purity of the {label} is read from this tub"));
        if tick.on_hover_text("A purity that is not usual is doubted unless you have it from the tub itself").changed()
        {
            changes.edit(Edit::Alkali(with(read)));
        }
    });
}

/// The purity of the alkali called `label`, and how far it may be off.
fn purity(
    ui: &mut Ui,
    changes: &mut Changes,
    [id, pm_id]: [Id; 2],
    (label, sign): (&str, &str),
    (pure, pm): (Purity, PurityMargin),
    with: impl Fn(Purity, PurityMargin) -> Alkali,
) {
    let name = format!("Purity of the {label}, percent");
    let written = Written { name: &name, unit: "%", step: 0.5, decimals: 2, width: 62.0 };
    quantity(ui, changes, id, written, pure, |p| Edit::Alkali(with(p, pm))).on_hover_text(
        "The figure on the tub; sodium hydroxide is usually 97 to 99.5 %, potassium hydroxide 85 to 92 % (from memory)",
    );
    ui.label("±");
    let name = format!("± of the purity of the {label}, percent");
    let written = Written { name: &name, unit: "%", step: 0.1, decimals: 2, width: 54.0 };
    quantity(ui, changes, pm_id, written, pm, |pm| Edit::Alkali(with(pure, pm)))
        .on_hover_text("How far that figure may be off; the margin of the superfat counts with it");
    ui.label(sign);
}

const SODIUM: [&str; 2] = ["naoh purity", "naoh purity pm"];
const POTASSIUM: [&str; 2] = ["koh purity", "koh purity pm"];

/// The purity of the one alkali that there is.
fn purities(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    if open.design().alkali.kind().has_sodium() { sodium(ui, open, changes) } else { potassium(ui, open, changes) }
}

fn sodium(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    let now = open.design().alkali;
    let with = |naoh_purity, naoh_purity_pm| Alkali { naoh_purity, naoh_purity_pm, ..now };
    let ids = SODIUM.map(|w| id_of(open, w));
    purity(ui, changes, ids, ("sodium hydroxide", "NaOH"), (now.naoh_purity, now.naoh_purity_pm), with);
}

fn potassium(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    let now = open.design().alkali;
    let with = |koh_purity, koh_purity_pm| Alkali { koh_purity, koh_purity_pm, ..now };
    let ids = POTASSIUM.map(|w| id_of(open, w));
    purity(ui, changes, ids, ("potassium hydroxide", "KOH"), (now.koh_purity, now.koh_purity_pm), with);
}

/// Why a purity was not taken.
fn complaints(ui: &mut Ui, open: &OpenDesign) {
    for what in SODIUM.into_iter().chain(POTASSIUM) {
        NumberField::complaint(ui, id_of(open, what));
    }
}

fn water(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let rule = open.design().water;
    let batch = open.evaluation(scene.library).masses;
    // Without fats there is no lye yet; the slider then stands where the rule or a new design has it.
    let concentration = batch.lye_concentration().unwrap_or_else(|| match (rule, WaterRule::default()) {
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
        let width = (ui.available_size_before_wrap().x - 97.0).max(60.0);
        let slider = widgets::slider(ui, true, width, &mut value, 20.0..=45.0, Some(0.5));
        name(ui, &slider, "Lye concentration");
        if slider.changed() {
            let to = LyeConcentration::nearest(value);
            changes.gesture(Edit::Water(WaterRule::LyeConcentration(to)), slider.id);
        }
        changes.watch(&slider);
        slider.on_hover_text("Pure alkali in percent of the lye: further right is stronger, with less water");
        let shown = format!("{} %", fixed(concentration, 1));
        let field = NumberField { id: c_id, name: "Lye concentration, percent", shown: &shown, width: 62.0, hint: "" };
        let step = |by: f64| Some(LyeConcentration::nearest(concentration + 0.5 * by));
        changes.field(ui, &field, percent, step, |c| Edit::Water(WaterRule::LyeConcentration(c)));
        caption(ui, "lye", matches!(rule, WaterRule::LyeConcentration(_)));
    });
    row(ui, "", |ui| {
        let ratio = WaterRatio::from_concentration(concentration);
        let shown = fixed(ratio, 2);
        let field = NumberField { id: r_id, name: "Water to alkali ratio", shown: &shown, width: 48.0, hint: "" };
        let read = |t: &str| bounded(number::parse(t.trim_end_matches(": 1").trim_end_matches(":1"), &[]));
        let step = |by: f64| Some(WaterRatio::nearest(ratio + 0.05 * by));
        changes.field(ui, &field, read, step, |r| Edit::Water(WaterRule::WaterToAlkali(r)));
        caption(ui, ": 1 to alkali", matches!(rule, WaterRule::WaterToAlkali(_)));
        let of_fats = batch.water_percent_of_fats();
        let shown = of_fats.map_or_else(|| "–".into(), |p| format!("{} %", fixed(p, 1)));
        let field = NumberField { id: p_id, name: "Water in percent of fats", shown: &shown, width: 62.0, hint: "" };
        let step = |by: f64| of_fats.map(|p| WaterPercent::nearest(p + 0.5 * by));
        changes.field(ui, &field, percent, step, |p| Edit::Water(WaterRule::PercentOfFats(p)));
        caption(ui, "of fats", matches!(rule, WaterRule::PercentOfFats(_)));
    });
    if batch.water_excess.0 > 0.0 {
        let asked = match rule {
            WaterRule::LyeConcentration(c) => format!("{} %", short(c.get(), 2)),
            WaterRule::WaterToAlkali(r) => format!("{} : 1", short(r.get(), 2)),
            WaterRule::PercentOfFats(p) => format!("{} % of the fats", short(p.get(), 2)),
        };
        let text = format!("Asked for {asked}; more water than that comes in without any being weighed");
        ui.add(Label::new(RichText::new(text).small().color(Tokens::of(ui).care)).wrap());
    }
    for id in [c_id, r_id, p_id] {
        NumberField::complaint(ui, id);
    }
}
