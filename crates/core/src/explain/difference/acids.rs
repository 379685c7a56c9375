//! How much of their fatty acids two blends have in common.

use crate::design::blend::Blend;
use crate::design::edit::Edit;
use crate::explain::compare::{Side, letter};
use crate::explain::{Change, Input, Why, sum};
use crate::formula::number_text;
use crate::library::Library;
use crate::library::acids::{Acid, AcidId};
use crate::library::composition::Composition;
use crate::number::{fixed, rounded, short, signed};
use crate::quantity::with_unit;
use crate::units::{Share, in_percent};
use std::sync::Arc;

/// How many acids are listed at the most; all are in the sum.
const MOST_ACIDS: usize = 6;
/// How many changes are told.
const MOST: usize = 3;
/// Decimals of a change.
const DECIMALS: usize = 2;
/// Percent of the blend that a change moves.
const STEP: f64 = 1.0;

/// Explains how much of their fatty acids the first of `sides` and that in `column` share, as
/// [`Composition::percent_shared`] has it; `None` for the first itself and where a blend has no
/// fat with a profile. Its changes are what one percent more of a fat in the other blend would do.
///
/// ```
/// use barwright_core::explain::compare::Side;
/// use barwright_core::design::document;
/// use barwright_core::explain;
/// use barwright_core::{evaluate, Library};
/// let library = Library::embedded()?;
/// let [a, b] = [r#"(barwright: 1, fats: [(fat: "coconut", share: 100)])"#,
///               r#"(barwright: 1, fats: [(fat: "coconut", share: 60), (fat: "olive_virgin", share: 40)])"#]
///     .map(|text| document::read(text.as_bytes(), &library).expect("a design"));
/// let (of_a, of_b) = (evaluate(&a, &library), evaluate(&b, &library));
/// let sides = [Side { design: &a, evaluation: &of_a }, Side { design: &b, evaluation: &of_b }];
/// let why = explain::shared_acids(1, &sides, &library).expect("both have profiles");
/// assert_eq!(why.title, "Fatty acids that A and B share");
/// // More coconut oil brings them together, more olive oil takes them apart.
/// assert_eq!(why.changes.len(), 2);
/// assert!(why.changes.iter().any(|c| c.what.starts_with("Coconut") && c.effect.starts_with('+')));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn shared_acids(column: usize, sides: &[Side<'_>], library: &Library) -> Option<Why> {
    let (first, other) = (*sides.first()?, *sides.get(column).filter(|_| column > 0)?);
    let (a, b) = (first.evaluation.composition.as_ref()?, other.evaluation.composition.as_ref()?);
    let letter = letter(column);
    let percent = |of: &Composition, acid: AcidId| in_percent(of.fraction(acid));
    let mut acids: Vec<(&Acid, f64, f64)> =
        library.acids.iter().map(|(id, acid)| (acid, percent(a, id), percent(b, id))).collect();
    acids.retain(|(_, a, b)| *a > 0.0 || *b > 0.0);
    let terms = acids.iter().map(|(_, a, b)| format!("min({}; {})", number_text(*a, ""), number_text(*b, "")));
    let value = format!("{} %", fixed(a.percent_shared(b), 0));
    let with_numbers = format!("{} = {value}", sum(terms));

    acids.sort_by(|x, y| y.1.max(y.2).total_cmp(&x.1.max(x.2)));
    acids.truncate(MOST_ACIDS);
    let of_acid = |(acid, a, b): (&Acid, f64, f64)| {
        let value = format!("A {} %, {letter} {} %", fixed(a, 1), fixed(b, 1));
        Input::worked_out(&acid.in_words(), value, "the fats’ typical profiles, or a supplier’s certificate")
    };
    let of_side = |name: char, side: Side<'_>, of: &Composition| {
        let known = in_percent(1.0 - of.unknown);
        let value = format!("{} % of the blend has a profile", short(known, 1));
        Input::worked_out(&format!("{name}: {}", side.name()), value, "the design")
    };
    let mut inputs = vec![of_side('A', first, a), of_side(letter, other, b)];
    inputs.extend(acids.into_iter().map(of_acid));

    let left_out = if a.unknown > 0.0 || b.unknown > 0.0 { " Fats without a tabled profile are left out." } else { "" };
    Some(Why {
        ranges: Vec::new(),
        is_difference: false,
        key: "acids_pct".into(),
        title: format!("Fatty acids that A and {letter} share"),
        value,
        formula: format!("Σ min(acid in A; acid in {letter}), each in percent of all fatty acids by mass"),
        with_numbers,
        inputs,
        trust: format!(
            "From typical profiles, which one season or supplier can move by several points. It says how alike the blends \
             are, not the bars: superfat, additions and cure are not in it.{left_out}"
        ),
        changes: changes(a, first, other, letter, library),
    })
}

/// What a percent more of each fat in the blend of `other` would do, the strongest first; those
/// that only the first design has come in with it.
fn changes(wanted: &Composition, first: Side<'_>, other: Side<'_>, letter: char, library: &Library) -> Vec<Change> {
    let design = other.design;
    let shared = |blend: &Blend| {
        let lines = blend.lines().iter().map(|l| (l.fat.as_ref(), l.share.get()));
        Some(wanted.percent_shared(&Composition::of(lines, &library.acids)?))
    };
    let Some(now) = shared(&design.blend) else { return Vec::new() };
    let more = design.blend.lines().iter().filter_map(|line| {
        let share = Share::new(line.share.get() + STEP).ok()?;
        Some((&line.fat.name, Edit::Share(line.fat.id.clone(), share)))
    });
    let new =
        first.design.blend.lines().iter().filter(|l| design.blend.line(&l.fat.id).is_none()).filter_map(|line| {
            Some((&line.fat.name, Edit::AddFat(Arc::clone(line.published()), Share::new(STEP).ok()?)))
        });
    let effect = |(name, edit): (&String, Edit)| {
        let moved = edit.apply(design, library).ok()?;
        Some((name.clone(), shared(&moved.blend)? - now))
    };
    let mut all: Vec<(String, f64)> = more.chain(new).filter_map(effect).collect();
    all.retain(|(_, effect)| rounded(*effect, DECIMALS).abs() > 0.0);
    all.sort_by(|x, y| y.1.abs().total_cmp(&x.1.abs()));
    all.truncate(MOST);
    let change = |(name, effect): (String, f64)| Change {
        what: format!("{name} +1 % of the blend in {letter}, the others less"),
        effect: with_unit(&signed(effect, DECIMALS), "points"),
    };
    all.into_iter().map(change).collect()
}
