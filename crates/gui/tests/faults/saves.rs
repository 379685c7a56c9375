//! A save that fails or dies at each of its steps.

use super::{library, number_at, save, start, temporaries};
use barwright::files::{self, FileError, Over, backup_path};
use barwright::safely::{Doubt, Step, Watch, sweep};
use barwright::shelf::{FILE, KeepError, ShelfKeeper};
use barwright_core::design::log::LotId;
use barwright_core::design::shelf::{Lot, ShelfEdit, Stuff};
use barwright_core::units::AmountMass;
use std::io;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, SystemTime};

/// Fails at `at`.
fn failing(at: Step) -> Watch {
    Watch::new(move |step| if step == at { Err(io::Error::other("told to fail")) } else { Ok(()) })
}

/// A lot that weighs this much, so that two differ.
pub(super) fn put(grams: f64) -> Vec<ShelfEdit> {
    vec![ShelfEdit::Put(Box::new(Lot::new(LotId(0), Stuff::SodiumHydroxide, AmountMass::nearest(grams))))]
}

#[test]
fn a_save_that_fails_leaves_the_file_and_its_backup_or_says_what_is_in_place() {
    let library = library();
    for step in Step::ALL {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("bar.barwright");
        for number in [1, 2] {
            save(&path, number, &library, &Watch::default()).expect("saved");
        }
        let error = save(&path, 3, &library, &failing(step)).expect_err("told to fail");
        let found = (number_at(&path, &library), number_at(&backup_path(&path), &library));
        let said = error.to_string();
        match step {
            Step::Create | Step::Write | Step::Sync | Step::CopyOld | Step::Replace => {
                assert!(said.contains("Nothing there was changed"), "{step:?}: {said}");
                assert_eq!(found, (Some(2), Some(1)), "{step:?}");
            }
            Step::KeepOld => {
                assert!(matches!(error, FileError::InPlace { doubt: Doubt::NoBackup(_), .. }), "{said}");
                assert_eq!(found, (Some(3), Some(1)));
            }
            Step::SyncFolder => {
                assert!(said.contains("is written") && said.contains("power cut"), "{said}");
                assert_eq!(found, (Some(3), Some(2)));
            }
        }
        assert!(temporaries(folder.path()).is_empty(), "{step:?} leaves nothing");
        // Once more, and it is saved and told so, also where the content is there already.
        save(&path, 3, &library, &Watch::default()).expect("the disk is well again");
        assert_eq!(number_at(&path, &library), Some(3));
    }
}

#[test]
fn a_file_that_is_in_place_is_not_called_saved_until_the_disk_says_so() {
    let library = library();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    for _ in 0..2 {
        let error = save(&path, 1, &library, &failing(Step::SyncFolder)).expect_err("the disk does not say so");
        assert!(matches!(error, FileError::InPlace { doubt: Doubt::NotSynced(_), .. }), "{error}");
    }
    save(&path, 1, &library, &Watch::default()).expect("it does now");
}

/// Saves 3 over 2 and dies before the step called `step`, as by a kill.
pub(super) fn die_at(step: &str, folder: &Path) {
    let step = Step::ALL.into_iter().find(|s| format!("{s:?}") == step).expect("a step");
    let dies = Watch::new(move |now| if now == step { std::process::exit(9) } else { Ok(()) });
    save(&folder.join("bar.barwright"), 3, &library(), &dies).expect("it dies before that");
}

#[test]
fn a_save_that_dies_leaves_a_whole_file_and_what_it_leaves_beside_it_is_swept() {
    let library = library();
    for step in Step::ALL {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("bar.barwright");
        for number in [1, 2] {
            save(&path, number, &library, &Watch::default()).expect("saved");
        }
        let ended = start(&format!("dies {step:?}"), folder.path()).wait_with_output().expect("it ends");
        assert_eq!(ended.status.code(), Some(9), "{step:?}: it died there");
        let found = (number_at(&path, &library), number_at(&backup_path(&path), &library));
        let expected = match step {
            Step::Create | Step::Write | Step::Sync | Step::CopyOld | Step::Replace => (Some(2), Some(1)),
            Step::KeepOld => (Some(3), Some(1)),
            Step::SyncFolder => (Some(3), Some(2)),
        };
        assert_eq!(found, expected, "{step:?}");
        let left = temporaries(folder.path());
        assert_eq!(left.is_empty(), matches!(step, Step::Create | Step::SyncFolder), "{step:?}: {left:?}");
        sweep(folder.path());
        assert_eq!(temporaries(folder.path()), left, "another window may be writing it");
        let long_ago = SystemTime::now() - Duration::from_hours(2);
        for file in &left {
            std::fs::File::options().write(true).open(file).and_then(|f| f.set_modified(long_ago)).expect("aged");
        }
        save(&path, 4, &library, &Watch::default()).expect("saved");
        assert!(temporaries(folder.path()).is_empty(), "{step:?}: swept by the next save");
    }
}

#[test]
fn a_shelf_that_cannot_be_written_is_as_it_was_in_the_window_and_in_its_file() {
    let library = library();
    for step in Step::ALL {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let failures = Arc::new(AtomicUsize::new(0));
        let armed = Arc::clone(&failures);
        let watch = Watch::new(move |now| {
            let fails = now == step && armed.load(Ordering::Relaxed) > 0;
            if fails {
                armed.fetch_sub(1, Ordering::Relaxed);
            }
            if fails { Err(io::Error::other("told to fail")) } else { Ok(()) }
        });
        let mut keeper = ShelfKeeper::open(Some(folder.path()), &library).watched(watch);
        keeper.change(put(1.0), &library).expect("well");
        failures.store(1, Ordering::Relaxed);
        let error = keeper.change(put(2.0), &library).expect_err("told to fail");
        let in_file = files::load_shelf(&folder.path().join(FILE), &library).expect("a shelf").0;
        assert_eq!(**keeper.shelf(), in_file, "{step:?}: the window shows what is in the file");
        let is_in_place = matches!(error, KeepError::File(FileError::InPlace { .. }));
        assert_eq!(in_file.lots.len(), 1 + usize::from(is_in_place), "{step:?}: {error}");
        keeper.change(put(3.0), &library).expect("well again");
        assert_eq!(keeper.shelf().lots.len(), 2 + usize::from(is_in_place));
    }
}

#[test]
fn changes_of_the_shelf_that_follow_one_that_failed_lose_nothing_that_was_in_the_file() {
    let library = library();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let fails_once = AtomicUsize::new(0);
    let watch = Watch::new(move |step| {
        let nth = fails_once.fetch_add(usize::from(step == Step::Replace), Ordering::Relaxed);
        if step == Step::Replace && nth == 1 { Err(io::Error::other("told to fail")) } else { Ok(()) }
    });
    let mut keeper = ShelfKeeper::open(Some(folder.path()), &library).watched(watch);
    keeper.change(put(1.0), &library).expect("well");
    // Two are on their way when the first of them fails: the second rests on it, and is not written either.
    let writes = [2.0, 3.0].map(|grams| keeper.stage(put(grams), &library).expect("a change").expect("to be written"));
    assert_eq!(keeper.shelf().lots.len(), 3, "shown at once");
    for write in writes {
        keeper.settle(write.run(), &library).expect_err("neither");
    }
    assert_eq!(keeper.shelf().lots.len(), 1, "taken back");
    keeper.change(put(4.0), &library).expect("well again");
    let in_file = files::load_shelf(&folder.path().join(FILE), &library).expect("a shelf").0;
    assert_eq!((in_file.lots.len(), &in_file), (2, &**keeper.shelf()));
}

#[test]
fn what_another_program_wrote_meanwhile_is_not_replaced() {
    let library = library();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    save(&path, 1, &library, &Watch::default()).expect("saved");
    let known = Over::Known(files::Fingerprint::of_file(&path));
    save(&path, 2, &library, &Watch::default()).expect("the other one");
    let error = files::write_text(&path, "ours", known, &Watch::default()).expect_err("it is not what we know");
    assert!(matches!(error, FileError::Changed { .. }), "{error}");
    assert_eq!(number_at(&path, &library), Some(2));
    std::fs::remove_file(&path).expect("gone");
    files::write_text(&path, "ours", known, &Watch::default()).expect("what is gone is written anew");
}
