//! What the batch costs and what to buy for it.

use super::figure::{Entry, Figure};
use super::sum::{grams, number, sum};
use super::{About, Input, Parts};
use crate::bench::cost::{Cost, CostLine, KOH, NAOH, Total, WATER};
use crate::bench::weighing::What;
use crate::design::{Design, Price};
use crate::formula::Plain;
use crate::number::{fixed, parse, short};
use crate::units::{Grams, SalesMargin};

/// A sum of money or an amount to buy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum CostFigure {
    Batch,
    /// What has a price, while something has none.
    AtLeast,
    Bar,
    PerHundred,
    Shopping,
    /// What to ask for a bar.
    AtMargin(SalesMargin),
    /// Of a material, over all stages.
    Line(What, OfLine),
}

/// What has the id `id` among the prices, by its position in the design, so that it is followed when others come
/// and go.
fn what(id: &str, design: &Design) -> Option<What> {
    let fat = || design.blend.lines().iter().position(|l| l.fat.id.as_str() == id).map(What::Fat);
    let addition = || design.additions.iter().position(|l| l.addition.id.as_str() == id).map(What::Addition);
    let scent = || design.scents.iter().position(|l| l.scent.id.as_str() == id).map(What::Scent);
    match id {
        NAOH => Some(What::SodiumHydroxide),
        KOH => Some(What::PotassiumHydroxide),
        WATER => Some(What::Water),
        _ => fat().or_else(addition).or_else(scent),
    }
}

/// The id of `what` among the prices.
fn material(what: What, design: &Design) -> Option<&str> {
    match what {
        What::Fat(i) => design.blend.lines().get(i).map(|l| l.fat.id.as_str()),
        What::SodiumHydroxide => Some(NAOH),
        What::PotassiumHydroxide => Some(KOH),
        What::Water => Some(WATER),
        What::Addition(i) => design.additions.get(i).map(|l| l.addition.id.as_str()),
        What::Scent(i) => design.scents.get(i).map(|l| l.scent.id.as_str()),
    }
}

/// A number of a material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum OfLine {
    Mass,
    Cost,
    Packs,
    Pays,
    Left,
}

/// The keys; N counts the materials from 0, M is a margin in percent.
pub(super) const KEYS: [&str; 11] = [
    "cost.batch",
    "cost.at_least",
    "cost.bar",
    "cost.per_100_g_cured",
    "cost.shopping",
    "cost.bar_at_margin_pct.M",
    "cost.lines.N.mass_g",
    "cost.lines.N.cost",
    "cost.lines.N.packs",
    "cost.lines.N.pays",
    "cost.lines.N.left_g",
];

const NOTHING: &str = "there are no fats in the batch";
const AS_PRICED: &str = "Exact arithmetic on the prices as typed. Materials only: work, packing and power are not \
                         counted, and what stays in the pot is paid for too.";

impl CostFigure {
    /// The number that `cost.` and `rest` name.
    pub(super) fn find(rest: &str, about: About<'_>) -> Option<Entry> {
        let cost = Cost::of(about.design, about.evaluation);
        let currency = about.design.currency.as_str();
        let entry = |figure, title: String, unit: &str, decimals| {
            Entry::of_design(Figure::Cost(figure), format!("cost.{rest}"), title, unit, decimals)
        };
        let sum = |figure, title: &str| entry(figure, title.into(), currency, 2);
        Some(match rest {
            "batch" => sum(Self::Batch, "Materials of the batch"),
            "at_least" => sum(Self::AtLeast, "Materials of the batch that have a price"),
            "bar" => sum(Self::Bar, "Materials of a bar"),
            "per_100_g_cured" => sum(Self::PerHundred, "Materials of 100 g of the cured bar"),
            "shopping" => sum(Self::Shopping, "Whole packs of everything"),
            _ => {
                if let Some(percent) = rest.strip_prefix("bar_at_margin_pct.") {
                    let margin = SalesMargin::new(parse(percent, &[]).ok()?).ok()?;
                    let title = format!("A bar at a margin of {} %", short(margin.get(), 1));
                    return Some(entry(Self::AtMargin(margin), title, currency, 2));
                }
                let (place, last) = rest.strip_prefix("lines.")?.split_once('.')?;
                let cost = cost?;
                let is_it = |(i, line): &(usize, &CostLine)| line.material == place || place.parse() == Ok(*i);
                let (_, line) = cost.lines().iter().enumerate().find(is_it)?;
                let (name, weighed) = (&line.name, what(&line.material, about.design)?);
                let of_line = |of, title, unit: &str, decimals| entry(Self::Line(weighed, of), title, unit, decimals);
                match last {
                    "mass_g" => of_line(OfLine::Mass, format!("{name}, used"), "g", 1),
                    "cost" => of_line(OfLine::Cost, format!("{name}, cost of what is used"), currency, 2),
                    "packs" => of_line(OfLine::Packs, format!("{name}, to buy"), "packs", 0),
                    "pays" => of_line(OfLine::Pays, format!("{name}, cost of whole packs"), currency, 2),
                    "left_g" => of_line(OfLine::Left, format!("{name}, left of whole packs"), "g", 1),
                    _ => return None,
                }
            }
        })
    }

    pub(super) fn value(self, about: About<'_>) -> Result<f64, String> {
        let cost = about.cost()?;
        let complete = |total: Total| total.complete().ok_or_else(|| about.unpriced(&cost));
        match self {
            Self::Batch => complete(cost.batch()),
            Self::AtLeast => match cost.batch() {
                Total::AtLeast(known) => Ok(known),
                Total::Complete(_) => Err("every material has a price".into()),
            },
            Self::Bar => complete(cost.bar()),
            Self::PerHundred => complete(cost.per_100_g_cured()),
            Self::Shopping => complete(cost.shopping()),
            Self::AtMargin(margin) => complete(cost.bar().price(margin)),
            Self::Line(weighed, of) => {
                let line = about.cost_line(&cost, weighed)?;
                let purchase = || line.purchase().ok_or_else(|| no_price(line));
                match of {
                    OfLine::Mass => Ok(line.mass.0),
                    OfLine::Cost => line.cost().ok_or_else(|| no_price(line)),
                    OfLine::Packs => purchase().map(|p| p.packs),
                    OfLine::Pays => purchase().map(|p| p.pays),
                    OfLine::Left => purchase().map(|p| p.left.0),
                }
            }
        }
    }

    pub(super) fn parts(self, about: About<'_>) -> Result<Parts, String> {
        let cost = about.cost()?;
        let batch = number(cost.batch().known());
        let bars = f64::from(about.evaluation.masses.bars);
        let of_bars = Input::chosen("Bars", short(bars, 0));
        Ok(match self {
            Self::AtLeast => Parts {
                formula: "Σ what is used ÷ pack × price of the pack, over what has a price",
                numbers: sum(cost.lines().iter().filter_map(used)),
                inputs: about.prices(&cost),
                trust: format!(
                    "It will be more: there is no price of {}.",
                    cost.missing().collect::<Vec<_>>().join(", ")
                ),
            },
            Self::Batch => Parts {
                formula: "Σ what is used ÷ pack × price of the pack",
                numbers: sum(cost.lines().iter().filter_map(used)),
                inputs: about.prices(&cost),
                trust: AS_PRICED.into(),
            },
            Self::Bar => Parts {
                formula: "materials of the batch ÷ number of bars",
                numbers: format!("{batch} ÷ {}", short(bars, 0)),
                inputs: [about.money("Materials of the batch", cost.batch()), of_bars].into(),
                trust: AS_PRICED.into(),
            },
            Self::PerHundred => {
                let at_sale = about.cure()?.bar_at_sale(Plain);
                let name = "A bar at sale";
                Parts {
                    formula: "materials of a bar × 100 g ÷ weight of a bar at sale",
                    numbers: format!("{} × 100 ÷ {}", number(cost.bar().known()), grams(at_sale)),
                    inputs: [
                        about.money("Materials of a bar", cost.bar()),
                        Input::worked_out(name, grams(at_sale), "the forecast of its drying"),
                    ]
                    .into(),
                    trust: "As sure as the forecast of the weight; the prices are taken as typed. It compares bars of \
                            different sizes."
                        .into(),
                }
            }
            Self::Shopping => Parts {
                formula: "Σ whole packs × price of the pack",
                numbers: sum(cost.lines().iter().filter_map(|line| {
                    let price = line.price.as_ref()?.price.get();
                    Some(format!("{} × {}", short(line.purchase()?.packs, 0), number(price)))
                })),
                inputs: about.prices(&cost),
                trust: "As if nothing were on the shelf: whole packs of everything, also of what is there already."
                    .into(),
            },
            Self::AtMargin(margin) => Parts {
                formula: "materials of a bar ÷ (1 − margin)",
                numbers: format!("{} ÷ (1 − {})", number(cost.bar().known()), number(margin.fraction())),
                inputs: [
                    about.money("Materials of a bar", cost.bar()),
                    Input::chosen("Margin", format!("{} % of the price", short(margin.get(), 1))),
                ]
                .into(),
                trust: "What is left of the price when the materials are paid is the margin; work, packing, power and \
                        taxes come out of it."
                    .into(),
            },
            Self::Line(weighed, of) => about.of_line(about.cost_line(&cost, weighed)?, of)?,
        })
    }
}

fn no_price(line: &CostLine) -> String {
    format!("{} has no price yet", line.name)
}

/// What is used of a pack, times its price.
fn used(line: &CostLine) -> Option<String> {
    let Price { pack_g, price, .. } = line.price.as_ref()?;
    Some(format!("{} ÷ {} × {}", grams(line.mass), grams(Grams(pack_g.get())), number(price.get())))
}

impl About<'_> {
    fn cost(self) -> Result<Cost, String> {
        Cost::of(self.design, self.evaluation).ok_or_else(|| NOTHING.into())
    }

    fn cost_line(self, cost: &Cost, weighed: What) -> Result<&CostLine, String> {
        let id = material(weighed, self.design);
        let line = cost.lines().iter().find(|line| Some(line.material.as_str()) == id);
        line.ok_or_else(|| "the batch takes no such material".into())
    }

    /// Why a sum is not known, with what is known of it.
    fn unpriced(self, cost: &Cost) -> String {
        let missing: Vec<&str> = cost.missing().collect();
        let known = self.in_currency(cost.batch().known());
        format!("there is no price of {}; what has one comes to {known} for the batch", missing.join(", "))
    }

    fn in_currency(self, sum: f64) -> String {
        format!("{} {}", fixed(sum, 2), self.design.currency).trim_end().to_owned()
    }

    fn money(self, name: &str, total: Total) -> Input {
        Input::worked_out(name, self.in_currency(total.known()), "the prices as typed")
    }

    fn price(self, line: &CostLine) -> Option<Input> {
        let Price { pack_g, price, .. } = line.price.as_ref()?;
        let value = format!("{} for {}", self.in_currency(price.get()), grams(Grams(pack_g.get())));
        Some(Input::chosen(&format!("Price of {}", line.name), value))
    }

    fn prices(self, cost: &Cost) -> Vec<Input> {
        cost.lines().iter().filter_map(|line| self.price(line)).collect()
    }

    fn of_line(self, line: &CostLine, of: OfLine) -> Result<Parts, String> {
        let how = "the batch takes so much of it, over all stages";
        let mut inputs = vec![Input::worked_out(&line.name, grams(line.mass), how)];
        if of == OfLine::Mass {
            let trust = "Exact arithmetic on what the design says; a material that goes in at two stages is one here.";
            return Ok(Parts {
                formula: "sum of its weights over all stages",
                numbers: grams(line.mass),
                inputs,
                trust: trust.into(),
            });
        }
        let (Some(price), Some(buy)) = (line.price.as_ref(), line.purchase()) else { return Err(no_price(line)) };
        inputs.extend(self.price(line));
        let (pack, mass) = (grams(Grams(price.pack_g.get())), grams(line.mass));
        let (formula, numbers) = match of {
            OfLine::Mass | OfLine::Cost => {
                ("what is used ÷ pack × price of the pack", used(line).ok_or_else(|| no_price(line))?)
            }
            OfLine::Packs => ("what is used ÷ pack, rounded up to whole packs", format!("rounded up: {mass} ÷ {pack}")),
            OfLine::Pays => {
                ("packs × price of a pack", format!("{} × {}", short(buy.packs, 0), number(price.price.get())))
            }
            OfLine::Left => ("packs × pack − what is used", format!("{} × {pack} − {mass}", short(buy.packs, 0))),
        };
        let trust = match of {
            OfLine::Left => "As if nothing were on the shelf and none were spilt.",
            OfLine::Packs | OfLine::Pays => "As if nothing were on the shelf.",
            OfLine::Mass | OfLine::Cost => AS_PRICED,
        };
        Ok(Parts { formula, numbers, inputs, trust: trust.into() })
    }
}
