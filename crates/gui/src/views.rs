//! The views of the window.

pub mod compare;
pub mod design;
pub mod find;
pub mod make;
pub mod recipe;
pub mod why;

use crate::open::OpenDesign;
use crate::widgets::number_field::{Entry, NumberField};
use barwright_core::Library;
use barwright_core::design::edit::Edit;
use barwright_core::design::history::Gesture;
use eframe::egui::{Id, Response, Ui};

/// The changes a view asks for in one frame.
#[derive(Debug, Default)]
pub struct Changes {
    /// Edits in order, each perhaps a part of a gesture.
    pub edits: Vec<(Edit, Option<Gesture>)>,
    /// Whether a drag ended in this frame.
    pub gesture_ended: bool,
}

impl Changes {
    /// Asks for `edit` as a step of its own.
    pub fn edit(&mut self, edit: Edit) {
        self.edits.push((edit, None));
    }

    /// Asks for `edit` as a part of what is going on at the control named `id`.
    pub fn gesture(&mut self, edit: Edit, id: Id) {
        self.edits.push((edit, Some(Gesture(id.value()))));
    }

    /// Draws `field` and asks for what the person does in it: `edit` of a typed value that `read`
    /// takes, or of the value that `step` gives for the arrow keys (+1 or −1).
    pub fn field<T>(
        &mut self,
        ui: &mut Ui,
        field: &NumberField<'_>,
        read: impl FnOnce(&str) -> Result<T, String>,
        step: impl FnOnce(f64) -> Option<T>,
        edit: impl FnOnce(T) -> Edit,
    ) -> Response {
        let (response, entry) = field.show(ui, read);
        match entry {
            Entry::Typed(value) => self.edit(edit(value)),
            Entry::Steps(steps) => {
                if let Some(value) = step(f64::from(steps)) {
                    self.gesture(edit(value), response.id);
                }
            }
            Entry::None => {}
        }
        self.watch(&response);
        response
    }

    /// Notes when the hand leaves the control of `response`.
    pub fn watch(&mut self, response: &Response) {
        let by_another_way = response.changed() && !response.dragged() && !response.has_focus();
        self.gesture_ended |= response.drag_stopped() || response.lost_focus() || by_another_way;
    }
}

/// Carries `changes` out on `open`.
fn apply(open: &mut OpenDesign, changes: Changes, library: &Library) {
    for (edit, gesture) in changes.edits {
        open.edit(edit, gesture, library);
    }
    if changes.gesture_ended {
        open.history.end_gesture();
    }
}
