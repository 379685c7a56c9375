//! A bar as it dries, as JSON.

use crate::chemistry::cure::Cure;
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::number::short;
use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

#[derive(Debug, Serialize)]
pub(super) struct CureReport {
    free_water_g: f64,
    settled_day: Option<u32>,
    /// By the day of cure: as cut, weekly for four weeks, at sale, and settled.
    days: Days,
}

#[derive(Debug)]
struct Days(Vec<(f64, DayReport)>);

#[derive(Debug, Serialize)]
struct DayReport {
    bar_g: f64,
    water_pct: f64,
    tfm_pct: Option<f64>,
}

impl Serialize for Days {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (day, report) in &self.0 {
            map.serialize_entry(&short(*day, 3), report)?;
        }
        map.end()
    }
}

impl CureReport {
    pub(super) fn new(cure: &Cure, evaluation: &Evaluation) -> Self {
        let settled_day = cure.settled();
        let mut days: Vec<f64> = [0.0, 7.0, 14.0, 21.0, 28.0, cure.days().get()].into();
        days.extend(settled_day.map(f64::from));
        days.sort_by(f64::total_cmp);
        days.dedup();
        let fresh = evaluation.chemistry.tfm_fresh;
        let report = |day: f64| DayReport {
            bar_g: cure.bar(Plain, day).0,
            water_pct: cure.moisture(Plain, day),
            tfm_pct: fresh.map(|fresh| cure.tfm(Plain, fresh, day)),
        };
        Self {
            free_water_g: cure.free_water().0,
            settled_day,
            days: Days(days.into_iter().map(|d| (d, report(d))).collect()),
        }
    }
}
