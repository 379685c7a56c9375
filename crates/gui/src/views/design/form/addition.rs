//! The form for an addition of one's own, and for figures of one's own on a known one.

use super::{Context, Form, Refused, id_from, percent, percent_or_none, sourced, text, text_id};
use crate::widgets::name;
use barwright_core::design::edit::Edit;
use barwright_core::design::own;
use barwright_core::library::additions::{AddedAcid, Addition, AdditionKind, AdditionLine, Contents, USUAL_SOLIDS};
use barwright_core::library::handling::Handling;
use barwright_core::library::material::Sourced;
use barwright_core::number::{self, short};
use barwright_core::units::{Share, SolidsDensity};
use eframe::egui::{self, ComboBox, Id, Ui};
use std::sync::Arc;

/// The form for an addition.
#[derive(Debug, Clone)]
pub struct AdditionForm {
    /// The record that is changed; `None` for a new one.
    changed: Option<Arc<Addition>>,
    name: String,
    kind: AdditionKind,
    water: String,
    fat: String,
    sugars: String,
    /// The acid as a library record brings it; `None` for none.
    acid: Option<Sourced<AddedAcid>>,
    acid_pct: String,
    alcohol: String,
    density: String,
    inci: String,
}

impl Default for AdditionForm {
    fn default() -> Self {
        Self {
            changed: None,
            name: String::new(),
            kind: AdditionKind::Puree,
            water: String::new(),
            fat: String::new(),
            sugars: String::new(),
            acid: None,
            acid_pct: String::new(),
            alcohol: String::new(),
            density: String::new(),
            inci: String::new(),
        }
    }
}

impl AdditionForm {
    /// The form for a new addition called `name`.
    pub fn named(name: String) -> Self {
        Self { name, ..Self::default() }
    }

    /// The form with the figures of `addition`.
    pub fn of(addition: &Arc<Addition>) -> Self {
        let c = addition.contents.value;
        let figure = |share: Share| short(share.get(), 4);
        Self {
            changed: Some(Arc::clone(addition)),
            name: addition.name.clone(),
            kind: addition.kind,
            water: figure(c.water),
            fat: figure(c.fat),
            sugars: c.sugars.map(figure).unwrap_or_default(),
            acid: addition.acid.clone(),
            alcohol: if addition.alcohol.get() > 0.0 { figure(addition.alcohol) } else { String::new() },
            density: short(addition.solids_density.get(), 3),
            inci: addition.inci.clone(),
            acid_pct: addition.acid.as_ref().map(|a| figure(a.value.content)).unwrap_or_default(),
        }
    }

    /// The record as typed.
    fn record(&self, taken: impl Fn(&str) -> bool) -> Result<Addition, Refused> {
        let at = |label: &str, why: String| Refused::at("addition", label, &why);
        let share = |text: &str, label: &str| percent_or_none(text, label).map_err(|why| at(label, why));
        let name = own::name(&self.name).map_err(|e| at("Name", e.to_string()))?;
        let content = share(&self.acid_pct, "Acid, %")?;
        let acid = self.acid.as_ref().filter(|_| content.get() > 0.0).map(|a| {
            let value = AddedAcid { content, ..a.value.clone() };
            let kept = self.changed.as_ref().and_then(|r| r.acid.as_ref());
            sourced(value, kept, "acid")
        });
        if self.acid.is_some() && acid.is_none() {
            return Err(at("Acid, %", "Give the percent of the acid, or choose none".into()));
        }
        let sugars = match self.sugars.trim() {
            "" => None,
            typed => Some(percent(typed, "Sugars").map_err(|why| at("Sugars, %", why))?),
        };
        let water = share(&self.water, "Water, %")?;
        let contents = Contents { water, fat: share(&self.fat, "Fat, %")?, sugars };
        let contents = sourced(contents, self.changed.as_ref().map(|r| &r.contents), "contents");
        let solids_density = match self.density.trim() {
            "" => USUAL_SOLIDS,
            typed => {
                let value = number::parse_density(typed).map_err(|e| at(DENSITY, e.to_string()))?;
                SolidsDensity::new(value).map_err(|e| at(DENSITY, e.to_string()))?
            }
        };
        let inci = own::inci(&self.inci).map_err(|e| at("INCI name", e.to_string()))?;
        let kept = self.changed.as_ref().filter(|record| record.inci == inci);
        let inci_status = kept.map_or_else(|| own::inci_status(&inci), |record| record.inci_status.clone());
        let base = match &self.changed {
            Some(addition) => Addition::clone(addition),
            None => Addition {
                id: id_from(&name, taken)?,
                name: String::new(),
                kind: self.kind,
                contents: contents.clone(),
                acid: None,
                uncounted_acid: None,
                colourant: None,
                solids_density,
                inci: String::new(),
                inci_status: String::new(),
                advice: String::new(),
                alcohol: Share::nearest(0.0),
                usual_stage: self.kind.usual_stage(),
                handling: Handling::of_kind(self.kind),
            },
        };
        // Of another kind, it is no longer handled as it was.
        let same = base.kind == self.kind;
        let handling = if same { base.handling.clone() } else { Handling::of_kind(self.kind) };
        let alcohol = share(&self.alcohol, "Alcohol, %")?;
        // An acid that is counted now is no longer left out.
        let uncounted_acid = base.uncounted_acid.clone().filter(|_| acid.is_none());
        let addition = Addition {
            name,
            kind: self.kind,
            contents,
            acid,
            alcohol,
            uncounted_acid,
            handling,
            solids_density,
            inci,
            inci_status,
            ..base
        };
        addition.checked().map_err(|e| e.to_string().into())
    }
}

/// What the density is of: water and fat have their own.
const DENSITY: &str = "Density of its dry part, g/ml";

impl Form for AdditionForm {
    fn title(&self) -> String {
        if self.changed.is_some() { "Figures of an addition" } else { "An addition of your own" }.into()
    }

    fn draft(&self) -> Option<&str> {
        self.changed.is_none().then_some(self.name.trim())
    }

    fn take(&self) -> &'static str {
        if self.changed.is_some() { "Use these figures" } else { "Add it" }
    }

    fn first(&self) -> Id {
        text_id("addition", "Name")
    }

    fn fields(&mut self, ui: &mut Ui, context: &Context<'_>) -> Option<Edit> {
        egui::Grid::new("own addition").num_columns(2).spacing([12.0, 6.0]).show(ui, |ui| {
            text(ui, context, "addition", "Name", (&mut self.name, "Orchard plum puree"));
            ui.label("Kind");
            let combo = ComboBox::from_id_salt("own kind").selected_text(self.kind.words()).width(208.0);
            let response = combo.show_ui(ui, |ui| {
                for kind in AdditionKind::ALL {
                    ui.selectable_value(&mut self.kind, kind, kind.words());
                }
            });
            name(ui, &response.response, "Kind of addition");
            ui.end_row();
            text(ui, context, "addition", "Water, %", (&mut self.water, "0"));
            text(ui, context, "addition", "Fat, %", (&mut self.fat, "0"));
            text(ui, context, "addition", "Sugars, %", (&mut self.sugars, "not known"));
            if self.kind == AdditionKind::Liquid {
                text(ui, context, "addition", "Alcohol, %", (&mut self.alcohol, "0"));
            }
            ui.label("Acid");
            let chosen = self.acid.as_ref().map_or_else(|| "none".to_owned(), |a| a.value.name.clone());
            let combo = ComboBox::from_id_salt("own acid").selected_text(&chosen).width(208.0);
            let response = combo.show_ui(ui, |ui| {
                if ui.selectable_label(self.acid.is_none(), "none").clicked() {
                    self.acid = None;
                }
                let mut seen: Vec<&str> = Vec::new();
                for acid in context.library.additions().iter().filter_map(|a| a.acid.as_ref()) {
                    let other = acid.value.name.as_str();
                    if !seen.contains(&other) {
                        seen.push(other);
                        if ui.selectable_label(chosen == other, other).clicked() {
                            self.acid = Some(acid.clone());
                        }
                    }
                }
            });
            name(ui, &response.response, "Acid that takes alkali");
            ui.end_row();
            if self.acid.is_some() {
                text(ui, context, "addition", "Acid, %", (&mut self.acid_pct, "percent of its mass"));
            }
            text(ui, context, "addition", DENSITY, (&mut self.density, "1.5"));
            text(ui, context, "addition", "INCI name", (&mut self.inci, "as on a label, if known"));
        });
        None
    }

    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, Refused> {
        let taken = |id: &str| {
            context.library.addition(id).is_some()
                || context.design.additions.iter().any(|l| l.addition.id.as_str() == id)
                || context.design.spare.additions.iter().any(|a| a.id.as_str() == id)
        };
        let record = Arc::new(self.record(taken)?);
        Ok(if self.changed.is_some() {
            Edit::DefineAddition(record)
        } else {
            Edit::AddAddition(AdditionLine::usual(record))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use barwright_core::Library;
    use barwright_core::trust::Trust;

    #[test]
    fn figures_that_were_not_touched_keep_their_source_and_others_are_the_makers() {
        let library = Library::embedded().expect("assets parse");
        let known = library.addition("cider_vinegar").expect("tabled");
        let untouched = AdditionForm::of(known).record(|_| false).expect("as tabled");
        assert_eq!(untouched, **known, "nothing was changed");
        let wetter = AdditionForm { water: "92".into(), ..AdditionForm::of(known) };
        let changed = wetter.record(|_| false).expect("still a vinegar");
        assert_eq!(changed.contents.trust, Trust::Maker, "{}", changed.contents.source);
        assert_eq!(changed.acid, known.acid, "the acid was not touched");
        assert!(changed.is_makers(), "so the library does not offer its own figures for it");
    }
}
