//! The fats that may be used, with their bounds and prices.

use super::FindView;
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Changes;
use crate::views::design::Scene;
use crate::views::design::bar::capital;
use crate::views::design::controls::percent;
use crate::widgets::number_field::{Entry, NumberField};
use crate::widgets::{cut, name, small, unseen};
use barwright_core::Design;
use barwright_core::design::Price;
use barwright_core::design::edit::Edit;
use barwright_core::find::{Candidate, Practice, candidates};
use barwright_core::library::fats::Fat;
use barwright_core::number::{fixed, parse, short};
use barwright_core::units::{Money, Share};
use eframe::egui::{Align, CornerRadius, Id, Label, Layout, RichText, ScrollArea, Sense, TextEdit, Ui, vec2};

const ROW: f32 = 27.0;
const NUMBER: f32 = 48.0;
const PRICE: f32 = 74.0;
/// Height of the words below the list.
const BELOW: f32 = 84.0;

/// Draws the list.
pub fn show(ui: &mut Ui, view: &mut FindView, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let design = view.priced(open);
    from_shelf(ui, view, scene);
    practices(ui, view);
    let filter = TextEdit::singleline(&mut view.filter).hint_text("Show fats named…").desired_width(f32::INFINITY);
    let response = ui.add(filter);
    name(ui, &response, "Show fats named");
    ui.add_space(4.0);
    let all = view.candidates.get(open.state(), || candidates(&design, scene.library).into());
    let kept: Vec<&Candidate> = if view.filter.trim().is_empty() {
        // The design's own first.
        all.iter().collect()
    } else {
        let found = scene.library.names.find(&all, &view.filter);
        if found.is_guess {
            small(ui, found.none_so());
        }
        found.materials
    };
    let currency = if design.currency.is_empty() { "price" } else { &design.currency };
    line(ui, |ui| {
        ui.label(RichText::new(format!("{currency}/kg")).color(Tokens::of(ui).quiet));
        ui.add_space(PRICE - 28.0);
        ui.label(RichText::new("at least / at most").color(Tokens::of(ui).quiet));
    });
    // As high as the panel leaves, above the words below.
    let height = (ui.clip_rect().bottom() - ui.cursor().top() - BELOW).max(160.0);
    ScrollArea::vertical().id_salt("find fats").max_height(height).auto_shrink([false, true]).show_rows(
        ui,
        ROW,
        kept.len(),
        |ui, rows| {
            for candidate in kept.get(rows).unwrap_or_default() {
                row(ui, candidate, view, (open.design(), &design), scene, changes);
            }
        },
    );
    let unweighed = design.spare.fats.iter().filter(|fat| fat.profile().is_empty());
    let unweighed: Vec<&str> = unweighed.map(|fat| fat.name.as_str()).collect();
    if !unweighed.is_empty() {
        small(ui, format!("Not offered, since none of their acids is known: {}.", unweighed.join(", ")));
    }
    small(
        ui,
        "Unticked fats are left out. A price is kept in the design, for a pack of 1 kg unless it has one. Fats whose acids are not tabled keep the share that they have in the design.",
    );
}

/// Whether only what is on the shelf is used, and what of it is used up.
fn from_shelf(ui: &mut Ui, view: &mut FindView, scene: &Scene<'_>) {
    ui.horizontal_wrapped(|ui| {
        let tick = ui.checkbox(&mut view.ask.from_shelf, "From the shelf");
        tick.on_hover_text("Only fats of which there is something, each up to as much as there is for this batch");
        let Some(fat) = view.ask.use_up.clone().filter(|_| view.ask.from_shelf) else { return };
        let own = view.shelf.0.own.fats.iter().find(|f| f.id == fat);
        let called = scene.library.fat(fat.as_str()).or(own).map_or_else(|| fat.to_string(), |f| f.name.clone());
        let mut is_asked = true;
        if ui.checkbox(&mut is_asked, format!("All of the {called}")).changed() {
            view.ask.use_up = None;
        }
    });
}

/// The rules of practice, each to be lifted or put in force.
fn practices(ui: &mut Ui, view: &mut FindView) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(12.0, 3.0);
        for practice in Practice::ALL {
            let mut is_in_force = view.ask.practices.contains(&practice);
            let tick = ui.checkbox(&mut is_in_force, capital(&practice.words())).on_hover_text(practice.why());
            if !tick.changed() {
                continue;
            }
            if is_in_force {
                view.ask.practices.insert(practice);
            } else {
                view.ask.practices.remove(&practice);
            }
        }
    });
    ui.add_space(4.0);
}

fn line<R>(ui: &mut Ui, content: impl FnOnce(&mut Ui) -> R) -> R {
    let size = vec2(ui.available_width(), ROW - 4.0);
    ui.allocate_ui_with_layout(size, Layout::right_to_left(Align::Center), content).inner
}

fn row(
    ui: &mut Ui,
    candidate: &Candidate,
    view: &mut FindView,
    (own, design): (&Design, &Design),
    scene: &Scene<'_>,
    changes: &mut Changes,
) {
    let fat = &candidate.line.fat;
    let quiet = Tokens::of(ui).quiet;
    line(ui, |ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        price(ui, fat, (own, design), changes);
        if candidate.is_held() {
            let word = if candidate.line.locked { "locked" } else { "held" };
            let held = format!("{word} at {} %", short(candidate.least.get(), 2));
            let shown = ui.add_sized([2.0 * NUMBER + 16.0, 20.0], Label::new(RichText::new(held).color(quiet)));
            if !candidate.line.locked {
                shown.on_hover_text("None of its acids is tabled, so no search can weigh it: it keeps its share");
            }
        } else {
            bounds(ui, candidate, view);
        }
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            let mut is_in = view.ask.allows(candidate, scene.library);
            let tick = ui.add(eframe::egui::Checkbox::without_text(&mut is_in));
            name(ui, &tick, &format!("{} may be used", fat.name));
            if tick.changed() {
                view.ask.allow(candidate, is_in, scene.library);
            }
            if design.blend.line(&fat.id).is_some() {
                let (swatch, _) = ui.allocate_exact_size(vec2(7.0, 15.0), Sense::hover());
                ui.painter().rect_filled(swatch, CornerRadius::same(3), scene.colour(fat.id.as_str()));
            }
            let own = if scene.library.fat(fat.id.as_str()).is_none() { " (own)" } else { "" };
            let called = format!("{}{own}{}", fat.name, unseen::sign(fat.sv.trust));
            cut::one_line(ui, &called, |name| RichText::new(name));
        });
    });
    for what in ["least", "most", "price"] {
        NumberField::complaint(ui, id(fat, what));
    }
}

fn id(fat: &Fat, what: &str) -> Id {
    Id::unique(("find fat", fat.id.as_str(), what))
}

fn bounds(ui: &mut Ui, candidate: &Candidate, view: &mut FindView) {
    let fat = &candidate.line.fat;
    let (least, most) = view.ask.bounds.get(&fat.id).copied().unwrap_or((candidate.least, candidate.most));
    let mut now = (least, most);
    // From the right.
    for (what, value) in [("most", most), ("least", least)] {
        let is_least = what == "least";
        let called = format!("{} at {what}, percent", fat.name);
        let shown = format!("{} %", short(value.get(), 1));
        let field = NumberField { id: id(fat, what), name: &called, shown: &shown, width: NUMBER, hint: "" };
        let read = |text: &str| {
            let typed = percent::<Share>(text)?;
            let rises = if is_least { typed <= most } else { typed >= least };
            if rises { Ok(typed) } else { Err(format!("{}: at least must not be more than at most", fat.name)) }
        };
        let typed = match field.show(ui, read).1 {
            Entry::Typed(typed) => Some(typed),
            Entry::Steps(steps) => {
                let (low, high) = if is_least { (Share::MIN, most.get()) } else { (least.get(), Share::MAX) };
                Some(Share::nearest((value.get() + steps).clamp(low, high)))
            }
            Entry::None => None,
        };
        match typed {
            Some(typed) if is_least => now.0 = typed,
            Some(typed) => now.1 = typed,
            None => {}
        }
    }
    if now != (least, most) {
        if now == (Share::nearest(Share::MIN), Share::nearest(Share::MAX)) {
            view.ask.bounds.remove(&fat.id);
        } else {
            view.ask.bounds.insert(fat.id.clone(), now);
        }
    }
}

fn price(ui: &mut Ui, fat: &Fat, (own, design): (&Design, &Design), changes: &mut Changes) {
    let known = design.price(fat.id.as_str());
    let per_kg = known.map(Price::per_kg);
    let pack = known.map_or_else(Price::usual_pack, |p| p.pack_g);
    let called = format!("Price of a kilogram of {}", fat.name);
    // The shelf’s counts until the design has its own.
    let is_own = own.price(fat.id.as_str()).is_some();
    let mark = if is_own { "" } else { " shelf" };
    let shown = per_kg.map_or_else(String::new, |p| format!("{}{mark}", fixed(p, 2)));
    let field = NumberField { id: id(fat, "price"), name: &called, shown: &shown, width: PRICE, hint: "" };
    let read = |text: &str| {
        if text.trim().is_empty() {
            return Ok(None);
        }
        let typed =
            parse(text, &[design.currency.as_str(), &format!("{}/kg", design.currency)]).map_err(|e| e.to_string())?;
        Price::at_per_kg(fat.id.as_str(), pack, typed).map(Some).map_err(|e| e.to_string())
    };
    match field.show(ui, read).1 {
        Entry::Typed(Some(price)) => changes.edit(Edit::SetPrice(price)),
        Entry::Typed(None) if is_own => changes.edit(Edit::RemovePrice(fat.id.to_string())),
        Entry::Steps(steps) => {
            let moved = (per_kg.unwrap_or_default() + 0.1 * steps).max(Money::MIN);
            if let Ok(price) = Price::at_per_kg(fat.id.as_str(), pack, moved) {
                changes.edit(Edit::SetPrice(price));
            }
        }
        Entry::Typed(None) | Entry::None => {}
    }
}
