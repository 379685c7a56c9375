//! Right column: the water account, where each gram of water comes from.

use crate::theme::{self, Tokens};
use crate::views::why;
use crate::widgets::heading;
use barwright_core::chemistry::masses::WaterSource;
use barwright_core::number::{self, fixed};
use barwright_core::units::MassUnit;
use barwright_core::{Design, Evaluation};
use eframe::egui::text::{LayoutJob, TextFormat};
use eframe::egui::{Align, Label, Layout, Response, RichText, TextStyle, Ui};

/// Draws the table.
pub fn show(ui: &mut Ui, design: &Design, evaluation: &Evaluation, unit: MassUnit) {
    if evaluation.water.len() < 2 {
        return;
    }
    let tokens = Tokens::of(ui);
    heading(ui, "Water").on_hover_text("Where each gram comes from; what counts sums to what the rule asks for");
    for (i, row) in evaluation.water.iter().enumerate() {
        let name = match row.source {
            WaterSource::Weighed => "To weigh",
            WaterSource::PotassiumHydroxide => "In the potassium hydroxide",
            WaterSource::Addition(i) => design.additions[i].addition.name.as_str(),
            WaterSource::Made => "Made by acids and alkali",
        };
        let stage = row.stage.words().to_lowercase();
        let more = match (row.source, row.counted) {
            (WaterSource::Made, _) => "does not count".into(),
            (_, true) => stage,
            (_, false) => format!("{stage}, does not count"),
        };
        let colour = if row.counted { tokens.ink } else { tokens.quiet };
        let shown = line(ui, name, &more, RichText::new(number::mass(row.mass, unit)).color(colour));
        why::explained(ui, &shown, &format!("water.{i}.mass_g"));
    }
    let total = number::mass(evaluation.masses.water_total, unit);
    let shown = line(ui, "What counts", "", RichText::new(total).font(theme::strong(13.0)));
    why::explained(ui, &shown, "batch.water_total_g");
    if let Some(lye) = evaluation.masses.lye_concentration() {
        let shown = line(ui, "Lye in all", "", RichText::new(format!("{} %", fixed(lye, 1))));
        why::explained(ui, &shown, "batch.lye_concentration_pct");
    }
}

/// One line: a name, in small what belongs to it, and a figure at the right.
fn line(ui: &mut Ui, name: &str, more: &str, figure: RichText) -> Response {
    let quiet = Tokens::of(ui).quiet;
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let shown = ui.label(figure);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let mut text = LayoutJob::default();
                let body = TextStyle::Body.resolve(ui.style());
                text.append(name, 0.0, TextFormat::simple(body, Tokens::of(ui).ink));
                if !more.is_empty() {
                    text.append(more, 8.0, TextFormat::simple(TextStyle::Small.resolve(ui.style()), quiet));
                }
                ui.add(Label::new(text).truncate());
            });
            shown
        })
        .inner
    })
    .inner
}
