//! Pages of the help that lie as Markdown in `assets/help`, where they can be read without the window too.

use crate::theme::{self, Tokens};
use crate::widgets::heading;
use eframe::egui::text::{LayoutJob, TextFormat};
use eframe::egui::{FontId, Label, Ui};
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

/// A page with its title.
pub(super) struct Page {
    pub(super) title: &'static str,
    text: &'static str,
}

/// All pages, in their order.
pub(super) const PAGES: [Page; 4] = [
    Page { title: "A first bar", text: include_str!("../../../../../assets/help/first.md") },
    Page { title: "The views", text: include_str!("../../../../../assets/help/views.md") },
    Page { title: "The numbers", text: include_str!("../../../../../assets/help/numbers.md") },
    Page { title: "Without the window", text: include_str!("../../../../../assets/help/commands.md") },
];

/// Size of the text, points.
const SIZE: f32 = 13.0;

/// A part of a page that stands on lines of its own.
#[derive(Debug, PartialEq)]
enum Block {
    Heading(String),
    Text(Vec<Piece>),
    Item(Vec<Piece>),
    /// The cells of a line of a table.
    Row(Vec<Vec<Piece>>),
    /// Below a table.
    End,
}

/// Text of one kind.
#[derive(Debug, Clone, PartialEq)]
struct Piece {
    text: String,
    kind: Kind,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Plain,
    Strong,
    Slanted,
    Typed,
}

/// The blocks of a page.
fn blocks(text: &str) -> Vec<Block> {
    let (mut blocks, mut pieces, mut cells) = (Vec::new(), Vec::new(), Vec::new());
    let (mut kind, mut is_head) = (Kind::Plain, false);
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        match event {
            Event::Start(Tag::Strong) => kind = Kind::Strong,
            Event::Start(Tag::Emphasis) => kind = Kind::Slanted,
            Event::End(TagEnd::Strong | TagEnd::Emphasis) => kind = Kind::Plain,
            Event::Text(text) => pieces.push(Piece { text: text.into_string(), kind }),
            Event::Code(text) => pieces.push(Piece { text: text.into_string(), kind: Kind::Typed }),
            Event::SoftBreak | Event::HardBreak => pieces.push(Piece { text: " ".into(), kind }),
            Event::End(TagEnd::Heading(_)) => {
                blocks.push(Block::Heading(pieces.drain(..).map(|p: Piece| p.text).collect()));
            }
            Event::End(TagEnd::Paragraph) => blocks.push(Block::Text(std::mem::take(&mut pieces))),
            Event::End(TagEnd::Item) => blocks.push(Block::Item(std::mem::take(&mut pieces))),
            Event::End(TagEnd::TableCell) => cells.push(std::mem::take(&mut pieces)),
            Event::Start(Tag::TableHead) => is_head = true,
            // What the columns are is seen from what stands in them.
            Event::End(TagEnd::TableHead) => (is_head, cells) = (false, Vec::new()),
            Event::End(TagEnd::TableRow) if !is_head => blocks.push(Block::Row(std::mem::take(&mut cells))),
            Event::End(TagEnd::Table) => blocks.push(Block::End),
            _ => {}
        }
    }
    blocks
}

/// `pieces` behind `lead`, as one text that breaks into lines.
fn job(ui: &Ui, lead: &str, pieces: &[Piece], is_quiet: bool) -> LayoutJob {
    let tokens = Tokens::of(ui);
    let colour = if is_quiet { tokens.quiet } else { ui.visuals().text_color() };
    let plain = TextFormat { font_id: FontId::proportional(SIZE), color: colour, ..TextFormat::default() };
    let mut job = LayoutJob::default();
    job.append(lead, 0.0, plain.clone());
    for Piece { text, kind } in pieces {
        let format = match kind {
            Kind::Plain => plain.clone(),
            Kind::Strong => TextFormat { font_id: theme::strong(SIZE), ..plain.clone() },
            Kind::Slanted => TextFormat { italics: true, ..plain.clone() },
            Kind::Typed => TextFormat { font_id: FontId::monospace(SIZE - 0.5), ..plain.clone() },
        };
        job.append(text, 0.0, format);
    }
    job
}

/// Draws `page`.
pub(super) fn show(ui: &mut Ui, page: &Page) {
    for block in blocks(page.text) {
        match block {
            Block::Heading(title) => {
                heading(ui, &title);
            }
            Block::Text(pieces) => paragraph(ui, job(ui, "", &pieces, false)),
            Block::Item(pieces) => paragraph(ui, job(ui, "• ", &pieces, false)),
            Block::Row(cells) => {
                for (i, cell) in cells.iter().enumerate() {
                    let cell: Vec<Piece> = cell.iter().map(|piece| of_cell(piece, i)).collect();
                    ui.add(Label::new(job(ui, "", &cell, i > 1)).wrap());
                }
                ui.add_space(6.0);
            }
            Block::End => ui.add_space(4.0),
        }
    }
}

/// A piece of the cell at `place` of its line: what a line is about stands out.
fn of_cell(piece: &Piece, place: usize) -> Piece {
    let kind = if place == 0 && piece.kind == Kind::Plain { Kind::Strong } else { piece.kind };
    Piece { kind, ..piece.clone() }
}

fn paragraph(ui: &mut Ui, job: LayoutJob) {
    ui.add(Label::new(job).wrap());
    ui.add_space(6.0);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_page_has_a_title_text_and_no_marks_left_over() {
        for page in &PAGES {
            let blocks = blocks(page.text);
            assert!(matches!(blocks.first(), Some(Block::Heading(_))), "{}", page.title);
            assert!(blocks.len() > 5, "{}: {blocks:?}", page.title);
            for block in &blocks {
                let (Block::Text(pieces) | Block::Item(pieces)) = block else { continue };
                assert!(!pieces.is_empty(), "{}: an empty block", page.title);
                let marks = pieces.iter().find(|p| p.text.contains("**") || p.text.contains("]("));
                assert_eq!(marks, None, "{}", page.title);
            }
        }
        let rows = blocks(PAGES[3].text).iter().filter(|b| matches!(b, Block::Row(cells) if cells.len() == 2)).count();
        assert!(rows > 12, "{rows} commands");
    }
}
