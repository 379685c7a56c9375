//! The cure: what a bar weighs as it dries, and when it has settled.
//!
//! A bar dries by diffusion through all its faces ([`crate::drying`]); what part of its free
//! water is left is the product over its directions. Cure counts from cutting. Scent and alcohol
//! that fly off, and what the air's carbon dioxide adds, are not counted.

use crate::batch::Batch;
use crate::design::Design;
use crate::drying::{cylinder, half_time, sheet};
use crate::mould::{BarShape, Size};
use crate::units::{Days, Grams};
use std::sync::LazyLock;

/// A bar [`USUAL_THICKNESS`] thick has lost half of its free water through its two faces after so
/// many days (our estimate; bars in a room of usual moisture).
pub const USUAL_HALF_DAYS: f64 = 17.0;
/// The thickness that [`USUAL_HALF_DAYS`] holds for, mm.
pub const USUAL_THICKNESS: f64 = 25.0;
/// A bar that loses less than this percent of its weight in a week has settled (our choice).
pub const SETTLED_PERCENT: f64 = 0.5;

/// Diffusivity of water in a curing bar, mm²/day, that follows from [`USUAL_HALF_DAYS`]: about 1.8,
/// or 2·10⁻¹¹ m²/s.
static USUAL_DIFFUSIVITY: LazyLock<f64> = LazyLock::new(|| diffusivity(USUAL_HALF_DAYS, USUAL_THICKNESS));

/// Diffusivity, mm²/day, with which a sheet `thickness` mm thick loses half of its free water in
/// `half_days` days.
///
/// ```
/// let d = barwright_core::cure::diffusivity(17.0, 25.0);
/// assert!((d - 0.0492 * 25.0 * 25.0 / 17.0).abs() < 0.001);
/// ```
pub fn diffusivity(half_days: f64, thickness: f64) -> f64 {
    half_time() * thickness * thickness / half_days
}

/// The drying of one bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cure {
    fresh: Grams,
    water: Grams,
    free: Grams,
    shape: BarShape,
    shape_known: bool,
    diffusivity: f64,
    days: Days,
}

impl Cure {
    /// The drying of a bar of `batch`, cut from `design`'s mould; `None` without fats.
    ///
    /// Where no mould says how a bar is cut, it counts as a cube of its volume ([`Self::shape_known`]),
    /// the block that dries slowest: a flatter bar will weigh less. A bar that is drier than the
    /// air would leave it stays as it is.
    pub fn of(design: &Design, batch: &Batch) -> Option<Self> {
        if batch.fats.0 <= 0.0 || batch.batter_ml <= 0.0 {
            return None;
        }
        let bars = f64::from(batch.bars);
        let (fresh, water) = (batch.bar_fresh, batch.water_in_batter() / bars);
        let settled = design.process.equilibrium_moisture.fraction();
        let kept = (fresh - water) * (settled / (1.0 - settled));
        let of_mould = match &design.size {
            Size::Mould { mould, fill } => mould.bar(*fill, design.bars),
            _ => None,
        };
        let cube = || BarShape::Block([(1000.0 * batch.batter_ml / bars).cbrt(); 3]);
        Some(Self {
            fresh,
            water,
            free: Grams((water - kept).0.max(0.0)),
            shape: of_mould.unwrap_or_else(cube),
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

    /// Whether the measures follow from the mould; otherwise they are those of a cube.
    pub const fn shape_known(&self) -> bool {
        self.shape_known
    }

    /// How the shape was come by, in a sentence for the person.
    pub const fn shape_words(&self) -> &'static str {
        if self.shape_known {
            "The bar’s measures are those that the mould gives."
        } else {
            "No mould says how the bar is cut, so it counts as a cube, which dries slowest: a flatter bar will weigh \
             less."
        }
    }

    /// Diffusivity that is counted with, mm²/day.
    pub const fn diffusivity(&self) -> f64 {
        self.diffusivity
    }

    /// Days from cutting to sale.
    pub const fn days(&self) -> Days {
        self.days
    }

    /// The bar as it is cut.
    pub const fn fresh(&self) -> Grams {
        self.fresh
    }

    /// Water that leaves the bar in the end.
    pub const fn free_water(&self) -> Grams {
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

    fn lost(&self, days: f64) -> Grams {
        self.free * (1.0 - self.moisture_ratio(days))
    }

    /// What the bar weighs after so many `days` of cure.
    pub fn bar(&self, days: f64) -> Grams {
        self.fresh - self.lost(days)
    }

    /// Water that is in it then.
    pub fn water(&self, days: f64) -> Grams {
        self.water - self.lost(days)
    }

    /// Water in percent of the bar then.
    pub fn moisture(&self, days: f64) -> f64 {
        100.0 * self.water(days).0 / self.bar(days).0
    }

    /// What it weighs at sale: the weight to declare.
    pub fn bar_at_sale(&self) -> Grams {
        self.bar(self.days.get())
    }

    /// Water in the bar at sale.
    pub fn water_at_sale(&self) -> Grams {
        self.water(self.days.get())
    }

    /// Total fatty matter in percent of the bar after so many `days`, from that of the fresh bar:
    /// only water leaves.
    pub fn tfm(&self, fresh: f64, days: f64) -> f64 {
        fresh * self.fresh.0 / self.bar(days).0
    }

    /// The first day of cure on which the bar has lost less than [`SETTLED_PERCENT`] of its weight in the
    /// week before; `None` if that takes longer than a cure can be.
    pub fn settled(&self) -> Option<u32> {
        const WEEK: f64 = 7.0;
        let still = |day: u32| {
            let before = self.bar(f64::from(day) - WEEK).0;
            100.0 * (before - self.bar(f64::from(day)).0) >= SETTLED_PERCENT * before
        };
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
