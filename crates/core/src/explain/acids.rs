//! The blend's percent of one fatty acid.

use super::blend::in_words;
use super::figure::{Entry, Figure};
use super::{About, Input, Parts};
use crate::design::blend::FatLine;
use crate::library::acids::AcidId;
use crate::library::fats::ProfileEntry;
use crate::number::short;

/// The key; A is an acid, as 18:1.
pub(super) const KEY: &str = "acids_pct.A";

/// The number of the acid that is called `acid` in the report, if the blend holds it.
pub(super) fn find(acid: &str, about: About<'_>) -> Option<Entry> {
    let id = about.library.acids.find(acid)?;
    let holds = about.evaluation.composition.as_ref()?.fraction(id) > 0.0;
    let title = format!("{} in the fatty acids", in_words(about.library.acids.get(id)));
    holds.then(|| Entry::of_design(Figure::Acid(id), format!("acids_pct.{acid}"), title, "%", 1))
}

fn in_profile(line: &FatLine, acid: AcidId) -> Option<&ProfileEntry> {
    line.fat.profile().iter().find(|e| e.acid == acid)
}

impl About<'_> {
    pub(super) fn acid_pct(self, acid: AcidId) -> Result<f64, String> {
        Ok(100.0 * self.composition()?.fraction(acid))
    }

    pub(super) fn acid(self, acid: AcidId) -> Parts {
        let acids = &self.library.acids;
        // What counts has both calculated figures, as the composition has it.
        let counts = |l: &FatLine| l.fat.calculated_sv(acids).and(l.fat.calculated_iv(acids));
        let input = |line: &FatLine| {
            let entry = in_profile(line, acid)?;
            Some(Input {
                name: format!("{} in {}", in_words(acids.get(acid)), line.fat.name),
                value: format!("{} %, {}", short(entry.typical, 2), entry.published()),
                source: entry.source.clone(),
                trust: Some(entry.trust),
            })
        };
        Parts {
            formula: "Σ share × typical percent in the fat ÷ Σ share, over fats with a profile",
            numbers: self.mean(|l| counts(l).map(|_| in_profile(l, acid).map_or(0.0, |e| e.typical))),
            inputs: self.lines().filter(|l| counts(l).is_some()).filter_map(input).collect(),
            trust: format!(
                "Typical profiles: one season or one supplier lies elsewhere in the published range. Each fat counts as if \
                 all of it were fatty acids.{}",
                self.left_out()
            ),
        }
    }
}
