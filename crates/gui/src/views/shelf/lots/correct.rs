//! A count that differs: how much is left, and why.

use super::super::fields::{Fields, Wrong, accept, line, mass};
use super::super::scene::Scene;
use crate::theme;
use crate::views::Changes;
use crate::widgets::{name, quiet};
use barwright_core::design::log::LotId;
use barwright_core::design::shelf::{Correction, ShelfEdit};
use barwright_core::units::{AmountMass, StockChange};
use eframe::egui::{Id, RichText, Ui};

/// The form.
#[derive(Debug)]
pub(super) struct CorrectForm {
    id: Id,
    lot: LotId,
    left: String,
    reason: String,
    wrong: Option<Wrong>,
    /// The state of the shelf to which it was sent.
    sent: Option<u64>,
    is_new: bool,
}

const LEFT: &str = "Left by the count";
const REASON: &str = "Reason of the correction";
/// Usual reasons.
const REASONS: [&str; 4] = ["counted anew", "spilt", "spoilt", "given away"];

impl CorrectForm {
    pub(super) fn new(nth: u64, lot: LotId) -> Self {
        let id = Id::unique(("correct a lot", nth));
        Self { id, lot, left: String::new(), reason: String::new(), wrong: None, sent: None, is_new: true }
    }

    /// Draws it; whether it is done with.
    pub(super) fn show(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) -> bool {
        if self.sent.is_some_and(|sent| scene.keeper.revision() > sent) {
            return true;
        }
        let Some(lot) = scene.shelf().lot(self.lot) else { return true };
        let books = scene.shelf().stock().left(self.lot).left;
        ui.label(RichText::new(format!("{}: what is left", self.lot)).font(theme::strong(16.0)));
        quiet(ui, format!("{}: by the books {} are left.", scene.name(&lot.stuff), scene.mass(books)));
        let fields = Fields { id: self.id, wrong: self.wrong.as_ref(), region: scene.region };
        fields.short(ui, "Left", LEFT, &mut self.left, scene.measures.mass.sign());
        fields.text(ui, "Reason", REASON, &mut self.reason, "why the count differs");
        ui.horizontal_wrapped(|ui| {
            for reason in REASONS {
                let button = ui.button(reason);
                name(ui, &button, &format!("Reason: {reason}"));
                if button.clicked() {
                    reason.clone_into(&mut self.reason);
                }
            }
        });
        fields.rest(ui);
        if std::mem::take(&mut self.is_new) {
            ui.memory_mut(|m| m.request_focus(self.id.with(LEFT)));
        }
        quiet(ui, "Both stay in the books: what was thought, and what was counted.");
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            if accept(ui, "Correct it", scene.is_ours()) {
                self.wrong = self
                    .read(scene, books)
                    .and_then(|edit| {
                        let asked = scene.ask(edit, changes);
                        asked.map_err(|why| (if self.reason.trim().is_empty() { REASON } else { "" }, why))
                    })
                    .err();
                self.sent = self.wrong.is_none().then_some(scene.keeper.revision());
            }
            ui.button("Cancel").clicked()
        })
        .inner
    }

    fn read(&self, scene: Scene<'_>, books: f64) -> Result<ShelfEdit, Wrong> {
        let left: AmountMass = mass(LEFT, &self.left, scene.measures.mass)?
            .ok_or((LEFT, "say how much is left: nothing is 0".to_owned()))?;
        let reason = line(REASON, &self.reason)?;
        let grams = StockChange::new(books - left.get()).map_err(|e| (LEFT, e.to_string()))?;
        Ok(ShelfEdit::Correct(self.lot, Correction { on: Scene::today(), grams, reason }))
    }
}
