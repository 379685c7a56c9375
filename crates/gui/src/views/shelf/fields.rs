//! Lines of the shelf’s forms: what is typed stays as it is until all of it can be taken.

use crate::clock;
use crate::keyboard;
use crate::theme::{self, Tokens};
use crate::widgets::calendar::calendar_button;
use crate::widgets::name;
use crate::widgets::number_field::complain;
use barwright_core::bench::day;
use barwright_core::bench::label::Region;
use barwright_core::design::words::{Day, Line};
use barwright_core::number::{self, NumberError};
use barwright_core::units::{Grams, MassUnit, OutOfRange};
use eframe::egui::{Align, Button, Id, Layout, Response, RichText, TextEdit, Ui, vec2};

/// What cannot be taken: the name of its field, and why.
pub(super) type Wrong = (&'static str, String);

/// The lines of a form.
pub(super) struct Fields<'a> {
    /// Tells forms apart.
    pub id: Id,
    /// What was wrong when it was last tried.
    pub wrong: Option<&'a Wrong>,
    /// Whose order a typed day has.
    pub region: Region,
}

/// Width of the names at the left, and of short fields, points.
const NAMES: f32 = 112.0;
const SHORT: f32 = 108.0;

impl Fields<'_> {
    /// The id of the field `called`.
    pub(super) fn id_of(&self, called: &str) -> Id {
        self.id.with(called)
    }

    /// A line with its name at the left, and below it what is wrong with the field `called`.
    pub(super) fn row<R>(&self, ui: &mut Ui, label: &str, called: &str, content: impl FnOnce(&mut Ui) -> R) -> R {
        let drawn = ui
            .horizontal(|ui| {
                ui.set_min_height(26.0);
                ui.allocate_ui_with_layout(vec2(NAMES, 24.0), Layout::left_to_right(Align::Center), |ui| {
                    ui.set_min_width(NAMES);
                    ui.label(label);
                });
                content(ui)
            })
            .inner;
        if let Some((_, why)) = self.wrong.filter(|(field, _)| *field == called) {
            complain(ui, why);
        }
        drawn
    }

    /// A field alone.
    pub(super) fn field(&self, ui: &mut Ui, called: &str, text: &mut String, hint: &str, width: f32) -> Response {
        let edit = TextEdit::singleline(text).id(self.id_of(called)).hint_text(hint).desired_width(width);
        let response = ui.add(edit);
        name(ui, &response, called);
        keyboard::goes_on(ui, &response);
        response
    }

    /// A line for text.
    pub(super) fn text(&self, ui: &mut Ui, label: &str, called: &'static str, text: &mut String, hint: &str) {
        self.row(ui, label, called, |ui| {
            let width = ui.available_width() - 14.0;
            self.field(ui, called, text, hint, width)
        });
    }

    /// A line for a short text, as an amount, with `unit` behind it.
    pub(super) fn short(&self, ui: &mut Ui, label: &str, called: &'static str, text: &mut String, unit: &str) {
        self.row(ui, label, called, |ui| {
            self.field(ui, called, text, "", SHORT);
            ui.label(unit);
        });
    }

    /// A line for a day, typed or chosen.
    pub(super) fn day(&self, ui: &mut Ui, label: &str, called: &'static str, text: &mut String) {
        self.row(ui, label, called, |ui| {
            let hint = day::understood(self.region);
            self.field(ui, called, text, "", SHORT).on_hover_text(format!("As {hint}"));
            let known = day::typed(text, clock::today(), self.region).ok();
            let calendar = format!("Calendar for: {called}");
            if let Some(chosen) = calendar_button(ui, self.id_of(called), &calendar, known, self.region) {
                *text = day::shown(chosen);
            }
        });
    }

    /// Why nothing can be taken, where it belongs to no field in sight.
    pub(super) fn rest(&self, ui: &mut Ui) {
        if let Some((_, why)) = self.wrong.filter(|(field, _)| field.is_empty()) {
            complain(ui, why);
        }
    }
}

/// The button that takes what is typed; Enter in the last field leads to it, and with Ctrl in any presses it.
pub(super) fn accept(ui: &mut Ui, text: &str, enabled: bool) -> bool {
    let tokens = Tokens::of(ui);
    let text = RichText::new(text).font(theme::strong(13.0)).color(tokens.panel);
    let button = ui.add_enabled(enabled, Button::new(text).fill(tokens.accent));
    keyboard::default(ui, button.id);
    button.clicked() || (enabled && keyboard::enters_from_text(ui))
}

/// A text in one line.
pub(super) fn line(called: &'static str, text: &str) -> Result<Line, Wrong> {
    Line::new(text).map_err(|e| (called, e.to_string()))
}

/// A day, or none.
pub(super) fn typed_day(called: &'static str, text: &str, region: Region) -> Result<Option<Day>, Wrong> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    day::typed(text, clock::today(), region).map(|day| Some(Day(day))).map_err(|e| (called, e.to_string()))
}

/// A number of a kind, or none, as `read` understands it.
pub(super) fn typed<T: TryFrom<f64, Error = OutOfRange>>(
    called: &'static str,
    text: &str,
    read: impl FnOnce(&str) -> Result<f64, NumberError>,
) -> Result<Option<T>, Wrong> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let value = read(text).map_err(|e| (called, e.to_string()))?;
    T::try_from(value).map(Some).map_err(|e| (called, e.to_string()))
}

/// A mass, or none.
pub(super) fn mass<T: TryFrom<f64, Error = OutOfRange>>(
    called: &'static str,
    text: &str,
    unit: MassUnit,
) -> Result<Option<T>, Wrong> {
    typed(called, text, |text| number::parse_mass(text, unit).map(|g| g.0))
}

/// A mass as its field shows it: nothing of it is rounded away.
pub(super) fn shown_mass(grams: f64, unit: MassUnit) -> String {
    format!("{} {}", number::short(unit.from_grams(Grams(grams)), 6), unit.sign())
}

/// A whole number, or none.
pub(super) fn whole(called: &'static str, text: &str) -> Result<Option<u32>, Wrong> {
    match text.trim() {
        "" => Ok(None),
        text => text.parse().map(Some).map_err(|e: std::num::ParseIntError| (called, format!("“{text}”: {e}"))),
    }
}
