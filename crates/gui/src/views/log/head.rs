//! The head of a record, always in sight: the superfat that really results, what stands against the lye, the day.

use super::{Changes, Page, state, weights};
use crate::clock;
use crate::theme::{self, Tokens};
use crate::views::figures::Figures;
use crate::widgets::day_field::day_field;
use crate::widgets::number_field::NumberField;
use crate::widgets::number_field::before_change;
use crate::widgets::{says, small};
use barwright_core::bench::day;
use barwright_core::bench::record::BackToPlan;
use barwright_core::design::log::Happened;
use barwright_core::design::words::Day;
use barwright_core::explain::About;
use barwright_core::number;
use barwright_core::quantities::{ChanceLyeHeavy, PlannedSuperfat, SuperfatHigh, SuperfatLow};
use barwright_core::units::MassUnit;
use eframe::egui::{Align, Button, Label, Layout, Response, RichText, ScrollArea, Ui};

/// A button that stands out, as long as it can be pressed.
pub(super) fn accent(ui: &mut Ui, enabled: bool, text: &str) -> Response {
    let tokens = Tokens::of(ui);
    let words = RichText::new(text).font(theme::strong(13.0));
    let button = if enabled { Button::new(words.color(tokens.panel)).fill(tokens.accent) } else { Button::new(words) };
    ui.add_enabled(enabled, button)
}

/// Height of the words under the superfat, points: they come and go, and nothing moves.
const WORDS: f32 = 48.0;

/// Draws the head.
pub(super) fn show(
    ui: &mut Ui,
    page: &Page<'_>,
    (on, with_corrected): (&mut Option<Day>, &mut bool),
    changes: &mut Changes,
) {
    ui.horizontal(|ui| {
        ui.set_min_height(26.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.checkbox(with_corrected, "Corrected lines too")
                .on_hover_text("Shows what was corrected or struck, crossed out, beside what stands");
            ui.add_space(6.0);
            day_of_entries(ui, page, on);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let code = format!("Batch {}", page.batch.code);
                ui.label(RichText::new(code).font(theme::strong(16.0)));
                state::word(ui, page.seen.record.state);
                if !page.batch.maker.is_empty() {
                    let by = RichText::new(format!("by {}", page.batch.maker)).small().color(Tokens::of(ui).quiet);
                    ui.add(Label::new(by).truncate());
                }
            });
        });
    });
    ui.horizontal(|ui| {
        ui.set_min_height(40.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            lye_goes_in(ui, page, changes);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| superfat(ui, page));
        });
    });
    ui.allocate_ui(eframe::egui::vec2(ui.available_width(), WORDS), |ui| {
        ui.set_min_height(WORDS);
        ui.spacing_mut().item_spacing.y = 1.0;
        ScrollArea::vertical()
            .id_salt("log words")
            .max_height(WORDS)
            .min_scrolled_height(WORDS)
            .auto_shrink([false, false])
            .show(ui, |ui| {
                against(ui, page);
            });
    });
}

/// The day that entries get.
fn day_of_entries(ui: &mut Ui, page: &Page<'_>, on: &mut Option<Day>) {
    let (region, id) = (page.given.region, page.id("day"));
    let called = ("Day of what is entered", "Choose the day of entries");
    if let Some(day) = day_field(ui, id, called, page.on.0, region) {
        *on = Some(Day(day)).filter(|day| day.0 != clock::today());
    }
    NumberField::complaint(ui, id);
    small(ui, "Day of entries");
}

/// The superfat of the weights, large, with its margin; never as if all were well before all is weighed.
fn superfat(ui: &mut Ui, page: &Page<'_>) {
    let (record, tokens) = (&page.seen.record, Tokens::of(ui));
    let begun = record.is_begun();
    let words = match (begun, record.missing()) {
        (false, _) => as_planned(page),
        (true, Some(_)) => "so far".to_owned(),
        (true, None) => "as weighed".to_owned(),
    };
    let colour = if record.is_stopped() {
        tokens.stop
    } else if begun && record.missing().is_none() && page.unread.is_none() {
        tokens.fine
    } else {
        tokens.ink
    };
    let Ok(made) = &record.result else {
        let text = RichText::new("no superfat").font(theme::strong(26.0)).color(tokens.stop);
        let shown = ui.label(text);
        says(ui, &shown, "Superfat: the weights make no batch");
        return;
    };
    let of = Figures::shown(About::new(&made.design, &made.evaluation, page.given.library), page.given.measures);
    let figure = of.text(&PlannedSuperfat);
    let shown =
        of.drawn(ui, PlannedSuperfat, |ui, text| ui.label(RichText::new(text).font(theme::strong(26.0)).color(colour)));
    says(ui, &shown, &format!("Superfat {words}: {figure}"));
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        ui.horizontal(|ui| {
            ui.label(RichText::new(format!("superfat {words}")).font(theme::strong(13.0)).color(colour));
            // A weight that is being typed is in it already; one that is none is not.
            if weights::unread(ui, page.given, page.batch, &record.rows).is_some() {
                before_change(ui);
            }
        });
        let chance =
            if of.is_some(&ChanceLyeHeavy) { of.text(&ChanceLyeHeavy) } else { "none in this model".to_owned() };
        let margin = format!(
            "{} to {} at the extremes; chance of a lye-heavy bar: {chance}",
            of.number(&SuperfatLow),
            of.text(&SuperfatHigh)
        );
        ui.add(Label::new(RichText::new(margin).small().color(tokens.quiet)).truncate());
    });
}

/// How the superfat is meant while nothing is weighed, with what a coarse scale makes of it.
fn as_planned(page: &Page<'_>) -> String {
    let record = &page.seen.record;
    let told = record.superfat_as_told(&page.batch.made).map(|told| number::fixed(told, 1));
    match told.filter(|told| *told != number::fixed(record.plan.masses.superfat, 1)) {
        Some(told) => format!("as planned; {told} % with the weights as your scale shows them"),
        None => "as planned".into(),
    }
}

/// The button for the lye, off while anything stands against it.
fn lye_goes_in(ui: &mut Ui, page: &Page<'_>, changes: &mut Changes) {
    let went = page.batch.last(|what| (*what == Happened::LyeIn).then_some(()));
    if let Some((n, ())) = went {
        let day = page.batch.entries().get(n).map_or_else(String::new, |e| day::shown(e.on.0));
        ui.label(RichText::new(format!("The lye went in on {day}")).color(Tokens::of(ui).quiet));
        return;
    }
    let allowed = page.lye_may_go_in();
    let button = accent(ui, allowed.is_ok(), "Lye goes in");
    let pressed = button.clicked();
    match &allowed {
        Ok(()) => drop(button.on_hover_text("Enters the weights that are typed, and that the lye went into the fats")),
        Err(why) => drop(button.on_disabled_hover_text(why)),
    }
    if pressed {
        weights::enter(page, changes);
        changes.request(page.entry(Happened::LyeIn, None));
    }
}

/// What stands against the lye, in words: Stops, else what is still missing.
fn against(ui: &mut Ui, page: &Page<'_>) {
    let (record, tokens) = (&page.seen.record, Tokens::of(ui));
    let stop = |ui: &mut Ui, words: String| {
        let text = RichText::new(&words).font(theme::strong(13.0)).color(tokens.stop);
        ui.add(Label::new(text).wrap().selectable(true));
    };
    if let Err(error) = &record.result {
        return stop(ui, format!("STOP: {error}"));
    }
    let is_in = page.batch.last(|what| (*what == Happened::LyeIn).then_some(())).is_some();
    let stops = record.stops();
    if !stops.is_empty() {
        let back = record.back_to_plan().filter(|_| !is_in);
        for caution in stops {
            match &back {
                // At the scale it helps more to know how much than how a design is mended.
                Some(back) if caution.is_lye_heavy() => {
                    let words = back_to_plan(back, page.given.measures.mass);
                    stop(ui, format!("{}: {} {words}", caution.level.word().to_uppercase(), caution.why));
                }
                _ => stop(ui, caution.line()),
            }
        }
        return;
    }
    if !is_in && let Err(why) = page.lye_may_go_in() {
        ui.add(Label::new(RichText::new(format!("The lye stays out: {why}")).color(tokens.quiet)).wrap());
    }
}

/// What takes the weights back to the planned superfat.
fn back_to_plan(back: &BackToPlan, unit: MassUnit) -> String {
    let mass = |grams| number::mass(grams, unit);
    let each = [(back.naoh, "sodium hydroxide"), (back.koh, "potassium hydroxide")];
    let each: Vec<String> = each
        .iter()
        .filter(|(much, _)| much.0 > 0.0)
        .map(|(much, name)| format!("{} of the {name}", mass(*much)))
        .collect();
    let or = back.fats.map_or_else(String::new, |fats| format!(", or add {} of fats in the same shares", mass(fats)));
    format!("For the planned superfat take {} out while it is dry{or}.", each.join(" and "))
}
