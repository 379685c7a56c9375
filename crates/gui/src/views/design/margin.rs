//! Right column: the lye margin, where the superfat that results may lie.

use super::Scene;
use super::controls::{Written, id_of, quantity};
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::views::figures::Figures;
use crate::widgets::number_field::NumberField;
use crate::widgets::steady::held;
use crate::widgets::{heading, line, name, percent_plot, small};
use barwright_core::chemistry::margin::{Cause, LyeMargin};
use barwright_core::chemistry::sugars::brought_by;
use barwright_core::design::edit::Edit;
use barwright_core::quantities::{
    ChanceLyeHeavy, DriverPart, DriverPoints, Drives, LeastSuperfat, PlannedSuperfat, Quantity, SugarAlkali,
    SuperfatHigh, SuperfatLow, SuperfatP05, SuperfatP95, SuperfatWithSugars,
};
use eframe::egui::{Align, Id, Label, Layout, RichText, Ui};
use egui_plot::{Line, VLine};

/// Room for the longest that is said of the chance, points.
const CHANCE: f32 = 120.0;
/// How many causes are named.
const DRIVERS: usize = 3;

/// Draws the panel.
pub fn show(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let evaluated = open.evaluated(scene.library);
    let (Some(margin), Some(curve)) = (&evaluated.evaluation.margin, evaluated.superfat()) else { return };
    // Rows of figures stand close.
    ui.spacing_mut().interact_size.y = 17.0;
    ui.spacing_mut().item_spacing.y = 3.0;
    heading(ui, "Superfat that results").on_hover_text(
        "Each saponification value lies anywhere in its range, each purity and each weighing within its ±, all independent. That is an assumption: a season or a supplier can move several fats together, up to the extremes",
    );
    let of = Figures::shown(evaluated.about(scene.library), scene.measures);
    distribution(ui, curve, of);
    range(ui, of, "90 of 100 batches", SuperfatP05, SuperfatP95);
    range(ui, of, "All extremes at once", SuperfatLow, SuperfatHigh);
    let (title, is_none) = (Quantity::title(&ChanceLyeHeavy, of.about), !of.is_some(&ChanceLyeHeavy));
    ui.horizontal(|ui| {
        let room = ui.available_width() - CHANCE;
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            of.drawn(ui, ChanceLyeHeavy, |ui, chance| {
                ui.label(if is_none { "none in this model".to_owned() } else { chance })
            });
            // What is said of danger is never shortened, and wraps alike whatever stands beside it.
            ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
                ui.set_max_width(room);
                ui.add(Label::new(RichText::new(&title).color(Tokens::of(ui).quiet)).wrap());
            });
        });
    });
    let id = id_of(open, "accepted chance");
    ui.horizontal(|ui| {
        ui.label(RichText::new("For a risk of").color(Tokens::of(ui).quiet));
        let written =
            Written { name: "Accepted chance of a lye-heavy bar", unit: "%", step: 0.5, decimals: 2, width: 52.0 };
        quantity(ui, changes, id, written, open.design().accepted_chance, Edit::AcceptedChance)
            .on_hover_text("The chance of a lye-heavy bar that you accept");
        ui.label(RichText::new("plan").color(Tokens::of(ui).quiet));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            of.drawn(ui, LeastSuperfat, Ui::label);
        });
    });
    NumberField::complaint(ui, id);
    sugars(ui, of);
    drivers(ui, margin, of);
}

/// A line with the low and the high end of a range, each a figure of its own.
fn range(ui: &mut Ui, of: Figures<'_>, name: &str, low: impl Quantity, high: impl Quantity) {
    let quiet = Tokens::of(ui).quiet;
    line(
        ui,
        name,
        |text| RichText::new(text).color(quiet),
        |ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            of.drawn(ui, high, Ui::label);
            ui.label("to");
            of.drawn_number(ui, low, Ui::label);
        },
    );
}

/// The milder edge, where there are sugars that may take alkali; nothing that protects counts on it.
fn sugars(ui: &mut Ui, of: Figures<'_>) {
    if !of.is_some(&SuperfatWithSugars) {
        return;
    }
    let quiet = Tokens::of(ui).quiet;
    let words = |text: &str| RichText::new(text).color(quiet);
    line(ui, "If sugars take all they may", words, |ui| of.drawn(ui, SuperfatWithSugars, Ui::label));
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let brought_by = brought_by(of.about.design, of.about.evaluation.masses.fats, of.about.library).join(", ");
        small(ui, format!("The sugars of {brought_by} may take some of the lye, up to"));
        of.drawn(ui, SugarAlkali, small);
        small(ui, "– or none: never count on it");
    });
}

fn drivers(ui: &mut Ui, margin: &LyeMargin, of: Figures<'_>) {
    let design = of.about.design;
    let cause = |cause: Cause| match cause {
        Cause::SaponificationValue(i) => design.blend.lines()[i].fat.name.clone(),
        Cause::NaohPurity => "purity of the NaOH".into(),
        Cause::KohPurity => "purity of the KOH".into(),
        Cause::Scale => "scale".into(),
    };
    if margin.drivers.is_empty() {
        return;
    }
    small(ui, "Driven by").on_hover_text(
        "Their parts of the variance. A supplier’s certificate for a fat (click on its name) narrows it",
    );
    for d in margin.drivers.iter().take(DRIVERS) {
        let Some(drives) = Drives::of(d.cause, design) else { continue };
        // A line for each: what drives most may change under the hand, and nothing moves.
        let quiet = Tokens::of(ui).quiet;
        line(
            ui,
            &cause(d.cause),
            |text| RichText::new(text).small().color(quiet),
            |ui| {
                ui.spacing_mut().item_spacing.x = 4.0;
                of.drawn_number(ui, DriverPoints(drives.clone()), |ui, points| {
                    small(ui, format!("±\u{a0}{points} points"))
                });
                of.drawn_number(ui, DriverPart(drives), |ui, percent| small(ui, format!("{percent}\u{a0}%,")));
            },
        );
    }
}

/// The density over superfat, with the zero line; what is lye-heavy is filled.
fn distribution(ui: &mut Ui, curve: &[[f64; 2]], of: Figures<'_>) {
    let evaluation = of.about.evaluation;
    let tokens = Tokens::of(ui);
    let top = curve.iter().map(|p| p[1]).fold(0.0, f64::max);
    let (Some(first), Some(last)) = (curve.first(), curve.last()) else { return };
    let bounds = (first[0].min(-0.5), last[0].max(0.5), top);
    let (low, high, top) = held(ui, Id::unique("bounds of the margin"), bounds);
    let plot =
        percent_plot(ui, "margin", low, high).height(72.0).default_x_bounds(low, high).default_y_bounds(0.0, top * 1.1);
    let shown = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(low..=high);
        plot.set_plot_bounds_y(0.0..=top * 1.1);
        let (heavy, safe): (Vec<_>, Vec<_>) = curve.iter().copied().partition(|p| p[0] < 0.0);
        for (points, colour) in [(heavy, tokens.stop), (safe, tokens.accent)] {
            plot.line(Line::new("", points).color(colour).width(0.0).fill(0.0).fill_alpha(0.25));
        }
        plot.line(Line::new("density", curve.to_vec()).color(tokens.accent).width(1.5));
        plot.vline(VLine::new("lye-heavy below", 0.0).color(tokens.stop).width(1.5));
        plot.vline(VLine::new("planned", evaluation.masses.superfat).color(tokens.quiet).width(1.0));
    });
    let says = format!(
        "Superfat that results: planned {}, between {} and {} at the extremes, chance of a lye-heavy bar {}",
        of.text(&PlannedSuperfat),
        of.number(&SuperfatLow),
        of.text(&SuperfatHigh),
        of.text(&ChanceLyeHeavy)
    );
    name(ui, &shown.response, &says);
}
