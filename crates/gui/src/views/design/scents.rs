//! Left column: the scents.

use super::controls::{amount, id_of, more, stage};
use super::own::OwnScent;
use super::{DesignView, Scene};
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::widgets::number_field::{NumberField, complain};
use crate::widgets::{heading, name, small};
use barwright_core::edit::Edit;
use barwright_core::number::{self, significant};
use barwright_core::scents::{Scent, ScentCheck, ScentLine};
use barwright_core::units::Grams;
use eframe::egui::{self, Align, Id, Layout, RichText, Sense, Ui, vec2};
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
    lines.join("\n")
}

/// Draws the rows, what binds, and the field that adds one.
pub fn show(ui: &mut Ui, open: &mut OpenDesign, view: &mut DesignView, scene: &Scene<'_>, changes: &mut Changes) {
    let design = Arc::clone(open.design());
    let evaluation = open.evaluation(scene.library);
    heading(ui, "Scents");
    for (index, line) in design.scents.iter().enumerate() {
        row(ui, open, (index, line, evaluation.batch.fats), view, scene, changes);
    }
    if !design.scents.is_empty() {
        binding(ui, &evaluation.scents);
    }
    let mut addable: Vec<Arc<Scent>> = scene.library.scents().to_vec();
    addable.extend(design.spare.scents.iter().filter(|s| scene.library.scent(s.id.as_str()).is_none()).cloned());
    addable.retain(|s| !design.scents.iter().any(|l| l.scent.id == s.id));
    let chosen = view.scent_picker.show(ui, picker_id(), "Add a scent…", &addable, |_| None);
    if let Some(scent) = chosen {
        changes.edit(Edit::AddScent(ScentLine::usual(scent)));
        ui.memory_mut(|m| m.request_focus(id_of(open, ("scent", design.scents.len()))));
    }
    if ui.button(RichText::new("Add a scent of your own…").color(Tokens::of(ui).accent)).clicked() {
        view.own_scent = Some(OwnScent::default());
    }
    if let Some((Edit::AddScent(_) | Edit::SetScent(..) | Edit::RemoveScent(_), error)) = &open.refused {
        complain(ui, &error.to_string());
    }
}

/// The substance that comes nearest to its limit; what exceeds one has a caution besides.
fn binding(ui: &mut Ui, check: &ScentCheck) {
    let Some(finding) = check.findings.first() else { return };
    let near = if finding.ratio() > 1.0 { "Over its limit" } else { "Nearest to its limit" };
    let text = format!("{near}: {}, {}", finding.substance, finding.words().replace(" %", "\u{a0}%"));
    let response = ui.add(egui::Label::new(RichText::new(text).small().color(Tokens::of(ui).quiet)).wrap());
    let all: Vec<String> = check.findings.iter().map(|f| format!("{}: {}", f.substance, f.words())).collect();
    response.on_hover_text(format!(
        "In percent of the bar dried as far as it goes, from the largest published figures.\n{}\n\n{}",
        finding.source,
        all.join("\n")
    ));
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
    let tokens = Tokens::of(ui);
    let id = id_of(open, ("scent", index));
    let set = |line: ScentLine| Edit::SetScent(index, line);
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        // The grams stand under "To weigh" too; a narrow column does without them here.
        let with_mass = ui.available_width() > 350.0;
        let width = (ui.available_width() - if with_mass { 264.0 } else { 198.0 }).max(90.0);
        let label = ui
            .allocate_ui_with_layout(vec2(width, 26.0), Layout::left_to_right(Align::Center), |ui| {
                ui.set_min_width(width);
                ui.add(egui::Label::new(&scent.name).truncate().show_tooltip_when_elided(false).sense(Sense::click()))
            })
            .inner
            .on_hover_ui(|ui| {
                ui.label(about(scent));
            });
        label.context_menu(|ui| menu(ui, index, scent, view, changes));
        amount(ui, changes, id, (&scent.name, line.amount), (fats, scene.unit), |amount| {
            set(ScentLine { amount, ..line.clone() })
        });
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let remove = ui.add(egui::Button::new(RichText::new("×").color(tokens.quiet)).frame(false));
            name(ui, &remove, &format!("Remove {}", scent.name));
            if remove.on_hover_text("Remove this scent").clicked() {
                changes.edit(Edit::RemoveScent(index));
            }
            more(ui, &scent.name, |ui| menu(ui, index, scent, view, changes));
            if with_mass {
                let mass = number::mass(line.amount.mass(fats), scene.unit);
                ui.add(egui::Label::new(RichText::new(mass).color(tokens.quiet)).truncate());
            }
        });
    });
    NumberField::complaint(ui, id);
    ui.horizontal(|ui| {
        stage(ui, changes, id, &scent.name, line.stage, |stage| set(ScentLine { stage, ..line.clone() }));
        if scent.constituents.is_empty() {
            small(ui, "what is in it is not tabled");
        }
    });
    ui.add_space(2.0);
}

/// What can be done with a scent besides its amount.
fn menu(ui: &mut Ui, index: usize, scent: &Arc<Scent>, view: &mut DesignView, changes: &mut Changes) {
    if ui.button("Change its figures…").clicked() {
        view.own_scent = Some(OwnScent::of(scent));
    }
    if ui.button("Remove").clicked() {
        changes.edit(Edit::RemoveScent(index));
    }
}
