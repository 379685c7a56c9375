//! The units in which a person reads and types; all that is stored or computed is metric.

use super::MassUnit;
use serde::{Deserialize, Serialize};

/// Degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum TemperatureUnit {
    /// Degree Celsius.
    #[default]
    Celsius,
    /// Degree Fahrenheit.
    Fahrenheit,
}

impl TemperatureUnit {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Celsius, Self::Fahrenheit];

    /// The unit's sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
    }

    /// How many of this unit a difference of one degree Celsius is.
    const fn per_kelvin(self) -> f64 {
        match self {
            Self::Celsius => 1.0,
            Self::Fahrenheit => 1.8,
        }
    }

    /// Decimals more than a degree Celsius has: nobody reads tenths of °F.
    const fn finer(self) -> isize {
        match self {
            Self::Celsius => 0,
            Self::Fahrenheit => -1,
        }
    }

    /// Where this unit has the freezing point of water.
    const fn at_freezing(self) -> f64 {
        match self {
            Self::Celsius => 0.0,
            Self::Fahrenheit => 32.0,
        }
    }

    /// A temperature in °C as a number of this unit (°F = 1.8 °C + 32, by definition).
    ///
    /// ```
    /// use barwright_core::units::TemperatureUnit;
    /// assert_eq!(TemperatureUnit::Fahrenheit.from_celsius(100.0), 212.0);
    /// assert_eq!(TemperatureUnit::Fahrenheit.to_celsius(68.0), 20.0);
    /// ```
    pub fn from_celsius(self, celsius: f64) -> f64 {
        celsius * self.per_kelvin() + self.at_freezing()
    }

    /// A number of this unit in °C.
    pub fn to_celsius(self, degrees: f64) -> f64 {
        (degrees - self.at_freezing()) / self.per_kelvin()
    }
}

/// Lengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum LengthUnit {
    /// Millimetre.
    #[default]
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Inch.
    Inch,
}

impl LengthUnit {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Millimetre, Self::Centimetre, Self::Inch];

    /// The unit's sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Inch => "in",
        }
    }

    /// Millimetres in one. The inch is 25.4 mm exactly (international yard and pound agreement of
    /// 1959: 1 yd = 0.9144 m).
    pub const fn millimetres(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Inch => 25.4,
        }
    }

    /// Decimals more than a millimetre has.
    const fn finer(self) -> isize {
        match self {
            Self::Millimetre => 0,
            Self::Centimetre => 1,
            Self::Inch => 2,
        }
    }
}

/// Volumes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum VolumeUnit {
    /// Millilitre.
    #[default]
    Millilitre,
    /// US fluid ounce.
    FluidOunce,
}

impl VolumeUnit {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Millilitre, Self::FluidOunce];

    /// The unit's sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Millilitre => "ml",
            Self::FluidOunce => "fl oz",
        }
    }

    /// Millilitres in one. The US gallon is 231 cubic inches and 128 fluid ounces (NIST Handbook
    /// 44, appendix C).
    pub const fn millilitres(self) -> f64 {
        match self {
            Self::Millilitre => 1.0,
            Self::FluidOunce => 231.0 * 25.4 * 25.4 * 25.4 / 1000.0 / 128.0,
        }
    }

    /// Decimals more than a millilitre has.
    const fn finer(self) -> isize {
        match self {
            Self::Millilitre => 0,
            Self::FluidOunce => 1,
        }
    }
}

/// In which units a person reads and types.
///
/// ```
/// use barwright_core::units::Measures;
/// assert_eq!(Measures::default(), Measures::METRIC);
/// assert_eq!(Measures::US.temperature.sign(), "°F");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Measures {
    /// Of masses.
    pub mass: MassUnit,
    /// Of temperatures.
    pub temperature: TemperatureUnit,
    /// Of lengths.
    pub length: LengthUnit,
    /// Of volumes.
    pub volume: VolumeUnit,
}

impl Measures {
    /// Grams, °C, millimetres, millilitres.
    pub const METRIC: Self = Self {
        mass: MassUnit::Gram,
        temperature: TemperatureUnit::Celsius,
        length: LengthUnit::Millimetre,
        volume: VolumeUnit::Millilitre,
    };
    /// Ounces, °F, inches, US fluid ounces.
    pub const US: Self = Self {
        mass: MassUnit::Ounce,
        temperature: TemperatureUnit::Fahrenheit,
        length: LengthUnit::Inch,
        volume: VolumeUnit::FluidOunce,
    };
}

impl Measures {
    /// The signs of masses and temperatures, by which a choice is known: "g °C".
    pub fn signs(self) -> String {
        format!("{} {}", self.mass.sign(), self.temperature.sign())
    }

    /// All four signs in a run of words.
    pub fn words(self) -> String {
        let Self { mass, temperature, length, volume } = self;
        format!("{}, {}, {}, {}", mass.sign(), temperature.sign(), length.sign(), volume.sign())
    }

    /// What one of them is in the metric unit, where a formula is told in that; `None` if all are metric.
    pub fn in_metric(self) -> Option<String> {
        let mut told = Vec::new();
        if self.mass != MassUnit::Gram {
            told.push(format!("1 {} = {} g", self.mass.sign(), self.mass.grams()));
        }
        if self.temperature != TemperatureUnit::Celsius {
            let (unit, zero) = (self.temperature, self.temperature.at_freezing());
            told.push(format!("{} = {} × °C + {zero}", unit.sign(), unit.per_kelvin()));
        }
        if self.length != LengthUnit::Millimetre {
            told.push(format!("1 {} = {} mm", self.length.sign(), self.length.millimetres()));
        }
        if self.volume != VolumeUnit::Millilitre {
            told.push(format!("1 {} = {:.4} ml", self.volume.sign(), self.volume.millilitres()));
        }
        (!told.is_empty()).then(|| format!("Told in metric units. {}.", told.join("; ")))
    }
}

/// How a metric number is turned into one that a person reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Conversion {
    /// So many of the person's unit are one metric unit.
    pub(crate) factor: f64,
    /// What a metric zero is.
    pub(crate) zero: f64,
    /// Decimals more, so that the number is about as fine as the metric one.
    pub(crate) finer: isize,
    /// Sign of the person's unit.
    pub(crate) sign: &'static str,
}

impl Measures {
    /// From grams.
    pub(crate) const fn of_grams(self) -> Conversion {
        let finer = match self.mass {
            MassUnit::Gram => 0,
            MassUnit::Ounce => 1,
        };
        Conversion { factor: 1.0 / self.mass.grams(), zero: 0.0, finer, sign: self.mass.sign() }
    }

    /// From degrees Celsius.
    pub(crate) const fn of_celsius(self) -> Conversion {
        let unit = self.temperature;
        Conversion { factor: unit.per_kelvin(), zero: unit.at_freezing(), finer: unit.finer(), sign: unit.sign() }
    }

    /// From millimetres.
    pub(crate) const fn of_millimetres(self) -> Conversion {
        let unit = self.length;
        Conversion { factor: 1.0 / unit.millimetres(), zero: 0.0, finer: unit.finer(), sign: unit.sign() }
    }

    /// From millilitres.
    pub(crate) const fn of_millilitres(self) -> Conversion {
        let unit = self.volume;
        Conversion { factor: 1.0 / unit.millilitres(), zero: 0.0, finer: unit.finer(), sign: unit.sign() }
    }
}
