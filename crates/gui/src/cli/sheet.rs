//! The bench sheet from the command line.

use super::output::{self, PaperArgument, UnitsArgument};
use super::{CliError, complain};
use crate::{clock, files};
use barwright_core::bench::day;
use barwright_core::chemistry::scale::Scale;
use barwright_core::design::blend::FatLine;
use barwright_core::design::mould::{Cuboid, Mould};
use barwright_core::design::scale::ScaleError;
use barwright_core::number;
use barwright_core::render::sheet::{Options, Sheet};
use barwright_core::units::{Bars, FatMass, Fill, LengthUnit, MassUnit, Millimetres, Multiple};
use barwright_core::{Design, Library, evaluate};
use clap::Args;
use std::io::Write;
use std::path::PathBuf;
use std::str::FromStr;

/// What the command takes.
#[derive(Debug, Args)]
pub(super) struct SheetArguments {
    /// The design.
    file: PathBuf,
    /// Where to write it, never over a design; printed if not said, or for `-`.
    #[arg(short, long, value_name = "OUT")]
    output: Option<PathBuf>,
    /// As plain text.
    #[arg(long, conflicts_with = "csv")]
    text: bool,
    /// The weights alone, as comma-separated values.
    #[arg(long)]
    csv: bool,
    /// The paper that the HTML is for.
    #[arg(long, value_enum, default_value = "a4")]
    paper: PaperArgument,
    /// The units in which it is written; the weights alone (--csv) are always in grams.
    #[arg(long, value_enum, default_value = "metric")]
    units: UnitsArgument,
    /// The day on which it is made, in place of the design's own: today, 28 Nov, 2026-11-28, 28/11/2026 or, with
    /// --units us, 11/28/2026.
    #[arg(long, value_name = "DAY")]
    start: Option<String>,
    #[command(flatten)]
    scale: ScaleArguments,
    /// How far the mould is filled, percent of its height.
    #[arg(long, value_name = "PERCENT", value_parser = fill, default_value = "100", requires = "mould")]
    fill: Fill,
}

/// How large the batch is; as designed if nothing is said.
#[derive(Debug, Args)]
#[group(multiple = false)]
struct ScaleArguments {
    /// So many times the design's batch.
    #[arg(long, value_name = "N", value_parser = factor)]
    times: Option<Multiple>,
    /// So many bars of the same weight.
    #[arg(long, value_name = "N", value_parser = bars)]
    bars: Option<Bars>,
    /// So many grams of all fats together.
    #[arg(long, value_name = "GRAMS", value_parser = fats)]
    fats: Option<FatMass>,
    /// So large that a fat of the design is used up, as shea=312 (grams).
    #[arg(long, value_name = "FAT=GRAMS", value_parser = used_up)]
    use_up: Option<(String, FatMass)>,
    /// So large that it fills a loaf mould of this length, width and height inside, as 240x70x60 (mm).
    #[arg(long, value_name = "LxWxH", value_parser = loaf)]
    mould: Option<Cuboid>,
}

/// Reads a quantity that has its own range.
fn quantity<N: FromStr, Q: TryFrom<N>>(text: &str) -> Result<Q, String>
where
    N::Err: ToString,
    Q::Error: ToString,
{
    let number: N = text.parse().map_err(|e: N::Err| e.to_string())?;
    Q::try_from(number).map_err(|e| e.to_string())
}

fn factor(text: &str) -> Result<Multiple, String> {
    quantity::<f64, _>(text)
}

fn bars(text: &str) -> Result<Bars, String> {
    quantity::<u32, _>(text)
}

fn fats(text: &str) -> Result<FatMass, String> {
    quantity::<f64, _>(text)
}

fn fill(text: &str) -> Result<Fill, String> {
    quantity::<f64, _>(text)
}

fn used_up(text: &str) -> Result<(String, FatMass), String> {
    let (fat, mass) = text.split_once('=').ok_or("write the fat and its grams, as shea=312")?;
    let mass = number::parse_mass(mass, MassUnit::Gram).map_err(|e| e.to_string())?;
    Ok((fat.trim().to_owned(), FatMass::new(mass.0).map_err(|e| e.to_string())?))
}

fn loaf(text: &str) -> Result<Cuboid, String> {
    let sides = number::parse_sides(text, LengthUnit::Millimetre).map_err(|e| e.to_string())?;
    let [length, width, height] = sides[..] else {
        return Err("write length, width and height, as 240x70x60".into());
    };
    let side = |mm: f64| Millimetres::new(mm).map_err(|e| e.to_string());
    Ok(Cuboid { length_mm: side(length)?, width_mm: side(width)?, height_mm: side(height)? })
}

impl ScaleArguments {
    /// How large the batch of `design` is to be.
    fn scale(&self, design: &Design, fill: Fill) -> Result<Option<Scale>, ScaleError> {
        Ok(match self {
            Self { times: Some(times), .. } => Some(Scale::Times(*times)),
            Self { bars: Some(bars), .. } => Some(Scale::Bars(*bars)),
            Self { fats: Some(mass), .. } => Some(Scale::Fats(*mass)),
            Self { use_up: Some((name, mass)), .. } => {
                let is_it = |l: &FatLine| l.fat.id.as_str() == name || l.fat.name.eq_ignore_ascii_case(name);
                let fat = design.blend.lines().iter().position(is_it).ok_or(ScaleError::NoSuchFat)?;
                Some(Scale::UsingUp { fat, mass: *mass })
            }
            Self { mould: Some(inside), .. } => Some(Scale::Filling { mould: Mould::Loaf(*inside), fill }),
            _ => None,
        })
    }
}

/// Writes the sheet; Stops are told on `err` too, since the file may not be looked at for long.
pub(super) fn run(
    arguments: &SheetArguments,
    library: &Library,
    out: &mut impl Write,
    err: &mut impl Write,
) -> Result<(), CliError> {
    let (mut design, _) = files::load(&arguments.file, library)?;
    if let Some(text) = &arguments.start {
        let made_on = day::typed(text, clock::today(), arguments.units.region())?;
        design.process.made_on = Some(made_on.to_string());
    }
    let measures = arguments.units.into();
    let scale = arguments.scale.scale(&design, arguments.fill)?;
    let options = Options { scale, measures, ..Options::default() };
    let sheet = Sheet::of(&design, &evaluate(&design, library), library, &options)?;
    let content = if arguments.csv {
        sheet.csv().map_err(|e| CliError::Csv(e.to_string()))?
    } else if arguments.text {
        sheet.text()
    } else {
        sheet.html(arguments.paper.into())
    };
    for stop in sheet.stops() {
        complain(err, &stop);
    }
    output::write(arguments.output.as_deref(), &content, out)
}
