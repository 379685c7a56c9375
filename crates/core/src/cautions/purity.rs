//! What to mind about the purity of the alkalis: a figure that is too low makes the maker weigh too much.

use super::{Caution, Level};
use crate::chemistry::alkali::naoh_to_koh;
use crate::design::edit::Edit;
use crate::design::{Alkali, Design};
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::number::{fixed, short};
use crate::units::{Grams, Purity, in_percent};

/// An alkali as it is sold, in percent (common practice, no source).
struct Sold {
    name: &'static str,
    code: &'static str,
    /// Where its purity usually lies.
    usual: (f64, f64),
    /// Below this it is not sold for soap.
    least: f64,
    /// As pure as a good tub may be after all.
    best: f64,
}

const NAOH: Sold =
    Sold { name: "sodium hydroxide", code: "naoh-purity", usual: (97.0, 100.0), least: 94.0, best: 99.5 };
const KOH: Sold =
    Sold { name: "potassium hydroxide", code: "koh-purity", usual: (85.0, 92.0), least: 80.0, best: 92.0 };

/// Warns of purities that are not those of what is sold.
pub(super) fn warn(design: &Design, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let (alkali, weighed) = (&design.alkali, &evaluation.masses.alkali);
    if weighed.naoh.0 > 0.0 {
        let superfat = superfat(evaluation, Purity::nearest(NAOH.best), alkali.koh_purity);
        let read = Alkali { naoh_read_from_tub: true, ..*alkali };
        let usual = Alkali { naoh_purity: Alkali::default().naoh_purity, ..*alkali };
        let ticked = alkali.naoh_read_from_tub;
        cautions.extend(doubt(&NAOH, alkali.naoh_purity, (superfat, ticked), design, (read, usual)));
    }
    if weighed.koh.0 > 0.0 {
        let superfat = superfat(evaluation, alkali.naoh_purity, Purity::nearest(KOH.best));
        let read = Alkali { koh_read_from_tub: true, ..*alkali };
        let usual = Alkali { koh_purity: Alkali::default().koh_purity, ..*alkali };
        let ticked = alkali.koh_read_from_tub;
        cautions.extend(doubt(&KOH, alkali.koh_purity, (superfat, ticked), design, (read, usual)));
    }
    if !cautions.iter().any(|c| c.blocks() && [NAOH.code, KOH.code].contains(&c.code)) {
        cautions.extend(together(design, evaluation));
    }
}

/// Two alkalis that are each pure enough, and together not. A figure that was read from its tub stands.
fn together(design: &Design, evaluation: &Evaluation) -> Option<Caution> {
    let (alkali, weighed) = (&design.alkali, &evaluation.masses.alkali);
    if weighed.naoh.0 <= 0.0 || weighed.koh.0 <= 0.0 || design.superfat.get() <= 0.0 {
        return None;
    }
    let best = |sold: &Sold, said: Purity, is_read: bool| {
        if is_read { said } else { Purity::nearest(sold.best.max(said.get())) }
    };
    let naoh = best(&NAOH, alkali.naoh_purity, alkali.naoh_read_from_tub);
    let koh = best(&KOH, alkali.koh_purity, alkali.koh_read_from_tub);
    let at_best = superfat(evaluation, naoh, koh);
    if at_best > 0.0 {
        return None;
    }
    let why = format!(
        "If the sodium hydroxide has {} % after all and the potassium hydroxide {} %, the same weights leave a superfat of {} %.",
        short(naoh.get(), 1),
        short(koh.get(), 1),
        fixed(at_best, 1),
    );
    let advice = "Read the figures on the tubs you weigh from and say that you did, or hold back more alkali.";
    let read = Alkali { naoh_read_from_tub: true, koh_read_from_tub: true, ..*alkali };
    let caution = Caution::new("koh-and-naoh-purity", Level::Stop, why, advice);
    Some(caution.with_remedy("I read both from these tubs", Edit::Alkali(read)))
}

/// The superfat that the same weights have when the alkalis are so pure, percent.
fn superfat(evaluation: &Evaluation, naoh: Purity, koh: Purity) -> f64 {
    let batch = &evaluation.masses;
    let pure = |weighed: Grams, purity: Purity| weighed * purity.fraction();
    let has = naoh_to_koh(Plain, pure(batch.alkali.naoh, naoh)) + pure(batch.alkali.koh, koh) - batch.acids_koh;
    if batch.exact_koh.0 > 0.0 { in_percent(1.0 - has.0 / batch.exact_koh.0) } else { 0.0 }
}

fn doubt(
    sold: &Sold,
    purity: Purity,
    (at_best, read_from_tub): (f64, bool),
    design: &Design,
    (read, usual): (Alkali, Alkali),
) -> Option<Caution> {
    let Sold { name, usual: (low, high), least, best, .. } = *sold;
    let said = short(purity.get(), 2);
    let set_usual = |caution: Caution, to: Purity| {
        caution.with_remedy(format!("Take {} %", short(to.get(), 2)), Edit::Alkali(usual))
    };
    let to = if sold.code == NAOH.code { usual.naoh_purity } else { usual.koh_purity };
    if purity.get() < least {
        let why = format!(
            "The {name} is said to be {said} % pure, and what is sold for soap has {} to {} % (common practice, no \
             source): the lower the figure, the more of it is weighed.",
            short(low, 1),
            short(high, 1),
        );
        let caution = Caution::new(sold.code, Level::Stop, why, "Read the figure on the tub; use no other alkali.");
        return Some(set_usual(caution, to));
    }
    // A bar planned without superfat is stopped by another.
    if purity.get() < best && at_best <= 0.0 && design.superfat.get() > 0.0 && !read_from_tub {
        let why = format!(
            "The {name} is said to be {said} % pure. If it has {} % after all, the same weights leave a superfat of {} %.",
            short(best, 1),
            fixed(at_best, 1),
        );
        let advice = "Read the figure on the tub you weigh from and say that you did, or hold back more alkali.";
        let caution = Caution::new(sold.code, Level::Stop, why, advice);
        return Some(caution.with_remedy("I read it from this tub", Edit::Alkali(read)));
    }
    if (low..=high).contains(&purity.get()) {
        return None;
    }
    let why = format!(
        "The {name} is said to be {said} % pure; usual are {} to {} % (common practice, no source).",
        short(low, 1),
        short(high, 1),
    );
    let caution = Caution::new(sold.code, Level::Care, why, "Read the figure on the tub: the weights rest on it.");
    // A lower figure than the one that is said would have more of it weighed.
    Some(if read_from_tub || purity.get() > high { caution } else { set_usual(caution, to) })
}
