//! What a supplier's certificate says of one fat, checked against what is published of it.

use crate::library::acids::{AcidId, Acids};
use crate::library::fats::{Fat, FatKind, ProfileEntry, ProfileError};
use crate::number::short;
use crate::trust::Trust;
use crate::units::{Interval, SaponificationValue, Share, SvMargin};
use std::sync::Arc;

/// The saponification value on a certificate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SupplierFigure {
    /// Saponification value, mg KOH/g.
    pub sv: SaponificationValue,
    /// How far it may be off, as the certificate says; 0 if it says nothing.
    pub pm: SvMargin,
}

/// All that is taken from a certificate; nothing if it is empty.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Certificate {
    /// The saponification value.
    pub sv: Option<SupplierFigure>,
    /// Fatty acids, percent of all fatty acids by mass; those it does not list are left out.
    pub acids: Vec<(AcidId, Share)>,
}

/// The fatty acids on a certificate, with the record whose profile they replace.
#[derive(Debug, Clone, PartialEq)]
pub struct SuppliedAcids {
    published: Arc<Fat>,
    listed: Vec<(AcidId, Share)>,
    /// The acids that are not listed, with what is left for them, percent.
    rest: Vec<(AcidId, f64)>,
}

/// An acid that a certificate puts where it is not expected.
#[derive(Debug, Clone, PartialEq)]
pub struct Unexpected<'a> {
    /// The acid.
    pub acid: AcidId,
    /// Its percent on the certificate, or what the certificate leaves for it.
    pub percent: f64,
    /// Whether the certificate lists it.
    pub is_listed: bool,
    /// The published profile's entry of it; `None` if it has none.
    pub published: Option<&'a ProfileEntry>,
}

/// Fatty acids of a certificate that make no profile.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SuppliedAcidsError {
    /// They sum to more than they can.
    #[error("the fatty acids sum to {0} %: leave out what is listed twice, or read the certificate again")]
    TooMuch(String),
    /// They leave a part open that no published acid can fill.
    #[error("the fatty acids sum to {0} %, and no other is published that could be the rest")]
    TooLittle(String),
    /// An acid stands twice.
    #[error("a fatty acid stands twice")]
    Repeated,
    /// The fat is a wax, which has other parts than fatty acids.
    #[error("a wax is not described by its fatty acids")]
    Wax,
    /// The profile that would result is none.
    #[error(transparent)]
    Profile(#[from] ProfileError),
}

/// How far a certificate's sum may be off 100 %, percent: analysts round, and small peaks go unnamed.
pub const SUM_SLACK: f64 = 2.0;
/// The ± that a certificate's saponification value counts with when it gives none, mg KOH/g (our
/// judgement: about what two laboratories differ by).
pub const USUAL_MARGIN: f64 = 1.0;
/// How far an acid may lie outside its published range before it is doubted, percent (our
/// judgement: about what two laboratories differ by).
pub const ANALYSIS_SLACK: f64 = 1.0;
/// The same for an acid of which a single figure is published instead of a range.
const FIGURE_SLACK: f64 = 3.0;

impl SuppliedAcids {
    /// What `published` is with the acids `listed` on a certificate: those stand as they are, the
    /// rest to 100 % is shared by the acids that are not listed as they are published. A sum up to
    /// [`SUM_SLACK`] too high, or too low with nothing published for the rest, is scaled.
    ///
    /// # Errors
    /// [`SuppliedAcidsError`] if that gives no profile.
    pub fn of(published: Arc<Fat>, listed: Vec<(AcidId, Share)>) -> Result<(Self, Arc<Fat>), SuppliedAcidsError> {
        if published.kind == FatKind::Wax {
            return Err(SuppliedAcidsError::Wax);
        }
        let said = |sum: f64| short(sum, 1);
        let sum: f64 = listed.iter().map(|(_, share)| share.get()).sum();
        let is_listed = |acid: AcidId| listed.iter().any(|(a, _)| *a == acid);
        let others = || published.profile().iter().filter(|e| !is_listed(e.acid) && e.typical > 0.0);
        let open: f64 = others().map(|e| e.typical).sum();
        if sum > Share::MAX + SUM_SLACK {
            return Err(SuppliedAcidsError::TooMuch(said(sum)));
        }
        if open <= 0.0 && sum < Share::MAX - SUM_SLACK {
            return Err(SuppliedAcidsError::TooLittle(said(sum)));
        }
        let (scale, of_others) =
            if sum > Share::MAX || open <= 0.0 { (Share::MAX / sum, 0.0) } else { (1.0, (Share::MAX - sum) / open) };
        // A typical value that is not finite would leave a gap in the sum, which is refused below.
        let of_certificate = listed.iter().filter_map(|(acid, share)| {
            let typical = share.get() * scale;
            let source = "the supplier’s certificate, as typed".into();
            let range = Interval::hull([typical])?;
            Some(ProfileEntry { acid: *acid, range, typical, source, trust: Trust::Maker })
        });
        let of_rest = others().filter_map(|entry| {
            let typical = entry.typical * of_others;
            let known = [entry.range.min(), entry.range.max()].into_iter().filter(|_| entry.range.width() > 0.0);
            let range = Interval::hull(known.chain([typical]))?;
            Some(ProfileEntry { range, typical, ..entry.clone() })
        });
        let rest = others().map(|e| (e.acid, e.typical * of_others)).collect();
        let profile = of_certificate.chain(of_rest).collect();
        let fat = published.with_profile(profile).map_err(|error| match error {
            ProfileError::Repeated => SuppliedAcidsError::Repeated,
            other => other.into(),
        })?;
        Ok((Self { published, listed, rest }, Arc::new(fat)))
    }

    /// The record as it is published.
    pub const fn published(&self) -> &Arc<Fat> {
        &self.published
    }

    /// The acids on the certificate.
    pub fn listed(&self) -> &[(AcidId, Share)] {
        &self.listed
    }

    /// The acids that lie outside of what is published by more than [`ANALYSIS_SLACK`], with those
    /// that are not listed but would have to be more than is published: it may be another oil, a
    /// mixture, a misprint or a list that leaves too much out.
    pub fn unexpected(&self) -> impl Iterator<Item = Unexpected<'_>> {
        let listed = self.listed.iter().map(|(acid, share)| (*acid, share.get(), true));
        let all = listed.chain(self.rest.iter().map(|(acid, percent)| (*acid, *percent, false)));
        all.filter_map(|(acid, percent, is_listed)| {
            let published = self.published.profile().iter().find(|e| e.acid == acid);
            let slack = published.filter(|e| e.range.width() <= 0.0).map_or(ANALYSIS_SLACK, |_| FIGURE_SLACK);
            let (least, most) =
                published.map_or((0.0, 0.0), |e| (e.range.min().min(e.typical), e.range.max().max(e.typical)));
            // What is left is at least as uncertain at its lower end as the sum of the certificate.
            let is_low = is_listed && percent < least - slack;
            (is_low || percent > most + slack).then_some(Unexpected { acid, percent, is_listed, published })
        })
    }
}

impl Unexpected<'_> {
    /// The acid with where it is published: "oleic 40 % (published 55 to 83 %)".
    pub fn words(&self, acids: &Acids) -> String {
        let published = self.published.map_or_else(|| NOT_PUBLISHED.into(), ProfileEntry::published);
        let left = if self.is_listed { "" } else { " as what is left" };
        format!("{} {} %{left} ({published})", acids.get(self.acid).name, short(self.percent, 1))
    }
}

/// Percent that are left for acids which a certificate does not list, if it lists `listed` in all.
pub fn left_over(listed: f64) -> f64 {
    (Share::MAX - listed).max(0.0)
}

/// What is said of an acid that the published profile does not name.
pub const NOT_PUBLISHED: &str = "not published of this fat";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::Library;

    fn of(fat: &str, listed: &[(&str, f64)]) -> Result<(SuppliedAcids, Arc<Fat>), SuppliedAcidsError> {
        let library = Library::embedded().expect("assets parse");
        let fat = Arc::clone(library.fat(fat).expect("in the library"));
        let acid = |&(key, share): &(&str, f64)| {
            (library.acids.find(key).expect("a tabled acid"), Share::new(share).expect("a share"))
        };
        SuppliedAcids::of(fat, listed.iter().map(acid).collect())
    }

    fn typical(fat: &Fat, key: &str) -> f64 {
        let library = Library::embedded().expect("assets parse");
        let acid = library.acids.find(key).expect("a tabled acid");
        fat.profile().iter().find(|e| e.acid == acid).map_or(0.0, |e| e.typical)
    }

    #[test]
    fn listed_acids_stand_and_the_rest_keeps_its_proportions() {
        let library = Library::embedded().expect("assets parse");
        let published = library.fat("olive_virgin").expect("in the library");
        let (_, fat) = of("olive_virgin", &[("18:1", 78.0)]).expect("a profile");
        assert!((typical(&fat, "18:1") - 78.0).abs() < 1e-12, "as typed");
        let ratio = |f: &Fat| typical(f, "16:0") / typical(f, "18:2");
        assert!((ratio(&fat) - ratio(published)).abs() < 1e-9, "the others as they are published");
        let sum: f64 = fat.profile().iter().map(|e| e.typical).sum();
        assert!((sum - 100.0).abs() < 1e-9, "a whole profile: {sum}");
    }

    #[test]
    fn sums_that_cannot_be_are_refused() {
        let error = of("olive_virgin", &[("18:1", 78.0), ("16:0", 30.0)]).expect_err("108 %");
        assert_eq!(error, SuppliedAcidsError::TooMuch("108".into()));
        let error = of("olive_virgin", &[("18:1", 40.0), ("18:1", 40.0)]).expect_err("twice");
        assert_eq!(error, SuppliedAcidsError::Repeated);
        let error = of("beeswax", &[("16:0", 100.0)]).expect_err("a wax");
        assert_eq!(error, SuppliedAcidsError::Wax);
        let (_, fat) = of("olive_virgin", &[("18:1", 80.0), ("16:0", 21.5)]).expect("rounding");
        assert!((typical(&fat, "18:1") - 80.0 / 1.015).abs() < 1e-9, "scaled to 100 %");
    }

    #[test]
    fn a_list_that_leaves_too_much_out_is_noticed() {
        // 81 %, each inside its range: the rest would be ten times the linolenic acid of an olive oil.
        let listed = [("18:1", 55.0), ("16:0", 12.0), ("18:2", 10.0), ("18:0", 3.0), ("16:1", 1.0)];
        let (acids, _) = of("olive_virgin", &listed).expect("a profile");
        let rest: Vec<bool> = acids.unexpected().map(|u| u.is_listed).collect();
        assert!(!rest.is_empty() && rest.iter().all(|listed| !listed), "only what is left: {rest:?}");
    }

    #[test]
    fn another_oil_is_noticed() {
        // Olive oil with the acids of a sunflower oil: oleic 28 %, linoleic 62 %; CXS 33-1981 has
        // oleic at 55–83 (85) % and linoleic at 2.5–21 % of virgin olive oil.
        let (acids, _) = of("olive_virgin", &[("18:1", 28.0), ("18:2", 62.0)]).expect("a profile");
        assert_eq!(acids.unexpected().count(), 2, "both");
        let (acids, _) = of("olive_virgin", &[("18:1", 72.0), ("18:2", 9.0), ("16:0", 12.0)]).expect("a profile");
        assert_eq!(acids.unexpected().count(), 0, "an olive oil");
        let (acids, _) = of("olive_virgin", &[("12:0", 8.0)]).expect("a profile");
        let library = Library::embedded().expect("assets parse");
        let words: Vec<String> = acids.unexpected().map(|u| u.words(&library.acids)).collect();
        assert_eq!(words, ["lauric 8 % (not published of this fat)"], "no olive oil holds it");
    }
}
