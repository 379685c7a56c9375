//! A field that finds a material by a part of its name.

use super::name;
use crate::keyboard;
use barwright_core::library::finding::{Findable, Names};
use eframe::egui::text::{CCursor, CCursorRange};
use eframe::egui::text_edit::TextEditState;
use eframe::egui::{self, Id, Key, Modifiers, Popup, PopupCloseBehavior, RichText, ScrollArea, TextEdit, Ui};
use std::sync::Arc;

/// Typing replaces what was looked for before.
fn select_all(ui: &Ui, id: Id, text: &str) {
    let mut state = TextEditState::load(ui.ctx(), id).unwrap_or_default();
    state.cursor.set_char_range(Some(CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()))));
    state.store(ui.ctx(), id);
}

/// What is taken from a picker.
#[derive(Debug, Clone)]
pub enum Picked<T> {
    /// A material that there is.
    Known(Arc<T>),
    /// One of one's own, of the kind at this place of those offered, called as was typed.
    Own(usize, String),
}

/// What was typed so far, which match is chosen, and whether the list is shown.
#[derive(Debug, Clone, Default)]
pub struct Picker {
    text: String,
    chosen: usize,
    open: bool,
    had_focus: bool,
}

impl Picker {
    /// Whether nothing is looked for.
    pub fn is_empty(&self) -> bool {
        self.text.trim().is_empty()
    }

    /// Draws the field with `hint` as its text and name; gives the material that was chosen of those in `materials`,
    /// which are found by `names`. `note` says something of each, such as how it would change the bar.
    pub fn show<T: Findable>(
        &mut self,
        ui: &mut Ui,
        id: Id,
        hint: &str,
        names: &Names,
        materials: &[Arc<T>],
        note: impl FnMut(&Arc<T>) -> Option<String>,
    ) -> Option<Arc<T>> {
        match self.show_with_own(ui, id, hint, names, (materials, &[]), note)? {
            Picked::Known(material) => Some(material),
            Picked::Own(..) => None,
        }
    }

    /// The same; where nothing is called as was typed, a material of one's own is offered of each of these kinds.
    pub fn show_with_own<T: Findable>(
        &mut self,
        ui: &mut Ui,
        id: Id,
        hint: &str,
        names: &Names,
        (materials, own): (&[Arc<T>], &[&str]),
        mut note: impl FnMut(&Arc<T>) -> Option<String>,
    ) -> Option<Picked<T>> {
        let mut taken = None;
        let mut made = None;
        if ui.memory(|m| m.has_focus(id)) {
            let (up, down, enter) = ui.input_mut(|i| {
                (
                    i.consume_key(Modifiers::NONE, Key::ArrowUp),
                    i.consume_key(Modifiers::NONE, Key::ArrowDown),
                    i.consume_key(Modifiers::NONE, Key::Enter),
                )
            });
            if self.open {
                self.chosen = self.chosen.saturating_sub(usize::from(up)) + usize::from(down);
            }
            self.open |= up || down;
            if up || down || enter {
                let found = names.find(materials, &self.text);
                let offered = if found.is_guess { own.len() } else { 0 };
                self.chosen = self.chosen.min((found.materials.len() + offered).saturating_sub(1));
                if enter && !self.text.trim().is_empty() {
                    taken = found.materials.get(self.chosen).map(|m| Arc::clone(m));
                    made = self.chosen.checked_sub(found.materials.len()).filter(|kind| *kind < offered);
                }
                if found.is_guess
                    && let Some(meant) = taken.take()
                {
                    // It is taken once its name stands there and is entered again.
                    meant.name().clone_into(&mut self.text);
                    (self.chosen, self.open) = (0, true);
                }
            }
        }
        let edit = TextEdit::singleline(&mut self.text)
            .id(id)
            .hint_text(hint)
            .desired_width(f32::INFINITY)
            .margin(egui::Margin::symmetric(8, 5));
        let response = ui.add(edit);
        name(ui, &response, hint);
        keyboard::field(ui, id);
        let has_focus = response.has_focus();
        if has_focus && self.text.is_empty() {
            keyboard::settled(ui, id);
        }
        if has_focus && !self.had_focus {
            select_all(ui, id, &self.text);
        }
        if response.changed() {
            self.chosen = 0;
        }
        // Whoever comes along with Tab or Enter is not stopped by a list.
        let is_asked = has_focus && !self.had_focus && !keyboard::came_by_key(ui, id);
        self.had_focus = has_focus;
        self.open |= is_asked || response.clicked() || (response.changed() && has_focus);
        // A press in the list takes the focus from the field, and leads to no other.
        self.open &= has_focus || ui.memory(|m| m.focused().is_none());
        let popup = Popup::from_response(&response)
            .id(keyboard::list_of(id))
            .open_bool(&mut self.open)
            .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
            .width(response.rect.width().max(340.0));
        let chosen = self.chosen;
        let shown = popup.show(|ui| {
            let mut clicked = None;
            let found = names.find(materials, &self.text);
            ScrollArea::vertical().max_height(320.0).auto_shrink([false, true]).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                if found.is_guess {
                    ui.label(found.none_so());
                }
                for (i, material) in found.materials.iter().enumerate() {
                    let row = ui.selectable_label(i == chosen, RichText::new(material.name()));
                    if i == chosen && has_focus {
                        row.scroll_to_me(None);
                    }
                    // What is out of sight costs nothing.
                    if ui.is_rect_visible(row.rect)
                        && let Some(words) = note(material)
                    {
                        ui.horizontal(|ui| {
                            ui.add_space(ui.spacing().button_padding.x + 8.0);
                            super::small(ui, words);
                        });
                    }
                    if row.clicked() {
                        clicked = Some(Arc::clone(material));
                    }
                }
                if found.is_guess {
                    let place = chosen.checked_sub(found.materials.len()).filter(|_| has_focus);
                    made = made.or(offer_own(ui, own, self.text.trim(), place));
                }
            });
            clicked
        });
        taken = taken.or(shown.and_then(|s| s.inner));
        if taken.is_some() {
            // The list closes, so that what was added can be seen.
            response.surrender_focus();
            *self = Self::default();
        }
        let own = made.map(|kind| {
            // What was typed stays until the material is there.
            (self.open, self.chosen) = (false, 0);
            Picked::Own(kind, self.text.trim().to_owned())
        });
        taken.map(Picked::Known).or(own)
    }

    /// Forgets what was typed.
    pub fn clear(&mut self) {
        self.text.clear();
    }
}

/// Offers to make what is called `text` one of one's own, of each kind in `own`; the one at the place `chosen` is lit.
fn offer_own(ui: &mut Ui, own: &[&str], text: &str, chosen: Option<usize>) -> Option<usize> {
    let mut made = None;
    for (kind, what) in own.iter().enumerate() {
        let is_chosen = chosen == Some(kind);
        let row = ui.selectable_label(is_chosen, format!("Make “{text}” {what}…"));
        if is_chosen {
            row.scroll_to_me(None);
        }
        if row.clicked() {
            made = Some(kind);
        }
    }
    made
}
