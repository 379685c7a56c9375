//! Locks on files of the program’s own, by which two windows keep out of each other’s way. The system frees a lock when
//! the program ends, however it ends.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{File, TryLockError};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io;
use std::path::{Path, PathBuf};

/// A lock that is held as long as this is.
#[derive(Debug)]
pub struct Lock(#[expect(dead_code, reason = "held for its lock")] File);

impl Lock {
    /// Locks the file at `path`, which is made if it is not there; `None` if somebody else holds it.
    ///
    /// # Errors
    /// From the system, and for what is no file: a pipe would wait for ever.
    pub fn take(path: &Path) -> io::Result<Option<Self>> {
        if std::fs::metadata(path).is_ok_and(|about| !about.is_file()) {
            let error = format!("{} is not a file", path.display());
            return Err(io::Error::new(io::ErrorKind::InvalidInput, error));
        }
        let file = File::options().create(true).truncate(false).write(true).open(path)?;
        match file.try_lock() {
            Ok(()) => Ok(Some(Self(file))),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(error)) => Err(error),
        }
    }
}

/// The design files that are this window’s to write to. Each is locked by an empty file in a folder of the program,
/// so that nothing is put beside the designs and a folder that is read-only does as well.
#[derive(Debug, Default)]
pub struct Locks {
    folder: Option<PathBuf>,
    held: BTreeMap<PathBuf, Lock>,
}

impl Locks {
    /// Locks by files in `folder`, which is made when it is needed.
    pub const fn under(folder: Option<PathBuf>) -> Self {
        Self { folder, held: BTreeMap::new() }
    }

    /// Takes the design file at `path`, there or not, for this window; false if another window has it. Where no lock
    /// can be had nobody is kept out: each save still looks whether another program changed the file.
    pub fn take(&mut self, path: &Path) -> bool {
        let Some(side) = self.side(path) else { return true };
        if self.held.contains_key(&side) {
            return true;
        }
        let made = side.parent().map_or(Ok(()), std::fs::create_dir_all);
        match made.and_then(|()| Lock::take(&side)) {
            Ok(Some(lock)) => {
                self.held.insert(side, lock);
                true
            }
            Ok(None) => false,
            Err(_) => true,
        }
    }

    /// Lets go of all but the design files at `paths`.
    pub fn keep<'a>(&mut self, paths: impl IntoIterator<Item = &'a Path>) {
        let kept: BTreeSet<PathBuf> = paths.into_iter().filter_map(|path| self.side(path)).collect();
        self.held.retain(|side, _| kept.contains(side));
    }

    /// The file that is locked for the design file at `path`, the same one however that is written.
    fn side(&self, path: &Path) -> Option<PathBuf> {
        let of_folder = || Some(path.parent()?.canonicalize().ok()?.join(path.file_name()?));
        let true_path = path.canonicalize().ok().or_else(of_folder).unwrap_or_else(|| path.to_owned());
        let mut hasher = DefaultHasher::new();
        true_path.hash(&mut hasher);
        Some(self.folder.as_ref()?.join(format!("{:016x}.lock", hasher.finish())))
    }
}

/// Where the locks of designs live on this system; `None` if it names no home.
pub fn folder() -> Option<PathBuf> {
    let dirs = directories::ProjectDirs::from("dev", "Fernhollow", "Barwright")?;
    Some(dirs.state_dir().unwrap_or_else(|| dirs.data_local_dir()).join("locks"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_one_windows_until_it_lets_go_however_its_path_is_written() {
        let place = tempfile::tempdir().expect("a temporary folder");
        let at = |name: &str| place.path().join(name);
        let [mut first, mut second] = [(); 2].map(|()| Locks::under(Some(at("locks"))));
        std::fs::create_dir(at("designs")).expect("made");
        let (path, same) = (at("designs/bar.barwright"), at("designs/../designs/./bar.barwright"));
        assert!(first.take(&path) && first.take(&same), "before there is a file");
        std::fs::write(&path, "design").expect("writes");
        assert!(first.take(&path) && !second.take(&path) && !second.take(&same), "and with one");
        assert!(second.take(&at("designs/other.barwright")), "another one is free");
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(&path, at("link")).expect("linked");
            assert!(!second.take(&at("link")), "through a link it is the same");
        }
        first.keep([at("designs/third.barwright").as_path()]);
        assert!(second.take(&same) && !first.take(&path), "let go and taken");
        drop(second);
        assert!(first.take(&path), "free when the window is gone");
    }

    #[test]
    fn where_no_lock_can_be_had_nobody_is_kept_out() {
        let place = tempfile::tempdir().expect("a temporary folder");
        std::fs::write(place.path().join("locks"), "a file in the folder’s place").expect("writes");
        for folder in [None, Some(place.path().join("locks"))] {
            let mut locks = [Locks::under(folder.clone()), Locks::under(folder)];
            assert!(locks.iter_mut().all(|window| window.take(&place.path().join("bar.barwright"))));
        }
        assert!(Lock::take(place.path()).is_err(), "a folder is no lock");
    }
}
