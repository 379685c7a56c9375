//! What makes a dialog as tall as what is in it, and no taller than the window.

use eframe::egui::{Align, Id, Layout, ScrollArea, Ui, vec2};

/// What is known of the dialog from the frame before.
#[derive(Debug, Clone, Copy, Default)]
struct Fit {
    /// The most height that there is.
    most: f32,
    /// What all but the lists took.
    rest: f32,
    /// What the lists of this frame took so far.
    lists: f32,
}

/// A list is never lower than this, points.
const LEAST: f32 = 64.0;

fn id() -> Id {
    Id::unique("fit of a dialog")
}

/// Draws `content`, scrolled where it is taller than `most` points. What it draws in [`listed`] scrolls first, so that
/// the buttons stay in sight.
pub fn fitted<R>(ui: &mut Ui, most: f32, content: impl FnOnce(&mut Ui) -> R) -> R {
    ui.data_mut(|d| {
        let fit = d.get_temp_mut_or_default::<Fit>(id());
        (fit.most, fit.lists) = (most, 0.0);
    });
    // A dialog would else stay as low as it first was, and scroll.
    let area = ScrollArea::vertical().id_salt("fitted").max_height(most).min_scrolled_height(most);
    let shown = area.show(ui, content);
    let rest = ui.data_mut(|d| {
        let fit = d.get_temp_mut_or_default::<Fit>(id());
        let before = std::mem::replace(&mut fit.rest, shown.content_size.y - fit.lists);
        (fit.rest - before).abs() > 0.5 && fit.lists > 0.0
    });
    if rest {
        ui.ctx().request_repaint();
    }
    shown.inner
}

/// Draws a list inside [`fitted`]: as tall as its lines, scrolled where they would push the rest out of the window.
pub fn listed<R>(ui: &mut Ui, content: impl FnOnce(&mut Ui) -> R) -> R {
    let fit = ui.data(|d| d.get_temp::<Fit>(id())).unwrap_or_default();
    let most = (fit.most - fit.rest - fit.lists).max(LEAST);
    let area = ScrollArea::vertical().id_salt("listed").max_height(most).min_scrolled_height(most);
    let shown = area.show(ui, |ui| {
        ui.set_min_width(ui.available_width());
        content(ui)
    });
    let drawn = shown.content_size.y.min(shown.inner_rect.height());
    ui.data_mut(|d| d.get_temp_mut_or_default::<Fit>(id()).lists += drawn);
    shown.inner
}

/// Draws `buttons` from the right end on, on one line below the rest.
pub fn answers<R>(ui: &mut Ui, buttons: impl FnOnce(&mut Ui) -> R) -> R {
    ui.add_space(8.0);
    let line = vec2(ui.available_width(), ui.spacing().interact_size.y);
    ui.allocate_ui_with_layout(line, Layout::right_to_left(Align::Center), buttons).inner
}
