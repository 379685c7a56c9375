//! The first minute: help, an empty design, dates, dialogs, dropped and recent files.

use super::{
    Answers, Window, design, evaluation, example, press, shows, tall_window, type_into, window, window_keeping,
    window_with,
};
use barwright::app::{App, Setup};
use barwright::clock;
use barwright::command::Command;
use barwright::files::Answer;
use barwright::open::OpenDesign;
use barwright::preferences::Preferences;
use barwright::safely::Watch;
use barwright_core::Library;
use barwright_core::cautions::ALWAYS;
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn click(window: &mut Window, name: &str) {
    window.get_by_label(name).click();
    window.run();
}

fn quit(window: &mut Window) {
    click(window, "File");
    click(window, "Quit");
}

/// Whether the control called `name` lies wholly inside the window.
fn is_in_sight(window: &Window, name: &str, size: [f32; 2]) -> bool {
    let all = egui::Rect::from_min_size(egui::Pos2::ZERO, size.into());
    window.query_all_by_label(name).any(|node| all.contains_rect(node.rect()))
}

// Help.

#[test]
fn help_opens_over_any_view_and_goes_back_to_it() {
    for theme in [egui::Theme::Light, egui::Theme::Dark] {
        let mut window = window_with(Vec::new(), Vec::new(), [1280.0, 720.0], theme);
        press(&mut window, Modifiers::COMMAND, Key::Num4);
        let back = |window: &mut Window, how: &str| {
            assert!(!shows(window, "Where files lie") && shows(window, "Schedule"), "{how} goes back to Make");
            press(window, Modifiers::NONE, Key::F1);
            assert!(shows(window, "Where files lie"), "F1 shows it");
        };
        back(&mut window, "nothing yet");
        press(&mut window, Modifiers::NONE, Key::F1);
        back(&mut window, "F1");
        press(&mut window, Modifiers::NONE, Key::Escape);
        back(&mut window, "Esc");
        click(&mut window, "Back");
        back(&mut window, "the button");
        // From page to page, the view under them stays.
        press(&mut window, Modifiers::COMMAND, Key::T);
        assert!(shows(&window, "Likely causes"), "Troubles");
        press(&mut window, Modifiers::NONE, Key::F1);
        press(&mut window, Modifiers::NONE, Key::Escape);
        back(&mut window, "from Troubles");
    }
}

#[test]
fn help_tells_every_key_where_files_lie_and_what_is_never_to_be_forgotten() {
    let mut window = window();
    press(&mut window, Modifiers::NONE, Key::F1);
    for command in Command::ALL {
        if let Some(keys) = command.shortcut() {
            let keys = window.ctx.format_shortcut(&keys);
            assert!(window.query_all_by_label(&keys).next().is_some(), "{keys} of {command:?} is not told");
            assert!(shows(&window, command.tip()), "nor what it does");
        }
    }
    for view in [Command::ShowDesign, Command::ShowCompare, Command::ShowFind, Command::ShowMake, Command::ShowTroubles]
    {
        assert!(window.query_all_by_label(view.text()).next().is_some(), "{view:?}");
    }
    let paths = [barwright::preferences::window_path(), barwright::files::page_for_browser()];
    for path in paths.into_iter().flatten() {
        assert!(shows(&window, &path.display().to_string()), "{} is not told", path.display());
    }
    for text in ["Wayland", "MIT licence", "SIL Open Font License", "2 lb 3 oz", "Click a number"] {
        assert!(shows(&window, text), "{text} is not told");
    }
    for line in ALWAYS {
        assert!(shows(&window, line), "{line}");
    }
    window.get_by_label("Text of the MIT licence").scroll_to_me();
    window.run();
    click(&mut window, "Text of the MIT licence");
    assert!(shows(&window, "THE SOFTWARE IS PROVIDED"), "the whole text");
}

// Dates.

#[test]
fn a_day_is_typed_as_people_write_it() {
    let mut window = tall_window();
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    let made = |window: &Window| design(window).process.made_on;
    for (text, day) in [
        ("28 Nov 2026", "2026-11-28"),
        ("Nov 27 2026", "2026-11-27"),
        ("26.11.2026", "2026-11-26"),
        ("5/11/2026", "2026-11-05"),
        ("2026-11-24", "2026-11-24"),
    ] {
        type_into(&mut window, "Day of making", text);
        assert_eq!(made(&window).as_deref(), Some(day), "{text}");
    }
    assert!(window.get_by_label("Day of making").accesskit_node().value().is_some_and(|v| v == "24 Nov 2026"));
    let before = clock::today();
    type_into(&mut window, "Day of making", "today");
    let typed = made(&window);
    assert!([before, clock::today()].iter().any(|day| typed == Some(day.to_string())), "{typed:?}");
    // The order of the region.
    click(&mut window, "View");
    click(&mut window, "Where bars are sold");
    click(&mut window, "United States");
    press(&mut window, Modifiers::NONE, Key::Escape);
    press(&mut window, Modifiers::NONE, Key::Escape);
    type_into(&mut window, "Day of making", "11/5/2026");
    assert_eq!(made(&window).as_deref(), Some("2026-11-05"), "month first");
    type_into(&mut window, "Day of making", "28/11/2026");
    assert!(shows(&window, "is no day; write today, tomorrow, Nov 28"), "the other order is refused, not guessed");
}

#[test]
fn the_calendar_is_used_with_the_pointer_and_with_the_keyboard_alone() {
    let mut window = tall_window();
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    type_into(&mut window, "Day of making", "2026-11-28");
    let made = |window: &Window| design(window).process.made_on;
    let button = "Calendar for the day of making";
    click(&mut window, button);
    assert!(shows(&window, "November 2026"), "it opens at the day");
    click(&mut window, "The next month");
    click(&mut window, "Thursday 3 December 2026");
    assert_eq!(made(&window).as_deref(), Some("2026-12-03"));
    assert!(!shows(&window, "December 2026") || !shows(&window, "Arrows and Page keys"), "it closes");
    // Without a mouse: Enter opens, the arrows walk, Enter takes.
    window.get_by_label(button).focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(window.get_by_label("Thursday 3 December 2026").is_focused(), "the day has the focus");
    press(&mut window, Modifiers::NONE, Key::ArrowDown);
    press(&mut window, Modifiers::NONE, Key::ArrowLeft);
    assert!(window.get_by_label("Wednesday 9 December 2026").is_focused(), "a week on, a day back");
    press(&mut window, Modifiers::NONE, Key::PageUp);
    assert!(window.get_by_label("Monday 9 November 2026").is_focused(), "a month back");
    // Across the end of a month, into days that were in sight already.
    for _ in 0..4 {
        press(&mut window, Modifiers::NONE, Key::ArrowDown);
    }
    assert!(window.get_by_label("Monday 7 December 2026").is_focused(), "into December");
    press(&mut window, Modifiers::NONE, Key::PageUp);
    press(&mut window, Modifiers::NONE, Key::ArrowRight);
    press(&mut window, Modifiers::NONE, Key::ArrowRight);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(made(&window).as_deref(), Some("2026-11-09"));
    assert!(window.get_by_label(button).is_focused(), "the hand is where it was");
    press(&mut window, Modifiers::NONE, Key::Enter);
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert!(!shows(&window, "Arrows and Page keys"), "Esc closes it");
    assert_eq!(made(&window).as_deref(), Some("2026-11-09"), "and changes nothing");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(made(&window).as_deref(), Some("2026-12-03"), "a choice is a step that can be undone");
}

// Dialogs.

#[test]
fn enter_takes_the_default_button_and_esc_keeps_working() {
    let mut window = window();
    type_into(&mut window, "Superfat, percent", "7");
    press(&mut window, Modifiers::COMMAND, Key::W);
    assert!(window.get_all_by_label("Save").any(|node| node.is_focused()), "the default has the focus");
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert!(!shows(&window, "Save “"), "Esc puts it away");
    assert!((design(&window).superfat.get() - 7.0).abs() < 1e-12, "and loses nothing");
    press(&mut window, Modifiers::COMMAND, Key::W);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(shows(&window, "Not saved"), "Enter saves: the file window was asked, and put away");
    assert_eq!(window.state().designs().len(), 1, "the design is still there");
}

#[test]
fn save_all_writes_each_design_and_closes() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let [known, new] = ["known.barwright", "new.barwright"].map(|name| folder.path().join(name));
    std::fs::copy(example("carrot-slab.barwright"), &known).expect("copied");
    let answers = vec![Answer::Path(new.clone())];
    let mut window = window_with(vec![known.clone()], answers, [1280.0, 800.0], egui::Theme::Light);
    type_into(&mut window, "Superfat, percent", "7");
    press(&mut window, Modifiers::COMMAND, Key::D);
    quit(&mut window);
    assert!(shows(&window, "Save 2 designs?"), "both are unsaved");
    assert!(window.get_by_label("Save all").is_focused(), "the default");
    press(&mut window, Modifiers::NONE, Key::Enter);
    window.run();
    let library = Library::embedded().expect("assets parse");
    for path in [&known, &new] {
        let (saved, _) = barwright::files::load(path, &library).expect("written");
        assert!((saved.superfat.get() - 7.0).abs() < 1e-12, "{}", path.display());
    }
    assert!(window.state().designs().iter().all(|open| !open.would_lose()), "nothing is unsaved");
}

#[test]
fn a_dialog_is_as_tall_as_what_is_in_it() {
    let mut window = window();
    for lines in 2..=6_u8 {
        press(&mut window, Modifiers::COMMAND, Key::D);
        if lines == 2 {
            press(&mut window, Modifiers::COMMAND, Key::D);
        }
        quit(&mut window);
        let head = window.get_by_label(&format!("Save {lines} designs?")).rect();
        let foot = window.get_by_label("Save all").rect();
        // A heading, a sentence, a line for each design, and the buttons; none of 13 points is higher than 40.
        let most = 40.0 * f32::from(lines + 3);
        assert!(foot.bottom() - head.top() < most, "{lines} lines: {} points", foot.bottom() - head.top());
        press(&mut window, Modifiers::NONE, Key::Escape);
    }
}

#[test]
fn many_unsaved_designs_never_push_the_buttons_out_of_the_window() {
    for size in [[1000.0, 560.0], [1280.0, 720.0]] {
        let mut window = window_with(Vec::new(), Vec::new(), size, egui::Theme::Light);
        for _ in 0..30 {
            press(&mut window, Modifiers::COMMAND, Key::D);
        }
        quit(&mut window);
        assert!(shows(&window, "Save 30 designs?"), "all are listed");
        for button in ["Save all", "Discard all", "Cancel"] {
            assert!(is_in_sight(&window, button, size), "{button} at {size:?}");
        }
        click(&mut window, "Cancel");
        assert_eq!(window.state().designs().len(), 31, "cancel loses nothing");
    }
}

#[test]
fn a_long_recipe_keeps_its_verdict_and_its_buttons_in_sight() {
    let size = [1280.0, 720.0];
    let mut window = window_with(Vec::new(), Vec::new(), size, egui::Theme::Light);
    click(&mut window, "File");
    click(&mut window, "Type in a recipe…");
    let library = Library::embedded().expect("assets parse");
    for fat in library.fats().iter().take(14) {
        type_into(&mut window, "Add a fat to the recipe…", &fat.name);
        window.run();
    }
    for button in ["Make it a design", "Cancel"] {
        assert!(is_in_sight(&window, button, size), "{button}");
    }
    type_into(&mut window, "Sodium hydroxide (NaOH) in the recipe", "70");
    click(&mut window, "Cancel");
    assert!(!shows(&window, "The weights as the book gives them"), "and they can be pressed");
}

// An empty design.

#[test]
fn an_empty_design_greets_with_three_ways_to_start_and_nothing_red() {
    for theme in [egui::Theme::Light, egui::Theme::Dark] {
        let mut window = window_with(Vec::new(), Vec::new(), [1280.0, 720.0], theme);
        press(&mut window, Modifiers::COMMAND, Key::N);
        for text in ["An empty design", "Your own blend", "An example", "A recipe"] {
            assert!(shows(&window, text), "{text}");
        }
        assert!(!shows(&window, "Stop"), "nothing is dangerous yet");
        press(&mut window, Modifiers::NONE, Key::Escape);
        click(&mut window, "Type a blend");
        assert!(window.get_by_label("The blend, a fat on each line").is_focused(), "one types at once");
        window.get_by_label("The blend, a fat on each line").type_text("coconut 100");
        window.run();
        click(&mut window, "Use this blend");
        assert!(!shows(&window, "An empty design"), "the bar stands there now");
    }
}

#[test]
fn an_example_and_a_recipe_take_the_place_of_the_empty_design() {
    let mut window = window();
    press(&mut window, Modifiers::COMMAND, Key::N);
    press(&mut window, Modifiers::NONE, Key::Escape);
    click(&mut window, "Orchard olive");
    let titles = |window: &Window| window.state().designs().iter().map(OpenDesign::title).collect::<Vec<_>>();
    assert_eq!(titles(&window), ["Fernhollow starter", "Orchard olive"], "no empty design is left behind");
    assert!(evaluation(&window).estimates.is_some(), "a whole design");
    press(&mut window, Modifiers::COMMAND, Key::N);
    press(&mut window, Modifiers::NONE, Key::Escape);
    click(&mut window, "Type in a recipe…");
    assert!(shows(&window, "The weights as the book gives them"), "the form opens");
}

// Files.

#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

fn drop_on(window: &mut Window, paths: &[PathBuf]) {
    let dropped = paths.iter().map(|path| Arc::new(Dropped(path.clone())) as egui::DroppedFileHandle);
    window.input_mut().dropped_files = dropped.collect();
    window.step();
    window.input_mut().dropped_files.clear();
    window.run();
}

#[test]
fn each_dropped_file_opens_and_what_is_no_design_is_told() {
    let mut window = window();
    let three = ["apple-oat-loaf", "carrot-slab", "orchard-olive"].map(|name| example(&format!("{name}.barwright")));
    drop_on(&mut window, &three);
    let titles: Vec<String> = window.state().designs().iter().map(OpenDesign::title).collect();
    assert_eq!(titles, ["Apple oat loaf", "Carrot slab", "Orchard olive"], "the untouched starter makes way");
    assert!(shows(&window, "3 designs opened"), "said so");
    let folder = tempfile::tempdir().expect("a temporary folder");
    let text = folder.path().join("notes.txt");
    std::fs::write(&text, "no design").expect("writes");
    drop_on(&mut window, &[text, example("cellar-scrub.barwright"), folder.path().into()]);
    assert_eq!(window.state().designs().len(), 4, "the one design among them");
    assert!(shows(&window, "notes.txt"), "the others are told of");
    drop_on(&mut window, &[example("cellar-scrub.barwright")]);
    assert_eq!(window.state().designs().len(), 4, "once");
}

#[test]
fn files_held_over_the_window_say_what_letting_go_does() {
    let mut window = window();
    let held = egui::HoveredFile { path: Some("a.barwright".into()), ..egui::HoveredFile::default() };
    window.input_mut().hovered_files = vec![held.clone(), held];
    // It asks for frames as long as they are held.
    window.run_steps(3);
    assert!(shows(&window, "Let go to open 2 files"), "said");
    window.input_mut().hovered_files.clear();
    window.run();
    assert!(!shows(&window, "Let go to open"), "and no longer");
}

fn window_remembering(preferences: PathBuf) -> Window {
    let mut window = Harness::builder().with_size([1280.0, 800.0]).with_max_steps(32).build_eframe(move |cc| {
        let setup = Setup {
            library: Library::embedded().expect("assets parse"),
            paths: Vec::new(),
            preferences: Some(preferences),
            recovery: None,
            shelf: None,
            locks: None,
            folders: None,
            dialogs: Box::new(Answers::default()),
            watch: Watch::default(),
            patience: std::time::Duration::from_mins(1),
        };
        App::new(&cc.egui_ctx, setup)
    });
    window.run();
    window
}

#[test]
fn the_help_is_read_by_the_page_keys_where_nothing_has_the_focus() {
    let mut window = window_with(Vec::new(), Vec::new(), [1000.0, 560.0], egui::Theme::Light);
    press(&mut window, Modifiers::NONE, Key::F1);
    let lye = |window: &Window| window.get_by_label("Lye").rect().top();
    let before = lye(&window);
    press(&mut window, Modifiers::NONE, Key::PageDown);
    let after = lye(&window);
    assert!(after < before - 50.0, "from {before} to {after}");
    press(&mut window, Modifiers::NONE, Key::PageUp);
    assert!((lye(&window) - before).abs() < 1.0, "and back");
}

#[test]
fn a_recent_file_that_is_gone_is_told_of_and_no_longer_offered() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let preferences = folder.path().join("preferences.ron");
    let here = folder.path().join("here.barwright");
    std::fs::copy(example("carrot-slab.barwright"), &here).expect("copied");
    let gone = folder.path().join("gone.barwright");
    let mut kept = Preferences::default();
    kept.remember(&here);
    kept.remember(&gone);
    kept.save(&preferences).expect("writes");
    let mut window = window_remembering(preferences.clone());
    let recent = |window: &mut Window, name: &str| {
        click(window, "File");
        click(window, "Open recent");
        click(window, name);
    };
    recent(&mut window, "gone.barwright");
    assert!(shows(&window, "is no longer there"), "told");
    assert_eq!(Preferences::load(&preferences).0.recent, [here], "and not offered again");
    recent(&mut window, "here.barwright");
    assert_eq!(window.state().active().title(), "Carrot slab", "the other opens");
}

#[test]
fn unsaved_work_found_again_lists_all_of_it_within_the_window() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let keep = Some(folder.path().to_path_buf());
    let size = [1000.0, 560.0];
    let mut broken = window_keeping([keep.clone(), None, None], Vec::new(), Vec::new(), size, egui::Theme::Light);
    for _ in 0..25 {
        press(&mut broken, Modifiers::COMMAND, Key::D);
    }
    for _ in 0..20 {
        broken.run();
        broken.step();
    }
    drop(broken);
    let window = window_keeping([keep, None, None], Vec::new(), Vec::new(), size, egui::Theme::Light);
    assert!(shows(&window, "Unsaved work was found"), "offered");
    for button in ["Open it", "Throw it away", "Ask next time"] {
        assert!(is_in_sight(&window, button, size), "{button}");
    }
}

// The top bar.

#[test]
fn a_long_name_never_pushes_the_views_off_the_bar() {
    for width in [1000.0, 1280.0] {
        let mut window = window_with(Vec::new(), Vec::new(), [width, 700.0], egui::Theme::Light);
        window.get_by_label("Name of the design").focus();
        window.run();
        press(&mut window, Modifiers::COMMAND, Key::A);
        window.get_by_label("Name of the design").type_text(&"winter orchard ".repeat(13));
        window.run();
        let right = |label: &str| window.get_by_label(label).rect().right();
        assert!(
            right("Make") < window.get_by_label("Undo").rect().left(),
            "{width}: the views end at {}",
            right("Make")
        );
        assert!(right("US units") <= width && right("Metric units") <= width, "{width}");
    }
}
