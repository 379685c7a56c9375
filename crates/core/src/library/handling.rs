//! How a material is handled at the bench: when and how it goes in, how much of it is usual, what it does.

use super::LibraryError;
use super::materials::rows;
use crate::library::additions::{AdditionKind, Stage};
use crate::library::fats::{Fat, FatKind};
use crate::library::material::{MaterialId, Of, Sourced};
use crate::number::short;
use crate::trust::Trust;
use crate::units::{AmountPerKg, Celsius, Grams, Interval, from_percent};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde::de::value::{Error, StrDeserializer};
use std::collections::HashMap;

/// How an addition goes in, and above all what becomes of it in the jug.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum How {
    /// A solid that dissolves in the jug's water before the alkali.
    Dissolve,
    /// A liquid that stands lye: with the jug's water, cold, before the alkali.
    #[serde(rename = "stir in")]
    StirIn,
    /// What scorches in hot lye: in the jug only frozen.
    Freeze,
    /// Into the jug only after the lye has cooled.
    #[serde(rename = "after cooling")]
    AfterCooling,
    /// Melted with the hard fats; never in the jug.
    Melt,
    /// A powder that is wetted first; never in the jug.
    Wet,
    /// Beaten, strained and let in last; never in the jug.
    Strain,
    /// Strewn on the filled mould; never in the jug.
    Scatter,
}

/// When a scent goes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ScentHow {
    /// Into the fats, before the lye: it thickens the batter at once.
    #[serde(rename = "into the fats")]
    IntoFats,
    /// At trace.
    #[serde(rename = "at trace")]
    AtTrace,
}

impl ScentHow {
    /// The stage at which it usually goes in.
    pub const fn usual_stage(self) -> Stage {
        match self {
            Self::IntoFats => Stage::IntoFats,
            Self::AtTrace => Stage::AtTrace,
        }
    }

    /// Why then.
    pub const fn reason(self) -> &'static str {
        match self {
            Self::IntoFats => "It can thicken the batter at once, so it goes into the fats before the lye.",
            Self::AtTrace => "Lye and warmth take least of a scent that goes in late.",
        }
    }
}

/// How a material is handled.
#[derive(Debug, Clone, PartialEq)]
pub struct Handling<H = How> {
    /// How it goes in.
    pub how: H,
    /// How much of it is usual, g per kg of fats.
    pub usual: Interval,
    /// More than this of it wants care.
    pub most: AmountPerKg,
    /// How much of it dissolves, g in 100 g of water at 20 °C; `None` where it is not known or all does.
    pub solubility: Option<Sourced<f64>>,
    /// Its sugars warm lye and batter.
    pub warms: bool,
    /// The batter thickens sooner with it.
    pub speeds_up: bool,
    /// The bar browns with it.
    pub browns: bool,
    /// Where all but the solubility comes from.
    pub trust: Trust,
}

impl<H> Handling<H> {
    /// The most of it in a batch of `fats`.
    pub fn most_in(&self, fats: Grams) -> Grams {
        fats * (self.most.get() / G_PER_KG)
    }

    /// The most that is usual in a batch of `fats`.
    pub fn usual_in(&self, fats: Grams) -> Grams {
        fats * (self.usual.max() / G_PER_KG)
    }

    /// The usual amount and the most, in words.
    pub fn words(&self) -> String {
        let [least, usual, most] = [self.usual.min(), self.usual.max(), self.most.get()].map(|g| short(g, 1));
        let more = if usual == most { String::new() } else { format!(", {most} g at the most") };
        format!("usually {least} to {usual} g per kg of fats{more}")
    }
}

/// Amounts of a material that are in no order.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("the amounts must rise, from the least that is usual to the most: {0}, {1}, {2} g per kg of fats do not")]
pub struct AmountsError(f64, f64, f64);

impl<H: Clone> Handling<H> {
    /// The same with the maker's own amounts: from `least` to `usual`, and `most` at the most.
    ///
    /// # Errors
    /// [`AmountsError`] if they are in no order.
    pub fn as_maker(&self, least: AmountPerKg, usual: AmountPerKg, most: AmountPerKg) -> Result<Self, AmountsError> {
        let [least, usual, of_most] = [least, usual, most].map(AmountPerKg::get);
        let wrong = AmountsError(least, usual, of_most);
        let range = Interval::new(least, usual).ok().filter(|_| usual <= of_most).ok_or(wrong)?;
        Ok(Self { usual: range, most, trust: Trust::Maker, ..self.clone() })
    }
}

/// Beside lye far less dissolves than in water alone: so large a part of it is counted on (our judgement).
const BESIDE_LYE: f64 = 0.25;

impl Handling {
    /// Whether `mass` of it belongs into a jug with so much `water`: it dissolves, or stands lye as it is put in.
    pub fn fits_in_jug(&self, mass: Grams, water: Grams) -> bool {
        match self.how {
            How::StirIn | How::Freeze | How::AfterCooling => true,
            How::Melt | How::Wet | How::Strain | How::Scatter => false,
            How::Dissolve => {
                let most = self.solubility.as_ref().map(|s| water * (BESIDE_LYE * from_percent(s.value)));
                most.is_none_or(|most| mass <= most)
            }
        }
    }
}

/// Grams in a kilogram.
const G_PER_KG: f64 = 1000.0;

impl Handling {
    /// How an addition of `kind` is handled of which nothing else is known (common practice, no source).
    pub fn of_kind(kind: AdditionKind) -> Self {
        let (how, least, usual, most, warms) = match kind {
            AdditionKind::Puree => (How::Freeze, 30.0, 150.0, 400.0, true),
            AdditionKind::Milk => (How::Freeze, 30.0, 350.0, 400.0, true),
            AdditionKind::Liquid => (How::StirIn, 50.0, 350.0, 400.0, false),
            AdditionKind::Sugar => (How::AfterCooling, 10.0, 30.0, 30.0, true),
            AdditionKind::Acid => (How::Dissolve, 10.0, 20.0, 20.0, false),
            AdditionKind::Salt => (How::Dissolve, 5.0, 15.0, 30.0, false),
            AdditionKind::Filler => (How::Wet, 10.0, 30.0, 40.0, false),
        };
        Self::usual_practice(how, (least, usual, most), warms)
    }
}

impl Handling<ScentHow> {
    /// How a scent is handled of which nothing else is known (common practice, no source).
    pub fn of_scent() -> Self {
        Self::usual_practice(ScentHow::AtTrace, (10.0, 30.0, 30.0), false)
    }
}

impl<H> Handling<H> {
    fn usual_practice(how: H, (least, usual, most): (f64, f64, f64), warms: bool) -> Self {
        Self {
            how,
            usual: Interval::hull([least, usual]).unwrap_or_default(),
            most: AmountPerKg::nearest(most),
            solubility: None,
            warms,
            speeds_up: false,
            browns: false,
            trust: Trust::CommonPractice,
        }
    }
}

/// What keeps a hard fat clear when lye and fats meet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clear {
    /// From the least that holds it liquid to what is usual, °C.
    pub celsius: Interval,
    /// Where that comes from.
    pub trust: Trust,
}

impl Clear {
    /// From so warm on what has to be kept clear sets before there is soap, °C (common practice, no source: palm stearin
    /// does, tallow does not).
    const SETS_EARLY_C: f64 = 45.0;
    /// From so warm on it is a wax or a free acid rather than a butter, °C.
    const WAXY_C: f64 = 50.0;

    /// Whether it sets so early that lye and fats meet warmer than usual.
    pub fn sets_early(&self) -> bool {
        self.celsius.min() >= Self::SETS_EARLY_C
    }

    /// Whether it sets as waxes and free acids do.
    pub fn is_waxy(&self) -> bool {
        self.celsius.min() >= Self::WAXY_C
    }
}

/// The temperatures at which hard fats stay clear.
#[derive(Debug, Clone, Default)]
pub struct HardFats(HashMap<MaterialId, Clear>);

impl HardFats {
    /// The usual temperature for waxes and free acids that are not tabled, °C (common practice, no source).
    const USUAL: [f64; 2] = [55.0, 65.0];

    /// What keeps `fat` clear; `None` for one that an ordinary batch is warm enough for.
    pub fn clear(&self, fat: &Fat) -> Option<Clear> {
        let usual = || {
            let celsius = Interval::hull(Self::USUAL)?;
            Some(Clear { celsius, trust: Trust::CommonPractice })
        };
        match (self.0.get(&fat.id), fat.kind) {
            (Some(clear), _) => Some(*clear),
            (None, FatKind::Wax | FatKind::FreeAcid) => usual(),
            (None, FatKind::Triglyceride | FatKind::WaxEster { .. }) => None,
        }
    }

    /// What keeps an addition clear that is melted with the fats, as stearic acid is.
    pub fn clear_addition(&self, how: How) -> Option<Clear> {
        let melts = how == How::Melt;
        let celsius = Interval::hull(Self::USUAL).filter(|_| melts)?;
        Some(Clear { celsius, trust: Trust::CommonPractice })
    }
}

#[derive(Deserialize)]
struct Row {
    of: Of,
    material: MaterialId,
    how: String,
    usual_min_g_per_kg: Option<f64>,
    usual_max_g_per_kg: Option<f64>,
    most_g_per_kg: Option<AmountPerKg>,
    solubility_g_per_100_g_water: Option<f64>,
    solubility_trust: Option<Trust>,
    clear_min_c: Option<Celsius>,
    clear_max_c: Option<Celsius>,
    warms: YesNo,
    speeds_up: YesNo,
    browns: YesNo,
    trust: Trust,
}

#[derive(Deserialize, PartialEq)]
#[serde(rename_all = "lowercase")]
enum YesNo {
    Yes,
    No,
}

fn wrong(id: &MaterialId, what: &str) -> LibraryError {
    LibraryError::Material { table: "handling.csv", id: id.to_string(), what: what.into() }
}

impl Row {
    fn handling<H: DeserializeOwned>(self) -> Result<Handling<H>, LibraryError> {
        let wrong = |what| wrong(&self.material, what);
        let how = H::deserialize(StrDeserializer::<Error>::new(&self.how)).map_err(|_none| wrong("no such way"))?;
        let usual = self.usual_min_g_per_kg.zip(self.usual_max_g_per_kg);
        let usual = usual.and_then(|(least, most)| Interval::new(least, most).ok()).filter(|u| u.min() >= 0.0);
        let usual = usual.ok_or_else(|| wrong("has no usual amount"))?;
        let most = self.most_g_per_kg.ok_or_else(|| wrong("has no most"))?;
        if most.get() < usual.max() {
            return Err(wrong("less at the most than is usual"));
        }
        let solubility = match (self.solubility_g_per_100_g_water, self.solubility_trust) {
            (None, None) => None,
            (Some(value), Some(trust)) if value > 0.0 => {
                Some(Sourced { value, source: "handbooks, in water of 20 °C".into(), trust })
            }
            _ => return Err(wrong("the solubility is incomplete")),
        };
        let [warms, speeds_up, browns] = [self.warms, self.speeds_up, self.browns].map(|it| it == YesNo::Yes);
        Ok(Handling { how, usual, most, solubility, warms, speeds_up, browns, trust: self.trust })
    }
}

/// `handling.csv`, read.
#[derive(Default)]
pub(super) struct Handlings {
    /// Hard fats.
    pub(super) fats: HardFats,
    additions: HashMap<MaterialId, Handling>,
    scents: HashMap<MaterialId, Handling<ScentHow>>,
}

impl Handlings {
    /// Reads `handling.csv`.
    pub(super) fn parse(text: &str) -> Result<Self, LibraryError> {
        let mut all = Self::default();
        for row in rows::<Row>("handling.csv", text)? {
            let id = row.material.clone();
            let twice = match row.of {
                Of::Fat => {
                    let ends = row.clear_min_c.zip(row.clear_max_c);
                    let celsius = ends.and_then(|(least, most)| Interval::new(least.get(), most.get()).ok());
                    let celsius = celsius.ok_or_else(|| wrong(&id, "has no temperature that keeps it clear"))?;
                    all.fats.0.insert(id.clone(), Clear { celsius, trust: row.trust }).is_some()
                }
                Of::Addition => all.additions.insert(id.clone(), row.handling()?).is_some(),
                Of::Scent => all.scents.insert(id.clone(), row.handling()?).is_some(),
            };
            if twice {
                return Err(wrong(&id, "stands twice"));
            }
        }
        Ok(all)
    }

    /// How the addition `id` is handled, taken out.
    pub(super) fn addition(&mut self, id: &MaterialId) -> Result<Handling, LibraryError> {
        self.additions.remove(id).ok_or_else(|| wrong(id, "is an addition without a row here"))
    }

    /// How the scent `id` is handled, taken out.
    pub(super) fn scent(&mut self, id: &MaterialId) -> Result<Handling<ScentHow>, LibraryError> {
        self.scents.remove(id).ok_or_else(|| wrong(id, "is a scent without a row here"))
    }

    /// The temperatures of the hard fats, once additions and scents have taken out theirs.
    pub(super) fn rest(self, fats: &[std::sync::Arc<Fat>]) -> Result<HardFats, LibraryError> {
        let of_none = self.additions.keys().chain(self.scents.keys()).min();
        let fat = self.fats.0.keys().filter(|id| fats.iter().all(|f| f.id != **id)).min();
        match of_none.or(fat) {
            Some(id) => Err(wrong(id, "is no material of the tables")),
            None => Ok(self.fats),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::{Library, Tables};

    fn refused(from: &str, to: &str) -> String {
        let changed = Tables::EMBEDDED.handling.replacen(from, to, 1);
        assert_ne!(changed, Tables::EMBEDDED.handling, "{from} is there");
        Library::parse(&Tables { handling: &changed, ..Tables::EMBEDDED }).expect_err("spoilt").to_string()
    }

    #[test]
    fn each_addition_and_each_scent_says_how_it_is_handled() {
        let library = Library::embedded().expect("assets/data parses");
        for (id, most) in library
            .additions()
            .iter()
            .map(|a| (&a.id, a.handling.most))
            .chain(library.scents().iter().map(|s| (&s.id, s.handling.most)))
        {
            assert!(most.get() > 0.0, "{id}");
        }
        for addition in library.additions() {
            // What is never in the jug does not usually go there.
            let never = matches!(addition.handling.how, How::Melt | How::Wet | How::Strain | How::Scatter);
            assert!(!(never && addition.usual_stage.is_in_jug()), "{}", addition.id);
        }
    }

    #[test]
    fn a_row_that_is_missing_or_incomplete_is_refused_with_its_material() {
        let row = "addition,salt,dissolve,5,15,1000,36,from memory,,,no,no,no,common practice\n";
        for (to, why) in [
            ("", "without a row"),
            ("addition,salt,,5,15,1000,36,from memory,,,no,no,no,common practice\n", "no such way"),
            ("addition,salt,dissolve,,15,1000,36,from memory,,,no,no,no,common practice\n", "no usual amount"),
            ("addition,salt,dissolve,5,15,,36,from memory,,,no,no,no,common practice\n", "no most"),
            ("addition,salt,dissolve,5,15,12,36,from memory,,,no,no,no,common practice\n", "less at the most"),
            ("addition,salt,dissolve,5,15,1000,36,,,,no,no,no,common practice\n", "solubility is incomplete"),
        ] {
            let error = refused(row, to);
            assert!(error.contains("salt") && error.contains(why), "{error}");
        }
        assert!(refused("scent,lavender,at trace,10", "scent,lavender,,10").contains("lavender"), "a scent");
        assert!(refused("scent,lavender,", "scent,lavendel,").contains("without a row"), "a scent without a row");
        assert!(refused("fat,beeswax,", "fat,bees,").contains("is no material"), "a fat that is none");
    }

    #[test]
    fn a_spice_goes_into_the_fats_and_a_flower_in_at_trace() {
        let library = Library::embedded().expect("assets/data parses");
        let stage = |id: &str| library.scent(id).expect("tabled").usual_stage();
        for spice in ["clove_bud", "clove_leaf", "cinnamon_bark", "cinnamon_leaf", "cassia"] {
            assert_eq!(stage(spice), Stage::IntoFats, "{spice}");
        }
        assert_eq!(stage("lavender"), Stage::AtTrace);
    }
}
