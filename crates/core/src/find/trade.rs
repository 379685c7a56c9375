//! Price against nearness: what each saving costs in likeness.

use super::blends::Found;
use super::formulation::{FindError, Formulation};
use super::wanted::{Aim, Candidate, ShareStep, Wanted};
use crate::design::Design;
use crate::design::blend::Blend;
use crate::formula::{Plain, Reading};
use crate::library::Library;
use crate::library::composition::Composition;
use crate::units::in_percent;
use barwright_solver::{Failure, NoFront, front};

/// What a point of [`trade_off`] is the best for: `wanted` with shares of any size and only the fats
/// that have a price.
///
/// # Errors
/// [`FindError::NoPrices`] if no fat has one or the aim is the price itself, [`FindError::NoPrice`]
/// if a fat that must be used has none.
pub fn on_curve(wanted: &Wanted) -> Result<Wanted, FindError> {
    if wanted.aim == Aim::Cheapest {
        return Err(FindError::NoPrices);
    }
    let mut on_curve = Wanted { step: ShareStep::Any, ..wanted.clone() };
    let is_priced = |c: &Candidate| wanted.price_per_kg(&c.line.fat.id).is_some();
    if let Some(c) = wanted.candidates.iter().find(|c| c.least.get() > 0.0 && !is_priced(c)) {
        return Err(FindError::NoPrice(c.line.fat.name.clone()));
    }
    on_curve.keep(is_priced);
    if on_curve.candidates.iter().all(|c| c.most.get() <= 0.0) { Err(FindError::NoPrices) } else { Ok(on_curve) }
}

/// The best blends for the aim of `wanted` at `points` prices in equal steps, from that of the best
/// of all down to the lowest that the hard ranges allow: shares of any size, of any number of the
/// fats that have a price. Empty if the hard ranges collide.
///
/// # Errors
/// [`FindError`] as for a search; [`FindError::NoPrices`] also if the aim is the price itself.
pub fn trade_off(wanted: &Wanted, library: &Library, points: usize) -> Result<Vec<Found>, FindError> {
    let wanted = on_curve(wanted)?;
    let formulation = Formulation::of(&wanted, library)?;
    let price = |c: &Candidate| wanted.price_per_kg(&c.line.fat.id).unwrap_or_default();
    let prices: Vec<f64> = formulation.candidates.iter().map(price).collect();
    let points = match front(&formulation.problem, &prices, points) {
        Ok(points) => points,
        Err(NoFront::Point(Failure::Infeasible)) => return Ok(Vec::new()),
        Err(NoFront::Point(Failure::Stalled)) => return Err(FindError::Stalled),
        Err(NoFront::Cost(error)) => return Err(error.into()),
    };
    let found = points.iter().filter_map(|p| formulation.found(&p.solution.w, p.solution.objective, &wanted));
    Ok(found.collect())
}

/// Percent in which `blend` differs from the aim of `wanted`: of the acids, half the sum of absolute
/// differences; for the smallest change and the cheapest of the shares, against those of `design`.
/// `None` if no fat of it has tabled acids.
pub fn differs(blend: &Blend, wanted: &Wanted, design: &Design, library: &Library) -> Option<f64> {
    read_differs(Plain, blend, wanted, design, library)
}

/// [`differs`] in any reading; the acids themselves are not recorded.
pub(crate) fn read_differs<R: Reading>(
    r: R,
    blend: &Blend,
    wanted: &Wanted,
    design: &Design,
    library: &Library,
) -> Option<R::N> {
    match &wanted.aim {
        Aim::Nearest(target) => {
            let fats = blend.lines().iter().map(|l| (l.fat.as_ref(), l.share.get()));
            Some(in_percent(Composition::of(fats, &library.acids)?.read_distance(r, target, &library.acids)))
        }
        Aim::SmallestChange | Aim::Cheapest => Some(design.blend.read_exchanged(r, blend)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::evaluate;

    const PRICED: &str = r#"(barwright: 1,
        fats: [(fat: "olive_virgin", share: 45.0), (fat: "coconut", share: 25.0), (fat: "shea", share: 30.0)],
        prices: [
            (material: "olive_virgin", pack_g: 1000.0, price: 9.5), (material: "coconut", pack_g: 500.0, price: 3.0),
            (material: "shea", pack_g: 1000.0, price: 14.0), (material: "lard", pack_g: 250.0, price: 0.75),
            (material: "palm", pack_g: 1000.0, price: 3.5), (material: "sunflower", pack_g: 1000.0, price: 2.5),
        ])"#;

    #[test]
    fn each_saving_costs_likeness_and_the_first_point_is_the_design_itself() {
        let library = Library::embedded().expect("assets parse");
        let design = document::read(PRICED.as_bytes(), &library).expect("a design");
        let mut wanted = Wanted::of(&design, &evaluate(&design, &library), &library);
        wanted.demands.clear();
        let points = trade_off(&wanted, &library, 12).expect("priced fats");
        assert_eq!(points.len(), 12);
        // Six fats whose acids are not mixtures of each other: only the design's own blend is at 0.
        assert!(points[0].objective < 1e-9, "it is itself: {}", points[0].objective);
        let own = 0.45 * 9.5 + 0.25 * 6.0 + 0.3 * 14.0;
        assert!((points[0].price_per_kg.expect("priced") - own).abs() < 1e-6, "by hand: {own}");
        for pair in points.windows(2) {
            assert!(pair[1].price_per_kg < pair[0].price_per_kg, "cheaper");
            assert!(pair[1].objective >= pair[0].objective, "and no nearer");
        }
        let cheapest = points[11].price_per_kg.expect("priced");
        assert!((cheapest - 2.5).abs() < 1e-9, "all sunflower oil at the end: {cheapest}");
    }
}
