//! The rows of a comparison.

use super::{Group, Missing, Row, Side, Subject, Unit};
use crate::bench::cost::{Cost, Total};
use crate::chemistry::margin::LyeMargin;
use crate::evaluate::Evaluation;
use crate::find::Measure;
use crate::formula::Plain;
use crate::library::additions::Stage;
use crate::library::material::MaterialId;
use crate::units::{Grams, MassUnit};

/// The designs of `sides` side by side, masses in `unit`: the blend, the bar that
/// comes of it, then what it takes and costs.
///
/// ```
/// use barwright_core::explain::compare::{Side, compare};
/// use barwright_core::units::{MassUnit, Superfat};
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let a = Design::default();
/// let b = Design { superfat: Superfat::new(8.5)?, ..a.clone() };
/// let (of_a, of_b) = (evaluate(&a, &library), evaluate(&b, &library));
/// let sides = [Side { design: &a, evaluation: &of_a }, Side { design: &b, evaluation: &of_b }];
/// let groups = compare(&sides, MassUnit::Gram);
/// let superfat = groups.iter().flat_map(|g| &g.rows).find(|r| r.key == "batch.superfat_pct").expect("a row");
/// assert_eq!(superfat.difference(1), Some(8.5 - a.superfat.get()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn compare(sides: &[Side<'_>], unit: MassUnit) -> Vec<Group> {
    let groups = GROUPS.into_iter().map(|(key, name, rows)| Group { key, name, rows: rows(sides, unit) });
    groups.filter(|group| !group.rows.is_empty()).collect()
}

/// The key and name of a group, and what gives its rows.
type OfGroup = (&'static str, &'static str, fn(&[Side<'_>], MassUnit) -> Vec<Row>);

const GROUPS: [OfGroup; 8] = [
    ("fats", "Blend", |sides, _| fats(sides)),
    ("estimates", "The bar, by composition", |sides, _| estimates(sides)),
    ("additions", "Additions", additions),
    ("scents", "Scents", scents),
    ("batch", "Batch", batch),
    ("margin", "Superfat that results", |sides, _| margin(sides)),
    ("chemistry", "Figures of the blend", |sides, _| chemistry(sides)),
    ("cost", "Cost", |sides, _| cost(sides)),
];

/// The row `key` of any number of `sides`; `None` if they have no such row. Only its group is
/// worked out.
pub(crate) fn row_of(key: &str, sides: &[Side<'_>], unit: MassUnit) -> Option<Row> {
    let section = key.split('.').next()?;
    // The jug stands with the batch.
    let group = if section == "jug" { "batch" } else { section };
    let (_, _, rows) = GROUPS.into_iter().find(|(key, _, _)| *key == group)?;
    rows(sides, unit).into_iter().find(|row| row.key == key)
}

fn row(
    sides: &[Side<'_>],
    key: impl Into<String>,
    name: impl Into<String>,
    unit: Unit,
    decimals: usize,
    of: impl Fn(&Side<'_>) -> Option<f64>,
) -> Row {
    Row {
        key: key.into(),
        name: name.into(),
        subject: Subject::Result,
        unit,
        decimals,
        values: sides.iter().map(of).collect(),
        missing: Missing::Unknown,
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

fn fats(sides: &[Side<'_>]) -> Vec<Row> {
    let lines = || sides.iter().flat_map(|s| s.design.blend.lines());
    let of_fat = |id: &MaterialId| {
        let name = lines().find(|l| l.fat.id == *id).map_or("", |l| l.fat.name.as_str());
        let share = |s: &Side<'_>| s.design.blend.line(id).map(|l| l.share.get());
        Row {
            subject: Subject::Share(id.clone()),
            missing: Missing::Absent,
            ..row(sides, format!("fats.{id}.share_pct"), name, Unit::Percent, 1, share)
        }
    };
    union(lines().map(|l| &l.fat.id)).into_iter().map(of_fat).collect()
}

/// One material at one stage: its id, name and mass in a design.
type Put<'a> = (&'a MaterialId, &'a str, Stage, Grams);

/// Rows of materials by stage. Lines of the same material at the same stage are one.
fn put<'a>(sides: &[Side<'a>], section: &str, unit: MassUnit, lines: impl Fn(&Side<'a>) -> Vec<Put<'a>>) -> Vec<Row> {
    let of_each: Vec<Vec<Put<'a>>> = sides.iter().map(lines).collect();
    let places = union(of_each.iter().flatten().map(|(id, _, stage, _)| (*id, *stage)));
    let of_place = |(id, stage): (&MaterialId, Stage)| {
        let here = |l: &&Put<'a>| *l.0 == *id && l.2 == stage;
        let name = of_each.iter().flatten().find(here).map_or("", |l| l.1);
        let mass = |lines: &Vec<Put<'a>>| {
            lines.iter().filter(here).map(|l| unit.from_grams(l.3)).fold(None, |sum, m| Some(sum.unwrap_or(0.0) + m))
        };
        Row {
            // The stage stands in the key as it does in the report.
            key: format!("{section}.{id}.{stage:?}.mass_g"),
            name: format!("{name}, {}", stage.words().to_lowercase()),
            subject: Subject::Result,
            unit: Unit::Mass(unit),
            decimals: unit.decimals(),
            values: of_each.iter().map(mass).collect(),
            missing: Missing::Absent,
        }
    };
    places.into_iter().map(of_place).collect()
}

fn additions(sides: &[Side<'_>], unit: MassUnit) -> Vec<Row> {
    put(sides, "additions", unit, |side| {
        let lines = side.design.additions.iter().zip(&side.evaluation.addition_masses);
        lines.map(|(l, m)| (&l.addition.id, l.addition.name.as_str(), l.stage, *m)).collect()
    })
}

fn scents(sides: &[Side<'_>], unit: MassUnit) -> Vec<Row> {
    put(sides, "scents", unit, |side| {
        let lines = side.design.scents.iter().zip(&side.evaluation.scents.masses);
        lines.map(|(l, m)| (&l.scent.id, l.scent.name.as_str(), l.stage, *m)).collect()
    })
}

fn batch(sides: &[Side<'_>], unit: MassUnit) -> Vec<Row> {
    let mass = |key: &str, name: &str, of: fn(&Evaluation) -> Option<Grams>| {
        let of = |s: &Side<'_>| of(s.evaluation).map(|m| unit.from_grams(m));
        row(sides, format!("batch.{key}"), name, Unit::Mass(unit), unit.decimals(), of)
    };
    // What no design has is not worth a row.
    let some = |row: Row| row.values.iter().flatten().any(|v| *v > 0.0).then_some(row);
    let percent = |key: &str, name: &str, of: fn(&Evaluation) -> Option<f64>| {
        row(sides, format!("batch.{key}"), name, Unit::Percent, 1, |s| of(s.evaluation))
    };
    let rows = [
        Some(mass("fats_g", "All fats", |e| Some(e.masses.fats))),
        Some(mass("naoh_g", "Sodium hydroxide (NaOH)", |e| Some(e.masses.alkali.naoh))),
        some(mass("koh_g", "Potassium hydroxide (KOH)", |e| Some(e.masses.alkali.koh))),
        some(mass("alkali_for_acids_g", "Of it alkali for acids", |e| Some(e.masses.alkali_for_acids))),
        Some(mass("water_to_weigh_g", "Water to weigh", |e| Some(e.masses.water_to_weigh))),
        Some(mass("water_total_g", "Water that counts", |e| Some(e.masses.water_total))),
        Some(Row {
            subject: Subject::LyeConcentration,
            ..percent("lye_concentration_pct", "Lye concentration", |e| e.masses.lye_concentration())
        }),
        Some(Row { subject: Subject::Superfat, ..percent("superfat_pct", "Superfat", |e| Some(e.masses.superfat)) }),
        Some(percent("free_fat_pct", "Free fat", |e| Some(e.masses.free_fat))),
        Some(row(sides, "jug.concentration_pct", "Lye in the jug", Unit::Percent, 1, |s| {
            s.evaluation.jug.as_ref().map(|j| j.concentration)
        })),
        Some(row(sides, "jug.peak_c", "Jug warms to, at most", Unit::Celsius, 0, |s| {
            s.evaluation.jug.as_ref().and_then(|j| j.peak.ok())
        })),
        Some(mass("batter_g", "Batter", |e| Some(e.masses.batter))),
        Some(row(sides, "batch.batter_ml", "Batter, by volume", Unit::Millilitres, 0, |s| {
            Some(s.evaluation.masses.batter_ml).filter(|_| s.evaluation.masses.fats.0 > 0.0)
        })),
        Some(row(sides, "batch.bars", "Bars", Unit::Bare, 0, |s| Some(f64::from(s.evaluation.masses.bars)))),
        Some(mass("bar_fresh_g", "A bar, fresh", |e| Some(e.masses.bar_fresh))),
        Some(mass("bar_cured_g", "A bar, cured", |e| e.cure.map(|c| c.bar_at_sale(Plain)))),
    ];
    rows.into_iter().flatten().collect()
}

fn margin(sides: &[Side<'_>]) -> Vec<Row> {
    let of_margin = |key: &str, name: &str, decimals: usize, of: &dyn Fn(&Side<'_>, &LyeMargin) -> f64| {
        let of = |s: &Side<'_>| s.evaluation.margin.as_ref().map(|m| of(s, m));
        row(sides, format!("margin.{key}"), name, Unit::Percent, decimals, of)
    };
    vec![
        of_margin("superfat_low_pct", "Lowest, all extremes", 1, &|_, m| m.low),
        of_margin("superfat_high_pct", "Highest, all extremes", 1, &|_, m| m.high),
        of_margin("chance_lye_heavy", "Chance of lye-heavy", 2, &|_, m| 100.0 * m.chance_lye_heavy()),
        of_margin("least_superfat_pct", "Least superfat", 1, &|s, m| {
            m.least_superfat(s.design.accepted_chance.fraction())
        }),
    ]
}

fn estimates(sides: &[Side<'_>]) -> Vec<Row> {
    let of_measure = |measure: Measure| {
        let Measure::Estimate(estimate) = measure else { return None };
        let value = |s: &Side<'_>| s.evaluation.estimate(estimate).map(|r| r.value);
        let key = format!("estimates.{}", measure.key());
        let row = row(sides, key, estimate.name(), Unit::Bare, estimate.decimals(), value);
        Some(Row { subject: Subject::Estimate(estimate), ..row })
    };
    // In the order of screens.
    Measure::ALL.into_iter().filter_map(of_measure).collect()
}

fn chemistry(sides: &[Side<'_>]) -> Vec<Row> {
    let figure = |key: &str, name: &str, unit: Unit, decimals: usize, of: fn(&Evaluation) -> Option<f64>| {
        row(sides, format!("chemistry.{key}"), name, unit, decimals, |s| of(s.evaluation))
    };
    vec![
        figure("saponification_value", "Saponification value", Unit::Saponification, 1, |e| {
            e.chemistry.saponification_value
        }),
        figure("iodine_value", "Iodine value", Unit::Iodine, 1, |e| e.chemistry.iodine_value),
        figure("titre_c", "Titre", Unit::Celsius, 0, |e| e.chemistry.titre),
        figure("tfm_fresh_pct", "Total fatty matter, fresh", Unit::Percent, 1, |e| e.chemistry.tfm_fresh),
        figure("tfm_cured_pct", "Total fatty matter, cured", Unit::Percent, 1, |e| e.chemistry.tfm_cured),
    ]
}

/// What it costs, where any design has prices.
fn cost(sides: &[Side<'_>]) -> Vec<Row> {
    if sides.iter().all(|s| s.design.prices.is_empty()) {
        return Vec::new();
    }
    let currencies = || Unit::Money(sides.iter().map(|s| s.design.currency.clone()).collect());
    let sum = |key: &str, name: &str, of: fn(&Cost) -> Total| {
        let value = |s: &Side<'_>| Cost::of(s.design, s.evaluation).and_then(|c| of(&c).complete());
        Row { missing: Missing::Unpriced, ..row(sides, format!("cost.{key}"), name, currencies(), 2, value) }
    };
    vec![
        sum("batch", "The batch", Cost::batch),
        sum("bar", "A bar", Cost::bar),
        sum("per_100_g_cured", "100 g of the cured bar", Cost::per_100_g_cured),
    ]
}
