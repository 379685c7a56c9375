//! Files that are dropped on the window. On Wayland the toolkit cannot take them, so this is only ever an extra.

use super::App;
use crate::files;
use crate::theme::{Tokens, strong};
use eframe::egui::{self, Align2, Area, Color32, CornerRadius, Frame, Id, Label, LayerId, Margin, Order, RichText};
use std::path::PathBuf;

impl App {
    /// Opens each file that was dropped; each that cannot be opened is told of.
    pub(super) fn take_dropped(&mut self, ctx: &egui::Context) {
        let dropped: Vec<PathBuf> = ctx.input(|i| i.raw.dropped_files.iter().map(|f| f.path().to_owned()).collect());
        for path in &dropped {
            self.open_path(path, ctx);
        }
        let opened = dropped.iter().filter(|path| self.holder(&files::absolute(path)).is_some()).count();
        if opened > 1 && !self.notice.as_ref().is_some_and(|notice| notice.is_error) {
            self.tell(format!("{opened} designs opened: choose one at the top, or see them in Compare"));
        }
    }
}

/// Says what letting go would do, while files are held over the window.
pub(super) fn show(ctx: &egui::Context) {
    let held = ctx.input(|i| i.raw.hovered_files.len());
    if held == 0 {
        return;
    }
    let text = if held == 1 { "Let go to open the file".to_owned() } else { format!("Let go to open {held} files") };
    let window = ctx.content_rect();
    let shade = ctx.layer_painter(LayerId::new(Order::Foreground, Id::unique("shade of dropping")));
    shade.rect_filled(window, 0.0, Color32::from_black_alpha(120));
    let area = Area::new(Id::unique("dropping")).order(Order::Tooltip).interactable(false);
    area.anchor(Align2::CENTER_CENTER, egui::Vec2::ZERO).show(ctx, |ui| {
        let frame = Frame::new().fill(Tokens::of(ui).panel).corner_radius(CornerRadius::same(8));
        frame.inner_margin(Margin::symmetric(24, 16)).show(ui, |ui| {
            ui.add(Label::new(RichText::new(text).font(strong(16.0))).extend());
        });
    });
}
