//! Names where a line is too narrow for them: the middle is left out, since a name is told from others by how it
//! begins and by its last word.

use crate::theme::{self, Tokens};
use eframe::egui::epaint::text::PlacedRow;
use eframe::egui::text::LayoutJob;
use eframe::egui::{
    Color32, FontId, FontSelection, Galley, Label, Painter, Rect, Response, Sense, TextWrapMode, Ui, WidgetText,
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

/// A name in one line where it fits, else in two, as `styled` writes it, as much of it as there is room for.
pub fn in_two_lines<W: Into<WidgetText>>(ui: &mut Ui, text: &str, styled: impl Fn(&str) -> W) -> Response {
    let room = ui.available_width() + 0.5;
    let lay = |part: &str| styled(part).into().into_galley(ui, Some(TextWrapMode::Wrap), room, FontSelection::Default);
    let whole_name = lay(text);
    // A word that is broken tells less than one that is cut.
    if whole_name.rows.len() == 1 || breaks_a_word(&whole_name) {
        return one_line(ui, text, styled);
    }
    let shown = in_the_middle(text, |part| lay(part).rows.len() <= 2);
    let response = ui.add(Label::new(styled(&shown)).wrap().sense(Sense::hover()));
    whole(ui, response, text, &shown)
}

/// Whether a line of it ends within a word.
fn breaks_a_word(galley: &Galley) -> bool {
    let ends_within = |row: &PlacedRow| row.glyphs.last().is_some_and(|g| g.chr.is_alphanumeric());
    galley.rows.split_last().is_some_and(|(_, before)| before.iter().any(ends_within))
}

/// A name on two lines where one of `width` points is too narrow.
pub fn two_lines(ui: &mut Ui, text: &str, width: f32) -> Response {
    let ink = Tokens::of(ui).ink;
    let lay = |text: &str, size: f32, line_height: Option<f32>| {
        let mut job = LayoutJob::simple(text.to_owned(), FontId::proportional(size), ink, width - 2.0);
        for section in &mut job.sections {
            section.format.line_height = line_height;
        }
        ui.painter().layout_job(job)
    };
    let one = lay(text, 13.0, None);
    let (shown, galley) = if one.rows.len() == 1 {
        (Cow::Borrowed(text), one)
    } else {
        let small = |text: &str| lay(text, 12.0, Some(13.5));
        let fits = |galley: &Galley| galley.rows.len() <= 2 && !breaks_a_word(galley);
        let mut shown = in_the_middle(text, |part| fits(&small(part)));
        if shown.chars().count() < LEAST {
            // A word that is longer than the line is broken all the same.
            shown = in_the_middle(text, |part| small(part).rows.len() <= 2);
        }
        let galley = small(&shown);
        (shown, galley)
    };
    let response = ui.add(Label::new(galley).sense(Sense::hover()));
    whole(ui, response, text, &shown)
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
    fn the_last_word_is_kept() {
        let cut = |text: &str, most: usize| in_the_middle(text, |part| part.chars().count() <= most).into_owned();
        assert_eq!(cut("Sodium hydroxide (NaOH)", 16), "Sodium hy…(NaOH)");
        assert_eq!(cut("Sunflower oil, high oleic", 14), "Sunflowe…oleic");
        assert_eq!(cut("Olive oil", 9), "Olive oil");
        assert_eq!(cut("Olive oil", 0), "…");
        assert_eq!(cut("", 0), "");
    }
}
