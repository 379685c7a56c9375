//! How far the figures of a blend may lie from those of its typical profiles, and where the reference
//! soaps of its style lie.

use super::blend::in_words;
use super::figure::{Entry, Figure};
use super::sum::number;
use super::{About, Input, Parts};
use crate::chemistry::estimates::Estimate;
use crate::chemistry::spread;
use crate::chemistry::titre::{FIT, R, ZERO_CELSIUS};
use crate::design::blend::FatLine;
use crate::library::fats::{Fat, FatKind};
use crate::library::material::Trust;
use crate::library::styles::ReferenceSoap;
use crate::number::{fixed, significant};
use crate::units::Interval;

/// An end of a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    Low,
    High,
}

/// One end of the range of a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum SpreadFigure {
    Score(Estimate, End),
    /// Of the scores of the style's reference soaps.
    References(Estimate, End),
    Saponification(End),
    Iodine(End),
    Titre(End),
}

/// The keys; E is a score.
pub(super) const KEYS: [&str; 10] = [
    "chemistry.saponification_value_low",
    "chemistry.saponification_value_high",
    "chemistry.iodine_value_low",
    "chemistry.iodine_value_high",
    "chemistry.titre_low_c",
    "chemistry.titre_high_c",
    "estimates.E.low",
    "estimates.E.high",
    "estimates.E.range_low",
    "estimates.E.range_high",
];

const OUTER: &str = "An outer limit: all fats are taken at their extremes at once, each with the sum of its acids held. A \
                     figure published without a range counts as it is.";

impl End {
    const fn of(self, (low, high): (f64, f64)) -> f64 {
        match self {
            Self::Low => low,
            Self::High => high,
        }
    }

    const fn of_interval(self, interval: Interval) -> f64 {
        self.of((interval.min(), interval.max()))
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Low => "least",
            Self::High => "most",
        }
    }
}

impl SpreadFigure {
    /// The number that `key` names.
    pub(super) fn find(key: &str) -> Option<Entry> {
        let entry = |figure, title: String, unit: &str, decimals| {
            Some(Entry::of_design(Figure::Spread(figure), key.into(), title, unit, decimals))
        };
        let (section, rest) = key.split_once('.')?;
        if section == "chemistry" {
            let (figure, name, unit, decimals): (fn(End) -> Self, _, _, _) = match rest {
                "saponification_value_low" | "saponification_value_high" => {
                    (Self::Saponification, "saponification value", "mg KOH/g", 1)
                }
                "iodine_value_low" | "iodine_value_high" => (Self::Iodine, "iodine value", "g/100 g", 1),
                "titre_low_c" | "titre_high_c" => (Self::Titre, "titre", "°C", 0),
                _ => return None,
            };
            let end = if rest.contains("_low") { End::Low } else { End::High };
            return entry(figure(end), format!("The {} {name} that can result", end.word()), unit, decimals);
        }
        let (name, end) = rest.split_once('.')?;
        let whole = format!("{section}.{name}");
        let Figure::Score(estimate) = super::figure::ENTRIES.iter().find(|e| e.key == whole)?.figure else {
            return None;
        };
        let score = estimate.name();
        let of_profiles =
            |end: End| (Self::Score(estimate, end), format!("{score}, the {} of any profile", end.word()));
        let of_style =
            |end: End| (Self::References(estimate, end), format!("{score}, the {} of the style’s soaps", end.word()));
        let (figure, title) = match end {
            "low" => of_profiles(End::Low),
            "high" => of_profiles(End::High),
            "range_low" => of_style(End::Low),
            "range_high" => of_style(End::High),
            _ => return None,
        };
        entry(figure, title, "", estimate.decimals())
    }

    pub(super) fn value(self, about: About<'_>) -> Result<f64, String> {
        let About { design, evaluation, library } = about;
        let of = |end: End, spread: Option<Interval>| {
            spread.map(|s| end.of_interval(s)).ok_or_else(|| "no fat of the blend has a tabled profile of acids".into())
        };
        match self {
            Self::Score(estimate, end) => {
                Figure::Score(estimate).value(about)?;
                let all = spread::scores(&design.blend, evaluation.masses.free_fat, library);
                of(end, all.map(|all| all[estimate as usize]))
            }
            Self::References(estimate, end) => {
                Figure::Score(estimate).value(about)?;
                let range = evaluation.estimate(estimate).and_then(|r| r.range);
                range.map(|r| end.of_interval(r)).ok_or_else(|| about.no_style())
            }
            Self::Saponification(end) => {
                let spread = spread::saponification_value(&design.blend);
                spread.map(|s| end.of_interval(s)).ok_or_else(|| "there are no fats in the blend".into())
            }
            Self::Iodine(end) => {
                Figure::Iodine.value(about)?;
                of(end, spread::iodine_value(&design.blend, library))
            }
            Self::Titre(end) => {
                Figure::Titre.value(about)?;
                let spread = spread::titre(&design.blend, library);
                spread
                    .map(|s| end.of_interval(s))
                    .ok_or_else(|| "the blend may hold no saturated acid that sets".into())
            }
        }
    }

    pub(super) fn parts(self, about: About<'_>) -> Result<Parts, String> {
        match self {
            Self::Score(estimate, end) => Ok(about.score_at(estimate, end)),
            Self::References(estimate, end) => about.references(estimate, end),
            Self::Saponification(end) => Ok(Parts {
                formula: match end {
                    End::Low => "Σ share × least SV ÷ Σ share",
                    End::High => "Σ share × greatest SV ÷ Σ share",
                },
                numbers: about.mean(|l| Some(end.of_interval(l.saponification_range()))),
                inputs: about.saponification_values().collect(),
                trust:
                    "An outer limit: all fats lie at the same end of their published or certified ranges at once. The \
                        lye margin says what comes of it."
                        .into(),
            }),
            Self::Iodine(end) => {
                let of_fat = |l: &FatLine| end.of(spread::iodine_of(&l.fat, about.library));
                let mut inputs = about.extremes("Iodine value", end, |l| fixed(of_fat(l), 2));
                inputs.extend(about.unsaponifiable(|fat| fat.kind == FatKind::Triglyceride));
                Ok(Parts {
                    formula: match end {
                        End::Low => "Σ share × least IV ÷ Σ share, the acids filled up in order of their double bonds",
                        End::High => {
                            "Σ share × greatest IV ÷ Σ share, the acids filled up in order of their double bonds"
                        }
                    },
                    numbers: about.mean(|l| has_profile(l).then(|| of_fat(l))),
                    inputs,
                    trust: format!("{OUTER}{}", about.left_out()),
                })
            }
            Self::Titre(end) => about.titre_at(end),
        }
    }
}

/// Whether the fat counts; what has no profile is left out.
fn has_profile(line: &FatLine) -> bool {
    !line.fat.profile().is_empty()
}

impl About<'_> {
    /// Each fat at an end, with where the widest of its acids' ranges comes from.
    fn extremes(self, name: &str, end: End, figure: impl Fn(&FatLine) -> String) -> Vec<Input> {
        let input = |line: &FatLine| {
            let widest = line.fat.profile().iter().max_by(|a, b| a.range.width().total_cmp(&b.range.width()))?;
            let acid = &self.library.acids.get(widest.acid).name;
            Some(Input {
                name: format!("{name} of {}, the {}", line.fat.name, end.word()),
                value: format!("{}; widest: {acid}, {}", figure(line), widest.published()),
                source: widest.source.clone(),
                trust: Some(widest.trust),
            })
        };
        self.lines().filter_map(input).collect()
    }

    /// Unsaponifiable matter of the fats with a profile, as far as published.
    fn unsaponifiable(self, counts: impl Fn(&Fat) -> bool) -> Vec<Input> {
        let input = |line: &FatLine| {
            let matter = line.fat.unsaponifiable.as_ref()?;
            let (least, most) = (matter.value.min(), matter.value.max());
            Some(Input {
                name: format!("Unsaponifiable matter of {}", line.fat.name),
                value: format!("{} to {} g/kg", significant(least), significant(most)),
                source: matter.source.clone(),
                trust: Some(matter.trust),
            })
        };
        self.lines().filter(|l| has_profile(l) && counts(&l.fat)).filter_map(input).collect()
    }

    fn score_at(self, estimate: Estimate, end: End) -> Parts {
        let of_fat = |l: &FatLine| end.of(spread::score_of(&l.fat, estimate, self.library));
        let of_acids = self.mean(|l| has_profile(l).then(|| of_fat(l)));
        let mut inputs = self.extremes(estimate.name(), end, |l| fixed(of_fat(l), estimate.decimals().max(1)));
        let numbers = if estimate == Estimate::Conditioning {
            let free = self.evaluation.masses.free_fat;
            let how = "superfat and the fat of additions";
            inputs.push(Input::worked_out("Free fat", format!("{} %", fixed(free, 2)), how));
            inputs.extend(self.unsaponifiable(|_| true));
            format!("at most 100: min({of_acids} + {}; 100)", number(free))
        } else {
            of_acids
        };
        Parts {
            formula: match (estimate, end) {
                (Estimate::Conditioning, End::Low) => {
                    "Σ share × least score of the fat ÷ Σ share + free fat, at most 100"
                }
                (Estimate::Conditioning, End::High) => {
                    "Σ share × greatest score of the fat ÷ Σ share + free fat, at most 100"
                }
                (_, End::Low) => {
                    "Σ share × least score of the fat ÷ Σ share, the acids filled up from the lightest weight"
                }
                (_, End::High) => {
                    "Σ share × greatest score of the fat ÷ Σ share, the acids filled up from the heaviest weight"
                }
            },
            numbers,
            inputs,
            trust: format!("{OUTER} The weights of the score are not in it.{}", self.left_out()),
        }
    }

    fn titre_at(self, end: End) -> Result<Parts, String> {
        let (low, high) = spread::sets_first(&self.design.blend, self.library).ok_or("nothing in the blend sets")?;
        let (first, formula) = match end {
            End::Low => {
                (low, "−11.68 + 1.157 × (1 ÷ (1 ÷ T − R·ln x ÷ ΔH) − 273.15), the greatest with every x at its least")
            }
            End::High => {
                (high, "−11.68 + 1.157 × (1 ÷ (1 ÷ T − R·ln x ÷ ΔH) − 273.15), the greatest with every x at its most")
            }
        };
        let acid = self.library.acids.get(first.acid);
        let (melting, heat) = self.library.fusion.of_acid(first.acid).ok_or("nothing in the blend sets")?;
        let liquidus = format!(
            "1 ÷ (1 ÷ {} − {} × ln({}) ÷ {}) − {}",
            number(melting),
            number(R),
            number(first.part),
            number(heat),
            number(ZERO_CELSIUS)
        );
        let share = format!("{} mole percent of the acids", significant(100.0 * first.part));
        let melts = format!("{} °C with {} kJ/mol", fixed(melting - ZERO_CELSIUS, 1), fixed(heat / 1000.0, 1));
        let name = format!("{}, which sets first, at the {}", in_words(acid), end.word());
        let mut inputs = vec![
            Input::worked_out(&name, share, "the fats’ published ranges, each sum of acids held"),
            Input {
                name: format!("{} melts at", in_words(acid)),
                value: melts,
                source: "melting point and heat of fusion".into(),
                trust: Some(Trust::FromMemory),
            },
        ];
        inputs.extend(self.lines().filter_map(|line| {
            let entry = line.fat.profile().iter().find(|e| e.acid == first.acid)?;
            Some(Input {
                name: format!("{} in {}", in_words(acid), line.fat.name),
                value: entry.published(),
                source: entry.source.clone(),
                trust: Some(entry.trust),
            })
        }));
        Ok(Parts {
            formula,
            numbers: format!("{} + {} × ({liquidus})", number(FIT.1), number(FIT.0)),
            inputs,
            trust: "An outer limit by the fats’ ranges alone; the estimate’s own error of ±3 °C and more comes on top."
                .into(),
        })
    }

    fn no_style(self) -> String {
        format!("no reference soaps of a style “{}” are held here", self.design.style)
    }

    fn references(self, estimate: Estimate, end: End) -> Result<Parts, String> {
        let style = self.library.style(&self.design.style).ok_or_else(|| self.no_style())?;
        let free = self.evaluation.masses.free_fat;
        let score = |soap: &ReferenceSoap| soap.scores(free / 100.0).get(estimate);
        let (function, formula) = match end {
            End::Low => ("min", "least over the style’s reference soaps, with this free fat, by the same formula"),
            End::High => ("max", "greatest over the style’s reference soaps, with this free fat, by the same formula"),
        };
        let scores: Vec<String> = style.references.iter().map(|soap| number(score(soap))).collect();
        if scores.is_empty() {
            return Err(self.no_style());
        }
        let mut inputs: Vec<Input> = style
            .references
            .iter()
            .map(|soap| Input {
                name: soap.name.clone(),
                value: fixed(score(soap), estimate.decimals()),
                source: soap.source.clone(),
                trust: Some(soap.trust),
            })
            .collect();
        inputs.push(Input::chosen("Style", self.design.style.clone()));
        if estimate == Estimate::Conditioning {
            let how = "superfat and the fat of additions";
            inputs.push(Input::worked_out("Free fat", format!("{} %", fixed(free, 2)), how));
        }
        Ok(Parts {
            formula,
            numbers: format!("{function}({})", scores.join("; ")),
            inputs,
            trust: "Where known soaps lie by the same estimate, made of fats with typical profiles: a comparison, no \
                    verdict. Few soaps stand for a style."
                .into(),
        })
    }
}
