//! The numbers of a search for a blend explained.

mod hint;
mod objective;
mod share;
#[cfg(test)]
mod tests;

use super::{Change, Input, Why, WhyError};
use crate::design::Design;
use crate::design::blend::{Blend, FatLine};
use crate::find::{Account, Found, Outcome, Wanted, differs, on_curve};
use crate::formula::{Plain, Tape};
use crate::library::Library;
use crate::number::{short, significant};
use crate::quantities::{OfFound, OfSearch, Sought};
use crate::units::Share;
pub use hint::of_nudge;

/// Explains a number of the search for `wanted` that came to `outcome`.
///
/// The shares of a blend have no formula that could be redone: there `with_numbers` sets the objective
/// against that of the blends a step away.
///
/// # Errors
/// [`WhyError::NotKnown`] if the search has no such number.
///
/// ```
/// use barwright_core::find::{BlendSearch, Wanted};
/// use barwright_core::explain::of_search;
/// use barwright_core::quantities::{OfFound, OfSearch};
/// use barwright_core::design::document;
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let design = document::read(b"(barwright: 1, fats: [(fat: \"olive_virgin\", share: 70.0), (fat: \"coconut\", share: 30.0)])", &library)?;
/// let wanted = Wanted::of(&design, &evaluate(&design, &library), &library);
/// let mut search = BlendSearch::start(wanted.clone(), &library)?;
/// while !search.step(100) {}
/// let number = OfSearch::Found(0, OfFound::Objective);
/// let why = of_search(number, &search.outcome(), &wanted, &design, &library)?;
/// assert!(why.value.ends_with("squared percent"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn of_search(
    number: OfSearch,
    outcome: &Outcome,
    wanted: &Wanted,
    design: &Design,
    library: &Library,
) -> Result<Why, WhyError> {
    let about = Sought { wanted, design, library };
    let why = match number {
        OfSearch::Found(position, of_found) => {
            OfSearch::found(position, outcome).and_then(|found| about.of_found(of_found, found))
        }
        OfSearch::Gap => about.gap(outcome),
        OfSearch::Saves(position) => about.saves(position, outcome),
    };
    let title = number.title(outcome, about);
    match why {
        Ok(why) => Ok(Why { title, key: number.key(), ..why }),
        Err(reason) => Err(WhyError::NotKnown { title, reason }),
    }
}

/// Explains a number of `found`, a blend picked on the curve of prices for `wanted`.
///
/// # Errors
/// [`WhyError::NotKnown`] if the blend has no such number or the curve is none for `wanted`.
pub fn of_picked(
    number: OfFound,
    found: &Found,
    wanted: &Wanted,
    design: &Design,
    library: &Library,
) -> Result<Why, WhyError> {
    let title = number.title("the blend picked", Some(found), Sought { wanted, design, library });
    let why = on_curve(wanted).map_err(|e| e.to_string());
    let why = why.and_then(|wanted| Sought { wanted: &wanted, design, library }.of_found(number, found));
    match why {
        Ok(why) => Ok(Why { title, key: format!("picked.{}", number.key()), ..why }),
        Err(reason) => Err(WhyError::NotKnown { title, reason }),
    }
}

impl<'a> Sought<'a> {
    /// Key and title are set by who calls.
    fn of_found(self, number: OfFound, found: &Found) -> Result<Why, String> {
        match number {
            OfFound::PricePerKg => self.price(found),
            OfFound::Objective => self.objective(found),
            OfFound::Share(position) => self.share(found, position),
            OfFound::Differs => self.differs(found),
        }
    }

    fn account(self) -> Result<Account<'a>, String> {
        Account::of(self.wanted, self.library).map_err(|e| e.to_string())
    }

    /// The rules of practice that the search keeps to, if any.
    fn practices(self) -> Option<Input> {
        let words = self.account().ok()?.practices_in_words();
        (!words.is_empty()).then(|| Input::chosen("In force", words))
    }

    fn is_held(self, line: &FatLine) -> bool {
        self.wanted.candidates.iter().any(|c| c.line.fat.id == line.fat.id && c.is_held())
    }

    /// `number` told from its tape; who calls sets key and title, and what changes it.
    fn told(self, number: OfFound, found: &Found) -> Result<Why, String> {
        let value = number.text(found, self)?;
        let tape = Tape::default();
        let derivation = number.read(&tape, found, self)?.derivation(&|_| None);
        Ok(Why {
            ranges: Vec::new(),
            is_difference: false,
            key: String::new(),
            title: String::new(),
            with_numbers: format!("{} = {value}", derivation.numbers),
            value,
            formula: derivation.formula,
            inputs: derivation.inputs,
            trust: number.trust(self),
            changes: Vec::new(),
        })
    }

    fn price_of(self, blend: &Blend) -> Option<f64> {
        self.wanted.read_price_per_kg(Plain, blend, &self.design.currency).ok()
    }

    fn price(self, found: &Found) -> Result<Why, String> {
        let price = OfFound::PricePerKg.value(found, self)?;
        let mut effects = self.more_of_each(&found.blend, price, |blend| self.price_of(blend));
        effects.extend(self.dearer(&found.blend));
        let changes = strongest(effects, &OfFound::PricePerKg.unit_of_difference(self));
        Ok(Why { changes, ..self.told(OfFound::PricePerKg, found)? })
    }

    /// What dearer fats do to the price of a kilogram of `blend`.
    fn dearer(self, blend: &Blend) -> impl Iterator<Item = (String, f64)> {
        blend.lines().iter().filter_map(move |line| {
            let part = line.share.fraction() * self.wanted.price_per_kg(&line.fat.id)?;
            Some((format!("price of {} a tenth higher, the blend as it is", line.fat.name), 0.1 * part))
        })
    }

    fn differs(self, found: &Found) -> Result<Why, String> {
        let value = OfFound::Differs.value(found, self)?;
        let differing = |blend: &Blend| differs(blend, self.wanted, self.design, self.library);
        let effects = self.more_of_each(&found.blend, value, differing);
        let changes = strongest(effects, &OfFound::Differs.unit_of_difference(self));
        Ok(Why { changes, ..self.told(OfFound::Differs, found)? })
    }

    /// What a percent more of each fat that is free would do to a number that is `now`, the other
    /// free fats giving way in proportion.
    fn more_of_each(self, blend: &Blend, now: f64, of: impl Fn(&Blend) -> Option<f64>) -> Vec<(String, f64)> {
        let account = self.account().ok();
        let effect = |(i, line): (usize, &FatLine)| {
            let moved = self.with_more(blend, i)?;
            let breaks = account.as_ref().and_then(|account| account.breaks(&moved)).unwrap_or_default();
            let but = if breaks.is_empty() { String::new() } else { format!(", but breaks {}", breaks.join(", ")) };
            let what = format!("{} +1 % of the blend, the others less{but}", line.fat.name);
            Some((what, of(&moved)? - now))
        };
        blend.lines().iter().enumerate().filter_map(effect).collect()
    }

    fn with_more(self, blend: &Blend, position: usize) -> Option<Blend> {
        let is_free = |(i, line): &(usize, &FatLine)| *i != position && !self.is_held(line);
        let lines = blend.lines();
        if self.is_held(lines.get(position)?) {
            return None;
        }
        let rest: f64 = lines.iter().enumerate().filter(is_free).map(|(_, l)| l.share.get()).sum();
        if rest < 1.0 {
            return None;
        }
        let moved = |(i, line): (usize, &FatLine)| {
            let share = line.share.get();
            let to = match i == position {
                true => share + 1.0,
                false if self.is_held(line) => share,
                false => share * (rest - 1.0) / rest,
            };
            FatLine { share: Share::nearest(to), ..line.clone() }
        };
        Blend::new(lines.iter().enumerate().map(moved).collect()).ok()
    }
}

/// How many changes are told.
const MOST_CHANGES: usize = 3;

/// `value` with eight significant digits, or as many as it needs: squares and differences are taken
/// of it.
fn exact(value: f64) -> String {
    let decimals = (0..=12_u8).find(|d| value.abs() * 10_f64.powi(i32::from(*d)) >= 1e7).unwrap_or(12);
    short(value, usize::from(decimals))
}

/// "+0.12 EUR/kg".
fn effect(by: f64, unit: &str) -> String {
    let sign = if by < 0.0 { '\u{2212}' } else { '+' };
    format!("{sign}{} {unit}", significant(by.abs()))
}

/// The strongest of `effects`, in words.
fn strongest(mut effects: Vec<(String, f64)>, unit: &str) -> Vec<Change> {
    effects.retain(|(_, by)| by.abs() > 1e-6);
    effects.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    effects.truncate(MOST_CHANGES);
    effects.into_iter().map(|(what, by)| Change { what, effect: effect(by, unit) }).collect()
}
