//! What is told of a recorded number: its formula in symbols, with numbers, and its inputs.

use super::tape::{Function, Node, Place, Said, Sign, Solved, lines};
use super::{Input, Term};
use crate::number::short;
use crate::units::Grams;
use std::collections::HashMap;

/// How a number came about, in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Derivation {
    /// The formula in symbols.
    pub formula: String,
    /// The same with this design's numbers; redone by hand it gives the value.
    pub numbers: String,
    /// What goes in, each once, in the order of the formula.
    pub inputs: Vec<Input>,
}

/// A number that has a name and an explanation of its own: a formula that rests on it ends there.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// What a formula calls it.
    pub symbol: String,
    /// Its name.
    pub title: String,
    /// Its unit, empty for none.
    pub unit: String,
    /// Where it is explained.
    pub source: String,
}

/// `value` with at least six significant digits, or three decimals, and its unit.
pub fn number_text(value: f64, unit: &str) -> String {
    let decimals = (3..=9_u8).find(|d| value.abs() * 10_f64.powi(i32::from(*d)) >= 1e5).unwrap_or(9);
    let number = short(value, usize::from(decimals));
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}

/// A mass, likewise.
pub fn grams_text(mass: Grams) -> String {
    number_text(mass.0, "g")
}

/// How tightly the outermost sign of a text binds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Binds {
    Sum,
    Product,
    Alone,
}

/// A text with how tightly it binds.
struct Bound(String, Binds);

impl Bound {
    /// In brackets where it binds less than `least`.
    fn within(self, least: Binds) -> String {
        if self.1 < least { format!("({})", self.0) } else { self.0 }
    }

    /// As what follows a sign: one of its own stands in brackets.
    fn after_sign(self, least: Binds) -> String {
        let is_signed = self.0.starts_with('\u{2212}');
        if is_signed && self.1 >= least { format!("({})", self.0) } else { self.within(least) }
    }
}

/// Which of the two texts is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Writes {
    Symbols,
    Numbers,
}

struct Teller<'a> {
    nodes: &'a [Node],
    said: &'a HashMap<usize, Said>,
    known: &'a dyn Fn(usize) -> Option<Known>,
    root: Option<usize>,
}

impl Term<'_> {
    /// For each step on the tape whether its derivation tells it; `known` says of a step whether it has an explanation
    /// of its own.
    pub fn steps(self, known: &dyn Fn(usize) -> bool) -> Vec<bool> {
        let Some(tape) = self.tape() else { return Vec::new() };
        let nodes = tape.nodes.borrow();
        let mut steps = vec![false; nodes.len()];
        let root = self.place().at();
        let mut left: Vec<usize> = root.into_iter().collect();
        while let Some(at) = left.pop() {
            if (Some(at) != root && known(at)) || std::mem::replace(&mut steps[at], true) {
                continue;
            }
            let mut add = |place: Place| left.extend(place.at());
            match &nodes[at] {
                Node::Named { of, .. } if Some(at) == root => add(*of),
                Node::Solved(solved) if Some(at) == root => solved.residual.into_iter().for_each(add),
                // What has a name is told by it, unless it is what is asked about.
                Node::Constant | Node::Leaf { .. } | Node::Named { .. } | Node::Solved(_) => {}
                Node::Pair(_, a, b) => [*a, *b].into_iter().for_each(add),
                Node::Negated(of) | Node::Call(_, of) => add(*of),
                Node::Sum(before, line) => lines(&nodes, *before, *line).into_iter().for_each(add),
            }
        }
        steps
    }

    /// Tells how the number came about. `known` gives what has a name and an explanation of its
    /// own by its step.
    pub fn derivation(self, known: &dyn Fn(usize) -> Option<Known>) -> Derivation {
        let root = self.place();
        let Some(tape) = self.tape() else {
            let text = number_text(root.value, "");
            return Derivation { formula: text.clone(), numbers: text, inputs: Vec::new() };
        };
        let (nodes, said) = (tape.nodes.borrow(), tape.said.borrow());
        let teller = Teller { nodes: &nodes, said: &said, known, root: root.at() };
        let mut inputs = Vec::new();
        let (formula, numbers) = match root.at().map(|at| (&nodes[at], said.get(&at))) {
            Some((Node::Named { of, .. }, _)) => {
                teller.gather(*of, &mut inputs);
                (teller.text(*of, Writes::Symbols).0, teller.text(*of, Writes::Numbers).0)
            }
            Some((Node::Solved(solved), _)) if let Some(residual) = solved.residual => {
                let Solved { symbol, condition, .. } = **solved;
                teller.gather(residual, &mut inputs);
                // It is no input of itself.
                inputs.retain(|input| input.name != upper_case(symbol));
                let (symbols, numbers) =
                    (teller.text(residual, Writes::Symbols).0, teller.text(residual, Writes::Numbers).0);
                let rest = number_text(residual.value, "");
                (
                    format!("{symbol} solved so that {condition}: {symbols} = 0"),
                    format!("{numbers} = {rest}, as good as 0, with {symbol}"),
                )
            }
            Some((Node::Leaf { symbol, .. }, Some(Said::Inputs(several)))) if several.len() > 1 => {
                inputs.clone_from(several);
                let values: Vec<&str> = several.iter().map(|input| input.value.as_str()).collect();
                ((*symbol).into(), values.join(", "))
            }
            _ => {
                teller.gather(root, &mut inputs);
                (teller.text(root, Writes::Symbols).0, teller.text(root, Writes::Numbers).0)
            }
        };
        Derivation { formula, numbers, inputs }
    }
}

/// "all fats" of "All fats"; an abbreviation keeps its capitals.
pub fn lower_case(title: &str) -> String {
    let mut letters = title.chars();
    let first = letters.next();
    let rest = letters.as_str();
    match first {
        Some(c) if !rest.starts_with(char::is_uppercase) => c.to_lowercase().chain(rest.chars()).collect(),
        _ => title.into(),
    }
}

/// "Pure alkali" of "pure alkali".
fn upper_case(symbol: &str) -> String {
    let mut letters = symbol.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect()
}

impl Teller<'_> {
    /// What `place` is known as, if it is not the number that is told.
    fn known(&self, place: Place) -> Option<Known> {
        place.at().filter(|at| Some(*at) != self.root).and_then(|at| (self.known)(at))
    }

    /// Whether `place` is nothing that a person chose: a sum says nothing of it.
    fn is_nothing(&self, place: Place) -> bool {
        let is_chosen = place.at().is_some_and(|at| matches!(self.nodes[at], Node::Leaf { .. }));
        place.value == 0.0 && !is_chosen
    }

    fn text(&self, place: Place, writes: Writes) -> Bound {
        let symbols = writes == Writes::Symbols;
        let alone = |text: String| Bound(text, Binds::Alone);
        let number = |unit: &str| {
            let text = number_text(place.value, unit);
            // A number with a sign of its own is like a sum of one.
            let binds = if place.value < 0.0 { Binds::Sum } else { Binds::Alone };
            Bound(text, binds)
        };
        if let Some(known) = self.known(place) {
            return if symbols { alone(known.symbol) } else { number(&known.unit) };
        }
        let named = |symbol: &str, unit: &str| if symbols { alone(symbol.into()) } else { number(unit) };
        match place.at().map(|at| &self.nodes[at]) {
            None | Some(Node::Constant) => number(""),
            Some(Node::Leaf { symbol, unit } | Node::Named { symbol, unit, .. }) => named(symbol, unit),
            Some(Node::Solved(solved)) => named(solved.symbol, solved.unit),
            Some(Node::Pair(sign, a, b)) => self.pair(*sign, *a, *b, writes),
            Some(Node::Negated(a)) => {
                Bound(format!("\u{2212}{}", self.text(*a, writes).after_sign(Binds::Product)), Binds::Sum)
            }
            Some(Node::Call(function, of)) => self.call(*function, *of, writes),
            Some(Node::Sum(before, line)) => self.sum(&lines(self.nodes, *before, *line), writes),
        }
    }

    fn pair(&self, sign: Sign, a: Place, b: Place, writes: Writes) -> Bound {
        let (left, right) =
            (|least| self.text(a, writes).within(least), |least| self.text(b, writes).after_sign(least));
        let (text, binds) = match sign {
            Sign::Plus | Sign::Minus if self.is_nothing(b) => return self.text(a, writes),
            Sign::Plus if self.is_nothing(a) => return self.text(b, writes),
            Sign::Plus => (format!("{} + {}", left(Binds::Sum), right(Binds::Sum)), Binds::Sum),
            Sign::Minus => (format!("{} \u{2212} {}", left(Binds::Sum), right(Binds::Product)), Binds::Sum),
            Sign::Times => (format!("{} × {}", left(Binds::Product), right(Binds::Product)), Binds::Product),
            Sign::Over => (format!("{} ÷ {}", left(Binds::Product), right(Binds::Alone)), Binds::Product),
            Sign::Max => (format!("max({}; {})", self.text(a, writes).0, self.text(b, writes).0), Binds::Alone),
            Sign::Min => (format!("min({}; {})", self.text(a, writes).0, self.text(b, writes).0), Binds::Alone),
        };
        Bound(text, binds)
    }

    fn call(&self, function: Function, of: Place, writes: Writes) -> Bound {
        let of = self.text(of, writes);
        let text = match (function, writes) {
            (Function::Square, Writes::Symbols) => format!("{}²", of.after_sign(Binds::Alone)),
            (Function::Square, Writes::Numbers) => {
                let one = of.after_sign(Binds::Alone);
                return Bound(format!("{one} × {one}"), Binds::Product);
            }
            (Function::Absolute, Writes::Symbols) => format!("|{}|", of.0),
            (Function::Absolute, Writes::Numbers) => format!("abs({})", of.0),
            (Function::RoundedUp, Writes::Symbols) => format!("{}, rounded up", of.0),
            (Function::RoundedUp, Writes::Numbers) => format!("ceil({})", of.0),
            (Function::Ln, _) => format!("ln({})", of.0),
            (Function::Exp, _) => format!("exp({})", of.0),
            (Function::CubeRoot, _) => format!("cbrt({})", of.0),
        };
        Bound(text, Binds::Alone)
    }

    fn sum(&self, lines: &[Place], writes: Writes) -> Bound {
        match writes {
            Writes::Symbols => self.kinds(lines),
            Writes::Numbers => self.lines(lines),
        }
    }

    /// A sum in symbols: a Σ for each kind of line.
    fn kinds(&self, lines: &[Place]) -> Bound {
        let mut kinds: Vec<(String, Binds, usize)> = Vec::new();
        for line in self.of_weight(lines) {
            let Bound(kind, binds) = self.text(line, Writes::Symbols);
            match kinds.iter_mut().find(|(known, ..)| *known == kind) {
                Some((.., count)) => *count += 1,
                None => kinds.push((kind, binds, 1)),
            }
        }
        let told = |(kind, binds, count): (String, Binds, usize)| match count {
            1 => Bound(kind, binds),
            _ => Bound(format!("Σ {}", Bound(kind, binds).within(Binds::Product)), Binds::Sum),
        };
        let mut told: Vec<Bound> = kinds.into_iter().map(told).collect();
        match told.len() {
            0 => Bound("0".into(), Binds::Alone),
            1 => told.remove(0),
            _ => {
                let kinds: Vec<String> = told.into_iter().map(|kind| kind.after_sign(Binds::Sum)).collect();
                Bound(kinds.join(" + "), Binds::Sum)
            }
        }
    }

    /// The lines that are not nothing; if all are, the first.
    fn of_weight<'l>(&self, lines: &'l [Place]) -> impl Iterator<Item = Place> + use<'_, 'l> {
        let all = lines.iter().copied();
        let counts: Vec<Place> = all.filter(|line| !self.is_nothing(*line)).collect();
        counts.into_iter()
    }

    fn lines(&self, lines: &[Place]) -> Bound {
        let mut told = self.of_weight(lines);
        let Some(first) = told.next() else { return Bound("0".into(), Binds::Alone) };
        let first = self.text(first, Writes::Numbers);
        let rest: Vec<Place> = told.collect();
        if rest.is_empty() {
            return first;
        }
        let mut text = first.0;
        for line in rest {
            text.push_str(" + ");
            text.push_str(&self.text(line, Writes::Numbers).after_sign(Binds::Sum));
        }
        Bound(text, Binds::Sum)
    }

    fn gather(&self, place: Place, list: &mut Vec<Input>) {
        let mut add = |input: Input| {
            if !list.contains(&input) {
                list.push(input);
            }
        };
        if let Some(known) = self.known(place) {
            if !self.is_nothing(place) {
                add(Input::worked_out(&known.title, number_text(place.value, &known.unit), &known.source));
            }
            return;
        }
        let Some(at) = place.at() else { return };
        match (&self.nodes[at], self.said.get(&at)) {
            (Node::Leaf { .. }, Some(Said::Inputs(inputs))) => inputs.iter().cloned().for_each(add),
            (Node::Named { unit, .. }, Some(Said::Origin(title, how))) => {
                add(Input::worked_out(title, number_text(place.value, unit), how));
            }
            (Node::Constant | Node::Leaf { .. } | Node::Named { .. }, _) => {}
            (Node::Solved(solved), _) => {
                let how = format!("solved so that {}", solved.condition);
                add(Input::worked_out(&upper_case(solved.symbol), number_text(place.value, solved.unit), &how));
            }
            (Node::Pair(Sign::Max | Sign::Min, a, b), _) => {
                for part in [a, b] {
                    self.gather(*part, list);
                }
            }
            (Node::Pair(_, a, b), _) => {
                for part in [a, b].into_iter().filter(|p| !self.is_nothing(**p)) {
                    self.gather(*part, list);
                }
            }
            (Node::Negated(of) | Node::Call(_, of), _) => self.gather(*of, list),
            (Node::Sum(before, line), _) => {
                self.of_weight(&lines(self.nodes, *before, *line)).for_each(|line| self.gather(line, list));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::formula::{Input, Known, Num, Reading, Tape, Term};

    fn of<'t>(tape: &'t Tape, lines: &[Term<'t>]) -> Term<'t> {
        tape.sum(lines.iter().copied())
    }

    #[test]
    fn signs_and_brackets_stand_alike_in_symbols_and_in_numbers() {
        let tape = &Tape::default();
        let figure =
            |symbol: &'static str, value: f64| tape.input(symbol, value, "", || Input::chosen(symbol, String::new()));
        let (a, b, c) = (figure("a", 7.0), figure("b", 3.0), figure("c", 2.0));
        let (tens, twos) = ([a * 10.0, b * 10.0].map(|n| n / c), [figure("d", 4.0), figure("d", 5.0)]);
        for (term, formula, numbers) in [
            (a + b - c, "a + b − c", "7 + 3 − 2"),
            (a - (b - c), "a − (b − c)", "7 − (3 − 2)"),
            (a - (b + c), "a − (b + c)", "7 − (3 + 2)"),
            (a * (b + c), "a × (b + c)", "7 × (3 + 2)"),
            (a * b / c, "a × b ÷ c", "7 × 3 ÷ 2"),
            (a / (b * c), "a ÷ (b × c)", "7 ÷ (3 × 2)"),
            (a / (b / c), "a ÷ (b ÷ c)", "7 ÷ (3 ÷ 2)"),
            (-(a + b), "−(a + b)", "−(7 + 3)"),
            (a - -b, "a − (−b)", "7 − (−3)"),
            ((a + b).squared(), "(a + b)²", "(7 + 3) × (7 + 3)"),
            ((a - b).abs(), "|a − b|", "abs(7 − 3)"),
            ((a / b).rounded_up(), "a ÷ b, rounded up", "ceil(7 ÷ 3)"),
            ((a - b).ln() * c.exp(), "ln(a − b) × exp(c)", "ln(7 − 3) × exp(2)"),
            (a.max(b).min(c), "min(max(a; b); c)", "min(max(7; 3); 2)"),
            (of(tape, &[a, b, c]), "a + b + c", "7 + 3 + 2"),
            (of(tape, &twos), "Σ d", "4 + 5"),
            (c * of(tape, &twos), "c × (Σ d)", "2 × (4 + 5)"),
            (a - of(tape, &twos), "a − (Σ d)", "7 − (4 + 5)"),
            (
                of(tape, &[tens[0], tens[1], twos[0], twos[1]]),
                "a × 10 ÷ c + b × 10 ÷ c + Σ d",
                "7 × 10 ÷ 2 + 3 × 10 ÷ 2 + 4 + 5",
            ),
        ] {
            let told = term.derivation(&|_| None);
            assert_eq!((told.formula.as_str(), told.numbers.as_str()), (formula, numbers));
        }
    }

    #[test]
    fn a_step_with_a_name_is_told_with_its_value() {
        let tape = &Tape::default();
        let mass = tape.input("mass", 7.0, "g", || Input::chosen("Mass", "7 g".into()));
        let half = tape.named("half", "g", mass / 2.0, || ("Half".into(), "mass ÷ 2".into()));
        let told = (half * 3.0).derivation(&|_| None);
        assert_eq!((told.formula.as_str(), told.numbers.as_str()), ("half × 3", "3.5 g × 3"));
        assert_eq!(told.inputs, [Input::worked_out("Half", "3.5 g".into(), "mass ÷ 2")]);
        let known = |at| {
            let known = Known { symbol: "k".into(), title: "K".into(), unit: "ml".into(), source: "there".into() };
            (Some(at) == half.step()).then_some(known)
        };
        let told = (half * 3.0).derivation(&known);
        assert_eq!((told.formula.as_str(), told.numbers.as_str()), ("k × 3", "3.5 ml × 3"));
        assert_eq!(told.inputs, [Input::worked_out("K", "3.5 ml".into(), "there")]);
        let told = half.derivation(&|_| None);
        assert_eq!((told.formula.as_str(), told.numbers.as_str()), ("mass ÷ 2", "7 g ÷ 2"));
    }
}
