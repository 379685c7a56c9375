//! A field that finds a fat by a part of its name.

use super::name;
use barwright_core::estimates::{Estimate, Scores};
use barwright_core::fats::Fat;
use barwright_core::number::signed;
use eframe::egui::{self, Id, Key, Modifiers, Popup, PopupCloseBehavior, RichText, ScrollArea, TextEdit, Ui};
use std::sync::Arc;

/// What was typed so far, and which match is chosen.
#[derive(Debug, Clone, Default)]
pub struct FatPicker {
    text: String,
    chosen: usize,
}

/// Fats whose name or id holds every word of `text`; all for no text.
pub fn matches<'a>(fats: &'a [Arc<Fat>], text: &str) -> Vec<&'a Arc<Fat>> {
    let words: Vec<String> = text.split_whitespace().map(str::to_lowercase).collect();
    let holds = |fat: &Fat| {
        let name = format!("{} {} {}", fat.name, fat.id, fat.inci.fat).to_lowercase();
        words.iter().all(|w| name.contains(w.as_str()))
    };
    let mut found: Vec<&Arc<Fat>> = fats.iter().filter(|f| holds(f)).collect();
    // A name that begins with the text comes first.
    let begins = |f: &Fat| words.first().is_some_and(|w| f.name.to_lowercase().starts_with(w.as_str()));
    // Then the shortest: “palm” means palm oil before palm kernel oil.
    found.sort_by_key(|f| (!begins(f), f.name.chars().count(), f.name.to_lowercase()));
    found
}

/// The three largest changes in words: "+3 hardness, −2 keeping".
fn effect_words(effect: &Scores) -> String {
    let mut moves: Vec<(Estimate, f64)> = Estimate::ALL.into_iter().map(|e| (e, effect.get(e))).collect();
    // Keeping runs over a few units where the others run to 100.
    let weight = |(e, v): &(Estimate, f64)| v.abs() * if *e == Estimate::Keeping { 20.0 } else { 1.0 };
    moves.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
    let words: Vec<String> = moves
        .iter()
        .filter(|m| weight(m) >= 0.05)
        .take(3)
        .map(|(e, v)| {
            format!("{} {}", e.name().to_lowercase(), signed(*v, if *e == Estimate::Keeping { 2 } else { 1 }))
        })
        .collect();
    if words.is_empty() { "with 5 %: next to no change".into() } else { format!("with 5 %: {}", words.join(", ")) }
}

impl FatPicker {
    /// Draws the field with `hint` as its text and name; gives the fat that was chosen.
    /// `effect` says how each fat would change the bar, if that can be said.
    pub fn show(
        &mut self,
        ui: &mut Ui,
        id: Id,
        hint: &str,
        fats: &[Arc<Fat>],
        mut effect: impl FnMut(&Arc<Fat>) -> Option<Scores>,
    ) -> Option<Arc<Fat>> {
        let found = matches(fats, &self.text);
        let mut taken = None;
        if ui.memory(|m| m.has_focus(id)) {
            let (up, down, enter) = ui.input_mut(|i| {
                (
                    i.consume_key(Modifiers::NONE, Key::ArrowUp),
                    i.consume_key(Modifiers::NONE, Key::ArrowDown),
                    i.consume_key(Modifiers::NONE, Key::Enter),
                )
            });
            if up {
                self.chosen = self.chosen.saturating_sub(1);
            }
            if down {
                self.chosen += 1;
            }
            self.chosen = self.chosen.min(found.len().saturating_sub(1));
            if enter && !self.text.trim().is_empty() {
                taken = found.get(self.chosen).map(|f| Arc::clone(f));
            }
        }
        let edit = TextEdit::singleline(&mut self.text)
            .id(id)
            .hint_text(hint)
            .desired_width(f32::INFINITY)
            .margin(egui::Margin::symmetric(8, 5));
        let response = ui.add(edit);
        name(ui, &response, hint);
        if response.changed() {
            self.chosen = 0;
        }
        let wants = response.has_focus() || Popup::is_id_open(ui.ctx(), id.with("list"));
        let popup = Popup::from_response(&response)
            .id(id.with("list"))
            .open(wants && (response.has_focus() || ui.ctx().memory(|m| m.focused().is_none())))
            .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
            .width(response.rect.width().max(340.0));
        let chosen = self.chosen;
        let shown = popup.show(|ui| {
            let mut clicked = None;
            ScrollArea::vertical().max_height(320.0).auto_shrink([false, true]).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                if found.is_empty() {
                    ui.label("No fat of that name is in the library");
                }
                for (i, fat) in found.iter().enumerate() {
                    let row = ui.selectable_label(i == chosen, RichText::new(&fat.name));
                    if i == chosen && response.has_focus() {
                        row.scroll_to_me(None);
                    }
                    // What is out of sight costs nothing.
                    if ui.is_rect_visible(row.rect) {
                        let words = if fat.profile().is_empty() {
                            Some("its fatty acids are not tabled".to_owned())
                        } else {
                            effect(fat).map(|e| effect_words(&e))
                        };
                        if let Some(words) = words {
                            ui.horizontal(|ui| {
                                ui.add_space(ui.spacing().button_padding.x + 8.0);
                                super::small(ui, words);
                            });
                        }
                    }
                    if row.clicked() {
                        clicked = Some(Arc::clone(fat));
                    }
                }
            });
            clicked
        });
        taken = taken.or(shown.and_then(|s| s.inner));
        if taken.is_some() {
            // The list closes, so that what was added can be seen.
            response.surrender_focus();
            self.text.clear();
            self.chosen = 0;
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
