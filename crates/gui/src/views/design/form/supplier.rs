//! A form for a supplier's figure: the saponification value on a certificate.

use super::{Context, Form};
use crate::theme::Tokens;
use crate::widgets::name;
use barwright_core::blend::{FatLine, SupplierFigure};
use barwright_core::edit::Edit;
use barwright_core::fats::Fat;
use barwright_core::number::{self, fixed, short};
use barwright_core::units::{SaponificationValue, SvMargin};
use eframe::egui::{Id, RichText, TextEdit, Ui};
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
        }
    }

    fn figure(&self) -> Result<SupplierFigure, String> {
        let number = |text: &str| number::parse(text, &["mg/g", "mg"]).map_err(|e| e.to_string());
        let sv = SaponificationValue::new(number(&self.sv)?).map_err(|e| e.to_string())?;
        let pm = if self.pm.trim().is_empty() { 0.0 } else { number(&self.pm)? };
        Ok(SupplierFigure { sv, pm: SvMargin::new(pm).map_err(|e| e.to_string())? })
    }

    fn is_doubted(&self) -> bool {
        self.doubted.as_ref() == Some(&self.sv)
    }
}

impl Form for SupplierForm {
    fn title(&self) -> String {
        format!("Supplier’s figure for {}", self.fat.name)
    }

    fn take(&self) -> &'static str {
        if self.is_doubted() { "Use it all the same" } else { "Use this figure" }
    }

    fn first(&self) -> Id {
        Id::unique("supplier sv")
    }

    fn fields(&mut self, ui: &mut Ui, context: &Context<'_>) -> Option<Edit> {
        let first = self.first();
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
        if let Some(sv) = self.fat.calculated_sv(&context.library.acids) {
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
        let published = self.has_figure && ui.button("Use the published range").clicked();
        published.then(|| Edit::Supplier(self.fat.id.clone(), None))
    }

    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, String> {
        let figure = self.figure()?;
        // A misprint on a certificate would burn: it is asked for twice.
        if !self.is_doubted() && !self.fat.accepts_sv(figure.sv.get(), &context.library.acids) {
            self.doubted = Some(self.sv.clone());
            return Err("This is more than 8 % away from what its fatty acids give: read the certificate again.".into());
        }
        Ok(Edit::Supplier(self.fat.id.clone(), Some(figure)))
    }
}
