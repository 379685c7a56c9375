//! Names where a line is too narrow for them: the middle is left out, since a name is told from others by how it
//! begins and by its last word.

use crate::theme::{self, Tokens};
use eframe::egui::text::LayoutJob;
use eframe::egui::{
    Color32, FontId, FontSelection, Label, Painter, Rect, Response, Sense, TextWrapMode, Ui, WidgetText,
};
use std::borrow::Cow;

/// What stands for what is left out.
const GAP: char = '…';
/// Fewer signs of a name tell nothing.
const LEAST: usize = 6;

/// As much of `text` as `fits`, with its middle left out; its last words are kept whole where they take no more than
/// two thirds of what is kept.
pub fn in_the_middle(text: &str, fits: impl Fn(&str) -> bool) -> Cow<'_, str> {
    if fits(text) {
        return Cow::Borrowed(text);
    }
    let signs: Vec<char> = text.chars().collect();
    // The longest of these that fits; a shorter one fits where a longer does.
    let (mut fitting, mut too_long) = (0, signs.len());
    while too_long - fitting > 1 {
        let kept = usize::midpoint(fitting, too_long);
        if fits(&without_middle(&signs, kept)) {
            fitting = kept;
        } else {
            too_long = kept;
        }
    }
    Cow::Owned(without_middle(&signs, fitting))
}

/// `kept` of `signs` around a gap.
fn without_middle(signs: &[char], kept: usize) -> String {
    // As many last words as leave a third to the beginning.
    let words = (1..signs.len()).rev().filter(|i| signs[i - 1].is_whitespace()).map(|i| signs.len() - i);
    let ending = words.take_while(|ending| ending * 3 <= kept * 2).last().unwrap_or(kept / 2);
    let beginning = kept.saturating_sub(ending);
    let text = |part: &[char]| part.iter().collect::<String>();
    let start = text(&signs[..beginning]);
    let end = text(&signs[signs.len() - ending..]);
    format!("{}{GAP}{}", start.trim_end_matches([' ', ',']), end.trim_start())
}

/// A name in one line, as `styled` writes it, as much of it as there is room for. The whole name is said to a screen
/// reader, and when a shortened one is pointed at.
pub fn one_line<W: Into<WidgetText>>(ui: &mut Ui, text: &str, styled: impl Fn(&str) -> W) -> Response {
    let room = ui.available_width() + 0.5;
    let shown = in_the_middle(text, |part| {
        let galley =
            styled(part).into().into_galley(ui, Some(TextWrapMode::Extend), f32::INFINITY, FontSelection::Default);
        galley.size().x <= room
    });
    let response = ui.add(Label::new(styled(&shown)).truncate().sense(Sense::hover()));
    whole(ui, response, text, &shown)
}

/// As much of `text` as goes on two lines that each fit, broken between words; `None` if no word of it fits.
fn broken(text: &str, fits: impl Fn(&str) -> bool) -> Option<String> {
    let halves = |part: &str| {
        let at = part.char_indices().filter(|(_, c)| *c == ' ').map(|(i, _)| i);
        let mut at: Vec<usize> = at.collect();
        at.reverse();
        at.into_iter()
            .find(|i| fits(&part[..*i]) && fits(&part[i + 1..]))
            .map(|i| format!("{}\n{}", &part[..i], &part[i + 1..]))
    };
    if let Some(whole) = halves(text) {
        return Some(whole);
    }
    let signs: Vec<char> = text.chars().collect();
    // Two lines hold no more than about twice what one does; a name can be much longer, and this is done in every frame.
    let (mut fitting, mut too_long) = (0, signs.len());
    while too_long - fitting > 1 {
        let most = usize::midpoint(fitting, too_long);
        let begins: String = signs[..most].iter().collect();
        if fits(&begins) { fitting = most } else { too_long = most }
    }
    (LEAST..signs.len().min(3 * fitting + 1)).rev().find_map(|kept| halves(&without_middle(&signs, kept)))
}

/// A name in one line where it fits, else in two, as `styled` writes it, as much of it as there is room for.
pub fn in_two_lines<W: Into<WidgetText>>(ui: &mut Ui, text: &str, styled: impl Fn(&str) -> W) -> Response {
    let room = ui.available_width() + 0.5;
    let fits = |part: &str| {
        let galley =
            styled(part).into().into_galley(ui, Some(TextWrapMode::Extend), f32::INFINITY, FontSelection::Default);
        galley.size().x <= room
    };
    if fits(text) {
        return one_line(ui, text, styled);
    }
    let Some(shown) = broken(text, fits) else { return one_line(ui, text, styled) };
    let response = ui.add(Label::new(styled(&shown)).extend().sense(Sense::hover()));
    whole(ui, response, text, &shown.replace('\n', " "))
}

/// A name on two lines where one of `width` points is too narrow.
pub fn two_lines(ui: &mut Ui, text: &str, width: f32) -> Response {
    let ink = Tokens::of(ui).ink;
    let lay = |text: &str, size: f32, line_height: Option<f32>| {
        let mut job = LayoutJob::simple(text.to_owned(), FontId::proportional(size), ink, f32::INFINITY);
        for section in &mut job.sections {
            section.format.line_height = line_height;
        }
        ui.painter().layout_job(job)
    };
    let room = width - 2.0;
    let one = lay(text, 13.0, None);
    let (shown, galley) = if one.size().x <= room {
        (Cow::Borrowed(text), one)
    } else {
        let small = |text: &str| lay(text, 12.0, Some(13.5));
        let fits = |part: &str| small(part).size().x <= room;
        let shown = broken(text, fits).map_or_else(|| in_the_middle(text, fits), Cow::Owned);
        let galley = small(&shown);
        (shown, galley)
    };
    let response = ui.add(Label::new(galley).sense(Sense::hover()));
    whole(ui, response, text, &shown.replace('\n', " "))
}

/// Writes `text` on a part of a chart in `colour`, as much of it as tells something, where there is room.
pub fn write_on(painter: &Painter, part: Rect, colour: Color32, text: &str) {
    const SIZE: f32 = 9.5;
    const HIGH: f32 = 11.0;
    if part.height() < HIGH {
        return;
    }
    let ink = theme::ink_on(colour);
    let lay = |text: &str| painter.layout_no_wrap(text.to_owned(), FontId::proportional(SIZE), ink);
    let short = in_the_middle(text, |text| lay(text).size().x <= part.width() - 3.0);
    if short == text || short.chars().count() >= LEAST {
        let galley = lay(&short);
        painter.galley(part.center() - galley.size() / 2.0, galley, ink);
    }
}

/// Says the whole `text` of what is `shown` shortened.
fn whole(ui: &Ui, response: Response, text: &str, shown: &str) -> Response {
    if shown == text {
        return response;
    }
    // What a label says is its value.
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_value(text));
    response.on_hover_text(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use barwright_core::Library;
    use barwright_core::library::finding::Findable;
    use std::collections::HashMap;

    /// The names of all materials of the tables, and of what else is weighed.
    fn names() -> Vec<String> {
        let library = Library::embedded().expect("assets parse");
        let mut all: Vec<String> =
            ["Water", "Sodium hydroxide (NaOH)", "Potassium hydroxide (KOH)"].map(String::from).into();
        all.extend(library.fats().iter().map(|m| m.name().to_owned()));
        all.extend(library.additions().iter().map(|m| m.name().to_owned()));
        all.extend(library.scents().iter().map(|m| m.name().to_owned()));
        all.sort();
        all.dedup();
        all
    }

    #[test]
    fn no_two_materials_are_cut_to_the_same() {
        let names = names();
        assert!(names.len() > 150, "{} names", names.len());
        // The narrowest columns hold about twenty signs: 70 points in two lines, 130 in one.
        for most in 18..60 {
            let mut seen: HashMap<String, &str> = HashMap::new();
            for name in &names {
                let cut = in_the_middle(name, |part| part.chars().count() <= most).into_owned();
                assert!(cut.chars().count() <= most, "{cut:?} is longer than {most}");
                if let Some(other) = seen.insert(cut.clone(), name) {
                    panic!("with {most} signs {name:?} and {other:?} both read {cut:?}");
                }
            }
        }
    }

    #[test]
    fn two_lines_are_broken_between_words_and_tell_materials_apart() {
        let broken = |text: &str, most: usize| broken(text, |part| part.chars().count() <= most);
        assert_eq!(broken("Sodium hydroxide (NaOH)", 17).as_deref(), Some("Sodium hydroxide\n(NaOH)"));
        assert_eq!(broken("Lemongrass oil, West Indian", 13).as_deref(), Some("Lemongra…oil,\nWest Indian"));
        assert_eq!(broken("Babassu", 3), None);
        // However long a name is, few widths are taken.
        let taken = std::cell::Cell::new(0);
        let long = "apple and pear ".repeat(13);
        let lines = super::broken(&long, |part| {
            taken.set(taken.get() + 1);
            part.chars().count() <= 20
        });
        assert!(lines.is_some_and(|l| l.lines().all(|l| l.chars().count() <= 20)) && taken.get() < 600, "{taken:?}");
        let names = names();
        for most in 11..30 {
            let mut seen: HashMap<String, &str> = HashMap::new();
            for name in names.iter().filter(|name| name.chars().count() > most) {
                let Some(lines) = broken(name, most) else { continue };
                assert!(lines.lines().count() == 2 && lines.lines().all(|l| l.chars().count() <= most), "{lines:?}");
                if let Some(other) = seen.insert(lines.clone(), name) {
                    panic!("with {most} signs {name:?} and {other:?} both read {lines:?}");
                }
            }
        }
    }

    #[test]
    fn the_last_word_is_kept() {
        let cut = |text: &str, most: usize| in_the_middle(text, |part| part.chars().count() <= most).into_owned();
        assert_eq!(cut("Sodium hydroxide (NaOH)", 16), "Sodium hy…(NaOH)");
        assert_eq!(cut("Sunflower oil, high oleic", 14), "Sunflowe…oleic");
        assert_eq!(cut("Olive oil", 9), "Olive oil");
        assert_eq!(cut("Olive oil", 0), "…");
        assert_eq!(cut("", 0), "");
    }
}
