//! The designs of a folder, from the command line.

use super::{CliError, complain};
use crate::folder::{self, MOST_FILES};
use barwright_core::Library;
use barwright_core::render::report::{folder_line, folder_text};
use clap::Args;
use std::io::Write;
use std::path::PathBuf;

/// What the command takes.
#[derive(Debug, Args)]
pub(super) struct FolderArguments {
    /// The folder; folders within it are not looked into.
    folder: PathBuf,
    /// As JSON, unrounded: an object a line.
    #[arg(long)]
    json: bool,
}

/// Carries out the command.
pub(super) fn run(
    arguments: &FolderArguments,
    library: &Library,
    out: &mut impl Write,
    err: &mut impl Write,
) -> Result<(), CliError> {
    let failed = |error| CliError::Folder { path: arguments.folder.clone(), error };
    let (listed, more) = folder::read_all(&arguments.folder, library).map_err(failed)?;
    if arguments.json {
        for one in &listed {
            writeln!(out, "{}", folder_line(one)?)?;
        }
    } else {
        write!(out, "{}", folder_text(&listed))?;
    }
    if more {
        complain(err, &format_args!("there are more than {MOST_FILES} designs; the others are not listed"));
    }
    Ok(())
}
