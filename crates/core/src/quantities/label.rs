//! Percents of the ingredient lists, of allergens and of limited substances.

use super::{About, NO_FATS, Quantity, Unknown};
use crate::bench::label::{self, Ingredient, Ingredients, ListStyle, NameStatus, Origin};
use crate::formula::{Plain, Reading};
use crate::number::places;
use crate::quantity::Unit;
use crate::trust::Trust;

fn label<R: Reading>(r: R, of: About<'_, R::N>) -> Result<Ingredients<R::N>, Unknown> {
    Ingredients::read(r, of.design, of.evaluation, of.library).ok_or_else(|| NO_FATS.into())
}

/// An ingredient in percent, by the name that is printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IngredientPercent(pub ListStyle, pub String);

impl IngredientPercent {
    /// It, where it stands in its list.
    fn find<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<(usize, Ingredient<R::N>), Unknown> {
        let list = label::ingredients(r, self.0, of.design, of.evaluation).ok_or(Unknown::from(NO_FATS))?;
        let found = list.into_iter().enumerate().find(|(_, i)| i.name == self.1);
        found.ok_or_else(|| Unknown::Absent("the batch has no such ingredient".into()))
    }
}

impl ListStyle {
    /// Its name in the report.
    pub const fn key(self) -> &'static str {
        match self {
            Self::AsPutIn => "as_put_in_pct",
            Self::AsInTheBar => "as_in_the_bar_pct",
        }
    }
}

impl Quantity for IngredientPercent {
    fn key(&self, of: About<'_>) -> String {
        let place = self.find(Plain, of).map_or(0, |(place, _)| place);
        format!("label.{}.{place}", self.0.key())
    }
    fn title(&self, _: About<'_>) -> String {
        format!("{}, {}", self.1, self.0.words().to_lowercase())
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Percent
    }
    fn decimals(&self, of: About<'_>) -> usize {
        // Under 1 % with three significant digits.
        let found = self.find(Plain, of).ok().map(|(_, found)| found);
        found.filter(Ingredient::is_under_one_percent).map_or(1, |i| places(i.percent, 3))
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        self.find(r, of).map(|(_, found)| found.percent)
    }
    fn trust(&self, of: About<'_>) -> String {
        let Ok((_, found)) = self.find(Plain, of) else { return String::new() };
        let mut trust = match (self.0, found.made_of.first()) {
            (ListStyle::AsPutIn, _) | (_, None) => {
                "What is weighed at the time of adding, so as good as the scale; water in food stays with the food."
            }
            (ListStyle::AsInTheBar, Some(part)) => of.of_the_bar(part.origin),
        }
        .to_owned();
        if found.status == NameStatus::Unconfirmed {
            trust.push_str(" The name was not found in the inventory read: confirm it.");
        }
        trust
    }
}

impl About<'_> {
    /// How far to trust what is in the bar.
    fn of_the_bar(self, origin: Origin) -> &'static str {
        match origin {
            Origin::Soap(..) | Origin::FreeFat(_) | Origin::Glycerol if self.design.superfat.get() > 0.0 => {
                "Stoichiometry over the bar as it is forecast for the day of sale, from the middle of each saponification \
                 value’s range. Which of the fats stays free is not known, so the superfat is spread over them evenly. \
                 What does not saponify counts with the soap."
            }
            Origin::Soap(..) | Origin::FreeFat(_) | Origin::Glycerol => {
                "Stoichiometry over the bar as it is forecast for the day of sale, from the middle of each saponification \
                 value’s range. What does not saponify counts with the soap."
            }
            Origin::SpareAlkali(_) => {
                "Alkali that finds no fat by this plan. It goes on reacting, with what superfat there is by chance, with \
                 additions and scent, and with the air, in which it becomes carbonate. It burns skin: do not use such a bar."
            }
            Origin::WaterAtSale => "As sure as the forecast of the drying: weigh the bars.",
            Origin::DriedAddition(_) | Origin::Salt(..) => {
                "Over the bar as it is forecast for the day of sale. Contents are from food tables or by formula; what lye \
                 makes of sugars, colours and proteins is not worked out."
            }
            Origin::Scent(_) => "Over the bar as it is forecast for the day of sale, as if nothing evaporated.",
            Origin::Fat(_) | Origin::Alkali(_) | Origin::WaterToWeigh | Origin::WaterOfKoh | Origin::Addition(_) => {
                "Over the bar as it is forecast for the day of sale."
            }
        }
    }

    /// Whether any scent holds something of the figures that `holds` finds by a figure from memory.
    fn remembered(self, holds: impl Fn(usize) -> bool) -> &'static str {
        let there = self.evaluation.scents.masses.iter().enumerate().filter(|(_, mass)| mass.0 > 0.0);
        let mut remembered = there.filter(|(i, _)| holds(*i));
        if remembered.next().is_some() { " A figure from memory may not be the largest." } else { "" }
    }
}

/// Soap in what is not water in the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SoapOfDry;

impl Quantity for SoapOfDry {
    fn key(&self, _: About<'_>) -> String {
        "label.soap_of_dry_pct".into()
    }
    fn title(&self, _: About<'_>) -> String {
        "Soap in what is not water in the bar".into()
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Percent
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        label(r, of).map(|label| label.soap_of_dry)
    }
    fn trust(&self, _: About<'_>) -> String {
        "As good as the saponification values, of which the middle of the range counts. What does not saponify, and the \
         alcohols of a wax, count as soap in it, and free fatty acids as glycerides, so it is rather too high. It hardly \
         depends on the cure."
            .into()
    }
}

/// An allergen in the bar dried out, by its name in the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AllergenPercent(pub String);

impl Quantity for AllergenPercent {
    fn key(&self, of: About<'_>) -> String {
        let findings = Ingredients::of(of.design, of.evaluation, of.library).map(|l| l.allergens.findings);
        let place = findings.and_then(|all| all.iter().position(|f| f.name == self.0));
        format!("label.allergen_findings.{}.bar_pct", place.unwrap_or_default())
    }
    fn title(&self, _: About<'_>) -> String {
        format!("{} in the bar dried out, at most", self.0)
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Percent
    }
    fn decimals(&self, of: About<'_>) -> usize {
        places(self.read(Plain, of).unwrap_or_default(), 3)
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let findings = label(r, of)?.allergens.findings;
        let found = findings.iter().find(|f| f.name == self.0).map(|f| f.percent);
        found.ok_or_else(|| Unknown::Absent(NONE.into()))
    }
    fn trust(&self, of: About<'_>) -> String {
        let index = of.library.allergens.iter().position(|a| a.name == self.0);
        let remembered = of.remembered(|scent| {
            let holdings = index.map(|index| of.library.allergens.holdings(&of.design.scents[scent].scent, index));
            holdings.is_some_and(|all| all.iter().any(|h| h.trust() == Some(Trust::FromMemory)))
        });
        format!(
            "More than there will be on the day of sale: the largest published figures over the lightest bar, with 5 % of \
             water, as if nothing evaporated or were taken apart by lye.{remembered} A supplier’s certificate is better. It \
             is named on the label over 0.01 %."
        )
    }
}

const NONE: &str = "the scents bring none of it";

/// A substance with a limit in the bar dried out, by its name in the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LimitedPercent(pub String);

impl Quantity for LimitedPercent {
    fn key(&self, of: About<'_>) -> String {
        let place = of.evaluation.scents.findings.iter().position(|f| f.substance == self.0);
        format!("scent_limits.{}.bar_pct", place.unwrap_or_default())
    }
    fn title(&self, _: About<'_>) -> String {
        format!("{} in the bar dried out, at most", self.0)
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Percent
    }
    fn decimals(&self, of: About<'_>) -> usize {
        places(self.read(Plain, of).unwrap_or_default(), 3)
    }
    fn read<R: Reading>(&self, _: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let found = of.evaluation.scents.findings.iter().find(|f| f.substance == self.0);
        found.map(|f| f.percent.0).ok_or_else(|| Unknown::Absent(NONE.into()))
    }
    fn trust(&self, of: About<'_>) -> String {
        let limits = &of.library.limits;
        let index = limits.iter().position(|l| l.substance == self.0);
        let remembered = of.remembered(|scent| {
            let holdings = index.map(|index| limits.holdings(&of.design.scents[scent].scent, index));
            let of_holdings = holdings.is_some_and(|all| all.iter().any(|h| h.trust() == Some(Trust::FromMemory)));
            // The limit counts too.
            let of_limit = index.and_then(|i| limits.iter().nth(i)).is_some_and(|l| l.trust == Trust::FromMemory);
            of_holdings || of_limit
        });
        of.forecast(&format!(
            "As much as there can be by the figures held: the largest of each over the lightest bar that the drying \
             allows.{remembered} Your lot’s certificate is better."
        ))
    }
}
