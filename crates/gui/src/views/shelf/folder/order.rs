//! In which order the designs of a folder stand, which of them are found, and on what axes their scores are drawn.

use crate::folder::{FolderList, Row};
use barwright_core::Library;
use barwright_core::library::estimates::Estimate;
use barwright_core::library::finding::folded;
use barwright_core::render::report::Figure;
use barwright_core::units::{Fraction, Interval};
use std::cell::OnceCell;
use std::cmp::{Ordering, Reverse};
use std::sync::Arc;

/// A column by which designs are sorted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum By {
    /// The name.
    #[default]
    Name,
    /// A score.
    Score(Estimate),
    /// What a bar costs.
    Cost,
    /// How many bars there are.
    Bars,
    /// The day of the last change.
    Changed,
}

impl By {
    /// Its name in a sentence.
    pub(super) fn words(self) -> String {
        match self {
            Self::Name => "name".into(),
            Self::Score(estimate) => estimate.name().to_lowercase(),
            Self::Cost => "cost of a bar".into(),
            Self::Bars => "bars".into(),
            Self::Changed => "last change".into(),
        }
    }

    /// Whether what is most stands first to begin with.
    const fn begins_with_most(self) -> bool {
        matches!(self, Self::Score(_) | Self::Changed)
    }
}

/// A column and which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Sort {
    /// The column.
    pub(super) by: By,
    /// Whether what is most stands first.
    pub(super) most_first: bool,
}

impl Sort {
    /// By `by`; the other way if it is by that already.
    pub(super) fn next(self, by: By) -> Self {
        if self.by == by {
            Self { by, most_first: !self.most_first }
        } else {
            Self { by, most_first: by.begins_with_most() }
        }
    }
}

/// The axes of the scores.
pub(super) type Axes = [Option<Interval>; 7];

/// The rows that are found, in their order, kept until the rows, the search or the sort are others.
#[derive(Debug, Default)]
pub(super) struct Order {
    of: Option<(u64, String, Sort)>,
    indices: Vec<usize>,
    axes: OnceCell<Axes>,
}

impl Order {
    /// Brings the order up to date.
    pub(super) fn keep(&mut self, list: &FolderList, text: &str, sort: Sort) {
        let is_same = self.of.as_ref().is_some_and(|(r, t, s)| (*r, t.as_str(), *s) == (list.revision, text, sort));
        if is_same {
            return;
        }
        if self.of.as_ref().is_none_or(|(revision, ..)| *revision != list.revision) {
            self.axes = OnceCell::new();
        }
        self.indices = sorted(&list.rows, text, sort);
        self.of = Some((list.revision, text.to_owned(), sort));
    }

    /// Where the rows stand in the list.
    pub(super) fn indices(&self) -> &[usize] {
        &self.indices
    }

    /// One axis for each score, the same for all rows: it holds the scale of the design with the most free fat.
    pub(super) fn axes(&self, list: &FolderList, library: &Library) -> Axes {
        *self.axes.get_or_init(|| {
            let free_fat = list.rows.iter().filter_map(|row| row.summary()).map(|s| s.free_fat);
            let most = Fraction(free_fat.filter(|f| f.is_finite()).fold(0.0, f64::max));
            Estimate::ALL.map(|estimate| library.scale(estimate, most))
        })
    }
}

/// The rows that have all words of `text`, sorted; what is not known stands last, whichever way.
fn sorted(rows: &[Arc<Row>], text: &str, sort: Sort) -> Vec<usize> {
    let text = folded(text);
    let words: Vec<&str> = text.split(' ').collect();
    let is_found = |row: &Row| words.iter().all(|word| row.words.contains(word));
    let mut keyed: Vec<(Key<'_>, usize)> =
        rows.iter().enumerate().filter(|(_, row)| is_found(row)).map(|(i, row)| (Key::of(row, sort.by), i)).collect();
    keyed.sort_by(|(a, _), (b, _)| a.compare(b, sort.most_first));
    keyed.into_iter().map(|(_, i)| i).collect()
}

/// By what a row is sorted.
struct Key<'a> {
    number: Option<f64>,
    order: &'a (bool, String, String, String),
    by_name: bool,
}

impl<'a> Key<'a> {
    fn of(row: &'a Row, by: By) -> Self {
        let summary = row.summary();
        let value = |figure: Option<&Figure>| figure.map(|figure| figure.value);
        let number = match by {
            By::Name => None,
            By::Score(estimate) => summary.and_then(|s| s.score(estimate)).map(|score| score.value),
            By::Cost => value(summary.and_then(|s| s.bar.as_ref())),
            By::Bars => value(summary.and_then(|s| s.bars.as_ref())),
            By::Changed => row
                .changed
                .and_then(|at| at.duration_since(std::time::SystemTime::UNIX_EPOCH).ok())
                .map(|since| since.as_secs_f64()),
        };
        Self { number, order: &row.order, by_name: by == By::Name }
    }

    fn compare(&self, other: &Self, most_first: bool) -> Ordering {
        let by_name = || self.order.cmp(other.order);
        if self.by_name {
            // What could not be read stays last.
            let unread = self.order.0.cmp(&other.order.0);
            let names = if most_first { by_name().reverse() } else { by_name() };
            return unread.then(names);
        }
        let known = Reverse(self.number.is_some()).cmp(&Reverse(other.number.is_some()));
        let numbers = match (self.number, other.number) {
            (Some(a), Some(b)) if most_first => b.total_cmp(&a),
            (Some(a), Some(b)) => a.total_cmp(&b),
            _ => Ordering::Equal,
        };
        known.then(numbers).then_with(by_name)
    }
}
