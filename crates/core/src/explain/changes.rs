//! What would change a number most: a step along everything that a person can move.

use super::figure::{Entry, with_unit};
use super::levers::{Lever, Way};
use super::{About, Change};
use crate::design::Design;
use crate::evaluate::evaluate;
use crate::library::Library;
use crate::number::significant;

/// How many changes are told.
pub(super) const MOST: usize = 4;
/// Downwards is told where it does so many times as much as upwards, as on the slope of a curve.
const MORE_DOWN: f64 = 1.5;

impl Entry {
    /// The number for `design`; `None` if it is not known.
    pub(super) fn of(&self, design: &Design, library: &Library) -> Option<f64> {
        let evaluation = evaluate(design, library);
        self.figure.value(About { design, evaluation: &evaluation, library }).ok()
    }
}

/// A step with what it does to a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Step {
    pub(super) lever: Lever,
    pub(super) way: Way,
    pub(super) effect: f64,
}

impl Lever {
    /// What a whole step does to the number, which is `now`; `None` if it cannot go so far or the number is not
    /// known there. Whole steps, since a slope misleads where the number bends within one.
    pub(super) fn effect(
        self,
        way: Way,
        (entry, now): (&Entry, f64),
        design: &Design,
        library: &Library,
    ) -> Option<f64> {
        let moved = self.moved(way, design, library)?;
        Some(entry.of(&moved, library)? - now)
    }

    /// The step that is told of this lever.
    pub(super) fn step(self, of: (&Entry, f64), design: &Design, library: &Library) -> Option<Step> {
        let effect = |way| self.effect(way, of, design, library).map(|effect| Step { lever: self, way, effect });
        match (effect(Way::Up), effect(Way::Down)) {
            (Some(up), Some(down)) if down.effect.abs() > MORE_DOWN * up.effect.abs() => Some(down),
            (up, down) => up.or(down),
        }
    }
}

/// The steps that move the number most, the strongest first; without those that would not show at two more
/// decimals than it is given.
pub(super) fn steps(entry: &Entry, design: &Design, library: &Library) -> Vec<Step> {
    let Some(now) = entry.of(design, library) else { return Vec::new() };
    let least = entry.decimals.saturating_add(2);
    let mut all: Vec<Step> = Lever::all(entry, design)
        .into_iter()
        .filter_map(|lever| lever.step((entry, now), design, library))
        .filter(|step| format!("{:.least$}", step.effect.abs()).bytes().any(|b| (b'1'..=b'9').contains(&b)))
        .collect();
    all.sort_by(|a, b| b.effect.abs().total_cmp(&a.effect.abs()));
    all.truncate(MOST);
    all
}

/// [`steps`] in words.
pub(super) fn strongest(entry: &Entry, design: &Design, library: &Library) -> Vec<Change> {
    let change = |Step { lever, way, effect }: Step| {
        let sign = if effect < 0.0 { '\u{2212}' } else { '+' };
        let number = format!("{sign}{}", significant(effect.abs()));
        Change { what: lever.what(way, design), effect: with_unit(&number, entry.unit_of_change()) }
    };
    steps(entry, design, library).into_iter().map(change).collect()
}
