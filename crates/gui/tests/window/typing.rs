//! What is typed is taken before any click acts.

use super::*;
use barwright_core::design::mould::Size;
use egui::{Event, PointerButton, Pos2, Role};
use egui_kittest::kittest::{By, NodeT};

/// Types `text` into the field called `name` and leaves it unfinished.
fn begin(window: &mut Window, name: &str, text: &str) {
    window.get_by_label(name).focus();
    window.run();
    window.get_by_label(name).type_text(text);
    window.run();
}

fn button_event(pos: Pos2, pressed: bool) -> Event {
    Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE }
}

/// Presses the button at `pos` and lets go in no other frame, as a tap on a touchpad is told.
fn tap(window: &mut Window, pos: Pos2) {
    window.event(Event::PointerMoved(pos));
    window.run();
    window.input_mut().events.extend([button_event(pos, true), button_event(pos, false)]);
    window.run();
}

fn fats(window: &Window) -> f64 {
    match design(window).size {
        Size::FatMass(mass) => mass.get(),
        size => panic!("the size is given by {size:?}"),
    }
}

#[test]
fn a_mass_is_stored_in_the_unit_in_which_it_was_typed() {
    for at_once in [false, true] {
        let mut window = tall_window();
        begin(&mut window, "Mass of all fats", "1000");
        let switch = window.get_by_label("US units").rect().center();
        if at_once {
            tap(&mut window, switch);
        } else {
            window.get_by_label("US units").click();
            window.run();
        }
        assert!((fats(&window) - 1000.0).abs() < 1e-9, "{} g are stored", fats(&window));
        assert!(shows(&window, "oz"), "and the units are switched");
    }
}

/// Some frames; a search that runs beside wants more and more of them.
fn settle(window: &mut Window) {
    for _ in 0..3 {
        window.step();
    }
}

/// Presses every button of the window over an untaken text in the field called `name`: `typed` gives
/// the text of a turn, `is_taken` whether the design has it.
fn press_every_button(
    window: &mut Window,
    name: &str,
    typed: impl Fn(usize) -> String,
    is_taken: impl Fn(&Design, &str) -> bool,
) {
    let is_pressed = |role: Role| matches!(role, Role::Button | Role::CheckBox | Role::RadioButton | Role::ComboBox);
    let buttons = window.query_all(By::new().predicate(move |node| is_pressed(node.role()) && !node.is_disabled()));
    let buttons: Vec<(String, egui::Rect)> = buttons
        .map(|node| (node.accesskit_node().label().unwrap_or_default(), node.rect()))
        .filter(|(_, rect)| rect.is_positive())
        .collect();
    assert!(buttons.len() > 20, "{} buttons", buttons.len());
    for (i, (button, rect)) in buttons.into_iter().enumerate() {
        let text = typed(i);
        window.get_by_label(name).focus();
        settle(window);
        window.get_by_label(name).type_text(&text);
        settle(window);
        window.event(Event::PointerMoved(rect.center()));
        window.event(button_event(rect.center(), true));
        settle(window);
        assert!(is_taken(&design(window), &text), "{button:?} is pressed, and {text:?} is not taken");
        // Let go where nothing is, so that the next finds the window as it was.
        window.event(Event::PointerMoved(Pos2::new(-5.0, -5.0)));
        window.event(button_event(Pos2::new(-5.0, -5.0), false));
        settle(window);
    }
}

#[test]
fn every_button_of_the_design_view_finds_the_typed_number_taken() {
    press_every_button(
        &mut tall_window(),
        "Superfat, percent",
        |i| (2.0 + i as f64 / 100.0).to_string(),
        |design, text| text.parse().is_ok_and(|typed: f64| (design.superfat.get() - typed).abs() < 1e-9),
    );
}

#[test]
fn every_button_of_the_make_view_finds_the_typed_day_taken() {
    let mut window = tall_window();
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    press_every_button(
        &mut window,
        "Day of making",
        |i| format!("20{:02}-03-14", i + 1),
        |design, text| design.process.made_on.as_deref() == Some(text),
    );
}

#[test]
fn every_button_of_the_find_view_finds_the_typed_price_taken() {
    let mut window = window_with(Vec::new(), Vec::new(), [1280.0, 900.0], egui::Theme::Light);
    find::open_find(&mut window);
    window.get_by_role_and_label(Role::Button, "Fats and prices").click();
    window.run();
    let fat = design(&window).blend.lines()[0].fat.clone();
    press_every_button(
        &mut window,
        &format!("Price of a kilogram of {}", fat.name),
        |i| (3.0 + i as f64 / 100.0).to_string(),
        |design, text| {
            text.parse().is_ok_and(|typed: f64| design.prices.iter().any(|p| (p.price.get() - typed).abs() < 1e-9))
        },
    );
}

/// Compare and Troubles have no fields of their own: what was begun in another view is taken on the way to them.
#[test]
fn what_is_typed_is_taken_on_the_way_to_another_view() {
    for key in [Key::Num2, Key::Num3, Key::Num4, Key::T] {
        let mut window = tall_window();
        begin(&mut window, "Superfat, percent", "7.25");
        window.key_press_modifiers(Modifiers::COMMAND, key);
        settle(&mut window);
        assert!((design(&window).superfat.get() - 7.25).abs() < 1e-9, "{key:?}: {}", design(&window).superfat.get());
    }
}

#[test]
fn a_typed_day_is_on_the_page_that_is_printed() {
    let mut window = window_with(Vec::new(), Vec::new(), [1600.0, 1800.0], egui::Theme::Light);
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    begin(&mut window, "Day of making", "2026-03-14");
    window.get_by_label("Print…").click();
    window.run();
    let told = window.get_by_label_contains("The page is in").accesskit_node().value().expect("where it lies");
    let path = told.trim_start_matches("The page is in ").split(". A browser").next().expect("a path").to_owned();
    let page = std::fs::read_to_string(&path).expect("a page");
    assert!(page.contains("2026") && page.contains("March") || page.contains("Mar 2026"), "dated");
}

#[test]
fn what_is_typed_and_not_taken_marks_the_numbers_as_from_before_it() {
    let mut window = window();
    assert!(!shows(&window, "before your change"), "nothing is typed");
    type_into(&mut window, "Superfat, percent", "lots");
    assert!(shows(&window, "before your change"), "a refused value is told beside the weights");
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    assert!(shows(&window, "before your change"), "and beside the sheet");
    find::open_find(&mut window);
    assert!(shows(&window, "before your change"), "and beside what is found");
    press(&mut window, Modifiers::COMMAND, Key::Num1);
    type_into(&mut window, "Superfat, percent", "7");
    assert!(!shows(&window, "before your change"), "taken");
}

/// Who types fast, or on a slow machine, has typed a number and Tab, or Enter, and the next number in one frame.
#[test]
fn numbers_that_are_typed_in_one_frame_each_find_their_field() {
    let key = |key| Event::Key { key, physical_key: None, pressed: true, repeat: false, modifiers: Modifiers::NONE };
    for leave in [Key::Tab, Key::Enter] {
        let mut window = tall_window();
        window.get_by_label("Mass of all fats").focus();
        window.run();
        let before = design(&window).bars;
        let typed = ["12", "34"].map(|text| Event::Text(text.into()));
        window.input_mut().events.extend(typed.into_iter().chain([key(leave), Event::Text("7".into()), key(leave)]));
        window.run();
        assert!((fats(&window) - 1234.0).abs() < 1e-9, "{leave:?}: {} g", fats(&window));
        assert_eq!(design(&window).bars.get(), 7, "{leave:?}: instead of {before:?}");
    }
}
