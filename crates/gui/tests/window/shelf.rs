//! The designs of a folder.

use super::{Answers, Window, example, press, shows, window_keeping, window_with};
use barwright::app::{App, Setup};
use barwright::files::{self, Answer, Over};
use barwright::lock::Locks;
use barwright::safely::Watch;
use barwright_core::Library;
use barwright_core::design::document::Document;
use barwright_core::design::log::{Batch, BatchCode};
use barwright_core::design::words::{Day, Line};
use barwright_core::library::estimates::Estimate;
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

const SEARCH: &str = "Find by name, style or file";

/// A folder with three examples and a file that is no design.
fn designs() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for name in ["apple-oat-loaf.barwright", "orchard-olive.barwright", "winter-tallow.barwright"] {
        std::fs::copy(example(name), folder.path().join(name)).expect("copies");
    }
    std::fs::write(folder.path().join("broken.barwright"), "(barwright: 1, fats: [(fat: \"no").expect("writes");
    std::fs::write(folder.path().join("notes.txt"), "no design").expect("writes");
    std::fs::create_dir(folder.path().join("within.barwright")).expect("a folder");
    folder
}

fn window_of(folder: &Path, answers: Vec<Answer>) -> Window {
    let path = folder.join("apple-oat-loaf.barwright");
    window_with(vec![path], answers, [1280.0, 800.0], egui::Theme::Light)
}

/// Runs until what is said stands in the window; it is read on another thread.
fn wait_for(window: &mut Window, text: &str) {
    let began = Instant::now();
    while !shows(window, text) {
        assert!(began.elapsed() < Duration::from_secs(20), "{text} is not shown");
        std::thread::sleep(Duration::from_millis(5));
        window.run();
    }
}

fn open_shelf(window: &mut Window) {
    press(window, Modifiers::COMMAND, Key::Num6);
    wait_for(window, "4 files, 1 not read");
}

fn search(window: &mut Window, text: &str) {
    window.get_by_label(SEARCH).focus();
    window.run();
    press(window, Modifiers::COMMAND, Key::A);
    window.get_by_label(SEARCH).type_text(text);
    window.run();
}

/// The rows from the top down, by the first words of what they say.
fn rows(window: &Window) -> Vec<String> {
    let says = |text: &str| [", no Stop,", ", not read:"].iter().any(|part| text.contains(part));
    let all = window.query_all_by_label_contains(", ").filter(|node| {
        let node = node.accesskit_node();
        node.role() == egui::accesskit::Role::Button && node.label().is_some_and(|label| says(&label))
    });
    let mut all: Vec<_> = all
        .map(|node| {
            let label = node.accesskit_node().label().unwrap_or_default();
            (node.rect().top(), label.split(',').next().unwrap_or_default().to_owned())
        })
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.into_iter().map(|(_, name)| name).collect()
}

fn titles(window: &Window) -> Vec<String> {
    window.state().designs().iter().map(barwright::open::OpenDesign::title).collect()
}

#[test]
fn the_folder_of_the_design_in_hand_is_listed_searched_and_opened_from() {
    let folder = designs();
    let mut window = window_of(folder.path(), Vec::new());
    open_shelf(&mut window);
    assert_eq!(rows(&window), ["Apple oat loaf", "Orchard olive", "Winter tallow", "broken.barwright"]);
    assert!(window.get_by_label(SEARCH).is_focused(), "one types at once");
    search(&mut window, "tal win");
    assert_eq!(rows(&window), ["Winter tallow"], "words in any order");
    assert!(shows(&window, "1 of 4 files"));
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(window.state().active().title(), "Winter tallow");
    assert!(shows(&window, "Superfat"), "the Design view shows it");
    press(&mut window, Modifiers::COMMAND, Key::Num6);
    search(&mut window, "nothing like it");
    assert!(shows(&window, "try another word"), "said, not blank");
}

#[test]
fn a_design_that_is_opened_to_compare_keeps_its_batches() {
    let library = Library::embedded().expect("assets parse");
    let folder = designs();
    let path = folder.path().join("winter-tallow.barwright");
    let (Document { design, mut log }, _) = files::open(&path, &library).expect("an example");
    let code = BatchCode::of(Day::try_from("2026-11-28".to_owned()).expect("a day"), 0);
    log.begin(Batch::new(code, Line::default(), Arc::new(design.clone()))).expect("the first one");
    files::save(&path, &design, &log, &library, Over::Writable, &Watch::default()).expect("saved");
    let mut window = window_of(folder.path(), Vec::new());
    open_shelf(&mut window);
    search(&mut window, "tal win");
    window.get_by_label("Compare with this one").click();
    window.run();
    let other = window.state().designs().iter().find(|open| open.path.as_ref() == Some(&path)).expect("it is open");
    assert_eq!(**other.log(), log, "a save would write them again");
}

#[test]
fn a_score_stands_in_the_list_as_coarse_as_in_its_design() {
    let folder = designs();
    let mut window = window_of(folder.path(), Vec::new());
    let shown = |window: &Window, name: &str, estimate: Estimate| {
        let says = format!("{} ≈", estimate.name());
        let found = window.query_all_by_label_contains(name).find_map(|node| {
            let label = node.accesskit_node().label()?;
            Some(label[label.to_lowercase().find(&says.to_lowercase())?..].split(',').next()?.to_lowercase())
        });
        found.unwrap_or_else(|| panic!("{} is not told", estimate.name()))
    };
    let coarse: Vec<Estimate> = Estimate::ALL.into_iter().filter(|estimate| estimate.is_coarse()).collect();
    let in_design: Vec<String> = coarse.iter().map(|e| shown(&window, e.name(), *e)).collect();
    open_shelf(&mut window);
    for (estimate, told) in coarse.iter().zip(in_design) {
        let listed = shown(&window, "Apple oat loaf,", *estimate);
        assert!(told.starts_with(&listed) || listed.starts_with(&told), "{told} and {listed}");
    }
    assert!(!coarse.is_empty(), "some are");
}

#[test]
fn good_news_moves_nothing() {
    let folder = designs();
    let mut window = window_of(folder.path(), Vec::new());
    open_shelf(&mut window);
    let place = |window: &Window| window.get_by_label_contains("Choose a design: Enter").rect();
    let before = place(&window);
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    assert!(shows(&window, "Not saved"), "it is said");
    assert_eq!(place(&window), before, "and the page stays as it was");
}

#[test]
fn the_arrow_keys_go_through_the_list_and_enter_opens() {
    let folder = designs();
    let mut window = window_of(folder.path(), Vec::new());
    open_shelf(&mut window);
    press(&mut window, Modifiers::NONE, Key::ArrowDown);
    press(&mut window, Modifiers::NONE, Key::ArrowDown);
    assert!(shows(&window, "Orchard olive – orchard-olive.barwright"), "the second is told of");
    // Tab reaches the row that is chosen, and the arrow keys go on from it.
    let at = |window: &Window, name: &str| window.query_all_by_label_contains(name).any(|node| node.is_focused());
    for _ in 0..24 {
        if !at(&window, "Orchard olive, olive") {
            press(&mut window, Modifiers::NONE, Key::Tab);
        }
    }
    assert!(at(&window, "Orchard olive, olive"), "Tab reaches the row");
    press(&mut window, Modifiers::NONE, Key::ArrowDown);
    assert!(at(&window, "Winter tallow, milled toilet"), "the focus goes along");
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(window.state().active().title(), "Winter tallow");
}

#[test]
fn a_broken_file_is_shown_with_its_reason_and_opens_nothing() {
    let folder = designs();
    let mut window = window_of(folder.path(), Vec::new());
    open_shelf(&mut window);
    search(&mut window, "broken");
    assert!(shows(&window, "broken.barwright, not read: line 1, column"), "with its place");
    assert!(shows(&window, "It was not read, and nothing in it was changed"));
    assert!(window.query_by_label("Open").is_none(), "there is nothing to open");
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(titles(&window), ["Apple oat loaf"], "nothing is opened");
    assert!(shows(&window, "broken.barwright, not read"), "the list stays");
    // Once it is mended, a second look reads it.
    std::fs::copy(example("cellar-scrub.barwright"), folder.path().join("broken.barwright")).expect("copies");
    window.get_by_label("Look again").click();
    window.run();
    wait_for(&mut window, "Cellar scrub");
}

#[test]
fn a_click_on_a_head_sorts_and_again_the_other_way() {
    let folder = designs();
    let mut window = window_of(folder.path(), Vec::new());
    open_shelf(&mut window);
    window.get_by_label("Sort by hardness").click();
    window.run();
    let by_hardness = rows(&window);
    assert_eq!(by_hardness.last().map(String::as_str), Some("broken.barwright"), "what is not known stands last");
    window.get_by_label("Sort by hardness").click();
    window.run();
    let mut turned = rows(&window);
    assert_eq!(turned.pop().as_deref(), Some("broken.barwright"), "either way");
    turned.reverse();
    assert_eq!(turned, by_hardness[..3], "the other way");
}

#[test]
fn a_design_is_compared_with_the_one_in_hand() {
    let folder = designs();
    let mut window = window_of(folder.path(), Vec::new());
    open_shelf(&mut window);
    search(&mut window, "olive");
    window.get_by_label("Compare with this one").click();
    window.run();
    assert_eq!(titles(&window), ["Apple oat loaf", "Orchard olive"]);
    assert_eq!(window.state().active().title(), "Apple oat loaf", "the one in hand stays");
    assert!(!shows(&window, "Look again") && shows(&window, "Orchard olive"), "in Compare");
}

#[test]
fn of_two_that_are_compared_the_one_that_another_window_has_is_marked() {
    let (folder, state) = (designs(), tempfile::tempdir().expect("a temporary folder"));
    let locks = Some(state.path().join("locks"));
    let mut other_window = Locks::under(locks.clone());
    assert!(other_window.take(&folder.path().join("orchard-olive.barwright")), "it is the first");
    let path = folder.path().join("apple-oat-loaf.barwright");
    let mut window = window_keeping([None, None, locks], vec![path], Vec::new(), [1280.0, 800.0], egui::Theme::Light);
    open_shelf(&mut window);
    search(&mut window, "olive");
    window.get_by_label("Compare with this one").click();
    window.run();
    assert_eq!(window.state().designs().iter().map(|open| open.elsewhere).collect::<Vec<_>>(), [false, true]);
    assert!(shows(&window, "orchard-olive.barwright is open in another window too"), "said");
}

#[test]
fn the_folder_is_chosen_and_remembered() {
    let (folder, home) = (designs(), tempfile::tempdir().expect("a temporary folder"));
    let start = |answers: Vec<Answer>| {
        let (preferences, cache) = (home.path().join("preferences.ron"), home.path().join("folders"));
        let mut window = Harness::builder().with_size([1280.0, 800.0]).with_max_steps(32).build_eframe(move |cc| {
            let setup = Setup {
                library: Library::embedded().expect("assets parse"),
                paths: Vec::new(),
                preferences: Some(preferences),
                recovery: None,
                shelf: None,
                locks: None,
                folders: Some(cache),
                dialogs: Box::new(Answers(answers.into(), None)),
                watch: Watch::default(),
                patience: std::time::Duration::from_mins(1),
            };
            App::new(&cc.egui_ctx, setup)
        });
        window.run();
        window
    };
    let mut window = start(vec![Answer::Path(folder.path().to_owned()), Answer::Unavailable]);
    press(&mut window, Modifiers::COMMAND, Key::Num6);
    assert!(shows(&window, "Where are your designs?"), "the starter is in no folder");
    window.get_by_label("Choose a folder…").click();
    window.run();
    wait_for(&mut window, "4 files, 1 not read");
    // Without a file window the path is typed; what is no folder is told where it can be corrected.
    window.get_by_label("Choose a folder…").click();
    window.run();
    let field = window.get_by_label("Path of the file");
    field.type_text("/no/such/folder");
    window.run();
    window.get_by_label("Show").click();
    window.run();
    assert!(shows(&window, "there is no folder"), "told");
    press(&mut window, Modifiers::NONE, Key::Escape);
    drop(window);
    let mut again = start(Vec::new());
    press(&mut again, Modifiers::COMMAND, Key::Num6);
    wait_for(&mut again, "4 files, 1 not read");
}

#[test]
fn a_folder_that_is_gone_is_told_of() {
    let folder = designs();
    let mut window = window_of(folder.path(), Vec::new());
    open_shelf(&mut window);
    let gone: PathBuf = folder.path().to_owned();
    drop(folder);
    window.get_by_label("Look again").click();
    window.run();
    wait_for(&mut window, "could not be read");
    assert!(!gone.exists() && rows(&window).is_empty());
}
