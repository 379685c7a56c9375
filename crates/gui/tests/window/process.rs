//! What is done with a poured mould, how pure the alkali is, and how fine the scale.

use super::{Window, design, press, shows, tall_window, type_into, window_with};
use barwright_core::design::Rest;
use barwright_core::units::Celsius;
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::Queryable;

/// Chooses `entry` of the list called `list`, with the keyboard alone.
fn choose(window: &mut Window, list: &str, entry: &str) {
    window.get_by_label(list).focus();
    window.run();
    press(window, Modifiers::NONE, Key::Enter);
    window.get_by_label(entry).focus();
    window.run();
    press(window, Modifiers::NONE, Key::Enter);
}

fn undo_name(window: &Window) -> Option<String> {
    window.state().active().history.undo_name().map(Into::into)
}

#[test]
fn the_oven_is_set_with_the_keyboard_and_each_step_is_undone_by_name() {
    let mut window = tall_window();
    assert_eq!(design(&window).process.oven_gel, None, "the starter design goes without");
    choose(&mut window, "Where the filled mould stands", "In a warm oven");
    assert_eq!(undo_name(&window).as_deref(), Some("oven"));
    type_into(&mut window, "Temperature of the oven", "70");
    type_into(&mut window, "Minutes in the oven", "45 min");
    let oven = |window: &Window| design(window).process.oven_gel.map(|o| (o.oven_c.get(), o.minutes.get()));
    assert_eq!(oven(&window), Some((70.0, 45.0)));
    for refused in ["39", "121", "75 g", "hot"] {
        type_into(&mut window, "Temperature of the oven", refused);
        assert_eq!(oven(&window), Some((70.0, 45.0)), "{refused} is refused");
        press(&mut window, Modifiers::NONE, Key::Escape);
    }
    for _ in 0..3 {
        press(&mut window, Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(design(&window).process.oven_gel, None, "three steps back");
}

#[test]
fn what_a_file_says_of_the_oven_is_shown_though_the_field_would_not_take_it() {
    let text = "(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100)], process: (oven_gel: Some((oven_c: 180, minutes: 30))))";
    let path = std::env::temp_dir().join(format!("barwright-oven-{}.barwright", std::process::id()));
    std::fs::write(&path, text).expect("a file");
    let mut window = window_with(vec![path.clone()], Vec::new(), [1280.0, 2000.0], egui::Theme::Dark);
    assert!(shows(&window, "After pouring"), "there is the control");
    let oven = |window: &Window| design(window).process.oven_gel.map(|o| o.oven_c.get());
    assert_eq!(oven(&window), Some(180.0), "as in the file");
    type_into(&mut window, "Minutes in the oven", "20");
    assert_eq!(oven(&window), Some(180.0), "another field changes nothing of it");
    std::fs::remove_file(path).expect("it was there");
}

#[test]
fn fahrenheit_and_inches_are_shown_and_typed_and_typed_signs_are_understood() {
    let mut window = tall_window();
    choose(&mut window, "Where the filled mould stands", "In a warm oven");
    type_into(&mut window, "Temperature of the room", "68 °F");
    let room = Celsius::new(20.0).expect("in range");
    assert_eq!(design(&window).process.room_c, room, "°F is understood where °C is shown");
    let before = design(&window);
    window.get_by_label("US units").click();
    window.run();
    assert_eq!(design(&window), before, "other units are no other design");
    let shown = |window: &Window, field: &str| window.get_by_label(field).value();
    assert_eq!(shown(&window, "Temperature of the room").as_deref(), Some("68 °F"));
    type_into(&mut window, "Temperature of the oven", "170");
    let oven = |window: &Window| design(window).process.oven_gel.map(|o| o.oven_c.get());
    assert!(oven(&window).is_some_and(|c| (c - 138.0 / 1.8).abs() < 1e-9), "170 °F: {:?}", oven(&window));
    type_into(&mut window, "Temperature of the oven", "75 °C");
    assert_eq!(oven(&window), Some(75.0), "°C is understood where °F is shown");
    type_into(&mut window, "Temperature of the oven", "300");
    assert_eq!(oven(&window), Some(75.0), "an oven of 300 °F is refused by the field");
    press(&mut window, Modifiers::NONE, Key::Escape);
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    assert!(!shows(&window, " °C") && shows(&window, "167 °F"), "no °C is left on the page of the batch");
}

#[test]
fn the_mould_stands_where_it_is_put() {
    let mut window = tall_window();
    for (entry, rest) in [("Insulated", Rest::Insulated), ("In a cool place", Rest::Cool), ("In the room", Rest::Room)]
    {
        choose(&mut window, "Where the filled mould stands", entry);
        assert_eq!(design(&window).process.rest, rest);
        assert_eq!(undo_name(&window).as_deref(), Some("where the mould stands"));
        press(&mut window, Modifiers::COMMAND, Key::Z);
        assert!(shows(&window, "Taken back: where the mould stands"), "it says what it took back");
        press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
        assert!(shows(&window, "Done again: where the mould stands"), "and what it did again");
    }
}

#[test]
fn the_purities_have_their_margin_and_the_scale_its_division() {
    let mut window = tall_window();
    type_into(&mut window, "± of the purity of the sodium hydroxide, percent", "0,2");
    assert!((design(&window).alkali.naoh_purity_pm.get() - 0.2).abs() < 1e-12, "as typed");
    assert_eq!(undo_name(&window).as_deref(), Some("purity of the alkali"));
    type_into(&mut window, "± of the purity of the sodium hydroxide, percent", "11");
    assert!(shows(&window, "the ± of a purity must lie between"), "too much is refused");
    type_into(&mut window, "Division of the scale", "0,25 g");
    assert!((design(&window).scale_division.get() - 0.25).abs() < 1e-12, "any division");
    window.get_by_label("5 g").focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!((design(&window).scale_division.get() - 5.0).abs() < 1e-12, "a usual one");
    assert_eq!(undo_name(&window).as_deref(), Some("division of the scale"));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!((design(&window).scale_division.get() - 0.25).abs() < 1e-12, "a step back");
}
