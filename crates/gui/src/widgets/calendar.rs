//! A button that opens a month to choose a day from, by pointer or by keyboard.

use super::name;
use crate::clock;
use crate::theme::{self, Tokens};
use barwright_core::bench::day::begins_week;
use barwright_core::bench::label::Region;
use barwright_core::bench::schedule::NaiveDate;
use chrono::{Datelike, Days, Months, NaiveWeek, Weekday};
use eframe::egui::{
    Button, CornerRadius, EventFilter, Grid, Id, Key, Modifiers, Popup, PopupCloseBehavior, Pos2, Rangef, Rect,
    Response, RichText, Stroke, StrokeKind, Ui, pos2, vec2,
};

/// Width of a day, points.
const DAY: f32 = 30.0;
/// Rows that any month fits into, so that nothing moves from one month to the next.
const WEEKS: u64 = 6;

/// Where the keyboard is in an open calendar.
#[derive(Debug, Clone, Copy)]
struct Cursor {
    day: NaiveDate,
    /// Whether the day is to take the focus.
    moved: bool,
}

/// Draws the button, called `called`, for the day `chosen`; gives the day that was chosen in this frame.
pub fn calendar_button(
    ui: &mut Ui,
    id: Id,
    called: &str,
    chosen: Option<NaiveDate>,
    region: Region,
) -> Option<NaiveDate> {
    let button = ui.add(Button::new("").min_size(vec2(28.0, 24.0)));
    name(ui, &button, called);
    sign(ui, button.rect.center());
    let button = button.on_hover_text("Choose the day from a calendar");
    let list = id.with("calendar");
    let was_open = Popup::is_id_open(ui.ctx(), list);
    if button.clicked() && !was_open {
        let cursor = Cursor { day: chosen.unwrap_or_else(clock::today), moved: true };
        ui.data_mut(|d| d.insert_temp(list, cursor));
    }
    let shown = Popup::from_toggle_button_response(&button)
        .id(list)
        .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
        .show(|ui| month(ui, list, chosen, region));
    let taken = shown.and_then(|shown| shown.inner);
    if taken.is_some() {
        Popup::close_id(ui.ctx(), list);
    }
    if taken.is_some() || was_open && !Popup::is_id_open(ui.ctx(), list) && ui.memory(|m| m.focused().is_none()) {
        // The hand goes on where it was.
        button.request_focus();
    }
    taken
}

/// A leaf of a calendar: drawn by hand, since no face has it.
fn sign(ui: &Ui, center: Pos2) {
    let stroke = Stroke::new(1.3, Tokens::of(ui).ink);
    let leaf = Rect::from_center_size(center + vec2(0.0, 0.5), vec2(13.0, 12.0));
    let painter = ui.painter();
    painter.rect_stroke(leaf, CornerRadius::same(2), stroke, StrokeKind::Middle);
    painter.hline(leaf.x_range(), leaf.top() + 3.5, stroke);
    for x in [leaf.left() + 3.5, leaf.right() - 3.5] {
        painter.vline(x, Rangef::new(leaf.top() - 2.0, leaf.top() + 1.0), stroke);
        for y in [leaf.top() + 6.3, leaf.top() + 9.3] {
            painter.circle_filled(pos2(x, y), 1.0, stroke.color);
        }
    }
}

/// Draws the month in which the cursor is; gives the day that was chosen.
fn month(ui: &mut Ui, list: Id, chosen: Option<NaiveDate>, region: Region) -> Option<NaiveDate> {
    let today = clock::today();
    let cursor = ui.data(|d| d.get_temp(list)).unwrap_or(Cursor { day: today, moved: false });
    // Where it goes is seen in the next frame, which has the other month in its place.
    let mut next = Cursor { moved: false, ..cursor };
    let mut taken = None;
    ui.spacing_mut().item_spacing = vec2(2.0, 2.0);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        for (sign, called, to) in
            [("‹", "The month before", Step::MonthBefore), ("›", "The next month", Step::NextMonth)]
        {
            let button = ui.button(sign);
            name(ui, &button, called);
            if button.on_hover_text(called).clicked() {
                next.day = to.from(cursor.day);
            }
        }
        ui.label(RichText::new(cursor.day.format("%B %Y").to_string()).font(theme::strong(13.0)));
    });
    let first_of_week = begins_week(region);
    Grid::new(list.with("days")).min_col_width(DAY).spacing(vec2(2.0, 2.0)).show(ui, |ui| {
        for column in 0..7 {
            ui.vertical_centered(|ui| super::small(ui, weekday(first_of_week, column).to_string()));
        }
        ui.end_row();
        let first = cursor.day.with_day(1).unwrap_or(cursor.day);
        let from = NaiveWeek::checked_first_day(&first.week(first_of_week)).unwrap_or(first);
        for week in 0..WEEKS {
            for column in 0..7 {
                if let Some(day) = from.checked_add_days(Days::new(7 * week + column)) {
                    let drawn = one_day(ui, day, cursor.day, chosen == Some(day), day == today);
                    if drawn.clicked() {
                        taken = Some(day);
                    }
                    if day == cursor.day && cursor.moved {
                        drawn.request_focus();
                    }
                    if drawn.has_focus() {
                        next = walk(ui, &drawn, day).unwrap_or(next);
                    }
                }
            }
            ui.end_row();
        }
    });
    ui.horizontal(|ui| {
        if ui.button("Today").clicked() {
            taken = Some(today);
        }
        super::small(ui, "Arrows and Page keys move, Enter takes");
    });
    ui.data_mut(|d| d.insert_temp(list, next));
    taken
}

fn weekday(first: Weekday, column: u8) -> Weekday {
    (0..column).fold(first, |day, _| day.succ())
}

/// A day of the month, or quietly of one beside it.
fn one_day(ui: &mut Ui, day: NaiveDate, cursor: NaiveDate, is_chosen: bool, is_today: bool) -> Response {
    let tokens = Tokens::of(ui);
    let is_of_month = day.month() == cursor.month();
    let colour = if is_of_month { tokens.ink } else { tokens.quiet };
    let mut text = RichText::new(day.day().to_string()).color(colour);
    if is_today {
        text = text.font(theme::strong(13.0)).color(tokens.accent);
    }
    let button = Button::selectable(is_chosen, text).min_size(vec2(DAY, 24.0));
    let drawn = ui.push_id(day, |ui| ui.add(button)).inner;
    if drawn.has_focus() {
        let ring = Stroke::new(1.5, tokens.accent);
        ui.painter().rect_stroke(drawn.rect, CornerRadius::same(5), ring, StrokeKind::Inside);
    }
    let today = if is_today { ", today" } else { "" };
    name(ui, &drawn, &format!("{}{today}", day.format("%A %-d %B %Y")));
    drawn
}

/// A step of the keyboard.
#[derive(Debug, Clone, Copy)]
enum Step {
    Days(i8),
    MonthBefore,
    NextMonth,
}

impl Step {
    /// The day that is this step from `day`; the same at an end of the calendar.
    fn from(self, day: NaiveDate) -> NaiveDate {
        let to = match self {
            Self::Days(by) if by < 0 => day.checked_sub_days(Days::new(u64::from(by.unsigned_abs()))),
            Self::Days(by) => day.checked_add_days(Days::new(u64::from(by.unsigned_abs()))),
            Self::MonthBefore => day.checked_sub_months(Months::new(1)),
            Self::NextMonth => day.checked_add_months(Months::new(1)),
        };
        to.unwrap_or(day)
    }
}

/// Where the cursor goes by the keys that were pressed while `day` has the focus.
fn walk(ui: &Ui, drawn: &Response, day: NaiveDate) -> Option<Cursor> {
    // The toolkit would move the focus to whatever lies that way.
    let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(drawn.id, arrows));
    let steps = [
        (Key::ArrowLeft, Step::Days(-1)),
        (Key::ArrowRight, Step::Days(1)),
        (Key::ArrowUp, Step::Days(-7)),
        (Key::ArrowDown, Step::Days(7)),
        (Key::PageUp, Step::MonthBefore),
        (Key::PageDown, Step::NextMonth),
    ];
    let pressed = ui.input_mut(|i| steps.into_iter().find(|(key, _)| i.consume_key(Modifiers::NONE, *key)));
    let (_, step) = pressed?;
    ui.ctx().request_repaint();
    Some(Cursor { day: step.from(day), moved: true })
}
