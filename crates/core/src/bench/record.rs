//! A batch as it was made: what was weighed against what was planned, the superfat that really results, how far the bars
//! are, and what may be written down next.

use super::weighing::{Vessel, Weight, What, weights};
use crate::cautions::{self, Caution, Doing};
use crate::chemistry::as_weighed::{self, OnTheScale, WeighedError};
use crate::chemistry::rounding::{self, as_told};
use crate::design::Design;
use crate::design::log::{Batch, BatchCode, Happened, How, LotFigures, LotId, Outcome, Taken};
use crate::design::shelf::{Made, Out};
use crate::design::words::{Day, Line};
use crate::evaluate::{Evaluation, evaluate};
use crate::library::Library;
use crate::units::{AmountMass, Grams, Measures, Purity, PurityMargin, SaponificationValue, SvMargin, from_percent};
use std::collections::BTreeMap;
use std::sync::Arc;

/// How far the bars of a batch are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Not cut yet.
    Raw,
    /// Cut, and not tested, or to be tested again.
    Curing,
    /// A test found no free alkali.
    Tested,
    /// They may be used, given and sold.
    Free,
    /// They are not to be used.
    Withdrawn,
}

impl State {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Raw => "raw",
            Self::Curing => "curing",
            Self::Tested => "tested",
            Self::Free => "free",
            Self::Withdrawn => "withdrawn",
        }
    }
}

/// What is typed of a weight and not entered yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// What the scale shows, g.
    pub grams: AmountMass,
    /// From which lots.
    pub lots: Vec<Taken>,
}

/// One weight of the batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What it is.
    pub what: What,
    /// Its name.
    pub name: String,
    /// Where it goes.
    pub vessel: Vessel,
    /// What was planned, exactly.
    pub plan: Grams,
    /// The same as the scale shows it, as the bench sheet has it; exactly where the scale shows nothing of so little.
    pub told: Grams,
    /// What was weighed; `None` while nothing is said of it, which counts as planned.
    pub actual: Option<Draft>,
    /// The entry that says so; `None` while it is only typed.
    pub entry: Option<usize>,
}

impl Row {
    /// What is counted with.
    pub fn counted(&self) -> Grams {
        self.actual.as_ref().map_or(self.plan, |a| Grams(a.grams.get()))
    }

    /// Whether the lye rests on it.
    pub const fn is_of_the_lye(&self) -> bool {
        matches!(self.what, What::Fat(_) | What::SodiumHydroxide | What::PotassiumHydroxide)
    }
}

/// What really results of the weights.
#[derive(Debug, Clone, PartialEq)]
pub struct FromWeights {
    /// The design that would have weighed out so.
    pub design: Arc<Design>,
    /// Its numbers.
    pub evaluation: Arc<Evaluation>,
    /// What its maker must be told.
    pub cautions: Vec<Caution>,
}

/// Why something is not written down.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// A fat or an alkali has no weight yet.
    #[error("{0} has no weight yet: weigh it and type it before the lye goes in")]
    Missing(String),
    /// A Stop stands against the weights.
    #[error("{0}")]
    Stopped(String),
    /// The weights make no batch.
    #[error("STOP: {0}")]
    Weights(#[from] WeighedError),
    /// Nothing is free that was not tested.
    #[error("enter a passed test for free alkali first: nothing is free without one")]
    Untested,
    /// There is nothing to test or use before the soap is cut.
    #[error("enter the cutting first: bars are tested and used, not the loaf")]
    Uncut,
    /// The batch is withdrawn.
    #[error("the batch is withdrawn: correct that entry first, if it was wrong")]
    Withdrawn,
    /// Bars that are not free are neither given nor sold.
    #[error("the bars are {}: only free ones are given or sold", .0.word())]
    NotFree(State),
    /// More bars than there are.
    #[error("there are {0} bars left")]
    TooManyBars(u32),
    /// The design has no such line.
    #[error("the design as made has no such line")]
    NoLine,
}

/// Two ways back to the planned superfat for weights with more alkali.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BackToPlan {
    /// So much of the sodium hydroxide is taken out again, while it is dry.
    pub naoh: Grams,
    /// And so much of the potassium hydroxide.
    pub koh: Grams,
    /// Or so much more of all fats goes in, in the shares they have; `None` if the blend takes no alkali.
    pub fats: Option<Grams>,
}

/// A batch with all that follows from its entries.
#[derive(Debug, Clone)]
pub struct Record {
    /// Its code.
    pub code: BatchCode,
    /// The numbers of the design as made: the plan.
    pub plan: Arc<Evaluation>,
    /// Its weights, in the order of use.
    pub rows: Vec<Row>,
    /// What results of them.
    pub result: Result<FromWeights, WeighedError>,
    /// How far the bars are.
    pub state: State,
    /// How many bars there are: as cut, or as planned before.
    pub bars: u32,
    /// How many of them went out.
    pub out: u32,
}

impl Record {
    /// What follows from the entries of `batch` and what is typed in `drafts`.
    pub fn of(batch: &Batch, drafts: &BTreeMap<What, Draft>, library: &Library, measures: Measures) -> Self {
        let plan = Arc::new(evaluate(&batch.made, library));
        let mut rows = rows(batch, &plan);
        for row in &mut rows {
            if let Some(draft) = drafts.get(&row.what) {
                (row.actual, row.entry) = (Some(draft.clone()), None);
            }
        }
        let result = as_weighed::design(&batch.made, &scale(&rows, &batch.made)).map(|design| {
            let evaluation = evaluate(&design, library);
            let cautions = cautions::read_in(&design, &evaluation, library, measures);
            FromWeights { design: Arc::new(design), evaluation: Arc::new(evaluation), cautions }
        });
        let mut record = Self { code: batch.code, plan, rows, result, state: State::Raw, bars: 0, out: 0 };
        record.state = record.state_of(batch);
        record.bars = batch.cut().unwrap_or(record.plan.masses.bars);
        record.out = batch.out();
        record
    }

    /// The superfat of a batch that is weighed as `made`'s sheet tells, percent: other than planned on a coarse scale;
    /// `None` if nothing takes the alkali.
    pub fn superfat_as_told(&self, made: &Design) -> Option<f64> {
        let plan = &self.plan;
        let told = rounding::superfat(made, &plan.masses, &plan.fat_masses, &plan.addition_masses);
        told.filter(|told| told.is_finite())
    }

    /// The first weight that the lye rests on and that is not said yet.
    pub fn missing(&self) -> Option<&Row> {
        self.rows.iter().find(|row| row.is_of_the_lye() && row.actual.is_none())
    }

    /// Whether anything at all was weighed.
    pub fn is_begun(&self) -> bool {
        self.rows.iter().any(|row| row.actual.is_some())
    }

    /// The superfat that really results, percent; so far, while some weight is [missing](Self::missing).
    ///
    /// # Errors
    /// [`WeighedError`] if the weights make no batch.
    pub fn superfat(&self) -> Result<f64, &WeighedError> {
        self.result.as_ref().map(|result| result.evaluation.masses.superfat)
    }

    /// How the weights come back to the planned superfat where they have more alkali; `None` where they have not, or by
    /// less than the scale shows.
    pub fn back_to_plan(&self) -> Option<BackToPlan> {
        let made = self.result.as_ref().ok()?;
        let (planned, masses) = (self.plan.masses.superfat, &made.evaluation.masses);
        let of_fats = |superfat: f64| masses.exact_koh.0 * (1.0 - from_percent(superfat));
        let (now, wanted) = (of_fats(masses.superfat), of_fats(planned));
        let part = (now - wanted) / (now + masses.acids_koh.0);
        let least = made.design.scale_division.get() / 2.0;
        let shows = masses.alkali.weighed().0 * part >= least;
        shows.then(|| {
            // Fatty acids among the additions stay as they are.
            let of_blend = wanted - masses.added_fatty_koh.0 * (1.0 - from_percent(planned));
            BackToPlan {
                naoh: masses.alkali.naoh * part,
                koh: masses.alkali.koh * part,
                fats: (of_blend > 0.0).then(|| masses.fats * ((now - wanted) / of_blend)),
            }
        })
    }

    /// The Stops that stand against the weights.
    pub fn stops(&self) -> Vec<&Caution> {
        self.result.as_ref().map_or_else(|_| Vec::new(), |result| cautions::stops(&result.cautions))
    }

    /// Whether a Stop about the alkali stands against them, or they make no batch.
    pub fn is_stopped(&self) -> bool {
        self.result.is_err() || self.stops().iter().any(|stop| Doing::Alkali.is_against(stop))
    }

    /// How many bars are left.
    pub const fn left(&self) -> u32 {
        self.bars.saturating_sub(self.out)
    }

    fn state_of(&self, batch: &Batch) -> State {
        let mut state = State::Raw;
        for (_, entry) in batch.standing() {
            state = match (&entry.what, state) {
                (_, State::Withdrawn)
                | (Happened::Withdrawn { .. } | Happened::Tested { outcome: Outcome::Failed, .. }, _) => {
                    State::Withdrawn
                }
                (Happened::Cut { .. }, State::Raw) | (Happened::Tested { outcome: Outcome::Again(_), .. }, _) => {
                    State::Curing
                }
                (Happened::Tested { outcome: Outcome::Passed, .. }, State::Curing) => State::Tested,
                (Happened::Freed, State::Tested) if !self.is_stopped() => State::Free,
                (_, state) => state,
            };
        }
        state
    }

    /// Whether `what` may be written down now.
    ///
    /// # Errors
    /// [`Refusal`], which says what stands against it.
    pub fn allows(&self, what: &Happened) -> Result<(), Refusal> {
        match what {
            Happened::LyeIn => {
                if let Some(row) = self.missing() {
                    return Err(Refusal::Missing(row.name.clone()));
                }
                self.no_stop()
            }
            Happened::Weighed { what, .. } if self.rows.iter().all(|row| row.what != *what) => Err(Refusal::NoLine),
            Happened::Tested { .. } | Happened::Judged { .. } | Happened::Washed { .. } if self.state == State::Raw => {
                Err(Refusal::Uncut)
            }
            Happened::Tested { .. } | Happened::Freed if self.state == State::Withdrawn => Err(Refusal::Withdrawn),
            Happened::Freed if matches!(self.state, State::Raw | State::Curing) => Err(Refusal::Untested),
            Happened::Freed => self.no_stop_of_lye(),
            Happened::Out { how: How::Given | How::Sold, .. } if self.state != State::Free => {
                Err(Refusal::NotFree(self.state))
            }
            Happened::Out { bars, .. } if *bars > self.left() => Err(Refusal::TooManyBars(self.left())),
            _ => Ok(()),
        }
    }

    fn no_stop(&self) -> Result<(), Refusal> {
        let result = self.result.as_ref().map_err(|e| Refusal::Weights(e.clone()))?;
        let stops = cautions::stops(&result.cautions);
        if stops.is_empty() { Ok(()) } else { Err(Refusal::Stopped(cautions::in_words(stops))) }
    }

    fn no_stop_of_lye(&self) -> Result<(), Refusal> {
        if self.is_stopped() { self.no_stop() } else { Ok(()) }
    }

    /// What was taken of each lot in all, g.
    pub fn taken(&self) -> BTreeMap<LotId, f64> {
        let mut lots = BTreeMap::new();
        for taken in self.rows.iter().filter_map(|row| row.actual.as_ref()).flat_map(|a| &a.lots) {
            *lots.entry(taken.lot).or_default() += taken.grams.get();
        }
        lots
    }

    /// `batch` of the design called `design`, whose file is at `path`, as the shelf knows it.
    pub fn made(&self, batch: &Batch, design: &str, path: &str) -> Made {
        let out = batch.standing().into_iter().filter_map(|(_, e)| match &e.what {
            Happened::Out { bars, how, to } => Some(Out { on: e.on, bars: *bars, how: *how, to: to.clone() }),
            _ => None,
        });
        let is_made = |what: &Happened| matches!(what, Happened::Made | Happened::Cut { .. }).then_some(());
        Made {
            confirmed: batch.last(is_made).is_some(),
            lots: self.taken().into_iter().map(|(lot, grams)| (lot, AmountMass::nearest(grams))).collect(),
            bars: self.bars,
            free_from: if self.state == State::Free { free_from(batch) } else { None },
            withdrawn: self.state == State::Withdrawn,
            out: out.collect(),
            ..Made::begun(batch.code, Line::shortened(design), path.chars().take(Made::MOST_PATH / 4).collect())
        }
    }
}

/// The weights of `batch`, by `plan`, with what its entries say.
fn rows(batch: &Batch, plan: &Evaluation) -> Vec<Row> {
    let mut said: BTreeMap<What, (usize, Draft)> = BTreeMap::new();
    for (n, entry) in batch.standing() {
        if let Happened::Weighed { what, grams, lots } = &entry.what {
            said.insert(*what, (n, Draft { grams: *grams, lots: lots.clone() }));
        }
    }
    let row = |Weight { what, name, mass, vessel }: Weight<'_>| {
        let (entry, actual) = said.remove(&what).unzip();
        let told = as_told(mass, batch.made.scale_division);
        Row { what, name: name.into(), vessel, plan: mass, told, actual, entry }
    };
    weights(&batch.made, plan).into_iter().map(row).collect()
}

/// What `rows` put on the scale.
fn scale(rows: &[Row], design: &Design) -> OnTheScale {
    let figures = |row: &Row| mixed(row.actual.as_ref().map_or(&[], |a| &a.lots), row.what, design);
    let mut scale = OnTheScale {
        fats: vec![Default::default(); design.blend.lines().len()],
        additions: vec![Grams(0.0); design.additions.len()],
        scents: vec![Grams(0.0); design.scents.len()],
        ..OnTheScale::default()
    };
    for row in rows {
        let mass = row.counted();
        match row.what {
            What::Fat(i) => scale.fats[i] = (mass, figures(row)),
            What::Water => scale.water = mass,
            What::SodiumHydroxide => scale.naoh = (mass, figures(row)),
            What::PotassiumHydroxide => scale.koh = (mass, figures(row)),
            What::Addition(i) => scale.additions[i] = mass,
            What::Scent(i) => scale.scents[i] = mass,
        }
    }
    scale
}

/// The figures of a weight out of `lots`: those of each by its part of the mass, Σ gᵢ·vᵢ ÷ Σ gᵢ, and the ± likewise,
/// since all may be off the same way. Where the papers of a lot say nothing, what `design` says holds of it.
fn mixed(lots: &[Taken], what: What, design: &Design) -> LotFigures {
    let all: f64 = lots.iter().map(|lot| lot.grams.get()).sum();
    if let Some(first) = lots.first().filter(|first| lots.iter().all(|lot| lot.figures == first.figures)) {
        return first.figures;
    }
    if all <= 0.0 {
        return LotFigures::default();
    }
    let mean = |of: &dyn Fn(&LotFigures) -> (f64, f64)| {
        lots.iter().fold((0.0, 0.0), |sum, lot| {
            let (part, (value, pm)) = (lot.grams.get() / all, of(&lot.figures));
            (sum.0 + part * value, sum.1 + part * pm)
        })
    };
    let alkali = &design.alkali;
    let purity = match what {
        What::SodiumHydroxide => Some((alkali.naoh_purity, alkali.naoh_purity_pm)),
        What::PotassiumHydroxide => Some((alkali.koh_purity, alkali.koh_purity_pm)),
        _ => None,
    };
    let purity = purity.filter(|_| lots.iter().any(|lot| lot.figures.purity.is_some())).map(|own| {
        let (value, pm) = mean(&|figures| {
            let (value, pm) = figures.purity.unwrap_or(own);
            (value.get(), pm.get())
        });
        (Purity::nearest(value), PurityMargin::nearest(pm))
    });
    let line = if let What::Fat(i) = what { design.blend.lines().get(i) } else { None };
    let sv = line.filter(|_| lots.iter().any(|lot| lot.figures.sv.is_some())).map(|line| {
        let range = line.saponification_range();
        let (value, pm) = mean(&|figures| {
            figures.sv.map_or((line.saponification_value(), range.width() / 2.0), |(sv, pm)| (sv.get(), pm.get()))
        });
        (SaponificationValue::nearest(value), SvMargin::nearest(pm))
    });
    LotFigures { sv, purity }
}

/// The day from which the bars are free; `None` while they are not.
pub fn free_from(batch: &Batch) -> Option<Day> {
    let freed = batch.standing().into_iter().rev().find(|(_, e)| e.what == Happened::Freed)?;
    Some(freed.1.on)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::design::log::CutLike;
    use crate::design::log::Entry;
    use crate::render::sheet::{Options, Sheet};
    use crate::units::{Hours, ScaleDivision};

    fn day() -> Day {
        Day::try_from("2026-10-03".to_owned()).expect("a day")
    }

    fn batch(library: &Library) -> Batch {
        let text = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 70), (fat: "coconut", share: 30)],
            superfat: 6, size: FatMass(600))"#;
        let design = document::read(text.as_bytes(), library).expect("a design");
        Batch::new(BatchCode::of(day(), 0), Line::default(), Arc::new(design))
    }

    fn enter(batch: &mut Batch, what: Happened) {
        batch.push(Entry { on: day(), corrects: None, what }).expect("room");
    }

    fn of(batch: &Batch, library: &Library) -> Record {
        Record::of(batch, &BTreeMap::new(), library, Measures::default())
    }

    fn weigh(batch: &mut Batch, what: What, grams: f64) {
        enter(batch, Happened::Weighed { what, grams: AmountMass::nearest(grams), lots: Vec::new() });
    }

    fn cut() -> Happened {
        let nothing = AmountMass::nearest(0.0);
        Happened::Cut {
            hours: Hours::nearest(48.0),
            like: CutLike::Clean,
            bars: 6,
            each: Vec::new(),
            trimmings: nothing,
            seconds: 1,
        }
    }

    fn tested(outcome: Outcome) -> Happened {
        Happened::Tested { how: Line::default(), outcome }
    }

    #[test]
    fn the_lye_stays_out_until_all_is_weighed_and_nothing_stands_against_it() {
        let library = Library::embedded().expect("assets parse");
        let mut batch = batch(&library);
        let planned = of(&batch, &library);
        let naoh = planned.plan.masses.alkali.naoh.0;
        assert!((planned.superfat().expect("a batch") - 6.0).abs() < 1e-9, "nothing said counts as planned");
        for (what, grams) in [(What::Fat(0), 420.0), (What::Fat(1), 180.0)] {
            assert!(matches!(of(&batch, &library).allows(&Happened::LyeIn), Err(Refusal::Missing(_))));
            weigh(&mut batch, what, grams);
        }
        assert!(matches!(of(&batch, &library).allows(&Happened::LyeIn), Err(Refusal::Missing(_))), "no alkali yet");
        weigh(&mut batch, What::SodiumHydroxide, naoh * 1.1);
        let heavy = of(&batch, &library);
        assert!(heavy.superfat().expect("a batch") < 0.0 && heavy.is_stopped());
        let refused = heavy.allows(&Happened::LyeIn).expect_err("it is lye-heavy");
        assert!(refused.to_string().starts_with("STOP: "), "{refused}");
        let back = heavy.back_to_plan().expect("there is more than was planned");
        assert!((back.naoh.0 - 0.1 * naoh).abs() < 1e-6, "{back:?}");
        assert!((back.fats.expect("they take alkali").0 - 60.0).abs() < 1e-6, "a tenth more of 600 g: {back:?}");
        weigh(&mut batch, What::SodiumHydroxide, naoh);
        let right = of(&batch, &library);
        assert_eq!(right.back_to_plan(), None);
        assert_eq!(right.allows(&Happened::LyeIn), Ok(()));
        assert!((right.superfat().expect("a batch") - 6.0).abs() < 1e-9);
        // What is only typed counts too.
        let draft = Draft { grams: AmountMass::nearest(naoh * 1.1), lots: Vec::new() };
        let typed = Record::of(&batch, &[(What::SodiumHydroxide, draft)].into(), &library, Measures::default());
        assert!(typed.is_stopped(), "before it is entered");
    }

    /// By hand: 115 g of 97 % and 98 g of 99 % hold 208.57 g of NaOH, as 213 g of 97.92 % do.
    #[test]
    fn a_weight_out_of_several_lots_has_the_purity_of_their_mixture() {
        let library = Library::embedded().expect("assets parse");
        let design = batch(&library).made;
        let lot = |grams, purity: Option<f64>| Taken {
            lot: LotId(1),
            grams: AmountMass::nearest(grams),
            figures: LotFigures {
                purity: purity.map(|p| (Purity::nearest(p), PurityMargin::nearest(0.5))),
                ..LotFigures::default()
            },
        };
        let of = |lots: &[Taken]| mixed(lots, What::SodiumHydroxide, &design).purity.map(|(p, pm)| (p.get(), pm.get()));
        let (purity, pm) = of(&[lot(115.0, Some(97.0)), lot(98.0, Some(99.0))]).expect("both have papers");
        assert!((purity * 213.0 / 100.0 - 208.57).abs() < 1e-9, "{purity}");
        assert!((pm - 0.5).abs() < 1e-12, "all may be off the same way: {pm}");
        let own = design.alkali.naoh_purity.get();
        let (purity, _) = of(&[lot(205.0, Some(100.0)), lot(8.0, None)]).expect("one has papers");
        assert!((purity - (205.0 * 100.0 + 8.0 * own) / 213.0).abs() < 1e-9, "the design's own for the rest: {purity}");
        assert_eq!(of(&[lot(205.0, None), lot(8.0, None)]), None, "nothing is said of either");
        let fat = |grams, sv: Option<f64>| Taken {
            figures: LotFigures {
                sv: sv.map(|sv| (SaponificationValue::nearest(sv), SvMargin::nearest(1.0))),
                purity: None,
            },
            ..lot(grams, None)
        };
        let (sv, _) =
            mixed(&[fat(100.0, Some(190.0)), fat(300.0, Some(194.0))], What::Fat(0), &design).sv.expect("papers");
        assert!((sv.get() - 193.0).abs() < 1e-9, "{sv:?}");
    }

    #[test]
    fn the_record_has_the_weights_that_the_sheet_tells() {
        let library = Library::embedded().expect("assets parse");
        let batch = batch(&library);
        let made = Design { scale_division: ScaleDivision::nearest(5.0), ..(*batch.made).clone() };
        let batch = Batch::new(batch.code, Line::default(), Arc::new(made));
        let sheet = Sheet::of(&batch.made, &evaluate(&batch.made, &library), &library, &Options::default());
        let of_sheet: Vec<_> = sheet.expect("a sheet").rows.iter().map(|row| (row.what, row.weight.0)).collect();
        let rows = of(&batch, &library).rows;
        assert_eq!(rows.iter().map(|row| (row.what, row.told.0)).collect::<Vec<_>>(), of_sheet);
        assert!(rows.iter().any(|row| (row.plan.0 - row.told.0).abs() > 0.1), "such a scale rounds: {rows:?}");
    }

    #[test]
    fn nothing_is_free_without_a_passed_test() {
        let library = Library::embedded().expect("assets parse");
        let mut batch = batch(&library);
        let state = |batch: &Batch| of(batch, &library).state;
        assert_eq!(of(&batch, &library).allows(&tested(Outcome::Passed)), Err(Refusal::Uncut));
        assert_eq!(of(&batch, &library).allows(&Happened::Freed), Err(Refusal::Untested));
        enter(&mut batch, Happened::Freed);
        assert_eq!(state(&batch), State::Raw, "by whatever hand it came in");
        enter(&mut batch, cut());
        assert_eq!(state(&batch), State::Curing);
        enter(&mut batch, tested(Outcome::Again(day())));
        assert_eq!(
            (state(&batch), of(&batch, &library).allows(&Happened::Freed)),
            (State::Curing, Err(Refusal::Untested))
        );
        enter(&mut batch, tested(Outcome::Passed));
        assert_eq!(state(&batch), State::Tested);
        let sold = |bars| Happened::Out { bars, how: How::Sold, to: Line::default() };
        assert_eq!(of(&batch, &library).allows(&sold(1)), Err(Refusal::NotFree(State::Tested)));
        enter(&mut batch, Happened::Freed);
        assert_eq!((state(&batch), free_from(&batch)), (State::Free, Some(day())));
        assert_eq!(of(&batch, &library).allows(&sold(6)), Ok(()));
        assert_eq!(of(&batch, &library).allows(&sold(7)), Err(Refusal::TooManyBars(6)));
        // A weight that is corrected afterwards so that the batch is lye-heavy takes the freedom back.
        let naoh = of(&batch, &library).plan.masses.alkali.naoh.0;
        weigh(&mut batch, What::SodiumHydroxide, naoh * 1.1);
        assert_eq!(state(&batch), State::Tested);
        enter(&mut batch, Happened::Withdrawn { reason: Line::default() });
        assert_eq!(state(&batch), State::Withdrawn);
        enter(&mut batch, tested(Outcome::Passed));
        assert_eq!(state(&batch), State::Withdrawn, "only a correction leads out of it");
        let struck = Happened::Struck { reason: Line::new("of another batch").expect("a line") };
        let nth = batch.entries().len() - 2;
        batch.push(Entry { on: day(), corrects: Some(nth), what: struck }).expect("it stands");
        assert_eq!(state(&batch), State::Tested);
        enter(&mut batch, tested(Outcome::Failed));
        assert_eq!(state(&batch), State::Withdrawn);
    }
}
