//! What went where: from a lot to the people who have its bars, and back.

use super::{Lot, Made, Shelf};
use crate::design::log::{BatchCode, LotId};
use crate::design::words::Day;
use std::collections::{BTreeMap, BTreeSet};

/// What was asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Lots, by their number or their supplier’s.
    Lots,
    /// One batch.
    Batch,
    /// People or places that bars went to.
    People,
}

/// What hangs together with what was asked about.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace<'a> {
    /// What that was.
    pub asked: Asked,
    /// The lots that were asked about, or those in the batches.
    pub lots: Vec<&'a Lot>,
    /// The batches, in the order of their codes.
    pub batches: Vec<&'a Made>,
    /// The people who were asked about, or to whom bars of the batches went, with how many and since when.
    pub people: Vec<Had<'a>>,
}

/// Bars that one person or place had of the batches of a [`Trace`].
#[derive(Debug, Clone, PartialEq)]
pub struct Had<'a> {
    /// Who; empty where nobody wrote it down.
    pub who: &'a str,
    /// How many.
    pub bars: u32,
    /// The first day and the last.
    pub days: (Day, Day),
}

impl Shelf {
    /// What hangs together with `text`: the number of a lot, here or at its supplier, the code of a batch, or a part of
    /// the name of a person; `None` if nothing is called so.
    pub fn trace(&self, text: &str) -> Option<Trace<'_>> {
        let text = text.trim();
        if text.is_empty() {
            return None;
        }
        let lots = self.lots_called(text);
        if !lots.is_empty() {
            let ids: BTreeSet<LotId> = lots.iter().map(|l| l.id).collect();
            let batches: Vec<&Made> =
                self.made.iter().filter(|m| m.lots.iter().any(|(id, _)| ids.contains(id))).collect();
            let people = had(&batches, |_| true);
            return Some(Trace { asked: Asked::Lots, lots, batches, people });
        }
        if let Some(made) = BatchCode::try_from(text.to_uppercase()).ok().and_then(|code| self.batch(code)) {
            let batches = vec![made];
            let people = had(&batches, |_| true);
            return Some(Trace { asked: Asked::Batch, lots: self.lots_in(&batches), batches, people });
        }
        let small = text.to_lowercase();
        let batches = self.batches_to(text);
        let people = had(&batches, |who| who.to_lowercase().contains(&small));
        (!batches.is_empty()).then(|| Trace { asked: Asked::People, lots: self.lots_in(&batches), batches, people })
    }

    fn lots_in(&self, batches: &[&Made]) -> Vec<&Lot> {
        let ids: BTreeSet<LotId> = batches.iter().flat_map(|m| &m.lots).map(|(id, _)| *id).collect();
        self.lots.iter().filter(|l| ids.contains(&l.id)).collect()
    }
}

/// Who had how many bars of `batches`, of those who are `meant`.
fn had<'a>(batches: &[&'a Made], meant: impl Fn(&str) -> bool) -> Vec<Had<'a>> {
    let mut by_name: BTreeMap<&str, Had<'a>> = BTreeMap::new();
    for out in batches.iter().flat_map(|m| &m.out).filter(|o| meant(o.to.as_str())) {
        let who = out.to.as_str();
        let had = by_name.entry(who).or_insert(Had { who, bars: 0, days: (out.on, out.on) });
        had.bars = had.bars.saturating_add(out.bars);
        had.days = (had.days.0.min(out.on), had.days.1.max(out.on));
    }
    by_name.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::log::How;
    use crate::design::shelf::{Out, Stuff};
    use crate::design::words::Line;
    use crate::units::AmountMass;

    fn shelf() -> Shelf {
        let day = Day::try_from("2026-03-01".to_owned()).expect("a day");
        let mut shelf = Shelf::default();
        for number in ["N-1", "N-2"] {
            let lot = Lot::new(LotId(0), Stuff::SodiumHydroxide, AmountMass::nearest(1000.0));
            shelf.put(Lot { number: Line::shortened(number), ..lot }).expect("room");
        }
        let out = |bars, to: &str| Out { on: day.after(40), bars, how: How::Given, to: Line::shortened(to) };
        for (nth, lots, out) in [
            (0, vec![1], vec![out(2, "Ada of the lower orchard"), out(1, "Bo at the mill")]),
            (1, vec![1, 2], vec![out(3, "Bo at the mill")]),
            (2, vec![2], Vec::new()),
        ] {
            let lots = lots.into_iter().map(|id| (LotId(id), AmountMass::nearest(90.0))).collect();
            let begun = Made::begun(BatchCode::of(day, nth), Line::default(), String::new());
            shelf.confirm(Made { lots, out, bars: 8, confirmed: true, ..begun }).expect("room");
        }
        shelf
    }

    #[test]
    fn a_lot_leads_to_people_and_a_person_back_to_lots() {
        let shelf = shelf();
        let of = |text: &str| shelf.trace(text).expect("it is known");
        let people = |trace: &Trace<'_>| trace.people.iter().map(|h| (h.who.to_owned(), h.bars)).collect::<Vec<_>>();
        let (ada, bo) = ("Ada of the lower orchard".to_owned(), "Bo at the mill".to_owned());
        for text in ["l1", "n-1 "] {
            let trace = of(text);
            assert_eq!((trace.asked, trace.batches.len()), (Asked::Lots, 2));
            assert_eq!(people(&trace), [(ada.clone(), 2), (bo.clone(), 4)]);
        }
        let back = of("mill");
        assert_eq!((back.asked, back.batches.len(), back.lots.len()), (Asked::People, 2, 2));
        assert_eq!(people(&back), [(bo, 4)], "and nobody else");
        let one = of("2026-03-01a");
        assert_eq!((one.asked, one.lots.len(), one.people.len()), (Asked::Batch, 1, 2));
        assert_eq!((shelf.trace("nobody"), shelf.trace(" ")), (None, None));
    }
}
