//! The Compare view: two open designs side by side, with what differs.

use crate::open::{Key, OpenDesign};
use crate::theme::{self, FatColours, Tokens};
use crate::views::design::bar::{GROUPS, capital};
use crate::widgets::lane::{axis, mark};
use crate::widgets::{heading, name, small, still_plot};
use barwright_core::compare::{FatRow, estimate_difference, fats};
use barwright_core::estimates::Estimate;
use barwright_core::evaluate::EstimateResult;
use barwright_core::number::{fixed, short, signed};
use barwright_core::units::MassUnit;
use barwright_core::{Design, Evaluation, Library};
use eframe::egui::{
    self, Align, Color32, ComboBox, CornerRadius, Frame, Layout, Margin, Rect, RichText, ScrollArea, Sense, Ui, vec2,
};
use egui_plot::{Bar, BarChart, Legend};
use std::sync::Arc;

/// What the person asks for in the Compare view.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Request {
    /// Another design in the first column.
    First(Key),
    /// Another design in the second column.
    Second(Key),
    /// The columns change places.
    Swap,
    /// A copy of the first design, to vary.
    Duplicate,
    /// One of the designs that come with the program.
    Example(usize),
}

/// One side.
struct Side {
    key: Key,
    title: String,
    design: Arc<Design>,
    evaluation: Arc<Evaluation>,
}

impl Side {
    fn of(open: &mut OpenDesign, library: &Library) -> Self {
        let (title, design) = (open.title(), Arc::clone(open.design()));
        Self { key: open.key, title, design, evaluation: open.evaluation(library) }
    }
}

/// Widths of the columns: names, first, second, difference, lanes.
struct Columns([f32; 5]);

impl Columns {
    fn of(width: f32) -> Self {
        let [names, difference] = [170.0, 90.0];
        let free = (width - names - difference - 40.0).max(300.0);
        let lanes = (free * 0.36).min(520.0);
        let side = ((free - lanes) / 2.0).min(340.0);
        Self([names, side, side, difference, lanes])
    }
}

/// Height of a row.
const ROW: f32 = 22.0;

fn cell<R>(ui: &mut Ui, width: f32, content: impl FnOnce(&mut Ui) -> R) -> R {
    ui.allocate_ui_with_layout(vec2(width, ROW), Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_width(width);
        ui.set_max_width(width);
        content(ui)
    })
    .inner
}

/// Draws the view of `first` and `second` among all open `designs`.
pub fn show(
    ui: &mut Ui,
    designs: &mut [OpenDesign],
    first: Key,
    second: Option<Key>,
    library: &Library,
    colours: &mut FatColours,
    unit: MassUnit,
) -> Option<Request> {
    let mut request = None;
    let titles: Vec<(Key, String)> = designs.iter().map(|d| (d.key, d.title())).collect();
    let mut side = |key| designs.iter_mut().find(|d| d.key == key).map(|d| Side::of(d, library));
    let a = side(first)?;
    let b = second.and_then(&mut side);
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        Frame::new().inner_margin(Margin { left: 20, right: 20, top: 10, bottom: 20 }).show(ui, |ui| {
            ui.set_min_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 2.0;
            match b {
                Some(b) => both(ui, &a, &b, &titles, library, colours, unit, &mut request),
                None => alone(ui, &a, &mut request),
            }
        });
    });
    request
}

/// What is shown while only one design is open.
fn alone(ui: &mut Ui, a: &Side, request: &mut Option<Request>) {
    ui.add_space(40.0);
    ui.vertical_centered(|ui| {
        ui.heading("Open a second design to compare");
        ui.label(format!("“{}” is the only one open.", a.title));
        ui.add_space(8.0);
        if ui.button(format!("Duplicate “{}” and vary the copy", a.title)).clicked() {
            *request = Some(Request::Duplicate);
        }
        for (i, example) in crate::examples::ALL.iter().enumerate() {
            if ui.button(format!("Open the example “{}”", example.title)).clicked() {
                *request = Some(Request::Example(i));
            }
        }
        ui.add_space(8.0);
        small(ui, "Or open a file: File, Open…");
    });
}

#[expect(clippy::too_many_arguments, reason = "one call, of the parts the view is made of")]
fn both(
    ui: &mut Ui,
    a: &Side,
    b: &Side,
    titles: &[(Key, String)],
    library: &Library,
    colours: &mut FatColours,
    unit: MassUnit,
    request: &mut Option<Request>,
) {
    let columns = Columns::of(ui.available_width());
    header(ui, &columns, a, b, titles, request);
    fat_rows(ui, &columns, &fats(&a.design, &b.design), colours);
    ui.separator();
    batch_rows(ui, &columns, a, b, unit);
    ui.separator();
    estimate_rows(ui, &columns, a, b, library);
    acids(ui, a, b, library);
}

fn header(ui: &mut Ui, columns: &Columns, a: &Side, b: &Side, titles: &[(Key, String)], request: &mut Option<Request>) {
    let chooser = |ui: &mut Ui,
                   mark: &str,
                   what: &str,
                   side: &Side,
                   other: Key,
                   make: fn(Key) -> Request,
                   request: &mut Option<Request>| {
        ui.label(RichText::new(mark).font(theme::strong(16.0)).color(Tokens::of(ui).accent));
        let text = RichText::new(&side.title).font(theme::strong(14.0));
        let combo = ComboBox::from_id_salt(what).selected_text(text).width(ui.available_width() - 16.0).truncate();
        let response = combo.show_ui(ui, |ui| {
            for (key, title) in titles.iter().filter(|(k, _)| *k != other) {
                if ui.selectable_label(*key == side.key, title).clicked() {
                    *request = Some(make(*key));
                }
            }
        });
        name(ui, &response.response, what);
    };
    ui.horizontal(|ui| {
        cell(ui, columns.0[0], |ui| {
            if ui.button("Swap A and B").clicked() {
                *request = Some(Request::Swap);
            }
        });
        cell(ui, columns.0[1], |ui| chooser(ui, "◆ A", "First design", a, b.key, Request::First, request));
        cell(ui, columns.0[2], |ui| chooser(ui, "◇ B", "Second design", b, a.key, Request::Second, request));
        cell(ui, columns.0[3], |ui| ui.label(RichText::new("B − A").font(theme::strong(13.0))));
    });
    ui.add_space(4.0);
}

fn difference(ui: &mut Ui, width: f32, text: &str) {
    let tokens = Tokens::of(ui);
    let nothing = !text.bytes().any(|b| (b'1'..=b'9').contains(&b)) && text.bytes().any(|b| b == b'0');
    cell(ui, width, |ui| {
        let shown = if nothing {
            RichText::new("same").color(tokens.quiet)
        } else {
            RichText::new(text).font(theme::strong(13.0)).color(tokens.accent)
        };
        ui.label(shown);
    });
}

fn fat_rows(ui: &mut Ui, columns: &Columns, rows: &[FatRow], colours: &mut FatColours) {
    heading(ui, "Blend");
    let most = rows.iter().flat_map(|r| [r.a, r.b]).flatten().fold(1.0, f64::max);
    for row in rows {
        let colour = colours.of(row.fat.id.as_str());
        ui.horizontal(|ui| {
            cell(ui, columns.0[0], |ui| ui.add(egui::Label::new(&row.fat.name).truncate()));
            for (width, share) in [(columns.0[1], row.a), (columns.0[2], row.b)] {
                cell(ui, width, |ui| share_bar(ui, share, most, colour));
            }
            difference(ui, columns.0[3], &signed(row.difference(), 1));
        });
    }
}

fn share_bar(ui: &mut Ui, share: Option<f64>, most: f64, colour: Color32) {
    let room = (ui.available_width() - 70.0).max(20.0);
    let (rect, _) = ui.allocate_exact_size(vec2(room, 10.0), Sense::hover());
    if let Some(share) = share {
        #[expect(clippy::cast_possible_truncation, reason = "a length on the screen")]
        let width = room * (share / most).clamp(0.0, 1.0) as f32;
        ui.painter().rect_filled(rect.with_max_x(rect.left() + width.max(1.0)), CornerRadius::same(2), colour);
    }
    ui.label(share.map_or_else(|| "–".into(), |s| format!("{} %", short(s, 1))));
}

fn batch_rows(ui: &mut Ui, columns: &Columns, a: &Side, b: &Side, unit: MassUnit) {
    heading(ui, "Batch");
    let mut row = |label: &str, of: &dyn Fn(&Side) -> Option<f64>, decimals: usize, sign: &str| {
        let (va, vb) = (of(a), of(b));
        ui.horizontal(|ui| {
            cell(ui, columns.0[0], |ui| ui.add(egui::Label::new(label).truncate()));
            for (width, value) in [(columns.0[1], va), (columns.0[2], vb)] {
                let text = value.map_or_else(|| "not known".into(), |v| format!("{}{sign}", fixed(v, decimals)));
                cell(ui, width, |ui| ui.label(text));
            }
            if let (Some(va), Some(vb)) = (va, vb) {
                // On the numbers as shown, so that the difference never contradicts them.
                let shown =
                    |v: f64| fixed(v, decimals).replace('\u{202f}', "").replace('\u{2212}', "-").parse().unwrap_or(v);
                difference(ui, columns.0[3], &format!("{}{sign}", signed(shown(vb) - shown(va), decimals)));
            }
        });
    };
    let d = unit.decimals();
    let sign = format!(" {}", unit.sign());
    row("All fats", &|s| Some(unit.from_grams(s.evaluation.batch.fats)), d, &sign);
    row("Sodium hydroxide (NaOH)", &|s| Some(unit.from_grams(s.evaluation.batch.alkali.naoh)), d, &sign);
    if [a, b].iter().any(|s| s.evaluation.batch.alkali.koh.0 > 0.0) {
        row("Potassium hydroxide (KOH)", &|s| Some(unit.from_grams(s.evaluation.batch.alkali.koh)), d, &sign);
    }
    row("Water to weigh", &|s| Some(unit.from_grams(s.evaluation.batch.water_to_weigh)), d, &sign);
    if [a, b].iter().any(|s| s.evaluation.batch.additions.0 > 0.0) {
        row("Additions", &|s| Some(unit.from_grams(s.evaluation.batch.additions)), d, &sign);
    }
    if [a, b].iter().any(|s| s.evaluation.batch.scents.0 > 0.0) {
        row("Scents", &|s| Some(unit.from_grams(s.evaluation.batch.scents)), d, &sign);
    }
    row("Jug warms to, at most", &|s| s.evaluation.jug.as_ref().and_then(|j| j.peak.ok()), 0, " °C");
    row("Free fat", &|s| Some(s.evaluation.batch.free_fat), 1, " %");
    row("Superfat", &|s| Some(s.evaluation.batch.superfat), 1, " %");
    row("Lye concentration", &|s| s.evaluation.batch.lye_concentration(), 1, " %");
    row("Each bar, fresh", &|s| Some(unit.from_grams(s.evaluation.batch.bar_fresh)), d, &sign);
    row("Total fatty matter, fresh", &|s| s.evaluation.chemistry.tfm_fresh, 1, " %");
    row("Iodine value", &|s| s.evaluation.chemistry.iodine_value, 1, "");
    row("Titre", &|s| s.evaluation.chemistry.titre, 0, " °C");
}

fn estimate_rows(ui: &mut Ui, columns: &Columns, a: &Side, b: &Side, library: &Library) {
    let style = if a.design.style == b.design.style {
        format!("range: {}", a.design.style)
    } else {
        format!("range of A: {}", a.design.style)
    };
    heading(ui, &format!("The bar, by composition ({style})"));
    for estimate in GROUPS.into_iter().flat_map(|(_, estimates)| estimates).copied() {
        let (ra, rb) = (a.evaluation.estimate(estimate), b.evaluation.estimate(estimate));
        ui.horizontal(|ui| {
            let (low, high) = estimate.ends();
            cell(ui, columns.0[0], |ui| ui.label(estimate.name())).on_hover_text(format!("{low} → {high}"));
            for (width, result) in [(columns.0[1], ra), (columns.0[2], rb)] {
                cell(ui, width, |ui| score(ui, estimate, result));
            }
            match estimate_difference(estimate, &a.evaluation, &b.evaluation) {
                Some(d) => difference(ui, columns.0[3], &signed(d, estimate.decimals())),
                None => difference(ui, columns.0[3], ""),
            }
            let (rect, _) = ui.allocate_exact_size(vec2(columns.0[4], ROW), Sense::hover());
            let free_fat = a.evaluation.batch.free_fat.max(b.evaluation.batch.free_fat) / 100.0;
            overlay(ui, rect, estimate, ra, rb, library, free_fat);
        });
    }
}

fn score(ui: &mut Ui, estimate: Estimate, result: Option<&EstimateResult>) {
    let Some(result) = result else {
        ui.label("not known");
        return;
    };
    ui.label(fixed(result.value, estimate.decimals()));
    if let Some(place) = result.place {
        small(ui, place.word());
    }
}

fn overlay(
    ui: &Ui,
    rect: Rect,
    estimate: Estimate,
    a: Option<&EstimateResult>,
    b: Option<&EstimateResult>,
    library: &Library,
    free_fat: f64,
) {
    // One axis serves both marks, so it holds both and the range.
    let Some(scale) = library.scale(estimate, free_fat) else { return };
    let ends = |i: barwright_core::units::Interval| [i.min(), i.max()];
    let marks = [a, b].into_iter().flatten().map(|r| r.value);
    let hull = marks.chain(ends(scale)).chain(a.and_then(|r| r.range).into_iter().flat_map(ends));
    let scale = barwright_core::units::Interval::hull(hull).unwrap_or(scale);
    let rect = rect.shrink2(vec2(10.0, 0.0));
    axis(ui, rect, scale, a.and_then(|r| r.range));
    for (result, filled) in [(b, false), (a, true)] {
        if let Some(result) = result {
            mark(ui, rect, scale, result.value, filled);
        }
    }
}

/// The acids of both as pairs of bars.
fn acids(ui: &mut Ui, a: &Side, b: &Side, library: &Library) {
    let (Some(ca), Some(cb)) = (&a.evaluation.composition, &b.evaluation.composition) else {
        return;
    };
    let tokens = Tokens::of(ui);
    heading(ui, "Fatty acids, percent");
    let shown: Vec<_> =
        library.acids.iter().filter(|(id, _)| ca.fraction(*id).max(cb.fraction(*id)) >= 0.005).collect();
    let bars = |c: &barwright_core::composition::Composition, shift: f64, fill: Color32| -> Vec<Bar> {
        let bar = |(x, (id, acid)): (usize, &(barwright_core::acids::AcidId, &barwright_core::acids::Acid))| {
            Bar::new(x as f64 + shift, 100.0 * c.fraction(*id)).width(0.34).fill(fill).name(acid.name.clone())
        };
        shown.iter().enumerate().map(bar).collect()
    };
    let count = shown.len() as f64;
    let names: Vec<String> = shown.iter().map(|(_, acid)| acid.name.clone()).collect();
    let hover = |side: &str| {
        let side = side.to_owned();
        Box::new(move |bar: &Bar, _: &BarChart| format!("{side}\n{}: {} %", bar.name, fixed(bar.value, 1)))
    };
    let titles = [format!("A: {}", a.title), format!("B: {}", b.title)];
    let charts = [
        BarChart::new(&titles[0], bars(ca, -0.18, tokens.accent))
            .color(tokens.accent)
            .element_formatter(hover(&titles[0])),
        BarChart::new(&titles[1], bars(cb, 0.18, tokens.edge)).color(tokens.edge).element_formatter(hover(&titles[1])),
    ];
    let says = |c: &barwright_core::composition::Composition| {
        let acid = |(id, acid): &(barwright_core::acids::AcidId, &barwright_core::acids::Acid)| {
            format!("{} {} %", acid.name, fixed(100.0 * c.fraction(*id), 1))
        };
        shown.iter().map(acid).collect::<Vec<_>>().join(", ")
    };
    let sentence = format!("Fatty acids of A: {}; of B: {}", says(ca), says(cb));
    let plot = still_plot(ui, "acids compared")
        .height(220.0)
        .legend(Legend::default().position(egui_plot::Corner::RightTop))
        .include_y(0.0)
        .x_grid_spacer(move |_| {
            (0..names.len()).map(|i| egui_plot::GridMark { value: i as f64, step_size: 1.0 }).collect()
        })
        .x_axis_formatter({
            let names: Vec<String> = shown.iter().map(|(_, acid)| acid.name.clone()).collect();
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "the marks are small whole numbers"
            )]
            move |mark, _| names.get(mark.value.round() as usize).cloned().unwrap_or_default()
        })
        .y_axis_formatter(|mark, _| fixed(mark.value, 0))
        .show(ui, |plot| {
            plot.set_plot_bounds_x(-0.6..=count - 0.4);
            for chart in charts {
                plot.bar_chart(chart);
            }
        });
    plot.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &sentence));
    small(
        ui,
        format!("{} and {} share {} % of their acids.", capital(&a.title), b.title, fixed(ca.percent_shared(cb), 0)),
    );
}
