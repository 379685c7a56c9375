//! The list of lots, by material.

use super::super::scene::{Scene, soon_or_past};
use super::super::table::{At, Cell, row};
use crate::cache::Kept;
use crate::theme::{self, Tokens};
use barwright_core::bench::day::shown;
use barwright_core::design::log::LotId;
use barwright_core::design::shelf::{Left, Lot};
use barwright_core::design::words::Day;
use barwright_core::render::plain_line;
use eframe::egui::{Color32, CornerRadius, Frame, Id, Rect, RichText, ScrollArea, Ui, pos2, vec2};
use std::collections::BTreeMap;
use std::rc::Rc;

/// In which order lots stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Order {
    /// By material, what is used first in front.
    #[default]
    Material,
    /// What ends first in front.
    GoodUntil,
    /// What came last in front.
    Bought,
    /// By where they are from.
    Supplier,
}

impl Order {
    pub(super) const ALL: [Self; 4] = [Self::Material, Self::GoodUntil, Self::Bought, Self::Supplier];

    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Material => "By material",
            Self::GoodUntil => "What ends first",
            Self::Bought => "What came last",
            Self::Supplier => "By supplier",
        }
    }
}

/// A line of the list.
#[derive(Debug, Clone)]
enum Entry {
    /// A material with what there is of all its lots.
    Group { name: String, left: f64, set_aside: f64 },
    /// A lot, by its place on the shelf.
    Lot { at: usize, left: Left, name: String },
}

/// What a list rests on: the shelf, what is looked for, its order, whether what is used up stands in it.
type Of = (u64, String, Order, bool);

/// The list with what was sorted last.
#[derive(Debug, Default)]
pub(super) struct List {
    kept: Kept<Of, Rc<Vec<Entry>>>,
    /// Whether what is chosen moved by a key.
    moved: bool,
    scrolled: f32,
    seen: f32,
}

const HEIGHT: f32 = 44.0;

impl List {
    /// Draws it; gives the lot that is chosen now.
    pub(super) fn show(
        &mut self,
        ui: &mut Ui,
        scene: Scene<'_>,
        (search, order, used_up): (&str, Order, bool),
        chosen: Option<LotId>,
    ) -> Option<LotId> {
        let of = (scene.keeper.revision(), search.trim().to_lowercase(), order, used_up);
        let entries = self.kept.get(of.clone(), || Rc::new(sorted(scene, &of)));
        if entries.is_empty() {
            let text = if search.trim().is_empty() {
                "Nothing is left of any lot. Tick “Used up too” to see them."
            } else {
                "No lot is called like that: try a part of its material, number or supplier."
            };
            Frame::new().inner_margin(16).show(ui, |ui| drop(crate::widgets::quiet(ui, text)));
            return None;
        }
        let lots = &scene.shelf().lots;
        let id_at = |entry: &Entry| match entry {
            Entry::Lot { at, .. } => lots.get(*at).map(|l| l.id),
            Entry::Group { .. } => None,
        };
        let place = chosen.and_then(|c| entries.iter().position(|e| id_at(e) == Some(c)));
        let stop = place.or_else(|| entries.iter().position(|e| id_at(e).is_some()));
        let mut next = None;
        let mut area = ScrollArea::vertical().id_salt("lots").auto_shrink([false, false]);
        if std::mem::take(&mut self.moved)
            && let Some(place) = place
        {
            #[expect(clippy::cast_precision_loss, reason = "a place on the screen")]
            let top = place as f32 * HEIGHT;
            let offset = self.scrolled.min(top).max(top + HEIGHT - self.seen);
            area = area.vertical_scroll_offset(offset);
        }
        ui.spacing_mut().item_spacing.y = 0.0;
        let drawn = area.show_rows(ui, HEIGHT, entries.len(), |ui, seen| {
            for i in seen {
                let Some(entry) = entries.get(i) else { continue };
                match entry {
                    Entry::Group { name, left, set_aside } => group(ui, scene, name, *left, *set_aside),
                    Entry::Lot { at, left, name } => {
                        let Some(lot) = lots.get(*at) else { continue };
                        let response = one(ui, scene, (lot, *left, name), place == Some(i), stop == Some(i));
                        if response.clicked() || response.gained_focus() {
                            next = Some(lot.id);
                        }
                        if response.clicked() {
                            response.request_focus();
                        }
                        if let Some(by) = super::super::table::arrows(ui, &response) {
                            let order: Vec<LotId> = entries.iter().filter_map(id_at).collect();
                            let at = order.iter().position(|id| *id == lot.id).unwrap_or(0);
                            let to = at.saturating_add_signed(by).min(order.len().saturating_sub(1));
                            if let Some(id) = order.get(to) {
                                next = Some(*id);
                                self.moved = true;
                                ui.memory_mut(|m| m.request_focus(row_id(*id)));
                                ui.ctx().request_repaint();
                            }
                        }
                    }
                }
            }
        });
        (self.scrolled, self.seen) = (drawn.state.clamped_offset().y, drawn.inner_rect.height());
        next
    }
}

fn row_id(id: LotId) -> Id {
    Id::unique(("lot row", id.0))
}

fn sorted(scene: Scene<'_>, (_, search, order, used_up): &Of) -> Vec<Entry> {
    let shelf = scene.shelf();
    let stock = shelf.stock();
    let mut names = BTreeMap::new();
    let mut lots: Vec<(usize, &Lot, Left, String)> = Vec::new();
    for (at, lot) in shelf.lots.iter().enumerate() {
        let left = stock.left(lot.id);
        if !used_up && left.left <= 0.0 {
            continue;
        }
        let name = names.entry(&lot.stuff).or_insert_with(|| scene.name(&lot.stuff)).clone();
        let parts = [name.as_str(), lot.supplier.as_str(), lot.number.as_str(), lot.note.as_str()];
        let all = format!("{} {}", lot.id, parts.join(" ")).to_lowercase();
        if search.split_whitespace().all(|word| all.contains(word)) {
            lots.push((at, lot, left, name));
        }
    }
    let far = Day(chrono::NaiveDate::MAX);
    let until = |lot: &Lot| lot.good_until().unwrap_or(far);
    match order {
        Order::Material => {
            lots.sort_by_cached_key(|(_, l, left, n)| (n.to_lowercase(), left.left <= 0.0, until(l), l.id));
        }
        Order::GoodUntil => lots.sort_by_key(|(_, l, left, _)| (left.left <= 0.0, until(l), l.id)),
        Order::Bought => lots.sort_by_key(|(_, l, ..)| (std::cmp::Reverse(l.bought), std::cmp::Reverse(l.id))),
        Order::Supplier => lots
            .sort_by_cached_key(|(_, l, _, n)| (l.supplier.as_str().to_lowercase(), n.to_lowercase(), until(l), l.id)),
    }
    let mut entries = Vec::new();
    let mut before = None;
    for (at, lot, left, name) in lots {
        if *order == Order::Material && before.replace(&lot.stuff) != Some(&lot.stuff) {
            let (left, set_aside) = (stock.there(&lot.stuff), stock.set_aside(&lot.stuff));
            entries.push(Entry::Group { name: name.clone(), left, set_aside });
        }
        entries.push(Entry::Lot { at, left, name });
    }
    entries
}

fn group(ui: &mut Ui, scene: Scene<'_>, name: &str, left: f64, set_aside: f64) {
    let quiet = Tokens::of(ui).quiet;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), eframe::egui::Sense::hover());
    let inner = Rect::from_min_max(pos2(rect.left() + 16.0, rect.top() + 10.0), rect.max - vec2(16.0, 2.0));
    let mut line = ui.new_child(eframe::egui::UiBuilder::new().max_rect(inner));
    let mut told = format!("{} left", scene.mass(left));
    if set_aside > 0.0 {
        told = format!("{told}, {} of it set aside for planned batches", scene.mass(set_aside.min(left)));
    }
    crate::widgets::line(
        &mut line,
        name,
        |part| RichText::new(part).font(theme::strong(13.5)),
        |ui| ui.label(RichText::new(told).color(quiet)),
    );
}

/// A lot of the list.
fn one(
    ui: &mut Ui,
    scene: Scene<'_>,
    (lot, left, name): (&Lot, Left, &str),
    is_chosen: bool,
    is_stop: bool,
) -> eframe::egui::Response {
    let tokens = Tokens::of(ui);
    let supplier = plain_line(lot.supplier.as_str());
    let number = plain_line(lot.number.as_str());
    let from = [supplier.as_str(), number.as_str()].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>();
    let from = if from.is_empty() { "no supplier".to_owned() } else { from.join(", ") };
    let of_came = format!("{} of {}", scene.mass(left.left), scene.mass(left.came));
    let (there, came) = (scene.mass(left.left), format!("of {}", scene.mass(left.came)));
    let until = lot.good_until();
    let ends = until.and_then(|u| soon_or_past(u, Scene::today())).filter(|_| left.left > 0.0);
    let until_words = until.map_or_else(|| "no date".to_owned(), |u| shown(u.0));
    let colour = match ends {
        Some("past") => tokens.stop,
        Some(_) => tokens.care,
        None => tokens.quiet,
    };
    let price = lot.price.map_or_else(String::new, |p| scene.money(p.get()));
    let pack = lot.price.map_or_else(String::new, |_| format!("for {}", scene.mass(lot.pack().get())));
    let over =
        if left.over > 0.0 { format!("{} more used than there was", scene.mass(left.over)) } else { String::new() };
    let says = format!(
        "{} {name}, {from}, {of_came} left{}, good until {until_words}{}{}",
        lot.id,
        if over.is_empty() { String::new() } else { format!(", {over}") },
        ends.map_or_else(String::new, |word| format!(", {word}")),
        if price.is_empty() { String::new() } else { format!(", {price} {pack}") },
    );
    let ends_words = match ends {
        Some("past") => "past its date".to_owned(),
        Some(word) => word.to_owned(),
        None => String::new(),
    };
    let upper = format!("{}  {name}", lot.id);
    let cells = [
        Cell { part: 0.40, at: At::Left, upper: &upper, lower: &from, colour: tokens.ink, under: tokens.quiet },
        Cell {
            part: 0.24,
            at: At::Right,
            upper: &there,
            lower: if over.is_empty() { &came } else { &over },
            colour: tokens.ink,
            under: if over.is_empty() { tokens.quiet } else { tokens.care },
        },
        Cell { part: 0.16, at: At::Right, upper: &until_words, lower: &ends_words, colour, under: colour },
        Cell { part: 0.20, at: At::Right, upper: &price, lower: &pack, colour: tokens.quiet, under: tokens.quiet },
    ];
    let drawn = row(ui, row_id(lot.id), HEIGHT, &cells, &says, (is_chosen, is_stop));
    if over.is_empty() {
        bar(ui, drawn.cells[1], left, if left.left > 0.0 { tokens.accent } else { tokens.line });
    }
    drawn.response
}

/// What is left of what came, as a bar.
fn bar(ui: &Ui, cell: Rect, left: Left, colour: Color32) {
    let whole = Rect::from_min_max(
        pos2((cell.right() - 110.0).max(cell.left()), cell.top() + 36.0),
        pos2(cell.right(), cell.top() + 40.0),
    );
    let part = if left.came > 0.0 { (left.left / left.came).clamp(0.0, 1.0) } else { 0.0 };
    #[expect(clippy::cast_possible_truncation, reason = "a width on the screen")]
    let filled = Rect::from_min_size(whole.min, vec2(whole.width() * part as f32, whole.height()));
    ui.painter().rect_filled(whole, CornerRadius::same(2), Tokens::of(ui).line);
    ui.painter().rect_filled(filled, CornerRadius::same(2), colour);
}
