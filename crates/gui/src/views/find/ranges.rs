//! The ranges that are asked for, each with its rule.

use super::FindView;
use super::ask::{Ask, RangeChoice};
use super::results::quantity_of;
use crate::open::OpenDesign;
use crate::theme::{self, Tokens};
use crate::views::design::Scene;
use crate::views::why::{self, Owner, Subject};
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::{heading, name, small};
use barwright_core::find::Rule;
use barwright_core::number::{fixed, parse};
use barwright_core::quantities::{OfSearch, Sought};
use barwright_core::units::Interval;
use eframe::egui::{ComboBox, Grid, Id, RichText, Ui};

/// Draws the list, and what each range that binds holds back.
pub fn show(ui: &mut Ui, view: &mut FindView, open: &OpenDesign, scene: &Scene<'_>) {
    let evaluation = open.evaluation(scene.library);
    let mut complaints = Vec::new();
    Grid::new("find ranges").num_columns(5).spacing([10.0, 6.0]).show(ui, |ui| {
        for title in ["", "rule", "from", "to", "now"] {
            ui.label(RichText::new(title).color(Tokens::of(ui).quiet));
        }
        ui.end_row();
        for choice in &mut view.ask.ranges {
            let Some(range) = Ask::range(*choice, &evaluation, scene.library) else { continue };
            let label = choice.measure.name();
            ui.label(label);
            rule(ui, choice);
            ui.add_enabled_ui(choice.rule != Rule::Ignore, |ui| end(ui, choice, range, true, &mut complaints));
            ui.add_enabled_ui(choice.rule != Rule::Ignore, |ui| end(ui, choice, range, false, &mut complaints));
            ui.horizontal(|ui| {
                let now = choice.measure.of(&evaluation, scene.library);
                let now = now.map_or_else(|| "–".into(), |v| fixed(v, choice.measure.decimals()));
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
            ui.end_row();
        }
    });
    for id in complaints {
        NumberField::complaint(ui, id);
    }
    small(
        ui,
        "The ranges of the scores are where the reference soaps of the style lie; the others begin a tenth to either side of this design. The titre is not linear in the shares: it is worked out for each blend that is found.",
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
            ui.horizontal(|ui| {
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
const WIDTH: f32 = 50.0;

fn end(ui: &mut Ui, choice: &mut RangeChoice, range: Interval, is_low: bool, complaints: &mut Vec<Id>) {
    let decimals = choice.measure.decimals();
    let (value, word) = if is_low { (range.min(), "from") } else { (range.max(), "to") };
    let id = Id::unique(("find range", choice.measure.key(), word));
    let called = format!("{} {word}", choice.measure.name());
    let field = NumberField { id, name: &called, shown: &fixed(value, decimals), width: WIDTH };
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
    // A grid would squeeze the field.
    ui.set_min_width(WIDTH + 12.0);
    match field.show(ui, read).1 {
        Entry::Typed(range) => choice.own = Some(range),
        Entry::Steps(steps) => choice.own = moved(value + choice.measure.step() * steps).or(choice.own),
        Entry::None => {}
    }
    complaints.push(id);
}
