//! The form in which a recipe from a book is typed in.

use crate::keyboard;
use crate::theme::Tokens;
use crate::widgets::fitted::{answers, listed};
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::picker::Picker;
use crate::widgets::{cut, default_button, heading, name, quiet};
use barwright_core::cautions;
use barwright_core::chemistry::recipe::{Recipe, RecipeError, Verdict};
use barwright_core::library::additions::Addition;
use barwright_core::library::fats::Fat;
use barwright_core::number::{self, fixed, significant};
use barwright_core::units::{Grams, MassUnit, Purity, in_percent};
use barwright_core::{Design, Evaluation, Library, evaluate};
use eframe::egui::{self, Align, Id, Layout, RichText, TextEdit, Ui};
use std::sync::Arc;

/// What has been typed so far.
#[derive(Debug)]
pub struct RecipeForm {
    recipe: Recipe,
    picker: Picker,
    addition_picker: Picker,
    number: u64,
}

impl RecipeForm {
    /// An empty form; `number` keeps what is typed in it apart from what was typed in others.
    pub fn new(number: u64) -> Self {
        let alkali = barwright_core::design::Alkali::default();
        Self {
            recipe: Recipe {
                name: "Recipe from a book".into(),
                fats: Vec::new(),
                naoh: Grams::ZERO,
                naoh_purity: alkali.naoh_purity,
                koh: Grams::ZERO,
                koh_purity: alkali.koh_purity,
                water: Grams::ZERO,
                additions: Vec::new(),
            },
            addition_picker: Picker::default(),
            picker: Picker::default(),
            number,
        }
    }

    /// Whether nothing would be lost with it.
    pub fn is_empty(&self) -> bool {
        let recipe = &self.recipe;
        let lists_are_empty = recipe.fats.is_empty() && recipe.additions.is_empty();
        lists_are_empty && [recipe.naoh, recipe.koh, recipe.water].iter().all(|m| m.0 <= 0.0)
    }

    fn id(&self, what: &str) -> Id {
        Id::unique(("recipe", self.number, what))
    }
}

/// What the person decided.
#[derive(Debug)]
pub enum Decision {
    /// Go on with this design.
    Make(Box<Design>),
    /// Put the form away.
    Cancel,
}

/// Reads a mass that is no less than nothing.
fn mass(text: &str, unit: MassUnit) -> Result<Grams, String> {
    let mass = number::parse_mass(text, unit).map_err(|e| e.to_string())?;
    if mass.0 < 0.0 { Err("a mass cannot be below zero".into()) } else { Ok(mass) }
}

impl RecipeForm {
    /// Draws the form inside a dialog.
    pub fn show(&mut self, ui: &mut Ui, library: &Library, unit: MassUnit) -> Option<Decision> {
        ui.set_width(460.0);
        ui.heading("Type in a recipe");
        quiet(ui, "The weights as the book gives them. You see the superfat the recipe really has.");
        ui.add_space(4.0);
        // What it comes to, and the buttons, stay in sight.
        listed(ui, |ui| self.fields(ui, library, unit));
        ui.separator();
        let outcome = self.recipe.design();
        let tokens = Tokens::of(ui);
        match &outcome {
            Ok(design) => {
                let evaluation = evaluate(design, library);
                verdict(ui, design, &evaluation, library);
                let lye = evaluation
                    .masses
                    .lye_concentration()
                    .map_or_else(String::new, |c| format!("Lye of {} %, ", fixed(c, 1)));
                quiet(ui, format!("{lye}{} in all", number::mass(evaluation.masses.batter, unit)));
                quiet(
                    ui,
                    "By the middle of each fat’s published saponification value; check the purity of the alkali.",
                );
            }
            Err(error @ RecipeError::FarOff { .. }) => {
                let text = RichText::new(error.to_string()).font(crate::theme::strong(13.0)).color(tokens.stop);
                ui.add(egui::Label::new(text).wrap());
            }
            Err(error) => {
                ui.add(egui::Label::new(RichText::new(error.to_string()).color(tokens.quiet)).wrap());
            }
        }
        answers(ui, |ui| {
            let make = default_button(ui, "Make it a design", outcome.is_ok());
            if ui.button("Cancel").clicked() {
                return Some(Decision::Cancel);
            }
            if make { outcome.ok().map(|d| Decision::Make(Box::new(d))) } else { None }
        })
    }

    /// What the book gives.
    fn fields(&mut self, ui: &mut Ui, library: &Library, unit: MassUnit) {
        let field =
            TextEdit::singleline(&mut self.recipe.name).hint_text("Name").char_limit(200).desired_width(f32::INFINITY);
        let response = ui.add(field);
        name(ui, &response, "Name of the recipe");
        keyboard::goes_on(ui, &response);
        if keyboard::is_new(ui) {
            response.request_focus();
        }

        let number = self.number;
        let fat_id = |fat: &str| Id::unique(("recipe fat", number, fat));
        let [picker_id, naoh_id, koh_id, water_id] = ["picker", "naoh", "koh", "water"].map(|w| self.id(w));
        heading(ui, "Fats");
        let mut gone = None;
        for (i, (fat, mass)) in self.recipe.fats.iter_mut().enumerate() {
            line(ui, &fat.name.clone(), fat_id(fat.id.as_str()), mass, unit, |ui| {
                let remove = ui.button("×");
                name(ui, &remove, &format!("Take {} out of the recipe", fat.name));
                if remove.clicked() {
                    gone = Some(i);
                }
            });
        }
        if let Some(i) = gone {
            self.recipe.fats.remove(i);
        }
        let addable: Vec<Arc<Fat>> =
            library.fats().iter().filter(|f| self.recipe.fats.iter().all(|(g, _)| g.id != f.id)).cloned().collect();
        if let Some(fat) =
            self.picker.show(ui, picker_id, "Add a fat to the recipe…", &library.names, &addable, |_| None)
        {
            ui.memory_mut(|m| m.request_focus(fat_id(fat.id.as_str())));
            self.recipe.fats.push((fat, Grams::ZERO));
        }

        heading(ui, "Lye");
        let recipe = &mut self.recipe;
        line(ui, "Sodium hydroxide (NaOH)", naoh_id, &mut recipe.naoh, unit, |ui| {
            purity(ui, naoh_id.with("purity"), "Purity of the sodium hydroxide in the recipe", &mut recipe.naoh_purity);
        });
        line(ui, "Potassium hydroxide (KOH)", koh_id, &mut recipe.koh, unit, |ui| {
            purity(
                ui,
                koh_id.with("purity"),
                "Purity of the potassium hydroxide in the recipe",
                &mut recipe.koh_purity,
            );
        });
        line(ui, "Water", water_id, &mut recipe.water, unit, |_| {});
        self.additions(ui, library, unit);
    }
}

/// What its superfat comes to, and every Stop that stands against the design that it makes.
fn verdict(ui: &mut Ui, design: &Design, evaluation: &Evaluation, library: &Library) {
    let tokens = Tokens::of(ui);
    let told = cautions::of(design, evaluation, library);
    let stops = cautions::stops(&told);
    let (text, colour) = match Verdict::of(design, evaluation.margin.as_ref()) {
        Verdict::NoSuperfat => {
            ("No superfat: the bar may well be lye-heavy. Do not make it like this".into(), tokens.stop)
        }
        Verdict::LyeHeavy(by) => {
            let by = fixed(by, 1);
            (format!("Lye-heavy by {by} %: this bar would burn skin. Do not make it like this"), tokens.stop)
        }
        Verdict::MayBeLyeHeavy { superfat, chance } => {
            let (by, chance) = (fixed(superfat, 1), significant(in_percent(chance)));
            let text = format!(
                "Superfat {by} %, and with a chance of {chance} % none: this bar may burn skin. \
                 Do not make it like this"
            );
            (text, tokens.stop)
        }
        Verdict::Superfat(by) => {
            let colour = if stops.is_empty() { tokens.fine } else { tokens.stop };
            (format!("Superfat {} %", fixed(by, 1)), colour)
        }
    };
    ui.label(RichText::new(text).font(crate::theme::strong(15.0)).color(colour));
    for stop in stops {
        ui.add(egui::Label::new(RichText::new(stop.line()).color(tokens.stop)).wrap());
    }
}

impl RecipeForm {
    /// Purees, milk, acids and the like; their water and their acid count.
    fn additions(&mut self, ui: &mut Ui, library: &Library, unit: MassUnit) {
        heading(ui, "Puree, milk, vinegar, acid");
        let number = self.number;
        let line_id = |addition: &str| Id::unique(("recipe addition", number, addition));
        let mut gone = None;
        for (i, (addition, mass)) in self.recipe.additions.iter_mut().enumerate() {
            line(ui, &addition.name.clone(), line_id(addition.id.as_str()), mass, unit, |ui| {
                let remove = ui.button("×");
                name(ui, &remove, &format!("Take {} out of the recipe", addition.name));
                if remove.clicked() {
                    gone = Some(i);
                }
            });
        }
        if let Some(i) = gone {
            self.recipe.additions.remove(i);
        }
        let taken = |a: &Arc<Addition>| self.recipe.additions.iter().any(|(b, _)| b.id == a.id);
        let addable: Vec<Arc<Addition>> = library.additions().iter().filter(|a| !taken(a)).cloned().collect();
        let field = "Add a puree, milk or acid to the recipe…";
        if let Some(addition) =
            self.addition_picker.show(ui, self.id("addition picker"), field, &library.names, &addable, |_| None)
        {
            ui.memory_mut(|m| m.request_focus(line_id(addition.id.as_str())));
            self.recipe.additions.push((addition, Grams::ZERO));
        }
        quiet(ui, "The water that they hold counts, and acid takes alkali away from the fats.");
    }
}

/// A row with a name, a field for a mass, and something more.
fn line(ui: &mut Ui, label: &str, id: Id, value: &mut Grams, unit: MassUnit, more: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(egui::vec2(220.0, 26.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(220.0);
            cut::one_line(ui, label, |name| RichText::new(name));
        });
        let shown = number::mass(*value, unit);
        let field = NumberField { id, name: &format!("{label} in the recipe"), shown: &shown, width: 96.0 };
        if let (_, Entry::Typed(typed)) = field.show(ui, |t| mass(t, unit)) {
            *value = typed;
        }
        more(ui);
    });
    NumberField::complaint(ui, id);
}

fn purity(ui: &mut Ui, id: Id, label: &str, value: &mut Purity) {
    let shown = format!("{} %", number::short(value.get(), 2));
    let field = NumberField { id, name: label, shown: &shown, width: 62.0 };
    let read = |t: &str| Purity::new(number::parse(t, &["%"]).map_err(|e| e.to_string())?).map_err(|e| e.to_string());
    if let (_, Entry::Typed(typed)) = field.show(ui, read) {
        *value = typed;
    }
    quiet(ui, "pure");
    NumberField::complaint(ui, id);
}
