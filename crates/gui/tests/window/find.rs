//! The search for a blend, driven as a person would.

use super::{Window, design, evaluation, press, shows, tall_window, type_into, window_with};
use barwright_core::library::estimates::Place;
use eframe::egui::accesskit::Toggled;
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use std::thread::sleep;
use std::time::Duration;

/// Lets the search end; it has its own thread, so frames are drawn until the word comes.
pub(crate) fn wait(window: &mut Window) {
    for _ in 0..3000 {
        window.step();
        let ended = ["Proven:", "Nothing fits", "Prices are needed", "Stopped:"].iter().any(|text| shows(window, text));
        if ended && !shows(window, "Looking") {
            window.run();
            return;
        }
        sleep(Duration::from_millis(10));
    }
    panic!("the search did not end");
}

pub(crate) fn open_find(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num3);
    window.step();
    wait(window);
}

/// Whether the box called `label` is ticked.
fn is_ticked(window: &Window, label: &str) -> bool {
    window.get_by_label(label).accesskit_node().toggled() == Some(Toggled::True)
}

/// Chooses `entry` in the list called `list`; what follows may be a search.
fn choose(window: &mut Window, list: &str, entry: &str) {
    window.get_by_label(list).click();
    window.step();
    window.step();
    window.get_by_label(entry).click();
    window.step();
    window.step();
}

pub(crate) fn type_and_wait(window: &mut Window, field: &str, text: &str) {
    window.get_by_label(field).focus();
    window.step();
    window.get_by_label(field).type_text(text);
    window.step();
    window.key_press(Key::Enter);
    window.step();
    window.step();
    wait(window);
}

#[test]
fn a_fat_is_replaced_and_undo_brings_it_back() {
    let mut window = tall_window();
    let before = design(&window);
    let fat = before.blend.lines()[2].fat.clone();
    window.get_by_label(&format!("{}: more", fat.name)).click();
    window.run();
    window.get_by_label("Replace with…").click();
    window.step();
    window.step();
    wait(&mut window);
    assert!(window.query_by_label(&format!("Allow {} again", fat.name)).is_some(), "the sentence says so");
    window.get_by_label("Take this blend").click();
    window.run();
    let after = design(&window);
    assert!(after.blend.line(&fat.id).is_none(), "it is gone");
    assert!(after.blend.is_whole(), "and the rest is whole");
    assert!(after.blend.lines().len() <= 5, "of at most five fats");
    assert_eq!(after.superfat, before.superfat, "all else stays");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "one step takes it back");
}

#[test]
fn demands_that_collide_are_named_with_the_nearest_miss() {
    let mut window = tall_window();
    open_find(&mut window);
    type_and_wait(&mut window, "Hardness to", "100");
    type_and_wait(&mut window, "Hardness from", "95");
    for text in ["These demands cannot be met together", "Hardness at least 95", "The nearest miss", "It misses"] {
        assert!(shows(&window, text), "{text} is not shown");
    }
    assert!(!shows(&window, "Take this blend"), "there is nothing to take");
    window.get_by_label("Hardness: the range it had at first").click();
    window.step();
    window.step();
    wait(&mut window);
    assert!(shows(&window, "Take this blend"), "as before");
}

#[test]
fn the_cheapest_blend_needs_prices_and_takes_them() {
    let mut window = tall_window();
    open_find(&mut window);
    choose(&mut window, "What makes a blend the best", "cheapest blend");
    wait(&mut window);
    assert!(shows(&window, "Prices are needed"), "said at once");
    window.get_by_label("Fats and prices").click();
    window.step();
    for (fat, price) in
        [("Olive oil, virgin", "9,5"), ("Coconut oil", "6"), ("Cocoa butter", "18"), ("Palm oil", "3.5")]
    {
        type_and_wait(&mut window, &format!("Price of a kilogram of {fat}"), price);
    }
    assert_eq!(design(&window).prices.len(), 4, "kept in the design");
    assert!(shows(&window, "EUR/kg"), "the blend has a price");
    assert!(shows(&window, "all seven inside"), "and keeps the ranges");
    window.get_by_label("Price against likeness").click();
    window.step();
    window.run();
    assert!(shows(&window, "Price against likeness: from"), "the curve says what it shows");
}

#[test]
fn the_least_change_brings_every_score_inside() {
    let mut window = tall_window();
    type_into(&mut window, "Share of Coconut oil, percent", "12");
    let outside = |window: &Window| {
        let estimates = evaluation(window).estimates.expect("tabled acids");
        estimates.iter().filter(|r| r.place != Some(Place::Inside)).count()
    };
    assert!(outside(&window) > 0, "too little coconut oil");
    assert!(shows(&window, "The least change that brings every score inside"), "the hint");
    window.get_by_label("Bring every score inside").click();
    window.run();
    assert_eq!(outside(&window), 0, "all inside");
    assert!(!shows(&window, "The least change that brings"), "nothing left to say");
}

#[test]
fn a_found_blend_opens_as_a_design_of_its_own() {
    let mut window = tall_window();
    open_find(&mut window);
    let before = design(&window);
    window.get_by_label("Open as a new design").click();
    window.run();
    assert_eq!(window.state().designs().len(), 2, "beside the first");
    assert_eq!(design(&window).name, format!("{}, found", before.name));
}

#[test]
fn what_makers_do_is_in_force_as_ticks_that_the_keyboard_lifts() {
    let mut window = tall_window();
    open_find(&mut window);
    assert!(shows(&window, "In force: free acids at most 5 %, waxes at most 3 %"), "the results say so");
    window.get_by_label("Fats and prices").click();
    window.step();
    let rules = ["Free acids at most 5 %", "Waxes at most 3 %", "Strong-smelling fats at most 10 %"];
    for rule in rules.into_iter().chain(["No fat whose figures are from memory"]) {
        assert!(is_ticked(&window, rule), "{rule}");
    }
    for rule in ["No animal fats", "No palm"] {
        assert!(!is_ticked(&window, rule), "{rule} is asked for by who wants it");
    }
    for rule in ["Free acids at most 5 %", "No palm"] {
        let before = is_ticked(&window, rule);
        window.get_by_label(rule).focus();
        window.step();
        window.key_press(Key::Space);
        window.step();
        window.step();
        wait(&mut window);
        assert_eq!(is_ticked(&window, rule), !before, "{rule} by the keyboard");
    }
    assert!(shows(&window, "no palm"), "told");
    assert!(!shows(&window, "free acids at most"), "lifted");
}

#[test]
fn a_fat_from_memory_is_unticked_until_it_is_named() {
    let emu = "Emu oil may be used";
    let mut window = tall_window();
    open_find(&mut window);
    window.get_by_label("Fats and prices").click();
    window.step();
    window.get_by_label("Show fats named").focus();
    window.step();
    window.get_by_label("Show fats named").type_text("Emu oil");
    window.step();
    window.step();
    assert!(!is_ticked(&window, emu), "its figures are from memory");
    window.get_by_label(emu).click();
    window.step();
    window.step();
    wait(&mut window);
    assert!(is_ticked(&window, emu), "named");
}

#[test]
fn own_fats_of_the_design_are_offered_held_or_named_as_not_offered() {
    let acids = r#"profile: [(acid: "18:1", min: 70, typical: 72, max: 74, source: "typed", trust: Maker),
        (acid: "16:0", min: 12, typical: 14, max: 15, source: "typed", trust: Maker),
        (acid: "18:2", min: 12, typical: 14, max: 15, source: "typed", trust: Maker)]"#;
    let record = |id: &str, name: &str, acids: &str| {
        format!(
            r#"Fat((id: "{id}", name: "{name}", kind: Triglyceride, sv: (min: 188, max: 196, source: "typed", trust: Maker), {acids}))"#
        )
    };
    let materials = [
        record("own_press_a", "Orchard press", acids),
        record("own_press_b", "Lane press", ""),
        record("own_press_c", "Cellar press", acids),
        record("own_press_d", "Attic press", ""),
    ];
    let text = format!(
        r#"(barwright: 1, lye_rests_on: Possible, fats: [(fat: "olive_virgin", share: 40), (fat: "coconut", share: 30),
            (fat: "own_press_a", share: 20), (fat: "own_press_b", share: 10)], materials: [{}])"#,
        materials.join(", ")
    );
    let path = std::env::temp_dir().join(format!("barwright-own-fats-{}.barwright", std::process::id()));
    std::fs::write(&path, text).expect("writable");
    let mut window = window_with(vec![path.clone()], Vec::new(), [1280.0, 1200.0], egui::Theme::Light);
    open_find(&mut window);
    assert!(shows(&window, "Lane press at 10 % is held"), "told beside the results");
    window.get_by_label("Fats and prices").click();
    window.run();
    for name in ["Orchard press", "Cellar press"] {
        assert!(shows(&window, &format!("{name} (own)")), "{name} is called one's own");
        assert!(shows(&window, &format!("{name} at most, percent")), "{name} is offered");
    }
    assert!(shows(&window, "Lane press (own)") && shows(&window, "held at 10 %"), "held");
    assert!(shows(&window, "Not offered, since none of their acids is known: Attic press."), "told why");
    std::fs::remove_file(path).expect("it is there");
}
