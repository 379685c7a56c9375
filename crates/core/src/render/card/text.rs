//! The card as plain text.

use super::{CHECK_THE_LYE, Card, SAFETY, grams, ounces};
use crate::render::plain;
use crate::render::sheet::{TESTS_WORTH, wrapped};
use std::fmt::Write as _;

impl Card {
    /// The card as text of at most 80 columns, as far as names allow.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String cannot fail.
        let _ = self.write_recipe(&mut out);
        for passage in &self.method {
            let _ = writeln!(out, "\n{}", passage.heading);
            for (i, step) in passage.steps.iter().enumerate() {
                wrapped(&mut out, &format!("  {}. ", i + 1), step);
            }
        }
        wrapped(&mut out, "  ", TESTS_WORTH);
        out.push_str("\nSafety\n");
        for line in SAFETY {
            wrapped(&mut out, "  - ", line);
        }
        plain(&out)
    }

    fn write_recipe(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "{}\n{}", self.title, "=".repeat(self.title.chars().count()))?;
        for stop in &self.stops {
            wrapped(out, "STOP: ", stop);
        }
        for (name, words) in self.facts() {
            wrapped(out, &format!("{:<7}", format!("{name}:")), words);
        }
        out.push('\n');
        wrapped(out, "", CHECK_THE_LYE);
        writeln!(out, "\n{:<44}{:>12}{:>12}{:>10}", "To weigh", "g", "oz", "% of all")?;
        for run in self.runs() {
            let Some(first) = run.first() else { continue };
            writeln!(out, " {}", first.vessel.words())?;
            for line in run {
                writeln!(out, "  {:<42}{:>12}{:>12}{:>10}", line.name, line.grams(), line.ounces(), line.percents())?;
            }
        }
        writeln!(out, " {:<43}{:>12}{:>12}{:>10}", "Together", grams(self.all()), ounces(self.all()), "")
    }
}
