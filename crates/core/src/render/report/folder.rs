//! The designs of a folder, a line each: what a list shows of a design, as values, as text and as JSON.

use super::json::{Json, Member, text, texts};
use crate::cautions;
use crate::design::Design;
use crate::design::log::Log;
use crate::design::words::Day;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::library::estimates::{Estimate, Place};
use crate::library::finding::folded;
use crate::quantities::{self, About, AnyQuantity, BarCount, CostSum, PlannedSuperfat};
use crate::render::{plain_line, turns};
use crate::units::Interval;
use serde::{Deserialize, Serialize};
use std::fmt::Write as _;

/// The longest text that is kept of a design, characters: a file may hold a name of megabytes.
const LONGEST: usize = 200;

/// A number of a design with its text.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    /// The number, unrounded.
    pub value: f64,
    /// As it is shown, with its unit.
    pub text: String,
}

impl Figure {
    fn of(quantity: &dyn AnyQuantity, about: About<'_>) -> Option<Self> {
        let value = quantity.value(about).ok()?;
        Some(Self { value, text: bounded(&quantities::text(quantity, about).ok()?) })
    }
}

/// A score of a design.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Scored {
    /// The score.
    pub value: f64,
    range: Option<[f64; 2]>,
}

impl Scored {
    /// Where bars of its style lie.
    pub fn range(&self) -> Option<Interval> {
        self.range.and_then(|[low, high]| Interval::new(low, high).ok())
    }

    /// Where it lies against that range, if it is the score `estimate`.
    pub fn place(&self, estimate: Estimate) -> Option<Place> {
        self.range().map(|range| Place::of(estimate, self.value, range))
    }
}

/// What a list shows of a design. It can be kept for as long as neither the file nor the program changes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// Its name, as the file has it.
    pub name: String,
    /// Its style.
    pub style: String,
    /// The planned superfat.
    pub superfat: Option<Figure>,
    /// The bars of a batch.
    pub bars: Option<Figure>,
    /// Materials of the batch; `None` while one has no price.
    pub batch: Option<Figure>,
    /// Materials of a bar; `None` while one has no price.
    pub bar: Option<Figure>,
    /// Materials of the batch that have a price, while another has none.
    pub at_least: Option<Figure>,
    /// In which money.
    pub currency: String,
    /// Free fat of all fat, a fraction: reference soaps are made alike by it.
    pub free_fat: f64,
    /// The scores in the order of [`Estimate::ALL`]; `None` if too much of the blend is unknown.
    pub scores: Option<[Scored; 7]>,
    /// The day on which it was made last, ISO 8601.
    pub last_made: Option<String>,
    /// How many of its bars are left.
    pub bars_left: u32,
    /// The codes of the Stops against it.
    pub stops: Vec<String>,
}

fn bounded(text: &str) -> String {
    if text.len() <= LONGEST || text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    text.chars().take(LONGEST).chain(['…']).collect()
}

impl Summary {
    /// That of `design`, of which `log` was made and whose numbers are `evaluation`.
    pub fn of(design: &Design, log: &Log, evaluation: &Evaluation, library: &Library) -> Self {
        let about = About::new(design, evaluation, library);
        let figure = |quantity: &dyn AnyQuantity| Figure::of(quantity, about);
        let scored = |estimate: &crate::evaluate::EstimateResult| Scored {
            value: estimate.value,
            range: estimate.range.map(|range| [range.min(), range.max()]),
        };
        Self {
            name: bounded(&design.name),
            style: bounded(&design.style),
            superfat: figure(&PlannedSuperfat),
            bars: figure(&BarCount),
            batch: figure(&CostSum::Batch),
            bar: figure(&CostSum::Bar),
            at_least: figure(&CostSum::AtLeast),
            currency: bounded(&design.currency),
            free_fat: evaluation.free_fat_fraction().0,
            scores: evaluation.estimates.as_ref().map(|all| all.each_ref().map(scored)),
            last_made: log.last_made().map(|day| day.to_string()),
            bars_left: log.bars_left(),
            stops: cautions::stop_codes(design, evaluation, library).into_iter().map(str::to_owned).collect(),
        }
    }

    /// The score `estimate`.
    pub fn score(&self, estimate: Estimate) -> Option<&Scored> {
        self.scores.as_ref().map(|all| &all[estimate as usize])
    }

    /// Its name as a part of a line: never empty, and nothing in it steers or turns what follows.
    pub fn title(&self) -> String {
        match plain_line(&self.name).trim() {
            "" => "Unnamed design".into(),
            name => name.into(),
        }
    }

    /// The day on which it was made last.
    pub fn made_on(&self) -> Option<Day> {
        Day::try_from(self.last_made.clone()?).ok()
    }

    /// What the batch costs, in words.
    pub fn cost(&self) -> String {
        let priced = self.at_least.as_ref().filter(|known| known.value > 0.0);
        match (&self.batch, priced) {
            (Some(batch), _) => plain_line(&batch.text),
            (None, Some(known)) => plain_line(&format!("at least {}", known.text)),
            (None, None) => "no price".into(),
        }
    }

    /// What stands against it, in words.
    pub fn stopped(&self) -> String {
        match self.stops.len() {
            0 => "no Stop".into(),
            1 => "1 Stop".into(),
            count => format!("{count} Stops"),
        }
    }
}

/// A file of a folder: its design, or why there is none.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// Name of the file.
    pub file: String,
    /// What was read.
    pub read: Result<Summary, String>,
}

impl Listed {
    /// By what a folder is sorted: what could not be read stands last.
    pub fn order(&self) -> (bool, String, String, String) {
        let name = self.read.as_ref().map_or("", |summary| summary.name.as_str());
        (self.read.is_err(), folded(name), name.to_owned(), self.file.clone())
    }
}

/// Widths of the columns; what is longer pushes the rest of its line aside.
const NAME: usize = 30;
const STYLE: usize = 18;
const SCORE: usize = 6;
const SUPERFAT: usize = 10;
const BARS: usize = 6;
const COST: usize = 18;
const STOPS: usize = 9;
const MADE: usize = 11;
const LEFT: usize = 5;

/// The files of a folder as a table: a line each, after two that say what stands in it.
pub fn folder_text(listed: &[Listed]) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_table(&mut out, listed);
    out
}

fn write_table(out: &mut String, listed: &[Listed]) -> std::fmt::Result {
    let names: Vec<_> = Estimate::ALL.iter().map(|e| e.name().to_lowercase()).collect();
    writeln!(out, "Scores: {}; + above, - below the range of the style.", names.join(", "))?;
    let scores = SCORE * Estimate::ALL.len();
    let (name, style, of_scores, superfat) = ("Name", "Style", "Scores", "Superfat");
    write!(out, "{name:<NAME$} {style:<STYLE$} {of_scores:>scores$} {superfat:>SUPERFAT$}")?;
    let (bars, batch, bar, stops, made, left) = ("Bars", "Batch", "A bar", "Stops", "Last made", "Left");
    writeln!(out, "{bars:>BARS$} {batch:>COST$} {bar:>COST$} {made:>MADE$} {left:>LEFT$} {stops:>STOPS$}  File")?;
    for one in listed {
        match &one.read {
            Ok(summary) => write_row(out, summary, &one.file)?,
            Err(reason) => writeln!(out, "{}: not read: {}", plain_line(&one.file), plain_line(reason))?,
        }
    }
    let unread = listed.iter().filter(|one| one.read.is_err()).count();
    match unread {
        0 => writeln!(out, "{}", counted(listed.len())),
        unread => writeln!(out, "{}, {unread} of them not read", counted(listed.len())),
    }
}

fn counted(files: usize) -> String {
    if files == 1 { "1 file".into() } else { format!("{files} files") }
}

fn write_row(out: &mut String, summary: &Summary, file: &str) -> std::fmt::Result {
    let style = plain_line(&summary.style);
    write!(out, "{:<NAME$} {style:<STYLE$} ", within(&summary.title(), NAME))?;
    for estimate in Estimate::ALL {
        let score = summary.score(estimate).map_or_else(
            || "?".into(),
            |score| {
                let sign = match score.place(estimate) {
                    Some(Place::Below) => "-",
                    Some(Place::Above) => "+",
                    Some(Place::Inside) | None => " ",
                };
                format!("{}{sign}", estimate.unit().number(score.value, estimate.decimals()))
            },
        );
        write!(out, "{score:>SCORE$}")?;
    }
    let told = |figure: &Option<Figure>| figure.as_ref().map_or_else(|| "?".into(), |f| plain_line(&f.text));
    let (superfat, bars, bar) = (told(&summary.superfat), told(&summary.bars), told(&summary.bar));
    write!(out, " {superfat:>SUPERFAT$}{bars:>BARS$} {:>COST$} {bar:>COST$}", summary.cost())?;
    let (made, left) = (summary.last_made.as_deref().unwrap_or("-"), summary.bars_left);
    writeln!(out, " {made:>MADE$} {left:>LEFT$} {:>STOPS$}  {}", summary.stopped(), plain_line(file))
}

fn within(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return text.to_owned();
    }
    text.chars().take(width - 1).chain(['…']).collect()
}

/// A file of a folder as JSON on one line; names and keys are those of the report. Signs that steer a terminal or
/// turn what follows stand in it as escapes, so that they are kept and do nothing.
///
/// # Errors
/// From the JSON writer; it has no cause to fail.
pub fn folder_line(listed: &Listed) -> serde_json::Result<String> {
    let mut members = vec![text("file", listed.file.as_str())];
    match &listed.read {
        Ok(summary) => members.extend(summary_members(summary)),
        Err(reason) => members.push(text("error", reason.as_str())),
    }
    let json = serde_json::to_string(&Json::Members(members))?;
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        if c.is_control() || turns(c) || matches!(c, '\u{2028}' | '\u{2029}') {
            // All of them are of one unit.
            let _ = write!(out, "\\u{:04x}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    Ok(out)
}

fn summary_members(summary: &Summary) -> Vec<Member> {
    let value = |figure: &Option<Figure>| figure.as_ref().map_or(Json::Nothing, |figure| Json::Number(figure.value));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count, never negative")]
    let bars = summary.bars.as_ref().map_or(Json::Nothing, |bars| Json::Whole(bars.value as u64));
    let score = |estimate: Estimate| {
        let score = summary.score(estimate);
        let range = score.and_then(Scored::range);
        let number = |number: Option<f64>| number.map_or(Json::Nothing, Json::Number);
        let place = score.and_then(|score| score.place(estimate));
        let members = vec![
            ("value".into(), number(score.map(|score| score.value))),
            ("range_low".into(), number(range.map(Interval::min))),
            ("range_high".into(), number(range.map(Interval::max))),
            ("place".into(), place.map_or(Json::Nothing, |place| Json::Text(place.word().into()))),
        ];
        (estimate.key().to_owned(), Json::Members(members))
    };
    vec![
        text("name", summary.name.as_str()),
        text("style", summary.style.as_str()),
        ("batch".into(), Json::Members(vec![("superfat_pct".into(), value(&summary.superfat)), ("bars".into(), bars)])),
        ("estimates".into(), Json::Members(Estimate::ALL.map(score).into())),
        (
            "cost".into(),
            Json::Members(vec![
                ("batch".into(), value(&summary.batch)),
                ("bar".into(), value(&summary.bar)),
                ("at_least".into(), value(&summary.at_least)),
                text("currency", summary.currency.as_str()),
            ]),
        ),
        (
            "log".into(),
            Json::Members(vec![
                ("last_made".into(), summary.last_made.clone().map_or(Json::Nothing, Json::Text)),
                ("bars_left".into(), Json::Whole(summary.bars_left.into())),
            ]),
        ),
        ("stops".into(), texts(summary.stops.iter().map(String::as_str))),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::evaluate::evaluate;
    use crate::render::report::Report;
    use serde_json::Value;

    fn summary(text: &str) -> (Design, Evaluation, Library, Summary) {
        let library = Library::embedded().expect("assets parse");
        let design = document::read(text.as_bytes(), &library).expect("a design");
        let evaluation = evaluate(&design, &library);
        let summary = Summary::of(&design, &Log::default(), &evaluation, &library);
        (design, evaluation, library, summary)
    }

    const APPLE: &str = include_str!("../../../../../assets/examples/apple-oat-loaf.barwright");

    /// Whether all that `part` has stands in `whole` under the same keys.
    fn stands_in(part: &Value, whole: &Value, path: &str) {
        match part {
            Value::Object(members) => {
                for (key, value) in members {
                    stands_in(value, whole.get(key).unwrap_or_else(|| panic!("no {path}.{key}")), key);
                }
            }
            Value::Number(number) => assert_eq!(number.as_f64(), whole.as_f64(), "{path}"),
            other => assert_eq!(other, whole, "{path}"),
        }
    }

    #[test]
    fn a_line_says_what_the_report_says_under_the_same_keys() {
        let bare = r#"(barwright: 1, name: "bare", fats: [(fat: "olive_virgin", share: 100)], superfat: -3.0)"#;
        for text in [APPLE, bare, "(barwright: 1, fats: [])"] {
            let (design, evaluation, library, summary) = summary(text);
            let report = serde_json::to_value(Report::new(&design, &evaluation, &library)).expect("JSON");
            let listed = Listed { file: "a.barwright".into(), read: Ok(summary) };
            let line = folder_line(&listed).expect("JSON");
            let mut line: Value = serde_json::from_str(&line).expect("JSON again");
            let members = line.as_object_mut().expect("an object");
            members.remove("file");
            let style = members.remove("style").expect("the style");
            assert_eq!(style, design.style.as_str());
            members.remove("log").expect("what was made");
            let stops = members.remove("stops").expect("the Stops");
            stands_in(&line, &report, "");
            let cautions = report["cautions"].as_array().expect("a list");
            let told: Vec<_> = cautions.iter().filter(|c| c["level"] == "stop").map(|c| c["code"].clone()).collect();
            assert_eq!(stops, Value::Array(told), "the Stops are those of the report");
        }
    }

    #[test]
    fn a_summary_comes_back_from_where_it_is_kept() {
        let (.., summary) = summary(APPLE);
        let kept = serde_json::to_string(&summary).expect("JSON");
        let read: Summary = serde_json::from_str(&kept).expect("a summary");
        assert_eq!(read.title(), "Apple oat loaf");
        assert_eq!((read.cost(), read.stopped()), (summary.cost(), "no Stop".into()));
    }

    #[test]
    fn nothing_in_a_name_steers_turns_or_breaks_a_line() {
        let wild = "a\u{1b}[2J\u{202e}b\u{61c}\nc\u{2028}d\u{9b}e";
        let (.., mut summary) = summary(APPLE);
        summary.name = wild.into();
        let listed = [
            Listed { file: format!("{wild}.barwright"), read: Ok(summary) },
            Listed { file: "bad".into(), read: Err(wild.into()) },
        ];
        let text = folder_text(&listed);
        assert_eq!(text.lines().count(), 5, "two headings, two files, the count: {text}");
        assert!(text.contains("a [2Jb c d e") && text.contains("not read: a [2Jb c d e"), "{text}");
        for listed in &listed {
            let line = folder_line(listed).expect("JSON");
            assert!(line.is_ascii(), "{line}");
            let value: Value = serde_json::from_str(&line).expect("JSON");
            assert!(value.to_string().contains('\u{202e}'), "it is kept");
        }
    }

    #[test]
    fn a_name_longer_than_a_row_is_cut() {
        let (.., cut) = summary(&format!("(barwright: 1, name: \"{}\", fats: [])", "ü".repeat(900)));
        assert_eq!(cut.name.chars().count(), LONGEST + 1);
    }

    #[test]
    fn what_could_not_be_read_stands_last_and_the_rest_by_name() {
        let (.., one) = summary(APPLE);
        let named = |name: &str, file: &str| Listed {
            file: file.into(),
            read: Ok(Summary { name: name.into(), ..one.clone() }),
        };
        let mut all = [
            Listed { file: "a".into(), read: Err("cut off".into()) },
            named("Öl", "z"),
            named("olive", "c"),
            named("apple", "d"),
            named("Apple", "b"),
        ];
        all.sort_by_cached_key(Listed::order);
        assert_eq!(all.each_ref().map(|one| one.file.as_str()), ["b", "d", "z", "c", "a"]);
    }
}
