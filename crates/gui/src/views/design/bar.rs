//! Middle column: the estimates as lanes, and the fatty acids.

use super::form::{OwnBarForm, forgotten};
use super::{DesignView, Scene, acids, colour, jug, picture};
use crate::open::OpenDesign;
use crate::theme::{Tokens, fat_colour};
use crate::views::figures::Figures;
use crate::views::why::{self, Owner, Subject};
use crate::views::{Changes, Request};
use crate::widgets::lane::{Lane, whisker};
use crate::widgets::steady::{held, steady};
use crate::widgets::{cut, heading, name, section, small, unseen};
use barwright_core::chemistry::spread::End;
use barwright_core::design::edit::Edit;
use barwright_core::evaluate::{EstimateResult, contributions, free_fat_points, gradient};
use barwright_core::library::estimates::{Estimate, GROUPS};
use barwright_core::number::{fixed, short, signed};
use barwright_core::quantities::{
    About, AnyQuantity, NearestSoapDiffers, Quantity, Score, ScoreEnd, ScoreOfFat, ScoreOfSoap, StyleEnd, nearest_soap,
};
use barwright_core::units::Interval;
use barwright_core::{Design, Evaluation};
use eframe::egui::{self, Align, ComboBox, CornerRadius, Frame, Id, Layout, Margin, RichText, Sense, Stroke, Ui, vec2};
use std::sync::Arc;

/// "everyday handmade" with a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Draws the column.
pub fn show(ui: &mut Ui, open: &OpenDesign, view: &mut DesignView, scene: &Scene<'_>, changes: &mut Changes) {
    let evaluation = open.evaluation(scene.library);
    let design = Arc::clone(open.design());
    let of = Figures::shown(About::new(&design, &evaluation, scene.library), scene.measures);
    let is_wide = ui.available_width() >= WIDE;
    let height = if is_wide { (0.2 * ui.available_height()).clamp(HIGH, HIGHEST) } else { LOW };
    steady(ui, "picture", |ui| picture::show(ui, of, height));
    steady(ui, "colour", |ui| match colour::show(ui, of, true) {
        Some(colour::Asked::Match) => match OwnBarForm::of(open, scene.library, scene.shelf, scene.region) {
            Some(form) => view.open(form),
            None => changes.request(Request::Tell(NOTHING_TO_MATCH.into())),
        },
        Some(colour::Asked::Forget(seen)) => changes.edit(forgotten(&design.calibration, seen)),
        None => {}
    });
    ui.horizontal(|ui| {
        section(ui, "The bar, by composition");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| style_chooser(ui, &design, scene, changes));
    });
    if legend(ui, scene) {
        changes.request(Request::StopComparing);
    }
    if scene.hints {
        small(ui, "Click a lane to see which fat brings how much and how far to trust it.");
    }
    if evaluation.estimates.is_some() {
        let spreads = open.evaluated(scene.library).spreads(scene.library);
        for (title, estimates) in GROUPS {
            heading(ui, title);
            for estimate in estimates {
                let spread = spreads.map(|all| all[*estimate as usize]);
                lane(ui, (*estimate, spread), &design, &evaluation, view, scene);
            }
        }
        steady(ui, "nearest soap", |ui| {
            let Ok((soap, _)) = nearest_soap(of.about) else { return };
            ui.add_space(2.0);
            of.drawn(ui, NearestSoapDiffers, |ui, percent| {
                let name = &soap.name;
                small(ui, format!("By its acids the nearest reference soap is {name} ({percent} of the acids differ)."))
            });
        });
        steady(ui, "hint", |ui| {
            // It has its place always.
            ui.set_min_height(HINT);
            hint(ui, open, scene, changes);
        });
    } else {
        let text = if design.blend.lines().is_empty() {
            "Add a fat, and the bar it makes appears here."
        } else {
            "Too much of this blend has no tabled fatty acids: the bar cannot be estimated."
        };
        ui.label(text);
    }
    // A table wants the whole width.
    if is_wide && view.acids != acids::Shown::Table {
        let acids = |ui: &mut Ui| acids::show(ui, &design, &evaluation, view, scene);
        side_by_side(ui, acids, |ui| jug::show(ui, of));
    } else {
        steady(ui, "jug", |ui| jug::show(ui, of));
        acids::show(ui, &design, &evaluation, view, scene);
    }
}

/// Why no bar can be matched.
const NOTHING_TO_MATCH: &str = "A bar is matched where what colours it keeps its colour, or where nothing does: in this \
                                one the colour dies or changes, or is too little to be seen";

/// From this width on, points, the jug and the acids stand beside each other, and the picture is so high; in a
/// narrower column it is lower, so that the lanes stay in sight.
const WIDE: f32 = 720.0;
const HIGH: f32 = 210.0;
const HIGHEST: f32 = 340.0;
const LOW: f32 = 112.0;
/// What is kept free for the hint, two lines.
const HINT: f32 = 30.0;
/// Part of the width that the left one takes.
const LEFT: f32 = 0.56;

/// Draws two panels beside each other.
fn side_by_side(ui: &mut Ui, left: impl FnOnce(&mut Ui), right: impl FnOnce(&mut Ui)) {
    const BETWEEN: f32 = 28.0;
    let width = ui.available_width() - BETWEEN;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = BETWEEN;
        for (part, content) in [(LEFT, Box::new(left) as Box<dyn FnOnce(&mut Ui)>), (1.0 - LEFT, Box::new(right))] {
            ui.allocate_ui_with_layout(vec2(width * part, 0.0), Layout::top_down(Align::Min), |ui| {
                ui.set_width(width * part);
                ui.spacing_mut().item_spacing = ui.ctx().global_style().spacing.item_spacing;
                content(ui);
            });
        }
    });
}

/// The least change that brings every score inside, as a quiet suggestion.
fn hint(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let evaluated = open.evaluated(scene.library);
    let Some(found) = evaluated.nudge(scene.library) else { return };
    let percent = |v: f64| short(v, 1);
    let moves: Vec<String> =
        found.moves.iter().map(|m| format!("{} {} → {} %", m.fat.name, percent(m.from), percent(m.to))).collect();
    ui.add_space(2.0);
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let button = ui.small_button("Do it");
            name(ui, &button, "Bring every score inside");
            if button.on_hover_text("Change the shares so; undo takes it back").clicked() {
                changes.edit(Edit::TakeBlend(found.blend.clone()));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let text = format!("The least change that brings every score inside: {}", moves.join(", "));
                let shown = ui.add(egui::Label::new(RichText::new(text).small().color(Tokens::of(ui).quiet)).wrap());
                let _ = why::explained(ui, &shown, Owner::Shown, Subject::Hint);
            });
        });
    });
}

fn style_chooser(ui: &mut Ui, design: &Design, scene: &Scene<'_>, changes: &mut Changes) {
    let combo = ComboBox::from_id_salt("style").selected_text(capital(&design.style)).width(160.0);
    let response = combo.show_ui(ui, |ui| {
        for style in scene.library.styles() {
            let soaps: Vec<_> = style.references.iter().map(|r| format!("{} ({})", r.name, r.source)).collect();
            let choice = ui.selectable_label(style.name == design.style, capital(&style.name));
            if choice.on_hover_text(format!("Reference soaps:\n{}", soaps.join("\n"))).clicked() {
                changes.edit(Edit::Style(style.name.clone()));
            }
        }
    });
    name(ui, &response.response, "Style of bar");
    response.response.on_hover_text("The kind of bar whose reference soaps give the shaded ranges");
}

/// What the marks mean; true if the compared design's are no longer wanted.
fn legend(ui: &mut Ui, scene: &Scene<'_>) -> bool {
    let mut stop = false;
    let tokens = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        let (band, _) = ui.allocate_exact_size(vec2(22.0, 10.0), Sense::hover());
        let edge = Stroke::new(1.0, tokens.edge.gamma_multiply(0.45));
        ui.painter().rect(band, CornerRadius::same(3), tokens.range, edge, egui::StrokeKind::Inside);
        small(ui, "where such bars lie");
        ui.label(RichText::new("◆").color(tokens.accent));
        small(ui, "this bar");
        let (line, _) = ui.allocate_exact_size(vec2(22.0, 10.0), Sense::hover());
        whisker(ui, line.x_range(), line.center().y);
        small(ui, "spread of natural fats");
        unseen::legend(ui);
        if let Some(compared) = &scene.compared {
            ui.label("◇");
            let remove = ui.small_button("×");
            name(ui, &remove, "Stop comparing");
            stop = remove.on_hover_text("Take the compared design’s marks away").clicked();
            let text = RichText::new(format!("compared: {}", compared.title)).small().color(tokens.quiet);
            ui.add(egui::Label::new(text).truncate());
        }
    });
    stop
}

fn lane(
    ui: &mut Ui,
    (estimate, spread): (Estimate, Option<Interval>),
    design: &Design,
    evaluation: &Evaluation,
    view: &mut DesignView,
    scene: &Scene<'_>,
) {
    let (Some(result), Some(scale)) = (evaluation.estimate(estimate), evaluation.axis(estimate, scene.library)) else {
        return;
    };
    let scale = held(ui, Id::unique(("scale of", estimate)), scale);
    let compared = scene.compared.as_ref().and_then(|c| c.scores).map(|s| s.get(estimate));
    let open = view.open_lane == Some(estimate);
    // While a share moves, which way the score goes with it.
    let slope = view.held.as_ref().and_then(|held| {
        let index = design.blend.lines().iter().position(|l| l.fat.id == *held)?;
        gradient(design, estimate, scene.library)[index]
    });
    let record = scene.library.record_of(estimate);
    let response = Lane { result, scale, spread, slope, compared, open, record }.show(ui);
    if response.clicked() {
        view.open_lane = if open { None } else { Some(estimate) };
    }
    if open {
        let frame = Frame::new()
            .fill(Tokens::of(ui).panel)
            .corner_radius(CornerRadius::same(5))
            .inner_margin(Margin::symmetric(12, 8));
        steady(ui, "details of a lane", |ui| {
            frame.show(ui, |ui| details(ui, (result, spread), design, evaluation, scene));
        });
    }
}

/// Which fat brings how much, what to do to move it, where the range comes from, how far to
/// trust it.
fn details(
    ui: &mut Ui,
    (result, spread): (&EstimateResult, Option<Interval>),
    design: &Design,
    evaluation: &Evaluation,
    scene: &Scene<'_>,
) {
    let estimate = result.estimate;
    let tokens = Tokens::of(ui);
    let of = Figures::shown(About::new(design, evaluation, scene.library), scene.measures);
    ui.set_min_width(ui.available_width());
    ui.spacing_mut().item_spacing.y = 3.0;
    let parts = contributions(&design.blend, estimate, scene.library);
    let largest = parts.iter().flatten().fold(1e-9_f64, |a, b| a.max(*b));
    let bar = |ui: &mut Ui,
               name: &str,
               points: Option<f64>,
               colour: egui::Color32,
               quantity: Arc<dyn AnyQuantity>,
               text: String| {
        ui.horizontal(|ui| {
            ui.allocate_ui_with_layout(vec2(190.0, 18.0), Layout::left_to_right(Align::Center), |ui| {
                ui.set_min_width(190.0);
                cut::one_line(ui, name, |name| RichText::new(name));
            });
            let (rect, _) = ui.allocate_exact_size(vec2((ui.available_width() - 64.0).max(20.0), 10.0), Sense::hover());
            if let Some(points) = points {
                #[expect(clippy::cast_possible_truncation, reason = "a length on the screen")]
                let width = rect.width() * (points / largest).clamp(0.0, 1.0) as f32;
                ui.painter().rect_filled(rect.with_max_x(rect.left() + width), CornerRadius::same(2), colour);
            }
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                of.asked(ui, quantity, |ui| ui.label(text));
            });
        });
    };
    for (line, points) in design.blend.lines().iter().zip(&parts) {
        let quantity = ScoreOfFat(estimate, line.fat.id.clone());
        let text = if points.is_some() { of.text(&quantity) } else { "left out".into() };
        bar(ui, &line.fat.name, *points, fat_colour(line.fat.id.as_str()), Arc::new(quantity), text);
    }
    let free = free_fat_points(estimate, evaluation);
    if free > 0.0 {
        let text = fixed(free, estimate.decimals() + 1);
        let whole = Arc::new(Score(estimate));
        bar(ui, "Free fat and unsaponifiable matter", Some(free), tokens.edge, whole, text);
    }
    let wrapped = |ui: &mut Ui, text: String| {
        ui.add(egui::Label::new(RichText::new(text).small().color(tokens.quiet)).wrap());
    };
    if let Some(advice) = how_to_move(estimate, design, scene) {
        ui.add(egui::Label::new(advice).wrap());
    }
    if spread.is_some() {
        wrapped(
            ui,
            "With fatty acids anywhere in their published ranges, all fats at their extremes at once:".to_owned(),
        );
        ends(ui, of, "it lies between", End::BOTH.map(|end| ScoreEnd(estimate, end)));
    }
    let link = RichText::new("Why this number?").color(tokens.accent);
    of.asked(ui, Arc::new(Score(estimate)), |ui| ui.label(link));
    wrapped(ui, scene.library.trust_in(estimate));
    if scene.library.record_of(estimate).best().is_some() {
        let text =
            "The bracket under the lane is where the soaps lie that lathered best in measured series: neither end.";
        wrapped(ui, text.to_owned());
    }
    if let (Some(range), Some(style)) = (result.range, scene.library.style(&design.style)) {
        if estimate.is_narrow(range) {
            let count = style.references.len();
            wrapped(ui, format!("The band is narrow since it has few soaps: {count} of them."));
        }
        let text = format!("With this superfat the reference soaps of “{}” lie between", style.name);
        ends(ui, of, &text, End::BOTH.map(|end| StyleEnd(estimate, end)));
        egui::Grid::new(("reference soaps", estimate as usize)).spacing([12.0, 1.0]).min_row_height(13.0).show(
            ui,
            |ui| {
                for soap in &style.references {
                    of.drawn(ui, ScoreOfSoap(estimate, soap.name.clone()), small);
                    small(ui, format!("{}{}", soap.name, unseen::sign(soap.trust))).on_hover_text(format!(
                        "{}: {}",
                        soap.trust.words(),
                        soap.source
                    ));
                    ui.end_row();
                }
            },
        );
    }
}

/// What a range is, and its ends, each to be asked about.
fn ends(ui: &mut Ui, of: Figures<'_>, what: &str, ends: [impl Quantity; 2]) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        small(ui, what);
        for (i, end) in ends.into_iter().enumerate() {
            if i > 0 {
                small(ui, "and");
            }
            of.drawn(ui, end, |ui, value| ui.label(RichText::new(value).small()));
        }
    });
}

/// Names the fats that raise and lower the score most when they get a percent more.
fn how_to_move(estimate: Estimate, design: &Design, scene: &Scene<'_>) -> Option<String> {
    let slopes = gradient(design, estimate, scene.library);
    let mut slopes: Vec<_> = design.blend.lines().iter().zip(slopes).filter_map(|(l, s)| Some((l, s?))).collect();
    if slopes.len() < 2 {
        return None;
    }
    slopes.sort_by(|a, b| b.1.total_cmp(&a.1));
    let ((up, rise), (down, fall)) = (*slopes.first()?, *slopes.last()?);
    let d = estimate.decimals() + 1;
    Some(format!(
        "1 % more {} moves it by {}; 1 % more {} by {}.",
        up.fat.name,
        signed(rise, d),
        down.fat.name,
        signed(fall, d)
    ))
}
