//! What is written down of a batch, and how it comes to the shelf.

use super::saving::Done;
use super::{Afterwards, App, View};
use crate::open::Key;
use crate::pictures::{self, PictureError};
use crate::views::NewPicture;
use barwright_core::Design;
use barwright_core::bench::record::{Record, Refusal};
use barwright_core::design::log::{Batch, BatchCode, Entry, Happened, Log, Picture, PictureName};
use barwright_core::design::shelf::{Made, ShelfEdit};
use barwright_core::design::words::{Day, Line};
use barwright_core::render::pages::{Kind, page_of_batch};
use eframe::egui;
use std::collections::BTreeMap;
use std::mem::discriminant;
use std::path::{Path, PathBuf};
use std::sync::Arc;

impl App {
    /// Begins a batch of `design` in the log of the design in hand; the shelf hands out its code.
    pub(super) fn begin(&mut self, design: Design) {
        let maker = Line::shortened(&self.preferences.maker);
        let library = Arc::clone(&self.library);
        let day = Day(crate::clock::today());
        let open = self.active();
        let (title, path) = (Line::shortened(&open.title()), place(open.path.as_deref()));
        // Another window may have begun a batch meanwhile, and so may this design where the shelf cannot be kept.
        self.shelf.look_again(&library);
        let of_shelf = self.shelf.shelf().next_code(day);
        let own = self.active().log().batches().iter().map(|b| b.code).filter(|c| c.day() == day).max();
        let code = own.map_or(of_shelf, |last| of_shelf.max(BatchCode::of(day, last.nth() + 1)));
        let mut log = Log::clone(self.active().log());
        if let Err(error) = log.begin(Batch::new(code, maker, Arc::new(design))) {
            self.fail(error);
            return;
        }
        self.active_mut().set_log(log);
        self.log_view.choose_begun(self.active, code);
        self.view = View::Log;
        let edits = vec![ShelfEdit::Confirm(Made::begun(code, title, path))];
        match self.change_shelf(edits, "The batch is begun, and the shelf does not know of it yet: ") {
            Ok(()) => self.tell(format!("Batch {code} is begun: weigh, and type what the scale shows")),
            Err(error) => self.tell(format!("Batch {code} is begun, and the shelf does not know of it yet: {error}")),
        }
    }

    /// Writes `entry` down of the batch `code` of the design in hand, if nothing stands against it.
    pub(super) fn enter(&mut self, code: BatchCode, entry: Entry, ctx: &egui::Context) {
        let library = Arc::clone(&self.library);
        let mut log = Log::clone(self.active().log());
        let Some(batch) = log.batch(&code) else { return };
        let mut before = batch.clone();
        if let Some(n) = entry.corrects {
            // What it corrects does not stand against it. One that cannot be corrected is refused below.
            let struck = Happened::Struck { reason: Line::default() };
            drop(before.push(Entry { on: entry.on, corrects: Some(n), what: struck }));
        }
        let record = Record::of(&before, &BTreeMap::new(), &library, self.preferences.measures);
        // What was written before the cut was asked for can be corrected as well.
        let corrected = entry.corrects.and_then(|n| batch.entries().get(n));
        let is_same = corrected.is_some_and(|old| discriminant(&old.what) == discriminant(&entry.what));
        if let Err(refusal) = record.allows(&entry.what)
            && !(is_same && refusal == Refusal::Uncut)
        {
            self.fail(refusal);
            return;
        }
        // From here on the shelf has to know of it.
        let is_for_shelf = matches!(
            entry.what,
            Happened::Made
                | Happened::Cut { .. }
                | Happened::Freed
                | Happened::Withdrawn { .. }
                | Happened::Tested { .. }
                | Happened::Out { .. }
                | Happened::Struck { .. }
        );
        if let Err(error) = log.push(&code, entry) {
            self.fail(error);
            return;
        }
        self.active_mut().set_log(log);
        if is_for_shelf {
            let key = self.active().key;
            // The design first, then the shelf: if this ends between them, the next save or opening does the rest.
            if self.active().path.is_some() {
                self.save(key, Afterwards::Nothing, ctx);
            } else {
                self.tell(format!("Written down of {code}. Save the design, so that the shelf knows of the batch"));
            }
        }
    }

    /// Keeps the picture at `source` beside the file of the design `key`, and writes it down.
    pub(super) fn keep_picture(&mut self, key: Key, source: PathBuf, picture: NewPicture, ctx: &egui::Context) {
        let Some(open) = self.find(key) else { return };
        let Some(design) = open.path.clone() else { return self.fail(PictureError::NoFile) };
        self.errands.ask(move || {
            let kept = pictures::keep(&source, &design, picture.of, picture.stage);
            Done::Pictured(key, picture, kept)
        });
        self.settle(ctx);
    }

    /// Writes down a picture that lies beside the design `key` now.
    pub(super) fn pictured(
        &mut self,
        key: Key,
        NewPicture { of, on, stage, words }: NewPicture,
        kept: Result<PictureName, PictureError>,
        ctx: &egui::Context,
    ) {
        match kept {
            Ok(file) if self.find(key).is_none() => self.fail(format!(
                "The picture {} of batch {of} lies beside its design and is not written down: the design was closed \
                 meanwhile",
                file.as_str()
            )),
            Ok(file) => {
                self.activate(key);
                let what = Happened::Pictured(Picture { stage, file, words });
                self.enter(of, Entry { on, corrects: None, what }, ctx);
            }
            Err(error) => self.fail(error),
        }
    }

    /// Hands a page of the batch `code` of the design in hand to the browser.
    pub(super) fn print_of_batch(&mut self, code: BatchCode, kind: Kind, ctx: &egui::Context) {
        let library = Arc::clone(&self.library);
        let Some(batch) = self.active().log().batch(&code) else { return };
        let record = Record::of(batch, &BTreeMap::new(), &library, self.preferences.measures);
        let options = self.make_view.page_options();
        // Labels are as large as they are chosen in Make.
        let kind = if matches!(kind, Kind::Labels(_)) { Kind::Labels(self.make_view.label_size()) } else { kind };
        match page_of_batch(kind, &record, &library, options) {
            Ok(page) => self.print(page, ctx),
            Err(withheld) => self.fail(withheld),
        }
    }

    /// Tells the shelf of all batches of the design `key`, as they are now; what it knows already changes nothing.
    pub(super) fn confirm_batches(&mut self, key: Key) {
        let library = Arc::clone(&self.library);
        let measures = self.preferences.measures;
        let Some(open) = self.find(key) else { return };
        let (title, path) = (open.title(), place(open.path.as_deref()));
        let made = open.log().batches().iter().map(|batch| {
            let record = Record::of(batch, &BTreeMap::new(), &library, measures);
            record.made(batch, &title, &path)
        });
        let shelf = self.shelf.shelf();
        let edits: Vec<ShelfEdit> = made.filter(|m| shelf.batch(m.code) != Some(m)).map(ShelfEdit::Confirm).collect();
        if edits.is_empty() {
            return;
        }
        let failing = "The design is saved, and the shelf does not know of its batches yet: ";
        if let Err(error) = self.change_shelf(edits, failing) {
            self.fail(format!("{failing}{error}"));
        }
    }

    /// Carries out `edits` of the shelf.
    pub(super) fn on_shelf(&mut self, edits: Vec<ShelfEdit>) {
        let plans = edits.iter().any(|edit| matches!(edit, ShelfEdit::Plan(_)));
        match self.change_shelf(edits, "") {
            Err(error) => self.fail(error),
            Ok(()) if plans => self.tell("Planned: what it takes is set aside; Shelf says what to buy".into()),
            Ok(()) => {}
        }
    }
}

/// Where a design is, as the shelf writes it down.
fn place(path: Option<&Path>) -> String {
    path.map(|p| p.to_string_lossy().into_owned()).unwrap_or_default()
}
