//! The Make view: dates, cure, label, cost, and a batch of another size.

use super::{Window, design, evaluation, example, press, shows, tall_window, type_into, window_with};
use barwright::files::Answer;
use barwright_core::bench::label::{Label, ListStyle, Region};
use barwright_core::bench::schedule::{self, NaiveDateTime, NaiveTime, Schedule};
use barwright_core::cost::{Cost, Total};
use barwright_core::formula::Plain;
use barwright_core::number;
use barwright_core::units::MassUnit;
use barwright_core::{Library, evaluate};
use calcard::icalendar::{ICalendar, ICalendarComponent, ICalendarComponentType, ICalendarProperty, ICalendarValue};
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::kittest::Queryable;
use std::path::Path;

fn open_make(window: &mut Window) {
    press(window, Modifiers::COMMAND, Key::Num4);
    assert!(shows(window, "Schedule"), "Ctrl+4 shows the view");
}

fn make_window() -> Window {
    let mut window = tall_window();
    open_make(&mut window);
    window
}

fn click(window: &mut Window, name: &str) {
    window.get_by_label(name).click();
    window.run();
}

#[test]
fn a_typed_day_and_time_give_every_step_its_date() {
    let mut window = make_window();
    assert!(shows(&window, "Day 0"), "without a day the days are counted");
    type_into(&mut window, "Day of making", "2026-03-14");
    type_into(&mut window, "Time of day at the start", "17:30");
    assert_eq!(design(&window).process.made_on.as_deref(), Some("2026-03-14"), "kept in the design");
    // 2026-03-14 is a Saturday; cut after 48 hours of a lye that is mixed on the same evening.
    for text in
        ["Sat 14 Mar 2026", "17:30", "Mon 16 Mar 2026", "Unmould and cut", "Cure ends: test, then use, give or sell"]
    {
        assert!(shows(&window, text), "{text} is not shown");
    }
    type_into(&mut window, "Hours from pouring to cutting", "24");
    assert!(shows(&window, "Sun 15 Mar 2026"), "cut a day earlier");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window).process.made_on, None, "each was a step that can be undone");
}

#[test]
fn what_is_no_day_and_no_time_is_refused_with_a_message() {
    let mut window = make_window();
    let before = design(&window);
    for text in ["soon", "2026-02-30", "99999999999-01-01", "11/28/2026", "-"] {
        type_into(&mut window, "Day of making", text);
        assert!(shows(&window, "is no day; write today, tomorrow, 28 Nov"), "{text} is refused");
        assert_eq!(design(&window), before, "{text} changes nothing");
    }
    type_into(&mut window, "Time of day at the start", "25:00");
    assert!(shows(&window, "is no time of day"), "there is no such hour");
    // The last year that the calendar holds leaves no room for a cure.
    type_into(&mut window, "Day of making", "+262142-12-30");
    assert!(shows(&window, "beyond the end of the calendar"), "said so");
    window.get_by_label("Day of making").focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::Backspace);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(design(&window).process.made_on, None, "an empty field takes the day away");
}

#[test]
fn the_calendar_is_saved_where_the_dialog_says_and_reads_back() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("orchard");
    let loaf = example("apple-oat-loaf.barwright");
    let mut window = window_with(vec![loaf], vec![Answer::Path(path.clone())], [1280.0, 2000.0], egui::Theme::Light);
    open_make(&mut window);
    type_into(&mut window, "Day of making", "2026-03-14");
    click(&mut window, "Save as calendar file…");
    window.run();
    let text = std::fs::read_to_string(path.with_extension("ics")).expect("with its extension");
    let calendar = ICalendar::parse(&text).expect("a calendar");
    let events = calendar.components.iter().filter(|c| c.component_type == ICalendarComponentType::VEvent);
    let day = schedule::day("2026-03-14").expect("a day");
    let nine = NaiveTime::from_hms_opt(9, 0, 0).expect("a time");
    let library = Library::embedded().expect("assets parse");
    let start = NaiveDateTime::new(day, nine);
    let planned = Schedule::of(&design(&window), &evaluation(&window), &library, start).expect("a schedule");
    let starts = |c: &ICalendarComponent| match c.property(&ICalendarProperty::Dtstart)?.values.first()? {
        ICalendarValue::PartialDateTime(time) => Some(time.to_date_time()?.date_time),
        _ => None,
    };
    let read: Vec<Option<NaiveDateTime>> = events.map(starts).collect();
    assert_eq!(
        read,
        planned.steps().iter().map(|s| Some(s.starts)).collect::<Vec<_>>(),
        "an event for each step, at its time"
    );
    assert_eq!(read[0], Some(NaiveDateTime::new(day, nine)), "the lye at nine");
    assert!(shows(&window, "Calendar file saved"), "and it is said");
}

#[test]
fn without_a_file_window_the_calendar_goes_to_a_typed_path_and_replaces_nothing_unasked() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("dates.ics");
    std::fs::write(&path, "precious").expect("writes");
    let mut window = window_with(Vec::new(), vec![Answer::Unavailable], [1280.0, 2000.0], egui::Theme::Light);
    open_make(&mut window);
    type_into(&mut window, "Day of making", "2026-03-14");
    click(&mut window, "Save as calendar file…");
    window.run();
    let typed = |window: &mut Window, path: &Path| {
        press(window, Modifiers::COMMAND, Key::A);
        window.get_by_label("Path of the file").type_text(&path.display().to_string());
        window.run();
        click(window, "Save");
    };
    window.get_by_label("Path of the file").focus();
    window.run();
    typed(&mut window, &path);
    assert!(shows(&window, "Replace the file that is there?"), "asked first");
    assert_eq!(std::fs::read_to_string(&path).expect("reads"), "precious", "not yet");
    click(&mut window, "Replace it");
    let text = std::fs::read_to_string(&path).expect("reads");
    assert!(text.starts_with("BEGIN:VCALENDAR"), "{text}");
    let backup = std::fs::read_to_string(folder.path().join("dates.ics.bak")).expect("kept");
    assert_eq!(backup, "precious", "what was there stays beside it");
}

#[test]
fn a_typed_price_gives_a_cost_and_undo_takes_it_away() {
    let mut window = make_window();
    let before = design(&window);
    assert!(shows(&window, "No price yet"), "nothing has a price");
    let fat = before.blend.lines()[0].fat.clone();
    type_into(&mut window, &format!("Pack of {}", fat.name), "5 kg");
    assert_eq!(design(&window), before, "a pack without a price is not kept");
    type_into(&mut window, &format!("Price of a pack of {}", fat.name), "32,50");
    let now = design(&window);
    let price = now.price(fat.id.as_str()).expect("typed");
    assert!((price.price.get() - 32.5).abs() < 1e-12 && (price.pack_g.get() - 5000.0).abs() < 1e-9, "{price:?}");
    let cost = Cost::of(&now, &evaluation(&window)).expect("fats");
    let Total::AtLeast(sum) = cost.batch(Plain) else { panic!("the others have none") };
    assert!((sum - 32.5 * cost.lines()[0].mass.0 / 5000.0).abs() < 1e-9, "{sum}");
    assert!(shows(&window, &format!("at least {sum:.2} EUR")), "the sum is partial and says so");
    assert!(shows(&window, "1 × 5 000 g") || shows(&window, "1 × 5\u{202f}000 g"), "a whole pack is bought");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "one step back");
    assert!(!shows(&window, &format!("at least {sum:.2} EUR")), "and no cost");
    type_into(&mut window, &format!("Price of a pack of {}", fat.name), "-3");
    assert!(shows(&window, "a price must lie between"), "a negative price is refused");
}

#[test]
fn with_every_price_the_sum_is_whole_and_the_margin_gives_a_price() {
    let mut window = make_window();
    let names: Vec<String> = {
        let cost = Cost::of(&design(&window), &evaluation(&window)).expect("fats");
        cost.lines().iter().map(|l| l.name.clone()).collect()
    };
    for name in &names {
        type_into(&mut window, &format!("Price of a pack of {name}"), "8");
    }
    assert!(!shows(&window, "No price yet"), "none is missing");
    // Enter went from price to price: what is typed next is a price and no pack.
    for (i, name) in names.iter().enumerate().skip(1).take(2) {
        let before = format!("Price of a pack of {}", names[i - 1]);
        type_into(&mut window, &before, "8");
        assert!(window.get_by_label(&format!("Price of a pack of {name}")).is_focused(), "after {before}");
    }
    type_into(&mut window, "Margin, percent of the price", "75");
    // Everything costs 8 a kilogram; with a margin of 75 % the price is four times the cost.
    let batch = evaluation(&window).masses;
    let cost = Cost::of(&design(&window), &evaluation(&window)).expect("fats");
    let grams: f64 = cost.lines().iter().map(|l| l.mass.0).sum();
    let expected = 4.0 * 8.0 * grams / 1000.0 / f64::from(batch.bars);
    assert!(shows(&window, &format!("{expected:.2} EUR")), "{expected:.2} is not shown");
    type_into(&mut window, "Currency", "kr");
    assert!(shows(&window, &format!("{expected:.2} kr")), "another label, the same sum");
    assert_eq!(design(&window).currency, "kr");
}

#[test]
fn the_label_is_shown_in_either_style_with_its_allergens() {
    let mut window = make_window();
    let label = |window: &Window| {
        let library = Library::embedded().expect("assets parse");
        Label::of(&design(window), &evaluation(window), &library).expect("fats")
    };
    let put_in = label(&window).text(ListStyle::AsPutIn, Region::EuUk);
    let in_bar = label(&window).text(ListStyle::AsInTheBar, Region::EuUk);
    assert!(put_in != in_bar && shows(&window, &put_in) && !shows(&window, &in_bar), "as put in");
    click(&mut window, "As in the bar");
    assert!(shows(&window, &in_bar) && !shows(&window, &put_in), "as in the bar");

    press(&mut window, Modifiers::COMMAND, Key::Num1);
    type_into(&mut window, "Add a scent…", "lavender");
    open_make(&mut window);
    let finding = label(&window).allergens.declared().next().expect("lavender brings some").name.clone();
    assert!(shows(&window, &finding) && shows(&window, "declared"), "{finding} is declared");
    click(&mut window, "Which allergens the label names");
    click(&mut window, "None");
    assert_eq!(label(&window).allergens.declared().count(), 0, "none by choice");
    assert!(shows(&window, "No allergens are named"), "said so");
    assert!(shows(&window, "not legal advice"), "the checklist says what it is");
    click(&mut window, "US");
    assert!(shows(&window, "21 CFR 701.20"), "the other region");
    let us = label(&window).text(ListStyle::AsInTheBar, Region::Us);
    assert!(us.contains("Water") && us.contains("Fragrance") && shows(&window, &us), "by its names: {us}");
}

#[test]
fn a_name_that_is_not_confirmed_is_marked_on_screen_and_not_in_the_text() {
    let mut window = make_window();
    let label = Label::of(&design(&window), &evaluation(&window), &Library::embedded().expect("assets parse"));
    let label = label.expect("fats");
    click(&mut window, "As in the bar");
    for name in label.unconfirmed() {
        if label.ingredients(ListStyle::AsInTheBar).iter().any(|i| i.name == name) {
            assert!(shows(&window, &format!("{name}  (not confirmed)")), "{name} is not marked");
        }
    }
    assert!(!label.text(ListStyle::AsInTheBar, Region::EuUk).contains("not confirmed"), "the text has no mark");
}

#[test]
fn a_larger_batch_leaves_the_design_alone_until_it_is_asked_for() {
    let mut window = make_window();
    let before = design(&window);
    let one = evaluation(&window).masses;
    click(&mut window, "So many times");
    type_into(&mut window, "Times as large as designed", "3");
    assert_eq!(design(&window), before, "only the view is scaled");
    assert!(shows(&window, "The design stays at"), "and it says so");
    let fats = number::mass(one.fats * 3.0, MassUnit::Gram);
    assert!(shows(&window, &format!("{fats} of fats, {} bars", 3 * one.bars)), "{fats} for {} bars", 3 * one.bars);
    let fat = number::mass(evaluation(&window).fat_masses[0] * 3.0, MassUnit::Gram);
    assert!(shows(&window, &fat), "the cost uses {fat}");
    click(&mut window, "Make it the design’s size");
    let after = evaluate(&design(&window), &Library::embedded().expect("assets parse")).masses;
    assert!((after.fats.0 - 3.0 * one.fats.0).abs() < 1e-9 * after.fats.0, "{:?}", after.fats);
    assert!(!shows(&window, "The design stays at"), "nothing is scaled any more");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "one step takes it back");
}

#[test]
fn a_batch_uses_up_a_fat_or_fills_another_mould_and_the_design_keeps_its_own() {
    let mut window = make_window();
    let (before, one) = (design(&window), evaluation(&window));
    click(&mut window, "Use up a fat");
    type_into(&mut window, "Mass of the fat to use up", "312 g");
    let fats = number::mass(one.masses.fats * (312.0 / one.fat_masses[0].0), MassUnit::Gram);
    assert!(shows(&window, &format!("{fats} of fats")), "{fats}");
    click(&mut window, "For this mould");
    // All at once, into any of the fields; then one of them.
    for (field, text) in [("Width of the mould", "24 x 7 x 5 cm"), ("Height of the mould", "60")] {
        type_into(&mut window, field, text);
    }
    type_into(&mut window, "Fill, percent", "90");
    assert!(shows(&window, "The design stays at"), "it says so");
    assert_eq!(design(&window), before, "only the view is scaled");
    click(&mut window, "Make it the design’s size");
    let after = evaluation(&window).masses;
    assert!((after.batter_ml - 0.9 * 24.0 * 7.0 * 6.0).abs() < 1e-6, "{} ml", after.batter_ml);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(design(&window), before, "one step takes it back");
}

#[test]
fn a_batch_beyond_all_measure_is_refused_and_the_designed_one_is_shown() {
    let mut window = make_window();
    click(&mut window, "So many bars");
    type_into(&mut window, "Bars to make", "0");
    assert!(shows(&window, "the number of bars must lie between"), "no bars are no batch");
    click(&mut window, "So many times");
    type_into(&mut window, "Times as large as designed", "1000000");
    assert!(shows(&window, "the multiple of a batch must lie between"), "out of range");
    click(&mut window, "So much fat");
    let (before, one) = (design(&window), evaluation(&window).masses);
    type_into(&mut window, "Fats of this batch", "900 kg");
    type_into(&mut window, "Fats of this batch", "2000 kg");
    assert!(shows(&window, "the mass of fats must lie between"), "no such kettle");
    // Nine hundred kilograms of fats give more bars than a design counts.
    assert!(900_000.0 / one.fats.0 * f64::from(one.bars) > 10_000.0, "as the example is");
    assert!(shows(&window, "The batch is shown as designed"), "and it is said");
    assert_eq!(design(&window), before, "the design is as it was");
    let fats = number::mass(one.fats, MassUnit::Gram);
    click(
        &mut window,
        &format!("{fats} of fats, {} bars of {} fresh", one.bars, number::mass(one.bar_fresh, MassUnit::Gram)),
    );
    assert!(shows(&window, "How far to trust it"), "a click explains the batch");
    assert!(!shows(&window, "as it is scaled here"), "as the designed one, which it is");
    type_into(&mut window, "Fats of this batch", "2 kg");
    assert!(shows(&window, "as it is scaled here"), "and a larger one as scaled");

    press(&mut window, Modifiers::COMMAND, Key::N);
    press(&mut window, Modifiers::COMMAND, Key::Num4);
    assert!(shows(&window, "Nothing to make yet"), "a design without fats makes nothing");
}

#[test]
fn the_moisture_that_stays_is_typed_and_changes_the_weight_at_sale() {
    let mut window = make_window();
    let before = evaluation(&window).cure.expect("fats").bar_at_sale(Plain);
    type_into(&mut window, "Water that a cured bar keeps", "14");
    let after = evaluation(&window).cure.expect("fats").bar_at_sale(Plain);
    assert!(after > before, "a bar that keeps more weighs more: {after:?} after {before:?}");
    type_into(&mut window, "Water that a cured bar keeps", "3");
    assert!(shows(&window, "the moisture that a cured bar keeps must lie between"), "no bar is so dry");
    for text in ["Weight of a bar over the days of cure", "as cut", "at sale, day 28", "settled, day"] {
        assert!(shows(&window, text), "{text} is not shown");
    }
}

#[test]
fn the_bench_sheet_is_saved_for_the_batch_that_is_made() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let answers = ["sheet", "weights"].map(|name| Answer::Path(folder.path().join(name)));
    let loaf = example("apple-oat-loaf.barwright");
    let mut window = window_with(vec![loaf], answers.to_vec(), [1280.0, 2000.0], egui::Theme::Light);
    open_make(&mut window);
    click(&mut window, "So many times");
    type_into(&mut window, "Times as large as designed", "2");
    click(&mut window, "Keep as a file");
    click(&mut window, "Save as web page…");
    window.run();
    let page = std::fs::read_to_string(folder.path().join("sheet.html")).expect("with its extension");
    assert!(page.starts_with("<!DOCTYPE html>") && page.contains("Scaled 2 times"), "the batch of this view");
    click(&mut window, "Keep as a file");
    click(&mut window, "Save as table…");
    window.run();
    let table = std::fs::read_to_string(folder.path().join("weights.csv")).expect("with its extension");
    let fats = evaluation(&window).fat_masses[0].0 * 2.0;
    assert!(table.contains(&format!("{fats:.0}")), "{fats} g of the first fat:\n{table}");
    assert!(shows(&window, "no test here shows that a bar is safe"), "the whole sheet is there");
}
