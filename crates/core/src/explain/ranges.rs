//! Where the saponification values of a blend's fats lie: what is published, what their acids allow, what the lye
//! rests on.

use crate::design::blend::{Blend, FatLine};
use crate::library::possible::SvRanges;
use crate::units::Interval;

/// The ranges of one fat, mg KOH/g.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranges {
    /// The fat.
    pub of: String,
    /// Each with its name, to be drawn one below the other.
    pub all: Vec<(&'static str, Interval)>,
}

impl Ranges {
    /// What holds all of them.
    pub fn hull(&self) -> Option<Interval> {
        Interval::hull(self.all.iter().flat_map(|(_, range)| [range.min(), range.max()]))
    }
}

/// Those of each fat in `blend`.
pub(super) fn of_fats(blend: &Blend) -> Vec<Ranges> {
    blend.lines().iter().map(of_fat).collect()
}

fn of_fat(line: &FatLine) -> Ranges {
    let SvRanges { published, possible, .. } = SvRanges::of(line.published());
    let mut all = vec![("published", published)];
    all.extend(possible.map(|possible| ("possible by its acids", possible)));
    let used = if line.supplier.is_some() { "your certificate" } else { "the lye rests on" };
    all.push((used, line.saponification_range()));
    Ranges { of: line.fat.name.clone(), all }
}

#[cfg(test)]
mod tests {
    use crate::design::Design;
    use crate::evaluate::evaluate;
    use crate::explain::why;
    use crate::library::Library;
    use crate::units::Share;
    use std::sync::Arc;

    /// Sweet almond oil is published higher than its acids allow (assets/data/SOURCES.md, possible values).
    #[test]
    fn a_saponification_value_shows_what_is_published_what_is_possible_and_what_is_used() {
        let library = Library::embedded().expect("assets parse");
        let mut design = Design::default();
        let fat = library.fat("almond").expect("it is tabled");
        design.blend.add(Arc::clone(fat), Share::nearest(100.0)).expect("it is added");
        let evaluation = evaluate(&design, &library);
        let why = why("chemistry.saponification_value", &design, &evaluation, &library).expect("known");
        let [ranges] = why.ranges.as_slice() else { panic!("one fat: {:?}", why.ranges) };
        let [(_, published), (_, possible), (_, used)] = ranges.all.as_slice() else { panic!("{ranges:?}") };
        assert!(possible.max() < published.max() && used.max() <= possible.max() + 1e-9, "{ranges:?}");
        assert!(why.text().contains("possible by its acids"), "{}", why.text());
        let other = super::super::why("batch.fats_g", &design, &evaluation, &library).expect("known");
        assert!(other.ranges.is_empty(), "a mass has none");
    }
}
