//! Figures of the blend.

use super::{About, NO_FATS, Quantity, Unknown, quantities};
use crate::chemistry::spread::{self, End};
use crate::evaluate::{Evaluation, MOST_UNKNOWN, acid_part};
use crate::formula::{Num, Reading};
use crate::library::acids::AcidId;
use crate::library::composition::Composition;
use crate::library::fats::FatKind;
use crate::library::material::MaterialId;
use crate::library::styles::ReferenceSoap;
use crate::number::fixed;
use crate::quantity::Unit;
use crate::units::in_percent;

quantities! {
    /// Figures of the blend, in the order of the report.
    CHEMISTRY;
    /// The saponification value that the lye rests on.
    SaponificationValue("chemistry.saponification_value", "Saponification value", Saponification, 1) {
        |_r, of| of.evaluation.chemistry.saponification_value.ok_or_else(|| NO_FATS.into()),
        |of| of.of_saponification()
    }
    /// The same from the acids.
    SaponificationCalculated(
        "chemistry.saponification_value_calculated", "Saponification value from the acids", Saponification, 1
    ) {
        |_r, of| of.evaluation.chemistry.saponification_value_calculated.ok_or_else(|| no_profile(of.evaluation)),
        |of| format!(
            "A check beside the published value, from typical profiles (AOCS Cd 3a-94). The lye never rests on it: only the \
             ranges of the acids count, which narrow what is published.{}",
            of.left_out()
        )
    }
    /// Its lower end.
    SaponificationLow(
        "chemistry.saponification_value_low", "The least saponification value that can result", Saponification, 1
    ) {
        |r, of| spread::saponification_end(r, &of.design.blend, End::Low).ok_or_else(|| NO_BLEND.into()),
        |_| OUTER_SV
    }
    /// Its upper end.
    SaponificationHigh(
        "chemistry.saponification_value_high", "The most saponification value that can result", Saponification, 1
    ) {
        |r, of| spread::saponification_end(r, &of.design.blend, End::High).ok_or_else(|| NO_BLEND.into()),
        |_| OUTER_SV
    }
    /// Iodine value.
    IodineValue("chemistry.iodine_value", "Iodine value", Iodine, 1) {
        |_r, of| of.evaluation.chemistry.iodine_value.ok_or_else(|| no_profile(of.evaluation)),
        |of| format!(
            "Calculated from typical profiles (AOCS Cd 1c-85, exact masses), so as good as those; the profile of one season \
             differs.{}",
            of.left_out()
        )
    }
    /// Its lower end.
    IodineLow("chemistry.iodine_value_low", "The least iodine value that can result", Iodine, 1) {
        |r, of| iodine_end(r, of, End::Low),
        |of| format!("{OUTER}{}", of.left_out())
    }
    /// Its upper end.
    IodineHigh("chemistry.iodine_value_high", "The most iodine value that can result", Iodine, 1) {
        |r, of| iodine_end(r, of, End::High),
        |of| format!("{OUTER}{}", of.left_out())
    }
    /// Saturated acids for each of unsaturated ones.
    SaturatedPerUnsaturated(
        "chemistry.saturated_per_unsaturated", "Saturated acids for each of unsaturated ones", Bare, 2
    ) {
        |r, of| {
            let composition = of.evaluation.composition.as_ref().ok_or_else(|| no_profile(of.evaluation))?;
            let ratio = composition.saturated_per_unsaturated(r, &of.library.acids);
            ratio.ok_or_else(|| "the blend holds no unsaturated acid".into())
        },
        |of| format!("As good as the typical profiles; the profile of one season differs.{}", of.left_out())
    }
    /// How far the nearest reference soap is.
    NearestSoapDiffers(
        "chemistry.nearest_soap_differs_pct", "Acids that differ from the nearest reference soap", Percent, 0
    ) {
        |r, of| {
            let composition = composition(of)?;
            let (soap, _) = nearest_soap(of)?;
            let differs = composition.differs(r, &soap.composition, &of.library.acids, &soap.name);
            Ok(in_percent(differs))
        },
        |of| format!(
            "From typical profiles; two seasons of one fat differ by a few percent. It compares blends, not bars.{}",
            of.left_out()
        )
    }
    /// Titre.
    Titre("chemistry.titre_c", "Titre", Celsius, 0) {
        |_r, of| of.evaluation.chemistry.titre.ok_or_else(|| {
            if of.evaluation.chemistry.iodine_value.is_some() {
                "the blend holds no saturated acid that sets".into()
            } else {
                no_profile(of.evaluation)
            }
        }),
        |_| "Good to about ±3 °C in hard charges, worse in soft ones (maize 8 too high, castor 7 too low). It is where the \
             acids set, not the hardness of a bar."
    }
    /// Its lower end.
    TitreLow("chemistry.titre_low_c", "The least titre that can result", Celsius, 0) {
        |r, of| titre_end(r, of, End::Low),
        |_| OUTER_TITRE
    }
    /// Its upper end.
    TitreHigh("chemistry.titre_high_c", "The most titre that can result", Celsius, 0) {
        |r, of| titre_end(r, of, End::High),
        |_| OUTER_TITRE
    }
    /// Fatty matter of the fresh bar.
    FattyMatter("chemistry.tfm_fresh_pct", "Total fatty matter of the fresh bar", Percent, 1) {
        |_r, of| of.evaluation.chemistry.tfm_fresh.ok_or_else(|| no_fatty_matter(of)),
        |_| "Stoichiometry (ISO 685) over the fresh bar; it rises as the bar dries. Fat in additions is not counted."
    }
    /// Fatty matter of the bar at sale.
    FattyMatterAtSale("chemistry.tfm_cured_pct", "Total fatty matter of the bar at sale", Percent, 1) {
        |_r, of| of.evaluation.chemistry.tfm_cured.ok_or_else(|| no_fatty_matter(of)),
        |of| of.forecast(super::cure::OF_FATTY_MATTER)
    }
}

const NO_BLEND: &str = "there are no fats in the blend";
pub(super) const NO_PROFILES: &str = "no fat of the blend has a tabled profile of acids";
pub(super) const OUTER: &str = "An outer limit: all fats are taken at their extremes at once, each with the sum of its acids held. A \
                     figure published without a range counts as it is.";
const OUTER_SV: &str = "An outer limit: all fats lie at the same end of the ranges that the lye rests on at once. The lye margin \
                        says what comes of it.";
const OUTER_TITRE: &str =
    "An outer limit by the fats’ ranges alone; the estimate’s own error of ±3 °C and more comes on top.";

/// Why what rests on the fats' profiles is not known.
pub(super) fn no_profile<N>(evaluation: &Evaluation<N>) -> Unknown {
    evaluation.composition.as_ref().map_or_else(
        || NO_PROFILES.into(),
        |c| {
            let (percent, most) = (fixed(in_percent(c.unknown), 1), fixed(in_percent(MOST_UNKNOWN), 0));
            format!(
                "{percent} % of the blend has no tabled profile of acids, more than the {most} % that may be left out"
            )
            .into()
        },
    )
}

fn no_fatty_matter<N: Num>(of: About<'_, N>) -> Unknown {
    let lines = of.design.blend.lines().iter().zip(&of.evaluation.fat_masses);
    let mut waxes = lines.filter(|(line, mass)| mass.value() > 0.0 && line.fat.kind == FatKind::Wax);
    let wax = waxes.next();
    wax.map_or_else(|| NO_FATS.into(), |(line, _)| format!("what {} is made of is not tabled", line.fat.name).into())
}

fn composition<N>(of: About<'_, N>) -> Result<&Composition<N>, Unknown> {
    of.evaluation.composition.as_ref().ok_or_else(|| NO_PROFILES.into())
}

fn iodine_end<R: Reading>(r: R, of: About<'_, R::N>, end: End) -> Result<R::N, Unknown> {
    of.evaluation.chemistry.iodine_value.ok_or_else(|| no_profile(of.evaluation))?;
    spread::iodine_end(r, &of.design.blend, end, of.library).ok_or_else(|| NO_PROFILES.into())
}

fn titre_end<R: Reading>(r: R, of: About<'_, R::N>, end: End) -> Result<R::N, Unknown> {
    Titre.read(r, of)?;
    let titre = spread::titre_end(r, &of.design.blend, end, of.library);
    titre.ok_or_else(|| "the blend may hold no saturated acid that sets".into())
}

/// The reference soap of the design's style whose acids are nearest, and the part of them that differs.
///
/// # Errors
/// [`Unknown`] if the blend has no profiles or the style no soaps.
pub fn nearest_soap<N: Num>(of: About<'_, N>) -> Result<(&ReferenceSoap, f64), Unknown> {
    let composition = composition(of)?.plain();
    let style = of.library.style(&of.design.style);
    style.and_then(|s| s.nearest(&composition)).ok_or_else(|| "the style has no reference soaps".into())
}

impl About<'_> {
    /// What is left out of a figure from profiles.
    pub(super) fn left_out(self) -> &'static str {
        match &self.evaluation.composition {
            Some(c) if c.unknown > 0.0 => " Fats without a tabled profile are left out.",
            _ => "",
        }
    }

    fn of_saponification(self) -> String {
        let calculated = self.evaluation.chemistry.saponification_value_calculated;
        let beside =
            calculated.map_or_else(String::new, |sv| format!(" The acids give {} mg KOH/g, as a check.", fixed(sv, 1)));
        format!(
            "Published ranges as far as the acids allow them, or suppliers’ figures; a fat of one’s own shelf lies somewhere in \
             its range.{beside}"
        )
    }
}

/// An acid in percent of all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AcidPercent(pub AcidId);

impl Quantity for AcidPercent {
    fn key(&self, of: About<'_>) -> String {
        format!("acids_pct.{}", of.library.acids.get(self.0).key)
    }
    fn title(&self, of: About<'_>) -> String {
        format!("{} in the fatty acids", of.library.acids.get(self.0).in_words())
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Percent
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, _: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let fraction = composition(of)?.fraction(self.0);
        if fraction.value() > 0.0 {
            Ok(in_percent(fraction))
        } else {
            Err(Unknown::Absent("the blend holds none of it".into()))
        }
    }
    fn trust(&self, of: About<'_>) -> String {
        format!(
            "Typical profiles: one season or one supplier lies elsewhere in the published range. Each fat counts as if all \
             of it were fatty acids.{}",
            of.left_out()
        )
    }
}

/// What a fat brings of an acid, in percent of all acids.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AcidOfFat(pub AcidId, pub MaterialId);

impl Quantity for AcidOfFat {
    fn key(&self, of: About<'_>) -> String {
        let place = of.design.blend.lines().iter().position(|l| l.fat.id == self.1).unwrap_or_default();
        format!("acids_pct.{}.fats.{place}", of.library.acids.get(self.0).key)
    }
    fn title(&self, of: About<'_>) -> String {
        let fat = of.design.blend.line(&self.1).map_or_else(|| self.1.as_str(), |l| l.fat.name.as_str());
        format!("{} by {fat}", of.library.acids.get(self.0).in_words())
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Percent
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let line = of.design.blend.line(&self.1).ok_or_else(|| Unknown::Absent(super::line::NO_FAT.into()))?;
        if line.fat.profile().iter().all(|e| e.acid != self.0) {
            return Err(Unknown::Absent(format!("{} has none of it in its profile", line.fat.name)));
        }
        Ok(acid_part(r, &of.design.blend, line, &[self.0], of.library))
    }
    fn trust(&self, _: About<'_>) -> String {
        "A typical profile: one season or one supplier lies elsewhere in the published range.".into()
    }
}
