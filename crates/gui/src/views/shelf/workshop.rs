//! The tools that stand about, to be used for the design in hand.

mod form;

use super::scene::Scene;
use crate::theme::{self, Tokens};
use crate::views::{Changes, Request};
use crate::widgets::{column, line, name, quiet, section, small, within};
use barwright_core::bench::day::shown;
use barwright_core::design::Calibration;
use barwright_core::design::edit::Edit;
use barwright_core::design::shelf::{Holds, ShelfEdit, Workshop};
use barwright_core::number::short;
use barwright_core::render::plain_line;
use eframe::egui::{self, Frame, Panel, RichText, Ui};
use form::{Kind, ToolForm};

/// What the page remembers between frames.
#[derive(Debug, Default)]
pub(super) struct WorkshopPage {
    form: Option<ToolForm>,
    forms: u64,
}

const BESIDE: f32 = 360.0;

impl WorkshopPage {
    pub(super) fn show(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        let tokens = Tokens::of(ui);
        let beside = Panel::right("a tool").resizable(false).frame(Frame::new().fill(tokens.panel));
        beside.exact_size(BESIDE.min(ui.available_width() * 0.42)).show(ui, |ui| {
            column(ui, "tool column", within(14, 8), |ui| {
                let is_done = if let Some(form) = &mut self.form {
                    form.show(ui, scene, changes)
                } else {
                    let title = plain_line(&scene.open.title());
                    quiet(
                        ui,
                        format!("“Use” takes a tool for the design in hand, {title}, as one step that can be undone."),
                    );
                    false
                };
                if is_done {
                    self.form = None;
                }
            });
        });
        egui::CentralPanel::no_frame().frame(Frame::new().fill(tokens.ground)).show(ui, |ui| {
            column(ui, "workshop column", within(16, 4), |ui| self.tools(ui, scene, changes));
        });
    }

    fn open(&mut self, kind: Kind, at: Option<usize>, scene: Scene<'_>) {
        self.forms += 1;
        self.form = Some(ToolForm::new(self.forms, kind, at, scene));
    }

    fn tools(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        let workshop = &scene.shelf().workshop;
        let mut asked = None;
        for kind in Kind::ALL {
            ui.add_space(10.0);
            ui.horizontal(|ui| {
                section(ui, kind.many());
                let button = scene.button(ui, "Add…");
                name(ui, &button, kind.add());
                if button.clicked() {
                    asked = Some((kind, None));
                }
            });
            let tools = told(kind, workshop, scene);
            if tools.is_empty() {
                quiet(ui, "None yet.");
            }
            for (at, (title, about, edit)) in tools.into_iter().enumerate() {
                line(
                    ui,
                    &title,
                    |t| RichText::new(t).font(theme::strong(13.0)),
                    |ui| {
                        let remove = scene.button(ui, "×");
                        name(ui, &remove, &format!("Remove {title}"));
                        if remove.on_hover_text("Remove it").clicked() {
                            changes.request(Request::OnShelf(vec![ShelfEdit::Workshop(without(workshop, kind, at))]));
                        }
                        let change = scene.button(ui, "Change…");
                        name(ui, &change, &format!("Change {title}"));
                        if change.clicked() {
                            asked = Some((kind, Some(at)));
                        }
                        let button = ui.add_enabled(edit.is_some(), egui::Button::new("Use"));
                        name(ui, &button, &format!("Use {title} for the design in hand"));
                        let button = button.on_disabled_hover_text("Nothing of it is known that a design goes by");
                        if button.clicked()
                            && let Some(edit) = edit
                        {
                            changes.request(Request::Change(scene.open.key, Box::new(edit)));
                        }
                    },
                );
                small(ui, about);
            }
        }
        ui.add_space(10.0);
        ui.horizontal(|ui| {
            section(ui, "Oven");
            let button = scene.button(ui, "Change…");
            name(ui, &button, "Change the error of the oven");
            if button.clicked() {
                asked = Some((Kind::Oven, None));
            }
        });
        quiet(ui, form::oven_words(workshop.oven_error, scene));
        if let Some((kind, at)) = asked {
            self.open(kind, at, scene);
        }
    }
}

/// A tool: what it is called, what is known of it, and what a design takes of it.
type Told = (String, String, Option<Edit>);

fn told(kind: Kind, workshop: &Workshop, scene: Scene<'_>) -> Vec<Told> {
    let design = scene.open.design();
    match kind {
        Kind::Scale => {
            let one = |scale: &barwright_core::design::shelf::ScaleAtHand| {
                let largest = scale.largest.map(|g| format!(", at most {}", scene.mass(g.get()))).unwrap_or_default();
                let checked =
                    scale.checked.map_or_else(|| ", never checked".into(), |d| format!(", checked {}", shown(d.0)));
                let about = format!("steps of {} g{largest}{checked}", short(scale.division.get(), 3));
                (plain_line(scale.name.as_str()), about, Some(Edit::ScaleDivision(scale.division)))
            };
            workshop.scales.iter().map(one).collect()
        }
        Kind::Jug => {
            let one = |jug: &barwright_core::design::shelf::JugAtHand| {
                let cooling = jug.cooling.map_or_else(
                    || ", its cooling not known".into(),
                    |c| format!(", cools in {} min", short(c.get(), 1)),
                );
                let about = format!("{} ml{cooling}", short(jug.ml.get(), 0));
                let calibration =
                    |cooling| Calibration { jug_cooling_min: Some(cooling), ..design.calibration.clone() };
                (plain_line(jug.name.as_str()), about, jug.cooling.map(|c| Edit::Calibration(calibration(c))))
            };
            workshop.jugs.iter().map(one).collect()
        }
        Kind::Mould => {
            let one = |mould: &barwright_core::design::shelf::MouldAtHand| {
                let holds = match mould.holds {
                    Holds::Loaf { length, width, height } => format!(
                        "{} × {} × {} mm",
                        short(length.get(), 1),
                        short(width.get(), 1),
                        short(height.get(), 1)
                    ),
                    Holds::Water(ml) => format!("{} ml of water", short(ml.get(), 0)),
                };
                let liner = plain_line(mould.liner.as_str());
                let liner = if liner.is_empty() { liner } else { format!(", lined with {liner}") };
                let about = format!("{holds}, {} bars{liner}", mould.bars.get());
                (plain_line(mould.name.as_str()), about, Some(Edit::FillMould(mould.size(), mould.bars)))
            };
            workshop.moulds.iter().map(one).collect()
        }
        Kind::Oven => Vec::new(),
    }
}

fn without(workshop: &Workshop, kind: Kind, at: usize) -> Workshop {
    fn less<T: Clone>(tools: &[T], at: usize) -> Vec<T> {
        tools.iter().enumerate().filter(|(i, _)| *i != at).map(|(_, t)| t.clone()).collect()
    }
    let mut next = workshop.clone();
    match kind {
        Kind::Scale => next.scales = less(&workshop.scales, at),
        Kind::Jug => next.jugs = less(&workshop.jugs, at),
        Kind::Mould => next.moulds = less(&workshop.moulds, at),
        Kind::Oven => {}
    }
    next
}
