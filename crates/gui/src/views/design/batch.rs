//! Right column: what to weigh, what to mind, and the figures of the batch.

use super::{Scene, jug, margin, mould, water};
use crate::open::OpenDesign;
use crate::theme::{self, Tokens};
use crate::views::Changes;
use crate::views::why;
use crate::widgets::{self, caution, copy_button, heading, section, small};
use barwright_core::bench::weighing::{self, Vessel};
use barwright_core::cautions::ALWAYS;
use barwright_core::chemistry::spread;
use barwright_core::library::additions::Stage;
use barwright_core::number::{self, fixed};
use barwright_core::units::{Grams, MassUnit};
use barwright_core::{Design, Evaluation, Library};
use eframe::egui::{self, Align, Layout, RichText, Ui};

/// A weight for the scale.
struct Weight {
    name: String,
    mass: Grams,
    vessel: Vessel,
    /// Whether it is a part of other weights, said again.
    is_part: bool,
    /// Its key in the report, by which it is explained.
    key: String,
}

/// What is put on the scale, in the order of use, with what of the jug's water is frozen.
fn to_weigh(design: &Design, evaluation: &Evaluation) -> Vec<Weight> {
    let weight = |w: weighing::Weight<'_>| Weight {
        name: w.name.into(),
        mass: w.mass,
        vessel: w.vessel,
        is_part: false,
        key: w.what.key(),
    };
    let mut list: Vec<Weight> = weighing::weights(design, evaluation).into_iter().map(weight).collect();
    let (mass, vessel) = (weighing::frozen(design, &evaluation.masses), Vessel::At(Stage::IntoJug));
    if mass.0 > 0.0 {
        let after = list.iter().rposition(|w| w.vessel == vessel).map_or(list.len(), |i| i + 1);
        list.insert(
            after,
            Weight {
                name: "of the jug’s water frozen".into(),
                mass,
                vessel,
                is_part: true,
                key: "batch.frozen_g".into(),
            },
        );
    }
    list
}

/// The list as text for the clipboard.
fn as_text(design: &Design, list: &[Weight], unit: MassUnit) -> String {
    let lines = list.iter().map(|w| format!("{}\t{}\n", w.name, number::mass(w.mass, unit)));
    format!("{}\n{}", design.name, lines.collect::<String>())
}

/// Seconds after a remedy in which no other is taken.
const REST: f64 = 0.4;

/// Draws the column.
pub fn show(ui: &mut Ui, open: &mut OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let evaluation = open.evaluation(scene.library);
    let design = open.design();
    let list = to_weigh(design, &evaluation);
    ui.horizontal(|ui| {
        section(ui, "To weigh");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            copy_button(ui, "what to weigh", || as_text(design, &list, scene.unit));
        });
    });
    if scene.hints {
        small(
            ui,
            "These are the weights for the scale; purity and superfat are in them. Click any weight or figure to see why it is so.",
        );
    }
    if evaluation.masses.fats.0 <= 0.0 {
        widgets::quiet(ui, "Nothing yet");
    } else {
        weights(ui, &list, scene.unit);
    }

    // After a remedy the cautions move up: a second click of the same hand must not hit another.
    let (pressed, now) = (egui::Id::unique("remedy pressed at"), ui.input(|i| i.time));
    let waits = ui.data(|d| d.get_temp::<f64>(pressed)).is_some_and(|at| now - at < REST);
    for c in &evaluation.cautions {
        ui.add_space(4.0);
        if let Some(edit) = caution::show(ui, c).filter(|_| !waits) {
            changes.edit(edit);
            ui.data_mut(|d| d.insert_temp(pressed, now));
        }
    }
    if evaluation.masses.fats.0 > 0.0 {
        margin::show(ui, open, scene, changes);
        let design = open.design();
        figures(ui, design, &evaluation, scene.library, scene.unit);
    }
    ui.add_space(4.0);
    egui::CollapsingHeader::new("Always, when handling lye").show(ui, |ui| {
        for line in ALWAYS {
            ui.add(egui::Label::new(RichText::new(format!("– {line}")).color(Tokens::of(ui).quiet)).wrap());
        }
    });
}

fn weights(ui: &mut Ui, list: &[Weight], unit: MassUnit) {
    let mut before = Vessel::Pot;
    for Weight { name, mass, vessel, is_part, key } in list {
        if *is_part {
            let shown = widgets::figure(ui, name, &number::mass(*mass, unit));
            why::explained(ui, &shown, key);
            continue;
        }
        if *vessel != before {
            ui.separator();
            if !matches!(vessel, Vessel::At(Stage::IntoJug)) {
                small(ui, vessel.words());
            }
            before = *vessel;
        }
        ui.horizontal(|ui| {
            let number = RichText::new(number::mass(*mass, unit)).font(theme::strong(16.0));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let shown = ui.label(number);
                why::explained(ui, &shown, key);
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    ui.add(egui::Label::new(name).truncate());
                });
            });
        });
    }
}

fn figures(ui: &mut Ui, design: &Design, evaluation: &Evaluation, library: &Library, unit: MassUnit) {
    let batch = &evaluation.masses;
    heading(ui, "Batch");
    let mass = |m: Grams| number::mass(m, unit);
    let shown = widgets::figure(ui, "All fats", &mass(batch.fats));
    why::explained(ui, &shown, "batch.fats_g");
    let shown = widgets::figure(ui, "Batter", &mass(batch.batter));
    why::explained(ui, &shown, "batch.batter_g");
    let each = if batch.bars == 1 { "The bar, fresh".into() } else { format!("Each of {} bars, fresh", batch.bars) };
    let shown = widgets::figure(ui, &each, &mass(batch.bar_fresh));
    why::explained(ui, &shown, "batch.bar_fresh_g");
    let shown = widgets::figure(ui, "Glycerol set free", &mass(batch.glycerol));
    why::explained(ui, &shown, "batch.glycerol_g");
    if batch.additions.0 > 0.0 || batch.scents.0 > 0.0 {
        let shown = widgets::figure(ui, "Free fat", &format!("{} %", fixed(batch.free_fat, 1)))
            .on_hover_text("Percent of all fat that stays unsaponified: the superfat and the fat in additions");
        why::explained(ui, &shown, "batch.free_fat_pct");
    }
    if batch.alkali_for_acids.0 > 0.0 {
        let shown = widgets::figure(ui, "Alkali that acids take", &mass(batch.alkali_for_acids))
            .on_hover_text("It is in the weight of the alkali");
        why::explained(ui, &shown, "batch.alkali_for_acids_g");
    }
    let optional = |v: Option<f64>, decimals: usize, unit: &str| {
        v.map_or_else(|| "not known".into(), |v| format!("{}{unit}", fixed(v, decimals)))
    };
    water::show(ui, design, evaluation, unit);
    jug::show(ui, design, evaluation, unit);
    mould::show(ui, design, evaluation);
    let chemistry = &evaluation.chemistry;
    heading(ui, "Blend");
    let shown = widgets::figure(ui, "Saponification value", &optional(chemistry.saponification_value, 1, "")).on_hover_text(
        "mg KOH that a gram of the blend takes, from the published or the supplier’s figures; the lye rests on this",
    );
    why::explained(ui, &shown, "chemistry.saponification_value");
    let shown =
        widgets::figure(ui, "calculated from the acids", &optional(chemistry.saponification_value_calculated, 1, ""))
            .on_hover_text("A check: calculated from the typical fatty acids (AOCS Cd 3a-94)");
    why::explained(ui, &shown, "chemistry.saponification_value_calculated");
    let shown = widgets::figure(ui, "Iodine value", &optional(chemistry.iodine_value, 1, ""))
        .on_hover_text("g iodine that 100 g take, calculated from the typical fatty acids (AOCS Cd 1c-85)");
    why::explained(ui, &shown, "chemistry.iodine_value");
    let shown = widgets::figure(ui, "Titre", &optional(chemistry.titre, 0, " °C")).on_hover_ui(|ui| {
        ui.label("Where the mixed fatty acids set, by ideal solubility fitted to titres of 1908: ±3 °C in hard charges, worse in soft ones. It is not the hardness of the bar");
        // Worked out only while somebody looks.
        if let Some(spread) = spread::titre(&design.blend, library) {
            ui.label(format!(
                "With natural fats at their extremes: {} to {} °C",
                fixed(spread.min(), 0),
                fixed(spread.max(), 0)
            ));
        }
    });
    why::explained(ui, &shown, "chemistry.titre_c");
    let shown = widgets::figure(ui, "Total fatty matter, fresh", &optional(chemistry.tfm_fresh, 1, " %"))
        .on_hover_text("Percent of the fresh bar (ISO 685); it rises as the bar dries");
    why::explained(ui, &shown, "chemistry.tfm_fresh_pct");
}
