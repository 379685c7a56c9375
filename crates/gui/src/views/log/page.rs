//! The record as a page, in the order of the bench.

use super::desk::Desk;
use super::{Changes, Page, bars, bench, cure, lessons, state, weights};
use crate::theme::{self, Tokens};
use crate::widgets::{column as scrolled, within};
use barwright_core::design::log::{Batch, Happened};
use eframe::egui::{Label, RichText, Ui};

/// Lines are no longer than this, points, so that what is done with one stands near it.
const MOST: f32 = 940.0;

/// A column of the page.
pub(super) fn column(ui: &mut Ui, id: &str, content: impl FnOnce(&mut Ui)) {
    scrolled(ui, id, within(16, 2), |ui| {
        ui.set_max_width(ui.available_width().min(MOST));
        content(ui);
    });
}

/// What was wished last time, and what is otherwise now.
pub(super) fn last_time(ui: &mut Ui, last: &Batch, since: &[String]) {
    let said = last.last(|what| if let Happened::NextTime(words) = what { Some(words.to_string()) } else { None });
    if let Some((_, words)) = said {
        let text = format!("Last time ({}) you wrote: “{words}”", last.code);
        ui.add(Label::new(RichText::new(text).font(theme::strong(13.0))).wrap());
    }
    let text = if since.is_empty() {
        format!("Planned as batch {} was.", last.code)
    } else {
        format!("Otherwise than batch {}: {}.", last.code, since.join("; "))
    };
    ui.add(Label::new(RichText::new(text).color(Tokens::of(ui).quiet)).wrap());
}

/// From the scale to the cut.
pub(super) fn at_the_bench(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    weights::show(ui, page, desk, changes);
    bench::show(ui, page, desk, changes);
}

/// From the test to where the bars went.
pub(super) fn after(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    state::show(ui, page, desk, changes);
    cure::show(ui, page, desk, changes);
    bars::in_use(ui, page, desk, changes);
    lessons::show(ui, page, changes);
    bars::out(ui, page, desk, changes);
    bars::words(ui, page, desk, changes);
    bars::troubles(ui, page, desk, changes);
}
