//! How long bars of a blend usually cure, and whether they stay soft: rules of the trade, without a source.

use crate::chemistry::masses::is_salt_bar;
use crate::design::Design;
use crate::library::Library;
use crate::library::acids::Acid;
use crate::library::composition::Composition;
use crate::units::{Grams, percent_of};

/// With less of saturated acids a bar stays soft for long, percent (our judgement: olive oil has about 15).
const SOFT: f64 = 22.0;
/// From so much of acids up to 14 carbons on a bar is one of coconut and its like, percent (our judgement).
const SHORT_ACIDS: f64 = 40.0;
/// From so much oleic acid on, with [`SOFT`], a bar is one of olive and its like, percent (our judgement).
const OLEIC: f64 = 60.0;

/// What of a batch its cure depends on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keeping {
    /// Nothing in particular.
    Ordinary,
    /// Much salt.
    Salt,
    /// Many short acids.
    Short,
    /// Much oleic acid and little that is solid.
    Oleic,
}

/// Percent of the acids that pass `test`.
fn acids(composition: &Composition, library: &Library, test: impl Fn(&Acid) -> bool) -> f64 {
    let passing = library.acids.iter().filter(|(_, acid)| test(acid));
    percent_of(passing.map(|(id, _)| composition.fraction(id)).sum::<f64>(), 1.0)
}

/// Whether a blend of these acids stays soft for long; not where the acids are not known.
pub fn is_soft(composition: Option<&Composition>, library: &Library) -> bool {
    composition.is_some_and(|c| acids(c, library, Acid::is_saturated) < SOFT)
}

impl Keeping {
    /// That of `design` with `additions` of these masses in `fats`.
    pub fn of(
        design: &Design,
        (additions, fats): (&[Grams], Grams),
        composition: Option<&Composition>,
        library: &Library,
    ) -> Self {
        let over =
            |least: f64, test: &dyn Fn(&Acid) -> bool| composition.is_some_and(|c| acids(c, library, test) >= least);
        if is_salt_bar(design, additions, fats) {
            Self::Salt
        } else if over(SHORT_ACIDS, &|acid| acid.carbons <= 14) {
            Self::Short
        } else if is_soft(composition, library) && over(OLEIC, &|acid| acid.key == "18:1") {
            Self::Oleic
        } else {
            Self::Ordinary
        }
    }

    /// How long it usually takes, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ordinary => "4 weeks are usual for a blend like this",
            Self::Salt => "4 to 6 weeks are usual for a salt bar",
            Self::Short => "4 to 6 weeks are usual for a blend rich in short acids",
            Self::Oleic => "6 to 12 months are usual for a blend so rich in oleic acid",
        }
    }

    /// The least of it, days.
    pub const fn least_days(self) -> f64 {
        match self {
            Self::Ordinary | Self::Salt | Self::Short => 28.0,
            Self::Oleic => 180.0,
        }
    }
}
