//! The masses of one batch: every gram that goes in, every gram of water and where it comes from.

use crate::chemistry::alkali::{AlkaliNeed, koh_of};
use crate::chemistry::fatty_matter::glycerol_per_gram;
use crate::chemistry::inputs;
use crate::chemistry::solution::Lye;
use crate::chemistry::water;
use crate::design::Design;
use crate::design::mould::Size;
use crate::formula::{Input, Num, Plain, Reading};
use crate::library::acids::molar_mass;
use crate::library::additions::{AdditionKind, AdditionLine, Amount, Stage};
use crate::library::fats::FatKind;
use crate::number::short;
use crate::units::{AmountPercent, FatMass, Fraction, Grams, Percent, from_percent, percent_of};

/// From so much salt, as a part of the fats, it is a salt bar, which sets within hours and crumbles when it is cut
/// later (our judgement: usual are 0.3 to 1).
const SALT_BAR: f64 = 0.2;

/// Whether a batch of `fats` with these `additions` is one of salt bars.
pub fn is_salt_bar(design: &Design, additions: &[Grams], fats: Grams) -> bool {
    let lines = design.additions.iter().zip(additions);
    let salts = lines.filter(|(l, _)| l.addition.kind == AdditionKind::Salt && l.stage.fills_mould());
    salts.map(|(_, mass)| mass.0).sum::<f64>() >= SALT_BAR * fats.0 && fats.0 > 0.0
}

/// The part of a mass below which two sums of the same masses may differ by rounding.
pub(crate) const ROUNDING: f64 = 1e-9;
/// Temperature at which the batter's volume is taken, °C (model: "about 40 °C").
pub const BATTER_C: f64 = 40.0;
/// The part of a dried bar that is not water: dried soap holds 9 to 14 % of water by the
/// literature, and the least gives the lightest bar.
pub(crate) const DRY_PART: f64 = 0.91;

/// Masses of one batch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Masses<N = f64> {
    /// All fats of the blend.
    pub fats: Grams<N>,
    /// What the fats would take exactly, g KOH.
    pub exact_koh: Grams<N>,
    /// What acids in additions take exactly, g KOH.
    pub acids_koh: Grams<N>,
    /// Alkali, pure and as weighed, with what acids take.
    pub alkali: AlkaliNeed<N>,
    /// The part of the weighed alkali that acids in additions take; acid on top takes none.
    pub alkali_for_acids: Grams<N>,
    /// All additions.
    pub additions: Grams<N>,
    /// Those of them that lie on top of the filled mould, with the scents there.
    pub on_top: Grams<N>,
    /// All scents.
    pub scents: Grams<N>,
    /// Fat in the additions, without those on top.
    pub addition_fat: Grams<N>,
    /// Sugars in the additions, as far as known, without those on top.
    pub sugars: Grams<N>,
    /// What the rule asks for.
    pub water_wanted: Grams<N>,
    /// All water that counts: weighed, in additions that count, in the potassium hydroxide.
    pub water_total: Grams<N>,
    /// Water that is there beyond what the rule asks for.
    pub water_excess: Grams<N>,
    /// What is poured on the scale: all water less what additions and the alkali bring.
    pub water_to_weigh: Grams<N>,
    /// Water in additions that do not count.
    pub water_uncounted: Grams<N>,
    /// Water in the jug when the alkali goes in, whether it counts or not.
    pub water_in_jug: Grams<N>,
    /// Water that the alkali makes with free acids, in the blend and in additions.
    pub water_made: Grams<N>,
    /// Protons of acids that are in the jug, mol.
    pub jug_protons: N,
    /// Planned superfat, percent.
    pub superfat: N,
    /// Unsaponified fat of all fat, that of additions with it; from the superfat only 0 when there
    /// is too much alkali.
    pub free_fat: Percent<N>,
    /// Everything that goes in.
    pub batter: Grams<N>,
    /// Volume of the batter at about 40 °C without what lies on top, mL.
    pub batter_ml: N,
    /// Number of bars.
    pub bars: u32,
    /// A bar as it is cut.
    pub bar_fresh: Grams<N>,
    /// Glycerol set free.
    pub glycerol: Grams<N>,
}

impl<N: Num> Masses<N> {
    /// Density of the batter that is poured, g/mL; `None` where there is none.
    pub fn batter_g_per_ml(&self) -> Option<f64> {
        (self.batter_ml.value() > 0.0).then(|| (self.batter - self.on_top).0.value() / self.batter_ml.value())
    }

    /// Pure alkali in percent of pure alkali and all water that counts; `None` without alkali.
    pub fn lye_concentration(&self) -> Option<N> {
        water::concentration(self.alkali.pure(), self.water_total).filter(|_| self.alkali.pure().value() > 0.0)
    }

    /// All water that counts in percent of the fats; `None` without fats.
    pub fn water_percent_of_fats(&self) -> Option<N> {
        (self.fats.value() > 0.0).then(|| percent_of(self.water_total.0, self.fats.0))
    }

    /// The lye in the jug.
    pub fn lye(&self) -> Lye<N> {
        Lye { naoh: self.alkali.pure_naoh, koh: self.alkali.pure_koh, water: self.water_in_jug }
    }

    /// All water that is in the batter at last.
    pub fn water_in_batter(&self) -> Grams<N> {
        self.water_total + self.water_uncounted + self.water_made
    }

    /// All bars together when they have dried as far as soap does, to 9 % of water (by the
    /// literature 9–14 %): the lightest they become, so that a percent of it is an upper bound.
    pub fn dried(&self) -> Grams<N> {
        let dry = self.batter - self.water_in_batter();
        let dried = dry / N::from(DRY_PART);
        if dried.value() < self.batter.value() { dried } else { self.batter }
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
pub struct WaterRow<N = f64> {
    /// Where it comes from.
    pub source: WaterSource,
    /// How much.
    pub mass: Grams<N>,
    /// When it comes in; what is made counts as coming at trace.
    pub stage: Stage,
    /// Whether it counts for the rule.
    pub counted: bool,
}

/// Every gram of water: the counted rows sum to [`Masses::water_total`].
pub fn water_account<R: Reading>(r: R, design: &Design, batch: &Masses<R::N>) -> Vec<WaterRow<R::N>> {
    let mut rows = vec![WaterRow {
        source: WaterSource::Weighed,
        mass: batch.water_to_weigh,
        stage: Stage::IntoJug,
        counted: true,
    }];
    let mut add = |source, mass: Grams<R::N>, stage, counted| {
        if mass.value() > 0.0 {
            rows.push(WaterRow { source, mass, stage, counted });
        }
    };
    add(WaterSource::PotassiumHydroxide, batch.alkali.water(), Stage::IntoJug, true);
    for (i, line) in design.additions.iter().enumerate() {
        add(WaterSource::Addition(i), water_of(r, line, batch.fats), line.stage, line.counts_as_water);
    }
    add(WaterSource::Made, batch.water_made, Stage::AtTrace, false);
    rows
}

/// Mass of `line` in a batch of `fats`.
pub fn mass_of<R: Reading>(r: R, line: &AdditionLine, fats: Grams<R::N>) -> Grams<R::N> {
    inputs::amount(r, line.amount, &line.addition.name, fats)
}

/// Water that `line` brings to a batch of `fats`.
pub fn water_of<R: Reading>(r: R, line: &AdditionLine, fats: Grams<R::N>) -> Grams<R::N> {
    mass_of(r, line, fats) * inputs::water_content(r, &line.addition)
}

/// The addition at `index` with so much of it that its water takes the place of all the water to
/// weigh; `None` if it holds none or there is no batch.
pub fn in_place_of_water(design: &Design, index: usize) -> Option<AdditionLine> {
    let mut next = design.clone();
    let per_gram = PerGram::of(Plain, design);
    // Acid in it takes alkali, which asks for water again, so a few rounds are needed.
    for _ in 0..50 {
        let batch = per_gram.solve(Plain, &next).1;
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

/// The addition at `index` with so much of it that its own water is `part` of all the water that counts, 1 for
/// all of it; `None` if it holds none, there is no batch, or no such amount is.
///
/// In percent of the fats where it was in grams, so that it stays this part when the batch is resized. It is no
/// amount of a kind of its own, which followed the water: acid in it takes alkali, which asks for water, so that
/// every line would hang on all others, and a puree that stands ready would change when the superfat does. What
/// is weighed as water gives way instead.
pub fn as_part_of_water(design: &Design, index: usize, part: f64) -> Option<AdditionLine> {
    let mut next = design.clone();
    let per_gram = PerGram::of(Plain, design);
    let held = next.additions.get(index)?.addition.contents.value.water.fraction();
    for _ in 0..100 {
        let batch = per_gram.solve(Plain, &next).1;
        if held <= 0.0 || batch.fats.0 <= 0.0 {
            return None;
        }
        let line = &next.additions[index];
        let amount = match line.amount {
            Amount::Grams(_) => Amount::PercentOfFats(AmountPercent::nearest(0.0)),
            Amount::PercentOfFats(_) | Amount::GramsPerKgFats(_) => line.amount,
        };
        let (before, wanted) = (line.amount.mass(batch.fats), batch.water_wanted * (part / held));
        let amount = amount.with_mass(wanted, batch.fats);
        next.additions[index] = AdditionLine { amount, counts_as_water: true, ..line.clone() };
        if (wanted - before).0.abs() <= 1e-9 * wanted.0 {
            // At the end of what an amount holds there is less than was asked for.
            let reached = amount.mass(batch.fats).0 >= wanted.0 * (1.0 - ROUNDING);
            return reached.then(|| next.additions.swap_remove(index));
        }
    }
    None
}

/// The water of the addition at `index` in percent of all the water that the rule asks for; `None` without any.
pub fn percent_of_water(design: &Design, index: usize, batch: &Masses) -> Option<f64> {
    let line = design.additions.get(index)?;
    let water = water_of(Plain, line, batch.fats);
    (batch.water_wanted.0 > 0.0).then(|| percent_of(water.0, batch.water_wanted.0))
}

/// What a gram of a design's blend brings, worked out once so that batches of any size follow
/// quickly.
#[derive(Debug, Clone, Copy)]
pub struct PerGram<N = f64> {
    /// Mass of fat; 1 if the shares sum to 100 %.
    fats: N,
    /// Exact need, g KOH.
    koh: N,
    /// The part of it that free acids take, mol.
    free_acid: N,
    /// Glycerol, g.
    glycerol: N,
    /// Volume at 40 °C, mL.
    ml: N,
}

impl<N: Num> PerGram<N> {
    /// The figures of `design`'s blend.
    pub fn of<R: Reading<N = N>>(r: R, design: &Design) -> Self {
        let none = N::from(0.0);
        let mut sum = Self { fats: none, koh: none, free_acid: none, glycerol: none, ml: none };
        for line in design.blend.lines() {
            let (part, sv) = (inputs::share(r, line), inputs::saponification_value(r, line));
            let koh = koh_of(Grams(part), sv).0;
            sum.fats += inputs::share_percent(r, line);
            sum.koh += koh;
            if line.fat.kind == FatKind::FreeAcid {
                sum.free_acid += koh / r.constant(molar_mass::KOH);
            }
            sum.glycerol += part * glycerol_per_gram(r, line.fat.kind, sv);
            sum.ml += part / inputs::density(r, line, BATTER_C);
        }
        // Percents that sum to 100 give exactly 1.
        sum.fats = from_percent(sum.fats);
        sum
    }

    /// The same without how it came about.
    fn plain(&self) -> PerGram {
        PerGram {
            fats: self.fats.value(),
            koh: self.koh.value(),
            free_acid: self.free_acid.value(),
            glycerol: self.glycerol.value(),
            ml: self.ml.value(),
        }
    }

    /// The batch of `nominal` fat: the mass that 100 % of the shares would be.
    pub fn batch<R: Reading<N = N>>(&self, r: R, design: &Design, nominal: N) -> Masses<N> {
        let fats = Grams(nominal * self.fats);
        let exact = Grams(nominal * self.koh);
        let superfat = r.input("superfat", design.superfat.get(), "%", || inputs::about_superfat(design));
        let mut b = Masses { fats, exact_koh: exact, superfat, ..Masses::default() };

        let (mut protons, mut counted, mut jug_brought) = (N::from(0.0), Grams::none(), Grams::none());
        let mut added_ml = N::from(0.0);
        for line in &design.additions {
            let addition = &line.addition;
            let mass = mass_of(r, line, fats);
            let water = mass * inputs::water_content(r, addition);
            let acid = inputs::protons_per_gram(r, line).map(|per_gram| mass.0 * per_gram);
            b.additions += mass;
            *(if line.counts_as_water { &mut counted } else { &mut b.water_uncounted }) += water;
            if line.stage.is_in_jug() {
                jug_brought += water;
                if let Some(acid) = acid {
                    b.jug_protons += acid;
                }
            }
            if !line.stage.fills_mould() {
                b.on_top += mass;
                continue;
            }
            // What lies on top meets neither lye nor fats.
            let fat = mass * inputs::fat_content(r, addition);
            b.addition_fat += fat;
            if let Some(sugars) = inputs::sugar_content(r, addition) {
                b.sugars += mass * sugars;
            }
            if let Some(acid) = acid {
                protons += acid;
            }
            let solids = mass.0 * inputs::solid_content(r, addition) / inputs::solids_density(r, addition);
            added_ml += fat.0 / inputs::added_fat_density(r) + solids;
            if !line.stage.is_in_jug() {
                added_ml += water.0 / inputs::water_density_at(r, BATTER_C);
            }
        }
        for line in &design.scents {
            let mass = inputs::amount(r, line.amount, &line.scent.name, fats);
            b.scents += mass;
            if line.stage.fills_mould() {
                added_ml += mass.0 / inputs::scent_density(r);
            } else {
                b.on_top += mass;
            }
        }

        let acids_koh = Grams(protons * r.constant(molar_mass::KOH));
        b.acids_koh = acids_koh;
        b.alkali = AlkaliNeed::new(r, exact, acids_koh, design);
        b.alkali_for_acids = AlkaliNeed::new(r, Grams::none(), acids_koh, design).weighed();
        b.water_wanted = water::total(r, design.water, b.alkali.pure(), fats);
        let brought = counted + b.alkali.water();
        // Water cannot be taken out again: where additions and the potassium hydroxide bring more
        // than is wanted, none is weighed, and a caution says by how much the rule is missed.
        let excess = brought - b.water_wanted;
        if excess.value() > ROUNDING * brought.value() {
            b.water_total = brought;
            b.water_excess = excess;
        } else {
            b.water_total = b.water_wanted;
            let left = b.water_wanted - brought;
            // A rounding below nothing is nothing.
            b.water_to_weigh = if left.value() > 0.0 { left } else { Grams::none() };
        }
        b.water_in_jug = b.water_to_weigh + b.alkali.water() + jug_brought;
        let held_back = inputs::held_back(r, design);
        let saponified = N::from(1.0) - held_back;
        let made = protons + nominal * self.free_acid * saponified;
        b.water_made = Grams(made * r.constant(molar_mass::WATER));

        b.batter = fats + b.alkali.weighed() + b.water_to_weigh + b.additions + b.scents;
        b.batter_ml = match inputs::batter_density(r, design) {
            Some(density) => (b.batter - b.on_top).0 / density,
            None => {
                nominal * self.ml
                    + b.lye().volume_extrapolated(r, BATTER_C)
                    + (b.alkali.naoh - b.alkali.pure_naoh).0 / inputs::impurity_density(r)
                    + added_ml
            }
        };
        let all_fat = fats + b.addition_fat;
        b.free_fat = if all_fat.value() > 0.0 {
            Percent::of((fats * held_back + b.addition_fat).0, all_fat.0)
        } else {
            Fraction(held_back).percent()
        };
        b.bars = design.size.own_bars().unwrap_or(design.bars).get();
        b.bar_fresh = b.batter / inputs::bars(r, b.bars);
        // Only fat that is saponified sets its glycerol free.
        b.glycerol = Grams(nominal * self.glycerol * (N::from(1.0) - held_back));
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
    /// What is measured of `batch`.
    const fn of(self, batch: &Masses) -> f64 {
        match self {
            Self::Millilitres => batch.batter_ml,
            Self::Grams => batch.batter.0,
        }
    }

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

impl PerGram {
    /// The nominal mass of fats that gives `design` its size, and why the size is not reached if no
    /// mass of fats gives it; it is then nothing. Fats given by mass are taken as they are; a volume
    /// or a bar's mass is solved for, to a relative 1e-12.
    pub fn nominal(&self, design: &Design) -> (f64, Option<SizeError>) {
        let (asked, unit) = match (&design.size, design.size.wanted_ml()) {
            (Size::FatMass(mass), _) => return (mass.get(), None),
            (Size::BarMass(mass), _) => (mass.get() * f64::from(design.bars.get()), SizeUnit::Grams),
            (_, ml) => (ml.unwrap_or_default(), SizeUnit::Millilitres),
        };
        let at = |nominal: f64| unit.of(&self.batch(Plain, design, nominal));
        if self.fats <= 0.0 {
            return (0.0, None);
        }
        let least = at(0.0);
        if least >= asked {
            return (0.0, Some(SizeError::Small { least, asked, unit }));
        }
        let (mut low, mut low_off) = (0.0, least - asked);
        let (mut high, mut high_off) = (FatMass::MAX, at(FatMass::MAX) - asked);
        if high_off < 0.0 {
            return (0.0, Some(SizeError::Large { most: high_off + asked, asked, unit }));
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
        (nominal, None)
    }
}

impl<N: Num> PerGram<N> {
    /// The nominal mass of fats that gives `design` its size, the batch, and why the size is not
    /// reached if no mass of fats gives it; the batch is then that of no fat. The blend is to be the
    /// one that this is of.
    pub fn solve<R: Reading<N = N>>(&self, r: R, design: &Design) -> (N, Masses<N>, Option<SizeError>) {
        let (nominal, error) = self.plain().nominal(design);
        let nominal = nominal_of(r, design, self, nominal);
        (nominal, self.batch(r, design, nominal), error)
    }
}

/// [`PerGram::solve`] for a blend whose figures are not worked out yet.
pub fn solve<R: Reading>(r: R, design: &Design) -> (R::N, Masses<R::N>, Option<SizeError>) {
    PerGram::of(r, design).solve(r, design)
}

/// The nominal mass of fats as a number of the reading: as chosen, or solved for.
fn nominal_of<R: Reading>(r: R, design: &Design, per_gram: &PerGram<R::N>, nominal: f64) -> R::N {
    const SYMBOL: &str = "fats for 100 %";
    match &design.size {
        Size::FatMass(_) => r.input(SYMBOL, nominal, "g", || Input::chosen("Fats", format!("{} g", short(nominal, 3)))),
        Size::BarMass(mass) => r.solved(SYMBOL, nominal, "g", "the bars weigh what is asked", |fats| {
            let bars = inputs::bars(r, design.bars.get());
            let asked = r.input("a bar", mass.get(), "g", || {
                Input::chosen("A fresh bar", format!("{} g", short(mass.get(), 3)))
            });
            per_gram.batch(r, design, fats).batter.0 - bars * asked
        }),
        Size::Mould { .. } | Size::Volume { .. } => {
            r.solved(SYMBOL, nominal, "g", "the batter fills what is to be filled", |fats| {
                let wanted = design.size.read_wanted_ml(r).unwrap_or_default();
                per_gram.batch(r, design, fats).batter_ml - wanted
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::library::Library;

    #[test]
    fn an_addition_takes_the_asked_part_of_the_water_by_any_rule_or_there_is_no_such_amount() {
        let library = Library::embedded().expect("assets parse");
        for rule in ["LyeConcentration(31)", "WaterToAlkali(2.2)", "PercentOfFats(34)"] {
            for id in ["apple_puree", "goat_milk", "cider_vinegar", "lemon_juice"] {
                for part in [0.0, 0.1, 0.5, 1.0] {
                    let text = format!(
                        "(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100)], water: {rule}, \
                         additions: [(addition: \"{id}\", amount: Grams(20))])"
                    );
                    let mut design = document::read(text.as_bytes(), &library).expect("a design");
                    let Some(line) = as_part_of_water(&design, 0, part) else { panic!("{id}, {part}, {rule}") };
                    design.additions[0] = line;
                    let batch = solve(Plain, &design).1;
                    let percent = percent_of_water(&design, 0, &batch).expect("there is water");
                    assert!((percent - 100.0 * part).abs() < 1e-6, "{id}, {rule}: {percent} for {part}");
                }
            }
        }
        let salt = "(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100)], additions: [(addition: \"salt\", amount: Grams(20))])";
        let design = document::read(salt.as_bytes(), &library).expect("a design");
        assert_eq!(as_part_of_water(&design, 0, 0.3), None, "it holds no water");
        assert_eq!(as_part_of_water(&design, 7, 0.3), None, "no such line");
        assert_eq!(as_part_of_water(&Design::default(), 0, 0.3), None, "no fats");
    }
}
