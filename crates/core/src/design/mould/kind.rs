//! The ways to give a size, and a size of each that comes near to a batch as it is.

use super::{Cuboid, MM3_PER_ML, Mould, Size};
use crate::units::{BarMass, Bars, FatMass, Fill, Grams, Millilitres, Millimetres};
use std::f64::consts::PI;

listed! {
    /// A way to give a size.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum SizeKind {
        /// So much fat.
        FatMass,
        /// A long box.
        Loaf,
        /// A flat box.
        Slab,
        /// A tube.
        Round,
        /// Single cavities.
        Cavities,
        /// A volume.
        Volume,
        /// So much for each bar as it is cut.
        BarMass,
        /// So much for each bar when its cure ends.
        BarAtSale,
    }
    /// All, in the order of lists.
    ALL
}

/// A batch that a size of another kind should come near to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// Its fats; none for a batch that has yet to be.
    pub fats: Grams,
    /// Its batter, mL.
    pub batter_ml: f64,
    /// A fresh bar of it.
    pub bar: Grams,
    /// The same bar at sale.
    pub sold: Grams,
    /// How many bars.
    pub bars: Bars,
}

/// Our usual shapes, mm: width and height of a loaf and of a slab, diameter of a tube.
const LOAF: (f64, f64) = (70.0, 60.0);
const SLAB: (f64, f64) = (200.0, 35.0);
const TUBE: f64 = 75.0;
/// How far a box or a tube is filled, so that nothing runs over (our choice).
const USUAL_FILL: f64 = 90.0;
const FULL: f64 = 100.0;
/// Sizes of a batch that has no fats yet: its batter, mL, its fats and a bar, g.
const NEW_ML: f64 = 1000.0;
const NEW_FATS: f64 = 500.0;
const NEW_BAR: f64 = 100.0;
/// A mould grows in length up to this, mm, and beyond it in all directions, so that it stays one.
const LONGEST: f64 = 1000.0;

impl SizeKind {
    /// Name in a list.
    pub const fn words(self) -> &'static str {
        match self {
            Self::FatMass => "Weight of the fats",
            Self::Loaf => "Loaf mould",
            Self::Slab => "Slab mould",
            Self::Round => "Round mould",
            Self::Cavities => "Single cavities",
            Self::Volume => "Volume",
            Self::BarMass => "Weight of a fresh bar",
            Self::BarAtSale => "Weight of a bar at sale",
        }
    }

    /// The size of this kind that comes near to the batch `to`, so that the choice of another kind keeps
    /// the weights about as they were; without fats, a small batch.
    ///
    /// ```
    /// use barwright_core::design::mould::{Near, SizeKind};
    /// use barwright_core::units::{Bars, Grams};
    /// let to = Near { fats: Grams(0.0), batter_ml: 0.0, bar: Grams(0.0), sold: Grams(0.0), bars: Bars::new(8)? };
    /// let ml = SizeKind::Loaf.near(to).wanted_ml().unwrap_or_default();
    /// assert!((ml - 1000.0).abs() < 5.0, "a litre, to the millimetre: {ml}");
    /// # Ok::<(), barwright_core::units::BarsOutOfRange>(())
    /// ```
    pub fn near(self, to: Near) -> Size {
        let Near { fats, batter_ml, bar, sold, bars } = to;
        let has_fats = fats.0 > 0.0;
        let ml = if has_fats { batter_ml } else { NEW_ML };
        let mould = |of: fn(f64) -> Mould| {
            let fill = Fill::nearest(USUAL_FILL);
            Size::Mould { mould: of(ml / fill.fraction()), fill }
        };
        match self {
            Self::FatMass => Size::FatMass(FatMass::nearest(if has_fats { tenths(fats.0) } else { NEW_FATS })),
            Self::Loaf => mould(|ml| Mould::Loaf(cuboid(LOAF, ml))),
            Self::Slab => mould(|ml| Mould::Slab(cuboid(SLAB, ml))),
            Self::Round => mould(tube),
            Self::Cavities => {
                let each = Millilitres::nearest((ml / f64::from(bars.get())).round());
                Size::Mould { mould: Mould::Cavities { count: bars, ml: each }, fill: Fill::nearest(FULL) }
            }
            Self::Volume => Size::Volume { ml: Millilitres::nearest(ml.round()), fill: Fill::nearest(FULL) },
            Self::BarMass => Size::BarMass(BarMass::nearest(if has_fats { tenths(bar.0) } else { NEW_BAR })),
            Self::BarAtSale => Size::BarAtSale(BarMass::nearest(if has_fats { tenths(sold.0) } else { NEW_BAR })),
        }
    }
}

impl Size {
    /// The way in which it is given.
    pub const fn kind(&self) -> SizeKind {
        match self {
            Self::FatMass(_) => SizeKind::FatMass,
            Self::Mould { mould: Mould::Loaf(_), .. } => SizeKind::Loaf,
            Self::Mould { mould: Mould::Slab(_), .. } => SizeKind::Slab,
            Self::Mould { mould: Mould::Round { .. }, .. } => SizeKind::Round,
            Self::Mould { mould: Mould::Cavities { .. }, .. } => SizeKind::Cavities,
            Self::Volume { .. } => SizeKind::Volume,
            Self::BarMass(_) => SizeKind::BarMass,
            Self::BarAtSale(_) => SizeKind::BarAtSale,
        }
    }
}

/// To a tenth of a gram.
fn tenths(grams: f64) -> f64 {
    (grams * 10.0).round() / 10.0
}

fn mm(value: f64) -> Millimetres {
    Millimetres::nearest(value.round())
}

/// By what a mould of [`LONGEST`] and a cross-section of `area` mm² grows in each direction to hold `ml`;
/// 1 if it holds as much.
fn larger(area: f64, ml: f64) -> f64 {
    (ml * MM3_PER_ML / (area * LONGEST)).cbrt().max(1.0)
}

/// A box of `ml`, as wide and as high as usual unless it would get too long.
fn cuboid((width, height): (f64, f64), ml: f64) -> Cuboid {
    let by = larger(width * height, ml);
    let (width, height) = (width * by, height * by);
    Cuboid { length_mm: mm(MM3_PER_ML * ml / (width * height)), width_mm: mm(width), height_mm: mm(height) }
}

/// A tube of `ml`, as thick as usual unless it would get too long.
fn tube(ml: f64) -> Mould {
    let area = |diameter: f64| PI * (diameter / 2.0).powi(2);
    let diameter = TUBE * larger(area(TUBE), ml);
    Mould::Round { diameter_mm: mm(diameter), length_mm: mm(MM3_PER_ML * ml / area(diameter)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn litres(litres: f64) -> Near {
        let bars = Bars::new(8).expect("in range");
        Near {
            fats: Grams(700.0 * litres),
            batter_ml: 1000.0 * litres,
            bar: Grams(130.0 * litres),
            sold: Grams(110.0 * litres),
            bars,
        }
    }

    #[test]
    fn every_kind_of_size_holds_about_what_the_batch_has() {
        for to in [0.3, 1.0, 4.0, 60.0].map(litres) {
            for kind in SizeKind::ALL {
                let size = kind.near(to);
                assert_eq!(size.kind(), kind, "the kind that was asked for");
                if let Some(ml) = size.wanted_ml() {
                    let off = ml / to.batter_ml - 1.0;
                    assert!(off.abs() < 0.04, "{kind:?} of {to:?} is {:.1} % off", 100.0 * off);
                }
            }
        }
    }

    #[test]
    fn a_large_mould_grows_in_all_directions() {
        let Size::Mould { mould: Mould::Loaf(loaf), .. } = SizeKind::Loaf.near(litres(100.0)) else { panic!("a loaf") };
        let sides = [loaf.length_mm.get() / LONGEST, loaf.width_mm.get() / LOAF.0, loaf.height_mm.get() / LOAF.1];
        assert!(sides[0] > 1.5, "{sides:?}");
        assert!(sides.iter().all(|s| (s / sides[0] - 1.0).abs() < 0.01), "one shape: {sides:?}");
    }
}
