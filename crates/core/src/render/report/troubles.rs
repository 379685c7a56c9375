//! What can be seen in a bar, as text and as JSON.

use crate::quantities::{About, AnyQuantity};
use crate::troubles::{ALWAYS, Likely, Number, TRUST, Trouble, Troubles};
use serde::Serialize;
use std::fmt::Write as _;

/// The troubles for `troubles --json`.
#[derive(Debug, Serialize)]
struct Listed<'a> {
    design: Option<&'a str>,
    trust: &'static str,
    always: [&'static str; 3],
    stops: Vec<String>,
    troubles: Vec<Entry>,
}

#[derive(Debug, Serialize)]
struct Entry {
    fault: &'static str,
    name: &'static str,
    when: &'static str,
    seen: &'static str,
    safety: &'static str,
    safety_text: &'static str,
    causes: Vec<CauseEntry>,
    now: &'static str,
    next_time: &'static str,
}

#[derive(Debug, Serialize)]
struct CauseEntry {
    name: &'static str,
    how: &'static str,
    support: Option<SupportEntry>,
}

#[derive(Debug, Serialize)]
struct SupportEntry {
    key: Option<String>,
    name: String,
    value: Option<f64>,
    text: String,
    against: String,
}

impl SupportEntry {
    fn of(likely: &Likely, of: Option<About<'_>>) -> Option<Self> {
        let (support, of) = (likely.support.as_ref()?, of?);
        let (name, text) = support.number.told(of);
        let (key, value) = match &support.number {
            Number::Quantity(quantity) => (Some(AnyQuantity::key(&**quantity, of)), quantity.value(of).ok()),
            Number::Chosen { .. } => (None, None),
        };
        Some(Self { key, name, value, text, against: support.against.clone() })
    }
}

impl Entry {
    fn of(trouble: &Trouble, of: Option<About<'_>>) -> Self {
        let fault = trouble.fault;
        let cause = |likely: &Likely| {
            let support = SupportEntry::of(likely, of);
            CauseEntry { name: likely.cause.name(), how: likely.how, support }
        };
        Self {
            fault: fault.code,
            name: fault.name,
            when: fault.when.words(),
            seen: fault.seen,
            safety: trouble.safety.key(),
            safety_text: trouble.safety.text(),
            causes: trouble.causes.iter().map(cause).collect(),
            now: fault.now,
            next_time: fault.next_time,
        }
    }
}

/// The troubles as JSON; `of` is what they are of.
///
/// # Errors
/// From the writer of JSON; it has no cause to fail.
pub fn troubles_json(troubles: &Troubles, of: Option<About<'_>>) -> serde_json::Result<String> {
    serde_json::to_string_pretty(&Listed {
        design: of.map(|of| of.design.name.as_str()),
        trust: TRUST.words(),
        always: ALWAYS,
        stops: troubles.stops.iter().map(crate::cautions::Caution::text).collect(),
        troubles: troubles.each.iter().map(|trouble| Entry::of(trouble, of)).collect(),
    })
}

/// The troubles as text; `of` is what they are of.
pub fn troubles_text(troubles: &Troubles, of: Option<About<'_>>) -> String {
    let mut out = String::new();
    if let Some(of) = of {
        let _ = writeln!(out, "{}\n", of.design.name);
    }
    for stop in &troubles.stops {
        let _ = writeln!(out, "STOP: {}", stop.text());
    }
    for sentence in ALWAYS {
        let _ = writeln!(out, "{sentence}");
    }
    let _ = writeln!(out, "All that follows is {}.", TRUST.words());
    for trouble in &troubles.each {
        write_one(&mut out, trouble, of);
    }
    out
}

fn write_one(out: &mut String, trouble: &Trouble, of: Option<About<'_>>) {
    let fault = trouble.fault;
    let _ = writeln!(out, "\n{} ({})", fault.name, fault.code);
    let _ = writeln!(out, "  Seen: {}, {}.", lower_first(fault.when.words()), lower_first(fault.seen));
    let _ = writeln!(out, "  {}: {}", trouble.safety.word(), trouble.safety.text());
    let _ = writeln!(out, "  Likely causes:");
    for likely in &trouble.causes {
        let _ = writeln!(out, "    - {}: {}", likely.cause.name(), likely.how);
        if let (Some(support), Some(of)) = (&likely.support, of) {
            let (name, value) = support.number.told(of);
            let _ = writeln!(out, "      In this design: {name} {value}; {}", support.against);
        }
    }
    let _ = writeln!(out, "  Now: {}", fault.now);
    let _ = writeln!(out, "  Next time: {}", fault.next_time);
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
