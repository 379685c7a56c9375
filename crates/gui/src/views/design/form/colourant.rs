//! The form for a colourant of one's own.

use super::{Context, FIELD, Form, Refused, choice, id_from, text, text_id};
use crate::widgets::{name, small};
use barwright_core::design::edit::Edit;
use barwright_core::design::own::colourant::OwnColourantError;
use barwright_core::design::own::{self, OwnColourant};
use barwright_core::library::additions::{Addition, AdditionLine, ColourantClass};
use barwright_core::library::material::MaterialId;
use barwright_core::library::shade::Shade;
use barwright_core::number::{self, short};
use barwright_core::units::AmountPerKg;
use eframe::egui::{Grid, Id, Ui};
use std::sync::Arc;

/// The form for one colourant.
#[derive(Debug)]
pub struct ColourantForm {
    /// The record that is changed; `None` for a new one.
    changed: Option<Arc<Addition>>,
    name: String,
    class: ColourantClass,
    inci: String,
    usual: String,
    most: String,
    colour: String,
}

const WHAT: &str = "colourant";
const NAME: &str = "Name";
const INCI: &str = "INCI name or CI number";
const USUAL: &str = "Usual, g per kg of fats";
const MOST: &str = "Most, g per kg of fats";
const COLOUR: &str = "Colour in the bar";

impl ColourantForm {
    /// The form for a new colourant called `name`.
    pub fn named(name: String) -> Self {
        let [inci, usual, most, colour] = Default::default();
        Self { changed: None, name, class: ColourantClass::Pigment, inci, usual, most, colour }
    }

    /// The form with the figures of `addition`, which is a colourant of `class`.
    pub fn of(addition: &Arc<Addition>, class: ColourantClass) -> Self {
        let handling = addition.handling();
        let shade = addition.colourant.and_then(|c| c.shade);
        Self {
            changed: Some(Arc::clone(addition)),
            name: addition.name.clone(),
            class,
            inci: addition.inci.clone(),
            usual: short(handling.usual.max(), 3),
            most: short(handling.most.get(), 3),
            colour: shade.map(|shade| shade.to_string()).unwrap_or_default(),
        }
    }

    fn record(&self, id: impl FnOnce(&str) -> Result<MaterialId, Refused>) -> Result<Addition, Refused> {
        let amount = |text: &str, label: &str| {
            let value = number::parse(text, &["g/kg", "g"]).map_err(|e| Refused::at(WHAT, label, &e))?;
            AmountPerKg::new(value).map_err(|e| Refused::at(WHAT, label, &e))
        };
        let name = own::name(&self.name).map_err(|e| Refused::at(WHAT, NAME, &e))?;
        let shade = match self.colour.trim() {
            "" => None,
            typed => Some(Shade::read(typed).map_err(|e| Refused::at(WHAT, COLOUR, &e))?),
        };
        let id = id(&name)?;
        let (usual, most) = (amount(&self.usual, USUAL)?, amount(&self.most, MOST)?);
        let own = OwnColourant { name, class: self.class, inci: self.inci.clone(), usual, most, shade };
        own.record(id).map_err(|why| {
            let label = match &why {
                OwnColourantError::Name(_) => NAME,
                OwnColourantError::Inci(_) => INCI,
                OwnColourantError::Amounts(_) => MOST,
            };
            Refused::at(WHAT, label, &why)
        })
    }
}

impl Form for ColourantForm {
    fn title(&self) -> String {
        if self.changed.is_some() { "Figures of a colourant" } else { "A colourant of your own" }.into()
    }

    fn take(&self) -> &'static str {
        if self.changed.is_some() { "Use these figures" } else { "Add it" }
    }

    fn first(&self) -> Id {
        text_id(WHAT, if self.name.is_empty() || self.changed.is_some() { NAME } else { INCI })
    }

    fn draft(&self) -> Option<&str> {
        self.changed.is_none().then_some(self.name.trim())
    }

    fn fields(&mut self, ui: &mut Ui, context: &Context<'_>) -> Option<Edit> {
        Grid::new("own colourant").num_columns(2).spacing([12.0, 6.0]).show(ui, |ui| {
            text(ui, context, WHAT, NAME, (&mut self.name, "Brick red"));
            choice(ui, (WHAT, "Class"), &mut self.class, ColourantClass::ALL, ColourantClass::words);
            text(ui, context, WHAT, INCI, (&mut self.inci, "CI 77491"));
            text(ui, context, WHAT, USUAL, (&mut self.usual, "3"));
            text(ui, context, WHAT, MOST, (&mut self.most, "10"));
            text(ui, context, WHAT, COLOUR, (&mut self.colour, "#b4523a, if you like"));
            ui.label("");
            let plain = Shade::read(&self.colour).unwrap_or(Shade::PLAIN);
            let mut rgb = plain.rgb;
            ui.horizontal(|ui| {
                ui.set_width(FIELD);
                let button = ui.color_edit_button_srgb(&mut rgb);
                name(ui, &button, "Choose the colour in the bar");
                ui.label("or choose it here");
            });
            if rgb != plain.rgb {
                self.colour = Shade { rgb }.to_string();
            }
            ui.end_row();
        });
        small(ui, self.class.advice());
        None
    }

    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, Refused> {
        let design = context.design;
        let taken = |id: &str| {
            let lines = design.additions.iter().map(|l| &l.addition).chain(&design.spare.additions);
            context.library.addition(id).is_some() || lines.into_iter().any(|a| a.id.as_str() == id)
        };
        let record = Arc::new(self.record(|name| match &self.changed {
            Some(addition) => Ok(addition.id.clone()),
            None => id_from(name, taken),
        })?);
        Ok(if self.changed.is_some() {
            Edit::DefineAddition(record)
        } else {
            Edit::AddAddition(AdditionLine::usual(record))
        })
    }
}
