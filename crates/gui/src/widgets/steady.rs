//! What keeps everything in its place while the hand holds a slider: values change, nothing moves.

use eframe::egui::{Id, Rect, Ui, UiBuilder, vec2};

/// Whether the pointer holds a control.
fn is_held(ui: &Ui) -> bool {
    ui.ctx().dragged_id().is_some()
}

/// What `now` was when the control was taken hold of that is held; `now` while none is. For the bounds of a chart.
pub fn held<T: Clone + Send + Sync + 'static>(ui: &Ui, id: Id, now: T) -> T {
    let is_held = is_held(ui);
    ui.data_mut(|d| {
        if is_held {
            return d.get_temp_mut_or(id, now).clone();
        }
        d.insert_temp(id, now.clone());
        now
    })
}

/// Draws `content` in a part that is as high, while a control is held, as when it was taken hold of: what comes or
/// grows at its end shows when the hand lets go.
pub fn steady<R>(ui: &mut Ui, what: &str, content: impl FnOnce(&mut Ui) -> R) -> R {
    /// What a control paints beyond its edges, points.
    const AROUND: f32 = 16.0;
    let id = Id::unique(("steady", what));
    // The same in both cases, or the control that is held would be another.
    let mut part = ui.new_child(UiBuilder::new().id_salt(id).max_rect(ui.available_rect_before_wrap()));
    let at = part.max_rect().min;
    let kept = is_held(ui).then(|| ui.data(|d| d.get_temp::<f32>(id))).flatten();
    if let Some(height) = kept {
        let seen = Rect::from_min_size(at, vec2(part.max_rect().width(), height));
        part.shrink_clip_rect(seen.expand2(vec2(AROUND, 0.0)));
    }
    let drawn = content(&mut part);
    let height = kept.unwrap_or_else(|| part.min_rect().height());
    if kept.is_none() {
        ui.data_mut(|d| d.insert_temp(id, height));
    }
    ui.advance_cursor_after_rect(Rect::from_min_size(at, vec2(part.min_rect().width(), height)));
    drawn
}
