//! The card as HTML: a fragment to paste into a page, and a whole page that needs nothing else.

use super::{CHECK_THE_LYE, Card, SAFETY, grams, ounces};
use crate::render::sheet::{Paper, TESTS_WORTH};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// How the whole page looks, on screen and on paper.
const STYLE: &str = include_str!("card.css");

/// Where the text of a cell stands, said at the cell: a fragment brings no style sheet.
const LEFT: &str = "text-align: left";
const RIGHT: &str = "text-align: right; padding-left: 1em";

/// A name that came from outside; its direction touches nothing around it.
fn name(text: &str) -> Markup {
    html! { bdi { (text) } }
}

impl Card {
    /// The card as one element without a style, to stand in a page of the person's own, with its data.
    pub fn fragment(&self) -> String {
        self.article().into_string()
    }

    /// The card as an HTML file of its own, to print on `paper`.
    pub fn html(&self, paper: Paper) -> String {
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (self.title) " – recipe" }
                    // Constants of this crate: nothing of a design gets in here unescaped.
                    style { (PreEscaped(paper.rule())) (PreEscaped(STYLE)) }
                }
                body { (self.article()) }
            }
        };
        page.into_string()
    }

    fn article(&self) -> Markup {
        html! {
            article.recipe {
                // A page that takes it in has a heading of its own.
                h2 { (name(&self.title)) }
                @for stop in &self.stops { p.stop { strong { "STOP: " (stop) } } }
                dl { @for (what, words) in self.facts() { dt { (what) } dd { (words) } } }
                p { strong { (CHECK_THE_LYE) } }
                (self.table())
                @for passage in &self.method {
                    h3 { (passage.heading) }
                    ol { @for step in &passage.steps { li { (step) } } }
                }
                p { strong { (TESTS_WORTH) } }
                h3 { "Safety" }
                ul { @for line in SAFETY { li { (line) } } }
                script type="application/ld+json" { (PreEscaped(self.how_to_script())) }
            }
        }
    }

    fn table(&self) -> Markup {
        html! {
            table {
                thead {
                    tr {
                        th style=(LEFT) { "To weigh" }
                        @for sign in ["g", "oz", "% of all"] { th style=(RIGHT) { (sign) } }
                    }
                }
                @for run in self.runs() {
                    tbody {
                        @if let Some(first) = run.first() {
                            tr { th style=(LEFT) scope="rowgroup" colspan="4" { (first.vessel.words()) } }
                        }
                        @for line in run {
                            tr {
                                td { (name(&line.name)) }
                                td style=(RIGHT) { (line.grams()) }
                                td style=(RIGHT) { (line.ounces()) }
                                td style=(RIGHT) { (line.percents()) }
                            }
                        }
                    }
                }
                tfoot {
                    tr {
                        th style=(LEFT) { "Together" }
                        td style=(RIGHT) { (grams(self.all())) }
                        td style=(RIGHT) { (ounces(self.all())) }
                        td {}
                    }
                }
            }
        }
    }
}
