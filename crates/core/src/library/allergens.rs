//! Fragrance allergens that a label has to name, and what of them the scents of a batch hold.
//!
//! Sources: Annex III of Regulation (EC) 1223/2009 as amended by 2023/1545, in `allergens.csv`. The
//! constituents of scents count with their largest published figure, so the check errs towards
//! naming too many. Additions other than scents are not looked into.

use crate::formula::{Num, Reading};
use crate::library::scents::{Cas, Holding, ListedAllergen, Scent, ScentLine, fraction_of, held, holdings};
use crate::trust::Trust;
use crate::units::{Grams, percent_of};
use serde::Deserialize;
use std::collections::HashMap;

/// What a bar that is rinsed off may hold of an allergen without naming it, percent; exactly so
/// much needs no name.
pub const THRESHOLD: f64 = 0.01;

/// Which fragrance allergens the label names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum AllergenList {
    /// The extended list.
    #[default]
    Extended,
    /// The first 24.
    FirstTwentyFour,
    /// None.
    Off,
}

/// What an entry of the annex is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum AllergenKind {
    /// A substance, or several that are added up.
    Substance,
    /// A whole oil or extract, which is named besides its constituents.
    Natural,
}

/// One entry of the annex.
#[derive(Debug, Clone, PartialEq)]
pub struct Allergen {
    /// The name that is printed.
    pub name: String,
    /// What it is about.
    pub kind: AllergenKind,
    /// Whether it is one of the 24 that had to be named before 2023/1545.
    pub first_24: bool,
    /// Where the entry stands.
    pub source: String,
    /// How far the source was seen.
    pub trust: Trust,
}

impl Allergen {
    /// Whether `list` asks for it.
    pub const fn is_on(&self, list: AllergenList) -> bool {
        match list {
            AllergenList::Extended => true,
            AllergenList::FirstTwentyFour => self.first_24,
            AllergenList::Off => false,
        }
    }
}

/// Whether `name` is an ester’s: by systematic naming they end in “ate”.
fn is_ester(name: &str) -> bool {
    name.ends_with("ate")
}

/// All entries, found by CAS number (substances) and by ingredient name (whole oils).
#[derive(Debug, Clone, Default)]
pub struct Allergens {
    all: Vec<Allergen>,
    substances: HashMap<String, usize>,
    naturals: HashMap<String, usize>,
    naturals_by_cas: HashMap<String, usize>,
    /// CAS numbers of each, in the order of `all`.
    cas: Vec<Cas>,
    /// By every name of an entry and of its members, as [`named`] writes it.
    names: HashMap<String, usize>,
}

impl Allergens {
    /// Adds `allergen` with its CAS numbers and the ingredient names of its members, which count for
    /// whole oils only: several oils share CAS numbers.
    ///
    /// # Errors
    /// The number or name that another entry has already.
    pub(crate) fn push(&mut self, allergen: Allergen, cas: &Cas, members: &str) -> Result<(), String> {
        let index = self.all.len();
        match allergen.kind {
            AllergenKind::Substance => {
                for number in cas.numbers() {
                    if self.substances.insert(number.to_owned(), index).is_some() {
                        return Err(format!("{number} stands in two entries"));
                    }
                }
            }
            AllergenKind::Natural => {
                for member in members.split(';').map(name_key).filter(|m| !m.is_empty()) {
                    if self.naturals.insert(member.clone(), index).is_some() {
                        return Err(format!("{member} stands in two entries"));
                    }
                }
                for number in cas.numbers() {
                    self.naturals_by_cas.entry(number.to_owned()).or_insert(index);
                }
            }
        }
        for name in members.split(';').chain([allergen.name.as_str()]).map(named).filter(|name| !name.is_empty()) {
            self.names.entry(name).or_insert(index);
        }
        self.all.push(allergen);
        self.cas.push(cas.clone());
        Ok(())
    }

    /// The entry that is called `name` or has one of the numbers `cas`, with its own numbers.
    ///
    /// ```
    /// let library = barwright_core::Library::embedded()?;
    /// let none = Default::default();
    /// assert_eq!(library.allergens.find("d-limonene", &none).map(|(a, _)| a.name.as_str()), Some("Limonene"));
    /// assert!(library.allergens.find("plain water", &none).is_none());
    /// # Ok::<(), barwright_core::library::LibraryError>(())
    /// ```
    pub fn find(&self, name: &str, cas: &Cas) -> Option<(&Allergen, &Cas)> {
        let name = named(name);
        // Of a substance with two hands suppliers name one.
        let without_hand = ["d", "l", "dl", "r", "s"].iter().find_map(|hand| self.names.get(name.strip_prefix(hand)?));
        let by_name = || self.names.get(&name).or(without_hand).copied();
        let index = self.substance(cas).or_else(by_name)?;
        Some((&self.all[index], &self.cas[index]))
    }

    fn listed(&self, allergen: &ListedAllergen) -> Option<usize> {
        self.names.get(&named(&allergen.name)).copied()
    }

    /// What of the entries `scent` holds: by its constituents and as its supplier lists them.
    fn held(&self, scent: &Scent) -> Vec<(usize, f64, bool)> {
        let mut all = held(scent, self.whole(scent), |cas| self.substance(cas));
        for allergen in &scent.supplied.allergens {
            let Some(index) = self.listed(allergen) else { continue };
            match all.iter_mut().find(|(i, ..)| *i == index) {
                Some((_, fraction, _)) => *fraction += allergen.most.fraction(),
                None => all.push((index, allergen.most.fraction(), false)),
            }
        }
        all
    }

    /// All entries, in the order of the table.
    pub fn iter(&self) -> impl Iterator<Item = &Allergen> {
        self.all.iter()
    }

    /// The entry that `scent` is as a whole. Its ingredient name decides; only where it has none its CAS
    /// numbers do, since oils of the leaf, the flower and the peel of a plant share them.
    fn whole(&self, scent: &Scent) -> Option<usize> {
        let natural = if scent.inci.trim().is_empty() {
            scent.cas.numbers().find_map(|n| self.naturals_by_cas.get(n))
        } else {
            self.naturals.get(&name_key(&scent.inci))
        };
        natural.copied().or_else(|| self.substance(&scent.cas))
    }

    fn substance(&self, cas: &Cas) -> Option<usize> {
        cas.numbers().find_map(|n| self.substances.get(n).copied())
    }

    /// The figures by which `scent` holds what the entry at `index` of [`Self::iter`] is about.
    pub fn holdings<'a>(&self, scent: &'a Scent, index: usize) -> Vec<Holding<'a>> {
        let listed = scent.supplied.allergens.iter().filter(|a| self.listed(a) == Some(index)).map(Holding::Listed);
        let mut all = holdings(scent, self.whole(scent), |cas| self.substance(cas), index);
        all.extend(listed);
        all
    }

    /// What of the entries on `list` the `scents` bring, in percent of `bars` (all bars of the batch
    /// together); `masses` are those of the scents.
    pub fn check<R: Reading>(
        &self,
        r: R,
        scents: &[ScentLine],
        masses: &[Grams<R::N>],
        bars: Grams<R::N>,
        list: AllergenList,
    ) -> AllergenCheck<R::N> {
        let mut check = AllergenCheck { findings: Vec::new(), unknown: Vec::new(), said_none: Vec::new() };
        if list == AllergenList::Off || bars.value() <= 0.0 {
            return check;
        }
        let mut sums: Vec<(usize, R::N, bool)> = Vec::new();
        for (line, mass) in scents.iter().zip(masses).filter(|(_, m)| m.value() > 0.0) {
            let scent = &line.scent;
            let held = self.held(scent);
            let is_told = scent.supplied.lists_none && held.is_empty();
            let told = if is_told { &mut check.said_none } else { &mut check.unknown };
            if (is_told || is_unread(scent, held.is_empty())) && !told.contains(&scent.name) {
                told.push(scent.name.clone());
            }
            for (index, fraction, memory) in held {
                let holdings = || self.holdings(scent, index);
                let grams = mass.0 * fraction_of(r, fraction, &scent.name, *mass, holdings);
                let at = sums.iter().position(|(i, ..)| *i == index).unwrap_or_else(|| {
                    sums.push((index, R::N::from(0.0), false));
                    sums.len() - 1
                });
                sums[at].1 += grams;
                sums[at].2 |= memory;
            }
        }
        let found = |(index, grams, from_memory): (usize, R::N, bool)| {
            let allergen = &self.all[index];
            let name = allergen.name.clone();
            allergen.is_on(list).then(|| AllergenFinding { name, percent: percent_of(grams, bars.0), from_memory })
        };
        check.findings = sums.into_iter().filter_map(found).collect();
        // What differs only by rounding counts as equal.
        let place = |f: &AllergenFinding<R::N>| (f.percent.value() * 1e9).round();
        check.findings.sort_by(|a, b| place(b).total_cmp(&place(a)).then_with(|| a.name.cmp(&b.name)));
        check
    }
}

/// Whether the allergens of `scent` are not known: nothing is said of what is in it, or its maker typed what `has_none`
/// of them without a word of others.
fn is_unread(scent: &Scent, has_none: bool) -> bool {
    let is_typed = || scent.constituents.iter().all(|c| c.trust == Trust::Maker);
    scent.supplied.allergens.is_empty() && (scent.constituents.is_empty() || has_none && is_typed())
}

/// An ingredient name as it is compared: without case and outer spaces.
fn name_key(name: &str) -> String {
    name.trim().to_lowercase()
}

/// The same without spaces and signs, as names that are typed are compared.
fn named(name: &str) -> String {
    name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// An allergen in the bar.
#[derive(Debug, Clone, PartialEq)]
pub struct AllergenFinding<N = f64> {
    /// The name that is printed.
    pub name: String,
    /// The most of it there may be, percent of the bar dried out.
    pub percent: N,
    /// Whether any figure behind `percent` is from memory.
    pub from_memory: bool,
}

impl<N: Num> AllergenFinding<N> {
    /// Whether the label has to name it: more than [`THRESHOLD`], beyond rounding.
    pub fn is_declared(&self) -> bool {
        self.percent.value() > THRESHOLD * (1.0 + 1e-9)
    }
}

/// The allergens that the scents of a batch bring.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AllergenCheck<N = f64> {
    /// Those on the list, the most of it first; below the threshold too.
    pub findings: Vec<AllergenFinding<N>>,
    /// Scents whose allergens are not held here: ask their supplier.
    pub unknown: Vec<String>,
    /// Scents without any by their supplier's word.
    pub said_none: Vec<String>,
}

impl<N: Num> AllergenCheck<N> {
    /// What the label has to name.
    pub fn declared(&self) -> impl Iterator<Item = &AllergenFinding<N>> {
        self.findings.iter().filter(|f| f.is_declared())
    }

    /// Names of declared esters, which lye may take apart in part; they count as put in.
    pub fn esters(&self) -> impl Iterator<Item = &str> {
        self.declared().map(|f| f.name.as_str()).filter(|name| is_ester(name))
    }
}
