//! Scents: essential oils with the substances in them that are limited.

use crate::formula::{Input, Num, Plain, Reading, number_text};
use crate::library::additions::{Amount, Stage};
use crate::library::handling::{Handling, ScentHow};
use crate::library::material::MaterialId;
use crate::number::{short, significant};
use crate::trust::Trust;
use crate::units::{AmountPerKg, AmountPercent, Celsius, Grams, Interval, Percent, Share};
use serde::{Deserialize, Serialize};
use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;

/// The most constituents that a scent holds.
pub const MOST_CONSTITUENTS: usize = 500;

/// CAS numbers of one substance or oil, each with a right check digit; perhaps none. Written with
/// "; " between them.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Cas(Vec<String>);

/// Text that holds no CAS number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is no CAS number: two to seven digits, two digits and a check digit that fits, as 78-70-6")]
pub struct BadCas(String);

impl Cas {
    /// Reads numbers separated by ";" or ",".
    ///
    /// # Errors
    /// [`BadCas`] with the first that has another form or a wrong check digit, as a slip of the
    /// hand gives it.
    ///
    /// ```
    /// use barwright_core::library::scents::Cas;
    /// assert!(Cas::new("5392-40-5; 141-27-5").is_ok());
    /// assert!(Cas::new("5392-40-4").is_err());
    /// ```
    pub fn new(text: &str) -> Result<Self, BadCas> {
        let numbers = text.split([';', ',']).map(str::trim).filter(|n| !n.is_empty());
        let read = |number: &str| {
            if is_cas(number) { Ok(number.to_owned()) } else { Err(BadCas(number.chars().take(40).collect())) }
        };
        numbers.map(read).collect::<Result<_, _>>().map(Self)
    }

    /// The numbers.
    pub fn numbers(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(String::as_str)
    }
}

/// Whether `number` has the form of a CAS number and its check digit: the digits before it,
/// counted from the right and weighted by their place, sum to it modulo 10.
fn is_cas(number: &str) -> bool {
    let mut parts = number.split('-');
    let (Some(a), Some(b), Some(check), None) = (parts.next(), parts.next(), parts.next(), parts.next()) else {
        return false;
    };
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|d| d.is_ascii_digit());
    if !(2..=7).contains(&a.len()) || b.len() != 2 || check.len() != 1 || ![a, b, check].into_iter().all(digits) {
        return false;
    }
    let places = b.bytes().rev().chain(a.bytes().rev()).zip(1_u32..);
    let sum: u32 = places.map(|(digit, place)| u32::from(digit - b'0') * place).sum();
    check.bytes().all(|digit| u32::from(digit - b'0') == sum % 10)
}

impl fmt::Display for Cas {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.join("; "))
    }
}

impl TryFrom<String> for Cas {
    type Error = BadCas;
    fn try_from(text: String) -> Result<Self, BadCas> {
        Self::new(&text)
    }
}

impl From<Cas> for String {
    fn from(cas: Cas) -> Self {
        cas.to_string()
    }
}

/// A substance in a scent with the most there may be of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Constituent {
    /// Its name.
    pub name: String,
    /// Its CAS numbers.
    pub cas: Cas,
    /// The largest figure published, percent of the scent.
    pub most: Share,
    /// Whether this names a substance that other constituents of the scent name by its isomers;
    /// then the larger of the two counts, not their sum.
    pub whole: bool,
    /// Source of that figure.
    pub source: String,
    /// How far the source was seen.
    pub trust: Trust,
}

listed! {
    /// What a fragrance oil does to the batter, as its supplier says or as it was seen.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Behaviour {
        /// Nothing that matters.
        Calm,
        /// It thickens it at once.
        Thickens,
        /// It parts it into grains.
        Rices,
    }
    /// All, in the order of lists.
    ALL
}

impl Behaviour {
    /// What it does, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Calm => "calm",
            Self::Thickens => "thickens the batter fast",
            Self::Rices => "rices: parts the batter into grains",
        }
    }
}

/// An allergen of the annex that a supplier lists by its name.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedAllergen {
    /// The name of the entry, as it is printed.
    pub name: String,
    /// The most of it, percent of the scent; all of it where the supplier gives no amount.
    pub most: Share,
}

/// What the supplier of a fragrance oil says of it besides what is in it; nothing of it in the tables.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Supplied {
    /// The most of it in soap that is rinsed off, percent of the finished bar.
    pub limit: Option<Share>,
    /// Vanillin, percent of the oil.
    pub vanillin: Option<Share>,
    /// The temperature from which its vapour can catch fire.
    pub flash: Option<Celsius>,
    /// What it does to the batter.
    pub behaviour: Option<Behaviour>,
    /// Allergens without an amount, and whole oils and extracts among them.
    pub allergens: Vec<ListedAllergen>,
    /// Whether the supplier says that there is no allergen of the list in it; else nothing is known of those not given.
    pub lists_none: bool,
}

/// Everything known of one scent.
#[derive(Debug, Clone, PartialEq)]
pub struct Scent {
    /// Name in files.
    pub id: MaterialId,
    /// Name on screen.
    pub name: String,
    /// CAS numbers of the whole, for limits on whole oils.
    pub cas: Cas,
    /// Name in the ingredient list; empty if none is known.
    pub inci: String,
    /// Where that name was confirmed, or "not found".
    pub inci_status: String,
    /// What is in it, as far as tabled.
    pub constituents: Vec<Constituent>,
    /// When it goes in, how much of it is usual, and what it does.
    pub handling: Handling<ScentHow>,
    /// What its supplier says of it.
    pub supplied: Supplied,
}

/// Where a figure of a supplier comes from.
const SUPPLIER: &str = "the supplier’s documents, as typed";

impl Scent {
    /// The same with what its supplier says, by which it is handled; `handling` is how it is handled without that.
    #[must_use]
    pub fn with_supplied(self, supplied: Supplied, handling: Handling<ScentHow>) -> Self {
        let mut handling = handling;
        if supplied != Supplied::default() {
            handling.trust = Trust::Maker;
        }
        match supplied.behaviour {
            Some(Behaviour::Calm) => (handling.speeds_up, handling.how) = (false, ScentHow::AtTrace),
            Some(Behaviour::Thickens) => (handling.speeds_up, handling.how) = (true, ScentHow::IntoFats),
            Some(Behaviour::Rices) => handling.how = ScentHow::AtTrace,
            None => {}
        }
        if let Some(vanillin) = supplied.vanillin {
            handling.browns = vanillin.get() > 0.0;
        }
        if let Some(limit) = supplied.limit {
            // The bar weighs more than its fats, so as much of the fats is within the limit.
            let most = AmountPerKg::nearest(limit.fraction() * 1000.0).get().min(handling.most.get());
            handling.most = AmountPerKg::nearest(most);
            let ends = [handling.usual.min().min(most), handling.usual.max().min(most)];
            handling.usual = Interval::hull(ends).unwrap_or(handling.usual);
        }
        Self { handling, supplied, ..self }
    }

    /// When it goes in, how much of it is usual, and what it does.
    pub const fn handling(&self) -> &Handling<ScentHow> {
        &self.handling
    }

    /// The stage at which it usually goes in, by what it does to the batter.
    pub const fn usual_stage(&self) -> Stage {
        self.handling.how.usual_stage()
    }

    /// Whether it carries figures of the maker's own.
    pub fn is_makers(&self) -> bool {
        self.constituents.iter().any(|c| c.trust == Trust::Maker) || self.supplied != Supplied::default()
    }
}

/// One scent in a design.
#[derive(Debug, Clone, PartialEq)]
pub struct ScentLine {
    /// The record, as it was when it came in.
    pub scent: Arc<Scent>,
    /// How much.
    pub amount: Amount,
    /// When it goes in.
    pub stage: Stage,
}

impl ScentLine {
    /// 2 % of the fats, or less where less is usual, at its usual stage (common practice, no source).
    pub fn usual(scent: Arc<Scent>) -> Self {
        let kilogram = Grams(1000.0);
        let (two, most) = (Amount::PercentOfFats(AmountPercent::nearest(2.0)), scent.handling.usual_in(kilogram));
        let amount = if most < two.mass(kilogram) { two.with_mass(most, kilogram) } else { two };
        let stage = scent.usual_stage();
        Self { scent, amount, stage }
    }
}

/// What a publication says of a substance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LimitFigure {
    /// At most this, percent of the finished bar.
    Most(f64),
    /// It sets no limit for this kind of product.
    NoRestriction,
    /// It sets a limit that is not held here.
    NotHeld,
}

/// A published limit for a substance in rinse-off products of the skin.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The substance.
    pub substance: String,
    /// The limit itself.
    pub figure: LimitFigure,
    /// Where the limit stands.
    pub source: String,
    /// How far the source was seen.
    pub trust: Trust,
}

/// All limits, found by CAS number.
#[derive(Debug, Clone, Default)]
pub struct Limits {
    all: Vec<Limit>,
    by_cas: HashMap<String, usize>,
}

impl Limits {
    /// Adds `limit` for the substances of `cas`; the first limit of a number stands.
    pub(crate) fn push(&mut self, cas: &Cas, limit: Limit) {
        for number in cas.numbers() {
            self.by_cas.entry(number.to_owned()).or_insert(self.all.len());
        }
        self.all.push(limit);
    }

    /// All limits.
    pub fn iter(&self) -> impl Iterator<Item = &Limit> {
        self.all.iter()
    }

    fn index(&self, cas: &Cas) -> Option<usize> {
        cas.numbers().find_map(|n| self.by_cas.get(n).copied())
    }

    /// The figures by which `scent` holds what the limit at `index` of [`Self::iter`] is about.
    pub fn holdings<'a>(&self, scent: &'a Scent, index: usize) -> Vec<Holding<'a>> {
        holdings(scent, self.index(&scent.cas), |cas| self.index(cas), index)
    }

    /// The limit of the substance with any of the CAS numbers `cas`.
    pub fn of(&self, cas: &Cas) -> Option<&Limit> {
        self.index(cas).map(|i| &self.all[i])
    }
}

/// One limited substance over all scents of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding<N = f64> {
    /// The substance.
    pub substance: String,
    /// The most of it there may be in the bar.
    pub percent: Percent<N>,
    /// The most allowed in the bar.
    pub limit: Percent,
    /// Whether any figure behind `percent` is from memory.
    pub from_memory: bool,
    /// Where the limit stands, and how far that was seen.
    pub source: String,
    /// Grams of it per gram of each scent, in the design's order.
    pub fractions: Vec<f64>,
}

impl<N: Num> Finding<N> {
    /// Percent over limit; above 1 it is exceeded.
    pub fn ratio(&self) -> f64 {
        if self.limit.0 > 0.0 { self.percent.value() / self.limit.0 } else { f64::INFINITY }
    }

    /// Whether there may be more than the limit allows.
    pub fn is_over(&self) -> bool {
        self.ratio() > 1.0
    }

    /// Both percents in words.
    pub fn words(&self) -> String {
        format!("up to {} % of the bar, limit {} %", significant(self.percent.value()), significant(self.limit.0))
    }
}

/// What the limits say of the scents of a batch.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ScentCheck<N = f64> {
    /// Mass of each scent, in the design's order.
    pub masses: Vec<Grams<N>>,
    /// The limited substances, the one that binds most first.
    pub findings: Vec<Finding<N>>,
    /// Scents of which nothing has a limit here: nothing is said of them.
    pub without_limit: Vec<String>,
    /// Substances whose limit is not held here, with the scent they are in.
    pub not_held: Vec<(String, String)>,
}

/// What a scent brings of one substance.
#[derive(Default)]
struct Sums {
    index: usize,
    whole: f64,
    parts: f64,
    from_memory: bool,
}

impl Sums {
    /// Of all that `lookup` finds in `scent` by CAS numbers. `itself` is what the whole scent is found as.
    fn of(scent: &Scent, itself: Option<usize>, lookup: impl Fn(&Cas) -> Option<usize>) -> Vec<Self> {
        let mut sums: Vec<Self> = Vec::new();
        let itself = itself.map(|i| (i, 1.0, false, false));
        let constituents = scent
            .constituents
            .iter()
            .filter_map(|c| Some((lookup(&c.cas)?, c.most.fraction(), c.whole, c.trust == Trust::FromMemory)));
        for (index, fraction, whole, from_memory) in itself.into_iter().chain(constituents) {
            let at = sums.iter().position(|s| s.index == index).unwrap_or_else(|| {
                sums.push(Self { index, ..Self::default() });
                sums.len() - 1
            });
            let sum = &mut sums[at];
            *(if whole { &mut sum.whole } else { &mut sum.parts }) += fraction;
            sum.from_memory |= from_memory;
        }
        sums
    }

    /// Where a substance stands as a whole and by its isomers, the larger counts: whether that is the whole.
    fn whole_counts(&self) -> bool {
        self.whole > self.parts
    }
}

/// What `lookup` finds in `scent` by CAS numbers: its position there, grams of it per gram of the scent,
/// and whether a figure is from memory. `itself` is what the whole scent is found as. Where a substance
/// stands as a whole and by its isomers, the larger counts.
pub(crate) fn held(
    scent: &Scent,
    itself: Option<usize>,
    lookup: impl Fn(&Cas) -> Option<usize>,
) -> Vec<(usize, f64, bool)> {
    let grams = |s: Sums| (s.index, if s.whole_counts() { s.whole } else { s.parts }, s.from_memory);
    Sums::of(scent, itself, lookup).into_iter().map(grams).collect()
}

/// A figure by which a scent holds a substance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Holding<'a> {
    /// The scent is the substance, or the oil that is meant.
    All,
    /// A constituent of the scent is.
    Constituent(&'a Constituent),
    /// The supplier lists it.
    Listed(&'a ListedAllergen),
}

impl Holding<'_> {
    /// Grams of the substance per gram of the scent.
    pub fn fraction(self) -> f64 {
        match self {
            Self::All => 1.0,
            Self::Constituent(c) => c.most.fraction(),
            Self::Listed(allergen) => allergen.most.fraction(),
        }
    }
}

/// The figures that [`held`] adds up for what is found at `index`.
pub(crate) fn holdings(
    scent: &Scent,
    itself: Option<usize>,
    lookup: impl Fn(&Cas) -> Option<usize>,
    index: usize,
) -> Vec<Holding<'_>> {
    let sums = Sums::of(scent, itself, &lookup);
    let Some(sum) = sums.iter().find(|s| s.index == index) else { return Vec::new() };
    let counts = |c: &&Constituent| c.whole == sum.whole_counts() && lookup(&c.cas) == Some(index);
    let itself = (itself == Some(index) && !sum.whole_counts()).then_some(Holding::All);
    itself.into_iter().chain(scent.constituents.iter().filter(counts).map(Holding::Constituent)).collect()
}

/// Grams per gram of a scent, as a number of a reading: the figures in `holdings` together.
pub(crate) fn fraction_of<'s, R: Reading>(
    r: R,
    fraction: f64,
    scent: &str,
    mass: Grams<R::N>,
    holdings: impl FnOnce() -> Vec<Holding<'s>>,
) -> R::N {
    r.inputs("part in the scent", fraction, "", || {
        holdings().into_iter().map(|holding| holding.about(scent, mass.value())).collect()
    })
}

impl Holding<'_> {
    /// How far its source was seen; `None` for the whole scent.
    pub fn trust(self) -> Option<Trust> {
        match self {
            Self::All => None,
            Self::Constituent(c) => Some(c.trust),
            Self::Listed(_) => Some(Trust::Maker),
        }
    }

    /// What is known of the figure, in `grams` of the scent.
    fn about(self, scent: &str, grams: f64) -> Input {
        let of = number_text(grams, "g");
        match self {
            Self::All => Input::worked_out(scent, format!("all of {of}"), "the whole scent is what is looked for"),
            Self::Constituent(c) => Input {
                name: format!("{} in {scent}", c.name),
                value: format!("{} % of {of} at most", short(c.most.get(), 4)),
                source: c.source.clone(),
                trust: Some(c.trust),
            },
            Self::Listed(allergen) => Input {
                name: format!("{} in {scent}", allergen.name),
                value: format!("{} % of {of} at most", short(allergen.most.get(), 4)),
                source: SUPPLIER.into(),
                trust: Some(Trust::Maker),
            },
        }
    }
}

impl ScentCheck {
    /// [`Self::read`] for the numbers alone.
    pub fn of(scents: &[ScentLine], fats: Grams, bars: Grams, limits: &Limits) -> Self {
        Self::read(Plain, scents.iter().map(|s| s.amount.mass(fats)).collect(), scents, bars, limits)
    }
}

impl<N: Num> ScentCheck<N> {
    /// Adds up every limited substance over `scents`, which weigh `masses`, in percent of `bars` (all bars of the
    /// same batch together); each constituent counts with its largest published figure.
    pub fn read<R: Reading<N = N>>(
        r: R,
        masses: Vec<Grams<N>>,
        scents: &[ScentLine],
        bars: Grams<N>,
        limits: &Limits,
    ) -> Self {
        let mut check = Self { masses, findings: Vec::new(), without_limit: Vec::new(), not_held: Vec::new() };
        let mut sums: Vec<(usize, N, bool, Vec<f64>)> = Vec::new();
        for (position, (line, mass)) in scents.iter().zip(&check.masses).enumerate() {
            let limited = held(&line.scent, limits.index(&line.scent.cas), |cas| limits.index(cas));
            for (index, fraction, memory) in &limited {
                let at = sums.iter().position(|(i, ..)| i == index).unwrap_or_else(|| {
                    sums.push((*index, N::from(0.0), false, vec![0.0; scents.len()]));
                    sums.len() - 1
                });
                let (_, sum, from_memory, parts) = &mut sums[at];
                let holdings = || limits.holdings(&line.scent, *index);
                *sum += mass.0 * fraction_of(r, *fraction, &line.scent.name, *mass, holdings);
                *from_memory |= memory;
                parts[position] += fraction;
            }
            for (index, ..) in &limited {
                let limit = &limits.all[*index];
                let pair = (limit.substance.clone(), line.scent.name.clone());
                if limit.figure == LimitFigure::NotHeld && !check.not_held.contains(&pair) {
                    check.not_held.push(pair);
                }
            }
            if limited.is_empty()
                && line.scent.supplied.limit.is_none()
                && !check.without_limit.contains(&line.scent.name)
            {
                check.without_limit.push(line.scent.name.clone());
            }
        }
        for (index, grams, from_memory, fractions) in sums {
            let limit = &limits.all[index];
            if let (LimitFigure::Most(most), true) = (limit.figure, bars.value() > 0.0) {
                check.findings.push(Finding {
                    substance: limit.substance.clone(),
                    percent: Percent::of(grams, bars.0),
                    limit: Percent(most),
                    from_memory,
                    source: format!("{}, {}", limit.source, limit.trust.words()),
                    fractions,
                });
            }
        }
        check.supplied(r, scents, bars);
        check.findings.sort_by(|a, b| b.ratio().total_cmp(&a.ratio()));
        check
    }

    /// Adds the limits that suppliers set on whole scents; the lines of one scent count together.
    fn supplied<R: Reading<N = N>>(&mut self, r: R, scents: &[ScentLine], bars: Grams<N>) {
        for (position, line) in scents.iter().enumerate() {
            let is_it = |other: &ScentLine| other.scent.id == line.scent.id;
            let Some(limit) = line.scent.supplied.limit.filter(|_| bars.value() > 0.0) else { continue };
            if scents[..position].iter().any(is_it) {
                continue;
            }
            let grams = scents
                .iter()
                .zip(&self.masses)
                .filter(|(other, _)| is_it(other))
                .map(|(other, mass)| mass.0 * fraction_of(r, 1.0, &other.scent.name, *mass, || vec![Holding::All]));
            self.findings.push(Finding {
                substance: line.scent.name.clone(),
                percent: Percent::of(r.sum(grams), bars.0),
                limit: Percent(limit.get()),
                from_memory: false,
                source: SUPPLIER.into(),
                fractions: scents.iter().map(|other| f64::from(u8::from(is_it(other)))).collect(),
            });
        }
    }
}
