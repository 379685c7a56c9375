//! The units that a person reads and types: against published definitions, and there and back.

use barwright_core::number::{parse_celsius, parse_mass, parse_millilitres, parse_millimetres};
use barwright_core::quantity::Unit;
use barwright_core::units::{LengthUnit, MassUnit, Measures, TemperatureUnit, VolumeUnit};
use proptest::prelude::*;

/// Conversion factors as NIST Special Publication 811 (2008), appendix B.8, prints them: ounce (avoirdupois)
/// 2.834 952 E+01 g, pound 4.535 924 E−01 kg, inch 2.54 E+00 cm, foot 3.048 E−01 m, fluid ounce (US) 2.957 353 E+01 mL,
/// gallon (US) 3.785 412 E+00 L.
#[test]
fn units_are_as_large_as_published() {
    let near = |read: f64, printed: f64| assert!((read / printed - 1.0).abs() < 3e-7, "{read}, printed {printed}");
    let mass = |text| parse_mass(text, MassUnit::Gram).expect("a mass").0;
    let length = |text| parse_millimetres(text, LengthUnit::Millimetre).expect("a length");
    let volume = |text| parse_millilitres(text, VolumeUnit::Millilitre).expect("a volume");
    near(mass("1 oz"), 28.349_52);
    near(mass("1 lb"), 453.592_4);
    near(length("1 in"), 25.4);
    near(length("1 ft"), 304.8);
    near(volume("1 fl oz"), 29.573_53);
    near(volume("1 gal"), 3785.412);
}

/// Fixed points of the scales: water freezes at 32 °F and boils at 212 °F, both scales agree at −40
/// (common practice, no source).
#[test]
fn degrees_are_as_everybody_knows_them() {
    for (celsius, fahrenheit) in [(0.0, "32 °F"), (100.0, "212F"), (-40.0, "−40 °f"), (37.0, "98,6 °F")] {
        let read = parse_celsius(fahrenheit, TemperatureUnit::Celsius).expect("a temperature");
        assert!((read - celsius).abs() < 1e-9, "{fahrenheit} read as {read} °C");
        let shown = Unit::Celsius.short_in(celsius, 2, Measures::US);
        let again = parse_celsius(&shown, TemperatureUnit::Celsius).expect("what is shown");
        assert!((again - read).abs() < 1e-9, "{shown}");
    }
    let more = Unit::Celsius.difference_in(10.0, Measures::US);
    assert!((more - 18.0).abs() < 1e-9, "a difference has no zero of its own: {more}");
}

fn measures() -> impl Strategy<Value = Measures> {
    (
        prop::sample::select(vec![MassUnit::Gram, MassUnit::Ounce]),
        prop::sample::select(TemperatureUnit::ALL.to_vec()),
        prop::sample::select(LengthUnit::ALL.to_vec()),
        prop::sample::select(VolumeUnit::ALL.to_vec()),
    )
        .prop_map(|(mass, temperature, length, volume)| Measures { mass, temperature, length, volume })
}

proptest! {
    /// What is shown can be typed again, with its sign in any unit and bare in the person's own; it comes back as
    /// near as its last digit, which is never coarser than about 3 of the metric one.
    #[test]
    fn what_is_shown_can_be_typed_again(measures in measures(), value in 0.01..90_000.0_f64, decimals in 0..4_usize) {
        let digit = 3.0 * 10_f64.powi(-i32::try_from(decimals).expect("few"));
        let near = |read: f64| (read - value).abs() <= digit;
        let bare = |unit: &Unit| unit.number_in(value, decimals, measures);
        let shown = |unit: &Unit| unit.text_in(value, decimals, measures);
        let other = Measures::METRIC;
        for (typed, unit) in [(shown(&Unit::Grams), other.mass), (bare(&Unit::Grams), measures.mass)] {
            prop_assert!(near(parse_mass(&typed, unit).expect("a mass").0), "{} for {}", typed, value);
        }
        for (typed, unit) in [(shown(&Unit::Celsius), other.temperature), (bare(&Unit::Celsius), measures.temperature)] {
            prop_assert!(near(parse_celsius(&typed, unit).expect("a temperature")), "{} for {}", typed, value);
        }
        for (typed, unit) in [(shown(&Unit::Millimetres), other.length), (bare(&Unit::Millimetres), measures.length)] {
            prop_assert!(near(parse_millimetres(&typed, unit).expect("a length")), "{} for {}", typed, value);
        }
        for (typed, unit) in [(shown(&Unit::Millilitres), other.volume), (bare(&Unit::Millilitres), measures.volume)] {
            prop_assert!(near(parse_millilitres(&typed, unit).expect("a volume")), "{} for {}", typed, value);
        }
    }

    /// Nothing that is typed makes the reading of units fail otherwise than by saying so.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,24}") {
        let finite = |read: Option<f64>| read.is_none_or(f64::is_finite);
        prop_assert!(finite(parse_mass(&text, MassUnit::Ounce).ok().map(|g| g.0)));
        prop_assert!(finite(parse_celsius(&text, TemperatureUnit::Fahrenheit).ok()));
        prop_assert!(finite(parse_millimetres(&text, LengthUnit::Inch).ok()));
        prop_assert!(finite(parse_millilitres(&text, VolumeUnit::FluidOunce).ok()));
    }
}
