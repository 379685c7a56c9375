//! How a quantity is drawn: its name, its value and its click are of one item, so that no view can
//! show one number and explain another.

use super::why::{self, Owner, Subject};
use crate::widgets;
use barwright_core::quantities::{About, AnyQuantity, Quantity, text};
use barwright_core::units::Measures;
use eframe::egui::{Response, Ui};
use std::sync::Arc;

/// Whose quantities are drawn.
#[derive(Clone, Copy)]
pub struct Figures<'a> {
    /// What the quantities are of, and in which units they are read.
    pub about: About<'a>,
    /// Whose they are where several designs are in sight.
    pub whose: Owner,
}

impl<'a> Figures<'a> {
    /// Those of the design in hand.
    pub const fn shown(about: About<'a>, measures: Measures) -> Self {
        Self { about: about.read_in(measures), whose: Owner::Shown }
    }

    /// The value as it is shown, or that it is not known.
    pub fn text(self, quantity: &dyn AnyQuantity) -> String {
        text(quantity, self.about).unwrap_or_else(|_| "not known".into())
    }

    /// The value without its unit.
    pub fn number(self, quantity: &dyn AnyQuantity) -> String {
        let Ok(value) = quantity.value(self.about) else { return "not known".into() };
        quantity.unit(self.about).number_in(value, quantity.decimals(self.about), self.about.measures)
    }

    /// Whether it is known and more than nothing.
    pub fn is_some(self, quantity: &dyn AnyQuantity) -> bool {
        quantity.value(self.about).is_ok_and(|value| value > 0.0)
    }

    /// Whether it is known.
    pub fn is_known(self, quantity: &dyn AnyQuantity) -> bool {
        quantity.value(self.about).is_ok()
    }

    /// A line with its name and its value, which explains itself when it is clicked.
    pub fn quantity(self, ui: &mut Ui, quantity: impl Quantity) -> Response {
        let title = Quantity::title(&quantity, self.about);
        self.drawn(ui, quantity, |ui, value| widgets::figure(ui, &title, &value))
    }

    /// The value drawn in a view's own way.
    pub fn drawn(
        self,
        ui: &mut Ui,
        quantity: impl AnyQuantity + 'static,
        draw: impl FnOnce(&mut Ui, String) -> Response,
    ) -> Response {
        let title = AnyQuantity::title(&quantity, self.about);
        describe(self.with_text(quantity).drawn(ui, self.whose, draw), &title)
    }

    /// It with its value as it is shown.
    pub fn with_text(self, quantity: impl AnyQuantity + 'static) -> WithText {
        WithText { text: self.text(&quantity), quantity: Arc::new(quantity) }
    }

    /// The bare number drawn in a view's own way, where its unit stands elsewhere.
    pub fn drawn_number(
        self,
        ui: &mut Ui,
        quantity: impl AnyQuantity + 'static,
        draw: impl FnOnce(&mut Ui, String) -> Response,
    ) -> Response {
        let value = self.number(&quantity);
        self.asked(ui, Arc::new(quantity), |ui| draw(ui, value))
    }

    /// Something that tells of a quantity in words, and explains it when it is clicked.
    pub fn asked(
        self,
        ui: &mut Ui,
        quantity: Arc<dyn AnyQuantity>,
        draw: impl FnOnce(&mut Ui) -> Response,
    ) -> Response {
        let response = draw(ui);
        let title = quantity.title(self.about);
        describe(why::explained(ui, &response, self.whose, Subject::Quantity(quantity)), &title)
    }
}

/// Tells a screen reader which number this is, which stops at it without its line.
fn describe(response: Response, title: &str) -> Response {
    response.ctx.accesskit_node_builder(response.id, |node| node.set_description(title));
    response
}

/// A quantity with its value as it is shown, to be kept where it takes long to work out.
#[derive(Debug, Clone)]
pub struct WithText {
    quantity: Arc<dyn AnyQuantity>,
    text: String,
}

impl WithText {
    /// The value drawn in a view's own way; it explains itself when it is clicked.
    pub fn drawn(&self, ui: &mut Ui, whose: Owner, draw: impl FnOnce(&mut Ui, String) -> Response) -> Response {
        let response = draw(ui, self.text.clone());
        why::explained(ui, &response, whose, Subject::Quantity(Arc::clone(&self.quantity)))
    }
}
