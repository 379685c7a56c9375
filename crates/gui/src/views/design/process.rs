//! Left column: temperatures, and what the jug cools in.

use super::controls::{Written, id_of, quantity, row, temperature};
use super::{DesignView, Scene};
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::widgets::number_field::{NumberField, complain};
use crate::widgets::{heading, name};
use barwright_core::chemistry::inputs::{IN_AIR, IN_BATH};
use barwright_core::chemistry::jug::{self, Cooling};
use barwright_core::design::edit::Edit;
use barwright_core::design::{Calibration, Process, Surroundings};
use barwright_core::formula::Plain;
use barwright_core::number::{self, fixed, short};
use barwright_core::quantity::Unit;
use barwright_core::units::{Celsius, Measures, Minutes, Share, TimeConstant, in_percent};
use eframe::egui::{self, Id, RichText, TextEdit, Ui};
use std::sync::Arc;

/// A reading of the jug's thermometer as it is being typed.
#[derive(Debug, Clone, Default)]
pub struct Reading {
    minutes: String,
    celsius: String,
    refused: Option<String>,
}

/// Draws the controls.
pub fn show(ui: &mut Ui, open: &OpenDesign, view: &mut DesignView, scene: &Scene<'_>, changes: &mut Changes) {
    let process = open.design().process.clone();
    let measures = scene.measures;
    heading(ui, "Temperatures");
    let ids = ["room", "mix", "fats", "jug water", "frozen", "bath", "cooling"].map(|w| id_of(open, w));
    let set = |change: &dyn Fn(&mut Process)| {
        let mut next = process.clone();
        change(&mut next);
        Edit::Process(next)
    };
    row(ui, "Room", |ui| {
        temperature(ui, changes, ids[0], ("Temperature of the room", measures), process.room_c, |t| {
            set(&|p| p.room_c = t)
        });
        ui.label("water");
        let water = process.jug_water_c.unwrap_or(process.room_c);
        let field = "Temperature of the water in the jug";
        temperature(ui, changes, ids[3], (field, measures), water, |t| {
            set(&|p| p.jug_water_c = Some(t).filter(|t| *t != p.room_c))
        })
        .on_hover_text("The liquid water before the alkali goes in; as the room if it is not set");
    });
    NumberField::complaint(ui, ids[0]);
    NumberField::complaint(ui, ids[3]);
    row(ui, "Lye at", |ui| {
        let field = "Temperature of the lye when it meets the fats";
        temperature(ui, changes, ids[1], (field, measures), process.mix_c, |t| set(&|p| p.mix_c = t)).on_hover_text(
            format!(
                "The trade brings lye and fats to about {} (common practice, no source)",
                Unit::Celsius.short_in(Process::default().mix_c.get(), 0, measures)
            ),
        );
        ui.label("fats");
        let fats = process.fats_c.unwrap_or(process.mix_c);
        let field = "Temperature of the fats when they meet the lye";
        temperature(ui, changes, ids[2], (field, measures), fats, |t| {
            set(&|p| p.fats_c = Some(t).filter(|t| *t != p.mix_c))
        });
    });
    NumberField::complaint(ui, ids[1]);
    NumberField::complaint(ui, ids[2]);
    row(ui, "Frozen", |ui| {
        let written =
            Written { name: "Frozen part of the jug’s water", unit: "%", step: 5.0, decimals: 1, width: 62.0 };
        quantity(ui, changes, ids[4], written, process.jug_frozen, |f: Share| set(&|p| p.jug_frozen = f))
            .on_hover_text("Ice, or milk and juice frozen before the alkali goes in: percent of the jug’s water");
        // What lye scorches goes in frozen, said or not: the field alone would hide it. One text, whatever it says, so that
        // the controls after it stay the same to the keyboard.
        let counted = in_percent(jug::frozen(Plain, open.design(), &open.evaluation(scene.library).masses));
        let is_more = counted > process.jug_frozen.get() + 0.05;
        let text = if is_more {
            format!("of the jug’s water; {} % counted", fixed(counted, 1))
        } else {
            "of the jug’s water".into()
        };
        ui.label(text)
            .on_hover_text("At the least the water of what lye scorches is counted: it goes into the jug frozen");
    });
    NumberField::complaint(ui, ids[4]);
    row(ui, "Jug in", |ui| {
        let bath = matches!(process.jug_stands, Surroundings::Bath(_));
        let measured = open.design().calibration.jug_cooling_min.is_some();
        let mut stands = |ui: &mut Ui, text: &str, on: bool, to: Surroundings| {
            let label = ui.selectable_label(on, text);
            let tip = "Another surrounding cools at another rate: a reading taken in this one is forgotten";
            let label = if measured && !on { label.on_hover_text(tip) } else { label };
            if label.clicked() && !on {
                changes.edit(Edit::JugStands(to));
            }
        };
        stands(ui, "air", !bath, Surroundings::Air);
        stands(ui, "water bath", bath, Surroundings::Bath(Celsius::nearest(10.0)));
        if let Surroundings::Bath(t) = process.jug_stands {
            temperature(ui, changes, ids[5], ("Temperature of the bath", measures), t, |t| {
                set(&|p| p.jug_stands = Surroundings::Bath(t))
            });
        }
    });
    NumberField::complaint(ui, ids[5]);
    cooling(ui, open, view, scene, changes, ids[6]);
}

/// The jug's time constant, and one reading that calibrates it.
fn cooling(ui: &mut Ui, open: &OpenDesign, view: &mut DesignView, scene: &Scene<'_>, changes: &mut Changes, id: Id) {
    let evaluation = open.evaluation(scene.library);
    let design = Arc::clone(open.design());
    let Some(cooling) = evaluation.jug.as_ref().and_then(|j| j.cooling) else { return };
    let calibration = design.calibration.clone();
    row(ui, "Reading", |ui| {
        let typed = |ui: &mut Ui, text: &mut String, hint: &str, label: &str, salt: &str| {
            let edit = TextEdit::singleline(text)
                .id(id.with(salt))
                .hint_text(hint)
                .desired_width(44.0)
                .margin(egui::Margin::symmetric(5, 3));
            let response = ui.add(edit);
            name(ui, &response, label);
        };
        let reading = &mut view.reading;
        let degrees = scene.measures.temperature.sign();
        typed(ui, &mut reading.celsius, degrees, &format!("Reading of the jug, {degrees}"), "reading celsius");
        ui.label("after");
        typed(ui, &mut reading.minutes, "min", "Minutes until the reading", "reading minutes");
        let button = ui.button("Calibrate");
        if button.on_hover_text("From its hottest on, how warm was the jug after how many minutes?").clicked() {
            match calibrated(reading, &cooling, scene.measures) {
                Ok(constant) => {
                    *reading = Reading::default();
                    changes.edit(Edit::Calibration(Calibration {
                        jug_cooling_min: Some(constant),
                        ..calibration.clone()
                    }));
                }
                Err(why) => reading.refused = Some(why),
            }
        }
    });
    if let Some(why) = &view.reading.refused {
        complain(ui, why);
    }
    ui.horizontal(|ui| {
        let constant = short(cooling.constant, 1);
        let usual = if matches!(design.process.jug_stands, Surroundings::Air) { IN_AIR } else { IN_BATH };
        let text = if calibration.jug_cooling_min.is_some() {
            format!("63 % of the way to the room in {constant} min, from your reading")
        } else {
            format!("63 % of the way to the room in {} min, our judgement", short(usual, 1))
        };
        ui.label(RichText::new(text).small().color(Tokens::of(ui).quiet));
        if calibration.jug_cooling_min.is_some() && ui.small_button("Forget it").clicked() {
            changes.edit(Edit::Calibration(Calibration { jug_cooling_min: None, ..calibration }));
        }
    });
}

/// The time constant that the typed reading gives.
fn calibrated(reading: &Reading, cooling: &Cooling, measures: Measures) -> Result<TimeConstant, String> {
    let celsius = Unit::Celsius.parse_in(&reading.celsius, measures).map_err(|e| format!("The temperature: {e}"))?;
    let minutes = number::parse(&reading.minutes, &["min"]).map_err(|e| format!("The minutes: {e}"))?;
    let minutes = Minutes::new(minutes).map_err(|e| e.to_string())?;
    cooling.calibrated(minutes, celsius).map_err(|e| e.to_string())
}
