//! The colour of a bar in words.

use super::day;
use crate::chemistry::colour::content::Carrier;
use crate::chemistry::colour::fading::{Fading, Pace};
use crate::chemistry::colour::forecast::{Basis, Forecast, Note, Seen};
use crate::chemistry::colour::optics::{Lab, difference};
use crate::design::Design;
use crate::design::own_bar::Differs;
use crate::evaluate::Evaluation;
use crate::formula::lower_case;
use crate::library::Library;
use crate::library::pigments::Family;
use crate::number::significant;
use std::borrow::Cow;

/// Colours by their names (our own words), as L*, a* and b*.
const NAMES: [(&str, [f64; 3]); 20] = [
    ("Plain", [90.0, -1.0, 8.0]),
    ("Ivory", [89.0, 0.0, 15.0]),
    ("Straw", [82.0, -1.0, 19.0]),
    ("Pale butter", [87.0, 1.0, 24.0]),
    ("Butter", [86.0, 3.0, 30.0]),
    ("Apricot-yellow", [83.0, 6.0, 39.0]),
    ("Apricot", [80.0, 10.0, 50.0]),
    ("Orange", [74.0, 18.0, 62.0]),
    ("Peach", [82.0, 12.0, 30.0]),
    ("Salmon", [74.0, 22.0, 38.0]),
    ("Brick orange", [64.0, 32.0, 48.0]),
    ("Tan", [70.0, 8.0, 24.0]),
    ("Brown", [45.0, 14.0, 22.0]),
    ("Brick red", [45.0, 35.0, 25.0]),
    ("Rose", [70.0, 22.0, 8.0]),
    ("Lilac", [65.0, 12.0, -12.0]),
    ("Grey-blue", [60.0, -4.0, -14.0]),
    ("Sage", [70.0, -12.0, 16.0]),
    ("Grey", [60.0, 0.0, 2.0]),
    ("Charcoal", [30.0, 0.0, 0.0]),
];

/// The name of the colour nearest to `colour`.
pub fn name(colour: Lab) -> &'static str {
    let off = |[l, a, b]: [f64; 3]| difference(Lab::new(l, a, b), colour);
    NAMES.iter().min_by(|a, b| off(a.1).total_cmp(&off(b.1))).map_or("", |(name, _)| name)
}

/// On what the colours rest where nothing of one's own is known.
const FROM_TABLES: &str = "From food tables: your fruit can be half or twice as strong";

/// What gel does to a shade that was forecast without it (our judgement; no measurement in soap was found).
const GELLED: &str = "Kept warm it gels: darker and deeper than shown, about as 40 % more of the puree would be.";

/// What becomes of the colour with time, which no date can be given for: sources differ seventyfold.
const OVER_TIME: &str = "Pales from the outside towards the plain bar, faster in light. No date can be given.";

/// The forecast for `design`; `None` without fats.
pub fn forecast<'a>(design: &Design, evaluation: &Evaluation, library: &'a Library) -> Option<Forecast<'a>> {
    Forecast::of(design, &evaluation.masses, evaluation.cure.as_ref(), &library.pigments)
}

impl Forecast<'_> {
    /// What becomes of the colour with time; `None` where that is not known.
    pub fn over_time(&self) -> Option<Cow<'static, str>> {
        match self.fading {
            Some(fading) => Some(fading.words().into()),
            None => self.looks_like.is_none().then_some(OVER_TIME.into()),
        }
    }

    /// On what the colours rest, in one line.
    pub fn basis_words(&self) -> String {
        match self.basis {
            Basis::Tables { not: None } => format!("{FROM_TABLES}."),
            Basis::Tables { not: Some((seen, differs)) } => {
                let why = match differs {
                    Differs::Colourants => "it was coloured with something else",
                    Differs::Fats => "it was of other fats",
                    Differs::Gel => "it was kept warm otherwise",
                };
                format!("{FROM_TABLES}. {} does not count here: {why}.", capital(&seen.words()))
            }
            Basis::PlainBar(seen) => {
                format!(
                    "From {}, which was plain, and food tables: your fruit can be half or twice as strong.",
                    seen.words()
                )
            }
            Basis::OwnBar(seen) if self.looks_like.is_some() => {
                format!("From {}, same colourants: another lot can be stronger or weaker.", seen.words())
            }
            Basis::OwnBar(seen) => {
                format!("From {}, same puree. Another jar can be half or twice as strong.", seen.words())
            }
        }
    }

    /// What the bar will look like, in sentences: its colour where one can be told, then what is said of single
    /// materials.
    pub fn words(&self, design: &Design) -> Vec<String> {
        let shades = self.shades(1.0);
        let mut said = Vec::new();
        match shades {
            Some(shades) if self.looks_like.is_some() => {
                said.push(format!("{}, by your own bar.", name(shades.likely)));
            }
            Some(shades) if self.is_visible() => {
                let amount = if self.mg_per_kg < 10.0 {
                    significant((self.mg_per_kg * 10.0).round() / 10.0)
                } else {
                    significant(self.mg_per_kg.round())
                };
                said.push(format!("{}. About {amount} mg of carotenes in a kilogram of bar.", name(shades.likely)));
            }
            Some(_) if self.mg_per_kg > 0.0 => {
                said.push("No visible colour: less than 0.5 mg of carotenes in a kilogram of bar.".into());
            }
            // Milk or honey is not tabled and browns all the same: it is told below.
            Some(_) if self.notes.iter().any(|note| note.words(design).is_some()) => {
                said.push(format!("By its fats alone: {}.", lower_case(name(self.plain()))));
            }
            Some(_) => said.push(format!("{}: nothing that goes in colours it.", name(self.plain()))),
            None => said.push("No shade can be told.".into()),
        }
        // What hides the shade comes first.
        let (hiding, others): (Vec<&Note<'_>>, Vec<&Note<'_>>) = self.notes.iter().partition(|note| note.hides);
        said.extend(hiding.into_iter().chain(others).filter_map(|note| note.words(design)));
        // An own bar has it in it already.
        if shades.is_some()
            && self.is_visible()
            && self.makeup.stood.is_gelled()
            && !matches!(self.basis, Basis::OwnBar(_))
        {
            said.push(GELLED.into());
        }
        said
    }
}

impl Fading {
    /// It in sentences.
    fn words(&self) -> String {
        let again = day::shown(self.again.0);
        match self.pace {
            Pace::Halves([short, middle, long]) => format!(
                "Your bar seen again on {again}: half of its colour is gone after {}, about {} ({} to {}), kept as \
                 that bar was.",
                day::span(middle),
                day::shown(self.day_after(middle).0),
                day::shown(self.day_after(short).0),
                day::shown(self.day_after(long).0),
            ),
            Pace::Longer(days) => format!(
                "Your bar seen again on {again} had paled too little for a date: half of its colour lasts longer than \
                 {}, kept as that bar was.",
                day::span(days)
            ),
            Pace::Shorter(days) => format!(
                "Your bar seen again on {again} had lost most of its colour: half of it is gone within {}, kept as \
                 that bar was.",
                day::span(days)
            ),
            Pace::Untold => format!(
                "Your bar seen again on {again} does not tell how fast it pales: it is too pale, or of another colour \
                 than paling gives."
            ),
        }
    }
}

impl Seen {
    /// It in words, for the middle of a sentence.
    pub fn words(self) -> String {
        let of = self.batch.map_or_else(String::new, |code| format!(" ({code})"));
        format!("your bar of {}{of}", day::shown(self.day.0))
    }
}

/// `text` with a capital letter.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

impl Note<'_> {
    /// What is said of the material.
    fn words(&self, design: &Design) -> Option<String> {
        let name = match self.carrier {
            Carrier::Fat(i) => &design.blend.lines().get(i)?.fat.name,
            Carrier::Addition(i) => &design.additions.get(i)?.addition.name,
        };
        Some(format!("{name}: {}.", self.pigment.words))
    }
}

/// How strongly an addition colours, for lists to choose from, at 100 g to the kilogram of fats or as much as is
/// usual if that is less; `None` where nothing is known of it.
pub fn strength_words(addition: &crate::library::additions::Addition, library: &Library) -> Option<String> {
    // 1.28 kg of cured bar from a kilogram of fats, as usual bars have it.
    const BAR_PER_KG: f64 = 1.28;
    // Of so much, g, contents are tabled; and so much goes to a kilogram of fats.
    const PORTION: f64 = 100.0;
    let mut held = library.pigments.of_addition(&addition.id).peekable();
    held.peek()?;
    let grams = addition.handling().usual.max().min(PORTION);
    let mut mg = 0.0;
    for (pigment, held) in held {
        match (&pigment.absorber, held.content) {
            (Some(absorber), Some(content)) => {
                mg += content.typical * absorber.share_left * grams / PORTION / BAR_PER_KG;
            }
            _ => return Some(family_words(pigment.family).into()),
        }
    }
    Some(match mg {
        mg if mg < 0.5 => "no visible colour".into(),
        mg if mg < 2.0 => "colours faintly".into(),
        mg if mg < 5.0 => "colours".into(),
        _ => "colours strongly".into(),
    })
}

/// A family in a word or two.
const fn family_words(family: Family) -> &'static str {
    match family {
        Family::Forecast => "colours",
        Family::White => "whitens",
        Family::Calibrate => "colours; try a bar",
        Family::Path => "its colour changes",
        Family::Dies => "its colour does not last in lye",
        Family::Browns => "browns",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::evaluate::evaluate;

    fn said(additions: &str) -> (Vec<String>, bool) {
        let library = Library::embedded().expect("assets parse");
        let text = format!(
            "(barwright: 1, fats: [(fat: \"coconut\", share: 30), (fat: \"palm\", share: 70)], additions: [{additions}])"
        );
        let design = document::read(text.as_bytes(), &library).expect("a design");
        let evaluation = evaluate(&design, &library);
        let forecast = forecast(&design, &evaluation, &library).expect("a bar");
        (forecast.words(&design), forecast.shades(1.0).is_some())
    }

    fn of(id: &str, g_per_kg: f64) -> String {
        format!("(addition: \"{id}\", amount: GramsPerKgFats({g_per_kg:?}))")
    }

    #[test]
    fn carrot_is_named_and_beet_is_told_to_die() {
        let (words, has_shades) = said(&of("carrot_boiled", 100.0));
        // 8.5 mg/kg by the same sums with 1.28 kg of bar to the kilogram of fats.
        assert!(has_shades && words[0].starts_with("Apricot-yellow. About "), "{words:?}");
        let (words, has_shades) = said(&of("beetroot_raw", 80.0));
        assert!(!has_shades && words[1].contains("No red is left"), "{words:?}");
        let (words, has_shades) = said(&[of("carrot_boiled", 100.0), of("beetroot_raw", 80.0)].join(","));
        assert!(!has_shades && words.len() == 2, "one that dies hides the other: {words:?}");
    }

    #[test]
    fn what_brings_nothing_is_told_so() {
        let (words, has_shades) = said("");
        assert!(has_shades && words == ["Plain: nothing that goes in colours it."], "{words:?}");
        let (words, _) = said(&of("banana", 100.0));
        assert!(words[0].starts_with("No visible colour"), "{words:?}");
        let library = Library::embedded().expect("assets parse");
        let strength = |id: &str| strength_words(library.addition(id).expect("tabled"), &library);
        assert_eq!(strength("banana").as_deref(), Some("no visible colour"));
        assert_eq!(strength("acorn_raw").as_deref(), Some("no visible colour"), "any squash will not do");
        assert_eq!(strength("carrot_boiled").as_deref(), Some("colours strongly"));
        assert_eq!(strength("salt"), None);
    }

    #[test]
    fn white_weakens_and_sugars_hide() {
        let plain = said(&of("carrot_boiled", 100.0)).0[0].clone();
        let (words, has_shades) = said(&[of("carrot_boiled", 100.0), of("titanium_dioxide", 10.0)].join(","));
        assert!(has_shades && words[0] != plain, "whiter: {words:?}");
        let (words, has_shades) = said(&of("honey", 20.0));
        assert!(!has_shades && words[1].contains("Tan to brown"), "{words:?}");
    }
}
