//! Where the text of a command goes, and what paper it is for.

use super::CliError;
use crate::files::{self, FileError};
use barwright_core::design::document::EXTENSION;
use barwright_core::render::sheet::Paper;
use clap::ValueEnum;
use std::io::Write;
use std::path::Path;

/// A paper on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum PaperArgument {
    A4,
    Letter,
}

impl From<PaperArgument> for Paper {
    fn from(paper: PaperArgument) -> Self {
        match paper {
            PaperArgument::A4 => Self::A4,
            PaperArgument::Letter => Self::Letter,
        }
    }
}

/// Writes `content` to `path`, or to `out` if there is none or it is “-”. Never over `design`, however the path is
/// written, nor over another design.
pub(super) fn write(path: Option<&Path>, design: &Path, content: &str, out: &mut impl Write) -> Result<(), CliError> {
    let is_design = |path: &Path| path.exists() && path.extension().is_some_and(|e| e.eq_ignore_ascii_case(EXTENSION));
    match path.filter(|path| path.as_os_str() != "-") {
        Some(path) if files::is_same(path, design) || is_design(path) => Err(CliError::OverDesign),
        Some(path) => files::write_safely(path, content.as_bytes())
            .map_err(|error| FileError::Write { path: path.to_owned(), error }.into()),
        None => Ok(out.write_all(content.as_bytes())?),
    }
}
