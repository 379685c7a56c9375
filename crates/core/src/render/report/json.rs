//! The report as JSON: it walks the quantities in their order.

use crate::bench::colour;
use crate::bench::label::{Label, ListStyle};
use crate::cautions::{self, Caution};
use crate::chemistry::colour::forecast::{Forecast, Shades};
use crate::chemistry::colour::optics::{Lab, on_screen};
use crate::chemistry::margin::Cause;
use crate::chemistry::masses::WaterSource;
use crate::chemistry::spread::End;
use crate::cost::Cost;
use crate::design::Design;
use crate::design::document::VERSION;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::library::estimates::Estimate;
use crate::library::shade::Shade;
use crate::number::short;
use crate::quantities::{
    self, About, AcidPercent, AdditionMass, AdditionWater, AllergenPercent, AnyQuantity, BarMm, BarOnDay, CostSum,
    DriverPart, DriverPoints, Drives, FatMass, FatSaponificationValue, FatShare, IngredientPercent, LimitedPercent,
    LineId, MaterialCost, OfBar, OfMaterial, ScentMass, Score, ScoreEnd, SettledDay, SoapOfDry, StyleEnd, WaterFrom,
    WaterRowMass,
};
use crate::units::Days;
use serde::ser::{Serialize, SerializeMap, Serializer};

/// A value whose members keep the order in which they were given.
#[derive(Debug, Clone)]
pub(super) enum Json {
    Nothing,
    Number(f64),
    Whole(u64),
    Text(String),
    Flag(bool),
    List(Vec<Self>),
    Members(Vec<(String, Self)>),
}

impl Serialize for Json {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Nothing => serializer.serialize_none(),
            Self::Number(number) => serializer.serialize_f64(*number),
            Self::Whole(number) => serializer.serialize_u64(*number),
            Self::Text(text) => serializer.serialize_str(text),
            Self::Flag(flag) => serializer.serialize_bool(*flag),
            Self::List(items) => serializer.collect_seq(items),
            Self::Members(members) => {
                let mut map = serializer.serialize_map(Some(members.len()))?;
                for (name, value) in members {
                    map.serialize_entry(name, value)?;
                }
                map.end()
            }
        }
    }
}

/// A member of an object.
pub(super) type Member = (String, Json);

pub(super) fn text(name: &str, text: impl Into<String>) -> Member {
    (name.into(), Json::Text(text.into()))
}

fn flag(name: &str, flag: bool) -> Member {
    (name.into(), Json::Flag(flag))
}

fn number(name: &str, number: f64) -> Member {
    (name.into(), Json::Number(number))
}

pub(super) fn texts<'t>(all: impl IntoIterator<Item = &'t str>) -> Json {
    Json::List(all.into_iter().map(|one| Json::Text(one.into())).collect())
}

/// The report as JSON; units stand in the keys, numbers are unrounded, and what is not computed
/// is `null`.
#[derive(Debug)]
pub struct Report(Json);

impl Serialize for Report {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(serializer)
    }
}

impl Report {
    /// The report of `design`, from its `evaluation`.
    pub fn new(design: &Design, evaluation: &Evaluation, library: &Library) -> Self {
        let about = About::new(design, evaluation, library);
        let sections = [
            text("name", design.name.as_str()),
            ("format".into(), Json::Whole(VERSION.into())),
            ("batch".into(), Json::Members(about.section(quantities::BATCH))),
            ("fats".into(), about.fats()),
            ("additions".into(), about.additions()),
            ("scents".into(), about.scents()),
            ("scent_limits".into(), about.scent_limits()),
            ("water".into(), about.water()),
            ("size".into(), about.size()),
            ("jug".into(), Json::Members(about.section(quantities::JUG))),
            ("margin".into(), about.margin()),
            ("chemistry".into(), about.chemistry()),
            ("acids_pct".into(), about.acids()),
            ("estimates".into(), about.estimates()),
            ("cure".into(), about.cure()),
            ("colour".into(), about.colour()),
            ("cost".into(), about.cost()),
            ("label".into(), about.label()),
            ("cautions".into(), Json::List(cautions::of(design, evaluation, library).iter().map(caution).collect())),
        ];
        Self(Json::Members(sections.into()))
    }

    /// The scores alone.
    pub(super) fn of_estimates(design: &Design, evaluation: &Evaluation, library: &Library) -> Self {
        Self(About::new(design, evaluation, library).estimates())
    }

    /// The report as indented JSON.
    ///
    /// # Errors
    /// From the JSON writer; no report is known that makes it fail.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self)
    }
}

fn caution(caution: &Caution) -> Json {
    let level = serde_json::to_value(caution.level).ok().and_then(|level| level.as_str().map(str::to_owned));
    Json::Members(vec![
        text("code", caution.code),
        text("level", level.unwrap_or_default()),
        text("text", caution.text()),
    ])
}

/// The last part of a key is the number's name within its object.
fn last(key: &str) -> &str {
    key.rsplit('.').next().unwrap_or(key)
}

impl About<'_> {
    fn value(self, quantity: &dyn AnyQuantity) -> Json {
        let Ok(value) = quantity.value(self) else { return Json::Nothing };
        if quantity.unit(self).is_whole() {
            // A count is a small whole number.
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count, never negative")]
            return Json::Whole(value as u64);
        }
        Json::Number(value)
    }

    fn member(self, quantity: &dyn AnyQuantity) -> Member {
        (last(&quantity.key(self)).into(), self.value(quantity))
    }

    fn section(self, list: &[(&str, &dyn AnyQuantity)]) -> Vec<Member> {
        list.iter().map(|(key, quantity)| (last(key).into(), self.value(*quantity))).collect()
    }

    fn fats(self) -> Json {
        let line = |line: &crate::design::blend::FatLine| {
            let id = || line.fat.id.clone();
            Json::Members(vec![
                text("fat", id()),
                self.member(&FatShare(id())),
                self.member(&FatMass(id())),
                self.member(&FatSaponificationValue(id())),
            ])
        };
        Json::List(self.design.blend.lines().iter().map(line).collect())
    }

    fn additions(self) -> Json {
        let line = |(i, line): (usize, &crate::library::additions::AdditionLine)| {
            let id = LineId::of_addition(self.design, i)?;
            Some(Json::Members(vec![
                text("addition", line.addition.id.clone()),
                text("stage", format!("{:?}", line.stage)),
                self.member(&AdditionMass(id.clone())),
                self.member(&AdditionWater(id)),
                flag("counts_as_water", line.counts_as_water),
            ]))
        };
        Json::List(self.design.additions.iter().enumerate().filter_map(line).collect())
    }

    fn scents(self) -> Json {
        let line = |(i, line): (usize, &crate::library::scents::ScentLine)| {
            Some(Json::Members(vec![
                text("scent", line.scent.id.clone()),
                text("stage", format!("{:?}", line.stage)),
                self.member(&ScentMass(LineId::of_scent(self.design, i)?)),
            ]))
        };
        Json::List(self.design.scents.iter().enumerate().filter_map(line).collect())
    }

    fn scent_limits(self) -> Json {
        let finding = |f: &crate::library::scents::Finding| {
            Json::Members(vec![
                text("substance", f.substance.as_str()),
                self.member(&LimitedPercent(f.substance.clone())),
                number("limit_pct", f.limit.0),
                flag("from_memory", f.from_memory),
            ])
        };
        Json::List(self.evaluation.scents.findings.iter().map(finding).collect())
    }

    fn water(self) -> Json {
        let row = |row: &crate::chemistry::masses::WaterRow| {
            let from = match row.source {
                WaterSource::Weighed => "water to weigh".into(),
                WaterSource::PotassiumHydroxide => "potassium hydroxide".into(),
                WaterSource::Addition(i) => self.design.additions[i].addition.id.to_string(),
                WaterSource::Made => "made by acids and alkali".into(),
            };
            Some(Json::Members(vec![
                text("from", from),
                self.member(&WaterRowMass(WaterFrom::of(row.source, self.design)?)),
                text("stage", format!("{:?}", row.stage)),
                flag("counted", row.counted),
            ]))
        };
        Json::List(self.evaluation.water.iter().filter_map(row).collect())
    }

    fn size(self) -> Json {
        let mut members = self.section(quantities::SIZE);
        let measures: Vec<Json> = (0..self.bar_measures()).map(|i| self.value(&BarMm(i))).collect();
        let measures = if measures.is_empty() { Json::Nothing } else { Json::List(measures) };
        members.push(("bar_mm".into(), measures));
        Json::Members(members)
    }

    fn margin(self) -> Json {
        let mut members = self.section(quantities::MARGIN);
        let drivers = self.evaluation.margin.iter().flat_map(|margin| &margin.drivers);
        let driver = |driver: &crate::chemistry::margin::Driver| {
            let cause = match driver.cause {
                Cause::SaponificationValue(i) => self.design.blend.lines()[i].fat.id.to_string(),
                Cause::NaohPurity => "purity of the sodium hydroxide".into(),
                Cause::KohPurity => "purity of the potassium hydroxide".into(),
                Cause::Scale => "scale".into(),
            };
            let drives = Drives::of(driver.cause, self.design)?;
            let of_cause = [self.member(&DriverPoints(drives.clone())), self.member(&DriverPart(drives))];
            Some(Json::Members(std::iter::once(text("cause", cause)).chain(of_cause).collect()))
        };
        members.push(("drivers".into(), Json::List(drivers.filter_map(driver).collect())));
        Json::Members(members)
    }

    fn chemistry(self) -> Json {
        let mut members = self.section(quantities::CHEMISTRY);
        let soap = quantities::nearest_soap(self).map_or(Json::Nothing, |(soap, _)| Json::Text(soap.name.clone()));
        let place = members.iter().position(|(name, _)| name.starts_with("nearest_soap"));
        members.insert(place.unwrap_or(members.len()), ("nearest_soap".into(), soap));
        Json::Members(members)
    }

    /// Acids in table order.
    fn acids(self) -> Json {
        let acids = self.library.acids.iter().map(|(id, _)| self.member(&AcidPercent(id)));
        Json::Members(acids.filter(|(_, value)| !matches!(value, Json::Nothing)).collect())
    }

    fn estimates(self) -> Json {
        let estimate = |estimate: Estimate| {
            let ends = End::BOTH.map(|end| self.member(&ScoreEnd(estimate, end)));
            let range = End::BOTH.map(|end| self.member(&StyleEnd(estimate, end)));
            let place = self.evaluation.estimate(estimate).and_then(|result| result.place);
            let place = place.map_or(Json::Nothing, |place| Json::Text(place.word().into()));
            let value = ("value".into(), self.value(&Score(estimate)));
            let all = std::iter::once(value).chain(ends).chain(range).chain([("place".into(), place)]);
            (estimate.key().into(), Json::Members(all.collect()))
        };
        Json::Members(Estimate::ALL.map(estimate).into())
    }

    /// A bar by the day of cure: as cut, weekly for four weeks, at sale, and settled.
    fn cure(self) -> Json {
        let Some(cure) = &self.evaluation.cure else { return Json::Nothing };
        let mut days: Vec<f64> = [0.0, 7.0, 14.0, 21.0, 28.0, cure.days().get()].into();
        days.extend(SettledDay.value(self).ok());
        days.sort_by(f64::total_cmp);
        days.dedup();
        let on = |day: f64| {
            let of_day = OfBar::ALL.map(|what| (what.key().into(), self.value(&BarOnDay(Days::nearest(day), what))));
            (short(day, 3), Json::Members(of_day.into()))
        };
        let mut members = self.section(quantities::CURE);
        members.push(("days".into(), Json::Members(days.into_iter().map(on).collect())));
        Json::Members(members)
    }

    /// The colours from pale to deep, as L*, a* and b* and as a screen has them; none where something hides them.
    fn colour(self) -> Json {
        let forecast = colour::forecast(self.design, self.evaluation, self.library);
        let shades = forecast.as_ref().and_then(|forecast| forecast.shades(1.0));
        let words = forecast.as_ref().map_or_else(Vec::new, |forecast| forecast.words(self.design));
        let basis = forecast.as_ref().map(Forecast::basis_words);
        let each = |of: &dyn Fn(Lab) -> Json| {
            let named = |Shades { pale, likely, deep }| [("pale", pale), ("likely", likely), ("deep", deep)];
            shades.map_or(Json::Nothing, |shades| {
                Json::Members(named(shades).map(|(name, colour)| (name.into(), of(colour))).into())
            })
        };
        let lab = |colour: Lab| Json::List([colour.l, colour.a, colour.b].map(Json::Number).into());
        let srgb = |colour: Lab| Json::Text(Shade { rgb: on_screen(colour) }.to_string());
        let mut members = self.section(quantities::COLOUR);
        members.extend([
            ("lab".into(), each(&lab)),
            ("srgb".into(), each(&srgb)),
            text("basis", basis.unwrap_or_default()),
            ("words".into(), texts(words.iter().map(String::as_str))),
        ]);
        Json::Members(members)
    }

    fn cost(self) -> Json {
        let cost = Cost::of(self.design, self.evaluation);
        let lines = cost.as_ref().map_or(&[][..], Cost::lines);
        let line = |line: &crate::cost::CostLine| {
            let numbers = OfMaterial::ALL.map(|what| self.member(&MaterialCost(line.material.clone(), what)));
            Json::Members(std::iter::once(text("material", line.material.as_str())).chain(numbers).collect())
        };
        let missing = lines.iter().filter(|l| l.price.is_none()).map(|l| l.material.as_str());
        Json::Members(vec![
            self.member(&CostSum::Batch),
            self.member(&CostSum::Bar),
            self.member(&CostSum::PerHundred),
            self.member(&CostSum::Shopping),
            text("currency", self.design.currency.as_str()),
            self.member(&CostSum::AtLeast),
            ("missing".into(), texts(missing)),
            ("lines".into(), Json::List(lines.iter().map(line).collect())),
        ])
    }

    fn label(self) -> Json {
        let Ok(label) = Label::of(self.design, self.evaluation, self.library) else { return Json::Nothing };
        let names = |style| texts(label.ingredients(style).iter().map(|i| i.name.as_str()));
        let percents = |style: ListStyle| {
            let each = label.ingredients(style).iter();
            let each = each.map(|i| self.value(&IngredientPercent(style, i.name.clone())));
            (style.key().into(), Json::List(each.collect()))
        };
        let finding = |f: &crate::library::allergens::AllergenFinding| {
            Json::Members(vec![
                text("name", f.name.as_str()),
                self.member(&AllergenPercent(f.name.clone())),
                flag("declared", f.is_declared()),
                flag("from_memory", f.from_memory),
            ])
        };
        Json::Members(vec![
            ("as_put_in".into(), names(ListStyle::AsPutIn)),
            percents(ListStyle::AsPutIn),
            ("as_in_the_bar".into(), names(ListStyle::AsInTheBar)),
            percents(ListStyle::AsInTheBar),
            ("allergens".into(), texts(label.allergens.declared().map(|f| f.name.as_str()))),
            ("allergen_findings".into(), Json::List(label.allergens.findings.iter().map(finding).collect())),
            self.member(&SoapOfDry),
            ("unconfirmed".into(), texts(label.unconfirmed())),
        ])
    }
}
