//! A design as it is, with all that follows from it.

use crate::cache::Kept;
use barwright_core::bench::label::Label;
use barwright_core::bench::schedule::{NaiveDateTime, Schedule, ScheduleError};
use barwright_core::cautions::{self, Caution, Stopped};
use barwright_core::chemistry::spread;
use barwright_core::cost::Cost;
use barwright_core::find::{Nudge, nudge};
use barwright_core::quantities::About;
use barwright_core::units::{Interval, Measures};
use barwright_core::{Design, Evaluation, Library, evaluate};
use std::cell::OnceCell;
use std::rc::Rc;
use std::sync::Arc;

/// The steps of a batch with their times, or why there are none.
pub type Planned = Rc<Result<Schedule, ScheduleError>>;

/// How many points of the distribution of the superfat are drawn.
const POINTS: usize = 80;

/// A design that no longer changes, its evaluation, and what rests on both: worked out when it is
/// first asked for, and kept. The library is the window's, and always the same.
#[derive(Debug)]
pub struct Evaluated {
    /// The design.
    pub design: Arc<Design>,
    /// Every number about it.
    pub evaluation: Arc<Evaluation>,
    cautions: Kept<Measures, Arc<[Caution]>>,
    spreads: OnceCell<Option<[Interval; 7]>>,
    superfat: OnceCell<Option<Vec<[f64; 2]>>>,
    nudge: OnceCell<Option<Nudge>>,
    label: OnceCell<Result<Label, Stopped>>,
    cost: OnceCell<Option<Cost>>,
    schedule: Kept<(NaiveDateTime, Measures), Planned>,
}

impl Evaluated {
    /// Evaluates `design`.
    pub fn of(design: Arc<Design>, library: &Library) -> Self {
        Self {
            evaluation: Arc::new(evaluate(&design, library)),
            design,
            cautions: Kept::default(),
            spreads: OnceCell::new(),
            superfat: OnceCell::new(),
            nudge: OnceCell::new(),
            label: OnceCell::new(),
            cost: OnceCell::new(),
            schedule: Kept::default(),
        }
    }

    /// What its quantities are of.
    pub fn about<'a>(&'a self, library: &'a Library) -> About<'a> {
        About::new(&self.design, &self.evaluation, library)
    }

    /// What its maker must be told, in their units.
    pub fn cautions(&self, library: &Library, measures: Measures) -> Arc<[Caution]> {
        self.cautions.get(measures, || cautions::read_in(&self.design, &self.evaluation, library, measures).into())
    }

    /// How far each score may lie with natural fats.
    pub fn spreads(&self, library: &Library) -> Option<[Interval; 7]> {
        let free_fat = self.evaluation.masses.free_fat;
        *self.spreads.get_or_init(|| spread::scores(&self.design.blend, free_fat, library))
    }

    /// The distribution of the superfat that results, as a curve.
    pub fn superfat(&self) -> Option<&[[f64; 2]]> {
        self.superfat.get_or_init(|| self.evaluation.margin.as_ref().map(|margin| margin.curve(POINTS))).as_deref()
    }

    /// The least change that brings every score inside.
    pub fn nudge(&self, library: &Library) -> Option<&Nudge> {
        self.nudge.get_or_init(|| nudge(&self.design, &self.evaluation, library)).as_ref()
    }

    /// What goes on a bar's label.
    ///
    /// # Errors
    /// [`Stopped`] while a Stop stands.
    pub fn label(&self, library: &Library) -> Result<&Label, &Stopped> {
        self.label.get_or_init(|| Label::of(&self.design, &self.evaluation, library)).as_ref()
    }

    /// What the batch costs.
    pub fn cost(&self) -> Option<&Cost> {
        self.cost.get_or_init(|| Cost::of(&self.design, &self.evaluation)).as_ref()
    }

    /// The steps of the batch if the lye is made at `start`.
    pub fn schedule(&self, start: NaiveDateTime, library: &Library, measures: Measures) -> Planned {
        let planned = || Schedule::read_in(&self.design, &self.evaluation, library, start, measures);
        self.schedule.get((start, measures), || Rc::new(planned()))
    }
}
