//! What stands in the form, read into a lot.

use super::super::super::fields::{Wrong, line, mass, shown_mass, typed, typed_day, whole};
use super::super::super::scene::Scene;
use barwright_core::bench::day::shown;
use barwright_core::design::log::LotId;
use barwright_core::design::own::{acids, allergens};
use barwright_core::design::shelf::{Lot, Papers, Produce, Stuff};
use barwright_core::design::supplier::USUAL_MARGIN;
use barwright_core::design::words::{Day, Line};
use barwright_core::number::{parse, short};
use barwright_core::units::{AmountMass, PurityMargin, Share, SvMargin};

// The names of the fields.
pub(super) const MATERIAL: &str = super::stuff::PICK;
pub(super) const CAME: &str = "How much came";
pub(super) const SUPPLIER: &str = "Supplier of the lot";
pub(super) const NUMBER: &str = "The supplier’s number";
pub(super) const BOUGHT: &str = "Day on which it came";
pub(super) const BEST: &str = "Best before this day";
pub(super) const OPENED: &str = "Day on which it was opened";
pub(super) const DAYS: &str = "Days it is good once open";
pub(super) const PRICE: &str = "Price of a pack";
pub(super) const PACK: &str = "Content of a pack";
pub(super) const SV: &str = "Saponification value by its papers";
pub(super) const SV_PM: &str = "± of its saponification value";
pub(super) const ACIDS: &str = "Fatty acids by its papers";
pub(super) const PURITY: &str = "Purity by its papers";
pub(super) const PURITY_PM: &str = "± of its purity";
pub(super) const MOST: &str = "Most of it in soap, percent";
pub(super) const ALLERGENS: &str = "Allergens by its papers";
pub(super) const VARIETY: &str = "Variety of the harvest";
pub(super) const BED: &str = "Bed of the harvest";
pub(super) const PICKED: &str = "Day of the harvest";
pub(super) const RAW: &str = "Weight raw";
pub(super) const COOKED: &str = "Weight cooked";
pub(super) const DRIED_FROM: &str = "Sample before drying";
pub(super) const DRIED: &str = "Sample when dry";
pub(super) const PORTIONS: &str = "Portions in the freezer";
pub(super) const THAW: &str = "Thaw by this day";
pub(super) const NOTE: &str = "Note on the lot";

/// The texts of the fields.
#[derive(Debug, Clone, Default)]
pub(super) struct Typed {
    pub came: String,
    pub supplier: String,
    pub number: String,
    pub bought: String,
    pub best_before: String,
    pub opened: String,
    pub days_once_open: String,
    pub price: String,
    pub pack: String,
    pub sv: String,
    pub sv_pm: String,
    pub acids: String,
    pub purity: String,
    pub purity_pm: String,
    pub caked: bool,
    pub most_in_soap: String,
    pub allergens: String,
    pub from_garden: bool,
    pub variety: String,
    pub bed: String,
    pub harvested: String,
    pub raw: String,
    pub cooked: String,
    pub dried_from: String,
    pub dried: String,
    pub portions: String,
    pub thaw_by: String,
    pub note: String,
}

/// As many places as are ever typed: a field shows what was typed.
fn figure(value: f64) -> String {
    short(value, 6)
}

fn day(day: Option<Day>) -> String {
    day.map(|d| shown(d.0)).unwrap_or_default()
}

fn listed(of: &[(Line, Share)]) -> String {
    of.iter().map(|(what, share)| format!("{what} {}", figure(share.get()))).collect::<Vec<_>>().join("\n")
}

impl Typed {
    /// What is known of `lot`.
    pub(super) fn of(lot: &Lot, scene: Scene<'_>) -> Self {
        let unit = scene.measures.mass;
        let weight = |g: Option<AmountMass>| g.map(|g| shown_mass(g.get(), unit)).unwrap_or_default();
        let (papers, produce) = (&lot.papers, lot.produce.clone().unwrap_or_default());
        Self {
            came: shown_mass(lot.grams.get(), unit),
            supplier: lot.supplier.to_string(),
            number: lot.number.to_string(),
            bought: day(lot.bought),
            best_before: day(lot.best_before),
            opened: day(lot.opened),
            days_once_open: lot.days_once_open.map(|d| d.to_string()).unwrap_or_default(),
            price: lot.price.map(|p| figure(p.get())).unwrap_or_default(),
            pack: lot.pack.map(|p| shown_mass(p.get(), unit)).unwrap_or_default(),
            sv: papers.sv.map(|(sv, _)| figure(sv.get())).unwrap_or_default(),
            sv_pm: papers.sv.map(|(_, pm)| figure(pm.get())).unwrap_or_default(),
            acids: listed(&papers.acids),
            purity: papers.purity.map(|(p, _)| figure(p.get())).unwrap_or_default(),
            purity_pm: papers.purity.map(|(_, pm)| figure(pm.get())).unwrap_or_default(),
            caked: lot.caked,
            most_in_soap: papers.most_in_soap.map(|m| figure(m.get())).unwrap_or_default(),
            allergens: listed(&papers.allergens),
            from_garden: lot.produce.is_some(),
            variety: produce.variety.to_string(),
            bed: produce.bed.to_string(),
            harvested: day(produce.harvested),
            raw: weight(produce.raw),
            cooked: weight(produce.cooked),
            dried_from: weight(produce.dried.map(|(before, _)| before)),
            dried: weight(produce.dried.map(|(_, after)| after)),
            portions: if produce.portions > 0 { produce.portions.to_string() } else { String::new() },
            thaw_by: day(produce.thaw_by),
            note: lot.note.to_string(),
        }
    }

    /// The lot that stands there, in place of `before` if there was one.
    pub(super) fn lot(&self, before: Option<&Lot>, stuff: Stuff, scene: Scene<'_>) -> Result<Lot, Wrong> {
        let unit = scene.measures.mass;
        let on = |called, text: &str| typed_day(called, text, scene.region);
        let money = |text: &str| parse(text, &[scene.shelf().currency.as_str()]);
        let grams = mass(CAME, &self.came, unit)?.ok_or((CAME, "say how much came".to_owned()))?;
        let corrections = before.map(|lot| lot.corrections.clone()).unwrap_or_default();
        let id = before.map_or(LotId(0), |lot| lot.id);
        let is_alkali = matches!(stuff, Stuff::SodiumHydroxide | Stuff::PotassiumHydroxide);
        let is_addition = matches!(stuff, Stuff::Addition(_));
        Ok(Lot {
            supplier: line(SUPPLIER, &self.supplier)?,
            number: line(NUMBER, &self.number)?,
            bought: on(BOUGHT, &self.bought)?,
            opened: on(OPENED, &self.opened)?,
            best_before: on(BEST, &self.best_before)?,
            days_once_open: whole(DAYS, &self.days_once_open)?,
            pack: mass(PACK, &self.pack, unit)?,
            price: typed(PRICE, &self.price, money)?,
            papers: self.papers(&stuff, scene)?,
            produce: (self.from_garden && is_addition).then(|| self.produce(scene)).transpose()?,
            caked: self.caked && is_alkali,
            note: line(NOTE, &self.note)?,
            corrections,
            ..Lot::new(id, stuff, grams)
        })
    }

    /// What the papers say of such a material; what is of another kind is left out.
    fn papers(&self, stuff: &Stuff, scene: Scene<'_>) -> Result<Papers, Wrong> {
        let percent = |text: &str| parse(text, &["%"]);
        let plain = |text: &str| parse(text, &["mg KOH/g", "mg/g", "mg"]);
        let mut papers = Papers::default();
        match stuff {
            Stuff::Fat(_) => {
                let pm = typed(SV_PM, &self.sv_pm, plain)?.unwrap_or(SvMargin::nearest(USUAL_MARGIN));
                papers.sv = typed(SV, &self.sv, plain)?.map(|sv| (sv, pm));
                papers.acids = self.read_acids(scene)?;
            }
            Stuff::SodiumHydroxide | Stuff::PotassiumHydroxide => {
                let pm = typed(PURITY_PM, &self.purity_pm, percent)?.unwrap_or(PurityMargin::nearest(0.0));
                papers.purity = typed(PURITY, &self.purity, percent)?.map(|purity| (purity, pm));
            }
            Stuff::Scent(_) => {
                papers.most_in_soap = typed(MOST, &self.most_in_soap, percent)?;
                papers.allergens = self.read_allergens(scene)?;
            }
            Stuff::Addition(_) | Stuff::Other(_) => {}
        }
        Ok(papers)
    }

    fn read_acids(&self, scene: Scene<'_>) -> Result<Vec<(Line, Share)>, Wrong> {
        if self.acids.trim().is_empty() {
            return Ok(Vec::new());
        }
        let table = &scene.library.acids;
        let given = acids::Pasted::read(&self.acids, table).acids().map_err(|e| (ACIDS, e.to_string()))?;
        let one = |acid: acids::GivenAcid| {
            let share = Share::new(acid.typical.unwrap_or_else(|| acid.range.mid()));
            Ok((Line::shortened(&table.get(acid.acid).key), share.map_err(|e| (ACIDS, e.to_string()))?))
        };
        given.into_iter().map(one).collect()
    }

    fn read_allergens(&self, scene: Scene<'_>) -> Result<Vec<(Line, Share)>, Wrong> {
        if self.allergens.trim().is_empty() {
            return Ok(Vec::new());
        }
        let read = allergens::Pasted::read(&self.allergens, &scene.library.allergens);
        let (constituents, _) = read.lists().map_err(|e| (ALLERGENS, e.to_string()))?;
        Ok(constituents.into_iter().map(|c| (Line::shortened(&c.name), c.most)).collect())
    }

    /// What the garden gave.
    pub(super) fn produce(&self, scene: Scene<'_>) -> Result<Produce, Wrong> {
        let unit = scene.measures.mass;
        let on = |called, text: &str| typed_day(called, text, scene.region);
        let (before, after) = (mass(DRIED_FROM, &self.dried_from, unit)?, mass(DRIED, &self.dried, unit)?);
        let dried = match (before, after) {
            (None, None) => None,
            (Some(before), Some(after)) => Some((before, after)),
            _ => return Err((DRIED, "a dried sample has a weight before and one after".to_owned())),
        };
        let produce = Produce {
            variety: line(VARIETY, &self.variety)?,
            bed: line(BED, &self.bed)?,
            harvested: on(PICKED, &self.harvested)?,
            raw: mass(RAW, &self.raw, unit)?,
            cooked: mass(COOKED, &self.cooked, unit)?,
            dried,
            portions: whole(PORTIONS, &self.portions)?.unwrap_or(0),
            thaw_by: on(THAW, &self.thaw_by)?,
        };
        if dried.is_some() && produce.water().is_none() {
            return Err((DRIED, "a sample does not grow by drying: look at both weights again".to_owned()));
        }
        Ok(produce)
    }
}
