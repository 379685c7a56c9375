//! Middle column: the soap in its mould with its cuts, and a bar of it, at one scale.

use super::colour;
use crate::theme::Tokens;
use crate::views::figures::Figures;
use crate::widgets::{name, section, small};
use barwright_core::design::mould::{BarShape, Body, Mould, Size, cuts};
use barwright_core::library::shade::Shade;
use barwright_core::number::short;
use barwright_core::quantities::{BarFresh, BarMm, BatterMl, MouldMl};
use barwright_core::quantity::Unit;
use barwright_core::units::{Fill, LengthUnit, Measures};
use eframe::egui::epaint::EllipseShape;
use eframe::egui::{
    Align2, Color32, CornerRadius, FontId, Painter, Pos2, Rect, RichText, Sense, Shape, Stroke, StrokeKind, Ui, Vec2,
    pos2, vec2,
};

/// How a millimetre away from the eye is drawn, in millimetres to the right and downwards.
const AWAY: Vec2 = vec2(0.42, -0.32);
/// Between the loaf and the bar, points.
const GAP: f32 = 26.0;
/// Room for the figures under the loaf, points.
const TEXT: f32 = 18.0;
/// The least distance of two figures under the loaf, points.
const APART: f32 = 38.0;
/// Between two bars, points.
const APART_BARS: f32 = 12.0;
/// So many bars in a row are to be seen if the batch has them.
const IN_A_ROW: u32 = 6;
/// The most cavities or bars, and the most cuts, that are drawn.
const SHOWN: u32 = 24;
const CUTS: usize = 200;
/// Side of the square that stands for a cavity, points.
const CAVITY: f32 = 34.0;

/// A measure for the painter.
#[expect(clippy::cast_possible_truncation, reason = "a picture needs no more digits")]
const fn points(value: f64) -> f32 {
    value as f32
}

/// Draws the picture, at the most `height` points high, and what it shows in figures; nothing without soap.
pub fn show(ui: &mut Ui, of: Figures<'_>, height: f32) {
    let Some(cure) = &of.about.evaluation.cure else { return };
    section(ui, "The soap as it is cut");
    let design = of.about.design;
    match &design.size {
        Size::Mould { mould: Mould::Cavities { count, ml }, fill } => {
            let tones = Tones::of(colour::drawn_in(of));
            cavities(ui, count.get(), &Unit::Millilitres.short_in(ml.get(), 1, of.about.measures), *fill, &tones);
        }
        Size::Mould { mould, fill } => {
            let body = mould.body(*fill, design.bars);
            drawn(ui, (body, cure.shape(), 1), of, height, &says(body, *fill, of));
        }
        Size::FatMass(_) | Size::Volume { .. } | Size::BarMass(_) | Size::BarAtSale(_) => {
            let bars = of.about.evaluation.masses.bars;
            let text = format!("{bars} bars, {} fresh each", of.text(&BarFresh));
            drawn(ui, (None, cure.shape(), bars), of, height, &text);
        }
    }
    caption(ui, of);
}

/// What the picture of a loaf shows, in words.
fn says(body: Option<Body>, fill: Fill, of: Figures<'_>) -> String {
    let Some(Body { sides, grid: (rows, columns), .. }) = body else { return String::new() };
    let mm = |side: f64| Unit::Millimetres.short_in(side, 1, of.about.measures);
    let [a, b, c] = sides.map(mm);
    format!(
        "The soap in its mould, filled to {} %: {a} × {b} × {c}, cut into {} bars",
        short(fill.get(), 1),
        u64::from(rows) * u64::from(columns)
    )
}

/// The figures of what is drawn, each to be asked about.
fn caption(ui: &mut Ui, of: Figures<'_>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(4.0, 1.0);
        let ink = |ui: &mut Ui, text: String| ui.label(RichText::new(text).small());
        if of.is_known(&BatterMl) {
            small(ui, "Batter");
            of.drawn(ui, BatterMl, ink).on_hover_text(
                "At 40 °C: fats by their published densities, lye by Laliberté & Cooper, additions by water, fat and solids",
            );
        }
        if of.is_known(&MouldMl) {
            small(ui, "· the mould holds");
            of.drawn(ui, MouldMl, ink);
        }
        small(ui, "· a fresh bar");
        of.drawn(ui, BarFresh, ink);
        measures(ui, of);
    });
}

/// The measures of a bar; of a disc the first is its diameter.
fn measures(ui: &mut Ui, of: Figures<'_>) {
    let is_disc = matches!(&of.about.design.size, Size::Mould { mould: Mould::Round { .. }, .. });
    let count = of.about.bar_measures();
    if count == 0 {
        let shape = match &of.about.design.size {
            Size::Mould { .. } => "the cavities’ shape is not known; squares stand for them",
            _ => "no mould says how it is cut, so it is drawn 25 mm (about 1 in) thick",
        };
        small(ui, format!("· {shape}"));
        return;
    }
    small(ui, "of");
    for i in 0..count {
        let across = if is_disc && i == 0 { "Ø " } else { "" };
        of.drawn_number(ui, BarMm(i), |ui, number| ui.label(RichText::new(format!("{across}{number}")).small()))
            .on_hover_text("Without what the cutting takes");
        if i + 1 < count {
            small(ui, "×");
        }
    }
    small(ui, Unit::Millimetres.sign_in(of.about.measures));
}

/// The tones of a soap and its edges.
struct Tones {
    front: Color32,
    top: Color32,
    side: Color32,
    edge: Stroke,
    cut: Stroke,
}

impl Tones {
    fn of(Shade { rgb: [red, green, blue] }: Shade) -> Self {
        let front = Color32::from_rgb(red, green, blue);
        let darker = |part: f32| front.lerp_to_gamma(Color32::BLACK, part);
        Self {
            front,
            top: front.lerp_to_gamma(Color32::WHITE, 0.4),
            side: darker(0.2),
            edge: Stroke::new(1.0, darker(0.5)),
            cut: Stroke::new(1.2, darker(0.6)),
        }
    }
}

/// Draws bodies at one scale, seen from above and from the right.
struct Easel<'a> {
    painter: &'a Painter,
    tones: &'a Tones,
    /// Points of a millimetre.
    scale: f32,
}

impl Easel<'_> {
    /// Where a body of so much stands when its lower left front corner is at `foot`.
    fn point(&self, foot: Pos2, [x, y, z]: [f32; 3]) -> Pos2 {
        foot + self.scale * (vec2(x, -z) + y * AWAY)
    }

    fn face(&self, foot: Pos2, corners: [[f32; 3]; 4], fill: Color32) {
        let corners = corners.map(|c| self.point(foot, c)).to_vec();
        self.painter.add(Shape::convex_polygon(corners, fill, self.tones.edge));
    }

    fn block(&self, foot: Pos2, [l, w, h]: [f32; 3]) {
        self.face(foot, [[0.0, 0.0, 0.0], [l, 0.0, 0.0], [l, 0.0, h], [0.0, 0.0, h]], self.tones.front);
        self.face(foot, [[0.0, 0.0, h], [l, 0.0, h], [l, w, h], [0.0, w, h]], self.tones.top);
        self.face(foot, [[l, 0.0, 0.0], [l, w, 0.0], [l, w, h], [l, 0.0, h]], self.tones.side);
    }

    fn dashed(&self, from: Pos2, to: Pos2) {
        self.painter.extend(Shape::dashed_line(&[from, to], self.tones.cut, 5.0, 3.0));
    }

    /// The cuts of a block.
    fn cut_block(&self, foot: Pos2, [l, w, h]: [f32; 3], (rows, columns): (u32, u32)) {
        for x in cuts(f64::from(l), rows).take(CUTS).map(points) {
            self.dashed(self.point(foot, [x, 0.0, 0.0]), self.point(foot, [x, 0.0, h]));
            self.dashed(self.point(foot, [x, 0.0, h]), self.point(foot, [x, w, h]));
        }
        for y in cuts(f64::from(w), columns).take(CUTS).map(points) {
            self.dashed(self.point(foot, [0.0, y, h]), self.point(foot, [l, y, h]));
            self.dashed(self.point(foot, [l, y, 0.0]), self.point(foot, [l, y, h]));
        }
    }

    fn ellipse(&self, center: Pos2, radius: Vec2, fill: Color32) {
        self.painter.add(EllipseShape { center, radius, fill, stroke: self.tones.edge, angle: 0.0 });
    }

    /// A cylinder that lies along its length, with its cuts.
    fn tube(&self, foot: Pos2, [l, d, _]: [f32; 3], rows: u32) {
        let radius = self.scale * vec2(AWAY.x * d, d) / 2.0;
        let center =
            |x: f32| self.point(foot, [x, d / 2.0, 0.0]) + vec2(0.0, -radius.y - self.scale * AWAY.y * d / 2.0);
        let (left, right) = (center(0.0), center(l));
        self.ellipse(left, radius, self.tones.front);
        let body = Rect::from_min_max(pos2(left.x, left.y - radius.y), pos2(right.x, right.y + radius.y));
        self.painter.rect_filled(body, CornerRadius::ZERO, self.tones.front);
        self.painter.hline(body.x_range(), body.top(), self.tones.edge);
        self.painter.hline(body.x_range(), body.bottom(), self.tones.edge);
        self.ellipse(right, radius, self.tones.side);
        for x in cuts(f64::from(l), rows).take(CUTS).map(points) {
            let at = center(x).x;
            self.dashed(pos2(at, body.top()), pos2(at, body.bottom()));
        }
    }

    /// A disc that lies flat.
    fn disc(&self, foot: Pos2, diameter: f32, thickness: f32) {
        let radius = self.scale * diameter / 2.0 * vec2(1.0, 0.5);
        let bottom = foot + vec2(radius.x, -radius.y);
        let top = bottom - vec2(0.0, self.scale * thickness);
        self.ellipse(bottom, radius, self.tones.front);
        let side = Rect::from_min_max(pos2(top.x - radius.x, top.y), pos2(top.x + radius.x, bottom.y));
        self.painter.rect_filled(side, CornerRadius::ZERO, self.tones.front);
        self.ellipse(top, radius, self.tones.top);
    }
}

/// How wide and high a body is drawn, mm.
fn extent([l, w, h]: [f32; 3]) -> Vec2 {
    vec2(l + AWAY.x * w, h - AWAY.y * w)
}

/// The body, if it is known, and as many of so many bars of it as there is room for.
fn drawn(ui: &mut Ui, (body, bar, bars): (Option<Body>, BarShape, u32), of: Figures<'_>, height: f32, says: &str) {
    let bar_sides = match bar {
        BarShape::Block(sides) => sides.map(points),
        BarShape::Disc { diameter, thickness } => [points(diameter), points(diameter), points(thickness)],
    };
    let sides = body.map(|b| b.sides.map(points));
    let (whole, one) = (sides.map_or(Vec2::ZERO, extent), extent(bar_sides));
    let width = ui.available_width();
    let gap = if body.is_some() { GAP } else { 0.0 };
    // Bars that no mould gives stand in a row.
    let row = if body.is_some() { 1.0 } else { bars.min(IN_A_ROW) as f32 };
    let scale = ((width - gap - row * APART_BARS) / (whole.x + row * one.x)).min((height - TEXT) / whole.y.max(one.y));
    let (rect, response) = ui.allocate_exact_size(vec2(width, whole.y.max(one.y) * scale + TEXT), Sense::hover());
    let tones = Tones::of(colour::drawn_in(of));
    let easel = Easel { painter: ui.painter(), tones: &tones, scale };
    let mut foot = rect.left_bottom() + vec2(2.0, -TEXT);
    if let (Some(body), Some(sides)) = (body, sides) {
        if body.is_round {
            easel.tube(foot, sides, body.grid.0);
        } else {
            easel.block(foot, sides);
            easel.cut_block(foot, sides, body.grid);
        }
        figures(ui, &easel, foot, body, of.about.measures);
        foot.x += whole.x * scale + gap;
    }
    let step = one.x * scale + APART_BARS;
    for _ in 0..bars.min(SHOWN) {
        if foot.x + one.x * scale > rect.right() {
            break;
        }
        match bar {
            BarShape::Block(_) => easel.block(foot, bar_sides),
            BarShape::Disc { diameter, thickness } => easel.disc(foot, points(diameter), points(thickness)),
        }
        foot.x += step;
    }
    name(ui, &response, says);
}

/// Where to cut, in the person's unit, from the left end.
fn figures(ui: &Ui, easel: &Easel<'_>, foot: Pos2, body: Body, measures: Measures) {
    let quiet = Tokens::of(ui).quiet;
    let at = |x: f64| foot.x + easel.scale * points(x);
    let [length, ..] = body.sides;
    let write = |x: f64, text: String| {
        ui.painter().text(pos2(at(x), foot.y + 3.0), Align2::CENTER_TOP, text, FontId::proportional(11.0), quiet)
    };
    // A hundredth of an inch is as fine as a tenth of a millimetre.
    let most = usize::from(measures.length == LengthUnit::Millimetre);
    let end = write(length, Unit::Millimetres.short_in(length, most, measures)).left();
    let mut before = foot.x - APART;
    for x in cuts(length, body.grid.0) {
        if at(x) - before >= APART && at(x) <= end - APART / 2.0 {
            write(x, Unit::Millimetres.short_number_in(x, most, measures));
            before = at(x);
        }
    }
}

/// Cavities have a volume and no known shape: squares stand for them.
fn cavities(ui: &mut Ui, count: u32, each: &str, fill: Fill, tones: &Tones) {
    let fill = points(fill.fraction());
    let tokens = Tokens::of(ui);
    let row = ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(5.0, 5.0);
        for _ in 0..count.min(SHOWN) {
            let (cavity, _) = ui.allocate_exact_size(vec2(CAVITY, CAVITY), Sense::hover());
            let batter = Rect::from_min_max(pos2(cavity.left(), cavity.bottom() - CAVITY * fill), cavity.max);
            ui.painter().rect_filled(batter, CornerRadius::same(4), tones.front);
            ui.painter().rect_stroke(cavity, CornerRadius::same(4), Stroke::new(1.5, tokens.edge), StrokeKind::Inside);
        }
        if count > SHOWN {
            ui.label(format!("+{}", count - SHOWN));
        }
    });
    name(ui, &row.response, &format!("{count} cavities of {each}"));
}
