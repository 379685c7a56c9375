//! What the batch costs: prices by pack, and what a bar may be sold for.

use super::{At, MakeView, cell, kept, shopping};
use crate::evaluated::Evaluated;
use crate::keyboard;
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::design::controls::{id_of, percent};
use crate::views::figures::Figures;
use crate::views::{Changes, Request};
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::{cut, figure, section, small};
use barwright_core::Library;
use barwright_core::bench::{from_shelf, price};
use barwright_core::cautions::{NoStop, Stopped};
use barwright_core::cost::{Cost, CostLine, Total};
use barwright_core::design::Price;
use barwright_core::design::edit::Edit;
use barwright_core::design::shelf::ShelfEdit;
use barwright_core::design::words::Day;
use barwright_core::formula::Plain;
use barwright_core::number::{fixed, parse, parse_mass, short};
use barwright_core::quantities::{AnyQuantity, CostSum, MaterialCost, OfMaterial};
use barwright_core::units::{Grams, MassUnit, Measures, Money, PackMass, SalesMargin};
use eframe::egui::{self, Align, Layout, RichText, Ui, vec2};

/// Widths of the cells behind the name: used, pack, price, cost.
const CELLS: [f32; 4] = [64.0, 66.0, 58.0, 54.0];

/// A sum with its currency; one that lacks prices says so.
pub(super) fn money(total: Total, currency: &str) -> String {
    match total {
        Total::Complete(sum) => format!("{} {currency}", fixed(sum, 2)),
        Total::AtLeast(sum) if sum > 0.0 => format!("at least {} {currency}", fixed(sum, 2)),
        Total::AtLeast(_) => "not known".into(),
    }
    .trim_end()
    .to_owned()
}

/// A pack's content, as it is typed.
pub(super) fn pack_words(pack: PackMass, unit: MassUnit) -> String {
    format!("{} {}", short(unit.from_grams(Grams(pack.get())), 2), unit.sign())
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
    let Some(cost) = batch.cost() else { return };
    let currency = batch.design.currency.as_str();
    let id = id_of(open, "make currency");
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        section(ui, "Cost of the materials");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let field = NumberField { id, name: "Currency", shown: currency, width: 48.0, hint: "" };
            let read = |text: &str| currency_of(text);
            changes.field(ui, &field, read, |_| None, Edit::Currency).on_hover_text("A label behind the prices");
            ui.label(RichText::new("in").color(Tokens::of(ui).quiet));
        });
    });
    NumberField::complaint(ui, id);
    head(ui);
    let about = batch.about(library);
    let of = Figures::shown(about, measures);
    for line in cost.lines() {
        row(ui, view, open, (of, line), (currency, measures.mass), changes);
    }
    let of_shelf = |l: &&CostLine| l.price.is_some() && open.design().price(&l.material).is_none();
    let of_shelf: Vec<&str> = cost.lines().iter().filter(of_shelf).map(|l| l.name.as_str()).collect();
    if !of_shelf.is_empty() {
        small(ui, format!("Prices from the shelf, until the design has its own: {}", of_shelf.join(", ")));
    }
    ui.separator();
    let missing: Vec<&str> = cost.missing().collect();
    if !missing.is_empty() {
        let text = format!("No price yet: {}", missing.join(", "));
        ui.add(egui::Label::new(RichText::new(text).small().color(Tokens::of(ui).care)).wrap());
    }
    let sum = if missing.is_empty() { CostSum::Batch } else { CostSum::AtLeast };
    for (sum, total) in
        [(sum, cost.batch(Plain)), (CostSum::Bar, cost.bar(Plain)), (CostSum::PerHundred, cost.per_100_g_cured(Plain))]
    {
        let title = AnyQuantity::title(&sum, about);
        of.drawn(ui, sum, |ui, _| figure(ui, &title, &money(total, currency)));
    }
    match NoStop::of(about.design, about.evaluation, library) {
        Ok(clear) => margin(ui, view, open, (of, cost, &clear), currency),
        Err(_) => drop(small(ui, Stopped::WITHHELD)),
    }
    small(ui, "Materials only: work, packing and power are not counted.");
    ui.add_space(4.0);
    let plan_it = ui.button("Plan this batch").on_hover_text("The shelf sets aside what it takes, and buys the rest");
    if plan_it.clicked() {
        let on = about.design.process.made_on.clone().and_then(|day| Day::try_from(day).ok());
        let planned = from_shelf::plan(about.design, about.evaluation, on);
        changes.request(Request::OnShelf(vec![ShelfEdit::Plan(planned)]));
    }
    shopping::show(ui, of, cost, currency);
}

/// The most signs of a currency's label.
const MOST: usize = 8;

fn currency_of(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.chars().count() > MOST || text.chars().any(|c| c.is_ascii_digit() || c.is_control()) {
        return Err(format!("a currency is at most {MOST} signs without digits, as EUR"));
    }
    Ok(text.into())
}

/// Width of the names, so that the other cells fit in the line.
fn name_width(ui: &Ui) -> f32 {
    ui.available_width() - CELLS.iter().sum::<f32>() - 4.0 * ui.spacing().item_spacing.x
}

fn head(ui: &mut Ui) {
    let quiet = Tokens::of(ui).quiet;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let first = name_width(ui);
        cell(ui, first, At::Left, "");
        for (width, text) in CELLS.into_iter().zip(["used", "pack", "its price", "cost"]) {
            cell(ui, width, At::Right, RichText::new(text).small().color(quiet));
        }
    });
}

fn row(
    ui: &mut Ui,
    view: &mut MakeView,
    open: &OpenDesign,
    (of, line): (Figures<'_>, &CostLine),
    (currency, unit): (&str, MassUnit),
    changes: &mut Changes,
) {
    let ids = ["make pack", "make price"].map(|w| id_of(open, (w, line.material.clone())));
    ui.horizontal(|ui| {
        ui.set_min_height(26.0);
        ui.spacing_mut().item_spacing.x = 6.0;
        let first = name_width(ui);
        ui.allocate_ui_with_layout(vec2(first, 26.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(first);
            cut::two_lines(ui, &line.name, first)
        });
        let about = |what| MaterialCost(line.material.clone(), what);
        of.drawn(ui, about(OfMaterial::Mass), |ui, used| cell(ui, CELLS[0], At::Right, used));
        let set = |pack_g, price| Edit::SetPrice(Price { material: line.material.clone(), pack_g, price });
        let pack = match &line.price {
            Some(known) => known.pack_g,
            None => view.packs.get(&line.material).copied().unwrap_or_else(Price::usual_pack),
        };

        let called = format!("Pack of {}", line.name);
        let shown = pack_words(pack, unit);
        let field = NumberField { id: ids[0], name: &called, shown: &shown, width: CELLS[1], hint: "" };
        let read = |text: &str| {
            let mass = parse_mass(text, unit).map_err(|e| e.to_string())?;
            PackMass::new(mass.0).map_err(|e| e.to_string())
        };
        let grams = unit.step(100.0, 4.0);
        let typed = kept(ui, &field, read, |by| Some(PackMass::nearest((pack.get() + grams * by).max(grams))));
        // Enter goes from price to price: a price typed into a pack would be taken for one.
        keyboard::passed_by(ui, ids[0]);
        match typed {
            Some(pack) if line.price.is_none() => drop(view.packs.insert(line.material.clone(), pack)),
            Some(pack) => changes.edits.extend(line.price.as_ref().map(|known| (set(pack, known.price), None))),
            None => {}
        }

        let known = line.price.as_ref().map(|p| p.price);
        let called = format!("Price of a pack of {}", line.name);
        let shown = known.map_or_else(String::new, |p| fixed(p.get(), 2));
        let field = NumberField { id: ids[1], name: &called, shown: &shown, width: CELLS[2], hint: "" };
        let read = |text: &str| {
            if text.trim().is_empty() {
                return Ok(None);
            }
            let typed = parse(text, &[currency]).map_err(|e| e.to_string())?;
            Money::new(typed).map(Some).map_err(|e| e.to_string())
        };
        match field.show(ui, read).1 {
            Entry::Typed(Some(price)) => changes.edit(set(pack, price)),
            Entry::Typed(None) if known.is_some() => changes.edit(Edit::RemovePrice(line.material.clone())),
            Entry::Steps(steps) => {
                let price = known.map_or(0.0, Money::get) + 0.1 * steps;
                changes.gesture(set(pack, Money::nearest(price)), ids[1]);
            }
            Entry::Typed(None) | Entry::None => {}
        }
        let is_priced = line.price.is_some();
        of.drawn_number(ui, about(OfMaterial::Cost), |ui, costs| {
            cell(ui, CELLS[3], At::Right, if is_priced { costs } else { String::new() })
        });
    });
    for id in ids {
        NumberField::complaint(ui, id);
    }
}

fn margin(
    ui: &mut Ui,
    view: &mut MakeView,
    open: &OpenDesign,
    (of, cost, clear): (Figures<'_>, &Cost, &NoStop<'_>),
    currency: &str,
) {
    let id = id_of(open, "make margin");
    ui.horizontal(|ui| {
        ui.label(RichText::new("A bar at a margin of").color(Tokens::of(ui).quiet));
        let shown = format!("{} %", short(view.margin.get(), 1));
        let field = NumberField { id, name: "Margin, percent of the price", shown: &shown, width: 52.0, hint: "" };
        let now = view.margin.get();
        let typed = kept(ui, &field, percent::<SalesMargin>, |by| Some(SalesMargin::nearest(now + by)));
        view.margin = typed.unwrap_or(view.margin);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let price = money(price::of_bar(Plain, cost, view.margin, clear), currency);
            of.drawn(ui, CostSum::AtMargin(view.margin), |ui, _| ui.label(price))
                .on_hover_text("What is left of this price when the materials are paid is the margin");
        });
    });
    NumberField::complaint(ui, id);
}
