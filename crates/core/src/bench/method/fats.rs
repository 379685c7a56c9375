//! The fats, what goes into them before the lye, and how warm both are.

use super::{Bench, Item, Step, handled, listed, names, prepared};
use crate::bench::weighing::What;
use crate::cautions::Doing;
use crate::chemistry::jug::Reach;
use crate::design::MEET_MOST_C;
use crate::library::additions::Stage;
use crate::library::handling::{Clear, How};

/// From this part of the fats on, waxes and free acids set in a batter that is not kept warm (common practice,
/// no source).
const MUCH_WAX: f64 = 0.03;
/// The same of hard fats (our judgement: less stays dissolved in the others).
const MUCH_HARD: f64 = 0.15;

/// Whether lye or fats of `celsius` must not be used.
pub(super) fn is_too_hot(celsius: f64) -> bool {
    celsius > MEET_MOST_C
}

/// The steps at the pot.
pub(super) fn steps(bench: &Bench<'_>) -> Vec<Step> {
    let mut steps = Vec::new();
    let names_of = |solid: bool| listed(bench.fats.iter().filter(|f| f.is_solid == solid).map(|f| f.name));
    let whats = |solid: bool| bench.fats.iter().filter(move |f| f.is_solid == solid).map(|f| f.what);
    let melted = bench.at(Stage::IntoFats, |item| item.is(How::Melt));
    let liquid = names_of(false);
    let hard = listed(bench.fats.iter().filter(|f| f.is_solid).map(|f| f.name).chain(melted.iter().map(|i| i.name)));
    if !hard.is_empty() {
        let handles = whats(true).chain(melted.iter().map(|i| i.what)).collect();
        let text = format!("Melt gently, never left alone: {hard}. Take the pot off the heat.");
        steps.push(Step { text, handles, ..Step::default() });
    }
    if !liquid.is_empty() {
        let text = if hard.is_empty() {
            format!("Warm gently: {liquid}. Take the pot off the heat.")
        } else {
            format!("Stir in the liquid fats: {liquid}.")
        };
        steps.push(Step { text, handles: whats(false).collect(), ..Step::default() });
    }
    let stirred = bench.at(Stage::IntoFats, |item| item.addition.is_some() && !item.is(How::Melt));
    if !stirred.is_empty() {
        let text = format!("Stir into the fats until no lump is left: {}.", names(&stirred));
        steps.push(handled(&stirred, text));
    }
    scents(bench, &mut steps);
    let wet = bench.at(Stage::AtTrace, |item| item.is(How::Wet));
    if !wet.is_empty() {
        let text = format!("Take a ladle of the fats and stir smooth in it, for later: {}.", names(&wet));
        steps.push(prepared(&wet, text));
    }
    let strained = bench.at(Stage::AtTrace, |item| item.is(How::Strain));
    if !strained.is_empty() {
        let text = format!(
            "Beat with a little of the fats, hand-warm at the most, and strain, for later: {}.",
            names(&strained)
        );
        steps.push(prepared(&strained, text));
    }
    steps
}

fn scents(bench: &Bench<'_>, steps: &mut Vec<Step>) {
    for speeds_up in [true, false] {
        let scents = bench.at(Stage::IntoFats, |item| item.addition.is_none() && item.speeds_up == speeds_up);
        if scents.is_empty() {
            continue;
        }
        let why = if speeds_up { " Stirred in later, it can thicken the batter at once." } else { "" };
        steps.push(handled(&scents, format!("Stir into the fats, before the lye: {}.{why}", names(&scents))));
    }
}

/// The steps until lye and fats are as warm as they should be.
pub(super) fn temperatures(bench: &Bench<'_>) -> Vec<Step> {
    let (lye_c, fats_c) = (bench.design.process.mix_c.get(), bench.fats_c());
    if is_too_hot(lye_c.max(fats_c)) {
        let text = format!(
            "STOP: not at the {} planned. Over {} lye and fats burn, spit and boil over when they meet.",
            bench.temperature(lye_c.max(fats_c)),
            bench.temperature(MEET_MOST_C)
        );
        return vec![bench.minding(Doing::Fats, &text).into()];
    }
    let mut steps = vec![Step::from(met(bench, lye_c, fats_c))];
    let planned = lye_c.min(fats_c);
    for (names, clear) in threatening(bench) {
        let range = bench.temperatures(clear.celsius);
        let is_wax = clear.is_waxy();
        if planned < clear.celsius.min() {
            steps.push(
                format!(
                    "Below about {} this sets: {names}. Mix at {range}, warmer than the {} planned. Colder, it is the fat \
                     that sets and not soap that forms: false trace.",
                    bench.temperature(clear.celsius.min()),
                    bench.temperature(planned)
                )
                .into(),
            );
        } else if is_wax {
            steps.push(
                format!("Keep all at {range} until it is poured. Colder, this sets and only looks like trace (false trace): {names}.")
                .into(),
            );
        }
    }
    steps
}

/// How warm lye and fats are when they meet.
fn met(bench: &Bench<'_>, lye_c: f64, fats_c: f64) -> String {
    let (lye, fats) = (bench.temperature(lye_c), bench.temperature(fats_c));
    let jug = bench.evaluation.jug.as_ref();
    if jug.is_some_and(|jug| jug.ready == Some(Reach::NeverSoWarm)) {
        let peak = jug.and_then(|jug| jug.peak.ok());
        let peak = peak.map_or_else(String::new, |peak| format!(", about {}", bench.about_temperature(peak)));
        return format!(
            "Bring the fats to {fats}. The lye stays colder than the {lye} planned{peak}: use it so, and keep the fats so \
             warm that none of them sets. Measure both and note them."
        );
    }
    if lye == fats {
        return format!("Bring the fats to {fats}, as the lye; measure both and note them.");
    }
    format!("Bring the fats to {fats} and have the lye at {lye}; measure both and note them.")
}

/// What would set before there is soap, with what keeps it clear, the highest first; together what is kept clear by
/// the same.
fn threatening<'a>(bench: &Bench<'a>) -> Vec<(String, Clear)> {
    let fats = bench.evaluation.masses.fats.0;
    let added = |item: &Item<'a>| {
        let clear = bench.library.hard_fats.clear_addition(item.how()?)?;
        Some((item.name, item.mass.0 / fats, clear))
    };
    let items = bench.items.iter().filter(|item| item.stage.meets_lye() && matches!(item.what, What::Addition(_)));
    let of_fats = bench.fats.iter().filter_map(|f| Some((f.name, f.part, f.clear?)));
    let all = of_fats.chain(items.filter_map(added));
    let much = |clear: &Clear| if clear.is_waxy() { MUCH_WAX } else { MUCH_HARD };
    let mut found: Vec<(&str, Clear)> =
        all.filter(|(_, part, clear)| *part >= much(clear)).map(|(n, _, c)| (n, c)).collect();
    found.sort_by(|a, b| b.1.celsius.min().total_cmp(&a.1.celsius.min()));
    let alike = found.chunk_by(|a, b| a.1.celsius == b.1.celsius);
    alike.filter_map(|run| Some((listed(run.iter().map(|(name, _)| *name)), run.first()?.1))).collect()
}
