//! The card Colour, and a bar that is matched to it: by sliders, by a photograph, by the keyboard alone.

use super::{Window, design, example, open_view, press, shows, window_with};
use barwright::files::Answer;
use barwright_core::chemistry::colour::optics::{Lab, difference};
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
    let [l, a, b] = design(window).calibration.own_bars.last()?.colour.lab();
    Some(Lab::new(l, a, b))
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
        click(&mut window, "It looks like this");
        found.push(seen(&window).expect("a colour"));
    }
    assert!(difference(found[0], found[1]) < 0.5, "{found:?}");
    // Without the lamp: the raw point has L* 65 and b* 47.
    assert!((75.0..86.0).contains(&found[0].l) && found[0].a.abs() < 12.0, "{found:?}");
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
