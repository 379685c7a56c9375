//! What an empty design says in the place of the bar: three ways to start.

use crate::command::Command;
use crate::examples;
use crate::theme::{self, Tokens};
use crate::views::{Changes, Request};
use crate::widgets::quiet;
use eframe::egui::{CornerRadius, Frame, Margin, RichText, Ui, vec2};

/// Draws the ways.
pub fn show(ui: &mut Ui, changes: &mut Changes) {
    ui.add_space(16.0);
    ui.label(RichText::new("An empty design").font(theme::strong(16.0)));
    quiet(
        ui,
        "Three ways to start. Nothing is fixed by it: every number can be changed later, and undo takes it back.",
    );
    ui.add_space(8.0);
    way(ui, "Your own blend", "Type the fats and how much of each; the lye follows.", |ui| {
        if ui.button("Type a blend").clicked() {
            changes.request(Request::TypeBlend);
        }
    });
    way(ui, "An example", "A complete design to look at and to vary.", |ui| {
        for (index, example) in examples::ALL.iter().enumerate() {
            if ui.button(example.title).clicked() {
                changes.request(Request::Example(index));
            }
        }
    });
    way(ui, "A recipe", "Weights from a book: you see the superfat that it really has.", |ui| {
        if ui.button(Command::TypeInRecipe.text()).clicked() {
            changes.request(Request::Run(Command::TypeInRecipe));
        }
    });
}

/// One way: what it is, and its buttons.
fn way(ui: &mut Ui, title: &str, what: &str, buttons: impl FnOnce(&mut Ui)) {
    let panel = Frame::new().fill(Tokens::of(ui).panel).corner_radius(CornerRadius::same(8));
    panel.inner_margin(Margin::symmetric(16, 12)).show(ui, |ui| {
        ui.set_min_width(ui.available_width());
        ui.label(RichText::new(title).font(theme::strong(13.0)));
        quiet(ui, what);
        ui.add_space(2.0);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(8.0, 6.0);
            buttons(ui);
        });
    });
    ui.add_space(8.0);
}
