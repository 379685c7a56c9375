//! The page on what looks wrong in a batter or a bar: what is seen at the left, found by typing; whether it is safe,
//! why, what now and what next time at the right. It stands over any view.

mod one;

use super::why::{self, Explanations, Owner, Subject};
use super::{Changes, Request};
use crate::cache::Kept;
use crate::open::{OpenDesign, State};
use crate::theme::{self, Tokens};
use crate::widgets::{column, name, quiet, section, within};
use barwright_core::Library;
use barwright_core::explain::of_quantity;
use barwright_core::troubles::{self, Fault, Trouble, Troubles, When};
use barwright_core::units::Measures;
use eframe::egui::text::LayoutJob;
use eframe::egui::{
    self, Align, Button, FontId, Frame, Id, Layout, Margin, Modifiers, Panel, RichText, TextEdit, TextFormat, Ui,
};
use std::rc::Rc;

/// What the page remembers between frames.
#[derive(Debug, Default)]
pub struct TroublesView {
    /// What is looked for.
    text: String,
    /// What is shown, by its code.
    chosen: Option<&'static str>,
    /// The troubles of a revision of a design.
    kept: Kept<(State, Measures), Rc<Troubles>>,
    explanations: Explanations<State>,
    /// Whether the field is to take the focus.
    fresh: bool,
}

/// The field in which what is seen is typed.
const SEARCH: &str = "What is seen, such as white film";

impl TroublesView {
    /// Readies the page for being opened.
    pub fn open(&mut self) {
        self.fresh = true;
    }

    /// Draws the page for the design in hand.
    pub fn show(&mut self, ui: &mut Ui, open: &OpenDesign, library: &Library, measures: Measures) -> Changes {
        let mut changes = Changes::default();
        let evaluated = open.evaluated(library);
        let about = evaluated.about(library).read_in(measures);
        let troubles = self.kept.get((open.state(), measures), || Rc::new(troubles::of(Some(about))));
        // A number that is being explained is put away first.
        if !why::is_asked(ui) && ui.input_mut(|i| i.consume_key(Modifiers::NONE, egui::Key::Escape)) {
            changes.request(Request::ClosePage);
        }
        let ground = Frame::new().fill(Tokens::of(ui).ground);
        let top = ground.inner_margin(Margin { left: 16, right: 16, top: 10, bottom: 6 });
        Panel::top("troubles top").frame(top).show(ui, |ui| head(ui, open, &mut changes));

        let width = ui.available_width();
        let list = Frame::new().fill(Tokens::of(ui).panel);
        Panel::left("troubles list").frame(list).resizable(false).exact_size((width * 0.28).clamp(300.0, 440.0)).show(
            ui,
            |ui| {
                self.list(ui, &troubles);
            },
        );
        egui::CentralPanel::no_frame().frame(ground).show(ui, |ui| {
            column(ui, "troubles column", within(20, 10), |ui| {
                let shown = troubles.each.iter().find(|trouble| Some(trouble.fault.code) == self.chosen);
                match shown {
                    Some(trouble) => one::show(ui, &troubles, trouble, about, measures, &mut changes),
                    None => drop(quiet(ui, "Nothing of that kind is listed: try another word for what is seen")),
                }
            });
        });
        why::show(ui, measures, &self.explanations, open.state(), |whose, subject| match subject {
            Subject::Quantity(quantity) => (whose == Owner::Shown).then(|| of_quantity(quantity.as_ref(), about)),
            _ => None,
        });
        changes
    }

    /// The field and what it finds.
    fn list(&mut self, ui: &mut Ui, troubles: &Troubles) {
        let id = Id::unique("troubles search");
        let found: Vec<&'static Fault> = troubles::faults().filter(|fault| fault.is_meant_by(&self.text)).collect();
        let place = found.iter().position(|fault| Some(fault.code) == self.chosen);
        let mut moved = false;
        if ui.memory(|m| m.has_focus(id)) {
            let (up, down) = ui.input_mut(|i| {
                let up = i.consume_key(Modifiers::NONE, egui::Key::ArrowUp);
                (up, i.consume_key(Modifiers::NONE, egui::Key::ArrowDown))
            });
            let next = place.map(|place| if down { place + 1 } else { place.saturating_sub(1) });
            if let Some(fault) = next.filter(|_| up || down).and_then(|next| found.get(next)) {
                self.chosen = Some(fault.code);
                moved = true;
            }
        }
        let frame = Frame::new().inner_margin(Margin { left: 16, right: 16, top: 10, bottom: 8 });
        let typed = frame.show(ui, |ui| {
            let edit = TextEdit::singleline(&mut self.text).id(id).hint_text(SEARCH).desired_width(f32::INFINITY);
            let field = ui.add(edit.margin(Margin::symmetric(8, 5)));
            name(ui, &field, SEARCH);
            if std::mem::take(&mut self.fresh) {
                field.request_focus();
            }
            field.changed()
        });
        let typed = typed.inner;
        // The letters of this frame count at once, so that no frame shows what they do not mean.
        let found: Vec<&'static Fault> = troubles::faults().filter(|fault| fault.is_meant_by(&self.text)).collect();
        // One that is called so comes before those that only look so.
        let text = self.text.trim();
        let called = found.iter().find(|fault| [fault.code, fault.name].iter().any(|n| n.eq_ignore_ascii_case(text)));
        let is_found = found.iter().any(|fault| Some(fault.code) == self.chosen);
        if let Some(fault) = called.filter(|_| typed) {
            self.chosen = Some(fault.code);
            moved = true;
        } else if !is_found {
            self.chosen = found.first().map(|fault| fault.code);
            moved = true;
        }
        let mut chosen = None;
        column(ui, "troubles list column", within(16, 0), |ui| {
            for when in When::ALL {
                let these = found.iter().filter(|fault| fault.when == when);
                let mut these = these.filter_map(|fault| of_fault(troubles, fault)).peekable();
                if these.peek().is_some() {
                    ui.add_space(6.0);
                    section(ui, when.words());
                }
                for trouble in these {
                    let is_chosen = Some(trouble.fault.code) == self.chosen;
                    let row = row(ui, trouble, is_chosen);
                    if row.clicked() || (row.gained_focus() && !is_chosen) {
                        chosen = Some(trouble.fault.code);
                    }
                    if is_chosen && moved {
                        row.scroll_to_me(None);
                    }
                }
            }
        });
        if chosen.is_some() {
            self.chosen = chosen;
            ui.ctx().request_repaint();
        }
    }
}

fn of_fault<'a>(troubles: &'a Troubles, fault: &Fault) -> Option<&'a Trouble> {
    troubles.each.iter().find(|trouble| trouble.fault.code == fault.code)
}

/// The line at the top.
fn head(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        ui.label(RichText::new("Troubles").font(theme::strong(16.0)));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let back = ui.button("Back").on_hover_text("Back to the view before (Esc)");
            if back.clicked() {
                changes.request(Request::ClosePage);
            }
            let text = format!("What is seen and what it means, by the numbers of {}", open.title());
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.add(egui::Label::new(RichText::new(text).color(Tokens::of(ui).quiet)).truncate());
            });
        });
    });
}

/// A fault in the list: its name, its verdict where it forbids the use, and what is seen.
fn row(ui: &mut Ui, trouble: &Trouble, is_chosen: bool) -> egui::Response {
    let tokens = Tokens::of(ui);
    let fault = trouble.fault;
    let seen = if is_chosen { tokens.ink } else { tokens.quiet };
    let mut job = LayoutJob::default();
    job.append(fault.name, 0.0, TextFormat::simple(theme::strong(13.0), tokens.ink));
    let small = FontId::proportional(11.0);
    if one::forbids(trouble.safety) {
        let verdict = TextFormat::simple(theme::strong(11.0), tokens.stop);
        job.append(trouble.safety.word(), 8.0, verdict);
    }
    job.append("\n", 0.0, TextFormat::simple(small.clone(), seen));
    job.append(fault.seen, 0.0, TextFormat::simple(small, seen));
    ui.with_layout(Layout::top_down_justified(Align::LEFT), |ui| ui.add(Button::selectable(is_chosen, job).wrap()))
        .inner
}
