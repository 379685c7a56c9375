//! What to buy for the batch, by whole packs, and what is left over.

use super::cost::{money, pack_words};
use crate::theme::Tokens;
use crate::views::why;
use crate::widgets::{copy_button, section, small};
use barwright_core::bench::cost::{Cost, CostLine};
use barwright_core::number::{self, fixed};
use barwright_core::units::MassUnit;
use eframe::egui::{Align, Label, Layout, RichText, Ui};

/// What to buy of a material: packs where they are known, else how much is used.
fn buy(line: &CostLine, unit: MassUnit) -> String {
    match (&line.price, line.purchase()) {
        (Some(price), Some(purchase)) => {
            format!("{} × {}", fixed(purchase.packs, 0), pack_words(price.pack_g, unit))
        }
        _ => number::mass(line.mass, unit),
    }
}

/// What it costs, and what it leaves; nothing without a price.
fn rest(line: &CostLine, currency: &str, unit: MassUnit) -> Option<[String; 2]> {
    let purchase = line.purchase()?;
    let pays = format!("{} {currency}", fixed(purchase.pays, 2));
    Some([pays.trim_end().to_owned(), format!("{} left", number::mass(purchase.left, unit))])
}

fn as_text(cost: &Cost, currency: &str, unit: MassUnit) -> String {
    let line = |l: &CostLine| {
        let rest = rest(l, currency, unit).map_or_else(|| "no price".into(), |rest| rest.join(", "));
        format!("{}\t{}\t{rest}\n", l.name, buy(l, unit))
    };
    let lines: String = cost.lines().iter().map(line).collect();
    format!("{lines}In all\t{}\n", money(cost.shopping(), currency))
}

/// Draws the list.
pub(super) fn show(ui: &mut Ui, cost: &Cost, currency: &str, unit: MassUnit) {
    ui.add_space(7.0);
    ui.horizontal(|ui| {
        section(ui, "To buy, in whole packs");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            copy_button(ui, "the shopping list", || as_text(cost, currency, unit));
        });
    });
    let quiet = Tokens::of(ui).quiet;
    // Rows of figures stand close.
    ui.spacing_mut().interact_size.y = 17.0;
    ui.spacing_mut().item_spacing.y = 3.0;
    for (index, line) in cost.lines().iter().enumerate() {
        let key = |what: &str| format!("cost.lines.{index}.{what}");
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.spacing_mut().item_spacing.x = 6.0;
                match rest(line, currency, unit) {
                    Some([pays, left]) => {
                        for (text, what) in [(left, "left_g"), (format!("{pays},"), "pays")] {
                            let shown = ui.label(RichText::new(text).small().color(quiet));
                            why::explained(ui, &shown, &key(what));
                        }
                    }
                    None => {
                        ui.label(RichText::new("no price").small().color(quiet));
                    }
                }
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    let shown = ui.label(buy(line, unit));
                    why::explained(ui, &shown, &key(if line.price.is_some() { "packs" } else { "mass_g" }));
                    ui.add(Label::new(RichText::new(&line.name).color(quiet)).truncate());
                });
            });
        });
    }
    ui.separator();
    let shown = crate::widgets::figure(ui, "In all", &money(cost.shopping(), currency));
    why::explained(ui, &shown, "cost.shopping");
    if cost.lines().iter().any(|l| l.price.is_none()) {
        small(ui, "Where no pack is known, the amount is what the batch uses.");
    }
}
