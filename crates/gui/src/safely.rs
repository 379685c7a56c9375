//! Writes a file so that at any moment, also at a power cut, its old or its new content is there.
//!
//! The new content goes into a temporary file in the same folder, reaches the disk, and takes the old one’s place in
//! one step. The old content is kept as a backup only after that, so that a save that fails leaves the backup alone.

use std::fs::{self, File, Metadata};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tempfile::NamedTempFile;

/// The steps of a write, in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Step {
    /// Makes the temporary file.
    Create,
    /// Fills it.
    Write,
    /// Brings it to the disk.
    Sync,
    /// Makes a second temporary file with the old content, on the disk.
    CopyOld,
    /// Puts the new content in the old one’s place. What fails before or here has changed nothing.
    Replace,
    /// Puts the old content in the backup’s place.
    KeepOld,
    /// Brings the new names to the disk.
    SyncFolder,
}

impl Step {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::Create, Self::Write, Self::Sync, Self::CopyOld, Self::Replace, Self::KeepOld, Self::SyncFolder];
}

/// Is asked before each step of a write; one that refuses makes the step fail. Only tests refuse anything.
#[derive(Clone, Default)]
pub struct Watch(Option<Arc<dyn Fn(Step) -> io::Result<()> + Send + Sync>>);

impl Watch {
    /// Asks `watch` before each step.
    pub fn new(watch: impl Fn(Step) -> io::Result<()> + Send + Sync + 'static) -> Self {
        Self(Some(Arc::new(watch)))
    }

    fn before(&self, step: Step) -> io::Result<()> {
        self.0.as_ref().map_or(Ok(()), |watch| watch(step))
    }
}

impl std::fmt::Debug for Watch {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(if self.0.is_some() { "Watch(..)" } else { "Watch" })
    }
}

/// What is wrong with a file that is in its place.
#[derive(Debug, thiserror::Error)]
pub enum Doubt {
    /// Its name, or all of it, is perhaps not on the disk yet.
    #[error("the disk did not confirm it, so it may not survive a power cut ({0}). Save it somewhere else too")]
    NotSynced(io::Error),
    /// The content before is not kept.
    #[error("the version before it could not be kept as its backup ({0})")]
    NoBackup(io::Error),
}

/// Why a write did not go as it should.
#[derive(Debug)]
pub enum WriteError {
    /// It could not be written; nothing was changed.
    Nothing(io::Error),
    /// What is there may not be written to; nothing was changed.
    ReadOnly,
    /// The new content is in place, with a doubt.
    InPlace(Doubt),
}

impl From<io::Error> for WriteError {
    fn from(error: io::Error) -> Self {
        Self::Nothing(error)
    }
}

/// How a write goes about it.
#[derive(Debug, Default)]
pub struct Manner<'a> {
    /// Where the content before is kept.
    pub backup: Option<&'a Path>,
    /// Whether a file that may not be written to is replaced all the same: its folder allows it.
    pub replaces_read_only: bool,
    /// Is asked before each step.
    pub watch: Watch,
}

/// Writes `bytes` at `path`, through links, also through one that leads to no file yet.
///
/// # Errors
/// [`WriteError`]
pub fn write(path: &Path, bytes: &[u8], manner: &Manner<'_>) -> Result<(), WriteError> {
    let watch = &manner.watch;
    let target = behind_links(path)?;
    let old = known(&target)?;
    if let Some(old) = &old {
        if !old.is_file() {
            return Err(io::Error::new(io::ErrorKind::InvalidInput, "what is there is not a file").into());
        }
        if !manner.replaces_read_only && is_read_only(&target, old)? {
            return Err(WriteError::ReadOnly);
        }
    }
    if let Some(backup) = manner.backup
        // A name too long for a backup is told at the first save and not at the second.
        && known(backup)?.is_some_and(|there| there.is_dir())
    {
        let error = format!("a folder is in the place of the backup, {}", backup.display());
        return Err(io::Error::new(io::ErrorKind::IsADirectory, error).into());
    }
    watch.before(Step::Create)?;
    let mut new = temporary(folder_of(&target), old.as_ref())?;
    watch.before(Step::Write)?;
    new.write_all(bytes)?;
    watch.before(Step::Sync)?;
    new.as_file().sync_all()?;
    let kept = match (manner.backup, &old) {
        (Some(backup), Some(old)) => {
            watch.before(Step::CopyOld)?;
            let mut copy = temporary(folder_of(backup), Some(old))?;
            io::copy(&mut File::open(&target)?, &mut copy)?;
            copy.as_file().sync_all()?;
            Some((copy, backup))
        }
        _ => None,
    };
    watch.before(Step::Replace)?;
    replace(new, &target)?;
    // From here on the new content is in place, whatever fails. The backup is a file of this program: a link in its
    // place is replaced, and what it leads to stays.
    let backed = kept.map_or(Ok(()), |(copy, backup)| watch.before(Step::KeepOld).and_then(|()| replace(copy, backup)));
    let synced = watch.before(Step::SyncFolder).and_then(|()| sync_folder(folder_of(&target)));
    backed.map_err(|error| WriteError::InPlace(Doubt::NoBackup(error)))?;
    synced.map_err(|error| WriteError::InPlace(Doubt::NotSynced(error)))?;
    sweep(folder_of(&target));
    Ok(())
}

/// Brings what is at `path` already to the disk, with its name.
///
/// # Errors
/// From the system.
pub fn confirm(path: &Path, watch: &Watch) -> io::Result<()> {
    let target = behind_links(path)?;
    watch.before(Step::SyncFolder)?;
    // Elsewhere only who may write to a file brings it to the disk.
    #[cfg(unix)]
    File::open(&target)?.sync_all()?;
    sync_folder(folder_of(&target))
}

/// The most links that follow each other, as Linux has it.
const MOST_LINKS: usize = 40;

/// The file that `path` leads to, whether it is there or not.
fn behind_links(path: &Path) -> io::Result<PathBuf> {
    let mut path = path.to_owned();
    for _ in 0..MOST_LINKS {
        match fs::symlink_metadata(&path) {
            Ok(about) if about.is_symlink() => path = folder_of(&path).join(fs::read_link(&path)?),
            // A name that cannot be is told by who writes to it.
            _ => return Ok(path),
        }
    }
    Err(io::Error::other("the link leads round in a circle"))
}

/// What is at `path` itself; `None` if nothing is.
fn known(path: &Path) -> io::Result<Option<Metadata>> {
    match fs::symlink_metadata(path) {
        Ok(about) => Ok(Some(about)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Whether the file at `path` may not be written to: it is marked so, or the system says so to this person.
fn is_read_only(path: &Path, about: &Metadata) -> io::Result<bool> {
    if about.permissions().readonly() {
        return Ok(true);
    }
    match File::options().write(true).open(path) {
        Ok(_) => Ok(false),
        Err(error) if matches!(error.kind(), io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem) => {
            Ok(true)
        }
        Err(error) => Err(error),
    }
}

/// What temporary files are called: this, six letters or digits, and [`TEMPORARY_END`]. Short, so that a file with as
/// long a name as a folder takes can be saved.
const TEMPORARY: &str = ".barwright-";
const TEMPORARY_END: &str = ".tmp";
const TEMPORARY_LETTERS: usize = 6;

/// A temporary file in `folder`, for what stands `like` an old file in mode and owner. It goes by itself unless it
/// takes a file’s place.
fn temporary(folder: &Path, like: Option<&Metadata>) -> io::Result<NamedTempFile> {
    let mut named = tempfile::Builder::new();
    named.prefix(TEMPORARY).suffix(TEMPORARY_END).rand_bytes(TEMPORARY_LETTERS);
    #[cfg(unix)]
    if like.is_none() {
        use std::os::unix::fs::PermissionsExt;
        // What a new file has; the system takes away what the person’s umask says.
        named.permissions(fs::Permissions::from_mode(0o666));
    }
    let file = named.tempfile_in(folder)?;
    #[cfg(unix)]
    if let Some(like) = like {
        use std::os::unix::fs::{MetadataExt, fchown};
        // Only some may give a file away; one of one’s own does as well.
        let _ = fchown(file.as_file(), Some(like.uid()), Some(like.gid()));
        file.as_file().set_permissions(like.permissions())?;
    }
    #[cfg(not(unix))]
    let _ = like;
    Ok(file)
}

/// Puts `file` at `path`, in place of what is there.
fn replace(file: NamedTempFile, path: &Path) -> io::Result<()> {
    // There a read-only file is never replaced; that it may be was asked before.
    #[cfg(windows)]
    if let Some(about) = known(path)?.filter(|about| about.permissions().readonly()) {
        let mut permissions = about.permissions();
        permissions.set_readonly(false);
        fs::set_permissions(path, permissions)?;
    }
    file.persist(path).map(drop).map_err(|error| error.error)
}

/// Brings the names in `folder` to the disk, where the system can be told to.
#[cfg_attr(not(unix), expect(clippy::unnecessary_wraps, reason = "only Unix syncs folders"))]
fn sync_folder(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    match File::open(folder)?.sync_all() {
        // A file system that does not know of this has nothing to say about it.
        Err(error) if matches!(error.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported) => {}
        synced => synced?,
    }
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}

/// How long ago a temporary file was changed last when nobody writes to it any more.
const OLD: Duration = Duration::from_hours(1);

/// Whether a file called `name` is a temporary one of this program.
pub fn is_temporary(name: &std::ffi::OsStr) -> bool {
    let middle = name.to_str().and_then(|n| n.strip_prefix(TEMPORARY)?.strip_suffix(TEMPORARY_END));
    middle.is_some_and(|m| m.len() == TEMPORARY_LETTERS && m.bytes().all(|b| b.is_ascii_alphanumeric()))
}

/// Takes away the temporary files that a killed program left in `folder`: regular files, no links, with a name that
/// only this program gives, changed last more than an hour ago. A save takes seconds; one that is so slow that its file
/// is taken away fails, and says so.
pub fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten().filter(|entry| is_temporary(&entry.file_name())) {
        let about = entry.metadata().ok().filter(Metadata::is_file);
        let since = about.and_then(|about| about.modified().ok()?.elapsed().ok());
        if since.is_some_and(|since| since > OLD) {
            // It is tried again at the next save.
            let _ = fs::remove_file(entry.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::SystemTime;

    fn put(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
        write(path, bytes, &Manner::default())
    }

    #[test]
    fn only_old_files_with_our_names_are_swept() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let at = |name: &str| folder.path().join(name);
        let old = SystemTime::now() - OLD * 2;
        let stays = [".barwright-a1B2c.tmp", ".barwright-a1B2c3.tmp~", ".barwright-a1.2c3.tmp", "barwright-a1B2c3.tmp"];
        for name in stays.iter().chain(&[".barwright-a1B2c3.tmp"]) {
            File::create(at(name)).and_then(|f| f.set_modified(old)).expect("made");
        }
        File::create(at(".barwright-fresh1.tmp")).expect("made");
        fs::create_dir(at(".barwright-folder.tmp")).expect("made");
        sweep(folder.path());
        for name in stays.iter().chain(&[".barwright-fresh1.tmp", ".barwright-folder.tmp"]) {
            assert!(at(name).exists(), "{name} stays");
        }
        assert!(!at(".barwright-a1B2c3.tmp").exists(), "ours and old");
        // A save sweeps too.
        File::create(at(".barwright-a1B2c3.tmp")).and_then(|f| f.set_modified(old)).expect("made");
        put(&at("bar.barwright"), b"new").expect("saved");
        assert!(!at(".barwright-a1B2c3.tmp").exists(), "swept by the save");
    }

    #[cfg(unix)]
    #[test]
    fn mode_and_links_are_kept() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().expect("a temporary folder");
        let at = |name: &str| folder.path().join(name);
        let mode = |path: &Path| fs::metadata(path).expect("there").permissions().mode() & 0o7777;
        // A new file has the mode that any new file has.
        File::create(at("plain")).expect("made");
        put(&at("new"), b"new").expect("saved");
        assert_eq!(mode(&at("new")), mode(&at("plain")));
        // A link that leads nowhere yet leads there afterwards.
        symlink("there", at("link")).expect("linked");
        put(&at("link"), b"through").expect("saved");
        assert!(fs::symlink_metadata(at("link")).expect("there").is_symlink(), "the link stays");
        assert_eq!(fs::read(at("there")).expect("reads"), b"through");
        assert_eq!(mode(&at("there")), mode(&at("plain")), "and not the mode of a link");
        symlink("round", at("round")).expect("linked");
        assert!(matches!(put(&at("round"), b""), Err(WriteError::Nothing(_))), "a circle");
        // The mode goes on to the file and to its backup; a link in the backup’s place is replaced.
        fs::write(at("secret"), b"old").expect("writes");
        fs::set_permissions(at("secret"), fs::Permissions::from_mode(0o600)).expect("set");
        fs::write(at("precious"), b"precious").expect("writes");
        symlink("precious", at("secret.bak")).expect("linked");
        let backup = at("secret.bak");
        let manner = Manner { backup: Some(&backup), ..Manner::default() };
        write(&at("secret"), b"new", &manner).expect("saved");
        assert_eq!([mode(&at("secret")), mode(&backup)], [0o600, 0o600]);
        assert!(!fs::symlink_metadata(&backup).expect("there").is_symlink(), "a file in place of the link");
        assert_eq!(fs::read(&backup).expect("reads"), b"old");
        assert_eq!(fs::read(at("precious")).expect("reads"), b"precious");
    }

    #[test]
    fn what_is_read_only_is_replaced_only_when_asked() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("bar.barwright");
        fs::write(&path, b"old").expect("writes");
        let mut permissions = fs::metadata(&path).expect("there").permissions();
        permissions.set_readonly(true);
        fs::set_permissions(&path, permissions).expect("set");
        assert!(matches!(put(&path, b"new"), Err(WriteError::ReadOnly)));
        assert_eq!(fs::read(&path).expect("reads"), b"old");
        write(&path, b"new", &Manner { replaces_read_only: true, ..Manner::default() }).expect("asked for");
        assert_eq!(fs::read(&path).expect("reads"), b"new");
    }

    #[test]
    fn a_write_that_fails_before_it_replaces_changes_nothing() {
        for at in Step::ALL {
            let folder = tempfile::tempdir().expect("a temporary folder");
            let [path, backup] = ["bar", "bar.bak"].map(|name| folder.path().join(name));
            fs::write(&path, b"second").expect("writes");
            fs::write(&backup, b"first").expect("writes");
            let fails = move |step| if step == at { Err(io::Error::other("told to fail")) } else { Ok(()) };
            let manner = Manner { backup: Some(&backup), watch: Watch::new(fails), ..Manner::default() };
            let failed = write(&path, b"third", &manner).expect_err("told to fail");
            let [now, kept] = [&path, &backup].map(|path| fs::read(path).expect("reads"));
            match at {
                Step::Create | Step::Write | Step::Sync | Step::CopyOld | Step::Replace => {
                    assert!(matches!(failed, WriteError::Nothing(_)), "{at:?}: {failed:?}");
                    assert_eq!((&now[..], &kept[..]), (&b"second"[..], &b"first"[..]), "{at:?}");
                }
                Step::KeepOld => {
                    assert!(matches!(failed, WriteError::InPlace(Doubt::NoBackup(_))), "{failed:?}");
                    assert_eq!((&now[..], &kept[..]), (&b"third"[..], &b"first"[..]));
                }
                Step::SyncFolder => {
                    assert!(matches!(failed, WriteError::InPlace(Doubt::NotSynced(_))), "{failed:?}");
                    assert_eq!((&now[..], &kept[..]), (&b"third"[..], &b"second"[..]));
                }
            }
            assert_eq!(fs::read_dir(folder.path()).expect("reads").count(), 2, "{at:?} leaves no temporary file");
        }
    }
}
