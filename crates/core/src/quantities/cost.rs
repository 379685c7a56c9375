//! What the batch costs and what to buy for it.

use super::{About, NO_FATS, Quantity, Unknown};
use crate::bench::price;
use crate::cautions::NoStop;
use crate::cost::{Cost, CostLine, Total};
use crate::evaluate::evaluate;
use crate::formula::{Num, Reading};
use crate::number::{fixed, short};
use crate::quantity::Unit;
use crate::units::SalesMargin;

/// A sum of money.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CostSum {
    /// Of the batch.
    Batch,
    /// What has a price, while something has none.
    AtLeast,
    /// Of a bar.
    Bar,
    /// Of 100 g of the cured bar.
    PerHundred,
    /// Whole packs of everything.
    Shopping,
    /// What to ask for a bar.
    AtMargin(SalesMargin),
}

impl CostSum {
    /// Those that every priced design has, with their names in the report.
    pub const ALL: [(&'static str, Self); 5] = [
        ("batch", Self::Batch),
        ("at_least", Self::AtLeast),
        ("bar", Self::Bar),
        ("per_100_g_cured", Self::PerHundred),
        ("shopping", Self::Shopping),
    ];
}

const AS_PRICED: &str = "Exact arithmetic on the prices as typed. Materials only: work, packing and power are not counted, and \
                         what stays in the pot is paid for too.";

fn cost<R: Reading>(r: R, of: About<'_, R::N>) -> Result<Cost<R::N>, Unknown> {
    Cost::read(r, of.design, of.evaluation).ok_or_else(|| NO_FATS.into())
}

/// Why a sum is not known, with what is known of it.
fn unpriced<R: Reading>(r: R, cost: &Cost<R::N>, currency: &str) -> Unknown {
    let missing: Vec<&str> = cost.missing().collect();
    let known = fixed(cost.batch(r).known().value(), 2);
    let known = format!("{known} {currency}");
    let reason = format!(
        "there is no price of {}; what has one comes to {} for the batch",
        missing.join(", "),
        known.trim_end()
    );
    reason.into()
}

impl Quantity for CostSum {
    fn key(&self, _: About<'_>) -> String {
        match self {
            Self::AtMargin(margin) => format!("cost.bar_at_margin_pct.{}", margin.get()),
            sum => {
                let name = Self::ALL.into_iter().find(|(_, one)| one == sum).map_or("", |(name, _)| name);
                format!("cost.{name}")
            }
        }
    }
    fn title(&self, of: About<'_>) -> String {
        match self {
            Self::Batch => "Materials of the batch".into(),
            Self::AtLeast => "Materials of the batch that have a price".into(),
            Self::Bar => "Materials of a bar".into(),
            Self::PerHundred => format!("Materials of {} of the cured bar", Unit::Grams.text_in(100.0, 0, of.measures)),
            Self::Shopping => "Whole packs of everything".into(),
            Self::AtMargin(margin) => format!("A bar at a margin of {} %", short(margin.get(), 1)),
        }
    }
    fn unit(&self, of: About<'_>) -> Unit {
        Unit::Money(of.design.currency.clone())
    }
    fn decimals(&self, _: About<'_>) -> usize {
        2
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let cost = cost(r, of)?;
        let complete = |total: Total<R::N>| total.complete().ok_or_else(|| unpriced(r, &cost, &of.design.currency));
        match self {
            Self::Batch => complete(cost.batch(r)),
            Self::AtLeast => match cost.batch(r) {
                Total::AtLeast(known) => Ok(known),
                Total::Complete(_) => Err("every material has a price".into()),
            },
            Self::Bar => complete(cost.bar(r)),
            Self::PerHundred => complete(cost.per_100_g_cured(r)),
            Self::Shopping => complete(cost.shopping(r)),
            Self::AtMargin(margin) => {
                let evaluation = evaluate(of.design, of.library);
                let clear = NoStop::of(of.design, &evaluation, of.library).map_err(|s| Unknown::from(s.to_string()))?;
                complete(price::of_bar(r, &cost, *margin, &clear))
            }
        }
    }
    fn trust(&self, of: About<'_>) -> String {
        match self {
            Self::Batch | Self::Bar => AS_PRICED.into(),
            Self::AtLeast => {
                let cost = Cost::of(of.design, of.evaluation);
                let missing = cost.as_ref().map(|c| c.missing().collect::<Vec<_>>().join(", ")).unwrap_or_default();
                format!("It will be more: there is no price of {missing}.")
            }
            Self::PerHundred => {
                "As sure as the forecast of the weight; the prices are taken as typed. It compares bars of \
                                 different sizes."
                    .into()
            }
            Self::Shopping => {
                "As if nothing were on the shelf: whole packs of everything, also of what is there already.".into()
            }
            Self::AtMargin(_) => "What is left of the price when the materials are paid is the margin; work, packing, \
                                  power and taxes come out of it."
                .into(),
        }
    }
}

/// What is told of a material of the batch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfMaterial {
    /// How much is used.
    Mass,
    /// What that costs.
    Cost,
    /// Packs to buy.
    Packs,
    /// What they cost.
    Pays,
    /// What is left of them.
    Left,
}

impl OfMaterial {
    /// All.
    pub const ALL: [Self; 5] = [Self::Mass, Self::Cost, Self::Packs, Self::Pays, Self::Left];

    /// Its name in the report.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Mass => "mass_g",
            Self::Cost => "cost",
            Self::Packs => "packs",
            Self::Pays => "pays",
            Self::Left => "left_g",
        }
    }
}

/// A material of the batch, by its id among the prices, over all stages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MaterialCost(pub String, pub OfMaterial);

fn no_price<N>(line: &CostLine<N>) -> Unknown {
    format!("{} has no price yet", line.name).into()
}

impl Quantity for MaterialCost {
    fn key(&self, of: About<'_>) -> String {
        let cost = Cost::of(of.design, of.evaluation);
        let place = cost.and_then(|c| c.lines().iter().position(|line| line.material == self.0));
        format!("cost.lines.{}.{}", place.unwrap_or_default(), self.1.key())
    }
    fn title(&self, of: About<'_>) -> String {
        let name = of.design.material_name(&self.0).unwrap_or(&self.0);
        match self.1 {
            OfMaterial::Mass => format!("{name}, used"),
            OfMaterial::Cost => format!("{name}, cost of what is used"),
            OfMaterial::Packs => format!("{name}, to buy"),
            OfMaterial::Pays => format!("{name}, cost of whole packs"),
            OfMaterial::Left => format!("{name}, left of whole packs"),
        }
    }
    fn unit(&self, of: About<'_>) -> Unit {
        match self.1 {
            OfMaterial::Mass | OfMaterial::Left => Unit::Grams,
            OfMaterial::Packs => Unit::Packs,
            OfMaterial::Cost | OfMaterial::Pays => Unit::Money(of.design.currency.clone()),
        }
    }
    fn decimals(&self, _: About<'_>) -> usize {
        match self.1 {
            OfMaterial::Mass | OfMaterial::Left => 1,
            OfMaterial::Packs => 0,
            OfMaterial::Cost | OfMaterial::Pays => 2,
        }
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let cost = cost(r, of)?;
        let line = cost.lines().iter().find(|line| line.material == self.0);
        let line = line.ok_or_else(|| Unknown::Absent("the batch takes no such material".into()))?;
        let purchase = || cost.purchase(r, line).ok_or_else(|| no_price(line));
        match self.1 {
            OfMaterial::Mass => Ok(line.mass.0),
            OfMaterial::Cost => cost.of_line(r, line).ok_or_else(|| no_price(line)),
            OfMaterial::Packs => purchase().map(|p| p.packs),
            OfMaterial::Pays => purchase().map(|p| p.pays),
            OfMaterial::Left => purchase().map(|p| p.left.0),
        }
    }
    fn trust(&self, _: About<'_>) -> String {
        match self.1 {
            OfMaterial::Mass => {
                "Exact arithmetic on what the design says; a material that goes in at two stages is one here."
            }
            OfMaterial::Cost => AS_PRICED,
            OfMaterial::Packs | OfMaterial::Pays => "As if nothing were on the shelf.",
            OfMaterial::Left => "As if nothing were on the shelf and none were spilt.",
        }
        .into()
    }
}
