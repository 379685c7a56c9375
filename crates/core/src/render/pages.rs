//! Printable pages that go with bars: labels, gift tags, and the card that lies on bars while they cure. Each is
//! one HTML file with as many copies as fit on the paper.
//!
//! Labels and tags hand a bar on, so they are withheld while a Stop stands; the card for the cure is not, and
//! bears the Stop. A design is no batch: a label of it says so until a batch is logged.

use super::sheet::{Paper, line};
use crate::bench::label::{Label, ListStyle, NO_BATCH, Region};
use crate::bench::record::{Record, State};
use crate::bench::schedule::{self, NaiveDate, Schedule, StepKind};
use crate::cautions::{NoStop, Stopped};
use crate::chemistry::as_weighed::WeighedError;
use crate::design::Design;
use crate::design::log::BatchCode;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::number::short;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// How the pages look.
const STYLE: &str = include_str!("pages/pages.css");

/// White round a page, mm.
const MARGIN: f64 = 10.0;

/// How large one piece is, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceSize {
    width: f64,
    height: f64,
}

/// A size of a label that no page can be made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a label is 20 to 190 mm wide and 15 to 250 mm high, written as 70x50")]
pub struct BadSize;

impl Default for PieceSize {
    /// 70 × 60 mm.
    fn default() -> Self {
        Self { width: 70.0, height: 60.0 }
    }
}

impl PieceSize {
    const TAG: Self = Self { width: 60.0, height: 85.0 };
    const CURING: Self = Self { width: 95.0, height: 120.0 };

    /// `width` × `height`, mm.
    ///
    /// # Errors
    /// [`BadSize`] if one does not fit on a page of either paper or holds no word.
    pub fn new(width: f64, height: f64) -> Result<Self, BadSize> {
        let fits = (20.0..=190.0).contains(&width) && (15.0..=250.0).contains(&height);
        if fits { Ok(Self { width, height }) } else { Err(BadSize) }
    }

    /// Sizes to choose from.
    pub const USUAL: [Self; 5] = [
        Self { width: 60.0, height: 50.0 },
        Self { width: 70.0, height: 60.0 },
        Self { width: 90.0, height: 50.0 },
        Self { width: 90.0, height: 65.0 },
        Self { width: 95.0, height: 90.0 },
    ];

    /// The size in words.
    pub fn words(self) -> String {
        format!("{} × {} mm", short(self.width, 1), short(self.height, 1))
    }

    /// How many fit on a page across and down.
    ///
    /// ```
    /// use barwright_core::render::pages::PieceSize;
    /// use barwright_core::render::sheet::Paper;
    /// assert_eq!(PieceSize::default().on(Paper::A4), (2, 4), "of 190 × 277 mm inside the margins");
    /// ```
    pub fn on(self, paper: Paper) -> (u32, u32) {
        let (width, height) = paper.millimetres();
        let count = |whole: f64, one: f64| (1..40).take_while(|n| f64::from(*n) * one <= whole - 2.0 * MARGIN).last();
        (count(width, self.width).unwrap_or(1), count(height, self.height).unwrap_or(1))
    }

    /// The size of type, pt, at which so many characters fill the piece; `None` if it could not be read.
    fn type_size(self, characters: usize, lines: f64, largest: f64) -> Option<f64> {
        // A character of a sans serif is 0.55 em wide on the average with its part of ragged lines, a line 1.25 em
        // high (our measure, with room to spare); 2.5 mm of white on each side.
        let (width, height) = ((self.width - 5.0) / MM_PER_POINT, (self.height - 5.0) / MM_PER_POINT);
        let needs = |size: &f64| {
            let per_line = (width / (0.55 * size)).floor() - 4.0;
            per_line > 8.0 && ((characters as f64 / per_line).ceil() + lines) * 1.25 * size <= height
        };
        TYPE.into_iter().filter(|size| *size <= largest).find(needs)
    }
}

impl std::str::FromStr for PieceSize {
    type Err = BadSize;

    fn from_str(text: &str) -> Result<Self, BadSize> {
        let (width, height) = text.split_once(['x', '×']).ok_or(BadSize)?;
        let number = |text: &str| text.trim().parse::<f64>().ok().ok_or(BadSize);
        Self::new(number(width)?, number(height)?)
    }
}

/// Sizes of type, pt (our choice; less than the last cannot be read).
const TYPE: [f64; 13] = [14.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.5, 7.0, 6.5, 6.0, 5.5, 5.0];

/// The largest type on labels and tags, pt.
const LARGEST: f64 = 9.0;

/// Millimetres in a point (1/72 in of 25.4 mm).
const MM_PER_POINT: f64 = 25.4 / 72.0;

/// Which page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Labels of this size.
    Labels(PieceSize),
    /// Gift tags.
    Tags,
    /// The card that lies on bars while they cure.
    Curing,
}

/// What a page is made for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// The paper.
    pub paper: Paper,
    /// Which list of ingredients.
    pub style: ListStyle,
    /// The names in it.
    pub region: Region,
}

/// Why there is no page.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Withheld {
    /// A Stop stands; all that do.
    #[error(transparent)]
    Stopped(#[from] Stopped),
    /// There is no bar to print for.
    #[error("the design gives no bars, so there is nothing to print")]
    NoBars,
    /// The bars of the batch are not free.
    #[error("the bars of batch {0} are {word}: labels and tags of a batch are printed once it is free", word = .1.word())]
    NotFree(BatchCode, State),
    /// The weights of the batch make none.
    #[error("batch {0}: {1}")]
    NoBatch(BatchCode, WeighedError),
    /// The text would be too small to read.
    #[error("the name and the ingredients do not fit on a piece of {0}; choose a larger one")]
    TooSmall(String),
}

/// The page as an HTML file that needs nothing else.
///
/// # Errors
/// [`Withheld`]; the card for the cure is withheld only where there are no bars.
pub fn page(
    kind: Kind,
    design: &Design,
    evaluation: &Evaluation,
    library: &Library,
    options: Options,
) -> Result<String, Withheld> {
    marked(kind, (design, evaluation), library, options, NO_BATCH)
}

/// The page for the batch of `record`, as it was weighed, with its code on every piece.
///
/// # Errors
/// [`Withheld`]; labels and tags until the bars are free.
pub fn page_of_batch(kind: Kind, record: &Record, library: &Library, options: Options) -> Result<String, Withheld> {
    if kind != Kind::Curing && record.state != State::Free {
        return Err(Withheld::NotFree(record.code, record.state));
    }
    let made = record.result.as_ref().map_err(|error| Withheld::NoBatch(record.code, error.clone()))?;
    marked(kind, (&made.design, &made.evaluation), library, options, &format!("Batch {}", record.code))
}

/// The page with `mark` at the end of every label and tag.
fn marked(
    kind: Kind,
    (design, evaluation): (&Design, &Evaluation),
    library: &Library,
    options: Options,
    mark: &str,
) -> Result<String, Withheld> {
    let no_stop = NoStop::of(design, evaluation, library);
    if evaluation.cure.is_none() {
        return Err(no_stop.map_or_else(Withheld::Stopped, |_| Withheld::NoBars));
    }
    let name = if design.name.trim().is_empty() { "Soap".to_owned() } else { line(&design.name) };
    if kind == Kind::Curing {
        let stops = no_stop.err().map(|stopped| stopped.stops().iter().map(|s| line(&s.line())).collect::<Vec<_>>());
        let stops = stops.unwrap_or_default();
        let characters = name.chars().count() + stops.iter().map(|s| s.chars().count()).sum::<usize>();
        let size = PieceSize::CURING.type_size(characters * 3 / 2, 16.0, TYPE[0]).unwrap_or(5.0);
        let made_on = design.process.made_on.as_deref().and_then(|day| schedule::day(day).ok());
        let test_on = made_on.and_then(|day| test_day(design, evaluation, library, day));
        let piece = curing(&name, &stops, made_on, test_on);
        return Ok(whole("curing card", &name, PieceSize::CURING, size, options.paper, &piece));
    }
    let label = Label::of_unstopped(&no_stop?)?;
    let ingredients = line(&label.text(options.style, options.region));
    let (what, size, lines, piece) = match kind {
        Kind::Labels(size) => ("labels", size, 9.0, bar_label(&name, &ingredients, mark)),
        Kind::Tags | Kind::Curing => ("gift tags", PieceSize::TAG, 14.0, tag(&name, &ingredients, mark)),
    };
    let type_size = size.type_size(name.chars().count() * 2 + ingredients.chars().count() + 12, lines, LARGEST);
    let type_size =
        type_size.ok_or_else(|| Withheld::TooSmall(format!("{} × {}", short(size.width, 1), short(size.height, 1))))?;
    Ok(whole(what, &name, size, type_size, options.paper, &piece))
}

fn whole(what: &str, name: &str, size: PieceSize, type_size: f64, paper: Paper, piece: &Markup) -> String {
    let (across, down) = size.on(paper);
    let rule = paper.bare_rule();
    let grid = format!(
        "grid-template-columns: repeat({across}, {}mm); grid-auto-rows: {}mm; font-size: {type_size}pt",
        size.width, size.height
    );
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                title { (name) " – " (what) }
                // Constants of this crate: nothing of a design gets in here unescaped.
                style { (PreEscaped(rule)) (PreEscaped(STYLE)) }
            }
            body { main style=(grid) { @for _ in 0..across * down { section { (piece) } } } }
        }
    };
    page.into_string()
}

fn bar_label(name: &str, ingredients: &str, mark: &str) -> Markup {
    html! {
        h1 { bdi { (name) } }
        p { b { "Ingredients: " } bdi { (ingredients) } }
        p.end.fill { "Weight " span.blank {} " g  " span.blank {} " oz" }
        p.fill { "Made by " span.blank.long {} }
        p.draft { (mark) }
    }
}

fn tag(name: &str, ingredients: &str, mark: &str) -> Markup {
    html! {
        div.hole {}
        h1 { bdi { (name) } }
        p { "Soap made by hand. Keep it dry between washes." }
        p.fill { "For " span.blank.long {} }
        p.fill { "From " span.blank.long {} }
        p.end { b { "Ingredients: " } bdi { (ingredients) } }
        p.draft { (mark) }
    }
}

/// The day on which the cure of what is made on `day` ends.
fn test_day(design: &Design, evaluation: &Evaluation, library: &Library, day: NaiveDate) -> Option<NaiveDate> {
    let schedule = Schedule::of(design, evaluation, library, day.and_hms_opt(9, 0, 0)?).ok()?;
    let end = schedule.steps().iter().find(|step| step.kind == StepKind::Ready)?;
    Some(end.starts.date())
}

/// A day, or a blank for one.
fn day_or_blank(day: Option<NaiveDate>) -> Markup {
    html! {
        @match day {
            Some(day) => { b { (day.format("%-d %B %Y").to_string()) } }
            None => { span.blank.long {} }
        }
    }
}

fn curing(name: &str, stops: &[String], made_on: Option<NaiveDate>, test_on: Option<NaiveDate>) -> Markup {
    html! {
        p.loud { "CURING – NOT YET SAFE" }
        h1 { bdi { (name) } }
        @for stop in stops { p.stop { (stop) } }
        @if stops.is_empty() {
            p.test { "Test on " (day_or_blank(test_on)) ", not before." }
        } @else {
            p.test { b { "Do not use, give or sell." } }
        }
        p.fill { "Made on " (day_or_blank(made_on)) }
        p.fill { "A bar weighed " span.blank {} " on " span.blank {} }
        p.end { "Gloves on. Not for skin, children or animals until it is tested. Leave it spaced, dry and airy." }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_read_as_it_is_written_and_refused_where_no_page_holds_it() {
        assert_eq!("70x60".parse(), Ok(PieceSize::default()));
        assert_eq!("70 × 60".parse(), Ok(PieceSize::default()));
        for text in ["", "70", "x", "NaNx50", "5x5", "300x40", "40x-40", "infx50"] {
            assert_eq!(text.parse::<PieceSize>(), Err(BadSize), "{text}");
        }
    }

    #[test]
    fn type_shrinks_with_the_text_and_ends_where_it_could_not_be_read() {
        let size = PieceSize::default();
        assert_eq!(size.type_size(80, 7.0, LARGEST), Some(9.0), "little text");
        assert!(size.type_size(600, 7.0, LARGEST).is_some_and(|pt| pt < 9.0), "more");
        assert_eq!(size.type_size(6000, 7.0, LARGEST), None, "too much");
    }
}
