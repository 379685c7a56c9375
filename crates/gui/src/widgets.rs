//! Controls that the views share.

pub mod calendar;
pub mod caution;
pub mod cut;
pub mod day_field;
pub mod fitted;
pub mod lane;
pub mod number_field;
pub mod picker;
pub mod steady;
pub mod under_bars;
pub mod unseen;

use crate::keyboard;
use crate::theme::{self, Tokens};
use barwright_core::number::fixed;
use eframe::egui::{
    self, Align, Event, Frame, InputState, Key, Layout, Margin, Rangef, Response, RichText, ScrollArea, Ui, WidgetText,
};
use egui_plot::{AxisHints, GridMark};
use std::ops::RangeInclusive;

/// A heading at the start of a line of a column; what belongs to it may follow in the line.
pub fn section(ui: &mut Ui, text: &str) -> Response {
    ui.label(RichText::new(text).font(theme::strong(12.5)).color(Tokens::of(ui).quiet))
}

/// Secondary text.
pub fn quiet(ui: &mut Ui, text: impl Into<String>) -> Response {
    ui.label(RichText::new(text).color(Tokens::of(ui).quiet))
}

/// Secondary text in the small face.
pub fn small(ui: &mut Ui, text: impl Into<String>) -> Response {
    ui.label(RichText::new(text).small().color(Tokens::of(ui).quiet))
}

/// A heading on a line of its own, set off from what is above.
pub fn heading(ui: &mut Ui, text: &str) -> Response {
    ui.add_space(7.0);
    section(ui, text)
}

/// A column that scrolls when its content is longer than the window, `margin` points within its panel.
pub fn column(ui: &mut Ui, id: &str, margin: Margin, content: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).show(ui, |ui| {
        by_page_keys(ui);
        Frame::new().inner_margin(margin).show(ui, |ui| {
            ui.set_min_width(ui.available_width());
            content(ui);
        });
    });
}

/// Scrolls by the page keys the column in which the focus is; where it is in none, the one under the pointer, else the
/// leftmost.
pub fn by_page_keys(ui: &Ui) {
    let sight = ui.clip_rect();
    let focus = ui.memory(egui::Memory::focused).and_then(|id| ui.ctx().read_response(id));
    if focus.as_ref().is_some_and(|focused| focused.layer_id != ui.layer_id()) {
        // In a calendar, a list or a question the keys are theirs.
        return;
    }
    // What stands above all columns leads into none of them; what has scrolled out of sight still is in its own.
    let is_in_a_column = |of: &Response| of.rect.bottom() > sight.top() || !of.interact_rect.is_positive();
    let focus = focus.filter(is_in_a_column).map(|focused| focused.rect);
    let pointer = ui.input(|i| i.pointer.hover_pos()).filter(|at| at.y > sight.top());
    let is_meant = match (focus, pointer) {
        (Some(rect), _) => sight.x_range().contains(rect.center().x),
        (None, Some(at)) => sight.contains(at),
        (None, None) => sight.left() < ui.ctx().content_rect().left() + 40.0,
    };
    if !is_meant {
        return;
    }
    let pages = ui.input_mut(|i| {
        let pressed = |i: &mut egui::InputState, key| f32::from(u8::from(i.consume_key(egui::Modifiers::NONE, key)));
        pressed(i, egui::Key::PageUp) - pressed(i, egui::Key::PageDown)
    });
    if pages != 0.0 {
        // A part of what was seen stays in sight.
        ui.scroll_with_delta(egui::vec2(0.0, pages * 0.85 * sight.height()));
    }
}

/// The margin of a [`column`]: `sides` points at the left and the right, `top` above.
pub const fn within(sides: i8, top: i8) -> Margin {
    Margin { left: sides, right: sides, top, bottom: 16 }
}

/// A line with a name at the left, as `styled` writes it, shortened where it must be, and what `right` draws at the
/// right, from the edge on.
pub fn line<R, W: Into<WidgetText>>(
    ui: &mut Ui,
    name: &str,
    styled: impl Fn(&str) -> W,
    right: impl FnOnce(&mut Ui) -> R,
) -> R {
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let drawn = right(ui);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| cut::in_two_lines(ui, name, styled));
            drawn
        })
        .inner
    })
    .inner
}

/// A line with a name at the left and a figure at the right.
pub fn figure(ui: &mut Ui, name: &str, value: &str) -> Response {
    let quiet = Tokens::of(ui).quiet;
    line(ui, name, |text| RichText::new(text).color(quiet), |ui| ui.label(value))
}

/// The button of a dialog that Enter takes; it has the focus where no field wants it. Whether it
/// was pressed.
pub fn default_button(ui: &mut Ui, text: &str, enabled: bool) -> bool {
    let tokens = Tokens::of(ui);
    let text = RichText::new(text).font(theme::strong(13.0)).color(tokens.panel);
    let button = egui::Button::new(text).fill(tokens.accent);
    let button = ui.add_enabled(enabled, button);
    keyboard::default(ui, button.id);
    if keyboard::is_new(ui) && !keyboard::is_within(ui) {
        button.request_focus();
    }
    button.clicked()
        || (enabled && (keyboard::enters(ui) || (keyboard::is_on_top(ui) && keyboard::enters_from_text(ui))))
}

/// A button that copies `text` and says so for two seconds; `what` names what is copied.
pub fn copy_button(ui: &mut Ui, what: &str, text: impl FnOnce() -> String) {
    let (id, now) = (egui::Id::unique(("copied at", what)), ui.input(|i| i.time));
    let copied = ui.data(|d| d.get_temp::<f64>(id)).is_some_and(|at| now - at < 2.0);
    let button = ui.button(if copied { "Copied" } else { "Copy" });
    name(ui, &button, &format!("{} {what}", if copied { "Copied" } else { "Copy" }));
    if button.on_hover_text(format!("Copy {what} as text")).clicked() {
        ui.ctx().copy_text(text());
        ui.data_mut(|d| d.insert_temp(id, now));
        ui.ctx().request_repaint_after(std::time::Duration::from_secs(2));
    }
}

/// A slider without a number beside it, `width` points wide; what it shows is typed elsewhere.
/// The pointer moves it in steps of `snap`, the arrow keys too, or by 1; with Shift they move it
/// by a tenth.
///
/// It moves a value only under the hand: one that lies outside the slider's range, or between
/// its steps, stays as it is.
pub fn slider(
    ui: &mut Ui,
    enabled: bool,
    width: f32,
    value: &mut f64,
    range: RangeInclusive<f64>,
    snap: Option<f64>,
) -> Response {
    let (before, ends) = (*value, range.clone());
    let mut slider = egui::Slider::new(value, range);
    if let Some(snap) = snap {
        slider = slider.step_by(snap);
    }
    let drawn = ui.scope(|ui| {
        ui.spacing_mut().slider_width = width;
        // The handle takes its size from the height of a control.
        ui.spacing_mut().interact_size.y = 17.0;
        ui.visuals_mut().selection.bg_fill = Tokens::of(ui).accent;
        ui.add_enabled(enabled, slider.clamping(egui::SliderClamping::Never).show_value(false))
    });
    let mut response = drawn.inner;
    let steps = if response.has_focus() { ui.input(|i| arrows(i, Key::ArrowRight, Key::ArrowLeft)) } else { 0.0 };
    if steps != 0.0 {
        let step = if steps.fract() == 0.0 { snap.unwrap_or(1.0) } else { 1.0 };
        *value = stepped(before, steps * step).clamp(ends.start().min(before), ends.end().max(before));
        response.mark_changed();
    }
    response
}

/// How many steps the arrow keys ask for; with Shift they are tenths.
pub fn arrows(input: &InputState, up: Key, down: Key) -> f64 {
    let pressed = |event: &Event| match event {
        Event::Key { key, pressed: true, modifiers, .. } if *key == up || *key == down => {
            let size = if modifiers.shift { 0.1 } else { 1.0 };
            if *key == up { size } else { -size }
        }
        _ => 0.0,
    };
    input.events.iter().map(pressed).sum()
}

/// `value` moved `by` a step, onto whole numbers by whole ones and else onto tenths.
pub fn stepped(value: f64, by: f64) -> f64 {
    if by.fract() == 0.0 { (value + by).round() } else { ((value + by) * 10.0).round() / 10.0 }
}

/// A chart that is looked at and not moved about.
pub fn still_plot(ui: &Ui, id: &str) -> egui_plot::Plot<'static> {
    egui_plot::Plot::new(id)
        .show_x(false)
        .show_y(false)
        .show_grid([false, true])
        .show_background(false)
        .grid_color(Tokens::of(ui).line)
        .allow_zoom(false)
        .allow_drag(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .allow_axis_zoom_drag(false)
}

/// A [`still_plot`] over `low` to `high` percent, marked at whole percents; its height has no scale.
pub fn percent_plot(ui: &Ui, id: &str, low: f64, high: f64) -> egui_plot::Plot<'static> {
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().find(|s| (high - low) / s < 7.0).unwrap_or(25.0);
    let axis = AxisHints::new_x().label_spacing(Rangef::new(8.0, 12.0));
    still_plot(ui, id)
        .show_grid([false, false])
        .custom_y_axes(Vec::new())
        .custom_x_axes(vec![axis.formatter(|mark, _| format!("{} %", fixed(mark.value, 0)))])
        .x_grid_spacer(move |_| {
            let marks = (-50..=50).map(|i| f64::from(i) * step).filter(|v| (low..=high).contains(v));
            marks.map(|value| GridMark { value, step_size: step }).collect()
        })
}

/// Lets a screen reader say `words` for a text that says less on the screen.
pub fn says(ui: &Ui, text: &Response, words: &str) {
    ui.ctx().accesskit_node_builder(text.id, |node| node.set_value(words));
}

/// Gives a control the name that a screen reader says; for controls that write no text.
pub fn name(ui: &Ui, response: &Response, name: &str) {
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(name));
}
