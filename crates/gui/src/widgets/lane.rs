//! One estimate as a lane: its own scale, the guideline range, the value, a compared value.

use crate::theme::{self, Tokens};
use barwright_core::evaluate::EstimateResult;
use barwright_core::library::comparisons::Record;
use barwright_core::library::estimates::{Estimate, Place};
use barwright_core::number::signed;
use barwright_core::quantity::COARSE;
use barwright_core::units::Interval;
use eframe::egui::{
    self, Align2, Color32, CornerRadius, FontId, Pos2, Rangef, Rect, Response, Role, Sense, Shape, Stroke, Ui,
    WidgetInfo, vec2,
};

/// What a lane shows.
#[derive(Debug, Clone, Copy)]
pub struct Lane<'a> {
    /// The score with its guideline range.
    pub result: &'a EstimateResult,
    /// The scale it is drawn on.
    pub scale: Interval,
    /// Where it lies with natural fats.
    pub spread: Option<Interval>,
    /// What one percent more of the fat that is being moved changes.
    pub slope: Option<f64>,
    /// The score of the design it is compared with.
    pub compared: Option<f64>,
    /// Whether its details are open.
    pub open: bool,
    /// How often published comparisons bore it out.
    pub record: &'a Record,
}

const HEIGHT: f32 = 34.0;
const NAMES: f32 = 138.0;
const WORDS: f32 = 92.0;

/// A diamond of `radius` around `center`.
fn diamond(center: Pos2, radius: f32, fill: Color32, stroke: Stroke) -> Shape {
    let points = [vec2(0.0, -radius), vec2(radius, 0.0), vec2(0.0, radius), vec2(-radius, 0.0)];
    Shape::convex_polygon(points.map(|p| center + p).to_vec(), fill, stroke)
}

/// How a value is marked: designs are told apart by shape, not by colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// A filled diamond: this design.
    Filled,
    /// A hollow diamond around it: the one it is compared with.
    Hollow,
    /// A triangle: a third one.
    Triangle,
    /// A square: a fourth one.
    Square,
}

/// A mark on the axis, or an arrow at the edge for a value off the scale.
fn mark(ui: &Ui, lane: Rect, scale: Interval, value: f64, mark: Mark) {
    let tokens = Tokens::of(ui);
    let (fill, stroke) = match mark {
        Mark::Filled => (tokens.accent, Stroke::new(1.0, tokens.panel)),
        Mark::Hollow => (tokens.ground, Stroke::new(1.5, tokens.ink)),
        Mark::Triangle | Mark::Square => (tokens.ink, Stroke::new(1.0, tokens.panel)),
    };
    let y = lane.center().y;
    let arrow = |x: f32, way: f32| {
        let tip = Pos2::new(x, y);
        Shape::convex_polygon(vec![tip, tip + vec2(-8.0 * way, -6.0), tip + vec2(-8.0 * way, 6.0)], fill, stroke)
    };
    let center = Pos2::new(position(lane, scale, value), y);
    ui.painter().add(if value < scale.min() {
        arrow(lane.left(), -1.0)
    } else if value > scale.max() {
        arrow(lane.right(), 1.0)
    } else {
        match mark {
            Mark::Filled => diamond(center, 6.0, fill, stroke),
            Mark::Hollow => diamond(center, 8.5, fill, stroke),
            Mark::Triangle => {
                let points = [vec2(0.0, -7.0), vec2(6.5, 5.0), vec2(-6.5, 5.0)];
                Shape::convex_polygon(points.map(|p| center + p).to_vec(), fill, stroke)
            }
            Mark::Square => {
                let square = Rect::from_center_size(center, vec2(10.0, 10.0));
                egui::epaint::RectShape::new(square, CornerRadius::ZERO, fill, stroke, egui::StrokeKind::Inside).into()
            }
        }
    });
}

/// Where `value` lies on a lane drawn across `lane`, kept on the lane.
#[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
pub fn position(lane: Rect, scale: Interval, value: f64) -> f32 {
    let t = if scale.width() > 0.0 { ((value - scale.min()) / scale.width()).clamp(0.0, 1.0) } else { 0.5 };
    egui::lerp(lane.left()..=lane.right(), t as f32)
}

/// The axis with the guideline range of an `estimate`. A range of few soaps that lie close is drawn wider, with soft
/// ends: it is not known that narrowly.
pub fn axis(ui: &Ui, lane: Rect, scale: Interval, estimate: Estimate, range: Option<Interval>) {
    let tokens = Tokens::of(ui);
    ui.painter().hline(lane.x_range(), lane.center().y, Stroke::new(2.0, tokens.line));
    if let Some(range) = range {
        let on_lane = |range: Interval| {
            let (left, right) = (position(lane, scale, range.min()), position(lane, scale, range.max()));
            Rect::from_x_y_ranges(left..=right.max(left + 2.0), lane.center().y - 8.0..=lane.center().y + 8.0)
        };
        let band = on_lane(range);
        if estimate.is_narrow(range) {
            ui.painter().rect_filled(
                on_lane(estimate.softened(range)),
                CornerRadius::same(3),
                tokens.range.gamma_multiply(0.55),
            );
        }
        ui.painter().rect(
            band,
            CornerRadius::same(3),
            tokens.range,
            Stroke::new(1.0, tokens.edge.gamma_multiply(0.45)),
            egui::StrokeKind::Inside,
        );
    }
}

/// A bracket below the axis where the soaps lie that lathered best in measured series.
fn best_lather(ui: &Ui, lane: Rect, scale: Interval, best: Interval) {
    let (stroke, y) = (Stroke::new(1.5, Tokens::of(ui).quiet), lane.center().y + 13.0);
    let x = Rangef::new(position(lane, scale, best.min()), position(lane, scale, best.max()));
    ui.painter().hline(x, y, stroke);
    for end in [x.min, x.max] {
        ui.painter().vline(end, y - 4.0..=y, stroke);
    }
}

/// The mark of a score as it is told; a coarse one stands on a soft stripe over its step, so that it is not taken for a
/// point.
pub fn mark_score(ui: &Ui, lane: Rect, scale: Interval, (estimate, value): (Estimate, f64), shape: Mark) {
    let told = estimate.drawn(value);
    if estimate.is_coarse() {
        let [left, right] = [-0.5, 0.5].map(|part| position(lane, scale, told + part * COARSE));
        let stripe = Rect::from_x_y_ranges(left..=right, lane.center().y - 5.0..=lane.center().y + 5.0);
        ui.painter().rect_filled(stripe, CornerRadius::same(5), Tokens::of(ui).accent.gamma_multiply(0.35));
    }
    mark(ui, lane, scale, told, shape);
}

/// A thin line with ends over `x`: how far a score may lie to both sides.
pub fn whisker(ui: &Ui, x: Rangef, y: f32) {
    let stroke = Stroke::new(1.5, Tokens::of(ui).accent);
    ui.painter().hline(x, y, stroke);
    for end in [x.min, x.max] {
        ui.painter().vline(end, y - 4.0..=y + 4.0, stroke);
    }
}

impl Lane<'_> {
    /// Everything the lane shows, as a sentence for screen readers and tests.
    fn sentence(&self) -> String {
        let EstimateResult { estimate, value, range, place } = *self.result;
        let number = estimate.shown(value);
        match (place, range) {
            (Some(place), Some(range)) => {
                let few = if estimate.is_narrow(range) { ", of few soaps" } else { "" };
                let range = estimate.shown_range(range);
                format!("{} {number}, {} the range {range}{few}", estimate.name(), place.word())
            }
            _ => format!("{} {number}", estimate.name()),
        }
    }

    /// Draws the lane across the width; a click asks for its details.
    pub fn show(&self, ui: &mut Ui) -> Response {
        let tokens = Tokens::of(ui);
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::click());
        response.widget_info(|| WidgetInfo::selected(Role::Button, ui.is_enabled(), self.open, self.sentence()));
        let rule = |colour| ui.painter().rect_filled(rect.expand2(vec2(6.0, 0.0)), CornerRadius::same(5), colour);
        if self.open || response.hovered() {
            rule(tokens.panel);
        }

        let EstimateResult { estimate, value, range, place } = *self.result;
        let (low, high) = estimate.ends();
        let painter = ui.painter();
        let text = |at: Pos2, align: Align2, text: &str, font: FontId, colour: Color32| {
            painter.text(at, align, text, font, colour)
        };
        text(
            rect.left_center() + vec2(0.0, -8.0),
            Align2::LEFT_CENTER,
            estimate.name(),
            FontId::proportional(13.0),
            tokens.ink,
        );
        let ends = format!("{low} → {high}");
        text(rect.left_center() + vec2(0.0, 8.0), Align2::LEFT_CENTER, &ends, FontId::proportional(11.0), tokens.quiet);

        let lane = Rect::from_x_y_ranges(rect.left() + NAMES..=rect.right() - WORDS - 14.0, rect.y_range());
        axis(ui, lane, self.scale, estimate, range);
        if let Some(best) = self.record.best() {
            best_lather(ui, lane, self.scale, best);
        }
        if let Some(spread) = self.spread {
            let x = Rangef::new(position(lane, self.scale, spread.min()), position(lane, self.scale, spread.max()));
            whisker(ui, x, lane.center().y);
        }
        // This bar's mark is the smaller one and lies on top, so that equal values show both.
        if let Some(compared) = self.compared {
            mark_score(ui, lane, self.scale, (estimate, compared), Mark::Hollow);
        }
        mark_score(ui, lane, self.scale, (estimate, value), Mark::Filled);

        let (word, colour) = match place {
            Some(Place::Inside) => ("inside", tokens.fine),
            Some(place) => (place.word(), tokens.care),
            None => ("", tokens.quiet),
        };
        // The lower line is kept free for the slope, so that nothing moves when a slider is taken.
        let [upper, lower] = [-8.0, 8.0].map(|y| rect.center().y + y);
        let at = Pos2::new(rect.right() - WORDS, upper);
        let font = if place == Some(Place::Inside) { FontId::proportional(13.0) } else { theme::strong(13.0) };
        text(at, Align2::LEFT_CENTER, word, font, colour);
        let number = estimate.shown(value);
        let end = Pos2::new(rect.right(), upper);
        text(end, Align2::RIGHT_CENTER, &number, FontId::proportional(13.0), tokens.ink);
        if let Some(slope) = self.slope {
            // Which way the score goes, and how fast.
            let d = estimate.decimals() + 1;
            let arrow = if slope > 0.0 { "↑" } else { "↓" };
            let says = format!("{arrow} {} per 1 %", signed(slope, d));
            let at = Pos2::new(at.x, lower);
            text(at, Align2::LEFT_CENTER, &says, FontId::proportional(10.5), tokens.quiet);
        } else {
            let at = Pos2::new(at.x, lower);
            let says = format!("right {}", self.record.count());
            text(at, Align2::LEFT_CENTER, &says, FontId::proportional(10.5), tokens.quiet);
        }
        response
    }
}
