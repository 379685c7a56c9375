//! A design that is open in the window.

use crate::files::Fingerprint;
use crate::views::{Changes, Request};
use barwright_core::cautions::{self, Caution};
use barwright_core::design::edit::{Edit, EditError};
use barwright_core::design::history::{Gesture, History};
use barwright_core::{Design, Evaluation, Library, evaluate};
use std::cell::RefCell;
use std::path::PathBuf;
use std::sync::Arc;

/// What `kept` holds of `revision`, worked out by `make` if it holds another.
fn once<T: ?Sized>(kept: &RefCell<Option<(u64, Arc<T>)>>, revision: u64, make: impl FnOnce() -> Arc<T>) -> Arc<T> {
    if let Some((known, value)) = kept.borrow().as_ref()
        && *known == revision
    {
        return Arc::clone(value);
    }
    let value = make();
    *kept.borrow_mut() = Some((revision, Arc::clone(&value)));
    value
}

/// Names an open design for as long as it is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Key(pub u64);

/// An open design: its history, its file, and its evaluation kept by revision.
#[derive(Debug)]
pub struct OpenDesign {
    /// Its name for as long as it is open.
    pub key: Key,
    /// The design with its undo steps.
    pub history: History,
    /// Its file, if it has one.
    pub path: Option<PathBuf>,
    /// What was in the file when it was read or saved.
    pub on_disk: Option<Fingerprint>,
    /// Whether nobody would miss it as long as it is untouched: the starter, an example, a new one.
    pub expendable: bool,
    /// Why the last edit was refused, until the next one succeeds.
    pub refused: Option<(Edit, EditError)>,
    /// The evaluation of a revision, worked out when it is first asked for.
    evaluated: RefCell<Option<(u64, Arc<Evaluation>)>>,
    /// What its maker must be told, likewise.
    told: RefCell<Option<(u64, Arc<[Caution]>)>>,
}

impl OpenDesign {
    /// Opens `design`; with a file it counts as saved. A design that a person made elsewhere, by
    /// typing or by copying, is not expendable: it exists nowhere but here.
    pub fn new(key: Key, design: Design, file: Option<(PathBuf, Fingerprint)>, expendable: bool) -> Self {
        let (path, on_disk) = file.unzip();
        let history = History::new(design, path.is_some());
        Self {
            key,
            history,
            path,
            on_disk,
            expendable,
            refused: None,
            evaluated: RefCell::default(),
            told: RefCell::default(),
        }
    }

    /// The design as it is now.
    pub fn design(&self) -> &Arc<Design> {
        self.history.design()
    }

    /// Its evaluation, worked out once for each state.
    pub fn evaluation(&self, library: &Library) -> Arc<Evaluation> {
        once(&self.evaluated, self.history.revision(), || Arc::new(evaluate(self.design(), library)))
    }

    /// What its maker must be told, worked out once for each state.
    pub fn cautions(&self, library: &Library) -> Arc<[Caution]> {
        once(&self.told, self.history.revision(), || {
            cautions::of(self.design(), &self.evaluation(library), library).into()
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
        self.history.is_unsaved() && !self.is_untouched()
    }

    /// Whether it is as it came, and can be had again.
    pub fn is_untouched(&self) -> bool {
        let steps = self.history.undo_name().or(self.history.redo_name());
        self.expendable && self.path.is_none() && steps.is_none()
    }

    /// Its file now belongs to another design: it has none any more, and is unsaved.
    pub fn lose_file(&mut self) {
        self.path = None;
        self.on_disk = None;
        self.expendable = false;
        self.history.mark_unsaved();
    }
}
