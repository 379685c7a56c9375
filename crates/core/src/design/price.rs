//! Prices of packs, and the same for a kilogram.

use super::Price;
use crate::units::{Money, OutOfRange, PackMass};

/// Grams in a kilogram.
const G_PER_KG: f64 = 1000.0;

impl Price {
    /// The pack that a price is for unless another is said: a kilogram.
    pub fn usual_pack() -> PackMass {
        PackMass::nearest(G_PER_KG)
    }

    /// What a kilogram costs at this price.
    pub fn per_kg(&self) -> f64 {
        G_PER_KG * self.price.get() / self.pack_g.get()
    }

    /// The price of `material` in packs of `pack_g` if a kilogram costs `per_kg`.
    ///
    /// ```
    /// use barwright_core::design::Price;
    /// use barwright_core::units::PackMass;
    /// let price = Price::at_per_kg("olive_virgin", PackMass::new(5000.0)?, 7.2)?;
    /// assert_eq!((price.price.get(), price.per_kg()), (36.0, 7.2));
    /// # Ok::<(), barwright_core::units::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// [`OutOfRange`] if a pack cannot cost so much.
    pub fn at_per_kg(material: &str, pack_g: PackMass, per_kg: f64) -> Result<Self, OutOfRange> {
        Ok(Self { material: material.into(), pack_g, price: Money::new(per_kg * pack_g.get() / G_PER_KG)? })
    }
}
