//! The window where saves fail, files are read-only, and two windows have one file.

use super::{library, number_at, numbered, save};
use barwright::app::{App, Setup};
use barwright::files::{Answer, FileDialogs, Question};
use barwright::recovery::{Copy, Recovery};
use barwright::safely::{Step, Watch};
use barwright_core::design::document;
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::fs;
use std::io;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, mpsc};
use std::time::{Duration, Instant};

struct Nobody;

impl FileDialogs for Nobody {
    fn ask(&mut self, _: &Question, _: Box<dyn Fn() + Send>) {}

    fn poll(&mut self) -> Option<Answer> {
        None
    }
}

type Window = Harness<'static, App>;

/// Where a window keeps what it shares with others and what it leaves.
#[derive(Default)]
struct Folders {
    preferences: Option<PathBuf>,
    recovery: Option<PathBuf>,
    locks: Option<PathBuf>,
}

fn window(paths: Vec<PathBuf>, recovery: Option<PathBuf>, watch: Watch) -> Window {
    window_with(paths, Folders { recovery, ..Folders::default() }, watch, Duration::from_mins(1))
}

fn window_with(paths: Vec<PathBuf>, folders: Folders, watch: Watch, patience: Duration) -> Window {
    let size = [1280.0, 720.0];
    let mut window = Harness::builder().with_size(size).with_max_steps(32).build_eframe(move |cc| {
        let setup = Setup {
            library: library(),
            paths,
            preferences: folders.preferences,
            recovery: folders.recovery,
            shelf: None,
            locks: folders.locks,
            folders: None,
            dialogs: Box::new(Nobody),
            watch,
            patience,
        };
        App::new(&cc.egui_ctx, setup)
    });
    window.run();
    window
}

/// A window that keeps its locks under `folder`, as all windows of one person do.
fn window_locking(paths: Vec<PathBuf>, folder: &Path) -> Window {
    let folders = Folders { locks: Some(folder.join("locks")), ..Folders::default() };
    window_with(paths, folders, Watch::default(), Duration::from_mins(1))
}

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

fn click(window: &mut Window, name: &str) {
    window.get_by_label(name).click();
    window.run();
}

fn press(window: &mut Window, key: Key) {
    window.key_press_modifiers(Modifiers::COMMAND, key);
    window.run();
}

/// Makes a change and saves it.
fn change_and_save(window: &mut Window, superfat: &str) {
    window.get_by_label("Superfat, percent").focus();
    window.run();
    window.get_by_label("Superfat, percent").type_text(superfat);
    window.run();
    window.key_press(Key::Enter);
    window.run();
    press(window, Key::S);
}

fn saved_design(folder: &Path) -> PathBuf {
    let path = folder.join("bar.barwright");
    save(&path, 1, &library(), &Watch::default()).expect("saved");
    path
}

#[test]
fn a_read_only_file_is_replaced_only_when_the_person_says_so() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = saved_design(folder.path());
    let before = fs::read(&path).expect("reads");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).expect("set");
    let mut window = window(vec![path.clone()], None, Watch::default());
    change_and_save(&mut window, "7");
    assert!(shows(&window, "This file is read-only"), "it is asked");
    click(&mut window, "Keep working");
    assert_eq!(fs::read(&path).expect("reads"), before, "nothing was done");
    assert!(window.state().active().is_unsaved(), "nor said to be");
    press(&mut window, Key::S);
    click(&mut window, "Replace it");
    assert!(shows(&window, "Saved bar.barwright"), "replaced");
    assert_ne!(fs::read(&path).expect("reads"), before);
    assert_eq!(fs::read(barwright::files::backup_path(&path)).expect("reads"), before, "and kept as the backup");
    assert!(!window.state().active().is_unsaved(), "saved");
}

/// The superfat in the file at `path`, in percent.
fn superfat(path: &Path) -> f64 {
    barwright::files::load(path, &library()).expect("a whole design").0.superfat.get()
}

#[test]
fn a_file_that_another_window_has_is_read_and_not_written_until_that_one_lets_go() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = saved_design(folder.path());
    let first = window_locking(vec![path.clone()], folder.path());
    let before = fs::read(&path).expect("reads");
    let mut second = window_locking(vec![path.clone()], folder.path());
    assert!(shows(&second, "is open in another window too"), "it is told at once");
    change_and_save(&mut second, "9");
    assert!(shows(&second, "This file is open in another window"), "and asked before it saves");
    assert_eq!(fs::read(&path).expect("reads"), before, "nothing is written");
    click(&mut second, "Try again");
    assert!(shows(&second, "This file is open in another window"), "not as long as the first has it");
    drop(first);
    click(&mut second, "Try again");
    assert!(shows(&second, "Saved bar.barwright") && !second.state().active().is_unsaved(), "then it is saved");
    assert!((superfat(&path) - 9.0).abs() < 1e-9, "with the change");
    // The lock went with the save, so a third one is kept out now.
    assert!(shows(&window_locking(vec![path], folder.path()), "is open in another window too"));
}

#[test]
fn what_the_first_window_saved_meanwhile_is_not_lost_once_it_lets_go() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = saved_design(folder.path());
    let [mut first, mut second] = [0, 1].map(|_| window_locking(vec![path.clone()], folder.path()));
    change_and_save(&mut first, "7");
    assert!(shows(&first, "Saved bar.barwright"), "it is the first one’s");
    press(&mut first, Key::W);
    change_and_save(&mut second, "9");
    assert!(shows(&second, "Another program changed this file"), "closed there, it is free, and not as it was read");
    assert!((superfat(&path) - 7.0).abs() < 1e-9, "nothing is replaced unasked");
}

#[test]
fn a_second_window_saves_nothing_over_a_file_of_the_first_and_begins_with_another_design() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = saved_design(folder.path());
    let preferences = folder.path().join("preferences.ron");
    let known = |paths| {
        let (preferences, locks) = (Some(preferences.clone()), Some(folder.path().join("locks")));
        let folders = Folders { preferences, locks, ..Folders::default() };
        window_with(paths, folders, Watch::default(), Duration::from_mins(1))
    };
    let first = known(vec![path.clone()]);
    let mut second = known(Vec::new());
    assert_eq!(second.state().active().path, None, "who starts a second one does not mean the same file");
    second.get_by_label("Superfat, percent").focus();
    second.run();
    second.get_by_label("Superfat, percent").type_text("9");
    second.run();
    second.key_press(Key::Enter);
    second.run();
    let before = fs::read(&path).expect("reads");
    click(&mut second, "File");
    click(&mut second, "Save by path…");
    press(&mut second, Key::A);
    second.get_by_label("Path of the file").type_text(&path.display().to_string());
    second.run();
    click(&mut second, "Save");
    click(&mut second, "Replace it");
    assert!(shows(&second, "This file is open in another window"), "it is asked");
    assert_eq!(fs::read(&path).expect("reads"), before, "nothing is written");
    drop((first, second));
    assert_eq!(known(Vec::new()).state().active().path, Some(path), "alone, it goes on with the last file");
}

#[test]
fn of_two_windows_on_one_file_the_second_is_asked_before_it_replaces_the_first_ones_work() {
    // Nothing keeps a second one out where no lock can be had.
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = saved_design(folder.path());
    let [mut first, mut second] = [0, 1].map(|_| window(vec![path.clone()], None, Watch::default()));
    change_and_save(&mut first, "7");
    assert!(shows(&first, "Saved bar.barwright"), "the first saves");
    let of_first = fs::read(&path).expect("reads");
    change_and_save(&mut second, "9");
    assert!(shows(&second, "Another program changed this file"), "the second is asked");
    assert_eq!(fs::read(&path).expect("reads"), of_first, "and has replaced nothing");
    click(&mut second, "Mine: replace the file");
    assert_eq!(fs::read(barwright::files::backup_path(&path)).expect("reads"), of_first, "what it replaced is kept");
}

#[test]
fn a_failed_save_is_told_and_the_design_stays_unsaved() {
    for step in Step::ALL {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = saved_design(folder.path());
        let fails = move |now| if now == step { Err(io::Error::other("told to fail")) } else { Ok(()) };
        let mut window = window(vec![path.clone()], None, Watch::new(fails));
        change_and_save(&mut window, "7");
        assert!(shows(&window, "told to fail"), "{step:?}: it is told");
        assert!(window.state().active().is_unsaved(), "{step:?}: and stays unsaved");
        assert_eq!(number_at(&path, &library()), Some(1), "{step:?}: there is a whole design");
    }
}

#[test]
fn many_copies_leave_the_buttons_in_sight() {
    let library = library();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let mut recovery = Recovery::start(folder.path()).expect("it starts");
    for key in 0..28 {
        let text = document::write(&numbered(key), &library).expect("text");
        recovery.keep(key, (1, 0), 0.0, || Box::new(move || Some(Copy { path: None, text })));
    }
    drop(recovery);
    let window = window(Vec::new(), Some(folder.path().to_owned()), Watch::default());
    assert!(shows(&window, "Unsaved work was found"), "it is offered");
    let sight = egui::Rect::from_min_size(egui::Pos2::ZERO, egui::vec2(1280.0, 720.0));
    for name in ["Open it", "Throw it away", "Ask next time"] {
        assert!(sight.contains_rect(window.get_by_label(name).rect()), "{name} is out of sight");
    }
}

/// Draws until `what` holds, for a disk that takes its time.
fn wait_for(window: &mut Window, what: impl Fn(&Window) -> bool) {
    let began = Instant::now();
    while !what(window) {
        assert!(began.elapsed() < Duration::from_mins(1), "it does not come");
        std::thread::sleep(Duration::from_millis(2));
        window.run();
    }
}

#[test]
fn a_slow_save_is_shown_while_work_goes_on_and_all_that_follows_keeps_its_order() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = saved_design(folder.path());
    let (go, wait) = mpsc::channel::<()>();
    let (at_disk, reached) = mpsc::channel();
    let wait = Mutex::new(wait);
    // The disk takes until it is told to go on.
    let slow = Watch::new(move |step| {
        if step == Step::Replace {
            at_disk.send(()).map_err(io::Error::other)?;
            wait.lock().expect("whole").recv_timeout(Duration::from_secs(20)).map_err(io::Error::other)?;
        }
        Ok(())
    });
    let mut window = window_with(vec![path.clone()], Folders::default(), slow, Duration::ZERO);
    change_and_save(&mut window, "7");
    reached.recv_timeout(Duration::from_mins(1)).expect("the first save is at the disk");
    assert!(shows(&window, "Saving…") && !shows(&window, "Saved bar"), "it is shown");
    // Work goes on; a second save and the end of the window wait for the first one.
    change_and_save(&mut window, "9");
    click(&mut window, "File");
    click(&mut window, "Quit");
    assert!(shows(&window, "The window closes once everything is written"), "the end waits");
    assert!(reached.try_recv().is_err(), "two saves are never at the disk at once");
    go.send(()).expect("the first goes on");
    let began = Instant::now();
    while (superfat(&path) - 7.0).abs() > 1e-9 {
        assert!(began.elapsed() < Duration::from_mins(1), "the first is not written");
        std::thread::sleep(Duration::from_millis(1));
    }
    go.send(()).expect("so may the second");
    wait_for(&mut window, |window| shows(window, "Saved bar.barwright") && !window.state().active().is_unsaved());
    assert!((superfat(&path) - 9.0).abs() < 1e-9, "the second came last");
    assert!((superfat(&barwright::files::backup_path(&path)) - 7.0).abs() < 1e-9, "after the first");
    assert!(!shows(&window, "Saving…"), "nothing is under way");
}

#[test]
fn what_is_opened_comes_when_it_is_read_and_the_window_does_not_wait_for_it() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = saved_design(folder.path());
    let other = folder.path().join("other.barwright");
    save(&other, 2, &library(), &Watch::default()).expect("saved");
    let mut window = window_with(vec![path], Folders::default(), Watch::default(), Duration::ZERO);
    click(&mut window, "File");
    click(&mut window, "Open by path…");
    window.get_by_label("Path of the file").type_text(&other.display().to_string());
    window.run();
    click(&mut window, "Open");
    wait_for(&mut window, |window| window.state().active().path.as_ref() == Some(&other));
    assert_eq!(window.state().active().title(), "2", "it is the one that was asked for");
    assert_eq!(window.state().designs().len(), 2, "beside the first");
}

#[test]
fn a_slow_save_that_fails_is_told_and_keeps_the_window_open() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = saved_design(folder.path());
    let (go, wait) = mpsc::channel::<()>();
    let wait = Mutex::new(wait);
    let slow = Watch::new(move |_| {
        let waited = wait.lock().expect("whole").recv_timeout(Duration::from_secs(20));
        Err(io::Error::other(format!("told to fail {waited:?}")))
    });
    let mut window = window_with(vec![path.clone()], Folders::default(), slow, Duration::ZERO);
    change_and_save(&mut window, "7");
    click(&mut window, "File");
    click(&mut window, "Quit");
    go.send(()).expect("it waits");
    wait_for(&mut window, |window| shows(window, "told to fail"));
    assert!(window.state().active().is_unsaved() && !shows(&window, "Saving…"), "unsaved, and nothing under way");
    assert_eq!(number_at(&path, &library()), Some(1), "the old design is there");
}
