//! Records of materials through edits: shared, kept, and never more than a file can hold.
//!
//! Source: the promises of the project's own documents, that nothing is ever lost.

#[path = "../src/designs/mod.rs"]
mod designs;

use barwright_acceptance::assert_relative;
use barwright_core::Design;
use barwright_core::design::edit::{Edit, EditError};
use barwright_core::library::additions::{Addition, AdditionLine, Amount, Stage};
use barwright_core::library::scents::{Scent, ScentLine};
use barwright_core::units::{AmountPercent, Grams};
use designs::{LIBRARY, id, read_back, written};
use std::sync::Arc;

/// What is one number by two ways agrees to this part of itself.
const EXACT: f64 = 1e-9;

fn applied(design: &Design, edit: &Edit) -> Design {
    edit.apply(design, &LIBRARY).unwrap_or_else(|e| panic!("{edit:?} is refused: {e}"))
}

#[test]
fn a_line_that_is_replaced_by_another_of_the_same_material_shares_its_record() {
    let ours = |id: &str| Arc::clone(LIBRARY.addition(id).expect("in the library"));
    let own = Arc::new(Addition { name: "Salt of the picker".into(), ..Addition::clone(&ours("salt")) });
    let lines = ["salt", "sugar"].map(|id| Edit::AddAddition(AdditionLine::usual(ours(id))));
    let design = lines.iter().fold(Design::default(), |design, edit| applied(&design, edit));
    let design = applied(&design, &Edit::SetAddition(1, AdditionLine::usual(own)));
    assert_eq!(read_back(&written(&design)), design, "a file holds one record for each material");

    let ours = |id: &str| Arc::clone(LIBRARY.scent(id).expect("in the library"));
    let own = Arc::new(Scent { name: "Lavender of the picker".into(), ..Scent::clone(&ours("lavender")) });
    let lines = ["lavender", "lemon"].map(|id| Edit::AddScent(ScentLine::usual(ours(id))));
    let design = lines.iter().fold(Design::default(), |design, edit| applied(&design, edit));
    let design = applied(&design, &Edit::SetScent(1, ScentLine::usual(own)));
    assert_eq!(read_back(&written(&design)), design, "a file holds one record for each material");
}

#[test]
fn a_record_of_ones_own_is_kept_when_its_line_is_replaced() {
    let salt = Arc::clone(LIBRARY.addition("salt").expect("in the library"));
    let own = Arc::new(Addition { id: id("ash_salt"), ..Addition::clone(&salt) });
    let design = applied(&Design::default(), &Edit::AddAddition(AdditionLine::usual(Arc::clone(&own))));
    let design = applied(&design, &Edit::SetAddition(0, AdditionLine::usual(salt)));
    assert_eq!(design.spare.additions, [own], "as when the line is taken out");

    let lemon = Arc::clone(LIBRARY.scent("lemon").expect("in the library"));
    let own = Arc::new(Scent { id: id("bark"), ..Scent::clone(&lemon) });
    let design = applied(&Design::default(), &Edit::AddScent(ScentLine::usual(Arc::clone(&own))));
    let design = applied(&design, &Edit::SetScent(0, ScentLine::usual(lemon)));
    assert_eq!(design.spare.scents, [own], "as when the line is taken out");
}

#[test]
fn an_addition_that_is_moved_onto_much_of_itself_loses_nothing() {
    let puree = Arc::clone(LIBRARY.addition("apple_puree").expect("in the library"));
    let amount = Amount::PercentOfFats(AmountPercent::nearest(300.0));
    let line = |stage| AdditionLine { amount, stage, ..AdditionLine::usual(Arc::clone(&puree)) };
    let both = [Stage::IntoFats, Stage::IntoJug].map(|stage| Edit::AddAddition(line(stage)));
    let design = both.iter().fold(Design::default(), |design, edit| applied(&design, edit));
    let fats = Grams(500.0);
    let all = |design: &Design| design.additions.iter().map(|l| l.amount.mass(fats).0).sum::<f64>();
    let edit = Edit::MoveAddition { index: 0, mass: Grams(1500.0), fats, to: Stage::IntoJug };
    // It may be refused, as more than a line holds.
    if let Ok(moved) = edit.apply(&design, &LIBRARY) {
        assert_relative("puree, g", all(&moved), all(&design), EXACT);
    }
}

#[test]
fn records_are_kept_only_as_far_as_a_file_can_hold_them() {
    let puree = Arc::clone(LIBRARY.addition("apple_puree").expect("in the library"));
    let named = |i: usize| Arc::new(Addition { id: id(&format!("own_{i}")), ..Addition::clone(&puree) });
    let mut design = Design::default();
    let refused = (0..1000).find(|i| match Edit::DefineAddition(named(*i)).apply(&design, &LIBRARY) {
        Ok(next) => {
            design = next;
            false
        }
        Err(error) => error == EditError::TooMany,
    });
    assert!(refused.is_some_and(|i| i >= 100), "a file cannot hold a thousand, but a hundred: {refused:?}");
    assert_eq!(read_back(&written(&design)), design, "all that were kept can be saved");
}

#[test]
fn a_scent_of_ones_own_has_no_more_constituents_than_a_file_can_hold() {
    let lemon = LIBRARY.scent("lemon").expect("in the library");
    let constituents = vec![lemon.constituents[0].clone(); 501];
    let own = Arc::new(Scent { id: id("bark"), constituents, ..Scent::clone(lemon) });
    for edit in [Edit::DefineScent(Arc::clone(&own)), Edit::AddScent(ScentLine::usual(own))] {
        if let Ok(design) = edit.apply(&Design::default(), &LIBRARY) {
            assert_eq!(read_back(&written(&design)), design, "what is taken can be saved");
        }
    }
}

#[test]
fn a_design_takes_a_hundred_additions_and_scents_and_no_more() {
    let addition = AdditionLine::usual(Arc::clone(LIBRARY.addition("salt").expect("in the library")));
    let scent = ScentLine::usual(Arc::clone(LIBRARY.scent("lavender").expect("in the library")));
    for edit in [Edit::AddAddition(addition), Edit::AddScent(scent)] {
        let full = (0..100).fold(Design::default(), |design, _| applied(&design, &edit));
        assert_eq!(edit.apply(&full, &LIBRARY), Err(EditError::TooMany));
        assert_eq!(read_back(&written(&full)), full, "so many can be saved");
    }
}
