//! What a bar weighs as it dries, with its water and its fatty matter.

use super::{At, cell};
use crate::evaluated::Evaluated;
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::views::design::controls::{Written, id_of, quantity, row};
use crate::views::figures::Figures;
use crate::widgets::number_field::NumberField;
use crate::widgets::{heading, name, still_plot};
use barwright_core::Library;
use barwright_core::chemistry::cure::{Cure, SETTLED_PERCENT};
use barwright_core::design::Process;
use barwright_core::design::edit::Edit;
use barwright_core::formula::Plain;
use barwright_core::number::{self, short};
use barwright_core::quantities::{BarOnDay, OfBar, SettledDay};
use barwright_core::units::{Days, Grams, Measures};
use eframe::egui::{Align2, Label, RichText, Ui};
use egui_plot::{AxisHints, GridInput, GridMark, Line, LineStyle, PlotPoint, Text, VLine};
use std::sync::Arc;

/// How many points of the curve are drawn.
const POINTS: u16 = 120;

/// A bar on a day of its cure.
#[derive(Clone, Copy)]
struct Day<'a> {
    cure: &'a Cure,
    of: Figures<'a>,
}

impl Day<'_> {
    fn text(self, day: f64, what: OfBar) -> String {
        self.of.text(&BarOnDay(Days::nearest(day), what))
    }

    fn weight(self, day: f64) -> String {
        self.text(day, OfBar::Weight)
    }
}

/// Draws the panel.
pub fn show(
    ui: &mut Ui,
    open: &OpenDesign,
    (batch, library): (&Evaluated, &Library),
    measures: Measures,
    changes: &mut Changes,
) {
    let Some(cure) = &batch.evaluation.cure else { return };
    let day = Day { cure, of: Figures::shown(batch.about(library), measures) };
    let process = &batch.design.process;
    ui.add_space(4.0);
    heading(ui, "Cure of a bar");
    plot(ui, day);
    table(ui, day);
    let id = id_of(open, "make moisture");
    row(ui, "Keeps", |ui| {
        let written = Written { name: "Water that a cured bar keeps", unit: "%", step: 0.5, decimals: 1, width: 58.0 };
        quantity(ui, changes, id, written, process.equilibrium_moisture, |equilibrium_moisture| {
            Edit::Process(Process { equilibrium_moisture, ..process.clone() })
        })
        .on_hover_text("Cured soap is left with 5 to 14 % of water, about 10");
        ui.add(Label::new("of water in the end, percent of the bar").wrap());
    });
    NumberField::complaint(ui, id);
    let settled = match cure.settled() {
        Some(day) => {
            let least = short(SETTLED_PERCENT, 1);
            format!("It settles on day {day}: from then on it loses less than {least} % of its weight a week.")
        }
        None => "It does not settle within ten years.".into(),
    };
    let text = format!("{settled} {} A forecast by diffusion: weigh some bars.", cure.shape_words());
    let shown = ui.add(Label::new(RichText::new(text).small().color(Tokens::of(ui).quiet)).wrap());
    day.of.asked(ui, Arc::new(SettledDay), |_| shown);
}

/// Marks between `low` and `high` at multiples of the first of `steps` that gives at most six.
fn marks(low: f64, high: f64, steps: &[f64]) -> impl Fn(GridInput) -> Vec<GridMark> + use<> {
    let step = steps.iter().copied().find(|s| (high - low) / s <= 6.0).unwrap_or(high - low);
    move |_| {
        let first = (low / step).ceil();
        let values = (0..8_u8).map(|i| (first + f64::from(i)) * step).filter(|v| *v <= high);
        values.map(|value| GridMark { value, step_size: step }).collect()
    }
}

fn plot(ui: &mut Ui, day: Day<'_>) {
    let tokens = Tokens::of(ui);
    let cure = day.cure;
    let sale = cure.days().get();
    let settled = cure.settled().map(f64::from);
    let end = 1.2 * sale.max(settled.unwrap_or_default()).max(28.0);
    let at = |i: u16| end * f64::from(i) / f64::from(POINTS);
    let curve: Vec<[f64; 2]> = (0..=POINTS).map(|i| [at(i), cure.bar(Plain, at(i)).0]).collect();
    let (top, bottom) = (cure.fresh().0, cure.bar(Plain, end).0);
    let room = (0.12 * (top - bottom)).max(0.02 * top);
    let (low, high) = (bottom - room, top + room);
    let unit = day.of.about.measures.mass;
    let plot = still_plot(ui, "cure")
        .height(120.0)
        .custom_x_axes(vec![AxisHints::new_x().formatter(|mark, _| format!("{} d", short(mark.value, 1)))])
        .custom_y_axes(vec![AxisHints::new_y().formatter(move |mark, _| number::mass(Grams(mark.value), unit))])
        .x_grid_spacer(marks(0.0, end, &[7.0, 14.0, 28.0, 56.0, 112.0, 364.0, 728.0]))
        // A mark at the very bottom would lie on the first of the days.
        .y_grid_spacer(marks(low + room / 2.0, high, &[0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 1000.0]))
        .default_x_bounds(0.0, end)
        .default_y_bounds(low, high);
    let shown = plot.show(ui, |plot| {
        plot.set_plot_bounds_x(0.0..=end);
        plot.set_plot_bounds_y(low..=high);
        plot.line(Line::new("weight", curve).color(tokens.accent).width(1.5));
        let mut word = |day: f64, text: &str, height: f64, colour| {
            let at = PlotPoint::new(day, low + height * (high - low));
            plot.text(Text::new("", at, format!(" {text}")).color(colour).anchor(Align2::LEFT_CENTER));
        };
        word(sale, "sale", 0.92, tokens.ink);
        if let Some(settled) = settled {
            word(settled, "settled", 0.72, tokens.quiet);
            let dashed = LineStyle::dashed_dense();
            plot.vline(VLine::new("settled", settled).color(tokens.quiet).width(1.5).style(dashed));
        }
        plot.vline(VLine::new("sale", sale).color(tokens.ink).width(1.5));
    });
    let says = format!(
        "Weight of a bar over the days of cure: {} as cut, {} at sale after {} days{}",
        day.weight(0.0),
        day.weight(sale),
        short(sale, 1),
        settled.map_or_else(String::new, |d| format!(", settled on day {}", short(d, 0)))
    );
    name(ui, &shown.response, &says);
    if let Some(at) = shown.response.hover_pos() {
        let on = shown.transform.value_from_position(at).x.clamp(0.0, end).round();
        let text = format!(
            "Day {}: {}, water {}, fatty matter {}",
            short(on, 0),
            day.weight(on),
            day.text(on, OfBar::Water),
            day.text(on, OfBar::FattyMatter)
        );
        shown.response.on_hover_text_at_pointer(text);
    }
}

/// The same in figures.
fn table(ui: &mut Ui, day: Day<'_>) {
    let cure = day.cure;
    let sale = cure.days().get();
    let mut rows = vec![(0.0, "as cut".to_owned())];
    rows.extend([7.0, 14.0].map(|d| (d, format!("day {}", short(d, 0)))).into_iter().filter(|(d, _)| *d < sale));
    rows.push((sale, format!("at sale, day {}", short(sale, 1))));
    rows.extend(cure.settled().map(|d| (f64::from(d), format!("settled, day {d}"))));
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let quiet = Tokens::of(ui).quiet;
    ui.scope(|ui| {
        ui.spacing_mut().interact_size.y = 17.0;
        ui.spacing_mut().item_spacing.y = 1.0;
        let first = ui.available_width() * 0.34;
        let rest = (ui.available_width() - first) / 3.0 - ui.spacing().item_spacing.x;
        ui.horizontal(|ui| {
            cell(ui, first, At::Left, "");
            for head in ["weight", "water", "fatty matter"] {
                cell(ui, rest, At::Right, RichText::new(head).small().color(quiet)).on_hover_text(match head {
                    "fatty matter" => "Total fatty matter, percent of the bar (ISO 685)",
                    "water" => "Percent of the bar",
                    _ => "Of one bar",
                });
            }
        });
        for (on, text) in rows {
            ui.horizontal(|ui| {
                cell(ui, first, At::Left, RichText::new(text).color(quiet));
                for what in OfBar::ALL {
                    let quantity = BarOnDay(Days::nearest(on), what);
                    day.of.drawn(ui, quantity, |ui, value| cell(ui, rest, At::Right, value));
                }
            });
        }
    });
}
