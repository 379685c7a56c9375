//! Which of the maker's own bars was judged to have more of what, over all logs at hand.

use super::preferences::{Bar, Preference, Taught, taught};
use crate::bench::record::Record;
use crate::design::log::{Aspect, Batch, BatchCode, Happened, Log, Rating};
use crate::design::words::Line;
use crate::library::Library;
use crate::library::composition::Composition;
use crate::library::estimates::Estimate;
use crate::units::{Fraction, Measures};
use std::collections::{BTreeMap, BTreeSet};

/// More judgements than this are not counted; a fit of so many takes a blink.
pub const MOST_JUDGEMENTS: usize = 5000;

/// What was judged of the maker's own bars.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OwnBars {
    bars: Vec<(Composition, Fraction)>,
    /// Of two bars by their place, that which has more of it first.
    judged: Vec<(Aspect, usize, usize)>,
}

/// The score that an aspect is a judgement of, and whether more of the one is less of the other.
pub const fn estimate_of(aspect: Aspect) -> Option<(Estimate, bool)> {
    match aspect {
        Aspect::Hardness => Some((Estimate::Hardness, false)),
        Aspect::LatherVolume => Some((Estimate::LatherVolume, false)),
        Aspect::LatherPersistence => Some((Estimate::LatherPersistence, false)),
        Aspect::Feel => Some((Estimate::Conditioning, false)),
        // What lasts longer wears less.
        Aspect::Lasting => Some((Estimate::Wear, true)),
        Aspect::Scent | Aspect::Colour => None,
    }
}

impl OwnBars {
    /// What `logs` hold: pairs that were named, and bars that the same person judged differently.
    pub fn of<'a>(logs: impl IntoIterator<Item = &'a Log>, library: &Library) -> Self {
        let mut own = Self::default();
        let mut places: BTreeMap<BatchCode, usize> = BTreeMap::new();
        let mut named: Vec<(Aspect, BatchCode, BatchCode)> = Vec::new();
        let mut rated: BTreeMap<(Aspect, &Line), Vec<(BatchCode, Rating)>> = BTreeMap::new();
        let batches: Vec<&Batch> = logs.into_iter().flat_map(Log::batches).collect();
        let mut involved: BTreeSet<BatchCode> = BTreeSet::new();
        for batch in &batches {
            for (_, entry) in batch.standing() {
                match entry.what {
                    Happened::More { than, .. } => involved.extend([batch.code, than]),
                    Happened::Judged { .. } => drop(involved.insert(batch.code)),
                    _ => {}
                }
            }
        }
        for batch in batches {
            if places.contains_key(&batch.code) || !involved.contains(&batch.code) {
                continue;
            }
            let record = Record::of(batch, &BTreeMap::new(), library, Measures::METRIC);
            let Some((composition, free_fat)) = record.result.ok().and_then(|result| {
                let evaluation = result.evaluation;
                Some((evaluation.composition.clone()?, evaluation.masses.free_fat.fraction()))
            }) else {
                continue;
            };
            places.insert(batch.code, own.bars.len());
            own.bars.push((composition, free_fat));
            for (_, entry) in batch.standing() {
                match &entry.what {
                    Happened::More { aspect, than } => named.push((*aspect, batch.code, *than)),
                    Happened::Judged { by, aspect, rating } => {
                        rated.entry((*aspect, by)).or_default().push((batch.code, *rating));
                    }
                    _ => {}
                }
            }
        }
        for ((aspect, _), ratings) in rated {
            for (i, (a, of_a)) in ratings.iter().enumerate() {
                for (b, of_b) in &ratings[i + 1..] {
                    match of_a.cmp(of_b) {
                        std::cmp::Ordering::Greater => named.push((aspect, *a, *b)),
                        std::cmp::Ordering::Less => named.push((aspect, *b, *a)),
                        std::cmp::Ordering::Equal => {}
                    }
                    if named.len() >= MOST_JUDGEMENTS {
                        break;
                    }
                }
            }
        }
        let known = |(aspect, more, less): (Aspect, BatchCode, BatchCode)| {
            let (more, less) = (*places.get(&more)?, *places.get(&less)?);
            (more != less).then_some((aspect, more, less))
        };
        own.judged = named.into_iter().filter_map(known).take(MOST_JUDGEMENTS).collect();
        own
    }

    /// How many judgements there are of `estimate`.
    pub fn judgements(&self, estimate: Estimate) -> usize {
        let is_of_it = |aspect: Aspect| estimate_of(aspect).is_some_and(|(e, _)| e == estimate);
        self.judged.iter().filter(|(aspect, ..)| is_of_it(*aspect)).count()
    }

    /// What they say of `estimate`; `None` if nothing was judged of it.
    pub fn taught(&self, estimate: Estimate, library: &Library) -> Option<Taught> {
        let bar = |place: usize| {
            let (composition, free_fat) = &self.bars[place];
            Bar { composition, free_fat: *free_fat }
        };
        let preferences: Vec<Preference<'_>> = self
            .judged
            .iter()
            .filter_map(|(aspect, more, less)| {
                let (of, is_turned) = estimate_of(*aspect)?;
                let (more, less) = if is_turned { (less, more) } else { (more, less) };
                (of == estimate).then(|| Preference { more: bar(*more), less: bar(*less) })
            })
            .collect();
        if preferences.is_empty() {
            return None;
        }
        taught(&library.weights, &library.acids, estimate, &preferences)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::design::log::Entry;
    use crate::design::words::Day;
    use crate::evaluate::evaluate;
    use std::sync::Arc;

    fn log(library: &Library, nth: u16, coconut: f64, entries: Vec<Happened>) -> Log {
        let text = format!(
            "(barwright: 1, fats: [(fat: \"olive_virgin\", share: {}), (fat: \"coconut\", share: {coconut})])",
            100.0 - coconut
        );
        let design = document::read(text.as_bytes(), library).expect("a design");
        let day = Day::try_from("2026-05-01".to_owned()).expect("a day");
        let mut batch = Batch::new(BatchCode::of(day, nth), Line::default(), Arc::new(design));
        for what in entries {
            batch.push(Entry { on: day, corrects: None, what }).expect("room");
        }
        let mut log = Log::default();
        log.begin(batch).expect("a new code");
        log
    }

    #[test]
    fn own_bars_speak_beside_the_table_and_of_what_was_judged_only() {
        let library = Library::embedded().expect("assets parse");
        let day = Day::try_from("2026-05-01".to_owned()).expect("a day");
        // The olive bar is found to lather higher, against the table.
        let more = Happened::More { aspect: Aspect::LatherVolume, than: BatchCode::of(day, 1) };
        let judged = |rating| Happened::Judged {
            by: Line::default(),
            aspect: Aspect::Lasting,
            rating: Rating::new(rating).expect("1 to 5"),
        };
        let logs = [log(&library, 0, 5.0, vec![more, judged(5)]), log(&library, 1, 60.0, vec![judged(2)])];
        let own = OwnBars::of(&logs, &library);
        assert_eq!(own.judgements(Estimate::LatherVolume), 1);
        assert_eq!(own.judgements(Estimate::Wear), 1, "by two ratings of one person");
        assert_eq!(own.taught(Estimate::Hardness, &library), None, "nobody judged it");
        let batch = &logs[0].batches()[0];
        let evaluation = evaluate(&batch.made, &library);
        let composition = evaluation.composition.as_ref().expect("known acids");
        let bar = Bar { composition, free_fat: evaluation.masses.free_fat.fraction() };
        let score = |estimate| {
            (
                own.taught(estimate, &library).expect("judged").score(bar).value,
                evaluation.estimate(estimate).expect("scored").value,
            )
        };
        let (taught, table) = score(Estimate::LatherVolume);
        assert!(taught > table, "it lathers more than the table has it: {taught} and {table}");
        let (taught, table) = score(Estimate::Wear);
        assert!(taught <= table + 1e-9, "it lasts, so it wears no more: {taught} and {table}");
    }
}
