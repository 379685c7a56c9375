//! The soap as it stands in its mould and is cut, for pictures.

use super::Mould;
use crate::units::{Bars, Fill};

/// A body of soap that is cut into bars.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Length, width and height, mm; of a tube, which lies here, its filled length and twice its diameter.
    pub sides: [f64; 3],
    /// Whether it is a cylinder that lies along its length.
    pub is_round: bool,
    /// Rows along the length and columns along the width.
    pub grid: (u32, u32),
}

impl Mould {
    /// The soap in it, filled to `fill` and cut into `bars`; `None` for cavities, which are not cut.
    ///
    /// ```
    /// use barwright_core::design::mould::{Cuboid, Mould};
    /// use barwright_core::units::{Bars, Fill, Millimetres};
    /// let [length_mm, width_mm, height_mm] = [300.0, 70.0, 60.0].map(Millimetres::nearest);
    /// let loaf = Mould::Loaf(Cuboid { length_mm, width_mm, height_mm });
    /// let body = loaf.body(Fill::nearest(90.0), Bars::new(10)?).expect("it is cut");
    /// assert_eq!((body.sides, body.grid), ([300.0, 70.0, 54.0], (10, 1)));
    /// # Ok::<(), barwright_core::units::BarsOutOfRange>(())
    /// ```
    pub fn body(&self, fill: Fill, bars: Bars) -> Option<Body> {
        let (filled, grid) = (fill.fraction(), self.grid(bars));
        match self {
            Self::Loaf(c) | Self::Slab(c) => {
                let sides = [c.length_mm.get(), c.width_mm.get(), c.height_mm.get() * filled];
                Some(Body { sides, is_round: false, grid })
            }
            Self::Round { diameter_mm, length_mm } => {
                let diameter = diameter_mm.get();
                Some(Body { sides: [length_mm.get() * filled, diameter, diameter], is_round: true, grid })
            }
            Self::Cavities { .. } => None,
        }
    }
}
