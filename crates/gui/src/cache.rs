//! Results that are kept with what they were worked out from.

use std::cell::RefCell;
use std::collections::VecDeque;

/// The last `N` results of a kind, each with all that it was worked out from, such as a design, its
/// revision and a choice.
///
/// It is filled behind a shared reference, so that who only looks at a design can ask for what
/// follows from it.
#[derive(Debug)]
pub struct Kept<K, V, const N: usize = 1>(RefCell<VecDeque<(K, V)>>);

impl<K, V, const N: usize> Default for Kept<K, V, N> {
    fn default() -> Self {
        Self(RefCell::default())
    }
}

impl<K: PartialEq, V: Clone, const N: usize> Kept<K, V, N> {
    /// The result for `from`: a kept one, else the one that `work_out` gives.
    pub fn get(&self, from: K, work_out: impl FnOnce() -> V) -> V {
        let known = self.0.borrow().iter().find(|(key, _)| *key == from).map(|(_, value)| value.clone());
        known.unwrap_or_else(|| {
            // Nothing is borrowed meanwhile: one result may rest on another.
            let value = work_out();
            let mut kept = self.0.borrow_mut();
            kept.push_front((from, value.clone()));
            kept.truncate(N);
            value
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    #[test]
    fn a_result_is_worked_out_once_for_what_it_rests_on() {
        let (kept, times) = (Kept::<u64, u64>::default(), Cell::new(0));
        let twice = |of: u64| {
            kept.get(of, || {
                times.set(times.get() + 1);
                2 * of
            })
        };
        assert_eq!([twice(3), twice(3)], [6, 6]);
        assert_eq!(times.get(), 1, "the second is the first one's");
        assert_eq!([twice(4), twice(3)], [8, 6]);
        assert_eq!(times.get(), 3, "only the last is kept");
    }

    #[test]
    fn as_many_results_are_kept_as_are_asked_for() {
        let kept = Kept::<&str, u8, 2>::default();
        assert_eq!(kept.get("a", || 1) + kept.get("b", || 2), 3);
        assert_eq!(kept.get("a", || 9), 1, "the first is still there");
        assert_eq!(kept.get("c", || 3), 3);
        assert_eq!(kept.get("a", || 9), 9, "it was the oldest");
    }
}
