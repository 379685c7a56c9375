//! The card Colour, and a bar that is matched to it: by sliders, by a photograph, by the keyboard alone.

use super::{Window, design, evaluation, example, open_view, press, shows, window_keeping, window_with};
use barwright::files::{Answer, load_shelf};
use barwright::shelf::FILE;
use barwright_core::Library;
use barwright_core::bench::colour::forecast;
use barwright_core::chemistry::colour::forecast::Seen;
use barwright_core::chemistry::colour::optics::{Lab, difference};
use barwright_core::design::document;
use barwright_core::design::edit::Edit;
use barwright_core::design::log::{BatchCode, LotId};
use barwright_core::design::own_bar::OwnBar;
use barwright_core::design::shelf::{Lot, Shelf, Stuff};
use barwright_core::design::words::Day;
use barwright_core::library::material::MaterialId;
use barwright_core::units::AmountMass;
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use image::{ExtendedColorType, ImageEncoder};
use std::path::{Path, PathBuf};

const SIZE: [f32; 2] = [1280.0, 1600.0];

fn carrot(answers: Vec<Answer>) -> Window {
    window_with(vec![example("carrot-slab.barwright")], answers, SIZE, egui::Theme::Light)
}

fn click(window: &mut Window, name: &str) {
    window.get_by_label(name).click();
    window.run();
}

fn form(answers: Vec<Answer>) -> Window {
    let mut window = carrot(answers);
    click(&mut window, "Match a bar I made…");
    assert!(shows(&window, "A bar of this design as it is now"), "the form is open");
    window
}

/// What the last own bar looked like.
fn seen(window: &Window) -> Option<Lab> {
    Some(design(window).calibration.own_bars.last()?.colour.into())
}

/// A photograph of white paper at the left and a bar at the right, under a warm lamp.
fn photograph(folder: &Path) -> PathBuf {
    let (paper, bar) = ([214_u8, 190, 150], [190_u8, 150, 70]);
    let points: Vec<u8> = (0..200 * 100).flat_map(|i| if i % 200 < 100 { paper } else { bar }).collect();
    let mut bytes = Vec::new();
    let encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    encoder.write_image(&points, 200, 100, ExtendedColorType::Rgb8).expect("encodes");
    let path = folder.join("bar.png");
    std::fs::write(&path, bytes).expect("writes");
    path
}

/// Points at the two halves of the photograph: the paper at the left, the bar at the right.
fn point_at_paper_and_bar(window: &mut Window) {
    let rect = window.get_by_label_contains("The photograph; the arrow keys").rect();
    for part in [0.25, 0.75] {
        let pos = rect.min + rect.size() * egui::vec2(part, 0.5);
        window.hover_at(pos);
        window.run();
        window.drag_at(pos);
        window.run();
        window.drop_at(pos);
        window.run();
    }
}

#[test]
fn the_card_tells_the_shade_on_what_it_rests_and_what_becomes_of_it() {
    let mut window = carrot(Vec::new());
    for says in [
        "of carotenes in a kilogram of bar",
        "From food tables: your fruit can be half or twice as strong",
        "No date can be given",
        "Colour of the bar, likely: ",
        "Colour of the bar, double: ",
    ] {
        assert!(shows(&window, says), "{says}");
    }
    open_view(&mut window, Key::Num4);
    assert!(shows(&window, "Colour of the bar, likely: "), "Make has it too");
    assert!(!shows(&window, "Match a bar I made…"), "and nothing to change the design by");
}

#[test]
fn two_sliders_match_a_bar_and_it_is_undone_or_forgotten() {
    let mut window = form(Vec::new());
    assert!(shows(&window, "Colour of the bar, as matched: "), "a patch to hold a bar beside");
    assert!(
        window.get_by_label("From paler to deeper").accesskit_node().is_focused(),
        "the hand is at the first slider"
    );
    for _ in 0..12 {
        window.key_press(Key::ArrowRight);
        window.run();
    }
    click(&mut window, "It looks like this");
    let deep = seen(&window).expect("an own bar");
    assert!(deep.b > 40.0, "deeper than what the tables say: {deep:?}");
    assert!(shows(&window, "From your bar of "), "the line says so");
    assert!(shows(&window, "same puree"));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(seen(&window).is_none() && shows(&window, "From food tables"), "undone");
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert!(seen(&window).is_some(), "done again");
    click(&mut window, "Forget it");
    assert!(seen(&window).is_none(), "forgotten");
}

#[test]
fn a_photograph_gives_the_colour_by_pointer_and_by_keyboard_alike() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = photograph(folder.path());
    let mut found = Vec::new();
    for by_keyboard in [false, true] {
        let mut window = form(vec![Answer::Path(path.clone())]);
        click(&mut window, "From a photograph…");
        assert!(shows(&window, "Click the white paper"), "it says what comes first");
        click(&mut window, "It looks like this");
        assert!(seen(&window).is_none() && shows(&window, "say where the white paper is"), "not before");
        if by_keyboard {
            window.get_by_label_contains("The photograph; the arrow keys").focus();
            window.run();
            for (key, steps, button) in
                [(Key::ArrowLeft, 12, "White paper is at the cross"), (Key::ArrowRight, 25, "The bar is at the cross")]
            {
                window.get_by_label_contains("The photograph; the arrow keys").focus();
                window.run();
                for _ in 0..steps {
                    window.key_press(key);
                    window.run();
                }
                window.get_by_label(button).focus();
                window.run();
                window.key_press(Key::Space);
                window.run();
            }
        } else {
            point_at_paper_and_bar(&mut window);
        }
        click(&mut window, "It looks like this");
        found.push(seen(&window).expect("a colour"));
    }
    assert!(difference(found[0], found[1]) < 0.5, "{found:?}");
    // Without the lamp: the raw point has L* 65 and b* 47.
    assert!((75.0..86.0).contains(&found[0].l) && found[0].a.abs() < 12.0, "{found:?}");
}

#[test]
fn a_photograph_leaves_room_for_all_of_the_form_in_a_small_window() {
    let folder = tempfile::tempdir().expect("a folder");
    let answers = vec![Answer::Path(photograph(folder.path()))];
    let mut window = window_with(vec![example("carrot-slab.barwright")], answers, [1000.0, 560.0], egui::Theme::Light);
    click(&mut window, "Match a bar I made…");
    click(&mut window, "From a photograph…");
    let (top, bottom) =
        (window.get_by_label("Match a bar I made").rect(), window.get_by_label("It looks like this").rect());
    // Two looks and two lots take four more lines.
    assert!(bottom.max.y - top.min.y < 560.0 - 4.0 * 29.0, "{top:?} {bottom:?}");
}

#[test]
fn what_is_no_photograph_is_refused_in_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bar.png");
    std::fs::write(&path, "no picture").expect("writes");
    let mut window = form(vec![Answer::Path(path)]);
    click(&mut window, "From a photograph…");
    assert!(shows(&window, "is no PNG or JPEG picture"));
    assert!(shows(&window, "From paler to deeper"), "the sliders are still there");
}

#[test]
fn compare_has_the_shades_side_by_side() {
    let paths = vec![example("carrot-slab.barwright"), example("apple-oat-loaf.barwright")];
    let mut window = window_with(paths, Vec::new(), SIZE, egui::Theme::Dark);
    open_view(&mut window, Key::Num2);
    assert!(shows(&window, "Likely colour of the bar"));
    assert!(shows(&window, "from food tables"), "on its basis");
    assert!(shows(&window, "Butter"), "and by its name");
}

#[test]
fn the_colour_goes_with_its_lot_to_another_design_and_a_second_look_gives_a_date() {
    let library = Library::embedded().expect("assets parse");
    let place = tempfile::tempdir().expect("a shelf");
    let mut shelf = Shelf::default();
    let carrot = Stuff::Addition(MaterialId::new("carrot_boiled").expect("an id"));
    shelf.put(Lot::new(LotId(0), carrot, AmountMass::nearest(2000.0))).expect("room");
    let text = document::write_shelf(&shelf, &library).expect("it is written");
    std::fs::write(place.path().join(FILE), text).expect("writes");
    let on_shelf = || load_shelf(&place.path().join(FILE), &library).expect("a shelf").0.lots[0].own_bars.clone();
    let open = |path: PathBuf| {
        let keeping = [None, Some(place.path().to_owned()), None];
        window_keeping(keeping, vec![path], Vec::new(), SIZE, egui::Theme::Light)
    };
    // Matched, and kept with the lot.
    let mut window = open(example("carrot-slab.barwright"));
    click(&mut window, "Match a bar I made…");
    assert!(!shows(&window, "seen another time"), "there is no earlier look");
    for _ in 0..12 {
        window.key_press(Key::ArrowRight);
        window.run();
    }
    click(&mut window, "Keep it with L1, Carrot puree, boiled, too");
    click(&mut window, "It looks like this");
    let kept = design(&window).calibration.own_bars.to_vec();
    assert_eq!(on_shelf(), kept, "the lot knows it as well");
    drop(window);
    // Another design of its kind is offered it; taken, it is asked about no more.
    let mut window = open(example("carrot-slab.barwright"));
    assert!(shows(&window, "From the shelf – L1: your bar of"), "it is offered");
    click(&mut window, "Use what L1 says");
    assert_eq!(design(&window).calibration.own_bars.to_vec(), kept);
    assert!(!shows(&window, "From the shelf – L1: your bar of"));
    let taken = design(&window);
    drop(window);
    // Looked at again after three months, it has paled.
    let first = OwnBar { day: Day::try_from("2026-01-10".to_owned()).expect("a day"), ..kept[0].clone() };
    let calibration =
        barwright_core::design::Calibration { own_bars: vec![first.clone()].into(), ..taken.calibration.clone() };
    let known = Edit::Calibration(calibration).apply(&taken, &library).expect("taken");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("seen.barwright");
    std::fs::write(&path, document::write(&known, &library).expect("it is written")).expect("writes");
    let mut window = open(path);
    click(&mut window, "Leave the design as it is, whatever L1 says");
    click(&mut window, "Match a bar I made…");
    click(&mut window, "It is your bar of 10 Jan 2026, seen another time: how it pales");
    super::type_into(&mut window, "Day of the look", "10 Jan 2026");
    click(&mut window, "It is your bar of 10 Jan 2026, seen another time: how it pales");
    click(&mut window, "It looks like this");
    assert!(shows(&window, "both looks are of one day"), "one day tells nothing of time");
    super::type_into(&mut window, "Day of the look", "20 Aug 2026");
    assert!(window.get_by_label("Day of the look").accesskit_node().is_focused(), "the hand stays");
    click(&mut window, "It is your bar of 10 Jan 2026, seen another time: how it pales");
    window.get_by_label("From paler to deeper").focus();
    window.run();
    for _ in 0..20 {
        window.key_press(Key::ArrowLeft);
        window.run();
    }
    click(&mut window, "It looks like this");
    let seen = design(&window).calibration.own_bars.last().cloned().expect("an own bar");
    assert_eq!((seen.day, seen.colour), (first.day, first.colour), "the first look stays");
    assert_eq!(seen.again.map(|again| again.day), Day::try_from("2026-08-20".to_owned()).ok());
    let evaluation = evaluation(&window);
    let words = forecast(&design(&window), &evaluation, &library).and_then(|f| f.over_time()).expect("words");
    assert!(shows(&window, &words) && words.contains("Your bar seen again on 20 Aug 2026"), "{words}");
    // The lot's page has it, and forgets it.
    open_view(&mut window, Key::Num6);
    window.get_by_role_and_label(egui::accesskit::Role::Button, "Lots").click();
    window.run();
    window.get_by_label_contains("L1 Carrot puree, boiled").click();
    window.run();
    click(&mut window, &format!("Forget {}", Seen::of(&kept[0]).words()));
    assert!(on_shelf().is_empty(), "no design is offered it any more");
}

#[test]
fn a_picture_of_a_batch_is_matched_as_of_the_day_it_was_taken() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("slab.barwright");
    std::fs::copy(example("carrot-slab.barwright"), &path).expect("copies");
    let mut window = window_with(vec![path.clone()], Vec::new(), SIZE, egui::Theme::Light);
    open_view(&mut window, Key::Num5);
    press(&mut window, Modifiers::COMMAND, Key::S);
    let today = window.state().active().log().batches()[0].code;
    drop(window);
    // The batch was begun in April.
    let code = BatchCode::of(Day::try_from("2026-04-20".to_owned()).expect("a day"), 0);
    let text = std::fs::read_to_string(&path).expect("a file").replace(&today.to_string(), &code.to_string());
    std::fs::write(&path, text).expect("writes");
    let answers = vec![Answer::Path(photograph(folder.path()))];
    let mut window = window_with(vec![path], answers, SIZE, egui::Theme::Light);
    open_view(&mut window, Key::Num5);
    super::type_into(&mut window, "Day of what is entered", "3 May 2026");
    click(&mut window, "Choose the picture…: picture");
    open_view(&mut window, Key::Num1);
    click(&mut window, "Match a bar I made…");
    click(&mut window, "Which bar");
    click(&mut window, &format!("Batch {code}"));
    window.get_by_label_contains(".png").click();
    window.run();
    point_at_paper_and_bar(&mut window);
    click(&mut window, "It looks like this");
    let bar = design(&window).calibration.own_bars.last().cloned().expect("an own bar");
    assert_eq!(Some(bar.day), Day::try_from("2026-05-03".to_owned()).ok());
    assert!(bar.batch.is_some());
    assert!(shows(&window, "From your bar of 3 May 2026 ("), "told with its batch");
}
