//! Redoes the arithmetic of an explanation, for tests.

use std::iter::Peekable;
use std::str::Chars;
use std::vec::IntoIter;

/// What a reader with a pocket calculator sees; units and words are passed over.
#[derive(Debug, Clone, PartialEq)]
enum Sign {
    Number(f64),
    Function(String),
    Other(char),
}

fn signs(text: &str) -> Vec<Sign> {
    let mut left = text.chars().peekable();
    let mut signs = Vec::new();
    while let Some(c) = left.peek().copied() {
        match c {
            '0'..='9' => {
                let part = |c: &char| c.is_ascii_digit() || matches!(c, '.' | '\u{202f}');
                let number = taken(&mut left, part).replace('\u{202f}', "");
                signs.push(Sign::Number(number.parse().unwrap_or_else(|e| panic!("{number:?}: {e}"))));
            }
            '+' | '\u{2212}' | '×' | '÷' | '(' | ')' | ';' => {
                left.next();
                signs.push(Sign::Other(c));
            }
            _ if c.is_alphabetic() => {
                let word = taken(&mut left, |c| c.is_alphanumeric() || *c == '/');
                if word.ends_with('/') {
                    // A unit with several below: kJ/(kg K).
                    drop(taken(&mut left, |c| *c != ')'));
                    left.next();
                } else if left.peek() == Some(&'(') {
                    signs.push(Sign::Function(word));
                }
            }
            _ => drop(left.next()),
        }
    }
    signs
}

fn taken(left: &mut Peekable<Chars<'_>>, part: impl Fn(&char) -> bool) -> String {
    std::iter::from_fn(|| left.next_if(&part)).collect()
}

struct Calculator(Peekable<IntoIter<Sign>>);

impl Calculator {
    fn take(&mut self, sign: char) -> bool {
        self.0.next_if_eq(&Sign::Other(sign)).is_some()
    }

    fn sum(&mut self) -> f64 {
        let mut sum = self.product();
        loop {
            if self.take('+') {
                sum += self.product();
            } else if self.take('\u{2212}') {
                sum -= self.product();
            } else {
                return sum;
            }
        }
    }

    fn product(&mut self) -> f64 {
        let mut product = self.one();
        loop {
            if self.take('×') {
                product *= self.one();
            } else if self.take('÷') {
                product /= self.one();
            } else {
                return product;
            }
        }
    }

    fn in_brackets(&mut self) -> Vec<f64> {
        let mut values = vec![self.sum()];
        while self.take(';') {
            values.push(self.sum());
        }
        assert!(self.take(')'), "a bracket is closed");
        values
    }

    fn one(&mut self) -> f64 {
        match self.0.next() {
            Some(Sign::Number(value)) => value,
            Some(Sign::Other('\u{2212}')) => -self.one(),
            Some(Sign::Other('(')) => self.in_brackets()[0],
            Some(Sign::Function(word)) => {
                assert!(self.take('('), "{word} has brackets");
                let values = self.in_brackets();
                match word.as_str() {
                    "ln" => values[0].ln(),
                    "exp" => values[0].exp(),
                    "cbrt" => values[0].cbrt(),
                    "abs" => values[0].abs(),
                    "ceil" => values[0].ceil(),
                    "min" => values.into_iter().fold(f64::INFINITY, f64::min),
                    "max" => values.into_iter().fold(f64::NEG_INFINITY, f64::max),
                    _ => panic!("{word} is no function"),
                }
            }
            other => panic!("{other:?} is no number"),
        }
    }
}

/// What stands before the last equals sign, reckoned.
pub(super) fn redo(with_numbers: &str) -> f64 {
    let (sum, _) = with_numbers.rsplit_once(" = ").expect("an equals sign");
    let sum = sum.rsplit_once(": ").map_or(sum, |(_, s)| s);
    let mut calculator = Calculator(signs(sum).into_iter().peekable());
    let value = calculator.sum();
    assert_eq!(calculator.0.next(), None, "{with_numbers} is read to its end");
    value
}

/// The numbers that stand in it.
pub(super) fn numbers_of(text: &str) -> impl Iterator<Item = f64> {
    signs(text).into_iter().filter_map(|sign| match sign {
        Sign::Number(value) => Some(value),
        _ => None,
    })
}
