//! The label as JSON, and as text: both ingredient lists, allergens, weight at sale, checklists.

use crate::bench::label::{Label, ListStyle, NO_ADVICE, Region, WEIGH_THE_LIGHTEST, checklist};
use crate::cautions::Stopped;
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::library::allergens::AllergenList;
use crate::library::allergens::THRESHOLD;
use crate::number::short;
use crate::quantities::{About, AllergenPercent, AnyQuantity, BarAtSale, BarFresh, DryEnd, IngredientPercent, text};
use crate::render::plain;
use std::fmt::Write as _;

/// Columns of a line for a terminal.
const WIDTH: usize = 100;

/// Writes `words` in lines of [`WIDTH`] columns, the first behind `first` and the others indented as far.
fn wrapped(out: &mut String, first: &str, words: &str) -> std::fmt::Result {
    let indent = first.chars().count();
    let mut line = first.to_owned();
    let mut empty = true;
    for word in words.split(' ') {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            writeln!(out, "{line}")?;
            line = " ".repeat(indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    writeln!(out, "{line}")
}

/// `quantity` as it is shown.
fn shown(quantity: &dyn AnyQuantity, about: About<'_>) -> String {
    text(quantity, about).unwrap_or_else(|_| "not known".into())
}

/// Everything about the label of `design`, for a terminal; while a Stop stands, that and nothing to print.
pub fn label_text(design: &Design, evaluation: &Evaluation, library: &Library) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_all(&mut out, design, evaluation, library);
    plain(&out)
}

fn write_all(out: &mut String, design: &Design, evaluation: &Evaluation, library: &Library) -> std::fmt::Result {
    let about = About::new(design, evaluation, library);
    let name = if design.name.is_empty() { "Unnamed design" } else { &design.name };
    writeln!(out, "{name}\n{}", "=".repeat(name.chars().count()))?;
    let label = match Label::of(design, evaluation, library) {
        Ok(label) => label,
        Err(stopped) => return write_stopped(out, &stopped),
    };
    let Some(cure) = &evaluation.cure else { return Ok(()) };
    write_lists(out, about, &label)?;
    for style in ListStyle::ALL {
        writeln!(out, "\n{}, in numbers", style.words())?;
        for i in label.ingredients(style) {
            let under = if i.is_under_one_percent() { "   any order" } else { "" };
            writeln!(out, "  {:<44}{:>12}{under}", i.name, shown(&IngredientPercent(style, i.name.clone()), about))?;
        }
    }
    writeln!(out, "\nWeight at sale, forecast")?;
    let days = short(cure.days().get(), 1);
    writeln!(out, "  {} after {days} days of cure; fresh {}", shown(&BarAtSale, about), shown(&BarFresh, about))?;
    writeln!(out, "  {} as if fully dried, for planning a print", shown(&DryEnd, about))?;
    wrapped(out, "  ", cure.shape_words())?;
    wrapped(out, "  ", WEIGH_THE_LIGHTEST)?;
    writeln!(out, "\nBefore you sell")?;
    wrapped(out, "  ", NO_ADVICE)?;
    for region in Region::ALL {
        writeln!(out, "\n  {}", region.words())?;
        for item in checklist(region, design, &label, cure) {
            let source = item.trust.map_or_else(String::new, |t| format!(" ({}; {})", item.source, t.words()));
            wrapped(out, "  [ ] ", &format!("{}{source}", item.text))?;
        }
    }
    Ok(())
}

/// The lists and the allergens; nothing where there is no bar.
pub(super) fn write_label(out: &mut String, about: About<'_>) -> std::fmt::Result {
    match Label::of(about.design, about.evaluation, about.library) {
        Ok(label) => write_lists(out, about, &label),
        Err(_) => writeln!(out, "\nIngredients\n  {}", Stopped::WITHHELD),
    }
}

/// Why there is nothing to print.
fn write_stopped(out: &mut String, stopped: &Stopped) -> std::fmt::Result {
    for stop in stopped.stops() {
        writeln!(out, "\n{}", stop.line())?;
    }
    writeln!(out, "\n{}", Stopped::WITHHELD)
}

fn write_lists(out: &mut String, about: About<'_>, label: &Label) -> std::fmt::Result {
    for style in ListStyle::ALL {
        writeln!(out, "\nIngredients, {}", style.words().to_lowercase())?;
        wrapped(out, "  ", &label.text(style, Region::EuUk))?;
    }
    writeln!(out, "\nAllergens to name, {}", list_words(about.design.allergen_list))?;
    let threshold = short(THRESHOLD, 2);
    // What is near the threshold is worth a look too.
    for f in label.allergens.findings.iter().filter(|f| f.percent > THRESHOLD / 2.0) {
        let memory = if f.from_memory { ", partly from memory" } else { "" };
        let named = if f.is_declared() { "" } else { "   not over the threshold" };
        let percent = shown(&AllergenPercent(f.name.clone()), about);
        writeln!(out, "  {:<44}{percent:>12} of the bar at most{memory}{named}", f.name)?;
    }
    if label.allergens.declared().next().is_none() {
        writeln!(out, "  None known over {threshold} % of the bar")?;
    }
    for scent in &label.allergens.unknown {
        writeln!(out, "  {scent}: its allergens are not known here; ask its supplier")?;
    }
    for scent in &label.allergens.said_none {
        writeln!(out, "  {scent}: none, by its supplier’s word")?;
    }
    let unconfirmed = label.unconfirmed();
    if !unconfirmed.is_empty() {
        wrapped(out, "  ", &format!("Names not confirmed: {}", unconfirmed.join(", ")))?;
    }
    Ok(())
}

const fn list_words(list: AllergenList) -> &'static str {
    match list {
        AllergenList::Extended => "extended list",
        AllergenList::FirstTwentyFour => "the first 24",
        AllergenList::Off => "none by your choice",
    }
}
