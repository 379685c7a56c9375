//! What a blend is made of, acid by acid.

use crate::formula::{Input, Num, Plain, Reading};
use crate::library::acids::{Acid, AcidId, Acids};
use crate::library::fats::{Fat, ProfileEntry};
use crate::number::{short, significant};
use crate::units::{from_percent, in_percent};

/// Mass fraction of each acid among a blend's fatty acids, indexed by [`AcidId`].
///
/// Each fat counts by its own mass, as if all of it were fatty acids: the few percent of glycerol
/// residue that triglycerides hold, and the alcohol half of a wax ester, are not taken off.
#[derive(Debug, Clone, PartialEq)]
pub struct Composition<N = f64> {
    fractions: Vec<N>,
    /// Mass fraction of the blend that has no tabled profile and is left out here.
    pub unknown: f64,
    /// Mean unsaponifiable matter of the fats counted here, as a fraction.
    pub unsaponifiable: N,
    /// Mean calculated saponification value of the fats counted here, mg KOH/g.
    pub calculated_sv: N,
    /// Mean calculated iodine value of the fats counted here, g iodine per 100 g.
    pub calculated_iv: N,
}

/// The typical percent of an acid in `fat`.
pub fn typical<R: Reading>(r: R, entry: &ProfileEntry, fat: &Fat, acids: &Acids) -> R::N {
    r.input("typical percent", entry.typical, "", || Input {
        name: format!("{} in {}", acids.get(entry.acid).in_words(), fat.name),
        value: format!("{} %, {}", short(entry.typical, 2), entry.published()),
        source: entry.source.clone(),
        trust: Some(entry.trust),
    })
}

impl Composition {
    /// [`Self::read`] for the numbers alone.
    pub fn of<'a>(fats: impl IntoIterator<Item = (&'a Fat, f64)>, acids: &Acids) -> Option<Self> {
        Self::read(Plain, fats, acids)
    }
}

impl<N: Num> Composition<N> {
    /// The composition of fats in the given amounts (any common unit). Fats without a profile
    /// are left out and the rest scaled to 1. `None` if no fat with a profile is there.
    pub fn read<'a, R: Reading<N = N>>(
        r: R,
        fats: impl IntoIterator<Item = (&'a Fat, N)>,
        acids: &Acids,
    ) -> Option<Self> {
        let none = N::from(0.0);
        let mut fractions = vec![none; acids.len()];
        let [mut known, mut all, mut unsaponifiable, mut sv, mut iv] = [none; 5];
        for (fat, amount) in fats {
            all += amount;
            let unsaponifiable_here = fat.read_unsaponifiable(r);
            let calculated = (
                fat.calculated_sv_at(r, acids, unsaponifiable_here),
                fat.calculated_iv_at(r, acids, unsaponifiable_here),
            );
            let (Some(fat_sv), Some(fat_iv)) = calculated else { continue };
            known += amount;
            unsaponifiable += amount * unsaponifiable_here;
            sv += amount * fat_sv;
            iv += amount * fat_iv;
            for entry in fat.profile() {
                fractions[entry.acid.index()] += from_percent(amount * typical(r, entry, fat, acids));
            }
        }
        if known.value() <= 0.0 {
            return None;
        }
        for fraction in &mut fractions {
            // Nothing stays nothing.
            if fraction.value() > 0.0 {
                *fraction = *fraction / known;
            }
        }
        Some(Self {
            fractions,
            unknown: (all.value() - known.value()) / all.value(),
            unsaponifiable: unsaponifiable / known,
            calculated_sv: sv / known,
            calculated_iv: iv / known,
        })
    }

    /// The same without how it came about.
    pub fn plain(&self) -> Composition {
        Composition {
            fractions: self.fractions.iter().map(|f| f.value()).collect(),
            unknown: self.unknown,
            unsaponifiable: self.unsaponifiable.value(),
            calculated_sv: self.calculated_sv.value(),
            calculated_iv: self.calculated_iv.value(),
        }
    }

    /// Mass fraction of `acid`.
    pub fn fraction(&self, acid: AcidId) -> N {
        self.fractions[acid.index()]
    }

    /// All mass fractions, in the order of [`Acids`].
    pub fn fractions(&self) -> &[N] {
        &self.fractions
    }

    /// Mass of the saturated acids for each of the unsaturated ones; `None` without unsaturated ones.
    pub fn saturated_per_unsaturated<R: Reading<N = N>>(&self, r: R, acids: &Acids) -> Option<N> {
        let saturated = acids.iter().filter(|(_, acid)| acid.is_saturated());
        let saturated = r.sum(saturated.map(|(id, acid)| self.named(r, id, acid)));
        let all = r.sum(acids.iter().map(|(id, acid)| self.named(r, id, acid)));
        (all.value() > saturated.value()).then(|| saturated / (all - saturated))
    }

    /// The fraction of an acid where a formula rests on it.
    pub fn named<R: Reading<N = N>>(&self, r: R, id: AcidId, acid: &Acid) -> N {
        let fraction = self.fraction(id);
        if fraction.value() <= 0.0 {
            return fraction;
        }
        r.named("acid", "", fraction, || (format!("{}, by mass", acid.in_words()), TYPICAL.into()))
    }

    /// Half the sum of absolute differences, 0 (alike) to 1 (nothing in common); `named` gives the
    /// other's acids as numbers of the reading.
    pub fn differs<R: Reading<N = N>>(&self, r: R, other: &Composition, acids: &Acids, whose: &str) -> N {
        let each = acids.iter().map(|(id, acid)| {
            let there = other.fraction(id);
            let there = r.input("acid there", there, "", || {
                let name = format!("{} in {whose}", acid.in_words());
                Input::worked_out(&name, short(there, 4), TYPICAL)
            });
            (self.named(r, id, acid) - there).abs()
        });
        r.sum(each) / 2.0
    }
}

/// Where the acids come from.
const TYPICAL: &str = "the fats’ typical profiles";

impl Composition {
    /// Percent of the acids that two blends have in common.
    pub fn percent_shared(&self, other: &Self) -> f64 {
        in_percent(1.0 - self.distance(other))
    }

    /// Half the sum of absolute differences, 0 (alike) to 1 (nothing in common).
    pub fn distance(&self, other: &Self) -> f64 {
        self.fractions.iter().zip(&other.fractions).map(|(a, b)| (a - b).abs()).sum::<f64>() / 2.0
    }

    /// The same of what is `wanted`, in any reading, with the acids that differ as its inputs.
    pub fn read_distance<R: Reading>(&self, r: R, wanted: &Self, acids: &Acids) -> R::N {
        let part = |(id, acid): (AcidId, &Acid)| {
            let (here, there) = (self.fraction(id), wanted.fraction(id));
            let difference = here - there;
            let about = || {
                let percent = |fraction: f64| significant(in_percent(fraction));
                let value = format!("{} % here, {} % wanted", percent(here), percent(there));
                let how = "the shares and the fats’ typical profiles";
                Input::worked_out(&format!("{} ({})", acid.name, acid.key), value, how)
            };
            (difference.abs() > 0.0).then(|| r.input("difference of an acid", difference, "", about).abs())
        };
        r.sum(acids.iter().filter_map(part)) / 2.0
    }
}
