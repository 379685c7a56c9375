//! The figures that formulas start from: what a design says and what its materials' records hold,
//! each with its source.

use crate::chemistry::masses::BATTER_C;
use crate::design::blend::FatLine;
use crate::design::{Alkali, Design, Surroundings};
use crate::formula::{Input, Reading};
use crate::library::additions::{Addition, AdditionLine, Amount};
use crate::library::fats::usual_density;
use crate::library::possible::SvRanges;
use crate::library::water;
use crate::number::short;
use crate::trust::Trust;
use crate::units::{Celsius, Grams, Interval, Purity, Share, TimeConstant, in_percent};

/// A percent as it is told.
fn percent(value: f64) -> String {
    format!("{} %", short(value, 3))
}

/// A fat's part of the blend, as a fraction.
pub fn share<R: Reading>(r: R, line: &FatLine) -> R::N {
    r.input("share", line.share.fraction(), "", || share_of(line))
}

/// The same in percent.
pub fn share_percent<R: Reading>(r: R, line: &FatLine) -> R::N {
    r.input("share in percent", line.share.get(), "", || share_of(line))
}

fn share_of(line: &FatLine) -> Input {
    Input::chosen(&format!("Share of {}", line.fat.name), format!("{} %", short(line.share.get(), 6)))
}

/// The saponification value that a fat's lye rests on, mg KOH/g.
pub fn saponification_value<R: Reading>(r: R, line: &FatLine) -> R::N {
    r.input("SV", line.saponification_value(), "", || about_saponification_value(line))
}

/// Where a saponification value comes from, with its range.
pub fn about_saponification_value(line: &FatLine) -> Input {
    let (sv, range) = (short(line.saponification_value(), 3), line.saponification_range());
    let (source, trust) = match line.supplier {
        Some(_) => ("the supplier’s figure, as typed".into(), Trust::Maker),
        None => line.published().about_lye(),
    };
    let ends = |range: Interval| format!("{} to {}", short(range.min(), 2), short(range.max(), 2));
    let middle = if range.width() > 0.0 { format!(", the middle of {}", ends(range)) } else { String::new() };
    let all = if line.supplier.is_none() { of_record(line, range, ends) } else { String::new() };
    let value = format!("{sv} mg KOH/g{middle}{all}");
    Input { name: format!("Saponification value of {}", line.fat.name), value, source, trust: Some(trust) }
}

/// What is published of a fat and what is possible, beside the `range` that its lye rests on.
fn of_record(line: &FatLine, range: Interval, ends: impl Fn(Interval) -> String) -> String {
    let SvRanges { published, possible, used } = SvRanges::of(line.published());
    let unknown = || "its acids are not known, which would narrow it".into();
    let possible = possible.map_or_else(unknown, |p| format!("possible by its acids {}", ends(p)));
    let today = if range == used { String::new() } else { format!(", both together {}", ends(used)) };
    format!("; published {}, {possible}{today}", ends(published))
}

/// The chance of a lye-heavy bar that is accepted, 0–1.
pub fn accepted_chance<R: Reading>(r: R, design: &Design) -> R::N {
    let chance = design.accepted_chance;
    r.input("accepted chance", chance.fraction(), "", || {
        Input::chosen("Accepted chance of a lye-heavy bar", percent(chance.get()))
    })
}

/// Density of a fat at the temperature `at`, °C, g/ml.
pub fn density<R: Reading>(r: R, line: &FatLine, at: f64) -> R::N {
    let tabled = line.fat.relative_density.as_ref();
    let density = tabled.map_or_else(|| usual_density(at), |d| d.value.at(at));
    r.input("ρ", density, "g/ml", || {
        let name = format!("Density of {}", line.fat.name);
        let value = format!("{} g/ml at {} °C", short(density, 4), short(at, 0));
        match tabled {
            Some(d) => Input { name, value, source: d.source.clone(), trust: Some(d.trust) },
            None => Input { name, value, source: "usual for oils".into(), trust: Some(Trust::FromMemory) },
        }
    })
}

/// The part of the exact alkali that is held back, as a fraction.
pub fn superfat<R: Reading>(r: R, design: &Design) -> R::N {
    r.input("superfat", design.superfat.fraction(), "", || about_superfat(design))
}

/// Where the superfat comes from.
pub fn about_superfat(design: &Design) -> Input {
    Input::chosen("Superfat", percent(design.superfat.get()))
}

/// The same where there is any: with too much alkali nothing is held back.
pub fn held_back<R: Reading>(r: R, design: &Design) -> R::N {
    if design.superfat.get() > 0.0 { superfat(r, design) } else { R::N::from(0.0) }
}

/// The part of the exact alkali by which there is too much; nothing where fat is left.
pub fn spare<R: Reading>(r: R, design: &Design) -> R::N {
    if design.superfat.get() < 0.0 { -superfat(r, design) } else { R::N::from(0.0) }
}

/// The part of the alkali's equivalents that is potassium hydroxide, as a fraction.
pub fn koh_share<R: Reading>(r: R, design: &Design) -> R::N {
    let share = design.alkali.koh_share;
    r.input("KOH share", share.fraction(), "", || {
        let value = format!("{} of the alkali, by moles", percent(share.get()));
        Input::chosen("Share of potassium hydroxide", value)
    })
}

/// Purity of the sodium hydroxide, as a fraction.
pub fn naoh_purity<R: Reading>(r: R, design: &Design) -> R::N {
    let purity = design.alkali.naoh_purity;
    r.input("purity", purity.fraction(), "", || {
        purity_of("Purity of the sodium hydroxide", purity, Alkali::default().naoh_purity)
    })
}

/// Purity of the potassium hydroxide, as a fraction.
pub fn koh_purity<R: Reading>(r: R, design: &Design) -> R::N {
    let purity = design.alkali.koh_purity;
    r.input("purity", purity.fraction(), "", || {
        purity_of("Purity of the potassium hydroxide", purity, Alkali::default().koh_purity)
    })
}

fn purity_of(name: &str, purity: Purity, usual: Purity) -> Input {
    let (source, trust) = if purity == usual {
        ("what is usual for the trade; read the figure on the tub", Trust::FromMemory)
    } else {
        ("the design", Trust::Maker)
    };
    Input::sourced(name, percent(purity.get()), source, trust)
}

/// The mass of `amount` of `name` in a batch of `fats`.
pub fn amount<R: Reading>(r: R, amount: Amount, name: &str, fats: Grams<R::N>) -> Grams<R::N> {
    // What is told is put into words only where it is told: a batch is reckoned many times until its mould is full.
    let about = |value: String| Input::chosen(&format!("Amount of {name}"), value);
    match amount {
        Amount::PercentOfFats(p) => {
            let about = || about(format!("{} of the fats", percent(p.get())));
            fats * r.input("part of the fats", p.fraction(), "", about)
        }
        Amount::Grams(g) => Grams(r.input("weight", g.get(), "g", || about(format!("{} g", short(g.get(), 3))))),
        Amount::GramsPerKgFats(g) => {
            let about = || about(format!("{} g per kg of fats", short(g.get(), 3)));
            fats * (r.input("g per kg of fats", g.get(), "", about) / G_PER_KG)
        }
    }
}

/// Grams in a kilogram.
const G_PER_KG: f64 = 1000.0;

/// What an addition holds, as a fraction of its mass; `what` names it.
fn content<R: Reading>(r: R, symbol: &'static str, what: &str, part: Share, addition: &Addition) -> R::N {
    r.input(symbol, part.fraction(), "", || Input {
        name: format!("{what} in {}", addition.name),
        value: percent(part.get()),
        source: addition.contents.source.clone(),
        trust: Some(addition.contents.trust),
    })
}

/// Water in an addition, as a fraction.
pub fn water_content<R: Reading>(r: R, addition: &Addition) -> R::N {
    content(r, "water content", "Water", addition.contents.value.water, addition)
}

/// Fat in an addition, as a fraction.
pub fn fat_content<R: Reading>(r: R, addition: &Addition) -> R::N {
    content(r, "fat content", "Fat", addition.contents.value.fat, addition)
}

/// Sugars in an addition, as a fraction; `None` if they are not known.
pub fn sugar_content<R: Reading>(r: R, addition: &Addition) -> Option<R::N> {
    addition.contents.value.sugars.map(|sugars| content(r, "sugar content", "Sugars", sugars, addition))
}

/// What of an addition is neither water nor fat, as a fraction.
pub fn solid_content<R: Reading>(r: R, addition: &Addition) -> R::N {
    let contents = &addition.contents.value;
    let solids = addition.solids();
    r.input("solid content", solids, "", || Input {
        name: format!("Solids in {}", addition.name),
        value: format!(
            "{} %, all but {} % water and {} % fat",
            short(Share::nearest(in_percent(solids)).get(), 2),
            short(contents.water.get(), 2),
            short(contents.fat.get(), 2)
        ),
        source: addition.contents.source.clone(),
        trust: Some(addition.contents.trust),
    })
}

/// Protons that the acid in a gram of the addition gives off, mol/g: content × protons ÷ M; `None`
/// without an acid.
pub fn protons_per_gram<R: Reading>(r: R, line: &AdditionLine) -> Option<R::N> {
    let acid = line.addition.acid.as_ref()?;
    let of = |symbol, value: f64| {
        r.input(symbol, value, "", || Input {
            name: acid.value.name.clone(),
            value: format!(
                "{} % of {}, {} g/mol with {} protons",
                short(acid.value.content.get(), 2),
                line.addition.name,
                short(acid.value.molar_mass.get(), 2),
                acid.value.protons
            ),
            source: acid.source.clone(),
            trust: Some(acid.trust),
        })
    };
    let (content, protons) =
        (of("acid content", acid.value.content.fraction()), of("protons", acid.value.protons.into()));
    Some(content * protons / of("M", acid.value.molar_mass.get()))
}

/// The part of the addition that is its acid, as a fraction; 0 without one.
pub fn acid_content<R: Reading>(r: R, addition: &Addition) -> R::N {
    addition.acid.as_ref().map_or(R::N::from(0.0), |acid| {
        r.input("acid content", acid.value.content.fraction(), "", || Input {
            name: acid.value.name.clone(),
            value: format!("{} % of {}", short(acid.value.content.get(), 2), addition.name),
            source: acid.source.clone(),
            trust: Some(acid.trust),
        })
    })
}

/// A figure of ours, from memory.
fn from_memory<R: Reading>(r: R, value: f64, name: &str, source: &str) -> R::N {
    let text = || {
        Input::sourced(
            name,
            format!("{} g/ml at {} °C", short(value, 4), short(BATTER_C, 0)),
            source,
            Trust::FromMemory,
        )
    };
    r.input("ρ", value, "g/ml", text)
}

/// Density of fat that additions bring, g/ml at 40 °C (from memory).
pub fn added_fat_density<R: Reading>(r: R) -> R::N {
    from_memory(r, usual_density(BATTER_C), "Density of fat in additions", "usual for oils")
}

/// Density of essential oils, g/ml at 40 °C (from memory: most lie between 0.85 and 1.0).
pub(crate) const SCENT_DENSITY: f64 = 0.9;
/// Density of what is not alkali in sodium hydroxide, mostly its carbonate, g/ml (from memory).
pub(crate) const IMPURITY_DENSITY: f64 = 2.5;

/// Density of essential oils, g/ml at 40 °C (from memory).
pub fn scent_density<R: Reading>(r: R) -> R::N {
    from_memory(r, SCENT_DENSITY, "Density of scents", "most lie between 0.85 and 1.0")
}

/// Density of what is not alkali in sodium hydroxide, mostly its carbonate, g/ml (from memory).
pub fn impurity_density<R: Reading>(r: R) -> R::N {
    from_memory(r, IMPURITY_DENSITY, "Density of what is not alkali in sodium hydroxide", "mostly its carbonate")
}

/// Density of water at `celsius`, g/ml.
pub fn water_density_at<R: Reading>(r: R, celsius: f64) -> R::N {
    let density = water::density(celsius);
    r.input("ρ(water)", density, "g/ml", || {
        let value = format!("{} g/ml at {} °C", short(density, 5), short(celsius, 1));
        Input::sourced("Density of water", value, "Kell 1975, checked against tables", Trust::FromMemory)
    })
}

/// Density of the solids of an addition, g/ml.
pub fn solids_density<R: Reading>(r: R, addition: &Addition) -> R::N {
    let density = addition.solids_density.get();
    r.input("ρ", density, "g/ml", || {
        let name = format!("Density of the solids in {}", addition.name);
        Input::sourced(&name, format!("{} g/ml", short(density, 3)), "usual for such solids", Trust::FromMemory)
    })
}

/// The batter's density by the maker's own weighing, g/ml.
pub fn batter_density<R: Reading>(r: R, design: &Design) -> Option<R::N> {
    let density = design.calibration.batter_g_per_ml?.get();
    let about = || Input::chosen("Density of the batter", format!("{} g/ml", short(density, 4)));
    Some(r.input("your density", density, "g/ml", about))
}

/// How many bars there are.
pub fn bars<R: Reading>(r: R, bars: u32) -> R::N {
    r.input("number of bars", f64::from(bars), "", || Input::chosen("Bars", bars.to_string()))
}

/// A temperature of the process, °C.
pub fn celsius<R: Reading>(r: R, symbol: &'static str, name: &str, at: Celsius) -> R::N {
    r.input(symbol, at.get(), "°C", || Input::chosen(name, format!("{} °C", short(at.get(), 2))))
}

/// The part of the jug's water that is frozen, as a fraction.
pub fn frozen<R: Reading>(r: R, design: &Design) -> R::N {
    let frozen = design.process.jug_frozen;
    r.input("frozen part", frozen.fraction(), "", || Input::chosen("Frozen part", percent(frozen.get())))
}

/// Minutes in which the jug loses all but 1/e of its excess warmth, standing in air (our
/// judgement; a reading calibrates it).
pub const IN_AIR: f64 = 45.0;
/// The same in a cold-water bath (our judgement).
pub const IN_BATH: f64 = 12.0;

/// What the jug cools towards, °C, and its time constant, min.
pub fn cooling<R: Reading>(r: R, design: &Design) -> (R::N, R::N) {
    let process = &design.process;
    let (to, usual, place) = match process.jug_stands {
        Surroundings::Air => (process.room_c, IN_AIR, "standing in air"),
        Surroundings::Bath(bath) => (bath, IN_BATH, "standing in a water bath"),
    };
    let measured = design.calibration.jug_cooling_min.map(TimeConstant::get);
    let constant = measured.unwrap_or(usual);
    let constant = r.input("τ", constant, "min", || {
        let name = format!("Time constant τ, {place}");
        let usual = short(usual, 0);
        match measured {
            Some(own) => {
                let value = format!("{} min; {usual} min would be usual", short(own, 1));
                Input::sourced(&name, value, "your own reading", Trust::Maker)
            }
            None => Input::worked_out(&name, format!("{usual} min"), "our judgement; a reading betters it"),
        }
    });
    (celsius(r, "surroundings", "Surroundings", to), constant)
}

/// The part of a cured bar that is water in the end, as a fraction.
pub fn moisture<R: Reading>(r: R, design: &Design) -> R::N {
    let stays = design.process.equilibrium_moisture;
    r.input("part that stays", stays.fraction(), "", || {
        Input::chosen("Water that stays", format!("{} % of the bar", short(stays.get(), 1)))
    })
}
