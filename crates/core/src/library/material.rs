//! What every material in a file or a table has: a name in files, and figures with their source.

use crate::trust::Trust;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::sync::Arc;

/// Lower-case name of a fat, an addition or a scent in files and tables: letters, digits, underscore, at most 64.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct MaterialId(Arc<str>);

/// Text that cannot name a material.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” cannot name a material: use lower-case letters, digits and _, at most 64")]
pub struct BadId(String);

impl MaterialId {
    /// Takes `text` if it can name a material.
    ///
    /// # Errors
    /// [`BadId`] otherwise.
    pub fn new(text: &str) -> Result<Self, BadId> {
        let fits = (1..=64).contains(&text.len())
            && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
        if fits { Ok(Self(text.into())) } else { Err(BadId(text.chars().take(80).collect())) }
    }

    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for MaterialId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl TryFrom<String> for MaterialId {
    type Error = BadId;
    fn try_from(text: String) -> Result<Self, BadId> {
        Self::new(&text)
    }
}

impl From<MaterialId> for String {
    fn from(id: MaterialId) -> Self {
        id.0.as_ref().into()
    }
}

/// Which table a row of another table is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Of {
    /// `fats.csv`.
    Fat,
    /// `additions.csv`.
    Addition,
    /// `scents.csv`.
    Scent,
}

/// A figure with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Sourced<T> {
    /// The figure.
    pub value: T,
    /// Its source, in words.
    pub source: String,
    /// How far the source was seen.
    pub trust: Trust,
}
