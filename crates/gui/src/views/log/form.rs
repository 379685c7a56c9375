//! What is filled in for an entry, new or corrected.

use super::Page;
use super::fields::{WIDTH, before, choice, count, masses, measured, plain, text};
use crate::clock;
use crate::widgets::small;
use barwright_core::bench::day;
use barwright_core::design::log::{
    Aspect, BatchCode, Batter, CutLike, Flaw, Gel, Happened, HeatOf, How, MarkedBar, Outcome, Picture, PictureName,
    Rating, Stage, Taken, TimeOf, What,
};
use barwright_core::design::words::{Day, Line, Words};
use barwright_core::number;
use barwright_core::quantity::Unit;
use barwright_core::troubles::faults;
use barwright_core::units::{AmountMass, Celsius, Grams, Hours, Millilitres, Minutes};
use eframe::egui::{Id, TextEdit, Ui};

/// What a new entry is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Slot {
    BatterWeighed,
    Oven,
    Cut,
    Picture,
    Test,
    Withdraw,
    BarWeighed,
    Judged,
    More,
    Washed,
    Trouble,
    Out,
    Said,
    NextTime,
}

impl Slot {
    /// What is written down, for the name of its button.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::BatterWeighed => "weight of the batter",
            Self::Oven => "oven",
            Self::Cut => "cut",
            Self::Picture => "picture",
            Self::Test => "test",
            Self::Withdraw => "withdrawal",
            Self::BarWeighed => "weight of a bar",
            Self::Judged => "judgement",
            Self::More => "comparison",
            Self::Washed => "wear",
            Self::Trouble => "trouble",
            Self::Out => "bars that went out",
            Self::Said => "note",
            Self::NextTime => "next time",
        }
    }
}

/// What a test came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Result3 {
    Passed,
    Again,
    Failed,
}

/// An entry as it is filled in.
#[derive(Debug, Clone)]
pub(super) enum Form {
    Weighed { what: What, grams: Option<AmountMass>, lots: Vec<Taken> },
    Heat { of: HeatOf, celsius: Option<Celsius> },
    Took { of: TimeOf, minutes: Option<Minutes> },
    Behaved(Batter),
    Gelled(Gel),
    Flawed(Flaw),
    BatterWeighed { grams: Option<AmountMass>, ml: Option<Millilitres> },
    Oven { set: Option<Celsius>, minutes: Option<Minutes>, hottest: Option<Celsius> },
    Cut(CutForm),
    Picture { stage: Stage, file: Option<PictureName>, words: String },
    Test { how: String, result: Option<Result3>, again: String },
    Withdraw { reason: String },
    BarWeighed { bar: u8, grams: Option<AmountMass> },
    Judged { by: String, aspect: Aspect, rating: u8 },
    More { aspect: Aspect, than: Option<BatchCode> },
    Washed { washes: Option<u32>, grams: Option<AmountMass> },
    Trouble { code: Option<String> },
    Out { bars: Option<u32>, how: How, to: String },
    Said(String),
    NextTime(String),
}

/// What is said of the cut.
#[derive(Debug, Clone)]
pub(super) struct CutForm {
    hours: Option<Hours>,
    like: CutLike,
    bars: Option<u32>,
    each: String,
    trimmings: Option<AmountMass>,
    seconds: Option<u32>,
}

/// That something is left out, for the person.
fn need<T>(value: Option<T>, what: &str) -> Result<T, String> {
    value.ok_or_else(|| format!("type {what} first"))
}

fn line(text: &str) -> Result<Line, String> {
    Line::new(text).map_err(|e| e.to_string())
}

fn said(text: &str, what: &str) -> Result<Line, String> {
    if text.trim().is_empty() { Err(format!("say {what} first")) } else { line(text) }
}

fn words(text: &str) -> Result<Words, String> {
    if text.trim().is_empty() {
        Err("write something first".into())
    } else {
        Words::new(text).map_err(|e| e.to_string())
    }
}

impl Form {
    /// An empty one.
    pub(super) fn new(slot: Slot, page: &Page<'_>) -> Self {
        match slot {
            Slot::BatterWeighed => Self::BatterWeighed { grams: None, ml: None },
            Slot::Oven => Self::Oven { set: None, minutes: None, hottest: None },
            Slot::Cut => Self::Cut(CutForm {
                hours: None,
                like: CutLike::Clean,
                bars: Some(page.seen.record.bars),
                each: String::new(),
                trimmings: None,
                seconds: None,
            }),
            Slot::Picture => Self::Picture { stage: Stage::Cut, file: None, words: String::new() },
            Slot::Test => Self::Test { how: String::new(), result: None, again: String::new() },
            Slot::Withdraw => Self::Withdraw { reason: String::new() },
            Slot::BarWeighed => Self::BarWeighed { bar: 1, grams: None },
            Slot::Judged => Self::Judged { by: String::new(), aspect: Aspect::Hardness, rating: 3 },
            Slot::More => Self::More { aspect: Aspect::Hardness, than: None },
            Slot::Washed => Self::Washed { washes: Some(10), grams: None },
            Slot::Trouble => Self::Trouble { code: None },
            Slot::Out => Self::Out { bars: None, how: How::Given, to: String::new() },
            Slot::Said => Self::Said(String::new()),
            Slot::NextTime => Self::NextTime(String::new()),
        }
    }

    /// What `what` says, to be corrected; `None` where there is nothing to fill in.
    pub(super) fn of(what: &Happened, page: &Page<'_>) -> Option<Self> {
        let text = |line: &Line| line.as_str().to_owned();
        Some(match what {
            Happened::Weighed { what, grams, lots } => {
                Self::Weighed { what: *what, grams: Some(*grams), lots: lots.clone() }
            }
            Happened::Heat { of, celsius } => Self::Heat { of: *of, celsius: Some(*celsius) },
            Happened::Took { of, minutes } => Self::Took { of: *of, minutes: Some(*minutes) },
            Happened::Behaved(batter) => Self::Behaved(*batter),
            Happened::Gelled(gel) => Self::Gelled(*gel),
            Happened::Flawed(flaw) => Self::Flawed(*flaw),
            Happened::BatterWeighed { grams, ml } => Self::BatterWeighed { grams: Some(*grams), ml: Some(*ml) },
            Happened::Oven { set, minutes, hottest } => {
                Self::Oven { set: Some(*set), minutes: Some(*minutes), hottest: *hottest }
            }
            Happened::Cut { hours, like, bars, each, trimmings, seconds } => {
                let mass = |g: &AmountMass| number::mass(Grams(g.get()), page.given.measures.mass);
                Self::Cut(CutForm {
                    hours: Some(*hours),
                    like: *like,
                    bars: Some(*bars),
                    each: each.iter().map(mass).collect::<Vec<_>>().join("; "),
                    trimmings: Some(*trimmings),
                    seconds: Some(*seconds),
                })
            }
            Happened::Pictured(Picture { stage, file, words }) => {
                Self::Picture { stage: *stage, file: Some(file.clone()), words: text(words) }
            }
            Happened::Tested { how, outcome } => {
                let (result, again) = match outcome {
                    Outcome::Passed => (Some(Result3::Passed), String::new()),
                    Outcome::Again(day) => (Some(Result3::Again), day::shown(day.0)),
                    Outcome::Failed => (Some(Result3::Failed), String::new()),
                };
                Self::Test { how: text(how), result, again }
            }
            Happened::Withdrawn { reason } => Self::Withdraw { reason: text(reason) },
            Happened::BarWeighed { bar, grams } => Self::BarWeighed { bar: bar.get(), grams: Some(*grams) },
            Happened::Judged { by, aspect, rating } => {
                Self::Judged { by: text(by), aspect: *aspect, rating: rating.get() }
            }
            Happened::More { aspect, than } => Self::More { aspect: *aspect, than: Some(*than) },
            Happened::Washed { washes, grams } => Self::Washed { washes: Some(*washes), grams: Some(*grams) },
            Happened::Trouble(code) => Self::Trouble { code: Some(text(code)) },
            Happened::Out { bars, how, to } => Self::Out { bars: Some(*bars), how: *how, to: text(to) },
            Happened::Said(words) => Self::Said(words.as_str().into()),
            Happened::NextTime(words) => Self::NextTime(words.as_str().into()),
            Happened::LyeIn | Happened::Made | Happened::Freed | Happened::Struck { .. } => return None,
        })
    }

    /// The entry.
    ///
    /// # Errors
    /// What is missing or wrong, for the person.
    pub(super) fn happened(&self, page: &Page<'_>) -> Result<Happened, String> {
        let measures = page.given.measures;
        Ok(match self {
            Self::Weighed { what, grams, lots } => {
                Happened::Weighed { what: *what, grams: need(*grams, "the weight")?, lots: lots.clone() }
            }
            Self::Heat { of, celsius } => Happened::Heat { of: *of, celsius: need(*celsius, "the temperature")? },
            Self::Took { of, minutes } => Happened::Took { of: *of, minutes: need(*minutes, "the minutes")? },
            Self::Behaved(batter) => Happened::Behaved(*batter),
            Self::Gelled(gel) => Happened::Gelled(*gel),
            Self::Flawed(flaw) => Happened::Flawed(*flaw),
            Self::BatterWeighed { grams, ml } => Happened::BatterWeighed {
                grams: need(*grams, "the weight of the batter")?,
                ml: need(*ml, "its volume")?,
            },
            Self::Oven { set, minutes, hottest } => Happened::Oven {
                set: need(*set, "what the oven is set to")?,
                minutes: need(*minutes, "how long")?,
                hottest: *hottest,
            },
            Self::Cut(cut) => Happened::Cut {
                hours: need(cut.hours, "the hours from pouring to cutting")?,
                like: cut.like,
                bars: need(cut.bars, "how many bars there are")?,
                each: masses(&cut.each, measures)?,
                trimmings: cut.trimmings.unwrap_or_else(|| AmountMass::nearest(0.0)),
                seconds: cut.seconds.unwrap_or_default(),
            },
            Self::Picture { stage, file, words } => {
                Happened::Pictured(Picture { stage: *stage, file: need(file.clone(), "")?, words: line(words)? })
            }
            Self::Test { how, result, again } => {
                // Nothing is taken as passed before a person says so.
                let outcome = match result.ok_or("say what the test came to first")? {
                    Result3::Passed => Outcome::Passed,
                    Result3::Again => {
                        let day = day::typed(again, clock::today(), page.given.region);
                        Outcome::Again(Day(day.map_err(|e| e.to_string())?))
                    }
                    Result3::Failed => Outcome::Failed,
                };
                Happened::Tested { how: said(how, "how it was tested")?, outcome }
            }
            Self::Withdraw { reason } => Happened::Withdrawn { reason: said(reason, "why")? },
            Self::BarWeighed { bar, grams } => Happened::BarWeighed {
                bar: MarkedBar::new(*bar).map_err(|e| e.to_string())?,
                grams: need(*grams, "the weight of the bar")?,
            },
            Self::Judged { by, aspect, rating } => Happened::Judged {
                by: line(by)?,
                aspect: *aspect,
                rating: Rating::new(*rating).map_err(|e| e.to_string())?,
            },
            Self::More { aspect, than } => {
                Happened::More { aspect: *aspect, than: than.ok_or("choose the other batch first")? }
            }
            Self::Washed { washes, grams } => Happened::Washed {
                washes: need(*washes, "how many washes")?,
                grams: need(*grams, "what the bar lost")?,
            },
            Self::Trouble { code } => Happened::Trouble(line(&code.clone().ok_or("choose what is seen first")?)?),
            Self::Out { bars, how, to } => {
                let bars = need(*bars, "how many bars")?;
                if bars == 0 {
                    return Err("type how many bars first".into());
                }
                Happened::Out { bars, how: *how, to: line(to)? }
            }
            Self::Said(text) => Happened::Said(words(text)?),
            Self::NextTime(text) => Happened::NextTime(words(text)?),
        })
    }

    /// Whether something is typed into it.
    pub(super) fn holds_words(&self) -> bool {
        match self {
            Self::BatterWeighed { grams, ml } => grams.is_some() || ml.is_some(),
            Self::Oven { set, minutes, hottest } => set.is_some() || minutes.is_some() || hottest.is_some(),
            Self::Cut(cut) => cut.hours.is_some() || !cut.each.is_empty() || cut.trimmings.is_some(),
            Self::Test { how: text, .. }
            | Self::Withdraw { reason: text }
            | Self::Picture { words: text, .. }
            | Self::Judged { by: text, .. }
            | Self::Said(text)
            | Self::NextTime(text) => !text.is_empty(),
            Self::Out { bars, to, .. } => bars.is_some() || !to.is_empty(),
            Self::BarWeighed { grams, .. } | Self::Washed { grams, .. } | Self::Weighed { grams, .. } => {
                grams.is_some()
            }
            Self::Trouble { code } => code.is_some(),
            Self::More { than, .. } => than.is_some(),
            Self::Heat { celsius, .. } => celsius.is_some(),
            Self::Took { minutes, .. } => minutes.is_some(),
            Self::Behaved(_) | Self::Gelled(_) | Self::Flawed(_) => false,
        }
    }

    /// Draws its fields, in a line that wraps.
    pub(super) fn show(&mut self, ui: &mut Ui, page: &Page<'_>, id: Id) {
        let measures = page.given.measures;
        let (heat, mass, volume) = (Unit::Celsius, Unit::Grams, Unit::Millilitres);
        match self {
            Self::Weighed { what, grams, .. } => {
                let name = what.name(&page.batch.made);
                measured(ui, (id, &format!("Weight of {name}, corrected")), grams, &mass, measures);
            }
            Self::Heat { of, celsius } => measured(ui, (id, of.words()), celsius, &heat, measures),
            Self::Took { of, minutes } => plain(ui, (id, of.words()), minutes, "min"),
            Self::Behaved(now) => {
                choice(ui, (id, "How the batter behaved"), now, Batter::ALL, |b| b.words().into(), 110.0);
            }
            Self::Gelled(now) => choice(ui, (id, "How far it gelled"), now, Gel::ALL, |g| g.words().into(), 110.0),
            Self::Flawed(now) => choice(ui, (id, "What is seen"), now, Flaw::ALL, |f| f.words().into(), 110.0),
            Self::BatterWeighed { grams, ml } => {
                before(ui, "Batter of", WIDTH);
                measured(ui, (id.with(0), "Volume of batter"), ml, &volume, measures);
                before(ui, "weighs", WIDTH);
                measured(ui, (id.with(1), "Weight of batter"), grams, &mass, measures);
            }
            Self::Oven { set, minutes, hottest } => {
                before(ui, "Oven at", WIDTH);
                measured(ui, (id.with(0), "Oven set to"), set, &heat, measures);
                before(ui, "for", WIDTH);
                plain(ui, (id.with(1), "Minutes in the oven"), minutes, "min");
                before(ui, "soap at most", WIDTH);
                measured(ui, (id.with(2), "Soap at its hottest"), hottest, &heat, measures);
            }
            Self::Cut(cut) => cut.show(ui, page, id),
            Self::Picture { stage, words, .. } => {
                choice(ui, (id.with(0), "Stage of the picture"), stage, Stage::ALL, |s| s.words().into(), 100.0);
                text(ui, (id.with(1), "What the picture shows"), words, "what it shows", 170.0);
            }
            Self::Test { how, result, again } => {
                text(ui, (id.with(0), "How it was tested"), how, "how: zap test, indicator, …", 220.0);
                for (one, words) in [
                    (Result3::Passed, "Passed"),
                    (Result3::Again, "Free alkali: test again"),
                    (Result3::Failed, "Failed: withdraw"),
                ] {
                    ui.radio_value(result, Some(one), words);
                }
                if *result == Some(Result3::Again) {
                    text(ui, (id.with(1), "Day of the next test"), again, "28 Nov", 90.0);
                }
            }
            Self::Withdraw { reason } => {
                text(ui, (id, "Why it is withdrawn"), reason, "why the batch is not to be used", 260.0);
            }
            Self::BarWeighed { bar, grams } => {
                choice(ui, (id.with(0), "Marked bar"), bar, 1..=MarkedBar::MOST, |b| format!("Bar {b}"), 70.0);
                before(ui, "weighs", WIDTH);
                measured(ui, (id.with(1), "Weight of the marked bar"), grams, &mass, measures);
            }
            Self::Judged { by, aspect, rating } => {
                choice(ui, (id.with(0), "What is judged"), aspect, Aspect::ALL, |a| a.words().into(), 130.0);
                let word = |r: u8| match r {
                    1 => "1, little".into(),
                    5 => "5, much".into(),
                    _ => r.to_string(),
                };
                choice(ui, (id.with(1), "Judgement, 1 to 5"), rating, 1..=5, word, 80.0);
                text(ui, (id.with(2), "By whom"), by, "by whom", 110.0);
            }
            Self::More { aspect, than } => {
                ui.label("More");
                choice(ui, (id.with(0), "More of what"), aspect, Aspect::ALL, |a| a.words().into(), 130.0);
                before(ui, "than", 110.0);
                let others = page.given.open.log().batches().iter().map(|b| b.code);
                let others = others.filter(|code| *code != page.batch.code).map(Some).collect::<Vec<_>>();
                let word = |code: Option<BatchCode>| code.map_or_else(|| "batch…".into(), |code| code.to_string());
                choice(ui, (id.with(1), "Than which batch"), than, others, word, 110.0);
            }
            Self::Washed { washes, grams } => {
                count(ui, (id.with(0), "Number of washes"), washes);
                before(ui, "washes took", WIDTH);
                measured(ui, (id.with(1), "Weight lost in the washes"), grams, &mass, measures);
            }
            Self::Trouble { code } => {
                let mut now = code.as_deref().and_then(|code| faults().find(|fault| fault.code == code));
                let word = |fault: Option<&'static barwright_core::troubles::Fault>| {
                    fault.map_or_else(|| "What is seen…".into(), |fault| fault.name.to_owned())
                };
                choice(ui, (id, "What looks wrong"), &mut now, faults().map(Some), word, 230.0);
                if let Some(fault) = now {
                    *code = Some(fault.code.into());
                }
            }
            Self::Out { bars, how, to } => {
                count(ui, (id.with(0), "How many bars went out"), bars);
                ui.label("bars");
                choice(ui, (id.with(1), "How they went out"), how, How::ALL, |h| h.words().into(), 80.0);
                text(ui, (id.with(2), "To whom they went"), to, "to whom", 150.0);
            }
            Self::Said(text) | Self::NextTime(text) => {
                let width = (ui.available_width() - 4.0).min(560.0);
                let edit = ui.add(TextEdit::multiline(text).id(id).desired_rows(2).desired_width(width));
                crate::widgets::name(ui, &edit, "Words to write down");
            }
        }
    }
}

impl CutForm {
    fn show(&mut self, ui: &mut Ui, page: &Page<'_>, id: Id) {
        let measures = page.given.measures;
        before(ui, "After", WIDTH);
        plain(ui, (id.with(0), "Hours from pouring to cutting"), &mut self.hours, "h");
        choice(ui, (id.with(1), "How it was to cut"), &mut self.like, CutLike::ALL, |l| l.words().into(), 90.0);
        before(ui, "Bars", WIDTH);
        count(ui, (id.with(2), "Number of bars"), &mut self.bars);
        before(ui, "each", 150.0);
        text(ui, (id.with(3), "Weight of each bar"), &mut self.each, "98; 101; 99", 150.0);
        if let Err(why) = masses(&self.each, measures) {
            small(ui, why);
        }
        before(ui, "trimmings", WIDTH);
        measured(ui, (id.with(4), "Trimmings"), &mut self.trimmings, &Unit::Grams, measures);
        before(ui, "unfit", WIDTH);
        count(ui, (id.with(5), "Bars not fit to give away"), &mut self.seconds);
    }
}
