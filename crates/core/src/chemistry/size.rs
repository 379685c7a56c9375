//! The ways to give a batch its size, and a size of another kind that comes near.

use crate::chemistry::masses::Masses;
use crate::design::mould::{Cuboid, MM3_PER_ML, Mould, Size};
use crate::units::{BarMass, Bars, FatMass, Fill, Millilitres, Millimetres};

/// A way to give the size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeKind {
    /// By the weight of the fats.
    Fats,
    /// By a loaf mould.
    Loaf,
    /// By a slab mould.
    Slab,
    /// By a round mould.
    Round,
    /// By single cavities.
    Cavities,
    /// By a volume.
    Volume,
    /// By the weight of a bar.
    Bar,
}

impl SizeKind {
    /// All, in the order in which they are offered.
    pub const ALL: [Self; 7] =
        [Self::Fats, Self::Loaf, Self::Slab, Self::Round, Self::Cavities, Self::Volume, Self::Bar];

    /// How `size` is given.
    pub const fn of(size: &Size) -> Self {
        match size {
            Size::FatMass(_) => Self::Fats,
            Size::Mould { mould: Mould::Loaf(_), .. } => Self::Loaf,
            Size::Mould { mould: Mould::Slab(_), .. } => Self::Slab,
            Size::Mould { mould: Mould::Round { .. }, .. } => Self::Round,
            Size::Mould { mould: Mould::Cavities { .. }, .. } => Self::Cavities,
            Size::Volume { .. } => Self::Volume,
            Size::BarMass(_) => Self::Bar,
        }
    }

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fats => "Weight of the fats",
            Self::Loaf => "Loaf mould",
            Self::Slab => "Slab mould",
            Self::Round => "Round mould",
            Self::Cavities => "Single cavities",
            Self::Volume => "Volume",
            Self::Bar => "Weight of a bar",
        }
    }

    /// The size of this kind that comes near to `batch` with its `bars`, so that the choice of another kind keeps the
    /// weights about as they were; without fats, a small batch.
    pub fn near(self, batch: &Masses, bars: Bars) -> Size {
        let fill = Fill::nearest(90.0);
        let is_made = batch.fats.0 > 0.0;
        let ml = if is_made { batch.batter_ml } else { 1000.0 };
        let full = ml / fill.fraction();
        match self {
            Self::Fats if is_made => Size::FatMass(FatMass::nearest(to_tenth(batch.fats.0))),
            Self::Fats => Size::FatMass(FatMass::nearest(500.0)),
            Self::Loaf => Size::Mould { mould: Mould::Loaf(cuboid(full, 70.0, 60.0)), fill },
            Self::Slab => Size::Mould { mould: Mould::Slab(cuboid(full, 200.0, 35.0)), fill },
            Self::Round => Size::Mould { mould: round(full, 75.0), fill },
            Self::Cavities => {
                let ml = Millilitres::nearest((ml / f64::from(bars.get())).round());
                Size::Mould { mould: Mould::Cavities { count: bars, ml }, fill: Fill::nearest(100.0) }
            }
            Self::Volume => Size::Volume { ml: Millilitres::nearest(ml.round()), fill: Fill::nearest(100.0) },
            Self::Bar if is_made => Size::BarMass(BarMass::nearest(to_tenth(batch.bar_fresh.0))),
            Self::Bar => Size::BarMass(BarMass::nearest(100.0)),
        }
    }
}

fn to_tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// How many times as wide a mould of `area` mm² has to be: one that would be longer than a metre gets a larger
/// cross-section of the same shape.
fn larger(full_ml: f64, area: f64) -> f64 {
    (full_ml / area).cbrt().max(1.0)
}

fn whole_mm(value: f64) -> Millimetres {
    Millimetres::nearest(value.round())
}

fn cuboid(full_ml: f64, width: f64, height: f64) -> Cuboid {
    let by = larger(full_ml, width * height);
    let (width, height) = (width * by, height * by);
    Cuboid {
        length_mm: whole_mm(MM3_PER_ML * full_ml / (width * height)),
        width_mm: whole_mm(width),
        height_mm: whole_mm(height),
    }
}

fn round(full_ml: f64, diameter: f64) -> Mould {
    let area = |diameter: f64| std::f64::consts::PI * (diameter / 2.0).powi(2);
    let diameter = diameter * larger(full_ml, area(diameter));
    Mould::Round { diameter_mm: whole_mm(diameter), length_mm: whole_mm(MM3_PER_ML * full_ml / area(diameter)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Grams;

    #[test]
    fn a_size_of_each_kind_comes_near_the_batch() {
        for ml in [300.0, 1_000.0, 40_000.0] {
            let batch =
                Masses { fats: Grams(0.65 * ml), batter_ml: ml, bar_fresh: Grams(0.1 * ml), ..Masses::default() };
            let bars = Bars::new(10).expect("in range");
            for kind in SizeKind::ALL {
                let size = kind.near(&batch, bars);
                assert_eq!(SizeKind::of(&size), kind, "{ml} ml");
                if let Some(wanted) = size.wanted_ml() {
                    assert!((wanted / ml - 1.0).abs() < 0.06, "{kind:?}: {wanted} for {ml} ml");
                }
            }
            let nothing = SizeKind::Fats.near(&Masses::default(), bars);
            assert_eq!(nothing, Size::FatMass(FatMass::nearest(500.0)), "a small batch");
        }
    }
}
