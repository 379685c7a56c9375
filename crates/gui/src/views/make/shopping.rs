//! What to buy for the batch, by whole packs, and what is left over.

use super::cost::{money, pack_words};
use crate::theme::Tokens;
use crate::views::figures::Figures;
use crate::widgets::{copy_button, cut, section, small};
use barwright_core::cost::{Cost, CostLine};
use barwright_core::formula::Plain;
use barwright_core::quantities::{AnyQuantity, CostSum, MaterialCost, OfMaterial};
use eframe::egui::{Align, Layout, RichText, Ui};

/// What to buy of a material: packs where they are known, else how much is used.
fn buy(of: Figures<'_>, line: &CostLine) -> String {
    match &line.price {
        Some(price) => {
            format!(
                "{} × {}",
                of.number(&number(line, OfMaterial::Packs)),
                pack_words(price.pack_g, of.about.measures.mass)
            )
        }
        None => of.text(&number(line, OfMaterial::Mass)),
    }
}

/// A number of `line`.
fn number(line: &CostLine, what: OfMaterial) -> MaterialCost {
    MaterialCost(line.material.clone(), what)
}

fn as_text(of: Figures<'_>, cost: &Cost, currency: &str) -> String {
    let line = |l: &CostLine| {
        let rest = if l.price.is_some() {
            let text = |what| of.text(&number(l, what));
            format!("{}, {} left", text(OfMaterial::Pays), text(OfMaterial::Left))
        } else {
            "no price".into()
        };
        format!("{}\t{}\t{rest}\n", l.name, buy(of, l))
    };
    let lines: String = cost.lines().iter().map(line).collect();
    format!("{lines}In all\t{}\n", money(cost.shopping(Plain), currency))
}

/// Draws the list.
pub(super) fn show(ui: &mut Ui, of: Figures<'_>, cost: &Cost, currency: &str) {
    ui.add_space(7.0);
    ui.horizontal(|ui| {
        section(ui, "To buy, in whole packs");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            copy_button(ui, "the shopping list", || as_text(of, cost, currency));
        });
    });
    let quiet = Tokens::of(ui).quiet;
    // Rows of figures stand close.
    ui.spacing_mut().interact_size.y = 17.0;
    ui.spacing_mut().item_spacing.y = 3.0;
    for line in cost.lines() {
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.spacing_mut().item_spacing.x = 6.0;
                let is_priced = line.price.is_some();
                if is_priced {
                    let small = |text: String| RichText::new(text).small().color(quiet);
                    of.drawn(ui, number(line, OfMaterial::Left), |ui, left| ui.label(small(format!("{left} left"))));
                    of.drawn(ui, number(line, OfMaterial::Pays), |ui, pays| ui.label(small(format!("{pays},"))));
                } else {
                    ui.label(RichText::new("no price").small().color(quiet));
                }
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    let what = if is_priced { OfMaterial::Packs } else { OfMaterial::Mass };
                    of.drawn(ui, number(line, what), |ui, _| ui.label(buy(of, line)));
                    cut::one_line(ui, &line.name, |name| RichText::new(name).color(quiet));
                });
            });
        });
    }
    ui.separator();
    let title = AnyQuantity::title(&CostSum::Shopping, of.about);
    let total = money(cost.shopping(Plain), currency);
    of.drawn(ui, CostSum::Shopping, |ui, _| crate::widgets::figure(ui, &title, &total));
    if cost.lines().iter().any(|l| l.price.is_none()) {
        small(ui, "Where no pack is known, the amount is what the batch uses.");
    }
}
