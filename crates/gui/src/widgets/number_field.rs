//! A field for a typed number: comma or point, unit allowed, nothing taken before it is right.

use super::{arrows, name};
use crate::keyboard;
use crate::theme::Tokens;
use eframe::egui::{self, Id, Key, Response, RichText, TextEdit, Ui, text::CCursor, text::CCursorRange};
use std::collections::HashMap;

/// What the person did with the field in this frame.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry<T> {
    /// Nothing, or still typing.
    None,
    /// A value was typed and taken.
    Typed(T),
    /// The up or down key asks for this many steps, tenths of them with Shift.
    Steps(f64),
}

/// Room at each end of the text, points.
const SIDE: i8 = 5;

/// A number field.
#[derive(Debug)]
pub struct NumberField<'a> {
    /// Distinguishes it from its neighbours.
    pub id: Id,
    /// What a screen reader calls it.
    pub name: &'a str,
    /// The text shown while nobody types.
    pub shown: &'a str,
    /// Width in points.
    pub width: f32,
    /// What an empty one shows, as its unit.
    pub hint: &'a str,
}

/// What is being typed, and why the last attempt was not taken.
#[derive(Debug, Clone, Default)]
struct Draft {
    text: String,
    refused: Option<String>,
    /// What the field showed when the typing began.
    over: String,
}

impl NumberField<'_> {
    /// Draws the field. `read` turns the text into a value or says why not; the reason is shown
    /// by [`Self::complaint`], and the text stays for correction.
    pub fn show<T>(&self, ui: &mut Ui, read: impl FnOnce(&str) -> Result<T, String>) -> (Response, Entry<T>) {
        let mut draft: Option<Draft> = ui.data(|d| d.get_temp(self.id));
        // What was refused before the value changed in another way must not hide the value.
        draft = draft.filter(|d| d.refused.is_none() || d.over == self.shown);
        let mut text = draft.as_ref().map_or_else(|| self.shown.to_owned(), |d| d.text.clone());
        let before = text.clone();
        let refused = draft.as_ref().is_some_and(|d| d.refused.is_some());
        // What is longer than the field goes on from its beginning, so that its end stays in sight.
        let font = egui::TextStyle::Body.resolve(ui.style());
        let length = ui.painter().layout_no_wrap(text.clone(), font, egui::Color32::WHITE).size().x;
        let is_long = draft.is_some() && length > self.width - 2.0 * f32::from(SIDE);
        let mut edit = TextEdit::singleline(&mut text)
            .id(self.id)
            .desired_width(self.width)
            .hint_text(self.hint)
            .margin(egui::Margin::symmetric(SIDE, 3))
            .align(if is_long { egui::Align2::LEFT_CENTER } else { egui::Align2::RIGHT_CENTER });
        if refused {
            edit = edit.text_color(Tokens::of(ui).stop);
        }
        let steps = if ui.memory(|m| m.has_focus(self.id)) {
            ui.input_mut(|i| {
                let steps = arrows(i, Key::ArrowUp, Key::ArrowDown);
                i.consume_key(egui::Modifiers::NONE, Key::ArrowUp);
                i.consume_key(egui::Modifiers::NONE, Key::ArrowDown);
                steps
            })
        } else {
            0.0
        };
        let output = edit.show(ui);
        let response = output.response.response;
        name(ui, &response, self.name);
        keyboard::field(ui, self.id);
        // A field that was given the focus before it was first drawn never "gains" it, so the
        // field keeps its own mark.
        let mark = self.id.with("had focus");
        let focused = response.has_focus();
        let had_focus = ui.data_mut(|d| std::mem::replace(d.get_temp_mut_or_default::<bool>(mark), focused));
        if focused && !had_focus {
            // Typing replaces what is there.
            let mut state = output.state;
            let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
            state.cursor.set_char_range(Some(all));
            state.store(ui.ctx(), self.id);
        }
        let mut entry = Entry::None;
        if response.changed() && text != before {
            draft = Some(Draft { text, refused: None, over: self.shown.to_owned() });
        }
        if steps != 0.0 {
            draft = None;
            entry = Entry::Steps(steps);
        } else if response.lost_focus() {
            let (gave_up, entered) = ui.input(|i| (i.key_pressed(Key::Escape), i.key_pressed(Key::Enter)));
            draft = match draft {
                Some(d) if !gave_up => match read(&d.text) {
                    Ok(value) => {
                        entry = Entry::Typed(value);
                        None
                    }
                    Err(why) => {
                        if entered {
                            // The person goes on here: by typing anew, or by Escape.
                            response.request_focus();
                            ui.data_mut(|data| data.insert_temp(mark, false));
                        }
                        Some(Draft { refused: Some(why), ..d })
                    }
                },
                _ => None,
            };
            if entered && draft.is_none() {
                keyboard::entered(ui, self.id);
            }
        } else if !focused && draft.as_ref().is_some_and(|d| d.refused.is_none()) {
            // The field was out of sight when the focus left: what was unfinished is no value.
            draft = None;
            ui.ctx().request_repaint();
        }
        if focused && draft.is_none() {
            keyboard::settled(ui, self.id);
        }
        ui.data_mut(|d| {
            let untaken = d.get_temp_mut_or_default::<Untaken>(untaken_id());
            match &draft {
                Some(draft) => {
                    untaken.0.insert(self.id, (self.name.to_owned(), draft.text.clone()));
                }
                None => {
                    untaken.0.remove(&self.id);
                }
            }
            match draft {
                Some(draft) => {
                    d.insert_temp(self.id, draft);
                }
                None => {
                    d.remove_temp::<Draft>(self.id);
                }
            }
        });
        (response, entry)
    }

    /// What is typed into the field named `id` and not taken yet.
    pub fn typed(ui: &Ui, id: Id) -> Option<String> {
        ui.data(|d| d.get_temp::<Draft>(id)).map(|draft| draft.text)
    }

    /// Shows why the text in the field named `id` was not taken, if it was not.
    pub fn complaint(ui: &mut Ui, id: Id) {
        if let Some(why) = ui.data(|d| d.get_temp::<Draft>(id)).and_then(|d| d.refused) {
            complain(ui, &why);
        }
    }
}

/// What is typed and not taken, in any view: the name of the field and its text.
#[derive(Debug, Clone, Default)]
struct Untaken(HashMap<Id, (String, String)>);

fn untaken_id() -> Id {
    Id::unique("typed and not taken")
}

/// Says beside what follows from typed values that some value is typed and not taken, so that what is shown is from
/// before it.
pub fn before_change(ui: &mut Ui) {
    let untaken = ui.data(|d| d.get_temp::<Untaken>(untaken_id())).unwrap_or_default();
    if untaken.0.is_empty() {
        return;
    }
    let text = RichText::new("before your change").small().color(Tokens::of(ui).care);
    let mut lines: Vec<String> = untaken.0.values().map(|(name, text)| format!("{name}: “{text}”")).collect();
    lines.sort();
    ui.label(text).on_hover_text(format!("Typed and not taken:\n{}", lines.join("\n")));
}

/// Forgets what is typed and not taken: another design is shown.
pub fn forget(ctx: &egui::Context) {
    ctx.data_mut(|d| d.remove_temp::<Untaken>(untaken_id()));
}

/// A line that says why something was not taken.
pub fn complain(ui: &mut Ui, why: &str) {
    let stop = Tokens::of(ui).stop;
    ui.add(egui::Label::new(RichText::new(why).small().color(stop)).wrap());
}
