//! The bench sheet: its weights against the report, rounding and superfat worked out again by hand, hostile
//! names, scaled batches.
//!
//! Sources: ISO 3657 (saponification value: mg KOH that a gram takes), molar masses of NaOH 39.997 and KOH
//! 56.105; the HTML standard for what must be escaped in text (`<`, `&`); RFC 4180 for CSV, read back by the
//! csv crate's reader.

#[path = "../src/designs/mod.rs"]
mod designs;

use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::bench::weighing::What;
use barwright_core::cautions::Level;
use barwright_core::chemistry::scale::Scale;
use barwright_core::design::document;
use barwright_core::design::log::BatchCode;
use barwright_core::design::mould::Size;
use barwright_core::design::scale::ScaleError;
use barwright_core::library::additions::Stage;
use barwright_core::quantities::{About, of_weight};
use barwright_core::render::report::Report;
use barwright_core::render::sheet::{Options, Paper, Sheet};
use barwright_core::units::{BarMass, Bars, FatMass, Grams, MassUnit, Measures, Multiple, ScaleDivision};
use barwright_core::{Design, evaluate};
use designs::{LIBRARY, any_design, tried};
use proptest::prelude::*;
use serde_json::Value;

/// The designs that come with the program.
fn examples() -> Vec<Design> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../assets/examples");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .expect("it is there")
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.is_file())
        .collect();
    paths.sort();
    let read =
        |path: &std::path::PathBuf| document::read(&std::fs::read(path).expect("reads"), &LIBRARY).expect("valid");
    let all: Vec<Design> = paths.iter().map(read).collect();
    assert_eq!(all.len(), 7, "the starter and six examples");
    all
}

fn sheet(design: &Design, scale: impl Into<Option<Scale>>) -> Result<Sheet, ScaleError> {
    Sheet::of(design, &evaluate(design, &LIBRARY), &LIBRARY, &Options { scale: scale.into(), ..Options::default() })
}

fn as_designed(design: &Design) -> Sheet {
    sheet(design, None).expect("nothing is scaled")
}

fn report(design: &Design) -> Value {
    let text = Report::new(design, &evaluate(design, &LIBRARY), &LIBRARY).json().expect("JSON");
    serde_json::from_str(&text).expect("JSON")
}

/// The number at a key such as `fats.0.mass_g`.
fn at(report: &Value, key: &str) -> f64 {
    let found = key.split('.').try_fold(report, |v, part| part.parse::<usize>().map_or(v.get(part), |i| v.get(i)));
    found.and_then(Value::as_f64).unwrap_or_else(|| panic!("no number at {key}"))
}

const DIVISIONS: [f64; 5] = [0.01, 0.1, 1.0, 2.0, 5.0];

#[test]
fn every_weight_is_the_reports_rounded_to_the_division_and_stands_in_every_form() {
    for mut design in examples() {
        let report = report(&design);
        for division in DIVISIONS {
            design.scale_division = ScaleDivision::new(division).expect("in range");
            let sheet = as_designed(&design);
            let alkalis = ["naoh_g", "koh_g"].iter().filter(|k| at(&report, &format!("batch.{k}")) > 0.0).count();
            let parts = design.blend.lines().len() + 1 + alkalis + design.additions.len() + design.scents.len();
            assert_eq!(sheet.rows.len(), parts, "{}: each part has one row", design.name);
            let (html, text, csv) = (sheet.html(Paper::A4), sheet.text(), sheet.csv().expect("CSV"));
            let mut records = csv::Reader::from_reader(csv.as_bytes());
            let records: Vec<csv::StringRecord> = records.records().map(|r| r.expect("a record")).collect();
            assert_eq!(records.len(), parts, "{}: {csv}", design.name);
            for (row, record) in sheet.rows.iter().zip(&records) {
                let quantity = of_weight(row.what, &design).expect("it is of the design");
                let evaluation = evaluate(&design, &LIBRARY);
                let about = About::new(&design, &evaluation, &LIBRARY);
                let exact = at(&report, &quantity.key(about));
                assert_relative(&row.name, row.exact.0, exact, 1e-12);
                assert_within(&row.name, row.weight.0, exact, division / 2.0 + 1e-9);
                let steps = row.weight.0 / division;
                assert_within("whole steps of the scale", steps, steps.round(), 1e-9 * steps.max(1.0));
                let shown = sheet.weight(row.weight);
                assert!(
                    html.contains(&format!("<td class=\"g\">{shown}</td>")),
                    "{}: no {shown} in the HTML",
                    row.name
                );
                let line = text.lines().find(|l| l.contains(&format!("[ ] {}", row.name))).expect("a line");
                assert!(line.contains(&format!(" {shown} ")), "{shown} is not in {line:?}");
                assert_eq!(&record[1], row.name, "the CSV's name");
                let [weight, exact] = [&record[2], &record[3]].map(|n| n.parse::<f64>().expect("a number"));
                assert_within("the CSV's weight", weight, row.weight.0, 1e-9);
                assert_within("the CSV's exact weight", exact, row.exact.0, 1e-9);
            }
        }
    }
}

#[test]
fn water_comes_before_the_alkali_and_each_part_once() {
    for design in examples() {
        let rows = as_designed(&design).rows;
        let place = |what: What| rows.iter().position(|r| r.what == what).expect("a row");
        assert!(place(What::Water) < place(What::SodiumHydroxide), "{}: water first", design.name);
        for (i, row) in rows.iter().enumerate() {
            assert_eq!(place(row.what), i, "{} stands once", row.name);
        }
    }
}

#[test]
fn the_superfat_after_rounding_is_that_of_the_rounded_weights() {
    for mut design in examples() {
        let report = report(&design);
        for division in DIVISIONS {
            design.scale_division = ScaleDivision::new(division).expect("in range");
            let sheet = as_designed(&design);
            // Moles of KOH, as it all were potassium hydroxide, from the numbers on the paper.
            let (mut need, mut has) = (0.0, 0.0);
            for row in &sheet.rows {
                let grams = (row.exact.0 / division).round() * division;
                match row.what {
                    What::Fat(i) => {
                        need += grams * at(&report, &format!("fats.{i}.saponification_value")) / 1000.0 / 56.105;
                    }
                    What::SodiumHydroxide => has += grams * design.alkali.naoh_purity.get() / 100.0 / 39.997,
                    What::PotassiumHydroxide => has += grams * design.alkali.koh_purity.get() / 100.0 / 56.105,
                    What::Addition(i) if design.additions[i].stage != Stage::OnTop => {
                        if let Some(acid) = &design.additions[i].addition.acid {
                            let content = acid.value.content.get() / 100.0;
                            has -= grams * content * f64::from(acid.value.protons) / acid.value.molar_mass.get();
                        }
                    }
                    _ => {}
                }
            }
            let weighed = sheet.rounding.weighed.expect("there are fats");
            assert_within(&design.name, weighed, 100.0 * (1.0 - has / need), 1e-9);
            assert_within(&design.name, sheet.rounding.planned, design.superfat.get(), 1e-12);
        }
        // A scale that hardly rounds changes nothing.
        design.scale_division = ScaleDivision::new(0.001).expect("in range");
        let sheet = as_designed(&design);
        assert_within("a fine scale", sheet.rounding.weighed.expect("fats"), design.superfat.get(), 0.005);
    }
}

#[test]
fn a_rounding_that_moves_the_superfat_is_told_and_one_that_makes_it_lye_heavy_is_stopped() {
    let mut design = examples().remove(3);
    design.scale_division = ScaleDivision::new(5.0).expect("in range");
    let (mut told, mut stopped) = (0, 0);
    for grams in 40..400 {
        design.size = Size::FatMass(FatMass::new(f64::from(grams)).expect("in range"));
        let sheet = as_designed(&design);
        let weighed = sheet.rounding.weighed.expect("fats");
        let caution = sheet.cautions.iter().find(|c| c.text.starts_with("Rounding the weights"));
        let level = match weighed {
            w if w <= 0.0 => Some(Level::Stop),
            w if (w - design.superfat.get()).abs() > 0.5 => Some(Level::Care),
            _ => None,
        };
        assert_eq!(caution.map(|c| c.level), level, "{grams} g of fats: {weighed} %");
        told += usize::from(level == Some(Level::Care));
        stopped += usize::from(level == Some(Level::Stop));
    }
    assert!(told > 10 && stopped > 10, "both occur: {told}, {stopped}");
}

/// The tags of a page, in order, with their attributes.
fn tags(html: &str) -> Vec<&str> {
    html.split('<').skip(1).map(|part| part.split_once('>').expect("each tag is closed").0).collect()
}

#[test]
fn hostile_names_stay_text() {
    let design = examples().remove(0);
    assert!(!design.additions.is_empty(), "an addition to name");
    let named = |name: &str| {
        let mut design = design.clone();
        design.name = name.into();
        design.notes = name.into();
        for line in &mut design.additions {
            let addition = std::sync::Arc::make_mut(&mut line.addition);
            addition.name = name.into();
            addition.advice = name.into();
        }
        for line in &mut design.scents {
            std::sync::Arc::make_mut(&mut line.scent).name = name.into();
        }
        design
    };
    let benign = as_designed(&named("apple")).html(Paper::A4);
    let long = "Fernhollow ".repeat(19);
    for hostile in [
        "<script>alert(1)</script>",
        "</title></style><img src=x onerror=alert(1)>",
        "\" onclick=\"alert(1)",
        "' & &amp; &lt; \u{0}\u{7}",
        "🧼🍏\u{202e}reversed",
        "סבון שמן זית",
        "=HYPERLINK(1)",
        &long[..200],
    ] {
        let design = named(hostile);
        let sheet = as_designed(&design);
        let html = sheet.html(Paper::A4);
        // Whatever the name is, the page is built of the same tags: none came from it.
        assert_eq!(tags(&html), tags(&benign), "{hostile:?}");
        assert!(!html.contains("http") && !html.contains("url("), "{hostile:?}");
        let turns = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
        assert!(!html.contains(turns) && !sheet.text().contains(turns), "{hostile:?} turns what follows");
        let escaped = hostile.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;");
        let seen: String =
            escaped.chars().filter(|c| !turns(*c)).map(|c| if c.is_control() { ' ' } else { c }).collect();
        assert!(html.contains(seen.trim()), "{hostile:?} is not on the page");
        let csv = sheet.csv().expect("CSV");
        for record in csv::Reader::from_reader(csv.as_bytes()).records() {
            let record = record.expect("a record");
            assert!(record.iter().all(|cell| !cell.starts_with('=')), "{hostile:?}: a formula in {record:?}");
        }
    }
}

#[test]
fn no_page_asks_for_anything_from_elsewhere() {
    for design in examples() {
        let html = as_designed(&design).html(Paper::Letter);
        for part in ["http", "url(", "src=", "href=", "@import", "<script", "<link"] {
            assert!(!html.contains(part), "{}: {part}", design.name);
        }
        assert!(html.contains("name=\"viewport\"") && html.contains("size: letter"), "{}", design.name);
    }
}

#[test]
fn a_day_of_making_dates_the_steps_and_numbers_the_batch() {
    let mut design = examples().remove(3);
    assert!(design.process.made_on.is_none(), "the example has no day");
    let undated = as_designed(&design);
    assert!(undated.batch_number.is_none() && undated.times.iter().all(|t| t.at.is_none()), "no day, no dates");
    design.process.made_on = Some("2026-03-14".into());
    let dated = as_designed(&design);
    assert_eq!(dated.batch_number.as_deref(), Some("2026-03-14"));
    assert!(dated.text().contains("2026-03-14_"), "with room for its letter");
    let code = BatchCode::try_from("2026-03-14B".to_owned()).expect("a code");
    let begun = Options { batch: Some(code), ..Options::default() };
    let begun = Sheet::of(&design, &evaluate(&design, &LIBRARY), &LIBRARY, &begun).expect("a sheet");
    assert!(begun.text().contains("2026-03-14B") && !begun.text().contains("2026-03-14B_"), "the code of the batch");
    // The 14th of March 2026 is a Saturday.
    assert_eq!(dated.times[0].words(), "Sat 14 Mar 2026, 09:00");
    let minutes = |sheet: &Sheet| sheet.times.iter().map(|t| t.minutes).collect::<Vec<_>>();
    assert_eq!(minutes(&dated), minutes(&undated), "the same steps");
    design.process.made_on = Some("a day in spring".into());
    assert_eq!(as_designed(&design).batch_number, None, "no day can be read");
}

/// Every weight of `scaled` is `times` that of `sheet`.
#[test]
fn a_scale_in_ounces_has_the_decimals_of_its_steps() {
    let shown = |ounces: f64, grams: f64| {
        let scale_division = ScaleDivision::nearest(MassUnit::Ounce.to_grams(ounces).0);
        let design = Design { scale_division, ..examples().remove(3) };
        let options = Options { measures: Measures::US, ..Options::default() };
        let sheet = Sheet::of(&design, &evaluate(&design, &LIBRARY), &LIBRARY, &options).expect("a sheet");
        sheet.weight(Grams(grams))
    };
    let grams = |ounces: f64| MassUnit::Ounce.to_grams(ounces).0;
    let cases =
        [(0.125, 5.125, "5.125"), (0.25, 24.75, "24.75"), (0.05, 3.7, "3.70"), (0.1, 3.7, "3.7"), (1.0, 3.0, "3")];
    for (step, ounces, expected) in cases {
        assert_eq!(shown(step, grams(ounces)), expected, "in steps of {step} oz");
    }
    assert_eq!(
        shown(MassUnit::Ounce.from_grams(Grams(1.0)), 100.0),
        "3.53",
        "one of grams is as fine as it can be told"
    );
}

fn assert_in_proportion(name: &str, sheet: &Sheet, scaled: &Sheet, times: f64) {
    assert_eq!(sheet.rows.len(), scaled.rows.len(), "{name}");
    for (one, other) in sheet.rows.iter().zip(&scaled.rows) {
        assert_relative(&format!("{name}: {}", one.name), other.exact.0, times * one.exact.0, 1e-9);
    }
}

#[test]
fn a_scaled_batch_is_in_proportion_and_the_design_unchanged() {
    for mut design in examples() {
        let bar = BarMass::new(110.0).expect("in range");
        for size in [design.size, Size::BarMass(bar), Size::BarAtSale(bar)] {
            design.size = size;
            let (before, one) = (design.clone(), as_designed(&design));
            let evaluation = evaluate(&design, &LIBRARY);
            for times in [0.25, 0.7, 1.0, 2.0, 13.0] {
                let factor = Multiple::new(times).expect("in range");
                let scaled = sheet(&design, Scale::Times(factor)).expect("a size that can be made");
                assert_in_proportion(&design.name, &one, &scaled, times);
                assert_eq!(scaled.scaled.is_empty(), (times - 1.0).abs() < 1e-9, "told, unless nothing is scaled");
            }
            let bars = Bars::new(2 * evaluation.masses.bars).expect("in range");
            assert_in_proportion("twice the bars", &one, &sheet(&design, Scale::Bars(bars)).expect("fits"), 2.0);
            let fats = FatMass::new(3000.0).expect("in range");
            let times = 3000.0 / evaluation.masses.fats.0;
            assert_in_proportion("3 kg", &one, &sheet(&design, Scale::Fats(fats)).expect("fits"), times);
            assert_eq!(design, before, "the design is as it was");
        }
    }
}

#[test]
fn what_cannot_be_scaled_says_why() {
    let many = Scale::Bars(Bars::new(10_000).expect("in range"));
    assert_eq!(sheet(&Design::default(), many), Err(ScaleError::NoBatch));
    let design = examples().remove(0);
    let thousand = Scale::Times(Multiple::new(1000.0).expect("in range"));
    let mut large = design;
    large.size = Size::FatMass(FatMass::new(5000.0).expect("in range"));
    assert!(matches!(sheet(&large, thousand), Err(ScaleError::Quantity(_))), "five tonnes");
}

proptest! {
    #![proptest_config(tried(100))]

    #[test]
    fn any_design_has_a_sheet(design in any_design(), times in 0.01..10.0) {
        let sheet = as_designed(&design);
        let page = sheet.html(Paper::A4);
        prop_assert!(!tags(&page).is_empty() && !sheet.text().is_empty(), "something is drawn");
        prop_assert!(sheet.rows.iter().all(|r| r.weight.0.is_finite() && r.weight.0 >= 0.0), "weights");
        let csv = sheet.csv().expect("CSV");
        let records = csv::Reader::from_reader(csv.as_bytes()).records().count();
        prop_assert_eq!(records, sheet.rows.len() + sheet.stops().count(), "the Stops and the rows");
        if let Ok(scaled) = self::sheet(&design, Scale::Times(Multiple::new(times).expect("in range"))) {
            assert_in_proportion("any design", &sheet, &scaled, times);
        }
    }
}
