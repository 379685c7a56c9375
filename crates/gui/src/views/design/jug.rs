//! Right column: the jug, how strong and how hot its lye gets, and how it cools.

use crate::theme::Tokens;
use crate::views::why;
use crate::widgets::{figure, heading, small, still_plot};
use barwright_core::chemistry::jug::{Cooling, Jug, Reach};
use barwright_core::number::{self, fixed, short};
use barwright_core::units::MassUnit;
use barwright_core::{Design, Evaluation};
use eframe::egui::{self, Rangef, RichText, Ui};
use egui_plot::{AxisHints, GridMark, HLine, Line, PlotPoints, Points, Text};

/// Draws the panel.
pub fn show(ui: &mut Ui, design: &Design, evaluation: &Evaluation, unit: MassUnit) {
    let Some(jug) = &evaluation.jug else { return };
    heading(ui, "Jug");
    let shown = figure(ui, "Lye concentration in it", &format!("{} %", fixed(jug.concentration, 1)))
        .on_hover_text("Pure alkali in percent of alkali and the water that is in the jug");
    why::explained(ui, &shown, "jug.concentration_pct");
    let shown = figure(ui, "Water in it", &number::mass(evaluation.masses.water_in_jug, unit)).on_hover_text(format!(
        "It needs {} at the least: a gram for each gram of sodium hydroxide (common practice, no source), and for potassium hydroxide as much as a lye of 53 % has (from memory)",
        number::mass(jug.least_water, unit)
    ));
    why::explained(ui, &shown, "jug.water_g");
    let peak = jug.peak.map_or_else(|_| "not known".into(), |t| format!("up to about {} °C", fixed(t, 0)));
    let shown = figure(ui, "Warms to", &peak).on_hover_text(
        "If no heat is lost: an upper bound, by the enthalpy of sodium lye (Olsson, Jernqvist & Aly 1997)",
    );
    why::explained(ui, &shown, "jug.peak_c");
    let mix = short(design.process.mix_c.get(), 1);
    let minutes = match jug.ready {
        Some(Reach::After(minutes)) => format!("about {} min", fixed(minutes, 0)),
        Some(Reach::NeverSoWarm) => "never so warm".into(),
        Some(Reach::NeverSoCold) => "never by itself".into(),
        None => "not known".into(),
    };
    let shown = figure(ui, &format!("Cools to {mix} °C in"), &minutes)
        .on_hover_text("Newton’s law of cooling from the upper bound; a reading calibrates it");
    why::explained(ui, &shown, "jug.minutes_to_mix");
    if let Some(meeting) = jug.meeting {
        let shown = figure(ui, "Lye and fats meet at", &format!("{} °C", fixed(meeting, 0)))
            .on_hover_text("By heat balance; fats 2.0 kJ/(kg K), from memory");
        why::explained(ui, &shown, "jug.meeting_c");
    }
    if let Some(below) = jug.crystallises_below {
        let room = design.process.room_c.get();
        let room = if below > room { "warmer than the room" } else { "colder than the room" };
        let shown = figure(ui, "Crystallises below about", &format!("{} °C", fixed(below, 0)))
            .on_hover_text(format!("That is {room}. Wang et al. 2008, digitised, ±1 °C; sodium lye"));
        why::explained(ui, &shown, "jug.crystallises_below_c");
    }
    if let (Ok(density), Some(ml)) = (&jug.density, jug.volume_ml()) {
        let of_lye = "Of alkali and water, in the room, by Laliberté & Cooper with the coefficients of 2009; what else is in the jug comes on top";
        let shown = figure(ui, "Its density", &format!("{} g/ml", fixed(*density, 3))).on_hover_text(of_lye);
        why::explained(ui, &shown, "jug.density_g_per_ml");
        let shown = figure(ui, "Its volume", &format!("{} ml", fixed(ml, 0))).on_hover_text(of_lye);
        why::explained(ui, &shown, "jug.volume_ml");
    }
    if let Some(cooling) = jug.cooling.filter(|_| !jug.is_too_strong(&evaluation.masses)) {
        curve(ui, jug, cooling, design.process.mix_c.get());
    }
}

/// Steps of the time axis, minutes, and of the temperature axis, °C.
const MINUTES: [f64; 7] = [5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0];
const DEGREES: [f64; 4] = [5.0, 10.0, 20.0, 40.0];
/// What the time axis is longer than the curve, so that the last figure is not cut.
const ROOM: f64 = 1.06;

/// Marks from `begin` to `end` on the finest of `steps` that leaves at most five.
fn marks(steps: &[f64], begin: f64, end: f64) -> Vec<GridMark> {
    let step = steps.iter().copied().find(|s| end / s < 5.0).unwrap_or(1000.0);
    (0..5)
        .map(f64::from)
        .map(|i| i * step)
        .filter(|v| (begin..=end).contains(v))
        .map(|value| GridMark { value, step_size: step })
        .collect()
}

/// The cooling in a small chart with the working temperature.
fn curve(ui: &mut Ui, jug: &Jug, cooling: Cooling, mix: f64) {
    let tokens = Tokens::of(ui);
    let end = jug.minutes_to_mix().map_or(3.0 * cooling.constant, |m| (1.35 * m).max(0.5 * cooling.constant));
    let points: PlotPoints<'_> = (0..=60).map(|i| f64::from(i) / 60.0 * end).map(|t| [t, cooling.after(t)]).collect();
    let (low, high) = (cooling.to.min(mix).min(cooling.from) - 4.0, cooling.from.max(cooling.to).max(mix) + 8.0);
    small(ui, "°C over minutes, from the upper bound");
    let plot = still_plot(ui, "cooling")
        .height(104.0)
        .custom_x_axes(vec![
            // Labels that stand close are as clear as others: their marks are chosen to fit.
            AxisHints::new_x().label_spacing(Rangef::new(8.0, 12.0)).formatter(|mark, _| fixed(mark.value, 0)),
        ])
        .custom_y_axes(vec![
            AxisHints::new_y()
                .min_thickness(30.0)
                .label_spacing(Rangef::new(4.0, 8.0))
                .formatter(|mark, _| format!("{}°", fixed(mark.value, 0))),
        ])
        .default_x_bounds(0.0, end * ROOM)
        .default_y_bounds(low, high)
        .x_grid_spacer(move |_| marks(&MINUTES, 0.0, end))
        .y_grid_spacer(move |_| marks(&DEGREES, low, high));
    let shown = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(0.0..=end * ROOM);
        plot.set_plot_bounds_y(low..=high);
        plot.hline(HLine::new("working temperature", mix).color(tokens.quiet).width(1.0));
        plot.line(Line::new("jug", points).color(tokens.accent).width(2.0));
        if let Some(minutes) = jug.minutes_to_mix() {
            plot.points(Points::new("ready", vec![[minutes, mix]]).color(tokens.accent).radius(4.0));
            let label = RichText::new(format!("{} °C", short(mix, 1))).color(tokens.quiet);
            plot.text(
                Text::new("", egui_plot::PlotPoint::new(end * 0.98, mix), label).anchor(egui::Align2::RIGHT_BOTTOM),
            );
        }
    });
    let says = jug.minutes_to_mix().map_or_else(
        || "The jug does not cool to the working temperature".to_owned(),
        |m| format!("The jug cools from {} to {} °C in {} minutes", fixed(cooling.from, 0), short(mix, 1), fixed(m, 0)),
    );
    crate::widgets::name(ui, &shown.response, &says);
}
