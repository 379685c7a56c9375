//! The blends that were found, each with its fats, its scores and what it changes; or why nothing
//! fits.

use super::FindView;
use super::trade::Picked;
use crate::evaluated::Evaluated;
use crate::open::OpenDesign;
use crate::theme::{self, Tokens};
use crate::views::design::Scene;
use crate::views::design::bar::capital;
use crate::views::why::{self, Owner, Subject};
use crate::views::{Changes, Request};
use crate::widgets::cut::write_on;
use crate::widgets::lane::{Mark, axis, mark_score};
use crate::widgets::number_field::before_change;
use crate::widgets::{line, name, section, small};
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::design::edit::Edit;
use barwright_core::explain::compare::estimate_difference;
use barwright_core::find::{Collision, Effect, Found, Measure, Miss, Outcome, Wanted};
use barwright_core::library::estimates::{Estimate, Place, largest, on_screens};
use barwright_core::number::signed;
use barwright_core::quantities::{
    self, About, AnyQuantity, IodineValue, OfFound, SaponificationValue, SaturatedPerUnsaturated, Score, Sought, Titre,
};
use barwright_core::{Design, Evaluation};
use eframe::egui::{
    self, Align, CornerRadius, Frame, Label, Layout, Margin, Rect, Response, RichText, Sense, Stroke, Ui, UiBuilder,
    vec2,
};
use std::sync::Arc;

/// Draws the list; gives what is asked for beyond this view.
pub fn show(ui: &mut Ui, view: &mut FindView, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let (design, library) = (open.design(), scene.library);
    let now = open.evaluation(library);
    let Some((wanted, outcome)) = view.job.as_ref().and_then(|(wanted, job)| Some((wanted, job.outcome()?))) else {
        return;
    };
    let side = Side { design, now: &now, wanted };
    if let Some(collision) = &outcome.collision {
        collided(ui, collision, scene);
    }
    if let Some(Picked { found, wanted }) = &view.picked {
        section(ui, "Picked on the curve");
        let made = view.made(open, (found, Owner::Picked), library);
        // A point of the curve is the best by likeness, whatever is looked for.
        let side = Side { wanted, ..side };
        card(ui, (found, Owner::Picked, &made), &side, true, scene, changes);
        ui.add_space(8.0);
    }
    if !outcome.results.is_empty() {
        ui.horizontal(|ui| {
            section(ui, if outcome.done { "Blends found" } else { "Best so far" });
            before_change(ui);
        });
    }
    if outcome.results.first().is_some_and(|first| first.blend.has_shares_of(&design.blend)) {
        small(ui, "The first is the design itself: leave one of its fats out, or ask for something else.");
    }
    let mut chosen = None;
    for (i, found) in outcome.results.iter().enumerate() {
        let is_open = view.chosen == i && view.picked.is_none();
        let made = view.made(open, (found, Owner::Found(i)), library);
        if card(ui, (found, Owner::Found(i), &made), &side, is_open, scene, changes) {
            chosen = Some(i);
        }
    }
    left_out(ui, outcome);
    if let Some(i) = chosen {
        view.chosen = i;
        view.pick(None);
    }
}

/// The design that the blends are compared with.
#[derive(Clone, Copy)]
struct Side<'a> {
    design: &'a Design,
    now: &'a Evaluation,
    /// What they were looked for by.
    wanted: &'a Wanted,
}

impl<'a> Side<'a> {
    /// What the numbers of a search are of.
    fn sought(&self, scene: &Scene<'a>) -> Sought<'a> {
        Sought { wanted: self.wanted, design: self.design, library: scene.library }
    }
}

fn left_out(ui: &mut Ui, outcome: &Outcome) {
    if !outcome.without_price.is_empty() {
        let count = outcome.without_price.len();
        let shown = small(ui, format!("{count} fats are left out since they have no price: see Fats and prices"));
        shown.on_hover_text(outcome.without_price.join(", "));
    }
    for held in &outcome.held_without_acids {
        small(ui, format!("{held} is held: none of its acids is tabled, so no search can weigh it"));
    }
    if !outcome.in_force.is_empty() {
        let words: Vec<&str> = outcome.in_force.iter().map(|rule| rule.words.as_str()).collect();
        let shown = small(ui, format!("In force: {}; see Fats and prices", words.join(", ")));
        let out = outcome.in_force.iter().filter(|rule| rule.practice.effect() == Effect::None);
        let told: Vec<String> = out
            .filter(|r| !r.fats.is_empty())
            .map(|r| format!("{}: {}", capital(&r.words), r.fats.join("; ")))
            .collect();
        if !told.is_empty() {
            shown.on_hover_text(format!("Left out. {}", told.join(". ")));
        }
    }
}

fn collided(ui: &mut Ui, collision: &Collision, scene: &Scene<'_>) {
    let tokens = Tokens::of(ui);
    ui.label(RichText::new("These demands cannot be met together").font(theme::strong(15.0)).color(tokens.care));
    for demand in &collision.demands {
        ui.label(format!("–  {}", capital(demand)));
    }
    small(ui, "Loosen one of them, or let a range say “may”.");
    if let Some(Miss { blend, missed }) = &collision.nearest {
        ui.add_space(10.0);
        section(ui, "The nearest miss");
        ui.add(Label::new(fats_in_words(blend)).wrap());
        segments(ui, blend, OPEN_BAR, scene);
        small(ui, format!("It misses: {}", missed.join("; ")));
    }
    ui.add_space(10.0);
}

/// "Olive oil 44 % · Coconut oil 26 %", the most first.
fn fats_in_words(blend: &Blend) -> String {
    let mut lines: Vec<_> = blend.lines().iter().collect();
    lines.sort_by(|a, b| b.share.get().total_cmp(&a.share.get()));
    let share = |(i, l): (usize, &&FatLine)| format!("{} {} %", l.fat.name, OfFound::Share(i).number(l.share.get()));
    let words: Vec<String> = lines.iter().enumerate().map(share).collect();
    words.join("  ·  ")
}

/// The blend as a bar of its fats, `height` points high.
fn segments(ui: &mut Ui, blend: &Blend, height: f32, scene: &Scene<'_>) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let mut lines: Vec<_> = blend.lines().iter().collect();
    lines.sort_by(|a, b| b.share.get().total_cmp(&a.share.get()));
    let mut left = rect.left();
    for line in lines {
        #[expect(clippy::cast_possible_truncation, reason = "a length on the screen")]
        let width = rect.width() * line.share.fraction() as f32;
        let part = Rect::from_min_size(egui::pos2(left, rect.top()), vec2((width - 1.0).max(1.0), rect.height()));
        let colour = scene.colour(line.fat.id.as_str());
        ui.painter().rect_filled(part, CornerRadius::same(2), colour);
        write_on(ui.painter(), part, colour, &line.fat.name);
        left += width;
    }
    name(ui, &response, &fats_in_words(blend));
}

/// Heights of a blend's bar in an open card and in a closed one, points.
const OPEN_BAR: f32 = 14.0;
const CLOSED_BAR: f32 = 5.0;
/// From this width on, points, the numbers of an open card stand beside its lanes, and so wide they are there.
const BESIDE: f32 = 760.0;
const NUMBERS: f32 = 300.0;

/// The scores and the other numbers of an open card, beside each other where there is room.
fn details(ui: &mut Ui, of: (&Found, Owner, &Evaluated), side: &Side<'_>, scene: &Scene<'_>) {
    const BETWEEN: f32 = 24.0;
    let (_, whose, made) = of;
    let width = ui.available_width();
    if width < BESIDE {
        ui.scope(|ui| lanes(ui, (made, whose), side, scene));
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(4.0, 1.0);
            numbers(of, side, scene, |name, value, subject| {
                small(ui, name);
                let shown = ui.label(RichText::new(value).small());
                why::explained(ui, &shown, whose, subject);
                ui.add_space(8.0);
            });
        });
        return;
    }
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = BETWEEN;
        let mut part = |width: f32, content: &mut dyn FnMut(&mut Ui)| {
            ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::Min), |ui| {
                ui.set_width(width);
                ui.spacing_mut().item_spacing.x = 8.0;
                content(ui);
            });
        };
        part(width - NUMBERS - BETWEEN, &mut |ui| lanes(ui, (made, whose), side, scene));
        part(NUMBERS, &mut |ui| {
            numbers(of, side, scene, |name, value, subject| {
                let quiet = Tokens::of(ui).quiet;
                let shown = line(ui, name, |text| RichText::new(text).color(quiet), |ui| ui.label(value));
                why::explained(ui, &shown, whose, subject);
            });
        });
    });
}

/// Draws a result; whether it was clicked.
fn card(
    ui: &mut Ui,
    (found, whose, made): (&Found, Owner, &Evaluated),
    side: &Side<'_>,
    is_open: bool,
    scene: &Scene<'_>,
    changes: &mut Changes,
) -> bool {
    let tokens = Tokens::of(ui);
    let edge = if is_open { tokens.accent } else { tokens.line };
    let frame = Frame::new()
        .fill(if is_open { tokens.panel } else { tokens.ground })
        .stroke(Stroke::new(1.0, edge))
        .corner_radius(CornerRadius::same(6))
        .inner_margin(Margin::symmetric(12, if is_open { 8 } else { 5 }))
        .outer_margin(Margin { top: 3, bottom: 2, ..Margin::ZERO });
    let drawn = frame.show(ui, |ui| {
        ui.set_min_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = if is_open { 4.0 } else { 2.0 };
        let title = ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let sought = side.sought(scene);
                if let Ok(text) = OfFound::PricePerKg.text(found, sought) {
                    let shown = ui.label(RichText::new(text).font(theme::strong(13.5)));
                    why::explained(ui, &shown, whose, Subject::Found(OfFound::PricePerKg));
                }
                if is_open {
                    return shares(ui, &found.blend, whose);
                }
                let words = RichText::new(fats_in_words(&found.blend)).font(theme::strong(13.0));
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    ui.add(Label::new(words).wrap().sense(Sense::click()))
                })
                .inner
            })
            .inner
        });
        segments(ui, &found.blend, if is_open { OPEN_BAR } else { CLOSED_BAR }, scene);
        // The words that stand everywhere: a blend that must not be made is not taken unseen.
        for stop in made.cautions(scene.library, scene.measures).iter().filter(|caution| caution.blocks()) {
            let words = RichText::new(stop.line()).font(theme::strong(12.5)).color(tokens.stop);
            ui.add(Label::new(words).wrap());
        }
        small(ui, in_words(made.about(scene.library).read_in(scene.measures), side));
        if is_open {
            details(ui, (found, whose, made), side, scene);
            ui.add_space(4.0);
            buttons(ui, &made.design, changes);
        }
        title.inner
    });
    // The whole of a closed card is clicked, and its title has the focus; an open one has buttons.
    !is_open && (drawn.inner.clicked() || drawn.response.interact(Sense::CLICK).clicked())
}

/// The fats with their shares, each to be asked about.
fn shares(ui: &mut Ui, blend: &Blend, whose: Owner) -> Response {
    let mut lines: Vec<_> = blend.lines().iter().enumerate().collect();
    lines.sort_by(|a, b| b.1.share.get().total_cmp(&a.1.share.get()));
    let strong = |text: String| RichText::new(text).font(theme::strong(13.0));
    let count = lines.len();
    // The title's line is filled from the right, behind the price.
    let layout = Layout::left_to_right(Align::Center).with_main_wrap(true);
    let drawn = ui.with_layout(layout, |ui| {
        ui.spacing_mut().item_spacing = vec2(4.0, 2.0);
        for (i, (position, line)) in lines.into_iter().enumerate() {
            ui.label(strong(line.fat.name.clone()));
            let number = OfFound::Share(position);
            let share = ui.label(strong(format!("{} %", number.number(line.share.get()))));
            why::explained(ui, &share, whose, Subject::Found(number));
            if i + 1 < count {
                ui.label("·");
            }
        }
    });
    drawn.response
}

/// Where the scores lie and what changes most.
fn in_words(about: About<'_>, side: &Side<'_>) -> String {
    let evaluation = about.evaluation;
    let Some(estimates) = &evaluation.estimates else { return "the scores are not known".into() };
    let outside: Vec<String> = estimates
        .iter()
        .filter(|r| r.place.is_some_and(|p| p != Place::Inside))
        .map(|r| format!("{} {}", r.estimate.name().to_lowercase(), r.place.map_or("", Place::word)))
        .collect();
    let places = if outside.is_empty() { "all seven inside".into() } else { outside.join(", ") };
    let moves = Estimate::ALL.into_iter().filter_map(|e| Some((e, estimate_difference(e, side.now, evaluation)?)));
    // A coarse one that is told at all is told as more or less.
    let moves = moves.filter(|(e, by)| e.is_coarse() || !e.is_about_same(0.0, *by));
    let word = |(e, v): (Estimate, f64)| format!("{} {}", e.name().to_lowercase(), signed(v, e.decimals()));
    let most: Vec<String> = largest(moves, 3, 0.5).into_iter().map(word).collect();
    let most = if most.is_empty() { "about the same".into() } else { most.join(", ") };
    let titre = quantities::text(&Titre, about).map_or_else(|_| String::new(), |titre| format!("; titre {titre}"));
    format!("{places}; against the design: {most}{titre}")
}

/// Part of the height in sight that the lanes may take, and the least and the most height of one, points.
const LANES: f32 = 0.25;
const LOW_LANE: f32 = 19.0;
const HIGH_LANE: f32 = 34.0;

/// The scores on their lanes, with a hollow mark for the design.
fn lanes(ui: &mut Ui, (made, whose): (&Evaluated, Owner), side: &Side<'_>, scene: &Scene<'_>) {
    const NAMES: f32 = 120.0;
    const NUMBERS: f32 = 86.0;
    ui.add_space(2.0);
    // A tall window gives the lanes room, up to this part of its column.
    let height = (ui.clip_rect().height() * LANES / Estimate::ALL.len() as f32).clamp(LOW_LANE, HIGH_LANE);
    ui.spacing_mut().item_spacing.y = 1.0;
    ui.spacing_mut().interact_size.y = LOW_LANE;
    let (evaluation, about) = (&made.evaluation, made.about(scene.library).read_in(scene.measures));
    for estimate in on_screens() {
        let (Some(result), Some(scale)) = (evaluation.estimate(estimate), evaluation.axis(estimate, scene.library))
        else {
            continue;
        };
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
            let text = |x: f32, text: &str, colour| {
                let at = egui::pos2(x, rect.center().y);
                ui.painter().text(at, egui::Align2::LEFT_CENTER, text, egui::FontId::proportional(12.5), colour);
            };
            let tokens = Tokens::of(ui);
            text(rect.left(), estimate.name(), tokens.ink);
            let lane = Rect::from_x_y_ranges(rect.left() + NAMES..=rect.right() - NUMBERS, rect.y_range());
            axis(ui, lane, scale, estimate, result.range.map(|range| estimate.as_shown(range)));
            if let Some(now) = side.now.estimate(estimate) {
                mark_score(ui, lane, scale, (estimate, now.value), Mark::Hollow);
            }
            mark_score(ui, lane, scale, (estimate, result.value), Mark::Filled);
            let number = quantities::text(&Score(estimate), about).unwrap_or_default();
            let place = result.place.map_or("", Place::word);
            let at = Rect::from_x_y_ranges(rect.right() - NUMBERS + 12.0..=rect.right(), rect.y_range());
            let words = RichText::new(format!("{number} {place}")).size(12.5).color(tokens.quiet);
            let within = UiBuilder::new().max_rect(at).layout(Layout::left_to_right(Align::Center));
            let shown = ui.scope_builder(within, |ui| ui.label(words)).inner;
            why::explained(ui, &shown, whose, Subject::Quantity(Arc::new(Score(estimate))));
        });
    }
    small(ui, "Hollow marks: the design as it is.");
}

/// What else is known of a blend: gives `add` a name, a value, and what it is asked about.
fn numbers(
    (found, _, made): (&Found, Owner, &Evaluated),
    side: &Side<'_>,
    scene: &Scene<'_>,
    mut add: impl FnMut(&str, String, Subject),
) {
    let about = made.about(scene.library).read_in(scene.measures);
    let figures: [Arc<dyn AnyQuantity>; 4] =
        [Arc::new(SaponificationValue), Arc::new(IodineValue), Arc::new(SaturatedPerUnsaturated), Arc::new(Titre)];
    for quantity in figures {
        if let Ok(value) = quantities::text(quantity.as_ref(), about) {
            add(&quantity.title(about), value, Subject::Quantity(quantity));
        }
    }
    let sought = side.sought(scene);
    for number in [OfFound::Differs, OfFound::Objective] {
        if let Ok(value) = number.text(found, sought) {
            add(number.name(sought), value, Subject::Found(number));
        }
    }
}

/// The quantity of a measure.
pub fn quantity_of(measure: Measure) -> Arc<dyn AnyQuantity> {
    match measure {
        Measure::Estimate(estimate) => Arc::new(Score(estimate)),
        Measure::SaponificationValue => Arc::new(SaponificationValue),
        Measure::IodineValue => Arc::new(IodineValue),
        Measure::SaturatedPerUnsaturated => Arc::new(SaturatedPerUnsaturated),
    }
}

fn buttons(ui: &mut Ui, made: &Design, changes: &mut Changes) {
    ui.horizontal(|ui| {
        let take = ui.button(RichText::new("Take this blend").color(Tokens::of(ui).accent));
        if take.on_hover_text("Make it the blend of this design; undo takes it back").clicked() {
            changes.edit(Edit::TakeBlend(made.blend.clone()));
            changes.request(Request::ShowDesign);
        }
        let beside = ui.button("Open as a new design");
        if beside.on_hover_text("Make a design of its own with this blend, and keep this one").clicked() {
            let name = format!("{}, found", made.name.trim());
            changes.request(Request::Open(Box::new(Design { name, ..made.clone() })));
        }
    });
}
