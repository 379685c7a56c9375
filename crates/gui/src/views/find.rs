//! The Find view: a sentence that says what blend is looked for, and the blends that are found.

pub mod ask;
pub mod fats;
pub mod ranges;
pub mod results;
pub mod sentence;
pub mod trade;

use super::Changes;
use super::design::Scene;
use super::why::{self as why_window, Explanations, Owner, Subject};
use crate::cache::Kept;
use crate::evaluated::Evaluated;
use crate::jobs::SearchJob;
use crate::open::{Key, OpenDesign, State};
use crate::theme::Tokens;
use crate::widgets::{column, section, within};
use ask::Ask;
use barwright_core::bench::from_shelf::with_prices;
use barwright_core::design::shelf::Shelf;
use barwright_core::explain::{AnyQuantity, Why, WhyError, of_picked, of_quantity, of_search};
use barwright_core::find::{Candidate, Found, Wanted};
use barwright_core::quantities::OfSearch;
use barwright_core::{Design, Library};
use eframe::egui::{self, Frame, Margin, Panel, Ui};
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;
use trade::{Curve, Picked};

/// What stands at the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Side {
    #[default]
    Ranges,
    Fats,
    Curve,
}

impl Side {
    const fn words(self) -> &'static str {
        match self {
            Self::Ranges => "Ranges",
            Self::Fats => "Fats and prices",
            Self::Curve => "Price against likeness",
        }
    }
}

/// Part of the width that the panel at the right takes, with its least and its most; from so much on, points, the
/// ranges have a panel of their own beside it.
const SIDE: f32 = 0.4;
const LEAST_SIDE: f32 = 410.0;
const MOST_SIDE: f32 = 560.0;
const TWO_SIDES: f32 = 1700.0;
/// The margin of the columns, points.
const EDGE: i8 = 16;

/// Names the blends in sight: the design that they are for, and what was told or picked.
type Sight = (State, u64);

/// How many blends can be in sight: the results, and one of the curve.
const IN_SIGHT: usize = sentence::MOST_RESULTS + 1;

/// What the view remembers between frames.
#[derive(Debug, Default)]
pub struct FindView {
    /// What is asked for.
    pub ask: Ask,
    side: Side,
    /// What is looked for, and who looks.
    job: Option<(Rc<Wanted>, SearchJob)>,
    /// The result that is looked at.
    chosen: usize,
    curve: Curve,
    /// A blend picked on the curve.
    picked: Option<Picked>,
    /// Grows with all that is told or picked.
    news: u64,
    filter: String,
    /// The shelf, and which state of it.
    pub shelf: (Arc<Shelf>, u64),
    /// The design with the shelf’s prices where it has none.
    priced: Kept<(State, u64), Arc<Design>>,
    wanted: Kept<(State, Ask, u64), Rc<Wanted>>,
    candidates: Kept<State, Rc<[Candidate]>>,
    /// The design with each of the blends in sight.
    made: Kept<(Sight, Owner), Rc<Evaluated>, IN_SIGHT>,
    explanations: Explanations<Sight>,
    /// The design whose sentence it is, and what is asked for others.
    shown: Option<Key>,
    others: BTreeMap<Key, Ask>,
}

impl FindView {
    /// Asks for something else of the design `key`.
    pub fn ask(&mut self, key: Key, ask: Ask) {
        self.turn_to(key);
        self.ask = ask;
    }

    /// Shows the sentence of the design `key`.
    fn turn_to(&mut self, key: Key) {
        if self.shown == Some(key) {
            return;
        }
        let ask = std::mem::replace(&mut self.ask, self.others.remove(&key).unwrap_or_default());
        if let Some(before) = self.shown.replace(key) {
            self.others.insert(before, ask);
        }
        self.chosen = 0;
        self.pick(None);
    }

    /// Looks at a blend of the curve, or at none of them.
    fn pick(&mut self, picked: Option<Picked>) {
        self.picked = picked;
        self.news += 1;
    }

    /// The design `open` with the shelf’s prices where it has none.
    fn priced(&self, open: &OpenDesign) -> Arc<Design> {
        self.priced.get((open.state(), self.shelf.1), || Arc::new(with_prices(open.design(), &self.shelf.0)))
    }

    fn sight(&self, open: &OpenDesign) -> Sight {
        (open.state(), self.news)
    }

    /// What follows from the design with the blend `found` in place of its own.
    fn made(&self, open: &OpenDesign, (found, whose): (&Found, Owner), library: &Library) -> Rc<Evaluated> {
        self.made.get((self.sight(open), whose), || {
            let design = Design { blend: found.blend.clone(), ..(**open.design()).clone() };
            Rc::new(Evaluated::of(Arc::new(design), library))
        })
    }

    /// Draws the view.
    pub fn show(&mut self, ui: &mut Ui, open: &OpenDesign, library: &Arc<Library>, scene: &Scene<'_>) -> Changes {
        let mut changes = Changes::default();
        self.turn_to(open.key);
        self.ask.forget_soap_unless(open.design(), library);
        let plain = Frame::new().fill(Tokens::of(ui).ground);
        let width = ui.available_width();
        let top = plain.inner_margin(Margin { left: EDGE, right: EDGE, top: 12, bottom: 8 });
        Panel::top("find sentence").frame(top).show(ui, |ui| {
            sentence::show(ui, self, open, scene);
        });
        let (shelf, revision) = (&self.shelf.0, self.shelf.1);
        let wanted = self.wanted.get((open.state(), self.ask.clone(), revision), || {
            Rc::new(self.ask.wanted(&self.priced(open), &open.evaluation(library), shelf, library))
        });
        self.look(wanted, library, ui.ctx());
        let frame = Frame::new().fill(Tokens::of(ui).panel);
        let is_wide = width >= TWO_SIDES;
        let side = (width * if is_wide { SIDE / 2.0 } else { SIDE }).clamp(LEAST_SIDE, MOST_SIDE);
        let panel = |id: &'static str| Panel::right(id).frame(frame).resizable(false).exact_size(side);
        panel("find side").show(ui, |ui| {
            column(ui, "find side column", within(EDGE, 8), |ui| self.side(ui, is_wide, open, scene, &mut changes));
        });
        if is_wide {
            panel("find ranges").show(ui, |ui| {
                column(ui, "find ranges column", within(EDGE, 8), |ui| {
                    section(ui, Side::Ranges.words());
                    ui.add_space(6.0);
                    ranges::show(ui, self, open, scene);
                });
            });
        }
        egui::CentralPanel::no_frame().frame(plain).show(ui, |ui| {
            column(ui, "find results", within(EDGE, 8), |ui| results::show(ui, self, open, scene, &mut changes));
        });
        why_window::show(ui, scene.measures, &self.explanations, self.sight(open), |whose, subject| {
            self.explain((whose, subject), open, library)
        });
        changes
    }

    /// Sees to it that `wanted` is looked for.
    fn look(&mut self, wanted: Rc<Wanted>, library: &Arc<Library>, ctx: &egui::Context) {
        match &mut self.job {
            Some((sought, _)) if Rc::ptr_eq(sought, &wanted) => {}
            Some((sought, _)) if *sought == wanted => *sought = wanted,
            job => {
                let search = SearchJob::start((*wanted).clone(), Arc::clone(library), ctx.clone());
                *job = Some((wanted, search));
                self.chosen = 0;
                self.pick(None);
            }
        }
        let is_news = self.job.as_mut().is_some_and(|(_, job)| job.poll());
        self.news += u64::from(is_news);
    }

    /// Explains a number of the design, of a blend that was found, or of the search.
    fn explain(
        &self,
        (whose, subject): (Owner, &Subject),
        open: &OpenDesign,
        library: &Library,
    ) -> Option<Result<Why, WhyError>> {
        let of_blend = |quantity: &dyn AnyQuantity, found: &Found| {
            of_quantity(quantity, self.made(open, (found, whose), library).about(library))
        };
        if let (Owner::Shown, Subject::Quantity(quantity)) = (whose, subject) {
            return Some(of_quantity(quantity.as_ref(), open.evaluated(library).about(library)));
        }
        let (design, (wanted, job)) = (open.design(), self.job.as_ref()?);
        match (whose, subject) {
            (Owner::Search, Subject::Search(number)) => {
                Some(of_search(*number, job.outcome()?, wanted, design, library))
            }
            (Owner::Found(i), Subject::Found(number)) => {
                Some(of_search(OfSearch::Found(i, *number), job.outcome()?, wanted, design, library))
            }
            (Owner::Found(i), Subject::Quantity(quantity)) => {
                let found = of_blend(quantity.as_ref(), job.outcome()?.results.get(i)?);
                Some(found.map(|why| Why { title: format!("Blend {}: {}", i + 1, why.title), ..why }))
            }
            (Owner::Picked, Subject::Found(number)) => {
                let Picked { found, wanted } = self.picked.as_ref()?;
                Some(of_picked(*number, found, wanted, design, library))
            }
            (Owner::Picked, Subject::Quantity(quantity)) => {
                Some(of_blend(quantity.as_ref(), &self.picked.as_ref()?.found))
            }
            _ => None,
        }
    }

    /// Draws the panel at the right; `beside` the ranges where those have one of their own.
    fn side(&mut self, ui: &mut Ui, beside: bool, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
        let sides: &[Side] = if beside { &[Side::Fats, Side::Curve] } else { &[Side::Ranges, Side::Fats, Side::Curve] };
        let mut shown = if sides.contains(&self.side) { self.side } else { Side::Fats };
        ui.horizontal(|ui| {
            for side in sides {
                if ui.selectable_value(&mut shown, *side, side.words()).clicked() {
                    self.side = *side;
                }
            }
        });
        ui.add_space(6.0);
        match shown {
            Side::Ranges => ranges::show(ui, self, open, scene),
            Side::Fats => fats::show(ui, self, open, scene, changes),
            Side::Curve => trade::show(ui, self, open, scene),
        }
    }
}
