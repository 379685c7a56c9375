//! What colour the bar may have, on what that rests, and what becomes of it: the same card wherever a bar is drawn.

use crate::theme::Tokens;
use crate::views::figures::Figures;
use crate::widgets::steady::steady;
use crate::widgets::{name, section, small};
use barwright_core::bench::colour;
use barwright_core::chemistry::colour::forecast::{Basis, Forecast, Seen};
use barwright_core::chemistry::colour::optics::{Lab, on_screen};
use barwright_core::library::shade::Shade;
use barwright_core::quantities::{About, Carotenes, HalfGone};
use eframe::egui::{Align, Color32, CornerRadius, Layout, RichText, Sense, Stroke, StrokeKind, Ui, vec2};

/// A swatch, points.
const SWATCH: [f32; 2] = [70.0, 34.0];
/// One of half, this and double, points.
const SMALL: [f32; 2] = [52.0, 22.0];

/// Between two patches, and between the strip and the amounts, points.
const GAP: f32 = 6.0;
const BETWEEN: f32 = 14.0;

/// What a person asks for at the card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// To match a bar that was made.
    Match,
    /// To forget one that was.
    Forget(Seen),
}

/// What is known of the colour of the bars of `about`; `None` without fats.
fn forecast(about: About<'_>) -> Option<Forecast<'_>> {
    colour::forecast(about.design, about.evaluation, about.library)
}

/// The colour in which soap of this design is drawn: the likely one, or that of any plain bar where none can be told.
pub fn drawn_in(of: Figures<'_>) -> Shade {
    let likely = forecast(of.about).and_then(|forecast| Some(forecast.shades(1.0)?.likely));
    likely.map_or(Shade::PLAIN, |colour| Shade { rgb: on_screen(colour) })
}

/// Draws the card, with what can be done about it if `can_ask`; nothing without fats.
pub fn show(ui: &mut Ui, of: Figures<'_>, can_ask: bool) -> Option<Asked> {
    let forecast = forecast(of.about)?;
    let asked = heading(ui, &forecast, can_ask);
    let words = forecast.words(of.about.design);
    let shades = forecast.shades(1.0).filter(|_| forecast.is_visible());
    if let Some(shades) = shades {
        let strip = [
            ("plain", forecast.plain()),
            ("pale end", shades.pale),
            ("likely", shades.likely),
            ("deep end", shades.deep),
        ];
        let amounts = [("half", 0.5), ("this", 1.0), ("double", 2.0)]
            .map(|(title, times)| (title, forecast.mixture.colour(forecast.strengths[1], times)));
        let is_wide = ui.available_width() >= 4.0 * (SWATCH[0] + GAP) + BETWEEN + 3.0 * SMALL[0] + 2.0 * GAP;
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing = vec2(GAP, 4.0);
            if is_wide {
                ui.horizontal(|ui| {
                    row(ui, &strip, SWATCH);
                    ui.add_space(BETWEEN);
                    row(ui, &amounts, SMALL);
                });
            } else {
                ui.horizontal(|ui| row(ui, &strip, SWATCH));
                ui.horizontal(|ui| row(ui, &amounts, SMALL));
            }
        });
    }
    steady(ui, "words of the colour", |ui| {
        for (i, sentence) in words.iter().enumerate() {
            if i == 0 && shades.is_some() {
                // The amount in the sentence explains itself.
                of.drawn(ui, Carotenes, |ui, _| ui.label(RichText::new(sentence)));
            } else {
                ui.label(sentence);
            }
        }
    });
    let has_basis = shades.is_some() || matches!(forecast.basis, Basis::PlainBar(_));
    if has_basis {
        small(ui, forecast.basis_words());
    }
    if let Some(words) = forecast.over_time().filter(|_| shades.is_some()) {
        if forecast.fading.is_some_and(|fading| fading.halves().is_some()) {
            // The time in the sentence explains itself.
            of.drawn(ui, HalfGone, |ui, _| small(ui, words));
        } else {
            small(ui, words);
        }
    }
    asked
}

/// The heading, with what can be done if `can_ask`.
fn heading(ui: &mut Ui, forecast: &Forecast<'_>, can_ask: bool) -> Option<Asked> {
    let mut asked = None;
    ui.horizontal(|ui| {
        section(ui, "Colour");
        if !can_ask {
            return;
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let button = ui.button("Match a bar I made…");
            if button.on_hover_text("Say what a bar looked like, so that the next ones are told from it").clicked() {
                asked = Some(Asked::Match);
            }
            if let Basis::OwnBar(seen) | Basis::PlainBar(seen) = forecast.basis
                && ui.button("Forget it").on_hover_text(format!("Count without {}", seen.words())).clicked()
            {
                asked = Some(Asked::Forget(seen));
            }
        });
    });
    asked
}

/// Patches beside each other, narrower where there is less room.
fn row(ui: &mut Ui, colours: &[(&str, Lab)], [width, height]: [f32; 2]) {
    let n = colours.len() as f32;
    let width = width.min((ui.available_width() - (n - 1.0) * GAP) / n).max(1.0);
    for (title, colour) in colours {
        swatch(ui, *colour, [width, height], title);
    }
}

/// A patch of a colour over its title, told in words to who cannot see it.
pub fn swatch(ui: &mut Ui, colour: Lab, size: [f32; 2], title: &str) {
    let [red, green, blue] = on_screen(colour);
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        let (rect, response) = ui.allocate_exact_size(size.into(), Sense::hover());
        let edge = Stroke::new(1.0, Tokens::of(ui).edge);
        ui.painter().rect(rect, CornerRadius::same(4), Color32::from_rgb(red, green, blue), edge, StrokeKind::Inside);
        name(ui, &response, &format!("Colour of the bar, {title}: {}", colour::name(colour)));
        small(ui, title);
    });
}

/// The place of a patch whose colour is not known.
pub fn no_swatch(ui: &mut Ui, size: [f32; 2], title: &str) {
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        let (rect, _) = ui.allocate_exact_size(size.into(), Sense::hover());
        let edge = Stroke::new(1.0, Tokens::of(ui).edge);
        ui.painter().rect_stroke(rect, CornerRadius::same(4), edge, StrokeKind::Inside);
        small(ui, title);
    });
}

/// The likely colour within a line: a patch, its name or why there is none, and on what it rests.
pub fn line(ui: &mut Ui, about: About<'_>) {
    let Some(forecast) = forecast(about) else { return };
    let words = forecast.words(about.design);
    let basis = forecast.basis_words();
    let shown = if let Some(shades) = forecast.shades(1.0) {
        let [red, green, blue] = on_screen(shades.likely);
        let (rect, _) = ui.allocate_exact_size(vec2(34.0, 16.0), Sense::hover());
        let edge = Stroke::new(1.0, Tokens::of(ui).edge);
        let fill = Color32::from_rgb(red, green, blue);
        ui.painter().rect(rect, CornerRadius::same(3), fill, edge, StrokeKind::Inside);
        ui.label(colour::name(shades.likely))
    } else {
        ui.label("no shade can be told")
    };
    let told = if forecast.shades(1.0).is_some() { format!("{}\n{basis}", words.join("\n")) } else { words.join("\n") };
    shown.on_hover_text(told);
}

/// On what the colour rests, in a word or two.
pub fn basis(about: About<'_>) -> String {
    forecast(about).map_or_else(String::new, |forecast| match forecast.basis {
        _ if forecast.shades(1.0).is_none() => String::new(),
        // Without colour in it the fats alone give the shade.
        Basis::Tables { .. } if forecast.mg_per_kg <= 0.0 => "from its fats alone".into(),
        Basis::Tables { .. } => "from food tables".into(),
        Basis::PlainBar(_) => "from your plain bar".into(),
        Basis::OwnBar(seen) => format!("from {}", seen.words()),
    })
}
