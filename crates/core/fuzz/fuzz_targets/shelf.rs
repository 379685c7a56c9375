//! The shelf's file: what is read can be told and written, and is then read as the same.
#![no_main]

use barwright_core::Library;
use barwright_core::design::document;
use barwright_core::design::shelf::csv;
use barwright_core::render;
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

fuzz_target!(|bytes: &[u8]| {
    let Ok(shelf) = document::read_shelf(bytes, &LIBRARY) else { return };
    let _ = render::shelf::shelf_text(&shelf, &LIBRARY);
    csv::write(&shelf).expect("a table");
    let text = document::write_shelf(&shelf, &LIBRARY).expect("it is written");
    assert_eq!(document::read_shelf(text.as_bytes(), &LIBRARY).expect("it is read again"), shelf);
});
