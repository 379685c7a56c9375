//! The recording reading.

use super::{Input, Num, Reading};
use std::cell::RefCell;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// A number on the tape: its value and, unless it is a bare number of the formula, its step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    pub(super) value: f64,
    pub(super) at: Option<usize>,
}

/// Two operands joined by a sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    Plus,
    Minus,
    Times,
    Over,
}

/// A function of numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Function {
    Ln,
    Exp,
    CubeRoot,
    Square,
    Max,
    Min,
    Absolute,
    RoundedUp,
}

/// One step of a formula.
#[derive(Debug)]
pub(super) enum Node {
    Constant,
    Leaf { symbol: &'static str, unit: &'static str, inputs: Vec<Input> },
    Named { symbol: &'static str, unit: &'static str, title: String, how: String, of: Place },
    Solved { symbol: &'static str, unit: &'static str, condition: &'static str, residual: Option<Place> },
    Pair(Sign, Place, Place),
    Negated(Place),
    Call(Function, Vec<Place>),
    Sum(Vec<Place>),
}

#[cfg(test)]
impl Node {
    /// What the step is made of.
    fn parts(&self) -> Vec<Place> {
        match self {
            Self::Constant | Self::Leaf { .. } => Vec::new(),
            Self::Named { of, .. } | Self::Negated(of) => vec![*of],
            Self::Solved { residual, .. } => residual.iter().copied().collect(),
            Self::Pair(_, a, b) => vec![*a, *b],
            Self::Call(_, of) | Self::Sum(of) => of.clone(),
        }
    }
}

/// What was written down on the way to a number.
///
/// Whoever tells one number of many needs the words of few steps, and words cost more than numbers. So a formula can
/// be recorded without them first, and again with the words of the steps that [`Term::steps`] names: the same code
/// takes the same steps.
#[derive(Debug, Default)]
pub struct Tape {
    pub(super) nodes: RefCell<Vec<Node>>,
    words: Words,
}

/// Which steps are put into words.
#[derive(Debug, Default)]
enum Words {
    #[default]
    All,
    None,
    Of(Vec<bool>),
}

/// A number with the way it came about.
#[derive(Debug, Clone, Copy)]
pub struct Term<'t> {
    value: f64,
    /// `None` for a number that stands in the formula itself.
    at: Option<(&'t Tape, usize)>,
}

impl Default for Term<'_> {
    fn default() -> Self {
        Self::from(0.0)
    }
}

impl PartialEq for Term<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}

impl Tape {
    /// One that keeps no words.
    pub fn silent() -> Self {
        // About as many as a batch of a few fats and additions takes.
        let nodes = RefCell::new(Vec::with_capacity(4096));
        Self { nodes, words: Words::None }
    }

    /// One that keeps the words of the steps at which `steps` is true.
    pub fn telling(steps: Vec<bool>) -> Self {
        let nodes = RefCell::new(Vec::with_capacity(steps.len()));
        Self { nodes, words: Words::Of(steps) }
    }

    /// What `words` says of the step that comes next, if that is told.
    fn words<T: Default>(&self, words: impl FnOnce() -> T) -> T {
        let is_told = match &self.words {
            Words::All => true,
            Words::None => false,
            Words::Of(steps) => steps.get(self.nodes.borrow().len()) == Some(&true),
        };
        if is_told { words() } else { T::default() }
    }

    /// Each figure from outside that a step rests on: its symbol and unit, the value that is used
    /// and what is told of it.
    #[cfg(test)]
    pub(crate) fn figures(&self) -> Vec<(&'static str, &'static str, f64, Vec<Input>)> {
        let nodes = self.nodes.borrow();
        let figure = |part: Place| match &nodes[part.at?] {
            Node::Leaf { symbol, unit, inputs } => Some((*symbol, *unit, part.value, inputs.clone())),
            _ => None,
        };
        nodes.iter().flat_map(Node::parts).filter_map(figure).collect()
    }

    /// Each step that has a name: its symbol, its title with how it is said to come about, and itself.
    #[cfg(test)]
    pub(crate) fn named_steps(&self) -> Vec<(&'static str, [String; 2], Term<'_>)> {
        let nodes = self.nodes.borrow();
        let step = |(at, node): (usize, &Node)| match node {
            Node::Named { symbol, title, how, of, .. } => {
                Some((*symbol, [title.clone(), how.clone()], Term { value: of.value, at: Some((self, at)) }))
            }
            _ => None,
        };
        nodes.iter().enumerate().filter_map(step).collect()
    }

    /// Each step that an equation gives, and what the equation leaves there.
    #[cfg(test)]
    pub(crate) fn solved_steps(&self) -> Vec<(Term<'_>, f64)> {
        let nodes = self.nodes.borrow();
        let step = |(at, node): (usize, &Node)| match node {
            Node::Solved { residual: Some(left), .. } => {
                Some((Term { value: f64::NAN, at: Some((self, at)) }, left.value))
            }
            _ => None,
        };
        nodes.iter().enumerate().filter_map(step).collect()
    }

    fn push(&self, value: f64, node: Node) -> Term<'_> {
        let mut nodes = self.nodes.borrow_mut();
        nodes.push(node);
        Term { value, at: Some((self, nodes.len() - 1)) }
    }
}

impl<'t> Term<'t> {
    /// Its step on the tape; `None` for a bare number.
    pub fn step(self) -> Option<usize> {
        self.at.map(|(_, at)| at)
    }

    pub(super) fn tape(self) -> Option<&'t Tape> {
        self.at.map(|(tape, _)| tape)
    }

    pub(super) const fn place(self) -> Place {
        let at = match self.at {
            Some((_, at)) => Some(at),
            None => None,
        };
        Place { value: self.value, at }
    }

    fn call(self, function: Function, value: f64) -> Self {
        self.at.map_or(value.into(), |(tape, _)| tape.push(value, Node::Call(function, vec![self.place()])))
    }

    fn call_with(self, other: Self, function: Function, value: f64) -> Self {
        let tape = self.tape().or(other.tape());
        tape.map_or(value.into(), |t| t.push(value, Node::Call(function, vec![self.place(), other.place()])))
    }
}

impl From<f64> for Term<'_> {
    fn from(value: f64) -> Self {
        Self { value, at: None }
    }
}

macro_rules! operators {
    ($($name:ident $method:ident $sign:ident;)+) => {$(
        impl $name for Term<'_> {
            type Output = Self;
            fn $method(self, other: Self) -> Self {
                let value = self.value.$method(other.value);
                match self.tape().or(other.tape()) {
                    Some(tape) => tape.push(value, Node::Pair(Sign::$sign, self.place(), other.place())),
                    None => value.into(),
                }
            }
        }
        impl $name<f64> for Term<'_> {
            type Output = Self;
            fn $method(self, other: f64) -> Self {
                self.$method(Self::from(other))
            }
        }
    )+};
}
operators! { Add add Plus; Sub sub Minus; Mul mul Times; Div div Over; }

impl Neg for Term<'_> {
    type Output = Self;
    fn neg(self) -> Self {
        self.at.map_or((-self.value).into(), |(tape, _)| tape.push(-self.value, Node::Negated(self.place())))
    }
}

impl AddAssign for Term<'_> {
    /// One line more of the sum.
    fn add_assign(&mut self, line: Self) {
        let value = self.value + line.value;
        let Some(tape) = self.tape().or(line.tape()) else {
            *self = value.into();
            return;
        };
        let mut lines = match self.at {
            // A sum begins with nothing.
            None if self.value == 0.0 => Vec::new(),
            None => vec![self.place()],
            Some((tape, at)) => match &tape.nodes.borrow()[at] {
                Node::Sum(lines) => lines.clone(),
                _ => vec![self.place()],
            },
        };
        lines.push(line.place());
        *self = tape.push(value, Node::Sum(lines));
    }
}

impl Num for Term<'_> {
    fn value(self) -> f64 {
        self.value
    }
    fn ln(self) -> Self {
        self.call(Function::Ln, self.value.ln())
    }
    fn exp(self) -> Self {
        self.call(Function::Exp, self.value.exp())
    }
    fn cbrt(self) -> Self {
        self.call(Function::CubeRoot, self.value.cbrt())
    }
    fn squared(self) -> Self {
        self.call(Function::Square, self.value.powi(2))
    }
    fn max(self, other: Self) -> Self {
        self.call_with(other, Function::Max, self.value.max(other.value))
    }
    fn min(self, other: Self) -> Self {
        self.call_with(other, Function::Min, self.value.min(other.value))
    }
    fn abs(self) -> Self {
        self.call(Function::Absolute, self.value.abs())
    }
    fn rounded_up(self) -> Self {
        self.call(Function::RoundedUp, Num::rounded_up(self.value))
    }
}

impl<'t> Reading for &'t Tape {
    type N = Term<'t>;

    fn inputs(
        self,
        symbol: &'static str,
        value: f64,
        unit: &'static str,
        about: impl FnOnce() -> Vec<Input>,
    ) -> Term<'t> {
        self.push(value, Node::Leaf { symbol, unit, inputs: self.words(about) })
    }
    fn constant(self, value: f64) -> Term<'t> {
        self.push(value, Node::Constant)
    }
    fn named(
        self,
        symbol: &'static str,
        unit: &'static str,
        step: Term<'t>,
        about: impl FnOnce() -> (String, String),
    ) -> Term<'t> {
        let (title, how) = self.words(about);
        self.push(step.value, Node::Named { symbol, unit, title, how, of: step.place() })
    }
    fn solved(
        self,
        symbol: &'static str,
        value: f64,
        unit: &'static str,
        condition: &'static str,
        residual: impl FnOnce(Term<'t>) -> Term<'t>,
    ) -> Term<'t> {
        let term = self.push(value, Node::Solved { symbol, unit, condition, residual: None });
        let left = residual(term).place();
        if let Some(at) = term.step()
            && let Node::Solved { residual, .. } = &mut self.nodes.borrow_mut()[at]
        {
            *residual = Some(left);
        }
        term
    }
}
