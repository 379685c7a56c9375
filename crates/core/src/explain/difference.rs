//! How two designs differ, explained: the numbers taken from each other, and which parts of the
//! designs make the difference.

mod acids;
mod any;
mod parts;
#[cfg(test)]
mod tests;

pub use acids::shared_acids;
pub use any::compared;

use super::{About, Change, Input, Why};
use crate::design::Design;
use crate::design::blend::FatLine;
use crate::explain::compare::{Row, Side, Subject, Unit, in_one_line, letter};
use crate::library::Library;
use crate::number::{fixed, rounded, short, signed};
use crate::quantities;
use crate::quantity::with_unit;
use crate::units::Measures;
use parts::{Effects, Part};

/// How many parts are told one by one.
const MOST: usize = 4;

/// Explains how far the number in `column` of `row` lies above that of the first design, where
/// `row` is one of [`crate::explain::compare::compare`] with the same `sides` and `unit`, or of [`compared`]. `None` where the
/// table shows no difference.
///
/// Its changes say what makes the difference: what each part of the other design would do alone
/// in the first one, the strongest first, then the smaller ones in one, then what they do
/// together beyond that. So they sum to the difference, but for what does not show.
///
/// ```
/// use barwright_core::explain::compare::{Side, compare};
/// use barwright_core::units::{Measures, Superfat};
/// use barwright_core::explain;
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let a = Design::default();
/// let b = Design { superfat: Superfat::new(8.5)?, ..a.clone() };
/// let (of_a, of_b) = (evaluate(&a, &library), evaluate(&b, &library));
/// let sides = [Side { design: &a, evaluation: &of_a }, Side { design: &b, evaluation: &of_b }];
/// let groups = compare(&sides, Measures::METRIC, &library);
/// let superfat = groups.iter().flat_map(|g| &g.rows).find(|r| r.key == "batch.superfat_pct").expect("a row");
/// let why = explain::difference(superfat, 1, &sides, Measures::METRIC, &library).expect("known of both");
/// assert_eq!(why.with_numbers, "8.5 − 5.0 = +3.5 points");
/// assert_eq!(why.changes[0].what, "the superfat of B instead of A’s");
/// assert_eq!(why.changes[0].effect, "+3.50 points");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn difference(row: &Row, column: usize, sides: &[Side<'_>], measures: Measures, library: &Library) -> Option<Why> {
    let shown = row.difference(column)?;
    let (first, other) = (*sides.first()?, *sides.get(column)?);
    let number = |column| Some(fixed(row.rounded(row.counted(column)?), row.decimals));
    let taken_off = number(0)?;
    let taken_off = if taken_off.starts_with('\u{2212}') { format!("({taken_off})") } else { taken_off };
    let effects = Effects::of(row, first, other, measures, library)?;
    let words = InWords { row, column, effects: &effects, library };
    let result = words.with_unit(&signed(shown, row.decimals));
    Some(Why {
        ranges: Vec::new(),
        is_difference: true,
        key: row.key.clone(),
        title: format!("{}: {} less A", in_one_line(&row.name), letter(column)),
        formula: format!("number of {} − number of A, both as shown", letter(column)),
        with_numbers: format!("{} − {taken_off} = {result}", number(column)?),
        value: if shown.abs() > 0.0 { result } else { "same".into() },
        inputs: vec![words.input(other, column), words.input(first, 0)],
        trust: words.trust(shown, first.design, other.design),
        changes: words.changes(),
    })
}

/// A difference that is put in words.
struct InWords<'a> {
    row: &'a Row,
    column: usize,
    effects: &'a Effects,
    library: &'a Library,
}

impl InWords<'_> {
    fn with_unit(&self, number: &str) -> String {
        match (&self.row.unit, &self.row.subject) {
            (Unit::Percent, _) | (Unit::Bare, Subject::Estimate(_)) => with_unit(number, "points"),
            (unit, _) => with_unit(number, &in_one_line(unit.sign(self.column))),
        }
    }

    fn about<'b>(&'b self, side: Side<'b>) -> About<'b> {
        About::new(side.design, side.evaluation, self.library)
    }

    /// One decimal more than the row has, so that small parts are told too.
    const fn decimals(&self) -> usize {
        self.row.decimals.saturating_add(1)
    }

    fn shows(&self, effect: f64) -> bool {
        rounded(effect, self.decimals()).abs() > 0.0
    }

    fn effect(&self, effect: f64) -> String {
        self.with_unit(&signed(effect, self.decimals()))
    }

    fn input(&self, side: Side<'_>, column: usize) -> Input {
        let name = format!("{}: {}", letter(column), side.name());
        let value = in_one_line(&self.row.text(column));
        let how = match (&self.row.subject, self.row.values.get(column).copied().flatten()) {
            (_, None) => "not in this design, so it counts as nothing",
            _ if value.starts_with('<') => "worked out from this design; rounded, it counts as nothing",
            (Subject::Share(_) | Subject::Superfat, _) => "the design",
            _ if quantities::find(&self.row.key, self.about(side)).is_ok() => {
                "worked out from this design; click its own number for more"
            }
            _ => "worked out from this design",
        };
        Input::worked_out(&name, value, how)
    }

    fn changes(&self) -> Vec<Change> {
        let letter = letter(self.column);
        let change =
            |what: String, effect: f64| self.shows(effect).then(|| Change { what, effect: self.effect(effect) });
        let known = self.effects.each.iter().filter_map(|(part, effect)| Some((*part, (*effect)?)));
        let mut known: Vec<(Part, f64)> = known.filter(|(_, effect)| self.shows(*effect)).collect();
        known.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
        let (told, others) = known.split_at(known.len().min(MOST));
        let told =
            told.iter().map(|(part, effect)| change(format!("{} of {letter} instead of A’s", part.words()), *effect));
        let others_words = match others {
            [(part, _)] => format!("{} of {letter} instead of A’s", part.words()),
            _ => format!("{} smaller ones, each alone, in sum", others.len()),
        };
        let unknown: Vec<&str> =
            self.effects.each.iter().filter(|(_, effect)| effect.is_none()).map(|(part, _)| part.words()).collect();
        let together_words = if unknown.is_empty() {
            "all together, beyond the sum of each".into()
        } else {
            format!("all together, beyond these; no number is known for {} alone", unknown.join(", "))
        };
        let others = change(others_words, others.iter().map(|(_, effect)| effect).sum());
        told.chain([others, change(together_words, self.effects.together())]).flatten().collect()
    }

    fn trust(&self, shown: f64, a: &Design, b: &Design) -> String {
        let mut text = self.kind_of_trust(a, b);
        let (whole, row) = (self.effects.whole, self.row);
        let misleads = rounded(row.rounded(whole) - shown, row.decimals).abs() > 0.0;
        if misleads || (shown.abs() <= 0.0 && self.shows(whole)) {
            let unrounded = self.effect(whole);
            text.push_str(" Each number is rounded before one is taken from the other; unrounded they differ by ");
            text.push_str(&unrounded);
            text.push('.');
        }
        text
    }

    fn kind_of_trust(&self, a: &Design, b: &Design) -> String {
        let (section, rest) = self.row.key.split_once('.').unwrap_or((&self.row.key, ""));
        match (section, rest) {
            ("batch", "superfat_pct" | "bars") => "Both are what the designs say, so the difference is exact.".into(),
            ("fats", _) if rest.ends_with("share_pct") => {
                "Both are what the designs say, so the difference is exact.".into()
            }
            ("fats" | "additions" | "scents", _) | ("batch", "fats_g") => {
                "Both follow from the designs’ sizes and amounts; the difference is as sure as the weighing.".into()
            }
            ("batch", "lye_concentration_pct") => {
                "Exact by definition, for what is weighed as planned; the water in additions is as tabled.".into()
            }
            ("jug", "concentration_pct") => {
                "Exact by definition, when all of each jug’s water is there before the alkali goes in.".into()
            }
            ("jug", _) => "Both are upper bounds from one heat balance without losses; which jug gets hotter is surer \
                           than by how much."
                .into(),
            ("margin", _) => "Each stands for its own design alone. The difference of two limits is no limit of the \
                              difference: a fat that is in both moves both bars the same way."
                .into(),
            ("cost", _) => "As sure as the prices typed in; work, packing and power are not counted.".into(),
            ("estimates", _) => {
                let of_score = match self.row.subject {
                    Subject::Estimate(estimate) => format!(" {}", self.library.trust_in(estimate)),
                    _ => String::new(),
                };
                format!("One estimate less another.{of_score} {}", shared_figures(a, b))
            }
            ("batch", "bar_cured_g") | ("chemistry", "tfm_cured_pct") => {
                "Both are forecasts by one model of drying; air, soap and stacking can change the pace of each by half \
                 or more. In the same room both bars are off the same way, so the difference is surer than each."
                    .into()
            }
            ("chemistry", "titre_c") => {
                format!("Each is good to about ±3 °C in hard charges, worse in soft ones. {}", shared_figures(a, b))
            }
            _ => shared_figures(a, b),
        }
    }
}

/// Whether two numbers that rest on the fats' figures are off together.
fn shared_figures(a: &Design, b: &Design) -> String {
    let same = |line: &FatLine| {
        let other = b.blend.line(&line.fat.id)?;
        let alike = other.supplier == line.supplier && other.fat == line.fat;
        alike.then(|| line.share.get().min(other.share.get()))
    };
    let percent: f64 = a.blend.lines().iter().filter_map(same).sum();
    if percent <= 0.0 {
        return "The blends have no fat in common, so what is off in the figures of one is not made up for by the other: \
                the difference is less sure than each number."
            .into();
    }
    if rounded(percent, 1) >= 100.0 {
        return "Both have the same blend: what is off in its figures moves both numbers together, so the difference is \
                surer than each number."
            .into();
    }
    format!(
        "The blends have {} % in common: what is off in the figures of those fats moves both numbers together, and what \
         is off in the others’ only one of them.",
        short(percent, 1)
    )
}
