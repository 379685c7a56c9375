//! What a batch is made otherwise than the one before.

use super::compare::{Row, Side, compare};
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::number::fixed;
use crate::units::{Grams, Measures, percent_of};

/// One thing that is otherwise than it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Since {
    /// What.
    pub what: String,
    /// How it is now; `None` if there is none of it.
    pub now: Option<String>,
    /// How it was; `None` if there was none of it.
    pub before: Option<String>,
}

impl Since {
    /// It as a line.
    pub fn words(&self) -> String {
        let Self { what, now, before } = self;
        match (now, before) {
            (Some(now), Some(before)) => format!("{what} {now} instead of {before}"),
            (Some(now), None) => format!("new: {what} {now}"),
            (None, Some(before)) => format!("without {what} ({before} last time)"),
            (None, None) => what.clone(),
        }
    }
}

/// What of `now` is otherwise than in `before`, as far as a person decides on it: the blend, what is added, superfat,
/// lye, size, and how it is made. What follows from that is left out.
///
/// ```
/// use barwright_core::explain::{compare::Side, since};
/// use barwright_core::units::{Measures, Superfat};
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let before = Design::default();
/// let now = Design { superfat: Superfat::new(8.5)?, ..before.clone() };
/// let side = |design| Side { design, evaluation: Box::leak(Box::new(evaluate(design, &library))) };
/// let told = since(side(&now), side(&before), Measures::METRIC, &library);
/// assert_eq!(told[0].words(), "Planned superfat 8.5 % instead of 5.0 %");
/// assert_eq!(told.len(), 1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn since(now: Side<'_>, before: Side<'_>, measures: Measures, library: &Library) -> Vec<Since> {
    /// Of the batch only this is decided; the rest follows.
    const DECIDED: [&str; 3] = ["batch.superfat_pct", "batch.lye_concentration_pct", "batch.fats_g"];
    let groups = compare(&[now, before], measures, library);
    let rows = groups.iter().flat_map(|group| &group.rows);
    let decided = rows.filter(|row| row.key.starts_with("fats.") || DECIDED.contains(&row.key.as_str()));
    let mut told: Vec<Since> = decided.filter_map(of_row).collect();
    told.extend(of_lines(now, before, |side| {
        let lines = side.design.additions.iter().zip(&side.evaluation.addition_masses);
        lines.map(|(l, mass)| (format!("{}, {}", l.addition.name, l.stage.words().to_lowercase()), *mass)).collect()
    }));
    told.extend(of_lines(now, before, |side| {
        let lines = side.design.scents.iter().zip(&side.evaluation.scents.masses);
        lines.map(|(l, mass)| (l.scent.name.clone(), *mass)).collect()
    }));
    let (process, was) = (&now.design.process, &before.design.process);
    let dated = crate::design::Process { made_on: was.made_on.clone(), ..process.clone() };
    if dated != *was {
        told.push(Since { what: "other temperatures or times".into(), now: None, before: None });
    }
    told
}

fn of_row(row: &Row) -> Option<Since> {
    let is_otherwise = row.difference(1).is_some_and(|by| by.abs() > 0.0);
    let text = |column: usize| row.values.get(column).copied().flatten().map(|_| row.text(column));
    is_otherwise.then(|| Since { what: row.name.clone(), now: text(0), before: text(1) })
}

/// A name and how much of it.
type Part = (String, Grams);

/// The same of lists, by their parts of the fats, so that a larger batch is no other recipe.
fn of_lines(now: Side<'_>, before: Side<'_>, lines: impl Fn(Side<'_>) -> Vec<Part>) -> Vec<Since> {
    let (lines, before_lines) = (lines(now), lines(before));
    let part = |mass: Grams, of: &Evaluation| fixed(percent_of(mass.0, of.masses.fats.0), 1);
    let shown = |lines: &[Part], name: &str, of: Side<'_>| {
        let found: Vec<Grams> = lines.iter().filter(|(n, _)| n == name).map(|(_, mass)| *mass).collect();
        (!found.is_empty()).then(|| format!("{} % of the fats", part(found.into_iter().sum(), of.evaluation)))
    };
    let mut names: Vec<&String> = lines.iter().chain(&before_lines).map(|(name, _)| name).collect();
    let mut seen: Vec<&String> = Vec::new();
    names.retain(|name| {
        let is_new = !seen.contains(name);
        seen.push(name);
        is_new
    });
    let of_name = |name: &String| {
        let (is, was) = (shown(&lines, name, now), shown(&before_lines, name, before));
        (is != was).then(|| Since { what: name.clone(), now: is, before: was })
    };
    names.into_iter().filter_map(of_name).collect()
}
