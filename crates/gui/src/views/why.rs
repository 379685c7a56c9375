//! A small window that explains a number: its formula with this design's numbers put in, what goes
//! in and whence, how far to trust it, and what would change it most.

use crate::cache::Kept;
use crate::keyboard;
use crate::theme::{self, Tokens};
use crate::widgets::lane::position;
use crate::widgets::{heading, small};
use barwright_core::explain::{AnyQuantity, Ranges, Why, WhyError};
use barwright_core::number::short;
use barwright_core::quantities::{OfFound, OfSearch};
use barwright_core::units::Measures;
use eframe::egui::{
    self, Align2, CornerRadius, CursorIcon, FontId, Id, Label, Pos2, Rect, Response, RichText, Role, ScrollArea, Sense,
    Ui, WidgetInfo, Window, pos2, vec2,
};
use std::rc::Rc;
use std::sync::Arc;

/// Whose number is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Owner {
    /// Of the design in hand, or of its batch.
    Shown,
    /// Of the design in this column.
    Column(usize),
    /// How far this column lies above the first.
    Difference(usize),
    /// Of the blend at this place among those found.
    Found(usize),
    /// Of the blend that was picked on a curve.
    Picked,
    /// Of the search itself.
    Search,
}

/// What was asked about.
#[derive(Debug, Clone, PartialEq)]
pub enum Subject {
    /// A quantity of a design.
    Quantity(Arc<dyn AnyQuantity>),
    /// A row of a comparison, by its key.
    Row(String),
    /// How much of their acids two designs share.
    SharedAcids,
    /// The step of the schedule at this position.
    Step(usize),
    /// The hint under the lanes.
    Hint,
    /// A number of a blend that was found.
    Found(OfFound),
    /// A number of the search.
    Search(OfSearch),
}

/// A number that was asked about.
#[derive(Debug, Clone)]
struct Asked {
    whose: Owner,
    subject: Subject,
    /// Where it was clicked, until the window stands beside it.
    at: Option<Pos2>,
}

fn asked_id() -> Id {
    Id::unique("why asked")
}

/// Makes the number shown by `response` one that can be clicked to be explained.
pub fn explained(ui: &Ui, response: &Response, whose: Owner, subject: Subject) -> Response {
    let response = keyboard::sense_click(response).on_hover_cursor(CursorIcon::Help);
    if response.clicked() {
        ask(ui, whose, subject);
    }
    response
}

/// Asks about a number that a menu offers to explain.
pub fn ask(ui: &Ui, whose: Owner, subject: Subject) {
    let at = ui.input(|i| i.pointer.interact_pos()).or(Some(ui.max_rect().center()));
    ui.data_mut(|d| d.insert_temp(asked_id(), Asked { whose, subject, at }));
}

/// Whether a number is asked about.
pub fn is_asked(ui: &Ui) -> bool {
    ui.data(|d| d.get_temp::<Asked>(asked_id())).is_some()
}

/// How a number is explained, or why it is not.
pub type Explanation = Rc<Result<Why, WhyError>>;

/// Explanations that were worked out. An `S` stands for all that is in sight: when it changes they
/// are worked out anew.
pub type Explanations<S> = Kept<(S, Owner, Subject), Option<Explanation>>;

/// Width of the window, points.
const WIDTH: f32 = 420.0;
/// Room that it leaves above and below.
const TOP: f32 = 66.0;
/// How far it stands from what was clicked.
const APART: f32 = 70.0;
/// A value with more signs is not repeated in the title.
const LONG: usize = 24;

/// Where the window stands so that what was clicked at `at` stays in sight: at the side with more room.
fn beside(at: Pos2, screen: Rect) -> Pos2 {
    let x = if at.x > screen.center().x { at.x - APART - WIDTH - 16.0 } else { at.x + APART };
    pos2(x.max(screen.left()), screen.top() + TOP)
}

/// Draws the window if a number was asked about that `explain` knows of the present `state`; others
/// close it, since what they belong to is not in sight.
pub fn show<S: PartialEq>(
    ui: &Ui,
    measures: Measures,
    kept: &Explanations<S>,
    state: S,
    explain: impl FnOnce(Owner, &Subject) -> Option<Result<Why, WhyError>>,
) {
    let Some(mut asked) = ui.data(|d| d.get_temp::<Asked>(asked_id())) else { return };
    let (whose, subject) = (asked.whose, asked.subject.clone());
    let explained = kept.get((state, whose, subject), || explain(whose, &asked.subject).map(Rc::new));
    let Some(explanation) = explained else {
        ui.data_mut(|d| d.remove::<Asked>(asked_id()));
        return;
    };
    let mut open = true;
    let title = match explanation.as_ref() {
        Ok(why) if why.value.chars().count() <= LONG => format!("Why {}?", why.value),
        _ => "Why?".into(),
    };
    let screen = ui.ctx().content_rect();
    let height = (screen.height() - 2.0 * TOP).clamp(120.0, 900.0);
    let mut window = Window::new(title)
        .id(Id::unique("why"))
        .open(&mut open)
        .collapsible(false)
        .default_size([WIDTH, height])
        .constrain_to(screen);
    if let Some(at) = asked.at.take() {
        window = window.current_pos(beside(at, screen));
        ui.data_mut(|d| d.insert_temp(asked_id(), asked.clone()));
    }
    window.show(ui.ctx(), |ui| {
        ScrollArea::vertical().max_height(height).show(ui, |ui| match explanation.as_ref() {
            Ok(why) => content(ui, why, measures),
            Err(error) => {
                ui.add(Label::new(error.to_string()).wrap());
            }
        });
    });
    if !open || ui.input(|i| i.key_pressed(egui::Key::Escape)) {
        ui.data_mut(|d| d.remove::<Asked>(asked_id()));
    }
}

fn content(ui: &mut Ui, why: &Why, measures: Measures) {
    let quiet = Tokens::of(ui).quiet;
    let wrapped = |ui: &mut Ui, text: RichText| {
        ui.add(Label::new(text).wrap());
    };
    ui.spacing_mut().item_spacing.y = 3.0;
    wrapped(ui, RichText::new(format!("{}: {}", why.title, why.value)).font(theme::strong(14.0)));
    if let Some(told) = measures.in_metric() {
        small(ui, told);
    }
    heading(ui, "Formula");
    wrapped(ui, RichText::new(&why.formula));
    heading(ui, "With the numbers put in");
    wrapped(ui, RichText::new(&why.with_numbers));
    if !why.ranges.is_empty() {
        heading(ui, "Where the fats’ values lie, mg KOH/g");
        why.ranges.iter().for_each(|ranges| picture(ui, ranges));
    }
    heading(ui, "How far to trust it");
    wrapped(ui, RichText::new(&why.trust));
    heading(ui, why.heading_of_changes());
    for change in &why.changes {
        wrapped(ui, RichText::new(format!("{}: {}", change.what, change.effect)));
    }
    if why.changes.is_empty() {
        small(ui, why.without_changes());
    }
    // The longest list stands last, so that the rest is in sight.
    if !why.inputs.is_empty() {
        heading(ui, "What goes in");
    }
    for input in &why.inputs {
        wrapped(ui, RichText::new(format!("{}: {}", input.name, input.value)));
        wrapped(ui, RichText::new(input.source_with_trust()).small().color(quiet));
    }
}

/// The ranges of one fat, each as a line of its own on a scale that holds all of them.
fn picture(ui: &mut Ui, ranges: &Ranges) {
    const LINE: f32 = 15.0;
    const NAMES: f32 = 132.0;
    const FIGURES: f32 = 104.0;
    let Some(scale) = ranges.hull() else { return };
    let tokens = Tokens::of(ui);
    ui.label(&ranges.of);
    for (i, (name, range)) in ranges.all.iter().enumerate() {
        let figures = format!("{} to {}", short(range.min(), 1), short(range.max(), 1));
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), LINE), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("{}, {name}: {figures}", ranges.of)));
        let (painter, small) = (ui.painter(), FontId::proportional(11.0));
        painter.text(rect.left_center(), Align2::LEFT_CENTER, name, small.clone(), tokens.quiet);
        painter.text(rect.right_center(), Align2::RIGHT_CENTER, &figures, small, tokens.ink);
        let lane = Rect::from_x_y_ranges(rect.left() + NAMES..=rect.right() - FIGURES, rect.y_range());
        let x = |value| position(lane, scale, value);
        let (left, right) = (x(range.min()), x(range.max()));
        let band = Rect::from_x_y_ranges(left..=right.max(left + 2.0), rect.center().y - 3.0..=rect.center().y + 3.0);
        let is_last = i + 1 == ranges.all.len();
        painter.rect_filled(band, CornerRadius::same(2), if is_last { tokens.accent } else { tokens.edge });
    }
}
