//! The names under the bars of a chart.

use crate::theme::Tokens;
use eframe::egui::{FontId, Rect, Sense, Ui, pos2, vec2};
use egui_plot::{PlotPoint, PlotTransform};

/// Height of a row of names, points.
const ROW: f32 = 13.0;

/// Where the bar at `x` of a chart stands on the screen.
pub fn x_of(transform: &PlotTransform, x: f64) -> f32 {
    transform.position_from_point(&PlotPoint::new(x, 0.0)).x
}

/// Draws `names` under the bars that stand at 0, 1, 2 and so on, in two rows in turn where they do not fit side by
/// side, and gives the rest of what it took, `below` points high.
pub fn show(ui: &mut Ui, transform: &PlotTransform, names: &[&str], below: f32) -> Rect {
    let ink = Tokens::of(ui).ink;
    let bar = x_of(transform, 1.0) - x_of(transform, 0.0);
    let widest = |size: f32| {
        let lay = |name: &&str| ui.painter().layout_no_wrap((*name).to_owned(), FontId::proportional(size), ink);
        names.iter().map(lay).collect::<Vec<_>>()
    };
    // A long name among many bars is written smaller before it runs into its neighbours.
    let fits = |names: &[std::sync::Arc<eframe::egui::Galley>], rows: f32| {
        names.iter().all(|n| n.size().x <= bar * rows - 2.0)
    };
    let (rows, galleys) = [(1.0, 10.5), (2.0, 10.5), (2.0, 9.0), (3.0, 9.0)]
        .into_iter()
        .map(|(rows, size)| (rows, widest(size)))
        .find(|(rows, galleys)| fits(galleys, *rows))
        .unwrap_or_else(|| (3.0, widest(8.0)));
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW * rows + below), Sense::hover());
    let mut row = 0.0;
    for (x, name) in galleys.into_iter().enumerate() {
        let middle = x_of(transform, x as f64);
        // The first and the last may be wider than what is beside their bars.
        let most = (rect.right() - name.size().x).max(rect.left());
        let left = (middle - name.size().x / 2.0).clamp(rect.left(), most);
        ui.painter().galley(pos2(left, rect.top() + row * ROW), name, ink);
        row = (row + 1.0) % rows;
    }
    rect.with_min_y(rect.top() + ROW * rows)
}
