//! A day to type or to choose from a calendar; the arrow keys go to the next and the one before.

use super::calendar::calendar_button;
use super::number_field::{Entry, NumberField};
use crate::clock;
use crate::keyboard;
use barwright_core::bench::day;
use barwright_core::bench::label::Region;
use barwright_core::bench::schedule::NaiveDate;
use eframe::egui::{Id, Ui};

/// Width of the field, points: the widest day fits.
const WIDTH: f32 = 100.0;

/// Draws the calendar, called `calendar`, and the field, called `called`, for the day `now`; gives the day that was
/// chosen in this frame. What is wrong with a typed one is told by [`NumberField::complaint`].
pub fn day_field(
    ui: &mut Ui,
    id: Id,
    (called, calendar): (&str, &str),
    now: NaiveDate,
    region: Region,
) -> Option<NaiveDate> {
    let chosen = calendar_button(ui, id, calendar, Some(now), region);
    let shown = if now == clock::today() { "today".into() } else { day::shown(now) };
    let field = NumberField { id, name: called, shown: &shown, width: WIDTH, hint: "" };
    let read = |text: &str| day::typed(text, clock::today(), region).map_err(|e| e.to_string());
    let (response, entry) = field.show(ui, read);
    // What it dates may be anywhere: Enter goes on to none of it.
    keyboard::stays(ui, &response);
    let typed = match entry {
        Entry::Typed(day) => Some(day),
        Entry::Steps(by) => {
            if by > 0.0 {
                now.succ_opt()
            } else {
                now.pred_opt()
            }
        }
        Entry::None => None,
    };
    chosen.or(typed)
}
