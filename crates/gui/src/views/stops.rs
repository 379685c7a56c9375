//! The Stops of what is in sight, at the top of every view.

use crate::open::Key;
use crate::theme::{self, Tokens};
use crate::widgets::name;
use barwright_core::cautions::Caution;
use barwright_core::design::edit::Edit;
use eframe::egui::{Align, Frame, Id, Label, Layout, Margin, Panel, RichText, ScrollArea, Stroke, Ui};
use std::sync::Arc;

/// A design whose Stops are shown.
#[derive(Debug)]
pub struct Stopped {
    /// Which.
    pub key: Key,
    /// Its name, where there are several in sight.
    pub title: Option<String>,
    /// What its maker must be told.
    pub told: Arc<[Caution]>,
}

/// The most that the band is high, points: more Stops than fit are scrolled to.
const HIGH: f32 = 84.0;

/// Draws the Stops of `designs`, each in the words that stand everywhere; gives the remedy that is chosen and whose it
/// is. Nothing where there is none.
pub fn show(ui: &mut Ui, designs: &[Stopped]) -> Option<(Key, Edit)> {
    let any = designs.iter().any(|design| design.told.iter().any(Caution::blocks));
    // It comes and goes when the hand rests: nothing moves under a slider that is held.
    let id = Id::unique("stops in sight");
    let before = ui.data(|d| d.get_temp::<bool>(id)).unwrap_or(any);
    let is_shown = if ui.input(|i| i.pointer.any_down()) { before } else { any };
    ui.data_mut(|d| d.insert_temp(id, is_shown));
    if !is_shown {
        return None;
    }
    let tokens = Tokens::of(ui);
    let frame = Frame::new().fill(tokens.panel).stroke(Stroke::new(1.0, tokens.stop)).inner_margin(Margin {
        left: 14,
        right: 10,
        top: 6,
        bottom: 6,
    });
    let mut chosen = None;
    Panel::top("stops").frame(frame).show(ui, |ui| {
        ScrollArea::vertical().max_height(HIGH).id_salt("stops scroll").show(ui, |ui| {
            ui.set_min_width(ui.available_width());
            for design in designs {
                for stop in design.told.iter().filter(|caution| caution.blocks()) {
                    if let Some(edit) = line(ui, design.title.as_deref(), stop) {
                        chosen = Some((design.key, edit));
                    }
                }
            }
        });
    });
    chosen
}

/// One Stop in its line, its remedy at the right.
fn line(ui: &mut Ui, title: Option<&str>, stop: &Caution) -> Option<Edit> {
    let tokens = Tokens::of(ui);
    let words = title.map_or_else(|| stop.line(), |title| format!("{title}. {}", stop.line()));
    let mut chosen = None;
    ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
        if let Some(remedy) = &stop.remedy {
            let button = ui.button(RichText::new(&remedy.label).color(tokens.accent));
            if button.clicked() {
                chosen = Some(remedy.edit.clone());
            }
        }
        ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
            let text = RichText::new(&words).font(theme::strong(13.0)).color(tokens.stop);
            let response = ui.add(Label::new(text).wrap().selectable(true));
            name(ui, &response, &words);
        });
    });
    chosen
}
