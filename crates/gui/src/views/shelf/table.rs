//! Rows of the shelf’s lists: two lines of text a cell, chosen by pointer or keys.

use crate::theme::{self, Tokens};
use crate::widgets::cut;
use eframe::egui::{
    Align2, Color32, CornerRadius, EventFilter, FontId, Id, Key, Modifiers, Pos2, Rect, Response, Role, Sense, Stroke,
    StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

/// At which end of a cell its text stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum At {
    Left,
    Right,
}

/// A cell of a row.
#[derive(Debug)]
pub(super) struct Cell<'a> {
    /// Its part of the width.
    pub part: f32,
    pub at: At,
    pub upper: &'a str,
    /// A second line in the small face; the first stands in the middle without one.
    pub lower: &'a str,
    pub colour: Color32,
    pub under: Color32,
}

/// A row as it was drawn.
pub(super) struct Drawn {
    pub response: Response,
    pub cells: Vec<Rect>,
}

/// Draws a row of `cells` that says `says`; it is chosen or not, and Tab stops at it or not.
pub(super) fn row(
    ui: &mut Ui,
    id: Id,
    height: f32,
    cells: &[Cell<'_>],
    says: &str,
    (is_chosen, is_stop): (bool, bool),
) -> Drawn {
    let (_, rect) = ui.allocate_space(vec2(ui.available_width(), height));
    let sense = if is_stop { Sense::click() } else { Sense::CLICK };
    let response = ui.interact(rect, id, sense);
    response.widget_info(|| WidgetInfo::selected(Role::Button, ui.is_enabled(), is_chosen, says));
    let tokens = Tokens::of(ui);
    if is_chosen || response.hovered() {
        let edge = if is_chosen { Stroke::new(1.5, tokens.accent) } else { Stroke::NONE };
        let back = rect.shrink2(vec2(8.0, 1.0));
        ui.painter().rect(back, CornerRadius::same(5), tokens.panel, edge, StrokeKind::Inside);
    }
    let inner = rect.shrink2(vec2(16.0, 0.0));
    let mut left = inner.left();
    let mut places = Vec::with_capacity(cells.len());
    for cell in cells {
        let width = inner.width() * cell.part;
        let place = Rect::from_min_size(pos2(left, rect.top()), vec2((width - 10.0).max(10.0), height));
        left += width;
        let place = if cell.at == At::Right { place.translate(vec2(10.0, 0.0)) } else { place };
        let two = !cell.lower.is_empty();
        let y = if two { rect.top() + 13.0 } else { rect.center().y - 4.0 };
        let font = if cell.at == At::Left { theme::strong(13.0) } else { FontId::proportional(13.0) };
        write(ui, place, cell.at, y, cell.upper, &font, cell.colour);
        if two {
            write(ui, place, cell.at, rect.top() + 29.0, cell.lower, &FontId::proportional(11.0), cell.under);
        }
        places.push(place);
    }
    Drawn { response, cells: places }
}

/// Writes as much of `text` as there is room for.
fn write(ui: &Ui, cell: Rect, at: At, y: f32, text: &str, font: &FontId, colour: Color32) {
    let lay = |text: &str| ui.painter().layout_no_wrap(text.to_owned(), font.clone(), colour);
    let short = cut::in_the_middle(text, |part| lay(part).size().x <= cell.width());
    let (align, x) = match at {
        At::Left => (Align2::LEFT_CENTER, cell.left()),
        At::Right => (Align2::RIGHT_CENTER, cell.right()),
    };
    let galley = lay(&short);
    let place = align.anchor_size(Pos2::new(x, y), galley.size());
    ui.painter().galley(place.min, galley, colour);
}

/// How far the keys go on from the row of `response` if it has the focus.
pub(super) fn arrows(ui: &Ui, response: &Response) -> Option<isize> {
    if !response.has_focus() {
        return None;
    }
    let filter = EventFilter { vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    let all = isize::MAX / 4;
    let keys = [
        (Key::ArrowDown, 1),
        (Key::ArrowUp, -1),
        (Key::PageDown, 10),
        (Key::PageUp, -10),
        (Key::Home, -all),
        (Key::End, all),
    ];
    ui.input_mut(|i| keys.into_iter().find(|(key, _)| i.consume_key(Modifiers::NONE, *key)).map(|(_, by)| by))
}
