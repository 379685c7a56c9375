//! How far the bars are: raw, curing, tested, free, or withdrawn; in a word and a colour.

use super::desk::Desk;
use super::form::Slot;
use super::{Changes, Page, entries, head};
use crate::theme::{self, Tokens};
use crate::views::Request;
use crate::widgets::{heading, name, says, small};
use barwright_core::bench::day::shown;
use barwright_core::bench::learnt::of_log;
use barwright_core::bench::record::State;
use barwright_core::design::log::Happened;
use barwright_core::render::pages::{Kind, PieceSize};
use eframe::egui::{Button, Color32, CornerRadius, Frame, Label, Margin, Response, RichText, Stroke, Ui};

/// The colour of `state`.
pub(super) const fn colour(state: State, tokens: &Tokens) -> Color32 {
    match state {
        State::Raw => tokens.quiet,
        State::Curing => tokens.care,
        State::Tested => tokens.accent,
        State::Free => tokens.fine,
        State::Withdrawn => tokens.stop,
    }
}

/// The word for `state` in its frame.
pub(super) fn word(ui: &mut Ui, state: State) -> Response {
    let tokens = Tokens::of(ui);
    let colour = colour(state, tokens);
    let frame = Frame::new()
        .fill(tokens.panel)
        .stroke(Stroke::new(1.0, colour))
        .corner_radius(CornerRadius::same(9))
        .inner_margin(Margin::symmetric(8, 1));
    let drawn = frame.show(ui, |ui| ui.label(RichText::new(state.word()).font(theme::strong(12.5)).color(colour)));
    says(ui, &drawn.inner, &format!("State: {}", state.word()));
    drawn.inner
}

/// That the cure, which begins at the cutting, is not over yet by the plan: no danger, and no bar as it was planned.
fn still_cures(ui: &mut Ui, page: &Page<'_>) {
    let Some(cut) = of_log::cut_on(page.batch) else { return };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a bounded count of days")]
    let ends = cut.after(page.batch.made.process.cure_days.get().ceil() as u64);
    if page.on < ends {
        let words =
            format!("The cure as planned ends on {}: until then a bar is softer and lasts less.", shown(ends.0));
        ui.add(Label::new(RichText::new(words).small().color(Tokens::of(ui).care)).wrap());
    }
}

/// Draws the way of the bars, the test, and what leads on.
pub(super) fn show(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    heading(ui, "Test and state");
    way(ui, page.seen.record.state);
    entries::list(ui, page, desk, changes, |what| {
        matches!(what, Happened::Tested { .. } | Happened::Freed | Happened::Withdrawn { .. })
    });
    let state = page.seen.record.state;
    if matches!(state, State::Raw | State::Curing | State::Tested) {
        entries::new(ui, page, desk, changes, Slot::Test);
    }
    if state != State::Free && state != State::Withdrawn {
        let allowed = page.seen.record.allows(&Happened::Freed);
        ui.horizontal_wrapped(|ui| {
            let button = head::accent(ui, allowed.is_ok(), "The bars are free");
            let button = button.on_hover_text("From now on they may be used, given and sold");
            if button.clicked() {
                changes.request(page.entry(Happened::Freed, None));
            }
            match &allowed {
                Err(why) => drop(small(ui, why.to_string())),
                Ok(()) => still_cures(ui, page),
            }
        });
    }
    if state != State::Withdrawn {
        entries::new(ui, page, desk, changes, Slot::Withdraw);
    }
    pages(ui, page, changes);
}

/// The states in their order, the present one marked.
fn way(ui: &mut Ui, state: State) {
    let quiet = Tokens::of(ui).quiet;
    ui.horizontal_wrapped(|ui| {
        if state == State::Withdrawn {
            word(ui, state);
            small(ui, "Not to be used, given or sold. Only a correction of that line leads out of it.");
            return;
        }
        for (i, one) in [State::Raw, State::Curing, State::Tested, State::Free].into_iter().enumerate() {
            if i > 0 {
                ui.label(RichText::new("→").color(quiet));
            }
            if one == state {
                word(ui, one);
            } else {
                ui.label(RichText::new(one.word()).color(quiet));
            }
        }
    });
}

/// What goes with the bars once they are free.
fn pages(ui: &mut Ui, page: &Page<'_>, changes: &mut Changes) {
    let is_free = page.seen.record.state == State::Free;
    ui.horizontal_wrapped(|ui| {
        for (kind, text) in [(Kind::Labels(PieceSize::default()), "Print labels…"), (Kind::Tags, "Print gift tags…")]
        {
            let button = ui.add_enabled(is_free, Button::new(text));
            name(ui, &button, &format!("{text} of this batch"));
            let button = button.on_disabled_hover_text("Labels and tags of a batch are printed once its bars are free");
            if button.clicked() {
                changes.request(Request::PrintOfBatch(page.batch.code, kind));
            }
        }
        if !is_free {
            let text = "Labels and tags bear the code of the batch, and are printed once its bars are free.";
            ui.add(Label::new(RichText::new(text).small().color(Tokens::of(ui).quiet)).wrap());
        }
    });
}
