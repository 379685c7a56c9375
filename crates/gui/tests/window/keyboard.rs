//! A person without a mouse: where Tab stops, in which order, and where the focus comes back to.

use super::*;
use egui::accesskit::Action;
use egui_kittest::kittest::{AccessKitNode, By, NodeT};

/// A control that Tab may stop at.
#[derive(Debug, Clone, PartialEq)]
struct Stop {
    id: String,
    name: String,
    rect: egui::Rect,
}

/// The controls in the tree that a screen reader has, for which `is_wanted` holds.
fn controls(window: &Window, is_wanted: impl Fn(&AccessKitNode<'_>) -> bool) -> Vec<Stop> {
    let nodes = window.query_all(By::new().predicate(is_wanted));
    let stop = |shown: egui_kittest::Node<'_>| {
        let node = shown.accesskit_node();
        // A screen reader says of a text what it holds.
        let text = node.value().filter(|_| node.role() == egui::Role::Label);
        let name = node.label().or(text).unwrap_or_default();
        Stop { id: format!("{:?}", node.id()), name: name.trim().to_owned(), rect: shown.rect() }
    };
    nodes.map(stop).collect()
}

/// The control with the focus.
fn focused(window: &Window) -> Option<Stop> {
    // The window itself has the focus while none of its controls has.
    window.ctx.memory(egui::Memory::focused)?;
    controls(window, |node| node.is_focused() && !node.is_hidden()).pop()
}

/// All that can have the focus.
fn focusable(window: &Window) -> Vec<Stop> {
    controls(window, |node| node.data().supports_action(Action::Focus) && !node.is_disabled())
}

/// The names of `stops`, for a message.
fn names(stops: &[Stop]) -> String {
    let lines: Vec<String> = stops.iter().map(|s| format!("{:?} at {:?}", s.name, s.rect)).collect();
    lines.join("\n")
}

/// Presses `modifiers` and Tab until the first stop comes again.
fn walk(window: &mut Window, modifiers: Modifiers) -> Vec<Stop> {
    let mut stops: Vec<Stop> = Vec::new();
    loop {
        press(window, modifiers, Key::Tab);
        let Some(stop) = focused(window) else { panic!("a dead end after\n{}", names(&stops)) };
        if stops.first().is_some_and(|first| first.id == stop.id) {
            return stops;
        }
        let again = stops.iter().any(|s| s.id == stop.id);
        assert!(!again, "a trap: {:?} comes again after\n{}", stop.name, names(&stops));
        stops.push(stop);
    }
}

/// Whether `next` is read after `this`: in its line, below it, or in a column at its right.
fn is_read_after(this: &Stop, next: &Stop) -> bool {
    let (a, b) = (this.rect, next.rect);
    let is_below = b.center().y > a.center().y && b.bottom() > a.bottom() - 1.0;
    let is_at_right = b.left() > a.left();
    is_below || is_at_right
}

fn walk_through(window: &mut Window, view: &str, there_and_back: bool) {
    let there = focusable(window);
    let mut stops = walk(window, Modifiers::NONE);
    // A view may begin at a field of its own.
    let first = stops.iter().position(|s| s.name == "File").expect("the menu is a stop");
    stops.rotate_left(first);
    let unnamed: Vec<Stop> = stops.iter().filter(|s| s.name.is_empty()).cloned().collect();
    assert!(unnamed.is_empty(), "{view}: stops without a name:\n{}", names(&unnamed));
    let missed: Vec<Stop> = there.iter().filter(|c| !stops.iter().any(|s| s.id == c.id)).cloned().collect();
    assert!(missed.is_empty(), "{view}: never reached:\n{}", names(&missed));
    // As they lie in one moment, since the columns scroll along.
    let still: Vec<&Stop> = stops.iter().filter_map(|s| there.iter().find(|c| c.id == s.id)).collect();
    for pair in still.windows(2) {
        assert!(is_read_after(pair[0], pair[1]), "{view}: {:?} comes before {:?}", pair[0], pair[1]);
    }
    if !there_and_back {
        return;
    }
    let mut back = walk(window, Modifiers::SHIFT);
    back.reverse();
    let start = back.iter().position(|s| s.id == stops[0].id).unwrap_or_default();
    back.rotate_left(start);
    let ids = |stops: &[Stop]| stops.iter().map(|s| s.id.clone()).collect::<Vec<_>>();
    assert_eq!(ids(&back), ids(&stops), "{view}: the way back is another");
}

/// Each view as it is opened by its key.
const VIEWS: [(&str, Key); 6] = [
    ("Design", Key::Num1),
    ("Compare", Key::Num2),
    ("Find", Key::Num3),
    ("Make", Key::Num4),
    ("Log", Key::Num5),
    ("Troubles", Key::T),
];

fn walk_in(theme: egui::Theme) {
    let paths = vec![example("orchard-olive.barwright"), example("winter-tallow.barwright")];
    for (view, key) in VIEWS {
        let mut window = window_with(paths.clone(), Vec::new(), [1280.0, 720.0], theme);
        open_view(&mut window, key);
        walk_through(&mut window, view, theme == egui::Theme::Light);
    }
}

#[test]
fn tab_goes_through_every_view_in_the_order_of_reading_and_back() {
    walk_in(egui::Theme::Light);
}

#[test]
fn tab_goes_through_every_view_of_the_dark_theme() {
    walk_in(egui::Theme::Dark);
}

/// The name of the control with the focus.
fn at(window: &Window) -> String {
    focused(window).map(|stop| stop.name).unwrap_or_default()
}

fn focus(window: &mut Window, name: &str) {
    window.get_by_label(name).focus();
    window.run();
    assert_eq!(at(window), name, "it takes the focus");
}

fn key(window: &mut Window, key: Key) {
    press(window, Modifiers::NONE, key);
}

fn type_text(window: &mut Window, text: &str) {
    window.event(egui::Event::Text(text.to_owned()));
    window.run();
}

const FIRST_SHARE: &str = "Share of Olive oil, virgin, percent";

fn first_share(window: &Window) -> f64 {
    design(window).blend.lines()[0].share.get()
}

#[test]
fn a_control_out_of_sight_comes_into_sight_with_the_focus() {
    let mut window = window_with(Vec::new(), Vec::new(), [1000.0, 560.0], egui::Theme::Light);
    for _ in 0..300 {
        key(&mut window, Key::Tab);
        let stop = focused(&window).expect("a stop");
        if stop.name == "Notes" {
            window.run();
            let rect = focused(&window).expect("it keeps the focus").rect;
            assert!(rect.top() > 40.0 && rect.bottom() < 560.0, "it lies at {rect:?}");
            return;
        }
    }
    panic!("the notes are never reached");
}

#[test]
fn a_list_opened_by_key_takes_a_choice_by_key_and_closes() {
    let mut window = window();
    let style = design(&window).style.clone();
    focus(&mut window, "Style of bar");
    key(&mut window, Key::Enter);
    assert!(egui::Popup::is_any_open(&window.ctx), "the list is open");
    for _ in 0..2 {
        key(&mut window, Key::ArrowDown);
    }
    let chosen = at(&window);
    key(&mut window, Key::Enter);
    assert_eq!(design(&window).style.to_lowercase(), chosen.to_lowercase(), "another style");
    assert_ne!(design(&window).style, style);
    assert!(!egui::Popup::is_any_open(&window.ctx), "the list is closed");
    assert_eq!(at(&window), "Style of bar", "the hand is where it was");
    key(&mut window, Key::Enter);
    assert!(egui::Popup::is_any_open(&window.ctx));
    key(&mut window, Key::Escape);
    assert!(!egui::Popup::is_any_open(&window.ctx), "Escape closes it");
    assert_eq!(at(&window), "Style of bar");
}

#[test]
fn escape_takes_back_what_is_typed_and_leaves_the_hand_where_it_is() {
    let mut window = window();
    let before = design(&window);
    focus(&mut window, "Superfat, percent");
    type_text(&mut window, "9");
    key(&mut window, Key::Escape);
    assert_eq!(design(&window), before, "nothing was taken");
    assert_eq!(at(&window), "Superfat, percent");
    focus(&mut window, "File");
    key(&mut window, Key::Enter);
    key(&mut window, Key::ArrowDown);
    assert_ne!(at(&window), "File", "in the menu");
    key(&mut window, Key::Escape);
    assert_eq!(at(&window), "File", "the menu is closed");
}

#[test]
fn a_dialog_takes_enter_for_its_first_button_and_gives_the_focus_back() {
    let mut window = window();
    type_into(&mut window, "Superfat, percent", "9");
    focus(&mut window, FIRST_SHARE);
    press(&mut window, Modifiers::COMMAND, Key::W);
    assert!(shows(&window, "They have changes") || shows(&window, "It has changes"), "it is asked");
    assert_eq!(at(&window), "Save", "the first button has the focus");
    for _ in 0..3 {
        key(&mut window, Key::Tab);
    }
    assert_eq!(at(&window), "Save", "three buttons, and none of what lies behind");
    key(&mut window, Key::Escape);
    assert!(!shows(&window, "It has changes"), "Escape keeps working");
    assert_eq!(at(&window), FIRST_SHARE, "where the hand was");
    press(&mut window, Modifiers::COMMAND, Key::W);
    key(&mut window, Key::Enter);
    assert!(!shows(&window, "It has changes"), "Enter asked where to save");
}

#[test]
fn undo_and_redo_reach_the_design_from_a_field_without_unfinished_text() {
    let mut window = window();
    let before = design(&window);
    press(&mut window, Modifiers::COMMAND, Key::K);
    type_text(&mut window, "shea");
    key(&mut window, Key::Enter);
    let added = design(&window);
    assert_eq!(added.blend.lines().len(), before.blend.lines().len() + 1);
    assert!(at(&window).starts_with("Share of Shea"), "at {}", at(&window));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "though its share has the focus");
    press(&mut window, Modifiers::COMMAND, Key::Y);
    assert_eq!(design(&window), added, "Ctrl+Y does it again");
    focus(&mut window, FIRST_SHARE);
    type_text(&mut window, "12");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), added, "unfinished text is the field's to undo");
    key(&mut window, Key::Escape);
    window.get_by_role_and_label(egui::Role::MultilineTextInput, "Notes").focus();
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "nothing was typed into the notes");
    type_text(&mut window, "Stir. ");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    press(&mut window, Modifiers::COMMAND, Key::Y);
    assert_eq!(design(&window).blend, before.blend, "now undo and redo are the notes’ own");
}

#[test]
fn enter_goes_on_to_the_next_field_and_at_the_end_to_the_next_fat() {
    let mut window = window();
    let names: Vec<String> = design(&window).blend.lines().iter().map(|l| l.fat.name.clone()).collect();
    focus(&mut window, FIRST_SHARE);
    for name in &names[1..] {
        key(&mut window, Key::Enter);
        assert_eq!(at(&window), format!("Share of {name}, percent"));
    }
    key(&mut window, Key::Enter);
    assert_eq!(at(&window), "Add a fat…");
    let list = |window: &Window| shows(window, "with 5 %");
    assert!(!list(&window), "its list waits for a word");
    key(&mut window, Key::ArrowDown);
    assert!(list(&window), "or for an arrow key");
    key(&mut window, Key::Escape);
    assert!(!list(&window), "Escape closes it");
    assert_eq!(at(&window), "Add a fat…");
}

#[test]
fn arrow_keys_move_a_value_and_shift_makes_the_step_fine() {
    let mut window = window();
    focus(&mut window, FIRST_SHARE);
    let start = first_share(&window);
    key(&mut window, Key::ArrowUp);
    assert!((first_share(&window) - start - 1.0).abs() < 1e-9);
    press(&mut window, Modifiers::SHIFT, Key::ArrowDown);
    assert!((first_share(&window) - start - 0.9).abs() < 1e-9);
    focus(&mut window, "Share of Olive oil, virgin");
    press(&mut window, Modifiers::SHIFT, Key::ArrowLeft);
    assert!((first_share(&window) - start - 0.8).abs() < 1e-9, "the slider too");
    key(&mut window, Key::ArrowRight);
    assert!((first_share(&window) - (start + 1.8).round()).abs() < 1e-9, "onto whole percents");
    let superfat = |window: &Window| design(window).superfat.get();
    let start = superfat(&window);
    window.get_by_role_and_label(egui::Role::Slider, "Superfat").focus();
    window.run();
    key(&mut window, Key::ArrowRight);
    assert!((superfat(&window) - start - 0.5).abs() < 1e-9);
    press(&mut window, Modifiers::SHIFT, Key::ArrowRight);
    assert!((superfat(&window) - start - 0.6).abs() < 1e-9);
}

#[test]
fn every_command_is_found_by_its_words_and_run_by_enter() {
    let mut window = window();
    let was = design(&window);
    type_into(&mut window, "Superfat, percent", "9");
    focus(&mut window, FIRST_SHARE);
    let ask = |window: &mut Window| press(window, Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::P);
    ask(&mut window);
    assert_eq!(at(&window), "What to do");
    assert!(shows(&window, "Ctrl+N"), "with the keys");
    key(&mut window, Key::Escape);
    assert_eq!(at(&window), FIRST_SHARE, "Escape goes back");
    ask(&mut window);
    type_text(&mut window, "take back");
    key(&mut window, Key::Enter);
    assert_eq!(design(&window), was, "undone by what it does");
    assert_eq!(at(&window), FIRST_SHARE);
    ask(&mut window);
    type_text(&mut window, "side");
    key(&mut window, Key::Enter);
    assert!(window.query_by_label(FIRST_SHARE).is_none(), "Compare is shown");
    ask(&mut window);
    type_text(&mut window, "nothing of the kind");
    key(&mut window, Key::Enter);
    assert!(shows(&window, "No command has these words"));
}

#[test]
fn a_number_is_asked_about_and_put_away_by_key() {
    let mut window = window();
    let water =
        barwright_core::number::mass(evaluation(&window).masses.water_to_weigh, barwright_core::units::MassUnit::Gram);
    window.get_all_by_label(&water).next().expect("the water is shown").focus();
    window.run();
    assert_eq!(at(&window), water, "a number is a stop");
    key(&mut window, Key::Enter);
    assert!(shows(&window, "With the numbers put in"), "it is explained");
    key(&mut window, Key::Escape);
    assert!(!shows(&window, "With the numbers put in"), "Escape puts it away");
    assert_eq!(at(&window), water, "the hand is where it was");
}

#[test]
fn tab_stays_in_a_form_and_reads_it_from_its_top() {
    let mut window = window();
    focus(&mut window, "File");
    key(&mut window, Key::Enter);
    window.get_by_label_contains("Type in a recipe").click();
    window.run();
    assert_eq!(at(&window), "Name of the recipe", "one types at once");
    let stops = walk(&mut window, Modifiers::NONE);
    let names: Vec<&str> = stops.iter().map(|s| s.name.as_str()).collect();
    assert!(names.iter().all(|name| !name.is_empty()), "each has a name: {names:?}");
    assert!(!names.contains(&"File"), "nothing of what lies behind: {names:?}");
    let place = |name: &str| names.iter().position(|n| *n == name).unwrap_or_else(|| panic!("{name} in {names:?}"));
    assert!(place("Add a fat to the recipe…") < place("Water in the recipe"), "from the top");
    assert!(place("Water in the recipe") < place("Cancel"), "to the end");
    key(&mut window, Key::Escape);
    assert_eq!(at(&window), "File", "back to where it was opened");
}

#[test]
fn a_command_for_a_view_leads_tab_into_it_and_leaves_no_focus_in_a_field_of_it() {
    let paths = vec![example("orchard-olive.barwright"), example("winter-tallow.barwright")];
    let mut window = window_with(paths, Vec::new(), [1280.0, 720.0], egui::Theme::Light);
    focus(&mut window, "Superfat, percent");
    // Find and Shelf begin at a field of their own.
    let views = [(Key::Num4, "Make"), (Key::Num5, "Log"), (Key::Num2, "Compare"), (Key::Num1, "Design")];
    for (view, name) in views {
        press(&mut window, Modifiers::COMMAND, view);
        assert_eq!(focused(&window), None, "in {name}");
        press(&mut window, Modifiers::NONE, Key::Tab);
        let first = focused(&window).unwrap_or_else(|| panic!("no way into {name}"));
        let tab = window.get_by_role_and_label(egui::Role::Button, name).rect();
        assert!(first.rect.top() > tab.bottom(), "{first:?} stands above {name}");
        press(&mut window, Modifiers::SHIFT, Key::Tab);
        let before = focused(&window).expect("a way back");
        assert!(before.rect.top() < tab.bottom(), "{before:?} is in {name}");
        press(&mut window, Modifiers::NONE, Key::Tab);
    }
}
