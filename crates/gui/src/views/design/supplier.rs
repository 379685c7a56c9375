//! A form for a supplier's figure: the saponification value on a certificate.

use super::own::{Outcome, buttons};
use crate::theme::Tokens;
use crate::views::Changes;
use crate::widgets::name;
use crate::widgets::number_field::complain;
use barwright_core::Library;
use barwright_core::blend::{FatLine, SupplierFigure};
use barwright_core::edit::Edit;
use barwright_core::fats::Fat;
use barwright_core::number::{self, fixed, short};
use barwright_core::units::{SaponificationValue, SvMargin};
use eframe::egui::{self, RichText, TextEdit, Ui};
use std::sync::Arc;

/// The form for one fat.
#[derive(Debug, Clone)]
pub struct SupplierForm {
    fat: Arc<Fat>,
    has_figure: bool,
    sv: String,
    pm: String,
    /// The figure that was doubted and may be confirmed.
    doubted: Option<String>,
    refused: Option<String>,
    focused: bool,
}

impl SupplierForm {
    /// The form for the fat of `line`, with the figure it has.
    pub fn of(line: &FatLine) -> Self {
        let figure = |v: f64| short(v, 3);
        Self {
            fat: Arc::clone(&line.fat),
            has_figure: line.supplier.is_some(),
            sv: line.supplier.map(|s| figure(s.sv.get())).unwrap_or_default(),
            pm: line.supplier.map(|s| figure(s.pm.get())).unwrap_or_default(),
            doubted: None,
            refused: None,
            focused: false,
        }
    }

    fn figure(&self) -> Result<SupplierFigure, String> {
        let number = |text: &str| number::parse(text, &["mg/g", "mg"]).map_err(|e| e.to_string());
        let sv = SaponificationValue::new(number(&self.sv)?).map_err(|e| e.to_string())?;
        let pm = if self.pm.trim().is_empty() { 0.0 } else { number(&self.pm)? };
        Ok(SupplierFigure { sv, pm: SvMargin::new(pm).map_err(|e| e.to_string())? })
    }

    /// Draws the form in a window of its own.
    pub fn show(&mut self, ui: &Ui, library: &Library, changes: &mut Changes) -> Outcome {
        let mut outcome = Outcome::Open;
        let first = egui::Id::unique("supplier sv");
        if !std::mem::replace(&mut self.focused, true) {
            ui.memory_mut(|m| m.request_focus(first));
        }
        let modal = egui::Modal::new(egui::Id::unique("supplier")).show(ui.ctx(), |ui| {
            ui.set_width(380.0);
            ui.heading(format!("Supplier’s figure for {}", self.fat.name));
            let range = self.fat.sv.value;
            let quiet = Tokens::of(ui).quiet;
            ui.label(
                RichText::new(format!(
                    "Published: {} to {} mg KOH/g ({})",
                    short(range.min(), 1),
                    short(range.max(), 1),
                    self.fat.sv.trust.words()
                ))
                .color(quiet),
            );
            if let Some(sv) = self.fat.calculated_sv(&library.acids) {
                ui.label(RichText::new(format!("Calculated from its fatty acids: {}", fixed(sv, 1))).color(quiet));
            }
            ui.horizontal(|ui| {
                ui.label("Saponification value");
                let field = TextEdit::singleline(&mut self.sv).id(first).desired_width(70.0);
                let response = ui.add(field);
                name(ui, &response, "Saponification value on the certificate");
                ui.label("±");
                let response = ui.add(TextEdit::singleline(&mut self.pm).hint_text("0").desired_width(50.0));
                name(ui, &response, "± of the saponification value");
                ui.label("mg KOH/g");
            });
            if let Some(why) = &self.refused {
                complain(ui, why);
            }
            if self.has_figure && ui.button("Use the published range").clicked() {
                changes.edit(Edit::Supplier(self.fat.id.clone(), None));
                outcome = Outcome::Close;
            }
            let doubted = self.doubted.as_ref() == Some(&self.sv);
            let (take, cancel) = buttons(ui, if doubted { "Use it all the same" } else { "Use this figure" });
            if take {
                match self.figure() {
                    // A misprint on a certificate would burn: it is asked for twice.
                    Ok(figure) if !doubted && !self.fat.accepts_sv(figure.sv.get(), &library.acids) => {
                        self.doubted = Some(self.sv.clone());
                        self.refused = Some(
                            "This is more than 8 % away from what its fatty acids give: read the certificate again."
                                .into(),
                        );
                    }
                    Ok(figure) => {
                        changes.edit(Edit::Supplier(self.fat.id.clone(), Some(figure)));
                        outcome = Outcome::Close;
                    }
                    Err(why) => self.refused = Some(why),
                }
            }
            if cancel {
                outcome = Outcome::Close;
            }
        });
        if modal.should_close() {
            outcome = Outcome::Close;
        }
        outcome
    }
}
