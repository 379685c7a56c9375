//! What is worked out in a field: "22*0.64", "1200/3", "312 - 20".

use super::NumberError;

/// An operator between two numbers.
#[derive(Clone, Copy, PartialEq)]
enum Operator {
    Plus,
    Minus,
    Times,
    Over,
}

impl Operator {
    const fn of(sign: char) -> Option<Self> {
        Some(match sign {
            '+' => Self::Plus,
            '-' | '\u{2212}' => Self::Minus,
            '*' | '×' | '·' => Self::Times,
            '/' | '÷' => Self::Over,
            _ => return None,
        })
    }

    /// Whether it goes before sums and differences.
    const fn binds(self) -> bool {
        matches!(self, Self::Times | Self::Over)
    }
}

/// The value of `text`, whose numbers `figure` reads: products and quotients before sums and differences, from left
/// to right. A sign that follows no digit belongs to its number, and so does a minus without a space at both sides:
/// "9-1/2" is nine and a half to some.
///
/// # Errors
/// What `figure` says of a number, or [`NumberError::NotANumber`] if the value is not finite.
pub(super) fn worked_out(text: &str, figure: impl Fn(&str) -> Result<f64, NumberError>) -> Result<f64, NumberError> {
    let mut parts: Vec<(Operator, &str)> = Vec::new();
    let (mut operator, mut start, mut is_after_digit) = (Operator::Plus, 0, false);
    for (i, sign) in text.char_indices() {
        match Operator::of(sign) {
            Some(Operator::Minus) if !text[..i].ends_with(' ') || !text[i + sign.len_utf8()..].starts_with(' ') => {}
            Some(next) if is_after_digit || next.binds() => {
                parts.push((operator, &text[start..i]));
                (operator, start, is_after_digit) = (next, i + sign.len_utf8(), false);
            }
            _ if sign.is_whitespace() => {}
            _ => is_after_digit = sign.is_ascii_digit() || matches!(sign, '.' | ','),
        }
    }
    parts.push((operator, &text[start..]));
    let (mut sum, mut product) = (0.0, 0.0);
    let refuse = || NumberError::NotANumber(text.trim().to_owned());
    let mut before = Operator::Plus;
    for (operator, number) in parts {
        let is_signed = number.trim_start().starts_with(['+', '-', '\u{2212}']);
        // Nobody divides by a signed number, and "1/2/3" is a day.
        if operator.binds() && is_signed || operator == Operator::Over && before == Operator::Over {
            return Err(refuse());
        }
        before = operator;
        let value = figure(number)?;
        match operator {
            Operator::Plus | Operator::Minus => {
                sum += product;
                product = if operator == Operator::Plus { value } else { -value };
            }
            Operator::Times => product *= value,
            Operator::Over => product /= value,
        }
    }
    let value: f64 = sum + product;
    if value.is_finite() { Ok(value) } else { Err(refuse()) }
}

#[cfg(test)]
mod tests {
    use crate::number::{parse, parse_mass};
    use crate::units::{Grams, MassUnit};

    #[test]
    fn what_is_worked_out_is_what_a_calculator_gives_and_what_may_mean_two_things_is_refused() {
        for (text, value) in [
            ("22*0.64", 14.08),
            ("1200/3", 400.0),
            ("1 200/3", 400.0),
            ("2 + 3 * 4", 14.0),
            ("12,5×2", 25.0),
            ("312 - 20", 292.0),
            ("10 − 4 / 2", 8.0),
            ("-3", -3.0),
            ("5 + -3", 2.0),
        ] {
            let read = parse(text, &[]).expect(text);
            assert!((read - value).abs() < 1e-12, "{text}: {read}");
        }
        for text in ["9-1/2", "4-6", "1/2/3", "3*", "/4", "2**3", "1/0", "3*-2", "2 + ", "1,250*2"] {
            assert!(parse(text, &[]).is_err(), "{text}");
        }
        assert_eq!(parse_mass("22*0.5 oz", MassUnit::Gram), parse_mass("11 oz", MassUnit::Gram));
        assert_eq!(parse_mass("1000/4 + 50", MassUnit::Gram), Ok(Grams(300.0)));
    }
}
