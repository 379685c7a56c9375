//! Right column: the mould to scale, how far it is filled, and the bars that come out.

use crate::theme::Tokens;
use crate::views::figures::Figures;
use crate::widgets::{figure, heading, line, name, small};
use barwright_core::design::mould::{Mould, Outline, Size, cuts};
use barwright_core::number::short;
use barwright_core::quantities::About;
use barwright_core::quantities::{BarMm, BatterMl, MouldMl};
use barwright_core::quantity::Unit;
use barwright_core::units::Fill;
use barwright_core::units::Measures;
use eframe::egui::{
    Align2, Color32, CornerRadius, FontId, Painter, Pos2, Rect, RichText, Sense, Shape, Stroke, StrokeKind, Ui, pos2,
    vec2,
};

/// Between the two views, points.
const GAP: f32 = 22.0;
/// Height of the line of text above the sketch, points.
const TEXT: f32 = 15.0;
/// The most that a sketch is high, points.
const HIGH: f32 = 120.0;
/// The most cavities, and the most cuts, that are drawn.
const SHOWN: u32 = 24;
const CUTS: usize = 200;
/// Side of the square that stands for a cavity, points.
const CAVITY: f32 = 26.0;

/// A measure for the painter.
#[expect(clippy::cast_possible_truncation, reason = "a sketch needs no more digits")]
const fn points(value: f64) -> f32 {
    value as f32
}

/// Draws the panel; nothing for a batch without a volume.
pub fn show(ui: &mut Ui, of: Figures<'_>) {
    if !of.is_known(&BatterMl) {
        return;
    }
    heading(ui, "Mould and bars");
    of.quantity(ui, BatterMl).on_hover_text(
        "At 40 °C: fats by their published densities, lye by Laliberté & Cooper, additions by water, fat and solids",
    );
    if let Size::Mould { mould, fill } = &of.about.design.size {
        of.quantity(ui, MouldMl);
        measures(ui, of, matches!(mould, Mould::Round { .. }));
        match mould.outline(*fill) {
            Some(outline) => sketch(ui, (mould, &outline), *fill, of.about),
            None => cavities(ui, mould, *fill, of.about.measures),
        }
    }
}

/// The measures of a bar, each to be asked about; of a disc the first is its diameter.
fn measures(ui: &mut Ui, of: Figures<'_>, is_disc: bool) {
    let count = of.about.bar_measures();
    if count == 0 {
        figure(ui, "A fresh bar", "as the cavity");
        return;
    }
    let name = RichText::new("A fresh bar").color(Tokens::of(ui).quiet);
    line(ui, name, |ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.label(Unit::Millimetres.sign_in(of.about.measures));
        for i in (0..count).rev() {
            let across = if is_disc && i == 0 { "Ø " } else { "" };
            of.drawn_number(ui, BarMm(i), |ui, number| ui.label(format!("{across}{number}")))
                .on_hover_text("Without what the cutting takes");
            if i > 0 {
                ui.label("×");
            }
        }
    });
}

/// What the sketch is drawn with.
struct Pen<'a> {
    painter: &'a Painter,
    line: Stroke,
    thin: Stroke,
    batter: Color32,
    quiet: Color32,
}

impl Pen<'_> {
    fn box_with(&self, rect: Rect, filled: f32) {
        let batter = Rect::from_min_max(pos2(rect.left(), rect.bottom() - rect.height() * filled), rect.max);
        self.painter.rect_filled(batter, CornerRadius::ZERO, self.batter);
        self.painter.rect_stroke(rect, CornerRadius::ZERO, self.line, StrokeKind::Inside);
    }

    /// Dashed lines where `soap` is cut into rows from left to right and columns from top to bottom.
    fn cut(&self, soap: Rect, (rows, columns): (u32, u32)) {
        let dashed = |from: Pos2, to: Pos2| self.painter.extend(Shape::dashed_line(&[from, to], self.thin, 4.0, 3.0));
        for x in cuts(f64::from(soap.width()), rows).take(CUTS).map(|x| soap.left() + points(x)) {
            dashed(pos2(x, soap.top()), pos2(x, soap.bottom()));
        }
        for y in cuts(f64::from(soap.height()), columns).take(CUTS).map(|y| soap.top() + points(y)) {
            dashed(pos2(soap.left(), y), pos2(soap.right(), y));
        }
    }

    fn text(&self, at: Pos2, anchor: Align2, text: &str) {
        self.painter.text(at, anchor, text, FontId::proportional(11.0), self.quiet);
    }
}

/// The mould from above and from its end, at one scale.
fn sketch(ui: &mut Ui, (mould, outline): (&Mould, &Outline), fill: Fill, about: About<'_>) {
    let tokens = Tokens::of(ui);
    let width = ui.available_width();
    let [(top_w, top_h), (end_w, end_h)] = [outline.above, outline.end].map(|[w, h]| (points(w), points(h)));
    let [wide, high] = outline.measures().map(points);
    let scale = ((width - GAP - 2.0) / wide).min(HIGH / high);
    let height = high * scale + TEXT;
    let (id_rect, response) = ui.allocate_exact_size(vec2(width, height + 2.0), Sense::hover());
    let pen = Pen {
        painter: ui.painter(),
        line: Stroke::new(1.5, tokens.edge),
        thin: Stroke::new(1.0, tokens.quiet),
        batter: tokens.range,
        quiet: tokens.quiet,
    };
    let above = Rect::from_min_size(id_rect.min + vec2(1.0, TEXT), vec2(top_w, top_h) * scale);
    let end = Rect::from_min_size(pos2(above.right() + GAP, above.top()), vec2(end_w, end_h) * scale);
    let soap = Rect::from_min_size(above.min, vec2(above.width() * points(outline.along), above.height()));
    pen.painter.rect_filled(soap, CornerRadius::ZERO, pen.batter);
    pen.painter.rect_stroke(above, CornerRadius::ZERO, pen.line, StrokeKind::Inside);
    pen.cut(soap, mould.grid(about.design.bars));
    if outline.is_round {
        pen.painter.circle(end.center(), end.width() / 2.0, pen.batter, pen.line);
    } else {
        pen.box_with(end, points(outline.level));
    }
    let from_above = if outline.is_round { "from the side" } else { "from above" };
    pen.text(
        id_rect.left_top(),
        Align2::LEFT_TOP,
        &format!("{from_above}, {}", Unit::Millimetres.short_in(f64::from(top_w), 1, about.measures)),
    );
    if end.width() > 46.0 {
        pen.text(pos2(end.left(), id_rect.top()), Align2::LEFT_TOP, "end");
    }
    name(ui, &response, &format!("The mould to scale, filled to {} %", short(fill.get(), 1)));
}

/// Cavities have a volume and no known shape: cubes of that volume stand for them.
fn cavities(ui: &mut Ui, mould: &Mould, fill: Fill, measures: Measures) {
    let Mould::Cavities { count, ml } = mould else { return };
    let fill = points(fill.fraction());
    let tokens = Tokens::of(ui);
    let count = count.get();
    let row = ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(4.0, 4.0);
        for _ in 0..count.min(SHOWN) {
            let (cavity, _) = ui.allocate_exact_size(vec2(CAVITY, CAVITY), Sense::hover());
            let batter = Rect::from_min_max(pos2(cavity.left(), cavity.bottom() - CAVITY * fill), cavity.max);
            ui.painter().rect_filled(batter, CornerRadius::same(3), tokens.range);
            ui.painter().rect_stroke(cavity, CornerRadius::same(3), Stroke::new(1.5, tokens.edge), StrokeKind::Inside);
        }
        if count > SHOWN {
            ui.label(format!("+{}", count - SHOWN));
        }
    });
    name(ui, &row.response, &format!("{count} cavities of {}", Unit::Millilitres.short_in(ml.get(), 1, measures)));
    small(ui, "The cavities’ shape is not known; squares stand for them.");
}
