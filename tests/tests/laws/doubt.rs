//! Laws of what is doubted, and of what a stopped design gives out.
//!
//! Source: the project's own safety rules.

use super::designs::{LIBRARY, any_design, tried};
use barwright_acceptance::{Judged, judged};
use barwright_core::Design;
use barwright_core::bench::label::Label;
use barwright_core::bench::price;
use barwright_core::bench::schedule::{NaiveDate, NaiveDateTime, Schedule, StepKind};
use barwright_core::cautions::{Caution, Level, NoStop};
use barwright_core::cost::Cost;
use barwright_core::design::blend::FatLine;
use barwright_core::design::document;
use barwright_core::design::supplier::{Certificate, SupplierFigure};
use barwright_core::design::{Alkali, OvenGel};
use barwright_core::explain::compare::Side;
use barwright_core::formula::Plain;
use barwright_core::quantities::{About, AnyQuantity, CostSum};
use barwright_core::render::report::{self, Report};
use barwright_core::render::sheet::{Options, Paper, Sheet};
use barwright_core::units::{
    Bounded, Celsius, Days, Hours, Minutes, Purity, SalesMargin, SaponificationValue, Share, Superfat, SvMargin,
};
use proptest::prelude::*;
use std::sync::LazyLock;

/// An ordinary design about which there is nothing to mind but notes; inputs are moved in it one by one.
static ORDINARY: LazyLock<Design> = LazyLock::new(|| {
    let text = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 50), (fat: "palm", share: 25), (fat: "coconut", share: 25)],
        superfat: 8, size: FatMass(1000), bars: 10, alkali: (koh_share: 5),
        process: (oven_gel: Some((oven_c: 70, minutes: 45))))"#;
    document::read(text.as_bytes(), &LIBRARY).expect("a design")
});

/// A single input that can move in the lye-heavy or the hot direction.
#[derive(Debug, Clone, Copy)]
enum Input {
    NaohPurity,
    KohPurity,
    Certificate(usize),
    Superfat,
    JugWater,
    Room,
    Lye,
    Fats,
    Oven,
    OvenTime,
    Cut,
    Cure,
    Potash,
}

impl Input {
    const ALL: [Self; 15] = [
        Self::NaohPurity,
        Self::KohPurity,
        Self::Certificate(0),
        Self::Certificate(1),
        Self::Certificate(2),
        Self::Superfat,
        Self::JugWater,
        Self::Room,
        Self::Lye,
        Self::Fats,
        Self::Oven,
        Self::OvenTime,
        Self::Cut,
        Self::Cure,
        Self::Potash,
    ];

    /// The last value that is usual, and the worst that can be typed.
    fn range(self) -> (f64, f64) {
        match self {
            Self::NaohPurity => (97.0, Purity::MIN),
            Self::KohPurity => (85.0, Purity::MIN),
            // Above what is published and possible of olive, palm and coconut oil.
            Self::Certificate(0) => (195.0, SaponificationValue::MAX),
            Self::Certificate(1) => (201.0, SaponificationValue::MAX),
            Self::Certificate(_) => (264.0, SaponificationValue::MAX),
            Self::Superfat => (0.0, Superfat::MIN),
            Self::JugWater | Self::Room => (35.0, Celsius::MAX),
            Self::Lye | Self::Fats => (60.0, Celsius::MAX),
            Self::Oven => (80.0, Celsius::MAX),
            Self::OvenTime => (120.0, Minutes::MAX),
            Self::Cut => (12.0, Hours::MIN),
            Self::Cure => (14.0, Days::MIN),
            Self::Potash => (10.0, Share::MAX),
        }
    }

    /// `design` with this input at `value`.
    fn set(self, design: &Design, value: f64) -> Design {
        let mut next = design.clone();
        let process = &mut next.process;
        match self {
            Self::NaohPurity => next.alkali = Alkali { naoh_purity: Purity::nearest(value), ..next.alkali },
            Self::KohPurity => next.alkali = Alkali { koh_purity: Purity::nearest(value), ..next.alkali },
            Self::Certificate(place) => {
                let line: &FatLine = &next.blend.lines()[place];
                let figure = SupplierFigure { sv: Bounded::nearest(value), pm: SvMargin::nearest(1.0) };
                let certificate = Certificate { sv: Some(figure), acids: Vec::new() };
                let id = line.fat.id.clone();
                next.blend.set_certificate(&id, certificate).expect("it is in the blend");
            }
            Self::Superfat => next.superfat = Superfat::nearest(value),
            Self::JugWater => process.jug_water_c = Some(Celsius::nearest(value)),
            Self::Room => process.room_c = Celsius::nearest(value),
            Self::Lye => process.mix_c = Celsius::nearest(value),
            Self::Fats => process.fats_c = Some(Celsius::nearest(value)),
            Self::Oven | Self::OvenTime => {
                let oven = process
                    .oven_gel
                    .unwrap_or(OvenGel { oven_c: Celsius::nearest(70.0), minutes: Minutes::nearest(45.0) });
                let OvenGel { oven_c, minutes } = oven;
                process.oven_gel = Some(match self {
                    Self::Oven => OvenGel { oven_c: Celsius::nearest(value), minutes },
                    _ => OvenGel { oven_c, minutes: Minutes::nearest(value) },
                });
            }
            Self::Cut => process.cut_hours = Hours::nearest(value),
            Self::Cure => process.cure_days = Days::nearest(value),
            Self::Potash => next.alkali = Alkali { koh_share: Share::nearest(value), ..next.alkali },
        }
        next
    }

    /// The codes of what is said of it: those of the alkali together, since one may give way to a worse one.
    const fn codes(self) -> &'static [&'static str] {
        match self {
            Self::NaohPurity => &["naoh-purity"],
            Self::KohPurity => &["koh-purity"],
            Self::Certificate(_) => &["sv-too-high", "sv-lye-heavy", "sv-outside", "sv-doubtful"],
            Self::Superfat => &["lye-heavy", "rounding"],
            Self::JugWater | Self::Room => &["jug-water-hot", "jug-hot"],
            Self::Lye => &["lye-hot"],
            Self::Fats => &["fats-hot"],
            Self::Oven => &["oven-hot"],
            Self::OvenTime => &["oven-long"],
            Self::Cut => &["cut-soon"],
            Self::Cure => &["cure-short"],
            Self::Potash => &["koh-share-high", "koh-paste"],
        }
    }
}

fn any_input() -> impl Strategy<Value = Input> {
    prop::sample::select(&Input::ALL[..])
}

/// The worst that is said under one of `codes`.
fn worst(told: &Judged, codes: &[&str]) -> Option<Level> {
    told.cautions.iter().filter(|c| codes.contains(&c.code)).map(|c| c.level).max()
}

#[test]
fn the_ordinary_design_raises_nothing_that_is_asked_after() {
    let told = judged(&ORDINARY, &LIBRARY);
    for input in Input::ALL {
        assert_eq!(worst(&told, input.codes()), None, "{input:?}: {:?}", told.cautions);
    }
    assert!(told.cautions.iter().all(|c| c.level == Level::Note), "{:?}", told.cautions);
}

/// Letters and digits alone: folded, wrapped and escaped text is the same text.
fn letters(text: &str) -> String {
    let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&");
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

fn start() -> NaiveDateTime {
    NaiveDate::from_ymd_opt(2026, 3, 27).and_then(|d| d.and_hms_opt(9, 0, 0)).expect("a time")
}

proptest! {
    #![proptest_config(tried(128))]

    #[test]
    fn an_input_beyond_what_is_usual_raises_care_at_the_least(input in any_input(), part in 0.001..=1.0_f64) {
        let (usual, worst_value) = input.range();
        let value = usual + part * (worst_value - usual);
        let told = judged(&input.set(&ORDINARY, value), &LIBRARY);
        let level = worst(&told, input.codes());
        prop_assert!(level >= Some(Level::Care), "{:?} at {}: {:?}", input, value, told.cautions);
    }

    #[test]
    fn no_level_falls_as_an_input_goes_on_in_the_lye_heavy_or_hot_direction(
        design in any_design(),
        input in any_input(),
        parts in (0.0..=1.0_f64, 0.0..=1.0_f64),
    ) {
        if matches!(input, Input::Certificate(place) if place >= design.blend.lines().len()) {
            return Ok(());
        }
        let (usual, worst_value) = input.range();
        let at = |part: f64| {
            let told = judged(&input.set(&design, usual + part * (worst_value - usual)), &LIBRARY);
            // Whatever is said in front of it: without superfat the others are not asked after.
            let codes: Vec<&str> = input.codes().iter().copied().chain(["lye-heavy", "lye-heavy-chance"]).collect();
            (worst(&told, &codes), told)
        };
        let (mild, _) = at(parts.0.min(parts.1));
        let (strong, told) = at(parts.0.max(parts.1));
        prop_assert!(strong >= mild, "{:?} from {:?} to {:?}: {:?}", input, mild, strong, told.cautions);
    }

    #[test]
    fn every_output_of_a_stopped_design_has_its_stops_and_none_has_a_label_a_price_or_a_day_of_sale(
        design in any_design()
    ) {
        let told = judged(&design, &LIBRARY);
        let stops: Vec<&Caution> = told.cautions.iter().filter(|c| c.blocks()).collect();
        let label = Label::of(&design, &told, &LIBRARY);
        let no_stop = NoStop::of(&design, &told, &LIBRARY);
        prop_assert_eq!((label.is_ok(), no_stop.is_ok()), (stops.is_empty(), stops.is_empty()));
        let asked = CostSum::AtMargin(SalesMargin::nearest(50.0));
        let about = About::new(&design, &told, &LIBRARY);
        if let (Ok(no_stop), Some(cost)) = (no_stop, Cost::of(&design, &told)) {
            let price = price::of_bar(Plain, &cost, SalesMargin::nearest(50.0), &no_stop).complete();
            prop_assert_eq!(AnyQuantity::value(&asked, about).ok(), price, "a price as the key has it");
            return Ok(());
        }
        prop_assert!(AnyQuantity::value(&asked, about).is_err(), "a price past a Stop");
        let sheet = Sheet::of(&design, &told, &LIBRARY, &Options::default()).expect("nothing is scaled");
        let side = Side { design: &design, evaluation: &told };
        let json = Report::new(&design, &told, &LIBRARY).json().expect("JSON");
        let value: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        prop_assert!(value["label"].is_null(), "a label past a Stop");
        let said: Vec<&str> =
            value["cautions"].as_array().into_iter().flatten().filter_map(|c| c["text"].as_str()).collect();
        let csv = sheet.csv().expect("CSV");
        let mut rows = csv::Reader::from_reader(csv.as_bytes());
        let rows: Vec<String> = rows.records().map(|r| r.expect("a row").iter().collect::<String>()).collect();
        let mut outputs = vec![
            ("report", report::text(&design, &told, &LIBRARY)),
            ("label", report::label_text(&design, &told, &LIBRARY)),
            ("sheet as text", sheet.text()),
            ("sheet as HTML", sheet.html(Paper::Letter)),
            ("sheet as CSV", rows.concat()),
            ("comparison", report::compare_text(&[side, side], &LIBRARY)),
        ];
        if let Ok(schedule) = Schedule::of(&design, &told, &LIBRARY, start()) {
            let kinds: Vec<StepKind> = schedule.steps().iter().map(|s| s.kind).collect();
            prop_assert_eq!(kinds.last(), Some(&StepKind::DoNotUse), "{:?}", kinds);
            let forbidden = [StepKind::Cut, StepKind::Ready, StepKind::Settled];
            prop_assert!(!kinds.iter().any(|k| forbidden.contains(k)), "{:?}", kinds);
            outputs.push(("calendar", schedule.calendar()));
        }
        for stop in stops {
            prop_assert!(said.contains(&stop.text().as_str()), "JSON lacks {}", stop.text());
            let line = letters(&stop.line());
            for (what, text) in &outputs {
                prop_assert!(letters(text).contains(&line), "{} lacks {}\n{}", what, stop.line(), text);
            }
        }
        for (what, text) in &outputs {
            let plain = letters(text);
            for word in [StepKind::Ready.title(), "weight to declare", "Weight at sale"] {
                prop_assert!(!plain.contains(&letters(word)), "{} says “{}”", what, word);
            }
        }
    }
}
