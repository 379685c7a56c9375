//! The Log view: at the left the batches of the design in hand, at the right the record of one of them in the order of
//! the bench. Nothing is written here: entries are asked for, and stand outside undo; what is only typed is kept by
//! design and batch until it is entered.

mod bars;
mod bench;
mod cure;
mod desk;
mod entries;
mod fields;
mod form;
mod head;
mod lessons;
mod list;
mod page;
mod seen;
mod state;
mod weights;

use super::Changes;
use super::why::{self, Explanations, Owner, Subject};
use crate::cache::Kept;
use crate::clock;
use crate::open::{Key, OpenDesign};
use crate::shelf::ShelfKeeper;
use crate::theme::Tokens;
use barwright_core::Library;
use barwright_core::bench::label::Region;
use barwright_core::design::log::{Batch, BatchCode, Entry, Happened, Log};
use barwright_core::design::words::Day;
use barwright_core::explain::{About, of_quantity};
use barwright_core::units::Measures;
use desk::Desk;
use eframe::egui::{self, CentralPanel, Frame, Margin, Panel, Ui};
use list::Lines;
use seen::{Seen, SeenOf, Taught, since_last};
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// What the view draws.
pub struct Given<'a> {
    /// The design in hand with its batches.
    pub open: &'a OpenDesign,
    /// The logs of all designs that are open: their bars may be compared.
    pub logs: Vec<Arc<Log>>,
    /// The number of all their states together.
    pub logs_revision: u64,
    /// What there is.
    pub shelf: &'a ShelfKeeper,
    /// The tables.
    pub library: &'a Library,
    /// The person's units.
    pub measures: Measures,
    /// In whose order a day is typed.
    pub region: Region,
}

/// A batch of a design, the one before it, and the units to tell in.
type SinceOf = (Key, BatchCode, BatchCode, Measures);

/// What the view keeps between frames.
#[derive(Debug, Default)]
pub struct LogView {
    /// What is typed and not entered, by design and batch.
    desks: BTreeMap<(Key, BatchCode), Desk>,
    /// The batch that is shown of each design.
    chosen: BTreeMap<Key, BatchCode>,
    /// The day that entries get; today if none is said.
    day: Option<Day>,
    /// Whether what was corrected is shown too.
    with_corrected: bool,
    lines: Lines,
    seen: Kept<SeenOf, Rc<Seen>, 2>,
    taught: Kept<(Key, BatchCode, u64, Measures), Rc<Taught>>,
    since: Kept<SinceOf, Rc<[String]>>,
    pictures: Kept<(Key, BatchCode, u64), Rc<[bool]>>,
    explanations: Explanations<SeenOf>,
}

/// What the parts of a record draw.
struct Page<'a> {
    given: &'a Given<'a>,
    batch: &'a Batch,
    seen: &'a Seen,
    taught: &'a Taught,
    /// The day that entries get.
    on: Day,
    with_corrected: bool,
    /// A row in which something is typed that is no weight.
    unread: Option<&'a str>,
    /// Whether each picture, in the order of the entries, is where it should be.
    pictures: &'a [bool],
}

impl Page<'_> {
    /// Whether the lye may go in.
    ///
    /// # Errors
    /// What stands against it, for the person.
    fn lye_may_go_in(&self) -> Result<(), String> {
        if let Some(row) = self.unread {
            return Err(format!("what is typed for {row} is no weight: type it anew, or leave it by Esc"));
        }
        self.seen.record.allows(&Happened::LyeIn).map_err(|why| why.to_string())
    }

    /// The id of a control of this record.
    fn id(&self, what: impl std::hash::Hash + std::fmt::Debug) -> egui::Id {
        egui::Id::unique(("log", self.given.open.key, self.batch.code.to_string(), what))
    }

    /// An entry of `what` on the day that is set.
    fn entry(&self, what: Happened, corrects: Option<usize>) -> super::Request {
        super::Request::Enter(self.batch.code, Box::new(Entry { on: self.on, corrects, what }))
    }
}

/// Width of the list, and least width of a record beside which a second column fits, points.
const LIST: f32 = 244.0;
const WIDE: f32 = 1060.0;

impl LogView {
    /// Draws the view; `maker` is who makes the batches.
    pub fn show(&mut self, ui: &mut Ui, given: &Given<'_>, maker: &mut String) -> Changes {
        let mut changes = Changes::default();
        let tokens = Tokens::of(ui);
        let plain = Frame::new().fill(tokens.ground);
        let batches = given.open.log().batches();
        let chosen = self.chosen.get(&given.open.key).copied();
        let batch = batches.iter().find(|b| Some(b.code) == chosen).or(batches.last());
        Panel::left("log list").resizable(false).frame(plain).exact_size(LIST).show(ui, |ui| {
            if let Some(code) = list::show(ui, given, &self.lines, (batch, maker), &mut changes) {
                self.choose(given.open.key, code);
            }
        });
        let Some(batch) = batch else {
            CentralPanel::no_frame().frame(plain.inner_margin(16)).show(ui, |ui| list::nothing_yet(ui, given));
            return changes;
        };
        let at = (given.open.key, batch.code);
        self.chosen.entry(at.0).or_insert(at.1);
        let mut desk = self.desks.remove(&at).unwrap_or_default();
        desk.settle(batch);
        let on = self.day.unwrap_or_else(|| Day(clock::today()));
        let typing = weights::typing(ui, given, batch);
        let of = SeenOf::new(given, batch.code, desk.staged.weights(&typing));
        let seen = self.seen.get(of.clone(), || Rc::new(Seen::new(given, batch, &of)));
        let of_taught = (at.0, at.1, given.logs_revision, given.measures);
        let taught = self.taught.get(of_taught, || Rc::new(Taught::of(given, batch)));
        let pictures = self.pictures.get((at.0, at.1, given.open.log_revision()), || seen::pictures(given.open, batch));
        let last = batches.iter().take_while(|b| b.code != batch.code).last();
        let since = last.map(|last| (last, self.since(given, batch, last, &seen)));
        let page = Page {
            given,
            batch,
            seen: &seen,
            taught: &taught,
            on,
            with_corrected: self.with_corrected,
            unread: weights::unread(ui, given, batch, &seen.record.rows),
            pictures: &pictures,
        };
        let top = plain.inner_margin(Margin { left: 16, right: 16, top: 8, bottom: 6 });
        Panel::top("log head").frame(top).show(ui, |ui| {
            head::show(ui, &page, (&mut self.day, &mut self.with_corrected), &mut changes);
        });
        let width = ui.available_width();
        if width >= WIDE {
            let figures = Frame::new().fill(tokens.panel);
            Panel::right("log right").resizable(false).frame(figures).exact_size(width * 0.42).show(ui, |ui| {
                page::column(ui, "log second", |ui| page::after(ui, &page, &mut desk, &mut changes));
            });
        }
        CentralPanel::no_frame().frame(plain).show(ui, |ui| {
            page::column(ui, "log first", |ui| {
                if let Some((last, since)) = &since {
                    page::last_time(ui, last, since);
                }
                page::at_the_bench(ui, &page, &mut desk, &mut changes);
                if width < WIDE {
                    page::after(ui, &page, &mut desk, &mut changes);
                }
            });
        });
        if weights::typing(ui, given, batch) != typing {
            // What follows from it is drawn already.
            ui.ctx().request_repaint();
        }
        if let Ok(made) = &seen.record.result {
            why::show(ui, given.measures, &self.explanations, of, |whose, subject| {
                let Subject::Quantity(quantity) = subject else { return None };
                let about = About::new(&made.design, &made.evaluation, given.library);
                (whose == Owner::Shown).then(|| of_quantity(quantity.as_ref(), about))
            });
        }
        if !changes.requests.is_empty() {
            desk.sent(batch);
            ui.ctx().request_repaint();
        }
        self.desks.insert(at, desk);
        changes
    }

    fn since(&self, given: &Given<'_>, batch: &Batch, last: &Batch, seen: &Seen) -> Rc<[String]> {
        let of = (given.open.key, batch.code, last.code, given.measures);
        self.since.get(of, || since_last(given, batch, last, seen))
    }

    /// Shows the batch `code` of the design `key`.
    pub fn choose(&mut self, key: Key, code: BatchCode) {
        self.chosen.insert(key, code);
    }

    /// Shows the batch `code`, which was begun just now: what the scale shows is typed next.
    pub fn choose_begun(&mut self, key: Key, code: BatchCode) {
        self.choose(key, code);
        self.desks.entry((key, code)).or_default().is_fresh = true;
    }

    fn shown(&self, key: Key) -> Option<&Desk> {
        self.chosen.get(&key).and_then(|code| self.desks.get(&(key, *code)))
    }

    fn shown_mut(&mut self, key: Key) -> Option<&mut Desk> {
        let code = *self.chosen.get(&key)?;
        self.desks.get_mut(&(key, code))
    }

    /// Takes back what was typed last of the batch that is shown of the design `key`.
    pub fn undo(&mut self, key: Key) {
        if let Some(desk) = self.shown_mut(key) {
            desk.undo();
        }
    }

    /// Types it again.
    pub fn redo(&mut self, key: Key) {
        if let Some(desk) = self.shown_mut(key) {
            desk.redo();
        }
    }

    /// What undo and redo would do, by their names.
    pub fn steps(&self, key: Key) -> (Option<String>, Option<String>) {
        let named = |can: bool| can.then(|| "what is typed".to_owned());
        self.shown(key).map_or((None, None), |desk| (named(desk.can_undo()), named(desk.can_redo())))
    }

    /// What is typed and not entered, of the design `key` or of all, a line each.
    pub fn typed(&self, key: Option<Key>) -> Vec<String> {
        let of = |(at, _): &(&(Key, BatchCode), &Desk)| key.is_none_or(|key| at.0 == key);
        let line = |((_, code), desk): (&(Key, BatchCode), &Desk)| {
            let count = desk.count();
            let words = if count == 1 { "1 figure".into() } else { format!("{count} figures") };
            (count > 0).then(|| format!("{words} of batch {code}"))
        };
        self.desks.iter().filter(of).filter_map(line).collect()
    }

    /// Forgets what is typed of the design `key`: it is closed.
    pub fn forget(&mut self, key: Key) {
        self.desks.retain(|at, _| at.0 != key);
        self.chosen.remove(&key);
    }
}
