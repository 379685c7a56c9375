//! What to mind about the alkali, its water and the jug.

use super::{Caution, Level, about_celsius, celsius};
use crate::chemistry::jug::{Jug, NoPeak, Reach};
use crate::chemistry::margin::{Cause, LIKELY, LyeMargin};
use crate::chemistry::masses::{Masses, PerGram, WaterSource, water_of};
use crate::chemistry::rounding;
use crate::chemistry::size::solve;
use crate::chemistry::solution::Beyond;
use crate::chemistry::water;
use crate::design::edit::Edit;
use crate::design::{Design, Process};
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::library::additions::{AdditionKind, AdditionLine, Amount, Stage};
use crate::number::{fixed, short, significant};
use crate::units::{Grams, Measures, Share, Superfat, WaterRatio, in_percent};

/// The remedy that brings all water that counts to `water`, by the design's own kind of rule.
fn water_remedy(design: &Design, batch: &Masses, water: Grams) -> Option<(String, Edit)> {
    let more = water.0 > batch.water_total.0;
    let rule = water::rule_giving(design.water, water, batch.alkali.pure(), batch.fats)?;
    let change = water::total(Plain, rule, batch.alkali.pure(), batch.fats).0 - batch.water_total.0;
    if (change > 0.0) != more || change.abs() < 0.05 {
        return None;
    }
    let label = format!("Use {} g {} water", fixed(change.abs(), 1), if more { "more" } else { "less" });
    Some((label, Edit::Water(rule)))
}

/// Water that makes a lye of `percent` from `pure` alkali.
fn water_for(percent: f64, pure: Grams) -> Grams {
    pure * WaterRatio::from_concentration(percent)
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
/// What remedies aim at: a jug that is easy to handle, with more water or by moving what there
/// is, and lye of a middling strength (common practice, no source).
const EASY: f64 = 33.0;
const HANDY: f64 = 40.0;
const MIDDLE: f64 = 28.0;

/// The usual superfat, percent (common practice, no source).
const USUAL: f64 = 5.0;

/// The codes of what says that the bar is or may be lye-heavy by the design's own figures.
pub(super) const IS_HEAVY: [&str; 2] = ["lye-heavy", "lye-heavy-chance"];

/// Warns of the lye.
pub(super) fn warn(design: &Design, evaluation: &Evaluation, measures: Measures, cautions: &mut Vec<Caution>) {
    let batch = &evaluation.masses;
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
            "Weigh so much less alkali that a superfat results; 5 % is usual (common practice, no source).",
        );
        // What is usual, or more where the fats or the scale can use that up.
        let safe = evaluation.margin.as_ref().map_or(0.0, |margin| safe_superfat(design, margin)).max(USUAL);
        let remedy = Superfat::new(safe)
            .map(|superfat| (format!("Set superfat to {} %", short(safe, 1)), Edit::Superfat(superfat)));
        cautions.push(with(caution, remedy.ok()));
    }
    if batch.superfat > 0.0 {
        cautions.extend(may_be_lye_heavy(design, evaluation));
    }
    cautions.extend(coarse_scale(design, evaluation));
    cautions.extend(rounding(design, evaluation));
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
        let remedy = move_remedy(design, evaluation, water_for(STRONG, pure) - water).or_else(|| {
            let more = water_for(EASY, pure) - water;
            // More water would contradict the caution about too much of it.
            if batch.water_excess.0 > 0.0 { None } else { water_remedy(design, batch, batch.water_total + more) }
        });
        let advice = "Use more water, or put more of it into the jug.";
        cautions.push(with(Caution::new("concentration-high", Level::Care, why, advice), remedy));
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
            "Lye of {shown} % begins to crystallise below about {}, and the room has {}.",
            about_celsius(below, measures),
            celsius(design.process.room_c.get(), measures),
        );
        let advice = "Keep it warmer than that, or use more water.";
        cautions.push(Caution::new("jug-crystallises", Level::Care, why, advice));
    }
    heat(design, jug, measures, cautions);
    cold(evaluation, jug, measures, cautions);
}

/// A scale that cannot tell what is to be weighed from nothing.
fn coarse_scale(design: &Design, evaluation: &Evaluation) -> Option<Caution> {
    let division = design.scale_division.get();
    let fats = design.blend.lines().iter().map(|l| l.fat.name.as_str()).zip(evaluation.fat_masses.iter().copied());
    let alkali = &evaluation.masses.alkali;
    let alkalis = [("sodium hydroxide", alkali.naoh), ("potassium hydroxide", alkali.koh)];
    let weighed = fats.chain(alkalis).filter(|(_, mass)| mass.0 > 0.0);
    let (name, mass) = weighed.min_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
    (mass.0 < division).then(|| {
        let why = format!(
            "The scale weighs in steps of {} g, but there are only {} g of {name} to weigh.",
            short(division, 3),
            short(mass.0, 2)
        );
        Caution::new("scale-coarse", Level::Care, why, "Weigh on a finer scale, or make a larger batch.")
    })
}

/// A rounding that moves the superfat by more percent than this is told of (our choice).
const MUCH: f64 = 0.5;

/// What the scale's steps do to the superfat, where that is much.
fn rounding(design: &Design, evaluation: &Evaluation) -> Option<Caution> {
    let Evaluation { masses, fat_masses, addition_masses, .. } = evaluation;
    let weighed = rounding::superfat(design, masses, fat_masses, addition_masses)?;
    let planned = masses.superfat;
    let level = if weighed <= 0.0 && planned > 0.0 {
        Level::Stop
    } else if (weighed - planned).abs() > MUCH {
        Level::Care
    } else {
        return None;
    };
    let division = short(design.scale_division.get(), 6);
    let why = if weighed.is_finite() {
        let (planned, weighed) = (fixed(planned, 1), fixed(weighed, 1));
        format!("Rounding the weights to {division} g turns a superfat of {planned} % into {weighed} %.")
    } else {
        format!("Rounding the weights to {division} g leaves alkali and no fat.")
    };
    Some(Caution::new("rounding", level, why, "Use a finer scale or make more."))
}

/// The least superfat, to a tenth of a percent, that makes no bar lye-heavy with more than the accepted chance.
fn safe_superfat(design: &Design, margin: &LyeMargin) -> f64 {
    (margin.least_superfat(design.accepted_chance.fraction().min(LIKELY)) * 10.0).ceil() / 10.0
}

/// A planned superfat that the natural ranges of the fats can use up.
fn may_be_lye_heavy(design: &Design, evaluation: &Evaluation) -> Option<Caution> {
    let margin = evaluation.margin.as_ref()?;
    let accepted = design.accepted_chance.fraction();
    // Most designs are far from it, and the exact chance takes a while.
    if margin.chance_bound() <= accepted.min(LIKELY) {
        return None;
    }
    let chance = margin.chance_lye_heavy();
    if chance <= accepted && chance <= LIKELY {
        return None;
    }
    let level = if chance > LIKELY { Level::Stop } else { Level::Care };
    let why = format!(
        "The bar is lye-heavy with a chance of about {} %: what is planned to stay free can be used up by the natural ranges of the fats.",
        significant(in_percent(chance))
    );
    let least = safe_superfat(design, margin);
    let advice = match margin.drivers.first().map(|d| d.cause) {
        Some(Cause::SaponificationValue(i)) => {
            let fat = &design.blend.lines()[i].fat.name;
            format!("{fat} does most of it: ask for the supplier’s certificate, or hold back more alkali.")
        }
        Some(Cause::NaohPurity | Cause::KohPurity) => {
            "The purity of the alkali does most of it: read the tub for a narrower figure, or hold back more.".into()
        }
        Some(Cause::Scale) => {
            "The scale does most of it: weigh on a finer one, make a larger batch, or hold back more alkali.".into()
        }
        None => "Hold back more alkali.".into(),
    };
    let caution = Caution::new("lye-heavy-chance", level, why, advice);
    Some(match Superfat::new(least) {
        Ok(superfat) => caution.with_remedy(format!("Set superfat to {} %", short(least, 1)), Edit::Superfat(superfat)),
        Err(_) => caution,
    })
}

/// More water comes in than the rule asks for. The remedy takes the addition that brings most of
/// it down to what fits; water and need are straight lines in its mass while the fats stay.
fn too_much_water(design: &Design, evaluation: &Evaluation) -> Caution {
    let batch = &evaluation.masses;
    let excess = fixed(batch.water_excess.0, 1);
    let counted = design.additions.iter().enumerate().filter(|(_, l)| l.counts_as_water);
    let largest =
        counted.max_by(|a, b| water_of(Plain, a.1, batch.fats).0.total_cmp(&water_of(Plain, b.1, batch.fats).0));
    let Some((index, line)) = largest.filter(|(_, l)| water_of(Plain, l, batch.fats).0 > 0.0) else {
        let why = format!("The potassium hydroxide alone brings {excess} g more water than this design asks for.");
        return Caution::new("water-not-reached", Level::Care, why, "Ask for more water, or buy purer alkali.");
    };
    let why = format!("The additions bring {excess} g more water than this design asks for, so none can be weighed.");
    let name = &line.addition.name;
    let mass = line.amount.mass(batch.fats);
    if let Some((amount, fits)) = fitting(design, batch, index) {
        let shown = fixed(fits.0, 1);
        let advice = format!("At most {shown} g of {name} fits, {} g less.", fixed((mass - fits).0, 1));
        let line = AdditionLine { amount, ..line.clone() };
        return Caution::new("water-not-reached", Level::Care, why, advice)
            .with_remedy(format!("Use {shown} g of {name}"), Edit::SetAddition(index, line));
    }
    let advice = "Use less of several additions, or ask for as much water as they bring.";
    let caution = Caution::new("water-not-reached", Level::Care, why, advice);
    let rule = water::rule_giving(design.water, batch.water_total, batch.alkali.pure(), batch.fats);
    with(caution, rule.map(|rule| ("Ask for the water that they bring".into(), Edit::Water(rule))))
}

/// The most of the addition at `index` whose water fits while the others stay, with its mass then;
/// `None` if nothing of it does. Water and need are straight lines in its mass, so two batches say
/// where they meet; in a mould the fats change with it, and it is looked for again. Rounded down to
/// a tenth of a gram, so that it surely fits.
fn fitting(design: &Design, batch: &Masses, index: usize) -> Option<(Amount, Grams)> {
    let line = &design.additions[index];
    let per_gram = PerGram::of(Plain, design);
    let with_amount = |amount| {
        let mut next = design.clone();
        next.additions[index].amount = amount;
        per_gram.solve(Plain, &next).1
    };
    let balance = |b: &Masses| (b.water_to_weigh - b.water_excess).0;
    let without = balance(&with_amount(line.amount.with_mass(Grams::ZERO, batch.fats)));
    let mut now = *batch;
    let mut amount = line.amount;
    for _ in 0..20 {
        let mass = amount.mass(now.fats);
        let slope = without - balance(&now);
        if without <= 0.0 || slope <= 0.0 {
            return None;
        }
        let fits = Grams((mass.0 * without / slope * 10.0).floor() / 10.0);
        amount = line.amount.with_mass(fits, now.fats);
        now = with_amount(amount);
        if now.water_excess.0 <= 0.0 {
            return Some((amount, amount.mass(now.fats)));
        }
    }
    None
}

/// The jug has not water enough. The remedy moves so much of a watery addition into it as is
/// missing, where there is one; else it thins the lye.
fn too_strong(design: &Design, evaluation: &Evaluation, jug: &Jug) -> Caution {
    let batch = &evaluation.masses;
    let missing = jug.least_water - batch.water_in_jug;
    let why = format!(
        "The alkali does not dissolve: it needs at least {} g of water in the jug, and there are {} g.",
        fixed(jug.least_water.0, 1),
        fixed(batch.water_in_jug.0, 1),
    );
    let caution = |advice: String| Caution::new("jug-too-strong", Level::Stop, why.clone(), advice);
    let advice = format!("{} g of water are missing in the jug.", fixed(missing.0, 1));
    if let Some(remedy) = move_remedy(design, evaluation, missing) {
        return with(caution(advice), Some(remedy));
    }
    if batch.water_excess.0 > 0.0 {
        // More water would contradict the caution about too much of it.
        return caution(format!("{advice} Put more of the watery additions into the jug."));
    }
    let more = water_for(EASY, batch.alkali.pure()) - batch.water_in_jug;
    with(caution(advice), water_remedy(design, batch, batch.water_total + more))
}

/// The remedy that moves so much of the wateriest addition outside the jug into it that the
/// alkali dissolves, and if there is enough of it so much that the lye is easy to handle; `None`
/// if no addition can give the `missing` water. What the trade keeps out of the lye stays out.
fn move_remedy(design: &Design, evaluation: &Evaluation, missing: Grams) -> Option<(String, Edit)> {
    let batch = &evaluation.masses;
    let suits = |i: usize| {
        let addition = &design.additions[i].addition;
        addition.usual_stage == Stage::IntoJug || addition.kind == AdditionKind::Puree
    };
    let outside = evaluation.water.iter().filter_map(|row| match row.source {
        // What lies on top stays there: its acid would take alkali too.
        WaterSource::Addition(i) if matches!(row.stage, Stage::IntoFats | Stage::AtTrace) && suits(i) => {
            Some((i, row.mass))
        }
        _ => None,
    });
    let (index, water) = outside.max_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
    let easy = water_for(HANDY, batch.alkali.pure()) - batch.water_in_jug;
    let wanted = if easy > missing && easy <= water { easy } else { missing };
    let mass = moved(design, batch, index, water, wanted)?;
    let name = &design.additions[index].addition.name;
    let label = format!("Move {} g of {name} into the jug", short(mass.0, 1));
    Some((label, Edit::MoveAddition { index, mass, fats: batch.fats, to: Stage::IntoJug }))
}

/// How much of the addition at `index`, which brings `water`, must go into the jug so that the
/// alkali dissolves, in whole grams; `None` if all of it is not enough. In a mould the fats grow
/// as the lye gets thinner, so that more than the `missing` water may be needed.
fn moved(design: &Design, batch: &Masses, index: usize, water: Grams, missing: Grams) -> Option<Grams> {
    let all = design.additions[index].amount.mass(batch.fats);
    let mut wanted = missing;
    for _ in 0..20 {
        let mass = Grams((all.0 * wanted.0 / water.0).ceil().min(all.0));
        let mut next = design.clone();
        next.move_addition(index, mass, batch.fats, Stage::IntoJug).ok()?;
        let after = solve(Plain, &next).1;
        let jug = Jug::of(Plain, &next, &after)?;
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
/// What is done about it.
const STEAMS_ADVICE: &str =
    "Use a tall jug that stands the heat, add the alkali in small portions, and keep away from the steam.";

/// What every maker of hot lye must know of it: it stands beside the jug's numbers, not among the cautions, since
/// nearly every jug gets so hot. `None` for one that stays cool.
pub fn usual_heat(jug: &Jug) -> Option<String> {
    let stays_cool = jug.peak.is_ok_and(|peak| peak <= STEAMING);
    (!stays_cool).then(|| format!("It steams and can spit. {STEAMS_ADVICE}"))
}

/// Above this a jug is hotter than is usual for the trade, °C (common practice, no source: up to 100–116 °C).
pub(super) const USUAL_MOST: f64 = 116.0;

/// The caution about a jug that warms to `peak` °C, in words.
fn hot(process: &Process, peak: &str) -> Caution {
    let why = format!(
        "The jug may warm to {peak} while the alkali dissolves, more than is usual: it steams, spits and can boil over."
    );
    let caution = Caution::new("jug-hot", Level::Care, why, STEAMS_ADVICE);
    if process.jug_frozen.get() >= 50.0 {
        return caution;
    }
    let colder = Process { jug_frozen: Share::nearest(50.0), ..process.clone() };
    caution.with_remedy("Freeze half of the jug’s water", Edit::Process(colder))
}

fn heat(design: &Design, jug: &Jug, measures: Measures, cautions: &mut Vec<Caution>) {
    let process = &design.process;
    match &jug.peak {
        Ok(peak) if *peak > USUAL_MOST => {
            cautions.push(hot(process, &format!("about {}", about_celsius(*peak, measures))));
        }
        Ok(_) => {}
        Err(NoPeak::Beyond(Beyond::Hotter { most })) => {
            cautions.push(hot(process, &format!("more than {}", about_celsius(*most, measures))));
        }
        Err(NoPeak::Beyond(Beyond::Temperature { celsius, most, .. })) if celsius > most => {
            cautions.push(hot(process, &format!("more than {}", about_celsius(*most, measures))));
        }
        Err(NoPeak::Beyond(beyond @ Beyond::Colder { .. })) => {
            let why = format!("No peak temperature is given: {beyond}.");
            let advice = if design.process.jug_frozen.get() > 0.0 {
                "Use less ice: the alkali may not dissolve, and ice would go on into the batter."
            } else {
                "Put less of what goes in frozen into the jug, or use less water: the alkali may not dissolve, and ice \
                 would go on into the batter."
            };
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
    let mix = celsius(process.mix_c.get(), measures);
    if jug.meeting.is_none() && jug.peak.is_ok() {
        let why = format!("The temperature when lye and fats meet is not given: lye of {mix} was not measured.");
        cautions.push(Caution::new("meeting-unknown", Level::Note, why, "Mix warmer."));
    }
    match jug.ready {
        Some(Reach::NeverSoCold) => {
            let why = format!("The lye never cools to {mix} by itself: what it stands in is not colder.");
            let advice = "Mix warmer, or cool the jug in a colder bath.";
            cautions.push(Caution::new("mix-not-reached", Level::Note, why, advice));
        }
        Some(Reach::NeverSoWarm) => {
            let why = format!(
                "The jug gets no warmer than about {} and is to be used at {mix}.",
                jug.peak.map_or_else(|_| "–".into(), |p| about_celsius(p, measures))
            );
            let advice = "Use it so, and keep the fats warm enough that none of them sets.";
            cautions.push(Caution::new("mix-not-reached", Level::Note, why, advice));
        }
        Some(Reach::After(_)) | None => {}
    }
}

/// Lye and fats that meet below the titre: the acids' setting point, near which hard fats set too.
fn cold(evaluation: &Evaluation, jug: &Jug, measures: Measures, cautions: &mut Vec<Caution>) {
    let (Some(meeting), Some(titre)) = (jug.meeting, evaluation.chemistry.titre) else { return };
    if meeting < titre {
        let level = if meeting < titre - 8.0 { Level::Care } else { Level::Note };
        let why = format!(
            "Lye and fats meet at about {} and the blend’s acids set at about {}: hard fats may set and look like trace.",
            about_celsius(meeting, measures),
            about_celsius(titre, measures)
        );
        cautions.push(Caution::new("meeting-cold", level, why, "Mix warmer, or use warmer fats."));
    }
}
