//! Each explanation against the report, its own arithmetic and slopes worked out directly.

mod by_hand;
mod levers;
mod lists;
mod meaning;
mod told;
mod trust;

use super::changes;
use super::levers::{Lever, Way};
use super::reader::{numbers_of, redo};
use super::*;
use crate::bench::label::{Label, ListStyle};
use crate::chemistry::colour::strength::USUAL;
use crate::cost::{Cost, CostLine};
use crate::design::document;
use crate::design::edit::Edit;
use crate::design::mould::Size;
use crate::design::own_bar::{Again, ColourSeen, OwnBar};
use crate::design::supplier::{Certificate, SupplierFigure};
use crate::design::words::Day;
use crate::design::{Price, WaterRule};
use crate::evaluate::evaluate;
use crate::formula::{Plain, number_text};
use crate::library::composition::Composition;
use crate::library::estimates::Estimate;
use crate::quantities::{CHEMISTRY, CostSum, MARGIN, SCORES, keys};
use crate::render::report::Report;
use crate::units::{LyeConcentration, Money, PackMass, SaponificationValue, Share, Superfat, SvMargin};

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
    all.extend([wet, heavy, priced(library), many(library), certified(library), paled(library), Design::default()]);
    all
}

/// A design whose first fat has a supplier’s saponification value, and whose lye is of potassium alone.
fn certified(library: &Library) -> Design {
    let mut design = example(3, library);
    design.alkali.koh_share = Share::nearest(100.0);
    let line = &design.blend.lines()[0];
    let sv = Some(SupplierFigure {
        sv: SaponificationValue::nearest(line.saponification_value() + 1.5),
        pm: SvMargin::nearest(0.5),
    });
    let edit = Edit::Supplier(line.fat.id.clone(), Certificate { sv, ..line.certificate() });
    edit.apply(&design, library).unwrap_or_else(|e| panic!("{e}"))
}

/// A design of which an own bar was looked at twice, paler the second time.
fn paled(library: &Library) -> Design {
    let text = r#"(barwright: 1, fats: [(fat: "sunflower", share: 70), (fat: "coconut", share: 30)],
        additions: [(addition: "carrot_boiled", amount: PercentOfFats(10))], size: FatMass(1000))"#;
    let mut design = document::read(text.as_bytes(), library).unwrap_or_else(|e| panic!("{e}"));
    let evaluation = evaluate(&design, library);
    let forecast = crate::bench::colour::forecast(&design, &evaluation, library).expect("a bar");
    let seen = |part: f64| {
        let colour = forecast.mixture.colour(part * USUAL, 1.0);
        ColourSeen::new([colour.l, colour.a, colour.b]).expect("a colour")
    };
    let day = Day::try_from("2026-05-12".to_owned()).expect("a day");
    let again = Some(Again { colour: seen(0.3), day: day.after(150) });
    let bar = OwnBar { colour: seen(1.2), day, batch: None, of: forecast.makeup.clone(), again };
    design.calibration.own_bars = vec![bar].into();
    design
}

/// One of each kind of fat, acid in a drink and as powder, both alkalis, scents that share substances.
fn many(library: &Library) -> Design {
    let text = r#"(barwright: 1, style: "olive", size: FatMass(1000), bars: 9, superfat: 4,
        lye_rests_on: Possible,
        fats: [(fat: "palm", share: 40), (fat: "palm_stearin", share: 17), (fat: "coconut", share: 20),
            (fat: "stearic_acid_50", share: 10), (fat: "jojoba", share: 5), (fat: "beeswax", share: 5),
            (fat: "castor", share: 3)],
        alkali: (koh_share: 30, koh_purity: 90, koh_purity_pm: 1),
        additions: [(addition: "citric_acid", amount: GramsPerKgFats(12), stage: IntoJug),
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

/// A number with its key.
pub(super) struct Entry {
    pub(super) key: String,
    pub(super) quantity: Box<dyn AnyQuantity>,
}

/// The number that `key` names.
pub(super) fn entry(key: &str, about: About<'_>) -> Entry {
    let quantity = quantities::find(key, about).unwrap_or_else(|error| panic!("{error}"));
    Entry { key: key.into(), quantity }
}

/// How many a list of the report has of each pattern with an N.
fn counts(about: About<'_>) -> [(&'static str, usize); 11] {
    let (design, evaluation) = (about.design, about.evaluation);
    let label = Label::of(design, evaluation, about.library).ok();
    let ingredients = |style| label.as_ref().map_or(0, |l| l.ingredients(style).len());
    [
        ("label.as_put_in_pct.N", ingredients(ListStyle::AsPutIn)),
        ("label.as_in_the_bar_pct.N", ingredients(ListStyle::AsInTheBar)),
        ("label.allergen_findings.N", label.as_ref().map_or(0, |l| l.allergens.findings.len())),
        ("margin.drivers.N", evaluation.margin.as_ref().map_or(0, |m| m.drivers.len())),
        ("scent_limits.N", evaluation.scents.findings.len()),
        ("fats.N", design.blend.lines().len()),
        ("additions.N", design.additions.len()),
        ("scents.N", design.scents.len()),
        ("water.N", evaluation.water.len()),
        ("cost.lines.N", Cost::of(design, evaluation).map_or(0, |c| c.lines().len())),
        ("size.bar_mm.N", 3),
    ]
}

/// Every number of a report that can be explained, and what stands beside them.
pub(super) fn entries(about: About<'_>) -> Vec<Entry> {
    let (design, library) = (about.design, about.library);
    let counts = counts(about);
    let held = |c: &Composition| -> Vec<String> {
        let acids = library.acids.iter().filter(|(id, _)| c.fraction(*id) > 0.0);
        acids.map(|(_, acid)| acid.key.clone()).collect()
    };
    let acids = about.evaluation.composition.as_ref().map(held).unwrap_or_default();
    let scores: Vec<String> = Estimate::ALL.iter().map(|e| e.key().to_owned()).collect();
    let soaps = library.style(&design.style).map_or(0, |s| s.references.len());
    let written_out = |key: &str| -> Vec<String> {
        let all_of = |key: &str, letter: &str, values: &[String]| -> Vec<String> {
            let mark = format!(".{letter}");
            let is_there = key.ends_with(&mark) || key.contains(&format!("{mark}."));
            if !is_there {
                return vec![key.to_owned()];
            }
            let write = |value: &String| {
                key.split('.').map(|part| if part == letter { value } else { part }).collect::<Vec<_>>().join(".")
            };
            values.iter().map(write).collect()
        };
        let places = |count: usize| (0..count).map(|i| i.to_string()).collect::<Vec<_>>();
        let count = counts.iter().find(|(list, _)| key.starts_with(list)).map_or(0, |(_, count)| *count);
        let days = ["0", "7", "28"].map(String::from);
        let list: Vec<String> = match key {
            // Only the acids that a fat holds are numbers of it.
            "acids_pct.A.fats.N" => {
                let lines = design.blend.lines().iter().enumerate();
                let of_fat = |(i, line): (usize, &crate::design::blend::FatLine)| {
                    let profile = line.fat.profile().iter();
                    profile.map(|e| format!("acids_pct.{}.fats.{i}", library.acids.get(e.acid).key)).collect::<Vec<_>>()
                };
                return lines.flat_map(of_fat).collect();
            }
            "estimates.E.fats.N" => places(design.blend.lines().len()),
            "estimates.E.soaps.N" => places(soaps),
            _ => places(count),
        };
        let steps =
            [("E", &scores[..]), ("A", &acids[..]), ("D", &days[..]), ("M", &["60".to_owned()][..]), ("N", &list[..])];
        let mut all = vec![key.to_owned()];
        for (letter, values) in steps {
            all = all.iter().flat_map(|key| all_of(key, letter, values)).collect();
        }
        all
    };
    let is_there = |key: &String| match key.split('.').next() {
        Some("cure") => about.evaluation.cure.is_some(),
        _ => true,
    };
    keys()
        .flat_map(written_out)
        .filter(is_there)
        .filter_map(|key| {
            let quantity = quantities::find(&key, about).ok()?;
            Some(Entry { key, quantity })
        })
        .collect()
}

#[test]
fn every_number_is_explained_as_the_report_has_it_or_says_why_not() {
    let library = library();
    let mut met = std::collections::BTreeSet::new();
    for design in designs(&library) {
        let evaluation = evaluate(&design, &library);
        let about = About::new(&design, &evaluation, &library);
        let json = Report::new(&design, &evaluation, &library).json().expect("JSON");
        let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        for Entry { key, quantity } in entries(about) {
            assert_eq!(quantity.key(about), key, "a key names what it is found by");
            let why = of_quantity(quantity.as_ref(), about);
            let mut path = format!("/{}", key.replace('.', "/"));
            if SCORES.iter().any(|(score, _)| *score == key) {
                path.push_str("/value");
            }
            // What stands beside a number of the blend is not in the report, nor is what is asked for.
            let beside = [".fats.", ".soaps.", "bar_at_margin"].iter().any(|part| key.contains(part));
            let place = json.pointer(&path).filter(|_| !beside);
            assert!(place.is_some() || beside || key.starts_with("cost."), "{key}: not in the report");
            match why {
                Ok(why) => {
                    let number = place.and_then(serde_json::Value::as_f64);
                    let unit = quantity.unit(about);
                    if let Some(number) = number {
                        assert_eq!(why.value, unit.text(number, quantity.decimals(about)), "{key} of {}", design.name);
                    }
                    assert!(number.is_some() || place.is_none(), "{key}: {place:?}");
                    assert!(why.changes.len() <= changes::MOST && why.text().contains(&why.with_numbers), "{why:?}");
                    for text in [&why.title, &why.formula, &why.trust, &why.value] {
                        assert!(!text.trim().is_empty(), "{key}: {why:?}");
                    }
                    met.insert(key);
                }
                Err(WhyError::NotKnown { reason, .. }) => {
                    assert!(place.is_none_or(serde_json::Value::is_null), "{key} is known: {reason}");
                    assert!(reason.len() > 10, "{key}: {reason}");
                }
                Err(unknown) => panic!("{unknown}"),
            }
        }
    }
    for key in keys() {
        let letter = |part: &'static str| if part.len() == 1 { "" } else { part };
        let parts: Vec<&str> = key.split('.').map(letter).collect();
        let fits = |met: &String| {
            let met: Vec<&str> = met.split('.').collect();
            met.len() == parts.len() && parts.iter().zip(&met).all(|(wanted, part)| wanted.is_empty() || wanted == part)
        };
        assert!(met.iter().any(fits), "{key} was known for no design");
    }
}

/// What has no closed form, and is told by what it rests on.
fn is_told_by_inputs(key: &str) -> bool {
    let of_colour = ["colour.lightness", "colour.redness", "colour.yellowness"];
    of_colour.contains(&key) || ["margin.chance_lye_heavy", "cure.settled_day"].contains(&key)
}

/// An equation, which is told with what it leaves.
fn is_solved(why: &Why) -> bool {
    why.with_numbers.contains(", as good as 0, with ")
}

#[test]
fn a_reader_can_redo_the_arithmetic() {
    let library = library();
    let mut done = std::collections::BTreeSet::new();
    for design in designs(&library) {
        let evaluation = evaluate(&design, &library);
        let about = About::new(&design, &evaluation, &library);
        for Entry { key, quantity } in entries(about).into_iter().filter(|e| !is_told_by_inputs(&e.key)) {
            let Ok(why) = of_quantity(quantity.as_ref(), about) else { continue };
            for input in &why.inputs {
                let Some(named) = input.source.strip_prefix("worked out from this design: ") else { continue };
                let number = entry(named, about).quantity;
                let value = number_text(number.value(about).expect("known"), number.unit(about).sign());
                assert_eq!((&input.name, &input.value), (&number.title(about), &value), "{named} in {key}");
            }
            let value = quantity.unit(about).shown(quantity.value(about).expect("known"));
            let place = 0.1_f64.powi(i32::try_from(quantity.decimals(about)).expect("few"));
            if is_solved(&why) {
                let (sum, rest) = why.with_numbers.split_once(", as good as 0, with ").expect("an equation");
                let left = redo(sum);
                // The numbers of a text have six digits.
                let largest = numbers_of(sum).fold(0.0, f64::max);
                assert!(left.abs() < 1e-5 * largest, "{key} of {}: {left} is left of {sum}", design.name);
                assert!(rest.ends_with(&why.value), "{rest}");
            } else {
                let off = redo(&why.with_numbers) - value;
                assert!(off.abs() < 0.02 * place, "{key} of {}: {} is off by {off}", design.name, why.with_numbers);
            }
            done.insert(key);
        }
    }
    for (key, _) in CHEMISTRY.iter().chain(SCORES).chain(MARGIN).filter(|(key, _)| !is_told_by_inputs(key)) {
        assert!(done.contains(*key), "{key} was known for no design");
    }
}

/// What solves an equation is told with the equation's own code, so the recorded value is the solver's.
#[test]
fn what_is_recorded_is_what_is_reckoned_bit_for_bit() {
    let library = library();
    for design in designs(&library) {
        let evaluation = evaluate(&design, &library);
        let about = About::new(&design, &evaluation, &library);
        let tape = Tape::default();
        let recorded = read(&tape, &design, &library);
        let of_recorded = About::new(&design, &recorded, &library);
        for Entry { key, quantity } in entries(about) {
            let told = quantity.record(&tape, of_recorded).ok().map(|term| crate::formula::Num::value(term).to_bits());
            assert_eq!(told, quantity.value(about).ok().map(f64::to_bits), "{key} of {}", design.name);
        }
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
    for (estimate, (key, _)) in Estimate::ALL.into_iter().zip(SCORES) {
        let word = serde_json::to_value(estimate).expect("a word");
        assert_eq!(Some(*key), word.as_str().map(|k| format!("estimates.{k}")).as_deref(), "{estimate:?}");
    }
}

#[test]
fn a_price_asked_for_and_a_sum_that_lacks_prices_are_explained() {
    let library = library();
    let design = priced(&library);
    let evaluation = evaluate(&design, &library);
    let why_of = |key: &str, design: &Design| why(key, design, &evaluation, &library);
    let asked = why_of("cost.bar_at_margin_pct.60", &design).expect("priced");
    let bar = Cost::of(&design, &evaluation).expect("fats").bar(Plain).known();
    assert!((redo(&asked.with_numbers) - bar / 0.4).abs() < 1e-4, "{}", asked.with_numbers);
    assert!(asked.changes.iter().all(|c| c.effect.ends_with(" EUR")), "{:?}", asked.changes);
    // Buying jumps, which a whole step tells.
    let now = changes::shown_of(&CostSum::Shopping, &design, &library).expect("known");
    let shopping = Lever::Price(0).effect(Way::Up, (&CostSum::Shopping, now), &design, &library);
    let cost = Cost::of(&design, &evaluation).expect("fats");
    let packs = cost.purchase(Plain, &cost.lines()[0]).expect("priced").packs;
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
        assert!(why.inputs.iter().any(|input| told.starts_with(&input.value)), "{:?}", why.inputs);
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
    assert!(matches!(
        why(&key, &twice, &evaluate(&twice, &library), &library),
        Err(WhyError::UnknownKey(UnknownKey::NotOfDesign { .. }))
    ));
}
