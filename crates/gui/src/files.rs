//! Reading and writing files, and asking for their names.

use barwright_core::document::{self, DocumentError, MOST_BYTES};
use barwright_core::{Design, Library};
use std::ffi::OsString;
use std::future::Future;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver};
use std::time::{Duration, Instant};

/// Why a file could not be opened or saved.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The file could not be read.
    #[error("{path} could not be read: {error}", path = path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        error: std::io::Error,
    },
    /// The file was read and is no design.
    #[error("{path}: {error}", path = path.display())]
    Document {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: DocumentError,
    },
    /// The file could not be written; what was there before still is.
    #[error(
        "{path} could not be saved: {error}. The file that was there is unchanged; \
         free some space or save in another folder",
        path = path.display()
    )]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        error: std::io::Error,
    },
    /// The design could not be turned into text.
    #[error("the design could not be written as text: {0}")]
    Format(String),
}

/// Reads at most one byte more than a design can have, so that a huge file costs nothing.
fn read_bytes(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// A short mark of a file's content, to notice that another program changed it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fingerprint(u64);

impl Fingerprint {
    fn of(bytes: &[u8]) -> Self {
        use std::hash::{DefaultHasher, Hash, Hasher};
        let mut hasher = DefaultHasher::new();
        bytes.hash(&mut hasher);
        Self(hasher.finish())
    }

    /// The mark of what is in the file at `path` now; `None` if it cannot be read.
    pub fn of_file(path: &Path) -> Option<Self> {
        read_bytes(path).ok().map(|bytes| Self::of(&bytes))
    }
}

/// Reads the design at `path`.
///
/// # Errors
/// [`FileError::Read`] or [`FileError::Document`].
pub fn load(path: &Path, library: &Library) -> Result<(Design, Fingerprint), FileError> {
    let bytes = read_bytes(path).map_err(|error| FileError::Read { path: path.into(), error })?;
    let design = document::read(&bytes, library).map_err(|error| FileError::Document { path: path.into(), error })?;
    Ok((design, Fingerprint::of(&bytes)))
}

/// Writes `bytes` so that at any moment either the old or the new content is there: a temporary
/// file in the same folder, flushed and synced, renamed over the old one, and the folder synced.
///
/// # Errors
/// From the system; the old file is then intact.
pub fn write_safely(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    // Through a link, so that the file behind it is replaced and not the link.
    let target = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let mut file = atomic_write_file::AtomicWriteFile::open(target)?;
    file.write_all(bytes)?;
    file.flush()?;
    file.commit()
}

/// The one backup that is kept beside a file.
pub fn backup_path(path: &Path) -> PathBuf {
    let mut name = OsString::from(path.as_os_str());
    name.push(".bak");
    name.into()
}

/// Saves `design` at `path`, keeping what was there as a backup.
///
/// # Errors
/// [`FileError::Format`] or [`FileError::Write`]; the old file is then intact.
pub fn save(path: &Path, design: &Design, library: &Library) -> Result<Fingerprint, FileError> {
    let text = document::write(design, library).map_err(|e| FileError::Format(e.to_string()))?;
    let failed = |error| FileError::Write { path: path.into(), error };
    match std::fs::read(path) {
        Ok(old) => write_safely(&backup_path(path), &old).map_err(failed)?,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {}
        Err(error) => return Err(failed(error)),
    }
    write_safely(path, text.as_bytes()).map_err(failed)?;
    Ok(Fingerprint::of(text.as_bytes()))
}

/// `path` with the extension of design files, if it has none.
pub fn with_extension(path: PathBuf) -> PathBuf {
    if path.extension().is_some() { path } else { path.with_extension(document::EXTENSION) }
}

/// What a dialog asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// Which file to open.
    Open,
    /// Where to save, with a proposed file name.
    Save(String),
}

/// What came of a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// A path was chosen.
    Path(PathBuf),
    /// The person chose nothing.
    Cancelled,
    /// No dialog came up; the person should be asked for a typed path.
    Unavailable,
}

/// A way of asking for a file: the desktop's dialogs, or a test's answers.
pub trait FileDialogs {
    /// Asks; the answer comes later through [`Self::poll`].
    fn ask(&mut self, question: &Question, wake: Box<dyn Fn() + Send>);
    /// The answer, once it is there.
    fn poll(&mut self) -> Option<Answer>;
}

/// The desktop's own dialogs.
#[derive(Debug, Default)]
pub struct NativeDialogs {
    pending: Option<(Receiver<Option<PathBuf>>, Instant)>,
}

/// A dialog that ends sooner than this was never seen: the desktop has none.
const UNSEEN: Duration = Duration::from_millis(400);

impl FileDialogs for NativeDialogs {
    fn ask(&mut self, question: &Question, wake: Box<dyn Fn() + Send>) {
        let dialog = rfd::AsyncFileDialog::new().add_filter("Barwright design", &[document::EXTENSION]);
        // The dialog must begin on this thread on some systems; only the waiting goes elsewhere.
        let chosen: std::pin::Pin<Box<dyn Future<Output = Option<rfd::FileHandle>> + Send>> = match question {
            Question::Open => Box::pin(dialog.set_title("Open a design").pick_file()),
            Question::Save(name) => Box::pin(dialog.set_title("Save the design").set_file_name(name).save_file()),
        };
        let (sender, receiver) = mpsc::channel();
        let waiting = std::thread::Builder::new().name("file dialog".into()).spawn(move || {
            // The receiver is gone only when the window is.
            let _ = sender.send(pollster::block_on(chosen).map(|file| file.path().to_owned()));
            wake();
        });
        self.pending = waiting.is_ok().then(|| (receiver, Instant::now()));
    }

    fn poll(&mut self) -> Option<Answer> {
        let (receiver, since) = self.pending.as_ref()?;
        let answer = match receiver.try_recv() {
            Ok(Some(path)) => Answer::Path(path),
            Ok(None) if since.elapsed() < UNSEEN => Answer::Unavailable,
            Ok(None) => Answer::Cancelled,
            Err(mpsc::TryRecvError::Empty) => return None,
            Err(mpsc::TryRecvError::Disconnected) => Answer::Unavailable,
        };
        self.pending = None;
        Some(answer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_save_keeps_the_old_file_as_a_backup_and_leaves_no_other() {
        let library = Library::embedded().expect("assets parse");
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("bar.barwright");
        let first = Design { name: "first".into(), ..Design::default() };
        let second = Design { name: "second".into(), ..Design::default() };
        save(&path, &first, &library).expect("a new file");
        let mark = save(&path, &second, &library).expect("over the old one");
        let (read, seen) = load(&path, &library).expect("it reopens");
        assert_eq!((read, seen), (second, mark));
        assert_eq!(load(&backup_path(&path), &library).expect("the backup reopens").0, first);
        assert_eq!(std::fs::read_dir(folder.path()).expect("it is there").count(), 2, "no temporary file is left");
    }

    #[test]
    fn a_failed_save_leaves_the_old_file_as_it_was() {
        let library = Library::embedded().expect("assets parse");
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("missing").join("bar.barwright");
        let error = save(&path, &Design::default(), &library).expect_err("the folder is not there");
        assert!(error.to_string().contains("save in another folder"), "{error}");
        // A backup that cannot be written stops the save before the file is touched.
        let path = folder.path().join("bar.barwright");
        std::fs::write(&path, "precious").expect("writes");
        std::fs::create_dir(backup_path(&path)).expect("a folder stands in the backup's place");
        save(&path, &Design::default(), &library).expect_err("no backup, no save");
        assert_eq!(std::fs::read_to_string(&path).expect("reads"), "precious");
    }

    #[test]
    fn a_file_changed_by_another_program_has_another_fingerprint() {
        let library = Library::embedded().expect("assets parse");
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("bar.barwright");
        let mark = save(&path, &Design::default(), &library).expect("saves");
        assert_eq!(Fingerprint::of_file(&path), Some(mark));
        std::fs::write(&path, "(barwright: 1, fats: [])").expect("writes");
        assert_ne!(Fingerprint::of_file(&path), Some(mark));
    }

    #[test]
    fn only_a_path_without_an_extension_gets_one() {
        assert_eq!(with_extension("a/bar".into()), Path::new("a/bar.barwright"));
        assert_eq!(with_extension("a/bar.txt".into()), Path::new("a/bar.txt"));
    }
}
