//! The masses of one batch: every gram that goes in, every gram of water and where it comes from.

use crate::chemistry::alkali::{AlkaliNeed, koh_of};
use crate::chemistry::fatty_matter::glycerol_per_gram;
use crate::chemistry::inputs;
use crate::chemistry::solution::Lye;
use crate::chemistry::water;
use crate::design::Design;
use crate::formula::{Num, Reading};
use crate::library::acids::molar_mass;
use crate::library::additions::{AdditionKind, AdditionLine, Stage};
use crate::library::fats::FatKind;
use crate::units::{Fraction, Grams, Percent, from_percent, percent_of};

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
/// The part of a bar that is not water at the dry end, where it is the lightest: as if fully dried, with 5 % of water
/// (our choice: cured soap is left with 5 to 14 %, about 10, from the literature and from memory).
pub(crate) const DRY_PART: f64 = 0.95;

/// Masses of one batch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Masses<N = f64> {
    /// All fats of the blend.
    pub fats: Grams<N>,
    /// What the fats would take exactly, and fatty acids in additions with them, g KOH.
    pub exact_koh: Grams<N>,
    /// The part of it that is for fatty acids in additions.
    pub added_fatty_koh: Grams<N>,
    /// Fatty acids in additions, without those on top: in the bar they are what they would be as a fat.
    pub added_fatty: Grams<N>,
    /// What other acids in additions take exactly, g KOH.
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

    /// All bars together as if fully dried, with 5 % of water: the lightest they become, so that a percent of it is an
    /// upper bound.
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

    /// Whether the shares leave any fat.
    pub fn has_fats(&self) -> bool {
        self.fats.value() > 0.0
    }

    /// The same without how it came about.
    pub fn plain(&self) -> PerGram {
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
        let superfat = r.input("superfat", design.superfat.get(), "%", || inputs::about_superfat(design));
        let mut b = Masses { fats, superfat, ..Masses::default() };

        let (mut protons, mut counted, mut jug_brought) = (N::from(0.0), Grams::none(), Grams::none());
        let (mut added_ml, mut fatty) = (N::from(0.0), N::from(0.0));
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
            match acid {
                Some(acid) if addition.brings_fatty_acid() => {
                    fatty += acid;
                    b.added_fatty += mass * inputs::acid_content(r, addition);
                }
                Some(acid) => protons += acid,
                None => {}
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

        b.added_fatty_koh = Grams(fatty * r.constant(molar_mass::KOH));
        let exact = Grams(nominal * self.koh) + b.added_fatty_koh;
        b.exact_koh = exact;
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
        let made = protons + (nominal * self.free_acid + fatty) * saponified;
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
        let saponifiable = fats + b.added_fatty;
        let all_fat = saponifiable + b.addition_fat;
        b.free_fat = if all_fat.value() > 0.0 {
            Percent::of((saponifiable * held_back + b.addition_fat).0, all_fat.0)
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
