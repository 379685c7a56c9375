//! A table of lots from a spreadsheet.
#![no_main]

use barwright_core::Library;
use barwright_core::design::shelf::csv;
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

fuzz_target!(|bytes: &[u8]| {
    if let Ok(preview) = csv::read(bytes, None, &LIBRARY) {
        let wrong: Vec<String> = preview.errors().map(ToString::to_string).collect();
        let _ = (preview.lots(), wrong);
    }
});
