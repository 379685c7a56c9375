//! The shelf’s file: read at the start, locked against a second window, and written as safely as a design.

use crate::files::{self, FileError, Fingerprint, Over};
use crate::lock::Lock;
use crate::safely::Watch;
use barwright_core::Library;
use barwright_core::design::document;
use barwright_core::design::shelf::{Shelf, ShelfEdit, ShelfError};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Where the shelf lives on this system; `None` if it names no home.
pub fn folder() -> Option<PathBuf> {
    Some(directories::ProjectDirs::from("dev", "Fernhollow", "Barwright")?.data_dir().to_owned())
}

/// The name of its file in its folder.
pub const FILE: &str = "shelf.ron";
const LOCK: &str = "shelf.lock";

/// Why the shelf was not changed.
#[derive(Debug, thiserror::Error)]
pub enum KeepError {
    /// Another window has it.
    #[error("the shelf is open in another window: this one only reads it. Close the other window, or change it there")]
    Locked,
    /// There is no folder for it, or it cannot be locked.
    #[error("the shelf cannot be kept here: {0}")]
    NoPlace(String),
    /// What is in its file is none.
    #[error("the shelf’s file is left as it is, since it cannot be read: {0}")]
    Unreadable(String),
    /// Another program changed the file.
    #[error("the shelf’s file was changed by another program; it is read again: look at it and do this once more")]
    Changed,
    /// The change is none that a shelf takes.
    #[error(transparent)]
    Shelf(#[from] ShelfError),
    /// It could not be written.
    #[error(transparent)]
    File(#[from] FileError),
}

/// Whether and why it can be changed.
#[derive(Debug)]
enum Hold {
    /// It is this window’s as long as the file is locked.
    Ours(#[expect(dead_code, reason = "held for its lock")] Lock),
    Locked,
    NoPlace(String),
}

/// The shelf of this window.
#[derive(Debug)]
pub struct ShelfKeeper {
    folder: Option<PathBuf>,
    shelf: Arc<Shelf>,
    revision: u64,
    /// What is in the file, or will be once all that is on its way is written.
    on_disk: Option<Fingerprint>,
    /// The shelf as it is in the file.
    settled: (Arc<Shelf>, Option<Fingerprint>),
    /// How many changes are on their way to the file.
    unsettled: usize,
    hold: Hold,
    unreadable: Option<String>,
    watch: Watch,
}

/// A changed shelf on its way to its file.
#[derive(Debug)]
pub struct ShelfWrite {
    path: PathBuf,
    text: String,
    over: Option<Fingerprint>,
    shelf: Arc<Shelf>,
    watch: Watch,
}

/// What came of it.
#[derive(Debug)]
pub struct ShelfWritten {
    shelf: Arc<Shelf>,
    result: Result<Fingerprint, FileError>,
}

impl ShelfWrite {
    /// Writes it, on any thread; writes of one shelf in the order in which they were staged.
    pub fn run(self) -> ShelfWritten {
        let result = files::write_text(&self.path, &self.text, Over::Known(self.over), &self.watch);
        ShelfWritten { shelf: self.shelf, result }
    }
}

impl ShelfKeeper {
    /// The shelf in `folder`, which may not be there yet; without one it is empty and cannot be changed.
    pub fn open(folder: Option<&Path>, library: &Library) -> Self {
        let hold = folder.map_or_else(|| Hold::NoPlace("the system names no folder for data".into()), lock);
        let folder = folder.map(Path::to_owned);
        let mut keeper = Self {
            folder,
            shelf: Arc::default(),
            revision: 0,
            on_disk: None,
            settled: (Arc::default(), None),
            unsettled: 0,
            hold,
            unreadable: None,
            watch: Watch::default(),
        };
        keeper.read(library);
        keeper
    }

    /// The same with a watch on its writes.
    #[must_use]
    pub fn watched(mut self, watch: Watch) -> Self {
        self.watch = watch;
        self
    }

    /// Its file; `None` if the system names no folder.
    pub fn path(&self) -> Option<PathBuf> {
        self.folder.as_ref().map(|f| f.join(FILE))
    }

    fn read(&mut self, library: &Library) {
        let Some(path) = self.path() else { return };
        self.unreadable = None;
        if matches!(path.try_exists(), Ok(false)) {
            self.on_disk = None;
            self.settled.1 = None;
            return;
        }
        match files::load_shelf(&path, library) {
            Ok((shelf, fingerprint)) => {
                self.shelf = Arc::new(shelf);
                self.on_disk = Some(fingerprint);
                self.settled = (Arc::clone(&self.shelf), self.on_disk);
                self.revision += 1;
            }
            Err(error) => self.unreadable = Some(error.to_string()),
        }
    }

    /// The shelf as it is.
    pub const fn shelf(&self) -> &Arc<Shelf> {
        &self.shelf
    }

    /// Counts its states, for caches.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// Why it cannot be changed; `None` if it can.
    pub fn refusal(&self) -> Option<KeepError> {
        match (&self.hold, &self.unreadable) {
            (_, Some(error)) => Some(KeepError::Unreadable(error.clone())),
            (Hold::Locked, None) => Some(KeepError::Locked),
            (Hold::NoPlace(why), None) => Some(KeepError::NoPlace(why.clone())),
            (Hold::Ours(_), None) => None,
        }
    }

    /// Reads it again where another window or program may have changed it, and takes the lock if it is free now.
    pub fn look_again(&mut self, library: &Library) {
        if let (Hold::Locked, Some(folder)) = (&self.hold, &self.folder) {
            self.hold = lock(folder);
        }
        if self.unsettled > 0 {
            return;
        }
        let now = self.path().and_then(|path| Fingerprint::of_file(&path));
        if now != self.on_disk || self.unreadable.is_some() {
            self.read(library);
        }
    }

    /// Carries out `edits`, all or none, and writes the shelf.
    ///
    /// # Errors
    /// [`KeepError`]; unless the file is [in place](FileError::InPlace), the shelf and its file are then as before.
    pub fn change(&mut self, edits: Vec<ShelfEdit>, library: &Library) -> Result<(), KeepError> {
        match self.stage(edits, library)? {
            Some(write) => self.settle(write.run(), library),
            None => Ok(()),
        }
    }

    /// Carries out `edits`, all or none, and gives what has to be written then and told to [`Self::settle`]; nothing
    /// if they change nothing.
    ///
    /// # Errors
    /// [`KeepError`]; the shelf is then as before.
    pub fn stage(&mut self, edits: Vec<ShelfEdit>, library: &Library) -> Result<Option<ShelfWrite>, KeepError> {
        if matches!(self.hold, Hold::Locked) {
            self.look_again(library);
        }
        if let Some(refusal) = self.refusal() {
            return Err(refusal);
        }
        let Some(path) = self.path() else { return Err(KeepError::Locked) };
        let next = edits.into_iter().try_fold((*self.shelf).clone(), |shelf, edit| edit.apply(&shelf))?;
        if next == *self.shelf {
            return Ok(None);
        }
        let text = document::write_shelf(&next, library).map_err(|e| FileError::Format(e.to_string()))?;
        let over = self.on_disk.replace(Fingerprint::of(text.as_bytes()));
        self.shelf = Arc::new(next);
        self.revision += 1;
        self.unsettled += 1;
        Ok(Some(ShelfWrite { path, text, over, shelf: Arc::clone(&self.shelf), watch: self.watch.clone() }))
    }

    /// Takes back what is on its way to the file: nobody will tell what came of it.
    pub fn give_up(&mut self, library: &Library) {
        if std::mem::take(&mut self.unsettled) > 0 {
            (self.shelf, self.on_disk) = self.settled.clone();
            self.revision += 1;
            self.look_again(library);
        }
    }

    /// Takes what came of a write. One that failed takes the change back.
    ///
    /// # Errors
    /// [`KeepError`]
    pub fn settle(&mut self, written: ShelfWritten, library: &Library) -> Result<(), KeepError> {
        let ShelfWritten { shelf, result } = written;
        self.unsettled = self.unsettled.saturating_sub(1);
        if let Ok(fingerprint) | Err(FileError::InPlace { fingerprint, .. }) = &result {
            self.settled = (shelf, Some(*fingerprint));
        }
        if self.unsettled == 0 && self.on_disk != self.settled.1 {
            (self.shelf, self.on_disk) = self.settled.clone();
            self.revision += 1;
        }
        match result {
            Ok(_) => Ok(()),
            Err(FileError::Changed { .. }) => {
                self.look_again(library);
                Err(self.refusal().unwrap_or(KeepError::Changed))
            }
            Err(error) => Err(error.into()),
        }
    }
}

/// Locks the shelf in `folder`, which is made if it is not there.
fn lock(folder: &Path) -> Hold {
    match std::fs::create_dir_all(folder).and_then(|()| Lock::take(&folder.join(LOCK))) {
        Ok(Some(lock)) => Hold::Ours(lock),
        Ok(None) => Hold::Locked,
        Err(error) => Hold::NoPlace(format!("{}: {error}", folder.display())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use barwright_core::design::log::LotId;
    use barwright_core::design::shelf::{Lot, Stuff};
    use barwright_core::units::AmountMass;

    fn put() -> Vec<ShelfEdit> {
        vec![ShelfEdit::Put(Box::new(Lot::new(LotId(0), Stuff::SodiumHydroxide, AmountMass::nearest(1000.0))))]
    }

    #[test]
    fn a_second_window_reads_until_the_first_is_gone() {
        let library = Library::embedded().expect("assets parse");
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mut first = ShelfKeeper::open(Some(folder.path()), &library);
        first.change(put(), &library).expect("it is ours");
        let mut second = ShelfKeeper::open(Some(folder.path()), &library);
        assert_eq!(second.shelf().lots.len(), 1, "it reads");
        assert!(matches!(second.change(put(), &library), Err(KeepError::Locked)), "and changes nothing");
        first.change(put(), &library).expect("it is ours");
        second.look_again(&library);
        assert_eq!(second.shelf().lots.len(), 2, "it sees what the other did");
        drop(first);
        second.change(put(), &library).expect("it is free now");
        assert_eq!(ShelfKeeper::open(Some(folder.path()), &library).shelf().lots.len(), 3, "and in the file");
    }

    #[test]
    fn a_file_that_cannot_be_read_or_was_changed_is_never_overwritten() {
        let library = Library::embedded().expect("assets parse");
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join(FILE);
        std::fs::write(&path, "(barwright_shelf: 9)").expect("writes");
        let mut keeper = ShelfKeeper::open(Some(folder.path()), &library);
        let refused = keeper.change(put(), &library).expect_err("it is newer").to_string();
        assert!(refused.contains("format version 9"), "{refused}");
        assert_eq!(std::fs::read_to_string(&path).expect("reads"), "(barwright_shelf: 9)");
        std::fs::write(&path, "(barwright_shelf: 1)").expect("writes");
        keeper.look_again(&library);
        keeper.change(put(), &library).expect("it is a shelf now");
        std::fs::write(&path, "(barwright_shelf: 1, currency: \"SEK\")").expect("writes");
        assert!(matches!(keeper.change(put(), &library), Err(KeepError::Changed)));
        assert_eq!(keeper.shelf().currency.as_str(), "SEK", "it is read again");
        keeper.change(put(), &library).expect("once more");
        assert!(ShelfKeeper::open(None, &library).refusal().is_some(), "no folder");
    }
}
