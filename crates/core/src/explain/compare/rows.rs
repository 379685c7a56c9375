//! The rows of a comparison.

use super::{Group, Missing, Row, Side, Subject, Unit};
use crate::find::Measure;
use crate::library::Library;
use crate::library::additions::Stage;
use crate::library::material::MaterialId;
use crate::quantities::{
    About, AnyQuantity, FatShare, LISTED, Listed, LyeConcentration, PlannedSuperfat, Score, Section, When,
};
use crate::quantity;
use crate::units::{Grams, Measures};

/// The designs of `sides` side by side, masses in `unit`: the blend, the bar that
/// comes of it, then what it takes and costs.
///
/// ```
/// use barwright_core::explain::compare::{Side, compare};
/// use barwright_core::units::{Measures, Superfat};
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let a = Design::default();
/// let b = Design { superfat: Superfat::new(8.5)?, ..a.clone() };
/// let (of_a, of_b) = (evaluate(&a, &library), evaluate(&b, &library));
/// let sides = [Side { design: &a, evaluation: &of_a }, Side { design: &b, evaluation: &of_b }];
/// let groups = compare(&sides, Measures::METRIC, &library);
/// let superfat = groups.iter().flat_map(|g| &g.rows).find(|r| r.key == "batch.superfat_pct").expect("a row");
/// assert_eq!(superfat.difference(1), Some(8.5 - a.superfat.get()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn compare(sides: &[Side<'_>], measures: Measures, library: &Library) -> Vec<Group> {
    let sides = Compared { sides, measures, library };
    let groups = GROUPS.into_iter().map(|(key, name, rows)| Group { key, name, rows: rows(sides) });
    groups.filter(|group| !group.rows.is_empty()).collect()
}

/// What is compared.
#[derive(Clone, Copy)]
struct Compared<'a> {
    sides: &'a [Side<'a>],
    measures: Measures,
    library: &'a Library,
}

/// The key and name of a group, and what gives its rows.
type OfGroup = (&'static str, &'static str, fn(Compared<'_>) -> Vec<Row>);

const GROUPS: [OfGroup; 8] = [
    ("fats", "Blend", fats),
    ("estimates", "The bar, by composition", estimates),
    ("additions", "Additions", additions),
    ("scents", "Scents", scents),
    ("batch", "Batch", batch),
    ("margin", "Superfat that results", margin),
    ("chemistry", "Figures of the blend", chemistry),
    ("cost", "Cost", cost),
];

/// The row `key` of any number of `sides`; `None` if they have no such row. Only its group is
/// worked out.
pub(crate) fn row_of(key: &str, sides: &[Side<'_>], measures: Measures, library: &Library) -> Option<Row> {
    let section = key.split('.').next()?;
    // The jug stands with the batch.
    let group = if section == "jug" { "batch" } else { section };
    let (_, _, rows) = GROUPS.into_iter().find(|(key, _, _)| *key == group)?;
    rows(Compared { sides, measures, library }).into_iter().find(|row| row.key == key)
}

impl<'a> Compared<'a> {
    fn abouts(self) -> impl Iterator<Item = About<'a>> + Clone {
        self.sides.iter().map(move |side| About::new(side.design, side.evaluation, self.library))
    }

    /// The row of `quantity`, which each design may have.
    fn row(self, quantity: &dyn AnyQuantity, subject: Subject) -> Option<Row> {
        let first = self.abouts().next()?;
        let measure = quantity.unit(first);
        let currencies = self.abouts().map(|about| about.design.currency.as_str());
        let value = |about| Some(measure.shown_in(quantity.value(about).ok()?, self.measures));
        let values: Vec<Option<f64>> = self.abouts().map(value).collect();
        let unit = Unit::of(&measure, self.measures, currencies);
        let decimals = measure.decimals_in(quantity.decimals(first), self.measures);
        let (key, name) = (quantity.key(first), quantity.title(first));
        Some(Row { key, name, subject, unit, decimals, values, missing: Missing::Unknown })
    }

    /// The rows of `section`.
    fn listed(self, section: Section) -> Vec<Row> {
        let row = |listed: &Listed| {
            let (_, when) = listed.comparison.filter(|(of, _)| *of == section)?;
            let row = self.row(listed.quantity, self.subject(listed.quantity))?;
            let is_there = match when {
                When::Always => true,
                When::Known => row.values.iter().any(Option::is_some),
                // What no design has is not worth a row.
                When::Some => row.values.iter().flatten().any(|v| *v > 0.0),
            };
            is_there.then_some(row)
        };
        LISTED.iter().filter_map(row).collect()
    }

    /// What a design can be made like another in by `quantity`.
    fn subject(self, quantity: &dyn AnyQuantity) -> Subject {
        let Some(about) = self.abouts().next() else { return Subject::Result };
        let is = |other: &dyn AnyQuantity| quantity.key(about) == other.key(about);
        if is(&LyeConcentration) {
            Subject::LyeConcentration
        } else if is(&PlannedSuperfat) {
            Subject::Superfat
        } else {
            Subject::Result
        }
    }
}

/// All of `lists` without repetition, the first list's in its order, then what the next ones add.
fn union<T: PartialEq>(lists: impl Iterator<Item = T>) -> Vec<T> {
    lists.fold(Vec::new(), |mut known, item| {
        if !known.contains(&item) {
            known.push(item);
        }
        known
    })
}

fn fats(of: Compared<'_>) -> Vec<Row> {
    let lines = || of.sides.iter().flat_map(|s| s.design.blend.lines());
    let of_fat = |id: &MaterialId| {
        // In a list of fats the name of the fat says enough.
        let name = lines().find(|l| l.fat.id == *id).map_or("", |l| l.fat.name.as_str());
        let row = of.row(&FatShare(id.clone()), Subject::Share(id.clone()))?;
        Some(Row { key: format!("fats.{id}.share_pct"), name: name.into(), missing: Missing::Absent, ..row })
    };
    union(lines().map(|l| &l.fat.id)).into_iter().filter_map(of_fat).collect()
}

/// One material at one stage: its id, name and mass in a design.
type Portion<'a> = (&'a MaterialId, &'a str, Stage, Grams);

/// Rows of materials by stage. Lines of the same material at the same stage are one.
fn portions<'a>(of: Compared<'a>, section: &str, lines: impl Fn(&Side<'a>) -> Vec<Portion<'a>>) -> Vec<Row> {
    let (grams, measures) = (quantity::Unit::Grams, of.measures);
    let of_each: Vec<Vec<Portion<'a>>> = of.sides.iter().map(lines).collect();
    let places = union(of_each.iter().flatten().map(|(id, _, stage, _)| (*id, *stage)));
    let of_place = |(id, stage): (&MaterialId, Stage)| {
        let here = |l: &&Portion<'a>| *l.0 == *id && l.2 == stage;
        let name = of_each.iter().flatten().find(here).map_or("", |l| l.1);
        let mass = |lines: &Vec<Portion<'a>>| {
            lines
                .iter()
                .filter(here)
                .map(|l| grams.shown_in(l.3.0, measures))
                .fold(None, |sum, m| Some(sum.unwrap_or(0.0) + m))
        };
        Row {
            // The stage stands in the key as it does in the report.
            key: format!("{section}.{id}.{stage:?}.mass_g"),
            name: format!("{name}, {}", stage.words().to_lowercase()),
            subject: Subject::Result,
            unit: Unit::Other(grams.sign_in(measures).into()),
            decimals: grams.decimals_in(1, measures),
            values: of_each.iter().map(mass).collect(),
            missing: Missing::Absent,
        }
    };
    places.into_iter().map(of_place).collect()
}

fn additions(of: Compared<'_>) -> Vec<Row> {
    portions(of, "additions", |side| {
        let lines = side.design.additions.iter().zip(&side.evaluation.addition_masses);
        lines.map(|(l, m)| (&l.addition.id, l.addition.name.as_str(), l.stage, *m)).collect()
    })
}

fn scents(of: Compared<'_>) -> Vec<Row> {
    portions(of, "scents", |side| {
        let lines = side.design.scents.iter().zip(&side.evaluation.scents.masses);
        lines.map(|(l, m)| (&l.scent.id, l.scent.name.as_str(), l.stage, *m)).collect()
    })
}

fn batch(of: Compared<'_>) -> Vec<Row> {
    of.listed(Section::Batch)
}

fn margin(of: Compared<'_>) -> Vec<Row> {
    of.listed(Section::Margin)
}

fn estimates(of: Compared<'_>) -> Vec<Row> {
    let of_measure = |measure: Measure| match measure {
        Measure::Estimate(estimate) => of.row(&Score(estimate), Subject::Estimate(estimate)),
        Measure::SaponificationValue | Measure::IodineValue | Measure::SaturatedPerUnsaturated => None,
    };
    // In the order of screens.
    Measure::ALL.into_iter().filter_map(of_measure).collect()
}

fn chemistry(of: Compared<'_>) -> Vec<Row> {
    of.listed(Section::Blend)
}

/// What it costs, where any design has prices.
fn cost(of: Compared<'_>) -> Vec<Row> {
    if of.sides.iter().all(|s| s.design.prices.is_empty()) {
        return Vec::new();
    }
    of.listed(Section::Cost).into_iter().map(|row| Row { missing: Missing::Unpriced, ..row }).collect()
}
