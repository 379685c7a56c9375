//! Reading and writing files, and asking for their names.

use crate::safely::{self, Doubt, Manner, Watch, WriteError};
use barwright_core::design::document::{self, Document, DocumentError, MOST_BYTES};
use barwright_core::design::log::Log;
use barwright_core::design::shelf::Shelf;
use barwright_core::{Design, Library};
use std::ffi::OsString;
use std::future::Future;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
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
        "{path} could not be saved: {error}. Nothing there was changed; \
         check the folder and its space, or save somewhere else",
        path = path.display()
    )]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        error: std::io::Error,
    },
    /// The file may not be written to; nothing was changed.
    #[error(
        "{path} is read-only and was left as it is; save somewhere else, or make it writable first",
        path = path.display()
    )]
    ReadOnly {
        /// The file.
        path: PathBuf,
    },
    /// Another window has the file open; nothing was written.
    #[error("{path} is open in another window and was left as it is; close it there, then save again", path = path.display())]
    Elsewhere {
        /// The file.
        path: PathBuf,
    },
    /// Another program changed the file; nothing was written.
    #[error("{path} was changed by another program and was left as it is", path = path.display())]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// The new content is in place, with a doubt.
    #[error("{path} is written, but {doubt}", path = path.display())]
    InPlace {
        /// The file.
        path: PathBuf,
        /// What is in it now.
        fingerprint: Fingerprint,
        /// What went wrong.
        doubt: Doubt,
    },
    /// An output would have replaced a design; nothing was written.
    #[error("{path} holds a design, which an output never replaces; give another name", path = path.display())]
    OverDesign {
        /// The file.
        path: PathBuf,
    },
    /// What was to be saved could not be turned into text.
    #[error("it could not be written as text: {0}")]
    Format(String),
}

/// Reads at most one byte more than a design can have, so that a huge file costs nothing.
fn read_bytes(path: &Path) -> std::io::Result<Vec<u8>> {
    read_bounded(path, MOST_BYTES)
}

/// Reads a file, and of a longer one than `most` no more than a byte beyond it.
///
/// # Errors
/// From the system, and for what is no file.
pub fn read_bounded(path: &Path, most: usize) -> std::io::Result<Vec<u8>> {
    if !std::fs::metadata(path)?.is_file() {
        // A pipe or a device could keep the window waiting for ever.
        return Err(std::io::Error::new(std::io::ErrorKind::InvalidInput, "it is not a file"));
    }
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(most as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Reads a file that has at most `most` bytes.
///
/// # Errors
/// From the system, for what is no file and for a longer one.
pub fn read_whole(path: &Path, most: usize) -> std::io::Result<Vec<u8>> {
    let bytes = read_bounded(path, most)?;
    let is_whole = bytes.len() <= most;
    is_whole.then_some(bytes).ok_or_else(|| std::io::Error::new(std::io::ErrorKind::FileTooLarge, "it is too large"))
}

/// Moves what is at `path` to `aside`, or to a free name after that, making its folder; gives where it is then.
///
/// # Errors
/// From the system; it is then where it was.
pub fn put_aside(path: &Path, aside: &Path) -> std::io::Result<PathBuf> {
    aside.parent().map_or(Ok(()), std::fs::create_dir_all)?;
    let numbered = (2..100).map(|n| PathBuf::from(format!("{} {n}", aside.display())));
    let mut names = std::iter::once(aside.to_owned()).chain(numbered);
    let free = names.find(|name| std::fs::symlink_metadata(name).is_err());
    let free = free.ok_or_else(|| std::io::Error::other("too much was put aside before"))?;
    std::fs::rename(path, &free).map(|()| free)
}

/// A short mark of a file's content, to notice that another program changed it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fingerprint(u64);

impl Fingerprint {
    /// The mark of `bytes`.
    pub fn of(bytes: &[u8]) -> Self {
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

/// Reads the design at `path` with what was made of it.
///
/// # Errors
/// [`FileError::Read`] or [`FileError::Document`].
pub fn open(path: &Path, library: &Library) -> Result<(Document, Fingerprint), FileError> {
    let bytes = read_bytes(path).map_err(|error| FileError::Read { path: path.into(), error })?;
    let document = document::read_with_log(&bytes, library);
    let document = document.map_err(|error| FileError::Document { path: path.into(), error })?;
    Ok((document, Fingerprint::of(&bytes)))
}

/// Reads the design at `path` alone; who saves it again [opens](open) it.
///
/// # Errors
/// [`FileError::Read`] or [`FileError::Document`].
pub fn load(path: &Path, library: &Library) -> Result<(Design, Fingerprint), FileError> {
    open(path, library).map(|(document, fingerprint)| (document.design, fingerprint))
}

/// Reads the shelf at `path`.
///
/// # Errors
/// [`FileError::Read`] or [`FileError::Document`].
pub fn load_shelf(path: &Path, library: &Library) -> Result<(Shelf, Fingerprint), FileError> {
    let bytes = read_bytes(path).map_err(|error| FileError::Read { path: path.into(), error })?;
    let shelf = document::read_shelf(&bytes, library);
    let shelf = shelf.map_err(|error| FileError::Document { path: path.into(), error })?;
    Ok((shelf, Fingerprint::of(&bytes)))
}

/// Whether a design is kept at `path`: a file of that kind, by its name or by what is in it.
fn holds_design(path: &Path) -> bool {
    let is_called_so = path.extension().is_some_and(|e| e.eq_ignore_ascii_case(document::EXTENSION));
    let is_one = || read_bytes(path).is_ok_and(|bytes| document::is_design(&bytes));
    // Through a link too: what would be written to is what it leads to.
    let target = path.canonicalize();
    let leads_to_one =
        target.as_ref().is_ok_and(|t| t.extension().is_some_and(|e| e.eq_ignore_ascii_case(document::EXTENSION)));
    target.is_ok() && (is_called_so || leads_to_one || is_one())
}

/// Writes an output, which can be made again: in place of a file, into a pipe or a device, and never in place of a
/// design or of what is read-only.
///
/// # Errors
/// [`FileError`]
pub fn write_output(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    if holds_design(path) {
        return Err(FileError::OverDesign { path: path.into() });
    }
    // Not there, or a link that leads nowhere yet: a new file.
    if std::fs::metadata(path).map_or(true, |about| about.is_file()) {
        return write_plain(path, bytes);
    }
    let written = std::fs::OpenOptions::new().write(true).open(path).and_then(|mut f| f.write_all(bytes));
    written.map_err(|error| FileError::Write { path: path.into(), error })
}

/// Writes `bytes` at `path`, which nobody needs a backup of.
///
/// # Errors
/// [`FileError`]
pub fn write_plain(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    safely::write(path, bytes, &Manner::default()).map_err(|error| failed(path, bytes, error))
}

/// What is told of a write of `bytes` at `path` that did not go as it should.
fn failed(path: &Path, bytes: &[u8], error: WriteError) -> FileError {
    let path = path.to_owned();
    match error {
        WriteError::Nothing(error) => FileError::Write { path, error },
        WriteError::ReadOnly => FileError::ReadOnly { path },
        WriteError::InPlace(doubt) => FileError::InPlace { path, fingerprint: Fingerprint::of(bytes), doubt },
    }
}

/// The one backup that is kept beside a file.
pub fn backup_path(path: &Path) -> PathBuf {
    let mut name = OsString::from(path.as_os_str());
    name.push(".bak");
    name.into()
}

/// What a save may replace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over {
    /// What was read or saved last, or a file that is no longer there.
    Known(Option<Fingerprint>),
    /// Whatever can be written to.
    Writable,
    /// Also what is read-only, since the person said so.
    Anything,
}

/// Saves `design` with its `log` at `path`, keeping what was there as a backup.
///
/// # Errors
/// [`FileError`]; unless it is [`FileError::InPlace`], the old file and its backup are intact.
pub fn save(
    path: &Path,
    design: &Design,
    log: &Log,
    library: &Library,
    over: Over,
    watch: &Watch,
) -> Result<Fingerprint, FileError> {
    let text = document::write_with_log(design, log, library).map_err(|e| FileError::Format(e.to_string()))?;
    write_text(path, &text, over, watch)
}

/// Writes `text` at `path`, keeping what was there as a backup.
///
/// # Errors
/// [`FileError`]; unless it is [`FileError::InPlace`], the old file and its backup are intact.
pub fn write_text(path: &Path, text: &str, over: Over, watch: &Watch) -> Result<Fingerprint, FileError> {
    let bytes = text.as_bytes();
    let fingerprint = Fingerprint::of(bytes);
    match read_bytes(path) {
        // Nothing to do, and the backup of the time before stays. That it is on the disk may not be known yet.
        Ok(old) if old == bytes => {
            let confirmed = safely::confirm(path, watch);
            return confirmed.map(|()| fingerprint).map_err(|error| FileError::InPlace {
                path: path.into(),
                fingerprint,
                doubt: Doubt::NotSynced(error),
            });
        }
        Ok(old) if matches!(over, Over::Known(known) if known != Some(Fingerprint::of(&old))) => {
            return Err(FileError::Changed { path: path.into() });
        }
        Ok(_) => {}
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {}
        Err(error) => return Err(FileError::Write { path: path.into(), error }),
    }
    let backup = backup_path(path);
    let replaces_read_only = over == Over::Anything;
    let manner = Manner { backup: Some(&backup), replaces_read_only, watch: watch.clone() };
    safely::write(path, bytes, &manner).map(|()| fingerprint).map_err(|error| failed(path, bytes, error))
}

/// `path` with `extension` behind it, unless it is there: a name such as “Apple 1.2” has a point and no
/// extension.
pub fn with_extension(path: PathBuf, extension: &str) -> PathBuf {
    if path.extension().is_some_and(|e| e.eq_ignore_ascii_case(extension)) {
        return path;
    }
    let mut name = path.into_os_string();
    name.push(".");
    name.push(extension);
    name.into()
}

/// Names that Windows keeps for devices, whatever the extension: Microsoft, “Naming Files, Paths, and Namespaces”.
fn is_kept_for_a_device(name: &str) -> bool {
    let numbered = ["com", "lpt"].iter().find_map(|port| name.strip_prefix(port));
    matches!(name, "con" | "prn" | "aux" | "nul")
        || numbered.is_some_and(|rest| {
            matches!(rest, "0" | "1" | "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9" | "¹" | "²" | "³")
        })
}

/// A file name made of `title`, without an extension, that any system takes.
pub fn name_of(title: &str) -> String {
    let mut name = String::new();
    for c in title.to_lowercase().chars().take(60) {
        match c {
            c if c.is_alphanumeric() => name.push(c),
            _ if !name.ends_with('-') => name.push('-'),
            _ => {}
        }
    }
    match name.trim_matches('-') {
        "" => "design".into(),
        name if is_kept_for_a_device(name) => format!("{name}-design"),
        name => name.into(),
    }
}

/// A text made of a design that goes to a file of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Export {
    /// What it is, as “Calendar file”.
    pub what: &'static str,
    /// Extension of such files.
    pub extension: &'static str,
    /// Proposed file name.
    pub name: String,
    /// What is written.
    pub text: String,
}

/// Where a page for the browser is put: always the same file, in a folder for what can be lost.
pub fn page_for_browser() -> Option<PathBuf> {
    let dirs = directories::ProjectDirs::from("dev", "Fernhollow", "Barwright")?;
    Some(dirs.cache_dir().join("page-to-print.html"))
}

/// Writes a file of the program’s own, which nobody needs a backup of, making its folder.
///
/// # Errors
/// [`FileError`]
pub fn write_own(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let made = path.parent().map_or(Ok(()), std::fs::create_dir_all);
    made.map_err(|error| FileError::Write { path: path.into(), error })?;
    write_plain(path, bytes)
}

/// The path that a person typed: `~/` at its start is the home folder.
pub fn typed(text: &str) -> PathBuf {
    let home = directories::BaseDirs::new();
    match (text.trim().strip_prefix("~/"), home) {
        (Some(rest), Some(dirs)) => dirs.home_dir().join(rest),
        _ => PathBuf::from(text.trim()),
    }
}

/// `path` from the root, so that it means the same from any folder.
pub fn absolute(path: &Path) -> PathBuf {
    std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
}

/// Whether both paths lead to the same file, however they are written.
pub fn is_same(a: &Path, b: &Path) -> bool {
    a == b || a.canonicalize().is_ok_and(|a| b.canonicalize().is_ok_and(|b| a == b))
}

/// What a dialog asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// Which file to open.
    Open,
    /// Where to save, with a proposed file name.
    Save(String),
    /// Which folder to show.
    Folder,
    /// Which table to read.
    Table,
    /// Where a text made of the design goes.
    Export(Arc<Export>),
    /// Which picture of a batch to keep.
    Picture,
    /// In which photograph a colour is read.
    Photograph,
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
        let (kind, extension) = match question {
            Question::Open | Question::Save(_) | Question::Folder => ("Barwright design", document::EXTENSION),
            Question::Table => ("Table", "csv"),
            Question::Export(export) => (export.what, export.extension),
            Question::Picture | Question::Photograph => ("Picture", "png"),
        };
        let dialog = rfd::AsyncFileDialog::new();
        let dialog = match question {
            Question::Picture | Question::Photograph => dialog.add_filter("Pictures", &crate::pictures::EXTENSIONS),
            _ => dialog.add_filter(kind, &[extension]),
        };
        // The dialog must begin on this thread on some systems; only the waiting goes elsewhere.
        let chosen: std::pin::Pin<Box<dyn Future<Output = Option<rfd::FileHandle>> + Send>> = match question {
            Question::Open => Box::pin(dialog.set_title("Open a design").pick_file()),
            Question::Picture => Box::pin(dialog.set_title("Keep a picture").pick_file()),
            Question::Photograph => Box::pin(dialog.set_title("Choose a photograph of the bar").pick_file()),
            Question::Table => Box::pin(dialog.set_title("Read a table of lots").pick_file()),
            Question::Folder => Box::pin(dialog.set_title("Choose a folder of designs").pick_folder()),
            Question::Save(name) => Box::pin(dialog.set_title("Save the design").set_file_name(name).save_file()),
            Question::Export(export) => Box::pin(dialog.set_title(export.what).set_file_name(&export.name).save_file()),
        };
        let (sender, receiver) = mpsc::channel();
        let waiting = std::thread::Builder::new().name("file dialog".into()).spawn(move || {
            // The receiver is gone only when the window is.
            let _ = sender.send(pollster::block_on(chosen).map(|file| file.path().to_owned()));
            wake();
        });
        // If the thread could not start, its end of the channel is gone, and `poll` says so.
        drop(waiting);
        self.pending = Some((receiver, Instant::now()));
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

    fn put(path: &Path, design: &Design, library: &Library) -> Result<Fingerprint, FileError> {
        save(path, design, &Log::default(), library, Over::Writable, &Watch::default())
    }

    #[test]
    fn a_save_keeps_the_old_file_as_a_backup_and_leaves_no_other() {
        let library = Library::embedded().expect("assets parse");
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("bar.barwright");
        let first = Design { name: "first".into(), ..Design::default() };
        let second = Design { name: "second".into(), ..Design::default() };
        put(&path, &first, &library).expect("a new file");
        let mark = put(&path, &second, &library).expect("over the old one");
        assert_eq!(put(&path, &second, &library).expect("once more"), mark, "the backup is not lost to it");
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
        let error = put(&path, &Design::default(), &library).expect_err("the folder is not there");
        assert!(error.to_string().contains("save somewhere else"), "{error}");
        // A backup that cannot be written stops the save before the file is touched.
        let path = folder.path().join("bar.barwright");
        std::fs::write(&path, "precious").expect("writes");
        std::fs::create_dir(backup_path(&path)).expect("a folder stands in the backup's place");
        put(&path, &Design::default(), &library).expect_err("no backup, no save");
        assert_eq!(std::fs::read_to_string(&path).expect("reads"), "precious");
    }

    #[test]
    fn a_file_changed_by_another_program_has_another_fingerprint() {
        let library = Library::embedded().expect("assets parse");
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("bar.barwright");
        let mark = put(&path, &Design::default(), &library).expect("saves");
        assert_eq!(Fingerprint::of_file(&path), Some(mark));
        std::fs::write(&path, "(barwright: 1, fats: [])").expect("writes");
        assert_ne!(Fingerprint::of_file(&path), Some(mark));
    }

    #[test]
    fn a_proposed_name_is_none_that_windows_keeps_for_a_device() {
        // Microsoft, “Naming Files, Paths, and Namespaces”, from memory: these, in any case and with any extension.
        let kept = "CON PRN AUX NUL COM0 COM1 COM2 COM3 COM4 COM5 COM6 COM7 COM8 COM9 COM¹ COM² COM³ \
            LPT0 LPT1 LPT2 LPT3 LPT4 LPT5 LPT6 LPT7 LPT8 LPT9 LPT¹ LPT² LPT³";
        for title in kept.split_whitespace() {
            for title in [title.to_owned(), format!(" {title}. "), title.to_lowercase()] {
                let name = name_of(&title);
                assert!(!kept.to_lowercase().split_whitespace().any(|kept| kept == name), "{title:?} became {name:?}");
            }
        }
        for (title, name) in [("Console", "console"), ("COM10", "com10"), ("Nul, twice", "nul-twice"), ("lpt", "lpt")] {
            assert_eq!(name_of(title), name, "{title} is free");
        }
        // The same page: these signs, and a dot or a space at the end, are no part of a name.
        for title in [r#"a<b>c:d"e/f\g|h?i*j"#, "ends with a dot.", "ends with a space "] {
            let name = name_of(title);
            assert!(
                !name.contains(['<', '>', ':', '"', '/', '\\', '|', '?', '*', '.', ' ']),
                "{title:?} became {name:?}"
            );
        }
    }

    #[test]
    fn only_a_path_without_the_extension_gets_it() {
        assert_eq!(with_extension("a/bar".into(), "barwright"), Path::new("a/bar.barwright"));
        assert_eq!(with_extension("a/bar.Barwright".into(), "barwright"), Path::new("a/bar.Barwright"));
        assert_eq!(with_extension("a/Apple 1.2".into(), "barwright"), Path::new("a/Apple 1.2.barwright"));
    }
}
