//! The window driven as a person would, by the names of its controls.

mod batch;
mod colour;
mod compare;
mod design;
mod find;
mod first;
mod keyboard;
mod layout;
mod log;
mod lots;
mod make;
mod own;
mod process;
mod shelf;
mod stops;
mod troubles;
mod typing;
mod why;

use barwright::app::{App, Setup};
use barwright::files::{Answer, FileDialogs, Question};
use barwright::safely::Watch;
use barwright_core::cautions::{self, Caution};
use barwright_core::{Design, Evaluation, Library, evaluate};
use eframe::egui::{self, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::collections::VecDeque;
use std::path::PathBuf;

/// Answers file questions from a list.
#[derive(Default)]
struct Answers(VecDeque<Answer>, Option<Answer>);

impl FileDialogs for Answers {
    fn ask(&mut self, _: &Question, wake: Box<dyn Fn() + Send>) {
        self.1 = Some(self.0.pop_front().unwrap_or(Answer::Cancelled));
        wake();
    }

    fn poll(&mut self) -> Option<Answer> {
        self.1.take()
    }
}

type Window = Harness<'static, App>;

fn window_with(paths: Vec<PathBuf>, answers: Vec<Answer>, size: [f32; 2], theme: egui::Theme) -> Window {
    window_keeping([None, None, None], paths, answers, size, theme)
}

fn window_keeping(
    [recovery, shelf, locks]: [Option<PathBuf>; 3],
    paths: Vec<PathBuf>,
    answers: Vec<Answer>,
    size: [f32; 2],
    theme: egui::Theme,
) -> Window {
    let mut window = Harness::builder().with_size(size).with_theme(theme).with_max_steps(32).build_eframe(move |cc| {
        let app = App::new(
            &cc.egui_ctx,
            Setup {
                library: Library::embedded().expect("assets parse"),
                paths,
                preferences: None,
                recovery,
                shelf,
                locks,
                folders: None,
                dialogs: Box::new(Answers(answers.into(), None)),
                watch: Watch::default(),
                patience: std::time::Duration::from_mins(1),
            },
        );
        cc.egui_ctx.set_theme(theme);
        app
    });
    window.run();
    window
}

fn window() -> Window {
    window_with(Vec::new(), Vec::new(), [1280.0, 800.0], egui::Theme::Light)
}

/// A window in which all of the columns can be clicked without scrolling.
fn tall_window() -> Window {
    window_with(Vec::new(), Vec::new(), [1280.0, 2000.0], egui::Theme::Light)
}

fn design(window: &Window) -> Design {
    (**window.state().active().design()).clone()
}

fn evaluation(window: &Window) -> Evaluation {
    evaluate(&design(window), &Library::embedded().expect("assets parse"))
}

fn told(window: &Window) -> Vec<Caution> {
    let library = Library::embedded().expect("assets parse");
    cautions::of(&design(window), &evaluation(window), &library)
}

fn example(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../assets/examples").join(name)
}

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

/// Types into the field called `name` and presses Enter.
fn type_into(window: &mut Window, name: &str, text: &str) {
    window.get_by_label(name).focus();
    window.run();
    window.get_by_label(name).type_text(text);
    window.run();
    window.key_press(Key::Enter);
    window.run();
}

/// Opens the view with this `key` and Ctrl; a search that begins there ends first, and a log has a batch.
fn open_view(window: &mut Window, key: Key) {
    if key == Key::Num3 {
        find::open_find(window);
    } else {
        press(window, Modifiers::COMMAND, key);
    }
    log::begin_if_empty(window);
}

fn press(window: &mut Window, modifiers: Modifiers, key: Key) {
    window.key_press_modifiers(modifiers, key);
    window.run();
}
