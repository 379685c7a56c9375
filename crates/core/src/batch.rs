//! The masses of one batch: every gram that goes in, every gram of water and where it comes from.

use crate::acids::molar_mass;
use crate::additions::{AdditionLine, Stage};
use crate::alkali::{AlkaliNeed, exact_koh};
use crate::design::Design;
use crate::fats::{FatKind, USUAL_DENSITY_40};
use crate::mould::Size;
use crate::solution::{Lye, water_density};
use crate::tfm::glycerol_per_gram;
use crate::units::{FatMass, Grams, Share};
use crate::water;

/// The part of a mass below which two sums of the same masses may differ by rounding.
pub(crate) const ROUNDING: f64 = 1e-9;
/// Temperature at which the batter's volume is taken, °C (model: "about 40 °C").
pub const BATTER_C: f64 = 40.0;
/// Density of fat that additions bring, g/mL at 40 °C (from memory).
const ADDED_FAT_DENSITY: f64 = USUAL_DENSITY_40;
/// Density of essential oils, g/mL at 40 °C (from memory: most lie between 0.85 and 1.0).
pub(crate) const SCENT_DENSITY: f64 = 0.9;
/// Density of what is not alkali in sodium hydroxide, mostly its carbonate, g/mL (from memory).
pub(crate) const IMPURITY_DENSITY: f64 = 2.5;

/// The part of a dried bar that is not water: dried soap holds 9 to 14 % of water by the
/// literature, and the least gives the lightest bar.
pub(crate) const DRY_PART: f64 = 0.91;

/// Masses of one batch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Batch {
    /// All fats of the blend.
    pub fats: Grams,
    /// What the fats would take exactly, g KOH.
    pub exact_koh: Grams,
    /// What acids in additions take exactly, g KOH.
    pub acids_koh: Grams,
    /// Alkali, pure and as weighed, with what acids take.
    pub alkali: AlkaliNeed,
    /// The part of the weighed alkali that acids in additions take; acid on top takes none.
    pub alkali_for_acids: Grams,
    /// All additions.
    pub additions: Grams,
    /// Those of them that lie on top of the filled mould, with the scents there.
    pub on_top: Grams,
    /// All scents.
    pub scents: Grams,
    /// Fat in the additions, without those on top.
    pub addition_fat: Grams,
    /// Sugars in the additions, as far as known, without those on top.
    pub sugars: Grams,
    /// What the rule asks for.
    pub water_wanted: Grams,
    /// All water that counts: weighed, in additions that count, in the potassium hydroxide.
    pub water_total: Grams,
    /// Water that is there beyond what the rule asks for.
    pub water_excess: Grams,
    /// What is poured on the scale: all water less what additions and the alkali bring.
    pub water_to_weigh: Grams,
    /// Water in additions that do not count.
    pub water_uncounted: Grams,
    /// Water in the jug when the alkali goes in, whether it counts or not.
    pub water_in_jug: Grams,
    /// Water that the alkali makes with free acids, in the blend and in additions.
    pub water_made: Grams,
    /// Protons of acids that are in the jug, mol.
    pub jug_protons: f64,
    /// Planned superfat, percent.
    pub superfat: f64,
    /// Unsaponified fat, percent of all fat, that of additions with it; from the superfat only 0
    /// when there is too much alkali.
    pub free_fat: f64,
    /// Everything that goes in.
    pub batter: Grams,
    /// Volume of the batter at about 40 °C without what lies on top, mL.
    pub batter_ml: f64,
    /// Number of bars.
    pub bars: u32,
    /// A bar as it is cut.
    pub bar_fresh: Grams,
    /// Glycerol set free.
    pub glycerol: Grams,
}

impl Batch {
    /// Pure alkali in percent of pure alkali and all water that counts; `None` without alkali.
    pub fn lye_concentration(&self) -> Option<f64> {
        water::concentration(self.alkali.pure(), self.water_total).filter(|_| self.alkali.pure().0 > 0.0)
    }

    /// All water that counts in percent of the fats; `None` without fats.
    pub fn water_percent_of_fats(&self) -> Option<f64> {
        (self.fats.0 > 0.0).then(|| 100.0 * self.water_total.0 / self.fats.0)
    }

    /// The lye in the jug.
    pub fn lye(&self) -> Lye {
        Lye { naoh: self.alkali.pure_naoh, koh: self.alkali.pure_koh, water: self.water_in_jug }
    }

    /// All water that is in the batter at last.
    pub fn water_in_batter(&self) -> Grams {
        self.water_total + self.water_uncounted + self.water_made
    }

    /// All bars together when they have dried as far as soap does, to 9 % of water (by the
    /// literature 9–14 %): the lightest they become, so that a percent of it is an upper bound.
    pub fn dried(&self) -> Grams {
        let dry = self.batter - self.water_in_batter();
        let dried = dry / DRY_PART;
        if dried < self.batter { dried } else { self.batter }
    }
}

/// Where some of the water comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaterSource {
    /// Poured on the scale.
    Weighed,
    /// In the potassium hydroxide.
    PotassiumHydroxide,
    /// In the design's addition of this position.
    Addition(usize),
    /// Made by the alkali and free acids; it counts for no rule.
    Made,
}

/// One line of the water account.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterRow {
    /// Where it comes from.
    pub source: WaterSource,
    /// How much.
    pub mass: Grams,
    /// When it comes in; what is made counts as coming at trace.
    pub stage: Stage,
    /// Whether it counts for the rule.
    pub counted: bool,
}

/// Every gram of water: the counted rows sum to [`Batch::water_total`].
pub fn water_account(design: &Design, batch: &Batch) -> Vec<WaterRow> {
    let mut rows = vec![WaterRow {
        source: WaterSource::Weighed,
        mass: batch.water_to_weigh,
        stage: Stage::IntoJug,
        counted: true,
    }];
    let mut add = |source, mass: Grams, stage, counted| {
        if mass.0 > 0.0 {
            rows.push(WaterRow { source, mass, stage, counted });
        }
    };
    add(WaterSource::PotassiumHydroxide, batch.alkali.water(), Stage::IntoJug, true);
    for (i, line) in design.additions.iter().enumerate() {
        add(WaterSource::Addition(i), water_of(line, batch.fats), line.stage, line.counts_as_water);
    }
    add(WaterSource::Made, batch.water_made, Stage::AtTrace, false);
    rows
}

/// Water that `line` brings to a batch of `fats`.
pub fn water_of(line: &AdditionLine, fats: Grams) -> Grams {
    line.amount.mass(fats) * line.addition.contents.value.water.fraction()
}

/// The addition at `index` with so much of it that its water takes the place of all the water to
/// weigh; `None` if it holds none or there is no batch.
pub fn in_place_of_water(design: &Design, index: usize) -> Option<AdditionLine> {
    let mut next = design.clone();
    let per_gram = PerGram::of(design);
    // Acid in it takes alkali, which asks for water again, so a few rounds are needed.
    for _ in 0..50 {
        let batch = solve(&next, &per_gram).1;
        let line = next.additions.get(index)?;
        let held = line.addition.contents.value.water.fraction();
        if held <= 0.0 || batch.fats.0 <= 0.0 {
            return None;
        }
        let change = (batch.water_to_weigh - batch.water_excess) / held;
        let mass = line.amount.mass(batch.fats) + change;
        if mass.0 < 0.0 {
            return None;
        }
        let amount = line.amount.with_mass(mass, batch.fats);
        next.additions[index] = AdditionLine { amount, counts_as_water: true, ..line.clone() };
        if change.0.abs() < 1e-6 {
            break;
        }
    }
    Some(next.additions.swap_remove(index))
}

/// What a gram of a design's blend brings, worked out once so that batches of any size follow
/// quickly.
#[derive(Debug, Clone, Copy)]
pub struct PerGram {
    /// Mass of fat; 1 if the shares sum to 100 %.
    fats: f64,
    /// Exact need, g KOH.
    koh: f64,
    /// The part of it that free acids take, mol.
    free_acid: f64,
    /// Glycerol, g.
    glycerol: f64,
    /// Volume at 40 °C, mL.
    ml: f64,
}

impl PerGram {
    /// The figures of `design`'s blend.
    pub fn of(design: &Design) -> Self {
        let mut sum = Self { fats: 0.0, koh: 0.0, free_acid: 0.0, glycerol: 0.0, ml: 0.0 };
        for line in design.blend.lines() {
            let (part, sv) = (line.share.fraction(), line.saponification_value());
            let koh = exact_koh([(Grams(part), sv)]).0;
            sum.fats += line.share.get();
            sum.koh += koh;
            if line.fat.kind == FatKind::FreeAcid {
                sum.free_acid += koh / molar_mass::KOH;
            }
            sum.glycerol += part * glycerol_per_gram(line.fat.kind, sv);
            let density = line.fat.relative_density.as_ref().map_or(USUAL_DENSITY_40, |d| d.value.at(BATTER_C));
            sum.ml += part / density;
        }
        // Percents that sum to 100 give exactly 1.
        sum.fats /= 100.0;
        sum
    }

    /// The batch of `nominal` fat: the mass that 100 % of the shares would be.
    pub fn batch(&self, design: &Design, nominal: f64) -> Batch {
        let fats = Grams(nominal * self.fats);
        let exact = Grams(nominal * self.koh);
        let mut b = Batch { fats, exact_koh: exact, superfat: design.superfat.get(), ..Batch::default() };

        let (mut protons, mut counted, mut jug_brought, mut added_ml) = (0.0, Grams::ZERO, Grams::ZERO, 0.0);
        for line in &design.additions {
            let contents = &line.addition.contents.value;
            let mass = line.amount.mass(fats);
            let water = mass * contents.water.fraction();
            let fat = mass * contents.fat.fraction();
            b.additions += mass;
            if line.counts_as_water {
                counted += water;
            } else {
                b.water_uncounted += water;
            }
            let acid = mass.0 * line.addition.protons_per_gram();
            if line.stage == Stage::IntoJug {
                jug_brought += water;
                b.jug_protons += acid;
            }
            match line.stage {
                // What lies on top meets neither lye nor fats.
                Stage::OnTop => b.on_top += mass,
                stage => {
                    b.addition_fat += fat;
                    b.sugars += mass * contents.sugars.map_or(0.0, Share::fraction);
                    protons += acid;
                    added_ml += fat.0 / ADDED_FAT_DENSITY
                        + mass.0 * line.addition.solids() / line.addition.solids_density.get();
                    if stage != Stage::IntoJug {
                        added_ml += water.0 / water_density(BATTER_C);
                    }
                }
            }
        }
        for line in &design.scents {
            let mass = line.amount.mass(fats);
            b.scents += mass;
            match line.stage {
                Stage::OnTop => b.on_top += mass,
                _ => added_ml += mass.0 / SCENT_DENSITY,
            }
        }

        let acids_koh = Grams(protons * molar_mass::KOH);
        b.acids_koh = acids_koh;
        b.alkali = AlkaliNeed::new(exact, design.superfat, acids_koh, &design.alkali);
        b.alkali_for_acids = AlkaliNeed::new(Grams::ZERO, design.superfat, acids_koh, &design.alkali).weighed();
        b.water_wanted = water::total(design.water, b.alkali.pure(), fats);
        let brought = counted + b.alkali.water();
        // Water cannot be taken out again: where additions and the potassium hydroxide bring more
        // than is wanted, none is weighed, and a caution says by how much the rule is missed.
        let excess = brought - b.water_wanted;
        if excess.0 > ROUNDING * brought.0 {
            b.water_total = brought;
            b.water_excess = excess;
        } else {
            b.water_total = b.water_wanted;
            b.water_to_weigh = Grams((b.water_wanted - brought).0.max(0.0));
        }
        b.water_in_jug = b.water_to_weigh + b.alkali.water() + jug_brought;
        let saponified = (1.0 - design.superfat.fraction()).min(1.0);
        b.water_made = Grams((protons + nominal * self.free_acid * saponified) * molar_mass::WATER);

        b.batter = fats + b.alkali.weighed() + b.water_to_weigh + b.additions + b.scents;
        b.batter_ml = match design.calibration.batter_g_per_ml {
            Some(density) => (b.batter - b.on_top).0 / density.get(),
            None => {
                nominal * self.ml
                    + b.lye().volume_extrapolated(BATTER_C)
                    + (b.alkali.naoh - b.alkali.pure_naoh).0 / IMPURITY_DENSITY
                    + added_ml
            }
        };
        let planned = design.superfat.fraction().max(0.0);
        let all_fat = fats + b.addition_fat;
        b.free_fat =
            if all_fat.0 > 0.0 { 100.0 * (fats * planned + b.addition_fat).0 / all_fat.0 } else { 100.0 * planned };
        b.bars = design.size.own_bars().unwrap_or(design.bars).get();
        b.bar_fresh = b.batter / f64::from(b.bars);
        // Only fat that is saponified sets its glycerol free.
        b.glycerol = Grams(nominal * self.glycerol * (1.0 - planned));
        b
    }
}

/// What a size is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeUnit {
    /// The batter's volume, mL.
    Millilitres,
    /// The batter's mass, g.
    Grams,
}

impl SizeUnit {
    /// Its sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Millilitres => "ml",
            Self::Grams => "g",
        }
    }
}

/// A size that no mass of fats gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SizeError {
    /// What is given in grams alone is more than the size asked for.
    Small {
        /// What that takes.
        least: f64,
        /// What was asked for.
        asked: f64,
        /// What both are measured in.
        unit: SizeUnit,
    },
    /// More fat than a design holds would be needed.
    Large {
        /// The most that can be reached.
        most: f64,
        /// What was asked for.
        asked: f64,
        /// What both are measured in.
        unit: SizeUnit,
    },
}

/// The nominal mass of fats that gives `design` its size, the batch, and why the size is not
/// reached if no mass of fats gives it; the batch is then that of no fat. Fats given by mass are
/// taken as they are; a volume or a bar's mass is solved for, to a relative 1e-12.
pub fn solve(design: &Design, per_gram: &PerGram) -> (f64, Batch, Option<SizeError>) {
    let (asked, unit) = match (&design.size, design.size.wanted_ml()) {
        (Size::FatMass(mass), _) => return (mass.get(), per_gram.batch(design, mass.get()), None),
        (Size::BarMass(mass), _) => (mass.get() * f64::from(design.bars.get()), SizeUnit::Grams),
        (_, ml) => (ml.unwrap_or_default(), SizeUnit::Millilitres),
    };
    let measure = |batch: &Batch| if unit == SizeUnit::Grams { batch.batter.0 } else { batch.batter_ml };
    let at = |nominal: f64| measure(&per_gram.batch(design, nominal));
    let none = per_gram.batch(design, 0.0);
    let least = measure(&none);
    if per_gram.fats <= 0.0 {
        return (0.0, none, None);
    }
    if least >= asked {
        return (0.0, none, Some(SizeError::Small { least, asked, unit }));
    }
    let (mut low, mut low_off) = (0.0, least - asked);
    let (mut high, mut high_off) = (FatMass::MAX, at(FatMass::MAX) - asked);
    if high_off < 0.0 {
        return (0.0, none, Some(SizeError::Large { most: high_off + asked, asked, unit }));
    }
    // The size rises with the fats and is nearly a straight line, so the false position with
    // halved weights (the Illinois rule) is there in a few steps.
    let mut nominal = high;
    for _ in 0..100 {
        nominal = (low * high_off - high * low_off) / (high_off - low_off);
        let off = at(nominal) - asked;
        if off.abs() <= 1e-12 * asked || high - low <= 1e-13 * high {
            break;
        }
        if off > 0.0 {
            (high, high_off) = (nominal, off);
            low_off *= 0.5;
        } else {
            (low, low_off) = (nominal, off);
            high_off *= 0.5;
        }
    }
    (nominal, per_gram.batch(design, nominal), None)
}
