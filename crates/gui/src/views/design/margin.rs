//! Right column: the lye margin, where the superfat that results may lie.

use super::Scene;
use super::controls::{Written, id_of, quantity};
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::views::why;
use crate::widgets::number_field::NumberField;
use crate::widgets::{figure, figure_range, heading, name, percent_plot, small};
use barwright_core::chemistry::margin::{Cause, LyeMargin};
use barwright_core::design::edit::Edit;
use barwright_core::number::{fixed, short};
use barwright_core::{Design, Evaluation};
use eframe::egui::{Align, Layout, RichText, Ui, vec2};
use egui_plot::{Line, VLine};
use std::sync::Arc;

/// How many points of the distribution are drawn.
const POINTS: usize = 80;
/// How many causes are named.
const DRIVERS: usize = 3;

/// A chance (0–1) in words that do not claim more than is known.
fn chance_words(chance: f64) -> String {
    let percent = 100.0 * chance;
    if percent <= 0.0 {
        "none".into()
    } else if percent < 0.01 {
        "under 0.01 %".into()
    } else {
        format!("{} %", short(percent, 2))
    }
}

/// Draws the panel.
pub fn show(ui: &mut Ui, open: &mut OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let evaluation = open.evaluation(scene.library);
    let design = Arc::clone(open.design());
    let Some(margin) = &evaluation.margin else { return };
    // Rows of figures stand close.
    ui.spacing_mut().interact_size.y = 17.0;
    ui.spacing_mut().item_spacing.y = 3.0;
    heading(ui, "Superfat that results").on_hover_text(
        "Each saponification value lies anywhere in its range, each purity and each weighing within its ±, all independent. That is an assumption: a season or a supplier can move several fats together, up to the extremes",
    );
    distribution(ui, margin, &evaluation);
    let range = |ui: &mut Ui, name: &str, low: f64, high: f64, keys: [&str; 2]| {
        let shown = figure_range(ui, name, &fixed(low, 1), &format!("{} %", fixed(high, 1)));
        for (shown, key) in shown.iter().zip(keys) {
            why::explained(ui, shown, &format!("margin.superfat_{key}_pct"));
        }
    };
    range(ui, "90 of 100 batches", margin.quantile(0.05), margin.quantile(0.95), ["p05", "p95"]);
    range(ui, "All extremes at once", margin.low, margin.high, ["low", "high"]);
    let shown = figure(ui, "Chance that it is lye-heavy", &chance_words(margin.chance_lye_heavy()));
    why::explained(ui, &shown, "margin.chance_lye_heavy");
    let id = id_of(open, "accepted chance");
    ui.horizontal(|ui| {
        ui.label(RichText::new("Least superfat for").color(Tokens::of(ui).quiet));
        let written =
            Written { name: "Accepted chance of a lye-heavy bar", unit: "%", step: 0.5, decimals: 2, width: 52.0 };
        quantity(ui, changes, id, written, design.accepted_chance, Edit::AcceptedChance)
            .on_hover_text("The chance of a lye-heavy bar that you accept");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let least = ui.label(format!("{} %", fixed(margin.least_superfat(design.accepted_chance.fraction()), 1)));
            why::explained(ui, &least, "margin.least_superfat_pct");
        });
    });
    NumberField::complaint(ui, id);
    drivers(ui, margin, &design);
}

fn drivers(ui: &mut Ui, margin: &LyeMargin, design: &Design) {
    let cause = |cause: Cause| match cause {
        Cause::SaponificationValue(i) => design.blend.lines()[i].fat.name.clone(),
        Cause::NaohPurity => "purity of the NaOH".into(),
        Cause::KohPurity => "purity of the KOH".into(),
        Cause::Scale => "scale".into(),
    };
    if margin.drivers.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(3.0, 1.0);
        small(ui, "Driven by").on_hover_text(
            "Their parts of the variance. A supplier’s certificate for a fat (click on its name) narrows it",
        );
        let shown = margin.drivers.len().min(DRIVERS);
        for (i, d) in margin.drivers.iter().take(shown).enumerate() {
            let comma = if i + 1 < shown { "," } else { "" };
            let part = small(ui, format!("{} {}\u{a0}%", cause(d.cause), fixed(100.0 * d.part, 0)));
            why::explained(ui, &part, &format!("margin.drivers.{i}.variance_part"));
            let points = small(ui, format!("(±\u{a0}{}\u{a0}points){comma}", fixed(d.points, 1)));
            why::explained(ui, &points, &format!("margin.drivers.{i}.superfat_points"));
        }
    });
}

/// The density over superfat, with the zero line; what is lye-heavy is filled.
fn distribution(ui: &mut Ui, margin: &LyeMargin, evaluation: &Evaluation) {
    let tokens = Tokens::of(ui);
    let curve = margin.curve(POINTS);
    let top = curve.iter().map(|p| p[1]).fold(0.0, f64::max);
    let (Some(first), Some(last)) = (curve.first(), curve.last()) else { return };
    let (low, high) = (first[0].min(-0.5), last[0].max(0.5));
    let plot =
        percent_plot(ui, "margin", low, high).height(72.0).default_x_bounds(low, high).default_y_bounds(0.0, top * 1.1);
    let shown = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(low..=high);
        plot.set_plot_bounds_y(0.0..=top * 1.1);
        let (heavy, safe): (Vec<_>, Vec<_>) = curve.iter().partition(|p| p[0] < 0.0);
        for (points, colour) in [(heavy, tokens.stop), (safe, tokens.accent)] {
            plot.line(Line::new("", points).color(colour).width(0.0).fill(0.0).fill_alpha(0.25));
        }
        plot.line(Line::new("density", curve.clone()).color(tokens.accent).width(1.5));
        plot.vline(VLine::new("lye-heavy below", 0.0).color(tokens.stop).width(1.5));
        plot.vline(VLine::new("planned", evaluation.masses.superfat).color(tokens.quiet).width(1.0));
    });
    let says = format!(
        "Superfat that results: planned {} %, between {} and {} % at the extremes, chance of a lye-heavy bar {}",
        short(evaluation.masses.superfat, 2),
        fixed(margin.low, 1),
        fixed(margin.high, 1),
        chance_words(margin.chance_lye_heavy())
    );
    name(ui, &shown.response, &says);
}
