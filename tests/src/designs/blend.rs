//! Fats with their records and certificates, and blends of them.

use super::LIBRARY;
use super::quantities::{any_share, any_sv, any_sv_margin, any_text};
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::design::supplier::{Certificate, SupplierFigure};
use barwright_core::library::acids::AcidId;
use barwright_core::library::fats::Fat;
use barwright_core::units::{Interval, Share};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::subsequence;
use std::sync::Arc;

fn any_supplier() -> impl Strategy<Value = SupplierFigure> {
    (any_sv(), any_sv_margin()).prop_map(|(sv, pm)| SupplierFigure { sv, pm })
}

/// A record as the library has it or, now and then, with figures and words of its own.
pub(super) fn any_fat(fat: Arc<Fat>) -> impl Strategy<Value = Arc<Fat>> {
    let own = (any_sv(), any_sv(), any_text(), any::<bool>()).prop_map({
        let fat = Arc::clone(&fat);
        move |(a, b, words, rests)| {
            let mut own = Fat::clone(&fat);
            own.sv.value = Interval::hull([a.get(), b.get()]).expect("two numbers");
            own.sv.source.clone_from(&words);
            own.name = words;
            Arc::new(if rests { own.resting_on(own.sv.value) } else { own })
        }
    });
    prop_oneof![3 => Just(fat), 1 => own]
}

/// Fatty acids as a certificate lists them: some of the profile's, or any of the table.
fn any_supplied_acids(fat: &Fat) -> impl Strategy<Value = Vec<(AcidId, Share)>> + use<> {
    let mut acids: Vec<AcidId> = fat.profile().iter().map(|e| e.acid).collect();
    acids.extend(LIBRARY.acids.iter().map(|(id, _)| id).filter(|id| !fat.profile().iter().any(|e| e.acid == *id)));
    let count = acids.len().min(6);
    (subsequence(acids, 1..=count), vec(0.0..40.0_f64, count), any::<bool>()).prop_map(|(acids, parts, is_whole)| {
        let sum: f64 = parts.iter().take(acids.len()).sum();
        let scale = if is_whole || sum > 100.0 { 100.0 / sum.max(1.0) } else { 1.0 };
        acids.into_iter().zip(parts).map(|(acid, part)| (acid, Share::nearest(part * scale))).collect()
    })
}

/// A line of a given fat with any share, lock and certificate.
fn any_line(fat: Arc<Fat>) -> impl Strategy<Value = FatLine> {
    let acids = option::weighted(0.2, any_supplied_acids(&fat));
    (any_fat(fat), any_share(), any::<bool>(), option::weighted(0.3, any_supplier()), acids).prop_map(
        |(fat, share, locked, sv, acids)| {
            let line = FatLine { locked, supplier: sv, ..FatLine::new(fat, share) };
            // Not every list makes a profile.
            let certificate = Certificate { sv, acids: acids.unwrap_or_default() };
            line.clone().with_certificate(certificate).unwrap_or(line)
        },
    )
}

/// Different fats of the library, in any order.
fn some_fats(count: std::ops::RangeInclusive<usize>) -> impl Strategy<Value = Vec<Arc<Fat>>> {
    subsequence(LIBRARY.fats().to_vec(), count).prop_shuffle()
}

/// A blend whose shares sum to anything, of no fat up to all of them.
pub(crate) fn any_blend() -> impl Strategy<Value = Blend> {
    let size = prop_oneof![6 => some_fats(0..=6), 1 => some_fats(58..=58)];
    size.prop_flat_map(|fats| fats.into_iter().map(any_line).collect::<Vec<_>>())
        .prop_map(|lines| Blend::new(lines).expect("no fat twice"))
}

/// `blend` with its shares scaled to 100; unchanged if they are all zero.
fn scaled_to_100(blend: &Blend) -> Blend {
    let total = blend.total();
    let line = |l: &FatLine| FatLine { share: Share::nearest(100.0 * l.share.get() / total), ..l.clone() };
    if total > 0.0 {
        Blend::new(blend.lines().iter().map(line).collect()).expect("no fat twice")
    } else {
        blend.clone()
    }
}

/// A blend of at least one fat whose shares sum to 100.
pub(crate) fn whole_blend() -> impl Strategy<Value = Blend> {
    any_blend().prop_map(|b| scaled_to_100(&b)).prop_filter("shares that sum to 100", Blend::is_whole)
}
