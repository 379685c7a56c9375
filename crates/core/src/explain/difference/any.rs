//! Any number that can be explained, of several designs.

use super::super::About;
use super::super::figure::Entry;
use crate::explain::compare::{Missing, Row, Side, Subject, Unit};
use crate::library::Library;
use crate::units::MassUnit;

/// More than any list has.
const PLACES: usize = 256;

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
    let abouts = || sides.iter().map(|side| About { design: side.design, evaluation: side.evaluation, library });
    let entry = abouts().find_map(|about| Entry::find(key, about))?;
    let entries: Vec<Option<Entry>> = abouts().map(|about| entry.same_in(key, about)).collect();
    let value = |(entry, about): (&Option<Entry>, About<'_>)| entry.as_ref()?.figure.value(about).ok();
    let values: Vec<Option<f64>> = entries.iter().zip(abouts()).map(value).collect();
    // What a design does not take adds nothing; a figure of it is none.
    let is_amount = ![".saponification_value", ".soaps.", "size."].iter().any(|figure| key.contains(figure));
    let is_absent = |(entry, value): (&Option<Entry>, &Option<f64>)| value.is_some() || entry.is_none();
    let missing =
        if is_amount && entries.iter().zip(&values).all(is_absent) { Missing::Absent } else { Missing::Unknown };
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
    let name = entry.title.clone().into_owned();
    Some(Row { key: key.into(), name, subject: Subject::Result, unit, decimals: entry.decimals, values, missing })
}

impl Entry {
    /// The number of the same thing in another design, where it may stand at another place of its list: its title
    /// names the thing.
    fn same_in(&self, key: &str, about: About<'_>) -> Option<Self> {
        let is_list = !["cure.", "size.", "cost.bar_at_margin_pct."].iter().any(|numbers| key.starts_with(numbers));
        let parts: Vec<&str> = key.split('.').collect();
        let Some(place) = parts.iter().position(|p| is_list && p.parse::<usize>().is_ok()) else {
            return Self::find(key, about);
        };
        let is_it = |entry: &Self| entry.title == self.title;
        let at = |i: usize| {
            let i = i.to_string();
            let parts = parts.iter().enumerate().map(|(n, part)| if n == place { i.as_str() } else { part });
            Self::find(&parts.collect::<Vec<_>>().join("."), about)
        };
        // The place itself first: a design can hold one thing at two stages.
        Self::find(key, about).filter(is_it).or_else(|| (0..PLACES).filter_map(at).find(is_it))
    }
}
