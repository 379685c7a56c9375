//! What to mind about the cost.

use super::{Caution, Level, listed};
use crate::cost::Cost;
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::number::fixed;

/// The code of what is told of prices.
pub(super) const MISSING: &str = "price-missing";

/// Says which prices are missing, once the maker has begun to give prices.
pub(super) fn warn(design: &Design, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    if design.prices.is_empty() {
        return;
    }
    let Some(cost) = Cost::of(design, evaluation) else { return };
    let missing: Vec<&str> = cost.missing().collect();
    if missing.is_empty() {
        return;
    }
    let known = fixed(cost.batch(Plain).known(), 2);
    let currency = &design.currency;
    let have = if missing.len() == 1 { "has" } else { "have" };
    let why = format!("{} {have} no price, so the batch costs more than {known} {currency}.", listed(&missing));
    cautions.push(Caution::new(MISSING, Level::Note, why, "Give the missing prices to see the whole cost."));
}
