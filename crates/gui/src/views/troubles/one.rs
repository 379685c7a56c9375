//! What is seen, and all that is said of it.

use crate::theme::{self, Tokens};
use crate::views::Changes;
use crate::views::figures::Figures;
use crate::widgets::{caution, heading, small};
use barwright_core::explain::About;
use barwright_core::quantities::AnyQuantity;
use barwright_core::troubles::{ALWAYS, Likely, Number, Safety, Support, TRUST, Trouble, Troubles};
use barwright_core::units::Measures;
use eframe::egui::{Align, Color32, Label, Layout, RichText, Ui};
use std::sync::Arc;

/// Lines of text are no longer than this, points.
const LONG: f32 = 760.0;
/// From this width on causes and remedies stand side by side.
const WIDE: f32 = 1000.0;

/// Whether a verdict forbids the use.
pub(super) const fn forbids(safety: Safety) -> bool {
    match safety {
        Safety::DoNotUse(_) => true,
        Safety::Safe(_) | Safety::SafeAfter(_) => false,
    }
}

const fn colour(safety: Safety, tokens: &Tokens) -> Color32 {
    match safety {
        Safety::Safe(_) => tokens.fine,
        Safety::SafeAfter(_) => tokens.care,
        Safety::DoNotUse(_) => tokens.stop,
    }
}

/// Draws `trouble`.
pub(super) fn show(
    ui: &mut Ui,
    troubles: &Troubles,
    trouble: &Trouble,
    about: About<'_>,
    measures: Measures,
    changes: &mut Changes,
) {
    let room = ui.available_width();
    let width = if room >= WIDE { room.min(2.0 * LONG) } else { room.min(LONG) };
    // A part of its own: the column around it is as wide as its panel.
    ui.vertical(|ui| {
        ui.set_max_width(width);
        told(ui, troubles, trouble, about, measures, changes);
    });
}

fn told(
    ui: &mut Ui,
    troubles: &Troubles,
    trouble: &Trouble,
    about: About<'_>,
    measures: Measures,
    changes: &mut Changes,
) {
    let tokens = Tokens::of(ui);
    for stop in &troubles.stops {
        if let Some(edit) = caution::show(ui, stop) {
            changes.edit(edit);
        }
    }
    let fault = trouble.fault;
    ui.label(RichText::new(fault.name).font(theme::strong(18.0)));
    wrapped(ui, RichText::new(format!("{}. {}.", fault.when.words(), fault.seen)).color(tokens.quiet));
    ui.add_space(4.0);
    let safety = trouble.safety;
    caution::framed(ui, safety.word(), colour(safety, tokens), |ui| wrapped(ui, RichText::new(safety.text())));
    ui.add_space(4.0);
    if ui.available_width() >= WIDE {
        ui.columns(2, |columns| {
            if let [left, right] = columns {
                // Columns stretch their lines.
                let plain = Layout::top_down(Align::Min);
                left.with_layout(plain, |ui| causes(ui, trouble, about, measures));
                right.with_layout(plain, |ui| remedies(ui, trouble));
            }
        });
    } else {
        causes(ui, trouble, about, measures);
        remedies(ui, trouble);
    }
}

fn wrapped(ui: &mut Ui, text: RichText) {
    ui.add(Label::new(text).wrap());
}

fn causes(ui: &mut Ui, trouble: &Trouble, about: About<'_>, measures: Measures) {
    heading(ui, "Likely causes");
    let (supported, usual): (Vec<&Likely>, Vec<&Likely>) = trouble.causes.iter().partition(|c| c.support.is_some());
    if supported.is_empty() {
        small(ui, "None stands in the numbers of this design");
    } else {
        small(ui, "Supported by the numbers of this design");
    }
    for likely in &supported {
        cause(ui, likely);
        if let Some(support) = &likely.support {
            number(ui, support, about, measures);
        }
    }
    if !supported.is_empty() && !usual.is_empty() {
        ui.add_space(4.0);
        small(ui, "Usual besides");
    }
    for likely in usual {
        cause(ui, likely);
    }
}

/// A cause in a line or two.
fn cause(ui: &mut Ui, likely: &Likely) {
    ui.horizontal_top(|ui| {
        ui.label("–");
        wrapped(ui, RichText::new(format!("{}: {}", likely.cause.name(), likely.how)));
    });
}

/// The number that supports a cause; one that is shown elsewhere explains itself.
fn number(ui: &mut Ui, support: &Support, about: About<'_>, measures: Measures) {
    let tokens = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        ui.add_space(14.0);
        ui.spacing_mut().item_spacing.x = 4.0;
        match &support.number {
            Number::Quantity(quantity) => {
                let figures = Figures::shown(about, measures);
                let text = format!("{} {}", AnyQuantity::title(&**quantity, about), figures.text(quantity.as_ref()));
                figures.asked(ui, Arc::clone(quantity), |ui| {
                    ui.link(RichText::new(text).font(theme::strong(13.0)).color(tokens.accent))
                });
            }
            Number::Chosen { name, value } => {
                ui.label(RichText::new(format!("{name} {value}")).font(theme::strong(13.0)));
            }
        }
        ui.label(RichText::new(format!("({})", support.against)).color(tokens.quiet));
    });
}

fn remedies(ui: &mut Ui, trouble: &Trouble) {
    heading(ui, "Now");
    wrapped(ui, RichText::new(trouble.fault.now));
    heading(ui, "Next time");
    wrapped(ui, RichText::new(trouble.fault.next_time));
    heading(ui, "Always");
    for sentence in ALWAYS {
        wrapped(ui, RichText::new(sentence).color(Tokens::of(ui).care));
    }
    small(ui, format!("All of this page: {}", TRUST.words()));
}
