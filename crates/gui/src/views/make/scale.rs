//! The line at the top: how large the batch is made, without touching the design.

use super::{MakeView, kept};
use crate::command::Command;
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::design::controls::{bounded, id_of};
use crate::views::why::{self, Owner, Subject};
use crate::views::{Changes, Request};
use crate::widgets::number_field::{NumberField, complain};
use crate::widgets::section;
use barwright_core::Library;
use barwright_core::chemistry::masses::Masses;
use barwright_core::chemistry::scale::Scale;
use barwright_core::design::edit::Edit;
use barwright_core::number::{self, short};
use barwright_core::quantities::AllFats;
use barwright_core::units::{Bars, FatMass, Measures, Multiple};
use eframe::egui::{Id, RichText, Ui};
use std::sync::Arc;

/// The batch in a few words.
fn words(batch: &Masses, measures: Measures) -> String {
    let fats = number::mass(batch.fats, measures.mass);
    let bar = number::mass(batch.bar_fresh, measures.mass);
    if batch.bars == 1 {
        format!("{fats} of fats, one bar of {bar} fresh")
    } else {
        format!("{fats} of fats, {} bars of {bar} fresh", batch.bars)
    }
}

/// Draws the line.
pub fn show(
    ui: &mut Ui,
    view: &mut MakeView,
    open: &OpenDesign,
    library: &Library,
    measures: Measures,
    changes: &mut Changes,
) {
    let designed = open.evaluation(library).masses;
    let now = view.batch(open, library).map_or(designed, |batch| batch.evaluation.masses);
    let id = id_of(open, "make scale");
    ui.horizontal_wrapped(|ui| {
        ui.set_min_height(28.0);
        section(ui, "This batch");
        let ways = [
            (None, "As designed", "The size that the design says"),
            (Some(Scale::Times(Multiple::nearest(2.0))), "So many times", "The design’s batch so many times"),
            (Bars::new(now.bars).ok().map(Scale::Bars), "So many bars", "For so many bars like those designed"),
            (Some(Scale::Fats(FatMass::nearest(now.fats.0))), "So much fat", "With so much fat in all"),
        ];
        for (way, text, tip) in ways {
            let chosen = view.scale.map(|s| std::mem::discriminant(&s)) == way.map(|s| std::mem::discriminant(&s));
            if ui.selectable_label(chosen, text).on_hover_text(tip).clicked() && !chosen {
                view.scale = way;
            }
        }
        if let Some(scale) = view.scale {
            view.scale = field(ui, id, scale, measures).or(view.scale);
        }
        let size = RichText::new(words(&now, measures)).color(Tokens::of(ui).quiet);
        let shown = ui.label(size);
        why::explained(ui, &shown, Owner::Shown, Subject::Quantity(Arc::new(AllFats)));
        if let Some(scale) = view.scale {
            let button = ui.button("Make it the design’s size");
            let button = button.on_hover_text("The design’s batch becomes this large, as a step that can be undone");
            if button.clicked()
                && let Ok(scaled) = scale.scaled(open.design())
            {
                changes.edit(Edit::Scale(scaled));
                view.scale = None;
            }
        }
        let troubles = Command::ShowTroubles;
        if ui.button(format!("{}…", troubles.text())).on_hover_text(troubles.tip()).clicked() {
            changes.request(Request::ShowTroubles);
        }
    });
    NumberField::complaint(ui, id);
    if view.scale.is_some() {
        match view.batch(open, library) {
            Ok(_) => {
                let designed = words(&designed, measures);
                let text = format!(
                    "Only this view is scaled, with its sheet, dates, label and cost. The design stays at {designed}."
                );
                ui.label(RichText::new(text).small().color(Tokens::of(ui).care));
            }
            Err(error) => complain(ui, &format!("The batch is shown as designed: {error}.")),
        }
    }
}

fn field(ui: &mut Ui, id: Id, scale: Scale, measures: Measures) -> Option<Scale> {
    match scale {
        Scale::Times(times) => {
            let shown = format!("{} ×", short(times.get(), 2));
            let field = NumberField { id, name: "Times as large as designed", shown: &shown, width: 62.0 };
            let read = |text: &str| bounded(number::parse(text, &["×", "x"])).map(Scale::Times);
            kept(ui, &field, read, |by| Some(Scale::Times(Multiple::nearest(times.get() + by))))
        }
        Scale::Bars(bars) => {
            let shown = bars.get().to_string();
            let field = NumberField { id, name: "Bars to make", shown: &shown, width: 62.0 };
            let read = |text: &str| {
                let count: u32 = text.trim().parse().ok().ok_or("type a whole number of bars")?;
                Bars::new(count).map(Scale::Bars).map_err(|e| e.to_string())
            };
            let step = |by: f64| {
                let next = if by > 0.0 { bars.get() + 1 } else { bars.get() - 1 };
                Bars::new(next).ok().map(Scale::Bars)
            };
            kept(ui, &field, read, step)
        }
        Scale::Fats(mass) => {
            let shown = number::mass(barwright_core::units::Grams(mass.get()), measures.mass);
            let field = NumberField { id, name: "Fats of this batch", shown: &shown, width: 84.0 };
            let read = |text: &str| {
                let mass = number::parse_mass(text, measures.mass).map_err(|e| e.to_string())?;
                FatMass::new(mass.0).map(Scale::Fats).map_err(|e| e.to_string())
            };
            let step = |by: f64| FatMass::nearest(mass.get() + measures.mass.step(10.0, 1.0) * by);
            kept(ui, &field, read, |by| Some(Scale::Fats(step(by))))
        }
    }
}
