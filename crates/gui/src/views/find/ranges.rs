//! The ranges that are asked for, each with its rule.

use super::FindView;
use super::ask::{Ask, RangeChoice};
use super::results::quantity_of;
use crate::open::OpenDesign;
use crate::theme::{self, Tokens};
use crate::views::design::Scene;
use crate::views::why::{self, Owner, Subject};
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::{cut, heading, name, small};
use barwright_core::find::Rule;
use barwright_core::number::{fixed, parse};
use barwright_core::quantities::{OfSearch, Sought};
use barwright_core::units::Interval;
use eframe::egui::{Align, ComboBox, Id, Layout, RichText, Ui, vec2};

/// Widths of the columns, points, and what lies between them; the last has room for a number and a button.
const NAMES: f32 = 190.0;
const RULE: f32 = 76.0;
const END: f32 = 58.0;
const NOW: f32 = 62.0;
const BETWEEN: f32 = 6.0;

/// Draws `content` in a cell `width` points wide.
fn cell(ui: &mut Ui, width: f32, content: impl FnOnce(&mut Ui)) {
    let height = ui.spacing().interact_size.y;
    ui.allocate_ui_with_layout(vec2(width, height), Layout::left_to_right(Align::Center), |ui| {
        ui.set_width(width);
        content(ui);
    });
}

/// Draws the list, and what each range that binds holds back.
pub fn show(ui: &mut Ui, view: &mut FindView, open: &OpenDesign, scene: &Scene<'_>) {
    let evaluation = open.evaluation(scene.library);
    let mut complaints = Vec::new();
    // The names take what the rest leaves, on two lines where that is little.
    let names = (ui.available_width() - RULE - 2.0 * END - NOW - 4.0 * BETWEEN).clamp(72.0, NAMES);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = BETWEEN;
        for (title, width) in [("", names), ("rule", RULE), ("from", END), ("to", END), ("now", NOW)] {
            cell(ui, width, |ui| {
                ui.label(RichText::new(title).color(Tokens::of(ui).quiet));
            });
        }
    });
    for choice in &mut view.ask.ranges {
        let Some(range) = Ask::range(*choice, &evaluation, scene.library) else { continue };
        let label = choice.measure.name();
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = BETWEEN;
            cell(ui, names, |ui| {
                cut::two_lines(ui, label, names);
            });
            cell(ui, RULE, |ui| rule(ui, choice));
            for is_low in [true, false] {
                let is_set = choice.rule != Rule::Ignore;
                cell(ui, END, |ui| {
                    ui.add_enabled_ui(is_set, |ui| end(ui, choice, range, is_low, &mut complaints));
                });
            }
            let now = choice.measure.of(&evaluation, scene.library);
            let now = now.map_or_else(|| "–".into(), |v| choice.measure.shown(v));
            ui.spacing_mut().item_spacing.x = 4.0;
            let shown = ui.label(RichText::new(now).color(Tokens::of(ui).quiet));
            why::explained(ui, &shown, Owner::Shown, Subject::Quantity(quantity_of(choice.measure)));
            if choice.own.is_some() {
                let back = ui.small_button("↺");
                name(ui, &back, &format!("{label}: the range it had at first"));
                if back.on_hover_text("The range it had at first").clicked() {
                    choice.own = None;
                }
            }
        });
    }
    for id in complaints {
        NumberField::complaint(ui, id);
    }
    small(
        ui,
        "The ranges of the scores are where the reference soaps of the style lie; the others begin a tenth to either side of this design. The titre is only worked out for each blend that is found: no search goes by it.",
    );
    let found = view.job.as_ref().and_then(|(wanted, job)| Some((wanted, job.outcome()?)));
    if let Some((_, outcome)) = found.filter(|(_, outcome)| !outcome.binding.is_empty()) {
        heading(ui, "What the ranges hold back").on_hover_text(
            "How fast the objective falls when a range is loosened, with shares of any size: its multiplier",
        );
        let wanted = view.job.as_ref().map(|(wanted, _)| wanted);
        let design = open.design();
        let sought = wanted.map(|wanted| Sought { wanted, design, library: scene.library });
        for (i, binding) in outcome.binding.iter().enumerate() {
            ui.horizontal_wrapped(|ui| {
                ui.label(crate::views::design::bar::capital(&binding.demand));
                let number = OfSearch::Saves(i);
                let Some(saves) = sought.and_then(|of| number.text(outcome, of).ok()) else { return };
                let saves = RichText::new(format!("{saves}, at first"));
                let shown = ui.label(saves.font(theme::strong(12.5)).color(Tokens::of(ui).accent));
                why::explained(ui, &shown, Owner::Search, Subject::Search(number));
            });
        }
    }
}

fn rule(ui: &mut Ui, choice: &mut RangeChoice) {
    let id = format!("rule of {}", choice.measure.key());
    let shown = ComboBox::from_id_salt(id).selected_text(choice.rule.word()).width(70.0).show_ui(ui, |ui| {
        for rule in Rule::ALL {
            ui.selectable_value(&mut choice.rule, rule, rule.word());
        }
    });
    name(ui, &shown.response, &format!("Rule of {}", choice.measure.name()));
}

/// Width of a field, points.
const WIDTH: f32 = 46.0;

fn end(ui: &mut Ui, choice: &mut RangeChoice, range: Interval, is_low: bool, complaints: &mut Vec<Id>) {
    let decimals = choice.measure.decimals();
    let (value, word) = if is_low { (range.min(), "from") } else { (range.max(), "to") };
    let id = Id::unique(("find range", choice.measure.key(), word));
    let called = format!("{} {word}", choice.measure.name());
    let field = NumberField { id, name: &called, shown: &fixed(value, decimals), width: WIDTH, hint: "" };
    // The other end moves along where it must, so that both can be typed in any order.
    let moved = |to: f64| {
        let (low, high) = if is_low { (to, range.max().max(to)) } else { (range.min().min(to), to) };
        Interval::new(low, high).ok().filter(|_| (0.0..=choice.measure.most()).contains(&to))
    };
    let most = fixed(choice.measure.most(), 0);
    let read = |text: &str| {
        let typed = parse(text, &[]).map_err(|e| e.to_string())?;
        moved(typed).ok_or_else(|| format!("{called}: a number from 0 to {most}"))
    };
    match field.show(ui, read).1 {
        Entry::Typed(range) => choice.own = Some(range),
        Entry::Steps(steps) => choice.own = moved(value + choice.measure.step() * steps).or(choice.own),
        Entry::None => {}
    }
    complaints.push(id);
}
