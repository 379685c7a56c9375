//! A small window that explains a number: its formula with this design's numbers put in, what goes
//! in and whence, how far to trust it, and what would change it most.

use crate::theme::{self, Tokens};
use crate::widgets::{heading, small};
use barwright_core::why::{Why, WhyError};
use eframe::egui::{self, CursorIcon, Id, Label, Response, RichText, ScrollArea, Ui, Window};

/// Whose number is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// Of the design in hand, or of its batch.
    Shown,
    /// Of the design in this column.
    Column(usize),
    /// How far this column lies above the first.
    Difference(usize),
    /// Of the blend at this place among those found.
    Found(usize),
    /// Of the blend that was picked on a curve.
    Picked,
    /// Of the search itself.
    Search,
}

/// A number that was asked about; `key` is its name in a report, or what its view calls it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Asked {
    whose: Whose,
    key: String,
}

fn asked_id() -> Id {
    Id::unique("why asked")
}

/// Makes the number shown by `response` one that can be clicked to be explained; `key` is its name
/// in the report of the design in hand.
pub fn explained(ui: &Ui, response: &Response, key: &str) {
    explained_of(ui, response, Whose::Shown, key);
}

/// The same of another design's number, or of another kind of number.
pub fn explained_of(ui: &Ui, response: &Response, whose: Whose, key: &str) {
    let response = response.interact(egui::Sense::click()).on_hover_cursor(CursorIcon::Help);
    if response.clicked() {
        ask(ui, whose, key);
    }
}

/// Asks about a number that a menu offers to explain.
pub fn ask(ui: &Ui, whose: Whose, key: &str) {
    ui.data_mut(|d| d.insert_temp(asked_id(), Asked { whose, key: key.to_owned() }));
}

/// Draws the window if a number was asked about that `explain` knows; others close it, since what they
/// belong to is not in sight.
pub fn show(ui: &Ui, explain: impl FnOnce(Whose, &str) -> Option<Result<Why, WhyError>>) {
    let Some(Asked { whose, key }) = ui.data(|d| d.get_temp::<Asked>(asked_id())) else { return };
    let Some(explanation) = explain(whose, &key) else {
        ui.data_mut(|d| d.remove::<Asked>(asked_id()));
        return;
    };
    let mut open = true;
    let title = match &explanation {
        Ok(why) => format!("Why {}?", why.value),
        Err(_) => "Why?".into(),
    };
    // Between the columns of numbers, so that the one asked about stays in sight.
    let place = egui::pos2(ui.ctx().content_rect().center().x - 220.0, 70.0);
    Window::new(title)
        .id(Id::unique("why"))
        .open(&mut open)
        .collapsible(false)
        .default_pos(place)
        .default_size([420.0, 600.0])
        .show(ui.ctx(), |ui| {
            ScrollArea::vertical().max_height(600.0).show(ui, |ui| match &explanation {
                Ok(why) => content(ui, why),
                Err(error) => {
                    ui.add(Label::new(error.to_string()).wrap());
                }
            });
        });
    if !open || ui.input(|i| i.key_pressed(egui::Key::Escape)) {
        ui.data_mut(|d| d.remove::<Asked>(asked_id()));
    }
}

fn content(ui: &mut Ui, why: &Why) {
    let quiet = Tokens::of(ui).quiet;
    let wrapped = |ui: &mut Ui, text: RichText| {
        ui.add(Label::new(text).wrap());
    };
    ui.spacing_mut().item_spacing.y = 3.0;
    wrapped(ui, RichText::new(format!("{}: {}", why.title, why.value)).font(theme::strong(14.0)));
    heading(ui, "Formula");
    wrapped(ui, RichText::new(&why.formula));
    heading(ui, "With this design’s numbers");
    wrapped(ui, RichText::new(&why.with_numbers));
    if !why.inputs.is_empty() {
        heading(ui, "What goes in");
    }
    for input in &why.inputs {
        wrapped(ui, RichText::new(format!("{}: {}", input.name, input.value)));
        let trust = input.trust.map_or_else(String::new, |t| format!(" ({})", t.words()));
        wrapped(ui, RichText::new(format!("{}{trust}", input.source)).small().color(quiet));
    }
    heading(ui, "How far to trust it");
    wrapped(ui, RichText::new(&why.trust));
    heading(ui, why.heading_of_changes());
    for change in &why.changes {
        wrapped(ui, RichText::new(format!("{}: {}", change.what, change.effect)));
    }
    if why.changes.is_empty() {
        small(ui, why.without_changes());
    }
}
