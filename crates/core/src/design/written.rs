//! A blend as people write it: a fat and how much of it on each line.

use crate::design::blend::{Blend, BlendError, FatLine};
use crate::library::Library;
use crate::library::fats::Fat;
use crate::number::{self, fixed, parse, short};
use crate::units::{FatMass, Grams, MassUnit, Share, percent_of};
use std::sync::Arc;

/// How much of a fat, as it is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Percent of the blend.
    Percent(f64),
    /// A weight.
    Mass(Grams),
    /// A number without a unit: percent if the sum is 100, else so many parts.
    Parts(f64),
}

/// A line that is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// As it was written.
    pub text: String,
    /// What it says.
    pub says: Says,
}

/// What a line says.
#[derive(Debug, Clone, PartialEq)]
pub enum Says {
    /// So much of a fat.
    Fat(Arc<Fat>, Amount),
    /// Something that follows from the blend, which is left out.
    Follows,
    /// Nothing that can be taken, and why.
    Unread(String),
}

/// Words of what the program works out by itself, or of no fat.
const FOLLOWS: [&str; 11] = [
    "total",
    "sum",
    "all fats",
    "all oils",
    "naoh",
    "koh",
    "lye",
    "sodium hydroxide",
    "potassium hydroxide",
    "water",
    "superfat",
];
/// Bare numbers whose sum is this near to 100 are percents.
const NEAR_100: f64 = 0.5;

/// A blend as it is written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Written {
    /// Its lines, without empty ones.
    pub lines: Vec<Line>,
}

/// Why what is written is no blend yet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WrittenError {
    /// Nothing was written.
    #[error("type a fat and its amount on each line, as: Olive oil 40 %")]
    Empty,
    /// A line is not understood.
    #[error("“{0}”: {1}")]
    Line(String, String),
    /// Some amounts are percents and some weights.
    #[error("give all amounts in percent, or all as weights")]
    Mixed,
    /// The amounts are nothing, or percents above what there is.
    #[error("{0} is no share of a blend")]
    Share(String),
    /// The blend cannot be.
    #[error(transparent)]
    Blend(#[from] BlendError),
}

impl Written {
    /// Reads `text`; a bullet before a line and a colon, a tab or dots between name and amount do no harm, the amount
    /// may stand first, and a weight may be worked out or in any unit.
    ///
    /// ```
    /// use barwright_core::Library;
    /// use barwright_core::design::written::Written;
    /// use barwright_core::units::MassUnit;
    /// let library = Library::embedded()?;
    /// let written = Written::read("- Olive oil: 300 g\n150 g coconut\nshea\t1/5 kg", &library, MassUnit::Gram);
    /// let blend = written.blend()?;
    /// let shares: Vec<f64> = blend.lines().iter().map(|l| l.share.get().round()).collect();
    /// assert_eq!(shares, [46.0, 23.0, 31.0]);
    /// assert_eq!(written.mass().map(|m| m.get()), Some(650.0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn read(text: &str, library: &Library, unit: MassUnit) -> Self {
        let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
        let lines = lines.map(|text| Line { text: text.to_owned(), says: Says::of(text, library, unit) }).collect();
        Self { lines }
    }

    /// What is written of fats.
    fn fats(&self) -> impl Iterator<Item = (&Arc<Fat>, Amount)> {
        self.lines.iter().filter_map(|line| match &line.says {
            Says::Fat(fat, amount) => Some((fat, *amount)),
            Says::Follows | Says::Unread(_) => None,
        })
    }

    /// The mass of all fats, where every amount is a weight.
    pub fn mass(&self) -> Option<FatMass> {
        let masses: Option<Vec<f64>> = self
            .fats()
            .map(|(_, amount)| match amount {
                Amount::Mass(mass) => Some(mass.0),
                Amount::Percent(_) | Amount::Parts(_) => None,
            })
            .collect();
        masses.filter(|m| !m.is_empty()).and_then(|m| FatMass::new(m.iter().sum()).ok())
    }

    /// The blend. Percents are taken as they are, also where they do not sum to 100; weights and parts as parts of
    /// their sum. A fat that stands twice is added up.
    ///
    /// # Errors
    /// [`WrittenError`] for the first thing that is in the way.
    pub fn blend(&self) -> Result<Blend, WrittenError> {
        for line in &self.lines {
            if let Says::Unread(why) = &line.says {
                return Err(WrittenError::Line(line.text.clone(), why.clone()));
            }
        }
        let (mut percents, mut weights, mut parts) = (0, 0, 0);
        let mut sum = 0.0;
        let mut amounts: Vec<(&Arc<Fat>, f64)> = Vec::new();
        for (fat, amount) in self.fats() {
            let (count, number) = match amount {
                Amount::Percent(number) => (&mut percents, number),
                Amount::Mass(mass) => (&mut weights, mass.0),
                Amount::Parts(number) => (&mut parts, number),
            };
            *count += 1;
            sum += number;
            match amounts.iter_mut().find(|(other, _)| other.id == fat.id) {
                Some((_, before)) => *before += number,
                None => amounts.push((fat, number)),
            }
        }
        if amounts.is_empty() {
            return Err(WrittenError::Empty);
        }
        let has_weights_and_other = weights > 0 && percents + parts > 0;
        if has_weights_and_other || percents > 0 && parts > 0 && !is_whole(sum) {
            return Err(WrittenError::Mixed);
        }
        let as_they_are = percents > 0 || weights == 0 && is_whole(sum);
        let line = |(fat, number): (&Arc<Fat>, f64)| {
            let share = if as_they_are { number } else { percent_of(number, sum) };
            let share = Share::new(share).ok().ok_or_else(|| WrittenError::Share(format!("{} %", short(share, 2))))?;
            Ok(FatLine::new(Arc::clone(fat), share))
        };
        let lines: Result<Vec<FatLine>, WrittenError> = amounts.into_iter().map(line).collect();
        Ok(Blend::new(lines?)?)
    }
}

fn is_whole(sum: f64) -> bool {
    (sum - Share::MAX).abs() <= NEAR_100
}

impl Says {
    fn of(text: &str, library: &Library, unit: MassUnit) -> Self {
        let bare = text.trim_start_matches(['-', '–', '•', '*', '·', '\u{2022}']).trim();
        let named = |name: &str| FOLLOWS.contains(&name.trim_matches([':', '.', ' ']).to_lowercase().as_str());
        let Some((name, amount)) = split(bare, unit) else {
            return if named(bare) { Self::Follows } else { Self::Unread("how much of it?".into()) };
        };
        if named(name) {
            return Self::Follows;
        }
        let is_good = match amount {
            Amount::Percent(n) | Amount::Parts(n) => n >= 0.0,
            Amount::Mass(mass) => mass.0 >= 0.0,
        };
        if !is_good {
            return Self::Unread("there cannot be less than nothing of it".into());
        }
        let found = library.names.find(library.fats(), name);
        match found.materials.first() {
            Some(fat) if !found.is_guess => Self::Fat(Arc::clone(fat), amount),
            _ => Self::Unread(format!("no fat is called so{}", library.names.did_you_mean(library.fats(), name))),
        }
    }
}

/// The name and the amount in a line: the amount is the longest end that is one, else the longest beginning.
fn split(line: &str, unit: MassUnit) -> Option<(&str, Amount)> {
    let is_between = |c: char| c.is_whitespace() || matches!(c, ':' | '=' | ';' | '|');
    let cuts = || line.char_indices().filter(|(_, c)| is_between(*c));
    let trimmed = |part: &'_ str| -> bool { part.chars().any(char::is_alphabetic) };
    let around = |c: char| is_between(c) || matches!(c, '.' | ',' | '–' | '-' | '…' | '_' | '(' | ')' | '@');
    let at_end = cuts().find_map(|(i, c)| {
        let (name, rest) = (&line[..i], &line[i + c.len_utf8()..]);
        amount(rest.trim_matches(|c| is_between(c) || matches!(c, '(' | ')')), unit).map(|amount| (name, amount))
    });
    let at_start = || {
        let mut cuts: Vec<_> = cuts().collect();
        cuts.reverse();
        cuts.into_iter().find_map(|(i, c)| amount(&line[..i], unit).map(|amount| (&line[i + c.len_utf8()..], amount)))
    };
    let (name, amount) = at_end.filter(|(name, _)| trimmed(name)).or_else(at_start)?;
    let name = name.trim_matches(around);
    trimmed(name).then_some((name, amount))
}

/// Reads an amount.
fn amount(text: &str, unit: MassUnit) -> Option<Amount> {
    let text = text.trim();
    if !text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '.' | ',' | '\u{2212}')) {
        return None;
    }
    if let Some(percent) = text.strip_suffix('%') {
        return parse(percent, &[]).ok().map(Amount::Percent);
    }
    if let Ok(number) = parse(text, &[]) {
        return Some(Amount::Parts(number));
    }
    number::parse_mass(text, unit).ok().map(Amount::Mass)
}

impl Amount {
    /// As it is told beside the fat that was understood.
    pub fn words(self, unit: MassUnit) -> String {
        match self {
            Self::Percent(percent) => format!("{} %", short(percent, 2)),
            Self::Mass(mass) => number::mass(mass, unit),
            Self::Parts(parts) => fixed(parts, usize::from(parts.fract().abs() > 0.0)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Written {
        Written::read(text, &Library::embedded().expect("assets parse"), MassUnit::Gram)
    }

    fn shares(text: &str) -> Result<Vec<(String, f64)>, WrittenError> {
        let blend = read(text).blend()?;
        let tenth = |share: f64| (share * 1e9).round() / 1e9;
        Ok(blend.lines().iter().map(|l| (l.fat.id.to_string(), tenth(l.share.get()))).collect())
    }

    fn blend_of(list: &[(&str, f64)]) -> Vec<(String, f64)> {
        list.iter().map(|(id, share)| ((*id).to_owned(), *share)).collect()
    }

    #[test]
    fn lines_as_they_stand_in_books_and_letters_are_understood() {
        let blend = blend_of(&[("olive_virgin", 40.0), ("coconut", 30.0), ("shea", 22.0), ("castor", 8.0)]);
        for text in [
            "Olive oil 40\nCoconut oil 30\nShea butter 22\nCastor oil 8",
            "olive oil 40 %\ncoconut: 30%\nshea\t22 %\ncastor oil ... 8 %",
            "- 40 % olive oil\n- 30 % coconut oil\n- 22 % shea butter\n- 8 % castor oil",
            "Olive oil 400 g\nCoconut oil 0.3 kg\nShea butter 220g\nCastor oil 160/2 g\nTotal 1000 g\nNaOH 140 g\nWater 300 g",
            "olive oil 4\ncoconut 3\nshea 2.2\ncastor 0.8",
            "Olive oil (40%)\nCoconut oil (30%)\nShea butter (22 %)\nCastor oil (8 %)",
        ] {
            assert_eq!(shares(text).as_ref(), Ok(&blend), "{text}");
        }
        assert_eq!(
            shares("olive oil 1 lb\ncoconut 8 oz\nolive oil 8 oz"),
            Ok(blend_of(&[("olive_virgin", 75.0), ("coconut", 25.0)]))
        );
        assert_eq!(read("olive 300 g\ncoconut 1/5 kg").mass().map(FatMass::get), Some(500.0));
        assert_eq!(read("olive 60\ncoconut 40").mass(), None, "percents say no weight");
    }

    #[test]
    fn percents_stay_as_typed_and_what_cannot_be_is_told() {
        assert_eq!(shares("olive oil 40 %\ncoconut 30 %"), Ok(blend_of(&[("olive_virgin", 40.0), ("coconut", 30.0)])));
        for (text, told) in [
            ("", "type a fat"),
            ("olive oil 40 %\ncoconut 300 g", "all as weights"),
            ("olive oil", "how much"),
            ("moonbeam oil 20", "no fat is called so"),
            ("olive oil 140 %", "no share"),
            ("olive oil -4 %", "less than nothing"),
            ("olive oil 0", "no share"),
            ("40", "how much"),
            ("total 100 %", "type a fat"),
        ] {
            let error = shares(text).expect_err(text).to_string();
            assert!(error.contains(told), "{text}: {error}");
        }
        let babassu = read("babasu 20").blend().expect_err("misspelt").to_string();
        assert!(babassu.contains("babassu"), "{babassu}");
    }
}
