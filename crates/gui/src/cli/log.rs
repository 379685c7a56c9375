//! The batches of a design from the command line.

use super::{CliError, output};
use crate::files;
use barwright_core::Library;
use barwright_core::bench::record::Record;
use barwright_core::design::log::BatchCode;
use barwright_core::render::record;
use barwright_core::units::Measures;
use clap::{Args, ValueEnum};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::PathBuf;

/// What the command takes.
#[derive(Debug, Args)]
pub(super) struct LogArguments {
    /// The design.
    file: PathBuf,
    /// As JSON, unrounded.
    #[arg(long)]
    json: bool,
    /// Instead a page of one batch, as HTML.
    #[arg(long, value_enum, value_name = "WHICH", requires = "batch", conflicts_with = "json")]
    page: Option<PageArgument>,
    /// Which batch, such as 2026-11-28A.
    #[arg(long, value_name = "CODE", value_parser = code)]
    batch: Option<BatchCode>,
    /// Where to write it; printed if not said, or if it is “-”.
    #[arg(short, long, value_name = "OUT")]
    output: Option<PathBuf>,
    /// The paper of the page.
    #[arg(long, value_enum, default_value = "a4", requires = "page")]
    paper: output::PaperArgument,
    /// The units of the page.
    #[arg(long, value_enum, default_value = "metric", requires = "page")]
    units: output::UnitsArgument,
}

/// A page of a batch on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum PageArgument {
    /// To fill in by hand.
    Form,
    /// With all that is written down.
    Record,
}

fn code(text: &str) -> Result<BatchCode, String> {
    BatchCode::try_from(text.to_owned()).map_err(|e| e.to_string())
}

/// Writes it.
pub(super) fn run(arguments: &LogArguments, library: &Library, out: &mut impl Write) -> Result<(), CliError> {
    let (document, _) = files::open(&arguments.file, library)?;
    let text = match (arguments.page, arguments.batch) {
        (Some(page), Some(code)) => {
            let batch = document.log.batch(&code).ok_or(CliError::NoBatch(code))?;
            let measures: Measures = arguments.units.into();
            let record = Record::of(batch, &BTreeMap::new(), library, measures);
            match page {
                PageArgument::Form => record::empty(batch, &record, measures, arguments.paper.into()),
                PageArgument::Record => record::filled(batch, &record, measures, arguments.paper.into()),
            }
        }
        _ if arguments.json => record::log_json(&document.log, library)? + "\n",
        _ => record::log_text(&document.log, library),
    };
    output::write(arguments.output.as_deref(), &text, out)
}
