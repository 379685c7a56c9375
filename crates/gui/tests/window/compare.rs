//! Designs side by side, driven as a person would.

use super::{Window, design, press, shows, type_into, window_with};
use barwright_core::Design;
use barwright_core::library::estimates::Estimate;
use barwright_core::number::fixed;
use eframe::egui::{Key, Modifiers, Theme};
use egui_kittest::kittest::{NodeT, Queryable};
use std::path::{Path, PathBuf};

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/examples").join(format!("{name}.barwright"))
}

/// A window that compares the tallow bar (A) with the olive bar (B), tall enough for all rows.
fn two() -> Window {
    of(&["winter-tallow", "orchard-olive"], [1280.0, 1600.0])
}

fn of(names: &[&str], size: [f32; 2]) -> Window {
    let files = names.iter().map(|name| example(name)).collect();
    let mut window = window_with(files, Vec::new(), size, Theme::Light);
    press(&mut window, Modifiers::COMMAND, Key::Num2);
    window
}

fn four() -> Window {
    of(&["apple-oat-loaf", "carrot-slab", "orchard-olive", "winter-tallow"], [1280.0, 1600.0])
}

const BUTTON: eframe::egui::accesskit::Role = eframe::egui::accesskit::Role::Button;

/// Clicks through a menu.
fn choose(window: &mut Window, labels: &[&str]) {
    for label in labels {
        window.get_by_role_and_label(BUTTON, label).click();
        window.run();
    }
}

fn at(window: &Window, index: usize) -> Design {
    (**window.state().designs()[index].design()).clone()
}

#[test]
fn superfat_is_made_alike_and_each_design_has_its_own_undo() {
    let mut window = two();
    press(&mut window, Modifiers::COMMAND, Key::Num1);
    type_into(&mut window, "Superfat, percent", "9");
    press(&mut window, Modifiers::COMMAND, Key::Num2);
    let (olive, tallow) = (at(&window, 1), at(&window, 0));
    assert_eq!(design(&window), tallow, "the file named first is A");
    assert!(shows(&window, "Planned superfat of B against A: −"), "B is leaner");
    let label = window.query_all_by_label_contains("Planned superfat of B against A").next().expect("shown");
    label.click();
    window.run();
    choose(&mut window, &["Make B like A"]);
    assert_eq!(at(&window, 1), Design { superfat: tallow.superfat, ..olive.clone() }, "that, and nothing else");
    assert_eq!(at(&window, 0), tallow, "A stays");
    choose(&mut window, &["Undo in B: superfat"]);
    assert_eq!(at(&window, 1), olive, "one step takes it back");
}

#[test]
fn a_fat_is_made_alike_and_the_others_give_way() {
    let mut window = two();
    let a = at(&window, 0);
    let fat =
        a.blend.lines().iter().find(|l| at(&window, 1).blend.line(&l.fat.id).is_none()).expect("not in B").clone();
    choose(&mut window, &["Column B…", "Make B like A in", &fat.fat.name]);
    let b = at(&window, 1);
    assert_eq!(b.blend.line(&fat.fat.id).map(|l| l.share), Some(fat.share), "as in A");
    assert!(b.blend.is_whole(), "and the sum is 100: {}", b.blend.total());
}

#[test]
fn the_whole_blend_goes_across_and_leaves_the_rest() {
    let mut window = two();
    let (olive, tallow) = (at(&window, 1), at(&window, 0));
    choose(&mut window, &["Column A…", "Make A like B in", "The whole blend"]);
    assert_eq!(at(&window, 0), Design { blend: olive.blend.clone(), ..tallow.clone() }, "only the blend");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(at(&window, 0), tallow, "undo takes it back");
    assert_eq!(at(&window, 1), olive, "B was not touched");
}

#[test]
fn columns_swap_come_and_go() {
    let mut window = two();
    let first = design(&window).name;
    choose(&mut window, &["Swap A and B"]);
    assert_ne!(design(&window).name, first, "the other one is A");
    choose(&mut window, &["Column A…", "Copy to a new design"]);
    assert_eq!(window.state().designs().len(), 3, "a design more");
    assert!(shows(&window, "C − A") && window.query_by_label("Third design").is_some(), "in a column of its own");
    assert_eq!(at(&window, 2).blend, design(&window).blend, "as A is");
    choose(&mut window, &["Column B…", "Remove column B"]);
    assert!(!shows(&window, "C − A"), "two are left");
    assert_eq!(window.state().designs().len(), 3, "the design itself stays open");
    window.get_by_label("Add a column…").click();
    window.run();
    let open: Vec<String> = window.state().designs().iter().map(barwright::open::OpenDesign::title).collect();
    let gone = open.iter().find(|t| window.query_by_role_and_label(BUTTON, t).is_some()).expect("one is left");
    window.get_by_role_and_label(BUTTON, gone).click();
    window.run();
    assert!(shows(&window, "C − A"), "it is back");
}

#[test]
fn four_designs_stand_side_by_side_with_nothing_cut() {
    let window = four();
    for text in ["First design", "Second design", "Third design", "Fourth design", "D − A", "Column D…"] {
        let rect = window.get_by_label(text).rect();
        assert!(rect.left() >= -0.5 && rect.right() <= 1280.5, "{text} is cut: {rect:?}");
    }
    let hardness = window.query_all_by_label_contains("Hardness: A ").next().expect("the lane speaks");
    let says = hardness.accesskit_node().label().unwrap_or_default();
    for letter in [", B ", ", C ", ", D "] {
        assert!(says.contains(letter), "{letter} is missing: {says}");
    }
    for chart in ["Fatty acids of A:", "Superfat that results, between the extremes: A "] {
        assert!(shows(&window, chart), "{chart} is not said");
    }
}

#[test]
fn each_design_lies_in_the_range_of_its_own_style() {
    let window = two();
    assert!(shows(&window, "band of A: milled toilet; line of B: olive"), "whose range is which");
    let library = barwright_core::Library::embedded().expect("it is tested in core");
    let range = |index: usize| {
        let evaluation = barwright_core::evaluate(&at(&window, index), &library);
        let hardness = evaluation.estimate(Estimate::Hardness).expect("known");
        let range = hardness.range.expect("the style has soaps");
        format!("{} to {}", fixed(range.min(), 0), fixed(range.max(), 0))
    };
    let (first, second) = (range(0), range(1));
    assert_ne!(first, second, "else the test tells nothing");
    assert!(shows(&window, &format!("; range {first}, of B {second}")), "both ranges are told");

    let alike = of(&["apple-oat-loaf", "carrot-slab"], [1280.0, 800.0]);
    assert!(shows(&alike, "The bar (range: everyday handmade)"), "one range is enough for one style");
}
