//! What is on the scale, row by row: plan, actual, lot. The record follows while a weight is typed.

use super::desk::{Desk, FromLot};
use super::seen::name_of;
use super::{Changes, Given, Page, entries, head};
use crate::keyboard;
use crate::theme::Tokens;
use crate::views::make::{At, cell, name_cell};
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::{heading, name, section, small};
use barwright_core::bench::day;
use barwright_core::bench::record::{Draft, Row};
use barwright_core::design::log::{Batch, Happened, Taken, What};
use barwright_core::number;
use barwright_core::quantity::Unit;
use barwright_core::units::{AmountMass, Grams};
use eframe::egui::{Align, ComboBox, Id, Label, Layout, RichText, Ui};
use std::collections::BTreeMap;

/// Widths of the columns behind the name, points.
const PLAN: f32 = 78.0;
const ACTUAL: f32 = 84.0;
const DIFFERENCE: f32 = 58.0;
const MARK: f32 = 78.0;
const LOT: f32 = 132.0;

fn id(given: &Given<'_>, batch: &Batch, what: What) -> Id {
    Id::unique(("log weight", given.open.key, batch.code.to_string(), what))
}

fn read(text: &str, given: &Given<'_>) -> Result<AmountMass, String> {
    let mass = number::parse_mass(text, given.measures.mass).map_err(|e| e.to_string())?;
    AmountMass::new(mass.0).map_err(|e| e.to_string())
}

/// What is being typed at this moment, as far as it is a weight.
pub(super) fn typing(ui: &Ui, given: &Given<'_>, batch: &Batch) -> BTreeMap<What, AmountMass> {
    let made = &batch.made;
    let fats = (0..made.blend.lines().len()).map(What::Fat);
    let alkalis = [What::Water, What::SodiumHydroxide, What::PotassiumHydroxide];
    let additions = (0..made.additions.len()).map(What::Addition);
    let all = fats.chain(alkalis).chain(additions).chain((0..made.scents.len()).map(What::Scent));
    let typed = |what: What| Some((what, read(&NumberField::typed(ui, id(given, batch, what))?, given).ok()?));
    all.filter_map(typed).collect()
}

/// The first row in which something is typed that is no weight: nothing is sure while it stands there.
pub(super) fn unread<'a>(ui: &Ui, given: &Given<'_>, batch: &Batch, rows: &'a [Row]) -> Option<&'a str> {
    let is_unread = |row: &&Row| {
        let text = NumberField::typed(ui, id(given, batch, row.what));
        text.is_some_and(|text| read(&text, given).is_err())
    };
    rows.iter().find(is_unread).map(|row| row.name.as_str())
}

/// Draws the rows.
pub(super) fn show(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, changes: &mut Changes) {
    let name_width = ui.available_width() - PLAN - ACTUAL - DIFFERENCE - MARK - LOT - 6.0 * ui.spacing().item_spacing.x;
    let name_width = name_width.clamp(90.0, 420.0);
    ui.horizontal(|ui| {
        let quiet = Tokens::of(ui).quiet;
        ui.allocate_ui(eframe::egui::vec2(name_width, 18.0), |ui| {
            ui.set_min_width(name_width);
            section(ui, "Weighed");
        });
        let head = |ui: &mut Ui, width: f32, text: &str| {
            cell(ui, width, At::Right, RichText::new(text).small().color(quiet));
        };
        head(ui, PLAN, "plan");
        head(ui, ACTUAL, "on the scale");
        head(ui, DIFFERENCE, "");
        head(ui, MARK, "");
        if page.seen.lots.iter().any(|lots| !lots.is_empty()) {
            cell(ui, LOT, At::Left, RichText::new("out of lot").small().color(quiet));
        }
    });
    if std::mem::take(&mut desk.is_fresh)
        && let Some(first) = page.seen.record.rows.first()
    {
        ui.memory_mut(|m| m.request_focus(id(page.given, page.batch, first.what)));
    }
    let mut vessel = None;
    for (i, row) in page.seen.record.rows.iter().enumerate() {
        if vessel.replace(row.vessel) != Some(row.vessel) {
            small(ui, row.vessel.words());
        }
        weight(ui, page, desk, (i, row), name_width);
    }
    ui.add_space(3.0);
    ui.horizontal_wrapped(|ui| {
        let count = desk.staged.weights.len();
        let text = if count == 1 { "Enter the weight".into() } else { format!("Enter the weights ({count})") };
        // A weight that is being typed is one by the time the hand is here.
        let is_typing = !typing(ui, page.given, page.batch).is_empty();
        let button = head::accent(ui, count > 0 || is_typing, &text);
        name(ui, &button, "Enter the weights");
        keyboard::field(ui, button.id);
        let button =
            button.on_hover_text("Writes what is typed into the record; from then on it is corrected, not undone");
        let button = button.on_disabled_hover_text("Type what the scale shows first");
        if button.clicked() {
            enter(page, changes);
            // The button goes off: the hand goes on, or back to the alkali where that is wrong.
            let is_alkali = |row: &&Row| matches!(row.what, What::SodiumHydroxide | What::PotassiumHydroxide);
            match page.seen.record.rows.iter().find(is_alkali).filter(|_| page.seen.record.is_stopped()) {
                Some(alkali) => ui.memory_mut(|m| m.request_focus(id(page.given, page.batch, alkali.what))),
                None => keyboard::entered(ui, button.id),
            }
        }
        small(ui, "Enter goes to the next weight; what is typed can be undone until it is entered.");
    });
    entries::list(ui, page, desk, changes, |what| matches!(what, Happened::LyeIn));
    if page.with_corrected {
        let is_corrected = |what: &Happened| matches!(what, Happened::Weighed { .. });
        heading(ui, "All weights as they were entered");
        entries::list(ui, page, desk, changes, is_corrected);
    }
}

/// Asks for all weights that are typed to be entered, in the order of use.
pub(super) fn enter(page: &Page<'_>, changes: &mut Changes) {
    for row in &page.seen.record.rows {
        if let (Some(Draft { grams, lots }), None) = (&row.actual, row.entry) {
            let corrects = page.seen.entered.get(&row.what).map(|(n, _)| *n);
            let what = Happened::Weighed { what: row.what, grams: *grams, lots: lots.clone() };
            changes.request(page.entry(what, corrects));
        }
    }
}

fn weight(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, (i, row): (usize, &Row), name_width: f32) {
    let (given, tokens) = (page.given, Tokens::of(ui));
    let unit = given.measures.mass;
    let id = id(given, page.batch, row.what);
    let entered = page.seen.entered.get(&row.what);
    let staged = desk.staged.weights.get(&row.what).copied();
    let now = staged.or(entered.map(|(_, draft)| draft.grams));
    ui.horizontal(|ui| {
        ui.set_min_height(26.0);
        name_cell(ui, name_width, &row.name, |name| RichText::new(name).color(tokens.ink));
        cell(ui, PLAN, At::Right, RichText::new(number::mass(row.told, unit)).color(tokens.quiet));
        let shown = now.map_or_else(String::new, |grams| number::mass(Grams(grams.get()), unit));
        let called = format!("Weight of {}", row.name);
        let field =
            NumberField { id, name: &called, shown: &shown, width: ACTUAL, hint: Unit::Grams.sign_in(given.measures) };
        let read = |text: &str| if text.trim().is_empty() { Ok(None) } else { read(text, given).map(Some) };
        match field.show(ui, read).1 {
            Entry::Typed(Some(grams)) if entered.is_some_and(|(_, draft)| draft.grams == grams) => {
                desk.stage(|staged| staged.weights.retain(|what, _| *what != row.what));
            }
            Entry::Typed(Some(grams)) => desk.stage(|staged| staged.weights.extend([(row.what, grams)])),
            Entry::Typed(None) => desk.stage(|staged| staged.weights.retain(|what, _| *what != row.what)),
            Entry::Steps(by) => {
                let from = now.map_or(row.told.0, AmountMass::get);
                let to = AmountMass::nearest(from + by * unit.step(1.0, 0.1));
                desk.stage(|staged| staged.weights.extend([(row.what, to)]));
            }
            Entry::None => {}
        }
        let difference = row.actual.as_ref().map_or_else(String::new, |actual| {
            let by = unit.from_grams(Grams(actual.grams.get())) - unit.from_grams(row.told);
            number::signed(by, unit.decimals())
        });
        cell(ui, DIFFERENCE, At::Right, RichText::new(difference).color(tokens.quiet));
        let (mark, colour) = match (row.actual.is_some(), row.entry) {
            (true, Some(n)) => {
                (page.batch.entries().get(n).map_or_else(String::new, |e| day::shown(e.on.0)), tokens.quiet)
            }
            (true, None) => ("typed".into(), tokens.accent),
            (false, _) => (String::new(), tokens.quiet),
        };
        cell(ui, MARK, At::Right, RichText::new(mark).small().color(colour));
        lot(ui, page, desk, (i, row));
    });
    NumberField::complaint(ui, id);
    if let Some(short) = page.seen.short.get(&row.what) {
        let text = format!("{}: {short}", row.name);
        ui.add(Label::new(RichText::new(text).small().color(tokens.care)).wrap());
    }
}

/// The lot of a row: what is to be used first, or another.
fn lot(ui: &mut Ui, page: &Page<'_>, desk: &mut Desk, (i, row): (usize, &Row)) {
    let lots = page.seen.lots.get(i).map_or(&[][..], Vec::as_slice);
    let shelf = page.given.shelf.shelf();
    let of = row.actual.as_ref().map_or(&[][..], |actual| &actual.lots[..]);
    // Of several the numbers alone: there is no room for more.
    let called = |taken: &Taken| if of.len() > 1 { taken.lot.to_string() } else { name_of(shelf, taken.lot) };
    let taken: Vec<String> = of.iter().map(called).collect();
    if lots.is_empty() {
        cell(ui, LOT, At::Left, RichText::new(taken.join(" + ")).small().color(Tokens::of(ui).quiet));
        return;
    }
    let chosen = desk.staged.lots.get(&row.what).copied().unwrap_or_default();
    let shown = match chosen {
        FromLot::Nowhere if row.entry.is_none() => "not from the shelf".to_owned(),
        _ if !taken.is_empty() => taken.join(" + "),
        FromLot::Lot(id) => name_of(shelf, id),
        _ => "first out".to_owned(),
    };
    let mut next = chosen;
    let combo = ComboBox::from_id_salt(page.id(("lot", row.what))).selected_text(shown).width(LOT).truncate();
    let list = |ui: &mut Ui| {
        ui.selectable_value(&mut next, FromLot::FirstOut, "What is to be used first");
        for lot in lots {
            ui.selectable_value(&mut next, FromLot::Lot(lot.id), &lot.words);
        }
        ui.selectable_value(&mut next, FromLot::Nowhere, "Not from the shelf");
    };
    // It takes what room it is given.
    let place = eframe::egui::vec2(LOT, ui.spacing().interact_size.y);
    let drawn = ui.allocate_ui_with_layout(place, Layout::left_to_right(Align::Center), |ui| {
        ui.set_max_width(LOT);
        combo.show_ui(ui, list)
    });
    let response = drawn.inner;
    name(ui, &response.response, &format!("Lot of {}", row.name));
    if next != chosen {
        let entered = page.seen.entered.get(&row.what).map(|(_, draft)| draft.grams);
        desk.stage(|staged| {
            staged.lots.insert(row.what, next);
            if let Some(grams) = entered {
                // Its weight is written anew with the other lot.
                staged.weights.entry(row.what).or_insert(grams);
            }
        });
    }
}
