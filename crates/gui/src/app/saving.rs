//! What is read and written off the thread that draws, and what waits for it.

use super::dialogs::Dialog;
use super::{Afterwards, App, Purpose};
use crate::files::{self, Export, FileError, Fingerprint, Over};
use crate::open::Key;
use crate::pictures::PictureError;
use crate::pictures::photograph::Photograph;
use crate::shelf::{KeepError, ShelfWritten};
use crate::views::NewPicture;
use barwright_core::design::document::Document;
use barwright_core::design::log::PictureName;
use barwright_core::design::shelf::ShelfEdit;
use eframe::egui;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What came of work on files.
pub(super) enum Done {
    Saved(Box<Save>, Result<Fingerprint, SaveError>),
    Exported(Arc<Export>, PathBuf, Result<Fingerprint, FileError>),
    /// With what is said before the reason if it failed.
    Shelf(ShelfWritten, &'static str),
    Preferences(Result<(), FileError>),
    Opened(PathBuf, Opening, Result<Box<(Document, Fingerprint)>, FileError>),
    Photograph(Result<Photograph, PictureError>),
    /// A picture of a batch of this design, under its name beside it.
    Pictured(Key, NewPicture, Result<PictureName, PictureError>),
    /// A page for the browser.
    Page(PathBuf, Result<(), FileError>),
}

/// How a design that is read is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Opening {
    /// In the Design view.
    Alone,
    /// In Compare, beside this one.
    Beside(Key),
}

/// A save that is under way.
pub(super) struct Save {
    key: Key,
    path: PathBuf,
    over: Over,
    then: Afterwards,
    /// What is saved: the revisions of the design and of its log.
    state: (u64, u64),
    /// The file in which its batches stay, if it moves to another.
    leaves: Option<PathBuf>,
    /// Whether its log has something that its file has not.
    has_news: bool,
    /// Whether its file was no longer there.
    gone: bool,
}

/// Why a design was not saved.
#[derive(Debug, thiserror::Error)]
pub(super) enum SaveError {
    #[error("The batches could not be kept in the file they belong to: {0}")]
    Batches(FileError),
    #[error(transparent)]
    Design(#[from] FileError),
}

/// What waits until work on files is done.
pub(super) enum Deferred {
    Save(Key, Afterwards),
    SaveTo(Key, PathBuf, Over, Afterwards),
    Close(Key),
    Quit,
    Ask(Dialog),
}

impl App {
    /// Does `what` once nothing is being written.
    pub(super) fn defer(&mut self, what: Deferred) {
        // Twice asked to close is asked once.
        if !matches!(what, Deferred::Quit) || !self.deferred.iter().any(|d| matches!(d, Deferred::Quit)) {
            self.deferred.push_back(what);
        }
    }

    /// Takes what came of work on files, and goes on with what waited for it.
    pub(super) fn settle(&mut self, ctx: &egui::Context) {
        loop {
            match self.errands.poll() {
                Ok(Some(done)) => self.take(done, ctx),
                Ok(None) => break,
                Err(broken) => {
                    self.saving = None;
                    self.keeping_preferences = false;
                    self.deferred.clear();
                    self.forgone.clear();
                    let library = Arc::clone(&self.library);
                    self.shelf.give_up(&library);
                    self.fail(broken);
                }
            }
        }
        while !self.errands.is_busy() && self.dialog.is_none() {
            match self.deferred.pop_front() {
                Some(Deferred::Save(key, then)) => self.save(key, then, ctx),
                Some(Deferred::SaveTo(key, path, over, then)) => self.save_to(key, &path, over, then, ctx),
                Some(Deferred::Close(key)) => self.ask_to_close(key),
                Some(Deferred::Quit) => self.quit(ctx),
                Some(Deferred::Ask(dialog)) => self.dialog = Some(dialog),
                None => return,
            }
        }
    }

    fn take(&mut self, done: Done, ctx: &egui::Context) {
        match done {
            Done::Saved(save, result) => {
                self.saving = None;
                self.saved(*save, result, ctx);
            }
            Done::Exported(export, path, result) => match result {
                Ok(_) => self.tell(format!("{} saved: {}", export.what, path.display())),
                Err(FileError::ReadOnly { path }) => {
                    self.defer(Deferred::Ask(Dialog::ReadOnly { purpose: Purpose::Export(export), path }));
                }
                Err(error) => self.fail(error),
            },
            Done::Shelf(written, failing) => {
                let library = Arc::clone(&self.library);
                if let Err(error) = self.shelf.settle(written, &library) {
                    self.fail(format!("{failing}{error}"));
                }
            }
            Done::Preferences(result) => {
                self.keeping_preferences = false;
                if let Err(error) = result {
                    self.fail(format!("The preferences could not be kept: {error}"));
                }
            }
            Done::Opened(path, opening, read) => self.opened(&path, opening, read),
            Done::Photograph(photograph) => self.design_view.take_photograph(photograph),
            Done::Pictured(key, picture, kept) => self.pictured(key, picture, kept, ctx),
            Done::Page(path, written) => self.show_page(&path, written, ctx),
        }
    }

    /// Saves the design `key` to `path`, over what `over` allows, and goes on with `then`. In another file than its own
    /// it is a design of its own: its batches stay where they are.
    pub(super) fn save_to(&mut self, key: Key, path: &Path, over: Over, then: Afterwards, ctx: &egui::Context) {
        let path = files::absolute(path);
        if self.saving.is_some() {
            return self.defer(Deferred::SaveTo(key, path, over, then));
        }
        let (library, watch) = (Arc::clone(&self.library), self.watch.clone());
        let Some(open) = self.designs.iter_mut().find(|d| d.key == key) else { return };
        open.history.end_gesture();
        let (design, log) = (Arc::clone(open.design()), Arc::clone(open.log()));
        let has_news = open.is_log_unsaved();
        let moves = open.path.as_ref().filter(|own| !files::is_same(own, &path)).cloned();
        let leaves = moves.filter(|_| !log.is_empty());
        let state = open.saved_state();
        let mut save = Box::new(Save { key, path, over, then, state, leaves, has_news, gone: false });
        if let Err(error) = self.take_for(&save) {
            return self.saved(*save, Err(error), ctx);
        }
        self.saving = Some(key);
        self.errands.ask(move || {
            let path = &save.path;
            save.gone = matches!(over, Over::Known(Some(_))) && matches!(path.try_exists(), Ok(false));
            let write = || {
                let Some(own) = &save.leaves else {
                    return Ok(files::save(path, &design, &log, &library, over, &watch)?);
                };
                if has_news {
                    // What was written down of a batch is in no other file: it is brought there first.
                    let there = files::open(own, &library);
                    let kept = there.and_then(|(Document { design, log: known }, mark)| {
                        files::save(own, &design, &known.with(&log), &library, Over::Known(Some(mark)), &watch)
                    });
                    kept.map_err(SaveError::Batches)?;
                }
                Ok(files::save(path, &design, &Arc::default(), &library, over, &watch)?)
            };
            let result = write();
            Done::Saved(save, result)
        });
        self.settle(ctx);
    }

    /// Takes the files that `save` writes to for this window.
    fn take_for(&mut self, save: &Save) -> Result<(), SaveError> {
        if let Some(path) = save.leaves.as_ref().filter(|own| save.has_news && !self.locks.take(own)).cloned() {
            return Err(SaveError::Batches(FileError::Elsewhere { path }));
        }
        let is_ours = self.locks.take(&save.path);
        is_ours.then_some(()).ok_or_else(|| FileError::Elsewhere { path: save.path.clone() }.into())
    }

    fn saved(&mut self, save: Save, result: Result<Fingerprint, SaveError>, ctx: &egui::Context) {
        let Save { key, path, over, then, state, leaves, has_news, gone } = save;
        let other = self.holder(&path).filter(|holder| *holder != key);
        let open = self.designs.iter_mut().find(|d| d.key == key);
        match result {
            Ok(fingerprint) => {
                let Some(open) = open else { return };
                let mut in_file = state;
                // Batches that were entered meanwhile are nowhere else yet.
                if leaves.is_some() && open.log_revision() == state.1 {
                    open.set_log(barwright_core::design::log::Log::default());
                    in_file.1 = open.log_revision();
                }
                open.mark_saved(in_file);
                open.path = Some(path.clone());
                open.on_disk = Some(fingerprint);
                open.elsewhere = false;
                let mut text = format!("Saved {}", open.file_name());
                if let Some(own) = leaves {
                    text = format!("{text}; its batches stay in {}", own.display());
                }
                if gone {
                    text.push_str("; the file was no longer there and is written anew");
                }
                if let Some(robbed) = self.designs.iter_mut().find(|d| Some(d.key) == other) {
                    robbed.lose_file();
                }
                self.let_files_go();
                self.preferences.remember(&path);
                self.tell(text);
                if has_news {
                    self.confirm_batches(key);
                }
                self.go_on(then, ctx);
            }
            Err(SaveError::Design(FileError::ReadOnly { path })) => {
                self.defer(Deferred::Ask(Dialog::ReadOnly { purpose: Purpose::Save(key, then), path }));
            }
            Err(SaveError::Design(FileError::Changed { path })) => {
                self.defer(Deferred::Ask(Dialog::ChangedOnDisk { key, path, then }));
            }
            Err(SaveError::Design(FileError::Elsewhere { path })) => {
                self.defer(Deferred::Ask(Dialog::Elsewhere { key, path, over, then }));
                self.settle(ctx);
            }
            Err(error) => {
                if let (SaveError::Design(FileError::InPlace { fingerprint, .. }), Some(open)) = (&error, open)
                    && open.path.as_ref() == Some(&path)
                {
                    // It is what is there now, and still counts as unsaved.
                    open.on_disk = Some(*fingerprint);
                }
                self.forgone.clear();
                // Who wanted to close asks again once this is seen.
                self.deferred.retain(|d| !matches!(d, Deferred::Close(_) | Deferred::Quit));
                self.fail(error);
            }
        }
    }

    /// Writes `export` to `path`, over what `over` allows.
    pub(super) fn write(&mut self, export: &Arc<Export>, path: &Path, over: Over, ctx: &egui::Context) {
        let (path, export, watch) = (files::absolute(path), Arc::clone(export), self.watch.clone());
        self.errands.ask(move || {
            let written = files::write_text(&path, &export.text, over, &watch);
            Done::Exported(export, path, written)
        });
        self.settle(ctx);
    }

    /// Carries out `edits` of the shelf; its file follows. If that fails, it is told behind `failing`.
    pub(super) fn change_shelf(&mut self, edits: Vec<ShelfEdit>, failing: &'static str) -> Result<(), KeepError> {
        let library = Arc::clone(&self.library);
        if let Some(write) = self.shelf.stage(edits, &library)? {
            self.errands.ask(move || Done::Shelf(write.run(), failing));
        }
        Ok(())
    }
}
