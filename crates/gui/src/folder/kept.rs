//! Summaries kept from one start of the program to the next, so that a second look at a folder reads only what changed.
//!
//! They are the work of one build of the program and can be lost at any time: what another build wrote, or what cannot
//! be read, is as if it were not there.

use super::{Found, Row, Stamp};
use crate::files;
use barwright_core::render::report::Summary;
use serde::{Deserialize, Serialize};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Version of the form in which they are kept.
const VERSION: u32 = 1;
/// How many folders are kept.
const MOST_FOLDERS: usize = 16;
/// The longest file that is read, bytes.
const MOST_BYTES: usize = 64 << 20;

/// What is kept of a folder.
#[derive(Serialize, Deserialize)]
struct Kept {
    barwright_folder: u32,
    build: String,
    folder: String,
    rows: Vec<KeptRow>,
}

/// A row as it is kept.
#[derive(Serialize, Deserialize)]
struct KeptRow {
    file: String,
    stamp: Stamp,
    summary: Summary,
}

/// Which build of the program this is: tables and formulas may differ in another of the same version.
fn build() -> Option<String> {
    let metadata = std::fs::metadata(std::env::current_exe().ok()?).ok()?;
    let stamp = Stamp::of(&metadata);
    stamp.modified.map(|(s, ns)| format!("{} {} {s}.{ns}", env!("CARGO_PKG_VERSION"), stamp.bytes))
}

fn place(cache: &Path, folder: &str) -> PathBuf {
    let mut hasher = DefaultHasher::new();
    folder.hash(&mut hasher);
    cache.join(format!("{:016x}.json", hasher.finish()))
}

/// What is kept of `folder`; nothing if it is not to be had.
pub(super) fn load(cache: &Path, folder: &Path) -> Vec<Row> {
    let kept = || {
        let name = folder.to_str()?;
        let bytes = files::read_whole(&place(cache, name), MOST_BYTES).ok()?;
        let kept: Kept = serde_json::from_slice(&bytes).ok()?;
        let is_ours = kept.barwright_folder == VERSION && kept.folder == name && Some(kept.build) == build();
        is_ours.then_some(kept.rows)
    };
    let rows = kept().unwrap_or_default().into_iter();
    let row = |KeptRow { file, stamp, summary }| {
        let found = Found { path: folder.join(file), changed: stamp.changed(), stamp: Some(stamp) };
        Row::of(found, Ok(summary))
    };
    rows.map(row).collect()
}

/// Keeps those of `rows` that hold a design. What fails is not told: nothing is lost by it but time.
pub(super) fn save(cache: &Path, folder: &Path, rows: &[Arc<Row>]) {
    let (Some(name), Some(build)) = (folder.to_str(), build()) else { return };
    let row = |row: &'_ Arc<Row>| {
        let file = row.path.file_name()?.to_str()?.to_owned();
        Some(KeptRow { file, stamp: row.stamp?, summary: row.summary()?.clone() })
    };
    let rows: Vec<KeptRow> = rows.iter().filter_map(row).collect();
    let kept = Kept { barwright_folder: VERSION, build, folder: name.to_owned(), rows };
    let Ok(text) = serde_json::to_vec(&kept) else { return };
    if files::write_own(&place(cache, name), &text).is_ok() {
        prune(cache);
    }
}

/// Takes away the folders that were kept longest ago.
fn prune(cache: &Path) {
    let Ok(entries) = std::fs::read_dir(cache) else { return };
    let ours = entries.flatten().map(|entry| entry.path()).filter(|path| path.extension().is_some_and(|e| e == "json"));
    let dated = ours.filter_map(|path| Some((std::fs::metadata(&path).ok()?.modified().ok()?, path)));
    let mut dated: Vec<_> = dated.collect();
    dated.sort();
    let surplus = dated.len().saturating_sub(MOST_FOLDERS);
    for (_, path) in &dated[..surplus] {
        // It is tried again the next time.
        let _ = std::fs::remove_file(path);
    }
}
