//! Forms for additions and scents of one's own, and for figures of one's own on known ones.

use crate::theme::Tokens;
use crate::views::Changes;
use crate::widgets::name;
use crate::widgets::number_field::complain;
use barwright_core::Library;
use barwright_core::additions::{AddedAcid, Addition, AdditionKind, AdditionLine, Contents, Stage, USUAL_SOLIDS};
use barwright_core::edit::Edit;
use barwright_core::material::{MaterialId, Sourced, Trust};
use barwright_core::number::{self, short};
use barwright_core::scents::{Cas, Constituent, MOST_CONSTITUENTS, Scent, ScentLine};
use barwright_core::units::Share;
use eframe::egui::{self, Align, ComboBox, Layout, RichText, TextEdit, Ui};
use std::sync::Arc;

/// What a form asks for when it is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It stays open.
    Open,
    /// It closes.
    Close,
}

/// The form for an addition.
#[derive(Debug, Clone)]
pub struct OwnAddition {
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
    refused: Option<String>,
    /// Whether the first field was given the focus.
    focused: bool,
}

/// An id that no material in use has, from a name.
fn id_from(name: &str, taken: impl Fn(&str) -> bool) -> Result<MaterialId, String> {
    let mut id: String =
        name.to_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).take(48).collect();
    id.insert_str(0, "own_");
    let base = id.clone();
    let mut n = 2;
    while taken(&id) {
        id = format!("{base}_{n}");
        n += 1;
    }
    MaterialId::new(&id).map_err(|e| e.to_string())
}

/// A percent that counts as 0 if nothing is typed, as the field's hint says.
fn percent_or_none(text: &str, what: &str) -> Result<Share, String> {
    if text.trim().is_empty() { Ok(Share::nearest(0.0)) } else { percent(text, what) }
}

fn percent(text: &str, what: &str) -> Result<Share, String> {
    let value = number::parse(text, &["%"]).map_err(|e| format!("{what}: {e}"))?;
    Share::new(value).map_err(|e| format!("{what}: {e}"))
}

/// A figure with its old source if it was not touched, else as the maker's own.
fn sourced<T: PartialEq>(value: T, kept: Option<&Sourced<T>>, what: &str) -> Sourced<T> {
    match kept {
        Some(old) if old.value == value => Sourced { value, source: old.source.clone(), trust: old.trust },
        _ => Sourced { value, source: format!("{what} as the maker gave them"), trust: Trust::Maker },
    }
}

fn text_id(what: &str, label: &str) -> egui::Id {
    egui::Id::unique(("own", what, label))
}

/// A line of text called `label` on screen and `label` of `what` to a screen reader.
fn text(ui: &mut Ui, what: &str, label: &str, value: &mut String, hint: &str) {
    ui.label(label);
    let id = text_id(what, label);
    let response = ui.add(
        TextEdit::singleline(value)
            .id(id)
            .hint_text(hint)
            .desired_width(200.0)
            .char_limit(120)
            .margin(egui::Margin::symmetric(6, 4)),
    );
    name(ui, &response, &format!("{label} of the {what}"));
    ui.end_row();
}

/// The row of buttons under a form; true for the one that takes it.
pub fn buttons(ui: &mut Ui, take: &str) -> (bool, bool) {
    ui.add_space(6.0);
    let mut answer = (false, false);
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        answer.0 = ui.button(RichText::new(take).color(Tokens::of(ui).accent)).clicked();
        answer.1 = ui.button("Cancel").clicked();
    });
    answer
}

impl Default for OwnAddition {
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
            refused: None,
            focused: false,
        }
    }
}

impl OwnAddition {
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
            acid_pct: addition.acid.as_ref().map(|a| figure(a.value.content)).unwrap_or_default(),
            refused: None,
            focused: false,
        }
    }

    /// The record as typed.
    fn record(&self, taken: impl Fn(&str) -> bool) -> Result<Addition, String> {
        let name = self.name.trim();
        if name.is_empty() {
            return Err("Give it a name".into());
        }
        let content = percent_or_none(&self.acid_pct, "Acid")?;
        let acid = self.acid.as_ref().filter(|_| content.get() > 0.0).map(|a| {
            let value = AddedAcid { content, ..a.value.clone() };
            let kept = self.changed.as_ref().and_then(|r| r.acid.as_ref());
            sourced(value, kept, "acid")
        });
        if self.acid.is_some() && acid.is_none() {
            return Err("Give the percent of the acid, or choose none".into());
        }
        let sugars = if self.sugars.trim().is_empty() { None } else { Some(percent(&self.sugars, "Sugars")?) };
        let water = percent_or_none(&self.water, "Water")?;
        let contents = Contents { water, fat: percent_or_none(&self.fat, "Fat")?, sugars };
        let contents = sourced(contents, self.changed.as_ref().map(|r| &r.contents), "contents");
        let base = match &self.changed {
            Some(addition) => Addition::clone(addition),
            None => Addition {
                id: id_from(name, taken)?,
                name: String::new(),
                kind: self.kind,
                contents: contents.clone(),
                acid: None,
                uncounted_acid: None,
                solids_density: USUAL_SOLIDS,
                inci: String::new(),
                inci_status: "not found".into(),
                advice: String::new(),
                alcohol: Share::nearest(0.0),
                usual_stage: match self.kind {
                    AdditionKind::Puree => Stage::IntoFats,
                    AdditionKind::Filler => Stage::AtTrace,
                    _ => Stage::IntoJug,
                },
            },
        };
        let alcohol = percent_or_none(&self.alcohol, "Alcohol")?;
        // An acid that is counted now is no longer left out.
        let uncounted_acid = base.uncounted_acid.clone().filter(|_| acid.is_none());
        let addition =
            Addition { name: name.to_owned(), kind: self.kind, contents, acid, alcohol, uncounted_acid, ..base };
        addition.checked().map_err(|e| e.to_string())
    }

    /// Draws the form in a window of its own.
    pub fn show(
        &mut self,
        ui: &Ui,
        library: &Library,
        design: &barwright_core::Design,
        changes: &mut Changes,
    ) -> Outcome {
        let title = if self.changed.is_some() { "Figures of an addition" } else { "An addition of your own" };
        let mut outcome = Outcome::Open;
        if !std::mem::replace(&mut self.focused, true) {
            ui.memory_mut(|m| m.request_focus(text_id("addition", "Name")));
        }
        let modal = egui::Modal::new(egui::Id::unique("own addition")).show(ui.ctx(), |ui| {
            ui.heading(title);
            ui.add_space(4.0);
            egui::Grid::new("own addition").num_columns(2).spacing([12.0, 6.0]).show(ui, |ui| {
                text(ui, "addition", "Name", &mut self.name, "Orchard plum puree");
                ui.label("Kind");
                let combo = ComboBox::from_id_salt("own kind").selected_text(self.kind.words()).width(208.0);
                let response = combo.show_ui(ui, |ui| {
                    for kind in AdditionKind::ALL {
                        ui.selectable_value(&mut self.kind, kind, kind.words());
                    }
                });
                name(ui, &response.response, "Kind of addition");
                ui.end_row();
                text(ui, "addition", "Water, %", &mut self.water, "0");
                text(ui, "addition", "Fat, %", &mut self.fat, "0");
                text(ui, "addition", "Sugars, %", &mut self.sugars, "not known");
                if self.kind == AdditionKind::Liquid {
                    text(ui, "addition", "Alcohol, %", &mut self.alcohol, "0");
                }
                ui.label("Acid");
                let chosen = self.acid.as_ref().map_or_else(|| "none".to_owned(), |a| a.value.name.clone());
                let combo = ComboBox::from_id_salt("own acid").selected_text(&chosen).width(208.0);
                let response = combo.show_ui(ui, |ui| {
                    if ui.selectable_label(self.acid.is_none(), "none").clicked() {
                        self.acid = None;
                    }
                    let mut seen: Vec<&str> = Vec::new();
                    for acid in library.additions().iter().filter_map(|a| a.acid.as_ref()) {
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
                    text(ui, "addition", "Acid, %", &mut self.acid_pct, "percent of its mass");
                }
            });
            if let Some(why) = &self.refused {
                complain(ui, why);
            }
            let (take, cancel) = buttons(ui, if self.changed.is_some() { "Use these figures" } else { "Add it" });
            if take {
                let taken = |id: &str| {
                    library.addition(id).is_some()
                        || design.additions.iter().any(|l| l.addition.id.as_str() == id)
                        || design.spare.additions.iter().any(|a| a.id.as_str() == id)
                };
                match self.record(taken) {
                    Ok(record) => {
                        let record = Arc::new(record);
                        changes.edit(if self.changed.is_some() {
                            Edit::DefineAddition(record)
                        } else {
                            Edit::AddAddition(AdditionLine::usual(record))
                        });
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

/// The form for a scent.
#[derive(Debug, Clone, Default)]
pub struct OwnScent {
    changed: Option<Arc<Scent>>,
    name: String,
    /// One constituent a line: name; CAS number; most percent.
    constituents: String,
    refused: Option<String>,
    /// Whether the first field was given the focus.
    focused: bool,
}

impl OwnScent {
    /// The form with the figures of `scent`.
    pub fn of(scent: &Arc<Scent>) -> Self {
        let line = |c: &Constituent| {
            format!("{}; {}; {}\n", c.name, c.cas.to_string().replace(';', ","), short(c.most.get(), 6))
        };
        Self {
            changed: Some(Arc::clone(scent)),
            name: scent.name.clone(),
            constituents: scent.constituents.iter().map(line).collect(),
            refused: None,
            focused: false,
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
            },
        })
    }

    /// Draws the form in a window of its own.
    pub fn show(
        &mut self,
        ui: &Ui,
        library: &Library,
        design: &barwright_core::Design,
        changes: &mut Changes,
    ) -> Outcome {
        let title = if self.changed.is_some() { "Figures of a scent" } else { "A scent of your own" };
        let mut outcome = Outcome::Open;
        if !std::mem::replace(&mut self.focused, true) {
            ui.memory_mut(|m| m.request_focus(text_id("scent", "Name")));
        }
        let modal = egui::Modal::new(egui::Id::unique("own scent")).show(ui.ctx(), |ui| {
            ui.set_width(420.0);
            ui.heading(title);
            ui.add_space(4.0);
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
            if let Some(why) = &self.refused {
                complain(ui, why);
            }
            let (take, cancel) = buttons(ui, if self.changed.is_some() { "Use these figures" } else { "Add it" });
            if take {
                let taken = |id: &str| {
                    library.scent(id).is_some()
                        || design.scents.iter().any(|l| l.scent.id.as_str() == id)
                        || design.spare.scents.iter().any(|s| s.id.as_str() == id)
                };
                match self.record(taken) {
                    Ok(record) => {
                        let record = Arc::new(record);
                        changes.edit(if self.changed.is_some() {
                            Edit::DefineScent(record)
                        } else {
                            Edit::AddScent(ScentLine::usual(record))
                        });
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_that_were_not_touched_keep_their_source_and_others_are_the_makers() {
        let library = Library::embedded().expect("assets parse");
        let known = library.addition("cider_vinegar").expect("tabled");
        let untouched = OwnAddition::of(known).record(|_| false).expect("as tabled");
        assert_eq!(untouched, **known, "nothing was changed");
        let wetter = OwnAddition { water: "92".into(), ..OwnAddition::of(known) };
        let changed = wetter.record(|_| false).expect("still a vinegar");
        assert_eq!(changed.contents.trust, Trust::Maker, "{}", changed.contents.source);
        assert_eq!(changed.acid, known.acid, "the acid was not touched");
        assert!(changed.is_makers(), "so the library does not offer its own figures for it");
    }
}
