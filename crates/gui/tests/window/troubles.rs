//! The page on what looks wrong.

use super::{Window, design, press, shows, window, window_with};
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::{By, NodeT, Queryable};
use std::path::Path;

fn open_troubles(window: &mut Window) {
    press(window, Modifiers::COMMAND, Key::T);
    assert!(shows(window, "Likely causes"), "Ctrl+T shows the page");
}

/// A window with a design that has thin lye in a cool room, honey and an oven, or more alkali than fats.
fn window_of(folder: &Path, superfat: f64, theme: egui::Theme) -> Window {
    let path = folder.join("thin.barwright");
    let text = format!(
        "(barwright: 1, name: \"Thin\", fats: [(fat: \"olive_virgin\", share: 70), (fat: \"coconut\", share: 30)], \
         superfat: {superfat}, water: LyeConcentration(24.0), additions: [(addition: \"honey\", \
         amount: GramsPerKgFats(20), stage: AtTrace, counts_as_water: false)], \
         process: (room_c: 17.0, oven_gel: Some((oven_c: 75.0, minutes: 30.0))))"
    );
    std::fs::write(&path, text).expect("writes");
    window_with(vec![path], Vec::new(), [1280.0, 900.0], theme)
}

/// What is looked for in the list.
fn search(window: &mut Window, text: &str) {
    let field = "What is seen, such as white film";
    window.get_by_label(field).focus();
    window.run();
    press(window, Modifiers::COMMAND, Key::A);
    window.get_by_label(field).type_text(text);
    window.run();
}

/// How high in the window a text stands.
fn height(window: &Window, text: &str) -> f32 {
    let node = window.query_all_by_label_contains(text).next();
    node.unwrap_or_else(|| panic!("{text} is not shown")).rect().top()
}

#[test]
fn the_page_opens_over_any_view_and_escape_goes_back_to_it() {
    let mut window = window();
    for (key, part) in [(Key::Num1, "Fats"), (Key::Num3, "from"), (Key::Num4, "Schedule")] {
        super::open_view(&mut window, key);
        open_troubles(&mut window);
        press(&mut window, Modifiers::NONE, Key::Escape);
        assert!(!shows(&window, "Likely causes") && shows(&window, part), "back to {part}");
    }
    let before = design(&window);
    window.get_by_label("Troubles…").click();
    window.run();
    assert!(shows(&window, "Likely causes"), "Make leads there");
    window.get_by_label("Back").click();
    window.run();
    assert!(shows(&window, "Schedule"), "and back");
    open_troubles(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::T);
    assert!(shows(&window, "Schedule"), "the same key goes back too");
    window.get_by_label("View").click();
    window.run();
    window.get_by_label_contains("Troubles Ctrl+T").click();
    window.run();
    assert!(shows(&window, "Likely causes"), "the menu leads there");
    press(&mut window, Modifiers::COMMAND, Key::Num1);
    assert!(!shows(&window, "Likely causes"), "a view takes its place");
    assert_eq!(design(&window), before, "nothing is changed by looking");
}

#[test]
fn what_is_seen_is_found_by_typing_and_walked_with_the_arrows() {
    let mut window = window();
    open_troubles(&mut window);
    // The field has the focus from the start.
    let field = window.get_by_label("What is seen, such as white film");
    assert!(field.is_focused(), "one types at once");
    field.type_text("white");
    window.run();
    assert!(shows(&window, "Soda ash") && !shows(&window, "Volcano"), "only what looks like it");
    assert!(shows(&window, "The film is alkaline"), "the first is shown");
    press(&mut window, Modifiers::NONE, Key::ArrowDown);
    assert!(shows(&window, "They may be alkali that never dissolved"), "the next");
    press(&mut window, Modifiers::NONE, Key::ArrowUp);
    assert!(shows(&window, "The film is alkaline"), "and the first again");
    search(&mut window, "nothing like it");
    assert!(shows(&window, "try another word"), "said, not blank");
    search(&mut window, "sting");
    assert!(shows(&window, "It holds free alkali"), "found again");
    // Tab reaches the rows, each of which is shown when it has the focus.
    search(&mut window, "white");
    press(&mut window, Modifiers::NONE, Key::Tab);
    press(&mut window, Modifiers::NONE, Key::Tab);
    assert!(shows(&window, "They may be alkali that never dissolved"), "by Tab alone");
}

#[test]
fn causes_that_the_design_supports_stand_first_and_explain_their_number() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for theme in [egui::Theme::Light, egui::Theme::Dark] {
        let mut window = window_of(folder.path(), 6.0, theme);
        open_troubles(&mut window);
        search(&mut window, "soda-ash");
        let supported = height(&window, "Lye concentration 24.0 %");
        assert!(height(&window, "Room 17 °C") > supported, "the cool room next");
        assert!(height(&window, "Usual besides") > height(&window, "Room 17 °C"), "then what is usual");
        assert!(height(&window, "Air on the top") > height(&window, "Usual besides"));
        window.get_by_label("Lye concentration 24.0 %").click();
        window.run();
        assert!(shows(&window, "How far to trust it"), "it explains itself");
        press(&mut window, Modifiers::NONE, Key::Escape);
        assert!(!shows(&window, "How far to trust it"), "Escape closes the explanation");
        assert!(shows(&window, "Likely causes"), "and leaves the page");
        search(&mut window, "volcano");
        assert!(height(&window, "Sugar in the oven") < height(&window, "A hot batter"));
        // The keyboard asks too: Tab leads on to the number, then Enter.
        let is_at_number =
            |window: &Window| window.query_all_by_label_contains("Sugars in additions").any(|node| node.is_focused());
        for _ in 0..8 {
            if !is_at_number(&window) {
                press(&mut window, Modifiers::NONE, Key::Tab);
            }
        }
        assert!(is_at_number(&window), "Tab reaches it");
        press(&mut window, Modifiers::NONE, Key::Enter);
        assert!(shows(&window, "How far to trust it"), "by keyboard");
    }
}

#[test]
fn a_stop_of_the_design_stands_above_every_verdict() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let mut window = window_of(folder.path(), -4.0, egui::Theme::Light);
    open_troubles(&mut window);
    for text in ["drag-marks", "fading", "zap"] {
        search(&mut window, text);
        assert!(shows(&window, "4 % more alkali than the fats can take"), "{text}: the stop");
        assert!(shows(&window, "Its bars are not for use, whatever is seen"), "{text}: no bar is safe");
        let labels = By::new().predicate(|node| node.role() == egui::accesskit::Role::Label);
        let is_safe = |node: &egui_kittest::Node<'_>| {
            let node = node.accesskit_node();
            node.value().or(node.label()).is_some_and(|text| text == "Safe" || text == "Safe after a check")
        };
        assert!(!window.query_all(labels).any(|node| is_safe(&node)), "{text}: nothing says safe");
    }
    window.get_by_label("Set superfat to 5 %").click();
    window.run();
    assert!(!shows(&window, "Its bars are not for use"), "the remedy works here too");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(shows(&window, "Its bars are not for use"), "and is a step that can be undone");
}

#[test]
fn every_fault_is_shown_in_both_sizes_and_themes() {
    for (size, theme) in [([1280.0, 720.0], egui::Theme::Light), ([1920.0, 1080.0], egui::Theme::Dark)] {
        let mut window = window_with(Vec::new(), Vec::new(), size, theme);
        open_troubles(&mut window);
        for fault in barwright_core::troubles::faults() {
            search(&mut window, fault.code);
            for text in [fault.safety.text(), fault.now, fault.next_time] {
                assert!(shows(&window, text), "{}: {text}", fault.code);
            }
        }
    }
}
