//! The jug in which the lye is made: how strong, how hot, how long until it can be used.

use crate::chemistry::inputs;
use crate::chemistry::masses::{Masses, ROUNDING, mass_of, water_of};
use crate::chemistry::solution::{self, Beyond, Dissolving};
use crate::chemistry::water;
use crate::design::Design;
use crate::formula::{Input, Num, Reading};
use crate::library::additions::AdditionLine;
use crate::library::handling::How;
use crate::number::fixed;
use crate::trust::Trust;
use crate::units::{Grams, Minutes, TimeConstant};

/// Cooling by Newton's law: the excess over the surroundings falls by the same part in every
/// minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling<N = f64> {
    /// At the start, °C.
    pub from: N,
    /// The surroundings, °C.
    pub to: N,
    /// Time constant, minutes.
    pub constant: N,
}

impl<N: Num> Cooling<N> {
    /// When the jug has `celsius`.
    ///
    /// ```
    /// use barwright_core::chemistry::jug::{Cooling, Reach};
    /// let jug = Cooling { from: 100.0, to: 20.0, constant: 45.0 };
    /// let Reach::After(minutes) = jug.until(60.0) else { panic!("it gets there") };
    /// assert!((minutes - 45.0 * 2_f64.ln()).abs() < 1e-9);
    /// assert_eq!(jug.until(20.0), Reach::NeverSoCold);
    /// assert_eq!(jug.until(101.0), Reach::NeverSoWarm);
    /// ```
    pub fn until(&self, celsius: N) -> Reach<N> {
        if celsius.value() > self.from.value() {
            Reach::NeverSoWarm
        } else if celsius.value() <= self.to.value() {
            Reach::NeverSoCold
        } else {
            Reach::After(self.constant * ((self.from - self.to) / (celsius - self.to)).ln())
        }
    }
}

impl Cooling {
    /// Temperature after `minutes`, °C.
    pub fn after(&self, minutes: f64) -> f64 {
        self.to + (self.from - self.to) * (-minutes / self.constant).exp()
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
pub enum Reach<N = f64> {
    /// After so many minutes.
    After(N),
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
pub struct Jug<N = f64> {
    /// Percent of pure alkali in it; only the water that is in the jug counts.
    pub concentration: N,
    /// Alkali and water in the jug.
    pub mass: Grams<N>,
    /// Water it needs at the least, so that the alkali dissolves.
    pub least_water: Grams<N>,
    /// °C below which it begins to crystallise; only for sodium lye of 10–70 %.
    pub crystallises_below: Option<N>,
    /// g/mL in the room.
    pub density: Result<N, Beyond>,
    /// Volume of all that is in it in the room, solids and fat of additions with it, mL.
    pub full_ml: Result<N, Beyond>,
    /// The most it can warm to while the alkali dissolves, °C, with what lye scorches frozen beforehand.
    pub peak: Result<N, NoPeak>,
    /// How it cools from there.
    pub cooling: Option<Cooling<N>>,
    /// When it has the working temperature; `None` without a peak.
    pub ready: Option<Reach<N>>,
    /// Temperature when the lye meets the fats, °C: the lye at the working temperature, or at its
    /// peak if that is colder.
    pub meeting: Option<N>,
}

/// How many times as much as is in it a jug should hold (common practice, no source).
const FROTH: f64 = 2.0;

/// Volume of what `line` brings besides water to a batch of `fats`, mL.
fn besides_water_ml<R: Reading>(r: R, line: &AdditionLine, fats: Grams<R::N>) -> R::N {
    let (mass, addition) = (mass_of(r, line, fats), &line.addition);
    let solids = mass.0 * inputs::solid_content(r, addition) / inputs::solids_density(r, addition);
    solids + mass.0 * inputs::fat_content(r, addition) / inputs::added_fat_density(r)
}

/// The part of the jug's water that is frozen beforehand, as a fraction: what `design` says, and at the least the
/// water of what hot lye scorches, which goes in frozen (common practice, no source).
pub fn frozen<R: Reading>(r: R, design: &Design, batch: &Masses<R::N>) -> R::N {
    let said = inputs::frozen(r, design);
    let scorched =
        || design.additions.iter().filter(|l| l.stage.is_in_jug() && l.addition.handling().how == How::Freeze);
    if scorched().next().is_none() || batch.water_in_jug.value() <= 0.0 {
        return said;
    }
    let water = r.sum(scorched().map(|l| water_of(r, l, batch.fats).0));
    said.max(water / batch.water_in_jug.0).min(R::N::from(1.0))
}

/// The mass of that water; a part of the weights, not one more.
pub fn frozen_water<R: Reading>(r: R, design: &Design, batch: &Masses<R::N>) -> Grams<R::N> {
    batch.water_in_jug * frozen(r, design, batch)
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

impl<N: Num> Jug<N> {
    /// Minutes until it has the working temperature; `None` if it never has, or without a peak.
    pub fn minutes_to_mix(&self) -> Option<N> {
        match self.ready? {
            Reach::After(minutes) => Some(minutes),
            Reach::NeverSoWarm | Reach::NeverSoCold => None,
        }
    }

    /// Whether its water does not suffice to dissolve the alkali.
    pub fn is_too_strong(&self, batch: &Masses<N>) -> bool {
        batch.water_in_jug.value() < self.least_water.value() * (1.0 - ROUNDING)
    }

    /// Volume of alkali and water at the room's temperature, mL; what else is in the jug, such as
    /// the solids of a milk, comes on top.
    pub fn volume_ml(&self) -> Option<N> {
        self.density.as_ref().ok().map(|d| self.mass.0 / *d)
    }

    /// The least jug to take, mL: it steams, and what foams must stay in it.
    ///
    /// # Errors
    /// [`Beyond`] if the density of the lye is not known.
    pub fn least_jug_ml<R: Reading<N = N>>(&self, r: R) -> Result<N, Beyond> {
        let times = r.input("room for froth", FROTH, "", || {
            Input::sourced(
                "Room for steam and froth",
                "2 times what is in it".into(),
                "usual at the bench",
                Trust::CommonPractice,
            )
        });
        self.full_ml.map(|ml| ml * times)
    }

    /// The jug of `batch`; `None` without alkali.
    pub fn of<R: Reading<N = N>>(r: R, design: &Design, batch: &Masses<N>) -> Option<Self> {
        let lye = batch.lye();
        let pure = batch.alkali.pure();
        let concentration = water::concentration(pure, batch.water_in_jug).filter(|_| pure.value() > 0.0)?;
        let process = &design.process;
        let potassium = lye.koh.value() > 0.0;
        let room = inputs::celsius(r, "t(room)", "Room", process.room_c);
        let dissolving = Dissolving {
            naoh: lye.naoh,
            water: lye.water,
            solid_c: room,
            water_c: process.jug_water_c.map_or(room, |c| inputs::celsius(r, "t(water)", "Water in the jug before", c)),
            frozen: frozen(r, design, batch),
            protons: batch.jug_protons,
        };
        let peak = if potassium { Err(NoPeak::Potassium) } else { dissolving.peak(r).map_err(NoPeak::from) };
        let mix = inputs::celsius(r, "working temperature", "Working temperature of the lye", process.mix_c);
        let warmest = peak.map_or(mix, |peak| if peak.value() < mix.value() { peak } else { mix });
        let cooling = peak.ok().map(|from| {
            let (to, constant) = inputs::cooling(r, design);
            Cooling { from, to, constant }
        });
        let density = lye.density(r, process.room_c.get());
        let full_ml = density.map(|density| {
            let in_jug = design.additions.iter().filter(|l| l.stage.is_in_jug());
            lye.mass().0 / density + r.sum(in_jug.map(|l| besides_water_ml(r, l, batch.fats)))
        });
        let in_fats = design.additions.iter().filter(|l| l.stage.is_in_fats());
        let with_fats = r.sum(in_fats.map(|l| mass_of(r, l, batch.fats).0));
        let fats = batch.fats + Grams(with_fats);
        let fats_c = process.fats_c.map_or(mix, |c| inputs::celsius(r, "t(fats)", "Fats are at", c));
        let meeting = (!potassium)
            .then(|| solution::mixed(r, (fats, fats_c), (lye.mass(), warmest), lye.fraction().value()).ok())
            .flatten();
        Some(Self {
            concentration,
            mass: lye.mass(),
            least_water: water::to_dissolve(r, lye.naoh, lye.koh),
            crystallises_below: (!potassium).then(|| water::crystallises_below(r, concentration)).flatten(),
            density,
            full_ml,
            peak,
            cooling,
            ready: cooling.map(|c| c.until(mix)),
            meeting,
        })
    }
}
