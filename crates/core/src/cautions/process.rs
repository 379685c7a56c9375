//! What to mind about temperatures and times (common practice, no source).

use super::{Caution, Level};
use crate::chemistry::keeping::Keeping;
use crate::chemistry::masses::is_salt_bar;
use crate::design::edit::Edit;
use crate::design::{Design, MEET_MOST_C, OvenGel, Process, Surroundings, day_of};
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::number::{fixed, short};
use crate::units::{Celsius, Days, Hours, Measures, Minutes};

/// Above the first it is to be minded, above the second it is stopped, °C.
const JUG_WATER: [f64; 2] = [35.0, 50.0];
const MEETING: [f64; 2] = [60.0, MEET_MOST_C];
const OVEN: [f64; 2] = [80.0, OvenGel::MOST_C];
/// So warm lye and fats may meet where the blend sets early.
const MEETING_OF_HARD: f64 = 75.0;
/// Minutes in the oven above which they are to be minded.
const LONG_IN_OVEN: f64 = 120.0;
/// Sugars, g per kg of fats, from which on the batter can boil up in the oven.
const SWEET: f64 = 10.0;
/// The shortest times that are usual: hours in the mould, days of cure.
const SHORT_CUT: f64 = 12.0;
const SHORT_CURE: f64 = 14.0;
/// When salt bars are cut, hours.
const SALT_CUT: f64 = 4.0;

/// How `celsius` weighs against limits for care and for a Stop.
fn level(celsius: f64, [care, stop]: [f64; 2]) -> Option<Level> {
    if celsius > stop {
        Some(Level::Stop)
    } else if celsius > care {
        Some(Level::Care)
    } else {
        None
    }
}

/// Warns of temperatures and times.
pub(super) fn warn(
    design: &Design,
    evaluation: &Evaluation,
    library: &Library,
    measures: Measures,
    cautions: &mut Vec<Caution>,
) {
    let process = &design.process;
    cautions.extend(jug_water(process, measures));
    cautions.extend(jug_stands(process, measures));
    cautions.extend(meeting(design, library, measures));
    if let Some(oven) = process.oven_gel {
        self::oven(process, oven, evaluation, measures, cautions);
    }
    cautions.extend(cut(design, evaluation));
    cautions.extend(cure(design, evaluation, library));
    if let Some(text) = process.made_on.as_deref().filter(|text| !text.trim().is_empty() && day_of(text).is_none()) {
        let text: String = text.chars().take(40).collect();
        let why = format!("“{text}” is no day, so there is no day of making.");
        let caution = Caution::new("day-unreadable", Level::Care, why, "Write it as 2026-03-14.");
        cautions.push(caution.with_remedy("Take it out", Edit::Process(Process { made_on: None, ..process.clone() })));
    }
}

fn jug_water(process: &Process, measures: Measures) -> Option<Caution> {
    let celsius = process.jug_water_c.unwrap_or(process.room_c).get();
    let level = level(celsius, JUG_WATER)?;
    let why = format!(
        "The jug’s water has {} before the alkali goes in: dissolving heats it by as much as ever, and it can boil and spit \
         at once.",
        super::celsius(celsius, measures)
    );
    let cool = Process { jug_water_c: Some(Celsius::nearest(20.0)), ..process.clone() };
    let caution = Caution::new("jug-water-hot", level, why, "Begin with cold water.");
    Some(caution.with_remedy(format!("Take water of {}", super::celsius(20.0, measures)), Edit::Process(cool)))
}

/// A jug that is to cool in what is hotter than its water.
fn jug_stands(process: &Process, measures: Measures) -> Option<Caution> {
    let (what, celsius) = match process.jug_stands {
        Surroundings::Bath(celsius) => ("water", celsius.get()),
        Surroundings::Air => ("air", process.room_c.get()),
    };
    // Water that is as hot is told of already.
    let water = process.jug_water_c.unwrap_or(process.room_c).get();
    let level = level(celsius, JUG_WATER).filter(|_| celsius > water)?;
    let why = format!(
        "The jug stands in {what} of {}: the lye stays hot in it, and can boil.",
        super::celsius(celsius, measures)
    );
    let cool = Process { jug_stands: Surroundings::Bath(Celsius::nearest(10.0)), ..process.clone() };
    let caution = Caution::new("jug-stands-hot", level, why, "Let it cool in cold water.");
    Some(caution.with_remedy(format!("Stand it in water of {}", super::celsius(10.0, measures)), Edit::Process(cool)))
}

fn meeting(design: &Design, library: &Library, measures: Measures) -> Vec<Caution> {
    let process = &design.process;
    let sets_early = |fat| library.hard_fats.clear(fat).is_some_and(|clear| clear.sets_early());
    let is_hard = design.blend.lines().iter().any(|l| l.share.get() > 0.0 && sets_early(&l.fat));
    let limits = if is_hard { [MEETING_OF_HARD, MEETING[1]] } else { MEETING };
    let hot = |code, what: &str, celsius: Celsius| {
        let level = level(celsius.get(), limits)?;
        let why = format!(
            "{what} {} when they meet; more than {} is unusual for this blend: the batter can boil up and burns.",
            super::celsius(celsius.get(), measures),
            super::celsius(limits[0], measures)
        );
        Some(Caution::new(code, level, why, "Let it cool first."))
    };
    let lye = if process.fats_c.is_some() { "The lye has" } else { "Lye and fats have" };
    let lye = hot("lye-hot", lye, process.mix_c);
    lye.into_iter().chain(process.fats_c.and_then(|c| hot("fats-hot", "The fats have", c))).collect()
}

fn oven(process: &Process, oven: OvenGel, evaluation: &Evaluation, measures: Measures, cautions: &mut Vec<Caution>) {
    let (celsius, minutes) = (oven.oven_c.get(), oven.minutes.get());
    let milder = |oven_c: f64, minutes: f64| {
        let oven = OvenGel { oven_c: Celsius::nearest(oven_c), minutes: Minutes::nearest(minutes) };
        Edit::Process(Process { oven_gel: Some(oven), ..process.clone() })
    };
    let shown = super::celsius(celsius, measures);
    if let Some(level) = level(celsius, OVEN) {
        let why = if level == Level::Stop {
            format!("In an oven of {shown} the water in the caustic batter boils out of the mould.")
        } else {
            format!("An oven of {shown} is hotter than is usual: the batter can heave over the mould.")
        };
        let [from, to] = OvenGel::USUAL_C;
        let advice = format!("{} for 30 to 60 minutes are usual.", super::celsius_to(from, to, measures));
        let caution = Caution::new("oven-hot", level, why, advice);
        let set = format!("Set {}", super::celsius(70.0, measures));
        cautions.push(caution.with_remedy(set, milder(70.0, minutes)));
    }
    if minutes > LONG_IN_OVEN {
        let why = format!("{} minutes in the oven are long: the loaf can crack, heave or dry out.", short(minutes, 1));
        let caution =
            Caution::new("oven-long", Level::Care, why, "30 to 60 minutes are usual; then leave it in to cool.");
        cautions.push(caution.with_remedy("Set 60 minutes", milder(celsius, 60.0)));
    }
    let batch = &evaluation.masses;
    let per_kg = 1000.0 * batch.sugars.0 / batch.fats.0;
    if per_kg >= SWEET {
        let why = format!(
            "{} g of sugars per kg of fats warm the batter by themselves: in the oven it can boil up.",
            fixed(per_kg, 0)
        );
        let caution = Caution::new("oven-sugar", Level::Care, why, "Leave the oven out, and keep the mould cool.");
        cautions.push(caution.with_remedy("No oven", Edit::Process(Process { oven_gel: None, ..process.clone() })));
    }
}

/// Whether salt bars are to be cut when they are cold and crumble; a mould with a cavity for each is not cut.
pub fn is_cut_late(design: &Design, evaluation: &Evaluation) -> bool {
    design.process.cut_hours.get() > SHORT_CUT
        && is_salt_bar(design, &evaluation.addition_masses, evaluation.masses.fats)
        && design.size.own_bars().is_none()
}

fn cut(design: &Design, evaluation: &Evaluation) -> Option<Caution> {
    let hours = design.process.cut_hours.get();
    if is_cut_late(design, evaluation) {
        let why = format!(
            "The salt bars are cut {} hours after pouring: cold, they crumble under the knife.",
            short(hours, 1)
        );
        let warm = Process { cut_hours: Hours::nearest(SALT_CUT), ..design.process.clone() };
        let caution =
            Caution::new("cut-late", Level::Care, why, "Cut them within hours, firm and still warm; gloves on.");
        return Some(caution.with_remedy(format!("Cut after {} hours", short(SALT_CUT, 1)), Edit::Process(warm)));
    }
    let level = if design.process.is_cut_at_once() {
        Level::Stop
    } else if hours < SHORT_CUT && !is_salt_bar(design, &evaluation.addition_masses, evaluation.masses.fats) {
        Level::Care
    } else {
        return None;
    };
    let why = format!("The soap is cut {} hours after pouring, when it is soft and most caustic.", short(hours, 1));
    let later = Process { cut_hours: Hours::nearest(48.0), ..design.process.clone() };
    let caution = Caution::new("cut-soon", level, why, "Wait a day or two; gloves on.");
    Some(caution.with_remedy("Cut after 48 hours", Edit::Process(later)))
}

fn cure(design: &Design, evaluation: &Evaluation, library: &Library) -> Option<Caution> {
    let process = &design.process;
    let days = process.cure_days.get();
    let masses = (evaluation.addition_masses.as_slice(), evaluation.masses.fats);
    let usual = Keeping::of(design, masses, evaluation.composition.as_ref(), library);
    let cured = |days: f64| Edit::Process(Process { cure_days: Days::nearest(days), ..process.clone() });
    let least = usual.least_days();
    let to_usual = format!("Cure for {} days", short(least, 0));
    if (SHORT_CURE..least).contains(&days) {
        let why = format!("The bars cure for {} days; {}.", short(days, 1), usual.words());
        let caution = Caution::new("cure-not-usual", Level::Note, why, "Younger, they are softer and wear faster.");
        return Some(caution.with_remedy(to_usual, cured(least)));
    }
    let level = if process.is_without_cure() {
        Level::Stop
    } else if days < SHORT_CURE {
        Level::Care
    } else {
        return None;
    };
    let why = format!("The bars cure for {} days: they are still wet, and may still hold free alkali.", short(days, 1));
    let advice = format!("{}.", usual.words());
    Some(Caution::new("cure-short", level, why, advice).with_remedy(to_usual, cured(least)))
}
