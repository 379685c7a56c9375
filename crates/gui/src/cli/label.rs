//! The label from the command line: as text, or as pages to print.

use super::output::{self, PaperArgument};
use super::{CliError, WITHHELD, complain};
use crate::files;
use barwright_core::bench::label::{ListStyle, Region};
use barwright_core::bench::schedule::{self, NaiveDate};
use barwright_core::cautions::NoStop;
use barwright_core::render::pages::{Kind, Options, PieceSize, page};
use barwright_core::render::report;
use barwright_core::{Library, evaluate};
use clap::{Args, ValueEnum};
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

/// What the command takes.
#[derive(Debug, Args)]
pub(super) struct LabelArguments {
    /// The design.
    file: PathBuf,
    /// Instead a page to print, as HTML.
    #[arg(long, value_enum, value_name = "WHICH")]
    pages: Option<PagesArgument>,
    /// Where to write it; printed if not said, or if it is “-”.
    #[arg(short, long, value_name = "OUT")]
    output: Option<PathBuf>,
    /// Width and height of a label, mm.
    #[arg(long, value_name = "MMxMM", default_value = "70x60", requires = "pages")]
    size: PieceSize,
    /// The paper of the page.
    #[arg(long, value_enum, default_value = "a4", requires = "pages")]
    paper: PaperArgument,
    /// The day of making for this page, such as 2026-03-14, if not that of the design.
    #[arg(long, value_name = "DAY", value_parser = schedule::day, requires = "pages")]
    start: Option<NaiveDate>,
    /// Which list of ingredients is printed.
    #[arg(long, value_enum, default_value = "put-in", requires = "pages")]
    list: ListArgument,
    /// Where the bars are sold, which decides some of the names.
    #[arg(long, value_enum, default_value = "eu-uk", requires = "pages")]
    region: RegionArgument,
}

/// A page on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum PagesArgument {
    /// Labels for bars.
    Labels,
    /// Gift tags.
    Tags,
    /// Cards that lie on bars while they cure.
    Curing,
}

/// A list of ingredients on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum ListArgument {
    PutIn,
    InTheBar,
}

/// A region on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum RegionArgument {
    EuUk,
    Us,
}

/// Writes it; a page that is withheld gives exit 3 and its reason on `err`.
pub(super) fn run(
    arguments: &LabelArguments,
    library: &Library,
    out: &mut impl Write,
    err: &mut impl Write,
) -> Result<ExitCode, CliError> {
    let (mut design, _) = files::load(&arguments.file, library)?;
    if let Some(day) = arguments.start {
        design.process.made_on = Some(day.to_string());
    }
    let evaluation = evaluate(&design, library);
    let kind = match arguments.pages {
        None => {
            let text = report::label_text(&design, &evaluation, library);
            output::write(arguments.output.as_deref(), &text, out)?;
            return match NoStop::of(&design, &evaluation, library) {
                Ok(_) => Ok(ExitCode::SUCCESS),
                Err(stopped) => {
                    complain(err, &stopped);
                    Ok(ExitCode::from(WITHHELD))
                }
            };
        }
        Some(PagesArgument::Labels) => Kind::Labels(arguments.size),
        Some(PagesArgument::Tags) => Kind::Tags,
        Some(PagesArgument::Curing) => Kind::Curing,
    };
    let options = Options {
        paper: arguments.paper.into(),
        style: match arguments.list {
            ListArgument::PutIn => ListStyle::AsPutIn,
            ListArgument::InTheBar => ListStyle::AsInTheBar,
        },
        region: match arguments.region {
            RegionArgument::EuUk => Region::EuUk,
            RegionArgument::Us => Region::Us,
        },
    };
    match page(kind, &design, &evaluation, library, options) {
        Ok(page) => {
            output::write(arguments.output.as_deref(), &page, out)?;
            Ok(ExitCode::SUCCESS)
        }
        Err(withheld) => {
            writeln!(err, "barwright: {withheld}")?;
            Ok(ExitCode::from(WITHHELD))
        }
    }
}
