//! What is done and seen at the bench after the weighing: heat and time, batter, oven and gel, mould, cut, pictures.

use super::desk::Desk;
use super::fields::{measured, plain};
use super::form::Slot;
use super::{Changes, Page, entries, head};
use crate::keyboard;
use crate::theme::Tokens;
use crate::widgets::{heading, small};
use barwright_core::design::log::{Batter, Flaw, Gel, Happened, HeatOf, TimeOf};
use barwright_core::quantity::Unit;
use eframe::egui::{Button, Label, RichText, Ui};

/// Width of a temperature or a time with its words, points.
const WIDE: f32 = 100.0;

/// Draws all of it, in the order of the bench.
pub(super) fn show(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    heat_and_time(ui, page, desk, changes);
    heading(ui, "How it behaved");
    behaviour(ui, page, desk, changes);
    entries::new(ui, page, desk, changes, Slot::BatterWeighed);
    heading(ui, "Oven and gel");
    chips(ui, page, desk, changes, (&Gel::ALL, Gel::words, Happened::Gelled, true));
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::Oven { .. } | Happened::Gelled(_)));
    entries::new(ui, page, desk, changes, Slot::Oven);
    heading(ui, "In the mould");
    mould(ui, page, desk, changes);
    heading(ui, "Cut");
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::Cut { .. } | Happened::Flawed(_)));
    if page.batch.last(|what| matches!(what, Happened::Cut { .. }).then_some(())).is_none() {
        entries::new(ui, page, desk, changes, Slot::Cut);
    }
    chips(ui, page, desk, changes, (&Flaw::ALL, Flaw::words, Happened::Flawed, false));
    heading(ui, "Pictures");
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::Pictured(_)));
    entries::new(ui, page, desk, changes, Slot::Picture);
    if page.given.open.path.is_none() {
        small(ui, "Save the design first: its pictures lie in a folder beside its file.");
    }
}

/// A choice that is written down with a click: its kinds, their words, the entry, and whether one excludes the others.
type Chips<'a, T> = (&'a [T], fn(T) -> &'static str, fn(T) -> Happened, bool);

/// What can be seen, each a button that writes it down; what stands is marked.
fn chips<T: Copy>(
    ui: &mut Ui,
    page: &Page<'_>,
    desk: &mut Desk,
    changes: &mut Changes,
    (all, words, entry, is_one): Chips<'_, T>,
) {
    ui.horizontal_wrapped(|ui| {
        let standing = page.batch.standing();
        let at = |what: &Happened| standing.iter().find(|(_, e)| e.what == *what).map(|(n, _)| *n);
        let other = all.iter().find_map(|one| at(&entry(*one)));
        for one in all {
            let stands = at(&entry(*one));
            let button = ui.add(Button::new(words(*one)).selected(stands.is_some()).corner_radius(9));
            let tip = if stands.is_some() { "Strike it" } else { "Write it down" };
            if button.on_hover_text(tip).clicked() {
                match stands {
                    Some(n) => desk.striking = Some((n, String::new())),
                    None => changes.request(page.entry(entry(*one), other.filter(|_| is_one))),
                }
            }
        }
    });
}

fn behaviour(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    chips(ui, page, desk, changes, (&Batter::ALL, Batter::words, Happened::Behaved, false));
    entries::list(ui, page, desk, changes, |what| {
        matches!(what, Happened::Behaved(_) | Happened::BatterWeighed { .. })
    });
}

/// Temperatures and times, typed in a row and entered together.
fn heat_and_time(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    heading(ui, "Heat and time");
    let measures = page.given.measures;
    let mut heats = desk.staged.heats;
    let mut times = desk.staged.times;
    let known = |what: &dyn Fn(&Happened) -> bool| {
        let entry = page.batch.standing().into_iter().rev().find(|(_, e)| what(&e.what));
        entry.map(|(n, e)| (n, e.what.clone()))
    };
    let mut requests = Vec::new();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        for (i, of) in HeatOf::ALL.into_iter().enumerate() {
            let stands = known(&|what| matches!(what, Happened::Heat { of: o, .. } if *o == of));
            ui.vertical(|ui| {
                ui.set_min_width(WIDE);
                small(ui, of.words());
                let mut now = heats[i].or(match &stands {
                    Some((_, Happened::Heat { celsius, .. })) => Some(*celsius),
                    _ => None,
                });
                let before = now;
                measured(
                    ui,
                    (page.id(("heat", i)), &format!("Temperature, {}", of.words())),
                    &mut now,
                    &Unit::Celsius,
                    measures,
                );
                if now != before {
                    heats[i] = now;
                }
            });
            if let Some(celsius) = heats[i] {
                requests.push((Happened::Heat { of, celsius }, stands.map(|(n, _)| n)));
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        for (i, of) in TimeOf::ALL.into_iter().enumerate() {
            let stands = known(&|what| matches!(what, Happened::Took { of: o, .. } if *o == of));
            ui.vertical(|ui| {
                ui.set_min_width(WIDE);
                small(ui, of.words());
                let mut now = times[i].or(match &stands {
                    Some((_, Happened::Took { minutes, .. })) => Some(*minutes),
                    _ => None,
                });
                let before = now;
                plain(ui, (page.id(("time", i)), &format!("Minutes, {}", of.words())), &mut now, "min");
                if now != before {
                    times[i] = now;
                }
            });
            if let Some(minutes) = times[i] {
                requests.push((Happened::Took { of, minutes }, stands.map(|(n, _)| n)));
            }
        }
        ui.vertical(|ui| {
            small(ui, "");
            let button = head::accent(ui, !requests.is_empty(), "Enter heat and times");
            keyboard::field(ui, button.id);
            if button.on_disabled_hover_text("Type a temperature or a time first").clicked() {
                for (what, corrects) in requests.drain(..) {
                    changes.request(page.entry(what, corrects));
                }
            }
        });
    });
    desk.stage(|staged| (staged.heats, staged.times) = (heats, times));
    if page.with_corrected {
        entries::list(ui, page, desk, changes, |what| matches!(what, Happened::Heat { .. } | Happened::Took { .. }));
    }
}

/// Whether the batch is in the mould: then its lots are used.
fn mould(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    entries::list(ui, page, desk, changes, |what| *what == Happened::Made);
    if page.batch.last(|what| (*what == Happened::Made).then_some(())).is_some() {
        return;
    }
    let has_lye = page.batch.last(|what| (*what == Happened::LyeIn).then_some(())).is_some();
    ui.horizontal_wrapped(|ui| {
        let button = head::accent(ui, has_lye, "It is in the mould");
        if button.on_disabled_hover_text("The lye goes in first").clicked() {
            changes.request(page.entry(Happened::Made, None));
        }
        let taken = page.seen.record.taken().len();
        let text = match (has_lye, taken) {
            (false, _) => "The lye goes in first.".to_owned(),
            (true, 0) => "Nothing of it is from the shelf.".to_owned(),
            (true, 1) => "What was weighed is then taken off one lot of the shelf.".to_owned(),
            (true, n) => format!("What was weighed is then taken off {n} lots of the shelf."),
        };
        small(ui, text);
    });
    if let Some(refusal) = page.given.shelf.refusal()
        && has_lye
    {
        let text = format!("The stock stays as it is for now: {refusal}");
        ui.add(Label::new(RichText::new(text).small().color(Tokens::of(ui).care)).wrap());
    }
}
