//! Figures of the blend and the estimates by composition.

use super::sum::{grams, number, sum};
use super::{About, Input, Parts};
use crate::chemistry::estimates::Estimate;
use crate::chemistry::fatty_matter::fatty_matter_per_gram;
use crate::chemistry::titre::FIT;
use crate::design::blend::FatLine;
use crate::formula::Plain;
use crate::library::acids::Acid;
use crate::library::composition::Composition;
use crate::library::material::Trust;
use crate::library::styles::ReferenceSoap;
use crate::number::{fixed, short, significant};

/// How many acids are listed at the most; all are in the sum.
pub(super) const MOST_ACIDS: usize = 6;

impl<'a> About<'a> {
    pub(super) fn composition(self) -> Result<&'a Composition, String> {
        self.evaluation.composition.as_ref().ok_or_else(|| "no fat of the blend has a tabled profile of acids".into())
    }

    /// The fats with a share.
    pub(super) fn lines(self) -> impl Iterator<Item = &'a FatLine> {
        self.design.blend.lines().iter().filter(|l| l.share.get() > 0.0)
    }

    /// The mean of a figure over the fats that have it, by share.
    pub(super) fn mean(self, figure: impl Fn(&FatLine) -> Option<f64>) -> String {
        let known: Vec<(f64, f64)> = self.lines().filter_map(|l| Some((l.share.get(), figure(l)?))).collect();
        let terms = known.iter().map(|(share, value)| format!("{} × {}", number(*share), number(*value)));
        format!("({}) ÷ {}", sum(terms), number(known.iter().map(|(share, _)| share).sum()))
    }

    /// Each fat with a figure from its profile, and the source of the profile's largest acid.
    pub(super) fn of_profiles(self, name: &str, figure: impl Fn(&FatLine) -> Option<String>) -> Vec<Input> {
        let input = |line: &FatLine| {
            let largest = line.fat.profile().iter().max_by(|a, b| a.typical.total_cmp(&b.typical))?;
            Some(Input {
                name: format!("{name} of {}", line.fat.name),
                value: figure(line)?,
                source: largest.source.clone(),
                trust: Some(largest.trust),
            })
        };
        self.lines().filter_map(input).collect()
    }

    pub(super) fn left_out(self) -> &'static str {
        match &self.evaluation.composition {
            Some(c) if c.unknown > 0.0 => " Fats without a tabled profile are left out.",
            _ => "",
        }
    }

    /// What a score does not know of.
    pub(super) fn of_potassium_soap(self) -> &'static str {
        if self.design.alkali.koh_share.get() > 0.0 {
            " It is for sodium soap: potassium soap is softer and dissolves sooner."
        } else {
            ""
        }
    }

    pub(super) fn saponification(self) -> Parts {
        let calculated = self.evaluation.chemistry.saponification_value_calculated;
        let beside =
            calculated.map_or_else(String::new, |sv| format!(" The acids give {} mg KOH/g, as a check.", fixed(sv, 1)));
        Parts {
            formula: "Σ share·SV ÷ Σ share",
            numbers: self.mean(|l| Some(l.saponification_value())),
            inputs: self.saponification_values().collect(),
            trust: format!(
                "Published ranges or suppliers’ figures, never calculated ones; a fat of one’s own shelf lies somewhere \
                 in its range.{beside}"
            ),
        }
    }

    pub(super) fn saponification_calculated(self) -> Parts {
        let acids = &self.library.acids;
        // What counts has both figures, as the composition has it.
        let figure = |l: &FatLine| l.fat.calculated_iv(acids).and(l.fat.calculated_sv(acids));
        Parts {
            formula: "Σ share·SV ÷ Σ share, SV = 3·56 105 ÷ (3·M + 38.049) × (1 − unsaponifiable) for triglycerides",
            numbers: self.mean(figure),
            inputs: self.of_profiles("Saponification value", |l| Some(format!("{} mg KOH/g", fixed(figure(l)?, 2)))),
            trust: format!(
                "A check beside the published value, from typical profiles (AOCS Cd 3a-94). The lye never rests on it.{}",
                self.left_out()
            ),
        }
    }

    pub(super) fn iodine(self) -> Parts {
        let acids = &self.library.acids;
        let figure = |l: &FatLine| l.fat.calculated_sv(acids).and(l.fat.calculated_iv(acids));
        Parts {
            formula: "Σ share·IV ÷ Σ share, IV = Σ x·600·126.904·d ÷ (3·M + 38.049) × (1 − unsaponifiable) for triglycerides",
            numbers: self.mean(figure),
            inputs: self.of_profiles("Iodine value", |l| Some(format!("{} g/100 g", fixed(figure(l)?, 2)))),
            trust: format!(
                "Calculated from typical profiles (AOCS Cd 1c-85, exact masses), so as good as those; the profile of one \
                 season differs.{}",
                self.left_out()
            ),
        }
    }

    pub(super) fn saturated_per_unsaturated(self) -> Result<Parts, String> {
        let composition = self.composition()?;
        let of = |saturated: bool| {
            let acids = self.library.acids.iter().filter(move |(_, acid)| acid.is_saturated() == saturated);
            acids.map(|(id, _)| composition.fraction(id)).filter(|f| *f > 0.0).map(number)
        };
        let parts = self.largest(|id, _| Some(composition.fraction(id)));
        let input = |(acid, fraction): (&Acid, f64)| {
            let kind = if acid.is_saturated() { "saturated" } else { "unsaturated" };
            let value = format!("{} % of the acids, {kind}", significant(100.0 * fraction));
            Input::worked_out(&in_words(acid), value, "the fats’ typical profiles")
        };
        Ok(Parts {
            formula: "Σ saturated acids ÷ Σ unsaturated acids, by mass",
            numbers: format!("({}) ÷ ({})", sum(of(true)), sum(of(false))),
            inputs: parts.into_iter().map(input).collect(),
            trust: format!("As good as the typical profiles; the profile of one season differs.{}", self.left_out()),
        })
    }

    /// The reference soap of the design's style whose acids are nearest, and the part of them that differs.
    pub(super) fn nearest_soap(self) -> Result<(&'a ReferenceSoap, f64), String> {
        let composition = self.composition()?;
        let style = self.library.style(&self.design.style);
        style.and_then(|s| s.nearest(composition)).ok_or_else(|| "the style has no reference soaps".into())
    }

    pub(super) fn nearest_soap_differs(self) -> Result<Parts, String> {
        let (composition, (soap, _)) = (self.composition()?, self.nearest_soap()?);
        let acids = self.library.acids.iter();
        let both = acids.map(|(id, acid)| (acid, composition.fraction(id), soap.composition.fraction(id)));
        let differ: Vec<_> = both.filter(|(_, here, there)| (here - there).abs() > 1e-9).collect();
        let terms = differ.iter().map(|(_, here, there)| number(100.0 * (here - there).abs()));
        let mut inputs = vec![Input {
            name: "The nearest reference soap".into(),
            value: soap.name.clone(),
            source: soap.source.clone(),
            trust: Some(soap.trust),
        }];
        let mut largest = differ.clone();
        largest.sort_by(|a, b| (b.1 - b.2).abs().total_cmp(&(a.1 - a.2).abs()));
        inputs.extend(largest.into_iter().take(MOST_ACIDS).map(|(acid, here, there)| {
            let value = format!("{} % here, {} % there", fixed(100.0 * here, 1), fixed(100.0 * there, 1));
            Input::worked_out(&in_words(acid), value, "the fats’ typical profiles")
        }));
        Ok(Parts {
            formula: "½ Σ |acid here − acid in the soap|, in percent of the acids",
            numbers: format!("({}) ÷ 2", sum(terms)),
            inputs,
            trust: format!(
                "From typical profiles; two seasons of one fat differ by a few percent. It compares blends, not bars.{}",
                self.left_out()
            ),
        })
    }

    pub(super) fn titre(self) -> Result<Parts, String> {
        let (acids, composition) = (&self.library.acids, self.composition()?);
        let liquidus = self.library.fusion.liquidus(composition, acids).ok_or("the blend holds no saturated acid")?;
        let moles = |acid: &Acid, fraction: f64| fraction / acid.molar_mass;
        let all: f64 = acids.iter().map(|(id, acid)| moles(acid, composition.fraction(id))).sum();
        let mut inputs = vec![Input {
            name: "Liquidus L of the saturated acids".into(),
            value: format!("{} °C", fixed(liquidus, 2)),
            source: "ideal solubility with melting points and heats of fusion of the acids".into(),
            trust: Some(Trust::FromMemory),
        }];
        let saturated =
            self.largest(|id, acid| acid.is_saturated().then(|| moles(acid, composition.fraction(id)) / all));
        inputs.extend(saturated.into_iter().map(|(acid, x)| {
            let value = format!("{} mole percent of the acids", significant(100.0 * x));
            Input::worked_out(&in_words(acid), value, "the fats’ typical profiles")
        }));
        inputs.push(Input {
            name: "Slope and offset".into(),
            value: format!("{} and {} °C", number(FIT.0), number(FIT.1)),
            source: "fitted to ten titres of Simmons and Appleton 1908".into(),
            trust: Some(Trust::Read),
        });
        Ok(Parts {
            formula: "−11.68 + 1.157 × L, L = the greatest 1 ÷ (1 ÷ T − R·ln x ÷ ΔH) − 273.15",
            numbers: format!("{} °C + {} × {} °C", number(FIT.1), number(FIT.0), number(liquidus)),
            inputs,
            trust:
                "Good to about ±3 °C in hard charges, worse in soft ones (maize 8 too high, peanut 6.5 too low). It is \
                    where the acids set, not the hardness of a bar."
                    .into(),
        })
    }

    /// The acids with the greatest `size`, and it; those without are left out.
    fn largest(self, size: impl Fn(crate::library::acids::AcidId, &Acid) -> Option<f64>) -> Vec<(&'a Acid, f64)> {
        let sized = self.library.acids.iter().filter_map(|(id, acid)| Some((acid, size(id, acid)?)));
        let mut all: Vec<_> = sized.filter(|(_, s)| *s > 0.0).collect();
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        all.truncate(MOST_ACIDS);
        all
    }

    pub(super) fn tfm(self) -> Parts {
        let acids = &self.library.acids;
        let part = |l: &FatLine| fatty_matter_per_gram(Plain, &l.fat, l.saponification_value(), acids);
        let terms = self.fats().filter_map(|(l, mass)| Some(format!("{} × {}", grams(mass), number(part(l)?))));
        let batter = self.evaluation.masses.batter;
        let mut inputs = vec![self.size(), Input::worked_out("Batter", grams(batter), "the sum of all that goes in")];
        inputs.extend(self.lines().filter_map(|line| {
            let value = format!("{} g in a gram", fixed(part(line)?, 4));
            let how = "one less the glyceryl residue, by its saponification value";
            Some(Input::worked_out(&format!("Fatty matter of {}", line.fat.name), value, how))
        }));
        Parts {
            formula: "100 × Σ m × (1 − 38.049 ÷ 3 × SV ÷ 56 105) ÷ batter; a free acid counts whole, a wax ester its acid",
            numbers: format!("100 × ({}) ÷ {}", sum(terms), grams(batter)),
            inputs,
            trust: "Stoichiometry (ISO 685) over the fresh bar; it rises as the bar dries. Fat in additions is not counted."
                .into(),
        }
    }

    pub(super) fn score(self, estimate: Estimate) -> Result<Parts, String> {
        let composition = self.composition()?;
        let weight = |id| self.library.weights.get(id, estimate) / scale(estimate);
        let value = self.evaluation.estimate(estimate).map_or(0.0, |r| r.value);
        let numbers = self.score_terms(estimate, composition, value);
        let free = self.evaluation.masses.free_fat;
        let parts = self.largest(|id, _| Some(composition.fraction(id) * weight(id)));
        let mut inputs: Vec<Input> =
            parts.into_iter().map(|(acid, points)| self.weighed(estimate, acid, points)).collect();
        if estimate == Estimate::Conditioning {
            let how = "superfat and the fat of additions";
            inputs.push(Input::worked_out("Free fat", format!("{} %", fixed(free, 2)), how));
            let of_fat = |l: &FatLine| Some(format!("{} g/kg", short(1000.0 * l.fat.unsaponifiable_fraction(), 2)));
            inputs.extend(self.lines().filter_map(|line| {
                let matter = line.fat.unsaponifiable.as_ref()?;
                Some(Input {
                    name: format!("Unsaponifiable matter of {}", line.fat.name),
                    value: of_fat(line)?,
                    source: matter.source.clone(),
                    trust: Some(matter.trust),
                })
            }));
        }
        let range = self.evaluation.estimate(estimate).and_then(|r| r.range);
        if let Some(range) = range {
            let decimals = estimate.decimals();
            let value = format!("{} to {}", fixed(range.min(), decimals), fixed(range.max(), decimals));
            let name = format!("Where “{}” bars lie", self.design.style);
            inputs.push(Input::worked_out(&name, value, "the style’s reference soaps through the same formula"));
        }
        inputs.extend(self.of_profiles("Acids", |line| {
            let largest = line.fat.profile().iter().max_by(|a, b| a.typical.total_cmp(&b.typical))?;
            let acid = self.library.acids.get(largest.acid);
            Some(format!(
                "{} tabled, most of all {} with {} %",
                line.fat.profile().len(),
                acid.name,
                short(largest.typical, 2)
            ))
        }));
        Ok(Parts {
            formula: estimate.formula(),
            numbers,
            inputs,
            trust: format!(
                "An estimate by composition. {}{}{}",
                estimate.trust(),
                self.left_out(),
                self.of_potassium_soap()
            ),
        })
    }

    /// The sum that gives the score of `composition`, which is `value`, with the design's free fat.
    pub(super) fn score_terms(self, estimate: Estimate, composition: &Composition, value: f64) -> String {
        let weight = |id| self.library.weights.get(id, estimate) / scale(estimate);
        let by_acids = self.library.acids.iter().map(|(id, _)| (composition.fraction(id), weight(id)));
        let terms = by_acids
            .filter(|(fraction, weight)| *fraction > 0.0 && *weight > 0.0)
            .map(|(fraction, weight)| format!("{} × {}", number(fraction), number(weight)));
        let of_acids = match estimate {
            Estimate::Keeping => sum(terms),
            _ => format!("100 × ({})", sum(terms)),
        };
        if estimate != Estimate::Conditioning {
            return of_acids;
        }
        let (free, unsaponifiable) = (self.evaluation.masses.free_fat, 100.0 * composition.unsaponifiable);
        let all = format!("{of_acids} + {} + {}", number(free), number(unsaponifiable));
        if value < 100.0 { all } else { format!("at most 100: min({all}; 100)") }
    }

    /// An acid with what it brings to a score.
    fn weighed(self, estimate: Estimate, acid: &Acid, points: f64) -> Input {
        let id = self.library.acids.find(&acid.key);
        let weight = id.map_or(0.0, |id| self.library.weights.get(id, estimate) / scale(estimate));
        let fraction = if weight > 0.0 { points / weight } else { 0.0 };
        let percent = significant(100.0 * fraction);
        let (value, source, trust) = match estimate {
            Estimate::Wear => {
                // The logistic turned around.
                let krafft = 35.0 + 10.0 * (1.0 / weight - 1.0).ln();
                let value = format!(
                    "{percent} % of the acids × {}, Krafft temperature {} °C",
                    significant(weight),
                    fixed(krafft, 0)
                );
                (value, "Krafft temperature of its sodium soap", Some(Trust::FromMemory))
            }
            Estimate::Keeping => {
                let value = format!("{percent} % of the acids × {}", short(weight, 2));
                (value, "relative rate of oxidation, Fatemi and Hammond 1980", Some(Trust::FromMemory))
            }
            _ => {
                let value = format!("{percent} % of the acids × {}", short(weight, 2));
                (value, "weight by our judgement, ordered by published evidence", None)
            }
        };
        Input { name: in_words(acid), value, source: source.into(), trust }
    }
}

/// What a weight of 1 for all acids would make of a score.
const fn scale(estimate: Estimate) -> f64 {
    match estimate {
        Estimate::Keeping => 1.0,
        _ => 100.0,
    }
}

/// "Oleic (18:1)".
pub(super) fn in_words(acid: &Acid) -> String {
    let mut letters = acid.name.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    format!("{first}{} ({})", letters.as_str(), acid.key)
}
