//! The designs of a folder: which files there are, and what a list shows of each.

mod kept;
mod list;

pub use list::FolderList;

use crate::files::{self, FileError};
use barwright_core::design::document::{Document, EXTENSION};
use barwright_core::library::finding::folded;
use barwright_core::render::report::{Listed, Summary};
use barwright_core::{Library, evaluate};
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, SystemTime};

/// The most files of a folder that are listed, so that no folder takes all memory.
pub const MOST_FILES: usize = 20_000;
/// The longest reason why a file was not read that is kept, characters.
const LONGEST_REASON: usize = 300;
/// The most threads that read: more only wait for the disk.
const MOST_THREADS: usize = 8;

/// By what it is noticed that a file changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
struct Stamp {
    bytes: u64,
    /// Seconds and nanoseconds since 1970.
    modified: Option<(u64, u32)>,
}

impl Stamp {
    fn of(metadata: &std::fs::Metadata) -> Self {
        let since = metadata.modified().ok().and_then(|at| at.duration_since(SystemTime::UNIX_EPOCH).ok());
        Self { bytes: metadata.len(), modified: since.map(|since| (since.as_secs(), since.subsec_nanos())) }
    }

    fn changed(&self) -> Option<SystemTime> {
        let (seconds, nanoseconds) = self.modified?;
        SystemTime::UNIX_EPOCH.checked_add(Duration::new(seconds, nanoseconds))
    }

    /// Whether any change after `looked` would be seen by it: the clock of a file system may tick seldom.
    fn is_settled(&self, looked: SystemTime) -> bool {
        const TICK: Duration = Duration::from_secs(2);
        self.changed().is_some_and(|changed| changed.checked_add(TICK).is_some_and(|settled| settled <= looked))
    }
}

/// A file of a folder, not read yet.
#[derive(Debug, Clone)]
pub struct Found {
    path: PathBuf,
    changed: Option<SystemTime>,
    /// `None` if it would not show that the file changes once more.
    stamp: Option<Stamp>,
}

/// A file of a folder as it was read.
#[derive(Debug)]
pub struct Row {
    /// The file.
    pub path: PathBuf,
    /// When it was changed last, as far as the system says.
    pub changed: Option<SystemTime>,
    stamp: Option<Stamp>,
    /// Its name and its design, or why there is none.
    pub listed: Listed,
    /// What it is looked for by, folded.
    pub words: String,
    /// [`Listed::order`].
    pub order: (bool, String, String, String),
}

impl Row {
    fn of(found: Found, read: Result<Summary, String>) -> Self {
        let Found { path, changed, stamp } = found;
        let file = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
        let words = match &read {
            Ok(summary) => format!("{} {} {file}", summary.name, summary.style),
            Err(_) => file.clone(),
        };
        let listed = Listed { file, read };
        Self { path, changed, stamp, words: folded(&words), order: listed.order(), listed }
    }

    /// Its summary, if it holds a design.
    pub fn summary(&self) -> Option<&Summary> {
        self.listed.read.as_ref().ok()
    }
}

/// The design files in `folder`, none of those in folders within it: a link that leads back could go round for ever.
/// At most [`MOST_FILES`]; the second value says whether there are more.
///
/// # Errors
/// From the system, if the folder cannot be read.
pub fn look(folder: &Path) -> std::io::Result<(Vec<Found>, bool)> {
    let mut found = Vec::new();
    let now = SystemTime::now();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if !path.extension().is_some_and(|e| e.eq_ignore_ascii_case(EXTENSION)) {
            continue;
        }
        // Through a link; one that leads nowhere is told of when it is read.
        let metadata = std::fs::metadata(&path);
        if metadata.as_ref().is_ok_and(std::fs::Metadata::is_dir) {
            continue;
        }
        if found.len() == MOST_FILES {
            return Ok((found, true));
        }
        let stamp = metadata.ok().as_ref().map(Stamp::of);
        let changed = stamp.as_ref().and_then(Stamp::changed);
        found.push(Found { path, changed, stamp: stamp.filter(|stamp| stamp.is_settled(now)) });
    }
    Ok((found, false))
}

fn read(path: &Path, library: &Library) -> Result<Summary, String> {
    let reason = |error: FileError| match error {
        FileError::Read { error, .. } => error.to_string(),
        FileError::Document { error, .. } => error.to_string(),
        other => other.to_string(),
    };
    let (Document { design, log }, _) = files::open(path, library).map_err(|error| {
        let reason = reason(error);
        reason.chars().take(LONGEST_REASON).collect::<String>()
    })?;
    Ok(Summary::of(&design, &log, &evaluate(&design, library), library))
}

/// Reads `files` with as many threads as the machine has and hands each on as it is there, until `stopped`.
pub fn read_each(files: &[Found], library: &Library, stopped: &AtomicBool, told: impl Fn(Row) + Sync) {
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get).min(MOST_THREADS);
    let next = AtomicUsize::new(0);
    let work = || {
        while !stopped.load(Ordering::Relaxed) {
            let Some(file) = files.get(next.fetch_add(1, Ordering::Relaxed)) else { return };
            told(Row::of(file.clone(), read(&file.path, library)));
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..threads.min(files.len()) {
            // One that cannot start leaves the work to the others.
            drop(std::thread::Builder::new().spawn_scoped(scope, work));
        }
        work();
    });
}

/// The files of `folder`, read and sorted by name; the second value says whether there are more.
///
/// # Errors
/// From the system, if the folder cannot be read.
pub fn read_all(folder: &Path, library: &Library) -> std::io::Result<(Vec<Listed>, bool)> {
    let (files, more) = look(folder)?;
    let listed = Mutex::new(Vec::with_capacity(files.len()));
    read_each(&files, library, &AtomicBool::new(false), |row| {
        // Nobody panics while it is held.
        listed.lock().unwrap_or_else(std::sync::PoisonError::into_inner).push(row.listed);
    });
    let mut listed = listed.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
    listed.sort_by_cached_key(Listed::order);
    Ok((listed, more))
}

/// Where summaries are kept from one start of the program to the next; `None` if the system names no such folder.
pub fn cache() -> Option<PathBuf> {
    let dirs = directories::ProjectDirs::from("dev", "Fernhollow", "Barwright")?;
    Some(dirs.cache_dir().join("folders"))
}
