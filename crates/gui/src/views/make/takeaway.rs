//! What a person takes away: the recipe card, and pages to print.

use super::MakeView;
use crate::command::Command;
use crate::views::{Changes, Request};
use crate::widgets::{name, section};
use barwright_core::bench::label::{NO_BATCH, WEIGH_THE_LIGHTEST};
use barwright_core::render::pages::PieceSize;
use eframe::egui::{ComboBox, RichText, Ui};

/// Draws the buttons.
pub fn show(ui: &mut Ui, view: &mut MakeView, changes: &mut Changes) {
    section(ui, "To take away");
    ui.horizontal_wrapped(|ui| {
        ui.menu_button("Recipe card", |ui| {
            for command in [Command::CopyCard, Command::SaveCardPage, Command::SaveCardMarkdown, Command::SaveCardText]
            {
                entry(ui, command, changes);
            }
        });
        for command in [Command::PrintLabels, Command::PrintTags, Command::PrintCuring] {
            entry(ui, command, changes);
        }
        let sizes = ComboBox::from_id_salt("label size").selected_text(view.label_size.words()).width(96.0);
        let response = sizes.show_ui(ui, |ui| {
            for size in PieceSize::USUAL {
                ui.selectable_value(&mut view.label_size, size, size.words());
            }
        });
        name(ui, &response.response, "Size of a label");
    });
    let text = format!("{WEIGH_THE_LIGHTEST} Labels of a design say “{NO_BATCH}”.");
    ui.label(RichText::new(text).small());
}

fn entry(ui: &mut Ui, command: Command, changes: &mut Changes) {
    if ui.button(command.text()).on_hover_text(command.tip()).clicked() {
        changes.request(Request::Run(command));
    }
}
