//! The bench sheet as a page, to be looked at before it is printed.

use crate::theme::{self, Tokens};
use crate::widgets::{by_page_keys, cut};
use barwright_core::cautions::{ALWAYS, Level};
use barwright_core::render::sheet::{Figure, LEGEND, NO_ADVICE, Sheet, TESTS_WORTH, WRONG};
use eframe::egui::{
    Align, Color32, CornerRadius, Frame, Label, Layout, Margin, RichText, Role, ScrollArea, Sense, Stroke, Ui,
    WidgetInfo, vec2,
};

/// Ink and paper: a page is white in both themes, as it will be printed.
const PAPER: Color32 = Color32::WHITE;
const INK: Color32 = Color32::from_gray(28);
const QUIET: Color32 = Color32::from_gray(92);
const RULE: Color32 = Color32::from_gray(190);
/// A line longer than this is hard to read, points.
const WIDEST: f32 = 760.0;
/// Width of a blank for the weight that was really taken, points.
const BLANK: f32 = 74.0;

/// Draws the page in what room there is.
pub fn show(ui: &mut Ui, sheet: &Sheet) {
    ScrollArea::vertical().id_salt("sheet page").auto_shrink([false, false]).show(ui, |ui| {
        by_page_keys(ui);
        let width = ui.available_width().min(WIDEST);
        let page = Frame::new()
            .fill(PAPER)
            .stroke(Stroke::new(1.0, Tokens::of(ui).line))
            .corner_radius(CornerRadius::same(2))
            .inner_margin(Margin::symmetric(22, 20))
            .outer_margin(Margin { left: 16, right: 12, top: 2, bottom: 16 });
        let shown = page.show(ui, |ui| {
            ui.set_width(width - 72.0);
            ui.visuals_mut().override_text_color = Some(INK);
            ui.spacing_mut().item_spacing.y = 4.0;
            ui.spacing_mut().interact_size.y = 15.0;
            write(ui, sheet);
        });
        let page = ui.interact(shown.response.rect, ui.scope_id().with("page"), Sense::hover());
        page.widget_info(|| WidgetInfo::labeled(Role::Document, true, "The bench sheet"));
    });
}

fn write(ui: &mut Ui, sheet: &Sheet) {
    for stop in sheet.stops() {
        let text = RichText::new(stop).font(theme::strong(13.0)).color(theme::LIGHT.stop);
        ui.add(Label::new(text).wrap());
    }
    ui.add(Label::new(RichText::new(&sheet.title).font(theme::strong(18.0))).wrap());
    let day = sheet.made_on.map_or_else(|| "__________".into(), |d| d.format("%A %-d %B %Y").to_string());
    let number = sheet.number();
    text(ui, format!("Made on {day}   Batch number {number}"));
    for words in [&sheet.scaled, &sheet.notes] {
        if !words.is_empty() {
            quiet(ui, words);
        }
    }
    for mind in sheet.cautions.iter().filter(|mind| mind.level != Level::Stop) {
        text(ui, format!("{}: {}", mind.level.word(), mind.text));
    }
    heading(ui, "First aid");
    list(ui, sheet.first_aid());
    heading(ui, "To weigh");
    weights(ui, sheet);
    quiet(ui, &sheet.rounding_words);
    for passage in &sheet.method {
        heading(ui, passage.part.heading());
        for (i, step) in passage.steps.iter().enumerate() {
            item(ui, &format!("{}.", i + 1), &step.text);
        }
    }
    quiet(ui, TESTS_WORTH);
    figures(ui, "Temperatures", &sheet.temperatures);
    figures(ui, "The batch", &sheet.batch);
    if !sheet.times.is_empty() {
        heading(ui, "Times");
        for time in &sheet.times {
            text(ui, format!("{}: {}. {}", time.words(), time.kind.title(), time.text));
        }
    }
    if !sheet.blend.is_empty() {
        heading(ui, "The blend");
        for fat in &sheet.blend {
            pair(ui, &fat.name, &fat.share);
        }
    }
    heading(ui, "Always");
    list(ui, ALWAYS);
    heading(ui, "If something goes wrong");
    list(ui, WRONG);
    ui.add_space(6.0);
    quiet(ui, LEGEND);
    quiet(ui, NO_ADVICE);
}

fn weights(ui: &mut Ui, sheet: &Sheet) {
    for run in sheet.runs() {
        let Some(first) = run.first() else { continue };
        ui.add_space(2.0);
        quiet(ui, first.vessel.words());
        for row in run {
            ui.horizontal(|ui| {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    let (blank, _) = ui.allocate_exact_size(vec2(BLANK, 18.0), Sense::hover());
                    ui.painter().hline(blank.x_range(), blank.bottom() - 2.0, Stroke::new(1.0, RULE));
                    let weight = format!("{} {}", sheet.shown(row), sheet.measures.mass.sign());
                    ui.label(RichText::new(weight).font(theme::strong(14.0)));
                    ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                        cut::one_line(ui, &row.name, |name| RichText::new(name));
                    });
                });
            });
            if !row.note.is_empty() {
                quiet(ui, &row.note);
            }
        }
    }
}

fn figures(ui: &mut Ui, title: &str, figures: &[Figure]) {
    if !figures.is_empty() {
        heading(ui, title);
        for figure in figures {
            pair(ui, &figure.name, &figure.value);
        }
    }
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    ui.add(Label::new(RichText::new(text).font(theme::strong(14.0))).wrap());
    let (rule, _) = ui.allocate_exact_size(vec2(ui.available_width(), 1.0), Sense::hover());
    ui.painter().hline(rule.x_range(), rule.top(), Stroke::new(1.0, RULE));
}

fn text(ui: &mut Ui, text: String) {
    ui.add(Label::new(text).wrap());
}

fn quiet(ui: &mut Ui, text: &str) {
    ui.add(Label::new(RichText::new(text).small().color(QUIET)).wrap());
}

fn list<'a>(ui: &mut Ui, items: impl IntoIterator<Item = &'a str>) {
    for text in items {
        item(ui, "–", text);
    }
}

/// A step or a point of a list, its mark hanging at the left.
fn item(ui: &mut Ui, mark: &str, text: &str) {
    const MARK: f32 = 20.0;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.allocate_ui_with_layout(vec2(MARK, 15.0), Layout::left_to_right(Align::Min), |ui| {
            ui.set_min_width(MARK);
            ui.label(RichText::new(mark).color(QUIET));
        });
        ui.add(Label::new(text).wrap());
    });
}

fn pair(ui: &mut Ui, name: &str, value: &str) {
    const NAMES: f32 = 0.5;
    ui.horizontal_top(|ui| {
        let width = ui.available_width() * NAMES;
        ui.allocate_ui_with_layout(vec2(width, 15.0), Layout::left_to_right(Align::Min), |ui| {
            ui.set_min_width(width);
            ui.add(Label::new(RichText::new(name).color(QUIET)).wrap());
        });
        ui.add(Label::new(value).wrap());
    });
}
