//! What is told of a figure, beside the figure that is used.
//!
//! A formula cannot be told as another, but a figure from outside is told by words of its own. Here
//! they are read back.

use super::*;

/// Figures whose symbol is already in percent.
const IN_PERCENT: [&str; 6] = ["c", "c₀", "c₁", "share in percent", "typical percent", "superfat"];
/// Figures told with others in one text.
const AMONG_OTHERS: [&str; 7] = ["M", "SV", "least SV", "most SV", "pack", "protons", "acid content"];
/// What has no closed form, and is told by all that it rests on.
const TOLD_BY_ALL: [&str; 2] = ["chance of a lye-heavy bar", "part of batches below"];

/// A number of a text.
struct Told {
    value: f64,
    /// How far it can be off, being rounded.
    off: f64,
    /// What stands behind it.
    unit: String,
}

fn told_in(text: &str) -> Vec<Told> {
    let mut numbers = Vec::new();
    let mut left = text;
    while let Some(start) = left.find(|c: char| c.is_ascii_digit()) {
        let is_negative = left[..start].ends_with('\u{2212}');
        left = &left[start..];
        let part = |c: char| c.is_ascii_digit() || matches!(c, '.' | '\u{202f}');
        let (number, rest) = left.split_at(left.find(|c| !part(c)).unwrap_or(left.len()));
        let number = number.replace('\u{202f}', "");
        let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let value: f64 = number.parse().unwrap_or_else(|e| panic!("{text}: {e}"));
        numbers.push(Told {
            value: if is_negative { -value } else { value },
            off: 0.500_001 * 0.1_f64.powi(i32::try_from(decimals).expect("few")),
            unit: rest.trim_start().into(),
        });
        left = rest;
    }
    numbers
}

/// Whether `inputs` tell of `symbol` in `unit` that it is `value`.
fn is_told(symbol: &str, unit: &str, value: f64, inputs: &[Input]) -> bool {
    let Some(input) = inputs.first() else { return value == 0.0 };
    let text = if matches!(symbol, "c₀" | "c₁") { &input.name } else { &input.value };
    let numbers = told_in(text);
    let says = |told: &Told| {
        let used = match told.unit.chars().next() {
            Some('%') if unit != "%" && !IN_PERCENT.contains(&symbol) => 100.0 * value,
            Some('%') => value,
            _ if told.unit.starts_with("mole percent") => 100.0 * value,
            _ if told.unit.starts_with("g/kg") => 1000.0 * value,
            _ if unit == "K" => value - 273.15,
            _ if told.unit.starts_with(unit) => value,
            _ => return false,
        };
        (told.value - used).abs() <= told.off
    };
    match symbol {
        // The superfat is a part in one formula and in percent in another.
        "superfat" if unit.is_empty() => {
            numbers.first().is_some_and(|told| (told.value - 100.0 * value).abs() <= told.off)
        }
        "range of SV" => {
            // As far as its two ends are rounded in the text.
            matches!(&numbers[..], [_, least, most, ..]
                if (most.value - least.value - value).abs() <= least.off + most.off)
        }
        "part in the scent" if input.value.starts_with("all of ") => (value - 1.0).abs() < 1e-12,
        "part in the scent" => {
            let all: f64 = inputs.iter().filter_map(|input| told_in(&input.value).first().map(|told| told.value)).sum();
            (all - 100.0 * value).abs() < 1e-6
        }
        _ if AMONG_OTHERS.contains(&symbol) => numbers.iter().any(says),
        _ => numbers.first().is_some_and(says),
    }
}

#[test]
fn a_figure_is_told_as_it_is_used() {
    let library = library();
    for design in designs(&library) {
        let evaluation = evaluate(&design, &library);
        let about = About::new(&design, &evaluation, &library);
        let tape = Tape::default();
        let recorded = read(&tape, &design, &library);
        let of_recorded = About::new(&design, &recorded, &library);
        for Entry { quantity, .. } in entries(about) {
            // One that is not known rests on nothing.
            let _ = quantity.record(&tape, of_recorded);
        }
        for (symbol, unit, value, inputs) in tape.figures() {
            let is_told = TOLD_BY_ALL.contains(&symbol) || is_told(symbol, unit, value, &inputs);
            assert!(is_told, "{symbol} is {value} {unit}, told of {} as {inputs:?}", design.name);
        }
    }
}

#[test]
fn no_explanation_holds_what_is_no_number() {
    let library = library();
    let nothing = "[(fat: \"olive_virgin\", share: 0), (fat: \"coconut\", share: 0)]";
    let sizes = ["FatMass(500)", "Volume((ml: 900, fill: 95))", "BarMass(110)", "BarAtSale(100)", "FatMass(0.001)"];
    let mut texts: Vec<String> = Vec::new();
    for fats in [nothing, "[]", "[(fat: \"jojoba\", share: 100)]", "[(fat: \"olive_virgin\", share: 30)]"] {
        for size in sizes {
            for superfat in ["5", "100", "-50"] {
                texts.push(format!(
                    "(barwright: 1, fats: {fats}, size: {size}, superfat: {superfat}, \
                     additions: [(addition: \"carrot_boiled\", amount: PercentOfFats(10))])"
                ));
            }
        }
    }
    let mut explained = 0;
    for text in texts {
        let Ok(design) = document::read(text.as_bytes(), &library) else { continue };
        let evaluation = evaluate(&design, &library);
        let about = About::new(&design, &evaluation, &library);
        for Entry { key, quantity } in entries(about) {
            let Ok(why) = of_quantity(quantity.as_ref(), about) else { continue };
            explained += 1;
            let told = why.text();
            assert!(!told.contains("NaN") && !told.contains("inf "), "{key} of {text}:\n{told}");
        }
    }
    assert!(explained > 1000, "{explained} were explained");
}
