//! What becomes of the bars: how they are in use, where they went, what is said of them, what looked wrong.

use super::desk::Desk;
use super::form::Slot;
use super::{Changes, Page, entries};
use crate::widgets::{heading, small};
use barwright_core::design::log::Happened;
use eframe::egui::Ui;

/// Bars in use.
pub(super) fn in_use(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    heading(ui, "In use");
    entries::list(ui, page, desk, changes, |what| {
        matches!(what, Happened::Judged { .. } | Happened::More { .. } | Happened::Washed { .. })
    });
    entries::new(ui, page, desk, changes, Slot::Judged);
    if page.given.open.log().batches().len() > 1 {
        entries::new(ui, page, desk, changes, Slot::More);
    }
    entries::new(ui, page, desk, changes, Slot::Washed);
}

/// Bars that went out.
pub(super) fn out(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    let record = &page.seen.record;
    heading(ui, "Where the bars went");
    small(ui, format!("{} of {} bars left", record.left(), record.bars));
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::Out { .. }));
    entries::new(ui, page, desk, changes, Slot::Out);
}

/// Words about the batch, and what is to be done otherwise next time.
pub(super) fn words(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    heading(ui, "Note");
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::Said(_)));
    entries::new(ui, page, desk, changes, Slot::Said);
    heading(ui, "Next time");
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::NextTime(_)));
    entries::new(ui, page, desk, changes, Slot::NextTime);
}

/// What looked wrong.
pub(super) fn troubles(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    heading(ui, "Troubles");
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::Trouble(_)));
    entries::new(ui, page, desk, changes, Slot::Trouble);
}
