//! Copies of unsaved work in the state folder, so that a crash or a power cut loses seconds.
//!
//! Each running window has a folder of its own with a locked file in it. A folder whose lock is
//! free belongs to a window that did not end well; its copies are offered at the next start.

use crate::files::{self, FileError};
use crate::lock::Lock;
use crate::safely;
use barwright_core::design::document;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver, Sender};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::Duration;

/// A copy is written when nothing was changed for this long, seconds.
const STILL: f64 = 1.0;
/// And at least this often while changes go on, seconds.
const LONGEST: f64 = 10.0;
/// The longest copy that is read, bytes: a design as text in text, with room for what is escaped in it.
const MOST_BYTES: usize = 4 * document::MOST_BYTES;
/// No more are read at one start than this many, and than this many bytes; the rest waits for the next one.
const MOST_COPIES: usize = 200;
const MOST_IN_ALL: usize = 4 * MOST_BYTES;

/// Where the copies live on this system; `None` if it names no home.
pub fn folder() -> Option<PathBuf> {
    let dirs = directories::ProjectDirs::from("dev", "Fernhollow", "Barwright")?;
    Some(dirs.state_dir().unwrap_or_else(|| dirs.data_local_dir()).join("recovery"))
}

/// One unsaved design as it is kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Copy {
    /// The file it belongs to, if it has one.
    #[serde(with = "crate::paths::option")]
    pub path: Option<PathBuf>,
    /// The design as the text of a design file.
    pub text: String,
}

/// What a window that did not end well has left.
#[derive(Debug)]
pub struct Found {
    /// The copies that could be read.
    pub copies: Vec<Copy>,
    /// Their files.
    files: Vec<PathBuf>,
    folder: PathBuf,
    /// Held so that a second window does not offer the same.
    _lock: Lock,
}

impl Found {
    /// Throws the copies away, and nothing else: what cannot be removed is offered again.
    pub fn discard(self) {
        for file in &self.files {
            let _ = fs::remove_file(file);
        }
        let left = || fs::read_dir(&self.folder).into_iter().flatten().flatten();
        for entry in left().filter(|entry| safely::is_temporary(&entry.file_name())) {
            let _ = fs::remove_file(entry.path());
        }
        // A folder is found by its lock.
        if left().all(|entry| entry.file_name() == LOCK) {
            let _ = fs::remove_file(self.folder.join(LOCK)).and_then(|()| fs::remove_dir(&self.folder));
        }
    }
}

/// All that is found at a start.
#[derive(Debug, Default)]
pub struct Remains {
    /// By window.
    pub found: Vec<Found>,
    /// Copies that could not be read, where they are now.
    pub unreadable: Vec<PathBuf>,
}

const LOCK: &str = "lock";
/// The folder for copies that could not be read.
const ASIDE: &str = "unreadable";

/// Looks in `folder` for what windows that did not end well have left. What cannot be read is put aside, not away.
pub fn find(folder: &Path) -> Remains {
    let mut remains = Remains::default();
    let (mut copies, mut bytes) = (0, 0);
    // A link could lead anywhere.
    for left in sorted(folder).into_iter().filter(|p| fs::symlink_metadata(p).is_ok_and(|about| about.is_dir())) {
        let is_lock = fs::metadata(left.join(LOCK)).is_ok_and(|about| about.is_file());
        let Some(lock) = is_lock.then(|| Lock::take(&left.join(LOCK)).ok()).flatten().flatten() else { continue };
        let mut found = Found { copies: Vec::new(), files: Vec::new(), folder: left.clone(), _lock: lock };
        for file in sorted(&left).into_iter().filter(|p| p.extension().is_some_and(|e| e == "ron")) {
            if copies == MOST_COPIES || bytes >= MOST_IN_ALL {
                break;
            }
            let read = files::read_whole(&file, MOST_BYTES);
            bytes += read.as_ref().map_or(0, Vec::len);
            if let Some(copy) = read.ok().and_then(|bytes| ron::de::from_bytes(&bytes).ok()) {
                copies += 1;
                found.copies.push(copy);
                found.files.push(file);
            } else {
                let name = |path: &Path| path.file_name().unwrap_or_default().to_string_lossy().into_owned();
                let aside = folder.join(ASIDE).join(format!("{}-{}", name(&left), name(&file)));
                remains.unreadable.push(files::put_aside(&file, &aside).unwrap_or(file));
            }
        }
        if found.copies.is_empty() { found.discard() } else { remains.found.push(found) }
    }
    remains
}

fn sorted(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
    paths.sort();
    paths
}

/// Makes the copy of a design as it was when this was made.
pub type Make = Box<dyn FnOnce() -> Option<Copy> + Send>;

enum Job {
    Write(PathBuf, Make),
    Remove(PathBuf),
    Discard(Found),
    /// Tells when all before it is done.
    Tell(Sender<()>),
    End,
}

/// Copies that are not due yet, by design.
type Waiting = Arc<Mutex<BTreeMap<u64, (PathBuf, Make)>>>;

fn held(waiting: &Waiting) -> MutexGuard<'_, BTreeMap<u64, (PathBuf, Make)>> {
    // Nobody panics while it is held.
    waiting.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Keeps the copies of this window, away from the thread that draws.
#[derive(Debug)]
pub struct Recovery {
    folder: PathBuf,
    urgent: Urgent,
    worker: Option<JoinHandle<()>>,
    troubles: Receiver<FileError>,
    kept: BTreeMap<u64, Kept>,
    _lock: Lock,
}

/// Writes what is not written yet, from any thread.
#[derive(Clone)]
pub struct Urgent {
    jobs: Sender<Job>,
    waiting: Waiting,
}

impl std::fmt::Debug for Urgent {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Urgent(..)")
    }
}

impl Urgent {
    fn send(&self, job: Job) {
        // The worker is gone only when the window is.
        let _ = self.jobs.send(job);
    }

    /// Writes every copy that is not written yet, whether it is due or not, and waits for it, though no longer than
    /// `longest`.
    pub fn write(&self, longest: Duration) {
        let waiting = std::mem::take(&mut *held(&self.waiting));
        for (path, make) in waiting.into_values() {
            self.send(Job::Write(path, make));
        }
        let (done, told) = mpsc::channel();
        self.send(Job::Tell(done));
        // If it takes longer, there is nothing more to be done.
        let _ = told.recv_timeout(longest);
    }
}

/// How long the system gets to write copies when it ends the program: it waits not much longer itself.
#[cfg(unix)]
const AT_THE_END: Duration = Duration::from_secs(3);

/// Names what is kept of a design: the revisions of it and of its log.
type State = (u64, u64);

/// What is known of one design: the revision that is written and the one seen last, with times.
#[derive(Debug, Clone, Copy)]
struct Kept {
    written: Option<State>,
    seen: State,
    seen_at: f64,
    since: f64,
}

fn work(inbox: &Receiver<Job>, troubles: &Sender<FileError>) {
    let mut is_well = true;
    for job in inbox {
        match job {
            Job::Write(path, make) => {
                let Some(text) = make().and_then(|copy| ron::to_string(&copy).ok()) else { continue };
                let written = files::write_plain(&path, text.as_bytes());
                // It is tried again at the next change, and told once.
                let was_well = std::mem::replace(&mut is_well, written.is_ok());
                if let Some(error) = written.err().filter(|_| was_well) {
                    let _ = troubles.send(error);
                }
            }
            Job::Remove(path) => {
                let _ = fs::remove_file(path);
            }
            Job::Discard(found) => found.discard(),
            Job::Tell(done) => {
                let _ = done.send(());
            }
            Job::End => return,
        }
    }
}

impl Recovery {
    /// Makes a folder for this window under `folder`.
    ///
    /// # Errors
    /// From the system; the window then works without copies.
    pub fn start(folder: &Path) -> std::io::Result<Self> {
        let process = std::process::id();
        let free = (0_u16..=u16::MAX).map(|i| folder.join(format!("{process}-{i}"))).find(|f| !f.exists());
        let folder = free.ok_or_else(|| std::io::Error::other("too many folders of earlier windows"))?;
        fs::create_dir_all(&folder)?;
        let lock = Lock::take(&folder.join(LOCK))?;
        let lock = lock.ok_or_else(|| std::io::Error::other("another window takes the same folder"))?;
        let (jobs, inbox) = mpsc::channel();
        let (tell, troubles) = mpsc::channel();
        let worker = std::thread::Builder::new().name("recovery".into()).spawn(move || work(&inbox, &tell))?;
        let urgent = Urgent { jobs, waiting: Waiting::default() };
        Ok(Self { folder, urgent, worker: Some(worker), troubles, kept: BTreeMap::new(), _lock: lock })
    }

    fn file(&self, key: u64) -> PathBuf {
        self.folder.join(format!("{key:06}.ron"))
    }

    /// Why the last copy could not be written, once.
    pub fn trouble(&self) -> Option<FileError> {
        self.troubles.try_recv().ok()
    }

    /// Writes copies at once when the system ends the program, a terminal closes or Ctrl+C is typed there; the program
    /// then ends as it would have.
    ///
    /// # Errors
    /// From the system; the program then ends without them.
    #[cfg(unix)]
    pub fn write_on_signals(&self) -> std::io::Result<()> {
        use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
        // What was told to be ignored, as `nohup` does, still is.
        let ends = [SIGTERM, SIGHUP, SIGINT].into_iter().filter(|signal| !is_ignored(*signal));
        let mut signals = signal_hook::iterator::Signals::new(ends)?;
        let urgent = self.urgent.clone();
        let wait = move || {
            if let Some(signal) = signals.forever().next() {
                urgent.write(AT_THE_END);
                // It ends the program; where it does not, there is no other way.
                let _ = signal_hook::low_level::emulate_default_handler(signal);
            }
        };
        std::thread::Builder::new().name("signals".into()).spawn(wait).map(drop)
    }

    /// Notes at time `now` (seconds) that design `key` is at `revision` and unsaved; `make` gives what makes its copy,
    /// which is used when one is due. Gives the seconds until it wants to be asked again.
    pub fn keep(&mut self, key: u64, revision: State, now: f64, make: impl FnOnce() -> Make) -> Option<f64> {
        let file = self.file(key);
        let fresh = Kept { written: None, seen: revision, seen_at: now, since: now };
        let is_new = self.kept.get(&key).is_none_or(|kept| kept.seen != revision);
        let kept = self.kept.entry(key).or_insert(fresh);
        if kept.written == Some(revision) {
            kept.seen = revision;
            held(&self.urgent.waiting).remove(&key);
            return None;
        }
        if is_new {
            held(&self.urgent.waiting).insert(key, (file, make()));
        }
        if kept.written == Some(kept.seen) {
            kept.since = now;
        }
        if kept.seen != revision {
            (kept.seen, kept.seen_at) = (revision, now);
        }
        let due = (kept.seen_at + STILL).min(kept.since + LONGEST);
        if now < due {
            return Some(due - now);
        }
        kept.written = Some(revision);
        if let Some((file, make)) = held(&self.urgent.waiting).remove(&key) {
            self.urgent.send(Job::Write(file, make));
        }
        None
    }

    /// Removes the copies of designs that are not among `unsaved`: they are saved or closed.
    pub fn retain(&mut self, unsaved: &[u64]) {
        let gone: Vec<u64> = self.kept.keys().copied().filter(|k| !unsaved.contains(k)).collect();
        for key in gone {
            self.kept.remove(&key);
            held(&self.urgent.waiting).remove(&key);
            self.urgent.send(Job::Remove(self.file(key)));
        }
    }

    /// Throws away what was found, once everything asked for before is written.
    pub fn discard(&self, found: Found) {
        self.urgent.send(Job::Discard(found));
    }

    /// Ends well: all copies go.
    pub fn end(mut self) {
        held(&self.urgent.waiting).clear();
        self.finish();
        let _ = fs::remove_dir_all(&self.folder);
    }

    fn finish(&mut self) {
        if let Some(worker) = self.worker.take() {
            for (file, make) in std::mem::take(&mut *held(&self.urgent.waiting)).into_values() {
                self.urgent.send(Job::Write(file, make));
            }
            self.urgent.send(Job::End);
            let _ = worker.join();
        }
    }
}

impl Drop for Recovery {
    fn drop(&mut self) {
        // What is unsaved is still written, also when the window ends by a panic.
        self.finish();
    }
}

/// Whether whoever started the program wants `signal` ignored, as Linux tells it.
#[cfg(unix)]
fn is_ignored(signal: i32) -> bool {
    let status = files::read_whole(Path::new("/proc/self/status"), 1 << 16).unwrap_or_default();
    let status = String::from_utf8_lossy(&status).into_owned();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).is_some_and(|mask| mask >> (signal - 1) & 1 == 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn make(text: &'static str) -> Make {
        Box::new(move || Some(copy(text)))
    }

    fn copy(text: &str) -> Copy {
        Copy { path: Some("bar.barwright".into()), text: text.into() }
    }

    #[test]
    fn a_copy_is_written_after_a_second_of_rest_and_at_the_latest_after_ten() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mut recovery = Recovery::start(folder.path()).expect("it starts");
        assert_eq!(recovery.keep(1, (1, 0), 0.0, || make("none")), Some(1.0));
        assert_eq!(recovery.keep(1, (2, 0), 0.5, || make("none")), Some(1.0), "a change begins the rest anew");
        assert_eq!(recovery.keep(1, (2, 0), 1.5, || make("two")), None, "rested");
        assert_eq!(recovery.keep(1, (2, 0), 9.0, || make("none")), None, "nothing new");
        // Changes twice a second never rest.
        let written_at = (0_u32..40).map(|i| 20.0 + f64::from(i) / 2.0).find(|now| {
            recovery.keep(1, (now.to_bits(), 0), *now, || make("more"));
            held(&recovery.urgent.waiting).is_empty()
        });
        assert_eq!(written_at, Some(30.0));
    }

    #[test]
    fn what_a_broken_off_window_leaves_is_found_once_and_what_ended_well_is_not() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mut broken = Recovery::start(folder.path()).expect("it starts");
        broken.keep(7, (1, 0), 0.0, || make("seven"));
        broken.keep(7, (1, 0), 2.0, || make("seven"));
        broken.keep(8, (1, 0), 0.0, || make("eight"));
        broken.keep(8, (1, 0), 2.0, || make("eight"));
        broken.retain(&[7]);
        let mut well = Recovery::start(folder.path()).expect("it starts beside the other");
        well.keep(1, (1, 0), 0.0, || make("none"));
        well.keep(1, (1, 0), 2.0, || make("one"));
        assert!(find(folder.path()).found.is_empty(), "both windows are alive");
        drop(broken);
        well.end();
        let found = find(folder.path()).found;
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].copies, [copy("seven")], "eight was saved or closed");
        for left in found {
            left.discard();
        }
        assert!(find(folder.path()).found.is_empty(), "thrown away");
        assert_eq!(fs::read_dir(folder.path()).expect("reads").count(), 0, "with its folder");
    }

    #[test]
    fn what_is_not_due_is_written_when_the_window_breaks_off_or_the_system_asks() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mut recovery = Recovery::start(folder.path()).expect("it starts");
        recovery.keep(1, (1, 0), 0.0, || make("first"));
        recovery.urgent.write(Duration::from_mins(1));
        let text = fs::read_to_string(recovery.file(1)).expect("written at once");
        assert!(text.contains("first"), "{text}");
        recovery.keep(1, (2, 0), 0.1, || make("second"));
        drop(recovery);
        assert_eq!(find(folder.path()).found[0].copies, [copy("second")]);
    }

    #[test]
    fn a_copy_that_cannot_be_read_is_put_aside_and_told() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let left = folder.path().join("7-0");
        fs::create_dir(&left).expect("made");
        fs::write(left.join(LOCK), "").expect("writes");
        fs::write(left.join("1.ron"), "(path: None, text: \"half").expect("writes");
        fs::write(left.join("2.ron"), b"\xff\xff").expect("writes");
        fs::create_dir(left.join("3.ron")).expect("made");
        fs::File::create(left.join("4.ron")).and_then(|f| f.set_len(1 << 40)).expect("a file with a hole");
        let remains = find(folder.path());
        assert!(remains.found.is_empty(), "nothing to offer");
        assert_eq!(remains.unreadable.len(), 4);
        let first = fs::read_to_string(&remains.unreadable[0]).expect("it is kept");
        assert_eq!(first, "(path: None, text: \"half");
        assert!(!left.exists(), "its folder has nothing else");
        assert!(find(folder.path()).unreadable.is_empty(), "told once");
    }

    #[cfg(unix)]
    #[test]
    fn a_file_whose_name_is_no_text_has_a_copy_too() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let name = <std::ffi::OsStr as std::os::unix::ffi::OsStrExt>::from_bytes(b"/home/\xff.barwright");
        let copy = Copy { path: Some(name.into()), text: "text".into() };
        let mut recovery = Recovery::start(folder.path()).expect("it starts");
        let made = copy.clone();
        recovery.keep(1, (1, 0), 0.0, || Box::new(move || Some(made)));
        drop(recovery);
        assert_eq!(find(folder.path()).found[0].copies, [copy]);
    }
}
