//! The Find view: a sentence that says what blend is looked for, and the blends that are found.

pub mod ask;
pub mod fats;
pub mod ranges;
pub mod results;
pub mod sentence;
pub mod trade;

use super::Changes;
use super::design::Scene;
use super::why::{self as why_window, Owner, Subject};
use crate::jobs::SearchJob;
use crate::open::{Key, OpenDesign};
use crate::theme::Tokens;
use crate::widgets::{column, within};
use ask::Ask;
use barwright_core::design::blend::Blend;
use barwright_core::explain::{About, AnyQuantity, Why, WhyError, of_picked, of_quantity, of_search};
use barwright_core::find::{Found, Wanted};
use barwright_core::quantities::OfSearch;
use barwright_core::{Design, Evaluation, Library, evaluate};
use eframe::egui::{self, Frame, Margin, Panel, Ui};
use std::collections::BTreeMap;
use std::sync::Arc;
use trade::Curve;

/// What stands at the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Side {
    #[default]
    Ranges,
    Fats,
    Curve,
}

/// What the view remembers between frames.
#[derive(Debug, Default)]
pub struct FindView {
    /// What is asked for.
    pub ask: Ask,
    side: Side,
    /// What is looked for, and who looks.
    job: Option<(Wanted, SearchJob)>,
    /// The result that is looked at.
    chosen: usize,
    curve: Curve,
    /// A blend picked on the curve.
    picked: Option<Found>,
    filter: String,
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
        self.picked = None;
    }

    /// Draws the view.
    pub fn show(&mut self, ui: &mut Ui, open: &OpenDesign, library: &Arc<Library>, scene: &Scene<'_>) -> Changes {
        let mut changes = Changes::default();
        self.turn_to(open.key);
        self.ask.forget_soap_unless(open.design(), library);
        let plain = Frame::new().fill(Tokens::of(ui).ground);
        let width = ui.available_width();
        let top = plain.inner_margin(Margin { left: 20, right: 20, top: 12, bottom: 8 });
        Panel::top("find sentence").frame(top).show(ui, |ui| {
            sentence::show(ui, self, open, scene);
        });
        let design = Arc::clone(open.design());
        let evaluation = open.evaluation(library);
        let wanted = self.ask.wanted(&design, &evaluation, library);
        self.look(wanted, library, ui.ctx());
        let side = Frame::new().fill(Tokens::of(ui).panel);
        Panel::right("find side").frame(side).exact_size((width * 0.4).clamp(400.0, 640.0)).show(ui, |ui| {
            column(ui, "find side column", within(20, 8), |ui| self.side(ui, open, scene, &mut changes));
        });
        egui::CentralPanel::no_frame().frame(plain).show(ui, |ui| {
            column(ui, "find results", within(20, 8), |ui| results::show(ui, self, open, scene, &mut changes));
        });
        let state = why_window::state(&(open.key, open.history.revision(), self.found_so_far()));
        why_window::show(ui, scene.unit, state, |whose, subject| {
            self.explain((whose, subject), &design, &evaluation, library)
        });
        changes
    }

    /// Sees to it that `wanted` is looked for.
    fn look(&mut self, wanted: Wanted, library: &Arc<Library>, ctx: &egui::Context) {
        if self.job.as_ref().is_none_or(|(sought, _)| *sought != wanted) {
            let job = SearchJob::start(wanted.clone(), Arc::clone(library), ctx.clone());
            self.job = Some((wanted, job));
            self.chosen = 0;
            self.picked = None;
        }
        if let Some((_, job)) = &mut self.job {
            job.poll();
        }
    }

    /// What stands for the blends in sight, to notice when the search goes on.
    fn found_so_far(&self) -> String {
        let latest = self.job.as_ref().and_then(|(_, job)| job.latest.as_ref()).and_then(|l| l.as_ref().ok());
        let found = latest.map(|o| (o.results.iter().map(|f| f.objective).collect::<Vec<_>>(), o.lower_bound, o.done));
        format!("{found:?} {:?}", self.picked.as_ref().map(|f| f.objective))
    }

    /// Explains a number of the design, of a blend that was found, or of the search.
    fn explain(
        &self,
        (whose, subject): (Owner, &Subject),
        design: &Design,
        evaluation: &Evaluation,
        library: &Library,
    ) -> Option<Result<Why, WhyError>> {
        let of_blend = |quantity: &dyn AnyQuantity, blend: &Blend| {
            let made = with_blend(design, blend);
            of_quantity(quantity, About::new(&made, &evaluate(&made, library), library))
        };
        if let (Owner::Shown, Subject::Quantity(quantity)) = (whose, subject) {
            return Some(of_quantity(quantity.as_ref(), About::new(design, evaluation, library)));
        }
        let (wanted, job) = self.job.as_ref()?;
        let outcome = job.latest.as_ref()?.as_ref().ok();
        match (whose, subject) {
            (Owner::Search, Subject::Search(number)) => Some(of_search(*number, outcome?, wanted, design, library)),
            (Owner::Found(i), Subject::Found(number)) => {
                Some(of_search(OfSearch::Found(i, *number), outcome?, wanted, design, library))
            }
            (Owner::Found(i), Subject::Quantity(quantity)) => {
                let found = of_blend(quantity.as_ref(), &outcome?.results.get(i)?.blend);
                Some(found.map(|why| Why { title: format!("Blend {}: {}", i + 1, why.title), ..why }))
            }
            (Owner::Picked, Subject::Found(number)) => {
                Some(of_picked(*number, self.picked.as_ref()?, self.curve.wanted()?, design, library))
            }
            (Owner::Picked, Subject::Quantity(quantity)) => {
                Some(of_blend(quantity.as_ref(), &self.picked.as_ref()?.blend))
            }
            _ => None,
        }
    }

    fn side(&mut self, ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
        ui.horizontal(|ui| {
            for (side, text) in
                [(Side::Ranges, "Ranges"), (Side::Fats, "Fats and prices"), (Side::Curve, "Price against likeness")]
            {
                ui.selectable_value(&mut self.side, side, text);
            }
        });
        ui.add_space(6.0);
        match self.side {
            Side::Ranges => ranges::show(ui, self, open, scene),
            Side::Fats => fats::show(ui, self, open, scene, changes),
            Side::Curve => trade::show(ui, self, open, scene),
        }
    }
}

/// The design with `blend` in place of its own.
fn with_blend(design: &Design, blend: &Blend) -> Design {
    Design { blend: blend.clone(), ..design.clone() }
}
