//! Programs that are killed while they write.

use super::places::table;
use super::{Dice, library, number_at, numbered, save, start, temporaries};
use barwright::files::{self, backup_path};
use barwright::lock::Locks;
use barwright::recovery::{self, Copy, Recovery};
use barwright::safely::Watch;
use barwright::shelf::FILE;
use barwright_core::design::document;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

/// Saves 1, 2, 3, … and says each number once it is saved.
pub(super) fn save_for_ever(folder: &Path) {
    let (library, path) = (library(), folder.join("bar.barwright"));
    let begun = number_at(&path, &library).unwrap_or(0);
    for number in begun + 1.. {
        save(&path, number, &library, &Watch::default()).expect("saved");
        // A line of its own: the harness of tests prints too.
        writeln!(std::io::stdout(), "\nsaved {number}").expect("told");
    }
}

/// Kills a program that saves, `rounds` times at random moments; gives how many temporary files were left.
fn kill_saves(rounds: u32) -> usize {
    let library = library();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    let mut dice = Dice(1);
    for round in 0..rounds {
        let mut child = start("saves", folder.path());
        let mut told = BufReader::new(child.stdout.take().expect("its output")).lines().map_while(Result::ok);
        let number = |line: String| line.strip_prefix("saved ")?.parse::<u64>().ok();
        let first = told.by_ref().find_map(number).expect("it saves");
        sleep(Duration::from_secs_f64(0.03 * dice.roll()));
        child.kill().expect("killed");
        let last = told.filter_map(number).last().unwrap_or(first);
        child.wait().expect("it is gone");
        let now = number_at(&path, &library);
        assert!(now.is_some_and(|now| now == last || now == last + 1), "round {round}: {now:?} after {last}");
        let backup = number_at(&backup_path(&path), &library).unwrap_or(0);
        assert!(now.is_some_and(|now| backup < now && backup + 2 >= now), "round {round}: {backup} beside {now:?}");
    }
    temporaries(folder.path()).len()
}

/// Kills the real program while it puts lots on the shelf, `rounds` times; gives how many of the lots it was let to
/// finish with.
fn kill_imports(rounds: u32) -> u32 {
    const LOTS: usize = 40;
    let library = library();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let lots = folder.path().join("lots.csv");
    std::fs::write(&lots, table(LOTS)).expect("writes");
    let run = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_barwright"));
        command.args(["shelf", "import"]).arg(&lots).arg("--folder").arg(folder.path());
        command.stdin(Stdio::null()).stdout(Stdio::null()).spawn().expect("it starts")
    };
    let began = std::time::Instant::now();
    assert!(run().wait().expect("it ends").success(), "left alone it takes them");
    let usual = began.elapsed();
    let (mut dice, mut finished, mut before) = (Dice(2), 0, LOTS);
    for round in 0..rounds {
        let mut child = run();
        sleep(usual.mul_f64(1.1 * dice.roll()));
        child.kill().expect("killed");
        let ended = child.wait().expect("it is gone").success();
        let shelf = files::load_shelf(&folder.path().join(FILE), &library).expect("a whole shelf").0;
        let now = shelf.lots.len();
        assert!(now == before + LOTS || now == before && !ended, "round {round}: {now} lots after {before}");
        finished += u32::from(now > before);
        before = now;
        if before > 4_000 {
            std::fs::remove_file(folder.path().join(FILE)).expect("begun anew");
            assert!(run().wait().expect("it ends").success(), "left alone it takes them");
            before = LOTS;
        }
    }
    finished
}

/// Keeps copies of a design that is unsaved and not at rest, and says so.
pub(super) fn keep_copies(folder: &Path) {
    let mut recovery = Recovery::start(folder).expect("it starts");
    recovery.write_on_signals().expect("it listens");
    let library = library();
    let text = document::write(&numbered(7), &library).expect("text");
    recovery.keep(1, (1, 0), 0.0, || Box::new(move || Some(Copy { path: None, text })));
    writeln!(std::io::stdout(), "\nkeeps").expect("told");
    sleep(Duration::from_mins(1));
}

/// Takes a design for itself, and says so.
pub(super) fn hold_a_lock(folder: &Path) {
    let mut locks = Locks::under(Some(folder.join("locks")));
    assert!(locks.take(&folder.join("bar.barwright")), "nobody has it yet");
    writeln!(std::io::stdout(), "\nholds").expect("told");
    sleep(Duration::from_mins(1));
}

#[test]
fn what_a_killed_program_had_is_free() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let mut child = start("locks", folder.path());
    let mut told = BufReader::new(child.stdout.take().expect("its output")).lines().map_while(Result::ok);
    assert!(told.any(|line| line == "holds"), "it has it");
    let mut locks = Locks::under(Some(folder.path().join("locks")));
    assert!(!locks.take(&folder.path().join("bar.barwright")), "and nobody else");
    child.kill().expect("killed");
    child.wait().expect("it is gone");
    assert!(locks.take(&folder.path().join("bar.barwright")), "until it is gone");
}

#[test]
fn what_is_not_at_rest_is_kept_when_the_system_ends_the_program() {
    // A signal that is ignored here stays so in a child, as HUP under `nohup`.
    let ignored = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let ignored = ignored.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    let ignored = ignored.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or(0);
    let heard = [("TERM", 15), ("HUP", 1), ("INT", 2)].into_iter().filter(|(_, nth)| ignored >> (nth - 1) & 1 == 0);
    for (signal, _) in heard {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mut child = start("copies", folder.path());
        let mut told = BufReader::new(child.stdout.take().expect("its output")).lines().map_while(Result::ok);
        assert!(told.any(|line| line == "keeps"), "it is ready");
        let sent = Command::new("kill").arg(format!("-{signal}")).arg(child.id().to_string()).status();
        assert!(sent.expect("kill").success(), "it is sent");
        let ended = child.wait().expect("it ends");
        assert!(!ended.success(), "as the signal ends it: {ended}");
        let found = recovery::find(folder.path()).found;
        let copy = &found.first().expect("a copy").copies[0];
        assert!(copy.text.contains("name: \"7\""), "{}", copy.text);
    }
}

#[test]
fn a_few_kills_lose_nothing() {
    kill_saves(15);
    kill_imports(6);
}

#[test]
#[ignore = "takes some minutes: see the head of main.rs"]
fn all_rounds_of_kills() {
    let left = kill_saves(400);
    let finished = kill_imports(200);
    let said = format!("saves killed 400 times: 0 lost, {left} temporary files left to be swept\n");
    writeln!(std::io::stderr(), "{said}imports killed 200 times: 0 lost, {finished} were done").expect("told");
}
