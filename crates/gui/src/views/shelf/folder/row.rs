//! The columns of the list, its head, and a design in it.

use super::order::{Axes, By, Sort};
use super::score_words;
use crate::clock;
use crate::folder::Row;
use crate::theme::{self, Tokens};
use crate::widgets::cut;
use crate::widgets::lane::{Mark, axis, mark_score};
use barwright_core::bench::day;
use barwright_core::library::estimates::{Estimate, Place};
use barwright_core::number::counted;
use barwright_core::render::plain_line;
use barwright_core::render::report::Summary;
use eframe::egui::{
    Align2, Color32, CornerRadius, FontId, Id, Pos2, Rangef, Rect, Response, Role, Sense, Shape, Stroke, StrokeKind,
    Ui, WidgetInfo, pos2, vec2,
};

/// Height of a row, and of the head of the list, points.
pub(super) const HEIGHT: f32 = 42.0;
pub(super) const HEAD: f32 = 40.0;
/// Widths, points.
const COST: f32 = 112.0;
const BARS: f32 = 40.0;
const CHANGED: f32 = 104.0;
const GAP: f32 = 10.0;
/// A lane of these widths still tells something.
const LANE: Rangef = Rangef { min: 56.0, max: 170.0 };
/// A lane lies this far within its column.
const WITHIN: f32 = 7.0;

/// Where the columns stand.
pub(super) struct Columns {
    whole: Rangef,
    name: Rangef,
    lanes: [Rangef; 7],
    cost: Rangef,
    bars: Rangef,
    changed: Rangef,
}

impl Columns {
    /// In `width` from `left`.
    pub(super) fn of(left: f32, width: f32) -> Self {
        let right = left + width;
        let before = |end: f32, width: f32| Rangef::new(end - width, end);
        let changed = before(right, CHANGED);
        let bars = before(changed.min - GAP, BARS);
        let cost = before(bars.min - GAP, COST);
        let lanes_end = cost.min - GAP;
        let name = (0.23 * width).clamp(176.0, 380.0);
        let lane = ((lanes_end - left - name - GAP) / 7.0).clamp(LANE.min, LANE.max);
        let first = lanes_end - 7.0 * lane;
        let mut at = first;
        let lanes = std::array::from_fn(|_| {
            let lane = Rangef::new(at, at + lane);
            at = lane.max;
            lane
        });
        Self { whole: Rangef::new(left, right), name: Rangef::new(left, first - GAP), lanes, cost, bars, changed }
    }

    /// Draws the head; gives the sort that is asked for.
    pub(super) fn head(&self, ui: &Ui, rect: Rect, sort: Sort) -> Option<Sort> {
        let mut asked = None;
        let mut one = |x: Rangef, by: By, title: &str, align: Align2| {
            let cell = Rect::from_x_y_ranges(x, rect.y_range()).shrink2(vec2(0.0, 2.0));
            let response = ui.interact(cell, Id::unique(("sort by", by.words())), Sense::click());
            let is_chosen = sort.by == by;
            let says = format!("Sort by {}", by.words());
            response.widget_info(|| WidgetInfo::selected(Role::Button, ui.is_enabled(), is_chosen, &says));
            heading(ui, cell, title, align, is_chosen.then_some(sort.most_first), response.hovered());
            if response.on_hover_text(says).clicked() {
                asked = Some(sort.next(by));
            }
        };
        one(self.name, By::Name, "Name and style", Align2::LEFT_CENTER);
        for (x, estimate) in self.lanes.into_iter().zip(Estimate::ALL) {
            one(x, By::Score(estimate), estimate.name(), Align2::CENTER_CENTER);
        }
        one(self.cost, By::Cost, "Batch a bar", Align2::RIGHT_CENTER);
        one(self.bars, By::Bars, "Bars", Align2::RIGHT_CENTER);
        one(self.changed, By::Changed, "Last changed", Align2::RIGHT_CENTER);
        ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, Tokens::of(ui).line));
        asked
    }

    /// Draws a file of the list; it is chosen or not, and Tab stops at it or not.
    pub(super) fn row(
        &self,
        ui: &mut Ui,
        id: Id,
        row: &Row,
        axes: &Axes,
        (is_chosen, is_stop): (bool, bool),
    ) -> Response {
        let (_, rect) = ui.allocate_space(vec2(ui.available_width(), HEIGHT));
        let sense = if is_stop { Sense::click() } else { Sense::CLICK };
        let response = ui.interact(rect, id, sense);
        let says = sentence(row);
        response.widget_info(|| WidgetInfo::selected(Role::Button, ui.is_enabled(), is_chosen, &says));
        let tokens = Tokens::of(ui);
        let back = Rect::from_x_y_ranges(self.whole, rect.y_range()).expand2(vec2(8.0, -1.0));
        if is_chosen || response.hovered() {
            // An edge: the fill of what is chosen elsewhere is the colour of the ranges.
            let edge = if is_chosen { Stroke::new(1.5, tokens.accent) } else { Stroke::NONE };
            ui.painter().rect(back, CornerRadius::same(5), tokens.panel, edge, StrokeKind::Inside);
        }
        let quiet = tokens.quiet;
        let upper = rect.top() + 13.0;
        let lower = rect.top() + 30.0;
        let left = |y: f32| (Align2::LEFT_CENTER, y);
        let right = |y: f32| (Align2::RIGHT_CENTER, y);
        let plain = FontId::proportional(13.0);
        let small = FontId::proportional(11.0);
        let changed = row.changed.map_or_else(|| "not known".into(), |at| day::shown(clock::day_of(at)));
        let made = row.summary().and_then(Summary::made_on);
        let middle = if made.is_some() { upper } else { rect.center().y };
        write(ui, self.changed, right(middle), &changed, &FontId::proportional(12.5), quiet);
        if let Some(made) = made {
            write(ui, self.changed, right(lower), &format!("made {}", day::shown(made.0)), &small, quiet);
        }
        let file = plain_line(&row.listed.file);
        match &row.listed.read {
            Ok(summary) => {
                write(ui, self.name, left(upper), &summary.title(), &theme::strong(13.0), tokens.ink);
                let style = plain_line(&summary.style);
                if summary.stops.is_empty() {
                    write(ui, self.name, left(lower), &style, &small, quiet);
                } else {
                    let text = format!("{}, {style}", summary.stopped());
                    write(ui, self.name, left(lower), &text, &theme::strong(11.0), tokens.stop);
                }
                self.scores(ui, rect, summary, axes, quiet);
                write(ui, self.cost, right(upper), &summary.cost(), &plain, tokens.ink);
                if let Some(bar) = &summary.bar {
                    write(ui, self.cost, right(lower), &format!("{} a bar", plain_line(&bar.text)), &small, quiet);
                }
                let bars = summary.bars.as_ref().map_or_else(|| "?".into(), |bars| bars.text.clone());
                if summary.bars_left == 0 {
                    write(ui, self.bars, right(rect.center().y), &bars, &plain, tokens.ink);
                } else {
                    write(ui, self.bars, right(upper), &bars, &plain, tokens.ink);
                    write(ui, self.bars, right(lower), &format!("{} left", summary.bars_left), &small, quiet);
                }
            }
            Err(reason) => {
                write(ui, self.name, left(upper), &file, &theme::strong(13.0), tokens.ink);
                write(ui, self.name, left(lower), "not read", &theme::strong(11.0), tokens.stop);
                let x = Rangef::new(self.lanes[0].min, self.bars.max);
                write(ui, x, left(rect.center().y), &plain_line(reason), &plain, tokens.stop);
            }
        }
        response
    }

    fn scores(&self, ui: &Ui, rect: Rect, summary: &Summary, axes: &Axes, quiet: Color32) {
        if summary.scores.is_none() {
            let x = Rangef::new(self.lanes[0].min, self.lanes[6].max);
            let text = "scores not known: too much of the blend has no tabled acids";
            write(ui, x, (Align2::LEFT_CENTER, rect.center().y), text, &FontId::proportional(12.0), quiet);
            return;
        }
        let care = Tokens::of(ui).care;
        for ((x, estimate), scale) in self.lanes.into_iter().zip(Estimate::ALL).zip(axes) {
            let (Some(score), Some(scale)) = (summary.score(estimate), *scale) else { continue };
            let lane = Rect::from_x_y_ranges(x.min + WITHIN..=x.max - WITHIN, rect.top() + 4.0..=rect.top() + 24.0);
            axis(ui, lane, scale, estimate, score.range());
            mark_score(ui, lane, scale, (estimate, score.value), Mark::Filled);
            let number = estimate.shown(score.value);
            let (text, colour) = match score.place(estimate) {
                Some(Place::Below) => (format!("{number} ↓"), care),
                Some(Place::Above) => (format!("{number} ↑"), care),
                Some(Place::Inside) | None => (number, quiet),
            };
            let at = (Align2::CENTER_CENTER, rect.top() + 33.0);
            write(ui, x, at, &text, &FontId::proportional(10.5), colour);
        }
    }
}

/// A title of the head in up to two lines; what is sorted by has a mark for its way.
fn heading(ui: &Ui, cell: Rect, title: &str, align: Align2, sorted: Option<bool>, is_hovered: bool) {
    let tokens = Tokens::of(ui);
    let colour = if sorted.is_some() || is_hovered { tokens.ink } else { tokens.quiet };
    let font = FontId::proportional(10.5);
    let x = cell.x_range();
    match title.split_once(' ') {
        Some((upper, lower)) if cell.width() < 120.0 => {
            write(ui, x, (align, cell.center().y - 8.0), upper, &font, colour);
            write(ui, x, (align, cell.center().y + 4.0), lower, &font, colour);
        }
        _ => write(ui, x, (align, cell.center().y - 2.0), title, &font, colour),
    }
    let Some(most_first) = sorted else { return };
    let centre = pos2(align.pos_in_rect(&cell.shrink2(vec2(5.0, 0.0))).x, cell.bottom() - 4.0);
    let way = if most_first { 1.0 } else { -1.0 };
    let points = [vec2(-4.0, -2.5), vec2(4.0, -2.5), vec2(0.0, 2.5)].map(|p| centre + vec2(p.x, p.y * way));
    ui.painter().add(Shape::convex_polygon(points.to_vec(), tokens.accent, Stroke::NONE));
}

/// Writes as much of `text` as there is room for within `x`.
fn write(ui: &Ui, x: Rangef, (align, y): (Align2, f32), text: &str, font: &FontId, colour: Color32) {
    let lay = |text: &str| ui.painter().layout_no_wrap(text.to_owned(), font.clone(), colour);
    let short = cut::in_the_middle(text, |part| lay(part).size().x <= x.span());
    let galley = lay(&short);
    let at = match align {
        Align2::RIGHT_CENTER => Pos2::new(x.max, y),
        Align2::CENTER_CENTER => Pos2::new(x.center(), y),
        _ => Pos2::new(x.min, y),
    };
    let place = align.anchor_size(at, galley.size());
    ui.painter().galley(place.min, galley, colour);
}

/// All that the row shows, for screen readers and tests.
fn sentence(row: &Row) -> String {
    let file = plain_line(&row.listed.file);
    match &row.listed.read {
        Ok(summary) => {
            let known = |e: Estimate| Some(format!("{} {}", e.name().to_lowercase(), score_words(e, summary)?));
            let scores: Vec<String> = Estimate::ALL.into_iter().filter_map(known).collect();
            let (title, style) = (summary.title(), plain_line(&summary.style));
            let bars = summary.bars.as_ref().map_or_else(|| "?".into(), |bars| bars.text.clone());
            let changed =
                row.changed.map_or_else(String::new, |at| format!(", changed {}", day::shown(clock::day_of(at))));
            let made = summary.made_on().map_or_else(String::new, |made| {
                format!(
                    ", made last {}, {} left",
                    day::shown(made.0),
                    counted(summary.bars_left as usize, "bar", "bars")
                )
            });
            let (stops, cost) = (summary.stopped(), summary.cost());
            format!("{title}, {style}, {stops}, {cost}, {bars} bars{made}{changed}; {}", scores.join(", "))
        }
        Err(reason) => format!("{file}, not read: {}", plain_line(reason)),
    }
}
