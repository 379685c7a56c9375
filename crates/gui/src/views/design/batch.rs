//! Right column: what to weigh, what to mind, and the figures of the batch.

use super::{Scene, margin, water};
use crate::open::OpenDesign;
use crate::theme::{self, Tokens};
use crate::views::Changes;
use crate::views::figures::Figures;
use crate::widgets::number_field::before_change;
use crate::widgets::steady::steady;
use crate::widgets::{self, caution, column, copy_button, heading, section, small, within};
use barwright_core::bench::weighing::{self, Vessel, What};
use barwright_core::cautions::{ALWAYS, Caution};
use barwright_core::library::additions::Stage;
use barwright_core::quantities::{
    self, About, AlkaliForAcids, AllAdditions, AllFats, AllScents, AnyQuantity, BarCount, BarFresh, Batter, FatsMelted,
    FattyMatter, FreeFat, Frozen, Glycerol, IodineValue, SaponificationCalculated, SaponificationValue, Titre,
    TitreHigh, TitreLow,
};
use barwright_core::quantity::Unit;
use eframe::egui::{self, Align, Frame, Layout, Margin, RichText, Ui};
use std::sync::Arc;

/// A weight for the scale.
struct Weight {
    name: String,
    /// Whether it is the water or an alkali, which stay in sight.
    is_lye: bool,
    vessel: Vessel,
    /// Whether it is a part of other weights, said again.
    is_part: bool,
    quantity: Arc<dyn AnyQuantity>,
}

/// What is put on the scale, in the order of use, with what of the jug's water is frozen.
fn to_weigh(about: About<'_>) -> Vec<Weight> {
    let weight = |w: weighing::Weight<'_>| {
        let quantity = quantities::of_weight(w.what, about.design)?;
        let is_lye = matches!(w.what, What::Water | What::SodiumHydroxide | What::PotassiumHydroxide);
        Some(Weight { name: w.name.into(), is_lye, vessel: w.vessel, is_part: false, quantity })
    };
    let weights = weighing::weights(about.design, about.evaluation);
    let mut list: Vec<Weight> = weights.into_iter().filter_map(weight).collect();
    let vessel = Vessel::At(Stage::IntoJug);
    if AnyQuantity::value(&Frozen, about).is_ok_and(|frozen| frozen > 0.0) {
        let after = list.iter().rposition(|w| w.vessel == vessel).map_or(list.len(), |i| i + 1);
        let name = AnyQuantity::title(&Frozen, about);
        list.insert(after, Weight { name, is_lye: false, vessel, is_part: true, quantity: Arc::new(Frozen) });
    }
    list
}

/// The list as text for the clipboard, under the Stops that stand against it.
fn as_text(figures: Figures<'_>, list: &[Weight], told: &[Caution]) -> String {
    let stops = told.iter().filter(|caution| caution.blocks()).map(|stop| format!("{}\n", stop.line()));
    let lines = list.iter().map(|w| format!("{}\t{}\n", w.name, figures.text(w.quantity.as_ref())));
    format!("{}\n{}{}", figures.about.design.name, stops.collect::<String>(), lines.collect::<String>())
}

/// Seconds after a remedy in which no other is taken.
const REST: f64 = 0.4;

/// Draws the column: what makes the lye, which stays in sight, and all else, which scrolls.
pub fn show(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let evaluation = open.evaluation(scene.library);
    let design = Arc::clone(open.design());
    let about = About::new(&design, &evaluation, scene.library);
    let of_design = Figures::shown(about, scene.measures);
    let list = to_weigh(about);
    let is_there = evaluation.masses.fats.0 > 0.0;
    Frame::new().inner_margin(Margin { bottom: 0, ..within(16, 8) }).show(ui, |ui| {
        ui.horizontal(|ui| {
            section(ui, "To weigh");
            before_change(ui);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                copy_button(ui, "what to weigh", || {
                    as_text(of_design, &list, &open.cautions(scene.library, scene.measures))
                });
            });
        });
        if is_there {
            for weight in list.iter().filter(|w| w.is_lye) {
                line_of(ui, weight, of_design);
            }
        }
        ui.separator();
    });
    column(ui, "batch column", within(16, 0), |ui| scrolled(ui, open, scene, (&list, of_design), changes));
}

/// The fats and additions to weigh, what to mind, and the figures of the batch.
fn scrolled(
    ui: &mut Ui,
    open: &OpenDesign,
    scene: &Scene<'_>,
    (list, of_design): (&[Weight], Figures<'_>),
    changes: &mut Changes,
) {
    let evaluation = open.evaluation(scene.library);
    if scene.hints {
        small(
            ui,
            format!(
                "Purity and superfat are in these weights; the sheet in Make rounds them to your scale’s {}. Click any \
                 weight or figure to see why it is so.",
                Unit::Grams.short_in(open.design().scale_division.get(), 3, scene.measures)
            ),
        );
    }
    if evaluation.masses.fats.0 <= 0.0 {
        widgets::quiet(ui, "Nothing yet");
    } else {
        weights(ui, list, of_design);
    }

    steady(ui, "cautions", |ui| cautions(ui, open, scene, changes));
    if evaluation.masses.fats.0 > 0.0 {
        steady(ui, "margin", |ui| margin::show(ui, open, scene, changes));
        steady(ui, "figures", |ui| figures(ui, of_design));
    }
    ui.add_space(4.0);
    egui::CollapsingHeader::new("Always, when handling lye").show(ui, |ui| {
        for line in ALWAYS {
            ui.add(egui::Label::new(RichText::new(format!("– {line}")).color(Tokens::of(ui).quiet)).wrap());
        }
    });
}

/// That nothing is typed yet is no danger: the bar's column says how to start. Missing prices are told where prices
/// are typed.
const TOLD_ELSEWHERE: [&str; 2] = ["no-fats", "price-missing"];

/// What to mind, each with its remedy.
fn cautions(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    // After a remedy the cautions move up: a second click of the same hand must not hit another.
    let (pressed, now) = (egui::Id::unique("remedy pressed at"), ui.input(|i| i.time));
    let waits = ui.data(|d| d.get_temp::<f64>(pressed)).is_some_and(|at| now - at < REST);
    for c in open.cautions(scene.library, scene.measures).iter().filter(|c| !TOLD_ELSEWHERE.contains(&c.code)) {
        ui.add_space(4.0);
        if let Some(edit) = caution::show(ui, c).filter(|_| !waits) {
            changes.edit(edit);
            ui.data_mut(|d| d.insert_temp(pressed, now));
        }
    }
}

fn weights(ui: &mut Ui, list: &[Weight], of_design: Figures<'_>) {
    let mut before = Vessel::Pot;
    for weight in list.iter().filter(|w| !w.is_lye) {
        if weight.is_part {
            let value = of_design.text(weight.quantity.as_ref());
            of_design.asked(ui, Arc::clone(&weight.quantity), |ui| widgets::figure(ui, &weight.name, &value));
            continue;
        }
        if weight.vessel != before {
            ui.separator();
            small(ui, weight.vessel.words());
            before = weight.vessel;
        }
        line_of(ui, weight, of_design);
    }
}

/// A weight, large.
fn line_of(ui: &mut Ui, weight: &Weight, of_design: Figures<'_>) {
    let number = RichText::new(of_design.text(weight.quantity.as_ref())).font(theme::strong(16.0));
    widgets::line(
        ui,
        &weight.name,
        |name| RichText::new(name),
        |ui| of_design.asked(ui, Arc::clone(&weight.quantity), |ui| ui.label(number)),
    );
}

fn figures(ui: &mut Ui, of: Figures<'_>) {
    heading(ui, "Batch");
    of.quantity(ui, AllFats);
    of.quantity(ui, FatsMelted).on_hover_text("What the pan holds before the lye comes to them; leave room to stir");
    of.quantity(ui, Batter);
    of.quantity(ui, BarCount);
    of.quantity(ui, BarFresh);
    of.quantity(ui, Glycerol);
    if of.is_some(&AllAdditions) || of.is_some(&AllScents) {
        of.quantity(ui, FreeFat)
            .on_hover_text("Percent of all fat that stays unsaponified: the superfat and the fat in additions");
    }
    if of.is_some(&AlkaliForAcids) {
        of.quantity(ui, AlkaliForAcids).on_hover_text("It is in the weight of the alkali");
    }
    water::show(ui, of);
    heading(ui, "Blend");
    of.quantity(ui, SaponificationValue).on_hover_text(
        "mg KOH that a gram of the blend takes, from the published or the supplier’s figures; the lye rests on this",
    );
    of.quantity(ui, SaponificationCalculated)
        .on_hover_text("A check: calculated from the typical fatty acids (AOCS Cd 3a-94)");
    of.quantity(ui, IodineValue)
        .on_hover_text("g iodine that 100 g take, calculated from the typical fatty acids (AOCS Cd 1c-85)");
    of.quantity(ui, Titre).on_hover_ui(|ui| {
        ui.label("Where the mixed fatty acids set, by ideal solubility fitted to titres of 1908: ±3 °C in hard charges, worse in soft ones. It is not the hardness of a bar");
        // Worked out only while somebody looks.
        if of.is_known(&TitreLow) {
            let (low, high) = (of.number(&TitreLow), of.text(&TitreHigh));
            ui.label(format!("With natural fats at their extremes: {low} to {high}"));
        }
    });
    of.quantity(ui, FattyMatter).on_hover_text("Percent of the fresh bar (ISO 685); it rises as the bar dries");
}
