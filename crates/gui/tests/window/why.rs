//! Every number on screen can be clicked to be explained.

use super::find::{open_find, type_and_wait};
use super::{Window, example, press, shows, window_with};
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::{By, NodeT, Queryable};
use std::collections::BTreeSet;

/// A window so tall that nothing has to be scrolled to.
fn window_of(examples: &[&str]) -> Window {
    let paths = examples.iter().map(|name| example(&format!("{name}.barwright"))).collect();
    window_with(paths, Vec::new(), [1920.0, 3000.0], egui::Theme::Light)
}

/// Whether `text` is a figure by itself: a number with at most a few words around it.
fn is_figure(text: &str) -> bool {
    let said = ["up to about ", "about ", "at least ", "under ", "< "];
    let text = said.iter().fold(text.trim(), |text, word| text.strip_prefix(word).unwrap_or(text));
    let starts = |c: char| c.is_ascii_digit() || matches!(c, '\u{2212}' | '+' | '±');
    text.starts_with(starts) && text.chars().any(|c| c.is_ascii_digit()) && text.split_whitespace().count() <= 3
}

/// All figures in sight that are written, not typed: their texts and where they stand.
fn figures(window: &Window) -> Vec<(String, egui::Pos2)> {
    let labels = By::new().predicate(|node| node.role() == egui::accesskit::Role::Label);
    let text = |node: &egui_kittest::Node<'_>| node.accesskit_node().value().or(node.accesskit_node().label());
    let all = window.query_all(labels).filter_map(|node| Some((text(&node)?, node.rect().center())));
    // A page shows what is printed; its figures stand in the views too, where they are explained.
    let page = window.query_by_label("The bench sheet").map(|page| page.rect());
    all.filter(|(text, at)| is_figure(text) && page.is_none_or(|page| !page.contains(*at))).collect()
}

fn click_at(window: &mut Window, at: egui::Pos2) {
    let button = |pressed| egui::Event::PointerButton {
        pos: at,
        button: egui::PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    window.event(egui::Event::PointerMoved(at));
    window.event(button(true));
    window.event(button(false));
    window.run();
}

/// The number in a figure, without the words around it.
fn number_in(text: &str) -> &str {
    let start = text.find(|c: char| c.is_ascii_digit()).unwrap_or(0);
    let part = |c: char| c.is_ascii_digit() || matches!(c, '.' | '\u{202f}');
    let end = text[start..].find(|c| !part(c)).map_or(text.len(), |i| start + i);
    &text[start..end]
}

/// All numbers in a text, each whole.
fn numbers_in(text: &str) -> Vec<&str> {
    let part = |c: char| c.is_ascii_digit() || matches!(c, '.' | '\u{202f}');
    text.split(|c| !part(c)).map(|number| number.trim_matches('.')).filter(|number| !number.is_empty()).collect()
}

/// What the window that explains says first: what the number is and how large.
fn titles(window: &Window) -> Vec<String> {
    let labels = By::new().predicate(|node| node.role() == egui::accesskit::Role::Label);
    let text = |node: &egui_kittest::Node<'_>| node.accesskit_node().value().or(node.accesskit_node().label());
    let all: Vec<String> = window.query_all(labels).filter_map(|node| text(&node)).collect();
    let formula = all.iter().enumerate().filter(|(_, text)| *text == "Formula").map(|(i, _)| i);
    formula.filter_map(|i| all.get(i.checked_sub(1)?).cloned()).collect()
}

/// Clicks every figure in sight; gives those that explain nothing, or another number.
fn unexplained(window: &mut Window) -> BTreeSet<String> {
    let figures = figures(window);
    assert!(figures.len() > 10, "figures are found: {figures:?}");
    let mut dumb = BTreeSet::new();
    for (text, at) in figures {
        click_at(window, at);
        // A number that is not known says what it lacks.
        if shows(window, "How far to trust it") {
            let told = titles(window);
            if !told.iter().any(|title| numbers_in(title).contains(&number_in(&text))) {
                dumb.insert(format!("{text} is explained as {told:?}"));
            }
        } else if !shows(window, "not known, since") {
            dumb.insert(text);
        }
        press(window, Modifiers::NONE, Key::Escape);
        assert!(!shows(window, "How far to trust it"), "Escape closes the window");
    }
    dumb
}

#[test]
fn in_the_design_view() {
    for example in ["apple-oat-loaf", "orchard-dual-lye", "carrot-slab"] {
        let mut window = window_of(&[example]);
        let dumb = unexplained(&mut window);
        assert!(dumb.is_empty(), "{example}: {dumb:?}");
    }
}

#[test]
fn of_a_score_and_of_the_acids() {
    let mut window = window_of(&["carrot-slab"]);
    window.get_by_label_contains("Hardness ").click();
    window.run();
    assert!(shows(&window, "Why this number?"), "the lane is open");
    window.get_by_label("Table").click();
    window.run();
    assert!(shows(&window, "palmitic (16:0)"), "the table is shown");
    let dumb = unexplained(&mut window);
    assert!(dumb.is_empty(), "{dumb:?}");
}

#[test]
fn in_the_make_view() {
    for example in ["apple-oat-loaf", "cellar-scrub"] {
        let mut window = window_of(&[example]);
        press(&mut window, Modifiers::COMMAND, Key::Num4);
        let dumb = unexplained(&mut window);
        assert!(dumb.is_empty(), "{example}: {dumb:?}");
    }
}

#[test]
fn in_the_compare_view() {
    let mut window = window_of(&["carrot-slab", "winter-tallow", "apple-oat-loaf"]);
    press(&mut window, Modifiers::COMMAND, Key::Num2);
    let dumb = unexplained(&mut window);
    assert!(dumb.is_empty(), "{dumb:?}");
    // What can be made alike has a menu, in which the difference is explained too.
    let difference =
        window.query_all_by_label_contains("Planned superfat of B against A").next().expect("a difference");
    difference.click();
    window.run();
    window.get_by_label("Why this difference?").click();
    window.run();
    assert!(shows(&window, "Planned superfat: B less A") && shows(&window, "What makes the difference"), "explained");
    window.get_by_label_contains("A and B share ").click();
    window.run();
    assert!(shows(&window, "What would change it most"), "the acids that they share are no difference");
    press(&mut window, Modifiers::COMMAND, Key::Num1);
    assert!(!shows(&window, "How far to trust it"), "what is not in sight is not explained");
}

#[test]
fn in_the_find_view() {
    let mut window = window_of(&["apple-oat-loaf"]);
    open_find(&mut window);
    // A range that must hold and binds, and no longer the design's own blend.
    window.get_by_label("Rule of Hardness").click();
    window.step();
    window.step();
    window.get_by_role_and_label(egui::accesskit::Role::Button, "must").click();
    window.step();
    type_and_wait(&mut window, "Hardness from", "52");
    assert!(shows(&window, "What the ranges hold back"), "a range binds");
    let dumb = unexplained(&mut window);
    assert!(dumb.is_empty(), "{dumb:?}");
    window.get_by_label_contains("Proven").click();
    window.run();
    assert!(shows(&window, "How far to trust it"), "the proof explains itself");
    press(&mut window, Modifiers::NONE, Key::Escape);
    window.get_by_label("Price against likeness").click();
    window.run();
    let curve = window.query_all_by_label_contains("Price against likeness: from").next().expect("a curve").rect();
    // Somewhere on it lies a point.
    for x in 1..40_u8 {
        let at = curve.lerp_inside(egui::vec2(f32::from(x) / 40.0, 0.5));
        click_at(&mut window, at);
        if shows(&window, "Picked on the curve") {
            break;
        }
    }
    assert!(shows(&window, "Picked on the curve"), "a point of the curve is clicked");
    let dumb = unexplained(&mut window);
    assert!(dumb.is_empty(), "{dumb:?}");
}

#[test]
fn of_the_hint_under_the_lanes() {
    let mut window = window_of(&["fernhollow-starter"]);
    super::type_into(&mut window, "Share of Coconut oil, percent", "55");
    let hint = window.query_all_by_label_contains("The least change that brings").next().expect("a hint");
    hint.click();
    window.run();
    assert!(shows(&window, "How far to trust it"), "it explains itself");
}
