//! What is typed of a batch and not entered yet. It can be undone; what is entered cannot.

use super::form::{Form, Slot};
use barwright_core::design::log::{Batch, Happened, HeatOf, LotId, TimeOf, What};
use barwright_core::units::{AmountMass, Celsius, Minutes};
use std::collections::BTreeMap;

/// From where something comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum FromLot {
    /// What is to be used first, by the shelf.
    #[default]
    FirstOut,
    /// This lot first.
    Lot(LotId),
    /// No lot of the shelf.
    Nowhere,
}

/// Weights that are typed, with where they come from.
pub(super) type Weights = BTreeMap<What, (AmountMass, FromLot)>;

/// Figures that are typed.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Staged {
    pub weights: BTreeMap<What, AmountMass>,
    /// Lots that are chosen, of what is typed or not.
    pub lots: BTreeMap<What, FromLot>,
    pub heats: [Option<Celsius>; HeatOf::ALL.len()],
    pub times: [Option<Minutes>; TimeOf::ALL.len()],
}

impl Staged {
    /// Its weights with those that are being `typed` now.
    pub(super) fn weights(&self, typing: &BTreeMap<What, AmountMass>) -> Weights {
        let all = self.weights.iter().chain(typing);
        all.map(|(what, grams)| (*what, (*grams, self.lots.get(what).copied().unwrap_or_default()))).collect()
    }

    fn count(&self) -> usize {
        self.weights.len() + self.heats.iter().flatten().count() + self.times.iter().flatten().count()
    }
}

/// What lies on the bench beside the record of a batch.
#[derive(Debug, Default)]
pub(super) struct Desk {
    pub staged: Staged,
    /// Whether its batch was begun just now: the hand goes to the first weight.
    pub is_fresh: bool,
    past: Vec<Staged>,
    future: Vec<Staged>,
    /// What is filled in and not written down.
    pub forms: BTreeMap<Slot, Form>,
    /// An entry that is written anew.
    pub correcting: Option<(usize, Form)>,
    /// An entry that is struck, and why.
    pub striking: Option<(usize, String)>,
    /// How many entries there were when something was asked for.
    sent: Option<usize>,
    /// The form whose content was asked for.
    pub sent_form: Option<Slot>,
    /// How many entries there were when a picture was asked for: its file is chosen later, or not.
    pub picture_since: Option<usize>,
}

/// How many steps can be taken back.
const MOST: usize = 100;

impl Desk {
    /// Changes what is typed, as a step.
    pub(super) fn stage(&mut self, change: impl FnOnce(&mut Staged)) {
        let before = self.staged.clone();
        change(&mut self.staged);
        if before != self.staged {
            self.past.push(before);
            if self.past.len() > MOST {
                self.past.remove(0);
            }
            self.future.clear();
        }
    }

    pub(super) const fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    pub(super) const fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }

    pub(super) fn undo(&mut self) {
        if let Some(before) = self.past.pop() {
            self.future.push(std::mem::replace(&mut self.staged, before));
        }
    }

    pub(super) fn redo(&mut self) {
        if let Some(after) = self.future.pop() {
            self.past.push(std::mem::replace(&mut self.staged, after));
        }
    }

    /// How much is typed and not entered.
    pub(super) fn count(&self) -> usize {
        let begun = self.forms.values().filter(|form| form.holds_words()).count();
        self.staged.count() + begun + usize::from(self.correcting.is_some())
    }

    /// Notes that entries of `batch` are asked for.
    pub(super) fn sent(&mut self, batch: &Batch) {
        self.sent = Some(batch.entries().len());
    }

    /// Puts away what was asked for and is in the record now; what was refused stays as it is typed.
    pub(super) fn settle(&mut self, batch: &Batch) {
        let is_kept = |n: usize| {
            let new = batch.entries().get(n..).unwrap_or_default();
            new.iter().any(|entry| matches!(entry.what, Happened::Pictured(_)))
        };
        if self.picture_since.is_some_and(is_kept) {
            self.picture_since = None;
            self.forms.remove(&Slot::Picture);
        }
        let Some(before) = self.sent.take() else { return };
        let new = batch.entries().get(before..).unwrap_or_default();
        let form = self.sent_form.take();
        if new.is_empty() {
            return;
        }
        for entry in new {
            match &entry.what {
                Happened::Weighed { what, .. } => {
                    self.staged.weights.remove(what);
                    self.staged.lots.remove(what);
                }
                Happened::Heat { of, .. } => {
                    self.staged.heats[HeatOf::ALL.iter().position(|h| h == of).unwrap_or(0)] = None;
                }
                Happened::Took { of, .. } => {
                    self.staged.times[TimeOf::ALL.iter().position(|t| t == of).unwrap_or(0)] = None;
                }
                _ => {}
            }
            if self.correcting.as_ref().is_some_and(|(n, _)| Some(*n) == entry.corrects) {
                self.correcting = None;
            }
            if self.striking.as_ref().is_some_and(|(n, _)| Some(*n) == entry.corrects) {
                self.striking = None;
            }
        }
        if let Some(form) = form {
            self.forms.remove(&form);
        }
        // What is entered is not brought back by undo.
        (self.past, self.future) = (Vec::new(), Vec::new());
    }
}
