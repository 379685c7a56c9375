//! The form for a scent of one's own, and for figures of one's own on a known one.

use super::{
    Context, Form, Refused, choice, id_from, not_understood, pasted, percent, preview, text, text_id, understood,
};
use crate::widgets::small;
use barwright_core::design::edit::Edit;
use barwright_core::design::own::allergens::{Pasted, Says, written};
use barwright_core::design::own::scent::OwnScentError;
use barwright_core::design::own::{self, OwnScent};
use barwright_core::library::allergens::Allergens;
use barwright_core::library::material::MaterialId;
use barwright_core::library::scents::{Behaviour, Scent, ScentLine, Supplied};
use barwright_core::number::{self, short, significant};
use barwright_core::units::{Celsius, Share, TemperatureUnit};
use eframe::egui::{Grid, Id, Ui};
use std::sync::Arc;

/// The form for a scent.
#[derive(Debug, Default)]
pub struct ScentForm {
    changed: Option<Arc<Scent>>,
    name: String,
    limit: String,
    vanillin: String,
    flash: String,
    behaviour: Option<Behaviour>,
    inci: String,
    /// Whether the supplier lists no allergens.
    lists_none: bool,
    /// A substance on each line.
    listed: String,
    /// What is written there, as it was last understood.
    pasted: Pasted,
}

const WHAT: &str = "scent";
const NAME: &str = "Name";
const LIMIT: &str = "Most in the bar, %";
const VANILLIN: &str = "Vanillin, %";
const FLASH: &str = "Flash point, °C";
const INCI: &str = "INCI name";
const ALLERGENS: &str = "Allergens";
const LISTED: &str = "Constituents";

impl ScentForm {
    /// The form for a new scent called `name`.
    pub fn named(name: String) -> Self {
        Self { name, ..Self::default() }
    }

    /// The form with the figures of `scent`.
    pub fn of(scent: &Arc<Scent>, allergens: &Allergens) -> Self {
        let listed = written(scent);
        let Supplied { limit, vanillin, flash, behaviour, lists_none, .. } = &scent.supplied;
        let figure = |share: &Option<Share>| share.map(|s| short(s.get(), 4)).unwrap_or_default();
        Self {
            changed: Some(Arc::clone(scent)),
            name: scent.name.clone(),
            limit: figure(limit),
            vanillin: figure(vanillin),
            flash: flash.map(|c| short(c.get(), 2)).unwrap_or_default(),
            behaviour: *behaviour,
            inci: scent.inci.clone(),
            lists_none: *lists_none,
            pasted: Pasted::read(&listed, allergens),
            listed,
        }
    }

    fn own(&self) -> Result<OwnScent, Refused> {
        let share = |text: &str, label: &str| match text.trim() {
            "" => Ok(None),
            typed => percent(typed, label).map(Some).map_err(|why| Refused::at(WHAT, label, &why)),
        };
        let flash = |typed: &str| {
            let value =
                number::parse_celsius(typed, TemperatureUnit::Celsius).map_err(|e| Refused::at(WHAT, FLASH, &e))?;
            Celsius::new(value).map_err(|e| Refused::at(WHAT, FLASH, &e))
        };
        let name = own::name(&self.name).map_err(|why| Refused::at(WHAT, NAME, &why))?;
        let (limit, vanillin) = (share(&self.limit, LIMIT)?, share(&self.vanillin, VANILLIN)?);
        let flash = Some(self.flash.trim()).filter(|typed| !typed.is_empty()).map(flash).transpose()?;
        let (constituents, allergens) = self.pasted.lists().map_err(|why| Refused::at(WHAT, LISTED, &why))?;
        let (behaviour, lists_none) = (self.behaviour, self.lists_none);
        let supplied = Supplied { limit, vanillin, flash, behaviour, allergens, lists_none };
        Ok(OwnScent { name, constituents, supplied, inci: self.inci.clone() })
    }

    /// The id of the record.
    fn id(&self, context: &Context<'_>) -> Result<MaterialId, Refused> {
        let design = context.design;
        let taken = |id: &str| {
            let scents = design.scents.iter().map(|l| &l.scent).chain(&design.spare.scents);
            context.library.scent(id).is_some() || scents.into_iter().any(|s| s.id.as_str() == id)
        };
        match &self.changed {
            Some(scent) => Ok(scent.id.clone()),
            None => id_from(&self.name, taken),
        }
    }

    /// What was understood of the substances.
    fn preview(&self, ui: &mut Ui) {
        preview(ui, WHAT, |ui| {
            for line in &self.pasted.lines {
                match &line.says {
                    Says::Substance(substance, is_allergen) => {
                        let kind = if *is_allergen { "allergen, " } else { "" };
                        let most = significant(substance.most.get());
                        understood(ui, true, &substance.name, &format!("{kind}up to {most} %"));
                    }
                    Says::Allergen(allergen) if allergen.most.get() < Share::MAX => {
                        let most = significant(allergen.most.get());
                        understood(ui, true, &allergen.name, &format!("allergen, up to {most} %"));
                    }
                    Says::Allergen(allergen) => {
                        understood(ui, true, &allergen.name, "allergen, named whatever its amount");
                    }
                    Says::LeftOut => understood(ui, false, &line.text, "left out"),
                    Says::Unread(why) => not_understood(ui, line.number, &line.text, why),
                }
            }
        });
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
        text_id(WHAT, if self.name.is_empty() || self.changed.is_some() { NAME } else { LIMIT })
    }

    fn draft(&self) -> Option<&str> {
        self.changed.is_none().then_some(self.name.trim())
    }

    fn fields(&mut self, ui: &mut Ui, context: &Context<'_>) -> Option<Edit> {
        small(ui, "A fragrance oil or an essential oil, as its supplier’s documents describe it");
        Grid::new("own scent").num_columns(2).spacing([12.0, 5.0]).show(ui, |ui| {
            text(ui, context, WHAT, NAME, (&mut self.name, "Orchard blossom"));
            text(ui, context, WHAT, LIMIT, (&mut self.limit, "as for soap, rinsed off"));
            text(ui, context, WHAT, VANILLIN, (&mut self.vanillin, "not known; it browns the bar"));
            text(ui, context, WHAT, FLASH, (&mut self.flash, "not known"));
            let all = [None].into_iter().chain(Behaviour::ALL.map(Some));
            let words = |behaviour: Option<Behaviour>| behaviour.map_or("not known", Behaviour::words);
            choice(ui, (WHAT, "In the batter"), &mut self.behaviour, all, words);
            text(ui, context, WHAT, INCI, (&mut self.inci, "as on a label, if known"));
            // Not said is another thing than none.
            let words = |none: bool| if none { "the supplier lists none" } else { "as below; else not known" };
            choice(ui, (WHAT, ALLERGENS), &mut self.lists_none, [false, true], words);
        });
        ui.add_space(4.0);
        small(ui, "Allergens and what else is in it: name; CAS number; at most, %. An allergen needs its name alone");
        let hint = "Linalool 12 %\nCoumarin\nlinalyl acetate; 115-95-7; 8";
        if pasted(ui, context, (WHAT, LISTED), &mut self.listed, hint) {
            self.pasted = Pasted::read(&self.listed, &context.library.allergens);
        }
        self.preview(ui);
        None
    }

    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, Refused> {
        let own = self.own()?;
        let id = self.id(context)?;
        let record = own.record(id, self.changed.as_deref(), context.library).map_err(|why| {
            let label = match &why {
                OwnScentError::Name(_) => NAME,
                OwnScentError::Inci(_) => INCI,
                OwnScentError::TooMany | OwnScentError::Allergen(_) => LISTED,
                OwnScentError::NoneAllowed => LIMIT,
            };
            Refused::at(WHAT, label, &why)
        })?;
        let record = Arc::new(record);
        Ok(if self.changed.is_some() { Edit::DefineScent(record) } else { Edit::AddScent(ScentLine::usual(record)) })
    }
}
