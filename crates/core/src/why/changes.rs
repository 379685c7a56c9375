//! What would change a number most: its slope along everything that a person can move.

use super::figure::{Entry, with_unit};
use super::levers::Lever;
use super::{About, Change};
use crate::design::Design;
use crate::evaluate::evaluate;
use crate::library::Library;
use crate::number::significant;

/// The part of a whole step that is taken to each side for a slope.
const PART: f64 = 0.01;
/// How many changes are told.
pub(super) const MOST: usize = 4;

impl Lever {
    /// What a whole step does to the number, by its slope: central differences, one-sided where a
    /// range ends; for what comes in steps itself the whole step is taken. `None` if it cannot move or the
    /// number is not known there.
    pub(super) fn effect(self, entry: &Entry, design: &Design, library: &Library) -> Option<f64> {
        let at = |by: f64| {
            let moved = self.moved(by, design, library)?;
            let evaluation = evaluate(&moved, library);
            entry.figure.value(About { design: &moved, evaluation: &evaluation, library }).ok()
        };
        if self.is_whole() || entry.figure.comes_in_steps() {
            return Some(at(1.0)? - at(0.0)?);
        }
        match (at(PART), at(-PART)) {
            (Some(high), Some(low)) => Some((high - low) / (2.0 * PART)),
            (Some(high), None) => Some((high - at(0.0)?) / PART),
            (None, Some(low)) => Some((at(0.0)? - low) / PART),
            (None, None) => None,
        }
    }
}

/// The levers that move the number most, the strongest first, with what they do; without those
/// that would not show at two more decimals than it is given.
pub(super) fn levers(entry: &Entry, design: &Design, library: &Library) -> Vec<(Lever, f64)> {
    let least = entry.decimals.saturating_add(2);
    let mut all: Vec<(Lever, f64)> = Lever::all(entry, design)
        .into_iter()
        .filter_map(|lever| Some((lever, lever.effect(entry, design, library)?)))
        .filter(|(_, effect)| format!("{:.least$}", effect.abs()).bytes().any(|b| (b'1'..=b'9').contains(&b)))
        .collect();
    all.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    all.truncate(MOST);
    all
}

/// [`levers`] in words.
pub(super) fn strongest(entry: &Entry, design: &Design, library: &Library) -> Vec<Change> {
    let change = |(lever, effect): (Lever, f64)| {
        let sign = if effect < 0.0 { '\u{2212}' } else { '+' };
        let number = format!("{sign}{}", significant(effect.abs()));
        Change { what: lever.what(design), effect: with_unit(&number, entry.unit_of_change()) }
    };
    levers(entry, design, library).into_iter().map(change).collect()
}
