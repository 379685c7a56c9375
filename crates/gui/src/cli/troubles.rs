//! What can be seen in a bar, from the command line.

use super::CliError;
use crate::files;
use barwright_core::quantities::About;
use barwright_core::render::report::{troubles_json, troubles_text};
use barwright_core::{Design, Evaluation, Library, evaluate, troubles};
use clap::Args;
use std::io::Write;
use std::path::PathBuf;

/// What the command takes.
#[derive(Debug, Args)]
pub(super) struct TroublesArguments {
    /// The design whose numbers say which causes are likely; without it causes stand in their usual order.
    file: Option<PathBuf>,
    /// Only what is called or seen like this, as soda-ash or "white film".
    #[arg(long, value_name = "NAME")]
    fault: Option<String>,
    /// As JSON.
    #[arg(long)]
    json: bool,
}

/// Carries out the command.
pub(super) fn run(arguments: &TroublesArguments, library: &Library, out: &mut impl Write) -> Result<(), CliError> {
    let load = |path: &PathBuf| files::load(path, library).map(|(design, _)| design);
    let design: Option<Design> = arguments.file.as_ref().map(load).transpose()?;
    let evaluation: Option<Evaluation> = design.as_ref().map(|design| evaluate(design, library));
    let about = design.as_ref().zip(evaluation.as_ref());
    let about = about.map(|(design, evaluation)| About::new(design, evaluation, library));
    let mut found = troubles::of(about);
    if let Some(fault) = &arguments.fault {
        found = found.named(fault);
        // No name is not the name of all.
        if found.each.is_empty() || fault.trim().is_empty() {
            return Err(CliError::NoSuchFault(fault.clone()));
        }
    }
    if arguments.json {
        writeln!(out, "{}", troubles_json(&found, about)?)?;
    } else {
        write!(out, "{}", troubles_text(&found, about))?;
    }
    Ok(())
}

/// The names of all faults, in a run.
pub(super) fn names() -> String {
    troubles::faults().map(|fault| fault.code).collect::<Vec<_>>().join(", ")
}
