//! Foods as a kitchen measures them: by the spoon, the cup and the weight as bought; turned to grams.

use crate::library::additions::Addition;
use crate::library::material::{MaterialId, Sourced};
use crate::library::water;
use crate::number::{NumberError, parse, parse_mass, parse_millilitres};
use crate::trust::Trust;
use crate::units::{BulkDensity, Grams, MassUnit, Share, VolumeUnit};

/// A tablespoon and a cup, ml (the metric tablespoon; the cup as it stands on United States food labels, 21
/// CFR 101.9).
const TABLESPOON: f64 = 15.0;
const CUP: f64 = 240.0;
/// A teaspoon is a third of a tablespoon.
const TEASPOON: f64 = TABLESPOON / 3.0;
/// A fluid ounce of the United States, ml (231 cubic inches to the gallon of 128).
const FLUID_OUNCE: f64 = 29.573_529_562_5;
/// A food of so much water fills a spoon without air between, percent (our choice).
const MOIST: f64 = 50.0;
/// Temperature of a kitchen, °C, and the density of the fat in food, g/ml (from memory).
const KITCHEN_C: f64 = 20.0;
const FOOD_FAT: f64 = 0.92;

/// What a food weighs by volume, and what is left of it as bought.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Whose.
    pub addition: MaterialId,
    /// Mass of a level spoon or cup by its volume.
    pub density: Sourced<BulkDensity>,
    /// Percent of the weight as bought that is used; `None` where nothing is taken off.
    pub used: Option<Sourced<Share>>,
}

/// An amount as a kitchen says it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Portion {
    /// A volume, ml.
    Volume(f64),
    /// The weight as bought: whole, with skin, raw.
    Raw(Grams),
}

/// Why a portion has no mass.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PortionError {
    /// The number cannot be read.
    #[error(transparent)]
    Number(#[from] NumberError),
    /// What a spoon of it weighs is not known.
    #[error("what a spoon of {0} weighs is not known: weigh it")]
    Density(String),
    /// What is left of it raw is not known.
    #[error("how much of {0} is left when it is prepared is not known: weigh it then")]
    Raw(String),
}

impl Portion {
    /// Reads spoons, cups, millilitres, or a weight with "raw"; `None` if the text has no such unit.
    ///
    /// # Errors
    /// [`NumberError`] if such a unit stands behind what is no number.
    ///
    /// ```
    /// use barwright_core::library::measures::Portion;
    /// use barwright_core::units::{Grams, MassUnit};
    /// let read = |text| Portion::read(text, MassUnit::Gram);
    /// assert_eq!(read("2 tbsp"), Some(Ok(Portion::Volume(30.0))));
    /// assert_eq!(read("1,5 cups"), Some(Ok(Portion::Volume(360.0))));
    /// assert_eq!(read("150 g raw"), Some(Ok(Portion::Raw(Grams(150.0)))));
    /// assert_eq!(read("150 g"), None);
    /// ```
    pub fn read(text: &str, unit: MassUnit) -> Option<Result<Self, NumberError>> {
        let text = text.trim().to_lowercase();
        if let Some(weight) = text.strip_suffix("raw") {
            return Some(parse_mass(weight, unit).map(Self::Raw));
        }
        let units: [(&[&str], f64); 6] = [
            (&["tablespoons", "tablespoon", "tbsp", "tbs"], TABLESPOON),
            (&["teaspoons", "teaspoon", "tsp"], TEASPOON),
            (&["cups", "cup"], CUP),
            (&["fl oz", "floz"], FLUID_OUNCE),
            (&["ml"], 1.0),
            (&["l"], 1000.0),
        ];
        let of = |(names, ml): (&[&str], f64)| {
            let number = names.iter().find_map(|name| text.strip_suffix(name))?;
            // "ml" ends in "l" and stands before it; any other letter makes another unit.
            (!number.ends_with(char::is_alphabetic)).then(|| parse(number, &[]).map(|n| Self::Volume(n * ml)))
        };
        units.into_iter().find_map(of)
    }

    /// What it weighs of `addition`, of which the table says `measure`.
    ///
    /// # Errors
    /// [`PortionError`] if the density or what is left of it raw is not known.
    pub fn mass(self, addition: &Addition, measure: Option<&Measure>) -> Result<Grams, PortionError> {
        let name = || addition.name.clone();
        match self {
            Self::Volume(ml) => {
                let density = density(addition, measure).ok_or_else(|| PortionError::Density(name()))?;
                Ok(Grams(ml * density.value.get()))
            }
            Self::Raw(weight) => {
                let used = measure.and_then(|m| m.used.as_ref()).ok_or_else(|| PortionError::Raw(name()))?;
                Ok(weight * used.value.fraction())
            }
        }
    }
}

/// What a millilitre of `addition` weighs in a spoon: as tabled, or of a moist food by what it holds.
pub fn density(addition: &Addition, measure: Option<&Measure>) -> Option<Sourced<BulkDensity>> {
    if let Some(measure) = measure {
        return Some(measure.density.clone());
    }
    let holds = addition.contents.value;
    if holds.water.get() < MOIST {
        return None;
    }
    let ml = holds.water.fraction() / water::density(KITCHEN_C)
        + holds.fat.fraction() / FOOD_FAT
        + addition.solids() / addition.solids_density.get();
    let value = BulkDensity::new(1.0 / ml).ok()?;
    Some(Sourced { value, source: "from its water, fat and solids".into(), trust: Trust::FromMemory })
}

/// Reads what a vessel holds, ml: a volume, or the weight of the water that fills it in a kitchen. A number
/// without a unit is a volume in `unit`.
///
/// # Errors
/// [`NumberError`] if it is neither.
///
/// ```
/// use barwright_core::library::measures::parse_content;
/// use barwright_core::units::VolumeUnit;
/// let ml = parse_content("1200 g", VolumeUnit::Millilitre)?;
/// assert!((ml - 1200.0 / 0.99820).abs() < 0.01, "water at 20 °C: {ml}");
/// assert_eq!(parse_content("1.2 l", VolumeUnit::Millilitre)?, 1200.0);
/// # Ok::<(), barwright_core::number::NumberError>(())
/// ```
pub fn parse_content(text: &str, unit: VolumeUnit) -> Result<f64, NumberError> {
    parse_millilitres(text, unit).or_else(|unread| {
        let water = parse_mass(text, MassUnit::Gram).ok().ok_or(unread)?;
        Ok(water.0 / water::density(KITCHEN_C))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::Library;

    #[test]
    fn a_spoon_and_a_cup_of_a_puree_weigh_what_its_density_says() {
        let library = Library::embedded().expect("assets parse");
        let grams = |id: &str, text: &str| {
            let addition = library.addition(id).expect("tabled");
            let portion = Portion::read(text, MassUnit::Gram).expect("a portion").expect("a number");
            portion.mass(addition, library.measure(id)).map(|m| m.0)
        };
        let near = |got: Result<f64, PortionError>, expected: f64| {
            let got = got.expect("known");
            assert!((got - expected).abs() < 1e-9, "{got}, not {expected}");
        };
        near(grams("apple_puree", "2 tbsp"), 30.0 * 1.03);
        near(grams("honey", "1 cup"), 240.0 * 1.42);
        near(grams("banana", "150 g raw"), 96.0);
        near(grams("banana", "1 lb raw"), 453.592_37 * 0.64);
        assert!(matches!(grams("kaolin", "1 tsp"), Err(PortionError::Density(_))), "clay is weighed");
        assert!(matches!(grams("kaolin", "20 g raw"), Err(PortionError::Raw(_))), "there is no raw clay");
    }

    #[test]
    fn the_tabled_densities_of_moist_foods_agree_with_what_the_foods_hold() {
        let library = Library::embedded().expect("assets parse");
        for addition in library.additions() {
            let Some(measure) = library.measure(addition.id.as_str()) else { continue };
            let Some(held) = density(addition, None) else { continue };
            let (tabled, held) = (measure.density.value.get(), held.value.get());
            assert!((tabled / held - 1.0).abs() < 0.15, "{}: {tabled} against {held}", addition.id);
        }
    }

    #[test]
    fn what_is_no_portion_is_left_to_others_and_what_is_no_number_refused() {
        for text in ["", "60", "60 g", "8 %", "20 g/kg", "2 oz", "3 barrel", "5 gl"] {
            assert_eq!(Portion::read(text, MassUnit::Gram), None, "{text}");
        }
        for text in ["tbsp", "x cup", "NaN ml", "1e999 l", "raw", "two g raw", "inf cups"] {
            assert!(matches!(Portion::read(text, MassUnit::Gram), Some(Err(_))), "{text}");
        }
    }
}
