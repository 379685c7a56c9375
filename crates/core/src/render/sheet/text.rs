//! The sheet as plain text.

use super::{Figure, LEGEND, NO_ADVICE, Sheet, TESTS_WORTH, WRONG};
use crate::cautions::ALWAYS;
use std::fmt::Write as _;

/// Columns of a line.
const WIDTH: usize = 80;

/// Writes `text` with `first` before it, broken at spaces so that lines stay short.
pub(in crate::render) fn wrapped(out: &mut String, first: &str, text: &str) {
    let indent = first.chars().count();
    let mut column = indent;
    out.push_str(first);
    for (i, word) in text.split_whitespace().enumerate() {
        let length = word.chars().count();
        if i > 0 && column + 1 + length > WIDTH {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            column = indent;
        } else if i > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
    }
    out.push('\n');
}

fn heading(out: &mut String, text: &str) {
    out.push('\n');
    out.push_str(text);
    out.push('\n');
}

fn figures(out: &mut String, what: &str, list: &[Figure]) {
    if list.is_empty() {
        return;
    }
    heading(out, what);
    for figure in list {
        let blank = figure.blank.map_or_else(String::new, |unit| format!("measured ________ {unit}"));
        wrapped(out, &format!("  {:<30} ", figure.name), &format!("{:<16} {blank}", figure.value));
    }
}

impl Sheet {
    /// The sheet as text of at most 80 columns, as far as names allow.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String cannot fail.
        let _ = self.write_head(&mut out);
        let _ = self.write_rows(&mut out);
        self.write_work(&mut out);
        out
    }

    fn write_head(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "{}\n{}", self.title, "=".repeat(self.title.chars().count()))?;
        let day = self.made_on.map_or_else(|| "__________".into(), |d| d.format("%A %-d %B %Y").to_string());
        writeln!(out, "Made on {day}   Batch number {}   Made by ____________", self.number())?;
        if !self.scaled.is_empty() {
            wrapped(out, "", &self.scaled);
        }
        for line in self.notes.lines() {
            wrapped(out, "", line);
        }
        for mind in &self.cautions {
            wrapped(out, &format!("{}: ", mind.level.word().to_uppercase()), &mind.text);
        }
        heading(out, "First aid");
        for line in self.first_aid() {
            wrapped(out, "  - ", line);
        }
        Ok(())
    }

    fn write_rows(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "\n{:<44}{:>12}   weighed", "To weigh", self.measures.mass.sign())?;
        for run in self.runs() {
            let Some(first) = run.first() else { continue };
            writeln!(out, " {}", first.vessel.words())?;
            for row in run {
                writeln!(out, "  [ ] {:<38}{:>12}   _________", row.name, self.shown(row))?;
                if !row.note.is_empty() {
                    wrapped(out, "        ", &row.note);
                }
            }
        }
        wrapped(out, "", &self.rounding_words);
        Ok(())
    }

    /// The Stops once more: paper parts from what was printed before it.
    fn write_stops(&self, out: &mut String) {
        for stop in self.stops() {
            out.push('\n');
            wrapped(out, "", &stop);
        }
    }

    fn write_work(&self, out: &mut String) {
        self.write_stops(out);
        for passage in &self.method {
            heading(out, passage.part.heading());
            for (i, step) in passage.steps.iter().enumerate() {
                wrapped(out, &format!("  {}. ", i + 1), &step.text);
            }
        }
        wrapped(out, "  ", TESTS_WORTH);
        figures(out, "Temperatures", &self.temperatures);
        figures(out, "The batch", &self.batch);
        if !self.times.is_empty() {
            heading(out, "Times");
            for time in &self.times {
                let what = format!("{}. {}", time.kind.title(), time.text);
                wrapped(out, &format!("  [ ] {:<23} ", time.words()), &what);
            }
        }
        if !self.blend.is_empty() {
            heading(out, "The blend");
            for fat in &self.blend {
                let _ = writeln!(out, "  {:<38}{:>10}", fat.name, fat.share);
            }
        }
        self.write_stops(out);
        heading(out, "Always");
        for line in ALWAYS {
            wrapped(out, "  - ", line);
        }
        heading(out, "If something goes wrong");
        for line in WRONG {
            wrapped(out, "  - ", line);
        }
        out.push('\n');
        wrapped(out, "", LEGEND);
        wrapped(out, "", NO_ADVICE);
    }

    /// The batch number, with room for a letter where it has none, or a blank.
    pub fn number(&self) -> String {
        let letter = if self.is_begun { "" } else { "_" };
        self.batch_number.as_ref().map_or_else(|| "__________".into(), |n| format!("{n}{letter}"))
    }
}
