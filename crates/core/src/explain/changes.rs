//! What would change a number most: a step along everything that a person can move.

use super::levers::{Lever, Way};
use super::{About, AnyQuantity, Change};
use crate::design::Design;
use crate::evaluate::evaluate;
use crate::library::Library;
use crate::number::significant;
use crate::quantity::with_unit;

/// How many changes are told.
pub(super) const MOST: usize = 4;
/// Downwards is told where it does so many times as much as upwards, as on the slope of a curve.
const MORE_DOWN: f64 = 1.5;

/// The number for `design` as it is shown; `None` if it is not known.
pub(super) fn shown_of(quantity: &dyn AnyQuantity, design: &Design, library: &Library) -> Option<f64> {
    let evaluation = evaluate(design, library);
    let about = About::new(design, &evaluation, library);
    Some(quantity.unit(about).shown(quantity.value(about).ok()?))
}

/// A step with what it does to a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Move {
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
        (quantity, now): (&dyn AnyQuantity, f64),
        design: &Design,
        library: &Library,
    ) -> Option<f64> {
        let moved = self.moved(way, design, library)?;
        Some(shown_of(quantity, &moved, library)? - now)
    }

    /// The step that is told of this lever.
    pub(super) fn step(self, of: (&dyn AnyQuantity, f64), design: &Design, library: &Library) -> Option<Move> {
        let effect = |way| self.effect(way, of, design, library).map(|effect| Move { lever: self, way, effect });
        match (effect(Way::Up), effect(Way::Down)) {
            (Some(up), Some(down)) if down.effect.abs() > MORE_DOWN * up.effect.abs() => Some(down),
            (up, down) => up.or(down),
        }
    }
}

/// The steps that move the number most, the strongest first; without those that would not show at two more
/// decimals than it is given.
pub(super) fn steps(quantity: &dyn AnyQuantity, design: &Design, library: &Library) -> Vec<Move> {
    let Some(now) = shown_of(quantity, design, library) else { return Vec::new() };
    let evaluation = evaluate(design, library);
    let least = quantity.decimals(About::new(design, &evaluation, library)).saturating_add(2);
    let mut all: Vec<Move> = Lever::all(quantity, design)
        .into_iter()
        .filter_map(|lever| lever.step((quantity, now), design, library))
        .filter(|step| format!("{:.least$}", step.effect.abs()).bytes().any(|b| (b'1'..=b'9').contains(&b)))
        .collect();
    all.sort_by(|a, b| b.effect.abs().total_cmp(&a.effect.abs()));
    all.truncate(MOST);
    all
}

/// [`steps`] in words.
pub(super) fn strongest(quantity: &dyn AnyQuantity, design: &Design, library: &Library) -> Vec<Change> {
    let evaluation = evaluate(design, library);
    let unit = quantity.unit(About::new(design, &evaluation, library));
    let change = |Move { lever, way, effect }: Move| {
        let sign = if effect < 0.0 { '\u{2212}' } else { '+' };
        let number = format!("{sign}{}", significant(effect.abs()));
        Change { what: lever.what(way, design), effect: with_unit(&number, unit.sign_of_difference()) }
    };
    steps(quantity, design, library).into_iter().map(change).collect()
}
