//! Undo and redo over the whole design, in named steps.

use crate::design::Design;
use std::collections::VecDeque;
use std::sync::Arc;

/// The most steps that can be undone.
pub const MOST_STEPS: usize = 1000;

/// Names one uninterrupted gesture (a drag, a run of typing); its edits become one step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Gesture(pub u64);

#[derive(Debug, Clone)]
struct Past {
    name: String,
    design: Arc<Design>,
    revision: u64,
}

/// The present design with the way it came and the way that was undone.
///
/// An edit that changes nothing leaves no step; a gesture leaves one; a new edit forgets what
/// was undone. Never saved to a file.
#[derive(Debug, Clone)]
pub struct History {
    past: VecDeque<Past>,
    present: Arc<Design>,
    future: Vec<Past>,
    /// Names the present state; equal numbers mean equal designs.
    revision: u64,
    newest: u64,
    saved: Option<u64>,
    gesture: Option<Gesture>,
}

impl History {
    /// A history that begins at `design`. If `saved`, that state counts as being in a file.
    pub fn new(design: Design, saved: bool) -> Self {
        Self {
            past: VecDeque::new(),
            present: Arc::new(design),
            future: Vec::new(),
            revision: 0,
            newest: 0,
            saved: saved.then_some(0),
            gesture: None,
        }
    }

    /// The design as it is now.
    pub fn design(&self) -> &Arc<Design> {
        &self.present
    }

    /// Number of the present state, for caches: it changes whenever the design does.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// Makes `design` the present in a step called `name`. Within one `gesture` later calls
    /// replace the present without a further step.
    pub fn commit(&mut self, name: impl Into<String>, design: Design, gesture: Option<Gesture>) {
        if design == *self.present {
            return;
        }
        let goes_on = gesture.is_some() && gesture == self.gesture;
        self.newest += 1;
        if goes_on {
            self.present = Arc::new(design);
            // A drag that returns to where it began leaves no step.
            if let Some(step) = self.past.pop_back_if(|s| s.design == self.present) {
                self.present = step.design;
                self.revision = step.revision;
                self.gesture = None;
                return;
            }
        } else {
            let before = std::mem::replace(&mut self.present, Arc::new(design));
            self.past.push_back(Past { name: name.into(), design: before, revision: self.revision });
            if self.past.len() > MOST_STEPS {
                self.past.pop_front();
            }
        }
        self.revision = self.newest;
        self.future.clear();
        self.gesture = gesture;
    }

    /// The design that the next edit of `gesture` starts from: the one before the gesture if it
    /// is running, so that a drag to the end and back loses nothing on the way.
    pub fn base(&self, gesture: Option<Gesture>) -> &Arc<Design> {
        match self.past.back() {
            Some(step) if gesture.is_some() && gesture == self.gesture => &step.design,
            _ => &self.present,
        }
    }

    /// Ends a running gesture, so that the next edit is a step of its own.
    pub const fn end_gesture(&mut self) {
        self.gesture = None;
    }

    /// Name of the step that [`Self::undo`] would take back.
    pub fn undo_name(&self) -> Option<&str> {
        self.past.back().map(|s| s.name.as_str())
    }

    /// Name of the step that [`Self::redo`] would do again.
    pub fn redo_name(&self) -> Option<&str> {
        self.future.last().map(|s| s.name.as_str())
    }

    /// Takes back the last step; false if there is none.
    pub fn undo(&mut self) -> bool {
        self.gesture = None;
        let Some(Past { name, design, revision }) = self.past.pop_back() else {
            return false;
        };
        let after = std::mem::replace(&mut self.present, design);
        self.future.push(Past { name, design: after, revision: self.revision });
        self.revision = revision;
        true
    }

    /// Does the last undone step again; false if there is none.
    pub fn redo(&mut self) -> bool {
        self.gesture = None;
        let Some(Past { name, design, revision }) = self.future.pop() else {
            return false;
        };
        let before = std::mem::replace(&mut self.present, design);
        self.past.push_back(Past { name, design: before, revision: self.revision });
        self.revision = revision;
        true
    }

    /// Marks the state numbered `revision` as the one that is in the file.
    pub const fn mark_saved(&mut self, revision: u64) {
        self.saved = Some(revision);
    }

    /// Marks every state as being in no file.
    pub const fn mark_unsaved(&mut self) {
        self.saved = None;
    }

    /// Whether the present differs from what is in the file.
    pub fn is_unsaved(&self) -> bool {
        self.saved != Some(self.revision)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Superfat;

    fn with_superfat(value: f64) -> Design {
        Design { superfat: Superfat::nearest(value), ..Design::default() }
    }

    #[test]
    fn a_drag_is_one_step_and_undo_brings_back_what_was() {
        let mut history = History::new(with_superfat(5.0), true);
        for i in 1..50 {
            history.commit("superfat", with_superfat(5.0 + f64::from(i) / 10.0), Some(Gesture(1)));
        }
        assert_eq!(history.undo_name(), Some("superfat"));
        assert!(history.is_unsaved(), "it moved");
        assert!(history.undo(), "one step");
        assert!(!history.undo(), "and no more");
        assert_eq!(**history.design(), with_superfat(5.0));
        assert!(!history.is_unsaved(), "back at the saved state");
        assert!(history.redo(), "and forward");
        assert_eq!(**history.design(), with_superfat(9.9));
    }

    #[test]
    fn an_edit_that_changes_nothing_leaves_no_step() {
        let mut history = History::new(with_superfat(5.0), true);
        history.commit("superfat", with_superfat(5.0), None);
        assert_eq!(history.undo_name(), None);
        history.commit("superfat", with_superfat(6.0), Some(Gesture(1)));
        history.commit("superfat", with_superfat(5.0), Some(Gesture(1)));
        assert_eq!(history.undo_name(), None, "the drag came back to where it began");
        assert!(!history.is_unsaved(), "nothing changed");
    }

    #[test]
    fn a_new_edit_forgets_what_was_undone() {
        let mut history = History::new(with_superfat(5.0), false);
        history.commit("a", with_superfat(6.0), None);
        history.undo();
        history.commit("b", with_superfat(7.0), None);
        assert_eq!(history.redo_name(), None);
        assert_eq!(history.undo_name(), Some("b"));
    }

    #[test]
    fn the_oldest_step_is_dropped_beyond_the_cap() {
        let mut history = History::new(with_superfat(0.0), true);
        for i in 0..=MOST_STEPS {
            history.commit("s", with_superfat(if i % 2 == 0 { 1.0 } else { 2.0 }), None);
        }
        let mut steps = 0;
        while history.undo() {
            steps += 1;
        }
        assert_eq!(steps, MOST_STEPS);
    }
}
