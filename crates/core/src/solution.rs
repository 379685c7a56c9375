//! Density and heat of sodium and potassium hydroxide in water.
//!
//! Density: M. Laliberté and W. E. Cooper, J. Chem. Eng. Data 49 (2004) 1141, with the
//! coefficients of Laliberté 2009. Enthalpy of sodium lye: H. Olsson, Å. Jernqvist and G. Aly,
//! Int. J. Thermophys. 18 (1997) 779.

use crate::number::fixed;
use crate::units::Grams;

/// A part of a correlation whose range was left.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Beyond {
    /// The lye is stronger than was measured.
    #[error("lye of {} % is beyond the {} % up to which it was measured", fixed(*percent, 1), fixed(*most, 1))]
    Strength {
        /// What was asked, percent.
        percent: f64,
        /// The most that was measured, percent.
        most: f64,
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

/// Density of water at 1 atm, g/mL, °C (G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, as
/// Laliberté & Cooper use it; coefficients from memory, checked against tables of water).
pub fn water_density(celsius: f64) -> f64 {
    let t = celsius;
    let polynomial =
        ((((-2.805_425_3e-10 * t + 1.055_630_2e-7) * t - 4.617_046_1e-5) * t - 0.007_987_040_1) * t + 16.945_176) * t
            + 999.839_52;
    polynomial / (1.0 + 0.016_879_85 * t) / 1000.0
}

/// Laliberté's coefficients of one alkali with the range they hold for.
#[derive(Debug, Clone, Copy)]
struct Apparent {
    c: [f64; 5],
    /// Mass fraction up to which it was measured.
    most: f64,
    celsius: (f64, f64),
}

const NAOH: Apparent = Apparent {
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
    fn volume(&self, w: f64, t: f64) -> f64 {
        let [c0, c1, c2, c3, c4] = self.c;
        1000.0 * (w + c2 + c3 * t) / ((c0 * w + c1) * (1e-6 * (t + c4).powi(2)).exp())
    }
}

/// A lye: pure alkalis and the water they are in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lye {
    /// Pure sodium hydroxide.
    pub naoh: Grams,
    /// Pure potassium hydroxide.
    pub koh: Grams,
    /// Water.
    pub water: Grams,
}

impl Lye {
    /// All of it.
    pub fn mass(&self) -> Grams {
        self.naoh + self.koh + self.water
    }

    /// Mass fraction of alkali; 0 for nothing.
    pub fn fraction(&self) -> f64 {
        let mass = self.mass().0;
        if mass > 0.0 { (self.naoh + self.koh).0 / mass } else { 0.0 }
    }

    /// Volume in mL by the correlation wherever it is asked, also beyond what was measured:
    /// water/ρ + Σ alkali·apparent volume.
    pub fn volume_extrapolated(&self, celsius: f64) -> f64 {
        let w = self.fraction();
        self.water.0 / water_density(celsius)
            + self.naoh.0 * NAOH.volume(w, celsius)
            + self.koh.0 * KOH.volume(w, celsius)
    }

    /// What of the lye's strength or `celsius` was not measured.
    ///
    /// # Errors
    /// [`Beyond`], naming how far the correlation holds.
    pub fn measured(&self, celsius: f64) -> Result<(), Beyond> {
        let w = self.fraction();
        for (mass, alkali) in [(self.naoh, &NAOH), (self.koh, &KOH)] {
            let (least, most) = alkali.celsius;
            if mass.0 > 0.0 && w > alkali.most {
                return Err(Beyond::Strength { percent: 100.0 * w, most: 100.0 * alkali.most });
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
    /// use barwright_core::{solution::Lye, units::Grams};
    /// let lye = Lye { naoh: Grams(30.0), koh: Grams(0.0), water: Grams(70.0) };
    /// assert!((lye.density(20.0)? - 1.326).abs() < 0.001);
    /// # Ok::<(), barwright_core::solution::Beyond>(())
    /// ```
    pub fn density(&self, celsius: f64) -> Result<f64, Beyond> {
        self.measured(celsius)?;
        Ok(self.mass().0 / self.volume_extrapolated(celsius))
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
        return Err(Beyond::Strength { percent: 100.0 * w, most: 100.0 * ENTHALPY_MOST });
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

/// Enthalpy of solid sodium hydroxide on the same scale, kJ/kg: 1107.6 at 25 °C and
/// 1.487 kJ/(kg K).
pub fn solid_enthalpy(celsius: f64) -> f64 {
    1107.6 + 1.487 * (celsius - 25.0)
}

/// Heat that a gram of ice takes to melt, kJ/kg (from memory).
pub const MELTING_OF_ICE: f64 = 333.6;
/// Heat that a mole of acid protons sets free in lye, kJ/mol (strong acid and strong base, from
/// memory; weak acids give less, so a peak with it stays an upper bound).
pub const NEUTRALISATION: f64 = 55.8;

/// How a sodium lye is made, for the temperature it reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dissolving {
    /// Pure sodium hydroxide.
    pub naoh: Grams,
    /// Water in the jug, ice with it.
    pub water: Grams,
    /// The solid's temperature, °C.
    pub solid_c: f64,
    /// The liquid water's temperature, °C.
    pub water_c: f64,
    /// Fraction of the water that is ice of 0 °C.
    pub frozen: f64,
    /// Protons of acids in the jug, mol.
    pub protons: f64,
}

impl Dissolving {
    /// The temperature in °C that the jug reaches if no heat is lost while all dissolves, so an
    /// upper bound: the t of h(w, t) = w·h(solid) + (1 − w)·h(water), less what ice takes to
    /// melt, with the heat of neutralising acids.
    ///
    /// # Errors
    /// [`Beyond`] if the lye, its temperature or the water's lies outside the correlation.
    ///
    /// ```
    /// use barwright_core::{solution::Dissolving, units::Grams};
    /// let jug = Dissolving { naoh: Grams(30.0), water: Grams(70.0), solid_c: 20.0, water_c: 20.0, frozen: 0.0, protons: 0.0 };
    /// assert!((jug.peak()? - 104.0).abs() < 1.0);
    /// # Ok::<(), barwright_core::solution::Beyond>(())
    /// ```
    pub fn peak(&self) -> Result<f64, Beyond> {
        let mass = (self.naoh + self.water).0;
        let w = self.naoh.0 / mass;
        let liquid = enthalpy(0.0, self.water_c)?;
        let ice = enthalpy(0.0, 0.0)? - MELTING_OF_ICE;
        let water = self.frozen * ice + (1.0 - self.frozen) * liquid;
        // kJ per kg of lye is J per gram; a proton's heat is in kJ.
        let acids = 1000.0 * NEUTRALISATION * self.protons / mass;
        let heat = w * solid_enthalpy(self.solid_c) + (1.0 - w) * water + acids;
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
        Ok(f64::midpoint(low, high))
    }
}

/// Heat capacity of fats, kJ/(kg K) (from memory).
pub const FATS_HEAT_CAPACITY: f64 = 2.0;

/// Temperature in °C of fats and sodium lye when they have met, by heat balance.
///
/// # Errors
/// [`Beyond`] if the lye's correlation does not reach there.
pub fn mixed(fats: Grams, fats_c: f64, lye: Grams, w: f64, lye_c: f64) -> Result<f64, Beyond> {
    let of_lye = lye.0 * heat_capacity(w, lye_c)?;
    let of_fats = fats.0 * FATS_HEAT_CAPACITY;
    Ok((of_fats * fats_c + of_lye * lye_c) / (of_fats + of_lye))
}
