//! Materials of one's own, made from a picker and changed again.

use super::*;

fn focus(window: &mut Window, name: &str) {
    window.get_by_label(name).focus();
    window.run();
}

fn type_text(window: &mut Window, text: &str) {
    window.event(egui::Event::Text(text.to_owned()));
    window.run();
}

fn key(window: &mut Window, key: Key) {
    press(window, Modifiers::NONE, key);
}

/// Opens the form for a fat as the palette does.
fn open_by_palette(window: &mut Window) {
    press(window, Modifiers::COMMAND | Modifiers::SHIFT, Key::P);
    type_text(window, "fat of your own");
    key(window, Key::Enter);
}

fn type_into_anew(window: &mut Window, name: &str, text: &str) {
    focus(window, name);
    press(window, Modifiers::COMMAND, Key::A);
    type_into(window, name, text);
}

fn fat(window: &Window, name: &str) -> Option<barwright_core::library::fats::Fat> {
    let lines = design(window).blend.lines().to_vec();
    lines.iter().find(|l| l.fat.name == name).map(|l| (*l.fat).clone())
}

#[test]
fn a_fat_of_ones_own_is_made_from_the_picker_with_the_keyboard_alone() {
    let mut window = window_with(Vec::new(), Vec::new(), [1280.0, 720.0], egui::Theme::Light);
    let before = design(&window);
    press(&mut window, Modifiers::COMMAND, Key::K);
    type_text(&mut window, "Zwetschge press");
    assert!(shows(&window, "Make “Zwetschge press” a fat of your own"), "it is offered");
    key(&mut window, Key::Enter);
    assert!(shows(&window, "A fat of your own"), "the form is open");
    // The name is there; the hand is at the saponification value.
    type_text(&mut window, "188–196");
    for _ in 0..3 {
        key(&mut window, Key::Enter);
    }
    type_text(&mut window, "Prunus Domestica Seed Oil");
    focus(&mut window, "Fatty acids of the fat");
    type_text(&mut window, "Oleic C18:1 72\nPalmitic C16:0 13\nLinoleic 11\nmoonbeam 4");
    assert!(shows(&window, "Line 4, moonbeam 4"), "what is not understood is told at once");
    window.get_by_label("Add it").focus();
    window.run();
    key(&mut window, Key::Enter);
    assert!(shows(&window, "no fatty acid is called so"), "and not taken");
    assert!(shows(&window, "A fat of your own") && design(&window) == before, "nothing is lost, nothing is changed");
    focus(&mut window, "Fatty acids of the fat");
    press(&mut window, Modifiers::COMMAND, Key::A);
    type_text(&mut window, "Oleic C18:1 72\nPalmitic C16:0 13\nLinoleic 11\nStearic 4");
    assert!(shows(&window, "The lye rests on"), "what follows is shown");
    window.get_by_label("Add it").focus();
    window.run();
    key(&mut window, Key::Enter);
    let own = fat(&window, "Zwetschge press").expect("it is in the blend");
    assert_eq!((own.id.as_str(), own.profile().len()), ("own_zwetschge_press", 4));
    assert_eq!(own.inci.fat, "Prunus Domestica Seed Oil");
    assert!(!shows(&window, "Make “Zwetschge press”"), "the picker is empty again");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "one step");
}

#[test]
fn a_form_that_is_put_aside_goes_on_and_errors_stand_at_their_fields() {
    let mut window = tall_window();
    open_by_palette(&mut window);
    type_into(&mut window, "Name of the fat", "Orchard press");
    type_into(&mut window, "Saponification value of the fat", "208");
    focus(&mut window, "Take those of a fat it is like…");
    type_text(&mut window, "olive oil, virgin");
    key(&mut window, Key::Enter);
    window.get_by_label("Add it").click();
    window.run();
    assert!(shows(&window, "more than 8 % away"), "208 is no olive oil’s");
    key(&mut window, Key::Escape);
    key(&mut window, Key::Escape);
    assert!(!shows(&window, "more than 8 % away"), "put aside");
    open_by_palette(&mut window);
    type_into_anew(&mut window, "Saponification value of the fat", "190 ± 3");
    window.get_by_label("Add it").click();
    window.run();
    let own = fat(&window, "Orchard press").expect("what was typed was kept");
    assert!(own.profile().len() > 4, "with the acids");
    window.get_by_label("Orchard press: more").click();
    window.run();
    window.get_by_label("Change its figures…").click();
    window.run();
    type_into_anew(&mut window, "Saponification value of the fat", "189–191");
    window.get_by_label("Use these figures").click();
    window.run();
    let changed = fat(&window, "Orchard press").expect("it is there");
    assert!((changed.sv.value.min() - 189.0).abs() < 1e-12 && changed.profile() == own.profile(), "{changed:?}");
}

#[test]
fn a_fragrance_oil_with_its_limit_and_allergens_is_typed_in() {
    let mut window = tall_window();
    focus(&mut window, "Add a scent…");
    type_text(&mut window, "Fernhollow dusk");
    key(&mut window, Key::Enter);
    assert!(shows(&window, "A scent of your own"), "the form is open");
    type_into(&mut window, "Most in the bar, % of the scent", "0,8");
    type_into(&mut window, "Vanillin, % of the scent", "8");
    type_into(&mut window, "INCI name of the scent", "Fernhollow Dusk Oil");
    window.get_by_label("Allergens of the scent").click();
    window.run();
    window.get_by_label("the supplier lists none").click();
    window.run();
    focus(&mut window, "Constituents of the scent");
    type_text(&mut window, "Linalool 12 %\nCoumarin");
    assert!(shows(&window, "allergen, named whatever its amount"), "a preview");
    window.get_by_label("Add it").click();
    window.run();
    assert!(shows(&window, "is an allergen: the supplier lists it"), "one thing or the other");
    window.get_by_label("Allergens of the scent").click();
    window.run();
    window.get_by_label("as below; else not known").click();
    window.run();
    window.get_by_label("Add it").click();
    window.run();
    let line = design(&window).scents[0].clone();
    assert_eq!((line.scent.id.as_str(), line.scent.constituents.len()), ("own_fernhollow_dusk", 1));
    assert_eq!((line.scent.inci.as_str(), line.scent.supplied.lists_none), ("Fernhollow Dusk Oil", false));
    assert!(!told(&window).iter().any(|c| c.code == "scent-limit"), "it begins within its limit");
    type_into(&mut window, "Amount of Fernhollow dusk", "3 %");
    assert!(shows(&window, "Over the limit: Fernhollow dusk"), "3 % is over 0.8 %");
}

#[test]
fn a_colourant_of_ones_own_is_the_second_offer_of_the_picker() {
    let mut window = tall_window();
    focus(&mut window, "Add a puree, milk, acid, clay…");
    type_text(&mut window, "Zwxq brick");
    key(&mut window, Key::ArrowDown);
    key(&mut window, Key::Enter);
    assert!(shows(&window, "A colourant of your own"), "the form is open");
    type_into(&mut window, "INCI name or CI number of the colourant", "77491");
    type_into(&mut window, "Usual, g per kg of fats of the colourant", "3");
    type_into(&mut window, "Colour in the bar of the colourant", "brick");
    window.get_by_label("Add it").click();
    window.run();
    assert!(shows(&window, "is no colour"), "told at its field");
    type_into_anew(&mut window, "Colour in the bar of the colourant", "#b4523a");
    type_into(&mut window, "Most, g per kg of fats of the colourant", "10");
    if shows(&window, "A colourant of your own") {
        window.get_by_label("Add it").click();
        window.run();
    }
    let own = design(&window).additions[0].addition.clone();
    assert_eq!((own.name.as_str(), own.inci.as_str()), ("Zwxq brick", "CI 77491"));
    assert!(own.colourant.is_some_and(|c| c.shade.is_some()), "with its colour");
}

#[test]
fn a_recipe_keeps_what_was_typed_while_a_fat_of_ones_own_is_made() {
    let mut window = tall_window();
    for name in ["File", "Type in a recipe…"] {
        window.get_by_label(name).click();
        window.run();
    }
    window.run();
    type_into(&mut window, "Sodium hydroxide (NaOH) in the recipe", "130");
    type_into(&mut window, "Water in the recipe", "300");
    let begin = |window: &mut Window| {
        focus(window, "Add a fat to the recipe…");
        key(window, Key::Enter);
    };
    focus(&mut window, "Add a fat to the recipe…");
    type_text(&mut window, "Zwetschge press");
    assert!(shows(&window, "Make “Zwetschge press” a fat of your own"), "it is offered");
    key(&mut window, Key::Enter);
    assert!(shows(&window, "A fat of your own"), "the form is open");
    type_text(&mut window, "188");
    key(&mut window, Key::Escape);
    assert!(!shows(&window, "A fat of your own") && shows(&window, "Make it a design"), "back at the recipe");
    begin(&mut window);
    type_text(&mut window, "–196");
    key(&mut window, Key::Enter);
    window.get_by_label("Add it").focus();
    window.run();
    key(&mut window, Key::Enter);
    assert!(shows(&window, "Zwetschge press in the recipe"), "it is a line of the recipe");
    type_text(&mut window, "1000");
    key(&mut window, Key::Enter);
    // The same for an addition, which is taken out again.
    focus(&mut window, "Add a puree, milk or acid to the recipe…");
    type_text(&mut window, "Zwxqvj");
    key(&mut window, Key::Enter);
    type_into(&mut window, "Water, % of the addition", "80");
    window.get_by_label("Add it").click();
    window.run();
    window.get_by_label("Take Zwxqvj out of the recipe").click();
    window.run();
    window.get_by_label("Make it a design").click();
    window.run();
    let made = design(&window);
    let own = fat(&window, "Zwetschge press").expect("it is in the blend");
    assert!((own.sv.value.min() - 188.0).abs() < 1e-9 && (own.sv.value.max() - 196.0).abs() < 1e-9, "{:?}", own.sv);
    let weighed = evaluation(&window).masses;
    assert!((weighed.alkali.naoh.0 - 130.0).abs() < 1e-6 && (weighed.water_to_weigh.0 - 300.0).abs() < 1e-6);
    assert_eq!(made.spare.additions.len(), 1, "what was made here and taken out again is kept");
}
