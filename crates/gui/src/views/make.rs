//! The Make view: one batch of the design from the day it is made to its price, in columns:
//! sheet, schedule and cure, label, cost. The batch may be larger or smaller than the design says.

pub mod checklist;
pub mod cost;
pub mod cure;
pub mod label;
pub mod page;
pub mod scale;
pub mod schedule;
pub mod sheet;
pub mod shopping;
pub mod takeaway;

use super::design::colour;
use super::figures::Figures;
use super::why::{self, Explanations, Owner, Subject};
use super::{Changes, Request};
use crate::cache::Kept;
use crate::evaluated::Evaluated;
use crate::open::{Key, OpenDesign, State};
use crate::theme::Tokens;
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::{column, cut, quiet, within};
use barwright_core::Library;
use barwright_core::bench::from_shelf::with_prices;
use barwright_core::bench::label::{ListStyle, Region};
use barwright_core::bench::schedule::NaiveTime;
use barwright_core::cautions::Caution;
use barwright_core::chemistry::scale::Scale;
use barwright_core::design::scale::ScaleError;
use barwright_core::design::shelf::Shelf;
use barwright_core::explain::{Why, of_quantity};
use barwright_core::render::pages::{self, PieceSize};
use barwright_core::render::sheet::Paper;
use barwright_core::units::{Measures, PackMass, SalesMargin};
use eframe::egui::{self, Align, Frame, Label, Layout, Margin, Panel, Response, RichText, Ui, vec2};
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

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
    /// Whose order a typed date has, whatever region the label is for.
    dates: Region,
    margin: SalesMargin,
    /// Width and height of a label.
    label_size: PieceSize,
    /// Sizes of packs that have no price yet, by id of the material.
    packs: BTreeMap<String, PackMass>,
    /// The design that is shown.
    shown: Option<Key>,
    /// The shelf, and which state of it.
    pub shelf: (Arc<Shelf>, u64),
    /// The batch with the shelf’s prices where the design has none.
    priced: Kept<(State, Option<Scale>, u64), Rc<Evaluated>>,
    percents: Kept<(State, Option<Scale>, ListStyle), Rc<label::Percents>>,
    explanations: Explanations<(State, Option<Scale>, NaiveTime, u64)>,
}

impl Default for MakeView {
    fn default() -> Self {
        Self {
            time: NaiveTime::from_hms_opt(9, 0, 0).unwrap_or_default(),
            scale: None,
            paper: Paper::A4,
            style: ListStyle::AsPutIn,
            region: Region::EuUk,
            dates: Region::EuUk,
            margin: SalesMargin::nearest(60.0),
            label_size: PieceSize::default(),
            packs: BTreeMap::new(),
            shown: None,
            shelf: (Arc::default(), 0),
            priced: Kept::default(),
            percents: Kept::default(),
            explanations: Explanations::default(),
        }
    }
}

/// What stands beside the sheet.
#[derive(Debug, Clone, Copy)]
enum Beside {
    /// When to do what, and the cure.
    Times,
    /// What is taken away, and what stands on a label.
    Label,
    /// What it costs.
    Cost,
}

/// Part of the width that the sheet takes, and from which rest on, points, there are three columns beside it or two.
const PAGE: f32 = 0.42;
const THREE: f32 = 1020.0;
const TWO: f32 = 690.0;

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
        let priced = self.priced.get((open.state(), self.scale, self.shelf.1), || {
            Rc::new(Evaluated::of(Arc::new(with_prices(&batch.design, &self.shelf.0)), library))
        });
        let width = ui.available_width();
        if batch.evaluation.cure.is_none() {
            egui::CentralPanel::no_frame().frame(plain.inner_margin(16)).show(ui, |ui| {
                quiet(ui, "Nothing to make yet: the design has no fats, or its size cannot be reached.");
            });
        } else {
            let page = (width * PAGE).clamp(400.0, 800.0);
            Panel::left("make sheet").resizable(false).frame(plain).exact_size(page).show(ui, |ui| {
                changes.requests.extend(sheet::show(ui, self, open, library, measures));
            });
            // What follows stands in as many columns as there is room for.
            let rest = width - page;
            let columns: &[&[Beside]] = match rest {
                THREE.. => &[&[Beside::Times], &[Beside::Label], &[Beside::Cost]],
                TWO.. => &[&[Beside::Times, Beside::Label], &[Beside::Cost]],
                _ => &[&[Beside::Times, Beside::Label, Beside::Cost]],
            };
            let figures = Frame::new().fill(tokens.panel);
            let last = columns.len() - 1;
            for (i, parts) in columns.iter().enumerate() {
                let mut content = |ui: &mut Ui| {
                    column(ui, &format!("make column {i}"), within(16, 4), |ui| {
                        for part in *parts {
                            let of = if matches!(part, Beside::Cost) { &priced } else { &batch };
                            self.beside(ui, *part, open, (of, library), measures, &mut changes);
                        }
                    });
                };
                if i < last {
                    let width = rest / columns.len() as f32;
                    Panel::left(format!("make {i}")).resizable(false).frame(plain).exact_size(width).show(ui, content);
                } else {
                    let frame = if last > 0 { figures } else { plain };
                    egui::CentralPanel::no_frame().frame(frame).show(ui, &mut content);
                }
            }
        }
        let state = (open.state(), self.scale, self.time, self.shelf.1);
        why::show(ui, measures, &self.explanations, state, |whose, subject| {
            let why = match subject {
                Subject::Quantity(quantity) => of_quantity(quantity.as_ref(), priced.about(library)),
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

    /// Draws what stands beside the sheet.
    fn beside(
        &mut self,
        ui: &mut Ui,
        part: Beside,
        open: &OpenDesign,
        (batch, library): (&Evaluated, &Library),
        measures: Measures,
        changes: &mut Changes,
    ) {
        match part {
            Beside::Times => {
                let calendar = schedule::show(ui, self, open, (batch, library), measures, changes);
                changes.requests.extend(calendar.map(Request::Export));
                // There is no day of sale while a Stop stands.
                if !batch.cautions(library, measures).iter().any(Caution::blocks) {
                    cure::show(ui, open, (batch, library), measures, changes);
                }
                ui.add_space(7.0);
                colour::show(ui, Figures::shown(batch.about(library), measures), false);
            }
            Beside::Label => {
                takeaway::show(ui, self, changes);
                label::show(ui, self, open, (batch, library), measures, changes);
            }
            Beside::Cost => cost::show(ui, self, open, (batch, library), measures, changes),
        }
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
        self.dates = region;
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
pub(super) enum At {
    Left,
    Right,
}

/// A cell of a row, `width` points wide.
pub(super) fn cell(ui: &mut Ui, width: f32, at: At, text: impl Into<RichText>) -> Response {
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

/// A cell with a name, shortened in its middle where it must be.
pub(super) fn name_cell(ui: &mut Ui, width: f32, text: &str, styled: impl Fn(&str) -> RichText) -> Response {
    let height = ui.spacing().interact_size.y;
    ui.allocate_ui_with_layout(vec2(width, height), Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_width(width);
        cut::one_line(ui, text, styled)
    })
    .inner
}

/// An explanation of a batch of another size than designed says that it is one.
fn of_scaled(mut why: Why) -> Why {
    why.trust.insert_str(0, "For the batch as it is scaled here; the design itself stays as it is. ");
    why
}
