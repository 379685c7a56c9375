//! What fats are made of, for makers who leave some out, and which of them smell so much that little is used.

use super::LibraryError;
use super::fats::Fat;
use super::material::MaterialId;
use super::materials::rows;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::Arc;

/// Whether a fat is made of something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Made {
    /// It is.
    Yes,
    /// It is not.
    No,
    /// It is sold of both kinds, and only the supplier knows.
    May,
}

impl Made {
    /// Whether who wants none of it has to leave the fat out.
    pub const fn can_be(self) -> bool {
        matches!(self, Self::Yes | Self::May)
    }
}

/// What a fat is made of, and whether it smells (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Origin {
    /// Of animals, with what they make.
    pub animal: Made,
    /// Of the oil palm.
    pub palm: Made,
    /// It smells so strongly that a bar has little of it.
    pub strong_smell: bool,
}

/// The origins of the library's fats.
#[derive(Debug, Clone, Default)]
pub struct Origins(HashMap<MaterialId, Origin>);

#[derive(Deserialize)]
struct Row {
    fat: MaterialId,
    animal: Made,
    palm: Made,
    strong_smell: YesNo,
}

#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum YesNo {
    Yes,
    No,
}

impl Origins {
    /// Reads `origins.csv`, of `fats`.
    pub(super) fn parse(text: &str, fats: &[Arc<Fat>]) -> Result<Self, LibraryError> {
        const TABLE: &str = "origins.csv";
        let mut origins = HashMap::new();
        for Row { fat, animal, palm, strong_smell } in rows(TABLE, text)? {
            let wrong = |what: &str| LibraryError::Material { table: TABLE, id: fat.to_string(), what: what.into() };
            if !fats.iter().any(|f| f.id == fat) {
                return Err(wrong("is no fat"));
            }
            let origin = Origin { animal, palm, strong_smell: matches!(strong_smell, YesNo::Yes) };
            if origins.contains_key(&fat) {
                return Err(wrong("stands twice"));
            }
            origins.insert(fat, origin);
        }
        Ok(Self(origins))
    }

    /// The origin of fat `id`; `None` where it is not known, as for a fat of the maker's own.
    pub fn of(&self, id: &MaterialId) -> Option<Origin> {
        self.0.get(id).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::{Library, Tables};

    #[test]
    fn the_origin_of_each_fat_is_known() {
        let library = Library::embedded().expect("assets parse");
        let unknown: Vec<_> = library.fats().iter().filter(|f| library.origins.of(&f.id).is_none()).collect();
        assert!(unknown.is_empty(), "no row in origins.csv: {:?}", unknown.iter().map(|f| &f.id).collect::<Vec<_>>());
        let of = |id: &str| library.origins.of(&library.fat(id).expect("a fat").id).expect("known");
        assert_eq!(of("lard").animal, Made::Yes);
        assert_eq!(of("palm_kernel").palm, Made::Yes);
        assert_eq!(of("coconut").palm, Made::No, "a palm, but not the oil palm");
        assert!(of("stearic_acid_50").palm.can_be() && of("stearic_acid_50").animal.can_be(), "sold of both");
        assert!(of("neem").strong_smell && !of("olive_virgin").strong_smell);
    }

    #[test]
    fn an_origin_of_no_fat_is_refused() {
        let text = format!("{}unicorn,yes,no,no,\n", Tables::EMBEDDED.origins);
        let error = Library::parse(&Tables { origins: &text, ..Tables::EMBEDDED }).expect_err("no such fat");
        assert_eq!(error.to_string(), "origins.csv: unicorn: is no fat");
    }
}
