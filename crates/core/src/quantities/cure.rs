//! The bar as it dries.

use super::{About, NO_FATS, Quantity, Unknown, quantities};
use crate::cautions::NoStop;
use crate::chemistry::cure::{Cure, MOISTURE_BAND};
use crate::chemistry::inputs;
use crate::chemistry::masses::DRY_PART;
use crate::evaluate::evaluate;
use crate::formula::{Input, Num, Reading};
use crate::library::additions::AdditionKind;
use crate::library::fats::FatKind;
use crate::number::{short, significant};
use crate::quantity::Unit;
use crate::units::{Days, Grams};

quantities! {
    /// The cure, in the order of the report.
    CURE;
    /// Water that can leave a bar.
    FreeWater("cure.free_water_g", "Water that can leave a bar", Grams, 1) {
        |_r, of| cure(of).map(|c| c.free_water().0),
        |of| of.forecast("Cured soap is left with 5 to 14 % of water, about 10: less after years, more in damp air.")
    }
    /// A bar as if fully dried.
    DryEnd("cure.dry_end_g", "A bar as if fully dried", Grams, 1) {
        |r, of| {
            cure(of)?;
            let masses = &of.evaluation.masses;
            let dry = masses.batter - masses.water_in_batter();
            Ok(dry.0 / R::N::from(DRY_PART) / inputs::bars(r, masses.bars))
        },
        |of| of.forecast("A forecast with 5 % of water left, less than soap dries to in a room: for planning a print, and \
                          never the weight to declare. Declare no more than your lightest bar weighs on the day.")
    }
    /// When a bar has settled.
    SettledDay("cure.settled_day", "Cure until a bar has settled", Days, 0) {
        |r, of| {
            let cure = cure(of)?;
            stopless(of)?;
            let day = cure.settled().ok_or_else(|| Unknown::from("it does not settle within ten years"))?;
            Ok(r.inputs(FIRST_DAY, f64::from(day), "", || about_settling(cure, day)))
        },
        |_| "A forecast; 0.5 % a week is our choice of what counts as settled. Weigh a bar every week: when it hardly loses \
             any more it has settled."
    }
}

/// Refuses what speaks of bars that are ready while a Stop stands.
fn stopless<N>(of: About<'_, N>) -> Result<(), Unknown> {
    let evaluation = evaluate(of.design, of.library);
    NoStop::of(of.design, &evaluation, of.library).map(|_| ()).map_err(|stopped| stopped.to_string().into())
}

const FIRST_DAY: &str = "the first day on which the bar lost less than 0.5 % of its weight in the week before";

/// What the bar loses in the weeks before it has settled.
fn about_settling<N: Num>(cure: &Cure<N>, day: u32) -> Vec<Input> {
    let loss = |day: u32| {
        let input = |percent: f64| {
            let value = format!("{} % on day {day}", significant(percent));
            Input::worked_out("What it lost in the week before", value, "the forecast of its drying")
        };
        cure.loss_in_week(day).map(input)
    };
    let before = (day > 7).then(|| loss(day - 1)).flatten();
    before.into_iter().chain(loss(day)).collect()
}

const FORECAST: &str = "A forecast. Air, soap and stacking change the pace by half or more; the weight at the end is \
                                   surer than the day. Weigh the bars before you declare a weight.";
pub(super) const OF_FATTY_MATTER: &str =
    "As sure as the forecast of the weight: only water is taken to leave. Fat in additions is not counted.";

/// From this part of the batter on it matters that something holds no water.
const MUCH: f64 = 0.05;

fn cure<N>(of: About<'_, N>) -> Result<&Cure<N>, Unknown> {
    of.evaluation.cure.as_ref().ok_or_else(|| NO_FATS.into())
}

impl About<'_> {
    /// What is said of a bar's weight after so many days, with its band.
    pub(super) fn weight_forecast(self, days: Days) -> String {
        let Some(cure) = self.evaluation.cure else { return FORECAST.into() };
        let (dry, damp) = cure.band(days.get());
        let weight = |mass: Grams| Unit::Grams.text_in(mass.0, 1, self.measures);
        let (least, most) = MOISTURE_BAND;
        let (least, most) = (short(least, 0), short(most, 0));
        format!(
            "Left with {least} % of water in the end it weighs {}, with {most} % {}. {FORECAST}",
            weight(dry),
            weight(damp)
        )
    }

    /// What is said of a forecast, with a warning where much of the bar holds no water as soap does.
    pub(super) fn forecast(self, says: &str) -> String {
        let fats = self.design.blend.lines().iter().zip(&self.evaluation.fat_masses);
        let waxes = fats.filter(|(line, _)| line.fat.kind == FatKind::Wax).map(|(_, mass)| mass.0);
        let lines = self.design.additions.iter().zip(&self.evaluation.addition_masses);
        let dry = lines.filter(|(line, _)| matches!(line.addition.kind, AdditionKind::Salt | AdditionKind::Filler));
        let dry = waxes.chain(dry.map(|(line, mass)| mass.0 * (1.0 - line.addition.contents.value.water.fraction())));
        let part = dry.sum::<f64>() / self.evaluation.masses.batter.0;
        if part < MUCH || part.is_nan() {
            return says.into();
        }
        format!(
            "{says} {} of this batter is salt, clay, meal or wax, which holds next to no water: the bar can dry further than \
             is said here.",
            Unit::Part.text(part, 0)
        )
    }
}

/// What is told of a bar on a day of its cure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfBar {
    /// Its weight.
    Weight,
    /// Its water, percent.
    Water,
    /// Its fatty matter, percent.
    FattyMatter,
}

impl OfBar {
    /// All.
    pub const ALL: [Self; 3] = [Self::Weight, Self::Water, Self::FattyMatter];

    /// Its name in the report.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Weight => "bar_g",
            Self::Water => "water_pct",
            Self::FattyMatter => "tfm_pct",
        }
    }
}

/// A bar on a day of its cure, counted from cutting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarOnDay(pub Days, pub OfBar);

impl Quantity for BarOnDay {
    fn key(&self, _: About<'_>) -> String {
        format!("cure.days.{}.{}", self.0.get(), self.1.key())
    }
    fn title(&self, _: About<'_>) -> String {
        let on = short(self.0.get(), 1);
        match self.1 {
            OfBar::Weight => format!("A bar on day {on} of the cure"),
            OfBar::Water => format!("Water in a bar on day {on}"),
            OfBar::FattyMatter => format!("Total fatty matter of a bar on day {on}"),
        }
    }
    fn unit(&self, _: About<'_>) -> Unit {
        match self.1 {
            OfBar::Weight => Unit::Grams,
            OfBar::Water | OfBar::FattyMatter => Unit::Percent,
        }
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let (cure, day) = (cure(of)?, self.0.get());
        match self.1 {
            OfBar::Weight => Ok(cure.bar(r, day).0),
            OfBar::Water => Ok(cure.moisture(r, day)),
            OfBar::FattyMatter => {
                let fresh = of.evaluation.chemistry.tfm_fresh;
                let fresh = fresh.ok_or_else(|| Unknown::from("the fatty matter of the fresh bar is not known"))?;
                Ok(cure.tfm(r, fresh, day))
            }
        }
    }
    fn trust(&self, of: About<'_>) -> String {
        match self.1 {
            OfBar::Weight => of.forecast(&of.weight_forecast(self.0)),
            OfBar::Water => of.forecast(FORECAST),
            OfBar::FattyMatter => of.forecast(OF_FATTY_MATTER),
        }
    }
}
