//! What the batch costs, as JSON.

use crate::bench::cost::{Cost, CostLine, Total};
use crate::design::Design;
use crate::evaluate::Evaluation;
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(super) struct CostReport {
    batch: Option<f64>,
    bar: Option<f64>,
    per_100_g_cured: Option<f64>,
    /// Whole packs of everything.
    shopping: Option<f64>,
    currency: String,
    /// What the priced materials of the batch cost while others have no price.
    at_least: Option<f64>,
    /// Ids of the materials without a price.
    missing: Vec<String>,
    lines: Vec<LineReport>,
}

#[derive(Debug, Serialize)]
struct LineReport {
    material: String,
    mass_g: f64,
    cost: Option<f64>,
    packs: Option<f64>,
    pays: Option<f64>,
    left_g: Option<f64>,
}

impl From<&CostLine> for LineReport {
    fn from(line: &CostLine) -> Self {
        let purchase = line.purchase();
        Self {
            material: line.material.clone(),
            mass_g: line.mass.0,
            cost: line.cost(),
            packs: purchase.map(|p| p.packs),
            pays: purchase.map(|p| p.pays),
            left_g: purchase.map(|p| p.left.0),
        }
    }
}

impl CostReport {
    pub(super) fn new(design: &Design, evaluation: &Evaluation) -> Self {
        let cost = Cost::of(design, evaluation);
        let complete = |total: fn(&Cost) -> Total| cost.as_ref().and_then(|c| total(c).complete());
        let lines = cost.as_ref().map_or(&[][..], Cost::lines);
        let at_least = cost.as_ref().map(Cost::batch).filter(|t| t.complete().is_none());
        Self {
            batch: complete(Cost::batch),
            bar: complete(Cost::bar),
            per_100_g_cured: complete(Cost::per_100_g_cured),
            shopping: complete(Cost::shopping),
            currency: design.currency.clone(),
            at_least: at_least.map(Total::known),
            missing: lines.iter().filter(|l| l.price.is_none()).map(|l| l.material.clone()).collect(),
            lines: lines.iter().map(LineReport::from).collect(),
        }
    }
}
