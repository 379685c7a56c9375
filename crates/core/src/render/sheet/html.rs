//! The sheet as one HTML file that needs nothing else: no script, no font, no picture from elsewhere.

use super::{Figure, LEGEND, NO_ADVICE, Sheet, TESTS_WORTH, WRONG, picture};
use crate::bench::label::Region;
use crate::cautions::{ALWAYS, Level};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// How it looks, on screen and on paper.
const STYLE: &str = include_str!("sheet.css");

/// The paper it is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8.5 × 11 inches.
    Letter,
}

impl Paper {
    /// Both.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// What printers hold in `region`.
    pub const fn usual_in(region: Region) -> Self {
        match region {
            Region::EuUk => Self::A4,
            Region::Us => Self::Letter,
        }
    }

    /// Its name.
    pub const fn words(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "US Letter",
        }
    }

    /// Width and height, mm.
    pub const fn millimetres(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (8.5 * 25.4, 11.0 * 25.4),
        }
    }

    /// The rule for a page of pieces, which need the room.
    pub(in crate::render) const fn bare_rule(self) -> &'static str {
        match self {
            Self::A4 => "@page { size: A4; margin: 10mm 0; }",
            Self::Letter => "@page { size: letter; margin: 10mm 0; }",
        }
    }

    pub(in crate::render) const fn rule(self) -> &'static str {
        match self {
            Self::A4 => "@page { size: A4; margin: 10mm 11mm; }",
            Self::Letter => "@page { size: letter; margin: 10mm 11mm; }",
        }
    }
}

/// A name that came from outside; its direction touches nothing around it.
fn name(text: &str) -> Markup {
    html! { bdi { (text) } }
}

fn figures(what: &str, list: &[Figure]) -> Markup {
    let has_blanks = list.iter().any(|figure| figure.blank.is_some());
    html! {
        @if !list.is_empty() {
            h2 { (what) @if has_blanks { span.measured { "measured" } } }
            table.figures { tbody {
                @for figure in list { tr {
                    td { (figure.name) }
                    td { (figure.value) }
                    // Room to write, where something is measured.
                    @if has_blanks { td.blanks { @if let Some(unit) = figure.blank { span.blank {} " " (unit) } } }
                } }
            } }
        }
    }
}

impl Sheet {
    /// The sheet as an HTML file for `paper`.
    pub fn html(&self, paper: Paper) -> String {
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (self.title) " – bench sheet" }
                    // Constants of this crate: nothing of a design gets in here unescaped.
                    style { (PreEscaped(paper.rule())) (PreEscaped(STYLE)) }
                }
                body { (self.on_each_page(&self.body())) }
            }
        };
        page.into_string()
    }

    /// `body` under the head of a table, which browsers print on each page: there stands what is stopped. A head
    /// higher than a quarter of the page is printed once, so there is the first Stop and how many more there are.
    fn on_each_page(&self, body: &Markup) -> Markup {
        let mut stops = self.stops();
        let Some(first) = stops.next() else { return body.clone() };
        let more = stops.count();
        html! {
            table.stopped {
                thead { tr { td { p.stop {
                    (first)
                    @if more > 0 { " And " (more) " more on the first page." }
                } } } }
                tbody { tr { td { (body) } } }
            }
        }
    }

    fn body(&self) -> Markup {
        html! {
            (self.head())
            div.aid { h2 { "First aid" } ul.halves { @for line in self.first_aid() { li { (line) } } } }
            (self.table())
            (self.minds())
            (self.passages())
            (self.schedule())
            div.columns {
                div { (figures("Temperatures", &self.temperatures)) (self.blend_picture()) }
                div { (figures("The batch", &self.batch)) (self.mould_picture()) }
            }
            div.columns {
                div { h2 { "Always" } ul { @for line in ALWAYS { li { (line) } } } }
                div { h2 { "If something goes wrong" } ul { @for line in WRONG { li { (line) } } } }
            }
            div.differed { h2 { "What was different this time" } div.lines { div {} div {} } }
            p.small { (LEGEND) " " (NO_ADVICE) }
        }
    }

    fn head(&self) -> Markup {
        html! {
            h1 { (name(&self.title)) }
            div.head {
                span { "Made on " @match self.made_on {
                    Some(day) => { strong { (day.format("%A %-d %B %Y").to_string()) } }
                    None => { span.blank {} }
                } }
                span { "Batch number " @match &self.batch_number {
                    Some(number) => {
                        strong { (number) } @if !self.is_begun { span.blank style="min-width:2em" {} }
                    }
                    None => { span.blank {} }
                } }
                span { "Made by " span.blank {} }
            }
            @if !self.scaled.is_empty() { p { strong { (self.scaled) } } }
            @if !self.notes.is_empty() { p.notes dir="auto" { (self.notes) } }
            @for stop in self.stops() { p.stop { (stop) } }
        }
    }

    fn table(&self) -> Markup {
        html! {
            table.rows {
                thead { tr {
                    th {} th { span.note { "✓" } } th { "To weigh" } th.g { (self.measures.mass.sign()) } th.actual { "weighed" }
                } }
                @for run in self.runs() {
                    tbody {
                        @for (i, row) in run.iter().enumerate() {
                            tr {
                                @if i == 0 { th scope="rowgroup" rowspan=(run.len()) { (row.vessel.words()) } }
                                td.tick { span.box {} }
                                td { (name(&row.name)) @if !row.note.is_empty() { " " span.note { "– " (name(&row.note)) } } }
                                td.g { (self.shown(row)) }
                                td.actual {}
                            }
                        }
                    }
                }
            }
            p { (self.rounding_words) }
        }
    }

    fn passages(&self) -> Markup {
        html! {
            div.method { @for passage in &self.method {
                h2 { (passage.part.heading()) }
                ol { @for step in &passage.steps { li { (step.text) } } }
            } }
            p { strong { (TESTS_WORTH) } }
        }
    }

    fn schedule(&self) -> Markup {
        html! {
            @if !self.times.is_empty() {
                h2 { "Times" }
                table.times { tbody {
                    @for time in &self.times {
                        tr {
                            td { span.box {} }
                            td.when { (time.words()) }
                            td { strong { (time.kind.title()) } " – " (time.text) }
                        }
                    }
                } }
            }
        }
    }

    fn blend_picture(&self) -> Markup {
        let most = self.blend.iter().map(|fat| fat.percent).fold(0.0, f64::max);
        html! {
            @if !self.blend.is_empty() {
                h2 { "The blend" }
                table.blend { tbody {
                    @for fat in &self.blend {
                        tr { td { (name(&fat.name)) } td.share { (picture::share(fat.percent, most)) } td.g { (fat.share) } }
                    }
                } }
            }
        }
    }

    fn mould_picture(&self) -> Markup {
        html! {
            @if let Some(filled) = &self.mould {
                h2 { "The mould" }
                figure.mould { (picture::mould(filled, self.measures)) }
            }
        }
    }

    fn minds(&self) -> Markup {
        html! {
            @if self.cautions.iter().any(|m| m.level != Level::Stop) {
                h2 { "Mind with this design" }
                ul {
                    @for mind in self.cautions.iter().filter(|m| m.level != Level::Stop) {
                        li { strong { (mind.level.word()) ": " } (mind.text) }
                    }
                }
            }
        }
    }
}
