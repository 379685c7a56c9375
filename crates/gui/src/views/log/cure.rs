//! The marked bars as they dry: their weighings, the curve that is learnt from them with its band, and the forecast.

use super::desk::Desk;
use super::form::Slot;
use super::seen::Drying;
use super::{Changes, Page, entries};
use crate::theme::Tokens;
use crate::widgets::{heading, name, small, still_plot};
use barwright_core::design::log::Happened;
use barwright_core::number::{self, short};
use barwright_core::units::Grams;
use eframe::egui::{Stroke, Ui};
use egui_plot::{AxisHints, FilledArea, Line, LineStyle, MarkerShape, Points};

/// Draws the weighings.
pub(super) fn show(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    heading(ui, "Cure of marked bars");
    match &page.taught.drying {
        Some(drying) if !drying.bars.is_empty() => plot(ui, page, drying),
        Some(drying) => {
            small(ui, &drying.words);
            small(
                ui,
                "Mark one to four bars when they are cut, and weigh them from time to time: the curve learns from them.",
            );
        }
        None => {}
    }
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::BarWeighed { .. }));
    entries::new(ui, page, desk, changes, Slot::BarWeighed);
}

fn plot(ui: &mut Ui, page: &Page<'_>, drying: &Drying) {
    let tokens = Tokens::of(ui);
    let unit = page.given.measures.mass;
    let plot = still_plot(ui, "log cure")
        .height(170.0)
        .custom_x_axes(vec![AxisHints::new_x().formatter(|mark, _| format!("{} d", short(mark.value, 1)))])
        .custom_y_axes(vec![AxisHints::new_y().formatter(move |mark, _| number::mass(Grams(mark.value), unit))]);
    let shown = plot.show(ui, |plot| {
        let days: Vec<f64> = drying.learnt.iter().map(|(day, _)| *day).collect();
        let (low, high): (Vec<f64>, Vec<f64>) = drying.learnt.iter().map(|(_, band)| (band.low, band.high)).unzip();
        plot.add(FilledArea::new("eight in ten", &days, &low, &high).fill_color(tokens.accent.gamma_multiply(0.18)));
        let likely: Vec<[f64; 2]> = drying.learnt.iter().map(|(day, band)| [*day, band.likely]).collect();
        plot.line(Line::new("learnt", likely).stroke(Stroke::new(1.8, tokens.accent)));
        let forecast = Line::new("forecast", drying.forecast.clone()).stroke(Stroke::new(1.2, tokens.quiet));
        plot.line(forecast.style(LineStyle::dashed_loose()));
        let shapes = [MarkerShape::Circle, MarkerShape::Square, MarkerShape::Diamond, MarkerShape::Up];
        for ((bar, points), shape) in drying.bars.iter().zip(shapes) {
            let marks = Points::new(format!("bar {}", bar.get()), points.clone());
            plot.points(marks.color(tokens.ink).radius(4.0).shape(shape));
        }
    });
    let count: usize = drying.bars.iter().map(|(_, points)| points.len()).sum();
    name(
        ui,
        &shown.response,
        &format!("Weighings of marked bars and what they teach: {count} weighings; {}", drying.words),
    );
    small(ui, &drying.words);
    small(
        ui,
        "The marks are your weighings, the line what they teach with its band, in which a bar as planned lies eight times \
         in ten; dashed, the forecast before any weighing.",
    );
}
