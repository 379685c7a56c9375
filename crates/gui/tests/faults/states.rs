//! Files of the program’s own that are huge, nested, no text, links in a circle, pipes, devices or folders.

use super::library;
use barwright::preferences::{self, Preferences};
use barwright::recovery;
use barwright::shelf::ShelfKeeper;
use std::fs::{self, File};
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;
use std::sync::mpsc;
use std::time::Duration;

/// Every kind of thing that can be where a file should be.
const KINDS: [&str; 8] = ["pipe", "device", "full device", "folder", "circle", "huge", "nested", "no text"];

fn make(kind: &str, at: &Path) {
    match kind {
        "pipe" => assert!(Command::new("mkfifo").arg(at).status().expect("mkfifo").success(), "a pipe"),
        "device" => symlink("/dev/zero", at).expect("linked"),
        "full device" => symlink("/dev/full", at).expect("linked"),
        "folder" => fs::create_dir(at).expect("made"),
        "circle" => symlink(at.file_name().expect("a name"), at).expect("linked"),
        "huge" => File::create(at).and_then(|f| f.set_len(1 << 42)).expect("a file with a hole"),
        "nested" => fs::write(at, "(recent: ".repeat(100_000)).expect("writes"),
        _ => fs::write(at, b"\xff\xfe\0").expect("writes"),
    }
}

/// Runs `what`, and fails if it takes long: a pipe would wait for ever.
fn soon<T: Send + 'static>(kind: &str, what: impl FnOnce() -> T + Send + 'static) -> T {
    let (tell, told) = mpsc::channel();
    std::thread::spawn(move || tell.send(what()));
    told.recv_timeout(Duration::from_mins(1)).unwrap_or_else(|_| panic!("{kind}: it hangs or panicked"))
}

#[test]
fn preferences_and_the_place_of_the_window_are_read_or_put_aside() {
    for kind in KINDS {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("preferences.ron");
        make(kind, &path);
        let at = path.clone();
        let (read, aside) = soon(kind, move || Preferences::load(&at));
        assert_eq!(read, Preferences::default(), "{kind}");
        assert!(fs::symlink_metadata(aside.expect(kind)).is_ok(), "{kind} is kept");
        read.save(&path).unwrap_or_else(|error| panic!("{kind}: {error}"));
        let window = folder.path().join("window.ron");
        make(kind, &window);
        let at = window.clone();
        soon(kind, move || preferences::check_window(&at));
        // What is left is read by the toolkit: a bounded file.
        assert!(fs::metadata(&window).map_or(true, |about| about.is_file() && about.len() < 2 << 20), "{kind}");
    }
}

#[test]
fn copies_and_their_locks_are_read_or_put_aside() {
    for kind in KINDS {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let left = folder.path().join("1-0");
        fs::create_dir(&left).expect("made");
        fs::write(left.join("lock"), "").expect("writes");
        make(kind, &left.join("000001.ron"));
        fs::write(left.join("000002.ron"), "(path:None,text:\"whole\")").expect("writes");
        // A lock that is none belongs to nobody.
        let odd = folder.path().join("2-0");
        fs::create_dir(&odd).expect("made");
        make(kind, &odd.join("lock"));
        // And something else where folders of windows are.
        make(kind, &folder.path().join("3-0"));
        let at = folder.path().to_owned();
        let remains = soon(kind, move || recovery::find(&at));
        assert_eq!(remains.found.len(), 1, "{kind}");
        assert_eq!(remains.found[0].copies[0].text, "whole", "{kind}");
        assert_eq!(remains.unreadable.len(), 1, "{kind}");
        assert!(fs::symlink_metadata(&remains.unreadable[0]).is_ok(), "{kind} is kept");
        recovery::Recovery::start(folder.path()).expect("a new window starts").end();
    }
}

#[test]
fn a_shelf_or_a_lock_that_is_none_is_told_and_left_alone() {
    for kind in KINDS {
        for file in ["shelf.ron", "shelf.lock"] {
            let folder = tempfile::tempdir().expect("a temporary folder");
            make(kind, &folder.path().join(file));
            let at = folder.path().to_owned();
            let refused = soon(kind, move || {
                let library = library();
                let mut keeper = ShelfKeeper::open(Some(&at), &library);
                keeper.change(super::saves::put(1.0), &library).err().map(|error| error.to_string())
            });
            // Whatever is in a regular file, it can be locked.
            let is_lock = file == "shelf.lock" && matches!(kind, "huge" | "nested" | "no text");
            assert_eq!(refused.is_none(), is_lock, "{kind} as {file}: {refused:?}");
            assert!(fs::symlink_metadata(folder.path().join(file)).is_ok(), "{kind} stays");
        }
    }
}
