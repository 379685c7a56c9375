//! Middle column, under the picture: what colour the bar may have, and what becomes of it.

use crate::theme::Tokens;
use crate::views::figures::Figures;
use crate::widgets::steady::steady;
use crate::widgets::{name, section, small};
use barwright_core::bench::colour::{self, OVER_TIME};
use barwright_core::chemistry::colour::optics::{Lab, on_screen};
use barwright_core::library::shade::Shade;
use barwright_core::quantities::Carotenes;
use eframe::egui::{Color32, CornerRadius, RichText, Sense, Stroke, StrokeKind, Ui, vec2};

/// A swatch, points.
const SWATCH: [f32; 2] = [74.0, 34.0];
/// One of half, this and double, points.
const SMALL: [f32; 2] = [52.0, 22.0];

/// The colour in which soap of this design is drawn: the likely one, or that of any plain bar where none can be told.
pub fn drawn_in(of: Figures<'_>) -> Shade {
    let forecast = colour::forecast(of.about.design, of.about.evaluation, of.about.library);
    let likely = forecast.and_then(|forecast| Some(forecast.shades(1.0)?.likely));
    likely.map_or(Shade::PLAIN, |colour| Shade { rgb: on_screen(colour) })
}

/// Draws the card; nothing without fats.
pub fn show(ui: &mut Ui, of: Figures<'_>) {
    let Some(forecast) = colour::forecast(of.about.design, of.about.evaluation, of.about.library) else { return };
    section(ui, "Colour");
    let words = forecast.words(of.about.design);
    let shades = forecast.shades(1.0).filter(|_| forecast.is_visible());
    if let Some(shades) = shades {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
            for (title, colour) in [
                ("plain", forecast.plain()),
                ("pale end", shades.pale),
                ("likely", shades.likely),
                ("deep end", shades.deep),
            ] {
                swatch(ui, colour, SWATCH, title);
            }
            ui.add_space(14.0);
            for (title, times) in [("half", 0.5), ("this", 1.0), ("double", 2.0)] {
                if let Some(shades) = forecast.shades(times) {
                    swatch(ui, shades.likely, SMALL, title);
                }
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
    if shades.is_some() {
        small(ui, forecast.basis_words());
        small(ui, OVER_TIME);
    }
}

/// A patch of a colour over its title, told in words to who cannot see it.
fn swatch(ui: &mut Ui, colour: Lab, size: [f32; 2], title: &str) {
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
