//! What goes wrong with files: kills at every moment, disks that fail, places that are none. Nothing may be lost.
//!
//! A small part runs with the other tests. All rounds, which take some minutes and print what they found:
//!
//! ```sh
//! cargo test -p barwright --test faults -- --ignored --nocapture --test-threads 1 all_rounds
//! ```
#![cfg(unix)]

mod kills;
mod places;
mod saves;
mod states;
mod windows;

use barwright::files::{self, Over};
use barwright::safely::Watch;
use barwright_core::design::log::Log;
use barwright_core::{Design, Library};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

fn library() -> Library {
    Library::embedded().expect("assets parse")
}

/// A design that is told by its number.
fn numbered(number: u64) -> Design {
    Design { name: number.to_string(), notes: "wind from the orchard ".repeat(200), ..Design::default() }
}

fn number_at(path: &Path, library: &Library) -> Option<u64> {
    files::load(path, library).ok()?.0.name.parse().ok()
}

fn save(path: &Path, number: u64, library: &Library, watch: &Watch) -> Result<(), files::FileError> {
    files::save(path, &numbered(number), &Log::default(), library, Over::Writable, watch).map(drop)
}

/// How many temporary files of ours are in `folder`.
fn temporaries(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).expect("it is there").flatten();
    let ours = entries.filter(|entry| barwright::safely::is_temporary(&entry.file_name()));
    ours.map(|entry| entry.path()).collect()
}

/// What this program does when a test starts it once more, to be killed.
const PART: &str = "BARWRIGHT_FAULTS_PART";
const FOLDER: &str = "BARWRIGHT_FAULTS_FOLDER";

/// Starts this program once more for `part` in `folder`.
fn start(part: &str, folder: &Path) -> Child {
    let mut command = Command::new(std::env::current_exe().expect("this program"));
    command.args(["--exact", "as_another_program", "--ignored", "--nocapture"]).env(PART, part).env(FOLDER, folder);
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::null()).spawn().expect("it starts")
}

#[test]
#[ignore = "other tests start it in a process of its own"]
fn as_another_program() {
    let (Ok(part), Some(folder)) = (std::env::var(PART), std::env::var_os(FOLDER)) else { return };
    let folder = PathBuf::from(folder);
    match part.split_once(' ') {
        None if part == "saves" => kills::save_for_ever(&folder),
        None if part == "copies" => kills::keep_copies(&folder),
        None if part == "locks" => kills::hold_a_lock(&folder),
        Some(("dies", step)) => saves::die_at(step, &folder),
        _ => panic!("no such part: {part}"),
    }
}

/// Numbers between 0 and 1 that look random and are the same each time (Knuth’s multiplier, from memory).
struct Dice(u64);

impl Dice {
    #[expect(clippy::cast_precision_loss, reason = "53 bits are enough")]
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}
