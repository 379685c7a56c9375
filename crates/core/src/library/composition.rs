//! What a blend is made of, acid by acid.

use crate::library::acids::{AcidId, Acids};
use crate::library::fats::Fat;

/// Mass fraction of each acid among a blend's fatty acids, indexed by [`AcidId`].
///
/// Each fat counts by its own mass, as if all of it were fatty acids: the few percent of glycerol
/// residue that triglycerides hold, and the alcohol half of a wax ester, are not taken off.
#[derive(Debug, Clone, PartialEq)]
pub struct Composition {
    fractions: Vec<f64>,
    /// Mass fraction of the blend that has no tabled profile and is left out here.
    pub unknown: f64,
    /// Mean unsaponifiable matter of the fats counted here, as a fraction.
    pub unsaponifiable: f64,
    /// Mean calculated saponification value of the fats counted here, mg KOH/g.
    pub calculated_sv: f64,
    /// Mean calculated iodine value of the fats counted here, g iodine per 100 g.
    pub calculated_iv: f64,
}

impl Composition {
    /// The composition of fats in the given amounts (any common unit). Fats without a profile
    /// are left out and the rest scaled to 1. `None` if no fat with a profile is there.
    pub fn of<'a>(fats: impl IntoIterator<Item = (&'a Fat, f64)>, acids: &Acids) -> Option<Self> {
        let mut fractions = vec![0.0; acids.len()];
        let [mut known, mut all, mut unsaponifiable, mut sv, mut iv] = [0.0; 5];
        for (fat, amount) in fats {
            all += amount;
            let (Some(fat_sv), Some(fat_iv)) = (fat.calculated_sv(acids), fat.calculated_iv(acids)) else {
                continue;
            };
            known += amount;
            unsaponifiable += amount * fat.unsaponifiable_fraction();
            sv += amount * fat_sv;
            iv += amount * fat_iv;
            for entry in fat.profile() {
                fractions[entry.acid.index()] += amount * entry.typical / 100.0;
            }
        }
        if known <= 0.0 {
            return None;
        }
        for fraction in &mut fractions {
            *fraction /= known;
        }
        Some(Self {
            fractions,
            unknown: (all - known) / all,
            unsaponifiable: unsaponifiable / known,
            calculated_sv: sv / known,
            calculated_iv: iv / known,
        })
    }

    /// Mass fraction of `acid`.
    pub fn fraction(&self, acid: AcidId) -> f64 {
        self.fractions[acid.index()]
    }

    /// All mass fractions, in the order of [`Acids`].
    pub fn fractions(&self) -> &[f64] {
        &self.fractions
    }

    /// Percent of the acids that two blends have in common.
    pub fn percent_shared(&self, other: &Self) -> f64 {
        100.0 * (1.0 - self.distance(other))
    }

    /// Half the sum of absolute differences, 0 (alike) to 1 (nothing in common).
    pub fn distance(&self, other: &Self) -> f64 {
        self.fractions.iter().zip(&other.fractions).map(|(a, b)| (a - b).abs()).sum::<f64>() / 2.0
    }
}
