//! The rows: each number of every design, with its difference to the first.

use super::head::make_alike;
use super::{Compared, LETTERS, Request, Widths, cell, line};
use crate::theme::{self, Tokens, fat_colour};
use crate::views::design::colour;
use crate::views::why::{self, Owner, Subject as Asked};
use crate::widgets::{cut, heading, name, small};
use barwright_core::explain::compare::{Missing, Row, Subject};
use barwright_core::quantities::About;
use eframe::egui::{Color32, CornerRadius, Label, Response, RichText, Sense, Ui, vec2};

/// Draws the rows.
pub(super) fn show(ui: &mut Ui, widths: Widths, compared: &Compared<'_>, request: &mut Option<Request>) {
    heading(ui, "Likely colour of the bar");
    for (title, part) in [("Shade", colour::line as fn(&mut Ui, About<'_>)), ("It rests on", basis)] {
        line(ui, |ui| {
            cell(ui, widths.names, |ui| ui.label(title));
            for (column, side) in compared.sides.iter().enumerate() {
                cell(ui, widths.value, |ui| part(ui, side.made.about(compared.library)));
                if column > 0 {
                    cell(ui, widths.difference, |_| {});
                }
            }
        });
    }
    for group in compared.groups.iter() {
        heading(ui, group.name);
        let most = group.rows.iter().flat_map(|r| r.values.iter().flatten()).fold(1.0_f64, |a, b| a.max(*b));
        for row in &group.rows {
            line(ui, |ui| {
                cell(ui, widths.names, |ui| {
                    // What is cut must not touch the number.
                    ui.set_max_width(widths.names - 8.0);
                    let shown = cut::two_lines(ui, &row.name, widths.names - 8.0);
                    if let Subject::Estimate(estimate) = row.subject {
                        let (low, high) = estimate.ends();
                        shown.on_hover_text(format!("{low} → {high}"));
                    }
                });
                for column in 0..compared.sides.len() {
                    cell(ui, widths.value, |ui| match &row.subject {
                        Subject::Share(fat) => share(ui, row, column, most, fat_colour(fat.as_str())),
                        _ => value(ui, compared, row, column),
                    });
                    if column > 0 {
                        cell(ui, widths.difference, |ui| difference(ui, compared, row, column, request));
                    }
                }
            });
        }
    }
}

/// On what the shade rests.
fn basis(ui: &mut Ui, about: About<'_>) {
    ui.add(Label::new(RichText::new(colour::basis(about)).small().color(Tokens::of(ui).quiet)).truncate());
}

fn share(ui: &mut Ui, row: &Row, column: usize, most: f64, colour: Color32) {
    let room = ui.available_width() - 66.0;
    if let Some(share) = row.values[column].filter(|_| room >= 24.0) {
        #[expect(clippy::cast_possible_truncation, reason = "a length on the screen")]
        let width = room * (share / most).clamp(0.0, 1.0) as f32;
        let (rect, _) = ui.allocate_exact_size(vec2(width.max(1.0), 10.0), Sense::hover());
        ui.painter().rect_filled(rect, CornerRadius::same(2), colour);
    }
    let shown = ui.label(row.text(column));
    number(ui, &shown, row, column);
}

/// Lets a number explain itself; what is not in a design has none.
fn number(ui: &Ui, shown: &Response, row: &Row, column: usize) {
    if row.values[column].is_some() || row.missing != Missing::Absent {
        why::explained(ui, shown, Owner::Column(column), Asked::Row(row.key.clone()));
    }
}

fn value(ui: &mut Ui, compared: &Compared<'_>, row: &Row, column: usize) {
    let shown = ui.add(Label::new(row.text(column)).truncate());
    number(ui, &shown, row, column);
    if let Subject::Estimate(estimate) = row.subject {
        let side = &compared.sides[column];
        if let Some(place) = side.made.evaluation.estimate(estimate).and_then(|r| r.place) {
            let style = &side.made.design.style;
            small(ui, place.word()).on_hover_text(format!("The range where “{style}” bars lie, its own style"));
        }
    }
}

/// From this width on, points, there is room for words.
const FOR_WORDS: f32 = 90.0;

fn difference(ui: &mut Ui, compared: &Compared<'_>, row: &Row, column: usize, request: &mut Option<Request>) {
    let mut text = row.difference_text(column);
    let same = row.difference(column).is_some_and(|d| d.abs() <= 0.0) || row.is_about_same(column);
    if row.is_about_same(column) {
        let is_wide = ui.available_width() >= FOR_WORDS;
        let said = if is_wide { "about the same".into() } else { format!("≈ {text}") };
        text = said;
    }
    let tokens = Tokens::of(ui);
    let shown = if same {
        RichText::new(&text).color(tokens.quiet)
    } else {
        RichText::new(&text).font(theme::strong(13.0)).color(tokens.accent)
    };
    if same || text.is_empty() || !row.subject.is_set() {
        let shown = ui.label(shown);
        if !text.is_empty() {
            why::explained(ui, &shown, Owner::Difference(column), Asked::Row(row.key.clone()));
        }
        return;
    }
    // What can be set can be set alike, from the difference itself.
    ui.spacing_mut().button_padding = vec2(4.0, 0.0);
    ui.spacing_mut().interact_size.y = 18.0;
    let letter = LETTERS[column];
    let menu = ui.menu_button(shown, |ui| {
        make_alike(ui, &format!("Make {letter} like A"), compared, row, [0, column], request);
        make_alike(ui, &format!("Make A like {letter}"), compared, row, [column, 0], request);
        if ui.button("Why this difference?").clicked() {
            why::ask(ui, Owner::Difference(column), Asked::Row(row.key.clone()));
        }
    });
    name(ui, &menu.response, &format!("{} of {letter} against A: {text}", row.name));
    menu.response.on_hover_text(format!("Make {letter} like A in this, or A like {letter}"));
}
