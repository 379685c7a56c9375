//! Where what was asked about went: a sentence, a text to copy, and a page to hand on.

use super::name;
use super::pages::page;
use crate::bench::day::shown;
use crate::design::shelf::{Asked, Had, Lot, Made, Out, Shelf, Trace};
use crate::library::Library;
use crate::number::{self, counted};
use crate::render::sheet::Paper;
use crate::render::{plain, plain_line};
use crate::units::{Grams, MassUnit};
use chrono::NaiveDate;
use maud::{Markup, html};
use std::fmt::Write;

/// What is said where there is nothing.
pub const NO_LOT: &str = "None is known.";
/// The same of batches.
pub const NO_BATCH: &str = "It went into no batch.";
/// The same of people.
pub const NOBODY: &str = "No bars of these batches went out.";

/// How far the bars of `made` are, in words.
pub fn state(made: &Made) -> String {
    match (made.withdrawn, made.confirmed, made.free_from) {
        (true, ..) => "withdrawn: not to be used".into(),
        (false, false, _) => "begun, not in the mould".into(),
        (false, true, None) => "not free".into(),
        (false, true, Some(day)) => format!("free since {}", shown(day.0)),
    }
}

/// All that is found, in a sentence.
pub fn summary(trace: &Trace<'_>) -> String {
    let bars: u32 = trace.people.iter().map(|h| h.bars).fold(0, u32::saturating_add);
    let batches = counted(trace.batches.len(), "batch", "batches");
    let lots = counted(trace.lots.len(), "lot", "lots");
    let named = trace.people.iter().filter(|had| !had.who.is_empty()).count();
    let people = counted(named, "name", "names");
    let unnamed: u32 = trace.people.iter().filter(|had| had.who.is_empty()).map(|had| had.bars).sum();
    let to_whom = match (bars, unnamed) {
        (0, _) => "of which no bar went out".into(),
        (bars, 0) => format!("of which {} went out to {people}", bars_of(bars)),
        (bars, _) if named == 0 => format!("of which {} went out, not written down to whom", bars_of(bars)),
        (bars, unnamed) => format!(
            "of which {} went out: {} to {people}, {unnamed} not written down to whom",
            bars_of(bars),
            bars.saturating_sub(unnamed)
        ),
    };
    match trace.asked {
        Asked::Lots if trace.batches.is_empty() => format!("{lots} went into no batch."),
        Asked::Lots => format!("{lots} went into {batches}, {to_whom}."),
        Asked::Batch => format!("{batches} of {lots}, {to_whom}."),
        Asked::People => {
            format!("{} of {batches} went to {people}; {lots} went into them.", bars_of(bars))
        }
    }
}

const fn heading(asked: Asked) -> &'static str {
    match asked {
        Asked::Lots => "Trace of a lot",
        Asked::Batch => "Trace of a batch",
        Asked::People => "Trace of who had bars",
    }
}

/// How a trace is told: what was asked, on which day, and in which unit.
#[derive(Debug, Clone, Copy)]
pub struct Telling<'a> {
    /// What was asked.
    pub asked: &'a str,
    /// The day.
    pub on: NaiveDate,
    /// The unit of masses.
    pub unit: MassUnit,
}

/// What `made` took of the lots of `trace`: the lot and how much.
fn taken<'a>(made: &'a Made, trace: &'a Trace<'_>, unit: MassUnit) -> impl Iterator<Item = (String, String)> {
    let of_trace = made.lots.iter().filter(|(id, _)| trace.lots.iter().any(|l| l.id == *id));
    of_trace.map(move |(id, grams)| (id.to_string(), number::mass(Grams(grams.get()), unit)))
}

fn who(had: &Had<'_>) -> String {
    if had.who.is_empty() { "not written down to whom".into() } else { plain_line(had.who) }
}

fn days(had: &Had<'_>) -> String {
    let (first, last) = had.days;
    if first == last { shown(first.0) } else { format!("{} to {}", shown(first.0), shown(last.0)) }
}

fn bars_of(bars: u32) -> String {
    counted(bars as usize, "bar", "bars")
}

/// The lot: its number, what it is, of whom, and since when.
fn of_lot(lot: &Lot, shelf: &Shelf, library: &Library) -> [String; 4] {
    let came = lot.bought.map_or_else(String::new, |day| format!("came {}", shown(day.0)));
    let from = [lot.supplier.as_str(), lot.number.as_str()].map(plain_line);
    let from: Vec<String> = from.into_iter().filter(|part| !part.is_empty()).collect();
    [lot.id.to_string(), plain_line(&name(&lot.stuff, shelf, library)), from.join(", "), came]
}

fn out_words(out: &Out) -> String {
    format!("{}: {} {} {}", shown(out.on.0), out.bars, out.how.words(), out.to).trim_end().to_owned()
}

/// As text.
pub fn text(trace: &Trace<'_>, telling: Telling<'_>, (shelf, library): (&Shelf, &Library)) -> String {
    let mut text = String::new();
    // A string takes whatever is written to it.
    let _ = write_text(&mut text, trace, telling, (shelf, library));
    plain(&text)
}

fn write_text(
    text: &mut String,
    trace: &Trace<'_>,
    Telling { asked, on, unit }: Telling<'_>,
    (shelf, library): (&Shelf, &Library),
) -> std::fmt::Result {
    writeln!(text, "{}: {asked} (as of {})", heading(trace.asked), shown(on))?;
    writeln!(text, "{}", summary(trace))?;
    writeln!(text, "\nLots")?;
    if trace.lots.is_empty() {
        writeln!(text, "  {NO_LOT}")?;
    }
    for lot in &trace.lots {
        let [id, what, from, came] = of_lot(lot, shelf, library);
        let told: Vec<String> = [format!("{id} {what}"), from, came].into_iter().filter(|t| !t.is_empty()).collect();
        writeln!(text, "  {}", told.join(", "))?;
    }
    writeln!(text, "\nBatches")?;
    if trace.batches.is_empty() {
        writeln!(text, "  {NO_BATCH}")?;
    }
    for made in &trace.batches {
        let (left, state) = (made.left(), state(made));
        let called = format!("{} {}", made.code, made.design);
        writeln!(text, "  {}: {}, {left} left, {state}", called.trim_end(), bars_of(made.bars))?;
        for (id, mass) in taken(made, trace, unit) {
            writeln!(text, "    {mass} of {id}")?;
        }
        for out in &made.out {
            writeln!(text, "    {}", out_words(out))?;
        }
    }
    writeln!(text, "\nWho had bars")?;
    if trace.people.is_empty() {
        writeln!(text, "  {NOBODY}")?;
    }
    for had in &trace.people {
        writeln!(text, "  {}: {}, {}", who(had), bars_of(had.bars), days(had))?;
    }
    Ok(())
}

/// As a page to hand on or to file.
pub fn trace_page(
    trace: &Trace<'_>,
    telling: Telling<'_>,
    (shelf, library): (&Shelf, &Library),
    paper: Paper,
) -> String {
    let heading = heading(trace.asked);
    let body = html! {
        h1 { (heading) ": " bdi { (plain_line(telling.asked)) } }
        p { (summary(trace)) " As of " (shown(telling.on)) "." }
        h2 { @if trace.asked == Asked::Lots { "The lots" } @else { "Lots in these batches" } }
        @if trace.lots.is_empty() { p { (NO_LOT) } }
        table { tbody { @for lot in &trace.lots {
            @let [id, what, from, came] = of_lot(lot, shelf, library);
            tr { td { b { (id) } } td { bdi { (what) } } td { bdi { (from) } } td { (came) } }
        } } }
        h2 { "Batches" }
        @if trace.batches.is_empty() { p { (NO_BATCH) } }
        @for made in &trace.batches { (batch(made, trace, telling.unit)) }
        h2 { "Who had bars" }
        @if trace.people.is_empty() { p { (NOBODY) } }
        table { tbody { @for had in &trace.people { tr {
            td { bdi { (who(had)) } }
            td.g { (bars_of(had.bars)) }
            td { (days(had)) }
            td { "told on " span.blank {} }
        } } } }
    };
    page(heading, &body, paper)
}

fn batch(made: &Made, trace: &Trace<'_>, unit: MassUnit) -> Markup {
    html! { section {
        p {
            b { (made.code) } " " bdi { (plain_line(made.design.as_str())) } ": "
            (bars_of(made.bars)) ", " (made.left()) " left, "
            @if made.free_from.is_some() && !made.withdrawn { (state(made)) } @else { b { (state(made)) } }
        }
        p { @for (i, (id, mass)) in taken(made, trace, unit).enumerate() {
            @if i > 0 { ", " } (mass) " of " b { (id) }
        } }
        table { tbody {
            @for out in &made.out { tr {
                td { (shown(out.on.0)) } td.g { (bars_of(out.bars)) } td { (out.how.words()) }
                td { bdi { (plain_line(out.to.as_str())) } }
            } }
        } }
    } }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::log::{BatchCode, How, LotId};
    use crate::design::shelf::Stuff;
    use crate::design::words::{Day, Line};
    use crate::units::AmountMass;

    #[test]
    fn text_and_page_say_the_day_the_sum_and_which_bars_are_not_free() {
        let library = Library::embedded().expect("assets parse");
        let day = Day::try_from("2026-03-01".to_owned()).expect("a day");
        let mut shelf = Shelf::default();
        let lot = Lot::new(LotId(0), Stuff::SodiumHydroxide, AmountMass::nearest(1000.0));
        shelf.put(Lot { number: Line::shortened("<b>N-1"), ..lot }).expect("room");
        let out = Out { on: day.after(30), bars: 1, how: How::Sold, to: Line::default() };
        let took = vec![(LotId(1), AmountMass::nearest(90.0))];
        for (nth, free_from, withdrawn) in [(0, Some(day.after(29)), false), (1, None, false), (2, Some(day), true)] {
            let begun = Made::begun(BatchCode::of(day, nth), Line::default(), String::new());
            let made = Made { lots: took.clone(), bars: 8, confirmed: true, free_from, withdrawn, ..begun };
            let out = if nth == 0 { vec![out.clone()] } else { Vec::new() };
            shelf.confirm(Made { out, ..made }).expect("room");
        }
        let trace = shelf.trace("<B>n-1").expect("the lot is known");
        let telling = Telling { asked: "<b>n-1", on: day.after(40).0, unit: MassUnit::Gram };
        let all = text(&trace, telling, (&shelf, &library));
        let page = trace_page(&trace, telling, (&shelf, &library), Paper::A4);
        for part in [
            "1 lot went into 3 batches, of which 1 bar went out, not written down to whom.",
            "free since 30 Mar 2026",
            "not free",
            "withdrawn: not to be used",
            "not written down to whom",
            "90.0 g",
            "10 Apr 2026",
        ] {
            assert!(all.contains(part), "{part} in {all}");
            assert!(page.contains(part), "{part} in {page}");
        }
        assert!(page.contains("&lt;b&gt;") && !page.contains("<b>N-1"), "no name is markup: {page}");
        let batch = text(&shelf.trace("2026-03-01B").expect("a batch"), telling, (&shelf, &library));
        assert!(batch.contains("2026-03-01B:") && !batch.contains("2026-03-01A"), "only what was asked: {batch}");
    }
}
