//! What a batch costs and what to buy for it.
//!
//! Prices belong to materials by id: of fats, additions and scents the id of their record, of the
//! alkalis [`NAOH`] and [`KOH`]. Where a fat and an addition share an id, as avocado oil and pulp do,
//! the addition's has its kind in front. The water to weigh costs something only if [`WATER`] has a
//! price; tap water is next to nothing. Work, packing and power are not counted.

use crate::chemistry::inputs;
use crate::design::{Design, Price};
use crate::evaluate::Evaluation;
use crate::formula::{Input, Num, Plain, Reading};
use crate::library::material::MaterialId;
use crate::number::{fixed, short};
use crate::units::Grams;

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
pub enum Total<N = f64> {
    /// Everything is in it.
    Complete(N),
    /// Some prices are missing: it will be more.
    AtLeast(N),
}

impl<N: Num> Total<N> {
    /// The sum if nothing is missing.
    pub fn complete(self) -> Option<N> {
        match self {
            Self::Complete(sum) => Some(sum),
            Self::AtLeast(_) => None,
        }
    }

    /// The sum as far as it is known.
    pub fn known(self) -> N {
        match self {
            Self::Complete(sum) | Self::AtLeast(sum) => sum,
        }
    }

    pub(crate) fn times(self, factor: N) -> Self {
        match self {
            Self::Complete(sum) => Self::Complete(sum * factor),
            Self::AtLeast(sum) => Self::AtLeast(sum * factor),
        }
    }
}

/// A material of the batch with what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct CostLine<N = f64> {
    /// Its id among the prices.
    pub material: String,
    /// Its name.
    pub name: String,
    /// How much the batch takes, over all stages.
    pub mass: Grams<N>,
    /// Its pack; `None` if no price is given.
    pub price: Option<Price>,
}

impl<N: Num> CostLine<N> {
    /// The price of the pack and its content, g.
    fn pack<R: Reading<N = N>>(&self, r: R, currency: &str) -> Option<(N, N)> {
        let price = self.price.as_ref()?;
        let about = || {
            let value = format!("{} {currency} for {} g", fixed(price.price.get(), 2), short(price.pack_g.get(), 3));
            Input::chosen(&format!("Price of {}", self.name), value)
        };
        Some((
            r.input("price of the pack", price.price.get(), "", about),
            r.input("pack", price.pack_g.get(), "g", about),
        ))
    }

    /// Cost of what is used; `None` without a price.
    pub fn cost<R: Reading<N = N>>(&self, r: R, currency: &str) -> Option<N> {
        let (price, pack) = self.pack(r, currency)?;
        Some(price * self.mass.0 / pack)
    }

    /// What to buy of it; `None` without a price.
    pub fn purchase<R: Reading<N = N>>(&self, r: R, currency: &str) -> Option<Purchase<N>> {
        let (price, pack) = self.pack(r, currency)?;
        // A pack that is used up to rounding is enough.
        let packs = (self.mass.0 / pack).rounded_up();
        let packs = if packs.value() < 1.0 { packs.max(N::from(1.0)) } else { packs };
        let left = packs * pack - self.mass.0;
        let left = if left.value() < 0.0 { left.max(N::from(0.0)) } else { left };
        Some(Purchase { packs, pays: packs * price, left: Grams(left) })
    }
}

/// Whole packs of a material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Purchase<N = f64> {
    /// How many, a whole number.
    pub packs: N,
    /// What they cost.
    pub pays: N,
    /// What is left of them.
    pub left: Grams<N>,
}

/// The costs of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost<N = f64> {
    lines: Vec<CostLine<N>>,
    currency: String,
    bars: u32,
    bar_cured: Grams<N>,
}

impl Cost {
    /// The costs of `design`'s batch, from its `evaluation`; `None` where there are no fats.
    pub fn of(design: &Design, evaluation: &Evaluation) -> Option<Self> {
        Self::read(Plain, design, evaluation)
    }
}

impl<N: Num> Cost<N> {
    /// The same in any reading.
    pub fn read<R: Reading<N = N>>(r: R, design: &Design, evaluation: &Evaluation<N>) -> Option<Self> {
        let masses = &evaluation.masses;
        let bar_cured = evaluation.cure.as_ref()?.bar_at_sale(r);
        let mut cost = Self { lines: Vec::new(), currency: design.currency.clone(), bars: masses.bars, bar_cured };
        let mut add = |material: &str, name: &str, mass: Grams<N>| cost.add(design, material, name, mass);
        for (line, mass) in design.blend.lines().iter().zip(&evaluation.fat_masses) {
            add(line.fat.id.as_str(), &line.fat.name, *mass);
        }
        add(NAOH, NAOH_NAME, masses.alkali.naoh);
        add(KOH, KOH_NAME, masses.alkali.koh);
        if design.price(WATER).is_some() {
            add(WATER, WATER_NAME, masses.water_to_weigh);
        }
        for (line, mass) in design.additions.iter().zip(&evaluation.addition_masses) {
            add(&design.addition_price_id(&line.addition.id), &line.addition.name, *mass);
        }
        for (line, mass) in design.scents.iter().zip(&evaluation.scents.masses) {
            add(&design.scent_price_id(&line.scent.id), &line.scent.name, *mass);
        }
        Some(cost)
    }

    fn add(&mut self, design: &Design, material: &str, name: &str, mass: Grams<N>) {
        if mass.value() <= 0.0 {
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
    pub fn lines(&self) -> &[CostLine<N>] {
        &self.lines
    }

    /// Cost of what is used of `line`; `None` without a price.
    pub fn of_line<R: Reading<N = N>>(&self, r: R, line: &CostLine<N>) -> Option<N> {
        line.cost(r, &self.currency)
    }

    /// What to buy of `line`; `None` without a price.
    pub fn purchase<R: Reading<N = N>>(&self, r: R, line: &CostLine<N>) -> Option<Purchase<N>> {
        line.purchase(r, &self.currency)
    }

    /// Names of what has no price.
    pub fn missing(&self) -> impl Iterator<Item = &str> {
        self.lines.iter().filter(|l| l.price.is_none()).map(|l| l.name.as_str())
    }

    fn total<R: Reading<N = N>>(&self, r: R, of_line: impl Fn(&CostLine<N>) -> Option<N>) -> Total<N> {
        let sum = r.sum(self.lines.iter().filter_map(&of_line));
        if self.missing().next().is_none() { Total::Complete(sum) } else { Total::AtLeast(sum) }
    }

    /// Cost of what the batch uses.
    pub fn batch<R: Reading<N = N>>(&self, r: R) -> Total<N> {
        self.total(r, |line| self.of_line(r, line))
    }

    /// The same of one bar.
    pub fn bar<R: Reading<N = N>>(&self, r: R) -> Total<N> {
        self.batch(r).times(N::from(1.0) / inputs::bars(r, self.bars))
    }

    /// The same of 100 g of the bar at sale.
    pub fn per_100_g_cured<R: Reading<N = N>>(&self, r: R) -> Total<N> {
        self.bar(r).times(N::from(COMPARED_G) / self.bar_cured.0)
    }

    /// What buying whole packs for the batch costs.
    pub fn shopping<R: Reading<N = N>>(&self, r: R) -> Total<N> {
        self.total(r, |line| self.purchase(r, line).map(|p| p.pays))
    }
}

/// Grams of the bar by which bars of different sizes are compared.
const COMPARED_G: f64 = 100.0;

impl Design {
    /// The name of what has the id `material` among the prices, if it is in use.
    pub(crate) fn material_name(&self, material: &str) -> Option<&str> {
        let fats = self.blend.lines().iter().map(|l| (l.fat.id.as_str(), l.fat.name.as_str()));
        let others = [(NAOH, NAOH_NAME), (KOH, KOH_NAME), (WATER, WATER_NAME)];
        let plain = fats.chain(others).find(|(id, _)| *id == material).map(|(_, name)| name);
        let mut additions = self.additions.iter().map(|l| &l.addition);
        let mut scents = self.scents.iter().map(|l| &l.scent);
        plain
            .or_else(|| additions.find(|a| self.addition_price_id(&a.id) == material).map(|a| a.name.as_str()))
            .or_else(|| scents.find(|s| self.scent_price_id(&s.id) == material).map(|s| s.name.as_str()))
    }

    /// What names the price of the addition `id`: its id, unless a fat of the blend is called the same.
    pub(crate) fn addition_price_id(&self, id: &MaterialId) -> String {
        self.price_id("addition", id, self.blend.line(id).is_some())
    }

    /// The same of a scent, which may share its id with an addition too.
    pub(crate) fn scent_price_id(&self, id: &MaterialId) -> String {
        let is_taken = self.blend.line(id).is_some() || self.additions.iter().any(|l| l.addition.id == *id);
        self.price_id("scent", id, is_taken)
    }

    fn price_id(&self, kind: &str, id: &MaterialId, is_taken: bool) -> String {
        let of_kind = format!("{kind}:{id}");
        if is_taken || self.price(&of_kind).is_some() { of_kind } else { id.to_string() }
    }

    /// Keeps the price of what was in `before` with it, should a new fat or addition be called the same.
    pub(crate) fn keep_prices_apart(&mut self, before: &Self) {
        let additions = before.additions.iter().map(|l| &l.addition.id);
        let additions = additions.map(|id| (before.addition_price_id(id), self.addition_price_id(id)));
        let scents = before.scents.iter().map(|l| &l.scent.id);
        let scents = scents.map(|id| (before.scent_price_id(id), self.scent_price_id(id)));
        let moved: Vec<_> = additions.chain(scents).filter(|(was, is)| was != is && is.contains(':')).collect();
        for (was, is) in moved {
            if self.price(&is).is_none()
                && let Some(price) = self.prices.iter_mut().find(|p| p.material == was)
            {
                price.material = is;
            }
        }
    }

    /// The price of `material`; the first, should a file give it several.
    pub fn price(&self, material: &str) -> Option<&Price> {
        self.prices.iter().find(|p| p.material == material)
    }
}
