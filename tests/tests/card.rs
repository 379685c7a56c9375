//! The recipe card: each form holds the whole recipe and nothing of a batch.
//!
//! Sources: the ounce is 28.349523125 g exactly (international yard and pound agreement of 1959: the pound is
//! 0.45359237 kg); `HowTo` and its parts as schema.org has them (from memory).

use barwright_core::bench::weighing;
use barwright_core::design::blend::Blend;
use barwright_core::design::document;
use barwright_core::library::material::MaterialId;
use barwright_core::render::card::{CHECK_THE_LYE, Card, SAFETY};
use barwright_core::render::sheet::Paper;
use barwright_core::units::{Measures, Share, Superfat};
use barwright_core::{Design, Library, cautions, evaluate};
use std::path::Path;
use std::sync::Arc;

fn library() -> Library {
    Library::embedded().expect("the tables parse")
}

fn designs(library: &Library) -> Vec<Design> {
    let mut all = Vec::new();
    for folder in ["../assets/examples", "cases"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in std::fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.extension().is_some_and(|e| e == "barwright") {
                all.push(document::read(&std::fs::read(&path).expect("reads"), library).expect("valid"));
            }
        }
    }
    assert!(all.len() > 15, "examples and cases");
    all
}

fn card(design: &Design, library: &Library) -> Card {
    Card::of(design, &evaluate(design, library), library, Measures::METRIC)
}

/// All forms with their names.
fn forms(card: &Card) -> [(&'static str, String); 5] {
    [
        ("text", card.text()),
        ("Markdown", card.markdown()),
        ("fragment", card.fragment()),
        ("page", card.html(Paper::A4)),
        ("data", card.how_to().to_string()),
    ]
}

/// The text without what a form adds to it.
fn bare(text: &str) -> String {
    let text = text.replace("&amp;", "&").replace("\\u0026", "&");
    text.chars().filter(|c| !c.is_whitespace() && !"\\|>*-".contains(*c)).collect()
}

#[test]
fn every_line_stands_on_the_card_once_and_the_percents_sum_to_a_hundred() {
    let library = library();
    for design in designs(&library) {
        let (card, evaluation) = (card(&design, &library), evaluate(&design, &library));
        let weights = weighing::weights(&design, &evaluation);
        let weights: Vec<_> = weights.iter().filter(|w| w.mass.0 > 0.0).collect();
        assert_eq!(card.lines.len(), weights.len(), "{}", design.name);
        for (line, weight) in card.lines.iter().zip(weights) {
            assert_eq!((line.mass, line.vessel), (weight.mass, weight.vessel), "{}: {}", design.name, line.name);
            let ounces: f64 = line.ounces().replace('\u{202f}', "").parse().expect("a number");
            let exact = weight.mass.0 / 28.349_523_125;
            assert!((ounces - exact).abs() < 0.0051, "{}: {ounces} oz, expected {exact}", line.name);
            let row = format!("{} {} {} {}", line.name, line.grams(), line.ounces(), line.percents());
            let rows = card.text().lines().filter(|l| bare(l) == bare(&row)).count();
            let alike = card.lines.iter().filter(|l| (&l.name, l.mass) == (&line.name, line.mass)).count();
            assert_eq!(rows, alike, "{}: {row}", design.name);
        }
        let sum: f64 = card.lines.iter().map(|l| l.percent).sum();
        assert!((sum - 100.0).abs() < 1e-9, "{}: {sum} %", design.name);
    }
}

#[test]
fn every_form_holds_the_method_the_safety_and_the_check_of_the_lye() {
    let library = library();
    for design in designs(&library) {
        let card = card(&design, &library);
        for (form, text) in forms(&card) {
            let text = bare(&text);
            let steps = card.method.iter().flat_map(|p| p.steps.iter().map(String::as_str));
            for sentence in steps.chain(SAFETY).chain([CHECK_THE_LYE, card.yields.as_str()]) {
                assert!(text.contains(&bare(sentence)), "{}, {form}: {sentence}", design.name);
            }
        }
    }
}

#[test]
fn nothing_of_a_batch_stands_on_a_card() {
    let library = library();
    for mut design in designs(&library) {
        let before = card(&design, &library);
        design.process.made_on = Some("2031-07-09".into());
        design.currency = "Groats".into();
        design.notes = "for the neighbour".into();
        let card = card(&design, &library);
        assert_eq!(card.lines, before.lines, "the day of making changes nothing");
        for (form, text) in forms(&card) {
            for word in ["2031", "20310709", "Groats", "neighbour", "atch number"] {
                assert!(!text.contains(word), "{}, {form} has {word}", design.name);
            }
        }
    }
}

#[test]
fn a_stop_stands_before_the_recipe_in_every_form() {
    let library = library();
    for mut design in designs(&library).into_iter().filter(|d| !d.blend.lines().is_empty()) {
        design.superfat = Superfat::new(-4.0).expect("in range");
        let stops = cautions::of(&design, &evaluate(&design, &library), &library);
        let stops: Vec<String> =
            stops.iter().filter(|c| c.level == cautions::Level::Stop).map(cautions::Caution::text).collect();
        assert!(!stops.is_empty(), "{}: a lye-heavy design has a Stop", design.name);
        for (form, text) in forms(&card(&design, &library)) {
            let text = bare(&text);
            for stop in &stops {
                let at = text.find(&bare(stop)).unwrap_or_else(|| panic!("{}, {form}: no {stop}", design.name));
                let first = bare(&card(&design, &library).lines[0].name);
                let recipe = text.find("Toweigh").or_else(|| text.find("\"supply\"")).expect("a recipe");
                assert!(at < recipe, "{}, {form}: {first} stands before the Stop", design.name);
            }
        }
    }
}

#[test]
fn a_hostile_name_stays_a_name() {
    let library = library();
    let evil = "</script><script>alert(1)</script><!-- \u{202e}\u{1b}[2J <b>*x*|y";
    let mut design = designs(&library).into_iter().find(|d| !d.blend.lines().is_empty()).expect("one with fats");
    let mut fat = (*design.blend.lines()[0].fat).clone();
    fat.name = evil.into();
    fat.id = MaterialId::new("own_evil").expect("an id");
    let mut blend = Blend::default();
    blend.add(Arc::new(fat), Share::nearest(100.0)).expect("into an empty blend");
    (design.blend, design.name) = (blend, evil.into());
    let card = card(&design, &library);
    for text in [card.fragment(), card.html(Paper::Letter)] {
        assert_eq!(text.matches("<script").count(), 1, "the data alone");
        assert_eq!(text.matches("</script").count(), 1, "{text}");
        assert!(!text.contains("<!--") && !text.contains("<b>"), "{text}");
        let data = text.split_once("ld+json\">").expect("the data").1.split_once("</script>").expect("its end").0;
        let value: serde_json::Value = serde_json::from_str(data).expect("JSON");
        assert_eq!(value["name"].as_str().expect("a name"), card.title, "the name comes back");
    }
    for (form, text) in forms(&card) {
        assert!(!text.contains(['\u{202e}', '\u{1b}']), "{form}");
    }
    assert!(card.markdown().contains("\\<script\\>") && !card.markdown().contains("<script>"), "Markdown");
}

#[test]
fn the_data_are_a_how_to_with_every_line_and_step() {
    let library = library();
    for design in designs(&library) {
        let card = card(&design, &library);
        let text = card.html(Paper::A4);
        let data = text.split_once("ld+json\">").expect("the data").1.split_once("</script>").expect("its end").0;
        let value: serde_json::Value = serde_json::from_str(data).expect("JSON");
        assert_eq!(value["@context"], "https://schema.org");
        assert_eq!(value["@type"], "HowTo");
        let supplies = value["supply"].as_array().expect("supplies");
        assert_eq!(supplies.len(), card.lines.len(), "{}", design.name);
        for (supply, line) in supplies.iter().zip(&card.lines) {
            assert_eq!(supply["name"], line.name.as_str());
            assert_eq!(supply["requiredQuantity"]["value"], line.mass.0);
        }
        let sections = value["step"].as_array().expect("sections");
        let method = sections.iter().filter(|s| s["name"] != "STOP");
        let steps: usize = method.map(|s| s["itemListElement"].as_array().expect("steps").len()).sum();
        assert_eq!(steps, card.method.iter().map(|p| p.steps.len()).sum::<usize>(), "{}", design.name);
    }
}
