//! Fatty acids as a certificate lists them, pasted as text.

use crate::design::supplier::ANALYSIS_SLACK;
use crate::library::acids::{AcidId, Acids};
use crate::library::fats::ProfileEntry;
use crate::number::short;
use crate::trust::Trust;
use crate::units::Interval;

/// The longest text that is read, bytes; no certificate is longer.
const MOST_BYTES: usize = 20_000;
/// So little of an acid that is not known here changes nothing, percent.
const LITTLE: f64 = 1.0;
/// How far the acids together may exceed the whole, percent: analysts round.
const OVER: f64 = 2.0;
/// How much of the whole small peaks that go unnamed may be, percent (our judgement).
const UNNAMED: f64 = 5.0;
/// All fatty acids, percent.
const WHOLE: f64 = 100.0;

/// An acid with how much of it there is, percent of all fatty acids.
#[derive(Debug, Clone, PartialEq)]
pub struct GivenAcid {
    /// The acid.
    pub acid: AcidId,
    /// From least to most; of no width where one figure is given.
    pub range: Interval,
    /// What was found, where a range is given besides.
    pub typical: Option<f64>,
}

/// What a line says.
#[derive(Debug, Clone, PartialEq)]
pub enum Says {
    /// So much of an acid.
    Acid(GivenAcid),
    /// A sum, a heading, nothing of an acid, or so little of one not known here that it changes nothing.
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
    /// What it calls the acid, to tell isomers from what stands twice.
    label: String,
}

/// The acids of a certificate as they are written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pasted {
    /// Its lines, without empty ones.
    pub lines: Vec<Line>,
    is_too_long: bool,
}

/// Acids that make no profile.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AcidsError {
    /// More text than any certificate has.
    #[error("The text is longer than a certificate: paste the lines of the fatty acids alone")]
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
    /// They are more than all.
    #[error("The fatty acids sum to {0} %: take out what is listed twice, or read the certificate again")]
    TooMuch(String),
    /// They leave too much open.
    #[error("The fatty acids sum to {0} %: the rest is missing; add it, or leave the acids out")]
    TooLittle(String),
}

impl Pasted {
    /// Reads `text`: an acid and its percent on each line, by its name, its shorthand or both, with a range and what was
    /// found if they are given, in any of the usual ways.
    ///
    /// ```
    /// use barwright_core::Library;
    /// use barwright_core::design::own::acids::Pasted;
    /// let library = Library::embedded()?;
    /// let pasted = Pasted::read("C16:0\t11,2\nOleic acid 18:1  65.3 %\nlinoleic 20-25\nTotal 100", &library.acids);
    /// assert_eq!(pasted.acids()?.len(), 3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn read(text: &str, acids: &Acids) -> Self {
        if text.len() > MOST_BYTES {
            return Self { lines: Vec::new(), is_too_long: true };
        }
        let mut lines = Vec::new();
        for (place, line) in text.lines().enumerate() {
            for part in parts(&super::seen(line)) {
                let (label, says) = read_line(&part, acids);
                lines.push(Line { number: place + 1, text: part, says, label });
            }
        }
        Self { lines, is_too_long: false }
    }

    /// The acids, each once; isomers of one acid are added up.
    ///
    /// # Errors
    /// [`AcidsError`] with the first line that is not understood, or says again what another said.
    pub fn acids(&self) -> Result<Vec<GivenAcid>, AcidsError> {
        if self.is_too_long {
            return Err(AcidsError::TooLong);
        }
        let wrong = |line: &Line, why: &str| {
            Err(AcidsError::Line { line: line.number, text: line.text.clone(), why: why.into() })
        };
        let mut all: Vec<GivenAcid> = Vec::new();
        for (place, line) in self.lines.iter().enumerate() {
            let given = match &line.says {
                Says::Acid(given) => given,
                Says::LeftOut => continue,
                Says::Unread(why) => return wrong(line, why),
            };
            let is_again = |other: &Line| {
                matches!(&other.says, Says::Acid(o) if o.acid == given.acid) && other.label == line.label
            };
            if self.lines[..place].iter().any(is_again) {
                return wrong(line, "it stands twice; take one out");
            }
            match all.iter_mut().find(|other| other.acid == given.acid) {
                Some(other) => *other = together(other, given),
                None => all.push(given.clone()),
            }
        }
        Ok(all)
    }
}

impl GivenAcid {
    fn middle(&self) -> f64 {
        self.typical.unwrap_or_else(|| self.range.mid())
    }
}

/// Isomers of one acid, added up.
fn together(one: &GivenAcid, other: &GivenAcid) -> GivenAcid {
    let ends = [one.range.min() + other.range.min(), one.range.max() + other.range.max()];
    let typical = (one.typical.is_some() || other.typical.is_some()).then(|| one.middle() + other.middle());
    GivenAcid { acid: one.acid, range: Interval::hull(ends).unwrap_or(one.range), typical }
}

/// The profile of `given` acids, each with `source`: what is most likely within their ranges and sums to 100. Single
/// figures are scaled, where they are off by rounding or by small peaks that go unnamed.
///
/// # Errors
/// [`AcidsError`] if they are more than all or leave too much open.
pub fn profile(given: &[GivenAcid], source: &str) -> Result<Vec<ProfileEntry>, AcidsError> {
    if given.is_empty() {
        return Ok(Vec::new());
    }
    let sum = |of: fn(&GivenAcid) -> f64| given.iter().map(of).sum::<f64>();
    let (least, middle, most) = (sum(|g| g.range.min()), sum(GivenAcid::middle), sum(|g| g.range.max()));
    if least > WHOLE + OVER {
        return Err(AcidsError::TooMuch(short(least, 1)));
    }
    if most < WHOLE - UNNAMED {
        return Err(AcidsError::TooLittle(short(most, 1)));
    }
    // Each moves the same part of its way to the end, and all are scaled if the ends do not reach.
    let end = if middle > WHOLE { least } else { most };
    let part = if (end - middle).abs() > 0.0 { ((WHOLE - middle) / (end - middle)).clamp(0.0, 1.0) } else { 0.0 };
    let moved = |g: &GivenAcid| {
        let end = if middle > WHOLE { g.range.min() } else { g.range.max() };
        g.middle() + part * (end - g.middle())
    };
    let reached: f64 = given.iter().map(moved).sum();
    let entry = |g: &GivenAcid| {
        let typical = moved(g) * WHOLE / reached;
        // One figure is what one laboratory found.
        let slack = if g.range.width() > 0.0 { 0.0 } else { ANALYSIS_SLACK.min(typical) };
        let ends =
            if g.range.width() > 0.0 { [g.range.min(), g.range.max()] } else { [typical - slack, typical + slack] };
        let range = Interval::hull(ends.into_iter().chain([typical]))?;
        Some(ProfileEntry { acid: g.acid, range, typical, source: source.to_owned(), trust: Trust::Maker })
    };
    Ok(given.iter().filter_map(entry).collect())
}

/// `given` as text that is read back as the same, one on each line.
pub fn written(given: impl IntoIterator<Item = (AcidId, Interval, f64)>, acids: &Acids) -> String {
    let line = |(id, range, typical): (AcidId, Interval, f64)| {
        let acid = acids.get(id);
        let number = |value: f64| format!("{}", (value * 1e4).round() / 1e4);
        let ends = if range.width() > 0.0 {
            format!("{} – {}, {}", number(range.min()), number(range.max()), number(typical))
        } else {
            number(typical)
        };
        format!("{} {}: {ends}\n", acid.key, acid.name)
    };
    given.into_iter().map(line).collect()
}

/// The parts of a line: it may list several acids.
fn parts(line: &str) -> Vec<String> {
    let line = line.trim().trim_start_matches(['-', '–', '•', '*', '·']).trim();
    let several = keys(line).count() > 1;
    let cut = |part: &str| part.trim().to_owned();
    let of_line: Vec<String> = if several {
        let spaced = line.replace(';', ", ");
        spaced.split(", ").map(cut).collect()
    } else {
        vec![cut(line)]
    };
    of_line.into_iter().filter(|part| !part.is_empty()).collect()
}

/// A shorthand as “C18:1” in a text.
#[derive(Clone, Copy)]
struct Key {
    carbons: u8,
    bonds: u8,
    from: usize,
    to: usize,
}

/// The shorthands in `text`.
fn keys(text: &str) -> impl Iterator<Item = Key> + '_ {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).filter(|b| b.is_ascii_digit()).map(|b| b - b'0');
    text.match_indices(':').filter_map(move |(colon, _)| {
        let bonds = digit(colon + 1)?;
        let ones = digit(colon.checked_sub(1)?)?;
        let tens = colon.checked_sub(2).and_then(digit);
        let mut from = colon - 1 - usize::from(tens.is_some());
        // A longer number is none.
        if digit(colon + 2).is_some() || from.checked_sub(1).and_then(digit).is_some() {
            return None;
        }
        let carbons = tens.unwrap_or(0) * 10 + ones;
        if let Some(c) = from.checked_sub(1).filter(|at| matches!(bytes[*at], b'C' | b'c')) {
            from = c;
        }
        (4..=30).contains(&carbons).then_some(Key { carbons, bonds, from, to: colon + 2 })
    })
}

/// Words of sums, headings and other figures of a certificate.
const NO_ACID: [&str; 30] = [
    "total",
    "sum",
    "saturated",
    "saturates",
    "unsaturated",
    "monounsaturated",
    "polyunsaturated",
    "sfa",
    "mufa",
    "pufa",
    "others",
    "other",
    "unknown",
    "unidentified",
    "rest",
    "trans",
    "composition",
    "profile",
    "value",
    "index",
    "moisture",
    "density",
    "colour",
    "color",
    "odour",
    "appearance",
    "date",
    "batch",
    "lot",
    "method",
];
fn is_no_acid(word: &str) -> bool {
    NO_ACID.contains(&word) || word.starts_with("omega") || word.starts_with('ω')
}

/// Words for none of it.
const NONE: [&str; 6] = ["nd", "n.d.", "n.d", "trace", "traces", "tr"];

/// Other names of acids, and their shorthand; those of the table are known besides.
const NAMES: [(&str, &str); 36] = [
    ("butanoic", "4:0"),
    ("hexanoic", "6:0"),
    ("octanoic", "8:0"),
    ("decanoic", "10:0"),
    ("dodecanoic", "12:0"),
    ("tetradecanoic", "14:0"),
    ("hexadecanoic", "16:0"),
    ("hexadecenoic", "16:1"),
    ("heptadecanoic", "17:0"),
    ("octadecanoic", "18:0"),
    ("octadecenoic", "18:1"),
    ("elaidic", "18:1"),
    ("vaccenic", "18:1"),
    ("petroselinic", "18:1"),
    ("octadecadienoic", "18:2"),
    ("octadecatrienoic", "18:3"),
    ("alphalinolenic", "18:3"),
    ("αlinolenic", "18:3"),
    ("ala", "18:3"),
    ("gammalinolenic", "18:3g"),
    ("γlinolenic", "18:3g"),
    ("gla", "18:3g"),
    ("hydroxystearic", "18:0-OH"),
    ("arachic", "20:0"),
    ("eicosanoic", "20:0"),
    ("icosanoic", "20:0"),
    ("eicosenoic", "20:1"),
    ("icosenoic", "20:1"),
    ("gadoleic", "20:1"),
    ("paullinic", "20:1"),
    ("docosanoic", "22:0"),
    ("docosenoic", "22:1"),
    ("tetracosanoic", "24:0"),
    ("tetracosenoic", "24:1"),
    ("linoleinic", "18:3"),
    ("margarinic", "17:0"),
];

/// Letters and digits of a word in small letters.
fn plain(word: &str) -> String {
    word.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// Whether a word tells the one linolenic acid from the other.
fn is_gamma(word: &str) -> bool {
    matches!(word, "gamma" | "γ" | "n6" | "w6" | "ω6" | "omega6")
}

/// The acid that `words` name.
fn by_name(words: &[String], acids: &Acids) -> Option<AcidId> {
    let named = |word: &str| {
        let of_table = acids.iter().find(|(_, acid)| plain(&acid.name) == word).map(|(id, _)| id);
        of_table.or_else(|| NAMES.iter().find(|(name, _)| *name == word).and_then(|(_, key)| acids.find(key)))
    };
    let joined: String = words.iter().filter(|w| !matches!(w.as_str(), "acid" | "cis" | "n")).cloned().collect();
    let id = named(&joined).or_else(|| words.iter().find_map(|word| named(word)))?;
    let is_gamma = words.iter().any(|w| is_gamma(w));
    Some(if is_gamma && acids.get(id).key == "18:3" { acids.find("18:3g").unwrap_or(id) } else { id })
}

/// What a line calls the acid, and what it says.
fn read_line(text: &str, acids: &Acids) -> (String, Says) {
    // The only shorthand with a sign and a number behind it.
    let text = text.replace("(OH)2", "OHOH");
    let text = text.as_str();
    let key = keys(text).next();
    let (before, behind) = key.map_or((text, ""), |k| (&text[..k.from], &text[k.to..]));
    // What is glued to the shorthand belongs to it: “18:1n9c”, “18:3g”.
    let glued = behind.find(|c: char| !(c.is_alphanumeric() || c == '-')).unwrap_or(behind.len());
    let (isomer, behind) = behind.split_at(glued);
    let rest = format!("{before} {behind}");
    let tokens: Vec<&str> =
        rest.split([' ', '(', ')', '[', ']', ';', '|', '=', '_']).filter(|t| !t.is_empty()).collect();
    let (amounts, words): (Vec<&str>, Vec<&str>) = tokens.into_iter().partition(|token| is_amount(token));
    let words: Vec<String> = words.into_iter().map(plain).filter(|word| !word.is_empty()).collect();
    let label = format!(
        "{} {isomer} {}",
        key.map_or_else(String::new, |k| format!("{}:{}", k.carbons, k.bonds)),
        words.join(" ")
    );
    let by_name = by_name(&words, acids);
    let is_hydroxy = isomer.contains("OH") || words.iter().any(|w| w == "oh");
    let by_key = key.and_then(|k| {
        let plain_key = format!("{}:{}", k.carbons, k.bonds);
        let says_gamma = isomer.contains('g') || isomer.ends_with('6') || words.iter().any(|w| is_gamma(w));
        let is_gamma = plain_key == "18:3" && says_gamma;
        let ending = if is_hydroxy {
            "-OH"
        } else if is_gamma {
            "g"
        } else {
            ""
        };
        acids.find(&format!("{plain_key}{ending}")).or_else(|| acids.find(&plain_key))
    });
    let given = amount(&amounts);
    let none = text.split_whitespace().any(|w| NONE.contains(&w.to_lowercase().as_str()));
    let says = match (by_key, by_name) {
        (Some(by_key), Some(by_name)) if by_key != by_name && !is_same_chain(by_key, by_name, acids) => {
            let [key, name] = [by_key, by_name].map(|id| acids.get(id).in_words());
            Says::Unread(format!("is it {key} or {name}?"))
        }
        (key, Some(acid)) | (key @ Some(acid), None) => {
            // Of two names for one chain the rarer one is meant.
            let acid = key.filter(|k| acids.get(*k).key.len() > acids.get(acid).key.len()).unwrap_or(acid);
            match given {
                Ok(None) if none => Says::LeftOut,
                Ok(None) => Says::Unread("how much of it?".into()),
                Ok(Some((range, _))) if range.max() <= 0.0 => Says::LeftOut,
                Ok(Some((range, typical))) => Says::Acid(GivenAcid { acid, range, typical }),
                Err(why) => Says::Unread(why.into()),
            }
        }
        (None, None) => match given {
            Ok(None) => Says::LeftOut,
            _ if key.is_none() && words.iter().any(|word| is_no_acid(word)) => Says::LeftOut,
            Ok(Some((range, _))) if key.is_some() && range.max() <= LITTLE => Says::LeftOut,
            _ if key.is_some() => Says::Unread("this acid is not known here: count it to its nearest neighbour".into()),
            _ => Says::Unread("no fatty acid is called so; correct it, or take the line out".into()),
        },
    };
    (label, says)
}

/// Whether two acids have as many carbons and double bonds, so that their names may stand for each other.
fn is_same_chain(one: AcidId, other: AcidId, acids: &Acids) -> bool {
    let chain = |id| (acids.get(id).carbons, acids.get(id).double_bonds);
    chain(one) == chain(other)
}

/// Whether a word of a line belongs to an amount.
fn is_amount(token: &str) -> bool {
    let token = token.trim_end_matches([',', ';', '.']);
    let is_sign =
        matches!(token, "-" | "–" | "—" | "±" | "+/-" | "<" | "≤" | ">" | "≥" | "%" | "to" | "…" | ".." | "...");
    let lower = token.to_lowercase();
    let is_end = matches!(lower.as_str(), "max" | "min" | "max." | "min.");
    let has_digit = token.chars().any(|c| c.is_ascii_digit());
    let is_figure = token.chars().all(|c| {
        c.is_ascii_digit() || matches!(c, '.' | ',' | '%' | '-' | '–' | '—' | '±' | '<' | '≤' | '>' | '≥' | '~')
    });
    is_sign || is_end || has_digit && is_figure
}

/// A piece of an amount.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Piece {
    Number(f64),
    To,
    PlusMinus,
    AtMost,
    AtLeast,
}

/// The least and the most that `tokens` give, and what was found, percent; `None` if there is no number.
fn amount(tokens: &[&str]) -> Result<Option<(Interval, Option<f64>)>, &'static str> {
    const WHICH: &str = "which of these numbers is its percent?";
    let mut pieces: Vec<Piece> = Vec::new();
    for token in tokens {
        let token = token.to_lowercase().replace("+/-", "±").replace("...", "–").replace("..", "–");
        let token = token.trim_end_matches([',', ';', '.']);
        if matches!(token, "max" | "min") {
            pieces.push(if token == "max" { Piece::AtMost } else { Piece::AtLeast });
            continue;
        }
        let mut number = String::new();
        for c in token.replace("to", "–").chars().chain([' ']) {
            if c.is_ascii_digit() || matches!(c, '.' | ',') {
                number.push(if c == ',' { '.' } else { c });
                continue;
            }
            if !number.is_empty() {
                pieces.push(Piece::Number(number.parse::<f64>().map_err(|_none| "this is no number")?));
                number.clear();
            }
            pieces.extend(match c {
                '-' | '–' | '—' | '…' => Some(Piece::To),
                '±' => Some(Piece::PlusMinus),
                '<' | '≤' => Some(Piece::AtMost),
                '>' | '≥' => Some(Piece::AtLeast),
                _ => None,
            });
        }
    }
    // With both ends named the names say no more than their order.
    if pieces.contains(&Piece::AtMost) && pieces.contains(&Piece::AtLeast) {
        pieces.retain(|p| !matches!(p, Piece::AtMost | Piece::AtLeast));
    }
    // An empty cell of a table is often a dash.
    while matches!(pieces.last(), Some(Piece::To)) {
        pieces.pop();
    }
    while matches!(pieces.first(), Some(Piece::To)) {
        pieces.remove(0);
    }
    let (least, most, typical) = match *pieces.as_slice() {
        [] => return Ok(None),
        [Piece::Number(one)] => (one, one, None),
        [Piece::AtMost, Piece::Number(most)] | [Piece::Number(most), Piece::AtMost] => (0.0, most, None),
        [Piece::Number(a), Piece::To, Piece::Number(b)] | [Piece::Number(a), Piece::Number(b)] => (a, b, None),
        [Piece::Number(middle), Piece::PlusMinus, Piece::Number(pm)] => ((middle - pm).max(0.0), middle + pm, None),
        [Piece::Number(a), Piece::To, Piece::Number(b), Piece::Number(found)]
        | [Piece::Number(found), Piece::Number(a), Piece::To, Piece::Number(b)] => (a, b, Some(found)),
        [Piece::Number(a), Piece::Number(b), Piece::Number(c)] => {
            let mut three = [a, b, c];
            three.sort_by(f64::total_cmp);
            (three[0], three[2], Some(three[1]))
        }
        [Piece::AtLeast, ..] => return Err("give the most of it too"),
        _ => return Err(WHICH),
    };
    if most > WHOLE {
        return Err("it is more than all of it");
    }
    let range = Interval::new(least, most).map_err(|_none| "it goes from more to less")?;
    if typical.is_some_and(|found| !range.contains(found)) {
        return Err("what was found lies outside the range");
    }
    Ok(Some((range, typical)))
}

#[cfg(test)]
mod tests;
