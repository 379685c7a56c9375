//! How far a figure's source was seen.

use serde::{Deserialize, Serialize};

/// How far a figure's source was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Trust {
    /// The source itself, or its abstract, was read.
    #[serde(alias = "read")]
    Read,
    /// A page that reproduces the source was read; older files call it by another name.
    #[serde(alias = "reproduction", alias = "Transcription", alias = "transcription")]
    Reproduction,
    /// Calculated from a profile whose acids were read; what is calculated was not measured anywhere that was read.
    #[serde(alias = "calculated from a read profile")]
    Calculated,
    /// From memory: treat as unverified.
    #[serde(alias = "from memory")]
    FromMemory,
    /// What the trade does; no source.
    #[serde(alias = "common practice")]
    CommonPractice,
    /// The maker's own figure, or the supplier's certificate as the maker typed it.
    Maker,
}

impl Trust {
    /// The mark in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Read => "source read",
            Self::Reproduction => "from a reproduction",
            Self::Calculated => "calculated from a read profile",
            Self::FromMemory => "from memory",
            Self::CommonPractice => "common practice, no source",
            Self::Maker => "the maker’s own figure",
        }
    }

    /// The mark of a figure that rests on two: that of the one which was seen less of.
    #[must_use]
    pub fn weaker(self, other: Self) -> Self {
        let seen = |trust: Self| match trust {
            Self::FromMemory => 0,
            Self::CommonPractice => 1,
            Self::Calculated => 2,
            Self::Reproduction => 3,
            Self::Maker => 4,
            Self::Read => 5,
        };
        if seen(other) < seen(self) { other } else { self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mark_of_an_older_file_is_still_read() {
        for written in ["Reproduction", "reproduction", "Transcription", "transcription"] {
            let read: Trust = ron::from_str(written).unwrap_or_else(|e| panic!("{written}: {e}"));
            assert_eq!(read, Trust::Reproduction, "{written}");
        }
        assert_eq!(ron::to_string(&Trust::Reproduction).expect("it is written"), "Reproduction");
    }
}
