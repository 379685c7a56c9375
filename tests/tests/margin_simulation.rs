//! The report's lye margin against an independent simulation.
//!
//! What is simulated is what the margin is said to mean (assumptions of the model, no
//! published source): each fat's saponification value uniform in its range or its supplier's, each
//! purity within its ±, and everything weighed within half a division of the scale. The ranges come
//! from `assets/data/fats.csv`, or are narrowed to `tests/data/possible-sv.csv`, and the acids from `additions.csv`, read here; what was weighed comes
//! from the report.

use barwright_acceptance::{Stream, assert_within};
use barwright_core::design::Design;
use barwright_core::design::document;
use barwright_core::library::additions::Stage;
use barwright_core::render::report::Report;
use barwright_core::units::Superfat;
use barwright_core::{Library, evaluate};
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::LazyLock;

const DRAWS: u32 = 400_000;
/// Standard errors of the simulation that are allowed.
const ERRORS: f64 = 4.5;
/// What a chance may be off since the margin leaves out products of two deviations.
const PRODUCTS: f64 = 1e-4;

const KOH: f64 = 56.105;
const NAOH: f64 = 39.997;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

type Row = BTreeMap<String, String>;

/// A table of `assets/data` by its first column.
fn table(text: &str, key: &str) -> BTreeMap<String, Row> {
    let rows = csv::Reader::from_reader(text.as_bytes()).into_deserialize::<Row>();
    rows.map(|row| row.expect("a row")).map(|row| (row[key].clone(), row)).collect()
}

fn number(row: &Row, column: &str) -> f64 {
    if row[column].is_empty() { 0.0 } else { row[column].parse().expect("a number") }
}

/// A mass that is weighed and a property of it, both between two ends.
struct Weighed {
    mass: [f64; 2],
    property: [f64; 2],
}

impl Weighed {
    fn draw(&self, stream: &mut Stream) -> f64 {
        let [low, high] = self.mass;
        let [least, most] = self.property;
        stream.between(low, high) * stream.between(least, most)
    }

    /// The least and the most of the product over all four corners.
    fn extremes(&self) -> [f64; 2] {
        let corners = self.mass.iter().flat_map(|m| self.property.map(|p| m * p));
        corners.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], c| [low.min(c), high.max(c)])
    }
}

/// A batch as a simulation needs it: what takes alkali and what gives it, in mol.
struct Masses {
    takes: Vec<Weighed>,
    gives: Vec<Weighed>,
    acids: Vec<Weighed>,
}

impl Masses {
    fn of(design: &Design, report: &Value) -> Self {
        let fats = table(include_str!("../../assets/data/fats.csv"), "fat");
        let additions = table(include_str!("../../assets/data/additions.csv"), "addition");
        // What is possible, as code of another language works it out.
        let possible = table(include_str!("../data/possible-sv.csv"), "fat");
        let narrowed = |i: usize| {
            let fat = &design.blend.lines()[i].fat;
            fat.lye() != fat.sv.value
        };
        let half = design.scale_division.get() / 2.0;
        let weighed = |mass: &Value, property: [f64; 2]| {
            let mass = mass.as_f64().expect("a mass");
            Weighed { mass: [mass - half, mass + half], property }
        };
        let list = |name: &str| report[name].as_array().expect("a list").iter().zip(0_usize..);
        let takes = list("fats").map(|(fat, i)| {
            let row = &fats[fat["fat"].as_str().expect("an id")];
            let ends = match &design.blend.lines()[i].supplier {
                Some(figure) => [figure.sv.get() - figure.pm.get(), figure.sv.get() + figure.pm.get()],
                None if narrowed(i) => {
                    let row = &possible[fat["fat"].as_str().expect("an id")];
                    [number(row, "used_min"), number(row, "used_max")]
                }
                None => [number(row, "sv_min"), number(row, "sv_max")],
            };
            weighed(&fat["mass_g"], ends.map(|sv| sv / 1000.0 / KOH))
        });
        let pure = |percent: f64, pm: f64, molar: f64| [percent - pm, percent + pm].map(|p| p / 100.0 / molar);
        let a = &design.alkali;
        let alkalis = [
            (&report["batch"]["naoh_g"], pure(a.naoh_purity.get(), a.naoh_purity_pm.get(), NAOH)),
            (&report["batch"]["koh_g"], pure(a.koh_purity.get(), a.koh_purity_pm.get(), KOH)),
        ];
        let gives = alkalis.into_iter().filter(|(mass, _)| mass.as_f64() != Some(0.0));
        let reacting = list("additions").filter(|(_, i)| design.additions[*i].stage != Stage::OnTop);
        let acids = reacting.map(|(addition, _)| {
            let row = &additions[addition["addition"].as_str().expect("an id")];
            let molar = number(row, "acid_molar_mass_g_per_mol");
            let protons = number(row, "acid_protons") * number(row, "acid_pct") / 100.0;
            weighed(&addition["mass_g"], [if molar > 0.0 { protons / molar } else { 0.0 }; 2])
        });
        Self {
            takes: takes.collect(),
            gives: gives.map(|(mass, ends)| weighed(mass, ends)).collect(),
            acids: acids.collect(),
        }
    }

    /// The superfats that result, percent, in order.
    fn simulate(&self, stream: &mut Stream) -> Vec<f64> {
        let mut superfats: Vec<f64> = (0..DRAWS)
            .map(|_| {
                let mut sum = |parts: &[Weighed]| parts.iter().map(|p| p.draw(stream)).sum::<f64>();
                100.0 * (1.0 - (sum(&self.gives) - sum(&self.acids)) / sum(&self.takes))
            })
            .collect();
        superfats.sort_by(f64::total_cmp);
        superfats
    }

    /// The superfats with everything at its extreme.
    fn extremes(&self) -> [f64; 2] {
        let sum = |parts: &[Weighed], end: usize| parts.iter().map(|p| p.extremes()[end]).sum::<f64>();
        let superfat = |most: usize, least: usize| {
            1.0 - (sum(&self.gives, most) - sum(&self.acids, least)) / sum(&self.takes, least)
        };
        [100.0 * superfat(1, 0), 100.0 * superfat(0, 1)]
    }
}

fn report(design: &Design) -> Value {
    let report = Report::new(design, &evaluate(design, &LIBRARY), &LIBRARY).json().expect("JSON");
    serde_json::from_str(&report).expect("JSON")
}

/// The part of `superfats`, which are in order, that is at most `percent`.
fn part(superfats: &[f64], percent: f64) -> f64 {
    superfats.partition_point(|s| *s <= percent) as f64 / superfats.len() as f64
}

/// What a simulated part may be off where the chance is `chance`.
fn allowed(chance: f64) -> f64 {
    ERRORS * (chance * (1.0 - chance) / f64::from(DRAWS)).sqrt() + PRODUCTS
}

/// Supplier's figures, two alkalis, acids, a coarse scale and a small batch, in turn and together.
const DESIGNS: [(&str, &str); 8] = [
    (
        "library ranges",
        r#"(barwright: 1, superfat: 2.0, fats: [(fat: "olive_virgin", share: 44), (fat: "coconut", share: 26),
        (fat: "cocoa_butter", share: 22), (fat: "castor", share: 8)])"#,
    ),
    (
        "narrowed ranges",
        r#"(barwright: 1, superfat: 1.0, lye_rests_on: Possible, fats: [(fat: "olive_virgin", share: 44), (fat: "coconut", share: 21),
        (fat: "almond", share: 15), (fat: "pumpkin_seed", share: 12), (fat: "beeswax", share: 8)])"#,
    ),
    (
        "ten fats",
        r#"(barwright: 1, superfat: 1.5, fats: [(fat: "olive_virgin", share: 25), (fat: "coconut", share: 20),
        (fat: "palm", share: 12), (fat: "lard", share: 10), (fat: "shea", share: 8), (fat: "cocoa_butter", share: 6),
        (fat: "canola", share: 6), (fat: "castor", share: 5), (fat: "almond", share: 5), (fat: "butterfat", share: 3)])"#,
    ),
    (
        "supplier figures",
        r#"(barwright: 1, superfat: 0.5, scale_division_g: 0.1, fats: [
        (fat: "olive_virgin", share: 60, supplier: Some((sv: 189.3, pm: 1.0))), (fat: "shea", share: 40, supplier: Some((sv: 181.0, pm: 4.0)))],
        alkali: (naoh_purity: 98.6, naoh_purity_pm: 0.3))"#,
    ),
    (
        "two alkalis",
        r#"(barwright: 1, superfat: 2.0, accepted_chance: 2.5, size: FatMass(900.0), fats: [
        (fat: "tallow_beef", share: 55), (fat: "coconut", share: 25), (fat: "lard", share: 20)],
        alkali: (koh_share: 35.0, naoh_purity: 98.2, koh_purity: 88.5, naoh_purity_pm: 0.4, koh_purity_pm: 1.5))"#,
    ),
    (
        "acids",
        r#"(barwright: 1, superfat: 2.5, scale_division_g: 2.0, fats: [(fat: "lard", share: 70), (fat: "coconut", share: 30)],
        additions: [(addition: "citric_acid", amount: Grams(15)), (addition: "lemon_juice", amount: PercentOfFats(6)),
        (addition: "apple_puree", amount: Grams(30))])"#,
    ),
    (
        "a coarse scale",
        r#"(barwright: 1, superfat: 4.0, scale_division_g: 5.0, size: FatMass(250.0), fats: [
        (fat: "palm", share: 50), (fat: "sunflower_high_oleic", share: 30), (fat: "babassu", share: 20)])"#,
    ),
    (
        "all of it",
        r#"(barwright: 1, superfat: 2.0, accepted_chance: 5.0, scale_division_g: 2.0, size: FatMass(700.0), fats: [
        (fat: "rice_bran", share: 45, supplier: Some((sv: 188.0, pm: 3.0))), (fat: "palm_kernel", share: 30), (fat: "avocado", share: 25)],
        alkali: (koh_share: 15.0, naoh_purity: 97.5, naoh_purity_pm: 1.0, koh_purity: 87.0, koh_purity_pm: 2.0),
        additions: [(addition: "distilled_vinegar", amount: Grams(90)), (addition: "citric_acid", amount: GramsPerKgFats(8))])"#,
    ),
];

#[test]
fn the_report_agrees_with_a_simulation_within_its_error() {
    for (seed, (name, text)) in (1..).zip(DESIGNS) {
        let mut stream = Stream(seed);
        let design = document::read(text.as_bytes(), &LIBRARY).expect("a good design");
        let told = report(&design);
        let figure = |key: &str| told["margin"][key].as_f64().unwrap_or_else(|| panic!("{name}: {key} is a number"));
        let batch = Masses::of(&design, &told);
        let superfats = batch.simulate(&mut stream);

        let heavy = figure("chance_lye_heavy");
        assert!(heavy > 0.0005, "{name}: there is a chance to compare, {heavy}");
        assert_within(&format!("{name}: chance lye-heavy"), heavy, part(&superfats, 0.0), allowed(heavy));
        for (key, chance) in [("superfat_p05_pct", 0.05), ("superfat_p95_pct", 0.95)] {
            assert_within(&format!("{name}: {key}"), part(&superfats, figure(key)), chance, allowed(chance));
        }
        let [low, high] = batch.extremes();
        assert_within(&format!("{name}: low"), figure("superfat_low_pct"), low, 1e-9);
        assert_within(&format!("{name}: high"), figure("superfat_high_pct"), high, 1e-9);

        // Planned with the least superfat, the chance is the accepted one.
        let least = figure("least_superfat_pct");
        let accepted = design.accepted_chance.fraction();
        let planned = Design { superfat: Superfat::new(least).expect("in range"), ..design };
        let superfats = Masses::of(&planned, &report(&planned)).simulate(&mut stream);
        assert_within(&format!("{name}: lye-heavy at {least} %"), part(&superfats, 0.0), accepted, allowed(accepted));
    }
}
