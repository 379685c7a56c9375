//! The lye: what is in the jug before the alkali, and in what form.

use super::{Bench, Item, handled, names, show};
use crate::bench::weighing::What;
use crate::cautions::Doing;
use crate::chemistry::jug::{Reach, frozen_water};
use crate::chemistry::rounding::as_told;
use crate::design::{Design, Surroundings};
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::library::additions::Stage;
use crate::library::handling::How;
use crate::units::Grams;

/// Frozen water, in a sentence.
pub(super) const ICE: &str = "ice";
/// A jug that stays colder hardly steams, °C (our judgement).
const STEAMS: f64 = 60.0;
/// Less liquid than this does not count as liquid, g.
const A_DROP: f64 = 0.5;

/// What the jug holds, sorted by how it goes in.
pub(super) struct Jug<'a> {
    /// The water to weigh.
    pub(super) water: Grams,
    /// Of that, frozen beforehand.
    pub(super) ice: Grams,
    /// Liquids that stand lye.
    pub(super) liquids: Vec<Item<'a>>,
    /// Whether of those a part, or all, is frozen beforehand.
    pub(super) frozen_liquids: Frozen,
    /// What is frozen because lye scorches it.
    pub(super) frozen: Vec<Item<'a>>,
    /// What dissolves before the alkali.
    pub(super) dissolved: Vec<Item<'a>>,
    /// What waits until the lye has cooled.
    pub(super) after_cooling: Vec<Item<'a>>,
    /// What the design has in the jug and what does not belong there.
    pub(super) kept_out: Vec<Item<'a>>,
}

/// What the jug holds when the alkali comes.
#[derive(Debug, Clone, PartialEq)]
pub struct InJug {
    /// Water that is weighed, liquid.
    pub liquid: Grams,
    /// The same, frozen beforehand.
    pub ice: Grams,
    /// Whether other liquids are there.
    pub has_others: bool,
    /// What else is there in frozen pieces, in words; empty if nothing is.
    pub frozen: String,
}

/// How much of the jug's liquids besides water is frozen beforehand.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Frozen {
    /// Nothing.
    Nothing,
    /// So much of their water.
    Part(Grams),
    /// All.
    All,
}

impl<'a> Jug<'a> {
    pub(super) fn of(design: &Design, evaluation: &Evaluation, items: &[Item<'a>]) -> Self {
        let batch = &evaluation.masses;
        let water_of = |item: &Item<'_>| item.mass.0 * item.addition.map_or(0.0, |a| a.contents.value.water.fraction());
        let sum = |items: &[Item<'_>]| items.iter().map(water_of).sum::<f64>();
        // The parts are what the scale shows, and so they add up to the whole.
        let weighed = |mass| as_told(mass, design.scale_division);
        let mut jug = Self {
            water: weighed(batch.water_to_weigh),
            ice: Grams::ZERO,
            liquids: Vec::new(),
            frozen_liquids: Frozen::Nothing,
            frozen: Vec::new(),
            dissolved: Vec::new(),
            after_cooling: Vec::new(),
            kept_out: Vec::new(),
        };
        let mut solids = Vec::new();
        for item in items.iter().filter(|item| item.stage == Stage::IntoJug) {
            let list = match item.how() {
                Some(How::Dissolve) => &mut solids,
                Some(How::StirIn) => &mut jug.liquids,
                Some(How::Freeze) => &mut jug.frozen,
                Some(How::AfterCooling) => &mut jug.after_cooling,
                Some(How::Melt | How::Wet | How::Strain | How::Scatter) | None => &mut jug.kept_out,
            };
            list.push(*item);
        }
        // The design says how much of the jug's water is frozen. What lye scorches is frozen in any case;
        // what is more is ice, and then of the other liquids.
        let frozen = frozen_water(Plain, design, batch).0;
        let ice = Some(frozen - sum(&jug.frozen)).filter(|ice| *ice > A_DROP).unwrap_or_default();
        jug.ice = weighed(Grams(ice.min(batch.water_to_weigh.0)));
        let (more, liquid) = ((ice - batch.water_to_weigh.0).max(0.0), sum(&jug.liquids));
        let whole = design.process.jug_frozen.get() >= 100.0;
        // All of it is frozen, be it without water, as glacial acetic acid.
        let all = whole && !jug.liquids.is_empty();
        if all || liquid > 0.0 && more > A_DROP {
            let all = all || more >= liquid - A_DROP;
            jug.frozen_liquids = if all { Frozen::All } else { Frozen::Part(Grams(more)) };
        }
        let water = batch.water_to_weigh.0 + sum(&jug.liquids) + sum(&jug.frozen);
        for item in solids {
            let handling = item.addition.map(crate::library::additions::Addition::handling);
            let much = handling.is_some_and(|h| h.warms && item.mass > h.usual_in(batch.fats));
            if handling.is_some_and(|h| !h.fits_in_jug(item.mass, Grams(water))) {
                jug.kept_out.push(item);
            } else if much {
                jug.after_cooling.push(item);
            } else {
                jug.dissolved.push(item);
            }
        }
        jug
    }

    /// The water that is liquid when the alkali comes.
    fn liquid_water(&self) -> Grams {
        self.water - self.ice
    }

    /// Whether any liquid is there when the alkali comes.
    pub(super) fn has_liquid(&self) -> bool {
        self.liquid_water().0 > A_DROP || (!self.liquids.is_empty() && self.frozen_liquids != Frozen::All)
    }

    /// What besides ice is there in frozen pieces.
    fn frozen_items(&self) -> impl Iterator<Item = &'a str> {
        let own = if self.frozen_liquids == Frozen::All { self.liquids.as_slice() } else { &[] };
        self.frozen.iter().chain(own).map(|item| item.name)
    }

    /// What is there in frozen pieces, in words; empty if nothing is.
    pub(super) fn frozen_names(&self) -> String {
        super::listed(self.frozen_items().chain((self.ice.0 > 0.0).then_some(ICE)))
    }

    /// What it holds, for who only tells of it.
    pub(super) fn told(&self) -> InJug {
        let liquid = self.liquid_water();
        InJug {
            liquid: if liquid.0 > A_DROP { liquid } else { Grams::ZERO },
            ice: self.ice,
            has_others: !self.liquids.is_empty() && self.frozen_liquids != Frozen::All,
            frozen: super::listed(self.frozen_items()),
        }
    }
}

/// The steps at the jug.
pub(super) fn steps(bench: &Bench<'_>) -> Vec<super::Step> {
    let jug = &bench.jug;
    let mut steps = Vec::new();
    fill(bench, &mut steps);
    for item in &jug.kept_out {
        let why = match (item.how(), item.addition) {
            (None, _) => "lye spoils a scent".into(),
            (Some(How::Dissolve), Some(addition)) => match &addition.handling().solubility {
                Some(most) => format!(
                    "{} of it do not dissolve there: at the most {} in 100 g of water at 20 °C, and far less beside lye",
                    bench.mass(item.mass),
                    bench.mass(Grams(most.value))
                ),
                None => "it does not dissolve there".into(),
            },
            _ => "it does not dissolve in lye".into(),
        };
        let text =
            format!("Keep {} out of the jug, where the design has it: {why}. Set another stage for it.", item.name);
        steps.push(handled(&[*item], text));
    }
    if bench.evaluation.masses.alkali.weighed().0 > 0.0 {
        alkali(bench, &mut steps);
    }
    for item in &jug.after_cooling {
        let slowly = if item.warms() { ", a little at a time, for it warms the lye again" } else { "" };
        steps.push(handled(&[*item], format!("Only then, into the cooled lye: {}{slowly}.", item.name)));
    }
    steps
}

/// What goes into the jug before the alkali.
fn fill(bench: &Bench<'_>, steps: &mut Vec<super::Step>) {
    let jug = &bench.jug;
    let water = jug.water.0 > 0.0;
    if water {
        let text = if jug.ice.0 <= 0.0 {
            "Weigh the water into the jug.".to_owned()
        } else if jug.liquid_water().0 > A_DROP {
            format!(
                "Weigh the water into the jug; {} of it was frozen beforehand, and that ice goes in last, before the alkali.",
                bench.on_scale(jug.ice)
            )
        } else {
            format!("Put the ice into the jug, {}.", bench.on_scale(jug.ice))
        };
        steps.push(super::Step { text, handles: vec![What::Water], ..super::Step::default() });
    }
    let has_liquid = jug.has_liquid();
    if !jug.liquids.is_empty() {
        let names = names(&jug.liquids);
        steps.push(handled(
            &jug.liquids,
            match jug.frozen_liquids {
                Frozen::Nothing => format!("Pour in, cold: {names}."),
                Frozen::Part(part) => format!(
                    "Pour in, cold: {names}; {} of what goes into the jug was frozen beforehand and goes in last.",
                    bench.mass(part)
                ),
                Frozen::All => format!("Put in, frozen: {names}."),
            },
        ));
    }
    if has_liquid && !jug.dissolved.is_empty() {
        let text = format!("Stir in before the alkali until dissolved: {}.", names(&jug.dissolved));
        steps.push(handled(&jug.dissolved, text));
    }
    if !jug.frozen.is_empty() {
        let names = names(&jug.frozen);
        let last = if has_liquid {
            "Last, before the alkali, put in, frozen in small pieces"
        } else {
            "Put in, frozen in small pieces"
        };
        steps.push(handled(&jug.frozen, format!("{last}: {names}. Stand the jug in ice.")));
    }
    if !has_liquid && !jug.dissolved.is_empty() {
        let frozen = jug.frozen_names();
        let text = if frozen.is_empty() {
            format!("Keep {} by: the jug holds nothing that dissolves it.", names(&jug.dissolved))
        } else {
            format!("With it comes what was stirred in before freezing: {}.", names(&jug.dissolved))
        };
        steps.push(handled(&jug.dissolved, text));
    }
}

/// The alkali, and the wait after it.
fn alkali(bench: &Bench<'_>, steps: &mut Vec<super::Step>) {
    let (jug, masses) = (&bench.jug, &bench.evaluation.masses);
    let each = [(What::SodiumHydroxide, masses.alkali.naoh), (What::PotassiumHydroxide, masses.alkali.koh)];
    let handles = each.into_iter().filter(|(_, mass)| mass.0 > 0.0).map(|(what, _)| what).collect();
    let add = |text, handles| super::Step { text, handles, ..super::Step::default() };
    let frozen = jug.frozen_names();
    let how = if jug.has_liquid() {
        let of = if jug.water.0 > 0.0 { String::new() } else { format!(" of the {}", names(&jug.liquids)) };
        format!("Alkali into the water{of}, never water onto alkali: a little at a time, stirring until clear.")
    } else if !frozen.is_empty() {
        let onto = if frozen == ICE { frozen } else { format!("frozen {frozen}") };
        format!(
            "Alkali onto the {onto}, spoon by spoon, never the other way round: stir each spoonful until it has \
             dissolved, the jug standing in ice. At the end no grain of it may be left."
        )
    } else {
        let text = "The jug holds nothing that dissolves the alkali: do not begin. Set a liquid into the jug first.";
        steps.push(add(text.to_owned(), handles));
        return;
    };
    let acid = if masses.jug_protons > 0.0 { " Acid in the jug gives heat of its own: go slowly." } else { "" };
    let calculated = bench.evaluation.jug.as_ref();
    let stays_cool = calculated.is_some_and(|jug| jug.peak.is_ok_and(|peak| peak < STEAMS));
    let hot = match calculated.map(|jug| jug.peak) {
        Some(Ok(peak)) => format!(" It warms to up to about {}", bench.about_temperature(peak)),
        Some(Err(why)) => format!(" How hot it gets is not known: {why}"),
        None => " It gets hot".into(),
    };
    steps.push(add(
        if stays_cool {
            format!("{how}{acid}{hot}; keep your face away and do not breathe the mist.")
        } else {
            format!("{how}{acid}{hot}; it steams and can spit: keep away from the steam and do not breathe the mist.")
        },
        handles,
    ));
    let mix = bench.temperature(bench.design.process.mix_c.get());
    let stands = match bench.design.process.jug_stands {
        Surroundings::Air => "Let it stand safely".to_owned(),
        Surroundings::Bath(bath) => format!("Stand it in a water bath of {}", bench.temperature(bath.get())),
    };
    let too_hot = super::fats::is_too_hot(bench.design.process.mix_c.get());
    let wait = match calculated.and_then(|jug| jug.ready) {
        _ if too_hot => format!("{stands} until it has cooled; measure it."),
        Some(Reach::After(minutes)) if minutes < 1.0 => {
            format!("Stir until it is clear, and measure it: it wants {mix}.")
        }
        Some(Reach::After(minutes)) => {
            format!("{stands} until it has {mix}, about {}; measure it.", show::minutes(minutes))
        }
        Some(Reach::NeverSoWarm) => format!("It may stay colder than {mix}: stir until it is clear, and measure it."),
        Some(Reach::NeverSoCold) | None => format!("{stands} until it has {mix}; measure it."),
    };
    steps.push(bench.minding(Doing::Lye, &wait).into());
}
