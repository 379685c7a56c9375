//! A batch made larger or smaller than the design says, with every ratio kept.
//!
//! The result is a design like any other, so that weights, cure, schedule and cost follow from it. A longer
//! loaf stands for several of the same; a longer slab may be cut into bars of a slightly other face, and a jug
//! that holds more lye cools slower than is counted.

use crate::chemistry::cure::Cure;
use crate::chemistry::size::solve;
use crate::design::Design;
use crate::design::edit::Edit;
use crate::design::mould::{Mould, Size};
use crate::design::scale::{ScaleError, Scaled};
use crate::formula::Plain;
use crate::units::{BarMass, Bars, BarsOutOfRange, FatMass, Fill, Multiple};

/// How large a batch is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scale {
    /// So many times as large as designed.
    Times(Multiple),
    /// For so many bars like those designed.
    Bars(Bars),
    /// With so much fat in all.
    Fats(FatMass),
    /// So large that a fat of the blend is used up.
    UsingUp {
        /// Its place in the blend.
        fat: usize,
        /// How much there is of it.
        mass: FatMass,
    },
    /// So large that it fills a mould.
    Filling {
        /// The mould.
        mould: Mould,
        /// How far it is filled.
        fill: Fill,
    },
}

impl Scale {
    /// `design` with its batch made this large.
    ///
    /// What is given in grams grows with the batch. The bars are the nearest whole number; where that
    /// is not exact, each is a little larger or smaller. A mould keeps its cross-section and changes its length, or
    /// the number of its cavities; where a design cannot hold a mould so long or short, the weight of the fats
    /// takes its place. It does so too where a fat is used up, since what there is of it fits no mould by itself;
    /// a mould that is to be filled is taken as it is.
    ///
    /// # Errors
    /// [`ScaleError`] if there are no fats or the batch would be beyond what a design holds.
    ///
    /// ```
    /// use barwright_core::chemistry::scale::Scale;
    /// use barwright_core::{Library, evaluate, units::Multiple};
    /// # fn main() -> Result<(), Box<dyn std::error::Error>> {
    /// let library = Library::embedded()?;
    /// let text = "(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100)], size: FatMass(500), bars: 5)";
    /// let design = barwright_core::design::document::read(text.as_bytes(), &library)?;
    /// let twice = Scale::Times(Multiple::new(2.0)?).of(&design)?;
    /// assert_eq!(evaluate(&twice, &library).masses.fats.0, 1000.0);
    /// assert_eq!(twice.bars.get(), 10);
    /// # Ok(())
    /// # }
    /// ```
    pub fn of(self, design: &Design) -> Result<Design, ScaleError> {
        let made = self.scaled(design)?.of(design)?;
        let (_, _, error) = solve(Plain, &made);
        // A size by the weight of a bar or a mould is reached by fats that have their own bounds.
        if error.is_some() { Err(ScaleError::Beyond) } else { Ok(made) }
    }

    /// The size that [`Self::of`] gives, without the design.
    ///
    /// # Errors
    /// As there.
    pub fn scaled(self, design: &Design) -> Result<Scaled, ScaleError> {
        let (nominal, batch, _) = solve(Plain, design);
        if batch.fats.0 <= 0.0 {
            return Err(ScaleError::NoBatch);
        }
        let before = f64::from(batch.bars);
        let by_fats = |factor: f64| FatMass::new(nominal * factor).map(Size::FatMass);
        let (factor, bars) = match self {
            Self::Times(times) => (times.get(), None),
            Self::Bars(bars) => (f64::from(bars.get()) / before, Some(bars)),
            Self::Fats(mass) => (mass.get() / batch.fats.0, None),
            Self::UsingUp { fat, mass } => {
                let share = design.blend.lines().get(fat).map_or(0.0, |l| l.share.fraction());
                if share <= 0.0 {
                    return Err(ScaleError::NoSuchFat);
                }
                let factor = mass.get() / (nominal * share);
                return Ok(Scaled { size: by_fats(factor)?, bars: nearest_bars(before * factor)?, factor });
            }
            Self::Filling { mould, fill } => {
                let size = Size::Mould { mould, fill };
                let factor = grown(design, size, design.bars).ok_or(ScaleError::Beyond)?;
                let bars = mould.own_bars().map_or_else(|| nearest_bars(before * factor), Ok)?;
                return Ok(Scaled { size, bars, factor });
            }
        };
        let bars = bars.map_or_else(|| nearest_bars(before * factor), Ok)?;
        let each = factor * before / f64::from(bars.get());
        let size = match design.size.scaled(factor, each, bars) {
            // A larger bar dries slower, so at sale it weighs a little more than in proportion.
            Ok(Size::BarAtSale(_)) => {
                let made = Scaled { size: by_fats(factor)?, bars, factor }.of(design)?;
                let cure = Cure::of(Plain, &made, &solve(Plain, &made).1).ok_or(ScaleError::NoBatch)?;
                Size::BarAtSale(BarMass::new(cure.bar_at_sale(Plain).0)?)
            }
            Ok(size) => size,
            Err(_) => by_fats(factor)?,
        };
        Ok(Scaled { size, bars, factor })
    }
}

/// What `edit` of the size makes of the batch when the amounts in grams follow: another size of the same kind,
/// so many times as large. `None` if the batch stays as large as it was, nothing is in grams, the edit is of
/// something else or gives the size in another way, or either batch cannot be.
///
/// The factor is the one by which fats and grams grow alike, so that every ratio is kept.
pub fn resized(design: &Design, edit: &Edit) -> Option<Scaled> {
    let (size, bars) = match edit {
        Edit::Size(size) if size.kind() == design.size.kind() => (*size, size.own_bars().unwrap_or(design.bars)),
        Edit::Bars(bars) => (design.size, *bars),
        _ => return None,
    };
    design.in_grams().next()?;
    let factor = grown(design, size, bars)?;
    ((factor - 1.0).abs() > 1e-9).then_some(Scaled { size, bars, factor })
}

/// How many times as large `design`'s batch is in another size when what is given in grams grows with the fats;
/// `None` if either batch cannot be.
fn grown(design: &Design, size: Size, bars: Bars) -> Option<f64> {
    let before = solve(Plain, design).1.fats.0;
    let with = |factor: f64| {
        let batch = solve(Plain, &Scaled { size, bars, factor }.of(design).ok()?);
        (batch.2.is_none() && before > 0.0).then(|| batch.1.fats.0 / before)
    };
    // The more is given in grams, the less fat a size leaves room for: the factor lies below what the fats
    // alone would grow by, and is halved in between.
    let (mut low, mut high) = (0.0, with(0.0)?);
    if with(high).is_none_or(|at| at < high) {
        for _ in 0..100 {
            let middle = f64::midpoint(low, high);
            *(if with(middle).is_some_and(|at| at >= middle) { &mut low } else { &mut high }) = middle;
        }
    }
    with(high).map(|_| high)
}

fn nearest_bars(wanted: f64) -> Result<Bars, BarsOutOfRange> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 1 up; a cast saturates")]
    let count = wanted.round().max(1.0) as u32;
    Bars::new(count)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::evaluate::evaluate;
    use crate::library::Library;
    use crate::library::additions::{AdditionLine, Amount};
    use crate::units::{AmountMass, Millilitres, Millimetres};
    use std::sync::Arc;

    const EXAMPLES: [&str; 4] = [
        include_str!("../../../../assets/examples/apple-oat-loaf.barwright"),
        include_str!("../../../../assets/examples/carrot-slab.barwright"),
        include_str!("../../../../assets/examples/fernhollow-starter.barwright"),
        include_str!("../../../../assets/examples/orchard-dual-lye.barwright"),
    ];

    fn designs(library: &Library) -> Vec<Design> {
        let examples = EXAMPLES.map(|text| document::read(text.as_bytes(), library).expect("an example"));
        let loaf = &examples[0];
        let with = |size: Size| {
            let mut design = Design { size, bars: size.own_bars().unwrap_or(loaf.bars), ..loaf.clone() };
            // An amount that does not follow the fats by itself.
            design.additions[0].amount = Amount::Grams(AmountMass::nearest(40.0));
            design
        };
        let cavities = Mould::Cavities { count: Bars::SIX, ml: Millilitres::nearest(110.0) };
        let more = [
            with(Size::Mould { mould: cavities, fill: Fill::nearest(95.0) }),
            with(Size::Volume { ml: Millilitres::nearest(900.0), fill: Fill::nearest(90.0) }),
            with(Size::BarMass(BarMass::nearest(120.0))),
            with(Size::BarAtSale(BarMass::nearest(95.0))),
            with(Size::FatMass(FatMass::nearest(650.0))),
        ];
        examples.into_iter().chain(more).collect()
    }

    fn assert_near(what: &str, got: f64, expected: f64) {
        let error = (got - expected).abs();
        assert!(error <= 1e-9 * expected.abs().max(1.0), "{what}: {got}, not {expected}");
    }

    #[test]
    fn three_batches_take_three_times_of_everything_for_three_times_the_same_bars() {
        let library = Library::embedded().expect("assets parse");
        for design in designs(&library) {
            let many = Scale::Times(Multiple::nearest(3.0)).of(&design).expect("it can be made");
            let (one, three) = (evaluate(&design, &library), evaluate(&many, &library));
            assert_eq!(three.size_error, None);
            assert_eq!(three.masses.bars, 3 * one.masses.bars);
            let what = format!("{:?}", design.size);
            for (a, b) in one.fat_masses.iter().zip(&three.fat_masses) {
                assert_near(&what, b.0, 3.0 * a.0);
            }
            for (a, b) in one.addition_masses.iter().zip(&three.addition_masses) {
                assert_near(&what, b.0, 3.0 * a.0);
            }
            assert_near(&what, three.masses.alkali.weighed().0, 3.0 * one.masses.alkali.weighed().0);
            assert_near(&what, three.masses.water_to_weigh.0, 3.0 * one.masses.water_to_weigh.0);
            assert_near(&what, three.masses.bar_fresh.0, one.masses.bar_fresh.0);
            let sale = |e: &crate::Evaluation| e.cure.as_ref().expect("fats").bar_at_sale(Plain).0;
            match design.size {
                // The grid that comes nearest to 3 : 2 may be another one on a longer slab.
                Size::Mould { mould: Mould::Slab(_), .. } => {
                    let off = (sale(&three) / sale(&one) - 1.0).abs();
                    assert!(off < 1e-3, "{what}: {} and {} at sale", sale(&three), sale(&one));
                }
                _ => assert_near(&what, sale(&three), sale(&one)),
            }
        }
    }

    #[test]
    fn so_many_bars_are_like_those_designed_and_so_much_fat_is_exact() {
        let library = Library::embedded().expect("assets parse");
        for design in designs(&library) {
            let one = evaluate(&design, &library).masses;
            let seventeen = Bars::new(17).expect("in range");
            let many = evaluate(&Scale::Bars(seventeen).of(&design).expect("it can be made"), &library).masses;
            assert_eq!(many.bars, 17);
            assert_near("a bar", many.bar_fresh.0, one.bar_fresh.0);
            let fats = FatMass::nearest(1234.5);
            let many = evaluate(&Scale::Fats(fats).of(&design).expect("it can be made"), &library).masses;
            assert_near("the fats", many.fats.0, 1234.5);
            assert_near("the batter", many.batter.0, one.batter.0 * many.fats.0 / one.fats.0);
        }
    }

    #[test]
    fn a_fat_is_used_up_and_a_mould_is_filled_with_every_ratio_kept() {
        let library = Library::embedded().expect("assets parse");
        let ratios = |e: &crate::Evaluation| {
            let m = &e.masses;
            let weighed = [m.alkali.weighed(), m.water_to_weigh, m.additions, m.scents, m.batter];
            weighed.map(|mass| mass.0 / m.fats.0)
        };
        for design in designs(&library) {
            let one = evaluate(&design, &library);
            let mass = FatMass::nearest(312.0);
            for (fat, before) in one.fat_masses.iter().enumerate() {
                let many = Scale::UsingUp { fat, mass }.of(&design).expect("it can be made");
                let many = evaluate(&many, &library);
                assert_near("the fat", many.fat_masses[fat].0, 312.0);
                assert_near("all fats", many.masses.fats.0 / one.masses.fats.0, 312.0 / before.0);
                for (a, b) in ratios(&one).into_iter().zip(ratios(&many)) {
                    assert_near("a ratio", b, a);
                }
            }
            let beyond = Scale::UsingUp { fat: one.fat_masses.len(), mass };
            assert_eq!(beyond.of(&design), Err(ScaleError::NoSuchFat));
            let cuboid = [210.0, 70.0, 55.0].map(Millimetres::nearest);
            let [length_mm, width_mm, height_mm] = cuboid;
            let loaf = Mould::Loaf(crate::design::mould::Cuboid { length_mm, width_mm, height_mm });
            let cavities = Mould::Cavities { count: Bars::SIX, ml: Millilitres::nearest(90.0) };
            for mould in [loaf, cavities] {
                let made = Scale::Filling { mould, fill: Fill::nearest(90.0) }.of(&design).expect("it can be made");
                let many = evaluate(&made, &library);
                assert!((many.masses.batter_ml / (0.9 * mould.volume_ml()) - 1.0).abs() < 1e-9, "{mould:?}");
                assert_eq!(mould.own_bars().unwrap_or(made.bars), made.bars);
                for (a, b) in ratios(&one).into_iter().zip(ratios(&many)) {
                    assert!((b - a).abs() < 1e-8 * a.max(1.0), "{mould:?}: {b} for {a}");
                }
            }
        }
    }

    #[test]
    fn a_mould_too_long_for_a_design_gives_way_to_the_weight_of_the_fats() {
        let library = Library::embedded().expect("assets parse");
        let loaf = &designs(&library)[0];
        let many = Scale::Times(Multiple::nearest(40.0)).of(loaf).expect("it can be made");
        assert!(matches!(many.size, Size::FatMass(_)), "{:?}", many.size);
        assert_near("the fats", evaluate(&many, &library).masses.fats.0, 40.0 * evaluate(loaf, &library).masses.fats.0);
    }

    #[test]
    fn grams_that_follow_a_resized_batch_keep_every_ratio() {
        let library = Library::embedded().expect("assets parse");
        for mut design in designs(&library) {
            design.additions.clear();
            let salt = Arc::clone(library.addition("salt").expect("tabled"));
            for grams in [40.0, 300.0] {
                let amount = Amount::Grams(AmountMass::nearest(grams));
                design.additions = vec![AdditionLine { amount, ..AdditionLine::usual(Arc::clone(&salt)) }];
                let one = evaluate(&design, &library).masses;
                for factor in [0.6, 1.7] {
                    let size = design.size.scaled(factor, factor, design.size.own_bars().unwrap_or(design.bars));
                    let edit = Edit::Size(size.expect("in range"));
                    let scaled = resized(&design, &edit).expect("there is something in grams");
                    let next = Edit::Scale(scaled).apply(&design, &library).expect("in range");
                    let two = evaluate(&next, &library).masses;
                    assert_eq!(Edit::Size(next.size), edit, "the size that was asked for");
                    let grown = two.fats.0 / one.fats.0;
                    // A small bar dries further, so at sale it holds more of the fats.
                    let off = if matches!(design.size, Size::BarAtSale(_)) { 0.02 } else { 1e-6 };
                    assert!((grown / factor - 1.0).abs() < off, "{:?}: {grown} for {factor}", design.size);
                    let what = format!("{:?}", design.size);
                    assert_near(&what, two.additions.0 / one.additions.0, grown);
                    assert_near(&what, two.batter.0 / one.batter.0, grown);
                }
                assert_eq!(resized(&design, &Edit::Size(design.size)), None, "no other size");
            }
            design.additions.clear();
            let twice = Edit::Size(design.size.scaled(2.0, 2.0, design.bars).expect("in range"));
            if design.scents.iter().all(|l| !matches!(l.amount, Amount::Grams(_))) {
                assert_eq!(resized(&design, &twice), None, "nothing is in grams");
            }
        }
    }

    #[test]
    fn what_cannot_be_scaled_says_why() {
        assert_eq!(Scale::Bars(Bars::SIX).of(&Design::default()), Err(ScaleError::NoBatch));
        let library = Library::embedded().expect("assets parse");
        let starter = document::read(EXAMPLES[2].as_bytes(), &library).expect("an example");
        let heavy = Scale::Times(Multiple::nearest(1000.0))
            .of(&Design { size: Size::FatMass(FatMass::nearest(900_000.0)), ..starter.clone() })
            .expect_err("nine hundred tonnes");
        assert!(heavy.to_string().contains("the mass of fats must lie between"), "{heavy}");
        let bars = Bars::new(9000).expect("in range");
        let many = Scale::Times(Multiple::nearest(2.0)).of(&Design { bars, ..starter }).expect_err("18 000 bars");
        assert_eq!(many, ScaleError::Bars(BarsOutOfRange(18_000)));
    }
}
