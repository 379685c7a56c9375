//! Materials of one's own: what a maker types or pastes of a fat, a colourant or a fragrance oil, checked and turned into
//! the records that a design keeps.

pub mod acids;
pub mod allergens;
pub mod colourant;
pub mod fat;
pub mod scent;

pub use colourant::OwnColourant;
pub use fat::OwnFat;
pub use scent::OwnScent;

use crate::library::material::MaterialId;
use crate::number::{NumberError, parse};
use crate::units::Interval;

/// The longest name, characters.
pub const MOST_LETTERS: usize = 120;
/// What stands in place of a source where the maker gave a figure.
pub const AS_GIVEN: &str = "as the maker gave it";

/// A name that is none.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    /// Nothing was typed.
    #[error("Give it a name")]
    Empty,
    /// Longer than any list has room for.
    #[error("The name has more than {MOST_LETTERS} letters: shorten it")]
    TooLong,
    /// It holds what cannot be seen, or what turns the text around it.
    #[error("The name holds a sign that cannot be seen (U+{0:04X}), as pasted text can: type the name anew")]
    Unseen(u32),
}

/// Whether `c` cannot be seen, or changes the order in which what is around it is read.
pub(crate) fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// Text without signs that cannot be seen; a tab or a line's end is a space.
fn seen(text: &str) -> String {
    text.chars().map(|c| if c.is_whitespace() { ' ' } else { c }).filter(|c| !is_unseen(*c)).collect()
}

/// Takes `text` as the name of a material.
///
/// # Errors
/// [`NameError`] if there is none, it is too long, or it holds what cannot be seen.
///
/// ```
/// use barwright_core::design::own::{NameError, name};
/// assert_eq!(name(" Orchard press ").as_deref(), Ok("Orchard press"));
/// assert_eq!(name("Orchard\u{202e}press"), Err(NameError::Unseen(0x202e)));
/// ```
pub fn name(text: &str) -> Result<String, NameError> {
    let text = text.trim();
    if let Some(c) = text.chars().find(|c| is_unseen(*c)) {
        return Err(NameError::Unseen(c.into()));
    }
    if text.is_empty() {
        return Err(NameError::Empty);
    }
    if text.chars().count() > MOST_LETTERS {
        return Err(NameError::TooLong);
    }
    Ok(text.to_owned())
}

/// Takes `text` as a name of ingredient lists; none is one too. A colour's number is written as lists have it, “CI 77891”.
///
/// # Errors
/// [`NameError`] as of [`name`].
pub fn inci(text: &str) -> Result<String, NameError> {
    if text.trim().is_empty() {
        return Ok(String::new());
    }
    let text = name(text)?;
    let number = text.get(..2).filter(|ci| ci.eq_ignore_ascii_case("ci")).map_or(text.as_str(), |_| &text[2..]);
    let number = number.trim_start_matches([' ', '-', '.']);
    let is_number = number.len() == 5 && number.bytes().all(|b| b.is_ascii_digit());
    Ok(if is_number { format!("CI {number}") } else { text })
}

/// What is said of where a typed name of ingredient lists was confirmed.
pub fn inci_status(inci: &str) -> String {
    if inci.is_empty() { "not found" } else { AS_GIVEN }.into()
}

/// An id from a `name`, which is none of those `taken`.
pub fn id(name: &str, taken: impl Fn(&str) -> bool) -> Option<MaterialId> {
    const LONGEST: usize = 48;
    let plain = |c: char| if c.is_ascii_alphanumeric() { c } else { '_' };
    let base: String = "own_".chars().chain(name.to_lowercase().chars().map(plain).take(LONGEST)).collect();
    let numbered = (2_u32..).map(|n| format!("{base}_{n}"));
    std::iter::once(base.clone()).chain(numbered).find(|id| !taken(id)).and_then(|id| MaterialId::new(&id).ok())
}

/// A figure that is none.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FigureError {
    /// Not a number, or not two.
    #[error(transparent)]
    Number(#[from] NumberError),
    /// From more to less.
    #[error("“{0}” goes from more to less: write the lower number first")]
    Reversed(String),
    /// Less than nothing.
    #[error("“{0}” goes below nothing")]
    Negative(String),
}

/// The ends of a figure as certificates give it: one number, “190 ± 2”, “188–196”, “188 to 196”, “max 15”, “< 0,5”. One
/// number alone is a figure of no width.
///
/// # Errors
/// [`FigureError`] if it is none, or goes below nothing.
///
/// ```
/// use barwright_core::design::own::figure;
/// use barwright_core::units::Interval;
/// assert_eq!(figure("188–196 mg KOH/g", &["mg KOH/g"]).ok(), Interval::new(188.0, 196.0).ok());
/// assert_eq!(figure("190 ± 2", &[]), figure("188 to 192", &[]));
/// assert_eq!(figure("max 1,5 %", &["%"]).ok(), Interval::new(0.0, 1.5).ok());
/// ```
pub fn figure(text: &str, units: &[&str]) -> Result<Interval, FigureError> {
    let text = text.trim();
    let number = |part: &str| parse(part, units);
    let (least, most) = if let Some((middle, pm)) = text.split_once('±').or_else(|| text.split_once("+/-")) {
        let (middle, pm) = (number(middle)?, number(pm)?);
        (middle - pm, middle + pm)
    } else if let Some(most) =
        ["<=", "<", "≤", "max.", "max", "up to", "below"].iter().find_map(|sign| beginning(text, sign))
    {
        (0.0, number(most)?)
    } else {
        // Before a number it is its sign, behind one it stands between two.
        let dash = |sign: char| text.char_indices().skip(1).find(|(_, c)| *c == sign).map(|(at, c)| (at, c.len_utf8()));
        let word = [" to ", "..", "…"].iter().find_map(|word| Some((text.find(word)?, word.len())));
        if let Some((at, length)) = word.or_else(|| dash('–')).or_else(|| dash('—')).or_else(|| dash('-')) {
            (number(&text[..at])?, number(&text[at + length..])?)
        } else {
            let one = number(text)?;
            (one, one)
        }
    };
    if least < 0.0 {
        return Err(FigureError::Negative(text.to_owned()));
    }
    Interval::new(least, most).ok().ok_or_else(|| FigureError::Reversed(text.to_owned()))
}

/// What stands behind `sign` where `text` begins with it, in whatever case.
fn beginning<'t>(text: &'t str, sign: &str) -> Option<&'t str> {
    text.get(..sign.len()).filter(|first| first.eq_ignore_ascii_case(sign)).map(|_| &text[sign.len()..])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_as_certificates_write_them_are_read_and_others_refused() {
        let range = |text: &str| figure(text, &["%"]).map(|i| (i.min(), i.max()));
        assert_eq!(range("190"), Ok((190.0, 190.0)));
        assert_eq!(range(" 45,1–53.2 % "), Ok((45.1, 53.2)));
        assert_eq!(range("45-53"), Ok((45.0, 53.0)));
        assert_eq!(range("190 +/- 3"), Ok((187.0, 193.0)));
        assert_eq!(range("≤ 0.5 %"), Ok((0.0, 0.5)));
        assert_eq!(range("Max. 15"), Ok((0.0, 15.0)));
        for bad in ["", "-", "–5", "196-188", "2 ± 5", "a to b", "1 – 2 – 3", "max", "±", "190 ± ", "e3", "NaN", "inf"]
        {
            assert!(range(bad).is_err(), "{bad}: {:?}", range(bad));
        }
    }

    #[test]
    fn names_with_what_cannot_be_seen_are_refused_and_told() {
        for (text, sign) in
            [("Oil\u{7}", 7), ("a\u{202e}lio", 0x202e), ("a\u{200b}b", 0x200b), ("a\nb", 10), ("\u{2066}x", 0x2066)]
        {
            let error = name(text).expect_err(text);
            assert_eq!(error, NameError::Unseen(sign));
            assert!(error.to_string().contains("type the name anew"), "{error}");
        }
        assert_eq!(name("  "), Err(NameError::Empty));
        assert_eq!(name(&"a".repeat(121)), Err(NameError::TooLong));
        assert_eq!(name("Õunaõli \u{6cb9}").as_deref(), Ok("Õunaõli \u{6cb9}"), "any script");
    }

    #[test]
    fn a_colour_number_is_written_as_lists_have_it() {
        for text in ["CI 77491", "ci77491", " 77491", "CI-77491"] {
            assert_eq!(inci(text).as_deref(), Ok("CI 77491"), "{text}");
        }
        assert_eq!(inci("Rubia Tinctorum Root Powder").as_deref(), Ok("Rubia Tinctorum Root Powder"));
        assert_eq!(inci("ü").as_deref(), Ok("ü"));
        assert_eq!(inci(" ").as_deref(), Ok(""));
    }

    #[test]
    fn an_id_is_new_and_can_stand_in_a_file() {
        let first = id("Orchard press, cold", |_| false).expect("an id");
        assert_eq!(first.as_str(), "own_orchard_press__cold");
        let second = id("Orchard press, cold", |id| id == first.as_str()).expect("an id");
        assert_eq!(second.as_str(), "own_orchard_press__cold_2");
        assert!(id(&"\u{6cb9}".repeat(200), |_| false).is_some(), "any script and length");
    }
}
