//! Any number that can be explained, of several designs.

use crate::explain::About;
use crate::explain::compare::{Missing, Row, Side, Subject, Unit};
use crate::library::Library;
use crate::quantities::{self, Unknown};
use crate::units::Measures;

/// The number `key`, as [`super::super::why`] knows it, of each of `sides`, masses in grams; `None` if no such number
/// is explained for any of them.
///
/// ```
/// use barwright_core::explain::compare::Side;
/// use barwright_core::design::document;
/// use barwright_core::explain;
/// use barwright_core::{Library, evaluate};
/// let library = Library::embedded()?;
/// let [a, b] = ["30", "31"].map(|c| format!("(barwright: 1, fats: [(fat: \"coconut\", share: 100)], water: LyeConcentration({c}))"));
/// let [a, b] = [a, b].map(|text| document::read(text.as_bytes(), &library).expect("a design"));
/// let (of_a, of_b) = (evaluate(&a, &library), evaluate(&b, &library));
/// let sides = [Side { design: &a, evaluation: &of_a }, Side { design: &b, evaluation: &of_b }];
/// let row = explain::compared("jug.volume_ml", &sides, &library).expect("an explained number");
/// assert!(row.difference(1).is_some_and(|ml| ml < 0.0), "stronger lye is less");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn compared(key: &str, sides: &[Side<'_>], library: &Library) -> Option<Row> {
    let abouts = || sides.iter().map(|side| About::new(side.design, side.evaluation, library));
    // The number of the same thing in each design, wherever it stands there.
    let (quantity, about) = abouts().find_map(|about| Some((quantities::find(key, about).ok()?, about)))?;
    let values: Vec<Result<f64, Unknown>> = abouts().map(|about| quantity.value(about)).collect();
    let is_absent = |value: &Result<f64, Unknown>| matches!(value, Ok(_) | Err(Unknown::Absent(_)));
    let missing = if values.iter().all(is_absent) { Missing::Absent } else { Missing::Unknown };
    let measure = quantity.unit(about);
    let unit = Unit::of(&measure, Measures::METRIC, abouts().map(|about| about.design.currency.as_str()));
    Some(Row {
        key: key.into(),
        name: quantity.title(about),
        subject: Subject::Result,
        unit,
        decimals: quantity.decimals(about),
        values: values.into_iter().map(|value| Some(measure.shown(value.ok()?))).collect(),
        missing,
    })
}
