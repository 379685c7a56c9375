//! The card as Markdown, with a table as GitHub and others read it.

use super::{CHECK_THE_LYE, Card, SAFETY, grams, ounces};
use crate::render::sheet::TESTS_WORTH;
use std::fmt::Write as _;

/// `text` so that Markdown shows it as it is: any ASCII punctuation may have a backslash before it (`CommonMark`,
/// 2.4 Backslash escapes).
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(c, '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '&' | '!' | '$') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

impl Card {
    /// The card as Markdown.
    pub fn markdown(&self) -> String {
        let mut out = String::new();
        // Writing to a String cannot fail.
        let _ = self.write_markdown(&mut out);
        out
    }

    fn write_markdown(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "# {}\n", escaped(&self.title))?;
        for stop in &self.stops {
            writeln!(out, "> **STOP: {}**\n", escaped(stop))?;
        }
        for (name, words) in self.facts() {
            writeln!(out, "- **{name}:** {}", escaped(words))?;
        }
        writeln!(out, "\n**{}**", escaped(CHECK_THE_LYE))?;
        writeln!(out, "\n| To weigh | Where | g | oz | % of all |\n|---|---|---:|---:|---:|")?;
        for line in &self.lines {
            let (name, vessel) = (escaped(&line.name), escaped(line.vessel.words()));
            writeln!(out, "| {name} | {vessel} | {} | {} | {} |", line.grams(), line.ounces(), line.percents())?;
        }
        writeln!(out, "| **Together** |  | {} | {} |  |", grams(self.all()), ounces(self.all()))?;
        for passage in &self.method {
            writeln!(out, "\n## {}\n", passage.heading)?;
            for (i, step) in passage.steps.iter().enumerate() {
                writeln!(out, "{}. {}", i + 1, escaped(step))?;
            }
        }
        writeln!(out, "\n**{}**", escaped(TESTS_WORTH))?;
        writeln!(out, "\n## Safety\n")?;
        for line in SAFETY {
            writeln!(out, "- {}", escaped(line))?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_cannot_become_markup() {
        assert_eq!(escaped("<b>|*a*|</b> [x](y)"), "\\<b\\>\\|\\*a\\*\\|\\</b\\> \\[x\\](y)");
    }
}
