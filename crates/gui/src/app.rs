//! The window: what is open, what is shown, and what the commands do.

mod dialogs;
mod top_bar;

use crate::command::Command;
use crate::examples;
use crate::files::{self, Answer, FileDialogs, FileError, Fingerprint, NativeDialogs, Question};
use crate::open::{Key, OpenDesign};
use crate::preferences::{self, Preferences};
use crate::theme::{self, FatColours, Tokens};
use crate::views::compare::{self, Request};
use crate::views::design::{Compared, DesignView, Scene, blend, scores_of};
use crate::views::recipe::RecipeForm;
use barwright_core::units::MassUnit;
use barwright_core::{Design, Library};
use dialogs::Dialog;
use eframe::egui::{self, Frame, Margin, Panel, RichText, Ui, ViewportCommand, vec2};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The main views.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// One design.
    Design,
    /// Two designs.
    Compare,
}

/// What goes on once a design is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Afterwards {
    Nothing,
    Close(Key),
    Quit,
}

/// What the answer to a file question is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Purpose {
    Open,
    Save(Key, Afterwards),
}

/// A line at the bottom of the window.
#[derive(Debug, Clone)]
struct Notice {
    text: String,
    is_error: bool,
}

/// How the window starts.
pub struct Setup {
    /// The tables.
    pub library: Library,
    /// Designs to open; the starter design if there are none.
    pub paths: Vec<PathBuf>,
    /// Where the preferences live.
    pub preferences: Option<PathBuf>,
    /// How files are asked for.
    pub dialogs: Box<dyn FileDialogs>,
}

/// The state of the window.
pub struct App {
    library: Arc<Library>,
    designs: Vec<OpenDesign>,
    active: Key,
    compared: Option<Key>,
    last_key: u64,
    view: View,
    design_view: DesignView,
    preferences: Preferences,
    saved_preferences: Preferences,
    preferences_path: Option<PathBuf>,
    colours: FatColours,
    dialogs: Box<dyn FileDialogs>,
    asked: Option<Purpose>,
    dialog: Option<Dialog>,
    notice: Option<Notice>,
    /// Designs that may be lost when the window closes, as the person said.
    forgone: BTreeSet<Key>,
    closing: bool,
    title: String,
}

/// Opens the window and runs until it closes.
///
/// # Errors
/// From the window system, if no window can be made.
pub fn start(library: Library, paths: &[PathBuf]) -> Result<(), eframe::Error> {
    let icon = eframe::icon_data::from_png_bytes(include_bytes!("../../../assets/icon.png")).unwrap_or_default();
    let viewport = egui::ViewportBuilder::default()
        .with_app_id(crate::APP_ID)
        .with_title("Barwright")
        .with_icon(icon)
        .with_inner_size(vec2(1280.0, 800.0))
        .with_min_inner_size(vec2(1000.0, 560.0));
    let options = eframe::NativeOptions { viewport, ..Default::default() };
    let setup = Setup {
        library,
        paths: paths.to_vec(),
        preferences: preferences::path(),
        dialogs: Box::new(NativeDialogs::default()),
    };
    eframe::run_native(crate::APP_ID, options, Box::new(|cc| Ok(Box::new(App::new(&cc.egui_ctx, setup)))))
}

impl App {
    /// The window as it starts.
    pub fn new(ctx: &egui::Context, setup: Setup) -> Self {
        theme::install(ctx);
        let Setup { library, paths, preferences: preferences_path, dialogs } = setup;
        let preferences = preferences_path.as_deref().map(Preferences::load).unwrap_or_default();
        ctx.set_theme(preferences.theme);
        let mut app = Self {
            library: Arc::new(library),
            designs: Vec::new(),
            active: Key(0),
            compared: None,
            last_key: 0,
            view: View::Design,
            design_view: DesignView::default(),
            saved_preferences: preferences.clone(),
            preferences,
            preferences_path,
            colours: FatColours::default(),
            dialogs,
            asked: None,
            dialog: None,
            notice: None,
            forgone: BTreeSet::new(),
            closing: false,
            title: String::new(),
        };
        for path in paths {
            app.open_path(&path);
        }
        if app.designs.is_empty() {
            let starter = examples::STARTER.design(&app.library).unwrap_or_default();
            app.add(starter, None);
        }
        app
    }

    /// The design that is shown.
    pub fn active(&self) -> &OpenDesign {
        // The list is never empty: closing the last design opens an empty one.
        self.designs.iter().find(|d| d.key == self.active).unwrap_or(&self.designs[0])
    }

    fn active_mut(&mut self) -> &mut OpenDesign {
        let index = self.designs.iter().position(|d| d.key == self.active).unwrap_or(0);
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
    fn add(&mut self, design: Design, file: Option<(PathBuf, Fingerprint)>) -> Key {
        self.last_key += 1;
        let key = Key(self.last_key);
        self.designs.push(OpenDesign::new(key, design, file));
        self.active = key;
        key
    }

    fn fail(&mut self, error: &FileError) {
        self.notice = Some(Notice { text: error.to_string(), is_error: true });
    }

    fn tell(&mut self, text: String) {
        self.notice = Some(Notice { text, is_error: false });
    }

    /// Opens the file at `path`; an untouched starter makes way for it.
    fn open_path(&mut self, path: &Path) {
        if let Some(open) = self.designs.iter().find(|d| d.path.as_deref() == Some(path)) {
            self.active = open.key;
            return;
        }
        match files::load(path, &self.library) {
            Ok((design, fingerprint)) => {
                let untouched = |d: &OpenDesign| d.path.is_none() && d.history.undo_name().is_none();
                if let [only] = self.designs.as_slice()
                    && untouched(only)
                {
                    self.designs.clear();
                }
                self.add(design, Some((path.to_owned(), fingerprint)));
                self.preferences.remember(path);
                self.view = View::Design;
            }
            Err(error) => self.fail(&error),
        }
    }

    /// Saves the design `key` to `path`, whatever is there, and goes on with `then`.
    fn save_to(&mut self, key: Key, path: &Path, then: Afterwards, ctx: &egui::Context) {
        let library = Arc::clone(&self.library);
        let Some(open) = self.designs.iter_mut().find(|d| d.key == key) else { return };
        let revision = open.history.revision();
        match files::save(path, open.design(), &library) {
            Ok(fingerprint) => {
                open.history.mark_saved(revision);
                open.history.end_gesture();
                open.path = Some(path.to_owned());
                open.on_disk = Some(fingerprint);
                let text = format!("Saved {}", open.file_name());
                self.preferences.remember(path);
                self.tell(text);
                match then {
                    Afterwards::Nothing => {}
                    Afterwards::Close(key) => self.close(key),
                    Afterwards::Quit => self.quit(ctx),
                }
            }
            Err(error) => self.fail(&error),
        }
    }

    /// Saves the design `key` to its file, asking first where there is none or where another
    /// program changed it.
    fn save(&mut self, key: Key, then: Afterwards, ctx: &egui::Context) {
        let Some(open) = self.find(key) else { return };
        match open.path.clone() {
            None => self.ask_where(key, then, ctx),
            Some(path) => {
                let now = Fingerprint::of_file(&path);
                if now.is_some() && now != open.on_disk {
                    self.dialog = Some(Dialog::ChangedOnDisk { key, path, then });
                } else {
                    self.save_to(key, &path, then, ctx);
                }
            }
        }
    }

    fn ask_where(&mut self, key: Key, then: Afterwards, ctx: &egui::Context) {
        let Some(open) = self.find(key) else { return };
        let proposed = proposed_name(open);
        self.ask(&Question::Save(proposed), Purpose::Save(key, then), ctx);
    }

    fn ask(&mut self, question: &Question, purpose: Purpose, ctx: &egui::Context) {
        let ctx = ctx.clone();
        self.asked = Some(purpose);
        self.dialogs.ask(question, Box::new(move || ctx.request_repaint()));
    }

    fn answer(&mut self, answer: Answer, ctx: &egui::Context) {
        match (answer, self.asked.take()) {
            (Answer::Path(path), Some(Purpose::Open)) => self.open_path(&path),
            (Answer::Path(path), Some(Purpose::Save(key, then))) => {
                self.save_to(key, &files::with_extension(path), then, ctx);
            }
            (Answer::Unavailable, Some(purpose)) => self.ask_typed(purpose, true),
            (Answer::Cancelled, _) | (_, None) => {}
        }
    }

    fn ask_typed(&mut self, purpose: Purpose, no_window: bool) {
        let text = match purpose {
            Purpose::Open => String::new(),
            Purpose::Save(key, _) => self.find(key).map_or_else(String::new, |open| {
                let folder = std::env::current_dir().unwrap_or_default();
                open.path.clone().unwrap_or_else(|| folder.join(proposed_name(open))).display().to_string()
            }),
        };
        self.dialog = Some(Dialog::TypedPath { purpose, text, no_window, complaint: None });
    }

    /// Closes the design `key`, whatever is unsaved; the last one makes way for an empty one.
    fn close(&mut self, key: Key) {
        self.designs.retain(|d| d.key != key);
        match self.designs.last() {
            None => {
                self.add(Design::default(), None);
            }
            Some(last) if self.active == key => self.active = last.key,
            Some(_) => {}
        }
    }

    fn ask_to_close(&mut self, key: Key) {
        if self.find(key).is_some_and(OpenDesign::would_lose) {
            self.dialog = Some(Dialog::Unsaved { key, quitting: false });
        } else {
            self.close(key);
        }
    }

    /// Closes the window, asking for each unsaved design first.
    fn quit(&mut self, ctx: &egui::Context) {
        let unsaved = self.designs.iter().find(|d| d.would_lose() && !self.forgone.contains(&d.key));
        if let Some(open) = unsaved {
            let key = open.key;
            self.active = key;
            self.dialog = Some(Dialog::Unsaved { key, quitting: true });
        } else {
            self.closing = true;
            ctx.send_viewport_cmd(ViewportCommand::Close);
        }
    }

    /// Carries out `command`.
    pub fn run(&mut self, command: Command, ctx: &egui::Context) {
        let key = self.active().key;
        match command {
            Command::New => {
                self.add(Design::default(), None);
                self.view = View::Design;
                ctx.memory_mut(|m| m.request_focus(blend::picker_id()));
            }
            Command::Open => self.ask(&Question::Open, Purpose::Open, ctx),
            Command::OpenTyped => self.ask_typed(Purpose::Open, false),
            Command::Save => self.save(key, Afterwards::Nothing, ctx),
            Command::SaveAs => self.ask_where(key, Afterwards::Nothing, ctx),
            Command::SaveTyped => self.ask_typed(Purpose::Save(key, Afterwards::Nothing), false),
            Command::Duplicate => self.duplicate(),
            Command::TypeInRecipe => self.dialog = Some(Dialog::Recipe(Box::<RecipeForm>::default())),
            Command::Close => self.ask_to_close(key),
            Command::Quit => self.quit(ctx),
            Command::Undo => self.active_mut().undo(),
            Command::Redo => self.active_mut().redo(),
            Command::AddFat => {
                self.view = View::Design;
                ctx.memory_mut(|m| m.request_focus(blend::picker_id()));
            }
            Command::ShowDesign => self.view = View::Design,
            Command::ShowCompare => self.view = View::Compare,
            Command::SwitchUnit => {
                self.preferences.unit = match self.preferences.unit {
                    MassUnit::Gram => MassUnit::Ounce,
                    MassUnit::Ounce => MassUnit::Gram,
                };
            }
            Command::SwitchHints => self.preferences.hints = !self.preferences.hints,
        }
    }

    fn duplicate(&mut self) {
        let open = self.active();
        let (from, design) =
            (open.key, Design { name: format!("{}, varied", open.title()), ..(**open.design()).clone() });
        self.add(design, None);
        self.compared = Some(from);
    }

    fn compare(&mut self, ui: &mut Ui, ctx: &egui::Context) {
        let (first, second) = (self.active().key, self.second());
        let library = Arc::clone(&self.library);
        let request =
            compare::show(ui, &mut self.designs, first, second, &library, &mut self.colours, self.preferences.unit);
        match request {
            Some(Request::First(key)) => self.active = key,
            Some(Request::Second(key)) => self.compared = Some(key),
            Some(Request::Swap) => {
                if let Some(second) = second {
                    self.active = second;
                    self.compared = Some(first);
                }
            }
            Some(Request::Duplicate) => self.run(Command::Duplicate, ctx),
            Some(Request::Example(i)) => self.open_example(i),
            None => {}
        }
    }

    /// Opens an example beside what is open, keeping that as the one to compare with.
    fn open_example(&mut self, index: usize) {
        let Some(example) = examples::ALL.get(index) else { return };
        let before = self.active().key;
        match example.design(&self.library) {
            Ok(design) => {
                self.add(design, None);
                self.compared = Some(before);
            }
            Err(error) => self.notice = Some(Notice { text: format!("{}: {error}", example.title), is_error: true }),
        }
    }

    fn scene_compared(&mut self) -> Option<Compared> {
        let key = self.compared.filter(|k| *k != self.active)?;
        let library = Arc::clone(&self.library);
        let open = self.designs.iter_mut().find(|d| d.key == key)?;
        Some(Compared { title: open.title(), scores: scores_of(&open.evaluation(&library)) })
    }

    fn notice_line(&mut self, ui: &mut Ui) {
        let Some(notice) = self.notice.clone() else { return };
        let tokens = Tokens::of(ui);
        let frame = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(16, 6));
        Panel::bottom("notice").frame(frame).show(ui, |ui| {
            ui.horizontal(|ui| {
                if ui.button("×").on_hover_text("Dismiss").clicked() {
                    self.notice = None;
                }
                let colour = if notice.is_error { tokens.stop } else { tokens.fine };
                ui.add(egui::Label::new(RichText::new(&notice.text).color(colour)).wrap());
            });
        });
    }

    fn keep_title(&mut self, ctx: &egui::Context) {
        let open = self.active();
        let unsaved = if open.history.is_unsaved() { " •" } else { "" };
        let title = format!("{} – {}{unsaved} – Barwright", open.title(), open.file_name());
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    fn keep_preferences(&mut self) {
        if self.preferences == self.saved_preferences {
            return;
        }
        self.saved_preferences = self.preferences.clone();
        if let Some(Err(error)) = self.preferences_path.as_deref().map(|path| self.preferences.save(path)) {
            self.notice = Some(Notice { text: format!("The preferences could not be kept: {error}"), is_error: true });
        }
    }
}

/// A file name made of the design's name.
fn proposed_name(open: &OpenDesign) -> String {
    if let Some(name) = open.path.as_ref().and_then(|p| p.file_name()) {
        return name.to_string_lossy().into_owned();
    }
    let mut name = String::new();
    for c in open.title().to_lowercase().chars().take(60) {
        match c {
            c if c.is_alphanumeric() => name.push(c),
            _ if !name.ends_with('-') => name.push('-'),
            _ => {}
        }
    }
    format!("{}.{}", name.trim_matches('-'), barwright_core::document::EXTENSION)
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        if let Some(answer) = self.dialogs.poll() {
            self.answer(answer, ctx);
        }
        let dropped: Vec<PathBuf> = ctx.input(|i| i.raw.dropped_files.iter().map(|f| f.path().to_owned()).collect());
        for path in dropped {
            self.open_path(&path);
        }
        if ctx.input(|i| i.viewport().close_requested()) && !self.closing {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.quit(ctx);
        }
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        if self.dialog.is_none() {
            for command in Command::pressed(&ctx) {
                self.run(command, &ctx);
            }
        }
        self.top_bar(ui);
        self.notice_line(ui);
        match self.view {
            View::Design => {
                let compared = self.scene_compared();
                let library = Arc::clone(&self.library);
                let index = self.designs.iter().position(|d| d.key == self.active).unwrap_or(0);
                let mut scene = Scene {
                    library: &library,
                    colours: &mut self.colours,
                    unit: self.preferences.unit,
                    hints: self.preferences.hints,
                    compared,
                };
                self.design_view.show(ui, &mut self.designs[index], &mut scene);
            }
            View::Compare => {
                let frame = Frame::new().fill(Tokens::of(ui).ground);
                egui::CentralPanel::no_frame().frame(frame).show(ui, |ui| self.compare(ui, &ctx));
            }
        }
        self.show_dialog(&ctx);
        self.keep_title(&ctx);
        self.keep_preferences();
    }
}
