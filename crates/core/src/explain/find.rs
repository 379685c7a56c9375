//! The numbers of a search for a blend explained.

mod hint;
mod objective;
mod share;
#[cfg(test)]
mod tests;

use super::{Change, Input, Why, WhyError};
use crate::design::Design;
use crate::design::blend::{Blend, FatLine};
use crate::find::{Account, Aim, Found, Outcome, Wanted, differs, on_curve};
use crate::library::Library;
use crate::library::composition::Composition;
use crate::number::{fixed, short, significant};
use crate::units::{Share, in_percent};
pub use hint::of_nudge;
use std::str::FromStr;

/// A number of a blend that was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfFound {
    /// The price of a kilogram of its fats.
    PricePerKg,
    /// What the aim and the soft ranges come to.
    Objective,
    /// The share of the fat at this position of the blend.
    Share(usize),
    /// Percent in which it differs from the aim.
    Differs,
}

/// A number of a search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfSearch {
    /// Of the result at this position.
    Found(usize, OfFound),
    /// How much better than the last result another blend could be.
    Gap,
    /// What the binding range at this position would save, a point looser.
    Saves(usize),
}

/// The patterns of the keys, in which N and M stand for positions that count from 0.
pub const KEYS: [&str; 6] = [
    "results.N.cost_per_kg_fats",
    "results.N.objective",
    "results.N.fats.M.share_pct",
    "results.N.differs_pct",
    "gap",
    "binding.N.saves",
];

/// A key that no number of a search has.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no number of a search is called “{key}”; choose one of {}", KEYS.join(", "))]
pub struct UnknownSearchKey {
    /// What was asked for.
    pub key: String,
}

impl OfFound {
    /// Its key within those of a blend.
    pub fn key(self) -> String {
        match self {
            Self::PricePerKg => "cost_per_kg_fats".into(),
            Self::Objective => "objective".into(),
            Self::Share(position) => format!("fats.{position}.share_pct"),
            Self::Differs => "differs_pct".into(),
        }
    }
}

impl OfSearch {
    /// Its place in the JSON of the search.
    ///
    /// ```
    /// use barwright_core::explain::{OfFound, OfSearch};
    /// let share = OfSearch::Found(0, OfFound::Share(1));
    /// assert_eq!(share.key(), "results.0.fats.1.share_pct");
    /// assert_eq!(share.key().parse(), Ok(share));
    /// ```
    pub fn key(self) -> String {
        match self {
            Self::Found(position, number) => format!("results.{position}.{}", number.key()),
            Self::Gap => "gap".into(),
            Self::Saves(position) => format!("binding.{position}.saves"),
        }
    }
}

impl FromStr for OfSearch {
    type Err = UnknownSearchKey;

    fn from_str(key: &str) -> Result<Self, Self::Err> {
        let unknown = || UnknownSearchKey { key: key.into() };
        let position = |text: &str| text.parse::<usize>().ok();
        let parts: Vec<&str> = key.split('.').collect();
        let parsed = match parts.as_slice() {
            ["gap"] => Some(Self::Gap),
            ["binding", n, "saves"] => position(n).map(Self::Saves),
            ["results", n, number @ ..] => {
                let number = match number {
                    ["cost_per_kg_fats"] => Some(OfFound::PricePerKg),
                    ["objective"] => Some(OfFound::Objective),
                    ["fats", m, "share_pct"] => position(m).map(OfFound::Share),
                    ["differs_pct"] => Some(OfFound::Differs),
                    _ => None,
                };
                position(n).zip(number).map(|(n, number)| Self::Found(n, number))
            }
            _ => None,
        };
        parsed.ok_or_else(unknown)
    }
}

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
/// use barwright_core::explain::{OfFound, OfSearch, of_search};
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
            let called = format!("blend {}", position + 1);
            let found = outcome.results.get(position).ok_or_else(|| WhyError::NotKnown {
                title: of_found.title(&called, None),
                reason: format!("{} were found", count(outcome.results.len(), "blend")),
            })?;
            about.of_found(of_found, found, &called)?
        }
        OfSearch::Gap => about.gap(outcome)?,
        OfSearch::Saves(position) => about.saves(position, outcome)?,
    };
    Ok(Why { is_difference: false, key: number.key(), ..why })
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
    const CALLED: &str = "the blend picked";
    let on_curve = on_curve(wanted)
        .map_err(|e| WhyError::NotKnown { title: number.title(CALLED, Some(found)), reason: e.to_string() })?;
    let why = Sought { wanted: &on_curve, design, library }.of_found(number, found, CALLED)?;
    Ok(Why { is_difference: false, key: format!("picked.{}", number.key()), ..why })
}

/// "1 blend", "3 blends".
fn count(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// What a search was for.
#[derive(Clone, Copy)]
struct Sought<'a> {
    wanted: &'a Wanted,
    design: &'a Design,
    library: &'a Library,
}

impl OfFound {
    /// What it is of a blend that is so `called`.
    fn title(self, called: &str, found: Option<&Found>) -> String {
        match self {
            Self::PricePerKg => format!("Price of a kilogram of fats, {called}"),
            Self::Objective => format!("Objective of {called}"),
            Self::Share(position) => {
                let line = found.and_then(|f| f.blend.lines().get(position));
                let fat = line.map_or_else(|| format!("fat {}", position + 1), |l| l.fat.name.clone());
                format!("Share of {fat} in {called}")
            }
            Self::Differs => format!("What differs from the aim in {called}"),
        }
    }
}

impl<'a> Sought<'a> {
    /// The key is set by who calls.
    fn of_found(self, number: OfFound, found: &Found, called: &str) -> Result<Why, WhyError> {
        let why = match number {
            OfFound::PricePerKg => self.price(found),
            OfFound::Objective => self.objective(found),
            OfFound::Share(position) => self.share(found, position),
            OfFound::Differs => self.differs(found),
        };
        let title = number.title(called, Some(found));
        match why {
            Ok(why) => Ok(Why { title, ..why }),
            Err(reason) => Err(WhyError::NotKnown { title, reason }),
        }
    }

    fn account(self) -> Result<Account<'a>, String> {
        Account::of(self.wanted, self.library).map_err(|e| e.to_string())
    }

    fn unit(self) -> String {
        self.wanted.aim.unit(&self.design.currency)
    }

    fn is_held(self, line: &FatLine) -> bool {
        self.wanted.candidates.iter().any(|c| c.line.fat.id == line.fat.id && c.is_held())
    }

    /// Σ share × price per kg ÷ 100, in numbers; the error names a fat without a price.
    fn price_in_numbers(self, blend: &Blend) -> Result<String, String> {
        let term = |line: &FatLine| {
            let price =
                self.wanted.price_per_kg(&line.fat.id).ok_or_else(|| format!("{} has no price", line.fat.name))?;
            Ok(format!("{} × {}", exact(line.share.get()), exact(price)))
        };
        let terms: Result<Vec<String>, String> = blend.lines().iter().map(term).collect();
        Ok(format!("({}) ÷ 100", terms?.join(" + ")))
    }

    fn pack_prices(self, blend: &Blend) -> Vec<Input> {
        let input = |line: &FatLine| {
            let pack = self.wanted.prices.iter().find(|p| p.material == line.fat.id.as_str())?;
            let (price, grams) = (fixed(pack.price.get(), 2), short(pack.pack_g.get(), 2));
            let value = format!("{price} {} for {grams} g", self.design.currency);
            Some(Input::chosen(&format!("Pack of {}", line.fat.name), value))
        };
        blend.lines().iter().filter_map(input).collect()
    }

    fn price_of(self, blend: &Blend) -> Option<f64> {
        blend.lines().iter().map(|l| Some(l.share.fraction() * self.wanted.price_per_kg(&l.fat.id)?)).sum()
    }

    fn price(self, found: &Found) -> Result<Why, String> {
        let numbers = self.price_in_numbers(&found.blend)?;
        let price = found.price_per_kg.ok_or("a fat of it has no price")?;
        let unit = format!("{}/kg", self.design.currency);
        let value = format!("{} {unit}", fixed(price, 2));
        let mut effects = self.more_of_each(&found.blend, price, |blend| self.price_of(blend));
        effects.extend(self.dearer(&found.blend));
        Ok(Why {
            is_difference: false,
            key: String::new(),
            title: String::new(),
            with_numbers: format!("{numbers} = {value}"),
            value,
            formula: "Σ share × price of a kilogram ÷ 100".into(),
            inputs: self.pack_prices(&found.blend),
            trust: "As good as the prices typed; fats alone, without lye, scent or what is left in a pack.".into(),
            changes: strongest(effects, &unit),
        })
    }

    /// What dearer fats do to the price of a kilogram of `blend`.
    fn dearer(self, blend: &Blend) -> impl Iterator<Item = (String, f64)> {
        blend.lines().iter().filter_map(move |line| {
            let part = line.share.fraction() * self.wanted.price_per_kg(&line.fat.id)?;
            Some((format!("price of {} a tenth higher, the blend as it is", line.fat.name), 0.1 * part))
        })
    }

    fn differs(self, found: &Found) -> Result<Why, String> {
        let differing = |blend: &Blend| differs(blend, self.wanted, self.design, self.library);
        let value = differing(&found.blend).ok_or("no fat of it has a tabled profile of acids")?;
        let there_is = if matches!(self.wanted.aim, Aim::Nearest(_)) { "wanted" } else { "in the design" };
        let (formula, trust, mut parts) = if let Aim::Nearest(target) = &self.wanted.aim {
            let fats = found.blend.lines().iter().map(|l| (l.fat.as_ref(), l.share.get()));
            let here = Composition::of(fats, &self.library.acids).ok_or("it has no acids")?;
            let part = |(id, acid): (_, &crate::library::acids::Acid)| {
                (
                    format!("{} ({})", acid.name, acid.key),
                    in_percent(here.fraction(id)),
                    in_percent(target.fraction(id)),
                )
            };
            let parts: Vec<(String, f64, f64)> = self.library.acids.iter().map(part).collect();
            let formula = "½ Σ |acid − acid wanted|, in percent of the acids";
            (formula, "From the fats’ typical profiles; two seasons of one fat differ by a few percent.", parts)
        } else {
            let share = |blend: &Blend, line: &FatLine| blend.line(&line.fat.id).map_or(0.0, |l| l.share.get());
            let own = &self.design.blend;
            let new = found.blend.lines().iter().filter(|l| own.line(&l.fat.id).is_none());
            let lines = own.lines().iter().chain(new);
            let parts = lines.map(|l| (l.fat.name.clone(), share(&found.blend, l), share(own, l))).collect();
            ("½ Σ |share − share in the design|", "Arithmetic on the shares: what has to be exchanged.", parts)
        };
        parts.retain(|(_, here, there)| (here - there).abs() > TRACE);
        let terms = parts.iter().map(|(_, here, there)| exact((here - there).abs()));
        let shown = format!("{} %", fixed(value, 1));
        let with_numbers = format!("({}) ÷ 2 = {shown}", super::sum(terms));
        parts.sort_by(|a, b| (b.1 - b.2).abs().total_cmp(&(a.1 - a.2).abs()));
        let inputs = parts.iter().take(MOST_PARTS).map(|(name, here, there)| {
            let value = format!("{} % here, {} % {there_is}", significant(*here), significant(*there));
            Input::worked_out(name, value, "the shares and, for acids, the typical profiles")
        });
        Ok(Why {
            is_difference: false,
            key: String::new(),
            title: String::new(),
            value: shown,
            formula: formula.into(),
            with_numbers,
            inputs: inputs.collect(),
            trust: trust.into(),
            changes: strongest(self.more_of_each(&found.blend, value, differing), "points"),
        })
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

/// A difference below this part of a percent is none.
const TRACE: f64 = 1e-9;
/// How many acids or fats that differ are listed.
const MOST_PARTS: usize = 6;
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
