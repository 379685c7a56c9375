//! The log as text.

use super::told;
use crate::bench::learnt::cure::{Basis, Fitted};
use crate::bench::learnt::of_log;
use crate::bench::record::{Record, State};
use crate::design::log::{Batch, Log};
use crate::library::Library;
use crate::number::fixed;
use crate::quantity::Unit;
use crate::units::Measures;
use std::collections::BTreeMap;
use std::fmt::Write;

/// The superfat that results of a record in words, with what is not weighed yet.
pub(super) fn superfat(record: &Record) -> String {
    match record.superfat() {
        Err(error) => format!("STOP: {error}"),
        Ok(superfat) if record.missing().is_some() => {
            format!("superfat so far {} % (what is not weighed counts as planned)", fixed(superfat, 1))
        }
        Ok(superfat) => format!("superfat as weighed {} %", fixed(superfat, 1)),
    }
}

/// All batches of `log`, the latest first.
pub fn log_text(log: &Log, library: &Library) -> String {
    let mut text = String::new();
    for batch in log.batches().iter().rev() {
        let record = Record::of(batch, &BTreeMap::new(), library, Measures::METRIC);
        let fitted = of_log::cure_of(batch, &record, &of_log::prior(log, batch, library));
        let cure = fitted.filter(|_| record.state != State::Raw).map(|f| cure_words(&f, batch, Measures::METRIC));
        let _ = one(&mut text, batch, &record, cure);
    }
    if text.is_empty() { "No batch was made of this design yet.\n".into() } else { text }
}

/// How the bars cure, by their weighings, in a sentence; `None` where nothing is made.
pub fn cure_words(fitted: &Fitted, batch: &Batch, measures: Measures) -> String {
    let fit = fitted.planned();
    let grams = |g: f64| Unit::Grams.number_in(g, 0, measures);
    let at_sale = fit.weight(batch.made.process.cure_days);
    let rests_on = match fitted.basis() {
        Basis::Prior => "no weighing yet: as bars usually dry".to_owned(),
        Basis::FewDays(1) => "weighed on one day, so what is usual still counts".into(),
        Basis::FewDays(days) => format!("weighed on {days} days, so what is usual still counts"),
        Basis::Days(days) => format!("weighed on {days} days"),
    };
    let dry = fit.settled().map_or_else(String::new, |days| {
        format!(
            ", dry enough {} days after cutting ({} to {})",
            fixed(days.likely, 0),
            fixed(days.low, 0),
            fixed(days.high, 0)
        )
    });
    // Once the weighings alone tell it, nine bars in ten are at least so heavy.
    let label = if matches!(fitted.basis(), Basis::Days(_)) {
        format!("; plan the label with {} {}", grams(at_sale.low.floor()), Unit::Grams.sign_in(measures))
    } else {
        String::new()
    };
    let days = crate::number::short(batch.made.process.cure_days.get(), 1);
    format!(
        "a bar after {days} days of cure: {} {} ({} to {}){dry}; {rests_on}{label}",
        grams(at_sale.likely),
        Unit::Grams.sign_in(measures),
        grams(at_sale.low),
        grams(at_sale.high)
    )
}

fn one(text: &mut String, batch: &Batch, record: &Record, cure: Option<String>) -> std::fmt::Result {
    let maker = if batch.maker.is_empty() { String::new() } else { format!(", made by {}", batch.maker) };
    writeln!(text, "{}: {}{maker}", batch.code, record.state.word())?;
    writeln!(text, "  {}", superfat(record))?;
    for stop in record.stops() {
        writeln!(text, "  {}", stop.line())?;
    }
    if record.state != State::Raw {
        writeln!(text, "  {} of {} bars left", record.left(), record.bars)?;
    }
    if let Some(dry) = cure {
        writeln!(text, "  {dry}")?;
    }
    for (n, entry) in batch.entries().iter().enumerate() {
        let corrected = if batch.is_corrected(n) { " (corrected)" } else { "" };
        let words = told(&entry.what, &batch.made, Measures::METRIC).replace('\n', "\n      ");
        writeln!(text, "  {} {words}{corrected}", entry.on)?;
    }
    Ok(())
}
