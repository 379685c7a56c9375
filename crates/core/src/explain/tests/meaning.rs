//! What symbols, origins and units mean.
//!
//! A formula is told in words that stand beside it. Here each word is looked up in the design and its records by
//! other code than the formula's: the figure that it names has to be the one that was used.

use super::*;
use crate::chemistry::masses::BATTER_C;
use crate::chemistry::water::STRONGEST_KOH;
use crate::design::blend::FatLine;
use crate::formula::{Num, THE_DESIGN};
use crate::library::additions::{AdditionLine, Amount};
use crate::library::fats::usual_density;
use crate::library::pigments::{Held, Pigment};
use crate::library::water;
use crate::trust::Trust;

/// What a figure of the design or of a record is: its name, value and source.
struct Figure {
    name: String,
    value: f64,
    source: String,
    trust: Option<Trust>,
}

/// Symbols of figures that are told in many words or come from outside the design; `told` reads them.
const READ_ELSEWHERE: &[&str] = &[
    "chance of a lye-heavy bar",
    "part of batches below",
    "part of batches below 0 %",
    "score of the fat",
    "score of its acids alone",
    "score of a soap",
    "IV of the fat",
    "IV of its acids",
    "IV of the esters",
    "x",
    "part in the scent",
    "unsaponifiable",
    "weight",
    "T",
    "ΔH",
    "offset",
    "slope",
    "M(acids)",
    "apparent volume of a gram",
    "h(water)",
    "h(water at 0 °C)",
    "h(lye at t)",
    "melting of ice",
    "neutralisation",
    "c(lye)",
    "c(fats)",
    "part still there",
    "½ division",
    "± purity",
    "margin",
    "price of the pack",
    "pack",
    "τ",
    "c₀",
    "c₁",
    "t₀",
    "t₁",
    "rows",
    "columns",
    "bars",
    "acid there",
    "the first day on which the bar lost less than 0.5 % of its weight in the week before",
];

/// Source and mark of what the lye of a fat rests on: a narrowed range owes its ends to the acids as well.
fn source_of_lye(line: &FatLine) -> (String, Trust) {
    let (fat, sv) = (line.published(), &line.published().sv);
    if fat.lye() == sv.value {
        return (sv.source.clone(), sv.trust);
    }
    let mut acids: Vec<_> = fat.profile().iter().filter(|e| e.typical >= 5.0).collect();
    acids.sort_by(|a, b| a.typical.total_cmp(&b.typical));
    let marks: Vec<Trust> = acids.iter().map(|e| e.trust).chain([sv.trust]).collect();
    let seen_least =
        [Trust::FromMemory, Trust::CommonPractice, Trust::Calculated, Trust::Reproduction, Trust::Maker, Trust::Read];
    let mark = seen_least.into_iter().find(|mark| marks.contains(mark)).expect("at least that of the value");
    let of_acids = &acids[acids.len() - 1].source;
    let both = format!("{}; its fatty acids: {of_acids}", sv.source);
    (if *of_acids == sv.source { sv.source.clone() } else { both }, mark)
}

/// The figures that `symbol` can stand for; `None` for a symbol that means nothing.
#[expect(clippy::too_many_lines, reason = "a dictionary: one entry for each symbol")]
fn figures(symbol: &str, about: About<'_>) -> Option<Vec<Figure>> {
    let (design, library) = (about.design, about.library);
    let fats = design.blend.lines();
    let chosen = |name: &str, value: f64| Figure { name: name.into(), value, source: THE_DESIGN.into(), trust: None };
    let of_fats = |of: &dyn Fn(&FatLine) -> Figure| fats.iter().map(of).collect::<Vec<_>>();
    let of_sv = |value: &dyn Fn(&FatLine) -> f64| {
        of_fats(&|line| {
            let (source, trust) = match line.supplier {
                Some(_) => ("the supplier’s figure, as typed".to_owned(), Trust::Maker),
                None => source_of_lye(line),
            };
            let name = format!("Saponification value of {}", line.fat.name);
            Figure { name, value: value(line), source, trust: Some(trust) }
        })
    };
    let ends = |line: &FatLine| match line.supplier {
        Some(figure) => (figure.sv.get() - figure.pm.get(), figure.sv.get() + figure.pm.get()),
        None => (line.fat.lye().min(), line.fat.lye().max()),
    };
    let amounts = |wanted: fn(Amount) -> Option<f64>| {
        let additions = design.additions.iter().map(|line| (&line.addition.name, line.amount));
        let scents = design.scents.iter().map(|line| (&line.scent.name, line.amount));
        let all = additions.chain(scents);
        all.filter_map(|(name, amount)| Some(chosen(&format!("Amount of {name}"), wanted(amount)?))).collect()
    };
    let contents = |what: &str, of: fn(&crate::library::additions::Contents) -> f64| {
        let held = |line: &crate::library::additions::AdditionLine| {
            let contents = &line.addition.contents;
            let name = format!("{what} in {}", line.addition.name);
            let value = of(&contents.value) / 100.0;
            Figure { name, value, source: contents.source.clone(), trust: Some(contents.trust) }
        };
        design.additions.iter().map(held).collect::<Vec<_>>()
    };
    let acids = |of: fn(&crate::library::additions::AddedAcid) -> f64| {
        let acids = design.additions.iter().filter_map(|line| line.addition.acid.as_ref());
        let figure = |acid: &crate::library::material::Sourced<crate::library::additions::AddedAcid>| Figure {
            name: acid.value.name.clone(),
            value: of(&acid.value),
            source: acid.source.clone(),
            trust: Some(acid.trust),
        };
        acids.map(figure).collect::<Vec<_>>()
    };
    let memory = |name: &str, value: f64, source: &str| Figure {
        name: name.into(),
        value,
        source: source.into(),
        trust: Some(Trust::FromMemory),
    };
    let (alkali, process) = (&design.alkali, &design.process);
    let purity = |name: &str, purity: f64| {
        let usual = "what is usual for the trade; read the figure on the tub";
        [(usual, Trust::FromMemory), (THE_DESIGN, Trust::Maker)].map(|(source, trust)| Figure {
            name: name.into(),
            value: purity / 100.0,
            source: source.into(),
            trust: Some(trust),
        })
    };
    let sides = |wanted: &str| {
        use crate::design::mould::Mould;
        let Size::Mould { mould, .. } = design.size else { return Vec::new() };
        let sides = match mould {
            Mould::Loaf(c) | Mould::Slab(c) => {
                vec![("Length inside", c.length_mm), ("Width inside", c.width_mm), ("Height inside", c.height_mm)]
            }
            Mould::Round { diameter_mm, length_mm } => {
                vec![("Diameter inside", diameter_mm), ("Length inside", length_mm)]
            }
            Mould::Cavities { .. } => Vec::new(),
        };
        let is_wanted = |(name, _): &(&str, _)| name.to_lowercase().starts_with(wanted);
        sides.into_iter().filter(is_wanted).map(|(name, mm)| chosen(name, mm.get())).collect()
    };
    let celsius = |name: &str, celsius: crate::units::Celsius| vec![chosen(name, celsius.get())];
    Some(match symbol {
        "share" => of_fats(&|line| chosen(&format!("Share of {}", line.fat.name), line.share.get() / 100.0)),
        "share in percent" => {
            let mut all = of_fats(&|line| chosen(&format!("Share of {}", line.fat.name), line.share.get()));
            let soaps = library.style(&design.style).into_iter().flat_map(|style| &style.references);
            all.extend(soaps.flat_map(|soap| {
                soap.fats.iter().map(|(fat, share)| Figure {
                    name: format!("Share of {} in the soap {}", fat.name, soap.name),
                    value: share.get(),
                    source: soap.source.clone(),
                    trust: Some(soap.trust),
                })
            }));
            all
        }
        "SV" => {
            let mut all = of_sv(&|line| f64::midpoint(ends(line).0, ends(line).1));
            all.extend(of_sv(&|line| ends(line).0));
            all.extend(of_sv(&|line| ends(line).1));
            all
        }
        "least SV" => of_sv(&|line| ends(line).0),
        "most SV" => of_sv(&|line| ends(line).1),
        "range of SV" => of_sv(&|line| ends(line).1 - ends(line).0),
        "typical percent" => {
            let soaps = library.style(&design.style).into_iter().flat_map(|style| &style.references);
            let of_soaps = soaps.flat_map(|soap| soap.fats.iter().map(|(fat, _)| fat));
            let all = fats.iter().map(|line| &line.fat).chain(of_soaps);
            let entries = all.flat_map(|fat| fat.profile().iter().map(move |entry| (fat, entry)));
            let figure = |(fat, entry): (&std::sync::Arc<_>, &crate::library::fats::ProfileEntry)| {
                let fat: &crate::library::fats::Fat = fat;
                Figure {
                    name: format!("{} in {}", library.acids.get(entry.acid).in_words(), fat.name),
                    value: entry.typical,
                    source: entry.source.clone(),
                    trust: Some(entry.trust),
                }
            };
            entries.map(figure).collect()
        }
        "superfat" => {
            let percent = design.superfat.get();
            vec![chosen("Superfat", percent), chosen("Superfat", percent / 100.0)]
        }
        "accepted chance" => vec![chosen("Accepted chance of a lye-heavy bar", design.accepted_chance.get() / 100.0)],
        "KOH share" => vec![chosen("Share of potassium hydroxide", alkali.koh_share.get() / 100.0)],
        "purity" => {
            let naoh = purity("Purity of the sodium hydroxide", alkali.naoh_purity.get());
            let koh = purity("Purity of the potassium hydroxide", alkali.koh_purity.get());
            naoh.into_iter().chain(koh).collect()
        }
        "part of the fats" => {
            let mut all: Vec<Figure> = amounts(|amount| match amount {
                Amount::PercentOfFats(percent) => Some(percent.get() / 100.0),
                Amount::Grams(_) | Amount::GramsPerKgFats(_) => None,
            });
            if let WaterRule::PercentOfFats(percent) = design.water {
                all.push(chosen("Water in percent of the fats", percent.get() / 100.0));
            }
            all
        }
        "g per kg of fats" => amounts(|amount| match amount {
            Amount::GramsPerKgFats(grams) => Some(grams.get()),
            Amount::Grams(_) | Amount::PercentOfFats(_) => None,
        }),
        "water to alkali" => match design.water {
            WaterRule::WaterToAlkali(ratio) => vec![chosen("Water to alkali", ratio.get())],
            _ => Vec::new(),
        },
        "c" => {
            let mut all = vec![memory("Strongest potassium lye c", STRONGEST_KOH, "at 20 °C")];
            if let WaterRule::LyeConcentration(percent) = design.water {
                all.push(chosen("Lye concentration c", percent.get()));
            }
            all
        }
        "water content" => contents("Water", |holds| holds.water.get()),
        "fat content" => contents("Fat", |holds| holds.fat.get()),
        "sugar content" => contents("Sugars", |holds| holds.sugars.map_or(f64::NAN, Share::get)),
        "solid content" => contents("Solids", |holds| (100.0 - holds.water.get() - holds.fat.get()).max(0.0)),
        "reducing part" | "M(sugars)" => {
            let of = |line: &AdditionLine| {
                let (name, known) = (&line.addition.name, library.sugars.of(&line.addition.id));
                if symbol == "M(sugars)" {
                    return Figure {
                        name: format!("Molar mass of the sugars of {name}"),
                        value: known.map_or(180.156, |k| k.molar_mass),
                        source: "their formula; glucose where it is not known".into(),
                        trust: None,
                    };
                }
                Figure {
                    name: format!("Reducing part of the sugars of {name}, at the most"),
                    value: known.map_or(1.0, |k| k.part.value.max() / 100.0),
                    source: known.map_or("not known, so that it may be all".into(), |k| k.part.source.clone()),
                    trust: known.map(|k| k.part.trust),
                }
            };
            design.additions.iter().map(of).collect()
        }
        "mg in 100 g" | "part left" => {
            let fats = design.blend.lines().iter().flat_map(|line| {
                library.pigments.of_fat(&line.fat.id).map(|of| (line.fat.name.clone(), of)).collect::<Vec<_>>()
            });
            let additions = design.additions.iter().flat_map(|line| {
                let name = &line.addition.name;
                library.pigments.of_addition(&line.addition.id).map(|of| (name.clone(), of)).collect::<Vec<_>>()
            });
            let figure = |(name, (pigment, held)): (String, (&Pigment, &Held))| {
                let (first, rest) = pigment.name.split_at(1);
                if symbol == "part left" {
                    return Some(Figure {
                        name: format!("Part of the {} that is left in the bar", pigment.name),
                        value: pigment.absorber.as_ref()?.share_left,
                        source: pigment.source.clone(),
                        trust: Some(pigment.trust),
                    });
                }
                Some(Figure {
                    name: format!("{}{rest} in {name}", first.to_uppercase()),
                    value: held.content?.typical,
                    source: held.source.clone(),
                    trust: Some(held.trust),
                })
            };
            fats.chain(additions).filter_map(figure).collect()
        }
        "mol per mol" => {
            let name = "Alkali that a mole of reducing sugar takes at the most";
            vec![memory(name, 2.0, "a sugar of six carbons can end as two acids")]
        }
        "acid content" => acids(|acid| acid.content.get() / 100.0),
        "protons" => acids(|acid| acid.protons.into()),
        "M" => {
            let mut all = acids(|acid| acid.molar_mass.get());
            all.extend(library.acids.iter().map(|(_, acid)| Figure {
                name: format!("Molar mass M of {}", acid.in_words()),
                value: acid.molar_mass,
                source: "its formula".into(),
                trust: None,
            }));
            let soaps = library.style(&design.style).into_iter().flat_map(|style| &style.references);
            let of_soaps = soaps.flat_map(|soap| soap.fats.iter().map(|(fat, _)| fat));
            for fat in fats.iter().map(|line| &line.fat).chain(of_soaps) {
                if let crate::library::fats::FatKind::WaxEster { molar_mass } = fat.kind {
                    all.push(Figure {
                        name: format!("Molar mass M of the esters of {}", fat.name),
                        value: molar_mass,
                        source: "the fat’s record".into(),
                        trust: None,
                    });
                }
                let profile = fat.profile();
                let Some(first) = profile.first() else { continue };
                // As many moles of acids as their masses give; the source is that of the largest.
                let whole: f64 = profile.iter().map(|entry| entry.typical).sum();
                let moles: f64 = profile.iter().map(|e| e.typical / library.acids.get(e.acid).molar_mass).sum();
                let largest = profile.iter().fold(first, |most, e| if e.typical >= most.typical { e } else { most });
                all.push(Figure {
                    name: format!("Mean molar mass M of the acids of {}", fat.name),
                    value: whole / moles,
                    source: largest.source.clone(),
                    trust: Some(largest.trust),
                });
            }
            all
        }
        "ρ" => {
            let mut all = Vec::new();
            for at in [BATTER_C, process.fats_c.unwrap_or(process.mix_c).get()] {
                all.extend(of_fats(&|line| match &line.fat.relative_density {
                    Some(tabled) => Figure {
                        name: format!("Density of {}", line.fat.name),
                        value: tabled.value.at(at),
                        source: tabled.source.clone(),
                        trust: Some(tabled.trust),
                    },
                    None => memory(&format!("Density of {}", line.fat.name), usual_density(at), "usual for oils"),
                }));
            }
            for addition in design.additions.iter().map(|line| &line.addition) {
                let name = format!("Density of the solids in {}", addition.name);
                all.push(memory(&name, addition.solids_density.get(), "usual for such solids"));
            }
            all.extend([
                memory("Density of fat in additions", usual_density(BATTER_C), "usual for oils"),
                memory("Density of scents", 0.9, "most lie between 0.85 and 1.0"),
                memory("Density of what is not alkali in sodium hydroxide", 2.5, "mostly its carbonate"),
            ]);
            all
        }
        "ρ(water)" => {
            let at = [BATTER_C, process.room_c.get()];
            let source = "Kell 1975, checked against tables";
            at.map(|at| memory("Density of water", water::density(at), source)).into()
        }
        "your density" => {
            let density = design.calibration.batter_g_per_ml;
            density.map(|density| chosen("Density of the batter", density.get())).into_iter().collect()
        }
        "number of bars" => {
            let bars = design.size.own_bars().unwrap_or(design.bars);
            vec![chosen("Bars", f64::from(bars.get()))]
        }
        "room for froth" => vec![Figure {
            name: "Room for steam and froth".into(),
            value: 2.0,
            source: "usual at the bench".into(),
            trust: Some(Trust::CommonPractice),
        }],
        "frozen part" => vec![chosen("Frozen part", process.jug_frozen.get() / 100.0)],
        "part that stays" => vec![chosen("Water that stays", process.equilibrium_moisture.get() / 100.0)],
        "t(room)" => celsius("Room", process.room_c),
        "t(water)" => celsius("Water in the jug before", process.jug_water_c?),
        "working temperature" => celsius("Working temperature of the lye", process.mix_c),
        "t(fats)" => celsius("Fats are at", process.fats_c?),
        "surroundings" => celsius(
            "Surroundings",
            match process.jug_stands {
                crate::design::Surroundings::Air => process.room_c,
                crate::design::Surroundings::Bath(bath) => bath,
            },
        ),
        "fats for 100 %" => match design.size {
            Size::FatMass(mass) => vec![chosen("Fats", mass.get())],
            _ => Vec::new(),
        },
        "a bar" => match design.size {
            Size::BarMass(mass) => vec![chosen("A fresh bar", mass.get())],
            Size::BarAtSale(mass) => vec![chosen("A bar at sale", mass.get())],
            _ => Vec::new(),
        },
        "length" | "width" | "height" | "diameter" => sides(symbol),
        "filled" => match design.size {
            Size::Mould { fill, .. } | Size::Volume { fill, .. } => vec![chosen("Filled", fill.get() / 100.0)],
            _ => Vec::new(),
        },
        "volume" => match design.size {
            Size::Volume { ml, .. } => vec![chosen("Volume", ml.get())],
            _ => Vec::new(),
        },
        "volume of each" | "cavities" => match design.size {
            Size::Mould { mould: crate::design::mould::Mould::Cavities { count, ml }, .. } => {
                let count = chosen("Cavities", f64::from(count.get()));
                vec![if symbol == "cavities" { count } else { chosen("Each holds", ml.get()) }]
            }
            _ => Vec::new(),
        },
        _ if READ_ELSEWHERE.contains(&symbol) => Vec::new(),
        _ => return None,
    })
}

/// Records all numbers of `design` and hands the tape on.
fn recorded(design: &Design, library: &Library, then: &mut dyn FnMut(&Tape, About<'_>, About<'_, Term<'_>>)) {
    let evaluation = evaluate(design, library);
    let about = About::new(design, &evaluation, library);
    let tape = Tape::default();
    let recorded = read(&tape, design, library);
    let of_recorded = About::new(design, &recorded, library);
    for Entry { quantity, .. } in entries(about) {
        // One that is not known rests on nothing.
        let _ = quantity.record(&tape, of_recorded);
    }
    then(&tape, about, of_recorded);
}

#[test]
fn a_symbol_stands_for_the_figure_of_its_name() {
    let library = library();
    let mut wrong = std::collections::BTreeSet::new();
    for design in designs(&library) {
        recorded(&design, &library, &mut |tape, about, _| {
            for (symbol, unit, value, inputs) in tape.figures() {
                let Some(figures) = figures(symbol, about) else {
                    wrong.insert(format!("“{symbol}” means nothing"));
                    continue;
                };
                if READ_ELSEWHERE.contains(&symbol) {
                    continue;
                }
                let [input] = &inputs[..] else {
                    wrong.insert(format!("{symbol} is told by {inputs:?}"));
                    continue;
                };
                let is_it = |figure: &Figure| {
                    figure.name == input.name
                        && figure.source == input.source
                        && figure.trust == input.trust
                        && (figure.value - value).abs() <= 1e-9 * value.abs().max(1e-3)
                };
                if !figures.iter().any(is_it) {
                    wrong.insert(format!("{symbol} is {value} {unit}, told as {input:?}"));
                }
            }
        });
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// How pure alkali is said to come about.
const WEIGHED: &str = "what is weighed × its purity, with what acids take";

/// What a step can be whose symbol, title and origin are these, by what the origin says; `None` if that means nothing.
fn by_origin((symbol, title, how): (&str, &str, &str), about: About<'_>) -> Option<Vec<f64>> {
    let (design, library, evaluation) = (about.design, about.library, about.evaluation);
    let masses = &evaluation.masses;
    let pure = |koh_share: f64, weighed: f64, purity: crate::units::Purity| {
        // The part for acids alone is split and weighed like the whole.
        let of_acids = masses.acids_koh.0 * koh_share;
        vec![weighed * purity.get() / 100.0, of_acids]
    };
    let of_koh = design.alkali.koh_share.get() / 100.0;
    let soaps = library.style(&design.style).into_iter().flat_map(|style| &style.references);
    let blends = || {
        let of_soaps = soaps
            .clone()
            .map(|soap| soap.fats.iter().map(|(fat, share)| (fat.as_ref(), share.get())).collect::<Vec<_>>());
        let of_design = design.blend.lines().iter().map(|line| (line.fat.as_ref(), line.share.get())).collect();
        std::iter::once(of_design)
            .chain(of_soaps)
            .map(|fats: Vec<_>| fats.into_iter().filter(|(fat, _)| !fat.profile().is_empty()).collect::<Vec<_>>())
    };
    let typical = |fat: &crate::library::fats::Fat, acid| {
        fat.profile().iter().filter(|entry| entry.acid == acid).map(|entry| entry.typical / 100.0).sum::<f64>()
    };
    let mean = |fats: &[(&crate::library::fats::Fat, f64)], of: &dyn Fn(&crate::library::fats::Fat) -> f64| {
        let whole: f64 = fats.iter().map(|(_, share)| share).sum();
        fats.iter().map(|(fat, share)| share * of(fat)).sum::<f64>() / whole
    };
    Some(match (symbol, title, how) {
        ("pure sodium hydroxide", "Pure sodium hydroxide", WEIGHED) => {
            pure((1.0 - of_koh) * 39.997 / 56.105, masses.alkali.naoh.0, design.alkali.naoh_purity)
        }
        ("pure potassium hydroxide", "Pure potassium hydroxide", WEIGHED) => {
            pure(of_koh, masses.alkali.koh.0, design.alkali.koh_purity)
        }
        ("need", "Exact need of the fats", "Σ weight × SV ÷ 1000 over the fats, g KOH") => {
            let lines = design.blend.lines().iter().zip(&evaluation.fat_masses);
            vec![lines.map(|(line, mass)| mass.0 * line.saponification_value() / 1000.0).sum()]
        }
        ("alkali ÷ need", "Alkali for the fats ÷ their exact need", "as planned: one less the superfat") => {
            vec![1.0 - design.superfat.get() / 100.0]
        }
        ("water in a fresh bar", "Water in a fresh bar", "the water account ÷ number of bars") => {
            vec![evaluation.water.iter().map(|row| row.mass.0).sum::<f64>() / f64::from(masses.bars)]
        }
        ("acid", _, "the fats’ typical profiles") => {
            let named = library.acids.iter().find(|(_, acid)| format!("{}, by mass", acid.in_words()) == title);
            let (id, _) = named?;
            blends().map(|fats| mean(&fats, &|fat| typical(fat, id))).collect()
        }
        ("moles of all acids", "Moles of all acids in a gram", "Σ acid ÷ its molar mass") => {
            let moles = |fat: &crate::library::fats::Fat| -> f64 {
                library.acids.iter().map(|(id, acid)| typical(fat, id) / acid.molar_mass).sum()
            };
            blends().map(|fats| mean(&fats, &moles)).collect()
        }
        ("unsaponifiable", "Unsaponifiable matter, mean of the blend", "the fats’ records") => {
            let matter = |fat: &crate::library::fats::Fat| {
                fat.unsaponifiable.as_ref().map_or(0.0, |matter| matter.value.mid() / 1000.0)
            };
            blends().map(|fats| mean(&fats, &matter)).collect()
        }
        _ => return None,
    })
}

#[test]
fn a_step_with_a_name_is_what_its_origin_says() {
    let library = library();
    let mut wrong = std::collections::BTreeSet::new();
    for design in designs(&library) {
        recorded(&design, &library, &mut |tape, about, _| {
            for (symbol, [title, how], step) in tape.named_steps() {
                let value = step.value();
                let Some(can) = by_origin((symbol, &title, &how), about) else {
                    wrong.insert(format!("{symbol}, {title}, is said to be “{how}”"));
                    continue;
                };
                if !can.iter().any(|one| (one - value).abs() <= 1e-9 * one.abs().max(1e-3)) {
                    wrong.insert(format!("{symbol} of {} is {value}, by “{how}” {can:?}", design.name));
                }
            }
        });
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn what_solves_an_equation_leaves_nothing_of_it() {
    let library = library();
    let mut solved = 0;
    for design in designs(&library) {
        recorded(&design, &library, &mut |tape, about, _| {
            if about.evaluation.size_error.is_some() {
                return;
            }
            for (step, left) in tape.solved_steps() {
                let told = step.derivation(&|_| None);
                let (sum, _) = told.numbers.split_once(", as good as 0, with ").expect("an equation");
                let largest = numbers_of(sum).fold(0.0, f64::max);
                assert!(left.abs() < 1e-5 * largest, "{}: {left} is left of {}", design.name, told.formula);
                assert!(redo(sum).abs() < 1e-4 * largest, "{}: {} is left of {sum}", design.name, redo(sum));
                solved += 1;
            }
        });
    }
    assert!(solved > 10, "{solved} equations");
}

/// The unit that a key ends in.
fn unit_of(key: &str) -> Option<&'static str> {
    let last = key.split('.').rfind(|part| part.parse::<u32>().is_err())?;
    [("_g_per_ml", "g/ml"), ("_g", "g"), ("_ml", "ml"), ("_mm", "mm"), ("_c", "°C"), ("_pct", "%"), ("_day", "days")]
        .into_iter()
        .find_map(|(end, unit)| last.ends_with(end).then_some(unit))
}

#[test]
fn a_number_is_in_the_unit_of_its_key() {
    let library = library();
    for design in designs(&library) {
        let evaluation = evaluate(&design, &library);
        let about = About::new(&design, &evaluation, &library);
        for Entry { key, quantity } in entries(about) {
            let unit = quantity.unit(about);
            if let Some(expected) = unit_of(&key).filter(|_| !key.starts_with("cost.")) {
                assert_eq!(unit.sign(), expected, "{key}");
            } else {
                assert!(
                    !["g", "ml", "mm", "g/ml"].contains(&unit.sign()) || key.starts_with("cost."),
                    "{key}: {unit:?}"
                );
            }
        }
    }
}
