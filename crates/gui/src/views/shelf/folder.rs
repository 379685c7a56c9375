//! The designs of a folder: found by typing, sorted by any column, opened or compared.

mod order;
mod row;

use super::super::{Changes, Request};
use crate::command::Command;
use crate::folder::{FolderList, MOST_FILES, Row};
use crate::theme::{self, Tokens};
use crate::widgets::{cut, name, quiet};
use barwright_core::Library;
use barwright_core::library::estimates::Estimate;
use barwright_core::number::fixed;
use barwright_core::render::plain_line;
use eframe::egui::{
    self, Align, Context, EventFilter, Frame, Id, Key, Label, Layout, Margin, Modifiers, Panel, RichText, ScrollArea,
    TextEdit, Ui, vec2,
};
use order::{Order, Sort};
use row::{Columns, HEAD, HEIGHT};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What the page remembers between frames.
#[derive(Debug, Default)]
pub struct FolderPage {
    cache: Option<PathBuf>,
    list: Option<FolderList>,
    /// What is looked for.
    text: String,
    sort: Sort,
    order: Order,
    /// The file that is chosen.
    chosen: Option<PathBuf>,
    /// How far the list is scrolled and how much of it is seen, points.
    scrolled: f32,
    seen: f32,
    /// Whether it is to be scrolled there.
    scrolls: bool,
    /// Whether the field is to take the focus.
    fresh: bool,
}

/// The field in which a design is looked for.
const SEARCH: &str = "Find by name, style or file";
/// Height of what is said of the chosen design, points: always the same, so that nothing moves under the hand.
const DETAIL: f32 = 62.0;

impl FolderPage {
    pub(super) fn keeping(cache: Option<PathBuf>) -> Self {
        Self { cache, ..Self::default() }
    }

    /// Readies the page for being opened: what changed in `folder` is read.
    pub(super) fn open(&mut self, folder: Option<PathBuf>, library: &Arc<Library>, ctx: &Context) {
        self.fresh = true;
        match (&mut self.list, folder) {
            (Some(list), Some(folder)) if list.folder() == folder => {
                list.read_again(self.cache.clone(), Arc::clone(library), ctx.clone());
            }
            (list, Some(folder)) => {
                *list = Some(FolderList::read(folder, self.cache.clone(), Arc::clone(library), ctx.clone()));
                (self.chosen, self.scrolled, self.scrolls) = (None, 0.0, true);
            }
            (list, None) => *list = None,
        }
    }

    /// What stands at the right of the line at the top.
    pub(super) fn head(&mut self, ui: &mut Ui, library: &Arc<Library>, changes: &mut Changes) {
        // Without a folder the page itself asks for one.
        let Some(list) = &mut self.list else { return };
        for command in [Command::TypeFolder, Command::ChooseFolder] {
            if ui.button(command.text()).on_hover_text(command.tip()).clicked() {
                changes.request(Request::Run(command));
            }
        }
        if ui.button("Look again").on_hover_text("Read what changed in the folder").clicked() {
            list.read_again(self.cache.clone(), Arc::clone(library), ui.ctx().clone());
        }
        let path = plain_line(&list.folder().display().to_string());
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            let ink = Tokens::of(ui).quiet;
            cut::one_line(ui, &path, |part| RichText::new(part).color(ink));
        });
    }

    /// Draws the page.
    pub(super) fn show(&mut self, ui: &mut Ui, library: &Arc<Library>, changes: &mut Changes) {
        let ground = Frame::new().fill(Tokens::of(ui).ground);
        let Some(list) = &mut self.list else {
            egui::CentralPanel::no_frame().frame(ground.inner_margin(16)).show(ui, |ui| greeting(ui, changes));
            return;
        };
        list.poll();
        let keys = self.keys(ui);
        let line = ground.inner_margin(Margin { left: 16, right: 16, top: 2, bottom: 6 });
        let enters = Panel::top("folder search").frame(line).show_separator_line(false).show(ui, |ui| self.search(ui));
        self.sort_anew();
        let moved = self.move_by(keys);
        let detail = Frame::new().fill(Tokens::of(ui).panel).inner_margin(Margin::symmetric(16, 8));
        let chosen = self.chosen_row().map(Arc::clone);
        Panel::bottom("folder detail").frame(detail).exact_size(DETAIL).resizable(false).show(ui, |ui| {
            detail_of(ui, chosen.as_deref(), changes);
        });
        let open = egui::CentralPanel::no_frame().frame(ground).show(ui, |ui| self.rows(ui, library, moved)).inner;
        let entered = enters.inner.then(|| chosen.as_ref().map(|row| row.path.clone())).flatten();
        if let Some(path) = open.or(entered) {
            self.ask_to_open(&path, changes);
        }
    }

    fn ask_to_open(&self, path: &Path, changes: &mut Changes) {
        let is_design = self.rows_in_order().any(|row| row.path == path && row.summary().is_some());
        if is_design {
            changes.request(Request::OpenFile(path.to_owned()));
        }
    }

    fn rows_in_order(&self) -> impl Iterator<Item = &Arc<Row>> {
        let rows = self.list.as_ref().map_or(&[][..], |list| &list.rows);
        self.order.indices().iter().filter_map(|i| rows.get(*i))
    }

    fn chosen_row(&self) -> Option<&Arc<Row>> {
        let chosen = self.chosen.as_deref()?;
        self.rows_in_order().find(|row| row.path == chosen)
    }

    /// How far the keys move what is chosen, from the field or from the list.
    fn keys(&self, ui: &Ui) -> isize {
        let focus = ui.memory(egui::Memory::focused);
        let at_row = self.chosen.as_deref().is_some_and(|path| focus == Some(row_id(path)));
        if focus != Some(search_id()) && !at_row {
            return 0;
        }
        // As many as are seen, less one to hold on to.
        #[expect(clippy::cast_possible_truncation, reason = "a few rows")]
        let page = ((self.seen / HEIGHT) as isize - 1).max(1);
        let keys = [(Key::ArrowDown, 1), (Key::ArrowUp, -1), (Key::PageDown, page), (Key::PageUp, -page)];
        let all = isize::MAX / 8;
        let ends = [(Key::Home, -all), (Key::End, all)].into_iter().filter(|_| at_row);
        ui.input_mut(|i| {
            let mut times = |key| isize::try_from(i.count_and_consume_key(Modifiers::NONE, key)).unwrap_or(0);
            let pressed = |(key, by): (Key, isize)| by.saturating_mul(times(key));
            keys.into_iter().chain(ends).map(pressed).fold(0, isize::saturating_add)
        })
    }

    /// The field, and how much there is; whether Enter was pressed in it.
    fn search(&mut self, ui: &mut Ui) -> bool {
        ui.horizontal(|ui| {
            let width = (0.34 * ui.available_width()).clamp(240.0, 420.0);
            let edit = TextEdit::singleline(&mut self.text).id(search_id()).hint_text(SEARCH).desired_width(width);
            let field = ui.add(edit.margin(Margin::symmetric(8, 5)));
            name(ui, &field, SEARCH);
            if std::mem::take(&mut self.fresh) {
                field.request_focus();
            }
            if field.changed() {
                // The best of what is found now.
                (self.chosen, self.scrolled, self.scrolls) = (None, 0.0, true);
            }
            let enters = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            if let Some(list) = &self.list {
                let text = RichText::new(counted(list, self.order.indices().len())).color(Tokens::of(ui).quiet);
                ui.add(Label::new(text).truncate());
            }
            enters
        })
        .inner
    }

    fn sort_anew(&mut self) {
        let Some(list) = &self.list else { return };
        self.order.keep(list, &self.text, self.sort);
        // What is chosen is always one of those in sight of the search.
        if !self.text.trim().is_empty() && self.chosen_row().is_none() {
            let first = self.rows_in_order().next().map(|row| row.path.clone());
            self.chosen = first;
        }
    }

    /// Moves what is chosen; whether it is to come into sight.
    fn move_by(&mut self, by: isize) -> bool {
        if by == 0 {
            return false;
        }
        let place = self.chosen.as_deref().and_then(|path| self.rows_in_order().position(|row| row.path == path));
        let last = self.order.indices().len().saturating_sub(1);
        let next = place.map_or(0, |place| place.saturating_add_signed(by).min(last));
        let Some(path) = self.rows_in_order().nth(next).map(|row| row.path.clone()) else { return false };
        #[expect(clippy::cast_precision_loss, reason = "a place on the screen")]
        let top = next as f32 * HEIGHT;
        self.scrolled = self.scrolled.min(top).max(top + HEIGHT - self.seen);
        self.chosen = Some(path);
        true
    }

    /// Draws the list; gives the file that is to be opened.
    fn rows(&mut self, ui: &mut Ui, library: &Library, moved: bool) -> Option<PathBuf> {
        let list = self.list.as_ref()?;
        if let Some(reason) = &list.failed {
            let folder = plain_line(&list.folder().display().to_string());
            let text = format!("{folder} could not be read: {reason}. Choose another folder, or look again.");
            Frame::new().inner_margin(16).show(ui, |ui| {
                ui.add(Label::new(RichText::new(text).color(Tokens::of(ui).stop)).wrap());
            });
            return None;
        }
        if self.order.indices().is_empty() {
            let text = match (list.is_reading(), list.rows.is_empty()) {
                (true, true) => "Reading…",
                (false, true) => "No designs here: files that end in .barwright, not those of folders within this one",
                (_, false) => "Nothing here is called like that: try another word",
            };
            Frame::new().inner_margin(16).show(ui, |ui| drop(quiet(ui, text)));
            return None;
        }
        ui.spacing_mut().item_spacing.y = 0.0;
        let bar = ui.spacing().scroll.allocated_width().max(10.0);
        let columns = Columns::of(ui.max_rect().left() + 16.0, ui.available_width() - 32.0 - bar);
        let (head, _) = ui.allocate_exact_size(vec2(ui.available_width(), HEAD), egui::Sense::hover());
        if let Some(sort) = columns.head(ui, head, self.sort) {
            (self.sort, self.scrolled, self.scrolls) = (sort, 0.0, true);
            ui.ctx().request_repaint();
        }
        let axes = self.order.axes(list, library);
        let mut area = ScrollArea::vertical().id_salt("folder rows").auto_shrink([false, false]);
        if std::mem::take(&mut self.scrolls) || moved {
            area = area.vertical_scroll_offset(self.scrolled);
        }
        // The row with the focus keeps it when another is chosen by the keys.
        let has_focus = moved && ui.memory(egui::Memory::focused) != Some(search_id());
        let (mut chosen, mut open) = (None, None);
        let shown = area.show_rows(ui, HEIGHT, self.order.indices().len(), |ui, seen| {
            let seen: Vec<_> = self.order.indices()[seen].iter().filter_map(|i| list.rows.get(*i)).collect();
            let place = seen.iter().position(|row| self.chosen.as_deref() == Some(&row.path));
            for (i, row) in seen.into_iter().enumerate() {
                let is_chosen = place == Some(i);
                // Tab stops at one row; the arrow keys go on from it.
                let is_stop = place.unwrap_or(0) == i;
                let response = columns.row(ui, row_id(&row.path), row, &axes, (is_chosen, is_stop));
                if is_chosen && has_focus {
                    response.request_focus();
                }
                if response.has_focus() {
                    // The arrow keys go through the list and not to what stands below it.
                    let arrows = EventFilter { vertical_arrows: true, ..EventFilter::default() };
                    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, arrows));
                }
                if response.gained_focus() {
                    ui.ctx().request_repaint();
                }
                let is_entered = response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter));
                if response.double_clicked() || is_entered {
                    open = Some(row.path.clone());
                }
                if response.gained_focus() && !is_chosen {
                    chosen = Some(row.path.clone());
                }
                if response.clicked() {
                    chosen = Some(row.path.clone());
                    response.request_focus();
                }
            }
        });
        (self.scrolled, self.seen) = (shown.state.clamped_offset().y, shown.inner_rect.height());
        if chosen.is_some() {
            self.chosen = chosen;
            ui.ctx().request_repaint();
        }
        open
    }
}

fn search_id() -> Id {
    Id::unique("folder search")
}

fn row_id(path: &Path) -> Id {
    Id::unique(("folder row", path))
}

/// How much there is, and what is still to come.
fn counted(list: &FolderList, found: usize) -> String {
    let whole = |count: usize| fixed(count as f64, 0);
    let unread = list.rows.iter().filter(|row| row.summary().is_none()).count();
    let files = match (found == list.rows.len(), found) {
        (true, 1) => "1 file".into(),
        (true, _) => format!("{} files", whole(found)),
        (false, _) => format!("{} of {} files", whole(found), whole(list.rows.len())),
    };
    let unread = if unread > 0 { format!(", {} not read", whole(unread)) } else { String::new() };
    let to_go = list.files.saturating_sub(list.rows.len());
    let reading = (list.is_reading() && to_go > 0).then(|| format!("; reading, {} to go", whole(to_go)));
    let more = list.more.then(|| format!("; only {} are listed, there are more", whole(MOST_FILES)));
    format!("{files}{unread}{}{}", reading.unwrap_or_default(), more.unwrap_or_default())
}

/// Where there is no folder yet.
fn greeting(ui: &mut Ui, changes: &mut Changes) {
    ui.label(RichText::new("Where are your designs?").font(theme::strong(16.0)));
    quiet(ui, "Choose the folder that they are in, and they stand here side by side with their scores and their cost");
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        for command in [Command::ChooseFolder, Command::TypeFolder] {
            if ui.button(command.text()).on_hover_text(command.tip()).clicked() {
                changes.request(Request::Run(command));
            }
        }
    });
}

/// What is said of the chosen file, and what can be done with it.
fn detail_of(ui: &mut Ui, row: Option<&Row>, changes: &mut Changes) {
    ui.set_min_height(DETAIL - 16.0);
    let Some(row) = row else {
        quiet(ui, "Choose a design: Enter or a double click opens it");
        return;
    };
    let tokens = Tokens::of(ui);
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        if row.summary().is_some() {
            if ui.button("Compare with this one").on_hover_text("Beside the design in hand").clicked() {
                changes.request(Request::CompareFile(row.path.clone()));
            }
            if ui.button("Open").on_hover_text("Open the chosen design (Enter)").clicked() {
                changes.request(Request::OpenFile(row.path.clone()));
            }
        }
        ui.with_layout(Layout::top_down(Align::Min), |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            let file = plain_line(&row.listed.file);
            match &row.listed.read {
                Ok(summary) => {
                    let superfat =
                        summary.superfat.as_ref().map_or_else(String::new, |s| format!("superfat {}, ", s.text));
                    let known = |e: Estimate| Some(format!("{} {}", e.name().to_lowercase(), score_words(e, summary)?));
                    let scores: Vec<String> = Estimate::ALL.into_iter().filter_map(known).collect();
                    let head = format!("{} – {file}", summary.title());
                    cut::one_line(ui, &head, |part| RichText::new(part).font(theme::strong(13.0)));
                    let text = format!("{superfat}{}; {}", summary.stopped(), scores.join(", "));
                    let colour = if summary.stops.is_empty() { tokens.quiet } else { tokens.stop };
                    ui.add(Label::new(RichText::new(text).small().color(colour)).wrap());
                }
                Err(reason) => {
                    cut::one_line(ui, &file, |part| RichText::new(part).font(theme::strong(13.0)));
                    let text = format!("It was not read, and nothing in it was changed: {}", plain_line(reason));
                    ui.add(Label::new(RichText::new(text).small().color(tokens.stop)).wrap());
                }
            }
        });
    });
}

/// A score with its place, in words.
fn score_words(estimate: Estimate, summary: &barwright_core::render::report::Summary) -> Option<String> {
    let score = summary.score(estimate)?;
    let value = estimate.shown(score.value);
    Some(score.place(estimate).map_or_else(|| value.clone(), |place| format!("{value} {}", place.word())))
}
