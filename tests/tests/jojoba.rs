//! Jojoba, a wax of esters, and a free acid beside it.
//!
//! Sources: a C42 wax ester of 606 g/mol (computed); the Merck Index entry of jojoba oil prints
//! a saponification value of 92.2 and an iodine value of 81.7 (public copies of the entry).

use barwright_acceptance::judged;
use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::chemistry::fatty_matter::{fatty_matter_per_gram, glycerol_per_gram};
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::formula::Plain;
use barwright_core::library::fats::{Fat, FatKind};
use barwright_core::units::Share;
use barwright_core::{Design, Library};
use std::sync::Arc;

fn library() -> Library {
    Library::embedded().expect("assets/data parses")
}

fn fat(library: &Library, id: &str) -> Arc<Fat> {
    Arc::clone(library.fat(id).expect("in the library"))
}

fn design(library: &Library, parts: &[(&str, f64)]) -> Design {
    let line = |&(id, share): &(&str, f64)| FatLine::new(fat(library, id), Share::new(share).expect("a share"));
    Design { blend: Blend::new(parts.iter().map(line).collect()).expect("no fat twice"), ..Design::default() }
}

#[test]
fn jojoba_calculates_to_a_saponification_value_of_92_58_and_an_iodine_value_of_83_8() {
    let library = library();
    let jojoba = fat(&library, "jojoba");
    assert_eq!(jojoba.kind, FatKind::WaxEster { molar_mass: 606.0 });
    assert_within("SV", jojoba.calculated_sv(&library.acids).expect("has a profile"), 92.58, 0.005);
    assert_within("IV", jojoba.calculated_iv(&library.acids).expect("has a profile"), 83.8, 0.05);
    assert_relative(
        "IV by formula",
        jojoba.calculated_iv(&library.acids).expect("has a profile"),
        2.0 * 253.808_94 / 606.0 * 100.0,
        1e-12,
    );
}

#[test]
fn the_alcohol_half_of_jojoba_does_not_lower_what_it_takes() {
    // Analysts weigh the fatty alcohols as unsaponifiable matter, 450–510 g/kg; the ester still
    // takes one equivalent a mole.
    let library = library();
    let jojoba = fat(&library, "jojoba");
    for unsaponifiable in [0.0, 0.45, 0.51] {
        let sv = jojoba.calculated_sv_at(Plain, &library.acids, unsaponifiable).expect("has a profile");
        assert_within(&format!("SV at unsaponifiable {unsaponifiable}"), sv, 56_105.0 / 606.0, 1e-9);
    }
}

#[test]
fn what_the_merck_index_prints_lies_in_the_published_ranges_and_near_the_calculated_value() {
    let library = library();
    let jojoba = fat(&library, "jojoba");
    assert!(jojoba.sv.value.contains(92.2), "92.2 in {:?}", jojoba.sv.value);
    let iv = jojoba.iv.as_ref().expect("published").value;
    assert!(iv.contains(81.7), "81.7 in {iv:?}");
    assert!(jojoba.accepts_sv(92.2, &library.acids), "it can be typed in");
    assert_relative("SV", jojoba.calculated_sv(&library.acids).expect("has a profile"), 92.2, 0.005);
}

#[test]
fn jojoba_gives_no_glycerol_and_counts_its_acid_half_as_fatty_matter() {
    let library = library();
    let jojoba = fat(&library, "jojoba");
    let sv = jojoba.sv.value.mid();
    assert_within("glycerol", glycerol_per_gram(Plain, jojoba.kind, sv), 0.0, 0.0);
    // Harmonic mean molar mass of the acids, from the profile.
    let parts = || jojoba.profile().iter().map(|e| (e.typical, library.acids.get(e.acid).molar_mass));
    let acid = parts().map(|(w, _)| w).sum::<f64>() / parts().map(|(w, m)| w / m).sum::<f64>();
    let matter = fatty_matter_per_gram(Plain, &jojoba, sv, &library.acids).expect("tabled");
    assert_relative("fatty matter per gram", matter, sv * acid / 56_105.0, 1e-12);
    // Half of a C42 ester: eicosenoic acid of 310.5 in 606 is 0.512.
    assert_within("fatty matter per gram", matter, 0.51, 0.02);

    let evaluation = judged(&design(&library, &[("jojoba", 100.0)]), &library);
    assert_within("glycerol of the batch", evaluation.masses.glycerol.0, 0.0, 0.0);
    let tfm = evaluation.chemistry.tfm_fresh.expect("tabled");
    assert_relative("TFM, %", tfm, 100.0 * 500.0 * matter / evaluation.masses.batter.0, 1e-12);
}

#[test]
fn a_free_acid_gives_no_glycerol_and_is_all_fatty_matter() {
    let library = library();
    let stearic = fat(&library, "stearic_acid_50");
    assert_eq!(stearic.kind, FatKind::FreeAcid);
    let sv = stearic.sv.value.mid();
    assert_within("glycerol", glycerol_per_gram(Plain, stearic.kind, sv), 0.0, 0.0);
    assert_within(
        "fatty matter",
        fatty_matter_per_gram(Plain, &stearic, sv, &library.acids).expect("tabled"),
        1.0,
        0.0,
    );
    let evaluation = judged(&design(&library, &[("stearic_acid_50", 100.0)]), &library);
    let tfm = evaluation.chemistry.tfm_fresh.expect("tabled");
    assert_relative("TFM, %", tfm, 100.0 * 500.0 / evaluation.masses.batter.0, 1e-12);
    assert_within("glycerol of the batch", evaluation.masses.glycerol.0, 0.0, 0.0);
}

#[test]
fn the_lye_counts_jojoba_by_its_published_value_not_the_calculated_one() {
    let library = library();
    let evaluation = judged(&design(&library, &[("jojoba", 100.0)]), &library);
    let naoh = 500.0 * 93.0 / 1000.0 * 39.997 / 56.105 * 0.95 / 0.99;
    assert_relative("NaOH, g", evaluation.masses.alkali.naoh.0, naoh, 1e-12);
}

#[test]
fn beeswax_and_lanolin_give_no_total_fatty_matter_but_still_count_in_the_lye() {
    let library = library();
    for id in ["beeswax", "lanolin"] {
        let wax = fat(&library, id);
        assert_eq!(fatty_matter_per_gram(Plain, &wax, wax.sv.value.mid(), &library.acids), None, "{id} is not tabled");
        let with = judged(&design(&library, &[("olive_virgin", 95.0), (id, 5.0)]), &library);
        assert_eq!(with.chemistry.tfm_fresh, None, "{id}");
        assert!(with.cautions.iter().any(|c| c.code == "tfm-unknown"), "{id}: what is not given is said");
        // The middle of what olive oil can have, 188.13 to 194.39 (`data/possible-sv.csv`).
        let olive = 475.0 * 191.26 / 1000.0;
        let naoh = (olive + 25.0 * wax.sv.value.mid() / 1000.0) * 39.997 / 56.105 * 0.95 / 0.99;
        assert_relative(&format!("NaOH with {id}, g"), with.masses.alkali.naoh.0, naoh, 1e-12);
    }
}
