//! The line at the top: how large the batch is made, without touching the design.

use super::{MakeView, kept};
use crate::command::Command;
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::design::controls::{bounded, id_of};
use crate::views::design::size::{fat_choice, mould_fields};
use crate::views::why::{self, Owner, Subject};
use crate::views::{Changes, Request};
use crate::widgets::number_field::{NumberField, complain};
use crate::widgets::section;
use barwright_core::Library;
use barwright_core::chemistry::masses::Masses;
use barwright_core::chemistry::scale::Scale;
use barwright_core::design::edit::Edit;
use barwright_core::design::mould::{Mould, Near, Size, SizeKind};
use barwright_core::number::{self, short};
use barwright_core::quantities::AllFats;
use barwright_core::units::{Bars, FatMass, Fill, Measures, Multiple};
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
            (first_fat(open, library), "Use up a fat", "So large that what there is of one fat goes into it"),
            (mould(open, &now), "For this mould", "So large that it fills another mould; the design keeps its own"),
        ];
        for (way, text, tip) in ways {
            let chosen = view.scale.map(|s| std::mem::discriminant(&s)) == way.map(|s| std::mem::discriminant(&s));
            if way.is_none() && text != "As designed" {
                continue;
            }
            if ui.selectable_label(chosen, text).on_hover_text(tip).clicked() && !chosen {
                view.scale = way;
            }
        }
    });
    // A label that wraps takes the clicks of all its lines, so the words do not stand beside the ways.
    ui.horizontal_wrapped(|ui| {
        ui.set_min_height(28.0);
        if let Some(scale) = view.scale {
            view.scale = field(ui, id, scale, open, measures).or(view.scale);
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
        let begin =
            ui.button("Begin a batch").on_hover_text("A record of this batch in the Log view, in the size shown here");
        if begin.clicked()
            && let Ok(batch) = view.batch(open, library)
        {
            changes.request(Request::Begin(Box::new((*batch.design).clone())));
        }
        let troubles = Command::ShowTroubles;
        if ui.button(format!("{}…", troubles.text())).on_hover_text(troubles.tip()).clicked() {
            changes.request(Request::ShowTroubles);
        }
    });
    NumberField::complaint(ui, id);
    if let Some(Scale::Filling { mould, fill }) = view.scale {
        view.scale = Some(filling(ui, id.with("mould"), (mould, fill), &now, measures));
    }
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

/// The first fat of the blend, all that is designed of it.
fn first_fat(open: &OpenDesign, library: &Library) -> Option<Scale> {
    let masses = &open.evaluation(library).fat_masses;
    let fat = masses.iter().position(|mass| mass.0 > 0.0)?;
    Some(Scale::UsingUp { fat, mass: FatMass::nearest(masses[fat].0) })
}

/// The design's mould, or a loaf mould that holds what there is now.
fn mould(open: &OpenDesign, now: &Masses) -> Option<Scale> {
    to_fill(open.design().size).or_else(|| to_fill(SizeKind::Loaf.near(near(now))))
}

/// The batch that fills the mould of `size`, if it has one.
const fn to_fill(size: Size) -> Option<Scale> {
    match size {
        Size::Mould { mould, fill } => Some(Scale::Filling { mould, fill }),
        Size::FatMass(_) | Size::Volume { .. } | Size::BarMass(_) | Size::BarAtSale(_) => None,
    }
}

fn near(now: &Masses) -> Near {
    let bars = Bars::new(now.bars).unwrap_or(Bars::SIX);
    Near { fats: now.fats, batter_ml: now.batter_ml, bar: now.bar_fresh, sold: now.bar_fresh, bars }
}

/// The kind and measures of the mould to fill, on a line of their own.
fn filling(ui: &mut Ui, id: Id, (mould, fill): (Mould, Fill), now: &Masses, measures: Measures) -> Scale {
    let mut size = Size::Mould { mould, fill };
    let kind = size.kind();
    ui.horizontal_wrapped(|ui| {
        for other in [SizeKind::Loaf, SizeKind::Slab, SizeKind::Round, SizeKind::Cavities] {
            if ui.selectable_label(other == kind, other.words()).clicked() && other != kind {
                size = other.near(near(now));
            }
        }
        // The fields are those of the design; what is typed goes to this view instead.
        let mut typed = Changes::default();
        ui.vertical(|ui| mould_fields(ui, id, (mould, fill), measures, &mut typed));
        for edit in typed.edits {
            if let Edit::Size(other) = edit.0 {
                size = other;
            }
        }
    });
    to_fill(size).unwrap_or(Scale::Filling { mould, fill })
}

fn field(ui: &mut Ui, id: Id, scale: Scale, open: &OpenDesign, measures: Measures) -> Option<Scale> {
    match scale {
        Scale::Times(times) => {
            let shown = format!("{} ×", short(times.get(), 2));
            let field = NumberField { id, name: "Times as large as designed", shown: &shown, width: 62.0, hint: "" };
            let read = |text: &str| bounded(number::parse(text, &["×", "x"])).map(Scale::Times);
            kept(ui, &field, read, |by| Some(Scale::Times(Multiple::nearest(times.get() + by))))
        }
        Scale::Bars(bars) => {
            let shown = bars.get().to_string();
            let field = NumberField { id, name: "Bars to make", shown: &shown, width: 62.0, hint: "" };
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
        Scale::UsingUp { fat, mass } => {
            let shown = number::mass(barwright_core::units::Grams(mass.get()), measures.mass);
            let field = NumberField { id, name: "Mass of the fat to use up", shown: &shown, width: 84.0, hint: "" };
            let read = |text: &str| {
                let mass = number::parse_mass(text, measures.mass).map_err(|e| e.to_string())?;
                FatMass::new(mass.0).map_err(|e| e.to_string())
            };
            let step = |by: f64| Some(FatMass::nearest(mass.get() + measures.mass.step(5.0, 0.25) * by));
            let typed = kept(ui, &field, read, step);
            ui.label("of");
            let chosen = fat_choice(ui, id.with("fat"), open, fat);
            Some(Scale::UsingUp { fat: chosen, mass: typed.unwrap_or(mass) })
        }
        Scale::Filling { .. } => None,
        Scale::Fats(mass) => {
            let shown = number::mass(barwright_core::units::Grams(mass.get()), measures.mass);
            let field = NumberField { id, name: "Fats of this batch", shown: &shown, width: 84.0, hint: "" };
            let read = |text: &str| {
                let mass = number::parse_mass(text, measures.mass).map_err(|e| e.to_string())?;
                FatMass::new(mass.0).map(Scale::Fats).map_err(|e| e.to_string())
            };
            let step = |by: f64| FatMass::nearest(mass.get() + measures.mass.step(10.0, 1.0) * by);
            kept(ui, &field, read, |by| Some(Scale::Fats(step(by))))
        }
    }
}
