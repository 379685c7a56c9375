//! The cure: what a bar weighs as it dries, and when it has settled.
//!
//! A bar dries by diffusion through all its faces ([`crate::chemistry::drying`]); what part of its free
//! water is left is the product over its directions. Cure counts from cutting. Scent and alcohol
//! that fly off, and what the air's carbon dioxide adds, are not counted.

use crate::chemistry::drying::{cylinder, half_time, sheet};
use crate::chemistry::inputs;
use crate::chemistry::masses::Masses;
use crate::design::Design;
use crate::design::mould::{BarShape, Size};
use crate::formula::{Input, Num, Plain, Reading};
use crate::number::{fixed, short};
use crate::units::{Days, Grams, from_percent, percent_of};
use std::sync::LazyLock;

/// A bar [`USUAL_THICKNESS`] thick has lost half of its free water through its two faces after so
/// many days (our estimate; bars in a room of usual moisture).
pub const USUAL_HALF_DAYS: f64 = 17.0;
/// The thickness that [`USUAL_HALF_DAYS`] holds for, mm.
pub const USUAL_THICKNESS: f64 = 25.0;
/// The face of a bar that no mould gives: its longer side to its shorter (our choice).
const FACE: f64 = 1.5;
/// What a cured bar may be left with of water, percent of the bar (our judgement, from the literature and from memory):
/// dried for long in dry air, and in damp air.
pub const MOISTURE_BAND: (f64, f64) = (5.0, 14.0);
/// A bar that loses less than this percent of its weight in a week has settled (our choice).
pub const SETTLED_PERCENT: f64 = 0.5;

/// Diffusivity of water in a curing bar, mm²/day, that follows from [`USUAL_HALF_DAYS`]: about 1.8,
/// or 2·10⁻¹¹ m²/s.
static USUAL_DIFFUSIVITY: LazyLock<f64> = LazyLock::new(|| diffusivity(USUAL_HALF_DAYS, USUAL_THICKNESS));

/// Diffusivity, mm²/day, with which a sheet `thickness` mm thick loses half of its free water in
/// `half_days` days.
///
/// ```
/// let d = barwright_core::chemistry::cure::diffusivity(17.0, 25.0);
/// assert!((d - 0.0492 * 25.0 * 25.0 / 17.0).abs() < 0.001);
/// ```
pub fn diffusivity(half_days: f64, thickness: f64) -> f64 {
    half_time() * thickness * thickness / half_days
}

/// Where the water in a bar comes from.
const WATER_IN_BAR: &str = "the water account ÷ number of bars";

/// The drying of one bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cure<N = f64> {
    fresh: Grams<N>,
    water: Grams<N>,
    free: Grams<N>,
    shape: BarShape,
    shape_known: bool,
    diffusivity: f64,
    days: Days,
}

impl<N: Num> Cure<N> {
    /// The drying of a bar of `batch`, cut from `design`'s mould; `None` without fats.
    ///
    /// Where no mould says how a bar is cut, it counts as one [`USUAL_THICKNESS`] thick ([`Self::shape_known`]): a
    /// thinner bar will weigh less. A bar that is drier than the
    /// air would leave it stays as it is.
    pub fn of<R: Reading<N = N>>(r: R, design: &Design, batch: &Masses<N>) -> Option<Self> {
        if batch.fats.value() <= 0.0 || batch.batter_ml.value() <= 0.0 {
            return None;
        }
        let bars = inputs::bars(r, batch.bars);
        let water = batch.water_in_batter() / bars;
        let about = || ("Water in a fresh bar".into(), WATER_IN_BAR.into());
        let (fresh, water) = (batch.bar_fresh, Grams(r.named("water in a fresh bar", "g", water.0, about)));
        let settled = inputs::moisture(r, design);
        let kept = (fresh - water) * (settled / (N::from(1.0) - settled));
        let of_mould = match &design.size {
            Size::Mould { mould, fill } => mould.bar(*fill, design.bars),
            Size::FatMass(_) | Size::Volume { .. } | Size::BarMass(_) | Size::BarAtSale(_) => None,
        };
        let usual = || {
            let width = (1000.0 * batch.batter_ml.value() / f64::from(batch.bars) / USUAL_THICKNESS / FACE).sqrt();
            BarShape::Block([FACE * width, width, USUAL_THICKNESS])
        };
        Some(Self {
            fresh,
            water,
            free: Grams((water - kept).0.max(N::from(0.0))),
            shape: of_mould.unwrap_or_else(usual),
            shape_known: of_mould.is_some(),
            diffusivity: *USUAL_DIFFUSIVITY,
            days: design.process.cure_days,
        })
    }

    /// The same with another diffusivity, mm²/day, as the maker's own weighings give it; one that
    /// is no positive number changes nothing.
    #[must_use]
    pub fn with_diffusivity(self, diffusivity: f64) -> Self {
        if diffusivity > 0.0 && diffusivity.is_finite() { Self { diffusivity, ..self } } else { self }
    }

    /// The bar's measures, mm, as they are counted.
    pub const fn shape(&self) -> BarShape {
        self.shape
    }

    /// Whether the measures follow from the mould; otherwise they are usual ones.
    pub const fn shape_known(&self) -> bool {
        self.shape_known
    }

    /// How the shape was come by, in a sentence for the person.
    pub const fn shape_words(&self) -> &'static str {
        if self.shape_known {
            "The bar’s measures are those that the mould gives."
        } else {
            "No mould says how the bar is cut, so it counts as 25 mm (about 1 in) thick: a thinner bar will weigh less."
        }
    }

    /// Diffusivity that is counted with, mm²/day.
    pub const fn diffusivity(&self) -> f64 {
        self.diffusivity
    }

    /// What the bar weighs after so many `days` at the ends of [`MOISTURE_BAND`].
    pub fn band(&self, days: f64) -> (Grams, Grams) {
        let with = |percent| self.plain().with_water_left(percent).bar(Plain, days);
        (with(MOISTURE_BAND.0), with(MOISTURE_BAND.1))
    }

    /// Days from cutting to sale.
    pub const fn days(&self) -> Days {
        self.days
    }

    /// The bar as it is cut.
    pub const fn fresh(&self) -> Grams<N> {
        self.fresh
    }

    /// Water that leaves the bar in the end.
    pub const fn free_water(&self) -> Grams<N> {
        self.free
    }

    /// Part of the free water that is still there after so many `days`, 1 to 0: the product of
    /// what each direction keeps.
    pub fn moisture_ratio(&self, days: f64) -> f64 {
        let way = self.diffusivity * days.max(0.0);
        match self.shape {
            BarShape::Block(sides) => sides.into_iter().map(|l| sheet(way / (l * l))).product(),
            BarShape::Disc { diameter, thickness } => {
                let radius = diameter / 2.0;
                cylinder(way / (radius * radius)) * sheet(way / (thickness * thickness))
            }
        }
    }

    fn lost<R: Reading<N = N>>(&self, r: R, days: f64) -> Grams<N> {
        let left = self.moisture_ratio(days);
        let left = r.input("part still there", left, "", || self.about_drying(days, left));
        self.free * (N::from(1.0) - left)
    }

    /// How the part of the free water that is still there comes about.
    fn about_drying(&self, days: f64, left: f64) -> Input {
        let measures = match self.shape {
            BarShape::Block([a, b, c]) => format!("{} × {} × {} mm", fixed(a, 0), fixed(b, 0), fixed(c, 0)),
            BarShape::Disc { diameter, thickness } => {
                format!("disc of {} mm, {} mm thick", fixed(diameter, 0), fixed(thickness, 0))
            }
        };
        let value = format!(
            "{} after {} days from cutting, {measures}, {} mm² a day",
            short(left, 6),
            short(days, 2),
            fixed(self.diffusivity, 2)
        );
        let how = format!(
            "diffusion through all faces (Crank 1975), half the free water in {USUAL_HALF_DAYS} days at {USUAL_THICKNESS} mm, \
             our estimate; {}",
            self.shape_words()
        );
        Input::worked_out("Part of the water that can leave still there", value, &how)
    }

    /// What the bar weighs after so many `days` of cure.
    pub fn bar<R: Reading<N = N>>(&self, r: R, days: f64) -> Grams<N> {
        self.fresh - self.lost(r, days)
    }

    /// Water that is in it then.
    pub fn water<R: Reading<N = N>>(&self, r: R, days: f64) -> Grams<N> {
        self.water - self.lost(r, days)
    }

    /// Water in percent of the bar then.
    pub fn moisture<R: Reading<N = N>>(&self, r: R, days: f64) -> N {
        percent_of(self.water(r, days).0, self.bar(r, days).0)
    }

    /// What it weighs at sale, by the forecast.
    pub fn bar_at_sale<R: Reading<N = N>>(&self, r: R) -> Grams<N> {
        self.bar(r, self.days.get())
    }

    /// Water in the bar at sale.
    pub fn water_at_sale<R: Reading<N = N>>(&self, r: R) -> Grams<N> {
        self.water(r, self.days.get())
    }

    /// Total fatty matter in percent of the bar after so many `days`, from that of the fresh bar:
    /// only water leaves.
    pub fn tfm<R: Reading<N = N>>(&self, r: R, fresh: N, days: f64) -> N {
        fresh * self.fresh.0 / self.bar(r, days).0
    }

    /// The same without how it came about.
    fn plain(&self) -> Cure {
        Cure {
            fresh: self.fresh.plain(),
            water: self.water.plain(),
            free: self.free.plain(),
            shape: self.shape,
            shape_known: self.shape_known,
            diffusivity: self.diffusivity,
            days: self.days,
        }
    }

    /// Percent of its weight that the bar has lost in the week before `day`; `None` if nothing was there.
    pub fn loss_in_week(&self, day: u32) -> Option<f64> {
        const WEEK: f64 = 7.0;
        let cure = self.plain();
        let before = cure.bar(Plain, f64::from(day) - WEEK).0;
        (before > 0.0).then(|| percent_of(before - cure.bar(Plain, f64::from(day)).0, before))
    }

    /// The first day of cure on which the bar has lost less than [`SETTLED_PERCENT`] of its weight in the
    /// week before; `None` if that takes longer than a cure can be.
    pub fn settled(&self) -> Option<u32> {
        let cure = self.plain();
        let still = |day: u32| cure.loss_in_week(day).is_some_and(|loss| loss >= SETTLED_PERCENT);
        // The weekly loss falls from week to week, so halving finds the day.
        let (mut low, mut high) = (7, 3650);
        if !still(low) {
            return Some(low);
        }
        if still(high) {
            return None;
        }
        while high - low > 1 {
            let middle = u32::midpoint(low, high);
            *(if still(middle) { &mut low } else { &mut high }) = middle;
        }
        Some(high)
    }
}

impl Cure {
    /// The same bar, drying so fast that one [`USUAL_THICKNESS`] thick would lose half of its free water in `days`.
    #[must_use]
    pub fn with_half_days(self, days: f64) -> Self {
        self.with_diffusivity(*USUAL_DIFFUSIVITY * USUAL_HALF_DAYS / days)
    }

    /// The same bar, left with `percent` of water in the end. One that is drier from the start stays as it is.
    #[must_use]
    pub fn with_water_left(self, percent: f64) -> Self {
        let part = from_percent(percent);
        let kept = (self.fresh - self.water).0 * part / (1.0 - part);
        Self { free: Grams((self.water.0 - kept).max(0.0)), ..self }
    }

    /// A bar of the same batch that weighs `fresh` when it is cut. It counts as having the same measures.
    #[must_use]
    pub fn with_fresh(self, fresh: Grams) -> Self {
        let times = fresh.0 / self.fresh.0;
        Self { fresh, water: self.water * times, free: self.free * times, ..self }
    }
}
