//! A Stop in the window: at the top of every view, with what it withholds.

use super::{Window, design, open_view, press, shows, tall_window, told, type_into, window_with};
use barwright::files::Answer;
use barwright_core::cautions::Caution;
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::Queryable;

/// A window with a design that is lye-heavy.
fn stopped(window: &mut Window) -> Caution {
    type_into(window, "Superfat, percent", "-4");
    told(window).into_iter().find(Caution::blocks).expect("lye-heavy")
}

#[test]
fn it_stands_at_the_top_of_every_view_and_its_remedy_is_one_step() {
    let mut window = tall_window();
    let before = design(&window);
    assert!(!shows(&window, "STOP: "), "the starter design has none");
    let stop = stopped(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::D);
    for view in [Key::Num1, Key::Num2, Key::Num3, Key::Num4] {
        open_view(&mut window, view);
        assert!(shows(&window, &stop.line()), "{view:?} shows “{}”", stop.line());
    }
    press(&mut window, Modifiers::COMMAND, Key::T);
    assert!(shows(&window, &stop.why), "and so does the page of troubles");
    open_view(&mut window, Key::Num3);
    let remedy = stop.remedy.expect("more superfat").label;
    let top = |window: &Window| window.get_all_by_label(&remedy).next().is_some();
    assert!(top(&window), "its remedy stands beside it");
    window.get_all_by_label(&remedy).next().expect("it").click();
    window.step();
    super::find::wait(&mut window);
    assert!(!shows(&window, &stop.why), "it is gone");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.step();
    super::find::wait(&mut window);
    assert!(shows(&window, &stop.why), "one step, that can be undone");
    press(&mut window, Modifiers::COMMAND, Key::Num1);
    type_into(&mut window, "Superfat, percent", &before.superfat.get().to_string());
    assert!(!shows(&window, "STOP: "), "as it was");
}

#[test]
fn while_it_stands_nothing_says_label_price_or_sale() {
    let mut window = tall_window();
    stopped(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    for withheld in ["Copy the label text", "A bar at a margin of", "Cure ends", "A bar at sale", "Cure of a bar"] {
        assert!(!shows(&window, withheld), "{withheld} is withheld");
    }
    for told in ["While a Stop stands there is no label text", "Do not use"] {
        assert!(shows(&window, told), "{told} is said instead");
    }
}

#[test]
fn its_sheet_is_saved_after_a_question_only() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("sheet.txt");
    let answers = vec![Answer::Path(path.clone())];
    let mut window = window_with(Vec::new(), answers, [1280.0, 2000.0], egui::Theme::Light);
    let stop = stopped(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    let asks = |window: &Window| shows(window, "A Stop stands against this batch");
    window.get_by_label("Keep as a file").click();
    window.run();
    window.get_by_label("Save as text…").click();
    window.run();
    assert!(asks(&window) && !path.exists(), "asked first");
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(!asks(&window) && !path.exists(), "Enter goes back");
    window.get_by_label("Keep as a file").click();
    window.run();
    window.get_by_label("Save as text…").click();
    window.run();
    window.get_by_label("Go on, with STOP on each page").click();
    window.run();
    window.run();
    let text = std::fs::read_to_string(&path).expect("it is written");
    assert!(text.matches("STOP").count() > 1, "{text}");
    assert!(text.replace('\n', " ").contains(stop.why.split_whitespace().next().expect("a word")), "{text}");
}

#[test]
fn a_purity_that_is_not_usual_is_doubted_until_it_is_read_from_the_tub() {
    let mut window = tall_window();
    let tick = "The purity of the sodium hydroxide is read from this tub";
    assert!(window.query_by_label(tick).is_none(), "99 % is usual");
    type_into(&mut window, "Purity of the sodium hydroxide, percent", "96");
    let read = |window: &Window| design(window).alkali.naoh_read_from_tub;
    assert!(!read(&window) && told(&window).iter().any(|c| c.code.starts_with("naoh-purity")), "doubted");
    window.get_by_label(tick).focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::Space);
    assert!(read(&window), "ticked with the keyboard");
    type_into(&mut window, "Purity of the sodium hydroxide, percent", "95");
    assert!(!read(&window), "another purity was not read from it");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(read(&window), "and undo brings both back");
}

#[test]
fn a_blend_that_is_found_carries_it() {
    let mut window = tall_window();
    stopped(&mut window);
    super::find::open_find(&mut window);
    let count = window.query_all_by_label_contains("STOP: ").count();
    let cards = window.query_all_by_label("Take this blend").count();
    assert!(cards > 0 && count > cards, "{count} lines for {cards} open cards and the top of the view");
}
