//! A batch as it was really weighed: the superfat that results, and the design that would have weighed out so.

use crate::chemistry::masses::{Masses, water_of};
use crate::chemistry::size::solve;
use crate::design::blend::{Blend, FatLine};
use crate::design::log::LotFigures;
use crate::design::mould::Size;
use crate::design::supplier::{Certificate, SupplierFigure};
use crate::design::{Design, WaterRule};
use crate::formula::Plain;
use crate::library::acids::molar_mass;
use crate::library::additions::{AdditionLine, Amount};
use crate::library::scents::ScentLine;
use crate::units::{AmountMass, FatMass, Grams, OutOfRange, Share, Superfat, WaterRatio, in_percent, percent_of};

/// What was on the scale, in the order of the design's lists.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OnTheScale {
    /// Each fat, with what the papers of its lot say.
    pub fats: Vec<(Grams, LotFigures)>,
    /// The water for the jug.
    pub water: Grams,
    /// Sodium hydroxide as weighed.
    pub naoh: (Grams, LotFigures),
    /// Potassium hydroxide as weighed.
    pub koh: (Grams, LotFigures),
    /// Each addition.
    pub additions: Vec<Grams>,
    /// Each scent.
    pub scents: Vec<Grams>,
}

/// Weights that make no batch.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WeighedError {
    /// There is no fat.
    #[error("no fat is weighed")]
    NoFats,
    /// There is no alkali.
    #[error("no alkali is weighed")]
    NoAlkali,
    /// The alkali is so far from what the fats take that it is another recipe, or a slip of the scale.
    #[error("the superfat would be {percent:.1} %: weigh again")]
    FarOff {
        /// The superfat, percent; below nothing there is too much alkali.
        percent: f64,
    },
    /// A number outside what a design can hold.
    #[error(transparent)]
    Range(#[from] OutOfRange),
    /// The fats are none that a blend can hold.
    #[error("{0}")]
    Blend(String),
}

/// The design of which `scale` are the weights: the shares by the masses, everything else in grams, and the superfat
/// 1 − (alkali − what acids take) ÷ (what the fats take) that really results. Where the papers of a lot say more of a fat
/// or an alkali than `design` does, they hold.
///
/// # Errors
/// [`WeighedError`] if that is no batch, or so far off that no design has it.
pub fn design(design: &Design, scale: &OnTheScale) -> Result<Design, WeighedError> {
    let total: Grams = scale.fats.iter().map(|(mass, _)| *mass).sum();
    if total.0 <= 0.0 {
        return Err(WeighedError::NoFats);
    }
    let mut probe = Design {
        blend: blend(design, scale, total)?,
        size: Size::FatMass(FatMass::new(total.0)?),
        additions: additions(design, scale)?,
        scents: scents(design, scale)?,
        superfat: Superfat::nearest(0.0),
        ..design.clone()
    };
    if let Some((purity, pm)) = scale.naoh.1.purity {
        (probe.alkali.naoh_purity, probe.alkali.naoh_purity_pm) = (purity, pm);
    }
    if let Some((purity, pm)) = scale.koh.1.purity {
        (probe.alkali.koh_purity, probe.alkali.koh_purity_pm) = (purity, pm);
    }
    let pure_naoh = scale.naoh.0 * probe.alkali.naoh_purity.fraction();
    let pure_koh = scale.koh.0 * probe.alkali.koh_purity.fraction();
    let (naoh_moles, koh_moles) = (pure_naoh.0 / molar_mass::NAOH, pure_koh.0 / molar_mass::KOH);
    let moles = naoh_moles + koh_moles;
    if moles <= 0.0 {
        return Err(WeighedError::NoAlkali);
    }
    let (_, need, _): (_, Masses, _) = solve(Plain, &probe);
    let left = moles - need.acids_koh.0 / molar_mass::KOH;
    let percent = in_percent(1.0 - left * molar_mass::KOH / need.exact_koh.0);
    probe.superfat = Superfat::new(percent).map_err(|_out_of_range| WeighedError::FarOff { percent })?;
    probe.alkali.koh_share = Share::nearest(percent_of(koh_moles, moles));
    let counted: Grams =
        probe.additions.iter().filter(|line| line.counts_as_water).map(|line| water_of(Plain, line, total)).sum();
    let water = scale.water + (scale.koh.0 - pure_koh) + counted;
    // A jug so dry or so thin that no rule has it is told by what the design says of it; the lye is as it is.
    probe.water = WaterRule::WaterToAlkali(WaterRatio::nearest(water.0 / (pure_naoh + pure_koh).0));
    Ok(probe)
}

fn blend(design: &Design, scale: &OnTheScale, total: Grams) -> Result<Blend, WeighedError> {
    let lines = design.blend.lines().iter().zip(&scale.fats).map(|(line, (mass, figures))| {
        let line = FatLine { share: Share::nearest(percent_of(mass.0, total.0)), ..line.clone() };
        let Some((sv, pm)) = figures.sv else { return Ok(line) };
        let acids = line.acids.iter().flat_map(|a| a.listed().to_vec()).collect();
        let certificate = Certificate { sv: Some(SupplierFigure { sv, pm }), acids };
        line.with_certificate(certificate).map_err(|e| WeighedError::Blend(e.to_string()))
    });
    let lines = lines.collect::<Result<Vec<_>, _>>()?;
    Blend::new(lines).map_err(|e| WeighedError::Blend(e.to_string()))
}

fn additions(design: &Design, scale: &OnTheScale) -> Result<Vec<AdditionLine>, OutOfRange> {
    let line = |(line, mass): (&AdditionLine, &Grams)| {
        Ok(AdditionLine { amount: Amount::Grams(AmountMass::new(mass.0)?), ..line.clone() })
    };
    design.additions.iter().zip(&scale.additions).map(line).collect()
}

fn scents(design: &Design, scale: &OnTheScale) -> Result<Vec<ScentLine>, OutOfRange> {
    let line = |(line, mass): (&ScentLine, &Grams)| {
        Ok(ScentLine { amount: Amount::Grams(AmountMass::new(mass.0)?), ..line.clone() })
    };
    design.scents.iter().zip(&scale.scents).map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::evaluate::{Evaluation, evaluate};
    use crate::library::Library;

    fn library() -> Library {
        Library::embedded().expect("assets parse")
    }

    fn read(text: &str) -> Design {
        document::read(text.as_bytes(), &library()).expect("a design")
    }

    fn planned(evaluation: &Evaluation) -> OnTheScale {
        let bare = |mass: Grams| (mass, LotFigures::default());
        OnTheScale {
            fats: evaluation.fat_masses.iter().map(|m| bare(*m)).collect(),
            water: evaluation.masses.water_to_weigh,
            naoh: bare(evaluation.masses.alkali.naoh),
            koh: bare(evaluation.masses.alkali.koh),
            additions: evaluation.addition_masses.clone(),
            scents: evaluation.scents.masses.clone(),
        }
    }

    const DUAL: &str = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 60), (fat: "coconut", share: 30),
        (fat: "shea", share: 10)], superfat: 6, alkali: (koh_share: 12), size: FatMass(800),
        additions: [(addition: "apple_puree", amount: PercentOfFats(8)), (addition: "citric_acid", amount: Grams(6),
        stage: IntoJug)], scents: [(scent: "lavender", amount: PercentOfFats(2))])"#;

    #[test]
    fn a_batch_weighed_as_planned_is_the_design() {
        let (library, design) = (library(), read(DUAL));
        let plan = evaluate(&design, &library);
        let made = super::design(&design, &planned(&plan)).expect("a batch");
        let seen = evaluate(&made, &library);
        for (what, planned, made) in [
            ("superfat", plan.masses.superfat, seen.masses.superfat),
            ("NaOH", plan.masses.alkali.naoh.0, seen.masses.alkali.naoh.0),
            ("KOH", plan.masses.alkali.koh.0, seen.masses.alkali.koh.0),
            ("water", plan.masses.water_to_weigh.0, seen.masses.water_to_weigh.0),
            ("batter", plan.masses.batter.0, seen.masses.batter.0),
            ("bar", plan.masses.bar_fresh.0, seen.masses.bar_fresh.0),
        ] {
            assert!((planned - made).abs() < 1e-9 * planned.abs(), "{what}: planned {planned}, made {made}");
        }
    }

    /// Worked out by hand: 500 g of a fat of SV 190 take 500·190/1000·39.997/56.1056 g of NaOH.
    #[test]
    fn ten_grams_too_much_are_so_much_less_superfat() {
        let library = library();
        let design = read(
            r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 100, supplier: Some((sv: 190)))], superfat: 5,
                alkali: (naoh_purity: 100), size: FatMass(500))"#,
        );
        let mut scale = planned(&evaluate(&design, &library));
        let need = 500.0 * 190.0 / 1000.0 * 39.997 / 56.1056;
        assert!((scale.naoh.0.0 / need - 0.95).abs() < 1e-4, "planned {:?} of {need}", scale.naoh.0);
        scale.naoh.0 += Grams(10.0);
        let made = super::design(&design, &scale).expect("a batch");
        let by_hand = 100.0 * (1.0 - (0.95 * need + 10.0) / need);
        assert!((made.superfat.get() - by_hand).abs() < 0.01, "{} and {by_hand}", made.superfat.get());
        assert!(made.superfat.get() < 0.0, "it is lye-heavy");
        scale.fats[0].1.sv =
            Some((crate::units::SaponificationValue::nearest(205.0), crate::units::SvMargin::nearest(1.0)));
        let milder = super::design(&design, &scale).expect("a batch").superfat.get();
        assert!((milder - 100.0 * (1.0 - (0.95 * need + 10.0) / (need * 205.0 / 190.0))).abs() < 0.01, "{milder}");
    }

    #[test]
    fn weights_that_make_no_batch_say_why() {
        let (library, design) = (library(), read(DUAL));
        let plan = planned(&evaluate(&design, &library));
        let none = OnTheScale { fats: vec![(Grams(0.0), LotFigures::default()); 3], ..plan.clone() };
        assert_eq!(super::design(&design, &none), Err(WeighedError::NoFats));
        let bare = (Grams(0.0), LotFigures::default());
        let no_alkali = OnTheScale { naoh: bare, koh: bare, ..plan.clone() };
        assert_eq!(super::design(&design, &no_alkali), Err(WeighedError::NoAlkali));
        let tenfold = OnTheScale { naoh: (plan.naoh.0 * 10.0, LotFigures::default()), ..plan };
        let error = super::design(&design, &tenfold).expect_err("a slip");
        assert!(matches!(error, WeighedError::FarOff { percent } if percent < -500.0), "{error}");
    }
}
