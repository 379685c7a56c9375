//! A design's file: what is read can be reckoned, told and written, and is then read as the same.
#![no_main]

use barwright_core::design::document;
use barwright_core::render::{record, report};
use barwright_core::{Library, cautions, evaluate, units::Measures};
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

fuzz_target!(|bytes: &[u8]| {
    let Ok(read) = document::read_with_log(bytes, &LIBRARY) else { return };
    let evaluation = evaluate(&read.design, &LIBRARY);
    let _ = cautions::read_in(&read.design, &evaluation, &LIBRARY, Measures::US);
    let _ = report::text(&read.design, &evaluation, &LIBRARY);
    report::Report::new(&read.design, &evaluation, &LIBRARY).json().expect("a report is JSON");
    let _ = record::log_text(&read.log, &LIBRARY);
    let text = document::write_with_log(&read.design, &read.log, &LIBRARY).expect("it is written");
    assert_eq!(document::read_with_log(text.as_bytes(), &LIBRARY).expect("it is read again"), read);
});
