//! What goes on the label: the ingredient list to print, its weight, and the allergens.

use super::{At, MakeView, cell, checklist, name_cell};
use crate::evaluated::Evaluated;
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::views::figures::{Figures, WithText};
use crate::views::why::Owner;
use crate::widgets::{copy_button, heading, name, section, small, unseen};
use barwright_core::Library;
use barwright_core::bench::label::{Label, ListStyle, NameStatus, Region};
use barwright_core::cautions::Stopped;
use barwright_core::design::edit::Edit;
use barwright_core::library::allergens::AllergenList;
use barwright_core::library::allergens::THRESHOLD;
use barwright_core::number::short;
use barwright_core::quantities::{AllergenPercent, BarAtSale, DryEnd, IngredientPercent};
use barwright_core::trust::Trust;
use barwright_core::units::Measures;
use eframe::egui::{self, Align, ComboBox, Frame, Layout, Margin, RichText, Stroke, Ui};
use std::rc::Rc;

/// Every percent takes a label of its own to work out.
#[derive(Debug)]
pub struct Percents {
    /// In the order of the list.
    ingredients: Vec<WithText>,
    /// In the order of the findings.
    allergens: Vec<WithText>,
}

impl Percents {
    fn of(of: Figures<'_>, label: &Label, style: ListStyle) -> Self {
        let ingredients = label.ingredients(style).iter().map(|i| IngredientPercent(style, i.name.clone()));
        let allergens = label.allergens.findings.iter().map(|finding| AllergenPercent(finding.name.clone()));
        Self {
            ingredients: ingredients.map(|quantity| of.with_text(quantity)).collect(),
            allergens: allergens.map(|quantity| of.with_text(quantity)).collect(),
        }
    }
}

/// Draws the column.
pub fn show(
    ui: &mut Ui,
    view: &mut MakeView,
    open: &OpenDesign,
    (batch, library): (&Evaluated, &Library),
    measures: Measures,
    changes: &mut Changes,
) {
    let Some(cure) = &batch.evaluation.cure else { return };
    let label = match batch.label(library) {
        Ok(label) => label,
        Err(stopped) => return withheld(ui, "Ingredients", stopped),
    };
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        section(ui, "Ingredients");
        for style in ListStyle::ALL {
            let tip = match style {
                ListStyle::AsPutIn => "What was weighed in, as the rules for cosmetics word it",
                ListStyle::AsInTheBar => "Soaps, glycerin, free fat and the water that is left at sale",
            };
            if ui.selectable_label(view.style == style, style.words()).on_hover_text(tip).clicked() {
                view.style = style;
            }
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            copy_button(ui, "the label text", || label.text(view.style, view.region));
        });
    });
    let tokens = Tokens::of(ui);
    let frame = Frame::new()
        .fill(tokens.panel)
        .stroke(Stroke::new(1.0, tokens.line))
        .corner_radius(5)
        .inner_margin(Margin::same(8));
    frame.show(ui, |ui| {
        ui.set_min_width(ui.available_width());
        let text = RichText::new(label.text(view.style, view.region));
        ui.add(egui::Label::new(text).wrap().selectable(true));
    });
    let days = short(cure.days().get(), 1);
    let of = Figures::shown(batch.about(library), measures);
    of.quantity(ui, BarAtSale)
        .on_hover_text(format!("A forecast: after {days} days of cure; the label carries what the scale says"));
    of.quantity(ui, DryEnd).on_hover_text("For planning a print: 5 % of water left. No weight to declare");
    let from = (open.state(), view.scale, view.style);
    let percents = view.percents.get(from, || Rc::new(Percents::of(of, label, view.style)));
    ingredients(ui, (label, &percents), view.style, view.region);
    allergens(ui, open, (label, &percents), changes);
    checklist::show(ui, view, &batch.design, label, cure);
}

/// What is shown in place of what a Stop withholds.
pub(super) fn withheld(ui: &mut Ui, what: &str, stopped: &Stopped) {
    section(ui, what);
    let stop = Tokens::of(ui).stop;
    for caution in stopped.stops() {
        ui.add(egui::Label::new(RichText::new(caution.line()).color(stop)).wrap());
    }
    small(ui, Stopped::WITHHELD);
}

/// The list with its percents; names that were not confirmed are marked.
fn ingredients(ui: &mut Ui, (label, percents): (&Label, &Percents), style: ListStyle, region: Region) {
    let tokens = Tokens::of(ui);
    heading(
        ui,
        match style {
            ListStyle::AsPutIn => "Percent of what goes in",
            ListStyle::AsInTheBar => "Percent of the bar at sale",
        },
    );
    ui.scope(|ui| {
        ui.spacing_mut().interact_size.y = 17.0;
        ui.spacing_mut().item_spacing.y = 1.0;
        let width = ui.available_width() - 64.0 - ui.spacing().item_spacing.x;
        for (ingredient, percent) in label.ingredients(style).iter().zip(&percents.ingredients) {
            ui.horizontal(|ui| {
                if ingredient.status == NameStatus::Unconfirmed {
                    let text = format!("{}  (not confirmed)", region.name(&ingredient.name));
                    name_cell(ui, width, &text, |name| RichText::new(name).color(tokens.care)).on_hover_text(
                        "This name was not found in the inventory that was read, or there is none: confirm it before it is printed",
                    );
                } else {
                    let styled = |name: &str| RichText::new(name).color(tokens.quiet);
                    name_cell(ui, width, region.name(&ingredient.name), styled);
                }
                percent.drawn(ui, Owner::Shown, |ui, percent| cell(ui, 64.0, At::Right, percent));
            });
        }
    });
    if !label.unconfirmed().is_empty() {
        small(ui, "Marked names are to be confirmed; the text to print carries no mark.");
    }
}

const fn words(list: AllergenList) -> &'static str {
    match list {
        AllergenList::Extended => "Extended list",
        AllergenList::FirstTwentyFour => "The first 24",
        AllergenList::Off => "None",
    }
}

fn allergens(ui: &mut Ui, open: &OpenDesign, (label, percents): (&Label, &Percents), changes: &mut Changes) {
    let tokens = Tokens::of(ui);
    let now = open.design().allergen_list;
    ui.add_space(7.0);
    ui.horizontal(|ui| {
        section(ui, "Allergens");
        let combo = ComboBox::from_id_salt("allergen list").selected_text(words(now)).width(130.0);
        let response = combo.show_ui(ui, |ui| {
            for list in [AllergenList::Extended, AllergenList::FirstTwentyFour, AllergenList::Off] {
                if ui.selectable_label(list == now, words(list)).clicked() && list != now {
                    changes.edit(Edit::AllergenList(list));
                }
            }
        });
        name(ui, &response.response, "Which allergens the label names");
    });
    let threshold = format!("{} %", short(THRESHOLD, 3));
    if now == AllergenList::Off {
        small(ui, "No allergens are named, by your choice.");
        return;
    }
    ui.scope(|ui| {
        ui.spacing_mut().interact_size.y = 17.0;
        ui.spacing_mut().item_spacing.y = 1.0;
        let width = ui.available_width() - 150.0 - 2.0 * ui.spacing().item_spacing.x;
        for (finding, percent) in label.allergens.findings.iter().zip(&percents.allergens) {
            let (word, colour) =
                if finding.is_declared() { ("declared", tokens.ink) } else { ("not over", tokens.quiet) };
            ui.horizontal(|ui| {
                let seen = if finding.from_memory { unseen::sign(Trust::FromMemory) } else { "" };
                let styled = |name: &str| RichText::new(name).color(colour);
                name_cell(ui, width, &format!("{}{seen}", finding.name), styled);
                let text = |percent| RichText::new(percent).color(colour);
                percent.drawn(ui, Owner::Shown, |ui, percent| cell(ui, 80.0, At::Right, text(percent)));
                cell(ui, 70.0, At::Right, RichText::new(word).small().color(colour));
            });
        }
    });
    if label.allergens.findings.is_empty() {
        small(ui, "None known in the scents.");
    } else {
        small(ui, format!("The most there may be in the bar dried out; what is over {threshold} is declared."));
        if label.allergens.findings.iter().any(|f| f.from_memory) {
            unseen::legend(ui);
        }
    }
    for scent in &label.allergens.unknown {
        let text = format!("{scent}: its allergens are not known here; ask its supplier.");
        ui.add(egui::Label::new(RichText::new(text).small().color(tokens.care)).wrap());
    }
    for scent in &label.allergens.said_none {
        small(ui, format!("{scent}: none, by its supplier’s word."));
    }
}
