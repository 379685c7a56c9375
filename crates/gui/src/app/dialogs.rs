//! Questions that come before anything else.

use super::{Afterwards, App, Purpose};
use crate::files::{self, Export, Fingerprint, Over};
use crate::keyboard;
use crate::open::{Key, OpenDesign};
use crate::recovery::Found;
use crate::views::NewPicture;
use crate::views::Request;
use crate::views::recipe::{Decision, RecipeForm};
use crate::widgets::fitted::{answers, fitted, listed};
use crate::widgets::{default_button, name, number_field::complain, quiet};
use barwright_core::design::document::{Document, EXTENSION};
use barwright_core::design::edit::Edit;
use barwright_core::design::scale::Scaled;
use barwright_core::number::{self, short};
use eframe::egui::{self, Frame, Id, Margin, Modal, TextEdit, Ui};
use std::path::PathBuf;
use std::sync::Arc;

/// What is asked.
pub(super) enum Dialog {
    /// A path to type, where the desktop has no file window or the person prefers it.
    TypedPath { purpose: Purpose, text: String, no_window: bool, complaint: Option<String> },
    /// Whether an unsaved design is saved before it closes.
    Unsaved { key: Key, quitting: bool },
    /// Whether several unsaved designs are saved before the window closes.
    AllUnsaved(Vec<Key>),
    /// What to do with a file that another program changed.
    ChangedOnDisk { key: Key, path: PathBuf, then: Afterwards },
    /// What to do with a file that another window has open.
    Elsewhere { key: Key, path: PathBuf, over: Over, then: Afterwards },
    /// Whether a typed path may replace the file that is there.
    Replace { purpose: Purpose, path: PathBuf },
    /// Whether a file that is read-only is replaced.
    ReadOnly { purpose: Purpose, path: PathBuf },
    /// A recipe from a book.
    Recipe(Box<RecipeForm>),
    /// Whether the amounts in grams follow a change of the size.
    Resize { key: Key, edit: Box<Edit>, scaled: Scaled },
    /// Whether the sheet of a stopped batch is wanted all the same.
    DespiteStop(Box<Request>),
    /// Whether weights that are typed and not entered may be lost when this design, or the window, closes.
    Typed { lines: Vec<String>, closes: Option<Key> },
    /// Unsaved work of a window that did not end well.
    Recovered(Vec<Found>),
}

/// What follows from a dialog in this frame.
enum Answered {
    Stay(Dialog),
    Close,
    Open(PathBuf),
    Table(PathBuf),
    Folder(PathBuf),
    Save(Key, Afterwards),
    SaveTo(Key, PathBuf, Over, Afterwards),
    Export(Arc<Export>, PathBuf, Over),
    /// Asks once more where this goes.
    AskAgain(Purpose),
    /// Closes this design without saving it.
    Forgo(Key),
    SaveAll,
    /// Closes the window without saving these designs.
    ForgoAll(Vec<Key>),
    Reload(Key, PathBuf, Afterwards),
    KeepWorking,
    Photograph(PathBuf),
    /// A picture of a batch to keep beside this design’s file.
    Picture(Key, PathBuf, Box<NewPicture>),
    /// Closes this design, or the window, without what is typed of its batches.
    ForgoTyped(Option<Key>),
    Adopt(Box<barwright_core::Design>),
    TakeUp(Vec<Found>),
    /// An edit of the size, and whether amounts in grams follow it.
    Resize(Key, Box<Edit>, bool),
    Meet(Box<Request>),
}

/// How far below the edge of the window a dialog hangs, points.
const HANGS: f32 = 80.0;
/// Margin inside a dialog, points.
const MARGIN: i8 = 18;

/// The most height that the content of a dialog may have.
fn most_height(ctx: &egui::Context) -> f32 {
    let window = ctx.content_rect().height();
    window - hangs(window) - 2.0 * f32::from(MARGIN) - 12.0
}

/// How far below the edge of a window of this height a dialog hangs: less where there is little room.
fn hangs(window: f32) -> f32 {
    HANGS.min(0.08 * window)
}

/// Draws `buttons` at the right end, the first one rightmost; gives the one that was pressed. The first one is the
/// default: it looks so, and Enter takes it.
fn buttons(ui: &mut Ui, buttons: &[&str]) -> Option<usize> {
    answers(ui, |ui| {
        let mut pressed = None;
        for (i, text) in buttons.iter().enumerate() {
            let is_pressed = if i == 0 { default_button(ui, text, true) } else { ui.button(*text).clicked() };
            if is_pressed {
                pressed = Some(i);
            }
        }
        pressed
    })
}

impl App {
    pub(super) fn show_dialog(&mut self, ctx: &egui::Context) {
        let Some(dialog) = self.dialog.take() else {
            self.dialog_before = None;
            return;
        };
        let kind = std::mem::discriminant(&dialog);
        if self.dialog_before.replace(kind) != Some(kind) {
            // The field under it has no part in the answer.
            ctx.memory_mut(|m| m.focused().into_iter().for_each(|id| m.surrender_focus(id)));
        }
        let fill = if ctx.theme() == egui::Theme::Dark { &crate::theme::DARK } else { &crate::theme::LIGHT };
        let frame = Frame::window(&ctx.global_style()).fill(fill.panel).inner_margin(Margin::same(MARGIN));
        let id = Id::unique("dialog");
        // Hung from the top, so that nothing moves under the pointer when the dialog grows.
        let offset = egui::vec2(0.0, hangs(ctx.content_rect().height()));
        let area = Modal::default_area(id).anchor(egui::Align2::CENTER_TOP, offset);
        let shown = Modal::new(id)
            .area(area)
            .frame(frame)
            .show(ctx, |ui| fitted(ui, most_height(ctx), |ui| self.dialog_body(ui, dialog)));
        let asked_to_close = shown.should_close();
        let step = match shown.inner {
            // Escape or a click beside the dialog keeps everything as it is; a form that was
            // filled in needs its own button.
            Answered::Stay(d) if asked_to_close => match d {
                Dialog::Recipe(form) if !form.is_empty() => Answered::Stay(Dialog::Recipe(form)),
                Dialog::Recovered(found) => Answered::Stay(Dialog::Recovered(found)),
                _ => Answered::KeepWorking,
            },
            step => step,
        };
        match step {
            Answered::Stay(dialog) => self.dialog = Some(dialog),
            Answered::KeepWorking => {
                self.forgone.clear();
                self.typed_forgone = false;
            }
            Answered::Open(path) => self.open_path(&path, ctx),
            Answered::Table(path) => self.read_table(&path),
            Answered::Folder(path) => self.show_folder(&path, ctx),
            Answered::Save(key, then) => self.save(key, then, ctx),
            Answered::SaveTo(key, path, over, then) => self.save_to(key, &path, over, then, ctx),
            Answered::Export(export, path, over) => self.write(&export, &path, over, ctx),
            Answered::Photograph(path) => self.read_photograph(path, ctx),
            Answered::Picture(key, path, picture) => self.keep_picture(key, path, *picture, ctx),
            Answered::ForgoTyped(closes) => {
                self.typed_forgone = true;
                match closes {
                    Some(key) => self.ask_to_close(key),
                    None => self.quit(ctx),
                }
            }
            Answered::AskAgain(Purpose::Save(key, then)) => self.ask_where(key, then, ctx),
            Answered::AskAgain(Purpose::Export(export)) => self.export(Export::clone(&export), ctx),
            // Nothing else is written where a person says.
            Answered::Close | Answered::AskAgain(_) => {}
            Answered::Forgo(key) => self.close(key),
            Answered::SaveAll => self.save_all(ctx),
            Answered::ForgoAll(keys) => {
                let revision = |key| self.find(key).map(|d| (key, d.history.revision()));
                let forgone: Vec<_> = keys.into_iter().filter_map(revision).collect();
                self.forgone.extend(forgone);
                self.quit(ctx);
            }
            Answered::Reload(key, path, then) => {
                if self.reload(key, &path) {
                    self.go_on(then, ctx);
                }
            }
            Answered::TakeUp(found) => self.take_up(found),
            Answered::Meet(request) => self.meet(vec![*request], ctx),
            Answered::Resize(key, edit, follow) => {
                let library = Arc::clone(&self.library);
                if let Some(open) = self.designs.iter_mut().find(|d| d.key == key) {
                    open.grams_follow = Some(follow);
                    open.history.end_gesture();
                    open.edit(*edit, None, &library);
                }
                ctx.request_repaint();
            }
            Answered::Adopt(design) => {
                self.make_way();
                self.add(*design, None, false);
                self.view = super::View::Design;
            }
        }
    }

    /// Takes what is in the file in place of what is open, as a step that can be undone; false if
    /// it cannot be read.
    fn reload(&mut self, key: Key, path: &std::path::Path) -> bool {
        let library = Arc::clone(&self.library);
        match files::open(path, &library) {
            Ok((Document { design, log }, fingerprint)) => {
                if let Some(open) = self.designs.iter_mut().find(|d| d.key == key) {
                    open.history.commit("take the file’s version", design, None);
                    let ours = log.with(open.log());
                    open.set_log(log);
                    open.mark_saved(open.saved_state());
                    // What only this window has of a batch is kept: undo does not bring it back.
                    open.set_log(ours);
                    open.on_disk = Some(fingerprint);
                }
                true
            }
            Err(error) => {
                self.forgone.clear();
                self.fail(error);
                false
            }
        }
    }

    fn dialog_body(&mut self, ui: &mut Ui, dialog: Dialog) -> Answered {
        match dialog {
            Dialog::TypedPath { purpose, text, no_window, complaint } => {
                self.typed_path(ui, purpose, text, no_window, complaint)
            }
            Dialog::Unsaved { key, quitting } => {
                ui.set_max_width(440.0);
                let title = self.find(key).map_or_else(String::new, OpenDesign::title);
                ui.heading(format!("Save “{title}”?"));
                ui.label("It has changes that are in no file. Without saving they are lost.");
                let then = if quitting { Afterwards::Quit } else { Afterwards::Close(key) };
                match buttons(ui, &["Save", "Close without saving", "Keep working"]) {
                    Some(0) => Answered::Save(key, then),
                    Some(1) if quitting => Answered::ForgoAll(vec![key]),
                    Some(1) => Answered::Forgo(key),
                    Some(_) => Answered::KeepWorking,
                    None => Answered::Stay(Dialog::Unsaved { key, quitting }),
                }
            }
            Dialog::AllUnsaved(keys) => self.all_unsaved(ui, keys),
            Dialog::ChangedOnDisk { key, path, then } => changed_on_disk(ui, key, path, then),
            Dialog::Elsewhere { key, path, over, then } => elsewhere(ui, key, path, (over, then)),
            Dialog::Replace { purpose, path } => {
                ui.set_max_width(440.0);
                ui.heading("Replace the file that is there?");
                ui.label(format!("{} exists. It would stay as .bak beside the new one.", path.display()));
                match buttons(ui, &["Keep it", "Replace it"]) {
                    Some(0) => Answered::KeepWorking,
                    Some(_) => onto(purpose, path, Over::Writable),
                    None => Answered::Stay(Dialog::Replace { purpose, path }),
                }
            }
            Dialog::ReadOnly { purpose, path } => read_only(ui, purpose, path),
            Dialog::Recovered(found) => self.recovered(ui, found),
            Dialog::Resize { key, edit, scaled } => {
                ui.set_max_width(500.0);
                ui.heading("Do the amounts in grams follow?");
                let times = short(scaled.factor, 3);
                ui.label(format!("The batch becomes {times} times as large. These are given in grams:"));
                let open = self.find(key).map(|d| Arc::clone(d.design()));
                listed(ui, |ui| {
                    for (name, grams) in open.iter().flat_map(|d| d.in_grams()) {
                        let [now, then] =
                            [grams, grams * scaled.factor].map(|g| number::mass(g, self.preferences.measures.mass));
                        ui.label(format!("– {name}: {now}, or {then} if it follows"));
                    }
                });
                quiet(ui, "What is given in percent or per kilogram of fats follows by itself.");
                let answers = ["Let them follow", "Keep the grams", "Keep the size"];
                match buttons(ui, &answers) {
                    Some(0) => Answered::Resize(key, Box::new(Edit::Scale(scaled)), true),
                    Some(1) => Answered::Resize(key, edit, false),
                    Some(_) => Answered::KeepWorking,
                    None => Answered::Stay(Dialog::Resize { key, edit, scaled }),
                }
            }
            Dialog::Typed { lines, closes } => {
                ui.set_max_width(460.0);
                ui.heading("Weights are typed and not entered");
                ui.label("They are in no file: enter them in the Log view, or they are lost.");
                listed(ui, |ui| {
                    for line in &lines {
                        ui.add(egui::Label::new(format!("– {line}")).wrap());
                    }
                });
                match buttons(ui, &["Keep working", "Close without them"]) {
                    Some(0) => Answered::KeepWorking,
                    Some(_) => Answered::ForgoTyped(closes),
                    None => Answered::Stay(Dialog::Typed { lines, closes }),
                }
            }
            Dialog::DespiteStop(request) => despite_stop(ui, request),
            Dialog::Recipe(mut form) => match form.show(ui, &self.library, self.preferences.measures.mass) {
                Some(Decision::Make(design)) => Answered::Adopt(design),
                Some(Decision::Cancel) => Answered::Close,
                None => Answered::Stay(Dialog::Recipe(form)),
            },
        }
    }

    fn all_unsaved(&self, ui: &mut Ui, keys: Vec<Key>) -> Answered {
        ui.set_max_width(460.0);
        ui.heading(format!("Save {} designs?", keys.len()));
        ui.label("They have changes that are in no file. Without saving they are lost.");
        listed(ui, |ui| {
            for open in keys.iter().filter_map(|key| self.find(*key)) {
                let text = format!("– {} ({})", open.title(), open.file_name());
                ui.add(egui::Label::new(text).wrap());
            }
        });
        match buttons(ui, &["Save all", "Discard all", "Cancel"]) {
            Some(0) => Answered::SaveAll,
            Some(1) => Answered::ForgoAll(keys),
            Some(_) => Answered::KeepWorking,
            None => Answered::Stay(Dialog::AllUnsaved(keys)),
        }
    }

    fn recovered(&self, ui: &mut Ui, found: Vec<Found>) -> Answered {
        ui.set_max_width(500.0);
        ui.heading("Unsaved work was found");
        ui.label("The last window did not end well. This was in no file:");
        listed(ui, |ui| {
            for copy in found.iter().flat_map(|f| &f.copies) {
                let title = barwright_core::design::document::read(copy.text.as_bytes(), &self.library)
                    .map_or_else(|e| format!("unreadable: {e}"), |d| d.name);
                let place = copy.path.as_ref().map_or_else(
                    || "never saved".into(),
                    |p| format!("changes to {}; the file opens beside it", p.display()),
                );
                ui.add(egui::Label::new(format!("– {title} ({place})")).wrap());
            }
        });
        match buttons(ui, &["Open it", "Throw it away", "Ask next time"]) {
            Some(0) => Answered::TakeUp(found),
            Some(1) => {
                found.into_iter().for_each(Found::discard);
                Answered::Close
            }
            Some(_) => Answered::Close,
            None => Answered::Stay(Dialog::Recovered(found)),
        }
    }

    fn typed_path(
        &self,
        ui: &mut Ui,
        purpose: Purpose,
        mut text: String,
        no_window: bool,
        complaint: Option<String>,
    ) -> Answered {
        ui.set_width(520.0);
        let (heading, button) = match &purpose {
            Purpose::Open => ("Where is the design?".into(), "Open"),
            Purpose::Table => ("Where is the table?".into(), "Read"),
            Purpose::Folder => ("Where are the designs?".into(), "Show"),
            Purpose::Save(..) => ("Where shall the design go?".into(), "Save"),
            Purpose::Export(export) => (format!("{}: where shall it go?", export.what), "Save"),
            Purpose::Picture(..) => ("Where is the picture?".into(), "Keep"),
            Purpose::Photograph => ("Where is the photograph?".into(), "Read"),
        };
        ui.heading(heading);
        if no_window {
            quiet(ui, "The desktop showed no file window, so please type the path.");
        }
        let hint = match purpose {
            Purpose::Folder => "/home/…/designs",
            Purpose::Table => "/home/…/lots.csv",
            Purpose::Picture(..) | Purpose::Photograph => "/home/…/bar.jpg",
            _ => "/home/…/bar.barwright",
        };
        let id = Id::unique("typed path");
        let field = ui.add(TextEdit::singleline(&mut text).id(id).desired_width(f32::INFINITY).hint_text(hint));
        name(ui, &field, "Path of the file");
        if let Some(why) = &complaint {
            complain(ui, why);
        }
        if keyboard::is_new(ui) {
            field.request_focus();
        }
        let pressed = buttons(ui, &[button, "Cancel"]);
        if pressed == Some(1) {
            return Answered::KeepWorking;
        }
        let stay = |purpose, text, complaint| Answered::Stay(Dialog::TypedPath { purpose, text, no_window, complaint });
        if pressed.is_none() {
            return stay(purpose, text, complaint);
        }
        if text.trim().is_empty() {
            return stay(purpose, text, Some("type a path".into()));
        }
        let path = files::absolute(&files::typed(&text));
        if purpose == Purpose::Folder {
            let why = || format!("there is no folder {}", path.display());
            return if path.is_dir() { Answered::Folder(path) } else { stay(purpose, text, Some(why())) };
        }
        if purpose == Purpose::Table {
            let why = || format!("there is no file {}", path.display());
            return if path.is_file() { Answered::Table(path) } else { stay(purpose, text, Some(why())) };
        }
        if path.is_dir() || text.trim_end().ends_with(std::path::MAIN_SEPARATOR) {
            return stay(purpose, text, Some("that is a folder: type the file’s name behind it".into()));
        }
        let (path, is_its_own) = match &purpose {
            // The reason is shown here, where the path can be corrected.
            Purpose::Open => {
                return match files::load(&path, &self.library) {
                    Ok(_) => Answered::Open(path),
                    Err(error) => stay(purpose, text, Some(error.to_string())),
                };
            }
            Purpose::Save(key, _) => {
                let path = files::with_extension(path, EXTENSION);
                let known = self.find(*key).filter(|d| d.path.as_ref() == Some(&path));
                let is_its_own = known.is_some_and(|d| d.on_disk == Fingerprint::of_file(&path));
                (path, is_its_own)
            }
            Purpose::Export(export) => (files::with_extension(path, export.extension), false),
            Purpose::Picture(..) | Purpose::Photograph => return onto(purpose, path, Over::Writable),
            // Answered above.
            Purpose::Folder => return Answered::Folder(path),
            Purpose::Table => return Answered::Table(path),
        };
        if let Some(folder) = path.parent().filter(|f| !f.is_dir()) {
            let why = format!("there is no folder {}", folder.display());
            return stay(purpose, text, Some(why));
        }
        if path.exists() && !is_its_own {
            Answered::Stay(Dialog::Replace { purpose, path })
        } else {
            onto(purpose, path, Over::Writable)
        }
    }
}

/// The step that puts what `purpose` is about at `path`.
fn onto(purpose: Purpose, path: PathBuf, over: Over) -> Answered {
    match purpose {
        Purpose::Open => Answered::Open(path),
        Purpose::Folder => Answered::Folder(path),
        Purpose::Table => Answered::Table(path),
        Purpose::Save(key, then) => Answered::SaveTo(key, path, over, then),
        Purpose::Export(export) => Answered::Export(export, path, over),
        Purpose::Photograph => Answered::Photograph(path),
        Purpose::Picture(key, picture) => Answered::Picture(key, path, Box::new(picture)),
    }
}

/// Asks which version of a file stays that another program changed.
fn changed_on_disk(ui: &mut Ui, key: Key, path: PathBuf, then: Afterwards) -> Answered {
    ui.set_max_width(500.0);
    ui.heading("Another program changed this file");
    ui.label(format!("{} is not as it was when you opened or saved it. Which version stays?", path.display()));
    quiet(ui, "What you replace stays beside it as .bak until the next save.");
    match buttons(
        ui,
        &["Keep both: save elsewhere…", "Mine: replace the file", "Theirs: take the file", "Keep working"],
    ) {
        Some(0) => Answered::AskAgain(Purpose::Save(key, then)),
        Some(1) => Answered::SaveTo(key, path, Over::Writable, then),
        Some(2) => Answered::Reload(key, path, then),
        Some(_) => Answered::KeepWorking,
        None => Answered::Stay(Dialog::ChangedOnDisk { key, path, then }),
    }
}

/// Asks what becomes of changes to a file that another window has open.
fn elsewhere(ui: &mut Ui, key: Key, path: PathBuf, (over, then): (Over, Afterwards)) -> Answered {
    ui.set_max_width(500.0);
    ui.heading("This file is open in another window");
    ui.label(format!(
        "{} was left as it is: the other window may have changes that are in no file yet. Keep yours in a file of its \
         own, or close the design there and try again.",
        path.display()
    ));
    match buttons(ui, &["Save somewhere else…", "Try again", "Keep working"]) {
        Some(0) => Answered::AskAgain(Purpose::Save(key, then)),
        Some(1) => Answered::SaveTo(key, path, over, then),
        Some(_) => Answered::KeepWorking,
        None => Answered::Stay(Dialog::Elsewhere { key, path, over, then }),
    }
}

/// Asks whether a read-only file is replaced.
fn read_only(ui: &mut Ui, purpose: Purpose, path: PathBuf) -> Answered {
    ui.set_max_width(500.0);
    ui.heading("This file is read-only");
    ui.label(format!(
        "{} may not be written to, so it was left as it is. It can be replaced all the same, since its folder allows \
         that; what is in it would stay beside it as .bak.",
        path.display()
    ));
    match buttons(ui, &["Save somewhere else…", "Replace it", "Keep working"]) {
        Some(0) => Answered::AskAgain(purpose),
        Some(1) => onto(purpose, path, Over::Anything),
        Some(_) => Answered::KeepWorking,
        None => Answered::Stay(Dialog::ReadOnly { purpose, path }),
    }
}

/// Asks whether the sheet of a stopped batch is wanted all the same.
fn despite_stop(ui: &mut Ui, request: Box<Request>) -> Answered {
    ui.set_max_width(460.0);
    ui.heading("A Stop stands against this batch");
    ui.label("Do not make it like this. The sheet says STOP on each page and ends at “do not use”.");
    match buttons(ui, &["Back", "Go on, with STOP on each page"]) {
        Some(0) => Answered::KeepWorking,
        Some(_) => Answered::Meet(request),
        None => Answered::Stay(Dialog::DespiteStop(request)),
    }
}
