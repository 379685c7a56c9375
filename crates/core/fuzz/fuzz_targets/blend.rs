//! A pasted blend, pasted fatty acids, a pasted list of allergens.
#![no_main]

use barwright_core::Library;
use barwright_core::design::own::{acids, allergens};
use barwright_core::design::written::Written;
use barwright_core::units::MassUnit;
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

fuzz_target!(|text: &str| {
    let _ = Written::read(text, &LIBRARY, MassUnit::Ounce);
    let _ = acids::Pasted::read(text, &LIBRARY.acids);
    let _ = allergens::Pasted::read(text, &LIBRARY.allergens);
});
