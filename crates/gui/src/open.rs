//! A design that is open in the window.

use crate::cache::Kept;
use crate::evaluated::Evaluated;
use crate::files::Fingerprint;
use crate::views::{Changes, Request};
use barwright_core::cautions::Caution;
use barwright_core::chemistry::scale::Scale;
use barwright_core::design::document::Document;
use barwright_core::design::edit::{Edit, EditError};
use barwright_core::design::history::{Gesture, History};
use barwright_core::design::log::Log;
use barwright_core::design::scale::ScaleError;
use barwright_core::render::sheet::{Options, Sheet};
use barwright_core::units::Measures;
use barwright_core::{Design, Evaluation, Library};
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;

/// Names an open design for as long as it is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Key(pub u64);

/// Names a state of an open design: its key and its revision.
pub type State = (Key, u64);

/// An open design: its history, its file, and what follows from it, kept by revision.
#[derive(Debug)]
pub struct OpenDesign {
    /// Its name for as long as it is open.
    pub key: Key,
    /// The design with its undo steps.
    pub history: History,
    /// What was made of it, with the number of its state; it stands outside undo.
    log: (Arc<Log>, u64),
    /// The number of the log that is in the file.
    saved_log: u64,
    /// Its file, if it has one.
    pub path: Option<PathBuf>,
    /// What was in the file when it was read or saved.
    pub on_disk: Option<Fingerprint>,
    /// Whether another window had its file when that was asked last.
    pub elsewhere: bool,
    /// Whether nobody would miss it as long as it is untouched: the starter, an example, a new one.
    pub expendable: bool,
    /// Why the last edit was refused, until the next one succeeds.
    pub refused: Option<(Edit, EditError)>,
    /// Whether amounts in grams follow a change of the size, as the person answered last.
    pub grams_follow: Option<bool>,
    /// What follows from a revision.
    evaluated: Kept<u64, Rc<Evaluated>>,
    /// From a revision made in another size.
    scaled: Kept<(u64, Scale), Result<Rc<Evaluated>, ScaleError>>,
    /// The bench sheet of a revision.
    sheet: Kept<(u64, Options), Result<Rc<Sheet>, ScaleError>>,
}

impl OpenDesign {
    /// Opens `design`; with a file it counts as saved. A design that a person made elsewhere, by
    /// typing or by copying, is not expendable: it exists nowhere but here.
    pub fn new(key: Key, document: Document, file: Option<(PathBuf, Fingerprint)>, expendable: bool) -> Self {
        let Document { design, log } = document;
        let (path, on_disk) = file.unzip();
        // What is in no file yet is unsaved, but an empty log is nothing to save.
        let saved_log = u64::from(path.is_none() && !log.is_empty());
        let history = History::new(design, path.is_some());
        Self {
            key,
            history,
            log: (Arc::new(log), 0),
            saved_log,
            path,
            on_disk,
            elsewhere: false,
            expendable,
            refused: None,
            grams_follow: None,
            evaluated: Kept::default(),
            scaled: Kept::default(),
            sheet: Kept::default(),
        }
    }

    /// The design as it is now.
    pub fn design(&self) -> &Arc<Design> {
        self.history.design()
    }

    /// What was made of it.
    pub const fn log(&self) -> &Arc<Log> {
        &self.log.0
    }

    /// The number of the log’s state, for caches.
    pub const fn log_revision(&self) -> u64 {
        self.log.1
    }

    /// Takes `log` as what was made of it.
    pub fn set_log(&mut self, log: Log) {
        if *self.log.0 != log {
            self.log = (Arc::new(log), self.log.1.max(self.saved_log) + 1);
        }
    }

    /// Names all that a save would write, for copies.
    pub const fn saved_state(&self) -> (u64, u64) {
        (self.history.revision(), self.log.1)
    }

    /// Notes that what `state` names is in the file.
    pub const fn mark_saved(&mut self, state: (u64, u64)) {
        self.history.mark_saved(state.0);
        self.saved_log = state.1;
    }

    /// Whether something of the log is in no file.
    pub const fn is_log_unsaved(&self) -> bool {
        self.saved_log != self.log.1
    }

    /// Whether something is in no file.
    pub fn is_unsaved(&self) -> bool {
        self.history.is_unsaved() || self.is_log_unsaved()
    }

    /// Names its present state among all open designs.
    pub const fn state(&self) -> State {
        (self.key, self.history.revision())
    }

    /// What follows from it.
    pub fn evaluated(&self, library: &Library) -> Rc<Evaluated> {
        self.evaluated.get(self.history.revision(), || Rc::new(Evaluated::of(Arc::clone(self.design()), library)))
    }

    /// Its evaluation.
    pub fn evaluation(&self, library: &Library) -> Arc<Evaluation> {
        Arc::clone(&self.evaluated(library).evaluation)
    }

    /// What its maker must be told.
    pub fn cautions(&self, library: &Library, measures: Measures) -> Arc<[Caution]> {
        self.evaluated(library).cautions(library, measures)
    }

    /// What follows from it if it is made in another size.
    ///
    /// # Errors
    /// [`ScaleError`] if it cannot be made so.
    pub fn scaled(&self, scale: Scale, library: &Library) -> Result<Rc<Evaluated>, ScaleError> {
        self.scaled.get((self.history.revision(), scale), || {
            Ok(Rc::new(Evaluated::of(Arc::new(scale.of(self.design())?), library)))
        })
    }

    /// Its bench sheet.
    ///
    /// # Errors
    /// [`ScaleError`] if it cannot be made in the size that is asked for.
    pub fn sheet(&self, options: Options, library: &Library) -> Result<Rc<Sheet>, ScaleError> {
        self.sheet.get((self.history.revision(), options), || {
            Sheet::of(self.design(), &self.evaluation(library), library, &options).map(Rc::new)
        })
    }

    /// Carries out the edits of `changes`; gives what else is asked for.
    pub fn carry_out(&mut self, changes: Changes, library: &Library) -> Vec<Request> {
        for (edit, gesture) in changes.edits {
            self.edit(edit, gesture, library);
        }
        if changes.gesture_ended {
            self.history.end_gesture();
        }
        changes.requests
    }

    /// Carries out `edit`, as a part of `gesture` if there is one; a refusal is kept for the
    /// place where it belongs.
    pub fn edit(&mut self, edit: Edit, gesture: Option<Gesture>, library: &Library) {
        match edit.apply(self.history.base(gesture), library) {
            Ok(next) => {
                let name = edit.name(self.design());
                self.history.commit(name, next, gesture);
                self.refused = None;
            }
            Err(error) => self.refused = Some((edit, error)),
        }
    }

    /// Takes back or repeats a step.
    pub fn undo(&mut self) {
        self.history.undo();
        self.refused = None;
    }

    /// Does an undone step again.
    pub fn redo(&mut self) {
        self.history.redo();
        self.refused = None;
    }

    /// What it is called on screen: never empty.
    pub fn title(&self) -> String {
        let name = self.design().name.trim();
        if name.is_empty() { "Unnamed design".into() } else { name.into() }
    }

    /// Name of its file, or that it has none.
    pub fn file_name(&self) -> String {
        self.path
            .as_ref()
            .and_then(|p| p.file_name())
            .map_or_else(|| "no file yet".into(), |name| name.to_string_lossy().into_owned())
    }

    /// Whether closing it would lose something that is in no file.
    pub fn would_lose(&self) -> bool {
        self.is_unsaved() && !self.is_untouched()
    }

    /// Whether it is as it came, and can be had again.
    pub fn is_untouched(&self) -> bool {
        let steps = self.history.undo_name().or(self.history.redo_name());
        self.expendable && self.path.is_none() && steps.is_none() && self.log.0.is_empty()
    }

    /// Its file now belongs to another design: it has none any more, and is unsaved.
    pub fn lose_file(&mut self) {
        self.path = None;
        self.on_disk = None;
        self.elsewhere = false;
        self.expendable = false;
        self.history.mark_unsaved();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use barwright_core::units::{Multiple, Superfat};

    #[test]
    fn what_follows_from_a_design_is_worked_out_once_for_each_revision() {
        let library = Library::embedded().expect("assets parse");
        let starter = crate::examples::STARTER.design(&library).expect("the starter");
        let mut open = OpenDesign::new(Key(1), Document { design: starter, log: Log::default() }, None, true);
        let twice = Scale::Times(Multiple::nearest(2.0));
        let options = Options { scale: Some(twice), ..Options::default() };
        let results = |open: &OpenDesign| {
            let scaled = open.scaled(twice, &library).expect("it can be larger");
            (open.evaluated(&library), scaled, open.sheet(options, &library).expect("and so its sheet"))
        };
        let ((first, larger, sheet), same) = (results(&open), results(&open));
        assert!(Rc::ptr_eq(&first, &same.0), "the same while nothing changes");
        assert!(Rc::ptr_eq(&larger, &same.1) && Rc::ptr_eq(&sheet, &same.2), "and so the larger batch and its sheet");
        assert!(std::ptr::eq(first.label(&library).expect("fats"), same.0.label(&library).expect("fats")), "one label");

        open.edit(Edit::Superfat(Superfat::nearest(12.0)), None, &library);
        let after = results(&open);
        let alkali = |of: &Evaluated| of.evaluation.masses.alkali;
        assert_ne!(alkali(&after.0), alkali(&first), "less alkali");
        assert_ne!(alkali(&after.1), alkali(&larger), "for a larger batch too");
        assert_ne!(after.2, sheet, "and the sheet says so");

        open.undo();
        assert_eq!(open.evaluation(&library), first.evaluation, "as it was");
    }
}
