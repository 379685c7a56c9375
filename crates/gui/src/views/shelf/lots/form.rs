//! The form for a lot: what it is of, where it is from, its papers, what the garden gave.

mod read;
mod stuff;

use super::super::fields::{Fields, Wrong, accept};
use super::super::scene::Scene;
use crate::theme::{self, Tokens};
use crate::views::Changes;
use crate::widgets::{heading, name, small};
use barwright_core::design::log::LotId;
use barwright_core::design::own::{acids, allergens};
use barwright_core::design::shelf::{CAKED, Lot, ShelfEdit, Stuff};
use barwright_core::number::short;
use eframe::egui::{Id, Label, RichText, TextEdit, Ui};
use read::Typed;
use stuff::StuffField;

/// How a form was done with.
pub(super) enum Done {
    /// This lot was put on the shelf or changed.
    Kept(LotId),
    /// Nothing was.
    Left,
}

/// The form.
#[derive(Debug)]
pub(super) struct LotForm {
    id: Id,
    /// The lot that it changes; `None` for a new one.
    of: Option<Lot>,
    stuff: StuffField,
    typed: Typed,
    wrong: Option<Wrong>,
    /// The state of the shelf to which it was sent, and the number of a new lot.
    sent: Option<(u64, LotId)>,
    /// Whether it is to take the focus.
    is_new: bool,
}

impl LotForm {
    /// The form for a new lot.
    pub(super) fn new(nth: u64, stuff: Option<Stuff>) -> Self {
        let id = Id::unique(("lot form", nth));
        let typed = Typed { bought: barwright_core::bench::day::shown(Scene::today().0), ..Typed::default() };
        Self { id, of: None, stuff: StuffField::of(stuff), typed, wrong: None, sent: None, is_new: true }
    }

    /// The form for what is known of `lot`.
    pub(super) fn of(nth: u64, lot: &Lot, scene: Scene<'_>) -> Self {
        let id = Id::unique(("lot form", nth));
        let stuff = StuffField::of(Some(lot.stuff.clone()));
        Self { id, of: Some(lot.clone()), stuff, typed: Typed::of(lot, scene), wrong: None, sent: None, is_new: false }
    }

    /// Draws it; says once it is done with.
    pub(super) fn show(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) -> Option<Done> {
        if let Some((_, lot)) = self.sent.filter(|(sent, _)| scene.keeper.revision() > *sent) {
            return Some(Done::Kept(lot));
        }
        let title =
            self.of.as_ref().map_or_else(|| "A new lot".to_owned(), |lot| format!("What is known of {}", lot.id));
        ui.label(RichText::new(title).font(theme::strong(16.0)));
        self.stuff.show(ui, self.id, scene);
        if std::mem::take(&mut self.is_new) {
            let first = if self.stuff.stuff().is_some() { read::CAME } else { stuff::ID };
            ui.memory_mut(|m| m.request_focus(self.id.with(first)));
        }
        let fields = Fields { id: self.id, wrong: self.wrong.as_ref(), region: scene.region };
        if let Some((_, why)) = self.wrong.as_ref().filter(|(field, _)| *field == read::MATERIAL) {
            crate::widgets::number_field::complain(ui, why);
        }
        let unit = scene.measures.mass.sign();
        let typed = &mut self.typed;
        fields.short(ui, "Came", read::CAME, &mut typed.came, unit);
        fields.text(ui, "Supplier", read::SUPPLIER, &mut typed.supplier, "");
        fields.text(ui, "Their number", read::NUMBER, &mut typed.number, "as it stands on the pack");
        fields.day(ui, "Came on", read::BOUGHT, &mut typed.bought);
        fields.day(ui, "Best before", read::BEST, &mut typed.best_before);
        fields.day(ui, "Opened", read::OPENED, &mut typed.opened);
        fields.short(ui, "Good once open", read::DAYS, &mut typed.days_once_open, "days");
        fields.row(ui, "Price", read::PRICE, |ui| {
            fields.field(ui, read::PRICE, &mut typed.price, "", 60.0);
            ui.label(format!("{} for", scene.shelf().currency));
            fields.field(ui, read::PACK, &mut typed.pack, "all of it", 76.0);
        });
        small(ui, "The price with its postage or carriage; without a pack it is for all that came.");
        let stuff = self.stuff.stuff();
        match &stuff {
            Some(Stuff::Fat(_)) => fat(ui, &fields, typed, scene),
            Some(Stuff::SodiumHydroxide | Stuff::PotassiumHydroxide) => {
                heading(ui, "Its papers");
                fields.row(ui, "Purity", read::PURITY, |ui| {
                    fields.field(ui, read::PURITY, &mut typed.purity, "", 60.0);
                    ui.label("±");
                    fields.field(ui, read::PURITY_PM, &mut typed.purity_pm, "0", 44.0);
                    ui.label("%");
                });
                ui.checkbox(&mut typed.caked, "It was seen to cake");
                if typed.caked {
                    ui.add(Label::new(RichText::new(CAKED).color(Tokens::of(ui).care)).wrap());
                }
            }
            Some(Stuff::Addition(_)) => garden(ui, &fields, typed, scene),
            Some(Stuff::Scent(_)) => scent(ui, &fields, typed, scene),
            Some(Stuff::Other(_)) | None => {}
        }
        fields.text(ui, "Note", read::NOTE, &mut typed.note, "");
        fields.rest(ui);
        ui.add_space(8.0);
        let mut done = None;
        ui.horizontal(|ui| {
            let text = if self.of.is_some() { "Keep the changes" } else { "Put it on the shelf" };
            if accept(ui, text, scene.is_ours()) {
                self.send(scene, changes);
            }
            if ui.button("Cancel").clicked() {
                done = Some(Done::Left);
            }
        });
        done
    }

    fn send(&mut self, scene: Scene<'_>, changes: &mut Changes) {
        let read = self.stuff.stuff().ok_or_else(|| (read::MATERIAL, "choose what the lot is of".to_owned()));
        let asked = read.and_then(|stuff| {
            let lot = self.typed.lot(self.of.as_ref(), stuff, scene)?;
            let id = self.of.as_ref().map_or_else(|| scene.shelf().next_lot(), |lot| lot.id);
            let edit = match &self.of {
                Some(_) => ShelfEdit::Change(Box::new(lot)),
                None => ShelfEdit::Put(Box::new(lot)),
            };
            scene.ask(edit, changes).map_err(|why| ("", why))?;
            Ok(id)
        });
        match asked {
            Ok(id) => (self.wrong, self.sent) = (None, Some((scene.keeper.revision(), id))),
            Err(wrong) => (self.wrong, self.sent) = (Some(wrong), None),
        }
    }
}

/// A field for several lines, as they stand on a paper.
fn pasted(ui: &mut Ui, id: Id, called: &str, text: &mut String, hint: &str) {
    let edit = TextEdit::multiline(text).id(id.with(called)).hint_text(hint).desired_rows(3);
    let response = ui.add(edit.desired_width(f32::INFINITY));
    name(ui, &response, called);
}

fn fat(ui: &mut Ui, fields: &Fields<'_>, typed: &mut Typed, scene: Scene<'_>) {
    heading(ui, "Its papers");
    fields.row(ui, "Saponification", read::SV, |ui| {
        fields.field(ui, read::SV, &mut typed.sv, "", 60.0);
        ui.label("±");
        fields.field(ui, read::SV_PM, &mut typed.sv_pm, "1", 44.0);
        ui.label("mg KOH/g");
    });
    ui.label("Fatty acids, as on the certificate");
    pasted(ui, fields.id, read::ACIDS, &mut typed.acids, "C16:0 11.5\nC18:1 72");
    if let Some((_, why)) = fields.wrong.filter(|(field, _)| *field == read::ACIDS) {
        crate::widgets::number_field::complain(ui, why);
    }
    let known = acids::Pasted::read(&typed.acids, &scene.library.acids).acids().map_or(0, |acids| acids.len());
    if known > 0 {
        small(ui, format!("{known} fatty acids are understood"));
    }
}

fn scent(ui: &mut Ui, fields: &Fields<'_>, typed: &mut Typed, scene: Scene<'_>) {
    heading(ui, "Its papers");
    fields.short(ui, "Most in soap", read::MOST, &mut typed.most_in_soap, "%");
    ui.label("Allergens, as on the declaration");
    pasted(ui, fields.id, read::ALLERGENS, &mut typed.allergens, "Linalool 12 %\nLimonene 3 %");
    if let Some((_, why)) = fields.wrong.filter(|(field, _)| *field == read::ALLERGENS) {
        crate::widgets::number_field::complain(ui, why);
    }
    let read = allergens::Pasted::read(&typed.allergens, &scene.library.allergens);
    if let Ok((constituents, _)) = read.lists()
        && !constituents.is_empty()
    {
        small(ui, format!("{} are understood", constituents.len()));
    }
}

fn garden(ui: &mut Ui, fields: &Fields<'_>, typed: &mut Typed, scene: Scene<'_>) {
    ui.checkbox(&mut typed.from_garden, "From the garden");
    if !typed.from_garden {
        return;
    }
    let unit = scene.measures.mass.sign();
    fields.text(ui, "Variety", read::VARIETY, &mut typed.variety, "");
    fields.text(ui, "Bed", read::BED, &mut typed.bed, "where it grew");
    fields.day(ui, "Picked", read::PICKED, &mut typed.harvested);
    fields.short(ui, "Raw", read::RAW, &mut typed.raw, unit);
    fields.short(ui, "Cooked", read::COOKED, &mut typed.cooked, unit);
    fields.row(ui, "Dried sample", read::DRIED, |ui| {
        fields.field(ui, read::DRIED_FROM, &mut typed.dried_from, "20", 56.0);
        ui.label("to");
        fields.field(ui, read::DRIED, &mut typed.dried, "", 56.0);
        ui.label(unit);
    });
    match typed.produce(scene).ok().and_then(|p| p.water()) {
        Some(water) => small(ui, format!("So it holds {} % water.", short(water.get(), 1))),
        None => small(ui, "Dry about 20 g in the oven until it weighs the same twice: the water follows."),
    };
    fields.short(ui, "Frozen portions", read::PORTIONS, &mut typed.portions, "");
    fields.day(ui, "Thaw by", read::THAW, &mut typed.thaw_by);
}
