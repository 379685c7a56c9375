//! Opening, saving, closing, and the copies against a crash.

use super::dialogs::Dialog;
use super::saving::{Deferred, Done, Opening};
use super::{Afterwards, App, Purpose, View};
use crate::files::{self, Answer, Export, FileError, Fingerprint, Over, Question};
use crate::open::{Key, OpenDesign};
use crate::pictures::photograph::Photograph;
use crate::recovery::{self, Found, Recovery};
use crate::safely;
use barwright_core::Design;
use barwright_core::design::document::{self, Document, EXTENSION, MOST_BYTES};
use eframe::egui::{self, ViewportCommand};
use std::path::{Path, PathBuf};
use std::sync::Arc;

impl App {
    /// The folder that the Shelf view shows: the chosen one, else that of the design in hand or of the last file.
    pub(super) fn folder(&self) -> Option<PathBuf> {
        let last = self.active().path.as_ref().or_else(|| self.preferences.recent.first());
        let of_last = || last.and_then(|path| path.parent()).map(Path::to_owned);
        self.preferences.folder.clone().or_else(of_last)
    }

    /// Shows the designs of `folder`, from now on.
    pub(super) fn show_folder(&mut self, folder: &Path, ctx: &egui::Context) {
        self.preferences.folder = Some(files::absolute(folder));
        self.open_shelf(ctx);
    }

    /// Shows the Shelf view.
    pub(super) fn open_shelf(&mut self, ctx: &egui::Context) {
        self.view = View::Shelf;
        self.shelf_view.open(self.folder(), &self.library, ctx);
    }

    /// Opens the file at `path` beside the design in hand, and compares them.
    pub(super) fn compare_path(&mut self, path: &Path, ctx: &egui::Context) {
        self.read(path, Opening::Beside(self.active().key), ctx);
    }

    /// Opens the file at `path`; an untouched starter makes way for it.
    pub(super) fn open_path(&mut self, path: &Path, ctx: &egui::Context) {
        self.read(path, Opening::Alone, ctx);
    }

    fn read(&mut self, path: &Path, opening: Opening, ctx: &egui::Context) {
        let path = files::absolute(path);
        if let Some(key) = self.holder(&path) {
            return self.present(key, opening);
        }
        let library = Arc::clone(&self.library);
        self.errands.ask(move || {
            let read = files::open(&path, &library);
            Done::Opened(path, opening, read.map(Box::new))
        });
        self.settle(ctx);
    }

    /// The same at once, where there is no window yet or the next step builds on it.
    pub(super) fn open_now(&mut self, path: &Path) {
        let path = files::absolute(path);
        let read = files::open(&path, &self.library);
        self.opened(&path, Opening::Alone, read.map(Box::new));
    }

    /// Takes what was read at `path`.
    pub(super) fn opened(
        &mut self,
        path: &Path,
        opening: Opening,
        read: Result<Box<(Document, Fingerprint)>, FileError>,
    ) {
        if let Some(key) = self.holder(path) {
            return self.present(key, opening);
        }
        let (document, fingerprint) = match read {
            Ok(read) => *read,
            Err(error) => return self.fail(error),
        };
        match (opening, self.designs.as_slice()) {
            (Opening::Beside(_), _) | (_, []) => {}
            (Opening::Alone, [only]) if only.is_untouched() => self.designs.clear(),
            (Opening::Alone, _) => self.make_way(),
        }
        self.add_document(document, Some((path.to_owned(), fingerprint)), true);
        let key = self.active;
        path.parent().map(safely::sweep);
        self.preferences.remember(path);
        self.present(key, opening);
        // If the program ended between the design and the shelf, this does the rest.
        self.confirm_batches(key);
        if !self.locks.take(path) {
            // In Compare another one may be in hand.
            self.designs.iter_mut().filter(|open| open.key == key).for_each(|open| open.elsewhere = true);
            self.fail(format!(
                "{} is open in another window too. Here you can look at it and try things out; what you want to keep, \
                 save as a file of its own",
                path.display()
            ));
        }
    }

    /// Shows the open design `key` as `opening` says.
    fn present(&mut self, key: Key, opening: Opening) {
        match opening {
            Opening::Beside(before) if before == key => {
                self.tell("This is the design in hand: choose another one to compare it with".into());
            }
            Opening::Beside(before) if self.find(before).is_some() => {
                self.set_columns(&[before, key]);
                self.view = View::Compare;
            }
            // What it was to stand beside may be closed by now.
            Opening::Alone | Opening::Beside(_) => {
                self.activate(key);
                self.view = View::Design;
            }
        }
    }

    /// Lets go of the files of designs that are closed or saved elsewhere.
    pub(super) fn let_files_go(&mut self) {
        self.locks.keep(self.designs.iter().filter_map(|open| open.path.as_deref()));
    }

    /// Opens a file that was open before; one that is gone is told of and no longer offered.
    pub(super) fn open_recent(&mut self, path: &Path, ctx: &egui::Context) {
        if matches!(path.try_exists(), Ok(false)) {
            self.preferences.forget(path);
            self.fail(format!("{} is no longer there; it is taken off the recent files", path.display()));
        } else {
            self.open_path(path, ctx);
        }
    }

    /// Takes away the shown design if it is empty and untouched: what is opened now takes its place.
    pub(super) fn make_way(&mut self) {
        let open = self.active();
        if open.is_untouched() && open.design().blend.lines().is_empty() {
            let key = open.key;
            self.designs.retain(|d| d.key != key);
        }
    }

    /// The open design whose file is at `path`.
    pub(super) fn holder(&self, path: &Path) -> Option<Key> {
        self.designs.iter().find(|d| d.path.as_ref().is_some_and(|p| files::is_same(p, path))).map(|d| d.key)
    }

    pub(super) fn go_on(&mut self, then: Afterwards, ctx: &egui::Context) {
        match then {
            Afterwards::Nothing => {}
            Afterwards::Close(key) => self.close(key),
            Afterwards::Quit => self.quit(ctx),
            Afterwards::SaveAll => self.save_all(ctx),
        }
    }

    /// Saves the design `key` to its file, asking first where there is none or where another
    /// program changed it.
    pub(super) fn save(&mut self, key: Key, then: Afterwards, ctx: &egui::Context) {
        if self.saving.is_some() {
            return self.defer(Deferred::Save(key, then));
        }
        let Some(open) = self.find(key) else { return };
        match open.path.clone() {
            None => self.ask_where(key, then, ctx),
            Some(path) => {
                let known = open.on_disk;
                self.save_to(key, &path, Over::Known(known), then, ctx);
            }
        }
    }

    pub(super) fn ask_where(&mut self, key: Key, then: Afterwards, ctx: &egui::Context) {
        let Some(open) = self.find(key) else { return };
        let proposed = proposed_name(open);
        self.ask(&Question::Save(proposed), Purpose::Save(key, then), ctx);
    }

    pub(super) fn ask(&mut self, question: &Question, purpose: Purpose, ctx: &egui::Context) {
        if self.asked.is_some() {
            self.tell("A file window is open already".into());
            return;
        }
        let ctx = ctx.clone();
        self.asked = Some(purpose);
        self.dialogs.ask(question, Box::new(move || ctx.request_repaint()));
    }

    pub(super) fn answer(&mut self, answer: Answer, ctx: &egui::Context) {
        match (answer, self.asked.take()) {
            (Answer::Path(path), Some(Purpose::Open)) => self.open_path(&path, ctx),
            (Answer::Path(path), Some(Purpose::Table)) => self.read_table(&path),
            (Answer::Path(path), Some(Purpose::Photograph)) => self.read_photograph(path, ctx),
            (Answer::Path(path), Some(Purpose::Folder)) => self.show_folder(&path, ctx),
            (Answer::Path(path), Some(Purpose::Save(key, then))) => {
                let full = files::with_extension(path.clone(), EXTENSION);
                if full != path && full.exists() {
                    // The file window asked about the name without its extension.
                    self.dialog = Some(Dialog::Replace { purpose: Purpose::Save(key, then), path: full });
                } else {
                    self.save_to(key, &full, Over::Writable, then, ctx);
                }
            }
            (Answer::Path(path), Some(Purpose::Export(export))) => {
                let full = files::with_extension(path.clone(), export.extension);
                if full != path && full.exists() {
                    self.dialog = Some(Dialog::Replace { purpose: Purpose::Export(export), path: full });
                } else {
                    self.write(&export, &full, Over::Writable, ctx);
                }
            }
            (Answer::Path(path), Some(Purpose::Picture(key, picture))) => {
                self.keep_picture(key, path, picture, ctx);
            }
            (Answer::Unavailable, Some(purpose)) => self.ask_typed(purpose, true),
            (Answer::Cancelled, Some(Purpose::Save(..))) => {
                self.forgone.clear();
                self.tell("Not saved".into());
            }
            (Answer::Cancelled, _) | (_, None) => {}
        }
    }

    /// Shows the table at `path`, so that its lots can be taken.
    pub(super) fn read_table(&mut self, path: &Path) {
        match files::read_bounded(path, MOST_BYTES) {
            Ok(bytes) if bytes.len() > MOST_BYTES => {
                self.fail(format!("{} is larger than any table of lots: import a part of it", path.display()));
            }
            Ok(bytes) => self.shelf_view.import(path.display().to_string(), bytes),
            Err(error) => self.fail(files::FileError::Read { path: path.to_owned(), error }),
        }
    }

    /// Asks where `export` goes.
    pub(super) fn export(&mut self, export: Export, ctx: &egui::Context) {
        let export = Arc::new(export);
        self.ask(&Question::Export(Arc::clone(&export)), Purpose::Export(export), ctx);
    }

    /// Hands `page` to the system's browser, from a file in the cache folder.
    pub(super) fn print(&mut self, page: String, ctx: &egui::Context) {
        let Some(path) = files::page_for_browser() else {
            self.fail("There is no folder for the page: save it as a web page instead.");
            return;
        };
        self.errands.ask(move || {
            let written = files::write_own(&path, page.as_bytes());
            Done::Page(path, written)
        });
        self.settle(ctx);
    }

    /// Asks for a browser once the page is there.
    pub(super) fn show_page(&mut self, path: &Path, written: Result<(), FileError>, ctx: &egui::Context) {
        match (written, url::Url::from_file_path(path)) {
            (Ok(()), Ok(url)) => {
                ctx.open_url(egui::OpenUrl::new_tab(url.as_str()));
                // Nobody tells whether a browser came up.
                self.tell(format!(
                    "The page is in {}. A browser was asked to open it; if none comes up, open that file yourself",
                    path.display()
                ));
            }
            (Err(error), _) => self.fail(error),
            (_, Err(())) => self.fail("The browser cannot be given the page: save it as a web page instead."),
        }
    }

    /// Reads the photograph at `path` for the form that asked for one.
    pub(super) fn read_photograph(&mut self, path: PathBuf, ctx: &egui::Context) {
        self.errands.ask(move || Done::Photograph(Photograph::open(&path)));
        self.settle(ctx);
    }

    pub(super) fn ask_typed(&mut self, purpose: Purpose, no_window: bool) {
        let folder = std::env::current_dir().unwrap_or_default();
        let text = match &purpose {
            Purpose::Open | Purpose::Table | Purpose::Picture(..) | Purpose::Photograph => String::new(),
            Purpose::Folder => self.folder().map_or_else(String::new, |folder| folder.display().to_string()),
            Purpose::Export(export) => folder.join(&export.name).display().to_string(),
            Purpose::Save(key, _) => self.find(*key).map_or_else(String::new, |open| {
                open.path.clone().unwrap_or_else(|| folder.join(proposed_name(open))).display().to_string()
            }),
        };
        self.dialog = Some(Dialog::TypedPath { purpose, text, no_window, complaint: None });
    }

    /// Closes the design `key`, whatever is unsaved; the last one makes way for an empty one.
    pub(super) fn close(&mut self, key: Key) {
        self.log_view.forget(key);
        self.typed_forgone = false;
        self.designs.retain(|d| d.key != key);
        self.let_files_go();
        match self.designs.last() {
            None => self.add(Design::default(), None, true),
            Some(last) if self.active == key => self.activate(last.key),
            Some(_) => {}
        }
    }

    pub(super) fn ask_to_close(&mut self, key: Key) {
        if self.saving.is_some() {
            return self.defer(Deferred::Close(key));
        }
        let lines = self.log_view.typed(Some(key));
        if !lines.is_empty() && !self.typed_forgone {
            self.dialog = Some(Dialog::Typed { lines, closes: Some(key) });
            return;
        }
        if self.find(key).is_some_and(OpenDesign::would_lose) {
            self.dialog = Some(Dialog::Unsaved { key, quitting: false });
        } else {
            self.close(key);
        }
    }

    /// Closes the window, asking first for what is unsaved.
    pub(super) fn quit(&mut self, ctx: &egui::Context) {
        self.settle(ctx);
        if self.errands.is_busy() {
            self.tell("The window closes once everything is written".into());
            return self.defer(Deferred::Quit);
        }
        let lines = self.log_view.typed(None);
        if !lines.is_empty() && !self.typed_forgone {
            self.dialog = Some(Dialog::Typed { lines, closes: None });
            return;
        }
        let is_forgone = |d: &OpenDesign| self.forgone.get(&d.key) == Some(&d.history.revision());
        let unsaved = self.designs.iter().filter(|d| d.would_lose() && !is_forgone(d));
        match *unsaved.map(|d| d.key).collect::<Vec<_>>() {
            [] => {
                self.closing = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
            [key] => {
                self.activate(key);
                self.dialog = Some(Dialog::Unsaved { key, quitting: true });
            }
            ref keys => self.dialog = Some(Dialog::AllUnsaved(keys.to_vec())),
        }
    }

    /// Saves what is unsaved, one after the other, then closes the window. Where a design has no file yet it is asked
    /// for; a question that is put away leaves the window open.
    pub(super) fn save_all(&mut self, ctx: &egui::Context) {
        match self.designs.iter().find(|d| d.would_lose()).map(|d| d.key) {
            Some(key) => {
                // What is asked for is in sight.
                self.activate(key);
                self.save(key, Afterwards::SaveAll, ctx);
            }
            None => self.quit(ctx),
        }
    }

    /// Keeps copies of what is in no file, and asks for a frame when the next one is due.
    pub(super) fn keep_copies(&mut self, ctx: &egui::Context) {
        if let Some(error) = self.recovery.as_ref().and_then(Recovery::trouble) {
            self.fail(format!("A copy against a crash could not be kept, so save soon: {error}"));
        }
        let Some(recovery) = &mut self.recovery else { return };
        let now = ctx.input(|i| i.time);
        let mut waits = false;
        let unsaved: Vec<&OpenDesign> = self.designs.iter().filter(|d| d.would_lose()).collect();
        recovery.retain(&unsaved.iter().map(|d| d.key.0).collect::<Vec<_>>());
        for open in unsaved {
            let copy = || {
                let (design, log) = (Arc::clone(open.design()), Arc::clone(open.log()));
                let (path, library) = (open.path.clone(), Arc::clone(&self.library));
                let make = move || {
                    let text = document::write_with_log(&design, &log, &library).ok()?;
                    Some(recovery::Copy { path, text })
                };
                Box::new(make) as recovery::Make
            };
            if let Some(wait) = recovery.keep(open.key.0, open.saved_state(), now, copy) {
                waits = true;
                ctx.request_repaint_after(std::time::Duration::from_secs_f64(wait + 0.01));
            }
        }
        if !waits {
            self.taken_up.drain(..).for_each(|found| recovery.discard(found));
        }
    }

    /// From now on unsaved work is kept, too, when the system ends the program.
    pub(super) fn write_copies_on_signals(&mut self) {
        #[cfg(unix)]
        if let Some(Err(error)) = self.recovery.as_ref().map(Recovery::write_on_signals) {
            self.fail(format!("Unsaved work cannot be kept when the system ends the program: {error}"));
        }
    }

    /// Opens what a broken-off window left, each beside the file it belongs to.
    pub(super) fn take_up(&mut self, found: Vec<Found>) {
        let library = Arc::clone(&self.library);
        for left in found {
            let mut all_read = true;
            for copy in &left.copies {
                match document::read_with_log(copy.text.as_bytes(), &library) {
                    Ok(document) => {
                        if let Some(path) = copy.path.as_ref().filter(|p| p.exists()) {
                            self.open_now(path);
                            self.compared = Some(self.active);
                        }
                        self.add_document(document, None, false);
                        self.view =
                            if self.second().is_some() && copy.path.is_some() { View::Compare } else { View::Design };
                    }
                    Err(error) => {
                        all_read = false;
                        self.fail(format!("A copy of unsaved work could not be read: {error}"));
                    }
                }
            }
            // These copies go only when every one of them is open again and kept anew.
            if all_read {
                self.taken_up.push(left);
            }
        }
    }
}

/// A file name made of the design's name.
fn proposed_name(open: &OpenDesign) -> String {
    if let Some(name) = open.path.as_ref().and_then(|p| p.file_name()) {
        return name.to_string_lossy().into_owned();
    }
    format!("{}.{EXTENSION}", files::name_of(&open.title()))
}
