//! When two selections count as different, so that a search can go on to the next.

/// When two selections count as different.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Distinct {
    /// They do not use the same variables.
    OtherSet,
    /// The new one uses at least so many variables that the earlier one does not.
    New(usize),
}

/// A selection of an earlier round, and how the next must differ from it.
#[derive(Debug, Clone)]
pub(super) struct Ban {
    pub(super) used: Vec<usize>,
    pub(super) rule: Distinct,
}

impl Ban {
    /// Whether a selection that uses `inside` and up to `places` of `open` may be different.
    pub(super) fn allows(&self, inside: &[usize], open: &[usize], places: usize) -> bool {
        let new = |list: &[usize]| list.iter().filter(|i| self.used.binary_search(i).is_err()).count();
        match self.rule {
            Distinct::OtherSet => {
                (places > 0 && !open.is_empty()) || inside.len() != self.used.len() || new(inside) > 0
            }
            Distinct::New(count) => new(inside) + new(open).min(places) >= count,
        }
    }
}
