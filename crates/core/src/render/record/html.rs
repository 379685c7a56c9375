//! The record on paper, in the order of the bench: what is known stands there, what is not is a blank to write on.

use super::text::superfat;
use super::told;
use crate::bench::day::shown;
use crate::bench::record::{Record, Row};
use crate::bench::weighing::Vessel;
use crate::cautions::ALWAYS;
use crate::design::log::{Aspect, Batch, Batter, CutLike, Flaw, Gel, HeatOf, TimeOf};
use crate::quantity::Unit;
use crate::render::plain;
use crate::render::sheet::Paper;
use crate::units::Measures;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// How it looks: as the bench sheet, with a few of its own.
const STYLE: &str = include_str!("../sheet/sheet.css");
const OWN: &str = ".row { display: flex; flex-wrap: wrap; gap: 3px 18px; margin: 4px 0; } \
    .row > span { white-space: nowrap; } .gone { text-decoration: line-through; } \
    .lines div { height: 7mm; }";

/// Blanks for so many weighings of marked bars.
const WEIGHINGS: usize = 6;
/// Blank lines for bars that go out.
const OUTS: usize = 5;

/// The record of `batch` with all that is written down in it, for `paper`.
pub fn filled(batch: &Batch, record: &Record, measures: Measures, paper: Paper) -> String {
    let lines = batch.entries().iter().enumerate().map(|(n, entry)| {
        let words = plain(&told(&entry.what, &batch.made, measures));
        (shown(entry.on.0), words, batch.is_corrected(n))
    });
    let body = html! {
        (head(batch, "Record of a batch"))
        p { "State: " b { (record.state.word()) } ". " (capital(&superfat(record))) "." }
        @for stop in record.stops() { p.stop { (plain(&stop.line())) } }
        (weights(&record.rows, measures, true))
        h2 { "What was done and seen" }
        table { tbody { @for (on, words, gone) in lines {
            tr { td.when { (on) } td { @if gone { span.gone { (words) } " (corrected)" } @else { (words) } } }
        } } }
        p { (record.left()) " of " (record.bars) " bars left." }
        p.small { (ALWAYS.join(" ")) }
    };
    page(&format!("{} – record", batch.code), &body, paper)
}

/// The record of `batch` as a form to fill in by hand, for `paper`.
pub fn empty(batch: &Batch, record: &Record, measures: Measures, paper: Paper) -> String {
    let (g, c) = (Unit::Grams.sign_in(measures), Unit::Celsius.sign_in(measures));
    let ticks = |words: &[&'static str]| html! { @for word in words { span { span.box {} " " (word) } } };
    let body = html! {
        (head(batch, "Form for a batch"))
        (weights(&record.rows, measures, false))
        p { b { "Before the lye goes in: " } "every fat and every alkali has a weight, and the superfat that results of them is " (blank("%")) }
        h2 { "Heat and time" }
        div.row { @for of in HeatOf::ALL { span { (of.words()) " " (blank(c)) } } }
        div.row { @for of in TimeOf::ALL { span { (of.words()) " " (blank("min")) } } }
        h2 { "Batter, oven, gel" }
        div.row { (ticks(&Batter::ALL.map(Batter::words))) }
        div.row { span { "Oven " (blank(c)) } span { "in at " (blank("")) } span { "out at " (blank("")) } span { "soap at most " (blank(c)) } }
        div.row { (ticks(&Gel::ALL.map(Gel::words))) }
        h2 { "Cut" }
        div.row { span { "after " (blank("h")) } (ticks(&CutLike::ALL.map(CutLike::words))) span { (blank("bars")) } span { "trimmed " (blank(g)) } span { "not fit to give " (blank("")) } }
        div.row { (ticks(&Flaw::ALL.map(Flaw::words))) }
        h2 { "Cure: marked bars" }
        table { thead { tr { th { "day" } @for bar in 1..=4 { th { "bar " (bar) ", " (g) } } } }
            tbody { @for _ in 0..WEIGHINGS { tr { @for _ in 0..5 { td { (PreEscaped("&nbsp;")) } } } } } }
        h2 { "Test for free alkali" }
        div.row { span { "on " (blank("")) } span { "how " span.blank.long {} } (ticks(&["passed", "again on ______", "failed: withdrawn"])) }
        p { b { "Nothing is used, given or sold before a passed test." } }
        h2 { "In use" }
        div.row { @for aspect in Aspect::ALL { span { (aspect.words()) " " (blank("of 5")) } } }
        h2 { "Where bars went" }
        table { thead { tr { th { "day" } th { "bars" } th { "given, sold, kept" } th { "to whom" } } }
            tbody { @for _ in 0..OUTS { tr { @for _ in 0..4 { td { (PreEscaped("&nbsp;")) } } } } } }
        h2 { "Next time" }
        div.lines { @for _ in 0..3 { div {} } }
        p.small { (ALWAYS.join(" ")) }
    };
    page(&format!("{} – form", batch.code), &body, paper)
}

fn blank(unit: &str) -> Markup {
    html! { span.blank {} " " (unit) }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn head(batch: &Batch, what: &str) -> Markup {
    let name = plain(batch.made.name.trim());
    html! {
        h1 { bdi { (if name.is_empty() { "Soap" } else { &name }) } }
        div.head {
            span { (what) ": " b { (batch.code) } }
            span { "Made on " b { (shown(batch.code.day().0)) } }
            span { "By " @if batch.maker.is_empty() { span.blank {} } @else { bdi { (batch.maker) } } }
        }
    }
}

fn weights(rows: &[Row], measures: Measures, filled: bool) -> Markup {
    let mass = |g: f64| Unit::Grams.number_in(g, 1, measures);
    let g = Unit::Grams.sign_in(measures);
    let mut vessel: Option<Vessel> = None;
    html! {
        h2 { "Weighed" }
        table.rows {
            thead { tr { th { "into" } th { "what" } th.g { "plan, " (g) } th.actual { "weighed, " (g) } th { "lot" } } }
            tbody { @for row in rows {
                @let is_new = vessel.replace(row.vessel) != Some(row.vessel);
                @let lots = row.actual.iter().flat_map(|a| &a.lots).map(|l| l.lot.to_string()).collect::<Vec<_>>().join(", ");
                tr {
                    td { @if is_new { (row.vessel.words()) } }
                    td { bdi { (plain(&row.name)) } }
                    td.g { (mass(row.told.0)) }
                    td.actual { @if let Some(actual) = row.actual.as_ref().filter(|_| filled) { (mass(actual.grams.get())) } }
                    td { @if filled { (lots) } }
                }
            } }
        }
    }
}

fn page(title: &str, body: &Markup, paper: Paper) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                title { (title) }
                // Constants of this crate: nothing of a record gets in here unescaped.
                style { (PreEscaped(paper.rule())) (PreEscaped(STYLE)) (PreEscaped(OWN)) }
            }
            body { (body) }
        }
    };
    page.into_string()
}
