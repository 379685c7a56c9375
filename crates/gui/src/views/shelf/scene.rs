//! What the pages of the Shelf view are drawn from.

use super::super::{Changes, Request};
use crate::clock;
use crate::open::OpenDesign;
use crate::shelf::ShelfKeeper;
use barwright_core::Library;
use barwright_core::bench::label::Region;
use barwright_core::design::shelf::{Shelf, ShelfEdit, Stuff};
use barwright_core::design::words::Day;
use barwright_core::number::{fixed, mass};
use barwright_core::render::plain_line;
use barwright_core::units::{Grams, Measures};
use eframe::egui::{Response, Ui, WidgetText};
use std::sync::Arc;

/// All that the pages read; they write nothing.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    /// The shelf.
    pub keeper: &'a ShelfKeeper,
    /// The tables.
    pub library: &'a Arc<Library>,
    /// The person’s units.
    pub measures: Measures,
    /// Whose order a typed day has.
    pub region: Region,
    /// All open designs.
    pub designs: &'a [OpenDesign],
    /// The one in hand.
    pub open: &'a OpenDesign,
}

impl<'a> Scene<'a> {
    pub(super) fn shelf(self) -> &'a Shelf {
        self.keeper.shelf()
    }

    /// Whether the shelf can be changed here.
    pub(super) fn is_ours(self) -> bool {
        self.keeper.refusal().is_none()
    }

    pub(super) fn today() -> Day {
        Day(clock::today())
    }

    pub(super) fn mass(self, grams: f64) -> String {
        mass(Grams(grams), self.measures.mass)
    }

    pub(super) fn name(self, stuff: &Stuff) -> String {
        plain_line(&barwright_core::render::shelf::name(stuff, self.shelf(), self.library))
    }

    pub(super) fn money(self, price: f64) -> String {
        format!("{} {}", fixed(price, 2), plain_line(self.shelf().currency.as_str())).trim_end().to_owned()
    }

    /// A button that changes the shelf: off where it cannot be changed, and then it says why.
    pub(super) fn button(self, ui: &mut Ui, text: impl Into<WidgetText>) -> Response {
        let refusal = self.keeper.refusal();
        let response = ui.add_enabled(refusal.is_none(), eframe::egui::Button::new(text.into()));
        match refusal {
            Some(why) => response.on_disabled_hover_text(why.to_string()),
            None => response,
        }
    }

    /// Asks for `edit`; gives why the shelf would not take it.
    pub(super) fn ask(self, edit: ShelfEdit, changes: &mut Changes) -> Result<(), String> {
        edit.clone().apply(self.shelf()).map_err(|e| e.to_string())?;
        changes.request(Request::OnShelf(vec![edit]));
        Ok(())
    }
}

/// Whether what is good until a day is past or soon will be, in words.
pub(super) fn soon_or_past(until: Day, today: Day) -> Option<&'static str> {
    match today.days_to(until) {
        i64::MIN..0 => Some("past"),
        0..=SOON => Some("soon"),
        _ => None,
    }
}

/// What ends within so many days ends soon (our choice: a batch and its cure).
pub(super) const SOON: i64 = 60;
