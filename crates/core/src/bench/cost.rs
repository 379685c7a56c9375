//! What a batch costs, what to buy for it, and what to ask for a bar.
//!
//! Prices belong to materials by id: of fats, additions and scents the id of their record, of the
//! alkalis [`NAOH`] and [`KOH`]. The water to weigh costs something only if [`WATER`] has a
//! price; tap water is next to nothing. Work, packing and power are not counted.

use crate::design::{Design, Price};
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::units::{Grams, SalesMargin};

/// Id of sodium hydroxide among the prices.
pub const NAOH: &str = "naoh";
/// Id of potassium hydroxide among the prices.
pub const KOH: &str = "koh";
/// Id of water that is bought, among the prices.
pub const WATER: &str = "water";

const NAOH_NAME: &str = "Sodium hydroxide (NaOH)";
const KOH_NAME: &str = "Potassium hydroxide (KOH)";
const WATER_NAME: &str = "Water";

/// A sum of money in the design's currency that says whether anything is missing in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Total {
    /// Everything is in it.
    Complete(f64),
    /// Some prices are missing: it will be more.
    AtLeast(f64),
}

impl Total {
    /// The sum if nothing is missing.
    pub const fn complete(self) -> Option<f64> {
        match self {
            Self::Complete(sum) => Some(sum),
            Self::AtLeast(_) => None,
        }
    }

    /// The sum as far as it is known.
    pub const fn known(self) -> f64 {
        match self {
            Self::Complete(sum) | Self::AtLeast(sum) => sum,
        }
    }

    fn times(self, factor: f64) -> Self {
        match self {
            Self::Complete(sum) => Self::Complete(sum * factor),
            Self::AtLeast(sum) => Self::AtLeast(sum * factor),
        }
    }

    /// What to ask for what costs this, so that `margin` percent of the price are left:
    /// cost/(1 − margin).
    ///
    /// ```
    /// use barwright_core::bench::cost::Total;
    /// use barwright_core::{units::SalesMargin};
    /// let price = Total::Complete(3.0).price(SalesMargin::new(40.0)?);
    /// assert_eq!(price, Total::Complete(5.0));
    /// # Ok::<(), barwright_core::units::OutOfRange>(())
    /// ```
    #[must_use]
    pub fn price(self, margin: SalesMargin) -> Self {
        self.times(1.0 / (1.0 - margin.fraction()))
    }
}

/// A material of the batch with what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct CostLine {
    /// Its id among the prices.
    pub material: String,
    /// Its name.
    pub name: String,
    /// How much the batch takes, over all stages.
    pub mass: Grams,
    /// Its pack; `None` if no price is given.
    pub price: Option<Price>,
}

impl CostLine {
    /// Cost of what is used; `None` without a price.
    pub fn cost(&self) -> Option<f64> {
        self.price.as_ref().map(|p| p.price.get() * self.mass.0 / p.pack_g.get())
    }

    /// What to buy of it; `None` without a price.
    pub fn purchase(&self) -> Option<Purchase> {
        let price = self.price.as_ref()?;
        let pack = price.pack_g.get();
        // A pack that is used up to rounding is enough.
        let packs = (self.mass.0 / pack * (1.0 - 1e-12)).ceil().max(1.0);
        Some(Purchase { packs, pays: packs * price.price.get(), left: Grams((packs * pack - self.mass.0).max(0.0)) })
    }
}

/// Whole packs of a material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Purchase {
    /// How many, a whole number.
    pub packs: f64,
    /// What they cost.
    pub pays: f64,
    /// What is left of them.
    pub left: Grams,
}

/// The costs of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    lines: Vec<CostLine>,
    bars: f64,
    bar_cured: Grams,
}

impl Cost {
    /// The costs of `design`'s batch, from its `evaluation`; `None` where there are no fats.
    pub fn of(design: &Design, evaluation: &Evaluation) -> Option<Self> {
        let batch = &evaluation.masses;
        let bar_cured = evaluation.cure.as_ref()?.bar_at_sale(Plain);
        let mut cost = Self { lines: Vec::new(), bars: f64::from(batch.bars), bar_cured };
        let mut add = |material: &str, name: &str, mass: Grams| cost.add(design, material, name, mass);
        for (line, mass) in design.blend.lines().iter().zip(&evaluation.fat_masses) {
            add(line.fat.id.as_str(), &line.fat.name, *mass);
        }
        add(NAOH, NAOH_NAME, batch.alkali.naoh);
        add(KOH, KOH_NAME, batch.alkali.koh);
        if design.price(WATER).is_some() {
            add(WATER, WATER_NAME, batch.water_to_weigh);
        }
        for (line, mass) in design.additions.iter().zip(&evaluation.addition_masses) {
            add(line.addition.id.as_str(), &line.addition.name, *mass);
        }
        for (line, mass) in design.scents.iter().zip(&evaluation.scents.masses) {
            add(line.scent.id.as_str(), &line.scent.name, *mass);
        }
        Some(cost)
    }

    fn add(&mut self, design: &Design, material: &str, name: &str, mass: Grams) {
        if mass.0 <= 0.0 {
            return;
        }
        match self.lines.iter_mut().find(|l| l.material == material) {
            Some(line) => line.mass += mass,
            None => self.lines.push(CostLine {
                material: material.into(),
                name: name.into(),
                mass,
                price: design.price(material).cloned(),
            }),
        }
    }

    /// The materials, in the order of work.
    pub fn lines(&self) -> &[CostLine] {
        &self.lines
    }

    /// Names of what has no price.
    pub fn missing(&self) -> impl Iterator<Item = &str> {
        self.lines.iter().filter(|l| l.price.is_none()).map(|l| l.name.as_str())
    }

    fn total(&self, of_line: impl Fn(&CostLine) -> Option<f64>) -> Total {
        // An empty sum of floats is −0.
        let sum = self.lines.iter().filter_map(&of_line).fold(0.0, |sum, cost| sum + cost);
        if self.missing().next().is_none() { Total::Complete(sum) } else { Total::AtLeast(sum) }
    }

    /// Cost of what the batch uses.
    pub fn batch(&self) -> Total {
        self.total(CostLine::cost)
    }

    /// The same of one bar.
    pub fn bar(&self) -> Total {
        self.batch().times(1.0 / self.bars)
    }

    /// The same of 100 g of the bar at sale.
    pub fn per_100_g_cured(&self) -> Total {
        self.bar().times(100.0 / self.bar_cured.0)
    }

    /// What buying whole packs for the batch costs.
    pub fn shopping(&self) -> Total {
        self.total(|line| line.purchase().map(|p| p.pays))
    }
}

impl Design {
    /// The name of what has the id `material` among the prices, if it is in use.
    pub(crate) fn material_name(&self, material: &str) -> Option<&str> {
        let fats = self.blend.lines().iter().map(|l| (l.fat.id.as_str(), l.fat.name.as_str()));
        let additions = self.additions.iter().map(|l| (l.addition.id.as_str(), l.addition.name.as_str()));
        let scents = self.scents.iter().map(|l| (l.scent.id.as_str(), l.scent.name.as_str()));
        let others = [(NAOH, NAOH_NAME), (KOH, KOH_NAME), (WATER, WATER_NAME)];
        let mut all = fats.chain(additions).chain(scents).chain(others);
        all.find(|(id, _)| *id == material).map(|(_, name)| name)
    }

    /// The price of `material`; the first, should a file give it several.
    pub fn price(&self, material: &str) -> Option<&Price> {
        self.prices.iter().find(|p| p.material == material)
    }
}
