//! Which remedies are offered: those that help.

use super::Caution;
use crate::design::Design;
use crate::design::edit::Edit;
use crate::evaluate::evaluate;
use crate::library::Library;
use crate::units::Measures;

/// What `caution` says, without its numbers.
fn words(caution: &Caution) -> String {
    caution.text().chars().filter(|c| !c.is_ascii_digit()).collect()
}

/// Takes the remedies of `cautions` about `design` away that leave what they are offered for as it is, or that bring a
/// Stop about something else.
pub(super) fn keep_helpful(design: &Design, library: &Library, measures: Measures, cautions: &mut [Caution]) {
    let stopped: Vec<&'static str> = cautions.iter().filter(|c| c.blocks()).map(|c| c.code).collect();
    for caution in cautions {
        let helps = |edit: &Edit| {
            // What the library says is so, whatever comes of it.
            if matches!(edit, Edit::RefreshRecords) {
                return true;
            }
            let Ok(next) = edit.apply(design, library) else { return false };
            let after = super::all(&next, &evaluate(&next, library), library, measures);
            let stays = |c: &Caution| c.code == caution.code && c.level >= caution.level && words(c) == words(caution);
            let is_worse = |c: &Caution| c.blocks() && !stopped.contains(&c.code);
            !after.iter().any(|c| stays(c) || is_worse(c))
        };
        if caution.remedy.as_ref().is_some_and(|remedy| !helps(&remedy.edit)) {
            caution.remedy = None;
        }
    }
}
