//! The numbers of the bar as it dries.

use super::figure::{Entry, Figure};
use super::sum::{grams, number};
use super::{About, Input, Parts};
use crate::chemistry::cure::{Cure, SETTLED_PERCENT, USUAL_HALF_DAYS, USUAL_THICKNESS};
use crate::design::mould::BarShape;
use crate::formula::Plain;
use crate::library::additions::AdditionKind;
use crate::library::fats::FatKind;
use crate::number::{fixed, parse, short, significant};
use crate::units::Days;

/// A number of one bar of the batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum CureFigure {
    /// After so many days of cure.
    OnDay(Days, OnDay),
    /// The day on which it has settled.
    Settled,
    /// Water that leaves it in the end.
    FreeWater,
}

/// What the bar is on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum OnDay {
    Weight,
    Water,
    FattyMatter,
}

/// The keys; D counts days from cutting.
pub(super) const KEYS: [&str; 5] =
    ["cure.free_water_g", "cure.settled_day", "cure.days.D.bar_g", "cure.days.D.water_pct", "cure.days.D.tfm_pct"];

const FORECAST: &str = "A forecast. Air, soap and stacking change the pace by half or more; the weight at the end is surer \
                        than the day. Weigh the bars before you declare a weight.";

/// From this part of the batter on it matters that something holds no water.
const MUCH: f64 = 0.05;

impl CureFigure {
    /// The number that `cure.` and `rest` name.
    pub(super) fn find(rest: &str) -> Option<Entry> {
        let entry = |figure, title: String, unit: &str, decimals| {
            Entry::of_design(Figure::Cure(figure), format!("cure.{rest}"), title, unit, decimals)
        };
        match rest {
            "settled_day" => return Some(entry(Self::Settled, "Cure until a bar has settled".into(), "days", 0)),
            "free_water_g" => return Some(entry(Self::FreeWater, "Water that can leave a bar".into(), "g", 1)),
            _ => {}
        }
        let (day, what) = rest.strip_prefix("days.")?.rsplit_once('.')?;
        let day = Days::new(parse(day, &[]).ok()?).ok()?;
        let on = short(day.get(), 1);
        let on_day = |what, title: String, unit: &str| Some(entry(Self::OnDay(day, what), title, unit, 1));
        match what {
            "bar_g" => on_day(OnDay::Weight, format!("A bar on day {on} of the cure"), "g"),
            "water_pct" => on_day(OnDay::Water, format!("Water in a bar on day {on}"), "%"),
            "tfm_pct" => on_day(OnDay::FattyMatter, format!("Total fatty matter of a bar on day {on}"), "%"),
            _ => None,
        }
    }

    pub(super) fn value(self, about: About<'_>) -> Result<f64, String> {
        let cure = about.cure()?;
        match self {
            Self::OnDay(day, OnDay::Weight) => Ok(cure.bar(Plain, day.get()).0),
            Self::OnDay(day, OnDay::Water) => Ok(cure.moisture(Plain, day.get())),
            Self::OnDay(day, OnDay::FattyMatter) => Ok(cure.tfm(Plain, about.tfm_fresh()?, day.get())),
            Self::Settled => cure.settled().map(f64::from).ok_or_else(|| "it does not settle within ten years".into()),
            Self::FreeWater => Ok(cure.free_water().0),
        }
    }

    pub(super) fn parts(self, about: About<'_>) -> Result<Parts, String> {
        match self {
            Self::OnDay(day, OnDay::Weight) => about.bar_on(day),
            Self::OnDay(day, OnDay::Water) => about.water_on(day),
            Self::OnDay(day, OnDay::FattyMatter) => about.tfm_on(day),
            Self::Settled => about.settled(),
            Self::FreeWater => about.free_water(),
        }
    }
}

impl About<'_> {
    pub(super) fn cure(self) -> Result<Cure, String> {
        self.evaluation.cure.ok_or_else(|| "there are no fats in the batch".into())
    }

    fn tfm_fresh(self) -> Result<f64, String> {
        self.evaluation.chemistry.tfm_fresh.ok_or_else(|| "the fatty matter of the fresh bar is not known".into())
    }

    /// What the pace of drying rests on.
    fn pace(cure: &Cure) -> [Input; 2] {
        let measures = match cure.shape() {
            BarShape::Block([a, b, c]) => format!("{} × {} × {} mm", fixed(a, 0), fixed(b, 0), fixed(c, 0)),
            BarShape::Disc { diameter, thickness } => {
                format!("disc of {} mm, {} mm thick", fixed(diameter, 0), fixed(thickness, 0))
            }
        };
        let half = format!("half the free water in {USUAL_HALF_DAYS} days at {USUAL_THICKNESS} mm, our estimate");
        [
            Input::worked_out("The bar", measures, cure.shape_words()),
            Input::worked_out("Diffusivity", format!("{} mm² a day", fixed(cure.diffusivity(), 2)), &half),
        ]
    }

    fn drying(self, cure: &Cure, day: Days) -> Vec<Input> {
        let process = &self.design.process;
        let days = format!("{} days from cutting", short(day.get(), 1));
        let is_sale = (day.get() - process.cure_days.get()).abs() < 1e-9;
        let asked = if is_sale { "the design" } else { "the day asked about" };
        let stays = format!("{} % of the bar", short(process.equilibrium_moisture.get(), 1));
        let mut inputs = vec![
            Input { name: "Cure".into(), value: days, source: asked.into(), trust: None },
            Input::chosen("Water that stays", stays),
        ];
        inputs.extend(Self::pace(cure));
        inputs
    }

    /// What is said of a forecast, with a warning where much of the bar holds no water as soap does.
    pub(super) fn forecast(self, says: &str) -> String {
        let waxes = self.fats().filter(|(line, _)| line.fat.kind == FatKind::Wax).map(|(_, mass)| mass);
        let lines = self.design.additions.iter().zip(&self.evaluation.addition_masses);
        let dry = lines.filter(|(line, _)| matches!(line.addition.kind, AdditionKind::Salt | AdditionKind::Filler));
        let dry = waxes.chain(dry.map(|(line, mass)| *mass * (1.0 - line.addition.contents.value.water.fraction())));
        let part = dry.map(|mass| mass.0).sum::<f64>() / self.evaluation.masses.batter.0;
        if part < MUCH {
            return says.into();
        }
        format!(
            "{says} {} % of this batter is salt, clay, meal or wax, which holds next to no water: the bar can dry further \
             than is said here.",
            fixed(100.0 * part, 0)
        )
    }

    fn fresh(cure: &Cure) -> Input {
        Input::worked_out("A fresh bar", grams(cure.fresh()), "batter ÷ number of bars")
    }

    pub(super) fn bar_on(self, day: Days) -> Result<Parts, String> {
        let cure = self.cure()?;
        let left = cure.moisture_ratio(day.get());
        let mut inputs = vec![
            Self::fresh(&cure),
            Input::worked_out("Water that can leave it", grams(cure.free_water()), "all its water less what stays"),
            Input::worked_out("Part of it still there", number(left), "diffusion through all faces (Crank 1975)"),
        ];
        inputs.extend(self.drying(&cure, day));
        Ok(Parts {
            formula: "fresh bar − water that can leave × (1 − part still there)",
            numbers: format!("{} − {} × (1 − {})", grams(cure.fresh()), grams(cure.free_water()), number(left)),
            inputs,
            trust: self.forecast(FORECAST),
        })
    }

    fn water_on(self, day: Days) -> Result<Parts, String> {
        let cure = self.cure()?;
        let (water, bar) = (cure.water(Plain, day.get()), cure.bar(Plain, day.get()));
        let mut inputs = vec![
            Input::worked_out("Water in it", grams(water), "all its water less what has left"),
            Input::worked_out("The bar", grams(bar), "the forecast of its drying"),
        ];
        inputs.extend(self.drying(&cure, day));
        Ok(Parts {
            formula: "100 × water in it ÷ bar",
            numbers: format!("100 × {} ÷ {}", grams(water), grams(bar)),
            inputs,
            trust: self.forecast(FORECAST),
        })
    }

    pub(super) fn tfm_on(self, day: Days) -> Result<Parts, String> {
        let (cure, fresh) = (self.cure()?, self.tfm_fresh()?);
        let bar = cure.bar(Plain, day.get());
        let mut inputs = vec![
            Input::worked_out("Total fatty matter, fresh", format!("{} %", number(fresh)), "of the fresh bar"),
            Self::fresh(&cure),
            Input::worked_out("The bar", grams(bar), "the forecast of its drying"),
        ];
        inputs.extend(self.drying(&cure, day));
        Ok(Parts {
            formula: "fatty matter of the fresh bar × fresh bar ÷ bar",
            numbers: format!("{} × {} ÷ {}", number(fresh), grams(cure.fresh()), grams(bar)),
            inputs,
            trust: self.forecast(
                "As sure as the forecast of the weight: only water is taken to leave. Fat in additions is not counted.",
            ),
        })
    }

    fn settled(self) -> Result<Parts, String> {
        let cure = self.cure()?;
        let day = cure.settled().ok_or("it does not settle within ten years")?;
        let loss = |day: u32| {
            let (before, after) = (cure.bar(Plain, f64::from(day) - 7.0), cure.bar(Plain, f64::from(day)));
            significant(100.0 * (before.0 - after.0) / before.0)
        };
        let before = if day > 7 { format!("{} % on day {}, ", loss(day - 1), day - 1) } else { String::new() };
        let mut inputs = vec![Self::fresh(&cure)];
        let stays = format!("{} % of the bar", short(self.design.process.equilibrium_moisture.get(), 1));
        inputs.push(Input::chosen("Water that stays", stays));
        inputs.extend(Self::pace(&cure));
        Ok(Parts {
            formula: "the first day on which the bar lost less than 0.5 % of its weight in the week before",
            numbers: format!("{before}{} % on day {day}, under {SETTLED_PERCENT} %", loss(day)),
            inputs,
            trust: "A forecast; 0.5 % a week is our choice of what counts as settled. Weigh a bar every week: when it \
                    hardly loses any more it has settled."
                .into(),
        })
    }

    fn free_water(self) -> Result<Parts, String> {
        let cure = self.cure()?;
        let (water, moisture) = (cure.water(Plain, 0.0), self.design.process.equilibrium_moisture);
        let numbers = format!(
            "max(0; {} − ({} − {}) × {} ÷ (1 − {}))",
            grams(water),
            grams(cure.fresh()),
            grams(water),
            number(moisture.fraction()),
            number(moisture.fraction())
        );
        let stays = format!("{} % of the bar", short(moisture.get(), 1));
        Ok(Parts {
            formula: "water in the fresh bar − what stays with its dry part",
            numbers,
            inputs: vec![
                Self::fresh(&cure),
                Input::worked_out("Water in it", grams(water), "the water account ÷ number of bars"),
                Input::chosen("Water that stays", stays),
            ],
            trust: self.forecast("Dried soap holds 9 to 14 % of water by the literature, more in damp air."),
        })
    }
}
