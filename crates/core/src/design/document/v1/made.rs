//! Batches as the file has them. The designs they were made of and the records of those stand once each.

use super::{File, Record, Records, file_of, read_design, records};
use crate::design::Design;
use crate::design::document::{DocumentError, place};
use crate::design::log::{self, BatchCode, Entry, Log};
use crate::design::words::Line;
use crate::library::Library;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Batch {
    code: BatchCode,
    #[serde(default)]
    maker: Line,
    /// The place of its design among those that were made.
    made: usize,
    #[serde(default)]
    entries: Vec<Entry>,
}

/// Reads `batches` of `designs`, whose records are in `all`.
pub(super) fn read(
    text: &str,
    batches: Vec<Batch>,
    designs: Vec<File>,
    all: &[Record],
    library: &Library,
) -> Result<Log, DocumentError> {
    let wrong = |field: &str, message: String| place::of_name(text, field, message);
    let mut made: Vec<Arc<Design>> = Vec::with_capacity(designs.len());
    for mut file in designs {
        let own = std::mem::take(&mut file.records);
        let own: Option<Vec<Record>> = own.into_iter().map(|n| all.get(n).cloned()).collect();
        let own =
            own.ok_or_else(|| wrong("made_designs", "a design that was made names a record that is not there".into()))?;
        made.push(Arc::new(read_design(text, file, Records::of(text, &own)?, library)?));
    }
    let mut log = Log::default();
    for Batch { code, maker, made: nth, entries } in batches {
        let at =
            |message: String| place::of_field(text, "code", &code.to_string(), 0, format!("batch {code}: {message}"));
        let design = made.get(nth).ok_or_else(|| at("the design it was made of is not there".into()))?;
        let mut batch = log::Batch::new(code, maker, Arc::clone(design));
        for (n, entry) in entries.into_iter().enumerate() {
            batch.push(entry).map_err(|e| at(format!("entry {n}: {e}")))?;
        }
        log.begin(batch).map_err(|e| at(e.to_string()))?;
    }
    Ok(log)
}

/// A log as the file has it.
pub(super) struct Written {
    pub(super) batches: Vec<Batch>,
    pub(super) designs: Vec<File>,
    /// Records that are not among the design’s own.
    pub(super) records: Vec<Record>,
}

/// What of `own`, and of `more` behind it, is `record`; it joins those if it is none.
fn place_of(record: &Record, own: &[Record], more: &mut Vec<Record>) -> usize {
    if let Some(n) = own.iter().chain(more.iter()).position(|known| known.is(record)) {
        return n;
    }
    more.push(record.clone());
    own.len() + more.len() - 1
}

/// `log` beside a design with the records `own`.
pub(super) fn write(log: &Log, own: &[Record], library: &Library) -> Written {
    let mut written = Written { batches: Vec::new(), designs: Vec::new(), records: Vec::new() };
    let mut made: Vec<&Arc<Design>> = Vec::new();
    for batch in log.batches() {
        let known = made.iter().position(|m| Arc::ptr_eq(m, &batch.made) || **m == batch.made);
        let nth = known.unwrap_or_else(|| {
            let of_it = records(&batch.made);
            let records = of_it.iter().map(|r| place_of(r, own, &mut written.records)).collect();
            written.designs.push(File { records, ..file_of(&batch.made, library) });
            made.push(&batch.made);
            made.len() - 1
        });
        let (code, maker, entries) = (batch.code, batch.maker.clone(), batch.entries().to_vec());
        written.batches.push(Batch { code, maker, made: nth, entries });
    }
    written
}

impl Record {
    /// Whether `other` is of the same kind and content.
    fn is(&self, other: &Self) -> bool {
        fn same<T: PartialEq>(a: &Arc<T>, b: &Arc<T>) -> bool {
            Arc::ptr_eq(a, b) || a == b
        }
        match (self, other) {
            (Self::Fat(a), Self::Fat(b)) => a.id == b.id && same(a, b),
            (Self::Addition(a), Self::Addition(b)) => a.id == b.id && same(a, b),
            (Self::Scent(a), Self::Scent(b)) => a.id == b.id && same(a, b),
            _ => false,
        }
    }
}
