//! The method of the bench sheet, for one design of each kind in `cases`: what it says and what it must not say.
//!
//! Source: common practice, no source; first aid as the usual safety sheets of caustic soda have it, from memory.

use barwright_core::bench::method::{self, Part, Passage};
use barwright_core::bench::weighing::What;
use barwright_core::cautions::{self, Level};
use barwright_core::design::document;
use barwright_core::design::mould::Size;
use barwright_core::design::{OvenGel, Process};
use barwright_core::library::additions::Stage;
use barwright_core::render::sheet::{Options, Paper, Sheet};
use barwright_core::units::{Celsius, Days, Hours, Minutes, ScaleDivision, Share};
use barwright_core::{Design, Library, evaluate};
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

fn read(path: &Path) -> Design {
    let bytes = std::fs::read(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    document::read(&bytes, &LIBRARY).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn case(name: &str) -> Design {
    read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("cases").join(format!("{name}.barwright")))
}

/// All examples and all cases.
fn all() -> Vec<Design> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths: Vec<PathBuf> = Vec::new();
    for folder in [root.join("cases"), root.join("../assets/examples")] {
        let entries = std::fs::read_dir(&folder).expect("it is there");
        paths.extend(entries.map(|e| e.expect("an entry").path()));
    }
    paths.retain(|p| p.extension().is_some_and(|e| e == "barwright"));
    paths.sort();
    assert!(paths.len() > 40, "examples and cases");
    paths.iter().map(|p| read(p)).collect()
}

fn sheet(design: &Design) -> Sheet {
    Sheet::of(design, &evaluate(design, &LIBRARY), &LIBRARY, &Options::default()).expect("nothing is scaled")
}

fn is_stopped(design: &Design) -> bool {
    let cautions = cautions::of(design, &evaluate(design, &LIBRARY), &LIBRARY);
    cautions.iter().any(|c| c.level == Level::Stop)
}

/// The method as if nothing stood against it.
fn method_of(design: &Design) -> Vec<Passage> {
    let mould = match design.size {
        Size::Mould { mould, .. } => Some((mould, mould.own_bars().unwrap_or(design.bars))),
        _ => None,
    };
    let options = method::Options { mould, ..method::Options::default() };
    method::of(design, &evaluate(design, &LIBRARY), &LIBRARY, &options)
}

/// What a part says, in one run.
fn said(design: &Design, part: Part) -> String {
    let method = method_of(design);
    let passage = method.iter().filter(|p| p.part == part);
    passage.flat_map(|p| &p.steps).map(|s| s.text.as_str()).collect::<Vec<_>>().join(" ")
}

fn all_said(design: &Design) -> String {
    Part::ALL.iter().map(|part| said(design, *part)).collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn assert_says(text: &str, each: &[&str]) {
    for words in each {
        assert!(text.contains(words), "“{words}” is not in: {text}");
    }
}

#[track_caller]
fn assert_silent(text: &str, each: &[&str]) {
    let text = text.to_lowercase();
    for word in each {
        assert!(!text.contains(&word.to_lowercase()), "“{word}” is in: {text}");
    }
}

/// The safety sentences that the sheet has had since its first version, by what must be found of each.
const ON_EVERY_SHEET: [&str; 43] = [
    "Goggles, gloves and long sleeves on",
    "window open",
    "children, all others and animals out",
    "jug of stainless steel, or of polypropylene marked for that heat",
    "stands in the sink",
    "never aluminium",
    "Weigh the alkali dry and apart",
    "do not breathe the mist",
    "measure",
    "Lye into the fats",
    "in a thin stream",
    "Wear goggles, gloves and sleeves: lye burns skin and eyes.",
    "Add the alkali to the water, never water to the alkali, slowly and with fresh air.",
    "No aluminium: lye dissolves it and sets hydrogen free.",
    "Keep children and animals away until everything is washed up.",
    "Lye on skin: rinse with much running water at once.",
    "rinse for at least 20 minutes and get medical help",
    "Local rules on handling lye and on selling soap come first",
    "not proof. Do not use it if in doubt: no test here shows that a bar is safe.",
    "Swallowed: rinse the mouth",
    "do not make them vomit",
    "call for help at once",
    "Poison centre or emergency number: ______________",
    "soaked clothes off",
    "running water for at least 20 minutes",
    "No vinegar",
    "lids held open",
    "go on rinsing until help takes over",
    "fresh air; help if coughing lasts",
    "Spilt: keep others away, gloves on, take it up with something dry, then much water.",
    "boils up: stand back, do not lean over it",
    "Crystals in the lye: stand the jug in warm water and stir until it is clear before it is used.",
    "It splits, or stiffens at once",
    "It is still caustic.",
    "A weight was wrong or forgotten: stop, and work the superfat out again",
    "Lye-heavy, or in doubt: not for skin and not down the drain in lumps",
    "local rules for caustic waste",
    "This sheet is arithmetic and not advice.",
    "licensed professional",
    "common practice of the trade, without a source",
    "no oil on top",
    "Liquid in a pocket may be lye: gloves on",
    "Gloves on until the end of the cure",
];

/// What is said of tests, where no Stop stands against the design.
const OF_TESTS: [&str; 9] = [
    "only if the weights were right and nothing weeps",
    "tip of the tongue",
    "rinse at once. Never a child",
    "phenolphthalein",
    "carcinogen",
    "unreliable on soap",
    "Wash your own hands first, then nobody else’s",
    "Weigh a bar every week",
    "Cure ends: test, then use, give or sell.",
];

/// In one line, without marks of a page.
fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn no_safety_sentence_is_missing_on_a_sheet() {
    for design in all() {
        let evaluation = evaluate(&design, &LIBRARY);
        if evaluation.masses.fats.0 <= 0.0 {
            continue;
        }
        let sheet = sheet(&design);
        for text in [in_one_line(&sheet.text()), sheet.html(Paper::A4)] {
            let is_paste = design.alkali.koh_share.get() > 50.0;
            let of_bars =
                ["no oil on top", "Liquid in a pocket may be lye: gloves on", "Gloves on until the end of the cure"];
            for words in ON_EVERY_SHEET.iter().filter(|w| !(is_paste && of_bars.contains(w))) {
                assert!(text.contains(words), "{}: “{words}” is missing", design.name);
            }
            let oven = text.contains("heaves in the oven: oven off");
            assert_eq!(oven, design.process.oven_gel.is_some(), "{}: first aid at the oven", design.name);
            let into_water = "Alkali into the water";
            let onto_ice = "spoon by spoon, never the other way round";
            assert!(text.contains(into_water) != text.contains(onto_ice), "{}: one of both", design.name);
            if text.contains(into_water) {
                assert_says(&text, &["never water onto alkali: a little at a time, stirring until clear"]);
            }
            for words in OF_TESTS.iter().filter(|w| !(is_paste && w.starts_with("Weigh a bar"))) {
                assert!(text.contains(words) || is_stopped(&design), "{}: “{words}” is missing", design.name);
            }
            if is_stopped(&design) {
                assert_silent(&text, &["then use, give or sell", "ready for a label"]);
            }
        }
    }
}

#[test]
fn first_aid_stands_before_the_weights_in_the_text_and_once_in_each_form() {
    let sheet = sheet(&case("water_alone"));
    let (text, html) = (sheet.text(), sheet.html(Paper::A4));
    for form in [&text, &html] {
        assert_eq!(form.matches("First aid").count(), 2, "a heading, and the legend");
    }
    assert!(text.find("First aid") < text.find("To weigh"), "first");
    // Room to write stands beside what was planned, and only of what the design has.
    for (name, blanks) in [
        ("water_alone", vec!["Lye when it is used", "Fats when they meet it", "Time to trace"]),
        ("honey_in_the_oven", vec!["Lye when it is used", "Fats when they meet it", "Oven", "Time to trace"]),
    ] {
        let sheet = self::sheet(&case(name));
        let (text, html) = (sheet.text(), sheet.html(Paper::A4));
        let lines: Vec<&str> = text.lines().filter(|l| l.contains("measured ____")).collect();
        assert_eq!(lines.len(), blanks.len(), "{name}: {lines:?}");
        for blank in &blanks {
            assert!(lines.iter().any(|l| l.trim().starts_with(blank)), "{name}: {blank}");
            let row = html.split("<tr>").find(|row| row.contains(&format!("<td>{blank}</td>"))).expect("a row");
            assert!(row.contains("<span class=\"blank\">"), "{name}: {row}");
        }
    }
}

#[test]
fn no_mark_stands_in_a_line_to_weigh() {
    for design in all() {
        for row in sheet(&design).rows {
            for mark in ["common practice", "from memory", "no source"] {
                assert!(!row.note.contains(mark), "{}: {}", row.name, row.note);
            }
        }
    }
}

#[test]
fn milk_for_all_the_water_is_frozen_and_the_alkali_goes_onto_it() {
    let design = case("milk_for_all_water");
    assert_says(
        &said(&design, Part::Ready),
        &[
            "Before freezing, stir into Goat’s milk: Tetrasodium EDTA.",
            "The day before, weigh and freeze in small pieces: Goat’s milk.",
        ],
    );
    let jug = said(&design, Part::Jug);
    assert_says(
        &jug,
        &[
            "Put in, frozen in small pieces: Goat’s milk. Stand the jug in ice.",
            "Alkali onto the frozen Goat’s milk, spoon by spoon, never the other way round",
            "do not breathe the mist",
        ],
    );
    assert_silent(&jug, &["into the water", "Weigh the water", "Honey", "ice, 0"]);
    assert_says(
        &said(&design, Part::Mix),
        &["With Honey, stirred in next, it can thicken fast", "At trace, stir in: Honey."],
    );
    assert_says(
        &said(&design, Part::Warmth),
        &["Stand it cool and airy, not insulated: with Goat’s milk and Honey it warms by itself"],
    );
    let sheet = sheet(&design);
    assert!(sheet.rows.iter().all(|row| row.what != What::Water), "no water to weigh");
    assert!(!sheet.text().contains("Weigh the water"), "none");
    let cut = "Cut at 25, 50, 75, 100, 125, 150, 175, 200, 225 mm from one end.";
    assert_says(&said(&design, Part::Cut), &[cut]);
}

#[test]
fn salt_of_a_salt_bar_goes_in_at_trace_and_is_cut_warm() {
    let design = case("salt_bar");
    assert_silent(&said(&design, Part::Jug), &["Salt"]);
    assert_says(&said(&design, Part::Mix), &["At light trace, stir in dry and evenly: Salt."]);
    assert_says(&said(&design, Part::Cut), &["within hours, firm and still warm, not after the 48 h planned"]);
    assert_says(&said(&design, Part::Cure), &["28 days are planned; 4 to 6 weeks are usual for a salt bar"]);
    let jug = said(&case("salt_in_the_jug"), Part::Jug);
    assert_says(
        &jug,
        &["Keep Salt out of the jug", "800 g of it do not dissolve there: at the most 36 g in 100 g of water"],
    );
    assert_silent(&jug, &["until dissolved"]);
}

#[test]
fn a_little_salt_dissolves_before_the_alkali() {
    let mut design = case("salt_in_the_jug");
    design.additions[0].amount = design.additions[0].amount.with_number(10.0);
    let jug = said(&design, Part::Jug);
    let (salt, alkali) = (jug.find("until dissolved: Salt."), jug.find("Alkali into the water"));
    assert!(salt.is_some() && salt < alkali, "{jug}");
}

#[test]
fn waxes_and_stearic_acid_are_mixed_warm_and_false_trace_is_told() {
    let warm = case("wax_mixed_warm");
    assert_says(&said(&warm, Part::Fats), &["Melt gently, never left alone: Coconut oil, Beeswax and Stearic acid."]);
    let warm = said(&warm, Part::Temperatures);
    assert_says(
        &warm,
        &["62 °C", "60 °C", "Keep all at 55 to 65 °C until it is poured", "(false trace): Beeswax and Stearic acid."],
    );
    assert_silent(&warm, &["warmer than"]);
    let cold = said(&case("beeswax_15"), Part::Temperatures);
    assert_says(
        &cold,
        &["Below about 55 °C this sets: Beeswax. Mix at 55 to 65 °C, warmer than the 38 °C planned", "false trace"],
    );
    assert_silent(&said(&case("water_alone"), Part::Temperatures), &["false trace", "Beeswax"]);
}

#[test]
fn lye_that_stays_colder_than_planned_is_used_so() {
    for name in ["milk_for_all_water", "ice"] {
        let design = case(name);
        let warm = said(&design, Part::Temperatures);
        assert_says(&warm, &["The lye stays colder than the", "use it so", "Measure both"]);
        assert_silent(&warm, &["have the lye at", "as the lye"]);
        let text = in_one_line(&sheet(&design).text());
        assert_says(&text, &["The lye stays colder than"]);
        assert_silent(&text, &["is not known; measure it"]);
    }
}

#[test]
fn the_figures_name_what_the_jug_holds_and_nothing_else() {
    let figures = |name: &str| {
        let sheet = sheet(&case(name));
        sheet.temperatures.into_iter().map(|f| (f.name, f.value)).collect::<Vec<_>>()
    };
    let value = |name: &str, of: &str| figures(name).into_iter().find(|(what, _)| what == of).map(|(_, value)| value);
    let water = "Water in the jug";
    assert_eq!(value("milk_for_all_water", water), None, "there is none");
    assert_eq!(value("milk_for_all_water", "Frozen in the jug").as_deref(), Some("Goat’s milk"));
    assert_eq!(value("milk_in_the_jug", water).as_deref(), Some("6 °C"), "what is frozen is the milk");
    assert_eq!(value("water_alone", water).as_deref(), Some("20 °C"));
    assert!(value("ice", water).is_some_and(|v| v.ends_with(", all as ice")), "{:?}", value("ice", water));
    let rows = sheet(&case("ice")).rows;
    let water = rows.iter().find(|row| row.what == What::Water).expect("water");
    assert_eq!(water.note, "all of it as ice");
    // On any scale the ice and the liquid water are what it shows, and add up to the water that is weighed.
    for step in [0.1, 1.0, 5.0] {
        let mut design = case("water_alone");
        design.scale_division = ScaleDivision::nearest(step);
        design.process.jug_frozen = Share::nearest(50.0);
        let rows = sheet(&design).rows;
        let water = rows.iter().find(|row| row.what == What::Water).expect("water");
        let told: Vec<f64> = water.note.split_whitespace().filter_map(|word| word.parse().ok()).collect();
        let [ice, liquid] = told[..] else { panic!("ice and liquid in {}", water.note) };
        assert!((ice + liquid - water.weight.0).abs() < 1e-9, "{}: {} g", water.note, water.weight.0);
        assert!((ice / step - (ice / step).round()).abs() < 1e-9, "{ice} g on a scale of {step} g");
    }
    let jug = said(&case("ice"), Part::Jug);
    assert_says(&jug, &["Alkali onto the ice, spoon by spoon"]);
    assert_silent(&jug, &["frozen ice"]);
}

#[test]
fn what_browns_is_told_so_that_it_is_taken_for_no_fault() {
    let brown = "it browns in time";
    assert_says(
        &said(&case("spice_in_the_fats"), Part::Cut),
        &["With Clove bud oil it browns in time, no fault either."],
    );
    assert_says(&said(&case("milk_for_all_water"), Part::Cut), &["With Goat’s milk and Honey it browns in time"]);
    assert_silent(&said(&case("water_alone"), Part::Cut), &[brown]);
    assert_silent(&said(&case("salt_bar"), Part::Cut), &[brown]);
}

#[test]
fn salt_bars_planned_to_be_cut_cold_want_care_with_a_remedy() {
    let mut design = case("salt_bar");
    let late = |design: &Design| {
        let all = cautions::of(design, &evaluate(design, &LIBRARY), &LIBRARY);
        all.into_iter().find(|caution| caution.code == "cut-late")
    };
    let caution = late(&design).expect("48 h are planned");
    assert_eq!(caution.level, Level::Care);
    assert_says(&in_one_line(&sheet(&design).text()), &["That is late for salt bars: cut them warm."]);
    let remedy = caution.remedy.expect("a remedy");
    let mended = remedy.edit.apply(&design, &LIBRARY).expect("it can be done");
    assert_eq!(late(&mended), None, "{}", remedy.label);
    design.process.cut_hours = Hours::new(4.0).expect("in range");
    assert_eq!(late(&design), None, "warm");
    assert_silent(&said(&design, Part::Cut), &["planned"]);
}

#[test]
fn less_than_an_hour_in_the_mould_and_less_than_a_day_of_cure_are_as_none() {
    let level = |cut: f64, cure: f64, code: &str| {
        let mut design = case("five_fats");
        design.process.cut_hours = Hours::new(cut).expect("in range");
        design.process.cure_days = Days::new(cure).expect("in range");
        let all = cautions::of(&design, &evaluate(&design, &LIBRARY), &LIBRARY);
        all.into_iter().find(|caution| caution.code == code).map(|caution| caution.level)
    };
    for (hours, expected) in [(0.0, Level::Stop), (0.01, Level::Stop), (0.99, Level::Stop), (1.0, Level::Care)] {
        assert_eq!(level(hours, 28.0, "cut-soon"), Some(expected), "{hours} h");
    }
    for (days, expected) in [(0.0, Level::Stop), (0.01, Level::Stop), (0.99, Level::Stop), (1.0, Level::Care)] {
        assert_eq!(level(48.0, days, "cure-short"), Some(expected), "{days} days");
    }
    let mut design = case("five_fats");
    design.process.cut_hours = Hours::new(0.01).expect("in range");
    assert_says(&said(&design, Part::Cut), &["STOP: not after the 0 h planned"]);
}

#[test]
fn a_mould_of_cavities_is_not_cut() {
    let cut = said(&case("cavities"), Part::Cut);
    assert_says(
        &cut,
        &["Gloves on until the end of the cure. Unmould 48 h after pouring", "Look at the bars: no wet spots"],
    );
    assert_silent(&cut, &["and cut", "Cut "]);
}

#[test]
fn two_kinds_of_one_fat_keep_their_full_names() {
    let mut design = case("salt_bar");
    let text = said(&design, Part::Fats);
    assert_says(&text, &["Stir in the liquid fats: Olive oil."]);
    for name in ["Sunflower oil, high oleic", "Sunflower oil, mid oleic"] {
        let fat = LIBRARY.fats().iter().find(|fat| fat.name == name).expect("tabled");
        design.blend.add(std::sync::Arc::clone(fat), Share::new(10.0).expect("in range")).expect("there is room");
    }
    assert_says(&said(&design, Part::Fats), &["Olive oil, Sunflower oil, high oleic and Sunflower oil, mid oleic."]);
}

#[test]
fn a_spice_goes_into_the_fats_before_the_lye_and_the_others_in_at_trace() {
    let design = case("spice_in_the_fats");
    assert_says(
        &said(&design, Part::Fats),
        &["Stir into the fats, before the lye: Clove bud oil. Stirred in later, it can thicken the batter at once."],
    );
    let mix = said(&design, Part::Mix);
    assert_says(
        &mix,
        &["With Clove bud oil it can thicken at once", "Once it is an emulsion, stir in the scent: Lavender oil."],
    );
    assert_says(
        &said(&design, Part::Ready),
        &["Have the scent measured, closed and at hand: Clove bud oil and Lavender oil."],
    );
}

#[test]
fn a_jug_of_puree_alone_has_no_water() {
    let design = case("puree_for_all_water");
    let jug = said(&design, Part::Jug);
    assert_says(&jug, &["Alkali onto the frozen Carrot puree, spoon by spoon"]);
    assert_silent(&jug, &["into the water", "Weigh the water"]);
    let ready = said(&design, Part::Ready);
    assert_says(&ready, &["Make fine and free of lumps: Carrot puree."]);
    assert!(ready.find("Make fine") < ready.find("freeze in small pieces"), "before it is frozen: {ready}");
}

#[test]
fn a_puree_at_two_stages_has_its_place_at_both() {
    let design = case("puree_at_two_stages");
    for (stage, index) in [(Stage::IntoJug, 0), (Stage::IntoFats, 1), (Stage::OnTop, 2)] {
        let handled = |p: &Passage| p.steps.iter().filter(|s| s.handles.contains(&What::Addition(index))).count();
        for passage in method_of(&design) {
            let once = usize::from(passage.part == Part::of(stage));
            assert_eq!(handled(&passage), once, "{:?}", passage.part);
        }
    }
    assert_says(
        &said(&design, Part::Jug),
        &[
            "Weigh the water into the jug.",
            "Last, before the alkali, put in, frozen in small pieces: Pumpkin puree.",
            "Alkali into the water, never water onto alkali",
        ],
    );
    assert_says(&said(&design, Part::Fats), &["until no lump is left: Pumpkin puree."]);
    // Only what goes into the jug is frozen.
    let frozen = "The day before, weigh and freeze in small pieces: 60 g of Pumpkin puree.";
    assert_says(&said(&design, Part::Ready), &[frozen]);
    assert_says(&said(&design, Part::Decoration), &["Gloves on", "Calendula petals."]);
    assert_says(&said(&design, Part::Mix), &["Blend to medium trace"]);
}

#[test]
fn honey_in_an_oven_is_watched_and_no_oven_over_95_degrees_is_an_instruction() {
    let mut design = case("honey_in_the_oven");
    let ready = said(&design, Part::Ready);
    assert_says(&ready, &["fits the oven", "Preheat the oven to 70 °C."]);
    assert_says(
        &said(&design, Part::Warmth),
        &[
            "Into the preheated oven at 70 °C for 60 min",
            "leave the soap in overnight",
            "a note on the door, no food in it",
            "with Honey it can boil up",
        ],
    );
    let oven = OvenGel { oven_c: Celsius::nearest(300.0), minutes: Minutes::nearest(10_000.0) };
    design.process = Process { oven_gel: Some(oven), ..design.process };
    let text = all_said(&design);
    assert_says(&text, &["STOP: not into an oven of"]);
    assert_silent(&text, &["preheated", "Preheat the oven"]);
}

#[test]
fn clay_is_stirred_smooth_before_it_is_used_and_never_goes_into_the_jug() {
    let mut design = case("clay_25");
    assert_says(&said(&design, Part::Fats), &["stir smooth in it, for later: Kaolin (white clay)."]);
    assert_says(&said(&design, Part::Mix), &["At trace, stir in: Kaolin (white clay)."]);
    design.additions[0].stage = Stage::IntoJug;
    assert_says(&said(&design, Part::Jug), &["Keep Kaolin (white clay) out of the jug"]);
}

#[test]
fn sodium_lactate_waits_until_the_lye_has_cooled() {
    let text = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 100.0)],
        additions: [(addition: "sodium_lactate_60", amount: GramsPerKgFats(15), stage: IntoJug),
            (addition: "sugar", amount: GramsPerKgFats(15), stage: IntoJug),
            (addition: "honey", amount: GramsPerKgFats(15), stage: IntoJug)])"#;
    let design = document::read(text.as_bytes(), &LIBRARY).expect("valid");
    let jug = said(&design, Part::Jug);
    let at = |words: &str| jug.find(words).unwrap_or_else(|| panic!("“{words}” is not in {jug}"));
    let cooled = at("Let it stand safely until it has 38 °C");
    assert!(at("until dissolved: Sugar") < at("Alkali into the water"), "{jug}");
    assert!(at("Alkali into the water") < cooled, "{jug}");
    assert!(cooled < at("into the cooled lye: Sodium lactate"), "{jug}");
    assert!(cooled < at("into the cooled lye: Honey, a little at a time"), "{jug}");
}

#[test]
fn the_cure_is_said_by_the_kind_of_bar() {
    assert_says(&said(&case("coconut_85"), Part::Cure), &["4 to 6 weeks are usual for a blend rich in short acids"]);
    let olive = said(&case("olive_alone"), Part::Cure);
    assert_says(&olive, &["6 to 12 months are usual for a blend so rich in oleic acid – give it longer"]);
    assert_says(&said(&case("olive_alone"), Part::Cut), &["stays soft for long"]);
    assert_says(&said(&case("water_alone"), Part::Cure), &["4 weeks are usual for a blend like this"]);
    let mut paste = case("water_alone");
    paste.alkali.koh_share = Share::nearest(60.0);
    assert_says(&said(&paste, Part::Cut), &["no bars, nothing to cut"]);
    assert!(said(&paste, Part::Cure).is_empty(), "no bars to turn");
    let mut short = case("water_alone");
    short.process.cure_days = Days::nearest(7.0);
    short.process.cut_hours = Hours::nearest(24.0);
    assert_says(
        &said(&short, Part::Cure),
        &["7 days are planned; 4 weeks are usual for a blend like this – give it longer"],
    );
}

#[test]
fn nothing_that_must_not_be_done_is_an_instruction() {
    let mut design = case("water_alone");
    design.process.mix_c = Celsius::nearest(110.0);
    design.process.cut_hours = Hours::nearest(0.0);
    design.process.cure_days = Days::nearest(0.0);
    let warm = said(&design, Part::Temperatures);
    assert_says(&warm, &["STOP: not at the 110 °C planned. Over 85 °C"]);
    assert_silent(&warm, &["Bring the fats"]);
    assert_silent(&said(&design, Part::Jug), &["110"]);
    assert_says(&said(&design, Part::Cut), &["STOP: not after the 0 h planned"]);
    assert_says(&said(&design, Part::Cure), &["STOP, not without a cure: 0 days are planned"]);
}

#[test]
fn a_design_of_water_alone_names_nothing_else() {
    let text = all_said(&case("water_alone"));
    assert_says(
        &text,
        &[
            "Weigh the water into the jug.",
            "Alkali into the water, never water onto alkali",
            "Cut at 100, 200 mm from one end, and at 50, 100, 150 mm from one side.",
        ],
    );
    assert_silent(
        &text,
        &["milk", "honey", "puree", "clay", "wax", "frozen", "freeze", "the scent", "lactate", "petal", "oven"],
    );
}

#[test]
fn the_jug_has_room_for_what_is_solid_and_for_froth() {
    // 310 g of water and 1000 g of fats; 100 g of bicarbonate, of 2.2 g/ml, take 45.5 ml more, and as much again for froth.
    let with = |more: &str| {
        let text = format!(
            r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 100.0)], size: FatMass(1000.0), water: PercentOfFats(31.0),
                additions: [{more}])"#
        );
        let design = document::read(text.as_bytes(), &LIBRARY).expect("valid");
        let jug = evaluate(&design, &LIBRARY).jug.expect("a jug");
        let least = jug.least_jug_ml(barwright_core::formula::Plain).expect("a density");
        let lye = jug.volume_ml().expect("a density");
        (least, lye)
    };
    let (least, lye) = with("");
    assert!((least - 2.0 * lye).abs() < 1e-9, "{least} for {lye}");
    let (more, lye) = with(r#"(addition: "sodium_bicarbonate", amount: Grams(100), stage: IntoJug)"#);
    assert!((more - 2.0 * (lye + 100.0 / 2.2)).abs() < 1e-6, "{more} for {lye}");
}
