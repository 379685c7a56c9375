//! The line at the bottom of the window: what was done, or what went wrong.

use super::App;
use crate::theme::Tokens;
use crate::widgets::name;
use eframe::egui::{Align2, Area, Event, Frame, Id, Label, Margin, Order, Panel, RichText, Stroke, Ui, vec2};

/// A line at the bottom of the window.
#[derive(Debug, Clone)]
pub(super) struct Notice {
    pub(super) text: String,
    pub(super) is_error: bool,
    /// When good news was first shown, in seconds of the window's clock.
    since: Option<f64>,
    /// Whether anything was typed since.
    is_typed_on: bool,
}

/// How long good news stays, seconds.
const NEWS: f64 = 6.0;
/// How long it stays where the hand goes on, seconds.
const SEEN: f64 = 1.5;

impl App {
    /// Shows an error beside those that nobody has put away yet.
    pub(super) fn fail(&mut self, error: impl std::fmt::Display) {
        let earlier = self.notice.take().filter(|n| n.is_error).map_or_else(String::new, |n| format!("{}\n", n.text));
        self.notice =
            Some(Notice { text: format!("{earlier}{error}"), is_error: true, since: None, is_typed_on: false });
    }

    pub(super) fn tell(&mut self, text: String) {
        self.notice = Some(Notice { text, is_error: false, since: None, is_typed_on: false });
    }

    /// Tells what is no news beside an error that nobody has put away yet.
    pub(super) fn tell_beside(&mut self, text: Option<String>) {
        if let (Some(text), false) = (text, self.notice.as_ref().is_some_and(|n| n.is_error)) {
            self.tell(text);
        }
    }

    pub(super) fn notice_line(&mut self, ui: &mut Ui) {
        let now = ui.input(|i| i.time);
        let Some(notice) = &mut self.notice else { return };
        if !notice.is_error {
            let since = *notice.since.get_or_insert(now);
            // It lies over the view: a hand that goes on wants what is under it.
            notice.is_typed_on |= ui.input(|i| i.events.iter().any(|e| matches!(e, Event::Text(_))));
            let until = since + if notice.is_typed_on { SEEN } else { NEWS };
            if now >= until {
                self.notice = None;
                return;
            }
            ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(until - now + 0.01));
        }
        let notice = notice.clone();
        let tokens = Tokens::of(ui);
        let frame = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(16, 6));
        if notice.is_error {
            Panel::bottom("notice").frame(frame).show(ui, |ui| self.notice_words(ui, &notice));
            return;
        }
        // Good news comes and goes by itself: it lies over the view, so that nothing moves under the hand.
        let frame = frame.stroke(Stroke::new(1.0, tokens.edge)).corner_radius(6);
        Area::new(Id::unique("news")).anchor(Align2::LEFT_BOTTOM, vec2(12.0, -10.0)).order(Order::Middle).show(
            ui.ctx(),
            |ui| {
                frame.show(ui, |ui| self.notice_words(ui, &notice));
            },
        );
    }

    /// Draws what it says, with a button to put it away.
    fn notice_words(&mut self, ui: &mut Ui, notice: &Notice) {
        let tokens = Tokens::of(ui);
        ui.horizontal(|ui| {
            let dismiss = ui.button("×");
            name(ui, &dismiss, "Dismiss the message");
            if dismiss.on_hover_text("Dismiss").clicked() {
                self.notice = None;
            }
            let colour = if notice.is_error { tokens.stop } else { tokens.fine };
            ui.add(Label::new(RichText::new(&notice.text).color(colour)).wrap());
        });
    }
}
