//! The jug in which the lye is made: how strong, how hot, how long until it can be used.

use crate::additions::Stage;
use crate::batch::{Batch, ROUNDING};
use crate::design::{Design, Surroundings};
use crate::number::fixed;
use crate::solution::{self, Beyond, Dissolving};
use crate::units::{Celsius, Grams, Minutes, TimeConstant};
use crate::water;

/// Minutes in which the jug loses all but 1/e of its excess warmth, standing in air (our
/// judgement; a reading calibrates it).
pub const IN_AIR: f64 = 45.0;
/// The same in a cold-water bath (our judgement).
pub const IN_BATH: f64 = 12.0;

/// Cooling by Newton's law: the excess over the surroundings falls by the same part in every
/// minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling {
    /// At the start, °C.
    pub from: f64,
    /// The surroundings, °C.
    pub to: f64,
    /// Time constant, minutes.
    pub constant: f64,
}

impl Cooling {
    /// Temperature after `minutes`, °C.
    pub fn after(&self, minutes: f64) -> f64 {
        self.to + (self.from - self.to) * (-minutes / self.constant).exp()
    }

    /// When the jug has `celsius`.
    ///
    /// ```
    /// use barwright_core::jug::{Cooling, Reach};
    /// let jug = Cooling { from: 100.0, to: 20.0, constant: 45.0 };
    /// let Reach::After(minutes) = jug.until(60.0) else { panic!("it gets there") };
    /// assert!((minutes - 45.0 * 2_f64.ln()).abs() < 1e-9);
    /// assert_eq!(jug.until(20.0), Reach::NeverSoCold);
    /// assert_eq!(jug.until(101.0), Reach::NeverSoWarm);
    /// ```
    pub fn until(&self, celsius: f64) -> Reach {
        if celsius > self.from {
            Reach::NeverSoWarm
        } else if celsius <= self.to {
            Reach::NeverSoCold
        } else {
            Reach::After(self.constant * ((self.from - self.to) / (celsius - self.to)).ln())
        }
    }

    /// The time constant that a reading of `celsius` after `minutes` gives.
    ///
    /// # Errors
    /// [`ReadingError`] if no such cooling is possible.
    pub fn calibrated(&self, minutes: Minutes, celsius: f64) -> Result<TimeConstant, ReadingError> {
        if !(celsius > self.to && celsius < self.from) {
            return Err(ReadingError { celsius, from: self.from, to: self.to });
        }
        let constant = minutes.get() / ((self.from - self.to) / (celsius - self.to)).ln();
        TimeConstant::new(constant).ok().ok_or(ReadingError { celsius, from: self.from, to: self.to })
    }
}

/// Whether and when a cooling jug has a temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reach {
    /// After so many minutes.
    After(f64),
    /// It was never so warm.
    NeverSoWarm,
    /// What it stands in is not colder.
    NeverSoCold,
}

/// A reading that no cooling explains.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("a reading lies between the surroundings ({} °C) and the start ({} °C), some minutes later", fixed(*to, 0), fixed(*from, 0))]
pub struct ReadingError {
    celsius: f64,
    from: f64,
    to: f64,
}

/// The lye before it meets the fats.
#[derive(Debug, Clone, PartialEq)]
pub struct Jug {
    /// Percent of pure alkali in it; only the water that is in the jug counts.
    pub concentration: f64,
    /// Alkali and water in the jug.
    pub mass: Grams,
    /// Water it needs at the least, so that the alkali dissolves.
    pub least_water: Grams,
    /// °C below which it begins to crystallise; only for sodium lye of 10–70 %.
    pub crystallises_below: Option<f64>,
    /// g/mL in the room.
    pub density: Result<f64, Beyond>,
    /// The most it can warm to while the alkali dissolves, °C.
    pub peak: Result<f64, NoPeak>,
    /// How it cools from there.
    pub cooling: Option<Cooling>,
    /// When it has the working temperature; `None` without a peak.
    pub ready: Option<Reach>,
    /// Temperature when the lye meets the fats, °C: the lye at the working temperature, or at its
    /// peak if that is colder.
    pub meeting: Option<f64>,
}

/// Why the peak is not known.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoPeak {
    /// The heat of potassium hydroxide is not tabled here.
    #[error("the heat of potassium lye is not tabled here; it gets hot like sodium lye")]
    Potassium,
    /// Outside the correlation.
    #[error(transparent)]
    Beyond(#[from] Beyond),
}

impl Jug {
    /// Minutes until it has the working temperature; `None` if it never has, or without a peak.
    pub fn minutes_to_mix(&self) -> Option<f64> {
        match self.ready? {
            Reach::After(minutes) => Some(minutes),
            Reach::NeverSoWarm | Reach::NeverSoCold => None,
        }
    }

    /// Whether its water does not suffice to dissolve the alkali.
    pub fn is_too_strong(&self, batch: &Batch) -> bool {
        batch.water_in_jug.0 < self.least_water.0 * (1.0 - ROUNDING)
    }

    /// Volume of alkali and water at the room's temperature, mL; what else is in the jug, such as
    /// the solids of a milk, comes on top.
    pub fn volume_ml(&self) -> Option<f64> {
        self.density.as_ref().ok().map(|d| self.mass.0 / d)
    }

    /// The jug of `batch`; `None` without alkali.
    pub fn of(design: &Design, batch: &Batch) -> Option<Self> {
        let lye = batch.lye();
        let concentration =
            water::concentration(batch.alkali.pure(), batch.water_in_jug).filter(|_| batch.alkali.pure().0 > 0.0)?;
        let process = &design.process;
        let room = process.room_c.get();
        let potassium = lye.koh.0 > 0.0;
        let dissolving = Dissolving {
            naoh: lye.naoh,
            water: lye.water,
            solid_c: room,
            water_c: process.jug_water_c.map_or(room, Celsius::get),
            frozen: process.jug_frozen.fraction(),
            protons: batch.jug_protons,
        };
        let peak = if potassium { Err(NoPeak::Potassium) } else { dissolving.peak().map_err(NoPeak::from) };
        let (to, usual) = match process.jug_stands {
            Surroundings::Air => (room, IN_AIR),
            Surroundings::Bath(bath) => (bath.get(), IN_BATH),
        };
        let constant = design.calibration.jug_cooling_min.map_or(usual, TimeConstant::get);
        let cooling = peak.ok().map(|from| Cooling { from, to, constant });
        let mix = process.mix_c.get();
        let warmest = peak.map_or(mix, |p| p.min(mix));
        let in_fats = design.additions.iter().filter(|l| l.stage == Stage::IntoFats);
        let fats = batch.fats + in_fats.map(|l| l.amount.mass(batch.fats)).sum();
        let fats_c = process.fats_c.map_or(mix, Celsius::get);
        let meeting =
            (!potassium).then(|| solution::mixed(fats, fats_c, lye.mass(), lye.fraction(), warmest).ok()).flatten();
        Some(Self {
            concentration,
            mass: lye.mass(),
            least_water: water::to_dissolve(lye.naoh, lye.koh),
            crystallises_below: (!potassium).then(|| water::crystallises_below(concentration)).flatten(),
            density: lye.density(room),
            peak,
            cooling,
            ready: cooling.map(|c| c.until(mix)),
            meeting,
        })
    }
}
