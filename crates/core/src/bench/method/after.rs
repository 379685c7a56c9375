//! From the filled mould to the bar that is tested: warmth, cutting, cure.

use super::{Bench, Step, names, show};
use crate::cautions::{Doing, is_cut_late};
use crate::chemistry::keeping::is_soft;
use crate::design::mould::Mould;
use crate::design::{OvenGel, Rest};
use crate::number::short;
use crate::units::{Interval, percent_of};

/// So many sugars, percent of the fats, can boil up in an oven (common practice, no source).
const SUGARS_BOIL: f64 = 1.0;
/// Above this share of the alkali potassium makes a paste, percent.
const PASTE: f64 = 50.0;

/// Whether the water boils out of the batter in it.
pub(super) fn is_too_hot(oven: OvenGel) -> bool {
    oven.oven_c.get() > OvenGel::MOST_C
}

/// How warm the filled mould is kept.
pub(super) fn warmth(bench: &Bench<'_>) -> Vec<Step> {
    let sugars = bench.evaluation.masses.sugars;
    let much = percent_of(sugars.0, bench.evaluation.masses.fats.0) >= SUGARS_BOIL;
    let sweet = names(&bench.warming());
    let sweet = if sweet.is_empty() { "its sugars".to_owned() } else { sweet };
    let Some(oven) = bench.design.process.oven_gel else {
        let text = match bench.design.process.rest {
            Rest::Insulated if much => format!(
                "Cover and insulate it, and look in: with {sweet} it warms by itself, and can crack or heave; uncover it if it \
                 does."
            ),
            Rest::Insulated => "Cover and insulate it overnight: it gels through and deepens in colour.".to_owned(),
            Rest::Cool => "Stand it in a cool place, with air around it, not insulated: it does not gel.".to_owned(),
            Rest::Room if bench.is_salt_bar() => {
                "Leave it in the room, uncovered: it warms and sets by itself within hours.".to_owned()
            }
            Rest::Room if much => {
                format!(
                    "Stand it cool and airy, not insulated: with {sweet} it warms by itself, and can crack or heave."
                )
            }
            Rest::Room => {
                "Leave it in the room; covered and insulated, it would gel through and deepen in colour.".to_owned()
            }
        };
        return vec![text.into()];
    };
    let (at, minutes) = (bench.temperature(oven.oven_c.get()), show::minutes(oven.minutes.get()));
    if is_too_hot(oven) {
        let usual = Interval::hull(OvenGel::USUAL_C)
            .map_or_else(String::new, |c| format!(" Usual are {}.", bench.temperatures(c)));
        let text = format!(
            "STOP: not into an oven of {at} for {minutes}. Over {} the water boils out of the caustic batter.{usual}",
            bench.temperature(OvenGel::MOST_C)
        );
        return vec![bench.minding(Doing::Oven, &text).into()];
    }
    let mut steps = vec![Step::from(format!(
        "Into the preheated oven at {at} for {minutes}, then turn it off and leave the soap in overnight. Door shut, a note on \
         the door, no food in it."
    ))];
    if much {
        let text = format!(
            "Stay by and look in: with {sweet} it can boil up. A tray under the mould; if it heaves, oven off."
        );
        steps.push(text.into());
    }
    steps
}

/// Where the knife goes, in words; `None` without a mould that is cut.
pub(super) fn cutting_lines(bench: &Bench<'_>) -> Option<String> {
    let (mould, bars) = bench.options.mould?;
    let (rows, columns) = mould.grid(bars);
    let (length, width) = match mould {
        Mould::Loaf(c) | Mould::Slab(c) => (c.length_mm.get(), c.width_mm.get()),
        Mould::Round { length_mm, .. } => (length_mm.get(), 0.0),
        Mould::Cavities { .. } => return None,
    };
    let along = line(bench, length, rows).map(|at| format!("Cut {at} from one end"));
    let across = line(bench, width, columns).map(|at| format!("{at} from one side"));
    match (along, across) {
        (None, None) => None,
        (Some(along), None) => Some(format!("{along}.")),
        (None, Some(across)) => Some(format!("Cut {across}.")),
        (Some(along), Some(across)) => Some(format!("{along}, and {across}.")),
    }
}

/// Where `length` is cut into `parts`, in words; `None` for one part.
fn line(bench: &Bench<'_>, length: f64, parts: u32) -> Option<String> {
    /// More cuts than these are told by their distance.
    const MANY: u32 = 16;
    let step = length / f64::from(parts.max(1));
    match parts {
        0 | 1 => None,
        2..=MANY => {
            let at: Vec<f64> = (1..parts).map(|i| step * f64::from(i)).collect();
            Some(format!("at {}", bench.lengths(&at)))
        }
        _ => Some(format!("every {}", bench.length(step))),
    }
}

fn is_paste(bench: &Bench<'_>) -> bool {
    bench.design.alkali.koh_share.get() > PASTE
}

/// Out of the mould, into bars.
pub(super) fn cut(bench: &Bench<'_>) -> Vec<Step> {
    let process = &bench.design.process;
    if is_paste(bench) {
        return vec![Step::from(
            "Gloves on. With so much potassium hydroxide it stays a paste: another process, no bars, nothing to cut.",
        )];
    }
    let planned = format!("{} h", short(process.cut_hours.get(), 1));
    let is_cast = bench.options.mould.is_some_and(|(mould, _)| mould.own_bars().is_some());
    let when = if process.is_cut_at_once() {
        format!("STOP: not after the {planned} planned. It is soft and caustic; wait until it is firm.")
    } else if is_cast {
        format!("Unmould {planned} after pouring, once it is firm all through; if it clings, chill the mould first.")
    } else if bench.is_salt_bar() {
        let when = if is_cut_late(bench.design, bench.evaluation) {
            format!("within hours, firm and still warm, not after the {planned} planned")
        } else {
            format!("about {planned} after pouring, firm and still warm")
        };
        format!("Cut {when}: cold, a salt bar crumbles under the knife.")
    } else if process.oven_gel.is_some_and(|oven| !is_too_hot(oven)) {
        format!("Unmould and cut {planned} after pouring; a loaf that gelled may be cut the next day.")
    } else if is_soft(bench.evaluation.composition.as_ref(), bench.library) {
        format!(
            "Unmould and cut {planned} after pouring or later: this blend stays soft for long, and wants to be firm first."
        )
    } else {
        format!("Unmould and cut {planned} after pouring, once it is firm and gives little.")
    };
    let mut steps = vec![Step::from(format!("Gloves on until the end of the cure. {when}"))];
    if let Some(lines) = cutting_lines(bench) {
        steps.push(lines.into());
    }
    let at = if is_cast { "bars" } else { "cut" };
    let brown = names(&bench.browning());
    let brown = if brown.is_empty() { brown } else { format!(" With {brown} it browns in time, no fault either.") };
    steps.push(
        format!(
            "Look at the {at}: no wet spots, no oil on top, no hard white crumbs. Liquid in a pocket may be lye: gloves on. A \
             ring of another colour is partial gel, no fault.{brown}"
        )
        .into(),
    );
    steps
}

/// How long and where the bars dry.
pub(super) fn cure(bench: &Bench<'_>) -> Vec<Step> {
    if is_paste(bench) {
        return Vec::new();
    }
    let days = bench.design.process.cure_days.get();
    let keeping = bench.keeping();
    let (usual, least) = (keeping.words(), keeping.least_days());
    let planned = format!("{} days are planned", short(days, 1));
    let longer = if days < least { " – give it longer" } else { "" };
    let stop = if bench.design.process.is_without_cure() { "STOP, not without a cure: " } else { "" };
    let mut steps = vec![
        Step::from(format!("{stop}{planned}; {usual}{longer}.")),
        "On paper or a rack, spaced, airy, dry, out of the sun; turn them. Out of reach of children: they are caustic still.".into(),
    ];
    // No bar of a stopped batch is ever ready.
    if !bench.options.is_stopped() {
        steps.push("Weigh a bar every week: it is ready for a label when its weight hardly falls any more.".into());
    }
    steps
}

/// What is tested before use.
pub(super) fn test(bench: &Bench<'_>) -> Vec<Step> {
    if bench.options.is_stopped() {
        return vec![Step::from(
            "STOP: a Stop stands against this batch. No test makes it fit for use: do not use it, do not give it away.",
        )];
    }
    let when = if is_paste(bench) { "Before use" } else { "At the end of the cure" };
    vec![
        format!(
            "{when}, and only if the weights were right and nothing weeps: wet a finger, rub the bar (not crystals, not wet spots), touch \
             the finger to the tip of the tongue. No sting as of a battery; rinse at once. Never a child."
        )
        .into(),
        "Or a drop of phenolphthalein (1 % in alcohol; classed as a carcinogen in the EU: gloves, keep it off skin) on a fresh \
         cut: no deep pink. Paper pH strips are unreliable on soap, and one colour right through is no test."
            .into(),
        "Wash your own hands first, then nobody else’s: no sting, no itching, no dryness that stays.".into(),
        "Cure ends: test, then use, give or sell.".into(),
    ]
}
