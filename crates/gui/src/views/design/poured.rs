//! Left column: where the filled mould stands, in an oven or not.

use super::Scene;
use super::controls::{Written, id_of, quantity, row, temperature};
use crate::open::OpenDesign;
use crate::views::Changes;
use crate::widgets::number_field::NumberField;
use crate::widgets::{heading, name};
use barwright_core::design::edit::Edit;
use barwright_core::design::{OvenGel, Process, Rest};
use barwright_core::quantity::Unit;
use barwright_core::units::OvenSetting;
use eframe::egui::{ComboBox, Ui};

/// What the list says of the oven.
const IN_OVEN: &str = "In a warm oven";

/// Draws the controls.
pub fn show(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let measures = scene.measures;
    let process = &open.design().process;
    let set = |oven_gel: Option<OvenGel>, rest: Rest| Edit::Process(Process { oven_gel, rest, ..process.clone() });
    heading(ui, "After pouring");
    row(ui, "Mould", |ui| {
        let now = process.oven_gel.map_or(process.rest.words(), |_| IN_OVEN);
        let combo = ComboBox::from_id_salt("mould stands").selected_text(now).width(ui.available_size_before_wrap().x);
        let response = combo.show_ui(ui, |ui| {
            for rest in Rest::ALL {
                let on = process.oven_gel.is_none() && rest == process.rest;
                if ui.selectable_label(on, rest.words()).clicked() && !on {
                    changes.edit(set(None, rest));
                    ui.close();
                }
            }
            let on = process.oven_gel.is_some();
            if ui.selectable_label(on, IN_OVEN).clicked() && !on {
                changes.edit(set(Some(OvenGel::default()), process.rest));
                // The Enter key leaves a list open.
                ui.close();
            }
        });
        name(ui, &response.response, "Where the filled mould stands");
    });
    let Some(oven) = process.oven_gel else { return };
    let [oven_id, minutes_id] = ["oven", "oven minutes"].map(|w| id_of(open, w));
    row(ui, "Oven", |ui| {
        let warmer = |t: OvenSetting| set(Some(OvenGel { oven_c: t.into(), ..oven }), process.rest);
        temperature(ui, changes, oven_id, ("Temperature of the oven", measures), oven.oven_c, warmer).on_hover_text(
            format!(
                "Usual is {} to {} (common practice, no source). Over {} the water in the caustic batter boils",
                Unit::Celsius.short_number_in(OvenGel::USUAL_C[0], 0, measures),
                Unit::Celsius.short_in(OvenGel::USUAL_C[1], 0, measures),
                Unit::Celsius.short_in(OvenGel::MOST_C, 0, measures)
            ),
        );
        ui.label("for");
        let written = Written { name: "Minutes in the oven", unit: "min", step: 5.0, decimals: 1, width: 66.0 };
        quantity(ui, changes, minutes_id, written, oven.minutes, |minutes| {
            set(Some(OvenGel { minutes, ..oven }), process.rest)
        })
        .on_hover_text(
            "Usual is 30 to 60 minutes; then the oven is off and the mould stays in (common practice, no source)",
        );
    });
    NumberField::complaint(ui, oven_id);
    NumberField::complaint(ui, minutes_id);
}
