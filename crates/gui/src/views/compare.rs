//! The Compare view: two to four open designs side by side, with what differs.

mod charts;
mod head;
mod table;

use super::why::{self, Explanations, Owner, Subject};
use super::{Changes, Request};
use crate::cache::Kept;
use crate::evaluated::Evaluated;
use crate::open::{Key, OpenDesign, State};
use crate::theme::Tokens;
use crate::widgets::lane::Mark;
use crate::widgets::{column, small, within};
use barwright_core::Library;
use barwright_core::explain::compare::{self, Group};
use barwright_core::explain::{self as core_why, Why, WhyError};
use barwright_core::units::Measures;
use eframe::egui::{self, Align, Color32, Frame, Layout, Margin, Panel, Ui, vec2};
use std::rc::Rc;

/// One column.
struct Side {
    key: Key,
    title: String,
    made: Rc<Evaluated>,
    /// What undo would take back.
    step: Option<String>,
}

impl Side {
    fn of(open: &OpenDesign, library: &Library) -> Self {
        let step = open.history.undo_name().map(str::to_owned);
        Self { key: open.key, title: open.title(), made: open.evaluated(library), step }
    }

    fn core(&self) -> compare::Side<'_> {
        compare::Side { design: &self.made.design, evaluation: &self.made.evaluation }
    }
}

/// The letter, the sign and the mark of each column.
const LETTERS: [&str; compare::MOST_SIDES] = ["A", "B", "C", "D"];
const SIGNS: [&str; compare::MOST_SIDES] = ["◆", "◇", "▲", "■"];
const MARKS: [Mark; compare::MOST_SIDES] = [Mark::Filled, Mark::Hollow, Mark::Triangle, Mark::Square];

/// The colour of a column in a chart; its letter stands beside it.
fn colour(ui: &Ui, column: usize) -> Color32 {
    let tokens = Tokens::of(ui);
    [tokens.accent, tokens.edge, tokens.ink, tokens.care][column]
}

/// What the designs compared are, and how masses are written.
type Of = (Vec<State>, Measures);

/// What the view keeps between frames.
#[derive(Debug, Default)]
pub struct CompareView {
    groups: Kept<Of, Rc<[Group]>>,
    explanations: Explanations<Of>,
}

/// Everything that the parts of the view draw.
struct Compared<'a> {
    sides: Vec<Side>,
    groups: Rc<[Group]>,
    /// All open designs with their titles.
    open: Vec<(Key, String)>,
    library: &'a Library,
}

impl Compared<'_> {
    fn keys(&self) -> Vec<Key> {
        self.sides.iter().map(|s| s.key).collect()
    }
}

/// Widths of a table's columns.
#[derive(Clone, Copy)]
struct Widths {
    names: f32,
    value: f32,
    difference: f32,
}

impl Widths {
    /// The most that a name and a value take.
    const NAMES: f32 = 330.0;
    const VALUE: f32 = 330.0;

    fn of(width: f32, sides: usize) -> Self {
        let n = sides as f32;
        let names =
            if sides > 2 { (width * 0.22).clamp(120.0, 230.0) } else { (width * 0.3).clamp(120.0, Self::NAMES) };
        let difference = if sides > 2 { 66.0 } else { 96.0 };
        let value = ((width - names - (n - 1.0) * difference) / n).clamp(70.0, Self::VALUE);
        Self { names, value, difference }
    }

    /// What a table takes where there is room for all.
    fn most(sides: usize) -> f32 {
        let Self { names, value, difference } = Self::of(f32::INFINITY, sides);
        let n = sides as f32;
        names + n * value + (n - 1.0) * difference
    }
}

/// Height of a row.
const ROW: f32 = 21.0;

fn cell<R>(ui: &mut Ui, width: f32, content: impl FnOnce(&mut Ui) -> R) -> R {
    ui.allocate_ui_with_layout(vec2(width, ROW), Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_width(width);
        ui.set_max_width(width);
        ui.spacing_mut().item_spacing.x = 5.0;
        content(ui)
    })
    .inner
}

/// A line of cells that touch each other.
fn line(ui: &mut Ui, content: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        content(ui);
    });
}

impl CompareView {
    /// Draws the view of the designs `columns` among all open `designs`.
    pub fn show(
        &self,
        ui: &mut Ui,
        designs: &[OpenDesign],
        columns: &[Key],
        library: &Library,
        measures: Measures,
    ) -> Changes {
        let mut changes = Changes::default();
        let mut request = None;
        let open: Vec<(Key, String)> = designs.iter().map(|d| (d.key, d.title())).collect();
        let columns = columns.iter().filter_map(|key| designs.iter().find(|d| d.key == *key));
        let columns: Vec<&OpenDesign> = columns.take(compare::MOST_SIDES).collect();
        let of = (columns.iter().map(|d| d.state()).collect(), measures);
        let sides: Vec<Side> = columns.into_iter().map(|d| Side::of(d, library)).collect();
        let plain = Frame::new().fill(Tokens::of(ui).ground);
        if sides.len() < 2 {
            egui::CentralPanel::no_frame().frame(plain).show(ui, |ui| {
                if let Some(only) = sides.first() {
                    alone(ui, only, &mut request);
                }
            });
            changes.requests.extend(request);
            return changes;
        }
        let groups = self.groups.get(of.clone(), || {
            let core: Vec<_> = sides.iter().map(Side::core).collect();
            compare::compare(&core, measures, library).into()
        });
        let compared = Compared { sides, groups, open, library };
        let width = ui.available_width();
        // What the table does not need in a wide window goes to the charts.
        let rest = width - Widths::most(compared.sides.len()) - SCROLL_BAR - 2.0 * f32::from(EDGE);
        let charts = (width * 0.29).clamp(290.0, 600.0).max(rest);
        let beside = Frame::new().fill(Tokens::of(ui).panel);
        Panel::right("compare charts").frame(beside).resizable(false).exact_size(charts).show(ui, |ui| {
            column(ui, "compare charts", within(16, 6), |ui| charts::show(ui, &compared));
        });
        let top = plain.inner_margin(Margin { left: EDGE, right: EDGE, top: 10, bottom: 4 });
        Panel::top("compare head").frame(top).show(ui, |ui| {
            let widths = Widths::of(ui.available_width() - SCROLL_BAR, compared.sides.len());
            head::show(ui, widths, &compared, &mut request);
        });
        egui::CentralPanel::no_frame().frame(plain).show(ui, |ui| {
            column(ui, "compare table", within(EDGE, 0), |ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                let widths = Widths::of(ui.available_width() - SCROLL_BAR, compared.sides.len());
                table::show(ui, widths, &compared, &mut request);
            });
        });
        why::show(ui, measures, &self.explanations, of, |whose, subject| explain(&compared, whose, subject, measures));
        changes.requests.extend(request);
        changes
    }
}

/// Explains the number of a column, or a difference.
fn explain(
    compared: &Compared<'_>,
    whose: Owner,
    subject: &Subject,
    measures: Measures,
) -> Option<Result<Why, WhyError>> {
    let core: Vec<_> = compared.sides.iter().map(Side::core).collect();
    let library = compared.library;
    match (whose, subject) {
        (Owner::Column(column), Subject::Row(key)) => {
            let side = core.get(column)?;
            let why = core_why::why(key, side.design, side.evaluation, library);
            Some(why.map(|why| Why { title: format!("{}: {}", LETTERS[column], why.title), ..why }))
        }
        (Owner::Difference(column), Subject::SharedAcids) => core_why::shared_acids(column, &core, library).map(Ok),
        (Owner::Difference(column), Subject::Row(key)) => {
            let row = compared.groups.iter().flat_map(|g| &g.rows).find(|r| r.key == *key)?;
            core_why::difference(row, column, &core, measures, library).map(Ok)
        }
        _ => None,
    }
}

/// Room that is kept free for the scroll bar, and the margin of the table, points.
const SCROLL_BAR: f32 = 8.0;
const EDGE: i8 = 16;

/// What is shown while only one design is open.
fn alone(ui: &mut Ui, a: &Side, request: &mut Option<Request>) {
    ui.add_space(40.0);
    ui.vertical_centered(|ui| {
        ui.heading("Open a second design to compare");
        ui.label(format!("“{}” is the only one open.", a.title));
        ui.add_space(8.0);
        if ui.button(format!("Copy “{}” and vary the copy", a.title)).clicked() {
            *request = Some(Request::Copy(a.key));
        }
        for (i, example) in crate::examples::ALL.iter().enumerate() {
            if ui.button(format!("Open the example “{}”", example.title)).clicked() {
                *request = Some(Request::Example(i));
            }
        }
        ui.add_space(8.0);
        small(ui, "Or open a file: File, Open…");
    });
}
