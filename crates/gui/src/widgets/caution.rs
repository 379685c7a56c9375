//! A caution on screen: its level in a word and a colour, why, what to do, and the remedy.

use crate::theme::{self, Tokens};
use barwright_core::cautions::{Caution, Level};
use barwright_core::design::edit::Edit;
use eframe::egui::{self, Color32, CornerRadius, Frame, Margin, RichText, Stroke, Ui};

/// Draws `caution`; gives the remedy's edit when its button is pressed.
pub fn show(ui: &mut Ui, caution: &Caution) -> Option<Edit> {
    let tokens = Tokens::of(ui);
    let colour = match caution.level {
        Level::Stop => tokens.stop,
        Level::Care => tokens.care,
        Level::Note => tokens.accent,
    };
    let mut chosen = None;
    framed(ui, caution.level.word(), colour, |ui| {
        ui.add(egui::Label::new(&caution.why).wrap());
        ui.add(egui::Label::new(RichText::new(&caution.advice).color(tokens.quiet)).wrap());
        if let Some(remedy) = &caution.remedy
            && ui.button(RichText::new(&remedy.label).color(tokens.accent)).clicked()
        {
            chosen = Some(remedy.edit.clone());
        }
    });
    chosen
}

/// Draws a frame with a bar of `colour` at its left and `word` above its content.
pub fn framed(ui: &mut Ui, word: &str, colour: Color32, content: impl FnOnce(&mut Ui)) {
    let tokens = Tokens::of(ui);
    let frame = Frame::new()
        .fill(tokens.ground)
        .stroke(Stroke::new(1.0, tokens.line))
        .corner_radius(CornerRadius::same(4))
        .inner_margin(Margin { left: 12, right: 10, top: 7, bottom: 7 });
    let response = frame.show(ui, |ui| {
        ui.set_min_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 3.0;
        ui.label(RichText::new(word).font(theme::strong(12.5)).color(colour));
        content(ui);
    });
    let rect = response.response.rect;
    let bar = egui::Rect::from_min_size(rect.min, egui::vec2(4.0, rect.height()));
    ui.painter().rect_filled(bar, CornerRadius { nw: 4, sw: 4, ne: 0, se: 0 }, colour);
}
