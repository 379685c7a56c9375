//! What stands in the record, with its dates: opened again to be corrected, or struck with a reason, never overwritten.

use super::desk::Desk;
use super::fields::text;
use super::form::{Form, Slot};
use super::{Changes, Page};
use crate::theme::Tokens;
use crate::views::NewPicture;
use crate::views::Request;
use crate::widgets::{name, says, small};
use barwright_core::bench::day;
use barwright_core::design::log::{Entry, Happened};
use barwright_core::design::words::Line;
use barwright_core::render::record::told;
use eframe::egui::{Align, Frame, Label, Layout, Margin, RichText, Ui};

/// Draws what stands of a kind.
pub(super) fn list(
    ui: &mut Ui,
    page: &Page<'_>,
    desk: &mut Desk,
    changes: &mut Changes,
    is_here: impl Fn(&Happened) -> bool,
) {
    for (n, entry) in page.batch.entries().iter().enumerate().filter(|(_, entry)| is_here(&entry.what)) {
        let later = page.batch.entries().iter().find(|e| e.corrects == Some(n));
        match later {
            None if desk.correcting.as_ref().is_some_and(|(at, _)| *at == n) => correct(ui, page, desk, changes),
            None => {
                stands(ui, page, desk, (n, entry));
                if desk.striking.as_ref().is_some_and(|(at, _)| *at == n) {
                    strike(ui, page, desk, changes);
                }
            }
            Some(later) if page.with_corrected => corrected(ui, page, entry, later),
            Some(_) => {}
        }
    }
}

/// An entry that stands, with what can be done with it.
fn stands(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, (n, entry): (usize, &Entry)) {
    let words = told(&entry.what, &page.batch.made, page.given.measures);
    ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
        let button = ui.button(RichText::new("Strike…").small());
        name(ui, &button, &format!("Strike: {words}"));
        if button.on_hover_text("Say why it never was; it stays in the record, struck out").clicked() {
            desk.striking = Some((n, String::new()));
        }
        if let Some(form) = Form::of(&entry.what, page) {
            let button = ui.button(RichText::new("Correct…").small());
            name(ui, &button, &format!("Correct: {words}"));
            if button.on_hover_text("Write it anew; what stands now stays in the record, struck out").clicked() {
                desk.correcting = Some((n, form));
            }
        }
        ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
            // In line with the buttons, and from there down where it takes several lines.
            Frame::new().inner_margin(Margin { top: 3, ..Margin::ZERO }).show(ui, |ui| {
                small(ui, day::shown(entry.on.0));
                ui.add(Label::new(words).wrap().selectable(true));
            });
        });
    });
    if let Happened::Pictured(picture) = &entry.what
        && page.pictures.get(n) == Some(&false)
    {
        let text = format!("{} is not in the folder of pictures beside the design", picture.file.as_str());
        ui.add(Label::new(RichText::new(text).small().color(Tokens::of(ui).care)).wrap());
    }
}

/// An entry in whose place another stands.
fn corrected(ui: &mut Ui, page: &Page<'_>, entry: &Entry, later: &Entry) {
    let quiet = Tokens::of(ui).quiet;
    let words = told(&entry.what, &page.batch.made, page.given.measures);
    let why = match &later.what {
        Happened::Struck { reason } => format!("struck out {}: {reason}", day::shown(later.on.0)),
        _ => format!("corrected {}", day::shown(later.on.0)),
    };
    ui.horizontal_wrapped(|ui| {
        small(ui, day::shown(entry.on.0));
        let response = ui.label(RichText::new(&words).strikethrough().color(quiet));
        says(ui, &response, &format!("{words}, {why}"));
        small(ui, why);
    });
}

fn correct(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    let Some((n, form)) = &mut desk.correcting else { return };
    let mut leaves = false;
    ui.horizontal_wrapped(|ui| {
        form.show(ui, page, page.id(("correct", *n)));
        let what = form.happened(page);
        let button = super::head::accent(ui, what.is_ok(), "Write the correction");
        let pressed = button.clicked();
        if let Err(why) = &what {
            button.on_disabled_hover_text(why);
        }
        if let Ok(what) = what
            && pressed
        {
            changes.request(page.entry(what, Some(*n)));
        }
        leaves = ui.button("Leave it as it is").clicked();
    });
    if leaves {
        desk.correcting = None;
    }
}

fn strike(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    let Some((n, reason)) = &mut desk.striking else { return };
    let mut leaves = false;
    ui.horizontal_wrapped(|ui| {
        text(ui, (page.id(("strike", *n)), "Why it is struck"), reason, "why it never was", 240.0);
        let what = Line::new(reason).ok().filter(|reason| !reason.is_empty());
        let button = ui.add_enabled(what.is_some(), eframe::egui::Button::new("Strike it out"));
        let button = button.on_disabled_hover_text("Say why first");
        if let Some(reason) = what.filter(|_| button.clicked()) {
            changes.request(page.entry(Happened::Struck { reason }, Some(*n)));
        }
        leaves = ui.button("Leave it standing").clicked();
    });
    if leaves {
        desk.striking = None;
    }
}

/// Draws the fields for a new entry with its button; says why it cannot be written down where the record stands
/// against it.
pub(super) fn new(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes, slot: Slot) {
    let mut form = desk.forms.remove(&slot).unwrap_or_else(|| Form::new(slot, page));
    let mut refusal = None;
    ui.horizontal_wrapped(|ui| {
        form.show(ui, page, page.id(("new", slot)));
        let picture = if let Form::Picture { stage, words, .. } = &form { Some((*stage, words.clone())) } else { None };
        let what = match &picture {
            Some(_) if page.given.open.path.is_none() => {
                Err("Save the design first: its pictures lie beside its file".into())
            }
            Some((_, words)) => Line::new(words).map(|_| None).map_err(|e| e.to_string()),
            None => form.happened(page).map(Some),
        };
        let what = what.and_then(|what| match what.as_ref().map(|what| page.seen.record.allows(what)) {
            Some(Err(why)) => {
                refusal = Some(why.to_string());
                Err(why.to_string())
            }
            _ => Ok(what),
        });
        let words = match slot {
            Slot::Picture => "Choose the picture…",
            Slot::Withdraw => "Withdraw",
            _ => "Write down",
        };
        let button = ui.add_enabled(what.is_ok(), eframe::egui::Button::new(words));
        name(ui, &button, &format!("{words}: {}", slot.words()));
        let pressed = button.clicked();
        if let Err(why) = &what {
            button.on_disabled_hover_text(why);
        }
        if let Ok(what) = what
            && pressed
        {
            if picture.is_some() {
                desk.picture_since = Some(page.batch.entries().len());
            } else {
                desk.sent_form = Some(slot);
            }
            match (what, picture) {
                (Some(what), _) => changes.request(page.entry(what, None)),
                (None, Some((stage, words))) => {
                    changes.request(Request::Picture(NewPicture {
                        of: page.batch.code,
                        on: page.on,
                        stage,
                        words: Line::shortened(&words),
                    }));
                }
                (None, None) => {}
            }
        }
    });
    if let Some(why) = refusal {
        ui.add(Label::new(RichText::new(why).small().color(Tokens::of(ui).care)).wrap());
    }
    desk.forms.insert(slot, form);
}
