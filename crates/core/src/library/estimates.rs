//! Property scores of a bar by composition alone.
//!
//! Each score is a weighted sum over the blend's fatty acids. The weights are our own
//! judgement, ordered by published evidence (`assets/data/SOURCES.md`); how often they were right is
//! counted in `comparisons`. They are shown beside the range where known soaps lie, never as a verdict.

mod moves;

pub use moves::{GROUPS, largest, on_screens};

use crate::formula::{Input, Num, Reading};
use crate::library::acids::{Acid, AcidId, Acids};
use crate::library::composition::Composition;
use crate::number::{fixed, short};
use crate::quantity::Unit;
use crate::trust::Trust;
use crate::units::{Fraction, Interval};
use serde::{Deserialize, Serialize};

listed! {
    /// A property score.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
    #[serde(rename_all = "snake_case")]
    pub enum Estimate {
        /// How firm the bar is, 0–100.
        Hardness,
        /// How strongly it strips oil, 0–100.
        Cleansing,
        /// How emollient it is, 0–100.
        Conditioning,
        /// Foam height, 0–100.
        LatherVolume,
        /// How long the foam stands, 0–100.
        LatherPersistence,
        /// How readily it dissolves in use, 0–100; lower lasts longer.
        Wear,
        /// Oxidation load; lower keeps longer.
        Keeping,
    }
    /// All, in the order of reports.
    ALL
}

impl Estimate {
    /// Name on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Hardness => "Hardness",
            Self::Cleansing => "Cleansing",
            Self::Conditioning => "Conditioning",
            Self::LatherVolume => "Lather volume",
            Self::LatherPersistence => "Lather persistence",
            Self::Wear => "Wear",
            Self::Keeping => "Keeping",
        }
    }

    /// Whether free fat and unsaponifiable matter add to it, as [`with_free_fat`] has it.
    pub const fn gains_from_free_fat(self) -> bool {
        match self {
            Self::Conditioning => true,
            Self::Hardness
            | Self::Cleansing
            | Self::LatherVolume
            | Self::LatherPersistence
            | Self::Wear
            | Self::Keeping => false,
        }
    }

    /// The most that it can be; `None` where there is no end.
    pub const fn most(self) -> Option<f64> {
        match self {
            Self::Hardness
            | Self::Cleansing
            | Self::Conditioning
            | Self::LatherVolume
            | Self::LatherPersistence
            | Self::Wear => Some(MOST),
            Self::Keeping => None,
        }
    }

    /// What the low and the high end of the scale mean.
    pub const fn ends(self) -> (&'static str, &'static str) {
        match self {
            Self::Hardness => ("soft", "hard"),
            Self::Cleansing => ("mild", "stripping"),
            Self::Conditioning => ("plain", "emollient"),
            Self::LatherVolume => ("low", "high"),
            Self::LatherPersistence => ("brief", "lasting"),
            Self::Wear => ("lasts", "melts away"),
            Self::Keeping => ("keeps", "turns early"),
        }
    }

    /// Decimals it is shown with.
    pub const fn decimals(self) -> usize {
        match self {
            Self::Keeping => 2,
            Self::Hardness
            | Self::Cleansing
            | Self::Conditioning
            | Self::LatherVolume
            | Self::LatherPersistence
            | Self::Wear => 0,
        }
    }

    /// Whether it is shown coarsely: measured blends bore out less than half of what lather volume says of them.
    pub const fn is_coarse(self) -> bool {
        match self {
            Self::LatherVolume => true,
            Self::Hardness
            | Self::Cleansing
            | Self::Conditioning
            | Self::LatherPersistence
            | Self::Wear
            | Self::Keeping => false,
        }
    }

    /// The unit in which it is shown.
    pub const fn unit(self) -> Unit {
        if self.is_coarse() { Unit::CoarseScore } else { Unit::Score }
    }

    /// `value` rounded to what is shown.
    pub fn rounded(self, value: f64) -> f64 {
        if self.is_coarse() { self.unit().rounded(value) } else { self.to_decimals(value) }
    }

    /// Where `value` is drawn: a coarse score no more finely than it is told.
    pub fn drawn(self, value: f64) -> f64 {
        if self.is_coarse() { self.rounded(value) } else { value }
    }

    fn to_decimals(self, value: f64) -> f64 {
        let step = if self.decimals() == 2 { 100.0 } else { 1.0 };
        (value * step).round() / step
    }

    /// `value` as it is shown: "49", "≈ 50".
    ///
    /// ```
    /// use barwright_core::library::estimates::Estimate;
    /// assert_eq!(Estimate::Hardness.shown(51.3), "51");
    /// assert_eq!(Estimate::LatherVolume.shown(51.3), "≈ 50");
    /// ```
    pub fn shown(self, value: f64) -> String {
        self.unit().text(value, self.decimals())
    }

    /// A range as it is shown: "41 to 52".
    pub fn shown_range(self, range: Interval) -> String {
        let end = |value: f64| self.unit().number(value, self.decimals());
        format!("{} to {}", end(range.min()), end(range.max()))
    }

    /// All scores that are shown as inside `range`, as [`Place::of`] compares them: up to just short
    /// of half a step beyond its rounded ends. Of a coarse score fewer: it is asked for as finely as any.
    ///
    /// ```
    /// use barwright_core::library::estimates::{Estimate, Place};
    /// use barwright_core::units::Interval;
    /// let range = Interval::new(46.6, 52.0)?;
    /// let shown = Estimate::Hardness.as_shown(range);
    /// assert_eq!(Place::of(Estimate::Hardness, shown.min(), range), Place::Inside);
    /// assert!(shown.min() > 46.5 && shown.max() < 52.5);
    /// # Ok::<(), barwright_core::units::NoInterval>(())
    /// ```
    pub fn as_shown(self, range: Interval) -> Interval {
        let slack = 0.49 * 0.1_f64.powi(i32::try_from(self.decimals()).unwrap_or_default());
        let (low, high) = (self.to_decimals(range.min()) - slack, self.to_decimals(range.max()) + slack);
        Interval::new(low, high).unwrap_or(range)
    }

    /// What its weights rest on, in a sentence or two.
    pub const fn rests_on(self) -> &'static str {
        match self {
            Self::Hardness => "Weights by our judgement, in the acids’ melting order.",
            Self::Cleansing => "Weights by our judgement: irritancy on skin peaks at 10 to 12 carbons.",
            Self::Conditioning => "Weights by our judgement: unsaturated soaps feel emollient.",
            Self::LatherVolume => "Weights by our judgement: foam peaks at 12 to 14 carbons.",
            Self::LatherPersistence => "Weights by our judgement: films of 14 to 16 carbons are the most rigid.",
            Self::Wear => {
                "Estimated from Krafft temperatures that are from memory. Mixing lowers them, so blends wear somewhat faster than the sum."
            }
            Self::Keeping => "Relative oxidation rates from memory (Fatemi and Hammond 1980).",
        }
    }

    /// Whether a guideline `range` is narrower than what few reference soaps can tell: under 3 points.
    pub fn is_narrow(self, range: Interval) -> bool {
        self.most().is_some() && range.width() < NARROW
    }

    /// A narrow `range` about its middle as wide as it is drawn at the least; others as they are.
    pub fn softened(self, range: Interval) -> Interval {
        let middle = f64::midpoint(range.min(), range.max());
        let wide = Interval::new(middle - NARROW / 2.0, middle + NARROW / 2.0).unwrap_or(range);
        if self.is_narrow(range) { wide } else { range }
    }

    /// Whether two scores are too near to each other for a word of more or less: closer than 5 points. Of keeping,
    /// which has no points, none are.
    ///
    /// ```
    /// use barwright_core::library::estimates::Estimate;
    /// assert!(Estimate::Hardness.is_about_same(47.0, 51.0));
    /// assert!(!Estimate::Hardness.is_about_same(47.0, 52.0));
    /// assert!(Estimate::LatherVolume.is_about_same(52.4, 52.6));
    /// ```
    pub fn is_about_same(self, a: f64, b: f64) -> bool {
        /// As near as pairs that published comparisons could not tell apart (our choice).
        const NEAR: f64 = 5.0;
        // Coarse steps would take what lies at either side of an edge for more or less.
        let as_told = |value: f64| if self.is_coarse() { value } else { self.rounded(value) };
        self.most().is_some() && (as_told(a) - as_told(b)).abs() < NEAR
    }
}

/// A range of fewer points is narrow (our choice).
const NARROW: f64 = 3.0;

/// One number for each estimate, in the order of [`Estimate::ALL`].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Scores<N = f64>(pub [N; 7]);

impl<N: Copy> Scores<N> {
    /// The score of `estimate`.
    pub const fn get(&self, estimate: Estimate) -> N {
        self.0[estimate as usize]
    }
}

/// What one acid weighs in each score.
#[derive(Debug, Clone, PartialEq)]
pub struct Weights(Vec<[f64; 7]>);

/// A table of weights that cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum WeightsError {
    /// The text is not the CSV it should be.
    #[error("weights.csv: {0}")]
    Csv(#[from] csv::Error),
    /// An acid that `acids.csv` does not have.
    #[error("weights.csv: acid {0} is not in acids.csv")]
    UnknownAcid(String),
    /// An acid without weights, or with a weight that is not finite.
    #[error("weights.csv: acid {0} has no usable weights")]
    Missing(String),
}

#[derive(Deserialize)]
struct WeightsRow {
    acid: String,
    krafft_c: f64,
    hardness: f64,
    cleansing: f64,
    conditioning: f64,
    lather_volume: f64,
    lather_persistence: f64,
    oxidation: f64,
}

/// Share of a soap that counts as readily dissolving in water at 35 °C, from its Krafft
/// temperature in °C: 1/(1 + exp(−(35 − T)/10)). Our judgement; 35 °C is hand-warm water.
pub fn readily_dissolving(krafft_c: f64) -> f64 {
    1.0 / (1.0 + (-(35.0 - krafft_c) / 10.0).exp())
}

impl Weights {
    /// Parses `weights.csv` for `acids`.
    ///
    /// # Errors
    /// [`WeightsError`], naming the acid.
    pub fn parse(text: &str, acids: &Acids) -> Result<Self, WeightsError> {
        let mut rows = vec![None; acids.len()];
        for row in csv::Reader::from_reader(text.as_bytes()).deserialize() {
            let row: WeightsRow = row?;
            let id = acids.find(&row.acid).ok_or_else(|| WeightsError::UnknownAcid(row.acid.clone()))?;
            rows[id.index()] = Some([
                MOST * row.hardness,
                MOST * row.cleansing,
                MOST * row.conditioning,
                MOST * row.lather_volume,
                MOST * row.lather_persistence,
                MOST * readily_dissolving(row.krafft_c),
                row.oxidation,
            ]);
        }
        let complete = acids.iter().zip(rows).map(|((_, acid), row)| {
            row.filter(|r| r.iter().all(|w| w.is_finite())).ok_or_else(|| WeightsError::Missing(acid.key.clone()))
        });
        Ok(Self(complete.collect::<Result<_, _>>()?))
    }

    /// What a mass fraction of 1 of `acid` adds to `estimate`.
    pub fn get(&self, acid: AcidId, estimate: Estimate) -> f64 {
        self.0[acid.index()][estimate as usize]
    }

    /// The scores of a bar in which `free_fat` of all fat is unsaponified.
    pub fn scores<R: Reading>(
        &self,
        r: R,
        composition: &Composition<R::N>,
        free_fat: Fraction<R::N>,
        acids: &Acids,
    ) -> Scores<R::N> {
        with_free_fat(r, self.of_acids(r, composition, acids), composition.unsaponifiable, free_fat)
    }

    /// The part of the scores that comes from the acids alone: free fat is not in it yet.
    pub fn of_acids<R: Reading>(&self, r: R, composition: &Composition<R::N>, acids: &Acids) -> Scores<R::N> {
        let mut scores = [R::N::from(0.0); 7];
        for ((id, acid), weights) in acids.iter().zip(&self.0) {
            let fraction = composition.named(r, id, acid);
            if fraction.value() > 0.0 {
                for estimate in Estimate::ALL {
                    let weight = weights[estimate as usize];
                    let weight = r.input("weight", weight, "", || estimate.about_weight(acid, weight));
                    scores[estimate as usize] += fraction * weight;
                }
            }
        }
        Scores(scores)
    }
}

/// Adds to conditioning what free fat and unsaponifiable matter (both fractions) bring: a point
/// for each percent, capped at 100 in all.
pub fn with_free_fat<R: Reading>(
    r: R,
    acids: Scores<R::N>,
    unsaponifiable: R::N,
    free_fat: Fraction<R::N>,
) -> Scores<R::N> {
    let mut scores = acids;
    let free_fat = if free_fat.value() < 0.0 { R::N::from(0.0) } else { free_fat.0 };
    let conditioning = &mut scores.0[Estimate::Conditioning as usize];
    let about = || ("Unsaponifiable matter, mean of the blend".into(), "the fats’ records".into());
    let unsaponifiable = r.named("unsaponifiable", "", unsaponifiable, about);
    let all = *conditioning + R::N::from(MOST) * (unsaponifiable + free_fat);
    *conditioning = if all.value() < MOST { all } else { all.min(R::N::from(MOST)) };
    scores
}

/// The most that a score can be: that of a weight of 1, and a point for each percent of what free fat brings.
const MOST: f64 = 100.0;

impl Estimate {
    /// What is known of the weight that `acid` has in the score.
    fn about_weight(self, acid: &Acid, weight: f64) -> Input {
        let name = format!("{} of {} alone", self.name(), acid.in_words());
        let value = short(weight, 2);
        match self {
            Self::Wear => {
                // The logistic turned around.
                let krafft = 35.0 + 10.0 * (MOST / weight - 1.0).ln();
                let value = format!("{value}, Krafft temperature {} °C", fixed(krafft, 0));
                Input::sourced(&name, value, "Krafft temperature of its sodium soap", Trust::FromMemory)
            }
            Self::Keeping => {
                let source = "relative rate of oxidation, Fatemi and Hammond 1980";
                Input::sourced(&name, value, source, Trust::FromMemory)
            }
            Self::Hardness | Self::Cleansing | Self::Conditioning | Self::LatherVolume | Self::LatherPersistence => {
                Input::worked_out(&name, value, "weight by our judgement, ordered by published evidence")
            }
        }
    }
}

/// Where a score lies relative to a guideline range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Place {
    /// Under the range.
    Below,
    /// In the range, ends included.
    Inside,
    /// Over the range.
    Above,
}

impl Place {
    /// Compares the numbers as they are shown, so that the word never contradicts them.
    pub fn of(estimate: Estimate, value: f64, range: Interval) -> Self {
        let value = estimate.rounded(value);
        if value < estimate.rounded(range.min()) {
            Self::Below
        } else if value > estimate.rounded(range.max()) {
            Self::Above
        } else {
            Self::Inside
        }
    }

    /// The word on screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Below => "below",
            Self::Inside => "inside",
            Self::Above => "above",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::Library;

    #[test]
    fn the_place_is_compared_on_the_rounded_numbers() {
        let range = Interval::new(47.4, 52.0).expect("ordered");
        assert_eq!(Place::of(Estimate::Hardness, 46.6, range), Place::Inside);
        assert_eq!(Place::of(Estimate::Hardness, 46.4, range), Place::Below);
        assert_eq!(Place::of(Estimate::Hardness, 52.5, range), Place::Above);
        assert_eq!(Place::of(Estimate::Keeping, 52.004, range), Place::Inside);
    }

    #[test]
    fn what_is_asked_for_within_a_coarse_range_is_shown_inside() {
        let estimate = Estimate::LatherVolume;
        for tenth in 0..900_u32 {
            let low = f64::from(tenth) / 10.0;
            let range = Interval::new(low, low + 7.0).expect("ordered");
            let asked = estimate.as_shown(range);
            for value in [asked.min(), range.mid(), asked.max()] {
                assert_eq!(Place::of(estimate, value, range), Place::Inside, "{value} in {range:?}");
            }
        }
    }

    #[test]
    fn half_of_a_soap_with_a_krafft_temperature_of_35_dissolves() {
        assert!((readily_dissolving(35.0) - 0.5).abs() < 1e-15, "the logistic's middle");
        assert!(readily_dissolving(10.0) > 0.9, "well under: dissolves");
    }

    #[test]
    fn the_krafft_temperature_told_is_the_one_of_the_table() {
        let library = Library::embedded().expect("assets parse");
        let table = include_str!("../../../../assets/data/weights.csv");
        for row in csv::Reader::from_reader(table.as_bytes()).deserialize() {
            let row: WeightsRow = row.expect("a row");
            let id = library.acids.find(&row.acid).expect("an acid");
            let weight = library.weights.get(id, Estimate::Wear);
            let told = Estimate::Wear.about_weight(library.acids.get(id), weight).value;
            assert!(told.ends_with(&format!(", Krafft temperature {} °C", fixed(row.krafft_c, 0))), "{told}");
        }
    }

    #[test]
    fn scores_are_indexed_in_the_order_of_all() {
        for (i, estimate) in Estimate::ALL.into_iter().enumerate() {
            assert_eq!(estimate as usize, i, "{estimate:?}");
        }
    }
}
