//! Right column: the jug, how strong and how hot its lye gets, and how it cools.

use crate::theme::Tokens;
use crate::views::figures::Figures;
use crate::widgets::steady::{held, steady};
use crate::widgets::{figure, heading, small, still_plot};
use barwright_core::cautions::usual_heat;
use barwright_core::chemistry::jug::{Cooling, Jug, Reach};
use barwright_core::chemistry::solution::FATS_HEAT_CAPACITY;
use barwright_core::chemistry::water::STRONGEST_KOH;
use barwright_core::number::{fixed, short};
use barwright_core::quantities::{
    About, AnyQuantity, CrystallisesBelow, JugConcentration, JugLeastWater, JugWater, LyeDensity, LyeMl, Meeting,
    MinutesToMix, Peak,
};
use barwright_core::quantity::Unit;
use barwright_core::units::Measures;
use eframe::egui::{self, Id, Rangef, RichText, Ui};
use egui_plot::{AxisHints, GridMark, HLine, Line, PlotPoints, Points, Text};

/// Draws the panel.
pub fn show(ui: &mut Ui, of: Figures<'_>) {
    ui.scope(|ui| figures(ui, of));
}

fn figures(ui: &mut Ui, of: Figures<'_>) {
    let About { design, evaluation, .. } = of.about;
    let Some(jug) = &evaluation.jug else { return };
    heading(ui, "Jug");
    // Rows of figures stand close.
    ui.spacing_mut().interact_size.y = 17.0;
    ui.spacing_mut().item_spacing.y = 3.0;
    of.quantity(ui, JugConcentration)
        .on_hover_text("Pure alkali in percent of alkali and the water that is in the jug");
    of.quantity(ui, JugWater).on_hover_text(format!(
        "It needs {} at the least: a gram for each gram of sodium hydroxide (common practice, no source), and for potassium hydroxide as much as a lye of {} % has (from memory)",
        of.text(&JugLeastWater),
        short(STRONGEST_KOH, 1)
    ));
    of.quantity(ui, Peak).on_hover_text(
        "If no heat is lost: an upper bound, by the enthalpy of sodium lye (Olsson, Jernqvist & Aly 1997)",
    );
    steady(ui, "heat of the jug", |ui| usual_heat(jug).map(|heat| small(ui, heat)));
    let mix = Unit::Celsius.short_in(design.process.mix_c.get(), 1, of.about.measures);
    let waits = AnyQuantity::title(&MinutesToMix, of.about);
    of.drawn(ui, MinutesToMix, |ui, minutes| {
        let minutes = match jug.ready {
            Some(Reach::After(_)) => format!("about {minutes}"),
            Some(Reach::NeverSoWarm) => "never so warm".into(),
            Some(Reach::NeverSoCold) => "never by itself".into(),
            None => minutes,
        };
        figure(ui, &waits, &minutes)
    })
    .on_hover_text(format!(
        "Until it has {mix}. Newton’s law of cooling from the upper bound; a reading calibrates it"
    ));
    if of.is_known(&Meeting) {
        of.quantity(ui, Meeting)
            .on_hover_text(format!("By heat balance; fats {} kJ/(kg K), from memory", fixed(FATS_HEAT_CAPACITY, 1)));
    }
    if let Some(below) = jug.crystallises_below {
        let is_warmer = below > design.process.room_c.get();
        let room = if is_warmer { "warmer than the room" } else { "colder than the room" };
        of.quantity(ui, CrystallisesBelow)
            .on_hover_text(format!("That is {room}. Wang et al. 2008, digitised, ±1 °C; sodium lye"));
    }
    steady(ui, "density of the lye", |ui| {
        if of.is_known(&LyeDensity) {
            let of_lye = "Of alkali and water, in the room, by Laliberté & Cooper with the coefficients of 2009; what else is in the jug comes on top";
            of.quantity(ui, LyeDensity).on_hover_text(of_lye);
            of.quantity(ui, LyeMl).on_hover_text(of_lye);
        }
    });
    if let Some(cooling) = jug.cooling.filter(|_| !jug.is_too_strong(&evaluation.masses)) {
        curve(ui, jug, cooling, design.process.mix_c.get(), of.about.measures);
    }
}

/// Steps of the time axis, minutes, and of the temperature axis, °C.
const MINUTES: [f64; 7] = [5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0];
const DEGREES: [f64; 5] = [5.0, 10.0, 20.0, 40.0, 80.0];
/// How many pieces the curve is drawn with.
const POINTS: u8 = 60;
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
fn curve(ui: &mut Ui, jug: &Jug, cooling: Cooling, mix: f64, measures: Measures) {
    let tokens = Tokens::of(ui);
    let degrees = |celsius: f64| Unit::Celsius.shown_in(celsius, measures);
    let told = |celsius: f64| Unit::Celsius.short_in(celsius, 1, measures);
    let end = jug.minutes_to_mix().map_or(3.0 * cooling.constant, |m| (1.35 * m).max(0.5 * cooling.constant));
    let points = |end: f64| -> PlotPoints<'_> {
        (0..=POINTS).map(|i| f64::from(i) / f64::from(POINTS) * end).map(|t| [t, degrees(cooling.after(t))]).collect()
    };
    let (low, high) = (cooling.to.min(mix).min(cooling.from) - 4.0, cooling.from.max(cooling.to).max(mix) + 8.0);
    let (end, low, high) = held(ui, Id::unique("bounds of the cooling"), (end, degrees(low), degrees(high)));
    let at_mix = degrees(mix);
    small(ui, format!("{} over minutes, from the upper bound", Unit::Celsius.sign_in(measures)));
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
        plot.hline(HLine::new("working temperature", at_mix).color(tokens.quiet).width(1.0));
        plot.line(Line::new("jug", points(end)).color(tokens.accent).width(2.0));
        if let Some(minutes) = jug.minutes_to_mix() {
            plot.points(Points::new("ready", vec![[minutes, at_mix]]).color(tokens.accent).radius(4.0));
            let label = RichText::new(told(mix)).color(tokens.quiet);
            plot.text(
                Text::new("", egui_plot::PlotPoint::new(end * 0.98, at_mix), label).anchor(egui::Align2::RIGHT_BOTTOM),
            );
        }
    });
    let says = jug.minutes_to_mix().map_or_else(
        || "The jug does not cool to the working temperature".to_owned(),
        |m| format!("The jug cools from {} to {} in {} minutes", told(cooling.from.round()), told(mix), fixed(m, 0)),
    );
    crate::widgets::name(ui, &shown.response, &says);
}
