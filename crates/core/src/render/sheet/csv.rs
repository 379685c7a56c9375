//! The rows as comma-separated values.

use super::Sheet;
use crate::bench::weighing;
use crate::cautions::Level;
use crate::design::words::inert;
use crate::units::Measures;

impl Sheet {
    /// The rows to weigh as CSV (RFC 4180, UTF-8) with a heading line, the Stops before all rows: step, name, weight as the scale shows
    /// it, weight as worked out (both in grams, with a decimal point), note.
    ///
    /// # Errors
    /// From the CSV writer; no sheet is known that makes it fail.
    pub fn csv(&self) -> Result<String, ::csv::Error> {
        let mut out = ::csv::Writer::from_writer(Vec::new());
        out.write_record(["step", "name", "weight_g", "exact_g", "note"])?;
        for mind in self.cautions.iter().filter(|m| m.level == Level::Stop) {
            out.write_record(["STOP", &inert(&mind.text), "", "", ""])?;
        }
        for row in &self.rows {
            let weight = format!("{:.*}", weighing::decimals(self.division, Measures::METRIC), row.weight.0);
            let exact = row.exact.0.to_string();
            out.write_record([row.vessel.words(), &inert(&row.name), &weight, &exact, &inert(&row.note)])?;
        }
        let bytes = out.into_inner().map_err(|e| ::csv::Error::from(e.into_error()))?;
        // It was given strings, so strings come out.
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}
