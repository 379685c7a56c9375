//! The log as text.

use super::told;
use crate::bench::record::{Record, State};
use crate::design::log::{Batch, Log};
use crate::library::Library;
use crate::number::fixed;
use crate::units::Measures;
use std::collections::BTreeMap;
use std::fmt::Write;

/// The superfat that results of a record in words, with what is not weighed yet.
pub(super) fn superfat(record: &Record) -> String {
    match record.superfat() {
        Err(error) => format!("STOP: {error}"),
        Ok(superfat) if record.missing().is_some() => {
            format!("superfat so far {} % (what is not weighed counts as planned)", fixed(superfat, 1))
        }
        Ok(superfat) => format!("superfat as weighed {} %", fixed(superfat, 1)),
    }
}

/// All batches of `log`, the latest first.
pub fn log_text(log: &Log, library: &Library) -> String {
    let mut text = String::new();
    for batch in log.batches().iter().rev() {
        let record = Record::of(batch, &BTreeMap::new(), library, Measures::METRIC);
        let _ = one(&mut text, batch, &record);
    }
    if text.is_empty() { "No batch was made of this design yet.\n".into() } else { text }
}

fn one(text: &mut String, batch: &Batch, record: &Record) -> std::fmt::Result {
    let maker = if batch.maker.is_empty() { String::new() } else { format!(", made by {}", batch.maker) };
    writeln!(text, "{}: {}{maker}", batch.code, record.state.word())?;
    writeln!(text, "  {}", superfat(record))?;
    for stop in record.stops() {
        writeln!(text, "  {}", stop.line())?;
    }
    if record.state != State::Raw {
        writeln!(text, "  {} of {} bars left", record.left(), record.bars)?;
    }
    for (n, entry) in batch.entries().iter().enumerate() {
        let corrected = if batch.is_corrected(n) { " (corrected)" } else { "" };
        let words = told(&entry.what, &batch.made, Measures::METRIC).replace('\n', "\n      ");
        writeln!(text, "  {} {words}{corrected}", entry.on)?;
    }
    Ok(())
}
