//! How far scores, iodine value and titre may lie from those of the typical profiles: the report's
//! ends against a linear programme and against random profiles.
//!
//! Ranges, weights and formulas of acids come from `assets/data`, read here. The programmes are
//! solved by a general solver (`microlp`); the titre's, a ratio of two sums, is made linear by the
//! change of variables of A. Charnes and W. W. Cooper, Naval Research Logistics Quarterly 9, 1962
//! (from memory). Iodine values by AOCS Cd 1c-85. Melting points and heats of fusion are those of the
//! program (from memory).

use barwright_acceptance::{Stream, assert_within};
use barwright_core::design::document;
use barwright_core::render::report::Report;
use barwright_core::{Library, evaluate};
use good_lp::{Expression, ProblemVariables, Solution, SolverModel, constraint, microlp, variable};
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

/// What the solver may miss.
const SOLVER: f64 = 1e-7;

const SCORES: [&str; 7] =
    ["hardness", "cleansing", "conditioning", "lather_volume", "lather_persistence", "wear", "keeping"];

type Row = BTreeMap<String, String>;

fn rows(text: &str) -> Vec<Row> {
    csv::Reader::from_reader(text.as_bytes()).into_deserialize::<Row>().map(|row| row.expect("a row")).collect()
}

fn number(row: &Row, column: &str) -> f64 {
    if row[column].is_empty() { 0.0 } else { row[column].parse().unwrap_or_else(|_| panic!("{column} is a number")) }
}

/// What an acid counts for.
#[derive(Clone)]
struct Acid {
    molar_mass: f64,
    double_bonds: f64,
    /// Per percent of it, in the order of [`SCORES`].
    scores: [f64; 7],
}

/// C, H and O by the IUPAC's abridged weights.
fn molar_mass(formula: &str) -> f64 {
    let [carbon, rest] = formula[1..].split('H').collect::<Vec<_>>()[..] else { panic!("{formula}") };
    let [hydrogen, oxygen] = rest.split('O').collect::<Vec<_>>()[..] else { panic!("{formula}") };
    let count = |text: &str| text.parse::<f64>().unwrap_or_else(|_| panic!("{formula}"));
    12.011 * count(carbon) + 1.008 * count(hydrogen) + 15.999 * count(oxygen)
}

static ACIDS: LazyLock<BTreeMap<String, Acid>> = LazyLock::new(|| {
    let weights = rows(include_str!("../../assets/data/weights.csv"));
    let acid = |row: Row| {
        let w = weights.iter().find(|w| w["acid"] == row["acid"]).expect("weights of every acid");
        let wear = 1.0 / (1.0 + f64::exp(-(35.0 - number(w, "krafft_c")) / 10.0));
        let scores = [
            number(w, "hardness"),
            number(w, "cleansing"),
            number(w, "conditioning"),
            number(w, "lather_volume"),
            number(w, "lather_persistence"),
            wear,
            number(w, "oxidation") / 100.0,
        ];
        let molar_mass = molar_mass(&row["formula"]);
        (row["acid"].clone(), Acid { molar_mass, double_bonds: number(&row, "double_bonds"), scores })
    };
    rows(include_str!("../../assets/data/acids.csv")).into_iter().map(acid).collect()
});

/// An acid of a fat with the percent it may have and typically has.
struct Part {
    acid: Acid,
    name: String,
    least: f64,
    typical: f64,
    most: f64,
}

/// A fat with a profile.
struct Fat {
    kind: String,
    parts: Vec<Part>,
    /// Percent.
    unsaponifiable: [f64; 2],
    /// mg KOH/g.
    saponification: [f64; 2],
}

static FATS: LazyLock<BTreeMap<String, Fat>> = LazyLock::new(|| {
    let profiles = rows(include_str!("../../assets/data/profiles.csv"));
    let fat = |row: Row| {
        let entries = profiles.iter().filter(|p| p["fat"] == row["fat"]);
        let part = |p: &Row| {
            let [min, typical, max] = ["min_pct", "typical_pct", "max_pct"].map(|c| number(p, c));
            // One figure is no range; a typical value beside its range belongs to it.
            let (least, most) = if max > min { (min.min(typical), max.max(typical)) } else { (typical, typical) };
            Part { acid: ACIDS[&p["acid"]].clone(), name: p["acid"].clone(), least, typical, most }
        };
        let unsaponifiable =
            ["unsaponifiable_min_g_per_kg", "unsaponifiable_max_g_per_kg"].map(|c| number(&row, c) / 10.0);
        let saponification = ["sv_min", "sv_max"].map(|c| number(&row, c));
        let (kind, parts) = (row["kind"].clone(), entries.map(part).collect());
        (row["fat"].clone(), Fat { kind, parts, unsaponifiable, saponification })
    };
    let all = rows(include_str!("../../assets/data/fats.csv")).into_iter().map(fat);
    all.filter(|(_, fat)| !fat.parts.is_empty()).collect()
});

impl Fat {
    fn whole(&self) -> f64 {
        self.parts.iter().map(|p| p.typical).sum()
    }

    /// The least and the most of Σ percent·weight over its profiles.
    fn ends(&self, weight: impl Fn(&Acid) -> f64) -> [f64; 2] {
        [1.0, -1.0].map(|sign| {
            let mut problem = ProblemVariables::new();
            let shares: Vec<_> = self.parts.iter().map(|p| problem.add(variable().min(p.least).max(p.most))).collect();
            let sum: Expression = shares.iter().sum();
            let value: Expression =
                shares.iter().zip(&self.parts).map(|(share, part)| *share * weight(&part.acid)).sum();
            let model = problem.minimise(value.clone() * sign).using(microlp);
            model.with(constraint!(sum == self.whole())).solve().expect("profiles exist").eval(value)
        })
    }

    /// What a percent of `acid` adds to the iodine value with so many percent unsaponifiable.
    fn iodine(&self, acid: &Acid, unsaponifiable: f64) -> f64 {
        match self.kind.as_str() {
            "triglyceride" => {
                let pure = 3.0 * 2.0 * 126.904_47 * acid.double_bonds / (3.0 * acid.molar_mass + 38.049);
                pure * (1.0 - unsaponifiable / 100.0)
            }
            "free acid" => 2.0 * 126.904_47 * acid.double_bonds / acid.molar_mass,
            // Jojoba: one double bond in the acid and one in the alcohol of an ester of 606 g/mol.
            _ => 2.0 * 2.0 * 126.904_47 / 606.0 * 100.0 / self.whole(),
        }
    }

    fn iodine_ends(&self) -> [f64; 2] {
        let [least, most] = self.unsaponifiable;
        [self.ends(|acid| self.iodine(acid, most))[0], self.ends(|acid| self.iodine(acid, least))[1]]
    }
}

/// Fats with their parts of a blend, which sum to 1.
type Blend = Vec<(&'static str, f64)>;

fn over(blend: &Blend, of: impl Fn(&Fat) -> [f64; 2]) -> [f64; 2] {
    blend.iter().fold([0.0, 0.0], |[low, high], (fat, part)| {
        let ends = of(&FATS[*fat]);
        [low + part * ends[0], high + part * ends[1]]
    })
}

/// The least and the most mole fraction of `acid` in `blend`.
fn mole_ends(blend: &Blend, acid: &str) -> [f64; 2] {
    [1.0, -1.0].map(|sign| {
        let mut problem = ProblemVariables::new();
        // Every share times one scale, which makes the sum of moles 1.
        let scale = problem.add(variable().min(0.0));
        let (mut moles, mut wanted) = (Expression::default(), Expression::default());
        let mut rules = Vec::new();
        for (fat, part) in blend {
            let mut whole = Expression::default();
            for p in &FATS[*fat].parts {
                let share = problem.add(variable().min(0.0));
                rules.push(constraint!(share >= scale * p.least));
                rules.push(constraint!(share <= scale * p.most));
                whole += share;
                moles += share * (part / p.acid.molar_mass);
                if p.name == acid {
                    wanted += share * (part / p.acid.molar_mass);
                }
            }
            rules.push(constraint!(whole == scale * FATS[*fat].whole()));
        }
        let model = problem.minimise(wanted.clone() * sign).using(microlp).with(constraint!(moles == 1.0));
        let model = rules.into_iter().fold(model, SolverModel::with);
        model.solve().expect("profiles exist").eval(wanted)
    })
}

/// Acid, melting point in °C and heat of fusion in kJ/mol.
const FUSION: [(&str, f64, f64); 6] = [
    ("8:0", 16.5, 21.4),
    ("10:0", 31.5, 27.8),
    ("12:0", 43.8, 36.3),
    ("14:0", 54.2, 45.1),
    ("16:0", 62.5, 53.7),
    ("18:0", 69.3, 61.2),
];

/// Titre from mole fractions, °C: the highest of the temperatures at which an acid would set.
fn titre(mole_fraction: impl Fn(&str) -> f64) -> f64 {
    let sets = |(acid, melts, heat): (&str, f64, f64)| {
        let x = mole_fraction(acid);
        1.0 / (1.0 / (melts + 273.15) - 8.314_462_618 * x.ln() / (1000.0 * heat)) - 273.15
    };
    let set = FUSION.into_iter().filter(|(acid, ..)| mole_fraction(acid) > 1e-12).map(sets);
    -11.68 + 1.157 * set.fold(f64::NEG_INFINITY, f64::max)
}

fn report(blend: &Blend) -> Value {
    let fats: Vec<String> =
        blend.iter().map(|(fat, part)| format!(r#"(fat: "{fat}", share: {})"#, 100.0 * part)).collect();
    let text = format!("(barwright: 1, fats: [{}])", fats.join(","));
    let design = document::read(text.as_bytes(), &LIBRARY).expect("a good design");
    let report = Report::new(&design, &evaluate(&design, &LIBRARY), &LIBRARY).json().expect("JSON");
    serde_json::from_str(&report).expect("JSON")
}

fn told(report: &Value, part: &str, keys: [&str; 2]) -> [f64; 2] {
    keys.map(|key| report.pointer(part).and_then(|p| p[key].as_f64()).unwrap_or_else(|| panic!("{part} has {key}")))
}

/// What the report says of one of the seven scores, without the superfat and the unsaponifiable
/// matter that conditioning gains; `None` where they make it reach its limit of 100.
fn told_of_acids(report: &Value, blend: &Blend, score: &str) -> Option<[f64; 2]> {
    let [low, high] = told(report, &format!("/estimates/{score}"), ["low", "high"]);
    if score != "conditioning" {
        return Some([low, high]);
    }
    let free = report["batch"]["free_fat_pct"].as_f64().expect("a number");
    let [least, most] = over(blend, |fat| fat.unsaponifiable);
    (high < 100.0).then_some([low - free - least, high - free - most])
}

fn assert_ends(what: &str, actual: [f64; 2], expected: [f64; 2], tolerance: f64) {
    assert_within(&format!("{what}, low"), actual[0], expected[0], tolerance);
    assert_within(&format!("{what}, high"), actual[1], expected[1], tolerance);
}

fn check_by_programme(name: &str, blend: &Blend) {
    let report = report(blend);
    for (i, score) in SCORES.into_iter().enumerate() {
        if let Some(told) = told_of_acids(&report, blend, score) {
            assert_ends(&format!("{name}: {score}"), told, over(blend, |f| f.ends(|a| a.scores[i])), SOLVER);
        }
    }
    let saponification = told(&report, "/chemistry", ["saponification_value_low", "saponification_value_high"]);
    assert_ends(&format!("{name}: saponification value"), saponification, over(blend, |f| f.saponification), 1e-9);
    let iodine = told(&report, "/chemistry", ["iodine_value_low", "iodine_value_high"]);
    assert_ends(&format!("{name}: iodine value"), iodine, over(blend, Fat::iodine_ends), SOLVER);
    if !report["chemistry"]["titre_c"].is_null() {
        let ends: BTreeMap<&str, [f64; 2]> = FUSION.iter().map(|(acid, ..)| (*acid, mole_ends(blend, acid))).collect();
        let expected = [0, 1].map(|end| titre(|acid| ends[acid][end]));
        if expected[0].is_finite() {
            // An acid's mole fraction near 0 moves the titre by degrees, so that the solver's error counts.
            let told = told(&report, "/chemistry", ["titre_low_c", "titre_high_c"]);
            assert_ends(&format!("{name}: titre"), told, expected, 1e-4);
        } else {
            // A profile within the ranges holds nothing that sets.
            assert!(report["chemistry"]["titre_low_c"].is_null(), "{name}: no lowest titre");
        }
    }
}

fn blends() -> Vec<Blend> {
    vec![
        vec![("olive_virgin", 0.44), ("coconut", 0.26), ("cocoa_butter", 0.22), ("castor", 0.08)],
        vec![("tallow_beef", 0.55), ("coconut", 0.25), ("lard", 0.2)],
        vec![("palm", 0.5), ("sunflower_high_oleic", 0.3), ("babassu", 0.2)],
        vec![("rapeseed_high_erucic", 0.5), ("stearic_acid_50", 0.1), ("flaxseed", 0.4)],
    ]
}

#[test]
fn the_ends_for_every_fat_are_those_of_a_linear_programme() {
    assert_eq!(FATS.len(), 60, "fats with a profile");
    for name in FATS.keys() {
        let id: &'static str = name.as_str();
        check_by_programme(name, &vec![(id, 1.0)]);
    }
}

#[test]
fn the_ends_for_blends_are_those_of_a_linear_programme() {
    for blend in blends() {
        check_by_programme(&format!("{blend:?}"), &blend);
    }
}

/// A profile for each fat of a blend, moved about within the ranges.
struct Walk<'a> {
    blend: &'a Blend,
    shares: Vec<Vec<f64>>,
}

impl<'a> Walk<'a> {
    fn new(blend: &'a Blend) -> Self {
        let typical = |(fat, _): &(&str, f64)| FATS[*fat].parts.iter().map(|p| p.typical).collect();
        Self { blend, shares: blend.iter().map(typical).collect() }
    }

    /// Takes from one acid of a fat what it gives to another of it, at random.
    fn step(&mut self, stream: &mut Stream) -> (usize, usize, usize, f64) {
        let fat = stream.place(self.blend.len());
        let parts = &FATS[self.blend[fat].0].parts;
        let (from, to) = (stream.place(parts.len()), stream.place(parts.len()));
        let shares = &mut self.shares[fat];
        let room = (shares[from] - parts[from].least).min(parts[to].most - shares[to]).max(0.0);
        // All that there is room for now and then, or the ends are never reached.
        let moved = if stream.unit() < 0.3 { room } else { room * stream.unit() };
        shares[from] -= moved;
        shares[to] += moved;
        (fat, from, to, moved)
    }

    fn sum(&self, weight: impl Fn(&Fat, &Part) -> f64) -> f64 {
        let of_fat = |((fat, part), shares): (&(&str, f64), &Vec<f64>)| {
            let fat = &FATS[*fat];
            part * fat.parts.iter().zip(shares).map(|(p, share)| share * weight(fat, p)).sum::<f64>()
        };
        self.blend.iter().zip(&self.shares).map(of_fat).sum()
    }
}

fn titre_of(walk: &Walk<'_>) -> f64 {
    let moles = walk.sum(|_, p| 1.0 / p.acid.molar_mass);
    titre(|acid| walk.sum(|_, p| if p.name == acid { 1.0 / p.acid.molar_mass } else { 0.0 }) / moles)
}

/// Walks about freely, then only towards less, then only towards more; how low and how high it came.
fn reached(blend: &Blend, steps: usize, stream: &mut Stream, value: impl Fn(&Walk<'_>) -> f64) -> [f64; 2] {
    let mut walk = Walk::new(blend);
    let mut now = value(&walk);
    let (mut low, mut high) = (now, now);
    for towards in [0.0, -1.0, 1.0] {
        for _ in 0..steps {
            let (fat, from, to, moved) = walk.step(stream);
            let next = value(&walk);
            if (next - now) * towards < 0.0 {
                walk.shares[fat][from] += moved;
                walk.shares[fat][to] -= moved;
            } else {
                now = next;
                (low, high) = (low.min(now), high.max(now));
            }
        }
    }
    [low, high]
}

#[test]
fn random_profiles_stay_between_the_ends_and_come_near_both() {
    const STEPS: usize = 12_000;
    let mut stream = Stream(1962);
    for blend in blends() {
        let report = report(&blend);
        let name = format!("{blend:?}");
        let check = |what: &str, told: [f64; 2], found: [f64; 2], near: [f64; 2]| {
            let [low, high] = told;
            assert!(low - 1e-9 <= found[0] && found[1] <= high + 1e-9, "{name}: {what} {found:?} leaves {told:?}");
            assert_within(&format!("{name}: lowest {what}"), found[0], low, near[0] * (high - low));
            assert_within(&format!("{name}: highest {what}"), found[1], high, near[1] * (high - low));
        };
        for (i, score) in SCORES.into_iter().enumerate() {
            let told = told_of_acids(&report, &blend, score).expect("below 100");
            check(score, told, reached(&blend, STEPS, &mut stream, |w| w.sum(|_, p| p.acid.scores[i])), [0.02, 0.02]);
        }
        let iodine = told(&report, "/chemistry", ["iodine_value_low", "iodine_value_high"]);
        // The lowest with the most unsaponifiable matter and the highest with the least.
        let [lowest, highest] = [1, 0]
            .map(|end| reached(&blend, STEPS, &mut stream, |w| w.sum(|f, p| f.iodine(&p.acid, f.unsaponifiable[end]))));
        check("iodine value", iodine, [lowest[0], highest[1]], [0.02, 0.02]);
        let told = told(&report, "/chemistry", ["titre_low_c", "titre_high_c"]);
        // The low end of the titre is an outer limit: no one profile has the least of every acid.
        check("titre", told, reached(&blend, STEPS, &mut stream, titre_of), [0.35, 0.05]);
    }
}
