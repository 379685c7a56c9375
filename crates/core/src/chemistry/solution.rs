//! Density and heat of sodium and potassium hydroxide in water.
//!
//! Density: M. Laliberté and W. E. Cooper, J. Chem. Eng. Data 49 (2004) 1141, with the
//! coefficients of Laliberté 2009. Enthalpy of sodium lye: H. Olsson, Å. Jernqvist and G. Aly,
//! Int. J. Thermophys. 18 (1997) 779.

use crate::chemistry::inputs;
use crate::formula::{Input, Num, Reading};
use crate::number::{fixed, short};
use crate::trust::Trust;
use crate::units::{Fraction, Grams, Percent, in_percent};

/// A part of a correlation whose range was left.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Beyond {
    /// The lye is stronger than was measured.
    #[error("lye of {} % is beyond the {} % up to which it was measured", fixed(percent.0, 1), fixed(most.0, 1))]
    Strength {
        /// What was asked.
        percent: Percent,
        /// The most that was measured.
        most: Percent,
    },
    /// The temperature lies outside what was measured.
    #[error("{} °C is outside the {} to {} °C in which it was measured", fixed(*celsius, 0), fixed(*least, 0), fixed(*most, 0))]
    Temperature {
        /// What was asked, °C.
        celsius: f64,
        /// The least that was measured, °C.
        least: f64,
        /// The most that was measured, °C.
        most: f64,
    },
    /// The lye would end colder than what was measured.
    #[error("the lye would be colder than the {} °C from which on it was measured", fixed(*least, 0))]
    Colder {
        /// The least that was measured, °C.
        least: f64,
    },
    /// The lye would end hotter than what was measured.
    #[error("the lye would be hotter than the {} °C up to which it was measured", fixed(*most, 0))]
    Hotter {
        /// The most that was measured, °C.
        most: f64,
    },
}

/// Laliberté's coefficients of one alkali with the range they hold for.
#[derive(Debug, Clone, Copy)]
struct Apparent {
    name: &'static str,
    c: [f64; 5],
    /// Mass fraction up to which it was measured.
    most: f64,
    celsius: (f64, f64),
}

/// Where the apparent volumes come from.
const APPARENT_VOLUMES: &str = "Laliberté and Cooper 2004 with the coefficients of 2009";

const NAOH: Apparent = Apparent {
    name: "sodium hydroxide",
    c: [
        319.020_509_469_838,
        528.592_358_475_315,
        -0.102_197_896_602_724,
        0.000_350_420_706_415_566,
        765.970_470_238_438,
    ],
    most: 0.503,
    celsius: (4.0, 120.0),
};

const KOH: Apparent = Apparent {
    name: "potassium hydroxide",
    c: [
        821.119_043_254_761,
        1_043.201_733_743_81,
        0.112_873_330_222_752,
        0.001_240_236_364_073_86,
        539.630_388_368_877,
    ],
    most: 0.519,
    celsius: (4.0, 95.0),
};

impl Apparent {
    /// Apparent volume of a gram of the alkali, mL/g, where all alkali is the fraction `w`. It
    /// is negative in thin sodium lye, which is why the volume is used and not the density.
    fn volume<R: Reading>(&self, r: R, w: f64, t: f64) -> R::N {
        let [c0, c1, c2, c3, c4] = self.c;
        let volume = 1000.0 * (w + c2 + c3 * t) / ((c0 * w + c1) * (1e-6 * (t + c4).powi(2)).exp());
        r.input("apparent volume of a gram", volume, "ml/g", || {
            let name = format!("Volume that a gram of {} adds", self.name);
            let value =
                format!("{} ml/g in lye of {} % at {} °C", short(volume, 5), short(in_percent(w), 2), short(t, 1));
            Input::sourced(&name, value, APPARENT_VOLUMES, Trust::Read)
        })
    }
}

/// A lye: pure alkalis and the water they are in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lye<N = f64> {
    /// Pure sodium hydroxide.
    pub naoh: Grams<N>,
    /// Pure potassium hydroxide.
    pub koh: Grams<N>,
    /// Water.
    pub water: Grams<N>,
}

impl<N: Num> Lye<N> {
    /// All of it.
    pub fn mass(&self) -> Grams<N> {
        self.naoh + self.koh + self.water
    }

    /// Mass fraction of alkali; 0 for nothing.
    pub fn fraction(&self) -> N {
        let mass = self.mass();
        if mass.value() > 0.0 { (self.naoh + self.koh).0 / mass.0 } else { N::from(0.0) }
    }

    /// Volume in mL by the correlation wherever it is asked, also beyond what was measured:
    /// water/ρ + Σ alkali·apparent volume.
    pub fn volume_extrapolated<R: Reading<N = N>>(&self, r: R, celsius: f64) -> N {
        let w = self.fraction().value();
        self.water.0 / inputs::water_density_at(r, celsius)
            + self.naoh.0 * NAOH.volume(r, w, celsius)
            + self.koh.0 * KOH.volume(r, w, celsius)
    }

    /// What of the lye's strength or `celsius` was not measured.
    ///
    /// # Errors
    /// [`Beyond`], naming how far the correlation holds.
    pub fn measured(&self, celsius: f64) -> Result<(), Beyond> {
        let w = self.fraction().value();
        for (mass, alkali) in [(self.naoh, &NAOH), (self.koh, &KOH)] {
            let (least, most) = alkali.celsius;
            let mass = mass.plain();
            if mass.0 > 0.0 && w > alkali.most {
                return Err(Beyond::Strength { percent: Fraction(w).percent(), most: Fraction(alkali.most).percent() });
            }
            if mass.0 > 0.0 && !(least..=most).contains(&celsius) {
                return Err(Beyond::Temperature { celsius, least, most });
            }
        }
        Ok(())
    }

    /// Density in g/mL.
    ///
    /// # Errors
    /// [`Beyond`] outside 4–120 °C (with potassium hydroxide 4–95 °C) or above 50.3 % (51.9 %).
    ///
    /// ```
    /// use barwright_core::chemistry::solution::Lye;
    /// use barwright_core::{formula::Plain, units::Grams};
    /// let lye = Lye { naoh: Grams(30.0), koh: Grams(0.0), water: Grams(70.0) };
    /// assert!((lye.density(Plain, 20.0)? - 1.326).abs() < 0.001);
    /// # Ok::<(), barwright_core::chemistry::solution::Beyond>(())
    /// ```
    pub fn density<R: Reading<N = N>>(&self, r: R, celsius: f64) -> Result<N, Beyond> {
        self.measured(celsius)?;
        Ok(self.mass().0 / self.volume_extrapolated(r, celsius))
    }
}

/// Where the enthalpy was measured: fraction of sodium hydroxide, °C.
const ENTHALPY_MOST: f64 = 0.70;
/// °C.
const ENTHALPY_RANGE: (f64, f64) = (0.0, 150.0);

const K: [f64; 8] =
    [1288.4485, -0.496_491_31, -4387.8908, -4.091_514_4, 4938.2298, 7.288_729_2, -1841.1890, -3.020_265_1];
const L: [f64; 9] =
    [2.308_791_9, -9.000_425_2, 167.599_14, -1051.6368, 3394.3378, -6115.0986, 6220.8249, -3348.8098, 743.874_32];
const M: [f64; 8] =
    [0.023_028_60, -0.378_660_56, 2.452_959_3, -8.269_354_2, 15.728_833, -16.944_427, 9.625_419_2, -2.241_062_8];
const N: [f64; 8] = [
    -8.513_131_3e-5,
    136.528_23e-5,
    -875.687_41e-5,
    2920.0398e-5,
    -5488.2983e-5,
    5841.8034e-5,
    -3278.7483e-5,
    754.459_93e-5,
];

fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// The four coefficients of the enthalpy's polynomial in °C at fraction `w` of NaOH.
fn enthalpy_coefficients(w: f64) -> [f64; 4] {
    let x = 1.0 - w;
    let above = polynomial(&[K[0], K[2], K[4], K[6]], x);
    let below = 1.0 + K[1] * x + K[3] * x.powi(2) + K[5] * x.powi(3) + K[7] * x.powi(4);
    [above / below, polynomial(&L, x), polynomial(&M, x), polynomial(&N, x)]
}

/// Enthalpy of sodium lye, kJ/kg, with the fraction `w` of NaOH at `celsius`; that of liquid
/// water at 0 °C is about 0 (Olsson, Jernqvist & Aly 1997).
///
/// # Errors
/// [`Beyond`] above 70 % or outside 0–150 °C.
pub fn enthalpy(w: f64, celsius: f64) -> Result<f64, Beyond> {
    let (least, most) = ENTHALPY_RANGE;
    if !(0.0..=ENTHALPY_MOST).contains(&w) {
        return Err(Beyond::Strength { percent: Fraction(w).percent(), most: Fraction(ENTHALPY_MOST).percent() });
    }
    if !(least..=most).contains(&celsius) {
        return Err(Beyond::Temperature { celsius, least, most });
    }
    Ok(polynomial(&enthalpy_coefficients(w), celsius))
}

/// Heat capacity of sodium lye, kJ/(kg K): the slope of [`enthalpy`].
///
/// # Errors
/// As [`enthalpy`].
pub fn heat_capacity(w: f64, celsius: f64) -> Result<f64, Beyond> {
    enthalpy(w, celsius)?;
    let [_, c2, c3, c4] = enthalpy_coefficients(w);
    Ok(c2 + 2.0 * c3 * celsius + 3.0 * c4 * celsius.powi(2))
}

/// Where enthalpies come from.
const ENTHALPIES: &str = "Olsson, Jernqvist and Aly, Int. J. Thermophys. 18 (1997) 779";

/// [`enthalpy`] as a number of a reading; `what` names what has it.
fn enthalpy_of<R: Reading>(r: R, symbol: &'static str, what: &str, w: f64, celsius: f64) -> Result<R::N, Beyond> {
    let heat = enthalpy(w, celsius)?;
    Ok(r.input(symbol, heat, "kJ/kg", || {
        let value = format!("{} kJ/kg at {} °C", short(heat, 3), short(celsius, 2));
        Input::sourced(&format!("Heat of {what}"), value, ENTHALPIES, Trust::Read)
    }))
}

/// Enthalpy of solid sodium hydroxide on the same scale, kJ/kg: 1107.6 at 25 °C and
/// 1.487 kJ/(kg K).
pub fn solid_enthalpy<R: Reading>(r: R, celsius: R::N) -> R::N {
    r.constant(1107.6) + r.constant(1.487) * (celsius - 25.0)
}

/// Heat that a gram of ice takes to melt, kJ/kg (from memory).
pub const MELTING_OF_ICE: f64 = 333.6;
/// Heat that a mole of acid protons sets free in lye, kJ/mol (strong acid and strong base, from
/// memory; weak acids give less, so a peak with it stays an upper bound).
pub const NEUTRALISATION: f64 = 55.8;
/// Grams in a kilogram.
const G_PER_KG: f64 = 1000.0;

/// How a sodium lye is made, for the temperature it reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dissolving<N = f64> {
    /// Pure sodium hydroxide.
    pub naoh: Grams<N>,
    /// Water in the jug, ice with it.
    pub water: Grams<N>,
    /// The solid's temperature, °C.
    pub solid_c: N,
    /// The liquid water's temperature, °C.
    pub water_c: N,
    /// Fraction of the water that is ice of 0 °C.
    pub frozen: N,
    /// Protons of acids in the jug, mol.
    pub protons: N,
}

impl<N: Num> Dissolving<N> {
    /// Fraction of alkali in the lye.
    fn fraction(&self) -> N {
        self.naoh.0 / (self.naoh + self.water).0
    }

    /// Heat of what goes in, kJ per kg of lye: w·h(solid) + (1 − w)·h(water), less what ice takes to
    /// melt, with the heat of neutralising acids.
    fn heat<R: Reading<N = N>>(&self, r: R) -> Result<N, Beyond> {
        let mass = (self.naoh + self.water).0;
        let w = self.fraction();
        let liquid = enthalpy_of(r, "h(water)", "the water before", 0.0, self.water_c.value())?;
        let melting = r.input("melting of ice", MELTING_OF_ICE, "kJ/kg", || {
            let value = format!("{} kJ/kg", short(MELTING_OF_ICE, 1));
            Input::sourced("Heat that ice takes to melt", value, "tables of water", Trust::FromMemory)
        });
        let ice = enthalpy_of(r, "h(water at 0 °C)", "water at 0 °C", 0.0, 0.0)? - melting;
        let water = self.frozen * ice + (N::from(1.0) - self.frozen) * liquid;
        // kJ per kg of lye is J per gram; a proton's heat is in kJ.
        let neutralised = r.input("neutralisation", NEUTRALISATION, "kJ/mol", || {
            let value = format!("{} kJ/mol", short(NEUTRALISATION, 1));
            Input::sourced("Heat of neutralising acids", value, "strong acid in strong base", Trust::FromMemory)
        });
        let acids = N::from(G_PER_KG) * neutralised * self.protons / mass;
        Ok(w * solid_enthalpy(r, self.solid_c) + (N::from(1.0) - w) * water + acids)
    }

    /// The temperature in °C that the jug reaches if no heat is lost while all dissolves, so an
    /// upper bound: the t at which the lye holds the heat of what goes in.
    ///
    /// # Errors
    /// [`Beyond`] if the lye, its temperature or the water's lies outside the correlation.
    ///
    /// ```
    /// use barwright_core::chemistry::solution::Dissolving;
    /// use barwright_core::{formula::Plain, units::Grams};
    /// let jug = Dissolving { naoh: Grams(30.0), water: Grams(70.0), solid_c: 20.0, water_c: 20.0, frozen: 0.0, protons: 0.0 };
    /// assert!((jug.peak(Plain)? - 104.0).abs() < 1.0);
    /// # Ok::<(), barwright_core::chemistry::solution::Beyond>(())
    /// ```
    pub fn peak<R: Reading<N = N>>(&self, r: R) -> Result<N, Beyond> {
        let total = self.heat(r)?;
        let (w, heat) = (self.fraction().value(), total.value());
        let (least, most) = ENTHALPY_RANGE;
        let (mut low, mut high) = (least, most);
        if heat < enthalpy(w, least)? {
            return Err(Beyond::Colder { least });
        }
        if heat > enthalpy(w, most)? {
            return Err(Beyond::Hotter { most });
        }
        // The enthalpy rises with the temperature; 40 halvings of 150 K are far below any error.
        let coefficients = enthalpy_coefficients(w);
        for _ in 0..40 {
            let middle = f64::midpoint(low, high);
            if polynomial(&coefficients, middle) < heat {
                low = middle;
            } else {
                high = middle;
            }
        }
        let peak = f64::midpoint(low, high);
        Ok(r.solved("t", peak, "°C", "the lye holds the heat of what goes in", |t| {
            let of_lye = enthalpy_of(r, "h(lye at t)", "this lye", w, t.value());
            of_lye.map_or(N::from(0.0), |h| h - total)
        }))
    }
}

/// Heat capacity of fats, kJ/(kg K) (from memory).
pub const FATS_HEAT_CAPACITY: f64 = 2.0;

/// A mass with its temperature, °C.
pub type Warm<N> = (Grams<N>, N);

/// Temperature in °C of fats and sodium lye with the fraction `w` of NaOH when they have met, by heat balance.
///
/// # Errors
/// [`Beyond`] if the lye's correlation does not reach there.
pub fn mixed<R: Reading>(r: R, fats: Warm<R::N>, lye: Warm<R::N>, w: f64) -> Result<R::N, Beyond> {
    let ((fats, fats_c), (lye, lye_c)) = (fats, lye);
    let capacity = heat_capacity(w, lye_c.value())?;
    let of_lye = lye.0
        * r.input("c(lye)", capacity, "kJ/(kg K)", || {
            let value = format!("{} kJ/(kg K) at {} °C", short(capacity, 4), short(lye_c.value(), 1));
            Input::sourced("Heat capacity of the lye", value, ENTHALPIES, Trust::Read)
        });
    let of_fats = fats.0
        * r.input("c(fats)", FATS_HEAT_CAPACITY, "kJ/(kg K)", || {
            let value = format!("{} kJ/(kg K)", short(FATS_HEAT_CAPACITY, 2));
            Input::sourced("Heat capacity of fats", value, "usual for oils", Trust::FromMemory)
        });
    Ok((of_fats * fats_c + of_lye * lye_c) / (of_fats + of_lye))
}
