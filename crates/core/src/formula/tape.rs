//! The recording reading.

use super::{Input, Num, Reading};
use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::num::NonZeroU32;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// A number on the tape: its value and, unless it is a bare number of the formula, its step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    pub(super) value: f64,
    at: Option<Step>,
}

impl Place {
    pub(super) fn at(self) -> Option<usize> {
        self.at.map(Step::index)
    }
}

/// The position of a step. A tape has thousands of them, so they are kept small.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Step(NonZeroU32);

impl Step {
    /// The step at this position; a bare number where no tape would hold so many.
    fn new(index: usize) -> Option<Self> {
        u32::try_from(index + 1).ok().and_then(NonZeroU32::new).map(Self)
    }

    const fn index(self) -> usize {
        self.0.get() as usize - 1
    }
}

/// What joins two operands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    Plus,
    Minus,
    Times,
    Over,
    Max,
    Min,
}

/// A function of numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Function {
    Ln,
    Exp,
    CubeRoot,
    Square,
    Absolute,
    RoundedUp,
}

/// One step of a formula.
#[derive(Debug)]
pub(super) enum Node {
    Constant,
    Leaf {
        symbol: &'static str,
        unit: &'static str,
    },
    Named {
        symbol: &'static str,
        unit: &'static str,
        of: Place,
    },
    Solved(Box<Solved>),
    Pair(Sign, Place, Place),
    Negated(Place),
    Call(Function, Place),
    /// A line more than what is before, itself a sum or the first line.
    Sum(Place, Place),
}

/// What an equation gives.
#[derive(Debug)]
pub(super) struct Solved {
    pub(super) symbol: &'static str,
    pub(super) unit: &'static str,
    pub(super) condition: &'static str,
    pub(super) residual: Option<Place>,
}

/// What is said of a step.
#[derive(Debug, Clone)]
pub(super) enum Said {
    /// The figures from outside that it is.
    Inputs(Vec<Input>),
    /// Its title and how it comes about.
    Origin(String, String),
}

/// The lines of a sum in their order: those of what is before, and one more.
pub(super) fn lines(nodes: &[Node], mut before: Place, line: Place) -> Vec<Place> {
    let mut lines = vec![line];
    while let Some(Node::Sum(earlier, line)) = before.at().map(|at| &nodes[at]) {
        lines.push(*line);
        before = *earlier;
    }
    // A sum begins with nothing.
    if before.at.is_some() || before.value != 0.0 {
        lines.push(before);
    }
    lines.reverse();
    lines
}

/// What was written down on the way to a number.
///
/// Whoever tells one number of many needs the words of few steps, and words cost more than numbers. So a formula can
/// be recorded without them first ([`silent`](Self::silent)) and read again for the words of the steps that
/// [`Term::steps`] names ([`wording`](Self::wording), [`take_words`](Self::take_words)): the same code takes the same
/// steps.
#[derive(Debug, Default)]
pub struct Tape {
    pub(super) nodes: RefCell<Vec<Node>>,
    /// How many steps were taken; as many as nodes where those are kept.
    taken: Cell<usize>,
    pub(super) said: RefCell<HashMap<usize, Said>>,
    keeps: Keeps,
}

/// What a tape keeps of each step.
#[derive(Debug, Default)]
enum Keeps {
    #[default]
    All,
    /// How it is made, without words.
    Nodes,
    /// The words of those at which it is true, and nothing else.
    WordsOf(Vec<bool>),
}

/// A number with the way it came about.
#[derive(Debug, Clone, Copy)]
pub struct Term<'t> {
    value: f64,
    /// `None` for a number that stands in the formula itself.
    at: Option<(&'t Tape, Step)>,
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
        let nodes = RefCell::new(Vec::with_capacity(2048));
        Self { nodes, keeps: Keeps::Nodes, ..Self::default() }
    }

    /// One that keeps the words of the steps at which `steps` is true, for a tape that has the steps.
    pub fn wording(steps: Vec<bool>) -> Self {
        Self { keeps: Keeps::WordsOf(steps), ..Self::default() }
    }

    /// Takes over the words of `wording`, on which the same was recorded.
    pub fn take_words(&self, wording: &Self) {
        self.said.borrow_mut().extend(wording.said.take());
    }

    /// Keeps what `words` says of the step that was taken last, if that is told.
    fn say(&self, words: impl FnOnce() -> Said) {
        let last = self.taken.get() - 1;
        let is_told = match &self.keeps {
            Keeps::All => true,
            Keeps::Nodes => false,
            Keeps::WordsOf(steps) => steps.get(last) == Some(&true),
        };
        if is_told {
            self.said.borrow_mut().insert(last, words());
        }
    }

    /// Each figure from outside that a step rests on: its symbol and unit, the value that is used
    /// and what is told of it.
    #[cfg(test)]
    pub(crate) fn figures(&self) -> Vec<(&'static str, &'static str, f64, Vec<Input>)> {
        let (nodes, said) = (self.nodes.borrow(), self.said.borrow());
        let figure = |part: Place| match (&nodes[part.at()?], said.get(&part.at()?)) {
            (Node::Leaf { symbol, unit }, Some(Said::Inputs(inputs))) => {
                Some((*symbol, *unit, part.value, inputs.clone()))
            }
            _ => None,
        };
        nodes.iter().flat_map(Node::parts).filter_map(figure).collect()
    }

    /// Each step that has a name: its symbol, its title with how it is said to come about, and itself.
    #[cfg(test)]
    pub(crate) fn named_steps(&self) -> Vec<(&'static str, [String; 2], Term<'_>)> {
        let (nodes, said) = (self.nodes.borrow(), self.said.borrow());
        let step = |(at, node): (usize, &Node)| match (node, said.get(&at)) {
            (Node::Named { symbol, of, .. }, Some(Said::Origin(title, how))) => {
                let term = Term { value: of.value, at: Step::new(at).map(|at| (self, at)) };
                Some((*symbol, [title.clone(), how.clone()], term))
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
            Node::Solved(solved) => {
                let term = Term { value: f64::NAN, at: Step::new(at).map(|at| (self, at)) };
                Some((term, solved.residual?.value))
            }
            _ => None,
        };
        nodes.iter().enumerate().filter_map(step).collect()
    }

    fn push(&self, value: f64, node: Node) -> Term<'_> {
        let at = self.taken.replace(self.taken.get() + 1);
        if !matches!(self.keeps, Keeps::WordsOf(_)) {
            self.nodes.borrow_mut().push(node);
        }
        Term { value, at: Step::new(at).map(|at| (self, at)) }
    }
}

#[cfg(test)]
impl Node {
    /// What the step is made of.
    fn parts(&self) -> Vec<Place> {
        match self {
            Self::Constant | Self::Leaf { .. } => Vec::new(),
            Self::Named { of, .. } | Self::Negated(of) | Self::Call(_, of) => vec![*of],
            Self::Solved(solved) => solved.residual.into_iter().collect(),
            Self::Pair(_, a, b) | Self::Sum(a, b) => vec![*a, *b],
        }
    }
}

impl<'t> Term<'t> {
    /// Its step on the tape; `None` for a bare number.
    pub fn step(self) -> Option<usize> {
        self.place().at()
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
        self.at.map_or(value.into(), |(tape, _)| tape.push(value, Node::Call(function, self.place())))
    }

    fn pair(self, other: Self, sign: Sign, value: f64) -> Self {
        let tape = self.tape().or(other.tape());
        tape.map_or(value.into(), |tape| tape.push(value, Node::Pair(sign, self.place(), other.place())))
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
                self.pair(other, Sign::$sign, self.value.$method(other.value))
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
        let tape = self.tape().or(line.tape());
        *self = tape.map_or(value.into(), |tape| tape.push(value, Node::Sum(self.place(), line.place())));
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
        self.pair(other, Sign::Max, self.value.max(other.value))
    }
    fn min(self, other: Self) -> Self {
        self.pair(other, Sign::Min, self.value.min(other.value))
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
        let term = self.push(value, Node::Leaf { symbol, unit });
        self.say(|| Said::Inputs(about()));
        term
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
        let term = self.push(step.value, Node::Named { symbol, unit, of: step.place() });
        self.say(|| {
            let (title, how) = about();
            Said::Origin(title, how)
        });
        term
    }
    fn solved(
        self,
        symbol: &'static str,
        value: f64,
        unit: &'static str,
        condition: &'static str,
        residual: impl FnOnce(Term<'t>) -> Term<'t>,
    ) -> Term<'t> {
        let solved = Solved { symbol, unit, condition, residual: None };
        let term = self.push(value, Node::Solved(Box::new(solved)));
        let left = residual(term).place();
        if let Some(at) = term.step()
            && let Some(Node::Solved(solved)) = self.nodes.borrow_mut().get_mut(at)
        {
            solved.residual = Some(left);
        }
        term
    }
}
