//! The colours that a bar may have, or what stands against saying any.

use super::content::{self, Carrier, Part};
use super::fading::{Fading, Looks};
use super::optics::{Eye, Lab, plain_bar};
use super::strength::{self, AFTER_A_BAR, BEFORE_A_BAR, Strengths, USUAL};
use super::unknown;
use crate::chemistry::cure::Cure;
use crate::chemistry::inputs;
use crate::chemistry::masses::{Masses, mass_of};
use crate::design::Design;
use crate::design::log::BatchCode;
use crate::design::own_bar::{Differs, Makeup, OwnBar};
use crate::design::words::Day;
use crate::formula::Plain;
use crate::library::pigments::{BANDS, Curve, Family, Held, Pigment, Pigments};

/// A plain bar of refined fats: L* and b* (from memory, refined fats give 88–93 and 4–10).
pub const PLAIN: (f64, f64) = (90.0, 8.0);
/// A plain bar of virgin olive oil alone (our judgement).
const OLIVE: (f64, f64) = (82.0, 18.0);
/// The pheophytins of the oil in such a bar, mg in 100 g of the oil (Psomiadou & Tsimidou 2001).
const OLIVE_MG_PER_100_G: f64 = 1.5;
/// Below so much in a kilogram of bar nothing is seen, mg (worked out: it moves the colour by less than 5).
pub const LEAST_VISIBLE: f64 = 0.5;
/// From so much a powder of unknown content is seen, as a part of the fats (our judgement: 0.5 g to the kilogram).
const LEAST_POWDER: f64 = 0.0005;
/// From so much sugar bars brown so much that no shade is told, as a part of the fats (our judgement).
const BROWNS_FROM: f64 = 0.01;
/// How far bars are uneven in lightness, L* to either side, beyond the band of strengths (measured roots left the band
/// by as much).
const UNEVEN: f64 = 5.0;
/// How far what is left of a pigment scatters, as the standard deviation of its logarithm (our judgement).
const LEFT_SPREAD: f64 = 0.2;
/// Scattering of soap by which the usual strength was got: 2 ln 10 · 0.2592 for a mg/L of beta-carotene over it, 1/cm.
const SCATTERING: f64 = 2.0 * std::f64::consts::LN_10 * 0.2592 / USUAL;

/// What of a bar gives its colour, apart from how strong a milligram is.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixture {
    eye: Eye,
    base: Curve,
    of_fats: Curve,
    of_additions: Curve,
    /// By what scattering of white powders weakens all absorption.
    weakened: f64,
}

impl Mixture {
    /// A bar in which `absorbed` stands beside `base`, without white powders.
    pub fn new(pigments: &Pigments, base: Curve, absorbed: Curve) -> Self {
        Self { eye: Eye::new(&pigments.bands), base, of_fats: [0.0; BANDS], of_additions: absorbed, weakened: 1.0 }
    }

    /// What gives a bar of this makeup its colour; on a plain bar that was seen to be `plain`, where one was.
    pub fn of(makeup: &Makeup, pigments: &Pigments, plain: Option<Lab>) -> Self {
        let (mut of_fats, mut of_additions) = ([0.0; BANDS], [0.0; BANDS]);
        for (is_fat, absorber, mg) in content::of_makeup(makeup, pigments) {
            // A plain bar that was seen has the colour of its fats already.
            let sum = match (is_fat, plain) {
                (true, Some(_)) => continue,
                (true, None) => &mut of_fats,
                (false, _) => &mut of_additions,
            };
            sum.iter_mut().zip(&absorber.curve).for_each(|(sum, e)| *sum += mg * e);
        }
        let white = makeup.colourants.iter().flat_map(|(id, amount)| {
            let percent = amount.get() / 10.0 / makeup.bar_per_fats.get();
            pigments.of_addition(id).filter_map(move |(pigment, _)| Some(pigment.scattering? * percent))
        });
        Self {
            eye: Eye::new(&pigments.bands),
            base: plain.map_or_else(|| base(makeup, pigments), |seen| plain_bar(&pigments.bands, seen.l, seen.b)),
            of_fats,
            of_additions,
            weakened: SCATTERING / (SCATTERING + white.sum::<f64>()),
        }
    }

    /// It with what a bar was seen to be, whatever colours it: `seen` of this mixture, with `times` as much as that bar had.
    fn looking_like(mut self, seen: Lab, times: f64, pigments: &Pigments) -> Self {
        self.base = std::array::from_fn(|i| self.base[i] + USUAL * self.of_fats[i]);
        self.of_fats = [0.0; BANDS];
        let extra = unknown::absorbed(&pigments.bands, &self.base, self.weakened, seen);
        // As strong as usual is as strong as that bar.
        self.of_additions = extra.map(|ks| times * ks / USUAL);
        self
    }

    /// The colour at this strength with `times` as much of the colouring additions.
    pub fn colour(&self, strength: f64, times: f64) -> Lab {
        let at =
            |i: usize| self.weakened * (self.base[i] + strength * (self.of_fats[i] + times * self.of_additions[i]));
        self.eye.sees((0..BANDS).map(|i| super::optics::reflectance(at(i))))
    }

    /// The colour of the bar without the colouring additions.
    pub fn plain(&self, strength: f64) -> Lab {
        self.colour(strength, 0.0)
    }
}

/// What is said of a material instead of a shade, or beside one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Note<'a> {
    /// What it is of.
    pub carrier: Carrier,
    /// What becomes of it.
    pub pigment: &'a Pigment,
    /// Whether no shade can be told because of it.
    pub hides: bool,
}

/// The colours of a bar, from pale to deep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shades {
    /// Nine of ten bars are at least so strong.
    pub pale: Lab,
    /// Half are.
    pub likely: Lab,
    /// One of ten is.
    pub deep: Lab,
}

/// What can be said of the colour of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast<'a> {
    /// What of pigments that can be forecast is in the cured bar, mg in a kilogram.
    pub mg_per_kg: f64,
    /// What is said of single materials.
    pub notes: Vec<Note<'a>>,
    /// Strengths: what one of ten is under, half are under, nine of ten are under.
    pub strengths: [f64; 3],
    /// On what the strengths rest.
    pub basis: Basis,
    /// What gives the colours.
    pub mixture: Mixture,
    /// From what.
    pub makeup: Makeup,
    /// What the own bar looked like, where only such a bar gives the shade.
    pub looks_like: Option<Lab>,
    /// How fast that bar pales, if it was seen twice.
    pub fading: Option<Fading>,
}

/// When an own bar was looked at, and of which batch it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seen {
    /// The day.
    pub day: Day,
    /// The batch, if the log has it.
    pub batch: Option<BatchCode>,
}

impl Seen {
    /// When `bar` was.
    pub const fn of(bar: &OwnBar) -> Self {
        Self { day: bar.day, batch: bar.batch }
    }
}

/// On what a forecast rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// On tables.
    Tables {
        /// The latest own bar, and in what it differs.
        not: Option<(Seen, Differs)>,
    },
    /// On tables, and a plain bar of the same fats.
    PlainBar(Seen),
    /// On an own bar of the same colourants, fats and warmth.
    OwnBar(Seen),
}

impl<'a> Forecast<'a> {
    /// The forecast for the batch of `masses`; `None` without fats.
    pub fn of(design: &Design, masses: &Masses, cure: Option<&Cure>, pigments: &'a Pigments) -> Option<Self> {
        let bars = content::all_bars(Plain, masses, cure)?.0;
        let parts = content::parts(Plain, design, masses, cure, pigments);
        let found = |mass: f64, (pigment, held): (&'a Pigment, &'a Held)| -> Option<(&'a Pigment, bool)> {
            if mass <= 0.0 || pigment.absorber.is_some() {
                return None;
            }
            let is_visible = held.content.map_or(mass >= LEAST_POWDER * masses.fats.0, |content| {
                mass * content.typical * 10.0 / bars >= LEAST_VISIBLE
            });
            match pigment.family {
                Family::Forecast => None,
                Family::White => Some((pigment, false)),
                Family::Browns => Some((pigment, masses.sugars.0 >= BROWNS_FROM * masses.fats.0)),
                Family::Calibrate | Family::Path | Family::Dies => is_visible.then_some((pigment, true)),
            }
        };
        let mut notes = Vec::new();
        for (i, line) in design.blend.lines().iter().enumerate() {
            let mass = masses.fats.0 * inputs::share(Plain, line);
            let found = pigments.of_fat(&line.fat.id).filter_map(|of| found(mass, of));
            // What tints the plain bar hides nothing.
            notes.extend(found.map(|(pigment, _)| Note { carrier: Carrier::Fat(i), pigment, hides: false }));
        }
        for (i, line) in design.additions.iter().enumerate().filter(|(_, l)| l.stage.fills_mould()) {
            let mass = mass_of(Plain, line, masses.fats).0;
            // Of a material of the maker's own no colour is known: none is told.
            if line.addition.is_makers() && mass >= LEAST_POWDER * masses.fats.0 {
                let own = pigments.of_own().map(|pigment| Note { carrier: Carrier::Addition(i), pigment, hides: true });
                notes.extend(own);
                continue;
            }
            for (pigment, hides) in pigments.of_addition(&line.addition.id).filter_map(|of| found(mass, of)) {
                notes.push(Note { carrier: Carrier::Addition(i), pigment, hides });
            }
        }
        let makeup = content::makeup(design, masses, cure, pigments)?;
        let known = Known::of(&design.calibration.own_bars, &makeup, pigments);
        let mixture = Mixture::of(&makeup, pigments, known.plain);
        // What has no tabled shade looks like the own bar, if there is one.
        let hidden = notes.iter().any(|note: &Note<'_>| note.hides);
        let is_unknown = hidden && waits_for_a_bar(&notes);
        if let (true, Some((seen, times))) = (is_unknown, known.last) {
            return Some(Self {
                mg_per_kg: parts.iter().map(|p| p.mg_per_kg).sum(),
                notes,
                strengths: Strengths::normal(USUAL, AFTER_A_BAR).band(),
                basis: known.basis,
                fading: known.fading(pigments, Some(seen)),
                mixture: mixture.looking_like(seen, times, pigments),
                makeup,
                looks_like: Some(seen),
            });
        }
        let spread = strength::SPREAD.hypot(LEFT_SPREAD).hypot(content_spread(&parts));
        let fading = known.fading(pigments, None);
        Some(Self {
            mg_per_kg: parts.iter().map(|p| p.mg_per_kg).sum(),
            notes,
            strengths: known.strengths.unwrap_or_else(|| Strengths::normal(USUAL, spread)).band(),
            basis: known.basis,
            fading,
            mixture,
            makeup,
            looks_like: None,
        })
    }

    /// Whether a bar of it that is looked at tells anything: its own colour can be forecast, or it is plain.
    pub fn can_be_matched(&self) -> bool {
        self.makeup.is_plain() || self.only_a_bar_tells() || (self.is_visible() && self.shades(1.0).is_some())
    }

    /// Whether its shade is that of a colourant which only an own bar can tell, seen yet or not.
    pub fn only_a_bar_tells(&self) -> bool {
        self.notes.iter().any(|note| note.hides) && waits_for_a_bar(&self.notes)
    }

    /// Whether anything of it is seen.
    pub fn is_visible(&self) -> bool {
        self.mg_per_kg >= LEAST_VISIBLE || self.looks_like.is_some()
    }

    /// The plain bar of the same fats.
    pub fn plain(&self) -> Lab {
        self.mixture.plain(self.strengths[1])
    }

    /// The colours with `times` as much of the colouring additions; `None` where something hides them.
    pub fn shades(&self, times: f64) -> Option<Shades> {
        if self.looks_like.is_none() && self.notes.iter().any(|n| n.hides) {
            return None;
        }
        let [pale, likely, deep] = self.strengths.map(|strength| self.mixture.colour(strength, times));
        let lighter = |colour: Lab, by: f64| Lab::new((colour.l + by).clamp(0.0, 100.0), colour.a, colour.b);
        Some(Shades { pale: lighter(pale, UNEVEN), likely, deep: lighter(deep, -UNEVEN) })
    }
}

/// Whether all that hides the shade keeps its colour, so that an own bar tells it.
fn waits_for_a_bar(notes: &[Note<'_>]) -> bool {
    notes.iter().filter(|note| note.hides).all(|note| note.pigment.family == Family::Calibrate)
}

/// How far the contents of all parts scatter together, each weighing what it brings; they vary by themselves.
fn content_spread(parts: &[Part<'_>]) -> f64 {
    let all: f64 = parts.iter().map(|p| p.mg_per_kg).sum();
    if all <= 0.0 {
        return 0.0;
    }
    parts.iter().map(|p| (p.mg_per_kg / all * p.content.spread()).powi(2)).sum::<f64>().sqrt()
}

/// The bar without what colours, as absorption over scattering: towards olive with what green there is in the fats.
fn base(makeup: &Makeup, pigments: &Pigments) -> Curve {
    let plain = plain_bar(&pigments.bands, PLAIN.0, PLAIN.1);
    let green = makeup.fats.iter().flat_map(|(id, share)| {
        let greens = pigments.of_fat(id).filter(|(p, _)| p.family == Family::Path);
        greens.filter_map(move |(_, held)| Some(share.fraction() * held.content?.typical))
    });
    // A bar of the oil alone holds all of its green; the cured bar is as heavy for either.
    let part = green.sum::<f64>() / OLIVE_MG_PER_100_G;
    if part <= 0.0 {
        return plain;
    }
    let olive = plain_bar(&pigments.bands, OLIVE.0, OLIVE.1);
    std::array::from_fn(|i| plain[i] + part * (olive[i] - plain[i]))
}

/// What own bars say of a bar.
struct Known<'a> {
    /// The plain bar of the same fats.
    plain: Option<Lab>,
    /// How strongly its pigments colour.
    strengths: Option<Strengths>,
    /// The last bar of the same kind, and how much of its colourants there is now against what it had.
    last: Option<(Lab, f64)>,
    /// That bar.
    bar: Option<&'a OwnBar>,
    basis: Basis,
}

impl<'a> Known<'a> {
    fn of(own_bars: &'a [OwnBar], now: &Makeup, pigments: &Pigments) -> Self {
        let plain = own_bars.iter().rev().find(|bar| bar.of.is_plain() && bar.of.differs_plain(now).is_none());
        let plain_seen = plain.map(|bar| Lab::from(bar.colour));
        let alike: Vec<&OwnBar> =
            own_bars.iter().filter(|bar| !bar.of.is_plain() && bar.of.differs(now).is_none()).collect();
        let before = Strengths::normal(USUAL, BEFORE_A_BAR);
        let strengths = alike.iter().fold(before, |known, bar| {
            let mixture = Mixture::of(&bar.of, pigments, plain_seen);
            known.seen(bar.colour.into(), |strength| mixture.colour(strength, 1.0))
        });
        let elsewhere = || {
            let bar = own_bars.iter().rev().find(|bar| !bar.of.is_plain())?;
            Some((Seen::of(bar), bar.of.differs(now)?))
        };
        let basis = match (alike.last(), plain) {
            (Some(bar), _) => Basis::OwnBar(Seen::of(bar)),
            (None, Some(bar)) => Basis::PlainBar(Seen::of(bar)),
            (None, None) => Basis::Tables { not: elsewhere() },
        };
        // What whitens is no colourant of its own.
        let load = |of: &Makeup| {
            let amounts = of.colourants.iter().filter(|(id, _)| pigments.colours(id)).map(|(_, amount)| amount.get());
            amounts.sum::<f64>() / of.bar_per_fats.get()
        };
        let last = alike.last().map(|bar| (bar.colour.into(), load(now) / load(&bar.of)));
        let bar = alike.last().copied();
        Self { plain: plain_seen, strengths: bar.map(|_| strengths), last, bar, basis }
    }

    /// How fast the last bar of the same kind pales, which is known only by what it `looked` like if that is said.
    fn fading(&self, pigments: &Pigments, looked: Option<Lab>) -> Option<Fading> {
        let bar = self.bar?;
        let again = bar.again?;
        let mixture = Mixture::of(&bar.of, pigments, self.plain);
        let (mixture, before) = match looked {
            Some(seen) => (mixture.looking_like(seen, 1.0, pigments), Strengths::normal(USUAL, AFTER_A_BAR)),
            None => (mixture, Strengths::normal(USUAL, BEFORE_A_BAR)),
        };
        let looks = Looks { first: (bar.day, bar.colour.into()), again: (again.day, again.colour.into()) };
        Fading::of(|strength| mixture.colour(strength, 1.0), &before, looks)
    }
}
