//! A scent of one's own: a fragrance oil as its supplier describes it.

use super::{NameError, inci, inci_status, name};
use crate::library::Library;
use crate::library::handling::Handling;
use crate::library::material::MaterialId;
use crate::library::scents::{Cas, Constituent, MOST_CONSTITUENTS, Scent, Supplied};

/// A scent as its maker gives it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OwnScent {
    /// Its name.
    pub name: String,
    /// What is in it, with amounts.
    pub constituents: Vec<Constituent>,
    /// What else its supplier says.
    pub supplied: Supplied,
    /// Its name in ingredient lists; empty if none is known.
    pub inci: String,
}

/// A scent that cannot be.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum OwnScentError {
    /// The name is none.
    #[error(transparent)]
    Name(#[from] NameError),
    /// The name of ingredient lists is none.
    #[error(transparent)]
    Inci(NameError),
    /// More is in it than a record holds.
    #[error("A scent has at most {MOST_CONSTITUENTS} constituents: leave out what is least")]
    TooMany,
    /// The supplier is said to list none, and there is one.
    #[error("{0} is an allergen: the supplier lists it, or say not that none are listed")]
    Allergen(String),
    /// So little may be in the bar that it is no limit.
    #[error("The most in a bar is 0 %: such a scent cannot be used; read the supplier’s documents again")]
    NoneAllowed,
}

impl OwnScent {
    /// The record called `id`; what is not asked for here stays as `kept` has it.
    ///
    /// # Errors
    /// [`OwnScentError`], by what is wrong.
    pub fn record(&self, id: MaterialId, kept: Option<&Scent>, library: &Library) -> Result<Scent, OwnScentError> {
        let name = name(&self.name)?;
        let inci = inci(&self.inci).map_err(OwnScentError::Inci)?;
        if self.constituents.len().max(self.supplied.allergens.len()) > MOST_CONSTITUENTS {
            return Err(OwnScentError::TooMany);
        }
        if self.supplied.lists_none {
            let known = self.constituents.iter().find(|c| library.allergens.find(&c.name, &c.cas).is_some());
            let listed = self.supplied.allergens.first().map(|a| &a.name);
            if let Some(allergen) = listed.or(known.map(|c| &c.name)) {
                return Err(OwnScentError::Allergen(allergen.clone()));
            }
        }
        if self.supplied.limit.is_some_and(|limit| limit.get() <= 0.0) {
            return Err(OwnScentError::NoneAllowed);
        }
        let handling = library.scent(id.as_str()).map_or_else(Handling::of_scent, |scent| scent.handling.clone());
        let is_kept = kept.filter(|scent| scent.inci == inci);
        let scent = Scent {
            id,
            name,
            cas: kept.map_or_else(Cas::default, |scent| scent.cas.clone()),
            inci_status: is_kept.map_or_else(|| inci_status(&inci), |scent| scent.inci_status.clone()),
            inci,
            constituents: self.constituents.iter().map(|c| as_kept(c, kept)).collect(),
            handling: handling.clone(),
            supplied: Supplied::default(),
        };
        Ok(scent.with_supplied(self.supplied.clone(), handling))
    }
}

/// A constituent that was not touched keeps its source, and one of a known substance its part.
fn as_kept(given: &Constituent, kept: Option<&Scent>) -> Constituent {
    let mut known = kept.iter().flat_map(|scent| &scent.constituents).filter(|c| c.cas == given.cas);
    let same = known.clone().find(|c| c.name == given.name && (c.most.get() - given.most.get()).abs() < 1e-6);
    same.cloned().unwrap_or_else(|| Constituent { whole: known.any(|c| c.whole), ..given.clone() })
}
