//! The form in which a recipe from a book is typed in.

use super::design::form::{AdditionForm, ColourantForm, Context, FatForm, Forms};
use crate::keyboard;
use crate::theme::Tokens;
use crate::widgets::fitted::{answers, listed};
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::picker::{Picked, Picker};
use crate::widgets::{cut, default_button, heading, name, quiet};
use barwright_core::cautions;
use barwright_core::chemistry::recipe::{Recipe, RecipeError, Verdict};
use barwright_core::design::Spare;
use barwright_core::design::edit::Edit;
use barwright_core::library::additions::Addition;
use barwright_core::library::fats::Fat;
use barwright_core::library::material::MaterialId;
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
    forms: Forms,
    /// Materials of one's own that were made here, taken out again or not.
    own: Spare,
    /// The field at which the hand goes on.
    hand: Option<Id>,
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
            forms: Forms::default(),
            own: Spare::default(),
            hand: None,
            number,
        }
    }

    /// Whether nothing would be lost with it.
    pub fn is_empty(&self) -> bool {
        let recipe = &self.recipe;
        let lists_are_empty = recipe.fats.is_empty() && recipe.additions.is_empty();
        let nothing_is_own = self.forms.is_empty() && self.own == Spare::default();
        lists_are_empty && nothing_is_own && [recipe.naoh, recipe.koh, recipe.water].iter().all(|m| m.0 <= 0.0)
    }

    fn id(&self, what: &str) -> Id {
        Id::unique(("recipe", self.number, what))
    }

    /// The field for the mass of the fat called `fat`.
    fn fat_id(&self, fat: &MaterialId) -> Id {
        Id::unique(("recipe fat", self.number, fat.as_str()))
    }

    /// The field for the mass of the addition called `addition`.
    fn addition_id(&self, addition: &MaterialId) -> Id {
        Id::unique(("recipe addition", self.number, addition.as_str()))
    }

    /// The recipe as a design, which keeps what was made here without being used.
    fn design(&self) -> Result<Design, RecipeError> {
        let mut design = self.recipe.design()?;
        let Spare { fats, additions, scents } = self.own.clone();
        let is_unused = |f: &Arc<Fat>| design.blend.line(&f.id).is_none();
        let fats = fats.into_iter().filter(is_unused).collect();
        let is_unused = |a: &Arc<Addition>| design.additions.iter().all(|line| line.addition.id != a.id);
        let additions = additions.into_iter().filter(is_unused).collect();
        design.spare = Spare { fats, additions, scents };
        Ok(design)
    }

    /// Draws the form of a material of one's own, if one is open, and takes what it gives.
    fn own_form(&mut self, ui: &Ui, library: &Library) {
        let design = Design { spare: self.own.clone(), ..Design::default() };
        let context = Context { library, design: &design, refused: None };
        match self.forms.show(ui, &context).map(|taken| taken.edit) {
            Some(Edit::AddFat(fat, _)) => {
                self.picker.clear();
                self.own.fats.push(Arc::clone(&fat));
                self.own.fats.sort_by(|a, b| a.id.cmp(&b.id));
                self.take_fat(fat);
            }
            Some(Edit::AddAddition(line)) => {
                self.addition_picker.clear();
                self.own.additions.push(Arc::clone(&line.addition));
                self.own.additions.sort_by(|a, b| a.id.cmp(&b.id));
                self.take_addition(line.addition);
            }
            _ => {}
        }
    }

    /// Takes `fat` into the recipe; the hand goes on at its mass.
    fn take_fat(&mut self, fat: Arc<Fat>) {
        self.hand = Some(self.fat_id(&fat.id));
        self.recipe.fats.push((fat, Grams::ZERO));
    }

    /// Takes `addition` into the recipe; the hand goes on at its mass.
    fn take_addition(&mut self, addition: Arc<Addition>) {
        self.hand = Some(self.addition_id(&addition.id));
        self.recipe.additions.push((addition, Grams::ZERO));
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
        if let Some(field) = self.hand {
            ui.memory_mut(|m| m.request_focus(field));
            // Under the form that closes it would be lost again.
            if keyboard::is_on_top(ui) {
                self.hand = None;
            }
            ui.ctx().request_repaint();
        }
        // What it comes to, and the buttons, stay in sight.
        listed(ui, |ui| self.fields(ui, library, unit));
        ui.separator();
        let outcome = self.design();
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
        let decision = answers(ui, |ui| {
            let make = default_button(ui, "Make it a design", outcome.is_ok());
            if ui.button("Cancel").clicked() {
                return Some(Decision::Cancel);
            }
            if make { outcome.ok().map(|d| Decision::Make(Box::new(d))) } else { None }
        });
        // Above all else, so drawn last.
        self.own_form(ui, library);
        decision
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

        let [picker_id, naoh_id, koh_id, water_id] = ["picker", "naoh", "koh", "water"].map(|w| self.id(w));
        heading(ui, "Fats");
        let mut gone = None;
        let ids: Vec<Id> = self.recipe.fats.iter().map(|(fat, _)| self.fat_id(&fat.id)).collect();
        for (i, ((fat, mass), id)) in self.recipe.fats.iter_mut().zip(ids).enumerate() {
            line(ui, &fat.name.clone(), id, mass, unit, |ui| {
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
        let taken = |f: &Arc<Fat>| self.recipe.fats.iter().any(|(g, _)| g.id == f.id);
        let known = library.fats().iter().chain(&self.own.fats);
        let addable: Vec<Arc<Fat>> = known.filter(|f| !taken(f)).cloned().collect();
        let (field, own) = ("Add a fat to the recipe…", ["a fat of your own"]);
        match self.picker.show_with_own(ui, picker_id, field, &library.names, (&addable, &own), |_| None) {
            Some(Picked::Known(fat)) => self.take_fat(fat),
            // No shares are typed here that could hold.
            Some(Picked::Own(_, name)) => self.forms.open(FatForm::named(name, Vec::new())),
            None => {}
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
        let mut gone = None;
        let ids: Vec<Id> = self.recipe.additions.iter().map(|(addition, _)| self.addition_id(&addition.id)).collect();
        for (i, ((addition, mass), id)) in self.recipe.additions.iter_mut().zip(ids).enumerate() {
            line(ui, &addition.name.clone(), id, mass, unit, |ui| {
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
        let known = library.additions().iter().chain(&self.own.additions);
        let addable: Vec<Arc<Addition>> = known.filter(|a| !taken(a)).cloned().collect();
        let (field, own) =
            ("Add a puree, milk or acid to the recipe…", ["an addition of your own", "a colourant of your own"]);
        let id = self.id("addition picker");
        match self.addition_picker.show_with_own(ui, id, field, &library.names, (&addable, &own), |_| None) {
            Some(Picked::Known(addition)) => self.take_addition(addition),
            Some(Picked::Own(0, name)) => self.forms.open(AdditionForm::named(name)),
            Some(Picked::Own(_, name)) => self.forms.open(ColourantForm::named(name)),
            None => {}
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
        let field = NumberField { id, name: &format!("{label} in the recipe"), shown: &shown, width: 96.0, hint: "" };
        if let (_, Entry::Typed(typed)) = field.show(ui, |t| mass(t, unit)) {
            *value = typed;
        }
        more(ui);
    });
    NumberField::complaint(ui, id);
}

fn purity(ui: &mut Ui, id: Id, label: &str, value: &mut Purity) {
    let shown = format!("{} %", number::short(value.get(), 2));
    let field = NumberField { id, name: label, shown: &shown, width: 62.0, hint: "" };
    let read = |t: &str| Purity::new(number::parse(t, &["%"]).map_err(|e| e.to_string())?).map_err(|e| e.to_string());
    if let (_, Entry::Typed(typed)) = field.show(ui, read) {
        *value = typed;
    }
    quiet(ui, "pure");
    NumberField::complaint(ui, id);
}
