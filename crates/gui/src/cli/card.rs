//! The recipe card from the command line.

use super::CliError;
use super::output::{self, PaperArgument, UnitsArgument};
use crate::files;
use barwright_core::render::card::Card;
use barwright_core::{Library, evaluate};
use clap::Args;
use std::io::Write;
use std::path::PathBuf;

/// What the command takes.
#[derive(Debug, Args)]
pub(super) struct CardArguments {
    /// The design.
    file: PathBuf,
    /// Where to write it; printed if not said, or if it is “-”.
    #[arg(short, long, value_name = "OUT")]
    output: Option<PathBuf>,
    /// As plain text.
    #[arg(long, group = "form")]
    text: bool,
    /// As Markdown.
    #[arg(long, group = "form")]
    markdown: bool,
    /// As a piece of HTML to paste into a page.
    #[arg(long, group = "form")]
    fragment: bool,
    /// The paper that the whole page is for.
    #[arg(long, value_enum, default_value = "a4")]
    paper: PaperArgument,
    /// The units of temperatures and lengths; weights are in grams and ounces.
    #[arg(long, value_enum, default_value = "metric")]
    units: UnitsArgument,
}

/// Writes the card; Stops are told on `err` too.
pub(super) fn run(
    arguments: &CardArguments,
    library: &Library,
    out: &mut impl Write,
    err: &mut impl Write,
) -> Result<(), CliError> {
    let (design, _) = files::load(&arguments.file, library)?;
    let card = Card::of(&design, &evaluate(&design, library), library, arguments.units.into());
    let content = match arguments {
        CardArguments { text: true, .. } => card.text(),
        CardArguments { markdown: true, .. } => card.markdown(),
        CardArguments { fragment: true, .. } => card.fragment(),
        _ => card.html(arguments.paper.into()),
    };
    for stop in &card.stops {
        writeln!(err, "barwright: STOP: {stop}")?;
    }
    output::write(arguments.output.as_deref(), &content, out)
}
