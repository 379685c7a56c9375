//! Which part of an addition's sugars is reducing, so that lye can take it apart.

use super::LibraryError;
use super::additions::Addition;
use super::material::{MaterialId, Sourced};
use super::materials::rows;
use crate::trust::Trust;
use crate::units::{Interval, Share};
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::Arc;

/// Molar mass of glucose and fructose, C₆H₁₂O₆, g/mol: where it is not known what sugars there are, they count as the
/// lightest, of which there are the most.
pub const HEXOSE: f64 = 180.156;

/// The reducing part of an addition's sugars.
#[derive(Debug, Clone, PartialEq)]
pub struct Reducing {
    /// What sugars there are, in words.
    pub what: String,
    /// Percent of the sugars.
    pub part: Sourced<Interval>,
    /// Their molar mass, g/mol.
    pub molar_mass: f64,
}

/// The reducing sugars of the library's additions.
#[derive(Debug, Clone, Default)]
pub struct Sugars(HashMap<MaterialId, Reducing>);

#[derive(Deserialize)]
struct Row {
    addition: MaterialId,
    reducing_min_pct: Share,
    reducing_max_pct: Share,
    molar_mass_g_per_mol: f64,
    what: String,
    source: String,
    trust: Trust,
}

impl Sugars {
    /// Reads `sugars.csv`, of `additions`.
    pub(super) fn parse(text: &str, additions: &[Arc<Addition>]) -> Result<Self, LibraryError> {
        const TABLE: &str = "sugars.csv";
        let mut all = HashMap::new();
        for row in rows::<Row>(TABLE, text)? {
            let id = row.addition;
            let wrong = |what: &str| LibraryError::Material { table: TABLE, id: id.to_string(), what: what.into() };
            if !additions.iter().any(|a| a.id == id) {
                return Err(wrong("is no addition"));
            }
            let range = Interval::new(row.reducing_min_pct.get(), row.reducing_max_pct.get());
            let value = range.map_err(|_falls| wrong("the least is more than the most"))?;
            if row.source.is_empty() {
                return Err(wrong("has no source"));
            }
            // Nothing lighter than a sugar of three carbons is one.
            if !(90.0..=1000.0).contains(&row.molar_mass_g_per_mol) {
                return Err(wrong("is no molar mass of a sugar"));
            }
            let part = Sourced { value, source: row.source, trust: row.trust };
            let reducing = Reducing { what: row.what, part, molar_mass: row.molar_mass_g_per_mol };
            if all.contains_key(&id) {
                return Err(wrong("stands twice"));
            }
            all.insert(id, reducing);
        }
        Ok(Self(all))
    }

    /// The reducing sugars of addition `id`; `None` where none to all of its sugars may be.
    pub fn of(&self, id: &MaterialId) -> Option<&Reducing> {
        self.0.get(id)
    }
}

#[cfg(test)]
mod tests {
    use crate::library::{Library, Tables};

    #[test]
    fn milk_and_honey_reduce_and_sugar_does_not() {
        let library = Library::embedded().expect("assets parse");
        let most = |id: &str| {
            let addition = library.addition(id).expect("an addition");
            library.sugars.of(&addition.id).map(|r| r.part.value.max())
        };
        assert_eq!(most("goat_milk"), Some(100.0));
        assert_eq!(most("sugar"), Some(0.0));
        assert!(most("honey").is_some_and(|part| part > 90.0));
        assert_eq!(most("banana"), None, "not known");
    }

    #[test]
    fn a_row_of_no_addition_is_refused() {
        let text = format!("{}manna,0,10,180,,a book,read\n", Tables::EMBEDDED.sugars);
        let error = Library::parse(&Tables { sugars: &text, ..Tables::EMBEDDED }).expect_err("no such addition");
        assert_eq!(error.to_string(), "sugars.csv: manna: is no addition");
    }
}
