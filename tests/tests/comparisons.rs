//! How often the scores were right in published comparisons, against a count by an independent script
//! (`tests/peers/comparisons.py`) and against what the sources leave no doubt of.

use barwright_core::Library;
use barwright_core::library::Tables;
use barwright_core::library::comparisons::{Evidence, Property};
use barwright_core::library::estimates::Estimate;
use barwright_core::library::fats::ProfileEntry;
use serde::Deserialize;

#[derive(Deserialize)]
struct Counted {
    score: String,
    property: Property,
    less: String,
    evidence: String,
    halves: u32,
    pairs: u32,
}

fn estimate(name: &str) -> Estimate {
    let called = |e: &Estimate| e.name().to_lowercase().replace(' ', "_") == name;
    Estimate::ALL.into_iter().find(called).expect("a score")
}

#[test]
fn the_counts_are_those_of_an_independent_script() {
    let library = Library::embedded().expect("assets parse");
    let text = include_str!("../data/comparison-counts.csv");
    let rows: Vec<Counted> =
        csv::Reader::from_reader(text.as_bytes()).deserialize().collect::<Result<_, _>>().expect("counts");
    assert_eq!(rows.len(), 32, "eight questions, each of all and of three kinds of evidence");
    for row in rows {
        let evidence = match row.evidence.as_str() {
            "all" => None,
            "measured" => Some(Evidence::Measured),
            "worded" => Some(Evidence::Worded),
            "proxy" => Some(Evidence::Proxy),
            other => panic!("no evidence is called {other}"),
        };
        let asked = (row.property, row.less == "yes");
        let count = library.comparisons.count((estimate(&row.score), &library.weights), asked, evidence);
        let says = format!("{} as {:?}, {}", row.score, row.property, row.evidence);
        assert_eq!((count.right(), count.pairs), (row.halves / 2, row.pairs), "{says}");
    }
}

/// The sentence of a lane has the numbers that were counted.
#[test]
fn a_lane_says_what_was_counted() {
    let library = Library::embedded().expect("assets parse");
    for estimate in Estimate::ALL {
        let record = library.record_of(estimate);
        assert!(record.words().contains(&record.count().to_string()), "{estimate:?}: {}", record.words());
        assert!(library.trust_in(estimate).contains(&record.words()), "{estimate:?}");
    }
    let cleansing = library.record_of(Estimate::Cleansing).words();
    assert!(cleansing.contains("never means that a bar cleans better"), "{cleansing}");
    let lather = library.record_of(Estimate::LatherVolume).words();
    assert!(lather.contains("More is not better"), "{lather}");
}

/// Lauric soap leads in hardness by its weight: without it palm kernel is softer than palm, against both measured
/// series (University of Benin; Kuntom et al. 1996).
#[test]
fn a_weight_that_is_moved_is_counted() {
    let library = Library::embedded().expect("assets parse");
    let moved: String = Tables::EMBEDDED
        .weights
        .lines()
        .map(|line| {
            let mut cells: Vec<&str> = line.split(',').collect();
            if cells[0] == "12:0" {
                cells[2] = "0.2";
            }
            cells.join(",") + "\n"
        })
        .collect();
    let other = Library::parse(&Tables { weights: &moved, ..Tables::EMBEDDED }).expect("tables parse");
    let [now, then] = [&library, &other].map(|l| l.record_of(Estimate::Hardness).count());
    assert_eq!(now.pairs, then.pairs);
    assert!(then.right() + 5 < now.right(), "{now} and {then}");
    assert!(other.record_of(Estimate::Hardness).words().contains(&then.to_string()), "and the lane says so");
}

/// In four of five measured series the soap that lathers best is none of the ends (University of Benin; Ginn et al.
/// 1968; Nig. J. Nat. Prod. Med. 5, 2001): the bracket lies inside the scale.
#[test]
fn the_best_lather_is_at_neither_end() {
    let library = Library::embedded().expect("assets parse");
    let best = library.record_of(Estimate::LatherVolume).best().expect("measured series");
    let alone = |fat: &str| {
        let profile = library.fat(fat)?.profile();
        let sum: f64 = profile.iter().map(|e| e.typical).sum();
        let of = |e: &ProfileEntry| e.typical / sum * library.weights.get(e.acid, Estimate::LatherVolume);
        Some(profile.iter().map(of).sum::<f64>())
    };
    let (palm, coconut) = (alone("palm").expect("palm"), alone("coconut").expect("coconut"));
    assert!(palm < best.min() && best.max() < coconut, "{best:?} between {palm} and {coconut}");
}

#[test]
fn each_source_is_named() {
    let library = Library::embedded().expect("assets parse");
    let sources = include_str!("../../assets/data/SOURCES.md");
    for source in library.comparisons.sources() {
        assert!(sources.contains(&format!("\n| {source} | ")), "{source} has no line in SOURCES.md");
    }
}

/// Scores that lie closer than 5 points get no word of more or less.
#[test]
fn near_scores_are_about_the_same() {
    assert!(Estimate::Hardness.is_about_same(40.2, 44.4));
    assert!(!Estimate::Hardness.is_about_same(40.2, 45.4));
    assert!(!Estimate::Keeping.is_about_same(1.0, 1.1), "it has no points");
}
