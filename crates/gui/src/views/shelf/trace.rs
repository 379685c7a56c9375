//! Where what came in went: lot, batches, bars, people, and back.

use super::scene::Scene;
use crate::clock;
use crate::theme::{self, Tokens};
use crate::views::{Changes, Request};
use crate::widgets::{column, copy_button, heading, name, quiet, small, within};
use barwright_core::bench::day::shown;
use barwright_core::design::shelf::{Asked, Made, Trace};
use barwright_core::number::counted;
use barwright_core::render::plain_line;
use barwright_core::render::sheet::Paper;
use barwright_core::render::shelf::trace::{self, NO_BATCH, NO_LOT, NOBODY, Telling, state, summary, trace_page};
use eframe::egui::{self, Button, Frame, Id, Label, Margin, Panel, RichText, TextEdit, Ui};

/// What the page remembers between frames.
#[derive(Debug, Default)]
pub(super) struct TracePage {
    text: String,
    fresh: bool,
}

const FIELD: &str = "A lot, a batch or a person";
/// From this width on, points, what is found stands in three columns.
const THREE: f32 = 900.0;

impl TracePage {
    pub(super) const fn open(&mut self) {
        self.fresh = true;
    }

    /// Asks where `text` went.
    pub(super) fn ask(&mut self, text: String) {
        self.text = text;
    }

    pub(super) fn show(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        let tokens = Tokens::of(ui);
        let ground = Frame::new().fill(tokens.ground);
        let shelf = scene.shelf();
        let trace = shelf.trace(&self.text);
        let top = ground.inner_margin(Margin { left: 16, right: 16, top: 4, bottom: 6 });
        Panel::top("trace field").frame(top).show_separator_line(false).show(ui, |ui| {
            ui.horizontal_wrapped(|ui| {
                let edit = TextEdit::singleline(&mut self.text).id(Id::unique("trace field")).hint_text(FIELD);
                let field = ui.add(edit.desired_width(300.0).margin(Margin::symmetric(8, 5)));
                name(ui, &field, FIELD);
                if std::mem::take(&mut self.fresh) {
                    field.request_focus();
                }
                if let Some(trace) = &trace {
                    let asked = plain_line(self.text.trim());
                    let telling = Telling { asked: &asked, on: clock::today(), unit: scene.measures.mass };
                    let of = (shelf, &**scene.library);
                    if ui.button("Print…").on_hover_text("A page to hand on or to file").clicked() {
                        let page = trace_page(trace, telling, of, Paper::usual_in(scene.region));
                        changes.request(Request::Print(page));
                    }
                    copy_button(ui, "the trace", || trace::text(trace, telling, of));
                }
            });
            let told = match &trace {
                Some(trace) => summary(trace),
                None if self.text.trim().is_empty() => {
                    "As L12 or the supplier’s own number of a lot, 2026-03-07A of a batch, or a part of a name.".into()
                }
                None => "Nothing on the shelf is called so: no lot, no batch, and nobody who had bars.".into(),
            };
            ui.add(Label::new(RichText::new(told).color(tokens.quiet)).wrap());
        });
        let Some(trace) = trace else {
            egui::CentralPanel::no_frame().frame(ground).show(ui, |_| {});
            return;
        };
        let mut next = None;
        let full = ui.available_width();
        let three = full >= THREE;
        if three {
            let width = full / 3.0;
            let left = Panel::left("traced lots").resizable(false).frame(ground).exact_size(width);
            left.show(ui, |ui| column(ui, "traced lots", within(16, 2), |ui| lots(ui, scene, &trace, &mut next)));
            let right = Panel::right("traced people").resizable(false).frame(ground).exact_size(width);
            right.show(ui, |ui| column(ui, "traced people", within(16, 2), |ui| people(ui, &trace, &mut next)));
        }
        egui::CentralPanel::no_frame().frame(ground).show(ui, |ui| {
            column(ui, "traced batches", within(16, 2), |ui| {
                if !three {
                    lots(ui, scene, &trace, &mut next);
                    people(ui, &trace, &mut next);
                }
                batches(ui, scene, &trace, &mut next, changes);
            });
        });
        if let Some(next) = next {
            self.text = next;
            ui.ctx().request_repaint();
        }
    }
}

/// Something that leads on from here.
fn lead(ui: &mut Ui, text: &str, to: String, next: &mut Option<String>) {
    let ink = Tokens::of(ui).accent;
    let button = ui.add(Button::new(RichText::new(text).color(ink)).frame(false).wrap());
    if button.on_hover_text("Trace this").clicked() {
        *next = Some(to);
    }
}

fn lots(ui: &mut Ui, scene: Scene<'_>, trace: &Trace<'_>, next: &mut Option<String>) {
    heading(ui, if trace.asked == Asked::Lots { "Lots" } else { "Lots that went into them" });
    if trace.lots.is_empty() {
        quiet(ui, NO_LOT);
    }
    for lot in &trace.lots {
        let text = format!("{} {}", lot.id, scene.name(&lot.stuff));
        lead(ui, &text, lot.id.to_string(), next);
        let parts = [lot.supplier.as_str(), lot.number.as_str()].map(plain_line);
        let came = lot.bought.map(|d| format!("came {}", shown(d.0)));
        let told: Vec<String> = parts.into_iter().chain(came).filter(|t| !t.is_empty()).collect();
        small(ui, told.join(", "));
    }
}

fn batches(ui: &mut Ui, scene: Scene<'_>, trace: &Trace<'_>, next: &mut Option<String>, changes: &mut Changes) {
    heading(ui, "Batches");
    if trace.batches.is_empty() {
        quiet(ui, NO_BATCH);
    }
    for made in &trace.batches {
        batch(ui, scene, (made, trace), next, changes);
    }
}

fn batch(
    ui: &mut Ui,
    scene: Scene<'_>,
    (made, trace): (&Made, &Trace<'_>),
    next: &mut Option<String>,
    changes: &mut Changes,
) {
    let tokens = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        let text = format!("{} {}", made.code, plain_line(made.design.as_str()));
        lead(ui, &text, made.code.to_string(), next);
        super::bars::open_button(ui, made, changes);
    });
    let bars = counted(made.bars as usize, "bar", "bars");
    small(ui, format!("{bars}, {} left, {}", made.left(), state(made)));
    let of_trace = made.lots.iter().filter(|(id, _)| trace.lots.iter().any(|l| l.id == *id));
    let taken: Vec<String> = of_trace.map(|(id, grams)| format!("{} of {id}", scene.mass(grams.get()))).collect();
    if !taken.is_empty() {
        ui.add(Label::new(RichText::new(taken.join(", ")).small().color(tokens.quiet)).wrap());
    }
    for out in &made.out {
        let text = format!("{}: {} {}: {}", shown(out.on.0), out.bars, out.how.words(), plain_line(out.to.as_str()));
        ui.add(Label::new(RichText::new(text).color(tokens.ink)).wrap());
    }
    ui.add_space(6.0);
}

fn people(ui: &mut Ui, trace: &Trace<'_>, next: &mut Option<String>) {
    heading(ui, "Who had bars");
    if trace.people.is_empty() {
        quiet(ui, NOBODY);
    }
    for had in &trace.people {
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new(had.bars.to_string()).font(theme::strong(13.5)));
            if had.who.is_empty() {
                quiet(ui, "not written down to whom");
            } else {
                lead(ui, &plain_line(had.who), had.who.to_owned(), next);
            }
        });
        let (first, last) = had.days;
        let days = if first == last { shown(first.0) } else { format!("{} to {}", shown(first.0), shown(last.0)) };
        small(ui, days);
    }
}
