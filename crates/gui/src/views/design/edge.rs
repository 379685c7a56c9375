//! The edge between the column of the blend and the bar's, which may be dragged: long names want more room, a small
//! window less.

use crate::theme::Tokens;
use eframe::egui::{CursorIcon, EventFilter, Id, Key, Rect, Role, Sense, Stroke, Ui, WidgetInfo};
use serde::{Deserialize, Serialize};

/// How wide the column of the blend is, points; `None`: as the window chooses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Edge(Option<u16>);

/// Which part of the window the column takes by itself, and how wide it then is at the least and at the most, points.
const PART: f32 = 0.335;
const USUAL: (f32, f32) = (340.0, 660.0);
/// What it needs at the least, and what it leaves to the bar and the batch, points.
const LEAST: f32 = 320.0;
const REST: f32 = 580.0;
/// Width of what can be taken hold of, points, and how far an arrow key moves it.
const GRIP: f32 = 7.0;
const STEP: f32 = 8.0;

impl Edge {
    /// Width of the column in a window `full` points wide.
    pub fn width(self, full: f32) -> f32 {
        match self.0 {
            Some(points) => f32::from(points).clamp(LEAST, (full - REST).max(LEAST)),
            None => (full * PART).clamp(USUAL.0, USUAL.1),
        }
    }

    /// One for a column `width` points wide.
    fn at(width: f32) -> Self {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a float becomes the nearest u16")]
        let points = width.round() as u16;
        Self(Some(points))
    }

    /// Draws it at `x` in the window `full`, and moves it as the hand or the arrow keys want; a double click or the Home key
    /// gives it back to the window.
    pub fn show(&mut self, ui: &Ui, full: Rect, x: f32) {
        let grip = Rect::from_x_y_ranges(x - GRIP / 2.0..=x + GRIP / 2.0, full.y_range());
        let response = ui.interact(grip, Id::unique("edge of the blend"), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(Role::Splitter, true, "Width of the blend’s column"));
        let mut by = response.drag_delta().x;
        if response.has_focus() {
            let id = response.id;
            let arrows = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
            ui.memory_mut(|m| m.set_focus_lock_filter(id, arrows));
            by += STEP
                * ui.input(|i| f32::from(i.key_pressed(Key::ArrowRight)) - f32::from(i.key_pressed(Key::ArrowLeft)));
        }
        if by != 0.0 {
            *self = Self::at(self.width(full.width()) + by);
            ui.ctx().request_repaint();
        }
        if response.double_clicked() || (response.has_focus() && ui.input(|i| i.key_pressed(Key::Home))) {
            *self = Self::default();
        }
        if response.hovered() || response.dragged() || response.has_focus() {
            ui.painter().vline(x, full.y_range(), Stroke::new(2.0, Tokens::of(ui).accent));
        }
        response
            .on_hover_cursor(CursorIcon::ResizeHorizontal)
            .on_hover_text("Drag to give the names more room; a double click puts it back");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_column_stays_usable_in_every_window() {
        for full in [960.0, 1000.0, 1280.0, 1920.0, 2560.0] {
            for edge in [Edge::default(), Edge::at(-10.0), Edge::at(full), Edge::at(450.0)] {
                let width = edge.width(full);
                assert!(width >= LEAST && full - width >= REST, "{edge:?} in {full}: {width}");
            }
        }
        let dragged = Edge::at(500.0).width(1280.0);
        assert!((dragged - 500.0).abs() < 1.0, "{dragged}");
    }
}
