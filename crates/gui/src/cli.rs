//! The command line: the window, and everything that works without one.

mod card;
mod find;
mod folder;
mod label;
mod log;
mod output;
mod sheet;
mod shelf;
mod troubles;

use crate::{app, desktop, examples, files};
use barwright_core::bench::day;
use barwright_core::design::log::BatchCode;
use barwright_core::design::shelf::csv::TableError;
use barwright_core::explain;
use barwright_core::explain::Why;
use barwright_core::explain::compare;
use barwright_core::quantities::{self, UnknownKey};
use barwright_core::render::{plain_line, report};
use barwright_core::units::Measures;
use barwright_core::{Design, Library, evaluate};
use clap::{CommandFactory, Parser, Subcommand};
use std::ffi::OsString;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Designs cold-process bar soap: lye, water and the bar's properties, live.
#[derive(Debug, Parser)]
#[command(name = "barwright", version, args_conflicts_with_subcommands = true)]
struct Arguments {
    #[command(subcommand)]
    command: Option<Headless>,
    /// Designs to open in the window.
    files: Vec<PathBuf>,
    /// Puts this program into the menu of your Linux or BSD desktop, with its icon and the kind of its files, for you
    /// alone.
    #[arg(long, conflicts_with = "files")]
    install_desktop: bool,
    /// Takes it out of the menu again.
    #[arg(long, conflicts_with_all = ["files", "install_desktop"])]
    uninstall_desktop: bool,
}

#[derive(Debug, Subcommand)]
enum Headless {
    /// Prints every number of a design.
    Report {
        /// The design.
        file: PathBuf,
        /// As JSON, unrounded.
        #[arg(long)]
        json: bool,
        /// Instead explains one number, by its section and key in the JSON with a point between them.
        #[arg(long, value_name = "KEY", conflicts_with = "json")]
        why: Option<String>,
    },
    /// Looks for the best blend of all fats.
    Find(Box<find::FindArguments>),
    /// Prints what goes on the label: both ingredient lists, allergens, weight at sale, checklists; or pages of labels,
    /// gift tags and cards for the cure.
    Label(label::LabelArguments),
    /// Prints the recipe card, to share or to put on a web page: a whole page, a piece of one, Markdown or text.
    Card(card::CardArguments),
    /// Prints the bench sheet: what to weigh and how to make it, as HTML for paper and phone.
    Sheet(sheet::SheetArguments),
    /// Prints two to four designs side by side with what differs from the first.
    Compare {
        /// The designs.
        #[arg(required = true, num_args = 2..=compare::MOST_SIDES)]
        files: Vec<PathBuf>,
        /// As JSON, unrounded: the reports and the differences.
        #[arg(long)]
        json: bool,
        /// Instead explains how far a number of the last design lies above that of the first, by its key in the JSON.
        #[arg(long, value_name = "KEY", conflicts_with = "json")]
        why: Option<String>,
    },
    /// Prints the library of fats with published ranges and calculated values.
    Fats {
        /// As JSON, with sources and profiles.
        #[arg(long)]
        json: bool,
    },
    /// Prints the library of additions with what they hold.
    Additions,
    /// Prints the library of scents.
    Scents,
    /// Prints the batches made of a design: the superfat that really resulted, their state, what was written down; or a
    /// page of one of them.
    Log(log::LogArguments),
    /// Prints what is on the shelf, takes lots from a table, or traces where a lot went.
    Shelf(shelf::ShelfArguments),
    /// Prints the designs of a folder, a line each: style, scores, superfat, bars, cost, Stops.
    Folder(folder::FolderArguments),
    /// Prints what is seen in a bar that looks wrong, and what it means.
    Troubles(troubles::TroublesArguments),
}

/// Why a command could not be carried out; printed on one line, exit 2, or 3 for what is withheld.
#[derive(Debug, thiserror::Error)]
enum CliError {
    #[error(transparent)]
    File(#[from] files::FileError),
    #[error(transparent)]
    Why(#[from] explain::WhyError),
    #[error(transparent)]
    NoSuchNumber(#[from] quantities::UnknownSearchKey),
    #[error(transparent)]
    Unwanted(#[from] find::Unwanted),
    #[error(transparent)]
    Find(#[from] barwright_core::find::FindError),
    #[error(transparent)]
    Scale(#[from] barwright_core::design::scale::ScaleError),
    #[error("no difference: of “{name}”, {error}")]
    NotOfBoth { name: String, error: explain::WhyError },
    #[error("{0} is not comparable, such as money in two currencies")]
    NoDifference(String),
    #[error("nothing that is seen is called “{0}”; choose one of {names}", names = troubles::names())]
    NoSuchFault(String),
    #[error(
        "there is no file {typed} and no such command; did you mean `barwright {command}`? `barwright --help` lists all"
    )]
    NoSuchCommand { typed: String, command: String },
    #[error(transparent)]
    NoDay(#[from] day::NoDay),
    #[error("there is no batch {0} in that design; `barwright log FILE` lists them")]
    NoBatch(BatchCode),
    #[error(
        "nothing on the shelf is called “{0}”: no lot, no batch, and nobody who had bars; `barwright shelf` lists them"
    )]
    NotOnTheShelf(String),
    #[error("{0} lines of the table are wrong, so nothing was taken: mend them, or try with --dry-run")]
    WrongLines(usize),
    #[error(transparent)]
    Table(#[from] TableError),
    #[error(transparent)]
    Shelf(#[from] crate::shelf::KeepError),
    #[error("the folder {path} could not be read: {error}", path = path.display())]
    Folder { path: PathBuf, error: std::io::Error },
    #[error(transparent)]
    Desktop(#[from] desktop::DesktopError),
    #[error("the CSV could not be written: {0}")]
    Csv(String),
    #[error("the built-in tables cannot be used: {0}")]
    Library(#[from] barwright_core::library::LibraryError),
    #[error("the built-in starter design cannot be used: {0}")]
    Starter(#[from] barwright_core::design::document::DocumentError),
    #[error("the JSON could not be written: {0}")]
    Json(#[from] serde_json::Error),
    #[error("the output could not be written: {0}")]
    Output(#[from] std::io::Error),
}

impl CliError {
    /// Whether a Stop holds back what was asked for.
    const fn is_withheld(&self) -> bool {
        matches!(
            self,
            Self::Why(explain::WhyError::UnknownKey(UnknownKey::Withheld { .. }))
                | Self::NotOfBoth { error: explain::WhyError::UnknownKey(UnknownKey::Withheld { .. }), .. }
        )
    }
}

/// Exit code of a search that finds that nothing fits.
const NOTHING_FITS: u8 = 3;
/// Exit code of a label, as text, as a page or a number of it, that is withheld.
const WITHHELD: u8 = 3;

/// Runs the program with the arguments of this process.
pub fn main() -> ExitCode {
    run(std::env::args_os(), &mut std::io::stdout().lock(), &mut std::io::stderr().lock())
}

/// Runs the program with `arguments` (the program's name first), printing to `out` and `err`.
/// Exit 0, 2 for what cannot be read or done, or 3 when a search finds that nothing fits or a Stop withholds a label,
/// a page or a number.
pub fn run(arguments: impl IntoIterator<Item = OsString>, out: &mut impl Write, err: &mut impl Write) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(help) => {
            // A closed pipe is nothing to complain of.
            let _ = if help.use_stderr() { write!(err, "{help}") } else { write!(out, "{help}") };
            return ExitCode::from(u8::try_from(help.exit_code()).unwrap_or(2));
        }
    };
    match carry_out(arguments, out, err) {
        Ok(code) => code,
        Err(CliError::Output(error)) if error.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(error) => {
            complain(err, &error);
            ExitCode::from(if error.is_withheld() { WITHHELD } else { 2 })
        }
    }
}

/// Says `what` in one line. A file can put anything into a message; it cannot steer a terminal.
fn complain(err: &mut impl Write, what: &dyn std::fmt::Display) {
    let line = plain_line(&what.to_string());
    // There is nowhere else to say that it could not be said.
    let _ = writeln!(err, "barwright: {line}");
}

fn carry_out(arguments: Arguments, out: &mut impl Write, err: &mut impl Write) -> Result<ExitCode, CliError> {
    let library = Library::embedded()?;
    match arguments.command {
        Some(Headless::Report { file, why: Some(key), .. }) => {
            let (design, _) = files::load(&file, &library)?;
            let why = explain::why(&key, &design, &evaluate(&design, &library), &library)?;
            write!(out, "{}", why.text())?;
        }
        Some(Headless::Report { file, json: true, .. }) => {
            let (design, _) = files::load(&file, &library)?;
            let evaluation = evaluate(&design, &library);
            writeln!(out, "{}", report::Report::new(&design, &evaluation, &library).json()?)?;
        }
        Some(Headless::Report { file, .. }) => print_report(&files::load(&file, &library)?.0, &library, out)?,
        Some(Headless::Find(arguments)) => return find::run(&arguments, &library, out),
        Some(Headless::Card(arguments)) => card::run(&arguments, &library, out, err)?,
        Some(Headless::Sheet(arguments)) => sheet::run(&arguments, &library, out, err)?,
        Some(Headless::Label(arguments)) => return label::run(&arguments, &library, out, err),
        Some(Headless::Compare { files, json, why }) => print_comparison(&files, json, why.as_deref(), &library, out)?,
        Some(Headless::Fats { json: true }) => writeln!(out, "{}", report::fats_json(&library)?)?,
        Some(Headless::Fats { json: false }) => write!(out, "{}", report::fats_text(&library))?,
        Some(Headless::Additions) => write!(out, "{}", report::additions_text(&library))?,
        Some(Headless::Scents) => write!(out, "{}", report::scents_text(&library))?,
        Some(Headless::Log(arguments)) => log::run(&arguments, &library, out)?,
        Some(Headless::Shelf(arguments)) => shelf::run(&arguments, &library, out)?,
        Some(Headless::Folder(arguments)) => folder::run(&arguments, &library, out, err)?,
        Some(Headless::Troubles(arguments)) => troubles::run(&arguments, &library, out)?,
        None if arguments.install_desktop => install_desktop(out)?,
        None if arguments.uninstall_desktop => uninstall_desktop(out)?,
        None => {
            if let Some(meant) = misspelt(&arguments.files) {
                return Err(meant);
            }
            window(&library, &arguments.files, out, err)?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// What was meant by the first of `files`, if that is no file and nearly called like a command.
fn misspelt(files: &[PathBuf]) -> Option<CliError> {
    /// So many letters may be wrong.
    const MOST_WRONG: usize = 2;
    let first = files.first().filter(|path| !path.exists())?;
    let typed = first.to_str().filter(|typed| typed.chars().all(char::is_alphabetic))?;
    let commands = Arguments::command();
    let off = |name: &str| strsim::osa_distance(&typed.to_lowercase(), name);
    let nearest = commands.get_subcommands().map(|command| (off(command.get_name()), command.get_name())).min()?;
    (nearest.0 <= MOST_WRONG)
        .then(|| CliError::NoSuchCommand { typed: typed.to_owned(), command: nearest.1.to_owned() })
}

fn print_comparison(
    files: &[PathBuf],
    json: bool,
    why: Option<&str>,
    library: &Library,
    out: &mut impl Write,
) -> Result<(), CliError> {
    let load = |path: &PathBuf| files::load(path, library).map(|(design, _)| design);
    let designs: Vec<Design> = files.iter().map(load).collect::<Result<_, _>>()?;
    let evaluations: Vec<_> = designs.iter().map(|design| evaluate(design, library)).collect();
    let sides = designs.iter().zip(&evaluations).map(|(design, evaluation)| compare::Side { design, evaluation });
    let sides: Vec<_> = sides.collect();
    if let Some(key) = why {
        write!(out, "{}", difference(key, &sides, library)?.text())?;
    } else if json {
        writeln!(out, "{}", report::compare_json(&sides, library)?)?;
    } else {
        write!(out, "{}", report::compare_text(&sides, library))?;
    }
    Ok(())
}

/// Why the last of `sides` differs from the first in `key`.
fn difference(key: &str, sides: &[compare::Side<'_>], library: &Library) -> Result<Why, CliError> {
    let last = sides.len().saturating_sub(1);
    let groups = compare::compare(sides, Measures::METRIC, library);
    let rows = || groups.iter().flat_map(|g| &g.rows);
    if key == "acids_pct" {
        return explain::shared_acids(last, sides, library).ok_or_else(|| CliError::NoDifference(key.into()));
    }
    let of_table = rows().find(|row| row.key == key).cloned();
    let row = of_table.or_else(|| explain::compared(key, sides, library));
    if let Some(found) = row.and_then(|row| explain::difference(&row, last, sides, Measures::METRIC, library)) {
        return Ok(found);
    }
    // Which of the two has no such number, and why.
    for side in [sides.first(), sides.last()].into_iter().flatten() {
        if let Err(error) = explain::why(key, side.design, side.evaluation, library) {
            return Err(CliError::NotOfBoth { name: side.design.name.clone(), error });
        }
    }
    Err(CliError::NoDifference(key.into()))
}

fn print_report(design: &Design, library: &Library, out: &mut impl Write) -> std::io::Result<()> {
    write!(out, "{}", report::text(design, &evaluate(design, library), library))
}

fn install_desktop(out: &mut impl Write) -> Result<(), CliError> {
    let data = desktop::data_folder()?;
    let program = std::env::current_exe().map_err(desktop::DesktopError::NoProgram)?;
    print_changed(&desktop::install(&data, &program)?, "Wrote", out)?;
    for tool in desktop::refresh(&data) {
        writeln!(out, "{tool} is not there or failed; without it the desktop may not know designs by their icon.")?;
    }
    writeln!(
        out,
        "The menu starts {}; after moving the program, do this again. --uninstall-desktop takes it out.",
        plain_line(&program.display().to_string())
    )?;
    Ok(())
}

fn uninstall_desktop(out: &mut impl Write) -> Result<(), CliError> {
    let data = desktop::data_folder()?;
    let removed = desktop::remove(&data)?;
    if removed.is_empty() {
        writeln!(out, "Barwright was not in your menu; nothing was changed.")?;
    } else {
        print_changed(&removed, "Removed", out)?;
        // What a missing tool leaves undone, it will do the next time it runs.
        desktop::refresh(&data);
    }
    Ok(())
}

fn print_changed(paths: &[PathBuf], what: &str, out: &mut impl Write) -> std::io::Result<()> {
    paths.iter().try_for_each(|path| writeln!(out, "{what} {}", plain_line(&path.display().to_string())))
}

/// Opens the window; where there is no display, prints what it would show and how to get one.
fn window(library: &Library, paths: &[PathBuf], out: &mut impl Write, err: &mut impl Write) -> Result<(), CliError> {
    if has_display() {
        match app::start(library.clone(), paths) {
            Ok(()) => return Ok(()),
            Err(error) => {
                writeln!(err, "barwright: the window could not be opened: {error}")?;
                #[cfg(windows)]
                tell_in_a_box(&error);
            }
        }
    }
    let designs: Vec<Design> = if paths.is_empty() {
        vec![examples::STARTER.design(library)?]
    } else {
        let load = |path: &PathBuf| files::load(Path::new(path), library).map(|(design, _)| design);
        paths.iter().map(load).collect::<Result<_, _>>()?
    };
    for design in &designs {
        print_report(design, library, out)?;
    }
    writeln!(
        out,
        "\nNo window could be opened here, so this is the report. To open the window, run barwright in a\n\
         desktop session, or over ssh with X forwarding (ssh -X)."
    )?;
    Ok(())
}

/// Says why there is no window to who started the program by a click, and so sees nothing that is printed.
#[cfg(windows)]
fn tell_in_a_box(error: &eframe::Error) {
    use std::io::IsTerminal;
    if std::io::stderr().is_terminal() {
        return;
    }
    let text = format!(
        "The window could not be opened: {error}\n\nBarwright draws with OpenGL 2.1 or later. Install the graphics \
         driver of this computer’s maker; a remote desktop or a virtual machine may offer none. Nothing was changed."
    );
    let dialog = rfd::MessageDialog::new().set_level(rfd::MessageLevel::Error).set_title("Barwright");
    dialog.set_description(text).show();
}

#[cfg(all(unix, not(target_os = "macos")))]
fn has_display() -> bool {
    ["WAYLAND_DISPLAY", "WAYLAND_SOCKET", "DISPLAY"].iter().any(|v| std::env::var_os(v).is_some_and(|d| !d.is_empty()))
}

#[cfg(not(all(unix, not(target_os = "macos"))))]
fn has_display() -> bool {
    true
}
