//! What is in a fragrance oil as its supplier lists it, pasted as text.

use super::{AS_GIVEN, figure};
use crate::library::allergens::{AllergenKind, Allergens};
use crate::library::scents::{Cas, Constituent, ListedAllergen, Scent};
use crate::number::short;
use crate::trust::Trust;
use crate::units::Share;

/// The longest text that is read, bytes.
const MOST_BYTES: usize = 20_000;

/// What a line says.
#[derive(Debug, Clone, PartialEq)]
pub enum Says {
    /// So much of a substance; whether it is an allergen of the annex.
    Substance(Constituent, bool),
    /// An allergen of the annex without an amount, or a whole oil among them.
    Allergen(ListedAllergen),
    /// A heading.
    LeftOut,
    /// Nothing that can be taken, and why.
    Unread(String),
}

/// A line that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its place in the text, from 1.
    pub number: usize,
    /// As it was written, without what cannot be seen.
    pub text: String,
    /// What it says.
    pub says: Says,
}

/// What is in a scent as it is written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pasted {
    /// Its lines, without empty ones.
    pub lines: Vec<Line>,
    is_too_long: bool,
}

/// A list that cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ListError {
    /// More text than any list has.
    #[error("The text is longer than a supplier’s list: paste the lines of the substances alone")]
    TooLong,
    /// A line is not understood.
    #[error("Line {line}, “{text}”: {why}")]
    Line {
        /// Its place, from 1.
        line: usize,
        /// As it is written.
        text: String,
        /// What is wrong with it.
        why: String,
    },
    /// A substance stands twice.
    #[error("{0} stands twice: take one of them out")]
    Repeated(String),
}

/// Words that stand over columns.
const HEADINGS: [&str; 14] = [
    "allergen",
    "allergens",
    "substance",
    "substances",
    "name",
    "inci",
    "cas",
    "no",
    "number",
    "amount",
    "content",
    "max",
    "fragrance",
    "list",
];

impl Pasted {
    /// Reads `text`: a substance on each line, with its CAS number and the most percent there is of it where they are
    /// known. An allergen of the annex needs neither.
    ///
    /// ```
    /// use barwright_core::Library;
    /// use barwright_core::design::own::allergens::Pasted;
    /// let library = Library::embedded()?;
    /// let pasted = Pasted::read("Linalool 12,5 %\nCoumarin\nwater; 7732-18-5; 3", &library.allergens);
    /// let (constituents, listed) = pasted.lists()?;
    /// assert_eq!((constituents.len(), listed.len()), (2, 1));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn read(text: &str, allergens: &Allergens) -> Self {
        if text.len() > MOST_BYTES {
            return Self { lines: Vec::new(), is_too_long: true };
        }
        let seen = text.lines().map(super::seen).enumerate();
        let lines = seen.map(|(place, line)| (place + 1, line.trim().to_owned())).filter(|(_, line)| !line.is_empty());
        let lines = lines.map(|(number, text)| Line { number, says: Says::of(&text, allergens), text }).collect();
        Self { lines, is_too_long: false }
    }

    /// The substances with amounts, and the allergens without.
    ///
    /// # Errors
    /// [`ListError`] with the first line that is not understood, or what stands twice.
    pub fn lists(&self) -> Result<(Vec<Constituent>, Vec<ListedAllergen>), ListError> {
        if self.is_too_long {
            return Err(ListError::TooLong);
        }
        let (mut constituents, mut listed): (Vec<Constituent>, Vec<ListedAllergen>) = (Vec::new(), Vec::new());
        for line in &self.lines {
            match &line.says {
                Says::Substance(substance, _) => {
                    let is_it = |c: &Constituent| c.cas == substance.cas && c.whole == substance.whole;
                    if constituents.iter().any(|c| is_it(c) && c.name == substance.name) {
                        return Err(ListError::Repeated(substance.name.clone()));
                    }
                    constituents.push(substance.clone());
                }
                Says::Allergen(allergen) => {
                    if listed.iter().any(|a| a.name == allergen.name) {
                        return Err(ListError::Repeated(allergen.name.clone()));
                    }
                    listed.push(allergen.clone());
                }
                Says::LeftOut => {}
                Says::Unread(why) => {
                    return Err(ListError::Line { line: line.number, text: line.text.clone(), why: why.clone() });
                }
            }
        }
        Ok((constituents, listed))
    }
}

impl Says {
    fn of(text: &str, allergens: &Allergens) -> Self {
        let bare = text.trim_start_matches(['-', '–', '•', '*', '·']).trim();
        // Names hold numbers and dashes too: an amount is the last word, a CAS number is one of the words.
        let (mut words, mut numbers, mut amount) = (Vec::new(), Vec::new(), None);
        let between = |c: char| c.is_whitespace() || matches!(c, ';' | '|' | '(' | ')' | '[' | ']');
        // What stands before a semicolon is the name as it is.
        let (first, bare) = bare.split_once(';').map_or(("", bare), |(first, rest)| (first.trim(), rest));
        if !first.is_empty() {
            words.push(first);
        }
        for word in bare.split(between).filter(|word| !word.is_empty()) {
            let word = word.trim_end_matches([',', ':']);
            match Cas::new(word) {
                Ok(cas) if cas.numbers().count() > 0 => numbers.push(word),
                _ if looks_like_cas(word) => {
                    return Self::Unread(format!("{word} is no CAS number: a digit of it is wrong"));
                }
                _ => words.push(word),
            }
        }
        let unit = words.iter().rposition(|word| word.contains('%')).map(|at| at + 1);
        if let Some(end) = unit {
            words.truncate(end);
        }
        // From the longest end that is an amount.
        for from in 1..words.len().max(1) {
            let end = words[from..].join(" ");
            if let Ok(range) = figure(end.trim(), &["%"])
                && !end.trim().is_empty()
            {
                amount = Some(range.max());
                words.truncate(from);
                break;
            }
        }
        let name = words.join(" ");
        let name = if first.is_empty() { name.trim_matches([',', ':', ' ', '.', '-', '–']) } else { name.as_str() };
        let cas = Cas::new(&numbers.join(";")).unwrap_or_default();
        let most = match amount.map(Share::new) {
            Some(Err(_)) => return Self::Unread("it is more than all of it".into()),
            Some(Ok(share)) if share.get() <= 0.0 => return Self::LeftOut,
            Some(Ok(share)) => Some(share),
            None => None,
        };
        match (allergens.find(name, &cas), most) {
            (Some((entry, entry_cas)), most) => {
                let of_name = |most| ListedAllergen { name: entry.name.clone(), most };
                match most {
                    Some(most) if entry.kind == AllergenKind::Substance => {
                        // All its isomers' numbers, where the supplier gives none.
                        let cas = if cas == Cas::default() { entry_cas.clone() } else { cas };
                        let called = if name.is_empty() { entry.name.clone() } else { name.to_owned() };
                        Self::Substance(constituent(called, cas, most), true)
                    }
                    Some(most) => Self::Allergen(of_name(most)),
                    None => Self::Allergen(of_name(Share::nearest(Share::MAX))),
                }
            }
            (None, Some(most)) if cas != Cas::default() && !name.is_empty() => {
                Self::Substance(constituent(name.to_owned(), cas, most), false)
            }
            (None, None) if cas != Cas::default() => {
                Self::Unread("how much of it is there? It is no allergen of the list".into())
            }
            (None, None) if is_heading(name) => Self::LeftOut,
            (None, _) => Self::Unread(
                "no allergen is called so: correct the name, give its CAS number and percent, or take the line out"
                    .into(),
            ),
        }
    }
}

fn constituent(name: String, cas: Cas, most: Share) -> Constituent {
    Constituent { name, cas, most, whole: false, source: AS_GIVEN.into(), trust: Trust::Maker }
}

/// Whether `word` has the shape of a CAS number.
fn looks_like_cas(word: &str) -> bool {
    let parts: Vec<&str> = word.split('-').collect();
    let digits = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    parts.len() == 3 && parts.iter().all(digits)
}

fn is_heading(name: &str) -> bool {
    let words: Vec<String> =
        name.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).map(str::to_lowercase).collect();
    words.iter().all(|word| HEADINGS.contains(&word.as_str()))
}

/// What is in `scent`, as text that is read back as the same.
pub fn written(scent: &Scent) -> String {
    let percent = |share: Share| short(share.get(), 6).replace(['\u{202f}', '\u{2212}'], "");
    let substance = |c: &Constituent| {
        let cas: Vec<&str> = c.cas.numbers().collect();
        format!("{}; {}; {}\n", c.name.replace(';', ","), cas.join(" "), percent(c.most))
    };
    let allergen = |a: &ListedAllergen| {
        if a.most.get() < Share::MAX { format!("{}; {}\n", a.name, percent(a.most)) } else { format!("{}\n", a.name) }
    };
    let substances = scent.constituents.iter().map(substance);
    substances.chain(scent.supplied.allergens.iter().map(allergen)).collect()
}

#[cfg(test)]
mod tests;
