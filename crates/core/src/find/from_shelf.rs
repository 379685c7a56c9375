//! The search held to what is on the shelf.

use super::wanted::{Candidate, Named, Wanted};
use crate::design::Price;
use crate::design::blend::FatLine;
use crate::design::shelf::{Shelf, Stuff};
use crate::library::material::MaterialId;
use crate::units::{Grams, Money, PackMass, Share, percent_of};
use std::sync::Arc;

impl Wanted {
    /// Holds the search to fats of which there is something on `shelf`, each up to as much as there is for a batch of
    /// `fats`; what the design holds stays. Where the design has no price of a fat, that of the shelf counts.
    ///
    /// ```
    /// use barwright_core::design::log::LotId;
    /// use barwright_core::design::shelf::{Lot, Shelf, Stuff};
    /// use barwright_core::find::Wanted;
    /// use barwright_core::library::material::MaterialId;
    /// use barwright_core::units::{AmountMass, Grams};
    /// use barwright_core::{Design, Library, evaluate};
    /// let (library, design) = (Library::embedded()?, Design::default());
    /// let mut shelf = Shelf::default();
    /// let olive = Stuff::Fat(MaterialId::new("olive_virgin")?);
    /// shelf.put(Lot::new(LotId(0), olive, AmountMass::new(300.0)?))?;
    /// let mut wanted = Wanted::of(&design, &evaluate(&design, &library), &library);
    /// wanted.from_shelf(&shelf, Grams(1000.0));
    /// assert_eq!(wanted.candidates.len(), 1);
    /// assert_eq!(wanted.candidates[0].most.get(), 30.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn from_shelf(&mut self, shelf: &Shelf, fats: Grams) {
        let stock = shelf.stock();
        for fat in &shelf.own.fats {
            let is_known = self.candidates.iter().any(|c| c.line.fat.id == fat.id);
            if !is_known && !fat.profile().is_empty() {
                self.candidates.push(Candidate::free(FatLine::new(Arc::clone(fat), Share::nearest(0.0)), Named::No));
            }
        }
        let there = |id: &MaterialId| stock.there(&Stuff::Fat(id.clone()));
        self.keep(|c| c.is_held() || there(&c.line.fat.id) > 0.0);
        for candidate in self.candidates.iter_mut().filter(|c| !c.is_held()) {
            let most = percent_of(there(&candidate.line.fat.id), fats.0);
            candidate.most = Share::nearest(most.min(candidate.most.get()));
        }
        for candidate in &self.candidates {
            let id = &candidate.line.fat.id;
            let has_price = self.prices.iter().any(|p| p.material == id.as_str());
            if let Some((pack, price)) = stock.price(&Stuff::Fat(id.clone())).filter(|_| !has_price) {
                let (pack_g, price) = (PackMass::nearest(pack), Money::nearest(price));
                self.prices.push(Price { material: id.to_string(), pack_g, price });
            }
        }
    }

    /// Asks for all there is of fat `id` on `shelf` in a batch of `fats`; false if that is no share of it.
    pub fn use_up(&mut self, id: &MaterialId, shelf: &Shelf, fats: Grams) -> bool {
        let there = percent_of(shelf.stock().there(&Stuff::Fat(id.clone())), fats.0);
        // Whole steps only: what is less than a step is left.
        let step = self.step.percent().unwrap_or(0.0);
        let least = if step > 0.0 { (there / step).floor() * step } else { there };
        let candidate = self.candidates.iter_mut().find(|c| c.line.fat.id == *id);
        match (candidate, Share::new(least)) {
            (Some(candidate), Ok(least)) if least.get() > 0.0 && least <= candidate.most => {
                candidate.least = least;
                true
            }
            _ => false,
        }
    }
}
