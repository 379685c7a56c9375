//! What is to be made and bought: planned batches, the shopping list, what can be made now, what ends soon.

use super::fields::{Fields, Wrong, typed_day};
use super::scene::{SOON, Scene};
use crate::cache::Kept;
use crate::files::Export;
use crate::open::{Key, State};
use crate::theme::{self, Tokens};
use crate::views::{Changes, Request};
use crate::widgets::{column, heading, line, name, quiet, small, within};
use barwright_core::bench::day::shown;
use barwright_core::bench::from_shelf::{missing, plan};
use barwright_core::design::shelf::{ShelfEdit, Stuff, ToBuy};
use barwright_core::render::plain_line;
use barwright_core::render::sheet::Paper;
use barwright_core::render::shelf::pages::{to_buy_csv, to_buy_page};
use eframe::egui::{self, Frame, Id, Label, Panel, RichText, Ui};
use std::rc::Rc;

/// What is missing for each open design, by its key and title.
type CanMake = Rc<Vec<(Key, String, Vec<ToBuy>)>>;

/// What the page remembers between frames.
#[derive(Debug, Default)]
pub(super) struct PlansPage {
    day: String,
    wrong: Option<Wrong>,
    to_buy: Kept<u64, Rc<Vec<ToBuy>>>,
    can_make: Kept<(u64, Vec<State>), CanMake>,
}

const DAY: &str = "Day of the planned batch";
/// From this width on, points, there are three columns.
const THREE: f32 = 960.0;

impl PlansPage {
    pub(super) fn show(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        let tokens = Tokens::of(ui);
        let ground = Frame::new().fill(tokens.ground);
        let full = ui.available_width();
        let columns: f32 = if full >= THREE { 3.0 } else { 2.0 };
        let width = full / columns;
        let side = |id: &'static str| Panel::left(id).resizable(false).exact_size(width);
        side("planned").frame(ground).show(ui, |ui| {
            column(ui, "planned column", within(16, 4), |ui| {
                self.planned(ui, scene, changes);
                if columns < 3.0 {
                    ui.add_space(8.0);
                    self.can_make(ui, scene);
                    ends_soon(ui, scene, changes);
                }
            });
        });
        if columns > 2.0 {
            side("can make").frame(ground).show(ui, |ui| {
                column(ui, "can make column", within(16, 4), |ui| {
                    self.can_make(ui, scene);
                    ends_soon(ui, scene, changes);
                });
            });
        }
        egui::CentralPanel::no_frame().frame(Frame::new().fill(tokens.panel)).show(ui, |ui| {
            column(ui, "to buy column", within(16, 4), |ui| self.shopping(ui, scene, changes));
        });
    }

    fn planned(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        heading(ui, "Planned batches");
        let open = scene.open;
        let fields = Fields { id: Id::unique("plan a batch"), wrong: self.wrong.as_ref(), region: scene.region };
        fields.day(ui, "On", DAY, &mut self.day);
        let title = plain_line(&open.title());
        if scene.button(ui, format!("Plan “{title}”")).on_hover_text("What it takes is set aside for it").clicked()
        {
            let evaluation = open.evaluation(scene.library);
            let asked = typed_day(DAY, &self.day, scene.region).and_then(|on| {
                let edit = ShelfEdit::Plan(plan(open.design(), &evaluation, on));
                scene.ask(edit, changes).map_err(|why| (DAY, why))
            });
            self.wrong = asked.err();
        }
        ui.add_space(4.0);
        if scene.shelf().plans.is_empty() {
            quiet(ui, "None yet. The design in hand is planned here or from Make.");
        }
        let ink = Tokens::of(ui).ink;
        for (at, planned) in scene.shelf().plans.iter().enumerate() {
            let design = plain_line(planned.design.as_str());
            let design = if design.is_empty() { "Unnamed design".to_owned() } else { design };
            line(
                ui,
                &design,
                |part| RichText::new(part).color(ink).font(theme::strong(13.0)),
                |ui| {
                    let button = scene.button(ui, "×");
                    name(ui, &button, &format!("No longer plan {design}, {}", at + 1));
                    if button.on_hover_text("No longer plan it").clicked() {
                        changes.request(Request::OnShelf(vec![ShelfEdit::Unplan(at)]));
                    }
                    let on = planned.on.map_or_else(|| "no day yet".into(), |d| shown(d.0));
                    quiet(ui, on);
                },
            );
            let total: f64 = planned.needs.iter().map(|(_, g)| g.get()).sum();
            small(ui, format!("{} materials, {} in all", planned.needs.len(), scene.mass(total)));
        }
    }

    fn shopping(&self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        let shelf = scene.shelf();
        let lines = self.to_buy.get(scene.keeper.revision(), || Rc::new(shelf.stock().to_buy(&[])));
        heading(ui, "To buy for all planned batches, less what is there");
        let missing: Vec<&ToBuy> = lines.iter().filter(|l| l.missing > 0.0).collect();
        if lines.is_empty() {
            quiet(ui, "Nothing is planned.");
            return;
        }
        ui.horizontal_wrapped(|ui| {
            if ui.button("Print…").on_hover_text("A list to take along").clicked() {
                let of = (shelf, &**scene.library);
                let page = to_buy_page(&lines, of, scene.measures.mass, Paper::usual_in(scene.region));
                changes.request(Request::Print(page));
            }
            if ui.button("Export…").on_hover_text("As a table for a spreadsheet").clicked()
                && let Ok(text) = to_buy_csv(&lines, shelf, scene.library)
            {
                let export = Export { what: "Shopping list", extension: "csv", name: "to-buy.csv".into(), text };
                changes.request(Request::Export(export));
            }
        });
        if missing.is_empty() {
            quiet(ui, "Nothing: all that the planned batches take is there.");
        }
        let (ink, dull) = (Tokens::of(ui).ink, Tokens::of(ui).quiet);
        for to_buy in &missing {
            let what = scene.name(&to_buy.stuff);
            line(
                ui,
                &what,
                |t| RichText::new(t).color(ink),
                |ui| {
                    ui.label(RichText::new(scene.mass(to_buy.missing)).font(theme::strong(13.0)));
                },
            );
            small(ui, format!("needed {}, there {}", scene.mass(to_buy.need), scene.mass(to_buy.there)));
        }
        let there: Vec<&ToBuy> = lines.iter().filter(|l| l.missing <= 0.0).collect();
        if !there.is_empty() {
            heading(ui, "There already, and set aside");
        }
        for line_of in there {
            let what = scene.name(&line_of.stuff);
            line(
                ui,
                &what,
                |t| RichText::new(t).color(dull),
                |ui| {
                    quiet(ui, format!("{} of {}", scene.mass(line_of.need), scene.mass(line_of.there)));
                },
            );
        }
    }

    fn can_make(&self, ui: &mut Ui, scene: Scene<'_>) {
        heading(ui, "What can be made now");
        let states = scene.designs.iter().map(crate::open::OpenDesign::state).collect();
        let all = self.can_make.get((scene.keeper.revision(), states), || {
            let stock = scene.shelf().stock();
            let designs = scene.designs.iter().filter(|d| !d.design().blend.lines().is_empty());
            let one = |d: &crate::open::OpenDesign| {
                (d.key, d.title(), missing(d.design(), &d.evaluation(scene.library), &stock))
            };
            Rc::new(designs.map(one).collect())
        });
        small(ui, "Each open design in its size, once the planned batches have theirs.");
        for (_, title, missing) in all.iter() {
            let tokens = Tokens::of(ui);
            let (word, colour) = if missing.is_empty() { ("yes", tokens.fine) } else { ("not yet", tokens.care) };
            line(
                ui,
                title,
                |t| RichText::new(t).font(theme::strong(13.0)),
                |ui| {
                    ui.label(RichText::new(word).color(colour));
                },
            );
            if !missing.is_empty() {
                let lines: Vec<String> =
                    missing.iter().map(|l| format!("{} {}", scene.mass(l.missing), scene.name(&l.stuff))).collect();
                let text = format!("missing: {}", lines.join(", "));
                ui.add(Label::new(RichText::new(text).small().color(tokens.quiet)).wrap());
            }
        }
    }
}

fn ends_soon(ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
    heading(ui, "Use up soon");
    let before = Scene::today().after(SOON.unsigned_abs());
    let stock = scene.shelf().stock();
    let lots = stock.ending_before(before);
    if lots.is_empty() {
        quiet(ui, format!("Nothing ends within {SOON} days."));
    }
    let tokens = Tokens::of(ui);
    for lot in lots {
        let until = lot.good_until().map(|d| shown(d.0)).unwrap_or_default();
        let is_past = lot.good_until().is_some_and(|u| u < Scene::today());
        let title = format!("{} {}", lot.id, scene.name(&lot.stuff));
        line(
            ui,
            &title,
            |t| RichText::new(t),
            |ui| {
                if let Stuff::Fat(id) = &lot.stuff {
                    let button = ui.button("Find a blend");
                    name(ui, &button, &format!("Find a blend that uses up {}", scene.name(&lot.stuff)));
                    if button.on_hover_text("Blends of what is on the shelf with all of it").clicked() {
                        changes.request(Request::UseUp(id.clone()));
                    }
                }
                quiet(ui, scene.mass(stock.left(lot.id).left));
            },
        );
        let (words, colour) = if is_past { ("past: ", tokens.stop) } else { ("good until ", tokens.care) };
        ui.label(RichText::new(format!("{words}{until}")).small().color(colour));
    }
}
