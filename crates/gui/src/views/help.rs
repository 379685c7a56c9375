//! The page that says what the window is for: the views, numbers, typing, keys, where files lie, licences. It stands
//! over any view.

mod page;

use super::{Changes, Request};
use crate::command::Command;
use crate::theme::{self, Tokens};
use crate::widgets::{column, copy_button, heading, quiet, small, within};
use barwright_core::cautions::ALWAYS;
use barwright_core::design::document::EXTENSION;
use eframe::egui::{
    self, Align, CollapsingHeader, Frame, Key, Label, Layout, Margin, Modifiers, Panel, RichText, Ui, vec2,
};
use std::path::{Path, PathBuf};

/// Where this program keeps files; `None` where the system names no folder.
#[derive(Debug, Clone, Default)]
pub struct Places {
    /// The shelf.
    pub shelf: Option<PathBuf>,
    /// The preferences.
    pub preferences: Option<PathBuf>,
    /// Copies of unsaved work.
    pub recovery: Option<PathBuf>,
    /// Size and place of the window.
    pub window: Option<PathBuf>,
    /// The page that was printed last.
    pub page: Option<PathBuf>,
    /// What was read of folders of designs.
    pub folders: Option<PathBuf>,
}

/// What each view is for.
const VIEWS: [(Command, &str); 7] = [
    (
        Command::ShowDesign,
        "One design: at the left the blend, the lye and all that goes in, in the middle the bar that it makes and its \
         likely colour, at the right what to put on the scale. Whatever you change, every number follows at once. Match \
         a bar that you made, and the next colours are told from it.",
    ),
    (
        Command::ShowCompare,
        "Two to four open designs side by side, with what differs. A difference can be taken over with a click.",
    ),
    (
        Command::ShowFind,
        "The best blend for what you ask: the nearest to this one without a fat, the cheapest, or the smallest change \
         that brings the bar where you want it.",
    ),
    (
        Command::ShowMake,
        "One batch from the day it is made to its price: the bench sheet to print, dates, cure, label and cost. The \
         batch may be larger or smaller; the design stays as it is.",
    ),
    (
        Command::ShowLog,
        "What was made of the design, batch by batch: what the scale showed and the superfat that really results, before \
         the lye goes in; heat, cut, test, cure, use, and where the bars went. What is written down is corrected by a \
         later line and never overwritten.",
    ),
    (
        Command::ShowShelf,
        "What there is: the designs of a folder, the lots that you bought, the bars that are left, what to buy for the \
         batches that are planned, and where each lot went. Type to find a design, and Enter opens it.",
    ),
    (
        Command::ShowTroubles,
        "When something looks wrong in the pot, the mould or the bar: whether it is safe, why, and what to do.",
    ),
];

/// How a number is asked about.
const WHY: &str = "Click a number to see why it is so: its formula, the same with the numbers of this design, where \
    each of them comes from, how far to trust it, and what would change it most. Esc puts it away.";

/// What a field understands.
const TYPED: [(&str, &str); 5] = [
    ("2 lb 3 oz", "any unit of its kind, whatever unit is shown, also added up"),
    ("9 1/2 in", "fractions"),
    ("12,5", "a comma or a point"),
    ("1200/3", "sums, such as 22*0.64"),
    ("28 Nov", "days: today, tomorrow, or as they are written where the bars are sold"),
];

/// Keys that are no commands.
const OTHER_KEYS: [(&str, &str); 7] = [
    ("Tab", "The next control, in a new view its first; with Shift the one before"),
    ("Enter", "Takes what is typed; in a question, the coloured button"),
    ("Ctrl+Enter", "The coloured button beside the text that is typed, even in a box of many lines"),
    ("Esc", "Gives up what is typed, closes what is open"),
    ("Page Up, Down", "Scroll the column with the focus, else the one under the pointer or at the left"),
    ("↑ ↓", "One step up or down in a number field; with Shift a tenth of it"),
    ("← →", "The same on a slider"),
];

/// Why dropped files may not come.
const DROPPING: &str = "Drop one or several design files on the window, and each opens. On Linux under Wayland the \
    window cannot take dropped files: use Open there, or give the files on the command line.";

const LICENCES: [(&str, &str); 3] = [
    (
        "Program",
        "MIT licence, without any warranty. It is built with open-source libraries, each under its own licence.",
    ),
    (
        "Faces",
        "Inter: SIL Open Font License. For signs that it lacks: Ubuntu Light (Ubuntu Font \
         Licence), Hack (MIT and Bitstream Vera licences) and icons under the MIT licence.",
    ),
    (
        "Data",
        "Figures from published standards, handbooks and papers, or from common practice: each names its source and \
         how far it was seen. Click a number to read it; assets/data/SOURCES.md tells of every table.",
    ),
];

/// What is chosen on the page.
#[derive(Debug, Default)]
pub struct HelpView {
    /// The place of a page of `assets/help`; the window’s own page if there is none.
    page: Option<usize>,
}

/// Draws the page.
pub fn show(ui: &mut Ui, view: &mut HelpView, places: &Places) -> Changes {
    let mut changes = Changes::default();
    if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
        changes.request(Request::ClosePage);
    }
    let ground = Frame::new().fill(Tokens::of(ui).ground);
    let top = ground.inner_margin(Margin { left: 16, right: 16, top: 10, bottom: 6 });
    Panel::top("help top").frame(top).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.set_min_height(28.0);
            ui.label(RichText::new(Command::ShowHelp.text()).font(theme::strong(16.0)));
            ui.add_space(10.0);
            ui.selectable_value(&mut view.page, None, "In short");
            for (i, page) in page::PAGES.iter().enumerate() {
                ui.selectable_value(&mut view.page, Some(i), page.title);
            }
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if ui.button("Back").on_hover_text("Back to the view before (Esc)").clicked() {
                    changes.request(Request::ClosePage);
                }
            });
        });
    });
    let width = ui.available_width();
    let right = Frame::new().fill(Tokens::of(ui).panel);
    Panel::right("help keys").frame(right).exact_size((width * 0.46).clamp(440.0, 760.0)).show(ui, |ui| {
        column(ui, "help keys column", within(20, 4), |ui| {
            keys(ui);
            files(ui, places);
            licences(ui);
        });
    });
    egui::CentralPanel::no_frame().frame(ground).show(ui, |ui| {
        // Each page is scrolled by itself.
        let id = format!("help column {:?}", view.page);
        column(ui, &id, within(16, 4), |ui| {
            ui.set_max_width(ui.available_width().min(720.0));
            if let Some(page) = view.page.and_then(|i| page::PAGES.get(i)) {
                page::show(ui, page);
                return;
            }
            views(ui);
            typing(ui);
            heading(ui, "Lye");
            for line in ALWAYS {
                text(ui, line);
            }
        });
    });
    changes
}

/// A paragraph.
fn text(ui: &mut Ui, text: &str) {
    ui.add(Label::new(text).wrap());
}

fn views(ui: &mut Ui) {
    heading(ui, "Views");
    rows(ui, VIEWS.map(|(command, what)| (command.text().to_owned(), what)));
    heading(ui, "Why a number is so");
    text(ui, WHY);
}

fn typing(ui: &mut Ui) {
    heading(ui, "Typing");
    rows(ui, TYPED.map(|(sample, what)| (sample.to_owned(), what)));
    heading(ui, "Dropping files");
    text(ui, DROPPING);
}

/// Width of what is short in a row, points.
const SHORT: f32 = 92.0;

/// Rows of something short and what it means.
fn rows<'a>(ui: &mut Ui, rows: impl IntoIterator<Item = (String, &'a str)>) {
    ui.spacing_mut().item_spacing.y = 3.0;
    for (short, what) in rows {
        ui.horizontal_top(|ui| {
            ui.allocate_ui_with_layout(vec2(SHORT, 17.0), Layout::left_to_right(Align::Min), |ui| {
                ui.set_min_width(SHORT);
                ui.label(RichText::new(short).font(theme::strong(13.0)));
            });
            ui.add(Label::new(what).wrap());
        });
    }
}

fn keys(ui: &mut Ui) {
    heading(ui, "Keys");
    let shortcuts = |command: Command| command.shortcut().into_iter().chain(command.other_shortcut());
    let of_commands = Command::ALL
        .into_iter()
        .flat_map(|command| shortcuts(command).map(move |keys| (keys, command.tip())))
        .map(|(keys, tip)| (ui.ctx().format_shortcut(&keys), tip));
    let of_commands: Vec<_> = of_commands.collect();
    let others = OTHER_KEYS.map(|(key, what)| (key.to_owned(), what));
    rows(ui, of_commands.into_iter().chain(others));
}

fn files(ui: &mut Ui, places: &Places) {
    heading(ui, "Where files lie");
    text(
        ui,
        &format!(
            "A design lies where you save it, in a file that ends in .{EXTENSION}; what was there before stays beside \
             it as .bak. Everything else is kept here:"
        ),
    );
    let all = [
        ("The shelf: lots, finished bars, plans, and your tools", &places.shelf),
        ("Preferences", &places.preferences),
        ("Copies of unsaved work, against a crash", &places.recovery),
        ("Size and place of the window", &places.window),
        ("The page that was printed last", &places.page),
        ("What was read of folders of designs", &places.folders),
    ];
    for (what, path) in all {
        place(ui, what, path.as_deref());
    }
    quiet(ui, "Nothing is sent anywhere");
}

/// A path, to be copied.
fn place(ui: &mut Ui, what: &str, path: Option<&Path>) {
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            if let Some(path) = path {
                copy_button(ui, &format!("the path: {}", what.to_lowercase()), || path.display().to_string());
            }
            ui.with_layout(Layout::top_down(Align::Min), |ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                ui.label(what);
                let path =
                    path.map_or_else(|| "nowhere: the system names no folder".into(), |p| p.display().to_string());
                small(ui, path);
            });
        });
    });
}

fn licences(ui: &mut Ui) {
    heading(ui, "Licences");
    rows(ui, LICENCES.map(|(what, licence)| (what.to_owned(), licence)));
    for (title, licence) in [
        ("Text of the MIT licence", include_str!("../../../../LICENSE")),
        ("Text of the SIL Open Font License", include_str!("../../../../assets/fonts/Inter-OFL.txt")),
    ] {
        CollapsingHeader::new(title).show(ui, |ui| small(ui, licence.trim()));
    }
}
