//! Forms in a window of their own: materials of one's own, and a supplier's figure.

mod addition;
mod blend;
mod colourant;
mod fat;
mod own_bar;
mod scent;
mod supplier;

pub use addition::AdditionForm;
pub use blend::BlendForm;
pub use colourant::ColourantForm;
pub use fat::FatForm;
pub use own_bar::{OwnBarForm, forgotten};
pub use scent::ScentForm;
pub use supplier::SupplierForm;

use crate::keyboard;
use crate::pictures::PictureError;
use crate::pictures::photograph::Photograph;
use crate::theme::Tokens;
use crate::views::Wanted;
use crate::widgets::number_field::complain;
use crate::widgets::{default_button, name};
use barwright_core::design::edit::Edit;
use barwright_core::design::own;
use barwright_core::design::shelf::ShelfEdit;
use barwright_core::library::material::{MaterialId, Sourced};
use barwright_core::number;
use barwright_core::trust::Trust;
use barwright_core::units::Share;
use barwright_core::{Design, Library};
use eframe::egui::{self, Align, ComboBox, Id, Label, Layout, RichText, ScrollArea, TextEdit, Ui};
use std::fmt::Debug;

/// What a form is filled in for.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The tables.
    pub library: &'a Library,
    /// The design that takes what the form gives.
    pub design: &'a Design,
    /// Why what was typed was not taken.
    pub refused: Option<&'a Refused>,
}

/// Why what was typed is not taken.
#[derive(Debug, Clone)]
pub struct Refused {
    /// The field that is to be mended, if it is one.
    pub at: Option<Id>,
    /// What to tell the person.
    pub why: String,
}

impl Refused {
    /// What is wrong with the field called `label` of a form about `what`.
    fn at(what: &str, label: &str, why: &impl ToString) -> Self {
        Self { at: Some(text_id(what, label)), why: why.to_string() }
    }
}

impl From<String> for Refused {
    fn from(why: String) -> Self {
        Self { at: None, why }
    }
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
    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, Refused>;
    /// What of it goes on the shelf, once its edit was taken.
    fn on_shelf(&self) -> Vec<ShelfEdit> {
        Vec::new()
    }
    /// How wide it is, points.
    fn width(&self) -> f32 {
        WIDTH
    }
    /// The photograph that it asks for in this frame.
    fn wants_photograph(&mut self) -> Option<Wanted> {
        None
    }
    /// Takes the photograph that was asked for, or why it could not be read.
    fn take_photograph(&mut self, _photograph: Result<Photograph, PictureError>) {}
    /// What a new material is called so far; `None` for a form about something that is there.
    fn draft(&self) -> Option<&str> {
        None
    }
}

/// The form that is open, and one for something new that was closed before it was taken; opened again it goes on there.
#[derive(Debug, Default)]
pub struct Forms {
    shown: Option<OpenForm>,
    put_aside: Option<OpenForm>,
}

impl Forms {
    /// Opens `form`, or the one like it that was put aside.
    pub fn open(&mut self, form: impl Form + 'static) {
        let opened = OpenForm { form: Box::new(form), refused: None, focused: 0 };
        let aside = self.put_aside.take_if(|aside| aside.goes_on(&opened));
        self.shown = Some(aside.map_or(opened, |aside| OpenForm { focused: 0, ..aside }));
    }

    /// The photograph that the open form asks for in this frame.
    pub fn wants_photograph(&mut self) -> Option<Wanted> {
        self.shown.as_mut().and_then(|open| open.form.wants_photograph())
    }

    /// Gives the open form the photograph that it asked for.
    pub fn take_photograph(&mut self, photograph: Result<Photograph, PictureError>) {
        if let Some(open) = &mut self.shown {
            open.form.take_photograph(photograph);
        }
    }

    /// Whether nothing is typed in any.
    pub fn is_empty(&self) -> bool {
        self.shown.is_none() && self.put_aside.is_none()
    }

    /// Draws the open form, if one is; gives what comes of it once it is taken.
    pub fn show(&mut self, ui: &Ui, context: &Context<'_>) -> Option<Taken> {
        let mut form = self.shown.take()?;
        match form.show(ui, context) {
            Outcome::Open => self.shown = Some(form),
            Outcome::Taken(edit) => return Some(Taken { edit: *edit, on_shelf: form.form.on_shelf() }),
            // What is about something new is kept.
            Outcome::Closed => self.put_aside = form.is_draft().then_some(form).or(self.put_aside.take()),
        }
        None
    }
}

/// What comes of a form that was taken.
#[derive(Debug)]
pub struct Taken {
    /// The change of the design.
    pub edit: Edit,
    /// What goes on the shelf.
    pub on_shelf: Vec<ShelfEdit>,
}

/// What became of a form in a frame.
enum Outcome {
    Open,
    Closed,
    Taken(Box<Edit>),
}

/// A form that is open.
#[derive(Debug)]
struct OpenForm {
    form: Box<dyn Form>,
    refused: Option<Refused>,
    /// In how many frames the first field was given the focus: a menu that closes takes it once.
    focused: u8,
}

impl OpenForm {
    /// Whether this form, put aside, goes on where `opened` would begin.
    fn goes_on(&self, opened: &Self) -> bool {
        let is_same = self.form.title() == opened.form.title();
        let names = self.form.draft().zip(opened.form.draft());
        is_same && names.is_some_and(|(draft, name)| name.is_empty() || name == draft)
    }

    /// Whether it is about something new, so that it is kept when it is put aside.
    fn is_draft(&self) -> bool {
        self.form.draft().is_some_and(|name| !name.is_empty())
    }

    /// Draws the form in a window of its own.
    fn show(&mut self, ui: &Ui, context: &Context<'_>) -> Outcome {
        if self.focused < 2 {
            self.focused += 1;
            ui.memory_mut(|m| m.request_focus(self.form.first()));
        }
        let mut open = true;
        let modal = egui::Modal::new(Id::unique("form")).show(ui.ctx(), |ui| {
            ui.set_width(self.form.width());
            ui.heading(self.form.title());
            ui.add_space(4.0);
            // What was said of an earlier text is untrue of the one that is typed now.
            let edits = |e: &egui::Event| {
                matches!(e, egui::Event::Text(_) | egui::Event::Paste(_) | egui::Event::Cut)
                    || matches!(
                        e,
                        egui::Event::Key { key: egui::Key::Backspace | egui::Key::Delete, pressed: true, .. }
                    )
            };
            if ui.input(|i| i.events.iter().any(edits)) {
                self.refused = None;
            }
            let refused = self.refused.clone();
            let context = &Context { refused: refused.as_ref(), ..*context };
            let mut edit = self.form.fields(ui, context);
            if let Some(Refused { at: None, why }) = &refused {
                complain(ui, why);
            }
            ui.add_space(6.0);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if default_button(ui, self.form.take(), true) {
                    match self.form.edit(context) {
                        Ok(taken) => edit = Some(taken),
                        Err(refused) => {
                            // Another Enter does not take what was just doubted.
                            let focus = refused.at.unwrap_or_else(|| self.form.first());
                            ui.memory_mut(|m| m.request_focus(focus));
                            self.refused = Some(refused);
                        }
                    }
                }
                open &= !ui.button("Cancel").clicked();
            });
            edit
        });
        let should_close = modal.should_close();
        if let Some(edit) = modal.inner {
            return Outcome::Taken(Box::new(edit));
        }
        // A slip of the pointer beside it does not lose what is typed.
        let closes = should_close && !modal.backdrop_response.clicked();
        if open && !closes { Outcome::Open } else { Outcome::Closed }
    }
}

/// Width of a form, points.
const WIDTH: f32 = 400.0;

/// An id that no material in use has, from a name.
fn id_from(name: &str, taken: impl Fn(&str) -> bool) -> Result<MaterialId, Refused> {
    own::id(name, taken).ok_or_else(|| Refused::from("There is no room for another of that name".to_owned()))
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

/// A line of text called `label` on screen and `label` of `what` to a screen reader, with what is wrong with it.
fn text(ui: &mut Ui, context: &Context<'_>, what: &str, label: &str, (value, hint): (&mut String, &str)) {
    ui.label(label);
    let id = text_id(what, label);
    let response = ui.add(
        TextEdit::singleline(value)
            .id(id)
            .hint_text(hint)
            .desired_width(FIELD)
            .char_limit(120)
            .margin(egui::Margin::symmetric(6, 4)),
    );
    name(ui, &response, &format!("{label} of the {what}"));
    keyboard::goes_on(ui, &response);
    ui.end_row();
    if let Some(refused) = context.refused.filter(|r| r.at == Some(id)) {
        ui.label("");
        complain(ui, &refused.why);
        ui.end_row();
    }
}

/// A list of which one of `all` is chosen, called `label` on screen and `label` of `what` to a screen reader.
fn choice<T: Copy + PartialEq>(
    ui: &mut Ui,
    (what, label): (&str, &str),
    chosen: &mut T,
    all: impl IntoIterator<Item = T>,
    words: impl Fn(T) -> &'static str,
) {
    ui.label(label);
    let combo = ComboBox::from_id_salt(text_id(what, label)).selected_text(words(*chosen)).width(FIELD + 8.0);
    let response = combo.show_ui(ui, |ui| {
        for one in all {
            ui.selectable_value(chosen, one, words(one));
        }
    });
    name(ui, &response.response, &format!("{label} of the {what}"));
    ui.end_row();
}

/// A box for pasted text called `label` of `what`, with what is wrong with it; whether it was changed.
fn pasted(ui: &mut Ui, context: &Context<'_>, (what, label): (&str, &str), value: &mut String, hint: &str) -> bool {
    let id = text_id(what, label);
    let field = |ui: &mut Ui| {
        let edit = TextEdit::multiline(value).id(id).hint_text(hint).desired_rows(4).char_limit(20_000);
        let response = ui.add(edit.desired_width(f32::INFINITY));
        name(ui, &response, &format!("{label} of the {what}"));
        response.changed()
    };
    let changed = ScrollArea::vertical().id_salt(id).max_height(BOX).show(ui, field).inner;
    if let Some(refused) = context.refused.filter(|r| r.at == Some(id)) {
        complain(ui, &refused.why);
    }
    changed
}

/// What was understood of a line: a sign, and words at the left and the right.
fn understood(ui: &mut Ui, is_good: bool, left: &str, right: &str) {
    let tokens = Tokens::of(ui);
    ui.horizontal(|ui| {
        let (sign, colour) = if is_good { ("✓", tokens.fine) } else { ("–", tokens.quiet) };
        ui.label(RichText::new(sign).color(colour));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(RichText::new(right).color(if is_good { tokens.ink } else { tokens.quiet }));
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.add(
                    Label::new(RichText::new(left).color(if is_good { tokens.ink } else { tokens.quiet })).truncate(),
                );
            });
        });
    });
}

/// A line that was not understood, with its place and why.
fn not_understood(ui: &mut Ui, number: usize, text: &str, why: &str) {
    let care = Tokens::of(ui).care;
    ui.horizontal(|ui| {
        ui.label(RichText::new("?").color(care));
        ui.add(Label::new(RichText::new(format!("Line {number}, {text}: {why}")).color(care)).wrap());
    });
}

/// Width of a field, points.
const FIELD: f32 = 200.0;
/// Height of a box for pasted text, points.
const BOX: f32 = 84.0;

/// A scrolled list of what was understood, as high as the window leaves room for.
fn preview(ui: &mut Ui, what: &str, lines: impl FnOnce(&mut Ui)) {
    /// What the rest of the longest form takes, and the least and the most for the list, points.
    const REST: f32 = 500.0;
    const ENDS: (f32, f32) = (40.0, 130.0);
    let height = (ui.ctx().content_rect().height() - REST).clamp(ENDS.0, ENDS.1);
    ScrollArea::vertical().id_salt(("understood", what)).max_height(height).show(ui, |ui| {
        (ui.spacing_mut().item_spacing.y, ui.spacing_mut().interact_size.y) = (1.0, 17.0);
        lines(ui);
    });
    ui.add_space(2.0);
}
