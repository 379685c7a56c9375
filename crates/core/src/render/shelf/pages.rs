//! Pages of the shelf for paper, and the shopping list as a table.

use super::name;
use crate::bench::day::shown;
use crate::design::shelf::{Shelf, ToBuy};
use crate::design::words::inert;
use crate::library::Library;
use crate::number;
use crate::render::plain_line;
use crate::render::sheet::Paper;
use crate::units::{Grams, MassUnit};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// How it looks: as the bench sheet.
const STYLE: &str = include_str!("../sheet/sheet.css");
const OWN: &str = ".g { text-align: right; white-space: nowrap; } section { break-inside: avoid; }";

/// A page of its own.
pub(super) fn page(title: &str, body: &Markup, paper: Paper) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                title { (title) }
                // Constants of this crate: nothing of a shelf gets in here unescaped.
                style { (PreEscaped(paper.rule())) (PreEscaped(STYLE)) (PreEscaped(OWN)) }
            }
            body { (body) }
        }
    };
    page.into_string()
}

/// What is to be bought, as a page with a box for each.
pub fn to_buy_page(lines: &[ToBuy], (shelf, library): (&Shelf, &Library), unit: MassUnit, paper: Paper) -> String {
    let mass = |g: f64| number::mass(Grams(g), unit);
    let body = html! {
        h1 { "To buy" }
        p { @for (i, plan) in shelf.plans.iter().enumerate() {
            @if i == 0 { "For " } @else { ", " }
            bdi { (plain_line(plan.design.as_str())) } @if let Some(on) = plan.on { " on " (shown(on.0)) }
        } }
        table {
            thead { tr { th {} th { "what" } th.g { "to buy" } th.g { "needed" } th.g { "there" } } }
            tbody { @for line in lines.iter().filter(|l| l.missing > 0.0) { tr {
                td { span.box {} }
                td { bdi { (plain_line(&name(&line.stuff, shelf, library))) } }
                td.g { b { (mass(line.missing)) } } td.g { (mass(line.need)) } td.g { (mass(line.there)) }
            } } }
        }
    };
    page("To buy", &body, paper)
}

/// What is to be bought, as a table for a spreadsheet, in grams.
///
/// # Errors
/// From the CSV writer; no list is known that makes it fail.
pub fn to_buy_csv(lines: &[ToBuy], shelf: &Shelf, library: &Library) -> Result<String, csv::Error> {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(["material", "to_buy_g", "needed_g", "there_g"])?;
    for line in lines {
        let material = name(&line.stuff, shelf, library);
        let figures = [line.missing, line.need, line.there].map(|g| number::rounded(g, 1).to_string());
        out.write_record(std::iter::once(inert(&material).into_owned()).chain(figures))?;
    }
    let bytes = out.into_inner().map_err(|e| csv::Error::from(e.into_error()))?;
    // It was given strings, so strings come out.
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::shelf::Stuff;
    use crate::design::words::Line;

    #[test]
    fn no_cell_of_the_shopping_list_is_a_formula_and_no_name_is_markup() {
        let library = Library::embedded().expect("assets parse");
        let shelf = Shelf::default();
        let stuff = Stuff::Other(Line::shortened("=1+<b>2"));
        let lines = [ToBuy { stuff, need: 3.0, there: 1.0, missing: 2.0 }];
        let table = to_buy_csv(&lines, &shelf, &library).expect("a table");
        assert_eq!(table.lines().nth(1), Some("'=1+<b>2,2,3,1"));
        let page = to_buy_page(&lines, (&shelf, &library), MassUnit::Gram, Paper::A4);
        assert!(page.contains("&lt;b&gt;") && !page.contains("1+<b>"), "{page}");
    }
}
