//! The designs of a folder, read off the thread of the window.

use super::{Found, Row, kept, look, read_each};
use barwright_core::Library;
use eframe::egui;
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Between two tellings of what was read.
const TELL: Duration = Duration::from_millis(80);

/// What the thread tells.
#[derive(Debug)]
enum Told {
    /// What has not changed since it was read last, in place of all rows; how many files there are, and whether more.
    Known(Vec<Arc<Row>>, usize, bool),
    /// What was read now.
    Read(Vec<Arc<Row>>),
    /// The folder could not be read.
    Failed(String),
}

/// The designs of a folder as far as they are read; the reading ends when this is dropped.
#[derive(Debug)]
pub struct FolderList {
    folder: PathBuf,
    /// What was read, in no order.
    pub rows: Vec<Arc<Row>>,
    /// How many files there are.
    pub files: usize,
    /// Whether there are more files than are listed.
    pub more: bool,
    /// Why the folder could not be read.
    pub failed: Option<String>,
    /// A number that is another one whenever the rows are others.
    pub revision: u64,
    told: Option<Receiver<Told>>,
    stop: Arc<AtomicBool>,
}

impl FolderList {
    /// Begins to read `folder`; `ctx` is woken when there is something to show. Summaries are kept in the folder
    /// `cache` for the next start.
    pub fn read(folder: PathBuf, cache: Option<PathBuf>, library: Arc<Library>, ctx: egui::Context) -> Self {
        let mut list = Self {
            folder,
            rows: Vec::new(),
            files: 0,
            more: false,
            failed: None,
            revision: 0,
            told: None,
            stop: Arc::default(),
        };
        list.read_again(cache, library, ctx);
        list
    }

    /// Looks what has changed; what is known is shown meanwhile.
    pub fn read_again(&mut self, cache: Option<PathBuf>, library: Arc<Library>, ctx: egui::Context) {
        self.stop.store(true, Ordering::Relaxed);
        self.stop = Arc::default();
        let (tell, told) = channel();
        let (stop, folder, known) = (Arc::clone(&self.stop), self.folder.clone(), self.rows.clone());
        let reader = Reader { folder, cache, library, tell, stop, ctx };
        // If the thread cannot start, its end of the channel is gone.
        drop(std::thread::Builder::new().name("folder".into()).spawn(move || reader.run(known)));
        self.told = Some(told);
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Whether more will be told.
    pub const fn is_reading(&self) -> bool {
        self.told.is_some()
    }

    /// Takes what was told since the last time.
    pub fn poll(&mut self) {
        while let Some(told) = &self.told {
            match told.try_recv() {
                Ok(Told::Known(rows, files, more)) => {
                    (self.rows, self.files, self.more, self.failed) = (rows, files, more, None);
                }
                Ok(Told::Read(rows)) => self.rows.extend(rows),
                Ok(Told::Failed(reason)) => {
                    self.rows.clear();
                    (self.files, self.failed) = (0, Some(reason));
                }
                Err(TryRecvError::Empty) => return,
                Err(TryRecvError::Disconnected) => {
                    self.told = None;
                    return;
                }
            }
            self.revision += 1;
        }
    }
}

impl Drop for FolderList {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

/// What the thread works with.
struct Reader {
    folder: PathBuf,
    cache: Option<PathBuf>,
    library: Arc<Library>,
    tell: Sender<Told>,
    stop: Arc<AtomicBool>,
    ctx: egui::Context,
}

/// What was read and not told yet.
struct Untold {
    rows: Vec<Arc<Row>>,
    since: Instant,
}

impl Reader {
    fn say(&self, told: Told) {
        // Nobody listens any more once the window has gone on to another folder.
        if self.tell.send(told).is_ok() {
            self.ctx.request_repaint();
        }
    }

    fn run(self, known: Vec<Arc<Row>>) {
        let (files, more) = match look(&self.folder) {
            Ok(found) => found,
            Err(error) => return self.say(Told::Failed(error.to_string())),
        };
        let was_known = !known.is_empty();
        let known = match &self.cache {
            Some(cache) if !was_known => kept::load(cache, &self.folder).into_iter().map(Arc::new).collect(),
            _ => known,
        };
        let count = files.len();
        let (mut rows, changed) = unchanged(files, &known);
        let is_kept = changed.is_empty() && rows.len() == known.len();
        self.say(Told::Known(rows.clone(), count, more));
        rows.extend(self.read(&changed));
        if let Some(cache) = self.cache.as_ref().filter(|_| !is_kept && !self.stop.load(Ordering::Relaxed)) {
            kept::save(cache, &self.folder, &rows);
        }
        // The end of the channel says that it is over.
        let Self { tell, ctx, .. } = self;
        drop(tell);
        ctx.request_repaint();
    }

    /// Reads `files` and tells of them now and then; all that were read.
    fn read(&self, files: &[Found]) -> Vec<Arc<Row>> {
        let untold = Mutex::new(Untold { rows: Vec::new(), since: Instant::now() });
        let all = Mutex::new(Vec::with_capacity(files.len()));
        read_each(files, &self.library, &self.stop, |row| {
            let row = Arc::new(row);
            all.lock().unwrap_or_else(PoisonError::into_inner).push(Arc::clone(&row));
            let mut untold = untold.lock().unwrap_or_else(PoisonError::into_inner);
            untold.rows.push(row);
            if untold.since.elapsed() >= TELL {
                untold.since = Instant::now();
                self.say(Told::Read(std::mem::take(&mut untold.rows)));
            }
        });
        let last = untold.into_inner().unwrap_or_else(PoisonError::into_inner).rows;
        if !last.is_empty() {
            self.say(Told::Read(last));
        }
        all.into_inner().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Of `files`, the rows that are `known` and have not changed, and those that are to be read.
fn unchanged(files: Vec<Found>, known: &[Arc<Row>]) -> (Vec<Arc<Row>>, Vec<Found>) {
    let known: HashMap<&Path, &Arc<Row>> = known.iter().map(|row| (row.path.as_path(), row)).collect();
    let (mut rows, mut changed) = (Vec::new(), Vec::new());
    for file in files {
        // What could not be read may be readable now without a change of its own.
        let is_same = |row: &&&Arc<Row>| row.summary().is_some() && row.stamp.is_some() && row.stamp == file.stamp;
        match known.get(file.path.as_path()).filter(is_same) {
            Some(row) => rows.push(Arc::clone(row)),
            None => changed.push(file),
        }
    }
    (rows, changed)
}
