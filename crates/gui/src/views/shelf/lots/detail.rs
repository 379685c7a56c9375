//! One lot, with what happened to it.

use super::super::scene::{Scene, soon_or_past};
use crate::theme::{self, Tokens};
use crate::views::design::bar::capital;
use crate::views::{Changes, Request};
use crate::widgets::number_field::complain;
use crate::widgets::{figure, heading, name, quiet, small};
use barwright_core::bench::colour;
use barwright_core::bench::day::shown;
use barwright_core::chemistry::colour::forecast::Seen;
use barwright_core::design::shelf::{CAKED, Lot, ShelfEdit, Stuff};
use barwright_core::number::{short, signed};
use barwright_core::render::plain_line;
use eframe::egui::{Label, RichText, Ui};

/// What the person wants to do with the lot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asked {
    Change,
    Correct,
    Another,
}

/// Draws what is known of `lot`.
pub(super) fn show(ui: &mut Ui, scene: Scene<'_>, lot: &Lot, changes: &mut Changes) -> Option<Asked> {
    let tokens = Tokens::of(ui);
    let mut asked = None;
    let title = format!("{} {}", lot.id, scene.name(&lot.stuff));
    ui.add(Label::new(RichText::new(title).font(theme::strong(16.0))).wrap());
    let left = scene.shelf().stock().left(lot.id);
    let used_by = scene.shelf().batches_of(lot.id);
    ui.horizontal_wrapped(|ui| {
        if scene.button(ui, "Change…").on_hover_text("What is known of it").clicked() {
            asked = Some(Asked::Change);
        }
        let correct = scene.button(ui, "Correct what is left…");
        if correct.on_hover_text("When a count differs: spilt, spoilt, given away").clicked() {
            asked = Some(Asked::Correct);
        }
        if scene.button(ui, "Another lot of it…").clicked() {
            asked = Some(Asked::Another);
        }
        let remove = ui.add_enabled_ui(used_by.is_empty(), |ui| scene.button(ui, "Remove")).inner;
        if remove
            .on_hover_text("Only a lot that was put here by mistake: no batch took from it")
            .on_disabled_hover_text("A lot that batches took from stays, so that they can be traced")
            .clicked()
        {
            changes.request(Request::OnShelf(vec![ShelfEdit::Remove(lot.id)]));
        }
    });
    let mut fact = |name: &str, value: String| {
        if !value.is_empty() {
            figure(ui, name, &value);
        }
    };
    fact("Supplier", plain_line(lot.supplier.as_str()));
    fact("Their number", plain_line(lot.number.as_str()));
    fact("Came", lot.bought.map_or_else(String::new, |d| shown(d.0)));
    fact("Opened", lot.opened.map_or_else(String::new, |d| shown(d.0)));
    fact("Best before", lot.best_before.map_or_else(String::new, |d| shown(d.0)));
    fact("Good once open", lot.days_once_open.map_or_else(String::new, |d| format!("{d} days")));
    if let Some(until) = lot.good_until() {
        let (word, colour) = match soon_or_past(until, Scene::today()) {
            Some("past") => (", past", tokens.stop),
            Some(_) => (", soon", tokens.care),
            None => ("", tokens.ink),
        };
        crate::widgets::line(
            ui,
            "Good until",
            |text| RichText::new(text).color(tokens.quiet),
            |ui| ui.label(RichText::new(format!("{}{word}", shown(until.0))).color(colour)),
        );
    }
    if let Some(price) = lot.price {
        figure(ui, "Price", &format!("{} for {}", scene.money(price.get()), scene.mass(lot.pack().get())));
    }
    heading(ui, "The account");
    figure(ui, "Came", &scene.mass(left.came));
    figure(ui, "Used by batches", &scene.mass(left.used));
    figure(ui, "Corrected", &scene.mass(left.corrected));
    figure(ui, "Left", &scene.mass(left.left));
    let set_aside = scene.shelf().stock().set_aside(&lot.stuff);
    if set_aside > 0.0 {
        figure(ui, "Set aside of all lots of it", &scene.mass(set_aside));
    }
    if left.over > 0.0 {
        let text = format!(
            "Batches used {} more than the books had: count what is there and correct it.",
            scene.mass(left.over)
        );
        ui.add(Label::new(RichText::new(text).color(tokens.care)).wrap());
    }
    for correction in &lot.corrections {
        let grams = signed(-correction.grams.get(), 1);
        let text = format!("{}: {grams} g, {}", shown(correction.on.0), plain_line(correction.reason.as_str()));
        ui.add(Label::new(RichText::new(text).small().color(tokens.quiet)).wrap());
    }
    papers(ui, scene, lot);
    produce(ui, scene, lot);
    colours(ui, scene, lot, changes);
    if lot.caked {
        heading(ui, "Seen to cake");
        complain(ui, CAKED);
    }
    if !lot.note.is_empty() {
        heading(ui, "Note");
        ui.add(Label::new(plain_line(lot.note.as_str())).wrap());
    }
    heading(ui, "Batches");
    if used_by.is_empty() {
        quiet(ui, "No batch took from it.");
    }
    for made in used_by {
        let grams: f64 = made.lots.iter().filter(|(id, _)| *id == lot.id).map(|(_, g)| g.get()).sum();
        let meant = if made.confirmed { "" } else { ", not made yet" };
        let text = format!("{} {}{meant}", made.code, plain_line(made.design.as_str()));
        figure(ui, &text, &scene.mass(grams));
    }
    asked
}

fn papers(ui: &mut Ui, scene: Scene<'_>, lot: &Lot) {
    let papers = &lot.papers;
    if *papers == barwright_core::design::shelf::Papers::default() {
        return;
    }
    heading(ui, "Its papers say");
    if let Some((sv, pm)) = papers.sv {
        figure(ui, "Saponification value", &format!("{} ± {} mg KOH/g", short(sv.get(), 2), short(pm.get(), 2)));
    }
    if let Some((purity, pm)) = papers.purity {
        figure(ui, "Purity", &format!("{} ± {} %", short(purity.get(), 2), short(pm.get(), 2)));
    }
    for (sign, share) in &papers.acids {
        let acids = &scene.library.acids;
        let known = acids.find(sign.as_str()).map(|id| acids.get(id).name.clone()).unwrap_or_default();
        figure(ui, &format!("{sign} {known}"), &format!("{} %", short(share.get(), 2)));
    }
    for (what, share) in &papers.allergens {
        figure(ui, &plain_line(what.as_str()), &format!("at most {} %", short(share.get(), 3)));
    }
    if let Some(most) = papers.most_in_soap {
        figure(ui, "Most in soap", &format!("{} %", short(most.get(), 2)));
    }
}

/// Bars that were coloured with it and looked at.
fn colours(ui: &mut Ui, scene: Scene<'_>, lot: &Lot, changes: &mut Changes) {
    if lot.own_bars.is_empty() {
        return;
    }
    heading(ui, "Bars coloured with it");
    for bar in &lot.own_bars {
        let words = Seen::of(bar).words();
        figure(ui, &capital(&words), colour::name(bar.colour.into()));
        let button = scene.button(ui, "Forget it");
        name(ui, &button, &format!("Forget {words}"));
        if button.on_hover_text("It is offered to no design any more; designs that took it keep it").clicked() {
            changes.request(Request::OnShelf(vec![ShelfEdit::Forget(lot.id, bar.day, bar.batch)]));
        }
    }
    small(ui, "Offered to each design of the same colourants, fats and warmth that uses it next.");
}

fn produce(ui: &mut Ui, scene: Scene<'_>, lot: &Lot) {
    let Some(produce) = &lot.produce else { return };
    heading(ui, "From the garden");
    let mut fact = |name: &str, value: String| {
        if !value.is_empty() {
            figure(ui, name, &value);
        }
    };
    fact("Variety", plain_line(produce.variety.as_str()));
    fact("Bed", plain_line(produce.bed.as_str()));
    fact("Picked", produce.harvested.map_or_else(String::new, |d| shown(d.0)));
    fact("Raw", produce.raw.map_or_else(String::new, |g| scene.mass(g.get())));
    fact("Cooked", produce.cooked.map_or_else(String::new, |g| scene.mass(g.get())));
    if produce.portions > 0 {
        fact("Frozen portions", produce.portions.to_string());
    }
    fact("Thaw by", produce.thaw_by.map_or_else(String::new, |d| shown(d.0)));
    if let Some(water) = produce.water() {
        fact("Water by the dried sample", format!("{} %", short(water.get(), 1)));
        if matches!(lot.stuff, Stuff::Addition(_)) {
            small(ui, "Offered to each design that uses it; the table’s water stays until it is taken.");
        }
    }
}
