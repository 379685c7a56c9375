//! The marked bars as they dry: their weighings, and the forecast by diffusion.

use super::desk::Desk;
use super::form::Slot;
use super::{Changes, Page, entries};
use crate::theme::Tokens;
use crate::widgets::{heading, name, small, still_plot};
use barwright_core::design::log::Happened;
use barwright_core::formula::Plain;
use barwright_core::number::{self, short};
use barwright_core::units::Grams;
use eframe::egui::Ui;
use egui_plot::{AxisHints, Line, MarkerShape, Points};

/// How many points of the curve are drawn.
const POINTS: u16 = 80;

/// Draws the weighings.
pub(super) fn show(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    heading(ui, "Cure of marked bars");
    plot(ui, page);
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::BarWeighed { .. }));
    entries::new(ui, page, desk, changes, Slot::BarWeighed);
}

/// The weighings by days from the cut, number of the bar with each.
fn weighings(page: &Page<'_>) -> Vec<(u8, [f64; 2])> {
    let cut = page.batch.last(|what| matches!(what, Happened::Cut { .. }).then_some(()));
    let Some(cut) = cut.and_then(|(n, ())| page.batch.entries().get(n)) else { return Vec::new() };
    let of = |(_, entry): (usize, &barwright_core::design::log::Entry)| match &entry.what {
        Happened::BarWeighed { bar, grams } => Some((bar.get(), [cut.on.days_to(entry.on) as f64, grams.get()])),
        _ => None,
    };
    page.batch.standing().into_iter().filter_map(of).collect()
}

fn plot(ui: &mut Ui, page: &Page<'_>) {
    let points = weighings(page);
    let cure = page.seen.record.result.as_ref().ok().and_then(|made| made.evaluation.cure.as_ref());
    let Some(cure) = cure.filter(|_| !points.is_empty()) else {
        small(
            ui,
            "Mark one to four bars when they are cut, and weigh them from time to time: the curve shows how they dry.",
        );
        return;
    };
    let tokens = Tokens::of(ui);
    let last = points.iter().map(|(_, p)| p[0]).fold(0.0, f64::max);
    let end = last.max(cure.days().get()).max(28.0);
    let curve: Vec<[f64; 2]> =
        (0..=POINTS).map(|i| end * f64::from(i) / f64::from(POINTS)).map(|day| [day, cure.bar(Plain, day).0]).collect();
    let unit = page.given.measures.mass;
    let plot = still_plot(ui, "log cure")
        .height(150.0)
        .custom_x_axes(vec![AxisHints::new_x().formatter(|mark, _| format!("{} d", short(mark.value, 1)))])
        .custom_y_axes(vec![AxisHints::new_y().formatter(move |mark, _| number::mass(Grams(mark.value), unit))]);
    let shown = plot.show(ui, |plot| {
        plot.line(Line::new("forecast", curve).color(tokens.accent).width(1.5));
        let shapes = [MarkerShape::Circle, MarkerShape::Square, MarkerShape::Diamond, MarkerShape::Up];
        for (bar, shape) in (1_u8..).zip(shapes) {
            let of_bar: Vec<[f64; 2]> = points.iter().filter(|(b, _)| *b == bar).map(|(_, p)| *p).collect();
            if !of_bar.is_empty() {
                plot.points(Points::new(format!("bar {bar}"), of_bar).color(tokens.ink).radius(4.0).shape(shape));
            }
        }
    });
    let count = points.len();
    name(
        ui,
        &shown.response,
        &format!("Weighings of marked bars against the forecast: {count} weighings over {} days", short(last, 0)),
    );
    small(ui, "The line is the forecast for this batch; the marks are your weighings.");
}
