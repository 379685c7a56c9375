//! An entry in words.

use crate::bench::day::shown;
use crate::design::Design;
use crate::design::log::{Happened, Outcome};
use crate::quantity::Unit;
use crate::troubles::faults;
use crate::units::Measures;

/// What `what` says of a batch of `design`, in one line.
///
/// ```
/// use barwright_core::Design;
/// use barwright_core::design::log::{Happened, HeatOf};
/// use barwright_core::render::record::told;
/// use barwright_core::units::{Celsius, Measures};
/// let heat = Happened::Heat { of: HeatOf::Fats, celsius: Celsius::new(38.0)? };
/// assert_eq!(told(&heat, &Design::default(), Measures::METRIC), "Fats at mixing: 38 °C");
/// assert_eq!(told(&heat, &Design::default(), Measures::US), "Fats at mixing: 100 °F");
/// # Ok::<(), barwright_core::units::OutOfRange>(())
/// ```
pub fn told(what: &Happened, design: &Design, measures: Measures) -> String {
    let grams = |g: f64| Unit::Grams.short_in(g, 2, measures);
    let celsius = |c: f64| Unit::Celsius.short_in(c, 1, measures);
    let minutes = |m: f64| Unit::Minutes.short_in(m, 1, measures);
    let bars = |n: u32| if n == 1 { "1 bar".into() } else { format!("{n} bars") };
    // A text may be left out; then its mark is too.
    let with = |words: &str, text: &str| if text.is_empty() { words.into() } else { format!("{words}: {text}") };
    match what {
        Happened::Weighed { what, grams: mass, lots } => {
            let lots: Vec<String> = lots.iter().map(|l| l.lot.to_string()).collect();
            let from = if lots.is_empty() { String::new() } else { format!(" from {}", lots.join(", ")) };
            format!("{}: {}{from}", what.name(design), grams(mass.get()))
        }
        Happened::LyeIn => "The lye went in".into(),
        Happened::Heat { of, celsius: c } => format!("{}: {}", of.words(), celsius(c.get())),
        Happened::Took { of, minutes: m } => format!("{}: {}", of.words(), minutes(m.get())),
        Happened::Behaved(batter) => format!("Batter: {}", batter.words()),
        Happened::BatterWeighed { grams: mass, ml } => {
            format!("Batter: {} in {}", grams(mass.get()), Unit::Millilitres.short_in(ml.get(), 1, measures))
        }
        Happened::Oven { set, minutes: m, hottest } => {
            let hottest = hottest.map(|c| format!(", soap at most {}", celsius(c.get()))).unwrap_or_default();
            format!("Oven: {} for {}{hottest}", celsius(set.get()), minutes(m.get()))
        }
        Happened::Gelled(gel) => format!("Gel: {}", gel.words()),
        Happened::Made => "In the mould".into(),
        Happened::Cut { hours, like, bars: many, each, trimmings, seconds } => {
            let mut words =
                format!("Cut after {} h, {}: {}", crate::number::short(hours.get(), 1), like.words(), bars(*many));
            if !each.is_empty() {
                let each: Vec<String> =
                    each.iter().map(|g| Unit::Grams.short_number_in(g.get(), 1, measures)).collect();
                words.push_str(" of ");
                words.push_str(&each.join(", "));
                words.push(' ');
                words.push_str(Unit::Grams.sign_in(measures));
            }
            if trimmings.get() > 0.0 {
                words = words + ", " + &grams(trimmings.get()) + " trimmed";
            }
            if *seconds > 0 {
                words = words + ", " + &seconds.to_string() + " not fit to give away";
            }
            words
        }
        Happened::Flawed(flaw) => format!("Seen: {}", flaw.words()),
        Happened::Pictured(picture) => {
            with(&format!("Picture, {} ({})", picture.stage.words(), picture.file.as_str()), picture.words.as_str())
        }
        Happened::BarWeighed { bar, grams: mass } => format!("Bar {}: {}", bar.get(), grams(mass.get())),
        Happened::Tested { how, outcome } => {
            let outcome = match outcome {
                Outcome::Passed => "Test passed".into(),
                Outcome::Again(day) => format!("Test failed, to be tested again on {}", shown(day.0)),
                Outcome::Failed => "Test failed, withdrawn".into(),
            };
            with(&outcome, how.as_str())
        }
        Happened::Freed => "Free to use, give and sell".into(),
        Happened::Withdrawn { reason } => with("Withdrawn", reason.as_str()),
        Happened::Judged { by, aspect, rating } => {
            let by = if by.is_empty() { String::new() } else { format!(" by {by}") };
            format!("{}: {} of 5{by}", first_large(aspect.words()), rating.get())
        }
        Happened::More { aspect, than } => format!("More {} than {than}", aspect.words()),
        Happened::Washed { washes, grams: mass } => format!("Lost {} in {washes} washes", grams(mass.get())),
        Happened::Trouble(code) => {
            let known = faults().find(|fault| fault.code == code.as_str());
            with("Trouble", known.map_or(code.as_str(), |fault| fault.name))
        }
        Happened::Out { bars: many, how, to } => {
            let to = if to.is_empty() { String::new() } else { format!(" to {to}") };
            format!("{} {}{to}", bars(*many), how.words())
        }
        Happened::Said(words) => words.to_string(),
        Happened::NextTime(words) => with("Next time", words.as_str()),
        Happened::Struck { reason } => with("Struck out", reason.as_str()),
    }
}

fn first_large(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
