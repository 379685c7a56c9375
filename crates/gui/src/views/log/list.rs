//! The batches of the design in hand, newest first, and what is made of one of them.

use super::{Changes, Given, state};
use crate::keyboard;
use crate::open::Key;
use crate::theme::{self, Tokens};
use crate::views::Request;
use crate::widgets::{heading, name, quiet, section, small};
use barwright_core::Design;
use barwright_core::bench::record::{Record, State};
use barwright_core::design::log::{Batch, BatchCode, Entry, Happened};
use barwright_core::explain::About;
use barwright_core::quantities::{PlannedSuperfat, text};
use barwright_core::render::record;
use barwright_core::render::sheet::Paper;
use barwright_core::units::Measures;
use eframe::egui::{
    Align2, CornerRadius, FontId, Frame, Label, Margin, RichText, Role, ScrollArea, Sense, Stroke, StrokeKind,
    TextEdit, Ui, WidgetInfo, vec2,
};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// What the list says of a batch.
#[derive(Debug)]
pub(super) struct InList {
    state: State,
    words: String,
}

/// What was worked out for a batch, with the entries and the units that it rests on.
type Kept = (Vec<Entry>, Measures, Rc<InList>);

/// What the list says, each batch worked out when it is first in sight: of hundreds, few are.
#[derive(Debug, Default)]
pub(super) struct Lines(RefCell<BTreeMap<(Key, BatchCode), Kept>>);

impl Lines {
    fn of(&self, given: &Given<'_>, batch: &Batch) -> Rc<InList> {
        let at = (given.open.key, batch.code);
        if let Some((entries, measures, line)) = self.0.borrow().get(&at)
            && *measures == given.measures
            && entries.as_slice() == batch.entries()
        {
            return Rc::clone(line);
        }
        let record = Record::of(batch, &BTreeMap::new(), given.library, given.measures);
        let superfat = record.result.as_ref().ok().map(|made| {
            let about = About::new(&made.design, &made.evaluation, given.library).read_in(given.measures);
            text(&PlannedSuperfat, about).unwrap_or_default()
        });
        let superfat = superfat.unwrap_or_else(|| "none".into());
        let how = match (record.is_begun(), record.missing()) {
            (false, _) => " planned",
            (true, Some(_)) => " so far",
            (true, None) => "",
        };
        let bars = match record.state {
            State::Raw => format!("{} bars", record.bars),
            _ => format!("{} of {} left", record.left(), record.bars),
        };
        let line = Rc::new(InList { state: record.state, words: format!("superfat {superfat}{how}, {bars}") });
        self.0.borrow_mut().insert(at, (batch.entries().to_vec(), given.measures, Rc::clone(&line)));
        line
    }
}

/// Height of a batch in the list, points.
const HIGH: f32 = 46.0;

/// Draws the list; gives the batch that is chosen.
pub(super) fn show(
    ui: &mut Ui,
    given: &Given<'_>,
    lines: &Lines,
    (shown, maker): (Option<&Batch>, &mut String),
    changes: &mut Changes,
) -> Option<BatchCode> {
    let mut chosen = None;
    Frame::new().inner_margin(Margin { left: 16, right: 10, top: 8, bottom: 8 }).show(ui, |ui| {
        section(ui, "Batches of this design");
        begin(ui, given, maker, changes);
        ui.add_space(4.0);
        if let Some(batch) = shown {
            of_batch(ui, given, batch, changes);
            ui.add_space(4.0);
        }
        let batches = given.open.log().batches();
        let area = ScrollArea::vertical().id_salt("log batches").auto_shrink([false, false]);
        area.show_rows(ui, HIGH, batches.len(), |ui, rows| {
            for batch in batches.iter().rev().skip(rows.start).take(rows.len()) {
                let is_shown = shown.is_some_and(|s| s.code == batch.code);
                if one(ui, batch, &lines.of(given, batch), is_shown) {
                    chosen = Some(batch.code);
                }
            }
        });
    });
    chosen
}

fn begin(ui: &mut Ui, given: &Given<'_>, maker: &mut String, changes: &mut Changes) {
    let design = given.open.design();
    let wished = given.open.log().batches().last().and_then(|last| {
        last.last(|what| if let Happened::NextTime(words) = what { Some(words.to_string()) } else { None })
    });
    if let Some((_, words)) = wished {
        let text = format!("Last time you wrote: “{words}”");
        ui.add(Label::new(RichText::new(text).small().color(Tokens::of(ui).ink)).wrap());
    }
    ui.horizontal(|ui| {
        ui.label("Maker");
        let field = ui.add(TextEdit::singleline(maker).desired_width(f32::INFINITY).hint_text("who makes it"));
        name(ui, &field, "Name of the maker");
        keyboard::goes_on(ui, &field);
    });
    let has_fats = !design.blend.lines().is_empty();
    let button = super::head::accent(ui, has_fats, "Begin a batch");
    let button = button.on_hover_text("A record of this design as it is now; another size is set in Make");
    if button.on_disabled_hover_text("The design has no fats yet").clicked() {
        changes.request(Request::Begin(Box::new((**design).clone())));
    }
}

/// One batch; whether it is chosen.
fn one(ui: &mut Ui, batch: &Batch, line: &InList, is_shown: bool) -> bool {
    let tokens = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width() - 4.0, HIGH - 4.0), Sense::click());
    let said = format!("Batch {}, {}, {}", batch.code, line.state.word(), line.words);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_shown, &said));
    let (fill, edge) = match (is_shown, response.hovered()) {
        (true, _) => (tokens.chosen, tokens.accent),
        (false, true) => (tokens.panel, tokens.accent),
        (false, false) => (tokens.panel, tokens.line),
    };
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    painter.rect(rect, CornerRadius::same(5), fill, Stroke::new(1.0, edge), StrokeKind::Inside);
    let inside = rect.shrink2(vec2(9.0, 6.0));
    painter.text(inside.left_top(), Align2::LEFT_TOP, batch.code.to_string(), theme::strong(13.0), tokens.ink);
    let state = state::colour(line.state, tokens);
    let state = if is_shown { tokens.ink } else { state };
    painter.text(inside.right_top(), Align2::RIGHT_TOP, line.state.word(), theme::strong(12.0), state);
    let words = if is_shown { tokens.ink } else { tokens.quiet };
    painter.text(inside.left_bottom(), Align2::LEFT_BOTTOM, &line.words, FontId::proportional(11.0), words);
    response.on_hover_text(line.words.as_str()).clicked()
}

/// What is made of the batch that is shown.
fn of_batch(ui: &mut Ui, given: &Given<'_>, batch: &Batch, changes: &mut Changes) {
    heading(ui, &format!("With batch {}", batch.code));
    let record = || Record::of(batch, &BTreeMap::new(), given.library, given.measures);
    let as_weighed = |batch: &Batch| {
        let record = Record::of(batch, &BTreeMap::new(), given.library, given.measures);
        let made = record.result.map_or_else(|_| (*batch.made).clone(), |made| (*made.design).clone());
        Design { name: format!("{}, batch {}", given.open.title(), batch.code), ..made }
    };
    ui.horizontal(|ui| {
        let again = ui.button("Make again").on_hover_text("Begins a batch of the design as it was made then");
        if again.clicked() {
            changes.request(Request::Begin(Box::new((*batch.made).clone())));
        }
        ui.menu_button("Print the record", |ui| {
            // Where the bars are sold decides the paper.
            let paper = Paper::usual_in(given.region);
            if ui.button("As it is…").clicked() {
                changes.request(Request::Print(record::filled(batch, &record(), given.measures, paper)));
            }
            if ui.button("As an empty form…").clicked() {
                changes.request(Request::Print(record::empty(batch, &record(), given.measures, paper)));
            }
        });
    });
    ui.horizontal(|ui| {
        let new = ui.button("New design from this batch").on_hover_text("A design that weighs out as this batch did");
        if new.clicked() {
            changes.request(Request::Open(Box::new(as_weighed(batch))));
        }
    });
    ui.horizontal(|ui| {
        let others: Vec<&Batch> = given.open.log().batches().iter().rev().filter(|b| b.code != batch.code).collect();
        ui.add_enabled_ui(!others.is_empty(), |ui| {
            ui.menu_button("Compare with…", |ui| {
                ScrollArea::vertical().max_height(320.0).show(ui, |ui| {
                    for other in others {
                        if ui.button(format!("Batch {}", other.code)).clicked() {
                            changes.request(Request::CompareThese(vec![as_weighed(batch), as_weighed(other)]));
                        }
                    }
                });
            });
        });
    });
}

/// What stands in place of a record while there is none.
pub(super) fn nothing_yet(ui: &mut Ui, given: &Given<'_>) {
    quiet(ui, "Nothing was made of this design yet.");
    let text = if given.open.design().blend.lines().is_empty() {
        "Give the design its fats first; then a batch can be begun."
    } else {
        "Begin a batch, here or in Make: its record takes what the scale shows, and tells the superfat that really \
         results before the lye goes in. Then what you see, the test, the cure, and where the bars go."
    };
    ui.add(Label::new(text).wrap());
    small(ui, "A record is kept in the file of the design.");
}
