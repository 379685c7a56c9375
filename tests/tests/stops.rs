//! What a stopped design gives out: the Stop at the top of everything, and no label, price or day of sale.
//!
//! Source: the project's own safety rules; RFC 5545 for the calendar, read with calcard; RFC 4180 for CSV.

use barwright_core::bench::label::{Ingredients, Label, ListStyle, Region};
use barwright_core::bench::schedule::{NaiveDate, NaiveDateTime, Schedule, StepKind};
use barwright_core::cautions::{self, Caution, NoStop, Stopped};
use barwright_core::chemistry::recipe::{Recipe, Verdict};
use barwright_core::design::document;
use barwright_core::explain::compare::Side;
use barwright_core::render::report::{self, Report};
use barwright_core::render::sheet::{Options, Paper, Sheet};
use barwright_core::units::{Grams, Purity};
use barwright_core::{Design, Evaluation, Library, evaluate};
use std::path::Path;
use std::sync::{Arc, LazyLock};

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

/// Every design under `cases`, with its evaluation and its Stops; at least so many of them are stopped.
fn cases() -> Vec<(Design, Evaluation, Vec<Caution>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    let files = |folder: &Path| -> Vec<_> {
        std::fs::read_dir(folder)
            .expect("it is there")
            .map(|e| e.expect("an entry").path())
            .filter(|p| p.is_file())
            .collect()
    };
    let all = files(&folder).into_iter().chain(files(&folder.join("doubt")));
    let mut paths: Vec<_> = all.filter(|p| p.extension().is_some_and(|e| e == "barwright")).collect();
    paths.sort();
    let read = |path: &std::path::PathBuf| {
        let design = document::read(&std::fs::read(path).expect("reads"), &LIBRARY).expect("a design");
        let evaluation = evaluate(&design, &LIBRARY);
        let mut stops = cautions::of(&design, &evaluation, &LIBRARY);
        stops.retain(Caution::blocks);
        (design, evaluation, stops)
    };
    let cases: Vec<_> = paths.iter().map(read).collect();
    let stopped = cases.iter().filter(|(_, _, stops)| !stops.is_empty()).count();
    assert!(stopped >= 12 && stopped < cases.len(), "{stopped} of {} are stopped", cases.len());
    cases
}

/// Letters and digits alone, so that folded, wrapped and escaped text is the same text.
fn letters(text: &str) -> String {
    let text = text.replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

fn start() -> NaiveDateTime {
    NaiveDate::from_ymd_opt(2026, 3, 27).and_then(|d| d.and_hms_opt(9, 0, 0)).expect("a time")
}

/// All that is made of a design, by name.
fn outputs(design: &Design, evaluation: &Evaluation) -> Vec<(&'static str, String)> {
    let sheet = Sheet::of(design, evaluation, &LIBRARY, &Options::default()).expect("nothing is scaled");
    let side = Side { design, evaluation };
    let json = Report::new(design, evaluation, &LIBRARY).json().expect("JSON");
    let mut outputs = vec![
        ("report", report::text(design, evaluation, &LIBRARY)),
        ("label", report::label_text(design, evaluation, &LIBRARY)),
        ("sheet as text", sheet.text()),
        ("sheet as HTML", sheet.html(Paper::A4)),
        ("sheet as CSV", sheet.csv().expect("CSV").replace("\"\"", "\"")),
        ("comparison", report::compare_text(&[side, side], &LIBRARY)),
        ("comparison as JSON", report::compare_json(&[side, side], &LIBRARY).expect("JSON")),
        ("JSON", json),
    ];
    if let Ok(schedule) = Schedule::of(design, evaluation, &LIBRARY, start()) {
        outputs.push(("calendar", schedule.calendar()));
    }
    outputs
}

#[test]
fn every_output_of_a_stopped_design_has_each_stop_and_no_label_text() {
    for (design, evaluation, stops) in cases() {
        let ingredients = Ingredients::of(&design, &evaluation, &LIBRARY);
        for (what, text) in outputs(&design, &evaluation) {
            let plain = letters(&text);
            for stop in &stops {
                // JSON has the level beside the text.
                let told = if what.contains("JSON") || what.contains("CSV") { stop.text() } else { stop.line() };
                assert!(plain.contains(&letters(&told)), "{}: {what} lacks {told}\n{text}", design.name);
            }
            if stops.is_empty() {
                continue;
            }
            let lists = ingredients.iter().flat_map(|i| ListStyle::ALL.map(|style| i.ingredients(style)));
            for list in lists.filter(|list| list.len() > 2) {
                let names: Vec<&str> = list.iter().map(|i| i.name.as_str()).take(3).collect();
                assert!(!plain.contains(&letters(&names.concat())), "{}: {what} lists {names:?}", design.name);
            }
            for word in
                [StepKind::Ready.title(), StepKind::Settled.title(), "weight to declare", "for sale", "is ready"]
            {
                assert!(!plain.contains(&letters(word)), "{}: {what} says “{word}”\n{text}", design.name);
            }
        }
    }
}

#[test]
fn a_stopped_design_has_no_label_and_a_schedule_that_ends_at_do_not_use() {
    for (design, evaluation, stops) in cases() {
        let label = Label::of(&design, &evaluation, &LIBRARY);
        let json = Report::new(&design, &evaluation, &LIBRARY).json().expect("JSON");
        let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        assert_eq!(json["label"].is_null(), !stops.is_empty(), "{}", design.name);
        match &label {
            Ok(label) => assert!(!label.text(ListStyle::AsPutIn, Region::EuUk).is_empty(), "{}", design.name),
            Err(stopped) => assert_eq!(stopped.stops(), stops, "{}: withheld for these", design.name),
        }
        assert_eq!(label.is_ok(), stops.is_empty(), "{}", design.name);
        assert_eq!(NoStop::of(&design, &evaluation, &LIBRARY).is_ok(), stops.is_empty(), "{}", design.name);
        let Ok(schedule) = Schedule::of(&design, &evaluation, &LIBRARY, start()) else { continue };
        let kinds: Vec<StepKind> = schedule.steps().iter().map(|s| s.kind).collect();
        if stops.is_empty() {
            assert!(kinds.contains(&StepKind::Ready) && !kinds.contains(&StepKind::DoNotUse), "{kinds:?}");
            continue;
        }
        assert_eq!(kinds.last(), Some(&StepKind::DoNotUse), "{}: {kinds:?}", design.name);
        let goes_on =
            |k: &StepKind| matches!(k, StepKind::Cut | StepKind::Turn(_) | StepKind::Ready | StepKind::Settled);
        assert!(!kinds.iter().any(goes_on), "{}: {kinds:?}", design.name);
        let last = schedule.steps().last().expect("a step");
        assert!(last.text.contains(Stopped::WITHHELD), "{}", last.text);
    }
}

/// The lines of a sheet's work with what a Stop must stand before.
#[test]
fn no_instruction_is_printed_without_the_stop_that_stands_against_it() {
    for (name, code, line) in [
        ("oven_180", "oven-hot", "oven of 180"),
        ("jug_water_95", "jug-water-hot", "Weigh the water"),
        ("lye_140", "lye-hot", "until it has cooled"),
        ("lye_140", "lye-hot", "not at the 140"),
        ("fats_200", "fats-hot", "not at the 200"),
        ("superfat_minus_4", "lye-heavy", "Alkali into the water"),
        ("purity_90", "naoh-purity", "Alkali into the water"),
        ("certificate_204", "sv-too-high", "Alkali into the water"),
        ("scents_18", "scents-much", "stir in the scent"),
    ] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases/doubt").join(format!("{name}.barwright"));
        let design = document::read(&std::fs::read(path).expect("reads"), &LIBRARY).expect("a design");
        let evaluation = evaluate(&design, &LIBRARY);
        let stop = cautions::of(&design, &evaluation, &LIBRARY).into_iter().find(|c| c.code == code).expect("stopped");
        let sheet = Sheet::of(&design, &evaluation, &LIBRARY, &Options::default()).expect("nothing is scaled");
        let all = sheet.method.iter().flat_map(|p| &p.steps).map(|step| &step.text);
        let steps: Vec<&String> = all.filter(|s| s.contains(line)).collect();
        assert!(!steps.is_empty(), "{name}: no step says “{line}”");
        for step in steps {
            assert!(step.contains(&stop.line()), "{name}: {step}");
        }
        for time in sheet.times.iter().filter(|t| t.kind == StepKind::Oven && code == "oven-hot") {
            assert!(time.text.contains(&stop.line()), "{name}: {}", time.text);
        }
    }
}

#[test]
fn a_recipe_with_half_a_percent_of_superfat_is_stopped_like_a_design() {
    let olive = Arc::clone(LIBRARY.fat("olive_virgin").expect("in the library"));
    let of = |naoh: f64| {
        let recipe = Recipe {
            name: "From a book".into(),
            fats: vec![(Arc::clone(&olive), Grams(1000.0))],
            additions: Vec::new(),
            naoh: Grams(naoh),
            naoh_purity: Purity::nearest(99.0),
            koh: Grams::ZERO,
            koh_purity: Purity::nearest(90.0),
            water: Grams(300.0),
        };
        let design = recipe.design().expect("a recipe");
        let evaluation = evaluate(&design, &LIBRARY);
        let stopped = NoStop::of(&design, &evaluation, &LIBRARY).is_err();
        (Verdict::of(&design, evaluation.margin.as_ref()), stopped, design.superfat.get())
    };
    // 1000 g of SV 191.26 take 136.35 g of pure sodium hydroxide, 137.73 g of 99 %.
    let (verdict, stopped, superfat) = of(137.04);
    assert!((superfat - 0.5).abs() < 0.05, "{superfat} %");
    assert!(matches!(verdict, Verdict::MayBeLyeHeavy { chance, .. } if chance > 0.3), "{verdict:?}");
    assert!(stopped, "the design too");
    let (verdict, stopped, superfat) = of(125.9);
    assert!(matches!(verdict, Verdict::Superfat(_)), "{verdict:?} at {superfat} %");
    assert!(!stopped, "8 % are enough");
}
