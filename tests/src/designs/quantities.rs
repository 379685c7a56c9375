//! Numbers, words and names in all their ranges.

use barwright_core::design::words::plain_line;
use barwright_core::library::additions::{Amount, Stage};
use barwright_core::library::material::MaterialId;
use barwright_core::trust::Trust;
use barwright_core::units::{
    AcceptedChance, AcidMolarMass, AmountMass, AmountPerKg, AmountPercent, BarMass, BatterDensity, Celsius, Days,
    EquilibriumMoisture, FatMass, Fill, Hours, LyeConcentration, Millilitres, Millimetres, Minutes, Money, PackMass,
    Purity, PurityMargin, SaponificationValue, ScaleDivision, Share, SolidsDensity, Superfat, SvMargin, TimeConstant,
    WaterPercent, WaterRatio,
};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

macro_rules! any_in_range {
    ($($name:ident: $kind:ident),+) => {$(
        /// Any allowed value, both ends now and then.
        pub(crate) fn $name() -> impl Strategy<Value = $kind> {
            prop_oneof![
                8 => ($kind::MIN..=$kind::MAX).prop_map(|v| $kind::new(v).expect("in range")),
                1 => Just($kind::new($kind::MIN).expect("in range")),
                1 => Just($kind::new($kind::MAX).expect("in range")),
            ]
        }
    )+};
}

any_in_range! {
    any_share: Share,
    any_superfat: Superfat,
    any_chance: AcceptedChance,
    any_purity: Purity,
    any_purity_margin: PurityMargin,
    any_concentration: LyeConcentration,
    any_ratio: WaterRatio,
    any_percent: WaterPercent,
    any_fat_mass: FatMass,
    any_division: ScaleDivision,
    any_sv: SaponificationValue,
    any_sv_margin: SvMargin,
    any_temperature: Celsius,
    any_minutes: Minutes,
    any_time_constant: TimeConstant,
    any_hours: Hours,
    any_days: Days,
    any_moisture: EquilibriumMoisture,
    any_pack: PackMass,
    any_money: Money,
    any_density: BatterDensity,
    any_fill: Fill,
    any_length: Millimetres,
    any_volume: Millilitres,
    any_bar_mass: BarMass,
    any_amount_percent: AmountPercent,
    any_amount_mass: AmountMass,
    any_amount_per_kg: AmountPerKg,
    any_solids: SolidsDensity,
    any_molar_mass: AcidMolarMass
}

/// A line of words of every script and quotes, without what a file's text is read without: line ends and control
/// characters.
pub(crate) fn any_text() -> impl Strategy<Value = String> {
    any_signs().prop_map(|text| plain_line(&text))
}

/// Such lines.
pub(crate) fn any_notes() -> impl Strategy<Value = String> {
    vec(any_text(), 0..4).prop_map(|lines| lines.join("\n"))
}

/// Words of every script, quotes, line ends and control characters.
fn any_signs() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[a-z \"\\\\\n\r\t/*(){}\\[\\],:#'’“”äßé😀\u{0}\u{7f}\u{feff}\u{2028}]{0,40}",
        Just("He said \"all of it\",\r\n\tthen r#\"nothing\"# // and left".to_owned()),
    ]
}

/// A material's name in files; the library knows none of those used here.
pub(crate) fn id(text: &str) -> MaterialId {
    MaterialId::new(text).expect("a good id")
}

/// Amounts as makers use them and, now and then, any that can be typed.
pub(super) fn any_amount() -> impl Strategy<Value = Amount> {
    prop_oneof![
        3 => (0.0..=40.0).prop_map(|v| Amount::PercentOfFats(AmountPercent::nearest(v))),
        3 => (0.0..=300.0).prop_map(|v| Amount::Grams(AmountMass::nearest(v))),
        3 => (0.0..=100.0).prop_map(|v| Amount::GramsPerKgFats(AmountPerKg::nearest(v))),
        1 => prop_oneof![
            any_amount_percent().prop_map(Amount::PercentOfFats),
            any_amount_mass().prop_map(Amount::Grams),
            any_amount_per_kg().prop_map(Amount::GramsPerKgFats),
        ],
    ]
}

pub(super) fn any_trust() -> impl Strategy<Value = Trust> {
    select(&[Trust::Read, Trust::Reproduction, Trust::FromMemory, Trust::CommonPractice, Trust::Maker][..])
}

pub(crate) fn any_stage() -> impl Strategy<Value = Stage> {
    select(&Stage::ALL)
}
