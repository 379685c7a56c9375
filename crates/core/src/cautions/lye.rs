//! What to mind about the alkali, its water and the jug.

use super::{Caution, Level};
use crate::additions::{AdditionLine, Stage};
use crate::batch::{Batch, PerGram, WaterSource, solve, water_of};
use crate::design::{Design, Process};
use crate::edit::Edit;
use crate::evaluate::Evaluation;
use crate::jug::{Jug, NoPeak, Reach};
use crate::number::{fixed, short};
use crate::solution::Beyond;
use crate::units::{Grams, Share, Superfat};
use crate::water;

/// The remedy that brings all water that counts to `water`, by the design's own kind of rule.
fn water_remedy(design: &Design, batch: &Batch, water: Grams) -> Option<(String, Edit)> {
    let more = water.0 > batch.water_total.0;
    let rule = water::rule_giving(design.water, water, batch.alkali.pure(), batch.fats)?;
    let change = water::total(rule, batch.alkali.pure(), batch.fats).0 - batch.water_total.0;
    if (change > 0.0) != more || change.abs() < 0.05 {
        return None;
    }
    let label = format!("Use {} g {} water", fixed(change.abs(), 1), if more { "more" } else { "less" });
    Some((label, Edit::Water(rule)))
}

/// Water that makes a lye of `percent` from `pure` alkali.
fn water_for(percent: f64, pure: Grams) -> Grams {
    pure * ((100.0 - percent) / percent)
}

fn with(caution: Caution, remedy: Option<(String, Edit)>) -> Caution {
    match remedy {
        Some((label, edit)) => caution.with_remedy(label, edit),
        None => caution,
    }
}

/// Percent of alkali in the jug above which lye is very strong, and in all water below which it
/// is thin (model).
const STRONG: f64 = 45.0;
const THIN: f64 = 22.0;
/// What remedies aim at: a jug that is easy to handle, and lye of a middling strength (common
/// practice, no source).
const EASY: f64 = 33.0;
const MIDDLE: f64 = 28.0;

/// Warns of the lye.
pub(super) fn warn(design: &Design, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let batch = &evaluation.batch;
    if batch.superfat <= 0.0 {
        let why = if batch.superfat < 0.0 {
            format!(
                "There is {} % more alkali than the fats can take: the bar would burn skin.",
                short(-batch.superfat, 2)
            )
        } else {
            "No alkali is held back: with natural fats about every second bar would be lye-heavy.".into()
        };
        let caution = Caution::new(
            "lye-heavy",
            Level::Stop,
            why,
            "Hold back some alkali; 5 % is usual (common practice, no source).",
        );
        cautions.push(caution.with_remedy("Set superfat to 5 %", Edit::Superfat(Superfat::nearest(5.0))));
    }
    if batch.water_excess.0 > 0.0 {
        cautions.push(too_much_water(design, evaluation));
    }
    let Some(jug) = &evaluation.jug else { return };
    let water = batch.water_in_jug;
    let shown = fixed(jug.concentration, 1);
    let pure = batch.alkali.pure();
    if jug.is_too_strong(batch) {
        cautions.push(too_strong(design, evaluation, jug));
    } else if jug.concentration > STRONG {
        let why =
            format!("At {shown} % the lye in the jug is very strong: it heats more and the batter thickens fast.");
        let more = water_for(EASY, pure) - water;
        let caution =
            Caution::new("concentration-high", Level::Care, why, "Use more water, or put more of it into the jug.");
        cautions.push(with(caution, water_remedy(design, batch, batch.water_total + more)));
    }
    let real = batch.water_total + batch.water_uncounted;
    if let Some(all) = water::concentration(pure, real).filter(|c| *c < THIN) {
        let why = format!(
            "At {} % the lye is thin, all water counted: the bar stays soft for long and shrinks as it dries.",
            fixed(all, 1)
        );
        // Only what is weighed can be left out, and the jug keeps enough to stay easy to handle.
        let spare = (water - water_for(EASY, pure)).0.min(batch.water_to_weigh.0);
        let wanted = (real - water_for(MIDDLE, pure)).0.min(spare);
        let remedy = (wanted > 0.0).then(|| water_remedy(design, batch, batch.water_total - Grams(wanted))).flatten();
        cautions.push(with(Caution::new("concentration-low", Level::Care, why, "Use less water."), remedy));
    }
    if let Some(below) = jug.crystallises_below.filter(|t| *t > design.process.room_c.get()) {
        let why = format!(
            "Lye of {shown} % begins to crystallise below about {} °C, and the room has {} °C.",
            fixed(below, 0),
            short(design.process.room_c.get(), 1),
        );
        let advice = "Keep it warmer than that, or use more water.";
        cautions.push(Caution::new("jug-crystallises", Level::Care, why, advice));
    }
    heat(design, jug, cautions);
}

/// More water comes in than the rule asks for. The remedy takes the addition that brings most of
/// it down to what fits; water and need are straight lines in its mass while the fats stay.
fn too_much_water(design: &Design, evaluation: &Evaluation) -> Caution {
    let batch = &evaluation.batch;
    let excess = fixed(batch.water_excess.0, 1);
    let counted = design.additions.iter().enumerate().filter(|(_, l)| l.counts_as_water);
    let largest = counted.max_by(|a, b| water_of(a.1, batch.fats).0.total_cmp(&water_of(b.1, batch.fats).0));
    let Some((index, line)) = largest.filter(|(_, l)| water_of(l, batch.fats).0 > 0.0) else {
        let why = format!("The potassium hydroxide alone brings {excess} g more water than this design asks for.");
        return Caution::new("water-not-reached", Level::Stop, why, "Ask for more water, or buy purer alkali.");
    };
    let why = format!("The additions bring {excess} g more water than this design asks for, so none can be weighed.");
    let name = &line.addition.name;
    let mass = line.amount.mass(batch.fats);
    let balance = |mass: Grams| {
        let mut other = design.clone();
        other.additions[index].amount = line.amount.with_mass(mass, batch.fats);
        let nominal = evaluation.fat_masses.iter().zip(design.blend.lines());
        let nominal = nominal.map(|(m, l)| m.0 / l.share.fraction()).find(|n| n.is_finite()).unwrap_or(0.0);
        let b = PerGram::of(&other).batch(&other, nominal);
        (b.water_to_weigh - b.water_excess).0
    };
    let (without, now) = (balance(Grams::ZERO), balance(mass));
    if without >= 0.0 && without > now {
        // Rounded down to what a scale shows, so that it surely fits.
        let fits = (mass.0 * without / (without - now) * 10.0).floor() / 10.0;
        let shown = fixed(fits, 1);
        let advice = format!("At most {shown} g of {name} fits, {} g less.", fixed(mass.0 - fits, 1));
        let line = AdditionLine { amount: line.amount.with_mass(Grams(fits), batch.fats), ..line.clone() };
        return Caution::new("water-not-reached", Level::Stop, why, advice)
            .with_remedy(format!("Use {shown} g of {name}"), Edit::SetAddition(index, line));
    }
    let advice = "Use less of several additions, or ask for as much water as they bring.";
    let caution = Caution::new("water-not-reached", Level::Stop, why, advice);
    let rule = water::rule_giving(design.water, batch.water_total, batch.alkali.pure(), batch.fats);
    with(caution, rule.map(|rule| ("Ask for the water that they bring".into(), Edit::Water(rule))))
}

/// The jug has not water enough. The remedy moves so much of a watery addition into it as is
/// missing, where there is one; else it thins the lye.
fn too_strong(design: &Design, evaluation: &Evaluation, jug: &Jug) -> Caution {
    let batch = &evaluation.batch;
    let missing = jug.least_water - batch.water_in_jug;
    let why = format!(
        "The alkali does not dissolve: it needs at least {} g of water in the jug, and there are {} g.",
        fixed(jug.least_water.0, 1),
        fixed(batch.water_in_jug.0, 1),
    );
    let outside = evaluation.water.iter().filter_map(|row| match row.source {
        // What lies on top stays there: its acid would take alkali too.
        WaterSource::Addition(i) if matches!(row.stage, Stage::IntoFats | Stage::AtTrace) => Some((i, row.mass)),
        _ => None,
    });
    let largest = outside.max_by(|a, b| a.1.0.total_cmp(&b.1.0));
    if let Some((index, mass)) = largest.and_then(|(i, water)| Some((i, moved(design, batch, i, water, missing)?))) {
        let name = &design.additions[index].addition.name;
        let label = format!("Move {} g of {name} into the jug", short(mass.0, 1));
        let advice = format!("{} g of water are missing; {name} holds them.", fixed(missing.0, 1));
        let edit = Edit::MoveAddition { index, mass, fats: batch.fats, to: Stage::IntoJug };
        return Caution::new("jug-too-strong", Level::Stop, why, advice).with_remedy(label, edit);
    }
    let more = water_for(EASY, batch.alkali.pure()) - batch.water_in_jug;
    let advice = format!("Use more water: at least {} g are missing.", fixed(missing.0, 1));
    let caution = Caution::new("jug-too-strong", Level::Stop, why, advice);
    with(caution, water_remedy(design, batch, batch.water_total + more))
}

/// How much of the addition at `index`, which brings `water`, must go into the jug so that the
/// alkali dissolves, in whole grams; `None` if all of it is not enough. In a mould the fats grow
/// as the lye gets thinner, so that more than the `missing` water may be needed.
fn moved(design: &Design, batch: &Batch, index: usize, water: Grams, missing: Grams) -> Option<Grams> {
    let all = design.additions[index].amount.mass(batch.fats);
    let mut wanted = missing;
    for _ in 0..20 {
        let mass = Grams((all.0 * wanted.0 / water.0).ceil().min(all.0));
        let mut next = design.clone();
        next.move_addition(index, mass, batch.fats, Stage::IntoJug).ok()?;
        let after = solve(&next, &PerGram::of(&next)).1;
        let jug = Jug::of(&next, &after)?;
        if !jug.is_too_strong(&after) {
            return Some(mass);
        }
        if mass >= all {
            return None;
        }
        wanted += (jug.least_water - after.water_in_jug) * 1.05;
    }
    None
}

/// Above this the jug steams and spits, °C (model).
const STEAMING: f64 = 90.0;
/// Above this it may boil over, °C (model).
pub(super) const BOILING: f64 = 110.0;

/// The caution about a jug that warms to `peak` °C, in words.
fn hot(process: &Process, peak: &str, level: Level) -> Caution {
    let why = format!("The jug may warm to {peak} °C while the alkali dissolves: it steams and can spit.");
    let advice = "Use a tall jug that stands the heat, add the alkali in small portions, and keep away from the steam.";
    let caution = Caution::new("jug-hot", level, why, advice);
    if level == Level::Note || process.jug_frozen.get() >= 50.0 {
        return caution;
    }
    let colder = Process { jug_frozen: Share::nearest(50.0), ..process.clone() };
    caution.with_remedy("Freeze half of the jug’s water", Edit::Process(colder))
}

fn heat(design: &Design, jug: &Jug, cautions: &mut Vec<Caution>) {
    let process = &design.process;
    match &jug.peak {
        Ok(peak) if *peak > STEAMING => {
            let level = if *peak > BOILING { Level::Care } else { Level::Note };
            cautions.push(hot(process, &format!("about {}", fixed(*peak, 0)), level));
        }
        Ok(_) => {}
        Err(NoPeak::Beyond(Beyond::Hotter { most })) => {
            cautions.push(hot(process, &format!("more than {}", fixed(*most, 0)), Level::Care));
        }
        Err(NoPeak::Beyond(beyond @ Beyond::Colder { .. })) => {
            let why = format!("No peak temperature is given: {beyond}.");
            let advice = "Use less ice: the alkali may not dissolve, and ice would go on into the batter.";
            cautions.push(Caution::new("jug-too-cold", Level::Care, why, advice));
        }
        Err(NoPeak::Beyond(beyond)) => {
            let why = format!("No peak temperature is given: {beyond}.");
            cautions.push(Caution::new("peak-unknown", Level::Note, why, "Expect the jug to steam and spit."));
        }
        Err(NoPeak::Potassium) => {
            let why = "The heat of potassium lye is not tabled here, so no peak temperature is given.";
            let level = if jug.concentration > 36.0 { Level::Care } else { Level::Note };
            let advice = "It gets hot like sodium lye: expect the jug to steam and spit.";
            cautions.push(Caution::new("peak-unknown", level, why, advice));
        }
    }
    if let Err(beyond) = &jug.density {
        let why = format!("The density of the lye is not given: {beyond}.");
        let advice = "Weigh the lye; do not measure it by volume.";
        cautions.push(Caution::new("lye-density-unknown", Level::Note, why, advice));
    }
    let mix = short(process.mix_c.get(), 1);
    match jug.ready {
        Some(Reach::NeverSoCold) => {
            let why = format!("The lye never cools to {mix} °C by itself: what it stands in is not colder.");
            let advice = "Mix warmer, or cool the jug in a colder bath.";
            cautions.push(Caution::new("mix-not-reached", Level::Note, why, advice));
        }
        Some(Reach::NeverSoWarm) => {
            let why = format!(
                "The jug gets no warmer than about {} °C and is to be used at {mix} °C.",
                jug.peak.map_or_else(|_| "–".into(), |p| fixed(p, 0))
            );
            let advice = "Warm it a little, use less ice, or keep the fats warm enough that none of them sets.";
            cautions.push(Caution::new("mix-not-reached", Level::Note, why, advice));
        }
        Some(Reach::After(_)) | None => {}
    }
}
