//! Undo, redo and gestures.

use super::designs::{LIBRARY, any_design, any_step, tried};
use barwright_core::Design;
use barwright_core::design::history::{Gesture, History};
use proptest::collection::vec;
use proptest::prelude::*;

proptest! {
    #![proptest_config(tried(40))]

    #[test]
    fn undo_takes_back_each_edit_and_redo_does_it_again(
        design in any_design(),
        steps in vec(any_step(), 1..25),
    ) {
        let mut history = History::new(design, true);
        let mut states = vec![Design::clone(history.design())];
        for step in &steps {
            let Some(edit) = step.edit(history.design()) else { continue };
            // A refused edit leaves no trace.
            let Ok(next) = edit.apply(history.design(), &LIBRARY) else { continue };
            history.commit(edit.name(history.design()), next.clone(), None);
            assert_eq!(**history.design(), next, "the edit is the present");
            if states.last() != Some(&next) {
                states.push(next);
            }
        }
        let last = states.len() - 1;
        assert_eq!(history.is_unsaved(), last > 0, "changed since it was saved");
        for state in states[..last].iter().rev() {
            assert!(history.undo(), "a step for each change");
            assert_eq!(**history.design(), *state, "as it was before");
        }
        assert!(!history.undo(), "and no more steps than changes");
        assert!(!history.is_unsaved(), "back at what was saved");
        for state in &states[1..] {
            assert!(history.redo(), "each step again");
            assert_eq!(**history.design(), *state, "as it was after");
        }
        assert!(!history.redo(), "and no more");
    }

    #[test]
    fn a_gesture_is_one_step_however_many_edits_it_makes(
        design in any_design(),
        gestures in vec((vec(any_step(), 1..6), any::<bool>()), 1..6),
    ) {
        let start = design.clone();
        let mut history = History::new(design, false);
        let mut between = vec![start];
        for (number, (steps, ends)) in gestures.iter().enumerate() {
            let gesture = Some(Gesture(number as u64));
            for step in steps {
                let Some(edit) = step.edit(history.design()) else { continue };
                let Ok(next) = edit.apply(history.design(), &LIBRARY) else { continue };
                history.commit(edit.name(history.design()), next, gesture);
            }
            if *ends {
                history.end_gesture();
            }
            if between.last() != Some(&**history.design()) {
                between.push(Design::clone(history.design()));
            }
        }
        for state in between[..between.len() - 1].iter().rev() {
            assert!(history.undo(), "a step for each gesture");
            assert_eq!(**history.design(), *state, "as it was before the gesture");
        }
        assert!(!history.undo(), "and no more steps than gestures");
    }
}
