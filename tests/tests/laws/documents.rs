//! What is saved is loaded.

use super::designs::{LIBRARY, any_design, id, read_back, tried, written};
use super::figures::masses;
use barwright_acceptance::judged;
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::design::document;
use barwright_core::design::edit::Edit;
use barwright_core::library::Tables;
use barwright_core::library::fats::Fat;
use barwright_core::units::Share;
use barwright_core::{Design, Library};
use proptest::prelude::*;
use std::sync::Arc;

proptest! {
    #![proptest_config(tried(40))]

    #[test]
    fn what_is_saved_is_loaded(design in any_design()) {
        let loaded = read_back(&written(&design));
        prop_assert_eq!(loaded, design);
    }

    #[test]
    fn what_is_loaded_is_saved_as_the_same_text(design in any_design()) {
        let text = written(&design);
        prop_assert_eq!(written(&read_back(&text)), text);
    }
}

#[test]
fn what_is_saved_is_loaded_in_the_same_order_after_any_edits() {
    let own = |name: &str| {
        let mut fat = Fat::clone(&LIBRARY.fats()[0]);
        fat.id = id(name);
        Arc::new(fat)
    };
    let mut design = Design::default();
    for name in ["zebu_tallow", "acorn"] {
        design = Edit::AddFat(own(name), Share::nearest(10.0)).apply(&design, &LIBRARY).expect("room");
        design = Edit::RemoveFat(id(name)).apply(&design, &LIBRARY).expect("there");
    }
    assert_eq!(read_back(&written(&design)), design, "save and load is identity");
}

#[test]
fn a_saved_design_weighs_the_same_with_another_library() {
    let changed = Tables::EMBEDDED.fats.replacen(
        "coconut,Coconut oil,triglyceride,,248,265,",
        "coconut,Coconut oil,triglyceride,,250,260,",
        1,
    );
    assert_ne!(changed, Tables::EMBEDDED.fats, "the row to change is there");
    let later = Library::parse(&Tables { fats: &changed, ..Tables::EMBEDDED }).expect("a library");
    let lines = [("coconut", 30.0), ("olive_virgin", 70.0)]
        .map(|(id, share)| FatLine::new(Arc::clone(LIBRARY.fat(id).expect("in the library")), Share::nearest(share)));
    let design = Design { blend: Blend::new(lines.to_vec()).expect("no fat twice"), ..Design::default() };
    let now = judged(&design, &LIBRARY);
    let then_design = document::read(written(&design).as_bytes(), &later).expect("read by the later program");
    let then = judged(&then_design, &later);
    assert_eq!(masses(&now), masses(&then), "the numbers stay");
    assert!(then.cautions.iter().any(|c| c.code == "records-differ"), "and the difference is said");
    let refreshed = Edit::RefreshRecords.apply(&then_design, &later).expect("always possible");
    assert_ne!(masses(&judged(&refreshed, &later)), masses(&now), "until the person asks for the new figures");
}
