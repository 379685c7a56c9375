//! The form for a scent of one's own, and for figures of one's own on a known one.

use super::{Context, Form, id_from, percent, text, text_id};
use crate::widgets::name;
use barwright_core::design::edit::Edit;
use barwright_core::library::handling::Handling;
use barwright_core::library::scents::{Cas, Constituent, MOST_CONSTITUENTS, Scent, ScentLine};
use barwright_core::number::short;
use barwright_core::trust::Trust;
use eframe::egui::{self, Id, TextEdit, Ui};
use std::sync::Arc;

/// The form for a scent.
#[derive(Debug, Clone, Default)]
pub struct ScentForm {
    changed: Option<Arc<Scent>>,
    name: String,
    /// One constituent a line: name; CAS number; most percent.
    constituents: String,
}

impl ScentForm {
    /// The form with the figures of `scent`.
    pub fn of(scent: &Arc<Scent>) -> Self {
        let line = |c: &Constituent| {
            format!("{}; {}; {}\n", c.name, c.cas.to_string().replace(';', ","), short(c.most.get(), 6))
        };
        Self {
            changed: Some(Arc::clone(scent)),
            name: scent.name.clone(),
            constituents: scent.constituents.iter().map(line).collect(),
        }
    }

    fn record(&self, taken: impl Fn(&str) -> bool) -> Result<Scent, String> {
        let name = self.name.trim();
        if name.is_empty() {
            return Err("Give it a name".into());
        }
        let mut constituents = Vec::new();
        for line in self.constituents.lines().map(str::trim).filter(|l| !l.is_empty()) {
            let mut parts = line.split(';').map(str::trim);
            let (Some(substance), Some(cas), Some(most), None) =
                (parts.next(), parts.next(), parts.next(), parts.next())
            else {
                return Err(format!(
                    "“{line}”: write the substance, its CAS number and the most percent there is of it, with ; between them"
                ));
            };
            let most = percent(most, substance)?;
            let cas = Cas::new(cas).map_err(|e| format!("{substance}: {e}"))?;
            // A line that was not touched keeps its source, and one of a known substance its part.
            let known = self.changed.as_ref().and_then(|s| s.constituents.iter().find(|c| c.cas == cas));
            let untouched = known.filter(|c| c.name == substance && (c.most.get() - most.get()).abs() < 1e-6);
            constituents.push(untouched.cloned().unwrap_or_else(|| Constituent {
                name: substance.to_owned(),
                cas,
                most,
                whole: known.is_some_and(|c| c.whole),
                source: "as the maker gave it".into(),
                trust: Trust::Maker,
            }));
        }
        if constituents.len() > MOST_CONSTITUENTS {
            return Err(format!("A scent has at most {MOST_CONSTITUENTS} constituents"));
        }
        Ok(match &self.changed {
            Some(scent) => Scent { name: name.to_owned(), constituents, ..Scent::clone(scent) },
            None => Scent {
                id: id_from(name, taken)?,
                name: name.to_owned(),
                cas: Cas::default(),
                inci: String::new(),
                inci_status: "not found".into(),
                constituents,
                handling: Handling::of_scent(),
            },
        })
    }
}

impl Form for ScentForm {
    fn title(&self) -> String {
        if self.changed.is_some() { "Figures of a scent" } else { "A scent of your own" }.into()
    }

    fn take(&self) -> &'static str {
        if self.changed.is_some() { "Use these figures" } else { "Add it" }
    }

    fn first(&self) -> Id {
        text_id("scent", "Name")
    }

    fn fields(&mut self, ui: &mut Ui, _: &Context<'_>) -> Option<Edit> {
        egui::Grid::new("own scent").num_columns(2).spacing([12.0, 6.0]).show(ui, |ui| {
            text(ui, "scent", "Name", &mut self.name, "Orchard blossom");
        });
        ui.label("What is in it, from the supplier’s certificate: substance; CAS number; at most, %");
        egui::ScrollArea::vertical().max_height(220.0).show(ui, |ui| {
            let field = TextEdit::multiline(&mut self.constituents)
                .hint_text("linalool; 78-70-6; 36")
                .desired_rows(5)
                .char_limit(20_000)
                .desired_width(f32::INFINITY);
            let response = ui.add(field);
            name(ui, &response, "Constituents of the scent");
        });
        None
    }

    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, String> {
        let taken = |id: &str| {
            context.library.scent(id).is_some()
                || context.design.scents.iter().any(|l| l.scent.id.as_str() == id)
                || context.design.spare.scents.iter().any(|s| s.id.as_str() == id)
        };
        let record = Arc::new(self.record(taken)?);
        Ok(if self.changed.is_some() { Edit::DefineScent(record) } else { Edit::AddScent(ScentLine::usual(record)) })
    }
}
