//! The batch: additions, scents, size, jug.

use super::{Window, design, evaluation, example, press, shows, tall_window, told, type_into, window, window_with};
use barwright_core::design::mould::{Mould, Size};
use barwright_core::formula::Plain;
use barwright_core::library::additions::{Amount, Stage};
use barwright_core::number::mass;
use barwright_core::units::MassUnit;
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::Queryable;

/// Adds by the field called `field` the material whose name begins with `text`.
fn add(window: &mut Window, field: &str, text: &str) {
    type_into(window, field, text);
}

#[test]
fn a_puree_takes_its_water_off_the_water_to_weigh() {
    let mut window = window();
    let before = evaluation(&window);
    add(&mut window, "Add a puree, milk, acid, clay…", "apple puree");
    let after = evaluation(&window);
    let line = &design(&window).additions[0];
    assert_eq!((line.addition.id.as_str(), line.stage), ("apple_puree", Stage::IntoFats));
    let brought = 0.8822 * after.addition_masses[0].0;
    let taken = before.masses.water_to_weigh.0 - after.masses.water_to_weigh.0;
    assert!((taken - brought).abs() < 1e-9, "{taken} g less to weigh for {brought} g in the puree");
    assert!(shows(&window, "Into the fats"), "grouped by stage");
    assert!(shows(&window, &mass(after.addition_masses[0], MassUnit::Gram)), "its weight is shown");

    window.get_by_label("The water of Apple puree, unsweetened counts").click();
    window.run();
    assert_eq!(evaluation(&window).masses.water_to_weigh, before.masses.water_to_weigh, "it counts no more");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(design(&window).additions.is_empty(), "two steps back, nothing is left of it");
}

#[test]
fn an_amount_is_typed_with_its_unit() {
    let mut window = window();
    add(&mut window, "Add a puree, milk, acid, clay…", "citric acid");
    type_into(&mut window, "Amount of Citric acid, anhydrous", "5 g");
    let line = design(&window).additions[0].clone();
    assert!((line.amount.number() - 5.0).abs() < 1e-12, "{:?}", line.amount);
    assert!(matches!(line.amount, Amount::Grams(_)), "grams were typed");
    assert!(shows(&window, "Alkali that acids take"), "the acid's alkali is shown");
    type_into(&mut window, "Amount of Citric acid, anhydrous", "-5");
    assert_eq!(design(&window).additions[0], line, "a negative amount is refused");
    assert!(shows(&window, "an amount must lie between"), "and said why");
}

#[test]
fn spoons_cups_raw_weights_and_a_part_of_the_water_are_turned_into_a_weight() {
    let mut window = window();
    add(&mut window, "Add a puree, milk, acid, clay…", "apple puree");
    let field = "Amount of Apple puree, unsweetened";
    for (typed, grams) in [("2 tbsp", 30.0 * 1.03), ("1 cup", 240.0 * 1.03), ("150 g raw", 120.0)] {
        type_into(&mut window, field, typed);
        let amount = design(&window).additions[0].amount;
        assert!(matches!(amount, Amount::Grams(g) if (g.get() - grams).abs() < 1e-9), "{typed}: {amount:?}");
    }
    type_into(&mut window, field, "30 % of the water");
    let (design, batch) = (design(&window), evaluation(&window).masses);
    let line = &design.additions[0];
    assert!(matches!(line.amount, Amount::PercentOfFats(_)), "it follows the batch: {:?}", line.amount);
    let brought = 0.8822 * line.amount.mass(batch.fats).0;
    assert!((brought / batch.water_wanted.0 - 0.3).abs() < 1e-9, "{brought} of {} g", batch.water_wanted.0);
    type_into(&mut window, field, "130 % of the water");
    assert!(shows(&window, "a share must lie between 0 and 100"), "more than all of it is refused");
}

#[test]
fn amounts_in_grams_follow_another_size_if_the_maker_says_so() {
    let mut window = tall_window();
    add(&mut window, "Add a puree, milk, acid, clay…", "citric acid");
    type_into(&mut window, "Amount of Citric acid, anhydrous", "6 g");
    let grams = |window: &Window| design(window).additions[0].amount.number();
    let before = evaluation(&window).masses.fats.0;
    let twice = format!("{} g", 2.0 * before);
    // Enter takes the first answer.
    type_into(&mut window, "Mass of all fats", &twice);
    assert!(shows(&window, "Do the amounts in grams follow?"), "it is asked");
    assert!((evaluation(&window).masses.fats.0 - before).abs() < 1e-9, "nothing changes before the answer");
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!((grams(&window) - 12.0).abs() < 1e-9, "{}", grams(&window));
    assert!((evaluation(&window).masses.fats.0 / before - 2.0).abs() < 1e-9, "twice as large");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!((grams(&window) - 6.0).abs() < 1e-9, "one step back undoes both");
    assert!((evaluation(&window).masses.fats.0 - before).abs() < 1e-9, "as before");

    type_into(&mut window, "Mass of all fats", &twice);
    window.get_by_label("Keep the grams").click();
    window.run();
    assert!((grams(&window) - 6.0).abs() < 1e-9, "kept");
    assert!((evaluation(&window).masses.fats.0 / before - 2.0).abs() < 1e-9, "twice as large all the same");
    press(&mut window, Modifiers::COMMAND, Key::Z);

    type_into(&mut window, "Mass of all fats", &twice);
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert!(!shows(&window, "Do the amounts in grams follow?"), "put away");
    assert!((evaluation(&window).masses.fats.0 - before).abs() < 1e-9, "Escape leaves all as it was");

    window.get_by_label("Mass of all fats").focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::ArrowUp);
    assert!(!shows(&window, "Do the amounts in grams follow?"), "steps go by the last answer, to keep the grams");
    assert!(evaluation(&window).masses.fats.0 > before && (grams(&window) - 6.0).abs() < 1e-9, "{}", grams(&window));
}

#[test]
fn a_mould_is_filled_and_its_bars_are_given() {
    let window =
        window_with(vec![example("apple-oat-loaf.barwright")], Vec::new(), [1280.0, 800.0], egui::Theme::Light);
    let design = design(&window);
    let Size::Mould { mould: Mould::Loaf(_), .. } = design.size else { panic!("the example has a loaf") };
    let batch = evaluation(&window).masses;
    assert!((batch.batter_ml - 296.0 * 70.0 * 60.0 / 1000.0 * 0.9).abs() < 1e-6, "{} ml", batch.batter_ml);
    for text in [
        "· the mould holds",
        "A fresh bar",
        "The most the jug warms to",
        "The lye crystallises below",
        "Water that counts",
    ] {
        assert!(shows(&window, text), "{text} is not shown");
    }
}

#[test]
fn another_way_to_give_the_size_keeps_the_weights_about_as_they_were() {
    let mut window = tall_window();
    let before = evaluation(&window).masses.fats.0;
    for kind in [
        "Loaf mould",
        "Slab mould",
        "Round mould",
        "Single cavities",
        "Volume",
        "Weight of a bar at sale",
        "Weight of a fresh bar",
    ] {
        window.get_by_label("How the size is given").click();
        window.run();
        window.get_by_label(kind).click();
        window.run();
        let after = evaluation(&window);
        assert_eq!(after.size_error, None, "{kind}");
        assert!(
            (after.masses.fats.0 / before - 1.0).abs() < 0.02,
            "{kind}: {} against {before} g",
            after.masses.fats.0
        );
    }
    type_into(&mut window, "Weight of a fresh bar", "120 g");
    assert!((evaluation(&window).masses.bar_fresh.0 - 120.0).abs() < 1e-6, "the bar that was asked for");
}

#[test]
fn a_bar_at_sale_a_fat_to_use_up_and_a_volume_by_its_water_give_the_size() {
    let mut window = tall_window();
    let one = evaluation(&window);
    type_into(&mut window, "Mass of the fat to use up", "312 g");
    let after = evaluation(&window);
    assert!((after.fat_masses[0].0 - 312.0).abs() < 1e-9, "{:?}", after.fat_masses);
    assert!((after.fat_masses[1].0 / after.fat_masses[0].0 - one.fat_masses[1].0 / one.fat_masses[0].0).abs() < 1e-9);
    let mut size = |kind: &str, field: &str, typed: &str| {
        window.get_by_label("How the size is given").click();
        window.run();
        window.get_by_label(kind).click();
        window.run();
        type_into(&mut window, field, typed);
        evaluation(&window)
    };
    let sold = size("Weight of a bar at sale", "Weight of a bar at sale", "95 g");
    assert!((sold.cure.as_ref().expect("fats").bar_at_sale(Plain).0 - 95.0).abs() < 1e-9, "{:?}", sold.cure);
    let filled = size("Volume", "Volume to fill", "1200 g");
    assert!((filled.masses.batter_ml - 1200.0 / 0.9982).abs() < 0.1, "water at 20 °C: {}", filled.masses.batter_ml);
}

#[test]
fn one_reading_calibrates_the_cooling() {
    let mut window = tall_window();
    let cooling = evaluation(&window).jug.and_then(|j| j.cooling).expect("a sodium lye has a peak");
    assert!((cooling.constant - 45.0).abs() < 1e-12, "our judgement");
    let after_half_an_hour = cooling.to + (cooling.from - cooling.to) * (-0.5_f64).exp();
    type_into(&mut window, "Reading of the jug, °C", &format!("{after_half_an_hour}"));
    type_into(&mut window, "Minutes until the reading", "30");
    window.get_by_label("Calibrate").click();
    window.run();
    let constant = design(&window).calibration.jug_cooling_min.expect("calibrated").get();
    assert!((constant - 60.0).abs() < 1e-3, "half a time constant in 30 minutes is 60 minutes, not {constant}");
    assert!(shows(&window, "from your reading"), "said so");
    type_into(&mut window, "Reading of the jug, °C", "5");
    type_into(&mut window, "Minutes until the reading", "30");
    window.get_by_label("Calibrate").click();
    window.run();
    assert!(shows(&window, "a reading lies between"), "colder than the room is no reading");
}

#[test]
fn a_scent_over_its_limit_is_stopped_and_the_remedy_passes() {
    let mut window = tall_window();
    add(&mut window, "Add a scent…", "clove bud");
    type_into(&mut window, "Amount of Clove bud oil", "4 %");
    assert!(shows(&window, "Over the limit"), "4 % of clove is too much");
    let remedy = told(&window).iter().find_map(|c| c.remedy.clone()).expect("mechanical");
    window.get_all_by_label(&remedy.label).next().expect("a button").click();
    window.run();
    assert!(!shows(&window, "Over the limit"), "{:?}", evaluation(&window).scents.findings.first());
}

#[test]
fn an_addition_of_ones_own_is_typed_in_and_kept() {
    let mut window = tall_window();
    window.get_by_label("Add one of your own…").click();
    window.run();
    window.get_by_label("Add it").click();
    window.run();
    assert!(shows(&window, "Give it a name"), "a nameless one is refused");
    type_into(&mut window, "Name of the addition", "Orchard plum puree");
    type_into(&mut window, "Water, % of the addition", "84");
    type_into(&mut window, "Fat, % of the addition", "20");
    window.get_by_label("Add it").click();
    window.run();
    assert!(shows(&window, "sum to 104 %"), "more than all of it is refused");
    window.get_by_label("Fat, % of the addition").focus();
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::A);
    type_into(&mut window, "Fat, % of the addition", "0,3");
    window.get_by_label("Add it").click();
    window.run();
    let own = &design(&window).additions[0].addition;
    assert_eq!((own.id.as_str(), own.name.as_str()), ("own_orchard_plum_puree", "Orchard plum puree"));
    assert!((own.contents.value.water.get() - 84.0).abs() < 1e-12, "as typed");
}

#[test]
fn the_margin_is_shown_and_its_remedy_makes_the_bar_safe() {
    let mut window = tall_window();
    for text in ["Superfat that results", "Chance that the bar is lye-heavy", "Driven by"] {
        assert!(shows(&window, text), "{text} is not shown");
    }
    type_into(&mut window, "Superfat, percent", "0,5");
    let caution = |window: &Window| told(window).into_iter().find(|c| c.code == "lye-heavy-chance");
    let remedy = caution(&window).and_then(|c| c.remedy).expect("half a percent is too little");
    window.get_all_by_label(&remedy.label).next().expect("a button").click();
    window.run();
    assert_eq!(caution(&window), None, "enough is held back");
    type_into(&mut window, "Accepted chance of a lye-heavy bar", "0,02");
    assert!((design(&window).accepted_chance.get() - 0.02).abs() < 1e-12, "as typed");
    assert!(caution(&window).is_some(), "what was enough for 1 % is not for 0.02 %");
}

#[test]
fn a_suppliers_figure_narrows_the_margin_and_a_misprint_is_asked_for_twice() {
    let mut window = tall_window();
    let fat = design(&window).blend.lines()[0].fat.name.clone();
    let width = |window: &Window| {
        let margin = evaluation(window).margin.expect("fats");
        margin.high - margin.low
    };
    let before = width(&window);
    let open = |window: &mut Window| {
        // With the keyboard alone.
        window.get_by_label(&format!("{fat}: more")).focus();
        window.run();
        press(window, Modifiers::NONE, Key::Enter);
        window.get_by_label("Supplier’s certificate…").click();
        window.run();
    };
    let sv = design(&window).blend.lines()[0].fat.sv.value.mid();
    open(&mut window);
    type_into(&mut window, "Saponification value on the certificate", &format!("{:.1}", 1.5 * sv));
    window.get_by_label("Use these figures").click();
    window.run();
    assert!(shows(&window, "Read the certificate again"), "half more than it can be");
    assert!(design(&window).blend.lines()[0].supplier.is_none(), "not taken yet");
    press(&mut window, Modifiers::NONE, Key::Escape);
    open(&mut window);
    type_into(&mut window, "Saponification value on the certificate", &format!("{sv}"));
    type_into(&mut window, "± of the saponification value", "0,5");
    window.get_by_label("Use these figures").click();
    window.run();
    assert!(design(&window).blend.lines()[0].supplier.is_some(), "taken");
    assert!(width(&window) < before, "{} after {before}", width(&window));
}

#[test]
fn a_certificates_fatty_acids_move_the_scores_and_another_oils_are_asked_for_twice() {
    let mut window = tall_window();
    let line = |window: &Window| design(window).blend.lines()[0].clone();
    let fat = line(&window).fat.name.clone();
    assert_eq!(fat, "Olive oil, virgin", "the starting design");
    let open = |window: &mut Window| {
        window.get_by_label(&format!("{fat}: more")).click();
        window.run();
        window.get_by_label("Supplier’s certificate…").click();
        window.run();
    };
    let (before, lye) = (evaluation(&window).estimates, evaluation(&window).masses.alkali);
    open(&mut window);
    type_into(&mut window, "oleic on the certificate, percent", "28");
    type_into(&mut window, "linoleic on the certificate, percent", "62");
    window.get_by_label("Use these figures").click();
    window.run();
    assert!(shows(&window, "linoleic 62 %"), "no olive oil");
    assert!(line(&window).acids.is_none(), "not taken yet");
    window.get_by_label("Use it all the same").click();
    window.run();
    assert!(line(&window).acids.is_some(), "taken");
    assert_ne!(evaluation(&window).estimates, before, "the scores follow");
    assert_eq!(evaluation(&window).masses.alkali, lye, "the lye does not rest on them");
    assert!(told(&window).iter().any(|c| c.code == "acids-doubtful"), "and it is said");
    open(&mut window);
    window.get_by_label("Use the published figures").click();
    window.run();
    assert_eq!(evaluation(&window).estimates, before, "as before");
}

#[test]
fn a_number_that_is_clicked_explains_itself_with_this_designs_numbers() {
    let mut window = tall_window();
    let lye = mass(evaluation(&window).masses.alkali.naoh, MassUnit::Gram);
    window.query_all_by_label(&lye).next().expect("the weight of the lye").click();
    window.run();
    for text in ["With the numbers put in", "What goes in", "39.997", "What would change it most"] {
        assert!(shows(&window, text), "{text} is not shown");
    }
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert!(!shows(&window, "With the numbers put in"), "Escape closes it");
}

#[test]
fn sugars_show_a_milder_edge_and_leave_what_protects_as_it_was() {
    let mut window = tall_window();
    assert!(!shows(&window, "If sugars take all they may"), "no sugars, no edge");
    let before = evaluation(&window);
    add(&mut window, "Add a puree, milk, acid, clay…", "honey");
    assert!(shows(&window, "If sugars take all they may"), "the edge");
    let (now, margin) = (evaluation(&window), before.margin.as_ref().expect("fats"));
    assert!((now.masses.alkali.naoh.0 - before.masses.alkali.naoh.0).abs() < 1e-9, "the lye counts on none of it");
    let edge = now.sugars.expect("honey reduces").superfat;
    let text = barwright_core::number::fixed(edge, 1);
    assert!(edge > now.masses.superfat && shows(&window, &text), "{text} is shown");
    let here = now.margin.as_ref().expect("fats");
    assert!(here.low <= margin.low + 1e-9 && here.chance_lye_heavy() >= margin.chance_lye_heavy() - 1e-9);
}
