//! Any number that can be explained, of several designs.

use super::super::About;
use super::super::figure::Entry;
use crate::compare::{Missing, Row, Side, Subject, Unit};
use crate::library::Library;
use crate::units::MassUnit;

/// The number `key`, as [`super::super::why`] knows it, of each of `sides`, masses in grams; `None` if no such number
/// is explained for any of them.
///
/// ```
/// use barwright_core::compare::Side;
/// use barwright_core::{Library, document, evaluate, why};
/// let library = Library::embedded()?;
/// let [a, b] = ["30", "31"].map(|c| format!("(barwright: 1, fats: [(fat: \"coconut\", share: 100)], water: LyeConcentration({c}))"));
/// let [a, b] = [a, b].map(|text| document::read(text.as_bytes(), &library).expect("a design"));
/// let (of_a, of_b) = (evaluate(&a, &library), evaluate(&b, &library));
/// let sides = [Side { design: &a, evaluation: &of_a }, Side { design: &b, evaluation: &of_b }];
/// let row = why::compared("jug.volume_ml", &sides, &library).expect("an explained number");
/// assert!(row.difference(1).is_some_and(|ml| ml < 0.0), "stronger lye is less");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn compared(key: &str, sides: &[Side<'_>], library: &Library) -> Option<Row> {
    let abouts = || sides.iter().map(|side| About { design: side.design, evaluation: side.evaluation, library });
    let entry = abouts().find_map(|about| Entry::find(key, about))?;
    let value = |about: About<'_>| Entry::find(key, about)?.figure.value(about).ok();
    let unit = match &*entry.unit {
        "" => Unit::Bare,
        "%" => Unit::Percent,
        "g" => Unit::Mass(MassUnit::Gram),
        "ml" => Unit::Millilitres,
        "°C" => Unit::Celsius,
        "mg KOH/g" => Unit::Saponification,
        "g/100 g" => Unit::Iodine,
        _ if key.starts_with("cost.") && entry.unit == sides.first()?.design.currency => {
            Unit::Money(sides.iter().map(|side| side.design.currency.clone()).collect())
        }
        other => Unit::Other(other.into()),
    };
    Some(Row {
        key: key.into(),
        name: entry.title.into_owned(),
        subject: Subject::Result,
        unit,
        decimals: entry.decimals,
        values: abouts().map(value).collect(),
        missing: Missing::Unknown,
    })
}
