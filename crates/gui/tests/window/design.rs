//! The design: blend, lye, files and views.

use super::{Window, design, evaluation, press, shows, told, type_into, window, window_keeping, window_with};
use barwright::files::Answer;
use barwright_core::cautions::Level;
use barwright_core::number::mass;
use barwright_core::units::{Grams, MassUnit};
use barwright_core::{Design, Library, evaluate};
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use std::path::Path;

/// The mass of fats that a design gives, g.
fn fats(design: &Design) -> f64 {
    evaluate(design, &Library::embedded().expect("assets parse")).masses.fats.0
}

fn share(window: &Window, id: &str) -> f64 {
    let design = design(window);
    let line = design.blend.lines().iter().find(|l| l.fat.id.as_str() == id);
    line.unwrap_or_else(|| panic!("{id} is not in the blend")).share.get()
}

#[test]
fn a_newcomer_sees_a_complete_bar_with_its_weights() {
    let window = window();
    let evaluation = evaluation(&window);
    let told = told(&window);
    assert!(told.iter().all(|c| c.level < Level::Stop), "{told:?}");
    for text in ["To weigh", "Sodium hydroxide (NaOH)", "Water", "Hardness", "Fatty acids"] {
        assert!(shows(&window, text), "{text} is not shown");
    }
    assert!(shows(&window, &mass(evaluation.masses.alkali.naoh, MassUnit::Gram)), "the lye is not shown");
}

#[test]
fn moving_a_slider_moves_the_lye_in_the_same_frame() {
    let mut window = window();
    let before = evaluation(&window).masses.alkali.naoh;
    window.get_by_label("Share of Coconut oil").set_value_accesskit(50.0);
    window.step();
    assert!((share(&window, "coconut") - 50.0).abs() < 1e-9, "the share is {}", share(&window, "coconut"));
    assert!(design(&window).blend.is_whole(), "the others gave way");
    let after = evaluation(&window).masses.alkali.naoh;
    assert!(after > before, "coconut takes more alkali: {after:?} against {before:?}");
    assert!(shows(&window, &mass(after, MassUnit::Gram)), "the new lye is on screen after one frame");
}

#[test]
fn a_locked_fat_holds_its_share() {
    let mut window = window();
    let coconut = share(&window, "coconut");
    window.get_by_label("Lock Coconut oil").click();
    window.run();
    window.get_by_label("Share of Castor oil").set_value_accesskit(20.0);
    window.run();
    assert!((share(&window, "coconut") - coconut).abs() < 1e-12, "it moved");
    assert!((share(&window, "castor") - 20.0).abs() < 1e-9, "castor moved");
}

#[test]
fn a_share_typed_with_a_comma_is_taken() {
    let mut window = window();
    type_into(&mut window, "Share of Castor oil, percent", "12,5");
    assert!((share(&window, "castor") - 12.5).abs() < 1e-12, "it is {}", share(&window, "castor"));
    assert!(design(&window).blend.is_whole(), "the others gave way");
}

#[test]
fn what_is_typed_wrong_is_explained_at_the_field_and_changes_nothing() {
    let mut window = window();
    let before = design(&window);
    type_into(&mut window, "Share of Castor oil, percent", "lots");
    assert!(shows(&window, "is not a number"), "the reason is missing");
    type_into(&mut window, "Share of Castor oil, percent", "130");
    assert!(shows(&window, "must lie between 0 and 100 %, not 130"), "the reason is missing");
    type_into(&mut window, "Superfat, percent", "-80");
    assert!(shows(&window, "superfat must lie between"), "the reason is missing");
    assert_eq!(design(&window), before);
    type_into(&mut window, "Share of Castor oil, percent", "10");
    assert!(!shows(&window, "not 130"), "the reason is gone once it is right");
}

#[test]
fn a_share_that_the_locks_do_not_allow_says_why() {
    let mut window = window();
    window.get_by_label("Lock Olive oil, virgin").click();
    window.run();
    type_into(&mut window, "Share of Coconut oil, percent", "90");
    assert!(shows(&window, "locked fats hold 44 %, so Coconut oil can have at most 56 %"), "the reason is missing");
}

#[test]
fn undo_takes_back_one_named_step_and_redo_does_it_again() {
    let mut window = window();
    let before = design(&window);
    window.get_by_label("Share of Castor oil").set_value_accesskit(20.0);
    window.run();
    let after = design(&window);
    assert_eq!(window.state().active().history.undo_name(), Some("share of Castor oil"));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before);
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(design(&window), after);
}

#[test]
fn a_fat_is_added_by_typing_a_part_of_its_name_and_removed_again() {
    let mut window = window();
    press(&mut window, Modifiers::COMMAND, Key::K);
    window.get_by_label("Add a fat…").type_text("shea");
    window.run();
    assert!(shows(&window, "Shea butter"), "the list shows it");
    window.key_press(Key::Enter);
    window.run();
    assert!((share(&window, "shea") - 5.0).abs() < 1e-9, "it comes in with 5 %");
    window.get_by_label("Shea butter: more").click();
    window.run();
    window.get_by_label("Remove from the blend").click();
    window.run();
    assert!(design(&window).blend.lines().iter().all(|l| l.fat.id.as_str() != "shea"), "it is gone");
    assert!(design(&window).blend.is_whole(), "the others took it up");
}

#[test]
fn an_everyday_word_takes_its_fat_and_a_misspelt_one_only_once_its_name_is_entered() {
    let mut window = window();
    type_into(&mut window, "Add a fat…", "Karite");
    assert!((share(&window, "shea") - 5.0).abs() < 1e-9, "a synonym is a name");
    let before = design(&window);
    type_into(&mut window, "Add a fat…", "babasu");
    assert_eq!(design(&window), before, "a guess is not added");
    assert_eq!(window.get_by_label("Add a fat…").value().as_deref(), Some("Babassu oil"), "its name is offered");
    window.key_press(Key::Enter);
    window.run();
    assert!((share(&window, "babassu") - 5.0).abs() < 1e-9, "the name is entered");
    window.get_by_label("Add a fat…").focus();
    window.run();
    window.get_by_label("Add a fat…").type_text("brazil nut");
    window.run();
    assert!(shows(&window, "Nothing is called so"), "the library has none");
    assert!(!shows(&window, "Did you mean"), "and nothing is near it");
}

#[test]
fn fractionated_coconut_oil_is_another_fat_than_coconut_oil() {
    let mut window = window();
    let before = share(&window, "coconut");
    type_into(&mut window, "Add a fat…", "fractionated coconut");
    assert!((share(&window, "mct") - 5.0).abs() < 1e-9, "it is taken");
    assert!(share(&window, "coconut") <= before, "and not for coconut oil");
}

#[test]
fn a_design_saves_and_reopens_to_the_same_numbers() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    let answers = vec![Answer::Path(folder.path().join("bar"))];
    let mut window = window_with(Vec::new(), answers, [1280.0, 800.0], egui::Theme::Dark);
    type_into(&mut window, "Share of Castor oil, percent", "12,5");
    type_into(&mut window, "Water to alkali ratio", "2,2");
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(!window.state().active().history.is_unsaved(), "it counts as saved");
    let (before, numbers) = (design(&window), evaluation(&window));
    let again = window_with(vec![path.clone()], Vec::new(), [1280.0, 800.0], egui::Theme::Dark);
    assert_eq!(design(&again), before);
    assert_eq!(evaluation(&again), numbers);

    // A second save goes to the same file without a question and keeps a backup.
    type_into(&mut window, "Superfat, percent", "7");
    press(&mut window, Modifiers::COMMAND, Key::S);
    let reopened = window_with(vec![path.clone()], Vec::new(), [1280.0, 800.0], egui::Theme::Dark);
    assert!((design(&reopened).superfat.get() - 7.0).abs() < 1e-12, "the new one is in the file");
    assert!(path.with_extension("barwright.bak").exists(), "the old one is beside it");
}

#[test]
fn a_file_that_another_program_changed_is_not_overwritten_unasked() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    let text = r#"(barwright: 1, name: "Mine", fats: [(fat: "coconut", share: 100)])"#;
    std::fs::write(&path, text).expect("writes");
    let mut window = window_with(vec![path.clone()], Vec::new(), [1280.0, 800.0], egui::Theme::Light);
    let theirs = text.replace("Mine", "Theirs");
    std::fs::write(&path, &theirs).expect("writes");
    type_into(&mut window, "Superfat, percent", "7");
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(shows(&window, "Another program changed this file"), "the question is missing");
    assert_eq!(std::fs::read_to_string(&path).expect("reads"), theirs, "nothing is written before the answer");
    window.get_by_label("Theirs: take the file").click();
    window.run();
    assert_eq!(design(&window).name, "Theirs");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window).name, "Mine", "mine is one undo away");
}

#[test]
fn closing_the_window_asks_for_an_unsaved_design_and_waits() {
    let mut window = window();
    type_into(&mut window, "Superfat, percent", "7");
    let root = window.input_mut().viewports.entry(egui::ViewportId::ROOT).or_default();
    root.events.push(egui::ViewportEvent::Close);
    window.step();
    window.input_mut().viewports.entry(egui::ViewportId::ROOT).or_default().events.clear();
    window.run();
    assert!(shows(&window, "Save “Fernhollow starter”?"), "the question is missing");
    window.get_by_label("Keep working").click();
    window.run();
    assert!(!shows(&window, "Save “Fernhollow starter”?"), "the question is answered");
    assert!((design(&window).superfat.get() - 7.0).abs() < 1e-12, "the change is still there");
}

#[test]
fn a_bad_file_is_explained_and_the_window_stays_as_it_was() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let bad = folder.path().join("bad.barwright");
    std::fs::write(&bad, "(barwright: 1, fats: [(fat: \"coconut\",\n share: 130)])").expect("writes");
    let newer = folder.path().join("newer.barwright");
    std::fs::write(&newer, "(barwright: 7, fats: [], dreams: [])").expect("writes");
    let answers = vec![Answer::Path(bad), Answer::Path(newer), Answer::Path(folder.path().join("none.barwright"))];
    let mut window = window_with(Vec::new(), answers, [1280.0, 800.0], egui::Theme::Light);
    let before = design(&window);
    for reason in ["line 2, column", "format version 7", "could not be read"] {
        press(&mut window, Modifiers::COMMAND, Key::O);
        assert!(shows(&window, reason), "“{reason}” is missing");
        assert_eq!(design(&window), before);
    }
}

#[test]
fn without_a_file_window_the_path_can_be_typed() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("typed.barwright");
    let mut window = window_with(Vec::new(), vec![Answer::Unavailable], [1280.0, 800.0], egui::Theme::Light);
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(shows(&window, "please type the path"), "the typed path is offered");
    window.get_by_label("Path of the file").focus();
    press(&mut window, Modifiers::COMMAND, Key::A);
    window.get_by_label("Path of the file").type_text(&path.display().to_string());
    window.run();
    window.get_all_by_label("Save").last().expect("the button").click();
    window.run();
    assert!(Path::new(&path).exists(), "it is saved");
}

#[test]
fn a_lye_heavy_recipe_from_a_book_is_stopped() {
    let mut window = window();
    window.get_by_label("File").click();
    window.run();
    window.get_by_label_contains("Type in a recipe…").click();
    window.run();
    window.get_by_label("Add a fat to the recipe…").focus();
    window.run();
    window.get_by_label("Add a fat to the recipe…").type_text("coconut");
    window.run();
    window.key_press(Key::Enter);
    window.run();
    type_into(&mut window, "Coconut oil in the recipe", "500");
    type_into(&mut window, "Sodium hydroxide (NaOH) in the recipe", "100");
    type_into(&mut window, "Water in the recipe", "150");
    assert!(shows(&window, "Lye-heavy by"), "it is said in the form");
    // What is typed last is taken before the button is pressed, and what cannot be taken presses none.
    window.get_by_label("Water in the recipe").focus();
    window.run();
    for (typed, is_taken) in [("much", false), ("200", true)] {
        press(&mut window, Modifiers::COMMAND, Key::A);
        window.get_by_label("Water in the recipe").type_text(typed);
        window.run();
        press(&mut window, Modifiers::COMMAND, Key::Enter);
        window.run();
        assert_eq!(window.query_by_label("Make it a design").is_none(), is_taken, "{typed}");
    }
    let (design, evaluation) = (design(&window), evaluation(&window));
    assert!((evaluation.masses.alkali.naoh.0 - 100.0).abs() < 1e-9, "it weighs out as the book says");
    assert!((evaluation.masses.water_to_weigh.0 - 200.0).abs() < 1e-9, "the water too");
    assert!((fats(&design) - 500.0).abs() < 1e-9, "and the fats");
    assert_eq!(told(&window).first().map(|c| c.level), Some(Level::Stop));
    assert!(shows(&window, "the bar would burn skin"), "and the design carries the stop");
}

#[test]
fn ounces_are_shown_and_typed_without_changing_the_design() {
    let mut window = window();
    let before = design(&window);
    window.get_by_label("US units").click();
    window.run();
    assert_eq!(design(&window), before);
    let naoh = evaluation(&window).masses.alkali.naoh;
    assert!(shows(&window, &mass(naoh, MassUnit::Ounce)), "the lye in ounces is missing");
    type_into(&mut window, "Mass of all fats", "32");
    let expected = MassUnit::Ounce.to_grams(32.0);
    assert!((fats(&design(&window)) - expected.0).abs() < 1e-9, "32 oz were typed");
    type_into(&mut window, "Mass of all fats", "1 kg");
    assert_eq!(Grams(fats(&design(&window))), Grams(1000.0));
}

#[test]
fn two_designs_stand_side_by_side_with_their_differences() {
    let mut window = window();
    press(&mut window, Modifiers::COMMAND, Key::D);
    type_into(&mut window, "Share of Coconut oil, percent", "36");
    press(&mut window, Modifiers::COMMAND, Key::Num2);
    assert!(shows(&window, "B − A"), "the differences are missing");
    assert!(shows(&window, "−10.0"), "36 % less 26 % in the other direction");
    assert_eq!(window.state().designs().len(), 2);
}

#[test]
fn every_view_keeps_its_main_controls_in_both_themes_and_sizes() {
    for theme in [egui::Theme::Light, egui::Theme::Dark] {
        for size in [[1280.0, 720.0], [1920.0, 1080.0], [1000.0, 560.0]] {
            let mut window = window_with(Vec::new(), Vec::new(), size, theme);
            for text in ["File", "Undo", "Share of Castor oil", "Superfat", "Copy what to weigh", "Style of bar"] {
                let node = window.query_all_by_label(text).next();
                let rect = node.unwrap_or_else(|| panic!("{text} is missing at {size:?}")).rect();
                assert!(rect.right() <= size[0] + 0.5 && rect.left() >= -0.5, "{text} is cut at {size:?}: {rect:?}");
            }
            press(&mut window, Modifiers::COMMAND, Key::Num4);
            for text in ["Day of making", "Save as calendar file…", "Copy the label text", "Currency", "So much fat"]
            {
                let rect = window.get_by_label(text).rect();
                assert!(rect.right() <= size[0] + 0.5 && rect.left() >= -0.5, "{text} is cut at {size:?}: {rect:?}");
            }
            press(&mut window, Modifiers::COMMAND, Key::D);
            press(&mut window, Modifiers::COMMAND, Key::Num2);
            for text in ["Swap A and B", "First design", "Second design"] {
                let rect = window.get_by_label(text).rect();
                assert!(rect.right() <= size[0] + 0.5 && rect.left() >= -0.5, "{text} is cut at {size:?}: {rect:?}");
            }
        }
    }
}

#[test]
fn an_idle_window_asks_for_no_further_frame() {
    let mut window = window();
    window.run();
    window.step();
    let output = window.output();
    let root = &output.viewport_output[&egui::ViewportId::ROOT];
    assert!(root.repaint_delay > std::time::Duration::from_secs(5), "it repaints after {:?}", root.repaint_delay);
    let _ = window.root().accesskit_node();
}

#[test]
fn a_number_being_typed_is_in_the_file_that_a_save_writes() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    let mut window = window_with(Vec::new(), vec![Answer::Path(path.clone())], [1280.0, 800.0], egui::Theme::Light);
    window.get_by_label("Superfat, percent").focus();
    window.run();
    window.get_by_label("Superfat, percent").type_text("7");
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::S);
    let again = window_with(vec![path], Vec::new(), [1280.0, 800.0], egui::Theme::Light);
    assert!((design(&again).superfat.get() - 7.0).abs() < 1e-12, "it is {}", design(&again).superfat.get());
}

#[test]
fn a_refused_number_gives_way_when_the_value_changes_in_another_way() {
    let mut window = window();
    type_into(&mut window, "Share of Castor oil, percent", "130");
    window.get_by_label("Share of Castor oil").set_value_accesskit(20.0);
    window.run();
    let field = window.get_by_label("Share of Castor oil, percent").value();
    assert_eq!(field.as_deref(), Some("20.0 %"), "the field hides the value");
}

#[test]
fn a_copy_that_is_in_no_file_is_not_closed_unasked() {
    let mut window = window();
    press(&mut window, Modifiers::COMMAND, Key::D);
    press(&mut window, Modifiers::COMMAND, Key::W);
    assert!(shows(&window, "Save “Fernhollow starter, varied”?"), "the question is missing");
    window.get_by_label("Close without saving").click();
    window.run();
    assert_eq!(window.state().designs().len(), 1);
    press(&mut window, Modifiers::COMMAND, Key::W);
    assert!(!shows(&window, "Save “"), "the untouched starter can be had again");
}

#[test]
fn a_quit_that_was_broken_off_forgets_what_might_be_lost() {
    let mut window = window();
    type_into(&mut window, "Superfat, percent", "7");
    press(&mut window, Modifiers::COMMAND, Key::D);
    let quit = |window: &mut Window| {
        window.get_by_label("File").click();
        window.run();
        window.get_by_label("Quit").click();
        window.run();
    };
    quit(&mut window);
    assert!(shows(&window, "Save 2 designs?"), "both are asked for");
    for name in ["– Fernhollow starter (no file yet)", "– Fernhollow starter, varied (no file yet)"] {
        assert!(window.query_by_label(name).is_some(), "{name} is not listed");
    }
    // Saving asks where, and the file window is put away.
    window.get_by_label("Save all").click();
    window.run();
    assert!(shows(&window, "Not saved") && !shows(&window, "Save 2 designs?"), "the window stays");
    quit(&mut window);
    assert!(shows(&window, "Save 2 designs?"), "both are asked for again");
}

#[test]
fn a_file_opens_once_however_its_path_is_written() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    std::fs::write(&path, "(barwright: 1, name: \"One\", fats: [(fat: \"coconut\", share: 100)])").expect("writes");
    let crooked =
        folder.path().join(".").join("..").join(folder.path().file_name().expect("a name")).join("bar.barwright");
    let window = window_with(vec![path, crooked], Vec::new(), [1280.0, 800.0], egui::Theme::Light);
    assert_eq!(window.state().designs().len(), 1);
}

#[test]
fn a_value_off_a_slider_is_kept_as_it_is() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    let text =
        "(barwright: 1, fats: [(fat: \"coconut\", share: 100)], superfat: 22.13, water: LyeConcentration(18.37))";
    std::fs::write(&path, text).expect("writes");
    let mut window = window_with(vec![path], Vec::new(), [1280.0, 800.0], egui::Theme::Light);
    window.run();
    assert!(!window.state().active().history.is_unsaved(), "to look at a design does not change it");
    assert!((design(&window).superfat.get() - 22.13).abs() < 1e-12, "the superfat moved");
}

#[test]
fn unsaved_work_of_a_window_that_broke_off_is_offered_beside_its_file() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    std::fs::write(&path, "(barwright: 1, name: \"Quince\", fats: [(fat: \"coconut\", share: 100)])").expect("writes");
    let keep = Some(folder.path().join("recovery"));
    let size = [1280.0, 800.0];
    let mut window =
        window_keeping([keep.clone(), None, None], vec![path.clone()], Vec::new(), size, egui::Theme::Light);
    type_into(&mut window, "Superfat, percent", "7");
    // More than a second of rest, by the harness's own clock.
    window.run_steps(90);
    drop(window);
    let saved = std::fs::read_to_string(&path).expect("reads");

    let mut window = window_keeping([keep.clone(), None, None], Vec::new(), Vec::new(), size, egui::Theme::Light);
    assert!(shows(&window, "Unsaved work was found"), "the offer is missing");
    window.get_by_label("Open it").click();
    window.run();
    let superfats: Vec<f64> = window.state().designs().iter().map(|d| d.design().superfat.get()).collect();
    assert!(superfats.iter().any(|s| (s - 7.0).abs() < 1e-12), "the change is back: {superfats:?}");
    assert!(superfats.iter().any(|s| (s - 5.0).abs() < 1e-12), "the file stands beside it: {superfats:?}");
    assert!(shows(&window, "B − A"), "side by side");
    assert_eq!(std::fs::read_to_string(&path).expect("reads"), saved, "the file is as it was");
}

#[test]
fn a_blend_typed_from_top_to_bottom_is_the_one_that_was_typed() {
    let mut window = window();
    let shares = |window: &Window| -> Vec<f64> {
        design(window).blend.lines().iter().map(|l| (l.share.get() * 1e9).round() / 1e9).collect()
    };
    assert_eq!(shares(&window), [44.0, 26.0, 22.0, 8.0], "the starter");
    let names: Vec<String> = design(&window).blend.lines().iter().map(|l| l.fat.name.clone()).collect();
    for (name, share) in names.iter().zip(["40", "30", "22", "8"]) {
        type_into(&mut window, &format!("Share of {name}, percent"), share);
        assert!(design(&window).blend.is_whole(), "the others give way: {:?}", shares(&window));
    }
    assert_eq!(shares(&window), [40.0, 30.0, 22.0, 8.0], "as typed");
    assert!(shows(&window, "4 typed shares hold"), "and it says so");
    type_into(&mut window, &format!("Share of {}, percent", names[3]), "5");
    assert_eq!(shares(&window), [40.0, 30.0, 22.0, 5.0], "nothing is left to give way");
    assert!(shows(&window, "3 % still free"), "what is free is told");
    press(&mut window, Modifiers::COMMAND, Key::K);
    window.get_by_label("Add a fat…").type_text("shea");
    window.run();
    window.key_press(Key::Enter);
    window.run();
    assert_eq!(shares(&window), [40.0, 30.0, 22.0, 5.0, 3.0], "a fat that is added takes it");
    window.get_by_label("Let typed shares give way again").click();
    window.run();
    assert!(!shows(&window, "typed shares hold"), "the sitting is over");
    type_into(&mut window, &format!("Share of {}, percent", names[0]), "43");
    assert!(design(&window).blend.is_whole(), "the others give way again: {:?}", shares(&window));
}

#[test]
fn a_pasted_list_becomes_a_blend_once_it_is_understood() {
    let mut window = window();
    let before = design(&window);
    press(&mut window, Modifiers::COMMAND, Key::B);
    assert!(shows(&window, "Type or paste a blend"), "the form is open");
    let field = "The blend, a fat on each line";
    window.get_by_label(field).type_text("Olive oil 500 g\ncoconut: 1200/4 g\nmoonbeam 100 g\nwater 300 g");
    window.run();
    for text in ["Olive oil, virgin", "Coconut oil", "no fat is called so", "left out, it follows"] {
        assert!(shows(&window, text), "{text}");
    }
    window.get_by_label("Use this blend").click();
    window.run();
    assert_eq!(design(&window), before, "what is not understood is not taken");
    window.get_by_label(field).focus();
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::A);
    window.get_by_label(field).type_text("Olive oil 500 g\ncoconut: 1200/4 g\nshea 200 g");
    window.run();
    assert!(shows(&window, "Make the batch of 1\u{202f}000.0 g of fats") || shows(&window, "of fats"), "its size");
    // From within the box.
    press(&mut window, Modifiers::COMMAND, Key::Enter);
    let now = design(&window);
    let shares: Vec<(String, f64)> =
        now.blend.lines().iter().map(|l| (l.fat.id.to_string(), (l.share.get() * 1e9).round() / 1e9)).collect();
    let expected =
        [("olive_virgin", 50.0), ("coconut", 30.0), ("shea", 20.0)].map(|(id, share)| (id.to_owned(), share));
    assert_eq!(shares, expected);
    assert!((evaluation(&window).masses.fats.0 - 1000.0).abs() < 1e-9, "as large as the weights say");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "one step takes it back");
}
