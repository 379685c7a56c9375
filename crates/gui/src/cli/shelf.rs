//! The shelf from the command line.

use super::output::UnitsArgument;
use super::{CliError, output};
use crate::clock;
use crate::files::{self, FileError};
use crate::shelf::{self, ShelfKeeper};
use barwright_core::Library;
use barwright_core::design::document::MOST_BYTES;
use barwright_core::design::shelf::{ShelfEdit, csv};
use barwright_core::render::{
    self,
    shelf::trace::{self, Telling},
};
use barwright_core::units::Measures;
use clap::{Args, Subcommand};
use std::io::Write;
use std::path::{Path, PathBuf};

/// What the command takes.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct ShelfArguments {
    #[command(subcommand)]
    command: Option<Doing>,
    /// As JSON, unrounded.
    #[arg(long)]
    json: bool,
    /// The folder in which the shelf is kept, if not the usual one.
    #[arg(long, value_name = "FOLDER", global = true)]
    folder: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
enum Doing {
    /// Puts the lots of a CSV table on the shelf: all of them, or none if a line is wrong.
    Import {
        /// The table; its first line holds the headings.
        file: PathBuf,
        /// Only tells what would be taken.
        #[arg(long)]
        dry_run: bool,
    },
    /// Writes the lots as a CSV table.
    Export {
        /// Where to write it; “-” prints it.
        file: PathBuf,
    },
    /// Tells which batches a lot went into and to whom their bars went, or the same back from a batch or a person.
    Trace {
        /// A lot’s number on the shelf (L12) or the supplier’s number of it, a batch (2026-03-07A), or a part of a name.
        of: String,
        /// Units of masses.
        #[arg(long, value_enum, default_value_t = UnitsArgument::Metric)]
        units: UnitsArgument,
    },
}

/// Carries it out.
pub(super) fn run(arguments: &ShelfArguments, library: &Library, out: &mut impl Write) -> Result<(), CliError> {
    // Who only looks makes no folder.
    let only_looks = !matches!(arguments.command, Some(Doing::Import { dry_run: false, .. }));
    if let Some(path) = arguments.folder.as_ref().filter(|_| only_looks)
        && let Err(error) = std::fs::read_dir(path)
    {
        return Err(CliError::Folder { path: path.clone(), error });
    }
    let folder = arguments.folder.clone().or_else(shelf::folder);
    let mut keeper = ShelfKeeper::open(folder.as_deref(), library);
    if let Some(error @ shelf::KeepError::Unreadable(_)) = keeper.refusal() {
        return Err(error.into());
    }
    match &arguments.command {
        None if arguments.json => writeln!(out, "{}", render::shelf::shelf_json(keeper.shelf(), library)?)?,
        None => write!(out, "{}", render::shelf::shelf_text(keeper.shelf(), library))?,
        Some(Doing::Import { file, dry_run }) => import(file, *dry_run, &mut keeper, library, out)?,
        Some(Doing::Export { file }) => {
            let table = csv::write(keeper.shelf()).map_err(|e| CliError::Csv(e.to_string()))?;
            output::write(Some(file), &table, out)?;
        }
        Some(Doing::Trace { of, units }) => {
            let trace = keeper.shelf().trace(of).ok_or_else(|| CliError::NotOnTheShelf(of.clone()))?;
            let telling = Telling { asked: of, on: clock::today(), unit: Measures::from(*units).mass };
            write!(out, "{}", trace::text(&trace, telling, (keeper.shelf(), library)))?;
        }
    }
    Ok(())
}

fn import(
    file: &Path,
    dry_run: bool,
    keeper: &mut ShelfKeeper,
    library: &Library,
    out: &mut impl Write,
) -> Result<(), CliError> {
    let bytes =
        files::read_bounded(file, MOST_BYTES).map_err(|error| FileError::Read { path: file.to_owned(), error })?;
    let preview = csv::read(&bytes, None, library)?;
    let wrong: Vec<String> = preview.errors().map(ToString::to_string).collect();
    for error in &wrong {
        writeln!(out, "{error}")?;
    }
    let lots = preview.lots();
    if dry_run {
        writeln!(out, "{} lots would be taken, {} lines are wrong", lots.len(), wrong.len())?;
        return Ok(());
    }
    if !wrong.is_empty() {
        return Err(CliError::WrongLines(wrong.len()));
    }
    let many = lots.len();
    keeper.change(vec![ShelfEdit::PutAll(lots)], library)?;
    writeln!(out, "{many} lots are on the shelf now")?;
    Ok(())
}
