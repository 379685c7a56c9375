//! Forms in a window of their own: materials of one's own, and a supplier's figure.

mod addition;
mod blend;
mod scent;
mod supplier;

pub use addition::AdditionForm;
pub use blend::BlendForm;
pub use scent::ScentForm;
pub use supplier::SupplierForm;

use crate::keyboard;
use crate::views::Changes;
use crate::widgets::number_field::complain;
use crate::widgets::{default_button, name};
use barwright_core::design::edit::Edit;
use barwright_core::library::material::{MaterialId, Sourced};
use barwright_core::number;
use barwright_core::trust::Trust;
use barwright_core::units::Share;
use barwright_core::{Design, Library};
use eframe::egui::{self, Align, Id, Layout, TextEdit, Ui};
use std::fmt::Debug;

/// What a form is filled in for.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The tables.
    pub library: &'a Library,
    /// The design that takes what the form gives.
    pub design: &'a Design,
}

/// A form's fields and what they come to.
pub trait Form: Debug {
    /// What it is headed.
    fn title(&self) -> String;
    /// What the button that takes it says.
    fn take(&self) -> &'static str;
    /// The field that has the focus at first.
    fn first(&self) -> Id;
    /// Draws the fields; an edit asked for there closes the form.
    fn fields(&mut self, ui: &mut Ui, context: &Context<'_>) -> Option<Edit>;
    /// What was typed, as an edit.
    ///
    /// # Errors
    /// What to tell the person if it cannot be taken.
    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, String>;
}

/// A form that is open.
#[derive(Debug)]
pub struct OpenForm {
    form: Box<dyn Form>,
    refused: Option<String>,
    /// In how many frames the first field was given the focus: a menu that closes takes it once.
    focused: u8,
}

impl OpenForm {
    /// Opens `form`.
    pub fn new(form: impl Form + 'static) -> Self {
        Self { form: Box::new(form), refused: None, focused: 0 }
    }

    /// Draws the form in a window of its own; false when it is done with.
    pub fn show(&mut self, ui: &Ui, context: &Context<'_>, changes: &mut Changes) -> bool {
        if self.focused < 2 {
            self.focused += 1;
            ui.memory_mut(|m| m.request_focus(self.form.first()));
        }
        let mut open = true;
        let modal = egui::Modal::new(Id::unique("form")).show(ui.ctx(), |ui| {
            ui.set_width(WIDTH);
            ui.heading(self.form.title());
            ui.add_space(4.0);
            let mut edit = self.form.fields(ui, context);
            if let Some(why) = &self.refused {
                complain(ui, why);
            }
            ui.add_space(6.0);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if default_button(ui, self.form.take(), true) {
                    match self.form.edit(context) {
                        Ok(taken) => edit = Some(taken),
                        Err(why) => {
                            self.refused = Some(why);
                            // Another Enter does not take what was just doubted.
                            ui.memory_mut(|m| m.request_focus(self.form.first()));
                        }
                    }
                }
                open &= !ui.button("Cancel").clicked();
            });
            if let Some(edit) = edit {
                changes.edit(edit);
                open = false;
            }
        });
        open && !modal.should_close()
    }
}

/// Width of a form, points.
const WIDTH: f32 = 400.0;

/// An id that no material in use has, from a name.
fn id_from(name: &str, taken: impl Fn(&str) -> bool) -> Result<MaterialId, String> {
    let mut id: String =
        name.to_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).take(48).collect();
    id.insert_str(0, "own_");
    let base = id.clone();
    let mut n = 2;
    while taken(&id) {
        id = format!("{base}_{n}");
        n += 1;
    }
    MaterialId::new(&id).map_err(|e| e.to_string())
}

/// A percent that counts as 0 if nothing is typed, as the field's hint says.
fn percent_or_none(text: &str, what: &str) -> Result<Share, String> {
    if text.trim().is_empty() { Ok(Share::nearest(0.0)) } else { percent(text, what) }
}

fn percent(text: &str, what: &str) -> Result<Share, String> {
    let value = number::parse(text, &["%"]).map_err(|e| format!("{what}: {e}"))?;
    Share::new(value).map_err(|e| format!("{what}: {e}"))
}

/// A figure with its old source if it was not touched, else as the maker's own.
fn sourced<T: PartialEq>(value: T, kept: Option<&Sourced<T>>, what: &str) -> Sourced<T> {
    match kept {
        Some(old) if old.value == value => Sourced { value, source: old.source.clone(), trust: old.trust },
        _ => Sourced { value, source: format!("{what} as the maker gave them"), trust: Trust::Maker },
    }
}

fn text_id(what: &str, label: &str) -> egui::Id {
    egui::Id::unique(("own", what, label))
}

/// A line of text called `label` on screen and `label` of `what` to a screen reader.
fn text(ui: &mut Ui, what: &str, label: &str, value: &mut String, hint: &str) {
    ui.label(label);
    let id = text_id(what, label);
    let response = ui.add(
        TextEdit::singleline(value)
            .id(id)
            .hint_text(hint)
            .desired_width(200.0)
            .char_limit(120)
            .margin(egui::Margin::symmetric(6, 4)),
    );
    name(ui, &response, &format!("{label} of the {what}"));
    keyboard::goes_on(ui, &response);
    ui.end_row();
}
