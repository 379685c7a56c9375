//! The fatty acids of the blend: a chart stacked by fat, or a table.

use super::blend::number_of;
use super::{DesignView, Scene};
use crate::theme::{Tokens, fat_colour};
use crate::views::figures::Figures;
use crate::widgets::cut::write_on;
use crate::widgets::steady::held;
use crate::widgets::{section, still_plot, under_bars};
use barwright_core::design::blend::FatLine;
use barwright_core::evaluate::acid_part;
use barwright_core::formula::Plain;
use barwright_core::library::acids::AcidId;
use barwright_core::library::material::MaterialId;
use barwright_core::number::fixed;
use barwright_core::quantities::{About, AcidOfFat, AcidPercent};
use barwright_core::units::in_percent;
use barwright_core::{Design, Evaluation, Library};
use eframe::egui::{self, Align, Color32, FontId, Grid, Id, Layout, Rect, RichText, Stroke, Ui, pos2};
use egui_plot::{Bar, BarChart, GridMark, PlotPoint, PlotTransform};
use std::sync::Arc;

/// Acids with less than this many percent of the blend share one bar of the chart.
const SMALL: f64 = 1.0;

/// How the acids are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shown {
    /// As a chart.
    #[default]
    Chart,
    /// As a table.
    Table,
    /// Not at all.
    Nothing,
}

/// One bar of the chart.
struct Slot {
    name: String,
    key: String,
    acids: Vec<AcidId>,
    saturated: bool,
}

/// What a fat brings to each of the bars.
struct Part {
    name: String,
    /// By which it is found among the fats of the blend.
    number: String,
    colour: Color32,
    heights: Vec<f64>,
}

/// The bars, saturated first, each group by chain length; what is under `small` percent goes together.
fn slots(evaluation: &Evaluation, library: &Library, small: f64) -> Vec<Slot> {
    let Some(composition) = &evaluation.composition else {
        return Vec::new();
    };
    let mut slots = Vec::new();
    let mut rest = Vec::new();
    for (id, acid) in library.acids.iter() {
        let percent = in_percent(composition.fraction(id));
        if percent >= small && percent > 0.0 {
            slots.push(Slot {
                name: acid.name.clone(),
                key: acid.key.clone(),
                acids: vec![id],
                saturated: acid.is_saturated(),
            });
        } else if percent > 0.0 {
            rest.push(id);
        }
    }
    // A stable sort keeps the table's order of chain lengths.
    slots.sort_by_key(|s| !s.saturated);
    if !rest.is_empty() {
        slots.push(Slot { name: "others".into(), key: "…".into(), acids: rest, saturated: false });
    }
    slots
}

/// Draws the heading and the chart or table.
pub fn show(ui: &mut Ui, design: &Design, evaluation: &Evaluation, view: &mut DesignView, scene: &Scene<'_>) {
    // A table has room for all of them.
    let slots = slots(evaluation, scene.library, if view.acids == Shown::Table { 0.0 } else { SMALL });
    let slots: Arc<[Slot]> = held(ui, Id::unique(("acids", view.acids == Shown::Table)), slots.into());
    if slots.is_empty() {
        return;
    }
    let lines = design.blend.lines();
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        section(ui, "Fatty acids, % by fat")
            .on_hover_text("Percent of the blend’s fatty acids, stacked by the fat that brings them");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            for (shown, text) in [(Shown::Nothing, "Hide"), (Shown::Table, "Table"), (Shown::Chart, "Chart")] {
                ui.selectable_value(&mut view.acids, shown, text);
            }
        });
    });
    if view.acids == Shown::Nothing {
        return;
    }
    let counts = |l: &FatLine| !l.fat.profile().is_empty() && l.share.get() > 0.0;
    let parts: Vec<Part> = lines
        .iter()
        .enumerate()
        .filter(|(_, l)| counts(l))
        .map(|(i, l)| Part {
            name: l.fat.name.clone(),
            number: number_of(i),
            colour: fat_colour(l.fat.id.as_str()),
            heights: slots.iter().map(|s| acid_part(Plain, &design.blend, l, &s.acids, scene.library)).collect(),
        })
        .collect();
    if view.acids == Shown::Table {
        let fats = lines.iter().filter(|l| counts(l)).map(|l| l.fat.id.clone()).collect();
        let of = Figures::shown(About::new(design, evaluation, scene.library), scene.measures);
        table(ui, &slots, &parts, (of, fats));
    } else {
        chart(ui, &slots, &parts);
    }
}

/// Height of the chart, points: the bar stands above it, so that it never takes the room.
const CHART: f32 = 168.0;
/// Width of a bar, as a part of what it has.
const BAR: f64 = 0.62;

fn chart(ui: &mut Ui, slots: &[Slot], parts: &[Part]) {
    let tokens = Tokens::of(ui);
    // Neighbours in a stack differ by more than their colour.
    let gap = Stroke::new(1.0, tokens.ground);
    let mut charts: Vec<BarChart> = Vec::new();
    for Part { name, colour, heights, .. } in parts {
        let bars = heights.iter().enumerate().map(|(x, h)| {
            let (fat, acid) = (name.clone(), &slots[x].name);
            Bar::new(x as f64, *h).width(BAR).fill(*colour).stroke(gap).name(format!("{fat}: {acid}"))
        });
        let chart = BarChart::new(name, bars.collect())
            .color(*colour)
            .element_formatter(Box::new(|bar, _| format!("{}\n{} % of the blend", bar.name, fixed(bar.value, 1))));
        let below: Vec<&BarChart> = charts.iter().collect();
        charts.push(chart.stack_on(&below));
    }
    let top = (0..slots.len()).map(|x| parts.iter().map(|p| p.heights[x]).sum::<f64>()).fold(0.0, f64::max);
    let top = held(ui, Id::unique("top of the acids"), top);
    let height = CHART;
    // The finest of these steps whose figures stay apart.
    let apart = |step: &f64| f64::from(height) * step / (top * 1.08) >= 26.0;
    let step = [5.0, 10.0, 20.0, 25.0].into_iter().find(apart).unwrap_or(50.0);
    let plot = still_plot(ui, "acids")
        .height(height)
        .show_axes([false, true])
        .default_x_bounds(-0.6, slots.len() as f64 - 0.4)
        .default_y_bounds(0.0, top * 1.08)
        .y_grid_spacer(move |input| {
            let (low, high) = input.bounds;
            let marks = (0..=25).map(|i| f64::from(i) * step).filter(|v| (low..=high).contains(v));
            marks.map(|value| GridMark { value, step_size: step }).collect()
        })
        .y_axis_formatter(|mark, _| fixed(mark.value, 0));
    let response = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(-0.6..=slots.len() as f64 - 0.4);
        plot.set_plot_bounds_y(0.0..=top * 1.08);
        for chart in charts {
            plot.bar_chart(chart);
        }
    });
    let says = |s: &Slot, x: usize| format!("{} {} %", s.name, fixed(parts.iter().map(|p| p.heights[x]).sum(), 1));
    let sentence: Vec<String> = slots.iter().enumerate().map(|(x, s)| says(s, x)).collect();
    response.response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Image, true, format!("Fatty acids: {}", sentence.join(", ")))
    });

    in_the_bars(ui, (&response.response.rect, &response.transform), parts);
    // Names under the bars, and what the two groups mean.
    let names: Vec<&str> = slots.iter().map(|s| s.name.as_str()).collect();
    let below = under_bars::show(ui, &response.transform, &names, 19.0);
    let (painter, font) = (ui.painter(), FontId::proportional(10.5));
    let x_of = |x: f64| under_bars::x_of(&response.transform, x);
    let saturated = slots.iter().filter(|s| s.saturated).count();
    let second = below.top() + 3.0;
    let words = |from: usize, to: usize, text: &str| {
        let left = x_of(from as f64 - 0.4);
        let galley = painter.layout_no_wrap(text.to_owned(), font.clone(), tokens.quiet);
        if to > from && (galley.size().x < x_of(to as f64 - 0.4) - left || to == slots.len()) {
            painter.galley(pos2(left, second), galley, tokens.quiet);
        }
    };
    words(0, saturated, "solid at room warmth");
    words(saturated, slots.len(), "liquid");
}

/// Writes into each part of a bar, where it has room, the number of the fat that it is of.
fn in_the_bars(ui: &Ui, (rect, transform): (&Rect, &PlotTransform), parts: &[Part]) {
    let painter = ui.painter().with_clip_rect(*rect);
    for x in 0..parts.first().map_or(0, |p| p.heights.len()) {
        let mut foot = 0.0;
        for Part { number, colour, heights, .. } in parts {
            let (low, high) = (foot, foot + heights[x]);
            foot = high;
            let [a, b] = [(x as f64 - BAR / 2.0, low), (x as f64 + BAR / 2.0, high)]
                .map(|(x, y)| transform.position_from_point(&PlotPoint::new(x, y)));
            write_on(&painter, Rect::from_two_pos(a, b), *colour, number);
        }
    }
}

/// `fats` are those in the columns.
fn table(ui: &mut Ui, slots: &[Slot], parts: &[Part], (of, fats): (Figures<'_>, Vec<MaterialId>)) {
    let tokens = Tokens::of(ui);
    egui::ScrollArea::horizontal().show(ui, |ui| {
        Grid::new("acid table").striped(true).num_columns(parts.len() + 2).spacing([14.0, 4.0]).show(ui, |ui| {
            ui.label("");
            let head = |ui: &mut Ui, text: RichText| {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    ui.set_max_width(76.0);
                    ui.add(egui::Label::new(text).wrap());
                });
            };
            head(ui, RichText::new("Blend").font(crate::theme::strong(11.0)));
            for Part { name, .. } in parts {
                head(ui, RichText::new(name).small().color(tokens.quiet));
            }
            ui.end_row();
            let right = |ui: &mut Ui, value: String| {
                let layout = Layout::right_to_left(Align::Center);
                ui.with_layout(layout, |ui| ui.label(value)).inner
            };
            for slot in slots {
                let Some(acid) = slot.acids.first() else { continue };
                ui.label(format!("{} ({})", slot.name, slot.key));
                of.drawn_number(ui, AcidPercent(*acid), right);
                for fat in &fats {
                    let quantity = AcidOfFat(*acid, fat.clone());
                    let is_there = of.is_known(&quantity);
                    // What a fat has none of is nothing.
                    of.drawn_number(ui, quantity, |ui, value| right(ui, if is_there { value } else { fixed(0.0, 1) }));
                }
                ui.end_row();
            }
        });
    });
}
