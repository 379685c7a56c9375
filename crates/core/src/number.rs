//! Numbers as people type and read them: comma or point, a thin space for thousands, a real minus.

mod arithmetic;

use crate::units::{Grams, LengthUnit, MassUnit, TemperatureUnit, VolumeUnit};

/// Text that is not a number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NumberError {
    /// Nothing was typed.
    #[error("type a number")]
    Empty,
    /// The text is not a finite number.
    #[error("“{0}” is not a number")]
    NotANumber(String),
    /// The number may mean two things.
    #[error("“{0}” may mean thousands or a fraction; type it without the comma, or with a point for the fraction")]
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

/// Whether each space or apostrophe between digits of `number` stands before a group of three: "5 5" is not 55.
fn groups_by_three(number: &str) -> bool {
    let separates = |c: char| c.is_whitespace() || matches!(c, '\'' | '’');
    let mut parts = number.split(separates);
    let mut is_after_digit = parts.next().is_some_and(|first| first.ends_with(|c: char| c.is_ascii_digit()));
    parts.all(|part| {
        let digits = part.bytes().take_while(u8::is_ascii_digit).count();
        let fits = !is_after_digit || digits == 3;
        is_after_digit = part.ends_with(|c: char| c.is_ascii_digit());
        fits
    })
}

/// Whether `number` reads as 1.5 to some and as 1500 to others: one comma, three digits behind it, and before it up to
/// three that do not begin with a zero.
fn could_be_thousands(number: &str) -> bool {
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    let unsigned = number.trim_start_matches(['+', '-', '\u{2212}']).trim();
    unsigned.split_once(',').is_some_and(|(whole, rest)| {
        rest.len() == 3 && digits(rest) && (1..=3).contains(&whole.len()) && digits(whole) && !whole.starts_with('0')
    })
}

/// Reads a number without a unit, or what is worked out of such: "1200/3".
fn bare(text: &str) -> Result<f64, NumberError> {
    arithmetic::worked_out(text, figure)
}

/// Reads a single number: comma or point as decimal sign, the other sign, spaces and
/// apostrophes as grouping, U+2212 as minus.
fn figure(number: &str) -> Result<f64, NumberError> {
    let refuse = || NumberError::NotANumber(number.to_owned());
    if !groups_by_three(number.trim()) {
        return Err(refuse());
    }
    if could_be_thousands(number.trim()) {
        return Err(NumberError::Ambiguous(number.trim().to_owned()));
    }
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
/// assert_eq!((parse("1200/3", &[]), parse("22*0,5 + 1 %", &["%"])), (Ok(400.0), Ok(12.0)));
/// ```
pub fn parse(text: &str, units: &[&str]) -> Result<f64, NumberError> {
    let (number, unit) = split(text)?;
    if !unit.is_empty() && !units.iter().any(|u| u.eq_ignore_ascii_case(unit)) {
        return Err(NumberError::Unit(unit.to_owned()));
    }
    bare(number)
}

/// What a bare number counts behind one that carries `unit`: "2 lb 3" are ounces, whatever unit is shown. `None` where
/// nobody writes so.
fn smaller(unit: &str) -> Option<f64> {
    Some(match unit {
        "lb" | "lbs" | "pound" | "pounds" => MassUnit::Ounce.grams(),
        "kg" => 1.0,
        "ft" | "foot" | "feet" | "'" | "′" => LengthUnit::Inch.millimetres(),
        "m" => LengthUnit::Centimetre.millimetres(),
        _ => return None,
    })
}

/// Reads numbers with units of one kind and adds them, as in "2 lb 3 oz"; one alone without a unit counts `bare_unit`
/// times, `known` gives what one of a unit counts.
fn sum_of(text: &str, bare_unit: f64, known: impl Fn(&str) -> Option<f64>) -> Result<f64, NumberError> {
    let mut rest = text.trim();
    if rest.is_empty() {
        return Err(NumberError::Empty);
    }
    let mut sum = 0.0;
    let mut before: Option<String> = None;
    while !rest.is_empty() {
        let is_unit = |c: char| c.is_alphabetic() || matches!(c, '%' | ':' | '°' | '"' | '″' | '\'' | '′');
        // An apostrophe between digits groups thousands.
        let after_number = |i: usize| !rest[i..].chars().nth(1).is_some_and(|c| c.is_ascii_digit());
        let start = rest.char_indices().find(|(i, c)| is_unit(*c) && (*c != '\'' || after_number(*i)));
        let start = start.map_or(rest.len(), |(i, _)| i);
        let (number, tail) = rest.split_at(start);
        let end = tail.find(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '\u{2212}')).unwrap_or(tail.len());
        let (unit, next) = tail.split_at(end);
        let unit = unit.trim().trim_end_matches([',', ';', '.']).trim();
        let name = unit.to_lowercase();
        let size = match &before {
            Some(before) if unit.is_empty() => {
                smaller(before).ok_or_else(|| NumberError::NotANumber(text.trim().to_owned()))?
            }
            None if unit.is_empty() => bare_unit,
            _ => known(&name).ok_or_else(|| NumberError::Unit(unit.to_owned()))?,
        };
        sum += with_fraction(number.trim())? * size;
        rest = next.trim();
        before = Some(name);
    }
    if sum.is_finite() { Ok(sum) } else { Err(NumberError::NotANumber(text.trim().to_owned())) }
}

/// Reads a bare number, or one with a common fraction as inches have it: "9 1/2", "3/4".
fn with_fraction(number: &str) -> Result<f64, NumberError> {
    let mixed = number.split_once('/').and_then(|(before, bottom)| {
        let (whole, top) = before.trim().rsplit_once(' ')?;
        let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        let [top, bottom] = [top, bottom.trim()].map(|part| part.parse::<f64>().ok().filter(|_| digits(part)));
        // "1 200/3" is a third of twelve hundred.
        Some((whole.trim(), top? / bottom?)).filter(|(_, part)| *part < 1.0)
    });
    let Some((whole, part)) = mixed else { return bare(number) };
    let is_negative = whole.starts_with(['-', '\u{2212}']);
    Ok(figure(whole)? + if is_negative { -part } else { part })
}

/// Reads a mass; a number without a unit is in `unit`. Knows g, kg, oz and lb, and several together.
///
/// # Errors
/// [`NumberError`] if the text is empty, no finite number, or carries another unit.
///
/// ```
/// use barwright_core::{number::parse_mass, units::{Grams, MassUnit}};
/// assert_eq!(parse_mass("0,75 kg", MassUnit::Gram), Ok(Grams(750.0)));
/// assert_eq!(parse_mass("2", MassUnit::Ounce), Ok(Grams(56.69904625)));
/// assert_eq!(parse_mass("1 lb 4 oz", MassUnit::Gram), parse_mass("20", MassUnit::Ounce));
/// ```
pub fn parse_mass(text: &str, unit: MassUnit) -> Result<Grams, NumberError> {
    let known = |unit: &str| {
        Some(match unit {
            "g" | "gram" | "grams" => 1.0,
            "kg" => 1000.0,
            "oz" | "ounce" | "ounces" => MassUnit::Ounce.grams(),
            "lb" | "lbs" | "pound" | "pounds" => 16.0 * MassUnit::Ounce.grams(),
            _ => return None,
        })
    };
    sum_of(text, unit.grams(), known).map(Grams)
}

/// Reads a temperature in °C; a number without a unit is in `unit`.
///
/// # Errors
/// [`NumberError`] if the text is empty, no finite number, or carries another unit.
///
/// ```
/// use barwright_core::{number::parse_celsius, units::TemperatureUnit};
/// assert_eq!(parse_celsius("68 °F", TemperatureUnit::Celsius), Ok(20.0));
/// assert_eq!(parse_celsius("20C", TemperatureUnit::Fahrenheit), Ok(20.0));
/// ```
pub fn parse_celsius(text: &str, unit: TemperatureUnit) -> Result<f64, NumberError> {
    let (number, typed) = split(text)?;
    let unit = match typed.trim_start_matches(['°', 'º']).trim().to_lowercase().as_str() {
        "" => unit,
        "c" => TemperatureUnit::Celsius,
        "f" => TemperatureUnit::Fahrenheit,
        _ => return Err(NumberError::Unit(typed.to_owned())),
    };
    bare(number).map(|degrees| unit.to_celsius(degrees))
}

/// Reads a length in millimetres; a number without a unit is in `unit`. Knows mm, cm, m, in and ft.
///
/// # Errors
/// [`NumberError`] if the text is empty, no finite number, or carries another unit.
///
/// ```
/// use barwright_core::{number::parse_millimetres, units::LengthUnit};
/// assert_eq!(parse_millimetres("24 cm", LengthUnit::Millimetre), Ok(240.0));
/// assert_eq!(parse_millimetres("9 1/2 in", LengthUnit::Millimetre), Ok(241.29999999999998));
/// assert_eq!(parse_millimetres("9.5\"", LengthUnit::Centimetre), Ok(241.29999999999998));
/// ```
pub fn parse_millimetres(text: &str, unit: LengthUnit) -> Result<f64, NumberError> {
    let inch = LengthUnit::Inch.millimetres();
    let known = |unit: &str| {
        Some(match unit {
            "mm" => 1.0,
            "cm" => LengthUnit::Centimetre.millimetres(),
            "m" => 1000.0,
            "in" | "inch" | "inches" | "\"" | "″" => inch,
            "ft" | "foot" | "feet" | "'" | "′" => 12.0 * inch,
            _ => return None,
        })
    };
    sum_of(text, unit.millimetres(), known)
}

/// Reads the sides of something in millimetres, as many as are written with × or x between them. A unit behind the last
/// is that of all that have none of their own; without any they are in `unit`.
///
/// # Errors
/// [`NumberError`] if a side is no [length](parse_millimetres).
///
/// ```
/// use barwright_core::{number::parse_sides, units::LengthUnit};
/// assert_eq!(parse_sides("240x70×60", LengthUnit::Millimetre), Ok(vec![240.0, 70.0, 60.0]));
/// assert_eq!(parse_sides("24 x 70 mm x 6 cm", LengthUnit::Inch), Ok(vec![240.0, 70.0, 60.0]));
/// ```
pub fn parse_sides(text: &str, unit: LengthUnit) -> Result<Vec<f64>, NumberError> {
    // An apostrophe between digits groups them.
    let has_unit = |side: &str| {
        side.contains(|c: char| c.is_alphabetic() || matches!(c, '"' | '″' | '′')) || side.trim_end().ends_with('\'')
    };
    let sides: Vec<&str> = text.split(['x', 'X', '×']).collect();
    let last = sides.last().map(|last| last.split_at(last.rfind(|c: char| c.is_numeric()).map_or(0, |at| at + 1)));
    // Of “1 ft 3 in” no other side has a part.
    let shared = last.filter(|(number, _)| !has_unit(number)).map_or("", |(_, unit)| unit);
    let side = |side: &&str| {
        let side = if has_unit(side) { (*side).to_owned() } else { format!("{side}{shared}") };
        parse_millimetres(&side, unit)
    };
    sides.iter().map(side).collect()
}

/// Reads a volume in millilitres; a number without a unit is in `unit`. Knows ml, cl, dl, l, fl oz, pt, qt and gal as
/// in the United States.
///
/// # Errors
/// [`NumberError`] if the text is empty, no finite number, or carries another unit.
///
/// ```
/// use barwright_core::{number::parse_millilitres, units::VolumeUnit};
/// assert_eq!(parse_millilitres("1,2 l", VolumeUnit::FluidOunce), Ok(1200.0));
/// assert_eq!(parse_millilitres("1 pt", VolumeUnit::Millilitre), parse_millilitres("16", VolumeUnit::FluidOunce));
/// ```
pub fn parse_millilitres(text: &str, unit: VolumeUnit) -> Result<f64, NumberError> {
    let fluid_ounce = VolumeUnit::FluidOunce.millilitres();
    let known = |unit: &str| {
        Some(match unit.trim_end_matches('.') {
            "ml" => 1.0,
            "cl" => 10.0,
            "dl" => 100.0,
            "l" | "litre" | "litres" | "liter" | "liters" => 1000.0,
            "fl oz" | "fl. oz" | "floz" => fluid_ounce,
            "pt" => 16.0 * fluid_ounce,
            "qt" => 32.0 * fluid_ounce,
            "gal" => 128.0 * fluid_ounce,
            _ => return None,
        })
    };
    sum_of(text, unit.millilitres(), known)
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

/// So many of something, by its name for one and for more.
///
/// ```
/// use barwright_core::number::counted;
/// assert_eq!(counted(1, "batch", "batches"), "1 batch");
/// assert_eq!(counted(0, "batch", "batches"), "0 batches");
/// ```
pub fn counted(count: usize, one: &str, more: &str) -> String {
    format!("{} {}", fixed(count as f64, 0), if count == 1 { one } else { more })
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
    fn the_last_unit_of_sides_is_that_of_those_without_one() {
        for (text, expected) in [
            ("10 x 4 x 3 in", [254.0, 101.6, 76.2]),
            ("200 x 100 x 1 ft 3 in", [200.0, 100.0, 381.0]),
            ("9 1/2 in x 3 in x 2", [241.3, 76.2, 2.0]),
            ("1'200 x 300 x 200 mm", [1200.0, 300.0, 200.0]),
        ] {
            let sides = parse_sides(text, LengthUnit::Millimetre).expect(text);
            assert!(
                sides.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-9) && sides.len() == 3,
                "{text}: {sides:?}"
            );
        }
    }

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
    fn what_could_be_thousands_is_not_guessed_at_in_any_unit() {
        for text in
            ["1,500", "1,500 g", "1,500 kg", "1,250 lb", "12,500", "\u{2212}1,500", "1 kg 1,500 g", "2 lb 1,250 oz"]
        {
            assert!(matches!(parse_mass(text, MassUnit::Ounce), Err(NumberError::Ambiguous(_))), "{text}: 1.5 or 1500");
        }
        assert!(matches!(parse("33,333 %", &["%"]), Err(NumberError::Ambiguous(_))), "a share");
        assert!(
            matches!(parse_celsius("1,500 °C", TemperatureUnit::Celsius), Err(NumberError::Ambiguous(_))),
            "degrees"
        );
        let said = parse_mass("1,500 kg", MassUnit::Gram).expect_err("ambiguous").to_string();
        assert!(said.contains("without the comma, or with a point"), "{said}");
        for (text, grams) in [
            ("1500", 1500.0),
            ("1,5", 1.5),
            ("12,50", 12.5),
            ("1,5000", 1.5),
            ("0,125", 0.125),
            (",125", 0.125),
            ("0,750 kg", 750.0),
            ("1.500 kg", 1500.0),
            ("1.500,0", 1500.0),
            ("1,500.0", 1500.0),
            ("1250,125", 1250.125),
            ("1 250,125", 1250.125),
        ] {
            assert_eq!(parse_mass(text, MassUnit::Gram), Ok(Grams(grams)), "reading {text}");
        }
    }

    #[test]
    fn units_add_up_and_those_of_another_kind_are_refused() {
        let pound = 16.0 * MassUnit::Ounce.grams();
        for (text, grams) in [("2 lb 3 oz", 2.1875 * pound), ("2lb3oz", 2.1875 * pound), ("1 kg 250", 1250.0)] {
            let read = parse_mass(text, MassUnit::Gram).expect("a mass").0;
            assert!((read - grams).abs() < 1e-9, "{text}: {read}");
        }
        for (text, mm) in [("1'000 mm", 1000.0), ("1 ft 2 in", 355.6), ("3/4 in", 19.05), ("24,5cm", 245.0)] {
            let read = parse_millimetres(text, LengthUnit::Millimetre).expect("a length");
            assert!((read - mm).abs() < 1e-9, "{text}: {read}");
        }
        for text in ["", "cm", "3 kg", "1/0 in", "1/2/3", "in 3", "--2 cm", "2 cm cm"] {
            assert!(parse_millimetres(text, LengthUnit::Inch).is_err(), "{text:?} is no length");
        }
        for text in ["20 K", "°C", "20 °C °F", "20 °F 3"] {
            assert!(parse_celsius(text, TemperatureUnit::Celsius).is_err(), "{text:?} is no temperature");
        }
        for text in ["2 oz", "1 g", "fl oz"] {
            assert!(parse_millilitres(text, VolumeUnit::Millilitre).is_err(), "{text:?} is no volume");
        }
    }

    #[test]
    fn a_bare_number_behind_a_unit_is_of_the_smaller_one_or_refused() {
        for unit in MassUnit::ALL {
            assert_eq!(parse_mass("2 lb 3", unit), parse_mass("2 lb 3 oz", unit));
            assert_eq!(parse_mass("1 kg 500", unit), Ok(Grams(1500.0)));
            assert!(parse_mass("3 oz 2", unit).is_err() && parse_mass("5 g 3", unit).is_err());
        }
        for unit in [LengthUnit::Millimetre, LengthUnit::Inch] {
            assert_eq!(parse_millimetres("2' 6", unit), parse_millimetres("2 ft 6 in", unit));
            assert_eq!(parse_millimetres("5 ft 6", unit), parse_millimetres("5 ft 6 in", unit));
        }
        assert!(parse_millilitres("1 pt 3", VolumeUnit::FluidOunce).is_err(), "3 of what?");
    }

    #[test]
    fn a_fraction_goes_the_way_of_its_whole_and_spaces_group_by_three() {
        assert_eq!(parse_mass("\u{2212}1 1/2 g", MassUnit::Gram), Ok(Grams(-1.5)));
        assert_eq!(parse_mass("1 000 1/2 g", MassUnit::Gram), Ok(Grams(1000.5)));
        for text in ["9 -1/2 g", "1/-3 g", "5 5 g", "1 2 3 g", "1 1 1/2 g", "12 34", "1'2'3"] {
            assert!(parse_mass(text, MassUnit::Gram).is_err(), "{text:?} may mean two things");
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
