//! What to see to before selling, by region.

use super::MakeView;
use crate::theme::Tokens;
use crate::widgets::{section, small, unseen};
use barwright_core::Design;
use barwright_core::bench::label::{Label, NO_ADVICE, Region, checklist};
use barwright_core::chemistry::cure::Cure;
use eframe::egui::{self, RichText, Ui};

/// The region in few words.
const fn short_words(region: Region) -> &'static str {
    match region {
        Region::EuUk => "EU and UK",
        Region::Us => "US",
    }
}

/// Draws the list.
pub fn show(ui: &mut Ui, view: &mut MakeView, design: &Design, label: &Label, cure: &Cure) {
    ui.add_space(7.0);
    ui.horizontal(|ui| {
        section(ui, "Before selling");
        for region in Region::ALL {
            let shown = ui.selectable_label(view.region == region, short_words(region));
            if shown.on_hover_text(region.words()).clicked() {
                view.region = region;
            }
        }
    });
    ui.add(egui::Label::new(RichText::new(NO_ADVICE).small().color(Tokens::of(ui).care)).wrap());
    for item in checklist(view.region, design, label, cure) {
        ui.horizontal_top(|ui| {
            ui.label("–");
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                ui.add(egui::Label::new(&item.text).wrap());
                small(ui, format!("{}{}", item.source, item.trust.map_or("", unseen::sign)));
            });
        });
    }
    unseen::legend(ui);
}
