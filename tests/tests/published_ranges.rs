//! Every fat of the library against its published saponification and iodine values.
//!
//! Source: the ranges in `data/published-ranges.csv`, one source a figure, named row by row in
//! `assets/data/fats.csv` (mostly Codex CXS 210, 33 and 325, the Merck Index, Ph. Eur./BP).
//! A fat passes if some unsaponifiable content inside its published range puts the value that
//! its profile calculates to into the published range.

use barwright_core::Library;
use barwright_core::formula::Plain;
use barwright_core::library::fats::{Fat, FatKind};
use barwright_core::trust::Trust;
use barwright_core::units::Interval;
use serde::Deserialize;
use std::collections::BTreeSet;

#[derive(Deserialize)]
struct Published {
    fat: String,
    sv_min: f64,
    sv_max: f64,
    iv_min: f64,
    iv_max: f64,
}

fn published() -> Vec<Published> {
    csv::Reader::from_reader(include_str!("../data/published-ranges.csv").as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("data/published-ranges.csv is complete")
}

fn library() -> Library {
    Library::embedded().expect("assets/data parses")
}

/// Unsaponifiable matter as fractions; none where none is published.
fn unsaponifiable(fat: &Fat) -> (f64, f64) {
    fat.unsaponifiable.as_ref().map_or((0.0, 0.0), |u| (u.value.min() / 1000.0, u.value.max() / 1000.0))
}

/// Why `calculated`, which falls with the unsaponifiable content, never reaches `min` to `max`
/// while that content is inside its own range; `None` if it does.
fn misses(fat: &Fat, calculated: impl Fn(f64) -> f64, (min, max): (f64, f64)) -> Option<String> {
    let (least, most) = unsaponifiable(fat);
    let (high, low) = (calculated(least), calculated(most));
    let meets = low <= max && high >= min;
    (!meets).then(|| {
        let error = if low > max { low - max } else { high - min };
        format!(
            "{}: calculated {low:.2}–{high:.2} at unsaponifiable {most}–{least}, published {min}–{max}, off by {error:+.2}",
            fat.id
        )
    })
}

/// Fats whose measured values lie beside those of their acids, and by how much at the most, mg KOH/g.
///
/// Hemp: 18.4 to 19.2 g/kg of unsaponifiable matter, as quoted, bring its acids to 188.6, while 190 to 193 was measured.
/// Either commercial oil has less of it, or part of it takes alkali. Mahua: 192.1 to 192.8 was measured, its acids are
/// of another oil and 195.2 without the unsaponifiable matter, of which nothing was read.
const BESIDE: [(&str, f64); 2] = [("hemp", 1.5), ("mahua", 2.5)];

/// Half of the last decimal of a published figure.
const ROUNDED: f64 = 0.05;

#[test]
fn every_profile_calculates_to_a_saponification_value_in_the_published_range() {
    let library = library();
    let failures: Vec<String> = published()
        .iter()
        .filter_map(|row| {
            let fat = library.fat(&row.fat).expect("every published fat is in the library");
            fat.calculated_sv(&library.acids)?;
            let at = |u| fat.calculated_sv_at(Plain, &library.acids, u).expect("has a profile");
            let room = BESIDE.iter().find(|(id, _)| *id == row.fat).map_or(ROUNDED, |(_, room)| *room);
            misses(fat, at, (row.sv_min - room, row.sv_max + room))
        })
        .collect();
    assert!(failures.is_empty(), "saponification values:\n{}", failures.join("\n"));
}

#[test]
fn every_profile_calculates_to_an_iodine_value_in_the_published_range() {
    let library = library();
    let failures: Vec<String> = published()
        .iter()
        .filter_map(|row| {
            let fat = library.fat(&row.fat).expect("every published fat is in the library");
            fat.calculated_iv(&library.acids)?;
            let at = |u| fat.calculated_iv_at(Plain, &library.acids, u).expect("has a profile");
            misses(fat, at, (row.iv_min, row.iv_max))
        })
        .collect();
    assert!(failures.is_empty(), "iodine values:\n{}", failures.join("\n"));
}

#[test]
fn a_calculated_saponification_value_is_all_that_the_read_acids_allow() {
    /// What free acid and moisture add to it at each end, which is not part of the figure.
    const MOISTURE: f64 = 0.003;
    let library = library();
    let calculated: Vec<&Fat> =
        library.fats().iter().map(AsRef::as_ref).filter(|fat| fat.sv.trust == Trust::Calculated).collect();
    for fat in &calculated {
        let possible = fat.possible_sv().expect("a profile to calculate from");
        let (least, most) = (possible.min() / (1.0 - MOISTURE), possible.max() / (1.0 + MOISTURE));
        let said = fat.sv.value;
        let near = |a: f64, b: f64| (a - b).abs() <= ROUNDED + 1e-9;
        assert!(near(said.min(), least) && near(said.max(), most), "{}: {said:?}, not {least} to {most}", fat.id);
        for acid in fat.profile() {
            assert_ne!(acid.trust, Trust::FromMemory, "{}: all of its acids were read", fat.id);
        }
    }
    assert_eq!(calculated.len(), 7, "those whose value was remembered and whose profile was read");
}

#[test]
fn the_check_would_catch_a_misprinted_range() {
    let library = library();
    let fat = library.fat("evening_primrose").expect("in the library");
    let at = |u| fat.calculated_sv_at(Plain, &library.acids, u).expect("has a profile");
    assert!(misses(fat, at, (287.0, 288.6)).is_some(), "287.8 is the misprint of a reference book");
    assert!(!fat.accepts_sv(287.8, &library.acids), "and typing it is refused");
    assert!(fat.accepts_sv(188.0, &library.acids), "while an analysis of 188 is not");
}

#[test]
fn fats_without_a_profile_are_waxes_and_those_whose_acids_were_not_read() {
    let library = library();
    let without: Vec<_> = library.fats().iter().filter(|f| f.profile().is_empty()).map(|f| f.id.as_str()).collect();
    assert_eq!(without, ["beeswax", "lanolin", "castor_hydrogenated", "rosin"]);
    for id in without {
        let fat = library.fat(id).expect("just listed");
        assert_eq!(fat.calculated_sv(&library.acids), None, "{id} has nothing to calculate from");
        assert_eq!(fat.calculated_iv(&library.acids), None, "{id} has nothing to calculate from");
        let is_wax = fat.kind == FatKind::Wax;
        assert_eq!(is_wax, ["beeswax", "lanolin"].contains(&id), "{id}");
    }
}

#[test]
fn the_library_holds_the_published_fats_and_no_other_each_once() {
    let library = library();
    let expected: Vec<String> = published().into_iter().map(|r| r.fat).collect();
    let actual: Vec<String> = library.fats().iter().map(|f| f.id.to_string()).collect();
    assert_eq!(actual.iter().collect::<BTreeSet<_>>().len(), actual.len(), "every id once");
    assert_eq!(actual, expected, "the same ids in the same order");
}

#[test]
fn the_library_holds_the_published_ranges_unchanged() {
    let library = library();
    for row in published() {
        let fat = library.fat(&row.fat).expect("every published fat is in the library");
        let ends = |i: Interval| (i.min(), i.max());
        assert_eq!(ends(fat.sv.value), (row.sv_min, row.sv_max), "SV of {}", row.fat);
        let iv = fat.iv.as_ref().map(|iv| ends(iv.value));
        assert_eq!(iv, Some((row.iv_min, row.iv_max)), "IV of {}", row.fat);
    }
}

#[test]
fn every_profile_sums_to_100() {
    let library = library();
    for fat in library.fats().iter().filter(|f| !f.profile().is_empty()) {
        let sum: f64 = fat.profile().iter().map(|e| e.typical).sum();
        assert!((sum - 100.0).abs() < 0.005, "{}: sum {sum}, expected 100, error {:e}", fat.id, sum - 100.0);
        let (least, most) = fat.profile().iter().fold((0.0, 0.0), |(l, m), e| (l + e.range.min(), m + e.range.max()));
        let single = fat.profile().iter().any(|e| e.range.width() == 0.0);
        assert!(single || (least <= 100.0 && most >= 100.0), "{}: its ranges sum to {least}–{most}", fat.id);
    }
}

#[test]
fn every_typical_value_lies_in_its_range_or_near_its_single_figure() {
    for fat in library().fats() {
        for entry in fat.profile() {
            let (min, typical, max) = (entry.range.min(), entry.typical, entry.range.max());
            // Single figures need not sum to 100, so the typical value may leave them; those of
            // pumpkin seed, from several analyses, sum to 104.5 and are left by up to 16 %.
            let room = if entry.range.width() > 0.0 { 0.0 } else { f64::max(1.0, 0.2 * max) };
            assert!(
                min - room <= typical && typical <= max + room,
                "{}: typical {typical}, published {min}–{max}, allowed beyond {room}",
                fat.id
            );
        }
    }
}

/// Every figure of `fat` with its source and trust mark.
fn sources(fat: &Fat) -> Vec<(&'static str, &str, Trust)> {
    let mut all = vec![("SV", fat.sv.source.as_str(), fat.sv.trust)];
    all.extend(fat.iv.iter().map(|f| ("IV", f.source.as_str(), f.trust)));
    all.extend(fat.unsaponifiable.iter().map(|f| ("unsaponifiable", f.source.as_str(), f.trust)));
    all.extend(fat.relative_density.iter().map(|f| ("relative density", f.source.as_str(), f.trust)));
    all.extend(fat.profile().iter().map(|e| ("profile", e.source.as_str(), e.trust)));
    all
}

#[test]
fn every_figure_names_a_source_and_one_from_memory_is_marked_so() {
    for fat in library().fats() {
        for (figure, source, trust) in sources(fat) {
            assert!(!source.trim().is_empty(), "{}: {figure} names no source", fat.id);
            // "title and page from memory" speaks of the citation, not of the figure.
            let remembered = source.contains("from memory") && !source.contains("title and page from memory");
            assert!(
                !remembered || trust == Trust::FromMemory,
                "{}: {figure}: “{source}” is marked {}",
                fat.id,
                trust.words()
            );
        }
    }
}

#[test]
fn every_fat_floats_on_water_and_its_density_says_its_temperatures() {
    for fat in library().fats() {
        if let Some(density) = &fat.relative_density {
            let range = density.value.range();
            assert!(range.min() > 0.85 && range.max() < 1.0, "{}: {}–{}", fat.id, range.min(), range.max());
            assert!(!density.value.basis().is_empty(), "{}: a relative density without temperatures", fat.id);
        }
    }
}
