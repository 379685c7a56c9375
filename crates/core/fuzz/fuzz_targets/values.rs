//! What is typed into a field or behind an option: numbers with units, figures, days.
#![no_main]

use barwright_core::bench::day;
use barwright_core::bench::label::Region;
use barwright_core::design::own;
use barwright_core::number;
use barwright_core::units::{LengthUnit, MassUnit, TemperatureUnit, VolumeUnit};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Ok(value) = number::parse(text, &["%", "g"]) {
        assert!(value.is_finite(), "{text:?} is {value}");
    }
    if let Ok(grams) = number::parse_mass(text, MassUnit::Ounce) {
        assert!(grams.0.is_finite(), "{text:?}");
    }
    let _ = number::parse_celsius(text, TemperatureUnit::Fahrenheit);
    let _ = number::parse_sides(text, LengthUnit::Inch);
    let _ = number::parse_millilitres(text, VolumeUnit::FluidOunce);
    let _ = number::parse_density(text);
    let _ = own::figure(text, &["mg KOH/g"]);
    let today = chrono::NaiveDate::from_ymd_opt(2026, 11, 28).expect("a day");
    for region in [Region::EuUk, Region::Us] {
        let _ = day::typed(text, today, region);
    }
});
