//! What colours the bar.

use super::{About, NO_FATS, Unknown, quantities};
use crate::bench::day::shown;
use crate::chemistry::colour::content;
use crate::chemistry::colour::forecast::{Basis, Forecast, PLAIN};
use crate::chemistry::colour::optics::Lab;
use crate::chemistry::cure::Cure;
use crate::chemistry::size::solve;
use crate::formula::{Input, Plain, Reading};
use crate::number::{fixed, short};
use crate::quantity::Unit;
use crate::trust::Trust;

quantities! {
    /// The colour, in the order of the report.
    COLOUR;
    /// The carotenes that colour it.
    Carotenes("colour.mg_per_kg", "Carotenes in the cured bar", MilligramsPerKilogram, 1) {
        |r, of| {
            let About { design, evaluation, library, .. } = of;
            if evaluation.cure.is_none() {
                return Err(NO_FATS.into());
            }
            let parts =
                content::parts(r, design, &evaluation.masses, evaluation.cure.as_ref(), &library.pigments);
            if parts.is_empty() {
                return Err("nothing in it holds carotenes that are tabled".into());
            }
            Ok(r.sum(parts.into_iter().map(|part| part.mg_per_kg)))
        },
        |_| "From food tables, whose varieties differ tenfold: the fruit in hand can be half or twice as strong. What is \
             left after the lye is our judgement; none was measured in soap."
    }
    /// How light the likely colour is.
    Lightness("colour.lightness", "Lightness of the likely colour, L*", Bare, 1) {
        |r, of| lab(r, of, "L*", |colour| colour.l),
        |_| OF_LAB
    }
    /// How red it is.
    Redness("colour.redness", "Redness of the likely colour, a*", Bare, 1) {
        |r, of| lab(r, of, "a*", |colour| colour.a),
        |_| OF_LAB
    }
    /// How yellow it is.
    Yellowness("colour.yellowness", "Yellowness of the likely colour, b*", Bare, 1) {
        |r, of| lab(r, of, "b*", |colour| colour.b),
        |_| OF_LAB
    }
    /// When half of the colour is gone, by two looks at an own bar.
    HalfGone("colour.half_gone_days", "Half of the colour is gone after", Days, 0) {
        |r, of| half_gone(r, of),
        |_| "By two looks at one bar of yours, each read within about 5; where and how a bar is kept decides, and only its \
             surface pales. Published rates differ seventyfold, so that none is forecast without a second look."
    }
}

const OF_LAB: &str = "By Kubelka and Munk in 31 bands of light. Measured roots were met within 3 where their own strength was \
                      known; from tables alone half of the bars lie within about 10. Above 10 mg in a kilogram believe the \
                      direction, not the depth.";

/// What a milligram does.
const STRENGTH: &str = "Absorption over scattering for each mg in a kilogram, at the peak";
/// Where that is from without an own bar.
const OF_TABLES: &str = "between two matrices of cassava roots, Ikeogu et al., PLOS ONE 12(12): e0188918 (2017); half to \
                         twice as much in soap is our judgement";

/// Days until half of the colour is gone, with the two looks that tell it.
fn half_gone<R: Reading>(r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
    let (_, masses, _) = solve(Plain, of.design);
    let cure = Cure::of(Plain, of.design, &masses);
    let forecast = Forecast::of(of.design, &masses, cure.as_ref(), &of.library.pigments);
    let fading = forecast.ok_or_else(|| Unknown::from(NO_FATS))?.fading;
    let fading = fading.ok_or("no bar of this kind was looked at twice")?;
    let (days, _) = fading.halves().ok_or("the two looks at your bar do not tell a date")?;
    Ok(r.inputs("the time in which what is left halves, from the two looks", days.get().round(), "", || {
        let days = fading.first.days_to(fading.again) as f64;
        let looks = format!("your own bar on {} and on {}", shown(fading.first.0), shown(fading.again.0));
        vec![Input::sourced("Days between two looks at a bar", short(days, 0), &looks, Trust::Maker)]
    }))
}

/// A coordinate of the likely colour, with what it rests on.
fn lab<R: Reading>(
    r: R,
    of: About<'_, R::N>,
    symbol: &'static str,
    coordinate: impl Fn(Lab) -> f64,
) -> Result<R::N, Unknown> {
    // The optics are not recorded band by band: a table of 31 columns tells nobody anything.
    let (_, masses, _) = solve(Plain, of.design);
    let cure = Cure::of(Plain, of.design, &masses);
    let forecast = Forecast::of(of.design, &masses, cure.as_ref(), &of.library.pigments);
    let forecast = forecast.ok_or_else(|| Unknown::from(NO_FATS))?;
    let Some(shades) = forecast.shades(1.0) else {
        return Err("what goes in has a colour that cannot be forecast".into());
    };
    let [_, likely, _] = forecast.strengths;
    let strength = match forecast.basis {
        Basis::OwnBar(seen) => Input::sourced(STRENGTH, short(likely, 3), &seen.words(), Trust::Maker),
        Basis::Tables { .. } | Basis::PlainBar(_) => {
            Input::sourced(STRENGTH, short(likely, 3), OF_TABLES, Trust::Calculated)
        }
    };
    Ok(r.inputs(symbol, coordinate(shades.likely), "", || {
        if let (Some(seen), Basis::OwnBar(bar)) = (forecast.looks_like, forecast.basis) {
            let value = format!("L* {} a* {} b* {}", short(seen.l, 1), short(seen.a, 1), short(seen.b, 1));
            return vec![Input::sourced("What your bar looked like", value, &bar.words(), Trust::Maker)];
        }
        let (lightness, yellowness) = PLAIN;
        vec![
            Input::worked_out(
                "Carotenes in the cured bar",
                format!("{} mg/kg", fixed(forecast.mg_per_kg, 1)),
                "foods, what is left of them, the cured bar",
            ),
            strength,
            Input::sourced(
                "Plain bar of refined fats",
                format!("L* {} and b* {}", short(lightness, 0), short(yellowness, 0)),
                "a usual bar; green oils tint it",
                Trust::FromMemory,
            ),
        ]
    }))
}
