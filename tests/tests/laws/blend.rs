//! Shares that are moved or filled up.

use super::designs::{LIBRARY, any_blend, any_share, id, tried, whole_blend};
use barwright_acceptance::assert_within;
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::units::Share;
use proptest::prelude::*;
use proptest::sample::Index;
use std::sync::Arc;

proptest! {
    #![proptest_config(tried(256))]

    #[test]
    fn moving_a_share_keeps_the_sum_the_locks_and_the_ratios(
        blend in whole_blend(),
        which in any::<Index>(),
        to in any_share(),
    ) {
        let before = blend.clone();
        let moved = which.index(before.lines().len());
        let id = before.lines()[moved].fat.id.clone();
        let (least, most) = before.room(&id).expect("it is there");
        let mut after = before.clone();
        if after.set_share(&id, to).is_err() {
            assert!(to.get() > most || to.get() < least, "{} was refused in {least}–{most}", to.get());
            assert_eq!(after, before, "a refusal changes nothing");
            return Ok(());
        }
        assert_within("sum of the shares", after.total(), 100.0, 1e-6);
        assert_within("the share that was moved", after.lines()[moved].share.get(), to.get(), 0.0);
        let pairs: Vec<(f64, f64)> = before.lines().iter().zip(after.lines()).enumerate()
            .filter(|(i, _)| *i != moved)
            .filter_map(|(_, (b, a))| {
                assert_eq!(a.locked, b.locked, "locks stay");
                assert_eq!(a.supplier, b.supplier, "suppliers' figures stay");
                if a.locked {
                    assert_within(&format!("locked {}", a.fat.id), a.share.get(), b.share.get(), 0.0);
                    return None;
                }
                Some((b.share.get(), a.share.get()))
            })
            .collect();
        let held: f64 = pairs.iter().map(|(b, _)| b).sum();
        if held > 0.0 {
            for (b, a) in &pairs {
                let expected = b / held * pairs.iter().map(|(_, a)| a).sum::<f64>();
                assert_within("a share that gave way", *a, expected, 1e-9 * 100.0);
            }
        }
    }

    #[test]
    fn the_room_of_a_fat_is_what_can_be_set(blend in whole_blend(), which in any::<Index>()) {
        let id = blend.lines()[which.index(blend.lines().len())].fat.id.clone();
        let (least, most) = blend.room(&id).expect("it is there");
        for end in [least, most] {
            let mut moved = blend.clone();
            assert!(moved.set_share(&id, Share::nearest(end)).is_ok(), "{end} lies in the room {least}–{most}");
            assert_within("sum of the shares", moved.total(), 100.0, 1e-6);
        }
    }

    #[test]
    fn filling_up_makes_the_sum_100_or_is_refused(blend in any_blend()) {
        let mut filled = blend.clone();
        match filled.fill() {
            Ok(()) => assert_within("sum of the shares", filled.total(), 100.0, 1e-6),
            Err(error) => {
                assert_eq!(filled, blend, "a refusal changes nothing: {error}");
                let locked: f64 = blend.lines().iter().filter(|l| l.locked).map(|l| l.share.get()).sum();
                let all = blend.lines().iter().all(|l| l.locked);
                assert!(all || locked > 100.0, "{error}, although {locked} % are locked");
            }
        }
    }
}

#[test]
fn shares_too_small_to_see_still_give_way() {
    let lines = [("olive_virgin", 100.0), ("coconut", 1e-320), ("palm", 5e-324)]
        .map(|(id, share)| FatLine::new(Arc::clone(LIBRARY.fat(id).expect("in the library")), Share::nearest(share)));
    let mut blend = Blend::new(lines.to_vec()).expect("no fat twice");
    blend.set_share(&id("olive_virgin"), Share::nearest(40.0)).expect("there is room");
    assert_within("sum of the shares", blend.total(), 100.0, 1e-6);
}
