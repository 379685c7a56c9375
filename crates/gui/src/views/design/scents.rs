//! Left column: the scents.

use super::blend::keep;
use super::controls::{Material, add_row, id_of, material, stage};
use super::form::ScentForm;
use super::{DesignView, Own, Scene};
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::views::figures::Figures;
use crate::widgets::number_field::complain;
use crate::widgets::picker::Picked;
use crate::widgets::{heading, small};
use barwright_core::design::edit::Edit;
use barwright_core::design::shelf::ShelfEdit;
use barwright_core::library::scents::{Scent, ScentCheck, ScentLine, Supplied};
use barwright_core::number::significant;
use barwright_core::quantities::{About, LimitedPercent, LineId, ScentMass};
use barwright_core::units::Grams;
use eframe::egui::{self, Id, RichText, Ui};
use std::sync::Arc;

/// Id of the field that adds a scent.
pub fn picker_id() -> Id {
    Id::unique("add a scent")
}

/// Most of the constituents that a tooltip names.
const NAMED: usize = 8;

fn about(scent: &Scent) -> String {
    let mut lines = vec![scent.name.clone()];
    if scent.constituents.is_empty() {
        lines.push("What is in it is not tabled".into());
    }
    let mut most: Vec<_> = scent.constituents.iter().collect();
    most.sort_by(|a, b| b.most.get().total_cmp(&a.most.get()));
    for c in most.iter().take(NAMED) {
        lines.push(format!("up to {} % {} ({})", significant(c.most.get()), c.name, c.trust.words()));
    }
    if most.len() > NAMED {
        lines.push(format!("and {} more", most.len() - NAMED));
    }
    let handling = scent.handling();
    let Supplied { limit, vanillin, flash, behaviour, .. } = &scent.supplied;
    lines.extend(limit.map(|l| format!("its supplier allows up to {} % of the bar", significant(l.get()))));
    lines.extend(vanillin.map(|v| format!("{} % of vanillin", significant(v.get()))));
    lines.extend(flash.map(|c| format!("flash point {} °C", significant(c.get()))));
    lines.extend(behaviour.map(|b| b.words().to_owned()));
    lines.push(handling.how.reason().into());
    lines.push(format!("{}; {}", handling.words(), handling.trust.words()));
    lines.join("\n")
}

/// Draws the rows, what binds, and the field that adds one.
pub fn show(ui: &mut Ui, open: &OpenDesign, view: &mut DesignView, scene: &Scene<'_>, changes: &mut Changes) {
    let design = Arc::clone(open.design());
    let evaluation = open.evaluation(scene.library);
    heading(ui, "Scents");
    for (index, line) in design.scents.iter().enumerate() {
        row(ui, open, (index, line, evaluation.masses.fats), view, scene, changes);
    }
    if !design.scents.is_empty() {
        let of = Figures::shown(About::new(&design, &evaluation, scene.library), scene.measures);
        binding(ui, &evaluation.scents, of);
    }
    let mut addable: Vec<Arc<Scent>> = scene.library.scents().to_vec();
    addable.extend(design.spare.scents.iter().filter(|s| scene.library.scent(s.id.as_str()).is_none()).cloned());
    let of_shelf: Vec<_> =
        scene.own().scents.iter().filter(|s| !addable.iter().any(|known| known.id == s.id)).cloned().collect();
    addable.extend(of_shelf);
    addable.retain(|s| !design.scents.iter().any(|l| l.scent.id == s.id));
    let (chosen, own) = add_row(ui, "Add a scent of your own…", |ui| {
        let (names, own) = (&scene.library.names, ["a scent of your own"]);
        view.scent_picker.show_with_own(ui, picker_id(), "Add a scent…", names, (&addable, &own), |_| None)
    });
    if let Some(Picked::Own(_, name)) = &chosen {
        view.open_own(Own::Scent, name.clone());
    }
    if let Some(Picked::Known(scent)) = chosen {
        changes.edit(Edit::AddScent(ScentLine::usual(scent)));
        ui.memory_mut(|m| m.request_focus(id_of(open, ("scent", design.scents.len()))));
    }
    if own {
        view.open_own(Own::Scent, String::new());
    }
    if let Some((Edit::AddScent(_) | Edit::SetScent(..) | Edit::RemoveScent(_), error)) = &open.refused {
        complain(ui, &error.to_string());
    }
}

/// Below this part of its limit a substance is far below it.
const FAR_BELOW: f64 = 0.1;

/// The substance that comes nearest to its limit; what exceeds one has a caution besides.
fn binding(ui: &mut Ui, check: &ScentCheck, of: Figures<'_>) {
    let Some(finding) = check.findings.first() else { return };
    let near = if finding.is_over() { "Over its limit" } else { "Nearest to its limit" };
    // What is far below needs no figures; they are told where one asks.
    let words =
        if finding.ratio() < FAR_BELOW { "far below it".into() } else { finding.words().replace(" %", "\u{a0}%") };
    let text = format!("{near}: {}, {words}", finding.substance);
    let response = ui.add(egui::Label::new(RichText::new(text).small().color(Tokens::of(ui).quiet)).wrap());
    let all: Vec<String> = check.findings.iter().map(|f| format!("{}: {}", f.substance, f.words())).collect();
    let response = response.on_hover_text(format!(
        "In percent of the bar dried as far as it goes, from the largest published figures.\n{}\n\n{}",
        finding.source,
        all.join("\n")
    ));
    let quantity = Arc::new(LimitedPercent(finding.substance.clone()));
    of.asked(ui, quantity, |_| response);
}

fn row(
    ui: &mut Ui,
    open: &OpenDesign,
    (index, line, fats): (usize, &ScentLine, Grams),
    view: &mut DesignView,
    scene: &Scene<'_>,
    changes: &mut Changes,
) {
    let scent = &line.scent;
    let id = id_of(open, ("scent", index));
    let set = |line: ScentLine| Edit::SetScent(index, line);
    let (design, evaluation) = (open.design(), open.evaluation(scene.library));
    let of = Figures::shown(About::new(design, &evaluation, scene.library), scene.measures);
    let Some(mass) = LineId::of_scent(design, index).map(ScentMass) else { return };
    let row = Material {
        id,
        name: &scent.name,
        amount: line.amount,
        fats,
        measures: scene.measures,
        more: None,
        mass: Arc::new(mass),
        of,
    };
    let edits = (|amount| set(ScentLine { amount, ..line.clone() }), Edit::RemoveScent(index));
    let more = |ui: &mut Ui, changes: &mut Changes| menu(ui, (index, scent), view, scene, changes);
    let below = |ui: &mut Ui, changes: &mut Changes| {
        stage(ui, changes, id, &scent.name, line.stage, |stage| set(ScentLine { stage, ..line.clone() }));
        if scent.constituents.is_empty() && scent.supplied == Supplied::default() {
            small(ui, "not tabled").on_hover_text("What is in it is not tabled");
        }
    };
    material(ui, changes, row, || about(scent), more, edits, (below, 190.0));
}

/// What can be done with a scent besides its amount.
fn menu(
    ui: &mut Ui,
    (index, scent): (usize, &Arc<Scent>),
    view: &mut DesignView,
    scene: &Scene<'_>,
    changes: &mut Changes,
) {
    if ui.button("Change its figures…").clicked() {
        view.open(ScentForm::of(scent, &scene.library.allergens));
    }
    if scene.library.scent(scent.id.as_str()).is_none() && !scene.own().scents.contains(scent) {
        keep(ui, ShelfEdit::OwnScent(Arc::clone(scent)), changes);
    }
    if ui.button("Remove").clicked() {
        changes.edit(Edit::RemoveScent(index));
    }
}
