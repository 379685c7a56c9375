//! How a mould looks from above and from its end, for drawings.

use super::Mould;
use crate::units::Fill;

/// Two views of a mould at one scale, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// Width and height from above; of a tube, which stands, from the side as it lies.
    pub above: [f64; 2],
    /// Width and height from the end.
    pub end: [f64; 2],
    /// How far the soap reaches along the view from above, 0–1.
    pub along: f64,
    /// How high it stands in the view from the end, 0–1.
    pub level: f64,
    /// Whether the end is a circle.
    pub is_round: bool,
}

impl Outline {
    /// How wide both views are beside each other, and how high the higher one is, mm.
    pub const fn measures(&self) -> [f64; 2] {
        [self.above[0] + self.end[0], self.above[1].max(self.end[1])]
    }
}

impl Mould {
    /// The two views, filled to `fill`; `None` for cavities, whose shape is not known.
    ///
    /// ```
    /// use barwright_core::design::mould::Mould;
    /// use barwright_core::units::{Fill, Millimetres};
    /// let tube = Mould::Round { diameter_mm: Millimetres::new(80.0)?, length_mm: Millimetres::new(300.0)? };
    /// let outline = tube.outline(Fill::nearest(90.0)).expect("a tube has a shape");
    /// assert_eq!((outline.above, outline.end), ([300.0, 80.0], [80.0, 80.0]));
    /// assert_eq!((outline.along, outline.level), (0.9, 1.0), "it is filled along its length");
    /// # Ok::<(), barwright_core::units::OutOfRange>(())
    /// ```
    pub const fn outline(&self, fill: Fill) -> Option<Outline> {
        let filled = fill.fraction();
        match self {
            Self::Loaf(c) | Self::Slab(c) => {
                let (length, width, height) = (c.length_mm.get(), c.width_mm.get(), c.height_mm.get());
                let (above, end) = ([length, width], [width, height]);
                Some(Outline { above, end, along: 1.0, level: filled, is_round: false })
            }
            Self::Round { diameter_mm, length_mm } => {
                let (diameter, length) = (diameter_mm.get(), length_mm.get());
                let (above, end) = ([length, diameter], [diameter, diameter]);
                Some(Outline { above, end, along: filled, level: 1.0, is_round: true })
            }
            Self::Cavities { .. } => None,
        }
    }
}
