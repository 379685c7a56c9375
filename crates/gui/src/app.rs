//! The window: what is open, what is shown, and what the commands do.

mod dialogs;
mod dropping;
mod filing;
mod notice;
mod palette;
mod recording;
mod requests;
mod saving;
mod showing;
mod starting;
mod takeaway;
mod top_bar;

use crate::command::Command;
use crate::errands::Errands;
use crate::files::{Export, FileDialogs, Fingerprint, Question};
use crate::keyboard;
use crate::lock::Locks;
use crate::open::{Key, OpenDesign};
use crate::preferences::Preferences;
use crate::recovery::{Found, Recovery};
use crate::safely::Watch;
use crate::shelf::ShelfKeeper;
use crate::views::NewPicture;
use crate::views::compare::CompareView;
use crate::views::design::form::BlendForm;
use crate::views::design::{DesignView, Own, blend};
use crate::views::find::FindView;
use crate::views::help::{HelpView, Places};
use crate::views::log::LogView;
use crate::views::make::MakeView;
use crate::views::recipe::RecipeForm;
use crate::views::shelf::ShelfView;
use crate::views::shelf::offers::Offers;
use crate::views::troubles::TroublesView;
use crate::widgets::number_field;
use barwright_core::design::document::Document;
use barwright_core::design::log::Log;
use barwright_core::{Design, Library};
use dialogs::Dialog;
use eframe::egui::{self, Ui, ViewportCommand};
use notice::Notice;
use palette::Palette;
use saving::{Deferred, Done};
pub use starting::{Setup, start};
use std::collections::{BTreeMap, VecDeque};
use std::mem::Discriminant;
use std::path::PathBuf;
use std::sync::Arc;

/// The main views.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum View {
    /// One design.
    Design,
    /// Two to four designs.
    Compare,
    /// The search for a blend.
    Find,
    /// The making of a batch.
    Make,
    /// What was made.
    Log,
    /// What there is.
    Shelf,
    /// The page on what looks wrong, over the view before it.
    Troubles,
    /// The page on what the window is for, over the view before it.
    Help,
}

/// What goes on once a design is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Afterwards {
    Nothing,
    Close(Key),
    Quit,
    /// Saves what else is unsaved, then closes the window.
    SaveAll,
}

/// What the answer to a file question is for.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Purpose {
    Open,
    Folder,
    Table,
    Save(Key, Afterwards),
    Export(Arc<Export>),
    /// A picture of a batch of this design.
    Picture(Key, NewPicture),
    /// A photograph for the form of the Design view.
    Photograph,
}

/// The state of the window.
pub struct App {
    library: Arc<Library>,
    designs: Vec<OpenDesign>,
    active: Key,
    compared: Option<Key>,
    /// What stands in the Compare view beside the shown design and the compared one.
    further: Vec<Key>,
    last_key: u64,
    view: View,
    /// The view under a page.
    under: View,
    design_view: DesignView,
    compare_view: CompareView,
    find_view: FindView,
    make_view: MakeView,
    log_view: LogView,
    shelf_view: ShelfView,
    offers: Offers,
    troubles_view: TroublesView,
    preferences: Preferences,
    saved_preferences: Preferences,
    preferences_path: Option<PathBuf>,
    help_view: HelpView,
    places: Places,
    dialogs: Box<dyn FileDialogs>,
    asked: Option<Purpose>,
    dialog: Option<Dialog>,
    /// What was asked in the frame before.
    dialog_before: Option<Discriminant<Dialog>>,
    palette: Option<Palette>,
    notice: Option<Notice>,
    /// Designs that may be lost when the window closes, as the person said of this revision.
    forgone: BTreeMap<Key, u64>,
    /// Commands of this frame; they run once the views are drawn, so that a number being typed
    /// is taken first.
    pending: Vec<Command>,
    /// Whether weights that are typed and not entered may be lost when the window closes.
    typed_forgone: bool,
    closing: bool,
    recovery: Option<Recovery>,
    watch: Watch,
    errands: Errands<Done>,
    /// The design whose save is under way.
    saving: Option<Key>,
    /// Whether the preferences are on their way to their file.
    keeping_preferences: bool,
    /// What waits until work on files is done.
    deferred: VecDeque<Deferred>,
    shelf: ShelfKeeper,
    locks: Locks,
    /// Copies of an earlier window whose designs are open again.
    taken_up: Vec<Found>,
    /// How many recipe forms there were, so that each has names of its own.
    forms: u64,
    title: String,
}

impl App {
    /// The design that is shown.
    pub fn active(&self) -> &OpenDesign {
        // The list is never empty: closing the last design opens an empty one.
        self.designs.iter().find(|d| d.key == self.active).unwrap_or(&self.designs[0])
    }

    /// Its place in the list.
    fn index(&self) -> usize {
        self.designs.iter().position(|d| d.key == self.active).unwrap_or(0)
    }

    fn active_mut(&mut self) -> &mut OpenDesign {
        let index = self.index();
        &mut self.designs[index]
    }

    fn find(&self, key: Key) -> Option<&OpenDesign> {
        self.designs.iter().find(|d| d.key == key)
    }

    /// All open designs, in the order they were opened.
    pub fn designs(&self) -> &[OpenDesign] {
        &self.designs
    }

    /// The second design of the Compare view: the one chosen, else the latest other one.
    fn second(&self) -> Option<Key> {
        let other = |k: &Key| *k != self.active && self.find(*k).is_some();
        self.compared.filter(other).or_else(|| self.designs.iter().rev().map(|d| d.key).find(|k| *k != self.active))
    }

    /// Opens `design` beside the others and shows it.
    fn add(&mut self, design: Design, file: Option<(PathBuf, Fingerprint)>, expendable: bool) {
        self.add_document(Document { design, log: Log::default() }, file, expendable);
    }

    /// The same with what was made of it.
    fn add_document(&mut self, document: Document, file: Option<(PathBuf, Fingerprint)>, expendable: bool) {
        self.last_key += 1;
        let key = Key(self.last_key);
        self.designs.push(OpenDesign::new(key, document, file, expendable));
        self.activate(key);
    }

    /// Shows the design `key`; what was going on in another one ends.
    fn activate(&mut self, key: Key) {
        if self.active != key {
            for open in &mut self.designs {
                open.history.end_gesture();
            }
            self.design_view.forget();
        }
        self.active = key;
    }

    /// Carries out `command`.
    pub fn run(&mut self, command: Command, ctx: &egui::Context) {
        let key = self.active().key;
        match command {
            Command::New => {
                self.add(Design::default(), None, true);
                self.view = View::Design;
                ctx.memory_mut(|m| m.request_focus(blend::picker_id()));
            }
            Command::Open => self.ask(&Question::Open, Purpose::Open, ctx),
            Command::OpenTyped => self.ask_typed(Purpose::Open, false),
            Command::Save => self.save(key, Afterwards::Nothing, ctx),
            Command::SaveAs => self.ask_where(key, Afterwards::Nothing, ctx),
            Command::SaveTyped => self.ask_typed(Purpose::Save(key, Afterwards::Nothing), false),
            Command::ShareCopy => self.share_copy(ctx),
            Command::Duplicate => self.duplicate(),
            Command::TypeInRecipe => {
                self.forms += 1;
                self.dialog = Some(Dialog::Recipe(Box::new(RecipeForm::new(self.forms))));
            }
            Command::Close => self.ask_to_close(key),
            Command::Quit => self.quit(ctx),
            // What is entered stands outside undo; what is only typed is taken back here.
            Command::Undo if self.view == View::Log => self.log_view.undo(self.active),
            Command::Redo if self.view == View::Log => self.log_view.redo(self.active),
            Command::Undo => {
                self.design_view.typed.clear();
                let step = self.active().history.undo_name().map(|name| format!("Taken back: {name}"));
                self.active_mut().undo();
                self.tell_beside(step);
            }
            Command::Redo => {
                self.design_view.typed.clear();
                let step = self.active().history.redo_name().map(|name| format!("Done again: {name}"));
                self.active_mut().redo();
                self.tell_beside(step);
            }
            Command::AddFat => {
                self.view = View::Design;
                ctx.memory_mut(|m| m.request_focus(blend::picker_id()));
            }
            Command::TypeBlend => {
                self.view = View::Design;
                self.design_view.open(BlendForm::new(self.preferences.measures.mass));
            }
            Command::OwnFat => self.open_own(Own::Fat),
            Command::OwnAddition => self.open_own(Own::Addition),
            Command::OwnColourant => self.open_own(Own::Colourant),
            Command::OwnScent => self.open_own(Own::Scent),
            Command::ShowDesign => self.view = View::Design,
            Command::ShowCompare => self.view = View::Compare,
            Command::ShowFind => self.view = View::Find,
            Command::ShowMake => self.view = View::Make,
            Command::ShowLog => self.view = View::Log,
            Command::ShowShelf => self.open_shelf(ctx),
            Command::ChooseFolder => self.ask(&Question::Folder, Purpose::Folder, ctx),
            Command::TypeFolder => self.ask_typed(Purpose::Folder, false),
            Command::CopyCard
            | Command::SaveCardPage
            | Command::SaveCardMarkdown
            | Command::SaveCardText
            | Command::PrintLabels
            | Command::PrintTags
            | Command::PrintCuring => self.take_away(command, ctx),
            Command::ShowTroubles if self.view == View::Troubles => self.view = self.under,
            Command::ShowTroubles => self.open_troubles(),
            Command::ShowHelp if self.view == View::Help => self.view = self.under,
            Command::ShowHelp => self.open_page(View::Help),
            Command::WhatToDo => self.palette = Some(Palette::default()),
        }
    }

    /// Opens the form for a material of one's own.
    fn open_own(&mut self, own: Own) {
        self.view = View::Design;
        self.design_view.open_own(own, String::new());
    }

    /// Shows the page on what looks wrong over the view that is shown.
    fn open_troubles(&mut self) {
        self.open_page(View::Troubles);
        self.troubles_view.open();
    }

    /// Shows a page over the view that is shown; from page to page the view under them stays.
    fn open_page(&mut self, page: View) {
        if !matches!(self.view, View::Troubles | View::Help) {
            self.under = self.view;
        }
        self.view = page;
    }

    fn duplicate(&mut self) {
        let from = self.active().key;
        self.copy(from);
        self.compared = Some(from);
    }

    /// Opens a copy of the design `key` beside the others, to vary, and shows it.
    fn copy(&mut self, key: Key) {
        let Some(open) = self.find(key) else { return };
        let design = Design { name: format!("{}, varied", open.title()), ..(**open.design()).clone() };
        self.add(design, None, false);
    }

    /// What undo and redo would do, by their names.
    fn steps(&self) -> (Option<String>, Option<String>) {
        if self.view == View::Log {
            return self.log_view.steps(self.active);
        }
        let history = &self.active().history;
        (history.undo_name().map(str::to_owned), history.redo_name().map(str::to_owned))
    }

    fn keep_title(&mut self, ctx: &egui::Context) {
        let open = self.active();
        let unsaved = match () {
            () if self.saving == Some(open.key) => " (saving…)",
            () if open.would_lose() => " •",
            () if open.elsewhere => " (open in another window too)",
            () => "",
        };
        let title = format!("{} – {}{unsaved} – Barwright", open.title(), open.file_name());
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    fn keep_preferences(&mut self) {
        self.preferences.edge = self.design_view.edge;
        // Those that change while others are on their way go once these are there.
        if self.preferences == self.saved_preferences || self.keeping_preferences {
            return;
        }
        self.saved_preferences = self.preferences.clone();
        if let Some(path) = self.preferences_path.clone() {
            let preferences = self.preferences.clone();
            self.keeping_preferences = true;
            self.errands.ask(move || Done::Preferences(preferences.save(&path)));
        }
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        if let Some(answer) = self.dialogs.poll() {
            self.answer(answer, ctx);
        }
        self.settle(ctx);
        self.take_dropped(ctx);
        if ctx.input(|i| i.viewport().close_requested()) && !self.closing {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            match &self.dialog {
                // A form that is half filled in is work too.
                Some(Dialog::Recipe(form)) if !form.is_empty() => {
                    self.tell("A recipe is being typed in: finish or cancel it first".into());
                }
                _ => self.pending.push(Command::Quit),
            }
        }
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        let (view, active) = (self.view, self.active);
        if self.dialog.is_none() && self.palette.is_none() {
            self.pending.extend(Command::pressed(&ctx));
        }
        self.top_bar(ui);
        if !self.pending.is_empty() {
            // The field that is being typed in takes its number before the command sees the design.
            ctx.memory_mut(|m| {
                if let Some(id) = m.focused() {
                    m.surrender_focus(id);
                }
            });
        }
        self.notice_line(ui);
        self.stops(ui);
        self.offers(ui);
        let top = ui.available_rect_before_wrap().top();
        // Each view has ids of its own, so that no focus is left in a field of another.
        keyboard::begins(&ctx, top);
        ui.push_id(self.view, |ui| self.show_view(ui));
        for command in std::mem::take(&mut self.pending) {
            self.run(command, &ctx);
            ctx.request_repaint();
        }
        self.show_palette(&ctx);
        self.show_dialog(&ctx);
        dropping::show(&ctx);
        if self.view != view {
            keyboard::leave(&ctx, top);
        }
        if self.active != active {
            number_field::forget(&ctx);
        }
        self.keep_title(&ctx);
        self.keep_preferences();
        self.keep_copies(&ctx);
    }

    fn persist_egui_memory(&self) -> bool {
        // Half-typed fields and scrolled columns are of this window alone.
        false
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        // A window that the system ends without a question keeps its copies.
        if self.closing
            && let Some(recovery) = self.recovery.take()
        {
            recovery.end();
        }
    }
}
