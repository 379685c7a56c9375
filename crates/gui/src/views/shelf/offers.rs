//! What lots of the shelf would change in the design in hand, offered above it.

use crate::cache::Kept;
use crate::open::{Key, OpenDesign, State};
use crate::shelf::ShelfKeeper;
use crate::theme::{self, Tokens};
use crate::widgets::name;
use barwright_core::Library;
use barwright_core::bench::from_shelf::{Matter, Offer, offers};
use barwright_core::design::edit::Edit;
use barwright_core::design::log::LotId;
use barwright_core::render::plain_line;
use barwright_core::units::Measures;
use eframe::egui::{Align, Frame, Label, Layout, Margin, Panel, RichText, Ui};
use std::collections::BTreeSet;
use std::rc::Rc;

/// What is remembered between frames.
#[derive(Debug, Default)]
pub struct Offers {
    kept: Kept<(State, u64, Measures), Rc<[Offer]>>,
    /// What a person does not want to hear of again.
    declined: BTreeSet<(Key, LotId, Matter)>,
}

impl Offers {
    /// Draws what is offered for the design `open`; gives the step that was taken.
    pub fn show(
        &mut self,
        ui: &mut Ui,
        open: &OpenDesign,
        (keeper, library, measures): (&ShelfKeeper, &Library, Measures),
    ) -> Option<Edit> {
        let all = self.kept.get((open.state(), keeper.revision(), measures), || {
            offers(open.design(), &open.evaluation(library), keeper.shelf(), library, measures).into()
        });
        let all: Vec<&Offer> = all.iter().filter(|o| !self.declined.contains(&(open.key, o.lot, o.matter))).collect();
        let first = *all.first()?;
        let tokens = Tokens::of(ui);
        let (mut taken, mut declined) = (None, false);
        let frame = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(16, 6));
        Panel::top("offers of the shelf").frame(frame).show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    let button = ui.button("Not for this design");
                    name(ui, &button, &format!("Leave the design as it is, whatever {} says", first.lot));
                    declined = button.on_hover_text("The design stays as it is").clicked();
                    let text = RichText::new("Use it").font(theme::strong(13.0)).color(tokens.accent);
                    let button = ui.button(text);
                    name(ui, &button, &format!("Use what {} says", first.lot));
                    if button.on_hover_text("One step, which can be undone").clicked() {
                        taken = Some(first.edit.clone());
                    }
                    if all.len() > 1 {
                        ui.label(RichText::new(format!("and {} more", all.len() - 1)).color(tokens.quiet));
                    }
                    ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                        let why = format!("From the shelf – {}. {}.", plain_line(&first.why), first.then);
                        ui.add(Label::new(why).wrap());
                    });
                });
            });
        });
        if declined {
            self.declined.insert((open.key, first.lot, first.matter));
            ui.ctx().request_repaint();
        }
        taken
    }
}
