//! Lye, size, process and prices, and whole designs.

use super::LIBRARY;
use super::blend::any_blend;
use super::materials::{any_additions, any_scents, any_spare};
use super::quantities::{
    any_bar_mass, any_chance, any_concentration, any_days, any_density, any_division, any_fat_mass, any_fill,
    any_hours, any_length, any_minutes, any_moisture, any_money, any_notes, any_pack, any_percent, any_purity,
    any_purity_margin, any_ratio, any_share, any_superfat, any_temperature, any_text, any_time_constant, any_volume,
};
use barwright_core::Design;
use barwright_core::design::blend::Blend;
use barwright_core::design::log::BatchCode;
use barwright_core::design::mould::{Cuboid, Mould, Size};
use barwright_core::design::own_bar::{Again, ColourSeen, Makeup, OwnBar, Stood};
use barwright_core::design::words::Day;
use barwright_core::design::{Alkali, Calibration, OvenGel, Price, Process, Rest, Surroundings, WaterRule};
use barwright_core::library::additions::Amount;
use barwright_core::library::allergens::AllergenList;
use barwright_core::library::material::MaterialId;
use barwright_core::units::{
    AmountPerKg, BarMass, BarPerFats, Bars, Celsius, FatMass, Millilitres, Millimetres, Share,
};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

pub(super) fn any_water() -> impl Strategy<Value = WaterRule> {
    prop_oneof![
        any_concentration().prop_map(WaterRule::LyeConcentration),
        any_ratio().prop_map(WaterRule::WaterToAlkali),
        any_percent().prop_map(WaterRule::PercentOfFats),
    ]
}

pub(super) fn any_alkali() -> impl Strategy<Value = Alkali> {
    // Half of the designs are of sodium alone, for which alone the jug's heat is known.
    let koh_share = prop_oneof![Just(Share::nearest(0.0)), any_share()];
    let read = (any::<bool>(), any::<bool>());
    (koh_share, any_purity(), any_purity(), any_purity_margin(), any_purity_margin(), read).prop_map(
        |(koh_share, naoh_purity, koh_purity, naoh_purity_pm, koh_purity_pm, read)| Alkali {
            koh_share,
            naoh_purity,
            koh_purity,
            naoh_purity_pm,
            koh_purity_pm,
            naoh_read_from_tub: read.0,
            koh_read_from_tub: read.1,
        },
    )
}

pub(crate) fn any_bars() -> impl Strategy<Value = Bars> {
    prop_oneof![(1..=24_u32), (1..=10_000_u32)].prop_map(|n| Bars::new(n).expect("in range"))
}

/// A mould as kitchens have them or, now and then, any that can be typed.
pub(crate) fn any_mould() -> impl Strategy<Value = Mould> {
    let length = || prop_oneof![4 => (20.0..=400.0).prop_map(Millimetres::nearest), 1 => any_length()];
    let volume = prop_oneof![4 => (40.0..=200.0).prop_map(Millilitres::nearest), 1 => any_volume()];
    let cuboid = move || {
        let sides = (length(), length(), length());
        sides.prop_map(|(length_mm, width_mm, height_mm)| Cuboid { length_mm, width_mm, height_mm })
    };
    prop_oneof![
        cuboid().prop_map(Mould::Loaf),
        cuboid().prop_map(Mould::Slab),
        (length(), length()).prop_map(|(diameter_mm, length_mm)| Mould::Round { diameter_mm, length_mm }),
        (any_bars(), volume).prop_map(|(count, ml)| Mould::Cavities { count, ml }),
    ]
}

/// So much fat, a tonne at the most.
pub(crate) fn any_fat_size() -> impl Strategy<Value = Size> {
    prop_oneof![(100.0..=3000.0).prop_map(FatMass::nearest), any_fat_mass()].prop_map(Size::FatMass)
}

/// A size that the fats' mass follows from.
pub(crate) fn any_solved_size() -> impl Strategy<Value = Size> {
    prop_oneof![
        4 => (any_mould(), any_fill()).prop_map(|(mould, fill)| Size::Mould { mould, fill }),
        2 => (any_volume(), any_fill()).prop_map(|(ml, fill)| Size::Volume { ml, fill }),
        1 => any_bar_mass().prop_map(Size::BarMass),
        1 => (60.0..=150.0).prop_map(|g| Size::BarMass(BarMass::nearest(g))),
        1 => any_bar_mass().prop_map(Size::BarAtSale),
        1 => (60.0..=150.0).prop_map(|g| Size::BarAtSale(BarMass::nearest(g))),
    ]
}

pub(super) fn any_size() -> impl Strategy<Value = Size> {
    prop_oneof![any_fat_size().boxed(), any_solved_size().boxed()]
}

pub(super) fn any_process() -> impl Strategy<Value = Process> {
    // Rooms and baths as they are, so that the jug's peak is often known, and any other.
    let degrees = || prop_oneof![(0.0..=40.0).prop_map(Celsius::nearest), any_temperature()];
    let oven = (any_temperature(), any_minutes()).prop_map(|(oven_c, minutes)| OvenGel { oven_c, minutes });
    let stands = prop_oneof![Just(Surroundings::Air), degrees().prop_map(Surroundings::Bath)];
    let jug = (option::of(degrees()), any_share(), stands);
    let rest = select(Rest::ALL.to_vec());
    let made = ((option::of(oven), rest), any_hours(), any_days(), any_moisture(), option::of(any_text()));
    (degrees(), degrees(), option::of(any_temperature()), jug, made).prop_map(
        |(room_c, mix_c, fats_c, (jug_water_c, jug_frozen, jug_stands), made)| {
            let ((oven_gel, rest), cut_hours, cure_days, equilibrium_moisture, made_on) = made;
            Process {
                room_c,
                mix_c,
                fats_c,
                jug_water_c,
                jug_frozen,
                jug_stands,
                oven_gel,
                rest,
                cut_hours,
                cure_days,
                equilibrium_moisture,
                made_on,
            }
        },
    )
}

pub(super) fn any_calibration() -> impl Strategy<Value = Calibration> {
    (option::weighted(0.3, any_density()), option::of(any_time_constant()), vec(any_own_bar(), 0..3)).prop_map(
        |(batter_g_per_ml, jug_cooling_min, own_bars)| Calibration {
            batter_g_per_ml,
            jug_cooling_min,
            own_bars: own_bars.into(),
        },
    )
}

/// Text, or the id of something that may well be in use.
pub(super) fn any_material() -> impl Strategy<Value = String> {
    prop_oneof![any_text(), select(vec!["naoh", "koh", "water", "olive_virgin", "lavender"]).prop_map(Into::into)]
}

pub(super) fn any_price() -> impl Strategy<Value = Price> {
    (any_material(), any_pack(), any_money()).prop_map(|(material, pack_g, price)| Price { material, pack_g, price })
}

fn any_prices() -> impl Strategy<Value = Vec<Price>> {
    vec(any_price(), 0..3)
}

pub(super) fn any_allergen_list() -> impl Strategy<Value = AllergenList> {
    prop_oneof![Just(AllergenList::Extended), Just(AllergenList::FirstTwentyFour), Just(AllergenList::Off)]
}

/// Any design with this blend.
pub(crate) fn design_of(blend: impl Strategy<Value = Blend> + 'static) -> impl Strategy<Value = Design> {
    let style = prop_oneof![(0..LIBRARY.styles().len()).prop_map(|i| LIBRARY.styles()[i].name.clone()), any_text(),];
    // In boxes, since so many strategies in each other are too large for a test's stack.
    let words = (any_text(), any_notes(), style, any_text()).boxed();
    let lye = (any_superfat(), any_chance(), any_alkali(), any_water(), any_division()).boxed();
    let size = (any_size(), any_bars()).boxed();
    let more = (any_additions().boxed(), any_scents().boxed(), any_spare().boxed());
    let rest = (any_process(), any_prices(), any_allergen_list(), any_calibration()).boxed();
    (blend.boxed(), words, lye, size, more, rest).prop_map(|(blend, words, lye, (size, bars), more, rest)| {
        let (name, notes, style, currency) = words;
        let (superfat, accepted_chance, alkali, water, scale_division) = lye;
        let (additions, scents, spare) = more;
        let (process, prices, allergen_list, calibration) = rest;
        Design {
            name,
            notes,
            style,
            blend,
            spare,
            superfat,
            accepted_chance,
            alkali,
            scale_division,
            water,
            size,
            bars,
            additions,
            scents,
            process,
            prices,
            currency,
            allergen_list,
            calibration,
        }
    })
}

pub(crate) fn any_design() -> impl Strategy<Value = Design> {
    design_of(any_blend())
}

/// `design` with every amount in relation to the fats: what was so many grams becomes so many
/// for each kilogram.
pub(crate) fn by_the_fats(mut design: Design) -> Design {
    let related = |amount: &mut Amount| {
        if let Amount::Grams(g) = amount {
            *amount = Amount::GramsPerKgFats(AmountPerKg::nearest(g.get()));
        }
    };
    design.additions.iter_mut().for_each(|l| related(&mut l.amount));
    design.scents.iter_mut().for_each(|l| related(&mut l.amount));
    design
}

/// An own bar, of materials that may or may not be in use.
fn any_own_bar() -> impl Strategy<Value = OwnBar> {
    let colour = (0.0..=100.0, -60.0..=60.0, -60.0..=90.0);
    let stood = select(vec![Stood::Room, Stood::Insulated, Stood::Cool, Stood::Oven]);
    let amounts = (0.0..=100.0, 0.0..=500.0, 1.0..=3.0);
    (colour, stood, amounts, 0_u64..4000).prop_map(|((l, a, b), stood, (share, grams, bar), days)| {
        let id = |id: &str| MaterialId::new(id).expect("an id");
        let day = Day::try_from("2020-02-28".to_owned()).expect("a day").after(days);
        OwnBar {
            colour: ColourSeen::new([l, a, b]).expect("in range"),
            day,
            batch: (days % 2 == 0).then(|| BatchCode::of(day, 1)),
            of: Makeup {
                fats: vec![(id("olive_virgin"), Share::nearest(share))],
                colourants: vec![(id("carrot_boiled"), AmountPerKg::nearest(grams))],
                bar_per_fats: BarPerFats::nearest(bar),
                stood,
            },
            again: (days % 3 == 0)
                .then(|| Again { colour: ColourSeen::new([l, b, a]).expect("in range"), day: day.after(days) }),
        }
    })
}
