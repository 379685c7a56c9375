//! The jug: strength, heat, cooling, density.

use super::sum::{grams, number, sum};
use super::{About, Input, Parts};
use crate::chemistry::inputs::{IN_AIR, IN_BATH};
use crate::chemistry::masses::water_of;
use crate::chemistry::solution::{self, FATS_HEAT_CAPACITY, MELTING_OF_ICE, NEUTRALISATION, water_density};
use crate::chemistry::water::{CRYSTALLISATION, STRONGEST_KOH};
use crate::design::Surroundings;
use crate::formula::Plain;
use crate::library::additions::{AdditionLine, Stage};
use crate::library::material::Trust;
use crate::number::{fixed, short};
use crate::units::{Celsius, Grams, Share};

fn read(name: &str, value: String, source: &str) -> Input {
    Input { name: name.into(), value, source: source.into(), trust: Some(Trust::Read) }
}

fn from_memory(name: &str, value: String, source: &str) -> Input {
    Input { name: name.into(), value, source: source.into(), trust: Some(Trust::FromMemory) }
}

fn celsius(value: f64) -> String {
    format!("{} °C", short(value, 2))
}

/// What is said of every jug.
const TALL: &str = "Choose a jug that holds twice as much: it steams and may foam.";
const ENTHALPY: &str = "Olsson, Jernqvist and Aly, Int. J. Thermophys. 18 (1997) 779";

impl About<'_> {
    fn jug_water(self) -> Input {
        let how = "water to weigh, water in the potassium hydroxide, and that of additions that go into the jug";
        Input::worked_out("Water in the jug", grams(self.evaluation.masses.water_in_jug), how)
    }

    fn room(self) -> Input {
        Input::chosen("Room", celsius(self.design.process.room_c.get()))
    }

    fn working(self) -> Input {
        Input::chosen("Working temperature of the lye", celsius(self.design.process.mix_c.get()))
    }

    pub(super) fn water_in_jug(self) -> Parts {
        let b = &self.evaluation.masses;
        let into_jug: Vec<(&AdditionLine, Grams)> = self
            .design
            .additions
            .iter()
            .filter(|l| l.stage == Stage::IntoJug)
            .map(|l| (l, water_of(Plain, l, b.fats)))
            .filter(|(_, water)| water.0 > 0.0)
            .collect();
        let mut inputs = vec![Input::worked_out("Water to weigh", grams(b.water_to_weigh), "the design’s rule for it")];
        let potassium = b.alkali.water();
        if potassium.0 > 0.0 {
            let how = "what is not pure in it counts as water";
            inputs.push(Input::worked_out("Water in the potassium hydroxide", grams(potassium), how));
        }
        inputs.extend(into_jug.iter().map(|(line, water)| Input {
            name: format!("Water in {}", line.addition.name),
            value: grams(*water),
            source: line.addition.contents.source.clone(),
            trust: Some(line.addition.contents.trust),
        }));
        let brought = [potassium].into_iter().filter(|m| m.0 > 0.0).chain(into_jug.iter().map(|(_, water)| *water));
        Parts {
            formula: if potassium.0 > 0.0 {
                "water to weigh + water in the potassium hydroxide + water of additions that go into the jug"
            } else {
                "water to weigh + water of additions that go into the jug"
            },
            numbers: sum(std::iter::once(b.water_to_weigh).chain(brought).map(grams)),
            inputs,
            trust: "An exact balance; water in additions is from food tables, and what is grown varies.".into(),
        }
    }

    pub(super) fn jug_least_water(self) -> Parts {
        let lye = self.evaluation.masses.lye();
        let practice = "common practice, no source";
        let mut inputs = vec![self.pure_alkali()];
        inputs.push(Input::worked_out("For sodium hydroxide", "a gram for each gram".into(), practice));
        if lye.koh.0 > 0.0 {
            inputs.push(from_memory("Strongest potassium lye", format!("{STRONGEST_KOH} %"), "at 20 °C"));
        }
        let potassium = if lye.koh.0 > 0.0 {
            format!(" + {} × {} ÷ {STRONGEST_KOH}", grams(lye.koh), number(100.0 - STRONGEST_KOH))
        } else {
            String::new()
        };
        Parts {
            formula: if lye.koh.0 > 0.0 {
                "pure sodium hydroxide × 1 + pure potassium hydroxide × 47 ÷ 53"
            } else {
                "pure sodium hydroxide × 1"
            },
            numbers: format!("{}{potassium}", grams(lye.naoh)),
            inputs,
            trust: if lye.koh.0 > 0.0 {
                "A rule of thumb. At its limit sodium lye is thick and slow to clear at 20 °C, and potassium lye holds all \
                 that it can. Weigh more water into the jug rather than less."
            } else {
                "A rule of thumb with room to spare at 20 °C: at the rule’s limit the lye is thick and slow to clear. \
                 Weigh more water into the jug rather than less."
            }
            .into(),
        }
    }

    /// What additions bring into the jug besides water.
    fn besides_in_jug(self) -> Grams {
        let fats = self.evaluation.masses.fats;
        let into_jug = self.design.additions.iter().filter(|l| l.stage == Stage::IntoJug);
        into_jug.map(|l| l.amount.mass(fats) - water_of(Plain, l, fats)).sum()
    }

    pub(super) fn jug_volume(self) -> Result<Parts, String> {
        let lye = self.evaluation.masses.lye();
        let density = lye.density(Plain, self.design.process.room_c.get()).map_err(|e| e.to_string())?;
        let how = "its concentration, at the room’s temperature";
        let besides = self.besides_in_jug().0;
        Ok(Parts {
            formula: "(alkali + water) ÷ density",
            numbers: format!("{} ÷ {} g/ml", grams(lye.mass()), number(density)),
            inputs: vec![
                self.pure_alkali(),
                self.jug_water(),
                Input::worked_out("Density of the lye", format!("{} g/ml", fixed(density, 4)), how),
            ],
            trust: if besides > 0.0 {
                format!(
                    "Alkali and water alone: {} g of what else goes into the jug are not in it, and acids have taken up \
                     some of the alkali. {TALL}",
                    fixed(besides, 1)
                )
            } else {
                format!("Good to the millilitre. {TALL}")
            },
        })
    }

    pub(super) fn jug_concentration(self) -> Parts {
        let b = &self.evaluation.masses;
        let (pure, water) = (grams(b.alkali.pure()), grams(b.water_in_jug));
        Parts {
            formula: "100 × pure alkali ÷ (pure alkali + water in the jug)",
            numbers: format!("100 × {pure} ÷ ({pure} + {water})"),
            inputs: vec![self.pure_alkali(), self.jug_water()],
            trust: "Exact by definition, when all of the jug’s water is there before the alkali goes in.".into(),
        }
    }

    pub(super) fn peak(self) -> Result<Parts, String> {
        let (b, process) = (&self.evaluation.masses, &self.design.process);
        let (w, room) = (b.lye().fraction(), process.room_c.get());
        let water_c = process.jug_water_c.map_or(room, Celsius::get);
        let frozen = process.jug_frozen.fraction();
        let at = |c: f64| solution::enthalpy(0.0, c).map_err(|e| e.to_string());
        let (liquid, ice) = (at(water_c)?, at(0.0)? - MELTING_OF_ICE);
        let solid = solution::solid_enthalpy(Plain, room);
        let acids = 1000.0 * NEUTRALISATION * b.jug_protons / b.lye().mass().0;
        let heat = w * solid + (1.0 - w) * (frozen * ice + (1.0 - frozen) * liquid) + acids;
        let water = if frozen > 0.0 {
            format!("({} × {} + {} × {})", number(frozen), number(ice), number(1.0 - frozen), number(liquid))
        } else {
            number(liquid)
        };
        let neutralised = if acids > 0.0 { format!(" + {}", number(acids)) } else { String::new() };
        let numbers = format!(
            "h({}, t) = {} × {} + {} × {water}{neutralised} = {} kJ/kg, so t",
            number(w),
            number(w),
            number(solid),
            number(1.0 - w),
            number(heat)
        );
        let mut inputs = vec![
            Input::worked_out(
                "Lye in the jug w",
                format!("{} %", number(100.0 * w)),
                "pure alkali and water in the jug",
            ),
            self.room(),
            Input::chosen("Water in the jug before", celsius(water_c)),
            read("Heat h of lye and of water", format!("{} kJ/kg for the water", number(liquid)), ENTHALPY),
            read("Heat of solid sodium hydroxide", format!("{} kJ/kg in this room", number(solid)), ENTHALPY),
        ];
        if frozen > 0.0 {
            let value = format!("{} kJ/kg, for {} % of the water", short(MELTING_OF_ICE, 1), number(100.0 * frozen));
            inputs.push(from_memory("Heat that ice takes to melt", value, "tables of water"));
        }
        if acids > 0.0 {
            let value = format!("{} kJ/mol, for {} mol of protons", short(NEUTRALISATION, 1), number(b.jug_protons));
            inputs.push(from_memory("Heat of neutralising acids", value, "strong acid in strong base"));
        }
        let foods = self.design.additions.iter().any(|line| {
            let contents = &line.addition.contents.value;
            line.stage == Stage::IntoJug && contents.fat.get() + contents.sugars.map_or(0.0, Share::get) > 0.0
        });
        Ok(Parts {
            formula: "h(w, t) = w × h(solid alkali) + (1 − w) × h(water or ice) + heat of acids, solved for t",
            numbers,
            inputs,
            trust: if foods {
                "For alkali, water and acid an upper bound: as if no heat were lost while all dissolves. What lye does to \
                 the sugars, fat and protein of what else is in the jug gives heat too, which is not in it."
            } else {
                "An upper bound: as if no heat were lost while all dissolves. Stirred in slowly in an open jug it stays \
                 below."
            }
            .into(),
        })
    }

    pub(super) fn crystallises_below(self) -> Result<Parts, String> {
        let c = self.evaluation.jug.as_ref().ok_or("there is no lye")?.concentration;
        let pair = CRYSTALLISATION.windows(2).find(|pair| c <= pair[1].0).map(|pair| (pair[0], pair[1]));
        let ((from, low), (to, high)) = pair.ok_or("it is not tabled for this strength")?;
        let numbers = format!(
            "{low} °C + ({high} °C − {low} °C) × ({c} − {from}) ÷ ({to} − {from})",
            low = number(low),
            high = number(high),
            c = number(c),
            from = number(from),
            to = number(to)
        );
        let point =
            |c: f64, t: f64| read(&format!("Curve at {} %", short(c, 1)), celsius(t), "Wang et al. 2008, digitised");
        Ok(Parts {
            formula: "t₀ + (t₁ − t₀) × (c − c₀) ÷ (c₁ − c₀), between the two points of the curve around c",
            numbers,
            inputs: vec![
                Input::worked_out("Lye in the jug c", format!("{} %", number(c)), "pure alkali and water in the jug"),
                point(from, low),
                point(to, high),
            ],
            trust: if self.besides_in_jug().0 > 0.0 {
                "The curve of sodium hydroxide and water alone, read off a published diagram to ±1 °C: what else is in \
                 the jug, and alkali that acids have taken up there, shift it by more."
            } else {
                "The curve was read off a published diagram, to ±1 °C; lye can also stay liquid below it for a while."
            }
            .into(),
        })
    }

    pub(super) fn density(self) -> Parts {
        let (lye, room) = (self.evaluation.masses.lye(), self.design.process.room_c.get());
        let of_water = water_density(room);
        let alkali_ml = lye.volume_extrapolated(Plain, room) - lye.water.0 / of_water;
        let (mass, water) = (grams(lye.mass()), grams(lye.water));
        Parts {
            formula: "(alkali + water) ÷ (water ÷ ρ(water) + alkali × its apparent volume)",
            numbers: format!("{mass} ÷ ({water} ÷ {} g/ml + {} ml)", number(of_water), number(alkali_ml)),
            inputs: vec![
                self.jug_water(),
                self.pure_alkali(),
                self.room(),
                from_memory(
                    "Density of water ρ",
                    format!("{} g/ml", fixed(of_water, 4)),
                    "Kell 1975, checked against tables",
                ),
                read(
                    "Volume that the alkali adds",
                    format!("{} ml", number(alkali_ml)),
                    "Laliberté and Cooper 2004 with the coefficients of 2009",
                ),
            ],
            trust:
                "Fitted to measurements, and given only within their range. What additions bring into the jug besides water is not \
                    in it."
                    .into(),
        }
    }

    pub(super) fn minutes_to_mix(self) -> Result<Parts, String> {
        let cooling = self.evaluation.jug.as_ref().and_then(|j| j.cooling).ok_or("the peak is not known")?;
        let mix = self.design.process.mix_c.get();
        let (usual, place) = match self.design.process.jug_stands {
            Surroundings::Air => (IN_AIR, "standing in air"),
            Surroundings::Bath(_) => (IN_BATH, "standing in a water bath"),
        };
        let measured = self.design.calibration.jug_cooling_min.is_some();
        let (source, trust) = if measured {
            ("your own reading", Some(Trust::Maker))
        } else {
            ("our judgement; a reading betters it", None)
        };
        let trust_text = if measured {
            "Newton’s law of cooling with your own reading; it holds for this jug, this fill and this place."
        } else {
            "A rough guide: how fast a jug cools depends on its size, wall and draught. Type one later reading of your \
             own jug to do better."
        };
        Ok(Parts {
            formula: "τ × ln((peak − surroundings) ÷ (working temperature − surroundings))",
            numbers: format!(
                "{} min × ln(({} − {to}) ÷ ({} − {to}))",
                number(cooling.constant),
                number(cooling.from),
                number(mix),
                to = number(cooling.to)
            ),
            inputs: vec![
                Input {
                    name: format!("Time constant τ, {place}"),
                    value: if measured {
                        format!("{} min; {} min would be usual", short(cooling.constant, 1), short(usual, 0))
                    } else {
                        format!("{} min", short(usual, 0))
                    },
                    source: source.into(),
                    trust,
                },
                Input::worked_out("Peak", celsius(cooling.from), "the heat balance of the jug"),
                Input::chosen("Surroundings", celsius(cooling.to)),
                self.working(),
            ],
            trust: trust_text.into(),
        })
    }

    pub(super) fn meeting(self) -> Result<Parts, String> {
        let lye = self.evaluation.masses.lye();
        let mix = self.design.process.mix_c.get();
        let peak = self.evaluation.jug.as_ref().and_then(|j| j.peak.ok());
        let lye_c = peak.map_or(mix, |p| p.min(mix));
        let fats_c = self.design.process.fats_c.map_or(mix, Celsius::get);
        let capacity = solution::heat_capacity(lye.fraction(), lye_c).map_err(|e| e.to_string())?;
        let into_fats: Grams = self.additions().filter(|(l, _)| l.stage == Stage::IntoFats).map(|(_, m)| m).sum();
        let fats = self.evaluation.masses.fats + into_fats;
        let (of_fats, of_lye) = (
            format!("{} × {}", grams(fats), number(FATS_HEAT_CAPACITY)),
            format!("{} × {}", grams(lye.mass()), number(capacity)),
        );
        Ok(Parts {
            formula: "(fats × c(fats) × t(fats) + lye × c(lye) × t(lye)) ÷ (fats × c(fats) + lye × c(lye))",
            numbers: format!("({of_fats} × {} + {of_lye} × {}) ÷ ({of_fats} + {of_lye})", number(fats_c), number(lye_c)),
            inputs: vec![
                Input::worked_out("Fats, with what goes into them", grams(fats), "this design’s own numbers"),
                Input::worked_out("Lye", grams(lye.mass()), "pure alkali and water in the jug"),
                Input::chosen("Fats are at", celsius(fats_c)),
                self.working(),
                from_memory("Heat capacity of fats", format!("{} kJ/(kg K)", short(FATS_HEAT_CAPACITY, 2)), "usual for oils"),
                read("Heat capacity of the lye", format!("{} kJ/(kg K)", fixed(capacity, 3)), ENTHALPY),
            ],
            trust: "A heat balance without losses to the pot and the air, at the moment of pouring; the reaction then warms \
                    the batter further."
                .into(),
        })
    }
}
