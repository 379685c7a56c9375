//! Where things stand: nothing is cut at the sides, and nothing moves while a slider is held.

use super::*;
use egui::epaint::{ClippedShape, Shape};
use egui::{Rect, Theme};
use egui_kittest::kittest::{By, NodeT};
use std::collections::BTreeMap;

/// The sizes that are kept whole: four at 100 %, and 1920×1080 at 200 %.
const SIZES: [[f32; 2]; 5] = [[960.0, 540.0], [1000.0, 560.0], [1280.0, 720.0], [1920.0, 1080.0], [2560.0, 1440.0]];

/// Each view as it is opened by its key.
const VIEWS: [(&str, Key); 8] = [
    ("Design", Key::Num1),
    ("Compare", Key::Num2),
    ("Find", Key::Num3),
    ("Make", Key::Num4),
    ("Log", Key::Num5),
    ("Shelf", Key::Num6),
    ("Troubles", Key::T),
    ("Help", Key::F1),
];

/// A text as it was painted.
#[derive(Debug, Clone)]
struct Painted {
    text: String,
    rect: Rect,
    clip: Rect,
}

/// All texts that were painted in the last frame.
fn painted(window: &Window) -> Vec<Painted> {
    fn add(shape: &Shape, clip: Rect, to: &mut Vec<Painted>) {
        match shape {
            Shape::Vec(all) => all.iter().for_each(|shape| add(shape, clip, to)),
            Shape::Text(text) if !text.galley.is_empty() => {
                let rect = text.galley.rect.translate(text.pos.to_vec2());
                to.push(Painted { text: text.galley.text().to_owned(), rect, clip });
            }
            _ => {}
        }
    }
    let mut all = Vec::new();
    for ClippedShape { clip_rect, shape, .. } in &window.output().shapes {
        add(shape, *clip_rect, &mut all);
    }
    all
}

/// What reaches out of what it stands in, or out of the window, to the left or to the right.
fn cuts(window: &Window) -> Vec<String> {
    /// A letter ends this much before or behind its box.
    const SLACK: f32 = 1.5;
    let screen = window.ctx.content_rect();
    let is_cut = |rect: Rect, clip: Rect| rect.left() < clip.left() - SLACK || rect.right() > clip.right() + SLACK;
    let mut cuts = Vec::new();
    for Painted { text, rect, clip } in painted(window) {
        let is_in_sight = rect.y_range().intersects(clip.y_range());
        if is_in_sight && is_cut(rect, clip.intersect(screen)) {
            cuts.push(format!("the text {text:?} at {rect:?} is cut by {clip:?}"));
        }
    }
    // What is clipped altogether is not painted, but a screen reader has it.
    for node in window.query_all(By::new()) {
        let known = node.accesskit_node();
        // What is within a field is painted, and the toolkit tells it a text's width too far to the left.
        let is_within = known.role() == egui::Role::TextRun;
        let is_essential = !is_within && (known.label().is_some() || known.value().is_some());
        if is_essential && !known.is_hidden() && known.raw_bounds().is_some() && is_cut(node.rect(), screen) {
            cuts.push(format!(
                "{:?} at {:?} is out of the window",
                known.label().or_else(|| known.value()),
                node.rect()
            ));
        }
    }
    cuts
}

/// Opens the view called `name`, and waits until what it shows is there.
fn open(window: &mut Window, (name, key): (&str, Key)) {
    if name == "Find" {
        find::open_find(window);
    } else {
        press(window, if name == "Help" { Modifiers::NONE } else { Modifiers::COMMAND }, key);
        log::begin_if_empty(window);
    }
}

/// A design of five fats, beside others to compare it with.
fn five_fats(size: [f32; 2], theme: Theme) -> Window {
    window_with(vec![example("carrot-slab.barwright"), example("apple-oat-loaf.barwright")], Vec::new(), size, theme)
}

#[test]
fn no_view_is_cut_at_the_sides() {
    let mut window = five_fats(SIZES[0], Theme::Light);
    assert_eq!(design(&window).blend.lines().len(), 5);
    let mut all = Vec::new();
    let mut look = |window: &Window, what: &str, size: [f32; 2]| {
        all.extend(cuts(window).into_iter().map(|cut| format!("{what} at {size:?}: {cut}")));
    };
    for view in VIEWS {
        open(&mut window, view);
        // Larger and smaller again: what was once wide must not stay so.
        for size in SIZES.into_iter().chain(SIZES.into_iter().rev()) {
            window.set_size(size.into());
            window.run();
            look(&window, view.0, size);
            if view.0 == "Find" {
                for side in ["Fats and prices", "Price against likeness", "Ranges"] {
                    // In a wide window the ranges stand beside the others, and have no button.
                    let Some(button) = window.query_by_role_and_label(egui::Role::Button, side) else { continue };
                    button.click();
                    window.run();
                    look(&window, side, size);
                }
            }
        }
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

/// A control or a text in the tree that a screen reader has.
#[derive(Debug, Clone)]
struct Placed {
    says: String,
    rect: Rect,
    is_control: bool,
}

/// Where everything stands, by what it is.
fn places(window: &Window) -> BTreeMap<String, Placed> {
    let mut all = BTreeMap::new();
    for node in window.query_all(By::new()) {
        let known = node.accesskit_node();
        let Some(says) = known.label().or_else(|| known.value()).filter(|_| known.raw_bounds().is_some()) else {
            continue;
        };
        let is_control = known.data().supports_action(egui::accesskit::Action::Focus);
        let is_text = known.role() == egui::Role::Label;
        // What is within a field is the field's.
        if known.role() == egui::Role::TextRun {
            continue;
        }
        let placed = Placed { says, rect: node.rect(), is_control: is_control && !is_text };
        all.insert(format!("{:?}", known.id()), placed);
    }
    all
}

/// The numbers at the axes of the charts, and the names under their bars.
fn axes(window: &Window) -> Vec<String> {
    let charts = ["Fatty acids:", "Superfat that results:", "The jug"];
    let is_chart = |says: &str| charts.iter().any(|chart| says.starts_with(chart));
    let rects: Vec<Rect> = places(window).into_values().filter(|p| is_chart(&p.says)).map(|p| p.rect).collect();
    assert!(!rects.is_empty(), "there are charts");
    let around = |rect: &Rect| Rect::from_min_max(rect.min - egui::vec2(34.0, 6.0), rect.max + egui::vec2(0.0, 16.0));
    // What is written on a bar goes with it.
    let is_beside =
        |p: &Painted, rect: &Rect| around(rect).contains(p.rect.center()) && !rect.contains(p.rect.center());
    let is_of_chart = |p: &Painted| rects.iter().any(|rect| is_beside(p, rect));
    let said = |p: Painted| format!("{} at {:.0} {:.0}", p.text, p.rect.center().x, p.rect.center().y);
    let all: Vec<String> = painted(window).into_iter().filter(is_of_chart).map(said).collect();
    for mark in ["oleic", "10 at", "40° at"] {
        assert!(all.iter().any(|text| text.starts_with(mark)), "{mark} is beside a chart: {all:?}");
    }
    all
}

/// A text without its numbers.
fn words(text: &str) -> String {
    text.chars().filter(|c| c.is_alphabetic()).collect()
}

/// What has moved since `before`. A text may have grown or become other words, and what was not there may have come
/// where there was room.
fn moved(before: &BTreeMap<String, Placed>, window: &Window) -> Vec<String> {
    let near = |a: f32, b: f32| (a - b).abs() < 1.5;
    let after = places(window);
    let mut moved = Vec::new();
    for (id, was) in before {
        let Some(is) = after.get(id) else {
            if was.is_control {
                moved.push(format!("{:?} at {:?} is gone", was.says, was.rect));
            }
            continue;
        };
        let (a, b) = (was.rect, is.rect);
        let is_as_wide = near(a.left(), b.left()) && near(a.right(), b.right()) && near(a.bottom(), b.bottom());
        // Another caution in the same place has lines of its own.
        let is_other = words(&was.says) != words(&is.says);
        let stands = near(a.top(), b.top()) && (is_as_wide || !was.is_control);
        if !stands && (was.is_control || !is_other) {
            moved.push(format!("{:?} at {a:?} is {:?} at {b:?}", was.says, is.says));
        }
    }
    moved
}

#[test]
fn nothing_moves_while_a_slider_is_held() {
    let mut all = Vec::new();
    // Low, so that the columns are long, and wide, so that the charts stand beside each other; all of them in sight.
    for size in [[1280.0, 1700.0], [1920.0, 1300.0]] {
        let mut window = five_fats(size, Theme::Light);
        for slider in ["Share of Olive oil, virgin", "Share of Coconut oil", "Superfat", "Lye concentration"] {
            window.run();
            let (before, marks) = (places(&window), axes(&window));
            let rect = window.get_by_role_and_label(egui::Role::Slider, slider).rect();
            let at = |part: f32| egui::pos2(egui::lerp(rect.x_range(), part), rect.center().y);
            window.drag_at(at(0.5));
            window.step();
            // A lye that is too strong has no time to cool.
            let most = if slider == "Lye concentration" { 0.7 } else { 0.97 };
            for part in [0.5, most, 0.03, 0.3] {
                window.hover_at(at(part));
                window.step();
                window.step();
                let says = |what: String| format!("{slider} at {part} in {size:?}: {what}");
                all.extend(moved(&before, &window).into_iter().map(says));
                let now = axes(&window);
                all.extend(marks.iter().filter(|mark| !now.contains(mark)).map(|mark| says(format!("no {mark}"))));
                all.extend(now.iter().filter(|mark| !marks.contains(mark)).map(|mark| says(format!("now {mark}"))));
            }
            window.drop_at(at(0.3));
            window.run();
            press(&mut window, Modifiers::COMMAND, Key::Z);
        }
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn four_designs_beside_each_other_are_not_cut() {
    let files = ["apple-oat-loaf", "carrot-slab", "orchard-olive", "winter-tallow"];
    let files = files.map(|name| example(&format!("{name}.barwright"))).into();
    let mut window = window_with(files, Vec::new(), SIZES[0], Theme::Light);
    press(&mut window, Modifiers::COMMAND, Key::Num2);
    assert!(shows(&window, "D − A"), "all four stand there");
    let mut all = Vec::new();
    for size in SIZES {
        window.set_size(size.into());
        window.run();
        all.extend(cuts(&window).into_iter().map(|cut| format!("{size:?}: {cut}")));
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn the_edge_of_the_blend_is_dragged_and_put_back() {
    let mut window = five_fats([1280.0, 720.0], Theme::Light);
    let edge = |window: &Window| window.get_by_label("Width of the blend’s column").rect().center();
    let before = edge(&window);
    window.drag_at(before);
    window.step();
    window.hover_at(before + egui::vec2(90.0, 0.0));
    window.step();
    window.drop_at(before + egui::vec2(90.0, 0.0));
    window.run();
    let dragged = edge(&window);
    assert!((dragged.x - before.x - 90.0).abs() < 4.0, "{before} to {dragged}");
    assert!(cuts(&window).is_empty(), "{:?}", cuts(&window));
    // By the keys too.
    window.get_by_label("Width of the blend’s column").focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::ArrowLeft);
    let nudged = edge(&window);
    assert!(nudged.x < dragged.x - 4.0, "{dragged} to {nudged}");
}
