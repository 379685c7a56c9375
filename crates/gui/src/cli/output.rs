//! Where the text of a command goes, and what paper it is for.

use super::CliError;
use crate::files;
use barwright_core::bench::label::Region;
use barwright_core::render::sheet::Paper;
use barwright_core::units::Measures;
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

/// Units on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum UnitsArgument {
    Metric,
    Us,
}

impl UnitsArgument {
    /// Where dates are written as those who use these units write them.
    pub(super) const fn region(self) -> Region {
        match self {
            Self::Metric => Region::EuUk,
            Self::Us => Region::Us,
        }
    }
}

impl From<UnitsArgument> for Measures {
    fn from(units: UnitsArgument) -> Self {
        match units {
            UnitsArgument::Metric => Self::METRIC,
            UnitsArgument::Us => Self::US,
        }
    }
}

/// Writes `content` to `path`, or to `out` if there is none or it is “-”.
pub(super) fn write(path: Option<&Path>, content: &str, out: &mut impl Write) -> Result<(), CliError> {
    match path.filter(|path| path.as_os_str() != "-") {
        Some(path) => Ok(files::write_output(path, content.as_bytes())?),
        None => Ok(out.write_all(content.as_bytes())?),
    }
}
