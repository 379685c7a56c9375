//! Left column: the notes.

use super::controls::id_of;
use crate::keyboard;
use crate::open::OpenDesign;
use crate::views::Changes;
use crate::widgets::{heading, name, small};
use barwright_core::design::edit::Edit;
use eframe::egui::{TextEdit, Ui};

/// Draws the field.
pub fn show(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    heading(ui, "Notes");
    let mut notes = open.design().notes.clone();
    let field = TextEdit::multiline(&mut notes)
        .id(id_of(open, "notes"))
        .hint_text("What this bar is for, what to try next time")
        .desired_rows(2)
        .char_limit(20_000)
        .desired_width(f32::INFINITY);
    let response = ui.add(field);
    name(ui, &response, "Notes");
    keyboard::undo_of(ui, &response);
    if response.changed() {
        changes.gesture(Edit::Notes(notes), response.id);
    }
    changes.watch(&response);
    small(ui, "Lye burns: wear goggles and gloves, add the alkali to the water, never the other way round.");
}
