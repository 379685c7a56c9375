//! The Make view: one batch of the design from the day it is made to its price, in columns:
//! sheet, schedule and cure, label, cost. The batch may be larger or smaller than the design says.

pub mod checklist;
pub mod cost;
pub mod cure;
pub mod label;
pub mod scale;
pub mod schedule;
pub mod sheet;
pub mod shopping;
pub mod takeaway;

use super::why::{self, Explanations, Owner, Subject};
use super::{Changes, Request};
use crate::cache::Kept;
use crate::evaluated::Evaluated;
use crate::open::{Key, OpenDesign, State};
use crate::theme::Tokens;
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::{column, quiet, within};
use barwright_core::Library;
use barwright_core::bench::label::{ListStyle, Region};
use barwright_core::bench::schedule::NaiveTime;
use barwright_core::cautions::Caution;
use barwright_core::chemistry::scale::Scale;
use barwright_core::design::scale::ScaleError;
use barwright_core::explain::{Why, of_quantity};
use barwright_core::render::pages::{self, PieceSize};
use barwright_core::render::sheet::Paper;
use barwright_core::units::{Measures, PackMass, SalesMargin};
use eframe::egui::{self, Align, Frame, Label, Layout, Margin, Panel, Response, RichText, Ui, vec2};
use std::collections::BTreeMap;
use std::rc::Rc;

/// What the view remembers between frames.
#[derive(Debug)]
pub struct MakeView {
    /// Time of day at which the lye is made.
    time: NaiveTime,
    /// How large the batch is made; as designed if not said.
    scale: Option<Scale>,
    paper: Paper,
    style: ListStyle,
    region: Region,
    margin: SalesMargin,
    /// Width and height of a label.
    label_size: PieceSize,
    /// Sizes of packs that have no price yet, by id of the material.
    packs: BTreeMap<String, PackMass>,
    /// The design that is shown.
    shown: Option<Key>,
    percents: Kept<(State, Option<Scale>, ListStyle), Rc<label::Percents>>,
    explanations: Explanations<(State, Option<Scale>, NaiveTime)>,
}

impl Default for MakeView {
    fn default() -> Self {
        Self {
            time: NaiveTime::from_hms_opt(9, 0, 0).unwrap_or_default(),
            scale: None,
            paper: Paper::A4,
            style: ListStyle::AsPutIn,
            region: Region::EuUk,
            margin: SalesMargin::nearest(60.0),
            label_size: PieceSize::default(),
            packs: BTreeMap::new(),
            shown: None,
            percents: Kept::default(),
            explanations: Explanations::default(),
        }
    }
}

impl MakeView {
    /// Draws the view.
    pub fn show(&mut self, ui: &mut Ui, open: &OpenDesign, library: &Library, measures: Measures) -> Changes {
        let mut changes = Changes::default();
        if self.shown.replace(open.key) != Some(open.key) {
            self.scale = None;
            self.packs.clear();
        }
        let tokens = Tokens::of(ui);
        let plain = Frame::new().fill(tokens.ground);
        let top = plain.inner_margin(Margin { left: 16, right: 16, top: 10, bottom: 6 });
        Panel::top("make scale").frame(top).show(ui, |ui| scale::show(ui, self, open, library, measures, &mut changes));

        let batch = self.batch(open, library);
        let is_scaled = self.scale.is_some() && batch.is_ok();
        let batch = batch.unwrap_or_else(|_| open.evaluated(library));
        let width = ui.available_width();
        if batch.evaluation.cure.is_none() {
            egui::CentralPanel::no_frame().frame(plain.inner_margin(16)).show(ui, |ui| {
                quiet(ui, "Nothing to make yet: the design has no fats, or its size cannot be reached.");
            });
        } else {
            Panel::left("make times").frame(plain).exact_size((width * 0.335).clamp(330.0, 640.0)).show(ui, |ui| {
                column(ui, "make times column", within(16, 4), |ui| {
                    changes.requests.extend(sheet::show(ui, self, open, library, measures));
                    let calendar = schedule::show(ui, self, open, (&batch, library), measures, &mut changes);
                    changes.requests.extend(calendar.map(Request::Export));
                    // There is no day of sale while a Stop stands.
                    if !batch.cautions(library, measures).iter().any(Caution::blocks) {
                        cure::show(ui, open, (&batch, library), measures, &mut changes);
                    }
                });
            });
            let figures = Frame::new().fill(tokens.panel);
            Panel::right("make cost").frame(figures).exact_size((width * 0.35).clamp(340.0, 680.0)).show(ui, |ui| {
                column(ui, "make cost column", within(16, 4), |ui| {
                    cost::show(ui, self, open, (&batch, library), measures, &mut changes);
                });
            });
            egui::CentralPanel::no_frame().frame(plain).show(ui, |ui| {
                column(ui, "make label column", within(16, 4), |ui| {
                    takeaway::show(ui, self, &mut changes);
                    label::show(ui, self, open, (&batch, library), measures, &mut changes);
                });
            });
        }
        let state = (open.state(), self.scale, self.time);
        why::show(ui, measures, &self.explanations, state, |whose, subject| {
            let why = match subject {
                Subject::Quantity(quantity) => of_quantity(quantity.as_ref(), batch.about(library)),
                Subject::Step(index) => Ok(schedule::explain(*index, self, &batch, library)?),
                _ => return None,
            };
            (whose == Owner::Shown).then(|| if is_scaled { why.map(of_scaled) } else { why })
        });
        if !changes.edits.is_empty() {
            // What is drawn already is a frame behind.
            ui.ctx().request_repaint();
        }
        changes
    }

    /// One with paper and names of `region`.
    pub fn of(region: Region) -> Self {
        let mut view = Self::default();
        view.set_region(region);
        view
    }

    /// Takes paper and names of `region`.
    pub const fn set_region(&mut self, region: Region) {
        self.paper = Paper::usual_in(region);
        self.region = region;
    }

    /// What printed pages are made for.
    pub fn page_options(&self) -> pages::Options {
        pages::Options { paper: self.paper, style: self.style, region: self.region }
    }

    /// How large labels are.
    pub const fn label_size(&self) -> PieceSize {
        self.label_size
    }

    /// The batch as it is made.
    ///
    /// # Errors
    /// [`ScaleError`] if the design cannot be made as large or small as it is asked for.
    pub fn batch(&self, open: &OpenDesign, library: &Library) -> Result<Rc<Evaluated>, ScaleError> {
        self.scale.map_or_else(|| Ok(open.evaluated(library)), |scale| open.scaled(scale, library))
    }
}

/// Draws a field for a value that the view keeps; gives what was typed or stepped to.
fn kept<T>(
    ui: &mut Ui,
    field: &NumberField<'_>,
    read: impl FnOnce(&str) -> Result<T, String>,
    step: impl FnOnce(f64) -> Option<T>,
) -> Option<T> {
    match field.show(ui, read).1 {
        Entry::Typed(value) => Some(value),
        Entry::Steps(steps) => step(steps),
        Entry::None => None,
    }
}

/// Where the text of a cell stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum At {
    Left,
    Right,
}

/// A cell of a row, `width` points wide.
fn cell(ui: &mut Ui, width: f32, at: At, text: impl Into<RichText>) -> Response {
    let layout = match at {
        At::Left => Layout::left_to_right(Align::Center),
        At::Right => Layout::right_to_left(Align::Center),
    };
    let height = ui.spacing().interact_size.y;
    ui.allocate_ui_with_layout(vec2(width, height), layout, |ui| {
        ui.set_min_width(width);
        ui.add(Label::new(text.into()).truncate())
    })
    .inner
}

/// An explanation of a batch of another size than designed says that it is one.
fn of_scaled(mut why: Why) -> Why {
    why.trust.insert_str(0, "For the batch as it is scaled here; the design itself stays as it is. ");
    why
}
