//! The masses of a batch worked out once more by bare arithmetic.
//!
//! What is told is what is computed, so a wrong formula is told faithfully. Here stands what the numbers have to be,
//! written from the definitions and with none of the code of `chemistry`.

use super::*;
use crate::library::additions::{Amount, Stage};
use crate::library::fats::FatKind;

// Molar masses, g/mol (IUPAC 2021, rounded).
const NAOH: f64 = 39.997;
const KOH: f64 = 56.105;
const WATER: f64 = 18.015;
const GLYCEROL: f64 = 92.094;

fn weight(amount: Amount, fats: f64) -> f64 {
    match amount {
        Amount::PercentOfFats(percent) => fats * percent.get() / 100.0,
        Amount::Grams(grams) => grams.get(),
        Amount::GramsPerKgFats(grams) => fats * grams.get() / 1000.0,
    }
}

/// Masses by their keys, of a batch in which the fats would weigh `nominal` if their shares summed to 100 %.
fn masses(design: &Design, nominal: f64) -> Vec<(String, f64)> {
    let part = |percent: f64| percent / 100.0;
    let (mut fats, mut need, mut free_acid, mut glycerol) = (0.0, 0.0, 0.0, 0.0);
    let mut all = Vec::new();
    let held_back = part(design.superfat.get().max(0.0));
    for (i, line) in design.blend.lines().iter().enumerate() {
        let mass = nominal * part(line.share.get());
        let sv = line.supplier.map_or(line.fat.lye().mid(), |figure| figure.sv.get());
        let koh = mass * sv / 1000.0;
        fats += mass;
        need += koh;
        match line.fat.kind {
            FatKind::Triglyceride => glycerol += koh / KOH / 3.0 * GLYCEROL * (1.0 - held_back),
            FatKind::FreeAcid => free_acid += koh / KOH,
            FatKind::WaxEster { .. } | FatKind::Wax => {}
        }
        all.push((format!("fats.{i}.mass_g"), mass));
    }
    let (mut additions, mut scents, mut counted, mut uncounted) = (0.0, 0.0, 0.0, 0.0);
    let (mut fat, mut sugars, mut protons, mut in_jug) = (0.0, 0.0, 0.0, 0.0);
    for (i, line) in design.additions.iter().enumerate() {
        let (mass, holds) = (weight(line.amount, fats), line.addition.contents.value);
        let water = mass * part(holds.water.get());
        additions += mass;
        *(if line.counts_as_water { &mut counted } else { &mut uncounted }) += water;
        in_jug += if line.stage == Stage::IntoJug { water } else { 0.0 };
        all.extend([(format!("additions.{i}.mass_g"), mass), (format!("additions.{i}.water_g"), water)]);
        if line.stage != Stage::OnTop {
            fat += mass * part(holds.fat.get());
            sugars += mass * part(holds.sugars.map_or(0.0, Share::get));
            let acid = line.addition.acid.as_ref().map(|acid| &acid.value);
            let moles = |acid: &crate::library::additions::AddedAcid| {
                mass * part(acid.content.get()) / acid.molar_mass.get() * f64::from(acid.protons)
            };
            protons += acid.map_or(0.0, moles);
        }
    }
    for (i, line) in design.scents.iter().enumerate() {
        let mass = weight(line.amount, fats);
        scents += mass;
        all.push((format!("scents.{i}.mass_g"), mass));
    }
    let (of_koh, sodium) = (part(design.alkali.koh_share.get()), NAOH / KOH);
    let purities = [design.alkali.naoh_purity, design.alkali.koh_purity].map(|purity| part(purity.get()));
    let alkali = |koh: f64| (koh * (1.0 - of_koh) * sodium, koh * of_koh);
    let weighed = |(naoh, koh): (f64, f64)| (naoh / purities[0], koh / purities[1]);
    let pure = alkali(need * (1.0 - part(design.superfat.get())) + protons * KOH);
    let (naoh, koh) = weighed(pure);
    let for_acids = weighed(alkali(protons * KOH));
    let pure_sum = pure.0 + pure.1;
    let wanted = match design.water {
        WaterRule::LyeConcentration(percent) => pure_sum / part(percent.get()) - pure_sum,
        WaterRule::WaterToAlkali(ratio) => pure_sum * ratio.get(),
        WaterRule::PercentOfFats(percent) => fats * part(percent.get()),
    };
    let in_potash = koh - pure.1;
    let to_weigh = (wanted - counted - in_potash).max(0.0);
    let total = to_weigh + counted + in_potash;
    let batter = fats + naoh + koh + to_weigh + additions + scents;
    let made = (protons + free_acid * (1.0 - held_back)) * WATER;
    let bars = f64::from(design.size.own_bars().unwrap_or(design.bars).get());
    let free = if fats + fat > 0.0 { (fats * held_back + fat) / (fats + fat) } else { held_back };
    let mut add = |key: &str, value: f64| all.push((key.to_owned(), value));
    add("batch.fats_g", fats);
    add("batch.naoh_g", naoh);
    add("batch.koh_g", koh);
    add("batch.alkali_for_acids_g", for_acids.0 + for_acids.1);
    add("batch.water_total_g", total);
    add("batch.water_to_weigh_g", to_weigh);
    add("batch.water_uncounted_g", uncounted);
    add("batch.water_made_g", made);
    add("batch.additions_g", additions);
    add("batch.scents_g", scents);
    add("batch.lye_concentration_pct", 100.0 * pure_sum / (pure_sum + total));
    add("batch.superfat_pct", design.superfat.get());
    add("batch.free_fat_pct", 100.0 * free);
    add("batch.addition_fat_g", fat);
    add("batch.sugars_g", sugars);
    add("batch.batter_g", batter);
    add("batch.bars", bars);
    add("batch.bar_fresh_g", batter / bars);
    add("batch.glycerol_g", glycerol);
    add("jug.water_g", to_weigh + in_potash + in_jug);
    // Of a lye of 53 % potassium hydroxide 47 % are water; sodium hydroxide takes its own weight.
    add("jug.least_water_g", pure.0 + pure.1 * 47.0 / 53.0);
    all
}

#[test]
fn masses_are_those_that_bare_arithmetic_gives() {
    let library = library();
    for design in designs(&library) {
        let evaluation = evaluate(&design, &library);
        let about = About::new(&design, &evaluation, &library);
        let percent: f64 = design.blend.lines().iter().map(|line| line.share.get()).sum();
        let nominal = match design.size {
            Size::FatMass(mass) => mass.get(),
            // What is solved for has to fill what it is solved for, which is another test.
            _ if percent > 0.0 => 100.0 * evaluation.masses.fats.0 / percent,
            _ => 0.0,
        };
        let expected = masses(&design, nominal);
        for (key, by_hand) in &expected {
            let Ok(value) = entry(key, about).quantity.value(about) else { continue };
            let off = (value - by_hand).abs();
            assert!(off <= 1e-9 * by_hand.abs().max(1.0), "{key} of {}: {value}, by hand {by_hand}", design.name);
        }
        let is_there = |key: &str| expected.iter().any(|(known, _)| known == key);
        for (key, quantity) in crate::quantities::BATCH {
            let is_mass = key.ends_with("_g") && !["batch.frozen_g", "batch.bar_cured_g"].contains(key);
            assert!(!is_mass || is_there(key), "{key}, {quantity:?}, is not worked out by hand");
        }
        let size = evaluation.size_error.is_none().then(|| match design.size {
            Size::FatMass(mass) => (mass.get(), evaluation.masses.fats.0 * 100.0 / percent),
            Size::BarMass(mass) => (mass.get(), evaluation.masses.bar_fresh.0),
            Size::BarAtSale(mass) => {
                (mass.get(), evaluation.cure.map_or(0.0, |c| c.bar_at_sale(crate::formula::Plain).0))
            }
            Size::Mould { mould, fill } => (mould.volume_ml() * fill.get() / 100.0, evaluation.masses.batter_ml),
            Size::Volume { ml, fill } => (ml.get() * fill.get() / 100.0, evaluation.masses.batter_ml),
        });
        if let Some((asked, is)) = size.filter(|_| percent > 0.0) {
            assert!((asked - is).abs() < 1e-9 * asked, "{}: {is} where {asked} is asked", design.name);
        }
    }
}
