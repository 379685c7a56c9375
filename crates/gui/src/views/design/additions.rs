//! Left column: the additions, by the stage at which they go in.

use super::controls::{amount, id_of, more, stage};
use super::own::OwnAddition;
use super::{DesignView, Scene};
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::widgets::number_field::{NumberField, complain};
use crate::widgets::{heading, name, section, small};
use barwright_core::additions::{Addition, AdditionLine, Stage};
use barwright_core::batch::{in_place_of_water, water_of};
use barwright_core::edit::Edit;
use barwright_core::number::{self, short};
use barwright_core::units::{Grams, Share};
use eframe::egui::{self, Align, Id, Layout, RichText, Sense, Ui, vec2};
use std::sync::Arc;

/// Id of the field that adds an addition.
pub fn picker_id() -> Id {
    Id::unique("add an addition")
}

/// What an addition holds, in a few words.
fn holds(addition: &Addition) -> String {
    let c = &addition.contents.value;
    let mut parts = vec![format!("{} % water", short(c.water.get(), 1))];
    let mut add = |share: f64, what: &str| {
        if share > 0.0 {
            parts.push(format!("{} % {what}", short(share, 1)));
        }
    };
    add(c.fat.get(), "fat");
    add(c.sugars.map_or(0.0, Share::get), "sugars");
    if let Some(acid) = &addition.acid {
        add(acid.value.content.get(), &acid.value.name);
    }
    parts.join(", ")
}

/// Everything known of an addition, for the tooltip of its name.
fn about(addition: &Addition) -> String {
    let mut lines = vec![
        format!("{} ({})", addition.name, addition.kind.words()),
        holds(addition),
        format!("{}: {}", addition.contents.trust.words(), addition.contents.source),
    ];
    if let Some(acid) = &addition.acid {
        lines.push(format!(
            "A gram takes {} g of sodium hydroxide; {}: {}",
            number::fixed(addition.naoh_per_gram(), 4),
            acid.trust.words(),
            acid.source
        ));
    }
    if !addition.advice.is_empty() {
        lines.push(addition.advice.clone());
    }
    lines.join("\n")
}

/// Draws the rows and the field that adds one.
pub fn show(ui: &mut Ui, open: &mut OpenDesign, view: &mut DesignView, scene: &Scene<'_>, changes: &mut Changes) {
    let design = Arc::clone(open.design());
    let fats = open.evaluation(scene.library).batch.fats;
    ui.add_space(8.0);
    ui.separator();
    heading(ui, "Additions");
    for at in Stage::ALL {
        let lines = design.additions.iter().enumerate().filter(|(_, l)| l.stage == at);
        for (i, (index, line)) in lines.enumerate() {
            if i == 0 {
                section(ui, at.words());
            }
            row(ui, open, (index, line, fats), view, scene, changes);
        }
    }
    let mut addable: Vec<Arc<Addition>> = scene.library.additions().to_vec();
    addable.extend(design.spare.additions.iter().filter(|a| scene.library.addition(a.id.as_str()).is_none()).cloned());
    let chosen =
        view.addition_picker.show(ui, picker_id(), "Add a puree, milk, acid, clay…", &addable, |a| Some(holds(a)));
    if let Some(addition) = chosen {
        changes.edit(Edit::AddAddition(AdditionLine::usual(addition)));
        // The hand goes on at its amount.
        ui.memory_mut(|m| m.request_focus(id_of(open, ("addition", design.additions.len()))));
    }
    if ui.button(RichText::new("Add one of your own…").color(Tokens::of(ui).accent)).clicked() {
        view.own_addition = Some(OwnAddition::default());
    }
    if let Some((
        Edit::AddAddition(_) | Edit::SetAddition(..) | Edit::RemoveAddition(_) | Edit::MoveAddition { .. },
        error,
    )) = &open.refused
    {
        complain(ui, &error.to_string());
    }
}

fn row(
    ui: &mut Ui,
    open: &OpenDesign,
    (index, line, fats): (usize, &AdditionLine, Grams),
    view: &mut DesignView,
    scene: &Scene<'_>,
    changes: &mut Changes,
) {
    let addition = &line.addition;
    let tokens = Tokens::of(ui);
    let id = id_of(open, ("addition", index));
    let set = |line: AdditionLine| Edit::SetAddition(index, line);
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        // The grams stand under "To weigh" too; a narrow column does without them here.
        let with_mass = ui.available_width() > 350.0;
        let width = (ui.available_width() - if with_mass { 264.0 } else { 198.0 }).max(90.0);
        let label = ui
            .allocate_ui_with_layout(vec2(width, 26.0), Layout::left_to_right(Align::Center), |ui| {
                ui.set_min_width(width);
                ui.add(
                    egui::Label::new(&addition.name).truncate().show_tooltip_when_elided(false).sense(Sense::click()),
                )
            })
            .inner
            .on_hover_ui(|ui| {
                ui.label(about(addition));
            });
        label.context_menu(|ui| menu(ui, open, (index, line, fats), view, changes));
        amount(ui, changes, id, (&addition.name, line.amount), (fats, scene.unit), |amount| {
            set(AdditionLine { amount, ..line.clone() })
        });
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let remove = ui.add(egui::Button::new(RichText::new("×").color(tokens.quiet)).frame(false));
            name(ui, &remove, &format!("Remove {}", addition.name));
            if remove.on_hover_text("Remove this addition").clicked() {
                changes.edit(Edit::RemoveAddition(index));
            }
            more(ui, &addition.name, |ui| menu(ui, open, (index, line, fats), view, changes));
            if with_mass {
                let mass = number::mass(line.amount.mass(fats), scene.unit);
                ui.add(egui::Label::new(RichText::new(mass).color(tokens.quiet)).truncate());
            }
        });
    });
    NumberField::complaint(ui, id);
    ui.horizontal(|ui| {
        stage(ui, changes, id, &addition.name, line.stage, |stage| set(AdditionLine { stage, ..line.clone() }));
        let water = water_of(line, fats);
        if addition.contents.value.water.get() > 0.0 {
            let mut counts = line.counts_as_water;
            let label = format!("count its {} of water", number::mass(water, scene.unit));
            let check = ui.checkbox(&mut counts, RichText::new(label).color(tokens.quiet));
            name(ui, &check, &format!("The water of {} counts", addition.name));
            if check.on_hover_text("Then it is taken off the water to weigh").changed() {
                changes.edit(set(AdditionLine { counts_as_water: counts, ..line.clone() }));
            }
        } else {
            small(ui, "no water");
        }
    });
    ui.add_space(2.0);
}

/// What can be done with an addition besides its amount.
fn menu(
    ui: &mut Ui,
    open: &OpenDesign,
    (index, line, fats): (usize, &AdditionLine, Grams),
    view: &mut DesignView,
    changes: &mut Changes,
) {
    if ui.button("Change its figures…").clicked() {
        view.own_addition = Some(OwnAddition::of(&line.addition));
    }
    let mass = line.amount.mass(fats);
    for (part, of) in [("All of it", 1.0), ("Half of it", 0.5)] {
        for to in Stage::ALL.into_iter().filter(|s| *s != line.stage && (of >= 1.0 || *s != Stage::OnTop)) {
            if ui.button(format!("{part} {}", to.words().to_lowercase())).clicked() {
                changes.edit(Edit::MoveAddition { index, mass: mass * of, fats, to });
            }
        }
    }
    if let Some(all) = in_place_of_water(open.design(), index)
        && ui.button("In place of all the water").clicked()
    {
        changes.edit(Edit::SetAddition(index, all));
    }
    if ui.button("Remove").clicked() {
        changes.edit(Edit::RemoveAddition(index));
    }
}
