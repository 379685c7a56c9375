//! The sentence that says what is looked for.

use super::FindView;
use super::ask::{AimChoice, Ask, From};
use crate::open::OpenDesign;
use crate::theme::{self, Tokens};
use crate::views::design::Scene;
use crate::views::design::controls::percent;
use crate::views::why::{self, Owner, Subject};
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::{name, small};
use barwright_core::find::{Rule, ShareStep};
use barwright_core::library::material::MaterialId;
use barwright_core::number::{parse, short};
use barwright_core::quantities::{OfSearch, Sought};
use barwright_core::units::Share;
use barwright_core::{Design, Library};
use eframe::egui::{Align, ComboBox, Id, Layout, RichText, Ui};
use std::time::Duration;

/// The most fats and results that can be asked for.
const MOST_FATS: usize = 20;
pub(super) const MOST_RESULTS: usize = 20;

/// Draws the sentence and, below it, how the search stands.
pub fn show(ui: &mut Ui, view: &mut FindView, open: &OpenDesign, scene: &Scene<'_>) {
    let design = open.design();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = eframe::egui::vec2(6.0, 8.0);
        words(ui, "Find the");
        aim(ui, &mut view.ask, design, scene);
        words(ui, &format!("where the {} ranges", design.style));
        ranges(ui, &mut view.ask);
        words(ui, "hold, from");
        from(ui, &mut view.ask);
        without(ui, &mut view.ask, design, scene);
        words(ui, "with at most");
        count(ui, "fats", "Most fats in the blend", &mut view.ask.at_most, MOST_FATS);
        words(ui, "fats, none below");
        least(ui, &mut view.ask);
        words(ui, "and in");
        steps(ui, &mut view.ask);
        words(ui, "– show");
        count(ui, "results", "How many blends", &mut view.ask.results, MOST_RESULTS);
    });
    NumberField::complaint(ui, Id::unique("find least"));
    NumberField::complaint(ui, Id::unique(("find", "fats")));
    NumberField::complaint(ui, Id::unique(("find", "results")));
    state(ui, view, design, scene.library);
}

fn words(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).size(15.0));
}

fn aim(ui: &mut Ui, ask: &mut Ask, design: &Design, scene: &Scene<'_>) {
    let mut choices = vec![AimChoice::ThisDesign, AimChoice::Cheapest, AimChoice::SmallestChange];
    let soaps = scene.library.style(&design.style).map(|s| s.references.as_slice()).unwrap_or_default();
    choices.extend(soaps.iter().map(|r| AimChoice::Soap(r.name.clone())));
    let shown = ComboBox::from_id_salt("find aim").selected_text(ask.aim.words()).width(250.0).show_ui(ui, |ui| {
        for choice in choices {
            let text = choice.words();
            ui.selectable_value(&mut ask.aim, choice, text);
        }
    });
    name(ui, &shown.response, "What makes a blend the best");
    shown.response.on_hover_text(
        "Nearest by acids: the least sum of squared differences of the fatty acids in percent. Smallest change: the same of the shares. Cheapest: the price of a kilogram of fats, by the prices under Fats",
    );
}

fn ranges(ui: &mut Ui, ask: &mut Ask) {
    let now = ask.rule_of_scores();
    let text = now.map_or("as listed", Rule::word);
    let shown = ComboBox::from_id_salt("find rule").selected_text(text).width(76.0).show_ui(ui, |ui| {
        for rule in Rule::ALL {
            if ui.selectable_label(now == Some(rule), rule.word()).clicked() {
                ask.set_scores(rule);
            }
        }
    });
    name(ui, &shown.response, "Whether the ranges must hold");
    shown.response.on_hover_text(
        "Must: every score lies inside. May: a range may be left where that brings more than it costs, the farther the dearer. Each range has its own rule at the right",
    );
}

fn from(ui: &mut Ui, ask: &mut Ask) {
    let shown = ComboBox::from_id_salt("find from").selected_text(ask.from.words()).width(130.0).show_ui(ui, |ui| {
        for choice in From::ALL {
            ui.selectable_value(&mut ask.from, choice, choice.words());
        }
    });
    name(ui, &shown.response, "Which fats may be used");
    shown.response.on_hover_text("Single fats are chosen under Fats, at the right. Locked fats keep their share");
}

/// The fats that are left out, each with a cross.
fn without(ui: &mut Ui, ask: &mut Ask, design: &Design, scene: &Scene<'_>) {
    let named = |id: &MaterialId| {
        let of_design = design.blend.line(id).map(|l| l.fat.name.clone());
        of_design.or_else(|| scene.library.fat(id.as_str()).map(|f| f.name.clone())).unwrap_or_else(|| id.to_string())
    };
    let mut back = None;
    for (i, id) in ask.without.iter().take(SHOWN).enumerate() {
        words(ui, if i == 0 { "without" } else { "or" });
        let fat = named(id);
        let button = ui.button(format!("{fat}  ×"));
        name(ui, &button, &format!("Allow {fat} again"));
        if button.on_hover_text("Allow it again").clicked() {
            back = Some(id.clone());
        }
    }
    let more = ask.without.len().saturating_sub(SHOWN);
    if more > 0 {
        words(ui, &format!("or {more} more"));
    }
    if let Some(id) = back {
        ask.without.remove(&id);
    }
}

/// So many fats left out stand in the sentence.
const SHOWN: usize = 3;

fn count(ui: &mut Ui, id: &str, called: &str, value: &mut usize, most: usize) {
    let id = Id::unique(("find", id));
    let shown = value.to_string();
    let field = NumberField { id, name: called, shown: &shown, width: 30.0, hint: "" };
    let read = |text: &str| {
        let typed = parse(text, &[]).map_err(|e| e.to_string())?;
        let whole = (1..=most).find(|k| (typed - *k as f64).abs() < 1e-9);
        whole.ok_or_else(|| format!("{called}: a whole number from 1 to {most}"))
    };
    match field.show(ui, read).1 {
        Entry::Typed(typed) => *value = typed,
        Entry::Steps(steps) if steps > 0.0 => *value = (*value + 1).min(most),
        Entry::Steps(_) => *value = value.saturating_sub(1).max(1),
        Entry::None => {}
    }
}

fn least(ui: &mut Ui, ask: &mut Ask) {
    let shown = format!("{} %", short(ask.least.get(), 1));
    let id = Id::unique("find least");
    let field = NumberField { id, name: "Least share of a fat, percent", shown: &shown, width: 44.0, hint: "" };
    match field.show(ui, percent::<Share>).1 {
        Entry::Typed(least) => ask.least = least,
        Entry::Steps(steps) => ask.least = Share::nearest(ask.least.get() + steps),
        Entry::None => {}
    }
}

fn steps(ui: &mut Ui, ask: &mut Ask) {
    let text = |step: ShareStep| step.percent().map_or("any shares".into(), |p| format!("steps of {} %", short(p, 0)));
    let shown = ComboBox::from_id_salt("find step").selected_text(text(ask.step)).width(110.0).show_ui(ui, |ui| {
        for step in [ShareStep::One, ShareStep::Five, ShareStep::Any] {
            ui.selectable_value(&mut ask.step, step, text(step));
        }
    });
    name(ui, &shown.response, "Steps of the shares");
}

/// How the search stands.
fn state(ui: &mut Ui, view: &FindView, design: &Design, library: &Library) {
    let Some((wanted, job)) = &view.job else { return };
    ui.horizontal(|ui| {
        ui.set_min_height(24.0);
        if !job.ended {
            ui.spinner();
            let found = job.outcome().map_or(0, |o| o.results.len());
            small(ui, format!("Looking: {found} of {} found", wanted.results));
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                if ui.button("Stop").on_hover_text("Keep what was found so far").clicked() {
                    job.stop();
                }
            });
            return;
        }
        match &job.latest {
            Some(Err(error)) => {
                ui.label(RichText::new(capital(&error.to_string())).color(Tokens::of(ui).stop));
            }
            Some(Ok(outcome)) if outcome.results.is_empty() && outcome.collision.is_none() => {
                small(ui, "Stopped: nothing was found so far, which proves nothing");
            }
            Some(Ok(outcome)) if outcome.results.is_empty() => {
                ui.label(RichText::new("Nothing fits").font(theme::strong(13.0)).color(Tokens::of(ui).care));
            }
            Some(Ok(outcome)) => {
                let took = words_of(job.took.unwrap_or_default());
                let proof = if outcome.proven {
                    "Proven: under these demands there is no better blend, nor a better one of other fats after each"
                        .into()
                } else {
                    let sought = Sought { wanted, design, library };
                    let gap = OfSearch::Gap.text(outcome, sought).unwrap_or_else(|_| "anything".into());
                    format!("Stopped: the last could be at most {gap} better")
                };
                let shown = small(ui, format!("{proof}; {took}"));
                why::explained(ui, &shown, Owner::Search, Subject::Search(OfSearch::Gap));
            }
            None => {}
        }
    });
}

fn capital(text: &str) -> String {
    crate::views::design::bar::capital(text)
}

fn words_of(took: Duration) -> String {
    if took < Duration::from_secs(1) {
        format!("{} ms", took.as_millis())
    } else {
        format!("{} s", short(took.as_secs_f64(), 1))
    }
}
