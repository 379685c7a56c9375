//! Keys of quantities, at the edge of the program: what is typed as `batch.naoh_g`.

use super::{
    About, AcidOfFat, AcidPercent, AdditionMass, AdditionWater, AllergenPercent, AlsoMovedBy, AnyQuantity, BATCH,
    BarMm, BarOnDay, CHEMISTRY, COLOUR, CURE, CostSum, DriverPart, DriverPoints, Drives, FatMass,
    FatSaponificationValue, FatShare, IngredientPercent, JUG, LimitedPercent, LineId, MARGIN, MaterialCost, OfBar,
    OfMaterial, Quantity, SCORES, SIZE, ScentMass, ScoreEnd, ScoreOfFat, ScoreOfSoap, SoapOfDry, StyleEnd, Tape, Term,
    Unit, Unknown, WaterFrom, WaterRowMass,
};
use crate::bench::label::{Ingredients, ListStyle};
use crate::cautions::NoStop;
use crate::chemistry::spread::End;
use crate::cost::Cost;
use crate::formula::Input;
use crate::library::estimates::Estimate;
use crate::library::material::MaterialId;
use crate::number::parse;
use crate::units::{Days, SalesMargin};
use std::any::Any;

/// What every report has, by section and in its order.
fn singles() -> impl Iterator<Item = &'static (&'static str, &'static dyn AnyQuantity)> {
    [BATCH, SIZE, JUG, MARGIN, CHEMISTRY, SCORES, CURE, COLOUR].into_iter().flatten()
}

/// The patterns of what depends on the design: N counts from 0 in the report's order, or is the material's id; D is a
/// day, M a margin in percent, E a score, A a fatty acid.
const PATTERNS: [&str; 37] = [
    "fats.N.share_pct",
    "fats.N.mass_g",
    "fats.N.saponification_value",
    "additions.N.mass_g",
    "additions.N.water_g",
    "scents.N.mass_g",
    "water.N.mass_g",
    "size.bar_mm.N",
    "estimates.E.low",
    "estimates.E.high",
    "estimates.E.range_low",
    "estimates.E.range_high",
    "acids_pct.A",
    "margin.drivers.N.superfat_points",
    "margin.drivers.N.variance_part",
    "acids_pct.A.fats.N",
    "estimates.E.fats.N",
    "estimates.E.soaps.N",
    "cure.days.D.bar_g",
    "cure.days.D.water_pct",
    "cure.days.D.tfm_pct",
    "cost.batch",
    "cost.at_least",
    "cost.bar",
    "cost.per_100_g_cured",
    "cost.shopping",
    "cost.bar_at_margin_pct.M",
    "cost.lines.N.mass_g",
    "cost.lines.N.cost",
    "cost.lines.N.packs",
    "cost.lines.N.pays",
    "cost.lines.N.left_g",
    "label.as_put_in_pct.N",
    "label.as_in_the_bar_pct.N",
    "label.soap_of_dry_pct",
    "scent_limits.N.bar_pct",
    "label.allergen_findings.N.bar_pct",
];

/// The keys of all numbers, in the order of the report, then those of lines, in which N stands for a position that
/// counts from 0 or for a material's id (of additions and scents with the stage where they go in at several,
/// `honey.AtTrace`), D for a day, M for a margin in percent, E for a score and A for a fatty acid.
///
/// ```
/// assert!(barwright_core::quantities::keys().any(|key| key == "batch.naoh_g"));
/// ```
pub fn keys() -> impl Iterator<Item = &'static str> {
    singles().map(|(key, _)| *key).chain(PATTERNS)
}

/// A key that names no number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum UnknownKey {
    /// No number has this key.
    #[error("no number is called “{key}”; choose one of {}", keys().collect::<Vec<_>>().join(", "))]
    Unheard {
        /// What was asked for.
        key: String,
    },
    /// There are such numbers, but not this one of this design.
    #[error("this design has no “{key}”: in {pattern}, {means}")]
    NotOfDesign {
        /// What was asked for.
        key: String,
        /// How such keys are built.
        pattern: &'static str,
        /// What the letters in it can be.
        means: String,
    },
    /// A Stop stands against what the number belongs to.
    #[error("“{key}” is withheld. {stopped}")]
    Withheld {
        /// What was asked for.
        key: String,
        /// What stands against it.
        stopped: String,
    },
}

/// How the keys begin of what a Stop withholds: what is on a label, a price, a day on which bars are ready.
const WITHHELD: [&str; 3] = ["label.", "cost.bar_at_margin_pct.", "cure.settled_day"];

/// The number that `key` names in the report of what `of` is about.
///
/// # Errors
/// [`UnknownKey`] if no number has the key, or not of this design.
pub fn find(key: &str, of: About<'_>) -> Result<Box<dyn AnyQuantity>, UnknownKey> {
    if WITHHELD.iter().any(|beginning| key.starts_with(beginning)) {
        NoStop::of(of.design, of.evaluation, of.library)
            .map_err(|stopped| UnknownKey::Withheld { key: key.into(), stopped: stopped.to_string() })?;
    }
    let single = singles().find(|(name, _)| *name == key).map(|(_, quantity)| *quantity);
    let found = single.map(|quantity| Box::new(quantity) as Box<dyn AnyQuantity>).or_else(|| of_design(key, of));
    found.ok_or_else(|| unknown(key))
}

/// A quantity that stands in a list is one by reference too.
impl AnyQuantity for &'static dyn AnyQuantity {
    fn key(&self, of: About<'_>) -> String {
        (**self).key(of)
    }
    fn title(&self, of: About<'_>) -> String {
        (**self).title(of)
    }
    fn unit(&self, of: About<'_>) -> Unit {
        (**self).unit(of)
    }
    fn decimals(&self, of: About<'_>) -> usize {
        (**self).decimals(of)
    }
    fn value(&self, of: About<'_>) -> Result<f64, Unknown> {
        (**self).value(of)
    }
    fn record<'t>(&self, tape: &'t Tape, of: About<'_, Term<'t>>) -> Result<Term<'t>, Unknown> {
        (**self).record(tape, of)
    }
    fn symbol(&self, of: About<'_>) -> String {
        (**self).symbol(of)
    }
    fn behind(&self, of: About<'_>) -> Vec<Input> {
        (**self).behind(of)
    }
    fn trust(&self, of: About<'_>) -> String {
        (**self).trust(of)
    }
    fn also_moved_by(&self) -> AlsoMovedBy {
        (**self).also_moved_by()
    }
    fn as_any(&self) -> &dyn Any {
        (**self).as_any()
    }
    fn is(&self, other: &dyn AnyQuantity) -> bool {
        (**self).is(other)
    }
}

#[expect(clippy::unnecessary_wraps, reason = "a key that names a number is looked up step by step")]
fn boxed(quantity: impl Quantity) -> Option<Box<dyn AnyQuantity>> {
    Some(Box::new(quantity))
}

/// What depends on the design.
fn of_design(key: &str, of: About<'_>) -> Option<Box<dyn AnyQuantity>> {
    let (section, rest) = key.split_once('.')?;
    match section {
        "fats" => {
            let (place, what) = rest.rsplit_once('.')?;
            let fat = fat(place, of)?;
            match what {
                "share_pct" => boxed(FatShare(fat)),
                "mass_g" => boxed(FatMass(fat)),
                "saponification_value" => boxed(FatSaponificationValue(fat)),
                _ => None,
            }
        }
        "additions" => {
            let (place, what) = rest.rsplit_once('.')?;
            let stages = of.design.additions.iter().map(|l| (&l.addition.id, l.stage));
            let line = LineId::of_addition(of.design, at(place, stages)?)?;
            match what {
                "mass_g" => boxed(AdditionMass(line)),
                "water_g" => boxed(AdditionWater(line)),
                _ => None,
            }
        }
        "scents" => {
            let place = rest.strip_suffix(".mass_g")?;
            let stages = of.design.scents.iter().map(|l| (&l.scent.id, l.stage));
            boxed(ScentMass(LineId::of_scent(of.design, at(place, stages)?)?))
        }
        "water" => {
            let row = of.evaluation.water.get(rest.strip_suffix(".mass_g")?.parse::<usize>().ok()?)?;
            boxed(WaterRowMass(WaterFrom::of(row.source, of.design)?))
        }
        "size" => {
            let place = rest.strip_prefix("bar_mm.")?.parse::<usize>().ok()?;
            boxed(BarMm(place)).filter(|_| place < of.bar_measures())
        }
        "estimates" => of_estimate(rest, of),
        "acids_pct" => of_acid(rest, of),
        "margin" => {
            let (place, what) = rest.strip_prefix("drivers.")?.split_once('.')?;
            let driver = of.evaluation.margin.as_ref()?.drivers.get(place.parse::<usize>().ok()?)?;
            let drives = Drives::of(driver.cause, of.design)?;
            match what {
                "superfat_points" => boxed(DriverPoints(drives)),
                "variance_part" => boxed(DriverPart(drives)),
                _ => None,
            }
        }
        "cure" => {
            let (day, what) = rest.strip_prefix("days.")?.rsplit_once('.')?;
            let day = Days::new(parse(day, &[]).ok()?).ok()?;
            let what = OfBar::ALL.into_iter().find(|one| one.key() == what)?;
            boxed(BarOnDay(day, what))
        }
        "cost" => of_cost(rest, of),
        "label" => of_label(rest, of),
        "scent_limits" => {
            let place: usize = rest.strip_suffix(".bar_pct")?.parse().ok()?;
            boxed(LimitedPercent(of.evaluation.scents.findings.get(place)?.substance.clone()))
        }
        _ => None,
    }
}

/// The fat that a place or an id names.
fn fat(place: &str, of: About<'_>) -> Option<MaterialId> {
    let lines = of.design.blend.lines();
    let by_place = place.parse::<usize>().ok().map(|i| lines.get(i));
    let line = by_place.unwrap_or_else(|| lines.iter().find(|l| l.fat.id.as_str() == place));
    line.map(|l| l.fat.id.clone())
}

/// The line that a place, or an id with its stage where that matters, names; of several lines of one material at one
/// stage none is meant.
fn at<'a>(
    place: &str,
    lines: impl Iterator<Item = (&'a MaterialId, crate::library::additions::Stage)>,
) -> Option<usize> {
    if let Ok(place) = place.parse() {
        return Some(place);
    }
    let (id, stage) = place.split_once('.').map_or((place, None), |(id, stage)| (id, Some(stage)));
    let is_it = |(material, at): (&MaterialId, crate::library::additions::Stage)| {
        material.as_str() == id && stage.is_none_or(|stage| format!("{at:?}") == stage)
    };
    let mut found = lines.enumerate().filter(|(_, line)| is_it(*line)).map(|(place, _)| place);
    found.next().filter(|_| found.next().is_none())
}

fn of_estimate(rest: &str, of: About<'_>) -> Option<Box<dyn AnyQuantity>> {
    let (name, rest) = rest.split_once('.')?;
    let estimate = Estimate::named(name)?;
    match rest.split_once('.') {
        None => match rest {
            "low" => boxed(ScoreEnd(estimate, End::Low)),
            "high" => boxed(ScoreEnd(estimate, End::High)),
            "range_low" => boxed(StyleEnd(estimate, End::Low)),
            "range_high" => boxed(StyleEnd(estimate, End::High)),
            _ => None,
        },
        Some(("fats", place)) => boxed(ScoreOfFat(estimate, fat(place.parse::<usize>().ok().map(|_| place)?, of)?)),
        Some(("soaps", place)) => {
            let soap = of.library.style(&of.design.style)?.references.get(place.parse::<usize>().ok()?)?;
            boxed(ScoreOfSoap(estimate, soap.name.clone()))
        }
        Some(_) => None,
    }
}

fn of_acid(rest: &str, of: About<'_>) -> Option<Box<dyn AnyQuantity>> {
    if let Some((acid, place)) = rest.rsplit_once(".fats.") {
        let acid = of.library.acids.find(acid)?;
        return boxed(AcidOfFat(acid, fat(place.parse::<usize>().ok().map(|_| place)?, of)?));
    }
    let acid = of.library.acids.find(rest)?;
    let holds = of.evaluation.composition.as_ref()?.fraction(acid) > 0.0;
    boxed(AcidPercent(acid)).filter(|_| holds)
}

fn of_cost(rest: &str, of: About<'_>) -> Option<Box<dyn AnyQuantity>> {
    if let Some((_, sum)) = CostSum::ALL.into_iter().find(|(name, _)| *name == rest) {
        return boxed(sum);
    }
    if let Some(percent) = rest.strip_prefix("bar_at_margin_pct.") {
        return boxed(CostSum::AtMargin(SalesMargin::new(parse(percent, &[]).ok()?).ok()?));
    }
    let (place, what) = rest.strip_prefix("lines.")?.split_once('.')?;
    let what = OfMaterial::ALL.into_iter().find(|one| one.key() == what)?;
    let cost = Cost::of(of.design, of.evaluation)?;
    let is_it = |(i, material): &(usize, &str)| *material == place || place.parse() == Ok(*i);
    let (_, material) = cost.lines().iter().map(|l| l.material.as_str()).enumerate().find(is_it)?;
    boxed(MaterialCost(material.into(), what))
}

fn of_label(rest: &str, of: About<'_>) -> Option<Box<dyn AnyQuantity>> {
    let label = Ingredients::of(of.design, of.evaluation, of.library)?;
    if rest == "soap_of_dry_pct" {
        return boxed(SoapOfDry);
    }
    if let Some(place) = rest.strip_prefix("allergen_findings.").and_then(|rest| rest.strip_suffix(".bar_pct")) {
        return boxed(AllergenPercent(label.allergens.findings.get(place.parse::<usize>().ok()?)?.name.clone()));
    }
    let (list, place) = rest.split_once('.')?;
    let style = ListStyle::ALL.into_iter().find(|style| style.key() == list)?;
    let ingredient = label.ingredients(style).get(place.parse::<usize>().ok()?)?;
    boxed(IngredientPercent(style, ingredient.name.clone()))
}

/// What stands for more than itself in [`keys`], and for what.
const LETTERS: [(&str, &str); 4] = [
    ("D", "a day of cure, 0 to 3650"),
    ("M", "a margin in percent, 0 or more and under 100"),
    ("A", "a fatty acid that the blend holds, as 18:1"),
    ("E", "a score, as hardness"),
];
/// What N stands for, in lists of materials and in others.
const PLACES: [&str; 2] = [
    "a position from 0 to the last that there is, or the id of a material",
    "a position from 0 to the last that there is",
];

/// What is wrong with a key that names no number.
fn unknown(key: &str) -> UnknownKey {
    let fits = |pattern: &&'static str| {
        let (mut parts, mut given) = (pattern.split('.').peekable(), key);
        while let Some(part) = parts.next() {
            if part.len() == 1 && part.bytes().all(|b| b.is_ascii_uppercase()) {
                // A letter stands for anything up to the next fixed part, a day may have decimals.
                let next = parts.peek().map(|part| format!(".{part}"));
                let end = next.map_or(Some(given.len()), |next| given.find(&next));
                let Some(end) = end.filter(|end| *end > 0) else { return false };
                given = &given[end..];
            } else {
                let Some(rest) = given.strip_prefix(part) else { return false };
                given = rest;
            }
            given = given.strip_prefix('.').unwrap_or(given);
        }
        given.is_empty()
    };
    let letters = |pattern: &'static str| {
        let is_of_materials = ["fats.", "additions.", "scents.", "cost.lines."].iter().any(|l| pattern.starts_with(l));
        let place = ("N", PLACES[usize::from(!is_of_materials)]);
        let stands_in = move |(letter, _): &(&str, &str)| pattern.split('.').any(|part| part == *letter);
        LETTERS.into_iter().chain([place]).filter(stands_in)
    };
    // The longest that fits: what stands at the end of a key may hold dots.
    let fitting = keys().filter(|pattern| letters(pattern).next().is_some()).filter(fits);
    let Some(pattern) = fitting.max_by_key(|pattern| pattern.split('.').count()) else {
        return UnknownKey::Unheard { key: key.into() };
    };
    let means = letters(pattern).map(|(letter, means)| format!("{letter} is {means}"));
    let means = means.collect::<Vec<_>>().join("; ");
    UnknownKey::NotOfDesign { key: key.into(), pattern, means }
}
