//! Copies of unsaved work in the state folder, so that a crash or a power cut loses seconds.
//!
//! Each running window has a folder of its own with a locked file in it. A folder whose lock is
//! free belongs to a window that did not end well; its copies are offered at the next start.

use crate::files;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Sender};
use std::thread::JoinHandle;

/// A copy is written when nothing was changed for this long, seconds.
const STILL: f64 = 1.0;
/// And at least this often while changes go on, seconds.
const LONGEST: f64 = 10.0;

/// Where the copies live on this system; `None` if it names no home.
pub fn folder() -> Option<PathBuf> {
    let dirs = directories::ProjectDirs::from("dev", "Fernhollow", "Barwright")?;
    Some(dirs.state_dir().unwrap_or_else(|| dirs.data_local_dir()).join("recovery"))
}

/// One unsaved design as it is kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Copy {
    /// The file it belongs to, if it has one.
    pub path: Option<PathBuf>,
    /// The design as the text of a design file.
    pub text: String,
}

/// What a window that did not end well has left.
#[derive(Debug)]
pub struct Found {
    /// The copies that could be read.
    pub copies: Vec<Copy>,
    folder: PathBuf,
    /// Held so that a second window does not offer the same.
    _lock: File,
}

impl Found {
    /// Throws the copies away.
    pub fn discard(self) {
        // What cannot be removed is offered again: nothing is lost.
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

const LOCK: &str = "lock";

/// Looks in `folder` for what windows that did not end well have left.
pub fn find(folder: &Path) -> Vec<Found> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut folders: Vec<PathBuf> = entries.flatten().map(|e| e.path()).filter(|p| p.is_dir()).collect();
    folders.sort();
    let mut found = Vec::new();
    for folder in folders {
        let Ok(lock) = File::open(folder.join(LOCK)) else { continue };
        if lock.try_lock().is_err() {
            continue;
        }
        let mut files: Vec<PathBuf> =
            std::fs::read_dir(&folder).map(|entries| entries.flatten().map(|e| e.path()).collect()).unwrap_or_default();
        files.sort();
        let copies: Vec<Copy> = files
            .iter()
            .filter(|p| p.extension().is_some_and(|e| e == "ron"))
            .filter_map(|p| ron::from_str(&std::fs::read_to_string(p).ok()?).ok())
            .collect();
        let left = Found { copies, folder, _lock: lock };
        if left.copies.is_empty() { left.discard() } else { found.push(left) }
    }
    found
}

enum Job {
    Write(PathBuf, Copy),
    Remove(PathBuf),
    Discard(Found),
}

/// Keeps the copies of this window, away from the thread that draws.
#[derive(Debug)]
pub struct Recovery {
    folder: PathBuf,
    jobs: Option<Sender<Job>>,
    worker: Option<JoinHandle<()>>,
    kept: BTreeMap<u64, Kept>,
    _lock: File,
}

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

impl Recovery {
    /// Makes a folder for this window under `folder`.
    ///
    /// # Errors
    /// From the system; the window then works without copies.
    pub fn start(folder: &Path) -> std::io::Result<Self> {
        let process = std::process::id();
        let free = (0_u16..=u16::MAX).map(|i| folder.join(format!("{process}-{i}"))).find(|f| !f.exists());
        let folder = free.ok_or_else(|| std::io::Error::other("too many folders of earlier windows"))?;
        std::fs::create_dir_all(&folder)?;
        let lock = File::create(folder.join(LOCK))?;
        lock.try_lock().map_err(std::io::Error::other)?;
        let (jobs, inbox) = mpsc::channel();
        let worker = std::thread::Builder::new().name("recovery".into()).spawn(move || {
            for job in inbox {
                // A copy that cannot be written now is tried again at the next change.
                match job {
                    Job::Write(path, copy) => {
                        if let Ok(text) = ron::to_string(&copy) {
                            let _ = files::write_safely(&path, text.as_bytes());
                        }
                    }
                    Job::Remove(path) => {
                        let _ = std::fs::remove_file(path);
                    }
                    Job::Discard(found) => found.discard(),
                }
            }
        })?;
        Ok(Self { folder, jobs: Some(jobs), worker: Some(worker), kept: BTreeMap::new(), _lock: lock })
    }

    fn file(&self, key: u64) -> PathBuf {
        self.folder.join(format!("{key:06}.ron"))
    }

    fn send(&self, job: Job) {
        if let Some(jobs) = &self.jobs {
            // The worker ends only with this value.
            let _ = jobs.send(job);
        }
    }

    /// Notes at time `now` (seconds) that design `key` is at `revision` and unsaved; `copy` makes
    /// its copy when one is due. Gives the seconds until it wants to be asked again.
    pub fn keep(&mut self, key: u64, revision: State, now: f64, copy: impl FnOnce() -> Option<Copy>) -> Option<f64> {
        let fresh = Kept { written: None, seen: revision, seen_at: now, since: now };
        let kept = self.kept.entry(key).or_insert(fresh);
        if kept.written == Some(revision) {
            kept.seen = revision;
            return None;
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
        if let Some(copy) = copy() {
            self.send(Job::Write(self.file(key), copy));
        }
        None
    }

    /// Removes the copies of designs that are not among `unsaved`: they are saved or closed.
    pub fn retain(&mut self, unsaved: &[u64]) {
        let gone: Vec<u64> = self.kept.keys().copied().filter(|k| !unsaved.contains(k)).collect();
        for key in gone {
            self.kept.remove(&key);
            self.send(Job::Remove(self.file(key)));
        }
    }

    /// Throws away what was found, once everything asked for before is written.
    pub fn discard(&self, found: Found) {
        self.send(Job::Discard(found));
    }

    /// Ends well: all copies go.
    pub fn end(mut self) {
        self.finish();
        let _ = std::fs::remove_dir_all(&self.folder);
    }

    fn finish(&mut self) {
        self.jobs = None;
        if let Some(worker) = self.worker.take() {
            let _ = worker.join();
        }
    }
}

impl Drop for Recovery {
    fn drop(&mut self) {
        // What was asked for is still written, also when the window ends by a panic.
        self.finish();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn copy(text: &str) -> Copy {
        Copy { path: Some("bar.barwright".into()), text: text.into() }
    }

    #[test]
    fn a_copy_is_written_after_a_second_of_rest_and_at_the_latest_after_ten() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mut recovery = Recovery::start(folder.path()).expect("it starts");
        assert_eq!(recovery.keep(1, (1, 0), 0.0, || None), Some(1.0));
        assert_eq!(recovery.keep(1, (2, 0), 0.5, || None), Some(1.0), "a change begins the rest anew");
        assert_eq!(recovery.keep(1, (2, 0), 1.5, || Some(copy("two"))), None, "rested");
        assert_eq!(recovery.keep(1, (2, 0), 9.0, || None), None, "nothing new");
        // Changes twice a second never rest.
        let mut written_at = None;
        for i in 0_u32..40 {
            let now = 20.0 + f64::from(i) / 2.0;
            recovery.keep(1, (3 + u64::from(i), 0), now, || {
                written_at.get_or_insert(now);
                Some(copy("more"))
            });
        }
        assert_eq!(written_at, Some(30.0));
    }

    #[test]
    fn what_a_broken_off_window_leaves_is_found_once_and_what_ended_well_is_not() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mut broken = Recovery::start(folder.path()).expect("it starts");
        broken.keep(7, (1, 0), 0.0, || None);
        broken.keep(7, (1, 0), 2.0, || Some(copy("seven")));
        broken.keep(8, (1, 0), 0.0, || None);
        broken.keep(8, (1, 0), 2.0, || Some(copy("eight")));
        broken.retain(&[7]);
        let mut well = Recovery::start(folder.path()).expect("it starts beside the other");
        well.keep(1, (1, 0), 0.0, || None);
        well.keep(1, (1, 0), 2.0, || Some(copy("one")));
        assert!(find(folder.path()).is_empty(), "both windows are alive");
        drop(broken);
        well.end();
        let found = find(folder.path());
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].copies, [copy("seven")], "eight was saved or closed");
        for left in found {
            left.discard();
        }
        assert!(find(folder.path()).is_empty(), "thrown away");
    }
}
