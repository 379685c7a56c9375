//! The lots: what there is of each material, until when it is good, and what it cost.

mod correct;
mod detail;
mod form;
mod list;

use super::scene::Scene;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::widgets::{column, name, quiet, within};
use barwright_core::design::log::LotId;
use barwright_core::design::shelf::Stuff;
use correct::CorrectForm;
use eframe::egui::{self, ComboBox, Frame, Id, Margin, Panel, TextEdit, Ui};
use form::LotForm;
use list::{List, Order};

/// What the page remembers between frames.
#[derive(Debug, Default)]
pub(super) struct LotsPage {
    search: String,
    order: Order,
    with_used_up: bool,
    chosen: Option<LotId>,
    list: List,
    beside: Beside,
    /// Counts forms, so that each has names of its own.
    forms: u64,
}

/// What stands beside the list.
#[derive(Debug, Default)]
enum Beside {
    #[default]
    Detail,
    Lot(Box<LotForm>),
    Correct(Box<CorrectForm>),
}

/// Width of what stands beside the list, points.
const BESIDE: f32 = 380.0;

impl LotsPage {
    /// What stands at the right of the line at the top.
    pub(super) fn head(&mut self, ui: &mut Ui, scene: Scene<'_>) {
        if scene.button(ui, "Add a lot…").on_hover_text("Something that was bought or harvested").clicked() {
            self.add(None);
        }
        ui.checkbox(&mut self.with_used_up, "Used up too").on_hover_text("Lots of which nothing is left");
        let combo = ComboBox::from_id_salt("order of lots").selected_text(self.order.words()).width(128.0);
        let shown = combo.show_ui(ui, |ui| {
            for order in Order::ALL {
                ui.selectable_value(&mut self.order, order, order.words());
            }
        });
        name(ui, &shown.response, "Order of the lots");
        let width = ui.available_width().clamp(90.0, 320.0);
        let hint = if width < 120.0 { "Find" } else { SEARCH };
        let field = TextEdit::singleline(&mut self.search).id(search_id()).hint_text(hint);
        let field = ui.add(field.desired_width(width - 16.0).margin(Margin::symmetric(8, 4)));
        name(ui, &field, SEARCH);
    }

    /// Opens the form for a new lot, of `stuff` if that is known.
    pub(super) fn add(&mut self, stuff: Option<Stuff>) {
        self.forms += 1;
        self.beside = Beside::Lot(Box::new(LotForm::new(self.forms, stuff)));
    }

    /// Draws the page.
    pub(super) fn show(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        let tokens = Tokens::of(ui);
        let width = BESIDE.min(ui.available_width() * 0.45);
        let beside = Panel::right("beside the lots").resizable(false).frame(Frame::new().fill(tokens.panel));
        beside.exact_size(width).show(ui, |ui| {
            column(ui, "lot column", within(14, 8), |ui| self.beside(ui, scene, changes));
        });
        egui::CentralPanel::no_frame().frame(Frame::new().fill(tokens.ground)).show(ui, |ui| {
            if scene.shelf().lots.is_empty() {
                Frame::new().inner_margin(16).show(ui, |ui| {
                    quiet(ui, "A lot is one delivery of a material: a bottle or a sack with the number that stands on it. Nothing is on the shelf yet: add a lot, or read a table at Import.");
                });
                return;
            }
            let of = (self.search.as_str(), self.order, self.with_used_up);
            if let Some(chosen) = self.list.show(ui, scene, of, self.chosen) {
                if self.chosen != Some(chosen) && matches!(self.beside, Beside::Detail) {
                    ui.ctx().request_repaint();
                }
                self.chosen = Some(chosen);
            }
        });
    }

    fn beside(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        match &mut self.beside {
            Beside::Lot(form) => {
                if let Some(done) = form.show(ui, scene, changes) {
                    if let form::Done::Kept(lot) = done {
                        self.chosen = Some(lot);
                    }
                    self.beside = Beside::Detail;
                }
            }
            Beside::Correct(form) => {
                if form.show(ui, scene, changes) {
                    self.beside = Beside::Detail;
                }
            }
            Beside::Detail => {
                let lot = self.chosen.and_then(|id| scene.shelf().lot(id));
                let Some(lot) = lot else {
                    quiet(ui, "Choose a lot to see what is known of it.");
                    return;
                };
                match detail::show(ui, scene, lot, changes) {
                    Some(detail::Asked::Change) => {
                        self.forms += 1;
                        self.beside = Beside::Lot(Box::new(LotForm::of(self.forms, lot, scene)));
                    }
                    Some(detail::Asked::Correct) => {
                        self.forms += 1;
                        self.beside = Beside::Correct(Box::new(CorrectForm::new(self.forms, lot.id)));
                    }
                    Some(detail::Asked::Another) => self.add(Some(lot.stuff.clone())),
                    None => {}
                }
            }
        }
    }
}

/// The field in which a lot is looked for.
const SEARCH: &str = "Find a lot";

fn search_id() -> Id {
    Id::unique("lot search")
}
