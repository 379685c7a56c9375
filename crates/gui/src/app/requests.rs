//! What views ask for beyond edits of the design in hand.

use super::dialogs::Dialog;
use super::{App, Purpose, View};
use crate::command::Command;
use crate::examples;
use crate::files::Question;
use crate::open::Key;
use crate::views::find::ask::Ask;
use crate::views::{Request, Wanted};
use barwright_core::design::edit::Edit;
use barwright_core::explain::compare::MOST_SIDES;
use eframe::egui;
use std::sync::Arc;

impl App {
    /// Does what a view asked for beyond edits of its design.
    pub(super) fn meet(&mut self, requests: Vec<Request>, ctx: &egui::Context) {
        if !requests.is_empty() {
            ctx.request_repaint();
        }
        for request in requests {
            match request {
                Request::Columns(columns) => self.set_columns(&columns),
                Request::Change(key, edit) => self.change(key, *edit),
                Request::Undo(key) => {
                    if let Some(open) = self.designs.iter_mut().find(|d| d.key == key) {
                        open.undo();
                    }
                }
                Request::Copy(key) => {
                    let columns = self.columns();
                    self.copy(key);
                    let copy = self.active;
                    self.set_columns(&columns.into_iter().chain([copy]).collect::<Vec<_>>());
                    if !self.columns().contains(&copy) {
                        self.tell("The copy is open: choose it in one of the four columns".into());
                    }
                }
                Request::Example(i) => self.open_example(i),
                Request::StopComparing => self.compared = None,
                Request::Replace(fat) => {
                    let fats = self.active().design().blend.lines().len();
                    let key = self.active().key;
                    self.find_view.ask(key, Ask::replacing(fat, fats));
                    self.view = View::Find;
                }
                Request::Open(design) => {
                    let from = self.active().key;
                    self.add(*design, None, false);
                    self.compared = Some(from);
                    self.view = View::Design;
                }
                Request::OpenFile(path) => self.open_path(&path, ctx),
                Request::CompareFile(path) => self.compare_path(&path, ctx),
                Request::ShowDesign => self.view = View::Design,
                Request::ShowTroubles => self.open_troubles(),
                Request::ClosePage => self.view = self.under,
                Request::TypeBlend => self.run(Command::TypeBlend, ctx),
                Request::Export(export) => self.export(export, ctx),
                Request::Print(page) => self.print(page, ctx),
                Request::DespiteStop(request) => {
                    self.dialog = Some(Dialog::DespiteStop(request));
                }
                Request::Begin(design) => self.begin(*design),
                Request::Enter(code, entry) => self.enter(code, *entry, ctx),
                Request::Picture(picture) => {
                    let key = self.active().key;
                    self.ask(&Question::Picture, Purpose::Picture(key, picture), ctx);
                }
                Request::Tell(text) => self.tell(text),
                Request::Photograph(Wanted::At(path)) => self.read_photograph(path, ctx),
                Request::Photograph(Wanted::Chosen) => self.ask(&Question::Photograph, Purpose::Photograph, ctx),
                Request::PrintOfBatch(code, kind) => self.print_of_batch(code, kind, ctx),
                Request::CompareThese(designs) => {
                    let columns: Vec<Key> = designs
                        .into_iter()
                        .map(|design| {
                            // Untouched, it can be had again of its batch.
                            self.add(design, None, true);
                            self.active
                        })
                        .collect();
                    self.set_columns(&columns);
                    self.view = View::Compare;
                }
                Request::OnShelf(edits) => self.on_shelf(edits),
                Request::LookAtShelf => {
                    let library = Arc::clone(&self.library);
                    self.shelf.look_again(&library);
                }
                Request::ReadTable => self.ask(&Question::Table, Purpose::Table, ctx),
                Request::UseUp(fat) => {
                    let key = self.active().key;
                    self.find_view.ask(key, Ask::using_up(fat));
                    self.view = View::Find;
                }
                Request::Run(command) => self.run(command, ctx),
            }
        }
    }

    /// The columns of the Compare view: the shown design, the second, and what was added.
    pub(super) fn columns(&self) -> Vec<Key> {
        let mut columns = vec![self.active().key];
        for key in self.second().into_iter().chain(self.further.iter().copied()) {
            if self.find(key).is_some() && !columns.contains(&key) {
                columns.push(key);
            }
        }
        columns.truncate(MOST_SIDES);
        columns
    }

    pub(super) fn set_columns(&mut self, columns: &[Key]) {
        if let Some(first) = columns.first() {
            self.activate(*first);
        }
        self.compared = columns.get(1).copied();
        self.further = columns.iter().skip(2).copied().collect();
    }

    /// Carries out `edit` on the design `key`, as a step of its own.
    pub(super) fn change(&mut self, key: Key, edit: Edit) {
        let library = Arc::clone(&self.library);
        let Some(open) = self.designs.iter_mut().find(|d| d.key == key) else { return };
        open.history.end_gesture();
        let name = edit.name(open.design());
        open.edit(edit, None, &library);
        let title = open.title();
        match open.refused.take() {
            Some((_, error)) => self.fail(format!("{title} stays as it is: {error}")),
            None => self.tell(format!("Changed in {title}: {name}")),
        }
    }

    /// Opens an example beside what is open, keeping that as the one to compare with.
    pub(super) fn open_example(&mut self, index: usize) {
        let Some(example) = examples::ALL.get(index) else { return };
        let before = self.active().key;
        match example.design(&self.library) {
            Ok(design) => {
                self.make_way();
                self.add(design, None, true);
                self.compared = self.find(before).map(|d| d.key);
            }
            Err(error) => self.fail(format!("{}: {error}", example.title)),
        }
    }
}
