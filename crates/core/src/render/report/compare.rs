//! Designs side by side, as text and as JSON.

use super::Report;
use crate::cautions;
use crate::explain::compare::{Row, Side, compare, letter};
use crate::library::Library;
use crate::number::fixed;
use crate::render::plain;
use crate::units::Measures;
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// The numbers of a report by their path in it.
type Numbers = BTreeMap<String, f64>;

/// The reports of the designs with what differs.
#[derive(Serialize)]
struct CompareReport {
    designs: Vec<Report>,
    differences: Differences,
}

/// Second less first; for more designs a list, each less the first.
#[derive(Serialize)]
#[serde(untagged)]
enum Differences {
    Two(Numbers),
    More(Vec<Numbers>),
}

/// The designs of `sides` as JSON: their reports, and for every number of a report how far it lies
/// above that of the first design, unrounded. Keys are the numbers' paths; a fat, addition or scent
/// stands under its id (additions and scents with their stage), a score under its name. A number
/// that is not known of both has no difference, nor has money in two currencies; a material that
/// is not in a design counts as nothing there.
///
/// # Errors
/// From the JSON writer; no report is known that makes it fail.
pub fn compare_json(sides: &[Side<'_>], library: &Library) -> Result<String, serde_json::Error> {
    let designs: Vec<Report> = sides.iter().map(|s| Report::new(s.design, s.evaluation, library)).collect();
    let mut numbers = Vec::new();
    for report in &designs {
        let mut of_report = Numbers::new();
        collect(&serde_json::to_value(report)?, "", &mut of_report);
        of_report.remove("format");
        numbers.push(of_report);
    }
    let less_first = |(i, other): (usize, &Numbers)| {
        let mut difference = less(other, numbers.first()?);
        if sides.first()?.design.currency != sides.get(i)?.design.currency {
            difference.retain(|key, _| !key.starts_with("cost."));
        }
        Some(difference)
    };
    let mut each: Vec<Numbers> = numbers.iter().enumerate().skip(1).filter_map(less_first).collect();
    let differences = match each.len() {
        1 => Differences::Two(each.remove(0)),
        _ => Differences::More(each),
    };
    serde_json::to_string_pretty(&CompareReport { designs, differences })
}

/// Puts the numbers in `value`, which stands at `path`, into `out`.
fn collect(value: &Value, path: &str, out: &mut Numbers) {
    let below = |key: &str| if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") };
    match value {
        Value::Number(number) => {
            // Two lines of one material at one stage are one.
            if let Some(number) = number.as_f64() {
                *out.entry(path.to_owned()).or_insert(0.0) += number;
            }
        }
        Value::Object(entries) => {
            for (key, value) in entries {
                // A score stands under its own name, its spread and range below it.
                collect(value, &if key == "value" { path.to_owned() } else { below(key) }, out);
            }
        }
        Value::Array(items) => {
            for item in items {
                let text = |key: &str| item.get(key).and_then(Value::as_str);
                // Lists of other things have no names that two designs share.
                if let Some(id) = ["fat", "addition", "scent"].into_iter().find_map(text) {
                    let stage = text("stage").map_or_else(String::new, |s| format!(".{s}"));
                    collect(item, &below(&format!("{id}{stage}")), out);
                }
            }
        }
        _ => {}
    }
}

/// `other` less `first`, where both are known.
fn less(other: &Numbers, first: &Numbers) -> Numbers {
    let acids_known = |numbers: &Numbers| numbers.keys().any(|k| k.starts_with("acids_pct."));
    let both_have_acids = acids_known(other) && acids_known(first);
    // What a design does not have of a material, or of an acid, is nothing.
    let is_part = |key: &str| {
        let of_material = ["fats.", "additions.", "scents."].iter().any(|section| key.starts_with(section));
        let amount = ["share_pct", "mass_g", "water_g"].iter().any(|amount| key.ends_with(amount));
        (of_material && amount) || (both_have_acids && key.starts_with("acids_pct."))
    };
    let of = |numbers: &Numbers, key: &str| numbers.get(key).copied().or_else(|| is_part(key).then_some(0.0));
    let keys = first.keys().chain(other.keys());
    keys.filter_map(|key| Some((key.clone(), of(other, key)? - of(first, key)?))).collect()
}

/// Width of the names.
const NAMES: usize = 42;
/// Width of a number, and of a difference.
const NUMBER: usize = 14;
const DIFFERENCE: usize = 10;

/// `text` in at most `width` characters.
fn within(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return text.to_owned();
    }
    text.chars().take(width - 1).chain(['…']).collect()
}

/// The designs of `sides` as a table for a terminal: 80 columns wide for two.
pub fn compare_text(sides: &[Side<'_>], library: &Library) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_compare(&mut out, sides, library);
    plain(&out)
}

fn write_compare(out: &mut String, sides: &[Side<'_>], library: &Library) -> std::fmt::Result {
    for (i, side) in sides.iter().enumerate() {
        writeln!(out, "{}: {} ({})", letter(i), side.name(), side.design.style)?;
        for stop in cautions::stops(&cautions::of(side.design, side.evaluation, library)) {
            writeln!(out, "   {}", stop.line())?;
        }
    }
    let mut head = format!("\n{:NAMES$}{:>NUMBER$}", "", "A");
    for column in 1..sides.len() {
        let difference = format!("{} − A", letter(column));
        write!(head, "{:>NUMBER$}{difference:>DIFFERENCE$}", letter(column))?;
    }
    writeln!(out, "{head}")?;
    for group in compare(sides, Measures::METRIC, library) {
        writeln!(out, "\n{}", group.name)?;
        for row in &group.rows {
            write_row(out, row, sides)?;
        }
    }
    let acids: Vec<_> = sides.iter().map(|s| s.evaluation.composition.as_ref()).collect();
    for (i, other) in acids.iter().enumerate().skip(1) {
        if let (Some(Some(first)), Some(other)) = (acids.first(), other) {
            writeln!(
                out,
                "\nA and {} share {} % of their fatty acids.",
                letter(i),
                fixed(first.percent_shared(other), 0)
            )?;
        }
    }
    Ok(())
}

fn write_row(out: &mut String, row: &Row, sides: &[Side<'_>]) -> std::fmt::Result {
    write!(out, "  {:<width$}{:>NUMBER$}", within(&row.name, NAMES - 3), row.text(0), width = NAMES - 2)?;
    for column in 1..sides.len() {
        write!(out, "{:>NUMBER$}{:>DIFFERENCE$}", row.text(column), difference(row, column))?;
    }
    writeln!(out)
}

/// The difference with its sign, marked where it is too small for a word of more or less.
fn difference(row: &Row, column: usize) -> String {
    let about = if row.is_about_same(column) { "≈ " } else { "" };
    format!("{about}{}", row.difference_text(column))
}
