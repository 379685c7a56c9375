//! Every mass and ratio of an evaluation by name, to compare two of them.

use barwright_acceptance::assert_within;
use barwright_core::Evaluation;
use barwright_core::chemistry::jug::Jug;
use barwright_core::library::estimates::Estimate;
use barwright_core::units::Interval;

/// The masses of an evaluation by name.
pub(super) fn masses(e: &Evaluation) -> Vec<(String, f64)> {
    let b = &e.masses;
    let mut all: Vec<(String, f64)> = [
        ("fats", b.fats),
        ("pure NaOH", b.alkali.pure_naoh),
        ("pure KOH", b.alkali.pure_koh),
        ("NaOH", b.alkali.naoh),
        ("KOH", b.alkali.koh),
        ("water in all", b.water_total),
        ("water to weigh", b.water_to_weigh),
        ("batter", b.batter),
        ("a bar", b.bar_fresh),
        ("glycerol", b.glycerol),
        ("alkali for acids", b.alkali_for_acids),
        ("additions", b.additions),
        ("what lies on top", b.on_top),
        ("scents", b.scents),
        ("fat in additions", b.addition_fat),
        ("sugars", b.sugars),
        ("water too much", b.water_excess),
        ("water that does not count", b.water_uncounted),
        ("water in the jug", b.water_in_jug),
        ("water made", b.water_made),
    ]
    .into_iter()
    .map(|(name, mass)| (name.to_owned(), mass.0))
    .collect();
    all.push(("batter, ml".to_owned(), b.batter_ml));
    all.extend(e.fat_masses.iter().enumerate().map(|(i, m)| (format!("fat {i}"), m.0)));
    all.extend(e.addition_masses.iter().enumerate().map(|(i, m)| (format!("addition {i}"), m.0)));
    all.extend(e.scents.masses.iter().enumerate().map(|(i, m)| (format!("scent {i}"), m.0)));
    all
}

/// The ratios and scores of an evaluation by name.
pub(super) fn ratios(e: &Evaluation) -> Vec<(String, Option<f64>)> {
    let c = &e.chemistry;
    let mut all: Vec<(String, Option<f64>)> = [
        ("lye concentration", e.masses.lye_concentration()),
        ("superfat", Some(e.masses.superfat)),
        ("free fat", Some(e.masses.free_fat.0)),
        ("water, percent of fats", e.masses.water_percent_of_fats()),
        ("jug", e.jug.as_ref().map(|j| j.concentration)),
        ("saponification value", c.saponification_value),
        ("saponification value, calculated", c.saponification_value_calculated),
        ("iodine value", c.iodine_value),
        ("titre", c.titre),
        ("TFM", c.tfm_fresh),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .collect();
    let jug = e.jug.as_ref();
    for (name, value) in [
        ("peak", jug.and_then(|j| j.peak.ok())),
        ("crystallises below", jug.and_then(|j| j.crystallises_below)),
        ("density", jug.and_then(|j| j.density.ok())),
        ("minutes to mix", jug.and_then(Jug::minutes_to_mix)),
        ("meeting", jug.and_then(|j| j.meeting)),
    ] {
        all.push((name.to_owned(), value));
    }
    let mut scents: Vec<_> = e.scents.findings.iter().map(|f| (f.substance.clone(), Some(f.percent.0))).collect();
    // Substances that bind equally come in any order.
    scents.sort_by(|a, b| a.0.cmp(&b.0));
    all.extend(scents);
    for estimate in Estimate::ALL {
        let result = e.estimate(estimate);
        all.push((estimate.name().to_owned(), result.map(|r| r.value)));
        all.push((format!("{} range", estimate.name()), result.and_then(|r| r.range).map(Interval::mid)));
    }
    all
}

/// Fails unless both say the same within `tolerance` of their size, or 1e-12.
#[track_caller]
pub(super) fn assert_same(what: &str, a: &[(String, Option<f64>)], b: &[(String, Option<f64>)], tolerance: f64) {
    assert_eq!(a.len(), b.len(), "{what}");
    for ((name, a), (_, b)) in a.iter().zip(b) {
        match (a, b) {
            (Some(a), Some(b)) => assert_within(&format!("{what}: {name}"), *b, *a, tolerance * a.abs().max(1.0)),
            _ => assert_eq!(a, b, "{what}: {name}"),
        }
    }
}
