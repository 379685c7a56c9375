//! Right column: the water account, where each gram of water comes from.

use crate::theme::{self, Tokens};
use crate::views::figures::Figures;
use crate::widgets::{self, heading};
use barwright_core::chemistry::masses::WaterSource;
use barwright_core::quantities::{About, AnyQuantity, LyeConcentration, WaterFrom, WaterRowMass, WaterTotal};
use eframe::egui::text::{LayoutJob, TextFormat};
use eframe::egui::{Response, RichText, TextStyle, Ui};

/// Draws the table.
pub fn show(ui: &mut Ui, of: Figures<'_>) {
    let About { design, evaluation, .. } = of.about;
    if evaluation.water.len() < 2 {
        return;
    }
    let tokens = Tokens::of(ui);
    heading(ui, "Water").on_hover_text("Where each gram comes from; what counts sums to what the rule asks for");
    for row in &evaluation.water {
        let Some(from) = WaterFrom::of(row.source, design) else { continue };
        let stage = row.stage.words().to_lowercase();
        let more = match (row.source, row.counted) {
            (WaterSource::Made, _) => "does not count".into(),
            (_, true) => stage,
            (_, false) => format!("{stage}, does not count"),
        };
        let colour = if row.counted { tokens.ink } else { tokens.quiet };
        let quantity = WaterRowMass(from);
        let name = AnyQuantity::title(&quantity, of.about);
        of.drawn(ui, quantity, |ui, mass| line(ui, &name, &more, RichText::new(mass).color(colour)));
    }
    let total = AnyQuantity::title(&WaterTotal, of.about);
    of.drawn(ui, WaterTotal, |ui, mass| line(ui, &total, "", RichText::new(mass).font(theme::strong(13.0))));
    if of.is_known(&LyeConcentration) {
        let name = AnyQuantity::title(&LyeConcentration, of.about);
        of.drawn(ui, LyeConcentration, |ui, percent| line(ui, &name, "", RichText::new(percent)));
    }
}

/// One line: a name, in small what belongs to it, and a figure at the right.
fn line(ui: &mut Ui, name: &str, more: &str, figure: RichText) -> Response {
    let tokens = Tokens::of(ui);
    let [body, small] = [TextStyle::Body, TextStyle::Small].map(|style| style.resolve(ui.style()));
    let with_more = |name: &str| {
        let mut text = LayoutJob::default();
        text.append(name, 0.0, TextFormat::simple(body.clone(), tokens.ink));
        if !more.is_empty() {
            text.append(more, 8.0, TextFormat::simple(small.clone(), tokens.quiet));
        }
        text
    };
    widgets::line(ui, name, with_more, |ui| ui.label(figure))
}
