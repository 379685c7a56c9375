//! Left column: the additions, by the stage at which they go in.

use super::blend::keep;
use super::controls::{Material, ReadMore, add_row, id_of, material, percent, stage, takes_one_line};
use super::form::{AdditionForm, ColourantForm};
use super::{DesignView, Own, Scene};
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::views::figures::Figures;
use crate::widgets::number_field::complain;
use crate::widgets::picker::Picked;
use crate::widgets::{heading, name, section, small};
use barwright_core::bench::colour::strength_words;
use barwright_core::chemistry::in_water::{as_part_of_water, in_place_of_water, percent_of_water};
use barwright_core::chemistry::masses::water_of;
use barwright_core::design::edit::Edit;
use barwright_core::design::shelf::ShelfEdit;
use barwright_core::formula::Plain;
use barwright_core::library::additions::{Addition, AdditionLine, Amount, Stage};
use barwright_core::library::measures::Portion;
use barwright_core::number::{self, short};
use barwright_core::quantities::{About, AdditionMass, LineId};
use barwright_core::units::{AmountMass, Grams, Share};
use eframe::egui::{Id, RichText, Ui};
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
    let handling = addition.handling();
    lines.push(format!("{}; {}", handling.words(), handling.trust.words()));
    if !addition.advice.is_empty() {
        lines.push(addition.advice.clone());
    }
    lines.join("\n")
}

/// Draws the rows and the field that adds one.
pub fn show(ui: &mut Ui, open: &OpenDesign, view: &mut DesignView, scene: &Scene<'_>, changes: &mut Changes) {
    let design = Arc::clone(open.design());
    let fats = open.evaluation(scene.library).masses.fats;
    ui.add_space(8.0);
    ui.separator();
    heading(ui, "Additions");
    for at in Stage::ALL {
        let lines = design.additions.iter().enumerate().filter(|(_, l)| l.stage == at);
        for (i, (index, line)) in lines.enumerate() {
            // Where it takes one line, a material says its stage itself.
            if i == 0 && !takes_one_line(ui) {
                section(ui, at.words());
            }
            row(ui, open, (index, line, fats), view, scene, changes);
        }
    }
    let mut addable: Vec<Arc<Addition>> = scene.library.additions().to_vec();
    addable.extend(design.spare.additions.iter().filter(|a| scene.library.addition(a.id.as_str()).is_none()).cloned());
    let of_shelf: Vec<_> =
        scene.own().additions.iter().filter(|a| !addable.iter().any(|known| known.id == a.id)).cloned().collect();
    addable.extend(of_shelf);
    let hint = "Add a puree, milk, acid, clay…";
    let (chosen, own) = add_row(ui, "Add one of your own…", |ui| {
        let own = ["an addition of your own", "a colourant of your own"];
        let holds = |a: &Arc<Addition>| {
            let colours = strength_words(a, scene.library).map_or_else(String::new, |words| format!(" · {words}"));
            Some(format!("{}{colours}", holds(a)))
        };
        view.addition_picker.show_with_own(ui, picker_id(), hint, &scene.library.names, (&addable, &own), holds)
    });
    if let Some(Picked::Own(kind, name)) = &chosen {
        view.open_own(if *kind == 0 { Own::Addition } else { Own::Colourant }, name.clone());
    }
    if let Some(Picked::Known(addition)) = chosen {
        changes.edit(Edit::AddAddition(AdditionLine::usual(addition)));
        // The hand goes on at its amount.
        ui.memory_mut(|m| m.request_focus(id_of(open, ("addition", design.additions.len()))));
    }
    if own {
        view.open_own(Own::Addition, String::new());
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
    let (design, evaluation) = (open.design(), open.evaluation(scene.library));
    let of = Figures::shown(About::new(design, &evaluation, scene.library), scene.measures);
    let Some(mass) = LineId::of_addition(design, index).map(AdditionMass) else { return };
    let (mass, read) = (Arc::new(mass), |text: &str| typed(text, open, (index, line), scene));
    let more: Option<ReadMore<'_>> = Some(&read);
    let row =
        Material { id, name: &addition.name, amount: line.amount, fats, measures: scene.measures, more, mass, of };
    let edits = (|amount| set(AdditionLine { amount, ..line.clone() }), Edit::RemoveAddition(index));
    let more = |ui: &mut Ui, changes: &mut Changes| menu(ui, open, (index, line, fats), view, changes);
    let below = |ui: &mut Ui, changes: &mut Changes| {
        stage(ui, changes, id, &addition.name, line.stage, |stage| set(AdditionLine { stage, ..line.clone() }));
        let water = water_of(Plain, line, fats);
        if addition.contents.value.water.get() > 0.0 {
            let mut counts = line.counts_as_water;
            let label = format!("{} as water", number::mass(water, scene.measures.mass));
            let check = ui.checkbox(&mut counts, RichText::new(label).color(tokens.quiet));
            name(ui, &check, &format!("The water of {} counts", addition.name));
            let part = percent_of_water(design, index, &evaluation.masses);
            let part = part.map_or_else(String::new, |p| format!(". It is {} % of the water", short(p, 1)));
            let tip = format!("Count it: then it is taken off the water to weigh{part}");
            if check.on_hover_text(tip).changed() {
                changes.edit(set(AdditionLine { counts_as_water: counts, ..line.clone() }));
            }
        } else {
            small(ui, "no water");
        }
    };
    material(ui, changes, row, || about(addition), more, edits, (below, 246.0));
}

/// Reads spoons, cups, a raw weight, or a part of the water, as an amount that can be weighed.
fn typed(
    text: &str,
    open: &OpenDesign,
    (index, line): (usize, &AdditionLine),
    scene: &Scene<'_>,
) -> Option<Result<Amount, String>> {
    let addition = &line.addition;
    let of_water = ["of the water", "of water"].into_iter().find_map(|words| text.trim().strip_suffix(words));
    if let Some(part) = of_water {
        let part = percent::<Share>(part).map(Share::fraction);
        return Some(part.and_then(|part| {
            let line = as_part_of_water(open.design(), index, part);
            line.map(|l| l.amount).ok_or_else(|| format!("{} cannot bring so much of the water", addition.name))
        }));
    }
    let portion = Portion::read(text, scene.measures.mass)?;
    let grams = |portion: Portion| {
        let measure = scene.library.measure(addition.id.as_str());
        let mass = portion.mass(addition, measure).map_err(|e| e.to_string())?;
        AmountMass::new(mass.0).map(Amount::Grams).map_err(|e| e.to_string())
    };
    Some(portion.map_err(|e| e.to_string()).and_then(grams))
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
        match line.addition.colourant {
            Some(colourant) => view.open(ColourantForm::of(&line.addition, colourant.class)),
            None => view.open(AdditionForm::of(&line.addition)),
        }
    }
    if line.addition.is_makers() {
        keep(ui, ShelfEdit::OwnAddition(Arc::clone(&line.addition)), changes);
    }
    let mass = line.amount.mass(fats);
    for (part, of) in [("All of it", 1.0), ("Half of it", 0.5)] {
        for to in Stage::ALL.into_iter().filter(|s| *s != line.stage && (of >= 1.0 || s.fills_mould())) {
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
