//! Redoes the arithmetic of an explanation, for tests.

/// A reader with a pocket calculator: numbers, + − × ÷, brackets, ln, min and max; units and words
/// are passed over.
pub(super) struct Sum<'a>(pub(super) std::iter::Peekable<std::str::Chars<'a>>);

impl Sum<'_> {
    pub(super) fn peek(&mut self) -> Option<char> {
        let part = |c: &char| matches!(c, '0'..='9' | '+' | '−' | '×' | '÷' | '(' | ')' | ';');
        while self.0.next_if(|c| !part(c) && !matches!(c, 'l' | 'm')).is_some() {}
        self.0.peek().copied()
    }

    pub(super) fn all(&mut self) -> f64 {
        let mut sum = self.product();
        loop {
            match self.peek() {
                Some('+') => sum += self.after(Self::product),
                Some('−') => sum -= self.after(Self::product),
                _ => return sum,
            }
        }
    }

    pub(super) fn after(&mut self, next: fn(&mut Self) -> f64) -> f64 {
        self.0.next();
        next(self)
    }

    pub(super) fn product(&mut self) -> f64 {
        let mut product = self.one();
        loop {
            match self.peek() {
                Some('×') => product *= self.after(Self::one),
                Some('÷') => product /= self.after(Self::one),
                // A unit: g/ml, min.
                Some('l' | 'm') => drop(self.word()),
                _ => return product,
            }
        }
    }

    pub(super) fn word(&mut self) -> String {
        std::iter::from_fn(|| self.0.next_if(|c| c.is_alphabetic() || *c == '/')).collect()
    }

    pub(super) fn one(&mut self) -> f64 {
        match self.peek() {
            Some('−') => -self.after(Self::one),
            Some('(') => {
                let value = self.after(Self::all);
                assert_eq!(self.peek(), Some(')'), "a bracket is closed");
                self.0.next();
                value
            }
            Some('l' | 'm') => {
                let word = self.word();
                self.0.next();
                let mut values = vec![self.all()];
                while self.peek() == Some(';') {
                    values.push(self.after(Self::all));
                }
                self.0.next();
                match word.as_str() {
                    "ln" => values[0].ln(),
                    "min" => values.into_iter().fold(f64::INFINITY, f64::min),
                    "max" => values.into_iter().fold(f64::NEG_INFINITY, f64::max),
                    _ => panic!("{word} is no function"),
                }
            }
            _ => {
                let part = |c: &char| c.is_ascii_digit() || matches!(c, '.' | '\u{202f}');
                let text: String = std::iter::from_fn(|| self.0.next_if(part)).filter(|c| *c != '\u{202f}').collect();
                text.parse().unwrap_or_else(|e| panic!("{text:?}: {e}"))
            }
        }
    }
}

pub(super) fn redo(with_numbers: &str) -> f64 {
    let (sum, _) = with_numbers.rsplit_once(" = ").expect("an equals sign");
    let sum = sum.rsplit_once(": ").map_or(sum, |(_, s)| s);
    let mut sum = Sum(sum.chars().peekable());
    let value = sum.all();
    assert_eq!(sum.peek(), None, "{with_numbers} is read to its end");
    value
}
