//! A field that finds a material by a part of its name.

use super::name;
use crate::keyboard;
use barwright_core::library::additions::Addition;
use barwright_core::library::fats::Fat;
use barwright_core::library::scents::Scent;
use eframe::egui::{self, Id, Key, Modifiers, Popup, PopupCloseBehavior, RichText, ScrollArea, TextEdit, Ui};
use std::sync::Arc;

/// What was typed so far, which match is chosen, and whether the list is shown.
#[derive(Debug, Clone, Default)]
pub struct Picker {
    text: String,
    chosen: usize,
    open: bool,
    had_focus: bool,
}

/// Something that is found by its name.
pub trait Findable {
    /// The name in the list.
    fn name(&self) -> &str;
    /// Everything that is searched, the name with it.
    fn searched(&self) -> String;
}

impl Findable for Fat {
    fn name(&self) -> &str {
        &self.name
    }
    fn searched(&self) -> String {
        format!("{} {} {}", self.name, self.id, self.inci.fat)
    }
}

impl Findable for Addition {
    fn name(&self) -> &str {
        &self.name
    }
    fn searched(&self) -> String {
        format!("{} {} {} {}", self.name, self.id, self.inci, self.kind.words())
    }
}

impl Findable for Scent {
    fn name(&self) -> &str {
        &self.name
    }
    fn searched(&self) -> String {
        format!("{} {} {}", self.name, self.id, self.inci)
    }
}

/// Materials that hold every word of `text`; all for no text.
pub fn matches<'a, T: Findable>(materials: &'a [Arc<T>], text: &str) -> Vec<&'a Arc<T>> {
    let words: Vec<String> = text.split_whitespace().map(str::to_lowercase).collect();
    let holds = |material: &T| {
        let searched = material.searched().to_lowercase();
        words.iter().all(|w| searched.contains(w.as_str()))
    };
    let mut found: Vec<&Arc<T>> = materials.iter().filter(|m| holds(m)).collect();
    // A name that begins with the text comes first.
    let begins = |m: &T| words.first().is_some_and(|w| m.name().to_lowercase().starts_with(w.as_str()));
    if words.is_empty() {
        found.sort_by_key(|m| m.name().to_lowercase());
    } else {
        // Then the shortest: “palm” means palm oil before palm kernel oil.
        found.sort_by_key(|m| (!begins(m), m.name().chars().count(), m.name().to_lowercase()));
    }
    found
}

impl Picker {
    /// Draws the field with `hint` as its text and name; gives the material that was chosen.
    /// `note` says something of each, such as how it would change the bar.
    pub fn show<T: Findable>(
        &mut self,
        ui: &mut Ui,
        id: Id,
        hint: &str,
        materials: &[Arc<T>],
        mut note: impl FnMut(&Arc<T>) -> Option<String>,
    ) -> Option<Arc<T>> {
        let found = matches(materials, &self.text);
        let mut taken = None;
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
            self.chosen = self.chosen.min(found.len().saturating_sub(1));
            if enter && !self.text.trim().is_empty() {
                taken = found.get(self.chosen).map(|m| Arc::clone(m));
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
            ScrollArea::vertical().max_height(320.0).auto_shrink([false, true]).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                if found.is_empty() {
                    ui.label("Nothing of that name is in the library");
                }
                for (i, material) in found.iter().enumerate() {
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
            });
            clicked
        });
        taken = taken.or(shown.and_then(|s| s.inner));
        if taken.is_some() {
            // The list closes, so that what was added can be seen.
            response.surrender_focus();
            *self = Self::default();
        }
        taken
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use barwright_core::Library;

    #[test]
    fn a_fat_is_found_by_any_part_of_its_name_in_any_order() {
        let library = Library::embedded().expect("assets parse");
        let names = |text: &str| -> Vec<&str> { matches(library.fats(), text).iter().map(|f| f.id.as_str()).collect() };
        assert_eq!(names("OLIVE virg"), ["olive_virgin"]);
        assert_eq!(names("virgin oliv"), ["olive_virgin"]);
        assert_eq!(
            names("palm")[..2],
            ["palm", "palm_olein"],
            "names that begin with the text come first, short ones before long ones"
        );
        assert!(names("no such thing").is_empty(), "nothing matches");
        assert_eq!(names("").len(), library.fats().len());
    }
}
