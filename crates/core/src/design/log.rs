//! What was made of a design: a record of each batch, with a line for everything that was done and seen.
//!
//! An entry is written once. What was wrong is corrected by a later entry that names it, so that the record shows both.
//! Entries are kept in the file as they stand here: what a person wrote down at the bench must never change its meaning.

mod code;
mod entry;
mod named;

pub use code::{BatchCode, NoCode};
pub use entry::{
    Aspect, Batter, CutLike, Entry, Flaw, Gel, Happened, HeatOf, How, LotFigures, LotId, MarkedBar, NoMarkedBar,
    NoPictureName, NoRating, Outcome, Picture, PictureName, Rating, Stage, Taken, TimeOf, What,
};

use crate::design::Design;
use crate::design::words::{Day, Line};
use std::sync::Arc;

/// The most batches that a design's file holds.
pub const MOST_BATCHES: usize = 2000;
/// The most entries of one batch.
pub const MOST_ENTRIES: usize = 4000;

/// Why an entry is not taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LogError {
    /// There are as many batches as a file holds.
    #[error("a design’s file holds at most {MOST_BATCHES} batches: go on with a copy of the design")]
    TooManyBatches,
    /// The batch has as many entries as a record holds.
    #[error("a batch has at most {MOST_ENTRIES} entries")]
    TooManyEntries,
    /// The code names another batch.
    #[error("there is a batch {0} already: a code names one batch only")]
    Taken(BatchCode),
    /// No batch of that code.
    #[error("there is no batch {0} in this design")]
    Unknown(BatchCode),
    /// A correction of what is no entry before it, or of one that was corrected already.
    #[error("entry {0} cannot be corrected: it is not there, or was corrected already")]
    NothingToCorrect(usize),
}

/// One making of a design.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// Day and running letter; its name wherever it is met.
    pub code: BatchCode,
    /// Who made it.
    pub maker: Line,
    /// The design as it was made, in the size it was made in.
    pub made: Arc<Design>,
    entries: Vec<Entry>,
}

impl Batch {
    /// A batch of `made` with nothing done yet.
    pub const fn new(code: BatchCode, maker: Line, made: Arc<Design>) -> Self {
        Self { code, maker, made, entries: Vec::new() }
    }

    /// Everything that was entered, in that order.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// Whether entry `n` was corrected by a later one.
    pub fn is_corrected(&self, n: usize) -> bool {
        self.entries.iter().any(|e| e.corrects == Some(n))
    }

    /// What stands: entries that were not corrected and do not only strike another, with their numbers; a correction
    /// stands where the first of what it corrects stood.
    pub fn standing(&self) -> Vec<(usize, &Entry)> {
        let mut place: Vec<usize> = (0..self.entries.len()).collect();
        let mut corrected = vec![false; self.entries.len()];
        for (n, entry) in self.entries.iter().enumerate() {
            if let Some(first) = entry.corrects.filter(|first| *first < n) {
                corrected[first] = true;
                place[n] = place[first];
            }
        }
        let stands = |(n, e): &(usize, &Entry)| !corrected[*n] && !matches!(e.what, Happened::Struck { .. });
        let mut standing: Vec<(usize, &Entry)> = self.entries.iter().enumerate().filter(stands).collect();
        standing.sort_by_key(|(n, _)| place[*n]);
        standing
    }

    /// What `read` finds in the last standing entry of its kind, with the number of the entry.
    pub fn last<'a, T>(&'a self, read: impl Fn(&'a Happened) -> Option<T>) -> Option<(usize, T)> {
        self.standing().into_iter().rev().find_map(|(n, e)| Some((n, read(&e.what)?)))
    }

    /// How many bars were cut; `None` before.
    pub fn cut(&self) -> Option<u32> {
        self.last(|what| if let Happened::Cut { bars, .. } = what { Some(*bars) } else { None }).map(|(_, bars)| bars)
    }

    /// How many bars went out.
    pub fn out(&self) -> u32 {
        let gone = |what: &Happened| if let Happened::Out { bars, .. } = what { *bars } else { 0 };
        self.standing().iter().map(|(_, e)| gone(&e.what)).fold(0, u32::saturating_add)
    }

    /// Whether its bars are not to be used, by an entry or a failed test.
    pub fn is_withdrawn(&self) -> bool {
        let ends = |what: &Happened| {
            matches!(what, Happened::Withdrawn { .. } | Happened::Tested { outcome: Outcome::Failed, .. })
        };
        self.standing().iter().any(|(_, e)| ends(&e.what))
    }

    /// Adds `entry` at the end.
    ///
    /// # Errors
    /// [`LogError`] if there is no room, or it corrects what cannot be corrected.
    pub fn push(&mut self, entry: Entry) -> Result<(), LogError> {
        if self.entries.len() >= MOST_ENTRIES {
            return Err(LogError::TooManyEntries);
        }
        let stands = |n: usize| n < self.entries.len() && !self.is_corrected(n);
        if let Some(n) = entry.corrects.filter(|n| !stands(*n)) {
            return Err(LogError::NothingToCorrect(n));
        }
        self.entries.push(entry);
        Ok(())
    }
}

/// All batches of a design, in the order in which they were begun.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Log {
    batches: Vec<Batch>,
}

impl Log {
    /// The batches.
    pub fn batches(&self) -> &[Batch] {
        &self.batches
    }

    /// Whether nothing was made yet.
    pub const fn is_empty(&self) -> bool {
        self.batches.is_empty()
    }

    /// When something was made last.
    pub fn last_made(&self) -> Option<Day> {
        self.batches.iter().map(|b| b.code.day()).max()
    }

    /// How many cut bars are left of all batches that are not withdrawn.
    pub fn bars_left(&self) -> u32 {
        let left = |b: &Batch| if b.is_withdrawn() { 0 } else { b.cut().unwrap_or(0).saturating_sub(b.out()) };
        self.batches.iter().map(left).fold(0, u32::saturating_add)
    }

    /// The batch `code`.
    pub fn batch(&self, code: &BatchCode) -> Option<&Batch> {
        self.batches.iter().find(|b| b.code == *code)
    }

    /// Begins `batch`.
    ///
    /// # Errors
    /// [`LogError`] if its code is taken or there is no room.
    pub fn begin(&mut self, batch: Batch) -> Result<(), LogError> {
        if self.batches.len() >= MOST_BATCHES {
            return Err(LogError::TooManyBatches);
        }
        if self.batch(&batch.code).is_some() {
            return Err(LogError::Taken(batch.code));
        }
        self.batches.push(batch);
        Ok(())
    }

    /// This log with what only `other` has: batches that are not in it, and entries that the same batch has there.
    #[must_use]
    pub fn with(&self, other: &Self) -> Self {
        let mut both = self.clone();
        for batch in &other.batches {
            match both.batches.iter_mut().find(|b| b.code == batch.code) {
                None => both.batches.push(batch.clone()),
                Some(known) => {
                    let shared = known.entries.iter().zip(&batch.entries).take_while(|(a, b)| a == b).count();
                    let own = known.entries.len();
                    for entry in &batch.entries[shared..] {
                        // What it corrects may have another number here.
                        let moved = |n: usize| if n < shared { n } else { n - shared + own };
                        known.entries.push(Entry { corrects: entry.corrects.map(moved), ..entry.clone() });
                    }
                }
            }
        }
        both
    }

    /// Adds `entry` to the batch `code`.
    ///
    /// # Errors
    /// [`LogError`] as of [`Batch::push`], and if there is no such batch.
    pub fn push(&mut self, code: &BatchCode, entry: Entry) -> Result<(), LogError> {
        let batch = self.batches.iter_mut().find(|b| b.code == *code);
        batch.ok_or(LogError::Unknown(*code))?.push(entry)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(text: &str, corrects: Option<usize>) -> Entry {
        let on = Day::try_from("2026-11-28".to_owned()).expect("a day");
        Entry { on, corrects, what: Happened::Said(crate::design::words::Words::new(text).expect("words")) }
    }

    fn numbers(batch: &Batch) -> Vec<usize> {
        batch.standing().into_iter().map(|(n, _)| n).collect()
    }

    #[test]
    fn two_records_of_a_batch_are_put_together_without_losing_an_entry() {
        let code = |nth| BatchCode::of(entry("", None).on, nth);
        let mut common = Batch::new(code(0), Line::default(), Arc::new(Design::default()));
        common.push(entry("one", None)).expect("room");
        let (mut here, mut there) = (common.clone(), common);
        here.push(entry("two, here", None)).expect("room");
        there.push(entry("two, there", None)).expect("room");
        there.push(entry("two, there, mended", Some(1))).expect("it stands");
        let log = |batches| Log { batches };
        let new = Batch::new(code(1), Line::default(), Arc::new(Design::default()));
        let both = log(vec![here]).with(&log(vec![there, new.clone()]));
        let corrects: Vec<_> = both.batches[0].entries.iter().map(|e| e.corrects).collect();
        assert_eq!(corrects, [None, None, None, Some(2)], "it still corrects what it corrected");
        assert_eq!(both.batches[1], new);
        assert_eq!(both.with(&both), both, "the same again adds nothing");
    }

    #[test]
    fn a_correction_stands_in_place_of_what_it_corrects_and_both_are_kept() {
        let code = BatchCode::try_from("2026-11-28A".to_owned()).expect("a code");
        let mut batch = Batch::new(code, Line::default(), Arc::new(Design::default()));
        batch.push(entry("one", None)).expect("room");
        batch.push(entry("two", None)).expect("room");
        batch.push(entry("one, mended", Some(0))).expect("it stands");
        assert_eq!(batch.push(entry("again", Some(0))), Err(LogError::NothingToCorrect(0)), "it no longer stands");
        assert_eq!(batch.push(entry("later", Some(9))), Err(LogError::NothingToCorrect(9)), "it is not there");
        assert_eq!(numbers(&batch), [2, 1], "the correction stands where the first stood");
        let struck = Happened::Struck { reason: Line::new("of another batch").expect("a line") };
        batch.push(Entry { what: struck, ..entry("", Some(1)) }).expect("it stands");
        assert_eq!(numbers(&batch), [2]);
        assert_eq!(batch.entries().len(), 4, "nothing is overwritten");
    }
}
