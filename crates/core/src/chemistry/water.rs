//! How much water a batch has, and whether the alkali dissolves in it.

use crate::design::WaterRule;
use crate::formula::{Input, Num, Reading};
use crate::number::short;
use crate::trust::Trust;
use crate::units::{Grams, Interval, LyeConcentration, WaterPercent, WaterRatio, percent_of};

/// All water of a batch, from `pure` alkali and the mass of the `fats`.
///
/// Concentration c (percent of pure alkali and all water): alkali·(100 − c)/c; ratio r: alkali·r;
/// percent p of fats: fats·p/100. The three convert into each other exactly.
///
/// ```
/// use barwright_core::chemistry::water::total;
/// use barwright_core::{design::WaterRule, formula::Plain, units::{Grams, LyeConcentration}};
/// let rule = WaterRule::LyeConcentration(LyeConcentration::new(25.0)?);
/// assert_eq!(total(Plain, rule, Grams(100.0), Grams(750.0)), Grams(300.0));
/// # Ok::<(), barwright_core::units::OutOfRange>(())
/// ```
pub fn total<R: Reading>(r: R, rule: WaterRule, pure: Grams<R::N>, fats: Grams<R::N>) -> Grams<R::N> {
    match rule {
        WaterRule::LyeConcentration(c) => {
            let about = || Input::chosen("Lye concentration c", format!("{} %", short(c.get(), 3)));
            let c = r.input("c", c.get(), "", about);
            pure * WaterRatio::from_concentration(c)
        }
        WaterRule::WaterToAlkali(ratio) => {
            let about = || Input::chosen("Water to alkali", format!("{} : 1", short(ratio.get(), 3)));
            pure * r.input("water to alkali", ratio.get(), "", about)
        }
        WaterRule::PercentOfFats(p) => {
            let about = || Input::chosen("Water in percent of the fats", format!("{} %", short(p.get(), 3)));
            fats * r.input("part of the fats", p.fraction(), "", about)
        }
    }
}

/// The rule of the same kind as `rule` that gives `water`, or a little more, for `pure` alkali and
/// `fats`: rounded to what the kind is usually told in (0.1 %, 0.01 : 1); `None` if no such rule is
/// allowed.
pub fn rule_giving(rule: WaterRule, water: Grams, pure: Grams, fats: Grams) -> Option<WaterRule> {
    // Rounding must not move what was exact.
    let up = |value: f64, steps: f64| (value * steps - 1e-6).ceil() / steps;
    match rule {
        WaterRule::LyeConcentration(_) => {
            let percent = -up(-concentration(pure, water)?, 10.0);
            LyeConcentration::new(percent).ok().map(WaterRule::LyeConcentration)
        }
        WaterRule::WaterToAlkali(_) => WaterRatio::new(up(water.0 / pure.0, 100.0)).ok().map(WaterRule::WaterToAlkali),
        WaterRule::PercentOfFats(_) => {
            WaterPercent::new(up(percent_of(water.0, fats.0), 10.0)).ok().map(WaterRule::PercentOfFats)
        }
    }
}

/// Percent of alkali in a lye of `alkali` and `water`; `None` if there is neither.
pub fn concentration<N: Num>(alkali: Grams<N>, water: Grams<N>) -> Option<N> {
    let lye = alkali + water;
    (lye.value() > 0.0).then(|| percent_of(alkali.0, lye.0))
}

/// The strongest potassium lye at 20 °C, percent (from memory).
pub const STRONGEST_KOH: f64 = 53.0;

/// Water in which the pure alkalis dissolve: a gram for each gram of sodium hydroxide (common
/// practice, no source), and what makes potassium hydroxide a lye of 53 % (from memory).
///
/// ```
/// use barwright_core::chemistry::water::to_dissolve;
/// use barwright_core::{formula::Plain, units::Grams};
/// // A hundred grams of that lye are 53 g of potassium hydroxide and 47 g of water.
/// assert_eq!(to_dissolve(Plain, Grams(0.0), Grams(53.0)), Grams(47.0));
/// assert_eq!(to_dissolve(Plain, Grams(10.0), Grams(0.0)), Grams(10.0));
/// ```
pub fn to_dissolve<R: Reading>(r: R, naoh: Grams<R::N>, koh: Grams<R::N>) -> Grams<R::N> {
    let strongest = r.input("c", STRONGEST_KOH, "", || {
        let value = format!("{} %", short(STRONGEST_KOH, 1));
        Input::sourced("Strongest potassium lye c", value, "at 20 °C", Trust::FromMemory)
    });
    naoh + koh * WaterRatio::from_concentration(strongest)
}

/// Temperatures at which sodium hydroxide begins to crystallise: percent NaOH, °C. Digitised,
/// ±1 °C (Wang et al. 2008); 18.7 % is the eutectic.
pub(crate) const CRYSTALLISATION: [(f64, f64); 17] = [
    (10.0, -9.5),
    (18.7, -28.0),
    (25.0, -17.0),
    (28.0, -3.0),
    (30.0, 2.0),
    (33.3, 8.5),
    (35.0, 11.0),
    (38.0, 15.0),
    (39.5, 15.7),
    (45.6, 6.0),
    (50.0, 11.5),
    (51.4, 12.5),
    (53.0, 22.0),
    (55.0, 32.0),
    (58.0, 46.0),
    (62.0, 55.0),
    (70.0, 64.0),
];

/// Temperature in °C below which a sodium lye of `concentration` percent begins to crystallise,
/// between the digitised points on straight lines; `None` outside 10–70 %.
///
/// ```
/// use barwright_core::chemistry::water::crystallises_below;
/// use barwright_core::{formula::Plain};
/// assert_eq!(crystallises_below(Plain, 38.0), Some(15.0));
/// assert_eq!(crystallises_below(Plain, 5.0), None);
/// ```
pub fn crystallises_below<R: Reading>(r: R, concentration: R::N) -> Option<R::N> {
    let range = Interval::new(CRYSTALLISATION[0].0, CRYSTALLISATION[CRYSTALLISATION.len() - 1].0).ok()?;
    let percent = concentration.value();
    if !range.contains(percent) {
        return None;
    }
    CRYSTALLISATION.windows(2).find(|pair| percent <= pair[1].0).map(|pair| {
        let point = |strength, temperature, (c, t): (f64, f64)| {
            let about = move || {
                let name = format!("Curve at {} %", short(c, 1));
                Input::sourced(&name, format!("{} °C", short(t, 2)), "Wang et al. 2008, digitised", Trust::Read)
            };
            (r.input(strength, c, "", about), r.input(temperature, t, "°C", about))
        };
        let ((w0, t0), (w1, t1)) = (point("c₀", "t₀", pair[0]), point("c₁", "t₁", pair[1]));
        t0 + (t1 - t0) * (concentration - w0) / (w1 - w0)
    })
}
