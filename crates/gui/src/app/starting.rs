//! How the window starts: what it is given, what it opens, and what an earlier one left.

use super::dialogs::Dialog;
use super::{App, View};
use crate::errands::{self, Errands};
use crate::examples;
use crate::files::{self, FileDialogs, NativeDialogs};
use crate::folder;
use crate::keyboard;
use crate::lock::{self, Locks};
use crate::open::Key;
use crate::preferences::{self, Preferences};
use crate::recovery::{self, Recovery, Remains};
use crate::safely::Watch;
use crate::shelf::{self, ShelfKeeper};
use crate::theme;
use crate::views::compare::CompareView;
use crate::views::design::DesignView;
use crate::views::find::FindView;
use crate::views::help::{HelpView, Places};
use crate::views::log::LogView;
use crate::views::make::MakeView;
use crate::views::shelf::ShelfView;
use crate::views::shelf::offers::Offers;
use crate::views::troubles::TroublesView;
use barwright_core::Library;
use barwright_core::explain::compare::MOST_SIDES;
use eframe::egui::{self, vec2};
use std::collections::{BTreeMap, VecDeque};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

/// How the window starts.
pub struct Setup {
    /// The tables.
    pub library: Library,
    /// Designs to open; the starter design if there are none.
    pub paths: Vec<PathBuf>,
    /// Where the preferences live.
    pub preferences: Option<PathBuf>,
    /// Where copies of unsaved work live.
    pub recovery: Option<PathBuf>,
    /// The folder of the shelf.
    pub shelf: Option<PathBuf>,
    /// Where designs are locked against a second window.
    pub locks: Option<PathBuf>,
    /// Where what was read of folders is kept.
    pub folders: Option<PathBuf>,
    /// How files are asked for.
    pub dialogs: Box<dyn FileDialogs>,
    /// Is asked before each step of a save.
    pub watch: Watch,
    /// How long the window waits for work on files before it draws on.
    pub patience: Duration,
}

/// Opens the window and runs until it closes.
///
/// # Errors
/// From the window system, if no window can be made.
pub fn start(library: Library, paths: &[PathBuf]) -> Result<(), eframe::Error> {
    let icon = eframe::icon_data::from_png_bytes(include_bytes!("../../../../assets/icon.png")).unwrap_or_default();
    let viewport = egui::ViewportBuilder::default()
        .with_app_id(crate::APP_ID)
        .with_title("Barwright")
        .with_icon(icon)
        .with_inner_size(vec2(1280.0, 800.0))
        .with_min_inner_size(vec2(1000.0, 560.0));
    if let Some(path) = preferences::window_path() {
        // Size and place begin anew; there is nobody to tell yet, and nothing lost.
        let _ = preferences::check_window(&path);
    }
    // The toolkit keeps size and place of the window there, and brings it back into sight.
    let options =
        eframe::NativeOptions { viewport, persistence_path: preferences::window_path(), ..Default::default() };
    let setup = Setup {
        library,
        paths: paths.to_vec(),
        preferences: preferences::path(),
        recovery: recovery::folder(),
        shelf: shelf::folder(),
        locks: lock::folder(),
        folders: folder::cache(),
        dialogs: Box::new(NativeDialogs::default()),
        watch: Watch::default(),
        patience: errands::PATIENCE,
    };
    let make = |cc: &eframe::CreationContext<'_>| {
        let mut app = App::new(&cc.egui_ctx, setup);
        app.write_copies_on_signals();
        Ok(Box::new(app) as Box<dyn eframe::App>)
    };
    eframe::run_native(crate::APP_ID, options, Box::new(make))
}

impl App {
    /// The window as it starts.
    pub fn new(ctx: &egui::Context, setup: Setup) -> Self {
        theme::install(ctx);
        keyboard::install(ctx);
        let Setup {
            library,
            paths,
            preferences: preferences_path,
            recovery: recovery_folder,
            shelf,
            locks,
            folders,
            dialogs,
            watch,
            patience,
        } = setup;
        let shelf = ShelfKeeper::open(shelf.as_deref(), &library).watched(watch.clone());
        let (preferences, aside) = preferences_path.as_deref().map(Preferences::load).unwrap_or_default();
        ctx.set_theme(preferences.theme);
        let mut app = Self {
            library: Arc::new(library),
            designs: Vec::new(),
            active: Key(0),
            compared: None,
            further: Vec::new(),
            last_key: 0,
            view: View::Design,
            under: View::Design,
            design_view: DesignView::with_edge(preferences.edge),
            compare_view: CompareView::default(),
            find_view: FindView::default(),
            make_view: MakeView::of(preferences.region),
            log_view: LogView::default(),
            shelf_view: ShelfView::keeping(folders.clone()),
            offers: Offers::default(),
            troubles_view: TroublesView::default(),
            saved_preferences: preferences.clone(),
            preferences,
            help_view: HelpView::default(),
            places: Places {
                shelf: shelf.path(),
                preferences: preferences_path.clone(),
                recovery: recovery_folder.clone(),
                window: preferences::window_path(),
                page: files::page_for_browser(),
                folders,
            },
            preferences_path,
            dialogs,
            asked: None,
            dialog: None,
            dialog_before: None,
            palette: None,
            notice: None,
            forgone: BTreeMap::new(),
            pending: Vec::new(),
            typed_forgone: false,
            closing: false,
            recovery: None,
            watch,
            errands: Errands::start(patience, ctx.clone()),
            saving: None,
            keeping_preferences: false,
            deferred: VecDeque::new(),
            shelf,
            locks: Locks::under(locks),
            taken_up: Vec::new(),
            forms: 0,
            title: String::new(),
        };
        if let Some(aside) = aside {
            app.fail(format!("The preferences could not be read and begin anew; they are kept as {}", aside.display()));
        }
        app.open_first(paths);
        if let Some(folder) = recovery_folder {
            app.keep_copies_in(&folder);
        }
        app
    }

    /// Opens what the window starts with: `paths`, else the last file, else the starter.
    fn open_first(&mut self, paths: Vec<PathBuf>) {
        let paths_are_none = paths.is_empty();
        for path in paths {
            self.open_now(&path);
        }
        // Files named together stand side by side in that order; the first is shown.
        let open: Vec<Key> = self.designs.iter().map(|d| d.key).take(MOST_SIDES).collect();
        if open.len() > 1 {
            self.set_columns(&open);
        }
        // A person goes on where they were. A file that is gone is looked for in Open recent; one that another window
        // has is not meant by somebody who starts a second one.
        if paths_are_none
            && let Some(last) = self.preferences.recent.first().filter(|p| p.is_file()).cloned()
            && self.locks.take(&last)
        {
            self.open_now(&last);
            // One that could not be read is nobody’s.
            self.let_files_go();
        }
        if self.designs.is_empty() {
            let starter = examples::STARTER.design(&self.library).unwrap_or_default();
            self.add(starter, None, true);
        }
    }

    /// Offers what a window that did not end well has left in `folder`, and keeps copies of its own there.
    fn keep_copies_in(&mut self, folder: &Path) {
        let Remains { found, unreadable } = recovery::find(folder);
        if !found.is_empty() {
            self.dialog = Some(Dialog::Recovered(found));
        }
        for copy in unreadable {
            self.fail(format!("A copy of unsaved work could not be read. It is kept as {}", copy.display()));
        }
        match Recovery::start(folder) {
            Ok(recovery) => self.recovery = Some(recovery),
            Err(error) => self.fail(format!("Unsaved work cannot be kept against a crash: {error}")),
        }
    }
}
