//! The shelf: lots put there, corrected, read from a table, traced, and offered to designs.

use super::{Answers, Window, design, example, press, shows, type_into};
use barwright::app::{App, Setup};
use barwright::files::{Answer, load_shelf};
use barwright::safely::Watch;
use barwright::shelf::{FILE, ShelfKeeper};
use barwright_core::design::shelf::Shelf;
use barwright_core::{Library, evaluate};
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::path::{Path, PathBuf};

fn window_of(shelf: &Path, paths: Vec<PathBuf>, answers: Vec<Answer>) -> Window {
    let shelf = shelf.to_owned();
    let mut window = Harness::builder().with_size([1280.0, 1000.0]).with_max_steps(64).build_eframe(move |cc| {
        let setup = Setup {
            library: library(),
            paths,
            preferences: None,
            recovery: None,
            shelf: Some(shelf),
            locks: None,
            folders: None,
            dialogs: Box::new(Answers(answers.into(), None)),
            watch: Watch::default(),
            patience: std::time::Duration::from_mins(1),
        };
        cc.egui_ctx.set_theme(egui::Theme::Light);
        App::new(&cc.egui_ctx, setup)
    });
    window.run();
    window
}

fn library() -> Library {
    Library::embedded().expect("assets parse")
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

fn season() -> tempfile::TempDir {
    let folder = folder();
    std::fs::copy(example("season/shelf.ron"), folder.path().join(FILE)).expect("copies");
    folder
}

fn kept(folder: &Path) -> Shelf {
    load_shelf(&folder.join(FILE), &library()).expect("a shelf").0
}

fn page(window: &mut Window, title: &str) {
    press(window, Modifiers::COMMAND, Key::Num6);
    window.get_by_role_and_label(egui::accesskit::Role::Button, title).click();
    window.run();
}

fn click(window: &mut Window, name: &str) {
    window.get_by_label(name).click();
    window.run();
}

#[test]
fn a_lot_is_put_on_the_shelf_by_keyboard_and_corrected_with_a_reason() {
    let folder = folder();
    let mut window = window_of(folder.path(), Vec::new(), Vec::new());
    page(&mut window, "Lots");
    window.get_by_label("Add a lot…").focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::Enter);
    type_into(&mut window, "Material of the lot", "olive oil, virgin");
    if window.query_by_label("Material of the lot").is_some() {
        press(&mut window, Modifiers::NONE, Key::Enter);
    }
    assert!(window.get_by_label("How much came").is_focused(), "the hand goes on");
    window.get_by_label("How much came").type_text("5 kg");
    window.run();
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(window.get_by_label("Supplier of the lot").is_focused(), "Enter goes on");
    window.get_by_label("Supplier of the lot").type_text("Hillside press");
    window.run();
    press(&mut window, Modifiers::NONE, Key::Enter);
    type_into(&mut window, "The supplier’s number", "HP-1");
    type_into(&mut window, "Saponification value by its papers", "burnt");
    click(&mut window, "Put it on the shelf");
    assert!(shows(&window, "burnt"), "told, and nothing is lost");
    assert!(kept_or_none(folder.path()).is_none(), "nothing is kept yet");
    window.get_by_label("Saponification value by its papers").focus();
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::A);
    window.get_by_label("Saponification value by its papers").type_text("190,4");
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::Enter);
    let lot = kept(folder.path()).lots.remove(0);
    assert_eq!((lot.grams.get(), lot.number.as_str()), (5000.0, "HP-1"));
    assert_eq!(lot.papers.sv.map(|(sv, _)| sv.get()), Some(190.4));
    assert!(shows(&window, "L1"), "it is shown");

    click(&mut window, "Correct what is left…");
    window.get_by_label("Left by the count").type_text("4800");
    window.run();
    click(&mut window, "Correct it");
    assert!(shows(&window, "a correction needs a reason"), "refused, with why");
    click(&mut window, "Reason: spilt");
    click(&mut window, "Correct it");
    let shelf = kept(folder.path());
    assert!((shelf.stock().left(shelf.lots[0].id).left - 4800.0).abs() < 1e-9);
    assert_eq!(shelf.lots[0].corrections[0].reason.as_str(), "spilt");
}

fn kept_or_none(folder: &Path) -> Option<Shelf> {
    load_shelf(&folder.join(FILE), &library()).ok().map(|(shelf, _)| shelf)
}

#[test]
fn a_table_with_a_wrong_line_is_taken_once_it_is_mended() {
    let folder = folder();
    let table = folder.path().join("lots.csv");
    std::fs::write(&table, "what is it,grams\nolive_virgin,5000\nolive_virgn,300\n").expect("writes");
    let mut window =
        window_of(folder.path(), Vec::new(), vec![Answer::Path(table.clone()), Answer::Path(table.clone())]);
    page(&mut window, "Import");
    click(&mut window, "Read a table…");
    assert!(shows(&window, "no column says what a lot is of"), "the column is to be matched");
    click(&mut window, "What column “what is it” is");
    window.get_by_label("material").click();
    window.run();
    assert!(shows(&window, "line 3, material: “olive_virgn” is in no table"), "told by its line");
    click(&mut window, "Put 1 lot on the shelf");
    assert!(kept_or_none(folder.path()).is_none(), "all or none");
    std::fs::write(&table, "material,grams\nolive_virgin,5000\ncoconut,300\n").expect("writes");
    click(&mut window, "Read a table…");
    click(&mut window, "Put 2 lots on the shelf");
    assert_eq!(kept(folder.path()).lots.len(), 2);
    assert!(shows(&window, "2 lots are on the shelf now"));
}

#[test]
fn a_lot_is_traced_to_two_friends_and_a_market_day_and_back() {
    let folder = season();
    let mut window = window_of(folder.path(), Vec::new(), Vec::new());
    page(&mut window, "Trace");
    assert!(window.get_by_label("A lot, a batch or a person").is_focused(), "one types at once");
    window.get_by_label("A lot, a batch or a person").type_text("hp-2601");
    window.run();
    for who in ["Ada of the lower orchard", "Bo at the mill", "market day, Fernhollow green"] {
        assert!(window.query_by_role_and_label(egui::accesskit::Role::Button, who).is_some(), "{who}");
    }
    window.get_by_role_and_label(egui::accesskit::Role::Button, "Bo at the mill").click();
    window.run();
    assert!(shows(&window, "Lots that went into them"), "back from a person");
    assert!(shows(&window, "Hillside press, HP-2601"), "to the lot");
}

#[test]
fn a_second_window_only_looks_and_says_why() {
    let folder = season();
    let first = ShelfKeeper::open(Some(folder.path()), &library());
    let mut window = window_of(folder.path(), Vec::new(), Vec::new());
    page(&mut window, "Lots");
    assert!(shows(&window, "the shelf is open in another window"), "said in words");
    click(&mut window, "Add a lot…");
    assert!(window.query_by_label("How much came").is_none(), "the button is off");
    drop(first);
    click(&mut window, "Look again");
    assert!(!shows(&window, "the shelf is open in another window"), "it is ours now");
    click(&mut window, "Add a lot…");
    assert!(window.query_by_label("Material of the lot").is_some());
}

#[test]
fn what_a_certificate_says_is_offered_taken_and_undone() {
    let folder = folder();
    let text = "(barwright_shelf: 1, lots: [(id: (1), stuff: Fat(\"olive_virgin\"), grams: 9000, \
        papers: (sv: Some((192.4, 1.0))))])";
    std::fs::write(folder.path().join(FILE), text).expect("writes");
    let mut window = window_of(folder.path(), vec![example("orchard-olive.barwright")], Vec::new());
    let before = design(&window);
    assert!(shows(&window, "the certificate of L1 says saponification value 192.4"), "offered in Design");
    assert_eq!(design(&window), before, "and nothing is changed by itself");
    click(&mut window, "Use what L1 says");
    let after = design(&window);
    let naoh = |d| evaluate(d, &library()).masses.alkali.naoh.0;
    assert!((naoh(&after) - naoh(&before)).abs() > 0.01, "another alkali");
    assert!(window.query_by_label("Use what L1 says").is_none(), "and is quiet");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "one step back");
    click(&mut window, "Leave the design as it is, whatever L1 says");
    assert!(!shows(&window, "the certificate of L1"), "not asked again");
}

#[test]
fn a_planned_batch_sets_aside_and_says_what_to_buy() {
    let folder = season();
    let mut window = window_of(folder.path(), vec![example("season/orchard-olive.barwright")], Vec::new());
    page(&mut window, "To make, to buy");
    let before = kept(folder.path()).plans.len();
    type_into(&mut window, "Day of the planned batch", "2026-12-05");
    window.get_by_label_contains("Plan “").click();
    window.run();
    let shelf = kept(folder.path());
    assert_eq!(shelf.plans.len(), before + 1);
    assert!(shows(&window, "5 Dec 2026"));
}

#[test]
fn what_ends_soon_is_looked_for_a_blend_that_uses_it_up() {
    let folder = folder();
    let soon = barwright::clock::today().succ_opt().expect("there is a tomorrow");
    let text = format!(
        "(barwright_shelf: 1, lots: [(id: (1), stuff: Fat(\"coconut\"), grams: 300, best_before: Some(\"{soon}\")), \
         (id: (2), stuff: Fat(\"olive_virgin\"), grams: 900), (id: (3), stuff: Fat(\"castor\"), grams: 200)])"
    );
    std::fs::write(folder.path().join(FILE), text).expect("writes");
    let mut window = window_of(folder.path(), vec![example("orchard-olive.barwright")], Vec::new());
    page(&mut window, "To make, to buy");
    window.get_by_label_contains("Find a blend that uses up").click();
    window.step();
    super::find::wait(&mut window);
    click(&mut window, "Fats and prices");
    assert!(shows(&window, "All of the Coconut"), "asked for in words");
    let ticked = window.get_by_label("From the shelf");
    assert_eq!(ticked.accesskit_node().toggled(), Some(egui::accesskit::Toggled::True));
}

#[test]
fn a_mould_of_the_workshop_is_taken_as_one_step() {
    let folder = season();
    let mut window = window_of(folder.path(), vec![example("orchard-olive.barwright")], Vec::new());
    let before = design(&window);
    page(&mut window, "Workshop");
    click(&mut window, "Use long loaf for the design in hand");
    let after = design(&window);
    assert_ne!(after.size, before.size);
    assert_eq!(after.bars.get(), 9);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "one step back");
    click(&mut window, "Add a jug…");
    window.get_by_label("Name of the tool").type_text("small jug");
    window.run();
    click(&mut window, "Keep it");
    assert!(shows(&window, "say how much it holds"), "told what is missing");
    type_into(&mut window, "What it holds, ml", "800");
    click(&mut window, "Keep it");
    assert_eq!(kept(folder.path()).workshop.jugs.len(), 2);
}

#[test]
fn prices_of_the_shelf_count_where_the_design_has_none() {
    let folder = season();
    let mut window = window_of(folder.path(), vec![example("season/cellar-scrub.barwright")], Vec::new());
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    assert!(shows(&window, "Prices from the shelf, until the design has its own"), "marked");
    assert!(design(&window).prices.is_empty(), "and not written into the design");
}
