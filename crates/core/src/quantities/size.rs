//! The mould and the bars cut from it.

use super::{About, AlsoMovedBy, Quantity, Unknown, quantities};
use crate::design::mould::{Mould, Size};
use crate::formula::{Plain, Reading};
use crate::quantity::Unit;

quantities! {
    /// What is filled, in the order of the report.
    SIZE;
    /// The volume to fill.
    WantedMl("size.wanted_ml", "Volume to fill", Millilitres, 0) {
        |r, of| of.design.size.read_wanted_ml(r).ok_or_else(|| "the size is not given by a volume".into()),
        |_| "Geometry on what is typed."
    }
    /// The mould's inner volume.
    MouldMl("size.mould_ml", "What the mould holds", Millilitres, 0) {
        |r, of| match &of.design.size {
            Size::Mould { mould, .. } => Ok(mould.read_volume_ml(r)),
            Size::FatMass(_) | Size::Volume { .. } | Size::BarMass(_) | Size::BarAtSale(_) => Err("the design has no mould".into()),
        },
        |_| "Geometry; measure inside, with the lining in.",
        moved by Mould
    }
}

/// A measure of a bar, by its place: of a block from the longest to the shortest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BarMm(pub usize);

/// A block has the most.
const MOST_MEASURES: usize = 3;

impl About<'_> {
    /// How many measures a bar has.
    pub fn bar_measures(self) -> usize {
        (0..MOST_MEASURES).filter(|i| BarMm(*i).read(Plain, self).is_ok()).count()
    }
}

impl Quantity for BarMm {
    fn key(&self, _: About<'_>) -> String {
        format!("size.bar_mm.{}", self.0)
    }
    fn title(&self, _: About<'_>) -> String {
        "A measure of a fresh bar".into()
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Millimetres
    }
    fn decimals(&self, _: About<'_>) -> usize {
        0
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let measures = match &of.design.size {
            Size::Mould { mould, fill } => mould.measures(r, *fill, of.design.bars),
            Size::FatMass(_) | Size::Volume { .. } | Size::BarMass(_) | Size::BarAtSale(_) => Vec::new(),
        };
        measures.get(self.0).copied().ok_or_else(|| "the mould gives no bars".into())
    }
    fn trust(&self, of: About<'_>) -> String {
        match &of.design.size {
            Size::Mould { mould: Mould::Slab(_), .. } => {
                "Geometry, without what the cutting takes: the slab is cut into the grid whose faces come nearest to 3 : \
                 2. A bar shrinks a little as it dries."
            }
            _ => "Geometry, without what the cutting takes. A bar shrinks a little as it dries.",
        }
        .into()
    }
    fn also_moved_by(&self) -> AlsoMovedBy {
        AlsoMovedBy::Mould
    }
}
