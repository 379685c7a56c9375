//! A form for a supplier's certificate: the saponification value and the fatty acids on it.

use super::{Context, Form, Refused};
use crate::keyboard;
use crate::theme::Tokens;
use crate::widgets::name;
use barwright_core::design::blend::FatLine;
use barwright_core::design::edit::Edit;
use barwright_core::design::supplier::{
    Certificate, NOT_PUBLISHED, SuppliedAcids, SupplierFigure, USUAL_MARGIN, left_over,
};
use barwright_core::library::acids::AcidId;
use barwright_core::library::fats::{Fat, ProfileEntry};
use barwright_core::number::{self, fixed, short};
use barwright_core::units::{SaponificationValue, Share, SvMargin};
use eframe::egui::{ComboBox, Grid, Id, RichText, ScrollArea, TextEdit, Ui};
use std::sync::Arc;

/// The form for one fat.
#[derive(Debug, Clone)]
pub struct SupplierForm {
    published: Arc<Fat>,
    has_certificate: bool,
    typed: Typed,
    /// What was typed when it was doubted; the same may be confirmed.
    doubted: Option<Typed>,
}

/// What stands in the fields.
#[derive(Debug, Clone, PartialEq)]
struct Typed {
    sv: String,
    pm: String,
    acids: Vec<(AcidId, String)>,
}

impl SupplierForm {
    /// The form for the fat of `line`, with what its certificate says.
    pub fn of(line: &FatLine) -> Self {
        let published = Arc::clone(line.published());
        let Certificate { sv, acids: listed } = line.certificate();
        let figure = |v: f64| short(v, 3);
        let mut of_profile: Vec<&ProfileEntry> = published.profile().iter().collect();
        of_profile.sort_by(|a, b| b.typical.total_cmp(&a.typical));
        let mut acids: Vec<(AcidId, String)> = of_profile.iter().map(|e| (e.acid, String::new())).collect();
        for (acid, share) in &listed {
            match acids.iter_mut().find(|(a, _)| a == acid) {
                Some((_, text)) => *text = figure(share.get()),
                None => acids.push((*acid, figure(share.get()))),
            }
        }
        Self {
            published,
            has_certificate: sv.is_some() || !listed.is_empty(),
            typed: Typed {
                sv: sv.map(|s| figure(s.sv.get())).unwrap_or_default(),
                pm: sv.map(|s| figure(s.pm.get())).unwrap_or_default(),
                acids,
            },
            doubted: None,
        }
    }

    fn certificate(&self, context: &Context<'_>) -> Result<Certificate, String> {
        let Typed { sv, pm, acids } = &self.typed;
        let number = |text: &str| number::parse(text, &["mg/g", "mg"]).map_err(|e| e.to_string());
        let sv = if sv.trim().is_empty() {
            if !pm.trim().is_empty() {
                return Err("There is a ± but no saponification value.".into());
            }
            None
        } else {
            let sv = SaponificationValue::new(number(sv)?).map_err(|e| e.to_string())?;
            let pm = if pm.trim().is_empty() { USUAL_MARGIN } else { number(pm)? };
            Some(SupplierFigure { sv, pm: SvMargin::new(pm).map_err(|e| e.to_string())? })
        };
        let listed = acids.iter().filter(|(_, text)| !text.trim().is_empty());
        let acids = listed.map(|(acid, text)| {
            let name = &context.library.acids.get(*acid).name;
            Ok((*acid, super::percent(text, name)?))
        });
        let acids: Vec<(AcidId, Share)> = acids.collect::<Result<_, String>>()?;
        if sv.is_none() && acids.is_empty() {
            return Err("Type what the certificate says: the saponification value, fatty acids, or both.".into());
        }
        Ok(Certificate { sv, acids })
    }

    /// What is odd about `certificate`, in words.
    fn doubts(&self, certificate: &Certificate, context: &Context<'_>) -> Result<Vec<String>, String> {
        let acids = &context.library.acids;
        let mut doubts = Vec::new();
        let supplied = if certificate.acids.is_empty() {
            None
        } else {
            let supplied = SuppliedAcids::of(Arc::clone(&self.published), certificate.acids.clone());
            Some(supplied.map_err(|e| e.to_string())?)
        };
        if let Some((listed, _)) = &supplied {
            doubts.extend(listed.unexpected().map(|u| u.words(acids)));
        }
        let fat = supplied.as_ref().map_or(&self.published, |(_, fat)| fat);
        let sv = certificate.sv.map_or_else(|| self.published.sv.value.mid(), |s| s.sv.get());
        if !fat.accepts_sv(sv, acids) || !self.published.accepts_sv(sv, acids) {
            let whose = if certificate.sv.is_some() { "the" } else { "the published" };
            doubts.push(format!(
                "{whose} saponification value {} is more than 8 % away from what the fatty acids give",
                short(sv, 1)
            ));
        }
        Ok(doubts)
    }

    fn is_doubted(&self) -> bool {
        self.doubted.as_ref() == Some(&self.typed)
    }

    fn acid_fields(&mut self, ui: &mut Ui, context: &Context<'_>) {
        let acids = &context.library.acids;
        let quiet = Tokens::of(ui).quiet;
        ui.label("Fatty acids, percent of all; leave empty what the certificate does not list");
        let fields = |ui: &mut Ui| {
            Grid::new(Id::unique("supplier acids")).num_columns(3).spacing([12.0, 4.0]).striped(true).show(ui, |ui| {
                for (acid, text) in &mut self.typed.acids {
                    let record = acids.get(*acid);
                    ui.label(format!("{} {}", record.key, record.name));
                    let response = ui.add_sized([56.0, 22.0], TextEdit::singleline(text).hint_text("–"));
                    name(ui, &response, &format!("{} on the certificate, percent", record.name));
                    keyboard::goes_on(ui, &response);
                    let entry = self.published.profile().iter().find(|e| e.acid == *acid);
                    let published = entry.map_or_else(|| NOT_PUBLISHED.into(), ProfileEntry::published);
                    ui.label(RichText::new(published).color(quiet));
                    ui.end_row();
                }
            });
        };
        ScrollArea::vertical().max_height(320.0).auto_shrink([false, true]).show(ui, fields);
        let typed = self.typed.acids.iter().filter_map(|(_, text)| number::parse(text, &["%"]).ok());
        let sum: f64 = typed.sum();
        if sum > 0.0 {
            let text = format!("{} % listed, {} % left for the others", short(sum, 1), short(left_over(sum), 1));
            ui.label(RichText::new(text).color(quiet));
        }
        let combo = ComboBox::from_id_salt("another acid").selected_text("Another acid…").width(200.0);
        let shown = combo.show_ui(ui, |ui| {
            for (id, acid) in acids.iter() {
                let is_there = self.typed.acids.iter().any(|(a, _)| *a == id);
                if !is_there && ui.selectable_label(false, format!("{} {}", acid.key, acid.name)).clicked() {
                    self.typed.acids.push((id, String::new()));
                }
            }
        });
        name(ui, &shown.response, "Another acid of the certificate");
    }
}

impl Form for SupplierForm {
    fn title(&self) -> String {
        format!("Supplier’s certificate for {}", self.published.name)
    }

    fn take(&self) -> &'static str {
        if self.is_doubted() { "Use it all the same" } else { "Use these figures" }
    }

    fn first(&self) -> Id {
        Id::unique("supplier sv")
    }

    fn fields(&mut self, ui: &mut Ui, context: &Context<'_>) -> Option<Edit> {
        let first = self.first();
        let sv = &self.published.sv;
        let quiet = Tokens::of(ui).quiet;
        ui.horizontal(|ui| {
            ui.label("Saponification value");
            let field = TextEdit::singleline(&mut self.typed.sv).id(first).desired_width(70.0);
            let response = ui.add(field);
            name(ui, &response, "Saponification value on the certificate");
            keyboard::goes_on(ui, &response);
            ui.label("±");
            let response =
                ui.add(TextEdit::singleline(&mut self.typed.pm).hint_text(short(USUAL_MARGIN, 1)).desired_width(50.0));
            name(ui, &response, "± of the saponification value");
            keyboard::goes_on(ui, &response);
            ui.label("mg KOH/g");
        });
        let mut published =
            format!("Published: {} to {} ({})", short(sv.value.min(), 1), short(sv.value.max(), 1), sv.trust.words());
        if let Some(calculated) = self.published.calculated_sv(&context.library.acids) {
            published.push_str("; calculated from its fatty acids: ");
            published.push_str(&fixed(calculated, 1));
        }
        ui.label(RichText::new(published).color(quiet));
        if !self.published.profile().is_empty() {
            ui.add_space(6.0);
            self.acid_fields(ui, context);
        }
        let as_published = self.has_certificate && ui.button("Use the published figures").clicked();
        as_published.then(|| Edit::Supplier(self.published.id.clone(), Certificate::default()))
    }

    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, Refused> {
        let certificate = self.certificate(context)?;
        // A misprint on a certificate would burn, another oil would be another bar: asked twice.
        let doubts = self.doubts(&certificate, context)?;
        if !self.is_doubted() && !doubts.is_empty() {
            self.doubted = Some(self.typed.clone());
            return Err(format!("Read the certificate again: {}.", doubts.join("; ")).into());
        }
        Ok(Edit::Supplier(self.published.id.clone(), certificate))
    }
}
