//! The one sign of a figure whose source nobody of us has read, and its one legend.

use super::small;
use barwright_core::trust::Trust;
use eframe::egui::{Response, Ui};

/// What the sign means, in short and in full.
const LEGEND: &str = "† no source was read";
const IN_FULL: &str = "The figure, or one that decides it, is from memory or common practice: check it against your \
    own papers. Click the figure, or point at the name, to see which.";

/// What stands behind a figure, or behind the name of what it is of, whose source was seen so far.
pub const fn sign(trust: Trust) -> &'static str {
    match trust {
        Trust::FromMemory | Trust::CommonPractice => " †",
        Trust::Read | Trust::Reproduction | Trust::Calculated | Trust::Maker => "",
    }
}

/// The legend, for a view in which the sign stands.
pub fn legend(ui: &mut Ui) -> Response {
    small(ui, LEGEND).on_hover_text(IN_FULL)
}
