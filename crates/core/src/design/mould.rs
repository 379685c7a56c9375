//! What is filled: the mould, a volume, or a number of bars of a weight.

mod body;
mod kind;
mod outline;

pub use body::Body;
pub use kind::{Near, SizeKind};
pub use outline::Outline;

use crate::formula::{Input, Num, Plain, Reading};
use crate::number::short;
use crate::units::{BarMass, Bars, FatMass, Fill, Millilitres, Millimetres, OutOfRange};

/// A box with inner measures in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cuboid {
    /// Longest side of a loaf; one side of a slab's floor.
    pub length_mm: Millimetres,
    /// The other side of the floor.
    pub width_mm: Millimetres,
    /// Height of the walls.
    pub height_mm: Millimetres,
}

/// The inside of a mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mould {
    /// A long box, cut across into slices.
    Loaf(Cuboid),
    /// A flat box, cut in both directions.
    Slab(Cuboid),
    /// A standing tube, cut across into discs.
    Round {
        /// Inner diameter.
        diameter_mm: Millimetres,
        /// Inner length.
        length_mm: Millimetres,
    },
    /// Single cavities, a bar each.
    Cavities {
        /// How many.
        count: Bars,
        /// Volume of each, mL.
        ml: Millilitres,
    },
}

/// A fresh bar's measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BarShape {
    /// A block, mm, the longest side first.
    Block([f64; 3]),
    /// A disc: diameter and thickness, mm.
    Disc {
        /// Diameter, mm.
        diameter: f64,
        /// Thickness, mm.
        thickness: f64,
    },
}

/// The sides' ratio of a bar's face that a slab's grid comes nearest to (our choice).
const FACE: f64 = 1.5;

/// Of all grids of `bars` bars on a slab, the one whose faces come nearest to 3 : 2.
fn slab_grid(slab: &Cuboid, bars: Bars) -> (u32, u32) {
    let count = bars.get();
    let off = |rows: u32| {
        let (a, b) = (slab.length_mm.get() / f64::from(rows), slab.width_mm.get() / f64::from(count / rows));
        ((a.max(b) / a.min(b)) / FACE).ln().abs()
    };
    let rows = (1..=count).filter(|r| count.is_multiple_of(*r)).min_by(|a, b| off(*a).total_cmp(&off(*b))).unwrap_or(1);
    (rows, count / rows)
}

/// Where `length` is cut into so many equal parts: the distances from its start, in its unit.
pub fn cuts(length: f64, parts: u32) -> impl Iterator<Item = f64> {
    (1..parts).map(move |i| length * f64::from(i) / f64::from(parts))
}

impl Mould {
    /// Inner volume, mL.
    pub fn volume_ml(&self) -> f64 {
        self.read_volume_ml(Plain)
    }

    /// Inner volume, mL: length × width × height, π·(d/2)²·length, or cavities × volume of each.
    pub fn read_volume_ml<R: Reading>(&self, r: R) -> R::N {
        match self {
            Self::Loaf(c) | Self::Slab(c) => {
                let [length, width, height] = c.read(r);
                length * width * height / MM3_PER_ML
            }
            Self::Round { diameter_mm, length_mm } => {
                let radius = side(r, "diameter", "Diameter inside", *diameter_mm) / 2.0;
                let length = side(r, "length", "Length inside", *length_mm);
                r.constant(std::f64::consts::PI) * radius.squared() * length / MM3_PER_ML
            }
            Self::Cavities { count, ml } => {
                let each = r.input("volume of each", ml.get(), "ml", || {
                    Input::chosen("Each holds", format!("{} ml", short(ml.get(), 3)))
                });
                r.input("cavities", f64::from(count.get()), "", || Input::chosen("Cavities", count.get().to_string()))
                    * each
            }
        }
    }

    /// The number of bars that the mould itself sets.
    pub const fn own_bars(&self) -> Option<Bars> {
        match self {
            Self::Cavities { count, .. } => Some(*count),
            Self::Loaf(_) | Self::Slab(_) | Self::Round { .. } => None,
        }
    }

    /// Rows (along the length) and columns (along the width) into which the soap is cut for `bars`
    /// bars; a slab into the grid whose faces come nearest to 3 : 2, a cavity not at all.
    pub fn grid(&self, bars: Bars) -> (u32, u32) {
        match self {
            Self::Slab(c) => slab_grid(c, bars),
            Self::Loaf(_) | Self::Round { .. } => (bars.get(), 1),
            Self::Cavities { .. } => (1, 1),
        }
    }

    /// Measures of a fresh bar when the mould is filled to `fill` and cut into `bars`, without
    /// what the cutting takes; `None` for cavities, whose shape is their own.
    pub fn bar(&self, fill: Fill, bars: Bars) -> Option<BarShape> {
        let measures = self.measures(Plain, fill, bars);
        match self {
            Self::Round { .. } => {
                let [diameter, thickness] = measures.try_into().ok()?;
                Some(BarShape::Disc { diameter, thickness })
            }
            Self::Loaf(_) | Self::Slab(_) => measures.try_into().ok().map(BarShape::Block),
            Self::Cavities { .. } => None,
        }
    }

    /// The measures of a fresh bar, mm: of a block from the longest to the shortest, of a disc its
    /// diameter and thickness, of cavities none.
    pub fn measures<R: Reading>(&self, r: R, fill: Fill, bars: Bars) -> Vec<R::N> {
        let (rows, columns) = self.grid(bars);
        let count = |symbol, name: &str, count: u32| {
            r.input(symbol, f64::from(count), "", || Input::chosen(name, count.to_string()))
        };
        let filled = || {
            r.input("filled", fill.fraction(), "", || Input::chosen("Filled", format!("{} %", short(fill.get(), 2))))
        };
        match self {
            Self::Loaf(c) | Self::Slab(c) => {
                let [length, width, height] = c.read(r);
                let is_slab = matches!(self, Self::Slab(_));
                let rows = if is_slab { count("rows", "Rows of bars", rows) } else { count("bars", "Bars", rows) };
                let across = if is_slab { width / count("columns", "Columns of bars", columns) } else { width };
                let mut sides = vec![length / rows, across, height * filled()];
                sides.sort_by(|a, b| b.value().total_cmp(&a.value()));
                sides
            }
            Self::Round { diameter_mm, length_mm } => {
                let length = side(r, "length", "Length inside", *length_mm);
                vec![
                    side(r, "diameter", "Diameter inside", *diameter_mm),
                    length * filled() / count("bars", "Bars", rows),
                ]
            }
            Self::Cavities { .. } => Vec::new(),
        }
    }
}

/// Cubic millimetres in a millilitre.
pub const MM3_PER_ML: f64 = 1000.0;

/// A measure of a mould.
fn side<R: Reading>(r: R, symbol: &'static str, name: &str, mm: Millimetres) -> R::N {
    r.input(symbol, mm.get(), "mm", || Input::chosen(name, format!("{} mm", short(mm.get(), 3))))
}

impl Cuboid {
    /// Length, width and height.
    fn read<R: Reading>(&self, r: R) -> [R::N; 3] {
        [
            side(r, "length", "Length inside", self.length_mm),
            side(r, "width", "Width inside", self.width_mm),
            side(r, "height", "Height inside", self.height_mm),
        ]
    }
}

/// How large the batch is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// So much fat.
    FatMass(FatMass),
    /// So much that the batter fills a mould.
    Mould {
        /// The mould.
        mould: Mould,
        /// How far it is filled.
        fill: Fill,
    },
    /// So much that the batter fills a volume.
    Volume {
        /// The volume.
        ml: Millilitres,
        /// How far it is filled.
        fill: Fill,
    },
    /// So much that each fresh bar weighs this.
    BarMass(BarMass),
    /// So much that each bar weighs this when its cure ends.
    BarAtSale(BarMass),
}

impl Size {
    /// The batter's volume that is asked for, mL.
    pub fn wanted_ml(&self) -> Option<f64> {
        self.read_wanted_ml(Plain)
    }

    /// The batter's volume that is asked for, mL: what there is to fill × how far.
    pub fn read_wanted_ml<R: Reading>(&self, r: R) -> Option<R::N> {
        let (holds, fill) = match self {
            Self::Mould { mould, fill } => (mould.read_volume_ml(r), fill),
            Self::Volume { ml, fill } => {
                let about = || Input::chosen("Volume", format!("{} ml", short(ml.get(), 3)));
                (r.input("volume", ml.get(), "ml", about), fill)
            }
            Self::FatMass(_) | Self::BarMass(_) | Self::BarAtSale(_) => return None,
        };
        let about = || Input::chosen("Filled", format!("{} %", short(fill.get(), 2)));
        Some(holds * r.input("filled", fill.fraction(), "", about))
    }

    /// The size of a batch `factor` times as large that gives `bars` bars, each `each` times as large.
    pub(crate) fn scaled(&self, factor: f64, each: f64, bars: Bars) -> Result<Self, OutOfRange> {
        let long = |length: Millimetres| Millimetres::new(length.get() * factor);
        let longer = |c: &Cuboid| Ok(Cuboid { length_mm: long(c.length_mm)?, ..*c });
        Ok(match self {
            Self::FatMass(mass) => Self::FatMass(FatMass::new(mass.get() * factor)?),
            Self::BarMass(mass) => Self::BarMass(BarMass::new(mass.get() * each)?),
            Self::BarAtSale(mass) => Self::BarAtSale(BarMass::new(mass.get() * each)?),
            Self::Volume { ml, fill } => Self::Volume { ml: Millilitres::new(ml.get() * factor)?, fill: *fill },
            Self::Mould { mould, fill } => {
                let mould = match mould {
                    Mould::Loaf(c) => Mould::Loaf(longer(c)?),
                    Mould::Slab(c) => Mould::Slab(longer(c)?),
                    Mould::Round { diameter_mm, length_mm } => {
                        Mould::Round { diameter_mm: *diameter_mm, length_mm: long(*length_mm)? }
                    }
                    Mould::Cavities { ml, .. } => {
                        Mould::Cavities { count: bars, ml: Millilitres::new(ml.get() * each)? }
                    }
                };
                Self::Mould { mould, fill: *fill }
            }
        })
    }

    /// The number of bars that the mould itself sets.
    pub const fn own_bars(&self) -> Option<Bars> {
        match self {
            Self::Mould { mould, .. } => mould.own_bars(),
            Self::FatMass(_) | Self::Volume { .. } | Self::BarMass(_) | Self::BarAtSale(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Millimetres {
        Millimetres::nearest(value)
    }

    #[test]
    fn bars_fill_their_mould() {
        let cuboid = Cuboid { length_mm: mm(300.0), width_mm: mm(200.0), height_mm: mm(50.0) };
        let fill = Fill::nearest(80.0);
        let bars = Bars::new(12).expect("in range");
        for mould in [Mould::Loaf(cuboid), Mould::Slab(cuboid)] {
            let Some(BarShape::Block(sides)) = mould.bar(fill, bars) else { panic!("a block") };
            let volume = 12.0 * sides.iter().product::<f64>() / 1000.0;
            assert!((volume - 0.8 * mould.volume_ml()).abs() < 1e-9, "{mould:?}: {volume}");
        }
        let round = Mould::Round { diameter_mm: mm(80.0), length_mm: mm(300.0) };
        let Some(BarShape::Disc { diameter, thickness }) = round.bar(fill, bars) else { panic!("a disc") };
        assert!((thickness - 20.0).abs() < 1e-12 && (diameter - 80.0).abs() < 1e-12, "a twelfth of 240 mm");
    }

    #[test]
    fn a_slab_is_cut_into_bars_of_a_handy_shape() {
        let slab = Mould::Slab(Cuboid { length_mm: mm(320.0), width_mm: mm(230.0), height_mm: mm(30.0) });
        assert_eq!(slab.grid(Bars::new(20).expect("in range")), (4, 5), "80 × 46 mm, not strips");
        assert_eq!(slab.grid(Bars::new(7).expect("in range")), (7, 1), "a prime leaves strips");
    }
}
