//! Laws of the remedies that a caution offers with one click.
//!
//! Source: the project's own safety rules.

use super::designs::{LIBRARY, any_design, tried};
use barwright_acceptance::judged;
use barwright_core::cautions::Caution;
use barwright_core::design::edit::Edit;
use proptest::prelude::*;

/// What `caution` says, without its numbers.
fn words(caution: &Caution) -> String {
    caution.text().chars().filter(|c| !c.is_ascii_digit()).collect()
}

proptest! {
    #![proptest_config(tried(128))]

    #[test]
    fn a_remedy_takes_its_caution_away_and_brings_no_other_stop(design in any_design()) {
        let told = judged(&design, &LIBRARY);
        for caution in &told.cautions {
            let Some(remedy) = caution.remedy.as_ref().filter(|r| !matches!(r.edit, Edit::RefreshRecords)) else {
                continue;
            };
            let next = remedy.edit.apply(&design, &LIBRARY);
            prop_assert!(next.is_ok(), "[{}] {}: {:?}", caution.code, remedy.label, next.err());
            let after = judged(&next.expect("as said"), &LIBRARY);
            for c in &after.cautions {
                let stays = c.code == caution.code && c.level >= caution.level && words(c) == words(caution);
                // Whatever else is said of what scorches: it is not to scorch any more.
                let scorching = |c: &Caution| c.why.split(" browns").next().map(str::to_owned);
                let is_left = c.code == "jug-scorches" && caution.code == c.code && scorching(c) == scorching(caution);
                let stays = stays || is_left;
                prop_assert!(!stays, "“{}” leaves {}", remedy.label, c.line());
                let stopped = told.cautions.iter().any(|was| was.blocks() && was.code == c.code);
                let brings = c.blocks() && !stopped;
                prop_assert!(!brings, "“{}” of {} brings {}", remedy.label, caution.line(), c.line());
            }
        }
    }
}
