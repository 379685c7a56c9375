//! Each explanation against the report, its own arithmetic and slopes worked out directly.

mod levers;
mod lists;
mod trust;

use super::changes;
use super::cost::{CostFigure, OfLine};
use super::cure::CureFigure;
use super::figure::{ENTRIES, Entry, Figure};
use super::levers::{Lever, Way};
use super::reader::{Sum, redo};
use super::*;
use crate::bench::cost::{Cost, CostLine};
use crate::bench::label::ListStyle;
use crate::chemistry::estimates::Estimate;
use crate::chemistry::solution::enthalpy;
use crate::design::document;
use crate::design::{Price, WaterRule};
use crate::evaluate::evaluate;
use crate::formula::Plain;
use crate::library::composition::Composition;
use crate::render::report::Report;
use crate::units::{LyeConcentration, Money, PackMass, Superfat};

pub(super) const EXAMPLES: [&str; 7] = [
    include_str!("../../../../assets/examples/apple-oat-loaf.barwright"),
    include_str!("../../../../assets/examples/carrot-slab.barwright"),
    include_str!("../../../../assets/examples/cellar-scrub.barwright"),
    include_str!("../../../../assets/examples/fernhollow-starter.barwright"),
    include_str!("../../../../assets/examples/orchard-dual-lye.barwright"),
    include_str!("../../../../assets/examples/orchard-olive.barwright"),
    include_str!("../../../../assets/examples/winter-tallow.barwright"),
];

pub(super) fn library() -> Library {
    Library::embedded().expect("assets parse")
}

pub(super) fn example(index: usize, library: &Library) -> Design {
    document::read(EXAMPLES[index].as_bytes(), library).expect("an example")
}

pub(super) fn designs(library: &Library) -> Vec<Design> {
    let mut all: Vec<Design> = (0..EXAMPLES.len()).map(|i| example(i, library)).collect();
    // More puree than there is water, and nothing at all.
    let mut wet = example(0, library);
    wet.additions[0].amount = wet.additions[0].amount.with_number(60.0);
    wet.water = WaterRule::LyeConcentration(LyeConcentration::nearest(40.0));
    let mut heavy = example(3, library);
    heavy.superfat = Superfat::nearest(-1.0);
    all.extend([wet, heavy, priced(library), many(library), Design::default()]);
    all
}

/// One of each kind of fat, acid in a drink and as powder, both alkalis, scents that share substances.
fn many(library: &Library) -> Design {
    let text = r#"(barwright: 1, style: "olive", size: FatMass(1000), bars: 9, superfat: 4,
        fats: [(fat: "palm", share: 40), (fat: "palm_stearin", share: 17), (fat: "coconut", share: 20),
            (fat: "stearic_acid_50", share: 10), (fat: "jojoba", share: 5), (fat: "beeswax", share: 5),
            (fat: "castor", share: 3)],
        alkali: (koh_share: 30, koh_purity: 90, koh_purity_pm: 1),
        additions: [(addition: "citric_acid", amount: Grams(12), stage: IntoJug),
            (addition: "cider_vinegar", amount: Grams(80), stage: IntoJug)],
        scents: [(scent: "lavender", amount: Grams(10)), (scent: "geranium", amount: Grams(4)),
            (scent: "lemongrass", amount: Grams(2)), (scent: "clove_bud", amount: Grams(1)),
            (scent: "orange_sweet", amount: Grams(8))])"#;
    document::read(text.as_bytes(), library).unwrap_or_else(|e| panic!("{e}"))
}

/// A design whose materials all have a price.
fn priced(library: &Library) -> Design {
    let mut design = example(0, library);
    let cost = Cost::of(&design, &evaluate(&design, library)).expect("fats");
    let price = |(line, price): (&CostLine, f64)| Price {
        material: line.material.clone(),
        pack_g: PackMass::nearest(250.0),
        price: Money::nearest(price),
    };
    design.prices = cost.lines().iter().zip((0..).map(|i| 2.4 + 0.7 * f64::from(i))).map(price).collect();
    design
}

/// Every number of a report that can be explained.
fn entries(about: About<'_>) -> Vec<Entry> {
    let (design, evaluation) = (about.design, about.evaluation);
    let label = about.label().ok();
    let ingredients = |style| label.as_ref().map_or(0, |l| l.ingredients(style).len());
    let lists = [
        ("label.as_put_in_pct", ingredients(ListStyle::AsPutIn), &[""][..]),
        ("label.as_in_the_bar_pct", ingredients(ListStyle::AsInTheBar), &[""]),
        ("label.allergen_findings", label.as_ref().map_or(0, |l| l.allergens.findings.len()), &["bar_pct"]),
        (
            "margin.drivers",
            evaluation.margin.as_ref().map_or(0, |m| m.drivers.len()),
            &["superfat_points", "variance_part"],
        ),
        ("scent_limits", evaluation.scents.findings.len(), &["bar_pct"]),
        ("fats", design.blend.lines().len(), &["share_pct", "mass_g", "saponification_value"]),
        ("additions", design.additions.len(), &["mass_g", "water_g"]),
        ("scents", design.scents.len(), &["mass_g"]),
        ("water", evaluation.water.len(), &["mass_g"]),
        (
            "cost.lines",
            Cost::of(design, evaluation).map_or(0, |c| c.lines().len()),
            &["mass_g", "cost", "packs", "pays", "left_g"],
        ),
    ];
    let keys = lists.iter().flat_map(|(list, count, numbers)| {
        let key = move |i, number| format!("{list}.{i}.{number}").trim_end_matches('.').to_owned();
        (0..*count).flat_map(move |i| numbers.iter().map(move |number| key(i, *number)))
    });
    let soap = label.iter().map(|_| "label.soap_of_dry_pct".into());
    let ends = ["low", "high", "range_low", "range_high"];
    let scores = ENTRIES.iter().filter(|e| matches!(e.figure, Figure::Score(_)));
    let spreads = scores.flat_map(|e| ends.map(|end| format!("{}.{end}", e.key)));
    let of_chemistry = spread::KEYS.into_iter().filter(|k| k.starts_with("chemistry.")).map(String::from);
    let held = |c: &Composition| -> Vec<String> {
        let acids = about.library.acids.iter().filter(|(id, _)| c.fraction(*id) > 0.0);
        acids.map(|(_, acid)| format!("acids_pct.{}", acid.key)).collect()
    };
    let acids = evaluation.composition.as_ref().map(held).unwrap_or_default();
    let of_fats = (0..design.blend.lines().len()).flat_map(|i| {
        let scores = Estimate::ALL.map(|e| format!("{}.fats.{i}", figure::score_key(e)));
        let acids = design.blend.lines()[i].fat.profile().iter();
        let acids = acids.map(move |e| format!("acids_pct.{}.fats.{i}", about.library.acids.get(e.acid).key));
        scores.into_iter().chain(acids)
    });
    let soaps = about.library.style(&design.style).map_or(0, |s| s.references.len());
    let of_soaps = (0..soaps).flat_map(|i| Estimate::ALL.map(|e| format!("{}.soaps.{i}", figure::score_key(e))));
    let beside = of_fats.chain(of_soaps);
    let blend = spreads.chain(of_chemistry).chain(acids).chain(beside);
    let sums = sums::KEYS.into_iter().filter(|key| !key.contains('N'));
    let fixed = ["cost.batch", "cost.at_least", "cost.bar", "cost.per_100_g_cured", "cost.shopping"];
    let of_cure = ["cure.free_water_g", "cure.settled_day"].into_iter().filter(|_| evaluation.cure.is_some());
    let measures = (0..about.bar_measures().len()).map(|i| format!("size.bar_mm.{i}"));
    let days = [0_u8, 7, 28].into_iter().filter(|_| evaluation.cure.is_some());
    let on_days = days.flat_map(|d| ["bar_g", "water_pct", "tfm_pct"].map(|what| format!("cure.days.{d}.{what}")));
    let all = keys
        .chain(fixed.into_iter().chain(of_cure).chain(sums).map(String::from))
        .chain(on_days)
        .chain(measures)
        .chain(soap)
        .chain(blend);
    let found = all.map(|key| Entry::find(&key, about).unwrap_or_else(|| panic!("{key} is no number")));
    ENTRIES.iter().cloned().chain(found).collect()
}

fn entry(key: &str) -> &'static Entry {
    ENTRIES.iter().find(|e| e.key == key).expect("a key")
}

#[test]
fn every_number_is_explained_as_the_report_has_it_or_says_why_not() {
    let library = library();
    for design in designs(&library) {
        let evaluation = evaluate(&design, &library);
        let json = Report::new(&design, &evaluation, &library).json().expect("JSON");
        let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        for entry in entries(About { design: &design, evaluation: &evaluation, library: &library }) {
            let mut path = format!("/{}", entry.key.replace('.', "/"));
            if matches!(entry.figure, Figure::Score(_)) {
                path.push_str("/value");
            }
            // What stands beside a number of the blend is not in the report.
            if matches!(entry.figure, Figure::Part(_)) {
                continue;
            }
            let place = json.pointer(&path).unwrap_or_else(|| panic!("{}: not in the report", entry.key));
            match why(&entry.key, &design, &evaluation, &library) {
                Ok(why) => {
                    let number = place.as_f64().unwrap_or_else(|| panic!("{}: {place}", entry.key));
                    assert_eq!(why.value, entry.shown(entry.times() * number), "{} of {}", entry.key, design.name);
                    assert!(
                        why.changes.len() <= changes::MOST && !why.formula.is_empty() && !why.trust.is_empty(),
                        "{why:?}"
                    );
                    assert!(why.text().contains(&why.with_numbers), "the text tells it");
                }
                Err(WhyError::NotKnown { reason, .. }) => {
                    assert!(place.is_null(), "{} is known: {reason}", entry.key);
                    assert!(reason.len() > 10, "{}: {reason}", entry.key);
                }
                Err(unknown) => panic!("{unknown}"),
            }
        }
    }
}

/// What has no closed form.
const DISTRIBUTED: [Figure; 4] =
    [Figure::ChanceLyeHeavy, Figure::SuperfatP05, Figure::SuperfatP95, Figure::Cure(CureFigure::Settled)];

#[test]
fn a_reader_can_redo_the_arithmetic() {
    let library = library();
    let mut done = std::collections::BTreeSet::new();
    for design in designs(&library) {
        let evaluation = evaluate(&design, &library);
        let about = About { design: &design, evaluation: &evaluation, library: &library };
        for entry in entries(about) {
            let Ok(why) = why(&entry.key, &design, &evaluation, &library) else { continue };
            let value = entry.figure.value(about).expect("known");
            let off = match entry.figure {
                // No closed form: a distribution, and an equation solved for t.
                f if DISTRIBUTED.contains(&f) => continue,
                Figure::Peak => {
                    let sides = why.with_numbers.split(" = ").nth(1).expect("the balance");
                    let heat = Sum(sides.chars().peekable()).all();
                    heat - enthalpy(evaluation.masses.lye().fraction(), value).expect("in range")
                }
                Figure::Cost(CostFigure::Line(_, OfLine::Packs)) => redo(&why.with_numbers).ceil() - value,
                _ => redo(&why.with_numbers) - value,
            };
            let place = 0.1_f64.powi(i32::try_from(entry.decimals).expect("few"));
            assert!(off.abs() < 0.02 * place, "{} of {}: {} is off by {off}", entry.key, design.name, why.with_numbers);
            done.insert(entry.key.into_owned());
        }
    }
    for entry in ENTRIES.iter().filter(|e| !DISTRIBUTED.contains(&e.figure)) {
        assert!(done.contains(entry.key.as_ref()), "{} was known for no design", entry.key);
    }
    let lists = [
        "fats.3.",
        "additions.0.",
        "scents.0.",
        "water.2.",
        "cost.lines.0.",
        "cost.bar",
        "cure.days.7.",
        "size.bar_mm.2",
        "label.as_put_in_pct.9",
        "label.as_in_the_bar_pct.9",
        "label.allergen_findings.5.",
        "label.soap_of_dry_pct",
        "scent_limits.0.",
        "estimates.keeping.range_high",
        "estimates.conditioning.low",
        "chemistry.titre_low_c",
        "chemistry.iodine_value_high",
        "chemistry.saponification_value_low",
        "acids_pct.18:1-OH",
        "margin.drivers.4.variance_part",
    ];
    for list in lists {
        assert!(done.iter().any(|key| key.starts_with(list)), "no design had {list}");
    }
}

#[test]
fn an_unknown_key_lists_those_there_are() {
    let library = library();
    let design = Design::default();
    let error = why("batch.gold_g", &design, &evaluate(&design, &library), &library).expect_err("no such number");
    for key in keys() {
        assert!(error.to_string().contains(key), "{key} is not listed: {error}");
    }
    for (estimate, entry) in Estimate::ALL.into_iter().zip(ENTRIES.iter().filter(|e| e.key.starts_with("estimates."))) {
        let key = serde_json::to_value(estimate).expect("a word");
        assert_eq!(Some(entry.key.as_ref()), key.as_str().map(|k| format!("estimates.{k}")).as_deref(), "{estimate:?}");
    }
}

#[test]
fn a_price_asked_for_and_a_sum_that_lacks_prices_are_explained() {
    let library = library();
    let design = priced(&library);
    let evaluation = evaluate(&design, &library);
    let why_of = |key: &str, design: &Design| why(key, design, &evaluation, &library);
    let asked = why_of("cost.bar_at_margin_pct.60", &design).expect("priced");
    let bar = Cost::of(&design, &evaluation).expect("fats").bar().known();
    assert!((redo(&asked.with_numbers) - bar / 0.4).abs() < 1e-4, "{}", asked.with_numbers);
    assert!(asked.changes.iter().all(|c| c.effect.ends_with(" EUR")), "{:?}", asked.changes);
    // Buying jumps, which a whole step tells.
    let shopping = Entry::find("cost.shopping", About { design: &design, evaluation: &evaluation, library: &library });
    let shopping = shopping.expect("a sum");
    let now = shopping.of(&design, &library).expect("known");
    let shopping = Lever::Price(0).effect(Way::Up, (&shopping, now), &design, &library);
    let packs = Cost::of(&design, &evaluation).expect("fats").lines()[0].purchase().expect("priced").packs;
    assert!((shopping.expect("it moves") - 0.24 * packs).abs() < 1e-9, "{shopping:?}");

    let mut lacking = design.clone();
    let gone = lacking.prices.remove(0);
    let error = why_of("cost.bar", &lacking).expect_err("a price is missing").to_string();
    let name = design.material_name(&gone.material).expect("in use");
    assert!(error.contains(name) && error.contains("EUR"), "{error}");
}

#[test]
fn what_is_told_of_the_day_of_settling_holds_on_the_forecast() {
    let library = library();
    for design in designs(&library) {
        let evaluation = evaluate(&design, &library);
        let Some(cure) = evaluation.cure else { continue };
        let Ok(why) = why("cure.settled_day", &design, &evaluation, &library) else { continue };
        let day = cure.settled().expect("it settles");
        let loss =
            |day: u32| 100.0 * (1.0 - cure.bar(Plain, f64::from(day)).0 / cure.bar(Plain, f64::from(day) - 7.0).0);
        assert!(loss(day) < 0.5 && (day == 7 || loss(day - 1) >= 0.5), "{}: day {day}", design.name);
        let told = format!("{} % on day {day}", crate::number::significant(loss(day)));
        assert!(why.with_numbers.contains(&told), "{} has {told}", why.with_numbers);
        assert_eq!(why.value, format!("{day} days"));
    }
}

#[test]
fn a_material_can_be_named_by_its_id() {
    let library = library();
    let design = example(0, &library);
    let evaluation = evaluate(&design, &library);
    let value = |key: &str| why(key, &design, &evaluation, &library).map(|why| why.with_numbers);
    for (i, line) in design.blend.lines().iter().enumerate() {
        assert_eq!(value(&format!("fats.{}.mass_g", line.fat.id)), value(&format!("fats.{i}.mass_g")));
    }
    for (i, line) in design.additions.iter().enumerate() {
        let by_id = value(&format!("additions.{}.{:?}.mass_g", line.addition.id, line.stage));
        assert_eq!(by_id, value(&format!("additions.{i}.mass_g")));
        assert!(by_id.is_ok(), "{by_id:?}");
    }
    // Twice at one stage: neither is meant.
    let mut twice = design.clone();
    twice.additions.push(design.additions[0].clone());
    let key = format!("additions.{}.{:?}.mass_g", design.additions[0].addition.id, design.additions[0].stage);
    assert!(matches!(why(&key, &twice, &evaluate(&twice, &library), &library), Err(WhyError::NotOfDesign { .. })));
}
