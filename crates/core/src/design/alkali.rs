//! Which alkali is chosen, in words and as shares.

use super::Alkali;
use crate::units::Share;

listed! {
    /// The choice of an alkali.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum AlkaliKind {
        /// Sodium hydroxide alone.
        Sodium,
        /// Potassium hydroxide alone.
        Potassium,
        /// Both.
        Both,
    }
    /// All, in the order of lists.
    ALL
}

/// Potassium hydroxide in percent of the equivalents where both are chosen anew (our choice: a bar
/// stays a bar).
const USUAL_POTASH: f64 = 5.0;

impl AlkaliKind {
    /// Name in a list.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Sodium => "Sodium hydroxide (NaOH)",
            Self::Potassium => "Potassium hydroxide (KOH)",
            Self::Both => "Both",
        }
    }

    /// Whether sodium hydroxide is weighed.
    pub const fn has_sodium(self) -> bool {
        match self {
            Self::Sodium | Self::Both => true,
            Self::Potassium => false,
        }
    }

    /// Whether potassium hydroxide is weighed.
    pub const fn has_potassium(self) -> bool {
        match self {
            Self::Potassium | Self::Both => true,
            Self::Sodium => false,
        }
    }
}

impl Alkali {
    /// Which of them it is.
    pub const fn kind(&self) -> AlkaliKind {
        let koh = self.koh_share.get();
        if koh <= Share::MIN {
            AlkaliKind::Sodium
        } else if koh >= Share::MAX {
            AlkaliKind::Potassium
        } else {
            AlkaliKind::Both
        }
    }

    /// Whether most of it is potassium hydroxide, whose soap is a paste: another process, without bars.
    pub const fn makes_paste(&self) -> bool {
        /// Percent of the equivalents (common practice, no source).
        const MOST: f64 = 50.0;
        self.koh_share.get() > MOST
    }

    /// Whether it is said of a purity, and of none before, that it was read from the tub, or no longer.
    pub(super) const fn is_read_anew(&self, before: &Self) -> bool {
        self.naoh_read_from_tub != before.naoh_read_from_tub || self.koh_read_from_tub != before.koh_read_from_tub
    }

    /// This alkali in place of `before`: another purity has not been read from the tub because the one before was.
    pub(super) fn after(self, before: &Self) -> Self {
        let still = |ticked: bool, was: bool, same: bool| ticked && (same || !was);
        Self {
            naoh_read_from_tub: still(
                self.naoh_read_from_tub,
                before.naoh_read_from_tub,
                self.naoh_purity == before.naoh_purity,
            ),
            koh_read_from_tub: still(
                self.koh_read_from_tub,
                before.koh_read_from_tub,
                self.koh_purity == before.koh_purity,
            ),
            ..self
        }
    }

    /// Another choice with the same purities.
    ///
    /// ```
    /// use barwright_core::design::{Alkali, AlkaliKind};
    /// for kind in AlkaliKind::ALL {
    ///     assert_eq!(Alkali::default().of_kind(kind).kind(), kind);
    /// }
    /// ```
    #[must_use]
    pub fn of_kind(self, kind: AlkaliKind) -> Self {
        let share = match kind {
            AlkaliKind::Sodium => Share::MIN,
            AlkaliKind::Potassium => Share::MAX,
            AlkaliKind::Both => USUAL_POTASH,
        };
        Self { koh_share: Share::nearest(share), ..self }
    }
}
