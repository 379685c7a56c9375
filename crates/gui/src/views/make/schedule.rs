//! When to do what, from the day and the time at which the lye is made.

use super::{MakeView, kept};
use crate::clock;
use crate::evaluated::Evaluated;
use crate::files::{Export, name_of};
use crate::open::OpenDesign;
use crate::theme::{self, Tokens};
use crate::views::Changes;
use crate::views::design::controls::{Written, id_of, quantity, row};
use crate::views::why::{self, Owner, Subject};
use crate::widgets::calendar::calendar_button;
use crate::widgets::number_field::{NumberField, complain};
use crate::widgets::{section, small};
use barwright_core::Library;
use barwright_core::bench::day;
use barwright_core::bench::schedule::{self, NaiveDate, NaiveDateTime, Schedule, Step, StepKind, counted_day};
use barwright_core::design::Process;
use barwright_core::design::edit::Edit;
use barwright_core::explain::AnyQuantity;
use barwright_core::explain::{Start, Why};
use barwright_core::quantities::{BarAtSale, BarFresh, BarOnDay, Frozen, MinutesToMix, OfBar, SettledDay};
use barwright_core::units::Measures;
use eframe::egui::{self, Align, Label, Layout, RichText, Ui, vec2};
use std::sync::Arc;
use std::time::Duration;

/// Width of the dates, points.
const DATES: f32 = 114.0;
/// The same while days are only counted.
const DAYS: f32 = 52.0;
/// A step of the arrow keys in the time of day.
const QUARTER: Duration = Duration::from_mins(15);

/// Draws the panel; gives the calendar file if it is wanted.
pub fn show(
    ui: &mut Ui,
    view: &mut MakeView,
    open: &OpenDesign,
    (batch, library): (&Evaluated, &Library),
    measures: Measures,
    changes: &mut Changes,
) -> Option<Export> {
    let made_on = batch.design.process.made_on.as_deref();
    let day = made_on.map(schedule::day).transpose();
    let known = day.as_ref().ok().copied().flatten();
    // Without a day the steps are counted from any.
    let start = NaiveDateTime::new(known.unwrap_or_default(), view.time);
    let planned = batch.schedule(start, library, measures);
    let mut export = None;
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        section(ui, "Schedule");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let planned = (*planned).as_ref().ok().filter(|_| known.is_some());
            let button = ui.add_enabled(planned.is_some(), egui::Button::new("Save as calendar file…"));
            let button = button
                .on_hover_text("An iCalendar file (.ics) with these steps, for any calendar program")
                .on_disabled_hover_text("Type the day of making first");
            if let Some(planned) = planned.filter(|_| button.clicked()) {
                export = Some(calendar(batch, planned));
            }
        });
    });
    start_fields(ui, view, open, batch, known, changes);
    if let Err(error) = &day {
        complain(ui, &error.to_string());
    } else if known.is_none() {
        small(
            ui,
            "Type the day of making, such as today or 28 Nov, and the dates follow. Until then days are counted from \
             making; those of the cure always from cutting.",
        );
    }
    times(ui, open, batch, changes);
    ui.add_space(4.0);
    match planned.as_ref() {
        Ok(planned) => {
            let steps = planned.steps();
            for (i, step) in steps.iter().enumerate() {
                let is_new_day = i == 0 || steps[i - 1].starts.date() != step.starts.date();
                line(ui, (i, step), start.date(), known.is_some(), is_new_day);
            }
        }
        Err(error) => complain(ui, &error.to_string()),
    }
    export
}

fn calendar(batch: &Evaluated, planned: &Schedule) -> Export {
    Export {
        what: "Calendar file",
        extension: "ics",
        name: format!("{}.ics", name_of(&batch.design.name)),
        text: planned.calendar(),
    }
}

fn start_fields(
    ui: &mut Ui,
    view: &mut MakeView,
    open: &OpenDesign,
    batch: &Evaluated,
    known: Option<NaiveDate>,
    changes: &mut Changes,
) {
    let ids = [id_of(open, "make day"), id_of(open, "make time")];
    let process = &batch.design.process;
    row(ui, "Lye made", |ui| {
        let (raw, region) = (process.made_on.clone().unwrap_or_default(), view.dates);
        let shown = known.map_or(raw, day::shown);
        let field = NumberField { id: ids[0], name: "Day of making", shown: &shown, width: 92.0, hint: "" };
        let read = |text: &str| {
            let text = text.trim();
            let day = (!text.is_empty()).then(|| day::typed(text, clock::today(), region)).transpose();
            day.map_err(|e| e.to_string())
        };
        let step = |by: f64| {
            let day = known?;
            if by > 0.0 { day.succ_opt() } else { day.pred_opt() }.map(Some)
        };
        let edit =
            |day: Option<NaiveDate>| Edit::Process(Process { made_on: day.map(|d| d.to_string()), ..process.clone() });
        changes.field(ui, &field, read, step, edit).on_hover_text(format!("As {}", day::understood(region)));
        if let Some(day) = calendar_button(ui, ids[0], "Calendar for the day of making", known, region) {
            changes.edit(edit(Some(day)));
        }
        ui.label("at");
        let shown = view.time.format("%H:%M").to_string();
        let field = NumberField { id: ids[1], name: "Time of day at the start", shown: &shown, width: 52.0, hint: "" };
        let read = |text: &str| schedule::time(text).map_err(|e| e.to_string());
        let now = view.time;
        let step = |by: f64| Some(if by > 0.0 { now + QUARTER } else { now - QUARTER });
        if let Some(time) = kept(ui, &field, read, step) {
            view.time = time;
        }
    });
    for id in ids {
        NumberField::complaint(ui, id);
    }
}

/// How long until cutting and until sale.
fn times(ui: &mut Ui, open: &OpenDesign, batch: &Evaluated, changes: &mut Changes) {
    let ids = [id_of(open, "make cut"), id_of(open, "make cure")];
    let process = &batch.design.process;
    row(ui, "Cut after", |ui| {
        let hours = Written { name: "Hours from pouring to cutting", unit: "h", step: 1.0, decimals: 1, width: 52.0 };
        quantity(ui, changes, ids[0], hours, process.cut_hours, |cut_hours| {
            Edit::Process(Process { cut_hours, ..process.clone() })
        });
        ui.label("cure for");
        let days = Written { name: "Days of cure", unit: "days", step: 1.0, decimals: 1, width: 74.0 };
        quantity(ui, changes, ids[1], days, process.cure_days, |cure_days| {
            Edit::Process(Process { cure_days, ..process.clone() })
        })
        .on_hover_text("From cutting to sale; the trade waits four weeks (common practice, no source)");
    });
    for id in ids {
        NumberField::complaint(ui, id);
    }
}

/// The number that a step's text tells.
fn told(kind: StepKind) -> Option<Arc<dyn AnyQuantity>> {
    Some(match kind {
        StepKind::Freeze => Arc::new(Frozen),
        StepKind::Lye | StepKind::Oven | StepKind::DoNotUse => return None,
        StepKind::Mix => Arc::new(MinutesToMix),
        StepKind::Cut => Arc::new(BarFresh),
        StepKind::Turn(week) => Arc::new(BarOnDay(schedule::turning_day(week), OfBar::Weight)),
        StepKind::Ready => Arc::new(BarAtSale),
        StepKind::Settled => Arc::new(SettledDay),
    })
}

/// Explains the time of the step at `index`; `None` if there is none.
pub fn explain(index: usize, view: &MakeView, batch: &Evaluated, library: &Library) -> Option<Why> {
    let day = batch.design.process.made_on.as_deref().and_then(|day| schedule::day(day).ok());
    let at = NaiveDateTime::new(day.unwrap_or_default(), view.time);
    let start = if day.is_some() { Start::Dated(at) } else { Start::Undated(at) };
    let planned = batch.schedule(at, library, Measures::METRIC);
    let step = (*planned).as_ref().ok()?.steps().get(index)?;
    Some(barwright_core::explain::step(step, start, &batch.design, &batch.evaluation, library))
}

/// A step: its day where that is another than before, its time, what is done, and more about it.
fn line(ui: &mut Ui, (index, step): (usize, &Step), start: NaiveDate, is_dated: bool, is_new_day: bool) {
    let quiet = Tokens::of(ui).quiet;
    let date = step.starts.date();
    let day = if is_dated { date.format("%a %-d %b %Y").to_string() } else { counted_day(date, start) };
    ui.spacing_mut().item_spacing.y = 2.0;
    if is_new_day {
        ui.add_space(3.0);
    }
    ui.horizontal_top(|ui| {
        let dates = if is_dated { DATES } else { DAYS };
        ui.allocate_ui_with_layout(vec2(dates, 17.0), Layout::left_to_right(Align::Min), |ui| {
            ui.set_min_width(dates);
            if is_new_day {
                ui.label(day);
            }
        });
        let time = ui.label(RichText::new(step.starts.format("%H:%M").to_string()).color(quiet));
        why::explained(ui, &time, Owner::Shown, Subject::Step(index));
        ui.vertical(|ui| {
            let title = match step.kind {
                StepKind::Turn(n) => format!("{}, week {n}", step.kind.title()),
                kind => kind.title().into(),
            };
            ui.add(Label::new(RichText::new(title).font(theme::strong(13.0))).wrap()).on_hover_text(&step.text);
            // Turning is said once, and what settling is stands under the cure.
            if !matches!(step.kind, StepKind::Settled | StepKind::Turn(2..)) {
                let shown = ui.add(Label::new(RichText::new(&step.text).small().color(quiet)).wrap());
                if let Some(quantity) = told(step.kind) {
                    why::explained(ui, &shown, Owner::Shown, Subject::Quantity(quantity));
                }
            }
        });
    });
}
