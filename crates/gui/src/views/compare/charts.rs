//! The designs in one chart each: where the estimates lie, the superfat that results, the acids.

use super::{Compared, LETTERS, MARKS, SIGNS, Side, colour};
use crate::theme::Tokens;
use crate::views::why::{self, Owner, Subject};
use crate::widgets::lane::{axis, mark_score, position};
use crate::widgets::{cut, heading, name, percent_plot, small, still_plot, under_bars};
use barwright_core::evaluate::EstimateResult;
use barwright_core::evaluate::axis::shared_axis;
use barwright_core::library::acids::{Acid, AcidId};
use barwright_core::library::composition::Composition;
use barwright_core::library::estimates::{Estimate, Place, on_screens};
use barwright_core::number::fixed;
use barwright_core::units::{Interval, in_percent};
use eframe::egui::{
    Align, Align2, FontId, Label, Layout, Pos2, Rangef, Rect, RichText, Role, Sense, Stroke, Ui, WidgetInfo, vec2,
};
use egui_plot::{Bar, BarChart, Line, LineStyle, PlotPoint, Text, VLine};
use std::borrow::Cow;

/// Height of an estimate's lane, and where designs have ranges of their own.
const LANE: f32 = 36.0;
const LANE_WITH_LINES: f32 = 43.0;
/// All charts below each other are so high, points; in a higher window they grow, up to so many times.
const ALL: f32 = 700.0;
const MOST_GROWTH: f32 = 1.8;
/// From this width on, points, they stand in two columns, unless the window is so high that one is better used.
const WIDE: f32 = 900.0;
const HIGH: f32 = 1.4;

/// Draws the charts.
pub(super) fn show(ui: &mut Ui, compared: &Compared<'_>) {
    const BETWEEN: f32 = 32.0;
    let grown = (ui.clip_rect().height() / ALL).clamp(1.0, MOST_GROWTH);
    let width = ui.available_width();
    if width < WIDE || grown > HIGH {
        scores(ui, compared, grown);
        ui.spacing_mut().item_spacing.y = 3.0;
        margins(ui, &compared.sides, grown);
        acids(ui, compared, grown);
        return;
    }
    let half = (width - BETWEEN) / 2.0;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = BETWEEN;
        let mut part = |content: &mut dyn FnMut(&mut Ui)| {
            ui.allocate_ui_with_layout(vec2(half, 0.0), Layout::top_down(Align::Min), |ui| {
                ui.set_width(half);
                ui.spacing_mut().item_spacing = vec2(8.0, 3.0);
                content(ui);
            });
        };
        // Two columns have twice the room.
        part(&mut |ui| scores(ui, compared, MOST_GROWTH));
        part(&mut |ui| {
            margins(ui, &compared.sides, MOST_GROWTH);
            acids(ui, compared, MOST_GROWTH);
        });
    });
}

/// The estimates of all designs.
fn scores(ui: &mut Ui, compared: &Compared<'_>, grown: f32) {
    let sides = &compared.sides;
    let first = &sides[0].made.design.style;
    let others: Vec<String> =
        own_ranges(sides).map(|(i, s)| format!("of {}: {}", LETTERS[i], s.made.design.style)).collect();
    if others.is_empty() {
        heading(ui, &format!("The bar (range: {first})"));
    } else {
        heading(ui, &format!("The bar (band of A: {first}; line {})", others.join("; line ")));
    }
    ui.horizontal_wrapped(|ui| {
        for (column, side) in sides.iter().enumerate() {
            let text = format!("{} {} {}", SIGNS[column], LETTERS[column], shortened(&side.title));
            let text = RichText::new(text).small().color(Tokens::of(ui).quiet);
            ui.add(Label::new(text).extend()).on_hover_text(&side.title);
        }
    });
    ui.spacing_mut().item_spacing.y = 0.0;
    for estimate in on_screens() {
        lane(ui, compared, estimate, grown);
    }
}

/// A title that leaves room for others in a line.
fn shortened(title: &str) -> Cow<'_, str> {
    const MOST: usize = 22;
    cut::in_the_middle(title, |part| part.chars().count() <= MOST)
}

/// The designs whose style is not the first one's, so that they lie inside or outside of other ranges.
fn own_ranges(sides: &[Side]) -> impl Iterator<Item = (usize, &Side)> {
    sides.iter().enumerate().filter(|(_, side)| side.made.design.style != sides[0].made.design.style)
}

/// One estimate of all designs on one axis.
fn lane(ui: &mut Ui, compared: &Compared<'_>, estimate: Estimate, grown: f32) {
    let sides = &compared.sides;
    let height = if own_ranges(sides).next().is_some() { LANE_WITH_LINES } else { LANE };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height * grown), Sense::hover());
    let results: Vec<_> = sides.iter().map(|s| s.made.evaluation.estimate(estimate)).collect();
    let range = results[0].and_then(|r| r.range);
    let says = |(column, result): (usize, Option<&EstimateResult>)| {
        result.map_or_else(
            || format!("{} not known", LETTERS[column]),
            |r| {
                let number = estimate.shown(r.value);
                format!("{} {number} {}", LETTERS[column], r.place.map_or("", Place::word))
            },
        )
    };
    let all: Vec<String> = results.iter().copied().enumerate().map(says).collect();
    let own: Vec<(usize, Interval)> =
        own_ranges(sides).filter_map(|(i, s)| Some((i, s.made.evaluation.estimate(estimate)?.range?))).collect();
    let own_says = own.iter().map(|(i, r)| format!(", of {} {}", LETTERS[*i], estimate.shown_range(*r)));
    let range_says = range.map(|r| format!("; range {}", estimate.shown_range(r))).into_iter().chain(own_says);
    let range_says: String = range_says.collect();
    let sentence = format!("{}: {}{range_says}", estimate.name(), all.join(", "));
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &sentence));
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    painter.text(rect.left_center(), Align2::LEFT_CENTER, estimate.name(), FontId::proportional(12.5), tokens.ink);
    response.on_hover_text(&sentence);
    // One axis serves all marks, so it holds them and the range.
    let all: Vec<_> = sides.iter().map(|s| &*s.made.evaluation).collect();
    let Some(scale) = shared_axis(estimate, &all, compared.library) else { return };
    let names = (rect.width() * 0.36).clamp(120.0, 150.0);
    let lane = Rect::from_x_y_ranges(rect.left() + names..=rect.right() - 10.0, rect.y_range());
    axis(ui, lane, scale, estimate, range);
    for (column, range) in own {
        // On the side of its letter, the fourth clear of the second.
        let y = lane.center().y + [-10.0, 10.0, -10.0, 12.5][column];
        let x = Rangef::new(position(lane, scale, range.min()), position(lane, scale, range.max()));
        ui.painter().hline(x, y, Stroke::new(2.0, colour(ui, column)));
    }
    // The first design's mark lies on top. Letters stand above for A and C, below for B and D.
    for (column, result) in results.iter().enumerate().rev() {
        if let Some(result) = result {
            mark_score(ui, lane, scale, (estimate, result.value), MARKS[column]);
        }
    }
    for (parity, y) in [(0, 4.0 - height / 2.0), (1, height / 2.0 - 4.0)] {
        let y = lane.center().y + y;
        let mut taken: Option<f32> = None;
        for (column, result) in results.iter().enumerate().filter(|(i, _)| i % 2 == parity) {
            let Some(result) = result else { continue };
            let at = position(lane, scale, estimate.drawn(result.value));
            let x = match taken {
                Some(other) if (at - other).abs() < 9.0 => other + if at < other { -9.0 } else { 9.0 },
                _ => at,
            };
            taken = Some(x);
            let at = Pos2::new(x, y);
            ui.painter().text(at, Align2::CENTER_CENTER, LETTERS[column], FontId::proportional(10.0), tokens.ink);
        }
    }
}

/// Room for a letter, as a part of a chart’s width.
const LETTER: f64 = 0.035;

/// The highest point of a curve.
fn peak(curve: &[[f64; 2]]) -> Option<[f64; 2]> {
    curve.iter().copied().max_by(|a, b| a[1].total_cmp(&b[1]))
}

/// The distributions of the superfat that results, one over the other.
fn margins(ui: &mut Ui, sides: &[Side], grown: f32) {
    let curves: Vec<(usize, &[[f64; 2]])> =
        sides.iter().enumerate().filter_map(|(i, s)| Some((i, s.made.superfat()?))).collect();
    let Some(hull) = Interval::hull(curves.iter().flat_map(|(_, c)| c.iter().map(|p| p[0]))) else { return };
    heading(ui, "Superfat that results");
    let tokens = Tokens::of(ui);
    let top = curves.iter().flat_map(|(_, c)| c.iter().map(|p| p[1])).fold(0.0, f64::max);
    let (low, high) = (hull.min().min(-0.5), hull.max().max(0.5));
    let colours: Vec<_> = (0..sides.len()).map(|i| colour(ui, i)).collect();
    let styles = [
        LineStyle::Solid,
        LineStyle::Dashed { length: 7.0 },
        LineStyle::Dotted { spacing: 4.0 },
        LineStyle::Dashed { length: 14.0 },
    ];
    let plot = percent_plot(ui, "margins compared", low, high).height(96.0 * grown);
    let shown = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(low..=high);
        plot.set_plot_bounds_y(0.0..=top * 1.25);
        plot.vline(VLine::new("lye-heavy below", 0.0).color(tokens.stop).width(1.5));
        for (column, curve) in &curves {
            let line = Line::new(LETTERS[*column], curve.to_vec()).color(colours[*column]).width(1.6);
            plot.line(line.style(styles[*column]));
        }
        // Curves that are alike have their letters side by side.
        let mut peaks: Vec<(usize, [f64; 2])> =
            curves.iter().filter_map(|(c, curve)| Some((*c, peak(curve)?))).collect();
        peaks.sort_by(|a, b| a.1[0].total_cmp(&b.1[0]));
        let mut before = f64::NEG_INFINITY;
        for (column, [x, y]) in peaks {
            let letter = RichText::new(LETTERS[column]).size(11.0);
            before = x.max(before + (high - low) * LETTER);
            plot.text(Text::new(LETTERS[column], PlotPoint::new(before, y + top * 0.12), letter).color(tokens.ink));
        }
    });
    let each = |(column, _): &(usize, &[[f64; 2]])| {
        let margin = sides[*column].made.evaluation.margin.as_ref()?;
        Some(format!("{} {} to {} %", LETTERS[*column], fixed(margin.low, 1), fixed(margin.high, 1)))
    };
    let each: Vec<String> = curves.iter().filter_map(each).collect();
    name(ui, &shown.response, &format!("Superfat that results, between the extremes: {}", each.join(", ")));
}

/// The acids of all designs as groups of bars.
fn acids(ui: &mut Ui, compared: &Compared<'_>, grown: f32) {
    let known: Vec<_> = compared.sides.iter().map(|s| s.made.evaluation.composition.as_ref()).collect();
    let most = |id: AcidId| known.iter().flatten().map(|c| c.fraction(id)).fold(0.0, f64::max);
    let shown: Vec<(AcidId, &Acid)> = compared.library.acids.iter().filter(|(id, _)| most(*id) >= 0.01).collect();
    if shown.is_empty() {
        return;
    }
    heading(ui, "Fatty acids, percent");
    let tokens = Tokens::of(ui);
    let n = known.len() as f64;
    let width = 0.8 / n;
    let mut charts = Vec::new();
    let mut letters = Vec::new();
    for (column, composition) in known.iter().enumerate() {
        let Some(composition) = composition else { continue };
        let fill = colour(ui, column);
        let bar = |(x, (id, acid)): (usize, &(AcidId, &Acid))| {
            let at = x as f64 + (column as f64 - (n - 1.0) / 2.0) * width;
            Bar::new(at, in_percent(composition.fraction(*id))).width(width * 0.92).fill(fill).name(acid.name.clone())
        };
        let bars: Vec<Bar> = shown.iter().enumerate().map(bar).collect();
        letters.extend(bars.iter().filter(|b| b.value >= 0.5).map(|b| (b.argument, b.value, LETTERS[column])));
        let letter = LETTERS[column];
        let hover = move |bar: &Bar, _: &BarChart| format!("{letter}, {}: {} %", bar.name, fixed(bar.value, 1));
        charts.push(BarChart::new(letter, bars).color(fill).element_formatter(Box::new(hover)));
    }
    let tallest = letters.iter().map(|l| l.1).fold(1.0, f64::max);
    let count = shown.len();
    let names: Vec<&str> = shown.iter().map(|(_, acid)| acid.name.as_str()).collect();
    let plot = still_plot(ui, "acids compared")
        .height(190.0 * grown)
        .show_axes([false, true])
        .y_axis_formatter(|mark, _| fixed(mark.value, 0))
        .show(ui, |plot| {
            plot.set_plot_bounds_x(-0.6..=count as f64 - 0.4);
            plot.set_plot_bounds_y(0.0..=tallest * 1.12);
            for chart in charts {
                plot.bar_chart(chart);
            }
            for (x, y, letter) in letters {
                let at = PlotPoint::new(x, y + tallest * 0.05);
                plot.text(Text::new(letter, at, RichText::new(letter).size(9.0)).color(tokens.ink));
            }
        });
    let says = |(column, composition): (usize, Option<&Composition>)| {
        let acid = |(id, acid): &(AcidId, &Acid)| {
            Some(format!("{} {} %", acid.name, fixed(in_percent(composition?.fraction(*id)), 1)))
        };
        let all: Option<Vec<String>> = shown.iter().map(acid).collect();
        format!("{}: {}", LETTERS[column], all.map_or_else(|| "not known".into(), |all| all.join(", ")))
    };
    let all: Vec<String> = known.iter().copied().enumerate().map(says).collect();
    let sentence = format!("Fatty acids of {}", all.join("; "));
    plot.response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &sentence));
    under_bars::show(ui, &plot.transform, &names, 2.0);
    for (column, other) in known.iter().enumerate().skip(1) {
        if let (Some(first), Some(other)) = (known[0], other) {
            let shared = fixed(first.percent_shared(other), 0);
            let shown = small(ui, format!("A and {} share {shared} % of their acids", LETTERS[column]));
            why::explained(ui, &shown, Owner::Difference(column), Subject::SharedAcids);
        }
    }
}
