//! Finished bars, by batch: what is left, since when they are free, until when they are good, where they went.

use super::scene::{Scene, soon_or_past};
use super::table::{At, Cell, arrows, row};
use crate::cache::Kept;
use crate::theme::{self, Tokens};
use crate::views::{Changes, Request};
use crate::widgets::{column, figure, heading, name, quiet, within};
use barwright_core::bench::day::shown;
use barwright_core::design::log::BatchCode;
use barwright_core::design::shelf::{Finished, Made};
use barwright_core::render::plain_line;
use barwright_core::render::shelf::trace::state;
use eframe::egui::{self, Frame, Id, Label, Panel, RichText, ScrollArea, TextEdit, Ui};
use std::rc::Rc;

/// A batch with its bars, by its place on the shelf.
type Entry = (usize, Finished);

/// What the page remembers between frames.
#[derive(Debug, Default)]
pub(super) struct BarsPage {
    search: String,
    with_gone: bool,
    chosen: Option<BatchCode>,
    kept: Kept<(u64, String, bool), Rc<Vec<Entry>>>,
}

const HEIGHT: f32 = 40.0;
const BESIDE: f32 = 360.0;
const SEARCH: &str = "Find a batch";

/// A button that opens the file of the design, where one was seen.
pub(super) fn open_button(ui: &mut Ui, made: &Made, changes: &mut Changes) {
    if made.path.is_empty() {
        return;
    }
    let button = ui.button("Open its design");
    name(ui, &button, &format!("Open the design of {}", made.code));
    if button.on_hover_text(plain_line(&made.path)).clicked() {
        changes.request(Request::OpenFile((&made.path).into()));
    }
}

impl BarsPage {
    pub(super) fn head(&mut self, ui: &mut Ui) {
        ui.checkbox(&mut self.with_gone, "Given and sold too").on_hover_text("Batches of which no bar is left");
        let field = TextEdit::singleline(&mut self.search).id(Id::unique("bars search")).hint_text(SEARCH);
        let field = ui.add(field.desired_width(220.0));
        name(ui, &field, SEARCH);
    }

    /// Draws the page; gives what is to be traced.
    pub(super) fn show(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) -> Option<String> {
        let tokens = Tokens::of(ui);
        let mut trace = None;
        let width = BESIDE.min(ui.available_width() * 0.42);
        let beside = Panel::right("beside the bars").resizable(false).frame(Frame::new().fill(tokens.panel));
        beside.exact_size(width).show(ui, |ui| {
            column(ui, "bars column", within(14, 8), |ui| {
                let made = self.chosen.and_then(|code| scene.shelf().batch(code));
                match made {
                    Some(made) => detail(ui, scene, made, &mut trace, changes),
                    None => drop(quiet(ui, "Choose a batch to see where its bars went.")),
                }
            });
        });
        egui::CentralPanel::no_frame().frame(Frame::new().fill(tokens.ground)).show(ui, |ui| self.list(ui, scene));
        trace
    }

    fn list(&mut self, ui: &mut Ui, scene: Scene<'_>) {
        let of = (scene.keeper.revision(), self.search.trim().to_lowercase(), self.with_gone);
        let shelf = scene.shelf();
        let entries = self.kept.get(of.clone(), || {
            let (_, search, gone) = &of;
            let stock = shelf.stock();
            let fits = |made: &Made| {
                let all = format!("{} {}", made.code, made.design).to_lowercase();
                (*gone || made.left() > 0 || !made.confirmed) && search.split_whitespace().all(|w| all.contains(w))
            };
            let all = shelf.made.iter().enumerate().rev().filter(|(_, made)| fits(made));
            Rc::new(all.map(|(at, made)| (at, stock.finished(made))).collect())
        });
        if entries.is_empty() {
            let text = if shelf.made.is_empty() {
                "No batch is known to the shelf yet: it learns of each when it is made in the Log."
            } else {
                "No bars are left of any batch that is called so. Tick “Given and sold too” to see them all."
            };
            Frame::new().inner_margin(16).show(ui, |ui| ui.add(Label::new(text).wrap()));
            return;
        }
        let code_of = |entry: &Entry| shelf.made.get(entry.0).map(|m| m.code);
        let place = self.chosen.and_then(|c| entries.iter().position(|e| code_of(e) == Some(c)));
        ui.spacing_mut().item_spacing.y = 0.0;
        let mut next = None;
        ScrollArea::vertical().id_salt("bars").auto_shrink([false, false]).show_rows(
            ui,
            HEIGHT,
            entries.len(),
            |ui, seen| {
                for i in seen {
                    let Some((made, bars)) = entries.get(i).and_then(|(at, bars)| Some((shelf.made.get(*at)?, bars)))
                    else {
                        continue;
                    };
                    let id = row_id(made.code);
                    let is_stop = place.unwrap_or(0) == i;
                    let response = one(ui, id, (made, bars), (place == Some(i), is_stop));
                    if response.clicked() || response.gained_focus() {
                        next = Some(made.code);
                    }
                    if response.clicked() {
                        response.request_focus();
                    }
                    if let Some(by) = arrows(ui, &response) {
                        let to = i.saturating_add_signed(by).min(entries.len() - 1);
                        if let Some(code) = entries.get(to).and_then(code_of) {
                            next = Some(code);
                            ui.memory_mut(|m| m.request_focus(row_id(code)));
                        }
                    }
                }
            },
        );
        if next.is_some() && next != self.chosen {
            self.chosen = next;
            ui.ctx().request_repaint();
        }
    }
}

fn row_id(code: BatchCode) -> Id {
    Id::unique(("bars row", code.to_string()))
}

fn one(ui: &mut Ui, id: Id, (made, bars): (&Made, &Finished), chosen: (bool, bool)) -> egui::Response {
    let tokens = Tokens::of(ui);
    let name = format!("{}  {}", made.code, plain_line(made.design.as_str()));
    let state = state(made);
    let left = format!("{} of {} bars", bars.left, made.bars);
    let until = bars.good_until.map_or_else(String::new, |d| shown(d.0));
    let kept = if until.is_empty() { "no date yet".to_owned() } else { format!("good until {until}") };
    let ends = bars.good_until.and_then(|u| soon_or_past(u, Scene::today())).filter(|_| bars.left > 0);
    let says = format!(
        "{} {}, {state}, {left} left, {kept}{}",
        made.code,
        plain_line(made.design.as_str()),
        ends.map_or_else(String::new, |word| format!(", {word}"))
    );
    let of_state = match (made.withdrawn, made.free_from) {
        (true, _) => tokens.stop,
        (false, Some(_)) => tokens.fine,
        (false, None) => tokens.care,
    };
    let of_end = match ends {
        Some("past") => tokens.stop,
        Some(_) => tokens.care,
        None => tokens.quiet,
    };
    let good = match ends {
        Some("past") => format!("past its date, {until}"),
        Some(_) => format!("soon past: {until}"),
        None => kept,
    };
    let cells = [
        Cell { part: 0.6, at: At::Left, upper: &name, lower: &state, colour: tokens.ink, under: of_state },
        Cell { part: 0.4, at: At::Right, upper: &left, lower: &good, colour: tokens.ink, under: of_end },
    ];
    row(ui, id, HEIGHT, &cells, &says, chosen).response
}

fn detail(ui: &mut Ui, scene: Scene<'_>, made: &Made, trace: &mut Option<String>, changes: &mut Changes) {
    let title = format!("{} {}", made.code, plain_line(made.design.as_str()));
    ui.add(Label::new(RichText::new(title).font(theme::strong(16.0))).wrap());
    ui.horizontal_wrapped(|ui| {
        open_button(ui, made, changes);
        let button = ui.button("Trace it").on_hover_text("Its lots, and who had its bars");
        if button.clicked() {
            *trace = Some(made.code.to_string());
        }
    });
    let bars = scene.shelf().stock().finished(made);
    figure(ui, "State", &state(made));
    figure(ui, "Bars left", &format!("{} of {}", bars.left, made.bars));
    figure(ui, "Good until", &bars.good_until.map_or_else(|| "no date".into(), |d| shown(d.0)));
    quiet(ui, "Never later than the earliest of what went into them.");
    heading(ui, "Where they went");
    if made.out.is_empty() {
        quiet(ui, "All are here.");
    }
    for out in &made.out {
        let text = format!("{}: {} {} {}", shown(out.on.0), out.bars, out.how.words(), plain_line(out.to.as_str()));
        ui.add(Label::new(text).wrap());
    }
    heading(ui, "What went into them");
    for (id, grams) in &made.lots {
        let what = scene.shelf().lot(*id).map(|l| scene.name(&l.stuff)).unwrap_or_default();
        figure(ui, &format!("{id} {what}"), &scene.mass(grams.get()));
    }
}
