//! Numbers as people type and read them: comma or point, a thin space for thousands, a real minus.

use crate::units::{Grams, MassUnit};

/// Text that is not a number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NumberError {
    /// Nothing was typed.
    #[error("type a number")]
    Empty,
    /// The text is not a finite number.
    #[error("“{0}” is not a number")]
    NotANumber(String),
    /// The number of grams may mean two things.
    #[error("“{0}” may mean thousands or thousandths; type it without the comma, or with a point")]
    Ambiguous(String),
    /// The number carries a unit that does not belong here.
    #[error("“{0}” is not a unit that fits here")]
    Unit(String),
}

/// Splits "12,5 g" into the number's text and the unit's.
fn split(text: &str) -> Result<(&str, &str), NumberError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(NumberError::Empty);
    }
    let end = text.find(|c: char| c.is_alphabetic() || matches!(c, '%' | ':' | '°')).unwrap_or(text.len());
    if end == 0 {
        return Err(NumberError::NotANumber(text.to_owned()));
    }
    Ok((text[..end].trim(), text[end..].trim()))
}

/// Reads the bare number: comma or point as decimal sign, the other sign, spaces and
/// apostrophes as grouping, U+2212 as minus.
fn bare(number: &str) -> Result<f64, NumberError> {
    let refuse = || NumberError::NotANumber(number.to_owned());
    let plain: String = number
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '\'' | '’'))
        .map(|c| if c == '\u{2212}' { '-' } else { c })
        .collect();
    // One sign used twice, as in 1.234.567, groups; it cannot be a decimal sign.
    let decimal = plain.rfind([',', '.']).filter(|&i| plain.matches(&plain[i..=i]).count() == 1);
    let (whole, rest) = decimal.map_or((plain.as_str(), ""), |i| (&plain[..i], &plain[i + 1..]));
    let mut groups = whole.split([',', '.']);
    let first = groups.next().unwrap_or_default();
    let mut joined = first.to_owned();
    for group in groups {
        if group.len() != 3 {
            return Err(refuse());
        }
        joined.push_str(group);
    }
    if whole.contains(',') && whole.contains('.') {
        return Err(refuse());
    }
    joined.push('.');
    joined.push_str(rest);
    let digits = joined.trim_start_matches(['+', '-']);
    if joined.len() - digits.len() > 1 || !digits.bytes().all(|b| b.is_ascii_digit() || b == b'.') {
        return Err(refuse());
    }
    joined.parse::<f64>().ok().filter(|v| v.is_finite()).ok_or_else(refuse)
}

/// Reads a number that may carry one of `units`, for instance `["%"]`.
///
/// # Errors
/// [`NumberError`] if the text is empty, no finite number, or carries another unit.
///
/// ```
/// use barwright_core::number::parse;
/// assert_eq!(parse("12,5", &["%"]), Ok(12.5));
/// assert_eq!(parse("\u{2212}3.25 %", &["%"]), Ok(-3.25));
/// assert_eq!(parse("1 250,5", &[]), Ok(1250.5));
/// assert!(parse("12.5 kg", &["%"]).is_err());
/// ```
pub fn parse(text: &str, units: &[&str]) -> Result<f64, NumberError> {
    let (number, unit) = split(text)?;
    if !unit.is_empty() && !units.iter().any(|u| u.eq_ignore_ascii_case(unit)) {
        return Err(NumberError::Unit(unit.to_owned()));
    }
    bare(number)
}

/// Reads a mass; a number without a unit is in `unit`. Knows g, kg, oz and lb.
///
/// # Errors
/// [`NumberError`] if the text is empty, no finite number, or carries another unit.
///
/// ```
/// use barwright_core::{number::parse_mass, units::{Grams, MassUnit}};
/// assert_eq!(parse_mass("0,75 kg", MassUnit::Gram), Ok(Grams(750.0)));
/// assert_eq!(parse_mass("2", MassUnit::Ounce), Ok(Grams(56.69904625)));
/// ```
pub fn parse_mass(text: &str, unit: MassUnit) -> Result<Grams, NumberError> {
    let (number, typed) = split(text)?;
    let grams = match typed.to_lowercase().as_str() {
        "" => unit.grams(),
        "g" => 1.0,
        "kg" => 1000.0,
        "oz" => MassUnit::Ounce.grams(),
        "lb" | "lbs" => 16.0 * MassUnit::Ounce.grams(),
        _ => return Err(NumberError::Unit(typed.to_owned())),
    };
    if (grams - 1.0).abs() < f64::EPSILON && could_be_thousands(number) {
        return Err(NumberError::Ambiguous(number.to_owned()));
    }
    Ok(Grams(bare(number)? * grams))
}

/// Reads a density in g/mL, or a mass in g and a volume in mL with a stroke between them.
///
/// # Errors
/// [`NumberError`] if a number is missing or carries another unit.
///
/// ```
/// use barwright_core::number::parse_density;
/// assert_eq!(parse_density("1110 g / 1000 ml"), Ok(1.11));
/// assert_eq!(parse_density("1110/1000"), Ok(1.11));
/// assert_eq!(parse_density("1,05 g/ml"), Ok(1.05));
/// assert!(parse_density("1110/").is_err(), "no volume");
/// ```
pub fn parse_density(text: &str) -> Result<f64, NumberError> {
    let text = text.trim();
    match text.strip_suffix("g/ml").unwrap_or(text).split_once('/') {
        Some((mass, volume)) => Ok(parse(mass, &["g"])? / parse(volume, &["ml"])?),
        None => parse(text.strip_suffix("g/ml").unwrap_or(text), &[]),
    }
}

/// Whether `number` reads as 1.5 to some and as 1500 to others: one comma with three digits
/// behind it and something before. Nobody weighs thousandths of a gram of fat.
fn could_be_thousands(number: &str) -> bool {
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    number.split_once(',').is_some_and(|(whole, rest)| {
        rest.len() == 3 && digits(rest) && digits(whole) && whole.bytes().any(|b| b != b'0')
    })
}

/// Writes a number with fixed decimals, a thin space between thousands and a real minus.
///
/// ```
/// use barwright_core::number::fixed;
/// assert_eq!(fixed(-1234.56, 1), "\u{2212}1\u{202f}234.6");
/// assert_eq!(fixed(-0.04, 1), "0.0");
/// ```
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{:.*}", decimals, value.abs());
    let (whole, rest) = text.split_at(text.find('.').unwrap_or(text.len()));
    let mut out = String::with_capacity(text.len() + 8);
    if value < 0.0 && text.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
        out.push('\u{2212}');
    }
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(digit);
    }
    out.push_str(rest);
    out
}

/// `value` as [`fixed`] shows it with so many decimals.
///
/// ```
/// use barwright_core::number::rounded;
/// assert_eq!(rounded(1234.56, 1), 1234.6);
/// ```
pub fn rounded(value: f64, decimals: usize) -> f64 {
    format!("{value:.decimals$}").parse().unwrap_or(value)
}

/// Writes a difference: [`fixed`] with a plus in front of what is above zero.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.starts_with('\u{2212}') || !text.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
        text
    } else {
        format!("+{text}")
    }
}

/// Writes a number with as many decimals as it needs, at most `most`: "44", "12.5".
///
/// ```
/// use barwright_core::number::short;
/// assert_eq!(short(44.0, 2), "44");
/// assert_eq!(short(24.352_9, 2), "24.35");
/// ```
pub fn short(value: f64, most: usize) -> String {
    let text = fixed(value, most);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Writes a number with three significant digits, as far as eight decimals reach: "0.00145".
///
/// ```
/// use barwright_core::number::significant;
/// assert_eq!(significant(0.001_453), "0.00145");
/// assert_eq!(significant(4.9), "4.9");
/// ```
pub fn significant(value: f64) -> String {
    short(value, places(value, 3))
}

/// Decimals that show so many significant `digits` of `value`, at most eight.
///
/// ```
/// use barwright_core::number::places;
/// assert_eq!(places(0.001_453, 3), 5);
/// assert_eq!(places(4.9, 3), 2);
/// ```
pub fn places(value: f64, digits: u8) -> usize {
    let least = 10_f64.powi(i32::from(digits) - 1);
    (0..=8_u8).find(|d| value.abs() * 10_f64.powi(i32::from(*d)) >= least).unwrap_or(8).into()
}

/// Writes a mass in `unit`, with the unit's sign; 100 kg and more in kilograms.
pub fn mass(mass: Grams, unit: MassUnit) -> String {
    if unit == MassUnit::Gram && mass.0 >= 100_000.0 {
        return format!("{} kg", fixed(mass.0 / 1000.0, 2));
    }
    format!("{} {}", fixed(unit.from_grams(mass), unit.decimals()), unit.sign())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comma_and_point_both_mark_decimals_and_the_other_groups() {
        for (text, value) in [
            ("12,5", 12.5),
            ("12.5", 12.5),
            (" 7 ", 7.0),
            (".5", 0.5),
            (",5", 0.5),
            ("5,", 5.0),
            ("1.234,5", 1234.5),
            ("1,234.5", 1234.5),
            ("1,234,567", 1_234_567.0),
            ("1\u{202f}000", 1000.0),
            ("1'000.25", 1000.25),
            ("\u{2212}3", -3.0),
            ("+3", 3.0),
        ] {
            assert_eq!(parse(text, &[]), Ok(value), "reading {text:?}");
        }
    }

    #[test]
    fn what_is_no_finite_number_is_refused() {
        for text in ["", "  ", "abc", "1e400", "NaN", "inf", "--3", "1.2.3,4,5", "3 g 4", "%"] {
            assert!(parse(text, &["%"]).is_err(), "{text:?} must be refused");
        }
    }

    #[test]
    fn grams_that_could_be_thousands_are_not_guessed_at() {
        assert!(matches!(parse_mass("1,500", MassUnit::Gram), Err(NumberError::Ambiguous(_))), "1.5 or 1500");
        assert!(matches!(parse_mass("1,500 g", MassUnit::Ounce), Err(NumberError::Ambiguous(_))), "with its unit");
        for (text, grams) in
            [("1500", 1500.0), ("1,5", 1.5), ("0,750 kg", 750.0), ("1,500 kg", 1500.0), ("1.500,0", 1500.0)]
        {
            assert_eq!(parse_mass(text, MassUnit::Gram), Ok(Grams(grams)), "reading {text}");
        }
    }

    #[test]
    fn short_drops_only_zeros_after_the_point() {
        assert_eq!(short(100.0, 2), "100");
        assert_eq!(short(0.0, 2), "0");
        assert_eq!(short(5.10, 2), "5.1");
        assert_eq!(signed(2.0, 1), "+2.0");
        assert_eq!(signed(0.0, 1), "0.0");
    }
}
