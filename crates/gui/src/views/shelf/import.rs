//! Lots from a table, looked at before they are taken, and back into one.

use super::fields::accept;
use super::scene::Scene;
use crate::cache::Kept;
use crate::files::Export;
use crate::theme::{self, Tokens};
use crate::views::{Changes, Request};
use crate::widgets::number_field::complain;
use crate::widgets::{column, heading, name, quiet, small, within};
use barwright_core::design::shelf::csv::{Column, Preview, TableError, read, write};
use barwright_core::design::shelf::{Lot, ShelfEdit};
use barwright_core::number::fixed;
use barwright_core::render::plain_line;
use eframe::egui::{self, ComboBox, Frame, Id, Label, Panel, RichText, TextEdit, Ui};
use std::rc::Rc;

/// What the page remembers between frames.
#[derive(Debug, Default)]
pub(super) struct ImportPage {
    /// The name of the file, or nothing of what was pasted.
    file: String,
    bytes: Rc<Vec<u8>>,
    pasted: String,
    /// Counts tables.
    news: u64,
    /// What the columns are taken for, if a person said.
    columns: Option<Vec<Option<Column>>>,
    preview: Kept<Of, Rc<Result<Preview, TableError>>>,
    /// The state of the shelf to which lots were sent, and how many.
    sent: Option<(u64, usize)>,
    taken: Option<usize>,
    refused: Option<String>,
}

/// What a preview rests on.
type Of = (u64, Option<Vec<Option<Column>>>);

/// As many lines of each kind are shown.
const SHOWN: usize = 200;
const PASTE: &str = "Table of lots";

impl ImportPage {
    /// Shows what is in the file `file`.
    pub(super) fn take(&mut self, file: String, bytes: Vec<u8>) {
        *self = Self { file, bytes: Rc::new(bytes), news: self.news + 1, ..Self::default() };
    }

    pub(super) fn show(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        if let Some((_, many)) = self.sent.take_if(|(sent, _)| scene.keeper.revision() > *sent) {
            *self = Self { taken: Some(many), news: self.news + 1, ..Self::default() };
        }
        let tokens = Tokens::of(ui);
        let width = (ui.available_width() * 0.42).clamp(330.0, 560.0);
        let side = Panel::left("table").resizable(false).frame(Frame::new().fill(tokens.ground)).exact_size(width);
        side.show(ui, |ui| column(ui, "table column", within(16, 4), |ui| self.source(ui, scene, changes)));
        egui::CentralPanel::no_frame().frame(Frame::new().fill(tokens.panel)).show(ui, |ui| {
            column(ui, "preview column", within(16, 4), |ui| self.previewed(ui, scene, changes));
        });
    }

    fn source(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        heading(ui, "A table of lots");
        ui.horizontal_wrapped(|ui| {
            if ui.button("Read a table…").on_hover_text("A CSV file in UTF-8").clicked() {
                changes.request(Request::ReadTable);
            }
            if ui.button("Export all lots…").on_hover_text("As a table that can be read back").clicked()
                && let Ok(text) = write(scene.shelf())
            {
                let export = Export { what: "Table of lots", extension: "csv", name: "lots.csv".into(), text };
                changes.request(Request::Export(export));
            }
        });
        ui.add(Label::new("Or paste it here; its first line holds the headings, at least material and grams.").wrap());
        let edit = TextEdit::multiline(&mut self.pasted).id(Id::unique("pasted table")).desired_rows(6);
        let edit = edit.hint_text("material,grams,supplier,lot_number\nolive_virgin,5000,…,…");
        let field = ui.add(edit.desired_width(f32::INFINITY).font(egui::TextStyle::Monospace));
        name(ui, &field, PASTE);
        if field.changed() {
            (self.file, self.bytes) = (String::new(), Rc::new(self.pasted.clone().into_bytes()));
            (self.news, self.columns, self.taken) = (self.news + 1, None, None);
        }
        if let Some(many) = self.taken {
            let text = format!("{} are on the shelf now.", lots_words(many));
            ui.label(RichText::new(text).color(Tokens::of(ui).fine));
        }
        if self.bytes.is_empty() {
            return;
        }
        if !self.file.is_empty() {
            quiet(ui, format!("From {}", plain_line(&self.file)));
        }
        let preview = self.read(scene);
        let (headings, columns) = if let Ok(preview) = &*preview {
            (preview.headings.clone(), preview.columns.clone())
        } else {
            // Without a column for what is needed the headings are still to be matched.
            let (headings, meant) = headings_of(&self.bytes);
            (headings, self.columns.clone().unwrap_or(meant))
        };
        if headings.is_empty() {
            return;
        }
        heading(ui, "What its columns are");
        let mut next = columns.clone();
        for (i, title) in headings.iter().enumerate() {
            let title = plain_line(title);
            let Some(now) = next.get_mut(i) else { continue };
            ui.horizontal(|ui| {
                let words = now.map_or("not taken", column_words);
                let combo = ComboBox::from_id_salt(("column", i)).selected_text(words).width(170.0);
                let shown = combo.show_ui(ui, |ui| {
                    ui.selectable_value(now, None, "not taken");
                    for column in Column::ALL {
                        ui.selectable_value(now, Some(column), column_words(column));
                    }
                });
                name(ui, &shown.response, &format!("What column “{title}” is"));
                ui.add(Label::new(RichText::new(&title).color(Tokens::of(ui).quiet)).truncate());
            });
        }
        if next != columns {
            // Nothing is of two columns.
            for i in 0..next.len() {
                if next[i] != columns[i] && next[i].is_some() {
                    let taken = next[i];
                    for (j, other) in next.iter_mut().enumerate() {
                        if j != i && *other == taken {
                            *other = None;
                        }
                    }
                    break;
                }
            }
            self.columns = Some(next);
            ui.ctx().request_repaint();
        }
    }

    fn read(&self, scene: Scene<'_>) -> Rc<Result<Preview, TableError>> {
        self.preview.get((self.news, self.columns.clone()), || {
            Rc::new(read(&self.bytes, self.columns.as_deref(), scene.library))
        })
    }

    fn previewed(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
        heading(ui, "What would be taken");
        if self.bytes.is_empty() {
            quiet(ui, "Nothing is taken before you have seen it here.");
            return;
        }
        let preview = self.read(scene);
        let preview = match &*preview {
            Ok(preview) => preview,
            Err(error) => return complain(ui, &error.to_string()),
        };
        let right = preview.rows.iter().filter(|r| r.is_ok()).count();
        let wrong = preview.rows.len() - right;
        if wrong > 0 {
            let text = if wrong == 1 {
                "1 line is wrong: mend it in the table and read it again.".to_owned()
            } else {
                format!("{} lines are wrong: mend them in the table and read it again.", fixed(wrong as f64, 0))
            };
            ui.label(RichText::new(text).font(theme::strong(13.0)).color(Tokens::of(ui).stop));
            for error in preview.errors().take(SHOWN) {
                complain(ui, &error.to_string());
            }
            if wrong > SHOWN {
                small(ui, format!("and {} more", fixed((wrong - SHOWN) as f64, 0)));
            }
            ui.add_space(4.0);
        }
        let take = format!("Put {} on the shelf", lots_words(right));
        if accept(ui, &take, scene.is_ours() && wrong == 0 && right > 0) {
            let asked = scene.ask(ShelfEdit::PutAll(preview.lots()), changes);
            self.sent = asked.is_ok().then_some((scene.keeper.revision(), right));
            self.refused = asked.err();
        }
        if let Some(why) = &self.refused {
            complain(ui, why);
        }
        for lot in preview.rows.iter().filter_map(|row| row.as_ref().ok()).take(SHOWN) {
            ui.add(Label::new(lot_words(lot, scene)).wrap());
        }
        if right > SHOWN {
            small(ui, format!("and {} more", fixed((right - SHOWN) as f64, 0)));
        }
    }
}

fn lots_words(many: usize) -> String {
    if many == 1 { "1 lot".into() } else { format!("{} lots", fixed(many as f64, 0)) }
}

fn lot_words(lot: &Lot, scene: Scene<'_>) -> String {
    let parts = [lot.supplier.as_str(), lot.number.as_str()].map(plain_line);
    let until = lot.best_before.map(|d| format!("best before {d}"));
    let price = lot.price.map(|p| scene.money(p.get()));
    let all = [scene.name(&lot.stuff), scene.mass(lot.grams.get())].into_iter().chain(parts).chain(until).chain(price);
    all.filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// The headings of a table that cannot be read yet, each taken for what it says.
fn headings_of(bytes: &[u8]) -> (Vec<String>, Vec<Option<Column>>) {
    let headings = barwright_core::design::shelf::csv::headings(bytes);
    let columns = headings.iter().map(|h| Column::meant(h)).collect();
    (headings, columns)
}

/// A column in words.
const fn column_words(column: Column) -> &'static str {
    match column {
        Column::Material => "material",
        Column::Kind => "kind of material",
        Column::Supplier => "supplier",
        Column::Number => "supplier’s number",
        Column::Bought => "came on",
        Column::Opened => "opened on",
        Column::BestBefore => "best before",
        Column::DaysOnceOpen => "days once open",
        Column::Grams => "how much, g",
        Column::Pack => "pack, g",
        Column::Price => "price of a pack",
        Column::Sv => "saponification value",
        Column::SvMargin => "its ±",
        Column::Purity => "purity, %",
        Column::PurityMargin => "± of the purity",
        Column::Note => "note",
    }
}
