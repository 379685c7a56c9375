//! The Log view: a batch from its plan to the last bar, by the names of its controls.

use super::{Window, example, press, shows, type_into, window_keeping, window_with};
use barwright::files::Answer;
use barwright_core::Library;
use barwright_core::bench::record::{Record, State};
use barwright_core::design::document;
use barwright_core::design::log::{Batch, Happened, LotId, What};
use barwright_core::design::shelf::{Lot, Shelf, Stuff};
use barwright_core::design::words::Day;
use barwright_core::library::material::MaterialId;
use barwright_core::number;
use barwright_core::units::{AmountMass, Grams, MassUnit, Measures};
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Tall enough that the whole record is in sight.
const SIZE: [f32; 2] = [1280.0, 2400.0];

fn click(window: &mut Window, name: &str) {
    window.get_by_label(name).click();
    window.run();
}

fn is_off(window: &Window, name: &str) -> bool {
    window.get_by_label(name).accesskit_node().is_disabled()
}

/// A copy of an example in a folder that goes with the test.
fn in_folder(folder: &Path) -> PathBuf {
    let path = folder.join("loaf.barwright");
    std::fs::copy(example("apple-oat-loaf.barwright"), &path).expect("an example");
    path
}

fn begun(folder: &Path, shelf: Option<PathBuf>) -> Window {
    let path = in_folder(folder);
    let mut window = window_keeping([None, shelf, None], vec![path], Vec::new(), SIZE, egui::Theme::Light);
    press(&mut window, Modifiers::COMMAND, Key::Num5);
    assert!(shows(&window, "Nothing was made of this design yet"), "an empty log says what to do");
    click(&mut window, "Begin a batch");
    window
}

/// Begins a batch where the Log view is shown and has none.
pub(crate) fn begin_if_empty(window: &mut Window) {
    if shows(window, "Nothing was made of this design yet") {
        click(window, "Begin a batch");
        // It goes by itself, and would not be there any more.
        click(window, "Dismiss the message");
    }
}

fn batch(window: &Window) -> Batch {
    window.state().active().log().batches().last().expect("a batch").clone()
}

fn record(window: &Window) -> Record {
    let library = Library::embedded().expect("assets parse");
    Record::of(&batch(window), &BTreeMap::new(), &library, Measures::METRIC)
}

/// The names of the rows with their planned weights.
fn plan(window: &Window) -> Vec<(String, f64)> {
    record(window).rows.iter().map(|row| (row.name.clone(), row.plan.0)).collect()
}

fn weigh(window: &mut Window, name: &str, grams: f64) {
    type_into(window, &format!("Weight of {name}"), &format!("{grams:.1}"));
}

const NAOH: &str = "Sodium hydroxide (NaOH)";

/// Weighs everything as planned, by the keyboard alone: Enter goes on to the next weight.
fn weigh_all(window: &mut Window) {
    let plan = plan(window);
    window.get_by_label(&format!("Weight of {}", plan[0].0)).focus();
    window.run();
    for (name, grams) in plan {
        let called = format!("Weight of {name}");
        let field = window.get_by_label(&called);
        assert!(field.accesskit_node().is_focused(), "Enter leads to {name}");
        field.type_text(&format!("{grams:.1}"));
        window.run();
        window.key_press(Key::Enter);
        window.run();
    }
}

fn last(window: &Window) -> Happened {
    batch(window).entries().last().expect("an entry").what.clone()
}

#[test]
fn a_batch_goes_from_its_plan_to_bars_that_are_given_away() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = begun(folder.path(), None);
    assert!(shows(&window, "Superfat as planned: 6.0 %"));
    assert!(is_off(&window, "Lye goes in"), "nothing is weighed yet");
    weigh_all(&mut window);
    assert!(shows(&window, "Superfat as weighed"), "all is typed");
    assert!(batch(&window).entries().is_empty(), "typed is not entered");

    // Far too much sodium hydroxide: seen before anything is entered.
    let naoh = plan(&window).into_iter().find(|(name, _)| name == NAOH).expect("a lye").1;
    weigh(&mut window, NAOH, naoh * 1.2);
    assert!(shows(&window, "STOP"), "the Stop stands there in words");
    assert!(is_off(&window, "Lye goes in"), "and the lye stays out");
    weigh(&mut window, NAOH, naoh);
    assert!(!is_off(&window, "Lye goes in"), "it is put right");
    type_into(&mut window, &format!("Weight of {NAOH}"), "1O7");
    assert!(is_off(&window, "Lye goes in"), "what is typed is no weight");
    assert!(shows(&window, "is no weight: type it anew"), "and it says so");
    weigh(&mut window, NAOH, naoh);
    click(&mut window, "Lye goes in");
    assert_eq!(last(&window), Happened::LyeIn);
    let weighed = batch(&window).entries().iter().filter(|e| matches!(e.what, Happened::Weighed { .. })).count();
    assert_eq!(weighed, plan(&window).len(), "what was typed is entered with it");
    assert!(shows(&window, "The lye went in on"));

    type_into(&mut window, "Temperature, Lye at its hottest", "81");
    type_into(&mut window, "Minutes, To trace", "4");
    click(&mut window, "Enter heat and times");
    assert!(matches!(last(&window), Happened::Took { .. }));
    click(&mut window, "It is in the mould");
    assert_eq!(last(&window), Happened::Made);

    assert!(is_off(&window, "Write down: test"), "bars are tested, not the loaf");
    type_into(&mut window, "Hours from pouring to cutting", "24");
    type_into(&mut window, "Number of bars", "8");
    click(&mut window, "Write down: cut");
    assert_eq!(record(&window).state, State::Curing);
    assert!(shows(&window, "State: curing"));

    assert!(is_off(&window, "The bars are free"), "not without a test");
    assert!(is_off(&window, "Print labels… of this batch"), "and no labels");
    type_into(&mut window, "How many bars went out", "3");
    assert!(is_off(&window, "Write down: bars that went out"), "bars that are not free are not given");
    assert!(shows(&window, "only free ones are given or sold"), "and it says so");
    type_into(&mut window, "How it was tested", "phenolphthalein");
    assert!(is_off(&window, "Write down: test"), "nothing passes before somebody says so");
    click(&mut window, "Passed");
    click(&mut window, "Write down: test");
    assert!(shows(&window, "The cure as planned ends on"), "on the day of pouring, and it says so");
    click(&mut window, "The bars are free");
    assert_eq!(record(&window).state, State::Free);
    assert!(!is_off(&window, "Print labels… of this batch"), "labels go with free bars");
    click(&mut window, "Write down: bars that went out");
    assert_eq!(record(&window).left(), 5);
    assert!(shows(&window, "5 of 8 bars left"));
    type_into(&mut window, "How many bars went out", "9");
    assert!(is_off(&window, "Write down: bars that went out"), "no more than there are");

    // What was entered lies in the file.
    let library = Library::embedded().expect("assets parse");
    let bytes = std::fs::read(folder.path().join("loaf.barwright")).expect("the file");
    let saved = document::read_with_log(&bytes, &library).expect("it reads");
    assert_eq!(saved.log.batches(), [batch(&window)]);
}

#[test]
fn an_entry_is_corrected_or_struck_and_never_overwritten() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = begun(folder.path(), None);
    let (name, grams) = plan(&window)[0].clone();
    weigh(&mut window, &name, grams);
    click(&mut window, "Enter the weights");
    weigh(&mut window, &name, grams + 10.0);
    assert_eq!(batch(&window).entries().len(), 1, "typed over, not entered");
    click(&mut window, "Enter the weights");
    let entries = batch(&window).entries().to_vec();
    assert_eq!((entries.len(), entries[1].corrects), (2, Some(0)), "the later one corrects the first");

    let note = "Smells of apple";
    let field = window.get_all_by_label("Words to write down").next().expect("a field for a note");
    field.focus();
    window.run();
    window.get_all_by_label("Words to write down").next().expect("it").type_text(note);
    window.run();
    click(&mut window, "Write down: note");
    assert!(shows(&window, note));
    click(&mut window, &format!("Strike: {note}"));
    assert!(is_off(&window, "Strike it out"), "it needs a reason");
    type_into(&mut window, "Why it is struck", "another batch");
    click(&mut window, "Strike it out");
    assert_eq!(batch(&window).entries().len(), 4, "both stay in the record");
    assert!(!shows(&window, note), "it no longer stands");
    click(&mut window, "Corrected lines too");
    assert!(shows(&window, "struck out"), "and can be seen, with the reason");
    assert!(shows(&window, "another batch"));
}

#[test]
fn a_withdrawn_batch_leads_nowhere_but_by_a_correction() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = begun(folder.path(), None);
    type_into(&mut window, "Why it is withdrawn", "the wrong tub of alkali");
    click(&mut window, "Withdraw: withdrawal");
    assert_eq!(record(&window).state, State::Withdrawn);
    assert!(shows(&window, "State: withdrawn"));
    assert!(window.query_by_label("The bars are free").is_none(), "there is no way on");
    click(&mut window, "Strike: Withdrawn: the wrong tub of alkali");
    type_into(&mut window, "Why it is struck", "it was the right tub");
    click(&mut window, "Strike it out");
    assert_eq!(record(&window).state, State::Raw);
}

#[test]
fn an_arrow_key_in_a_weight_is_a_step_of_the_unit_that_is_shown() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = begun(folder.path(), None);
    click(&mut window, "US units");
    let told = record(&window).rows[0].told;
    let called = format!("Weight of {}", plan(&window)[0].0);
    window.get_by_label(&called).focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::ArrowUp);
    let expected = number::mass(told + Grams(0.1 * MassUnit::Ounce.grams()), MassUnit::Ounce);
    assert_eq!(window.get_by_label(&called).value().as_deref(), Some(expected.as_str()), "a tenth of an ounce more");
}

#[test]
fn what_is_typed_is_undone_and_outlives_another_view_and_another_design() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut window = begun(folder.path(), None);
    let (name, grams) = plan(&window)[0].clone();
    weigh(&mut window, &name, grams);
    let typed = |window: &Window| shows(window, "Enter the weights") && !is_off(window, "Enter the weights");
    assert!(typed(&window));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(!typed(&window), "it is taken back");
    press(&mut window, Modifiers::COMMAND, Key::Y);
    assert!(typed(&window), "and typed again");
    press(&mut window, Modifiers::COMMAND, Key::Num1);
    press(&mut window, Modifiers::COMMAND, Key::N);
    press(&mut window, Modifiers::COMMAND, Key::Num5);
    assert!(shows(&window, "Nothing was made of this design yet"), "another design");
    press(&mut window, Modifiers::COMMAND, Key::W);
    press(&mut window, Modifiers::COMMAND, Key::Num5);
    assert!(typed(&window), "it is still there");
    press(&mut window, Modifiers::COMMAND, Key::W);
    assert!(shows(&window, "Weights are typed and not entered"), "it is told before it would be lost");
    click(&mut window, "Keep working");
    assert!(typed(&window));
}

#[test]
fn a_batch_is_begun_in_make_in_the_size_that_is_shown_there_and_made_again() {
    let mut window = window_with(Vec::new(), Vec::new(), SIZE, egui::Theme::Light);
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    click(&mut window, "So many times");
    click(&mut window, "Begin a batch");
    let first = record(&window).rows[0].name.clone();
    assert!(window.get_by_label(&format!("Weight of {first}")).is_focused(), "what the scale shows is typed next");
    let twice: f64 = record(&window).rows.iter().filter(|r| matches!(r.what, What::Fat(_))).map(|r| r.plan.0).sum();
    click(&mut window, "Begin a batch");
    let once = record(&window).plan.masses.fats.0;
    assert!((twice - 2.0 * once).abs() < 1e-6, "{twice} is twice {once}");
    assert!(shows(&window, "Otherwise than batch"), "it says what differs from last time");
    let first = window.state().active().log().batches()[0].clone();
    let name = format!("Batch {}, raw", first.code);
    window.get_by_label_contains(&name).click();
    window.run();
    click(&mut window, "Make again");
    assert!(batch(&window).made == first.made, "as it was made then");
    type_into(&mut window, "Name of the maker", "Ada of the orchard");
    click(&mut window, "Begin a batch");
    assert_eq!(batch(&window).maker.as_str(), "Ada of the orchard");
    click(&mut window, "Compare with…");
    click(&mut window, &format!("Batch {}", first.code));
    assert_eq!(window.state().designs().len(), 3, "both as they were weighed");
    assert!(shows(&window, "Superfat that results"), "side by side");
    window.run();
}

#[test]
fn a_new_design_of_a_batch_takes_no_batches_along() {
    let mut window = window_with(Vec::new(), Vec::new(), SIZE, egui::Theme::Light);
    press(&mut window, Modifiers::COMMAND, Key::Num5);
    click(&mut window, "Begin a batch");
    let (name, grams) = plan(&window)[0].clone();
    weigh(&mut window, &name, 2.0 * grams);
    click(&mut window, "Enter the weights");
    click(&mut window, "New design from this batch");
    assert_eq!(window.state().designs().len(), 2);
    let share = super::design(&window).blend.lines()[0].share.get();
    assert!(share > 55.0, "as it was weighed, not as it was planned: {share}");
    assert!(window.state().active().log().is_empty(), "a new design has no batches");
}

/// A shelf with two lots of the oil, the first past its date, and one of the alkali.
fn shelf(folder: &Path) {
    let library = Library::embedded().expect("assets parse");
    let mut shelf = Shelf::default();
    let olive = || Stuff::Fat(MaterialId::new("olive_virgin").expect("an id"));
    let long_past = Day::try_from("2020-01-01".to_owned()).ok();
    for (stuff, grams, best_before) in
        [(olive(), 200.0, long_past), (olive(), 5000.0, None), (Stuff::SodiumHydroxide, 1000.0, None)]
    {
        shelf.put(Lot { best_before, ..Lot::new(LotId(0), stuff, AmountMass::nearest(grams)) }).expect("room");
    }
    let text = document::write_shelf(&shelf, &library).expect("it is written");
    std::fs::write(folder.join("shelf.ron"), text).expect("writes");
}

#[test]
fn what_is_in_the_mould_leaves_the_shelf_once_and_a_second_window_only_reads_it() {
    let (folder, place) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a shelf"));
    shelf(place.path());
    let left = || {
        let library = Library::embedded().expect("assets parse");
        let bytes = std::fs::read(place.path().join("shelf.ron")).expect("a shelf");
        let shelf = document::read_shelf(&bytes, &library).expect("it reads");
        [1, 2, 3].map(|id| shelf.stock().left(LotId(id)).left)
    };
    let mut window = begun(folder.path(), Some(place.path().to_owned()));
    let oil = plan(&window)[0].1;
    weigh_all(&mut window);
    assert!(shows(&window, "L1 was good until 1 Jan 2020"), "what is used first is past its date");
    click(&mut window, "Lye goes in");
    let lots: Vec<u32> = record(&window).taken().into_keys().map(|lot| lot.0).collect();
    assert_eq!(lots, [1, 2, 3], "the rest comes from the next lot");
    let is = |now: [f64; 3], then: [f64; 3]| now.iter().zip(then).all(|(a, b)| (a - b).abs() < 1e-9);
    assert!(is(left(), [200.0, 5000.0, 1000.0]), "it is only meant for it");
    click(&mut window, "It is in the mould");
    let after = left();
    assert!(after[0].abs() < 0.01 && (after[1] - (5200.0 - oil)).abs() < 0.1, "{after:?}");
    let elsewhere = tempfile::tempdir().expect("a folder");
    let (path, shelf) = (in_folder(elsewhere.path()), Some(place.path().to_owned()));
    let mut second = window_keeping([None, shelf, None], vec![path], Vec::new(), SIZE, egui::Theme::Light);
    press(&mut second, Modifiers::COMMAND, Key::Num5);
    click(&mut second, "Begin a batch");
    assert!(shows(&second, "open in another window"), "and says so");
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(is(left(), after), "however often it is saved");
}

#[test]
fn a_picture_is_kept_beside_the_design_and_what_is_none_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let (path, no_picture) = (in_folder(folder.path()), folder.path().join("note.png"));
    std::fs::write(&no_picture, "only words").expect("writes");
    let picture = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../assets/icon.png");
    let answers = vec![Answer::Path(no_picture), Answer::Path(picture)];
    let mut window = window_with(vec![path], answers, SIZE, egui::Theme::Light);
    press(&mut window, Modifiers::COMMAND, Key::Num5);
    click(&mut window, "Begin a batch");
    click(&mut window, "Choose the picture…: picture");
    assert!(shows(&window, "is no PNG or JPEG picture"), "it is refused by what is in it");
    click(&mut window, "Choose the picture…: picture");
    let Happened::Pictured(kept) = last(&window) else { panic!("a picture: {:?}", last(&window)) };
    let file = folder.path().join("loaf.pictures").join(kept.file.as_str());
    assert!(file.is_file());
    assert!(!shows(&window, "is not in the folder of pictures"), "it is there");
}
