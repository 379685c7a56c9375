//! The head of the columns: which designs, and what is done with a whole column.

use super::{Compared, LETTERS, Request, SIGNS, Side, Widths, cell, line};
use crate::theme::{self, Tokens};
use crate::widgets::name;
use crate::widgets::number_field::before_change;
use barwright_core::design::edit::Edit;
use barwright_core::explain::compare::{MOST_SIDES, Row};
use eframe::egui::{Button, ComboBox, RichText, Ui};

/// What a screen reader calls the lists of designs.
const CHOOSERS: [&str; MOST_SIDES] = ["First design", "Second design", "Third design", "Fourth design"];

/// Draws the head.
pub(super) fn show(ui: &mut Ui, widths: Widths, compared: &Compared<'_>, request: &mut Option<Request>) {
    line(ui, |ui| {
        cell(ui, widths.names, |ui| {
            if ui.button("Swap A and B").clicked() {
                swap(compared, 0, 1, request);
            }
            before_change(ui);
        });
        for column in 0..compared.sides.len() {
            cell(ui, widths.value, |ui| chooser(ui, compared, column, request));
            if column > 0 {
                cell(ui, widths.difference, |_| {});
            }
        }
    });
    line(ui, |ui| {
        cell(ui, widths.names, |ui| add_column(ui, compared, request));
        for (column, side) in compared.sides.iter().enumerate() {
            cell(ui, widths.value, |ui| {
                let full = format!("Column {}…", LETTERS[column]);
                // Many columns are narrow, and the undo stands beside it.
                let text = if compared.sides.len() > 2 { format!("{}…", LETTERS[column]) } else { full.clone() };
                let menu = ui.menu_button(text, |ui| more(ui, compared, column, request));
                name(ui, &menu.response, &full);
                menu.response.on_hover_text("Make it like another one, swap, copy, undo, remove");
                undo(ui, side, column, request);
            });
            if column > 0 {
                let text = RichText::new(format!("{} − A", LETTERS[column])).font(theme::strong(13.0));
                cell(ui, widths.difference, |ui| ui.label(text));
            }
        }
    });
}

fn swap(compared: &Compared<'_>, i: usize, j: usize, request: &mut Option<Request>) {
    let mut keys = compared.keys();
    keys.swap(i, j);
    *request = Some(Request::Columns(keys));
}

fn chooser(ui: &mut Ui, compared: &Compared<'_>, column: usize, request: &mut Option<Request>) {
    let side = &compared.sides[column];
    let mark = RichText::new(format!("{} {}", SIGNS[column], LETTERS[column])).font(theme::strong(14.0));
    ui.label(mark.color(Tokens::of(ui).accent));
    let text = RichText::new(&side.title).font(theme::strong(13.0));
    let combo = ComboBox::from_id_salt(CHOOSERS[column]).selected_text(text);
    let combo = combo.width((ui.available_width() - 10.0).max(30.0)).truncate();
    let shown = combo.show_ui(ui, |ui| {
        let keys = compared.keys();
        for (key, title) in compared.open.iter().filter(|(k, _)| *k == side.key || !keys.contains(k)) {
            if ui.selectable_label(*key == side.key, title).clicked() {
                let mut keys = keys.clone();
                keys[column] = *key;
                *request = Some(Request::Columns(keys));
            }
        }
    });
    name(ui, &shown.response, CHOOSERS[column]);
    shown.response.on_hover_text(&side.title);
}

fn add_column(ui: &mut Ui, compared: &Compared<'_>, request: &mut Option<Request>) {
    let keys = compared.keys();
    ui.add_enabled_ui(keys.len() < MOST_SIDES, |ui| {
        let menu = ui.menu_button("Add a column…", |ui| {
            for (key, title) in compared.open.iter().filter(|(k, _)| !keys.contains(k)) {
                if ui.button(title).clicked() {
                    *request = Some(Request::Columns(keys.iter().copied().chain([*key]).collect()));
                }
            }
            if ui.button("A copy of A").clicked() {
                *request = Some(Request::Copy(keys[0]));
            }
        });
        menu.response.on_disabled_hover_text("Four designs are the most that stand side by side");
    });
}

fn undo(ui: &mut Ui, side: &Side, column: usize, request: &mut Option<Request>) {
    if let Some(step) = &side.step {
        let button = ui.small_button("Undo");
        name(ui, &button, &format!("Undo in {}: {step}", LETTERS[column]));
        if button.on_hover_text(format!("Take back in {}: {step}", side.title)).clicked() {
            *request = Some(Request::Undo(side.key));
        }
    }
}

fn more(ui: &mut Ui, compared: &Compared<'_>, column: usize, request: &mut Option<Request>) {
    let (keys, letter) = (compared.keys(), LETTERS[column]);
    let others: Vec<usize> = (0..keys.len()).filter(|i| *i != column).collect();
    for other in &others {
        ui.menu_button(format!("Make {letter} like {} in", LETTERS[*other]), |ui| {
            like(ui, compared, column, *other, request);
        });
    }
    ui.separator();
    for other in &others {
        if ui.button(format!("Swap {letter} with {}", LETTERS[*other])).clicked() {
            swap(compared, column, *other, request);
        }
    }
    ui.separator();
    if ui.button("Copy to a new design").clicked() {
        *request = Some(Request::Copy(keys[column]));
    }
    let remove = ui.add_enabled(keys.len() > 2, Button::new(format!("Remove column {letter}")));
    if remove.on_disabled_hover_text("Two columns are the least").clicked() {
        let rest = keys.iter().copied().filter(|k| *k != keys[column]).collect();
        *request = Some(Request::Columns(rest));
    }
}

/// In what column `to` can be made like column `from`.
fn like(ui: &mut Ui, compared: &Compared<'_>, to: usize, from: usize, request: &mut Option<Request>) {
    let (there, here) = (&compared.sides[from], &compared.sides[to]);
    let differs = there.made.design.blend != here.made.design.blend;
    if ui.add_enabled(differs, Button::new("The whole blend")).on_disabled_hover_text("It is the same").clicked() {
        *request = Some(Request::Change(here.key, Box::new(Edit::TakeBlend(there.made.design.blend.clone()))));
    }
    for row in compared.groups.iter().flat_map(|g| &g.rows).filter(|r| r.subject.is_set()) {
        make_alike(ui, &row.name, compared, row, [from, to], request);
    }
}

/// A menu entry that makes column `to` like column `from` in what `row` shows; none where that
/// changes nothing.
pub(super) fn make_alike(
    ui: &mut Ui,
    text: &str,
    compared: &Compared<'_>,
    row: &Row,
    [from, to]: [usize; 2],
    request: &mut Option<Request>,
) {
    let (there, here) = (&compared.sides[from], &compared.sides[to]);
    let Some(edit) = row.subject.edit(there.core(), &here.made.design, compared.library) else { return };
    let button = ui.add_enabled(edit.is_ok(), Button::new(text));
    match edit {
        Ok(edit) if button.clicked() => *request = Some(Request::Change(here.key, Box::new(edit))),
        Ok(_) => {}
        Err(error) => {
            button.on_disabled_hover_text(error.to_string());
        }
    }
}
