//! Each explanation of a search redone by hand, its exchanges against the search's own proof, its
//! slopes against searches with other numbers.

use super::*;
use crate::design::Price;
use crate::evaluate::{Evaluation, evaluate};
use crate::explain::reader::redo;
use crate::explain::tests::{EXAMPLES, example, library};
use crate::find::{Aim, BlendSearch, Candidate, Demand, Measure, Rule, ShareStep, candidates, nudge, trade_off};
use crate::quantities::SEARCH_KEYS;
use crate::units::{Interval, Money, PackMass};

/// So many fats beside the design's own may be used, to keep the searches short.
const OTHERS: usize = 8;

/// An example whose candidates have invented prices, and its evaluation.
fn priced(index: usize, library: &Library) -> (Design, Evaluation) {
    let mut design = example(index, library);
    let price = |(i, candidate): (usize, Candidate)| Price {
        material: candidate.line.fat.id.to_string(),
        pack_g: PackMass::nearest(250.0 * (i % 3 + 1) as f64),
        price: Money::nearest(2.25 + (i * 7 % 11) as f64),
    };
    design.prices = candidates(&design, library).into_iter().enumerate().map(price).collect();
    let evaluation = evaluate(&design, library);
    (design, evaluation)
}

/// The three aims: nearest is a reference soap of the style, so that the blend is off.
fn aims(design: &Design, library: &Library) -> [Aim; 3] {
    let soap = &library.style(&design.style).expect("a style").references[0];
    [Aim::Cheapest, Aim::Nearest(soap.composition.clone()), Aim::SmallestChange]
}

/// Ranges around the design, shifted up by `shift` and of the width `width`, under `rule`.
fn around(evaluation: &Evaluation, library: &Library, rule: Rule, shift: f64, width: f64) -> Vec<Demand> {
    let demand = |measure: Measure| {
        let (value, unit) = (measure.of(evaluation, library)?, if measure.most() > 100.0 { 0.1 } else { 1.0 });
        let range = Interval::new(value + unit * shift, value + unit * (shift + width)).expect("in order");
        Some(Demand { measure, rule, range })
    };
    Measure::ALL.into_iter().filter_map(demand).collect()
}

fn wanted(design: &Design, evaluation: &Evaluation, aim: Aim, demands: Vec<Demand>, library: &Library) -> Wanted {
    let mut wanted = Wanted::of(design, evaluation, library);
    wanted.candidates.truncate(design.blend.lines().len() + OTHERS);
    Wanted { aim, demands, results: 2, step: ShareStep::One, ..wanted }
}

fn found(wanted: &Wanted, library: &Library) -> Outcome {
    let mut search = BlendSearch::start(wanted.clone(), library).expect("a search");
    while !search.step(1000) {}
    search.outcome()
}

/// Searches over the examples, with all aims and with soft and hard ranges.
fn searches(library: &Library) -> Vec<(Design, Wanted, Outcome)> {
    let mut all = Vec::new();
    for index in 0..EXAMPLES.len() {
        let (design, evaluation) = priced(index, library);
        for aim in aims(&design, library) {
            // Soft ranges that the design leaves, and hard ones that hold it in.
            let soft = around(&evaluation, library, Rule::May, 2.0, 3.0);
            let hard = around(&evaluation, library, Rule::Must, -3.0, 6.0);
            for demands in [soft, hard] {
                let wanted = wanted(&design, &evaluation, aim.clone(), demands, library);
                let outcome = found(&wanted, library);
                all.push((design.clone(), wanted, outcome));
            }
        }
    }
    all
}

fn close(got: f64, wanted: f64, part: f64, what: &str) {
    assert!((got - wanted).abs() <= part * wanted.abs() + 1e-9, "{what}: {got}, not {wanted}");
}

#[test]
fn a_reader_can_redo_every_number_of_a_search() {
    let library = library();
    let (mut left, mut dear, mut binding) = (0, 0, 0);
    for (design, wanted, outcome) in searches(&library) {
        let why = |number| {
            let why = of_search(number, &outcome, &wanted, &design, &library).expect("known");
            assert_eq!(why.key.parse(), Ok(number), "the key leads back");
            assert!(!why.title.is_empty() && !why.trust.is_empty() && why.changes.len() <= 3, "{why:?}");
            why
        };
        let sought = Sought { wanted: &wanted, design: &design, library: &library };
        for (i, found) in outcome.results.iter().enumerate() {
            let of = |number| why(OfSearch::Found(i, number));
            let objective = of(OfFound::Objective);
            // Told with six digits at least, and what is off by them is squared.
            close(redo(&objective.with_numbers), found.objective, 3e-5, &objective.text());
            let recorded = OfFound::Objective.read(Plain, found, sought).expect("candidates");
            close(recorded, found.objective, 1e-9, "the formula gives what the search found");
            assert!(objective.value.starts_with(&significant(found.objective)), "{objective:?}");
            left += objective.inputs.iter().filter(|i| i.name.starts_with("May: ")).count();
            dear += usize::from(wanted.aim == Aim::Cheapest);
            let price = of(OfFound::PricePerKg);
            close(redo(&price.with_numbers), found.price_per_kg.expect("priced"), 1e-6, &price.text());
            let off = of(OfFound::Differs);
            let known = differs(&found.blend, &wanted, &design, &library).expect("acids");
            close(redo(&off.with_numbers), known, 1e-5, &off.text());
        }
        for (i, binds) in outcome.binding.iter().enumerate() {
            let saves = why(OfSearch::Saves(i));
            // A slope against a small step of it. The objective is convex in the end of a range, so the step saves no more
            // than the slope says but for its four digits; less where another range is about to bind, as one here is.
            let told = redo(&saves.with_numbers);
            assert!(told <= binds.saves * (1.0 + 5e-4) + 1e-9, "{}: more than {}", saves.text(), binds.saves);
            close(told, binds.saves, 1e-2, &saves.text());
            binding += 1;
        }
        if !outcome.results.is_empty() {
            close(redo(&why(OfSearch::Gap).with_numbers), 0.0, 1e-6, "nothing is open once all is proven");
        }
    }
    assert!(left > 0 && dear > 0 && binding > 0, "{left} ranges left, {dear} cheapest, {binding} ranges bind");
}

#[test]
fn no_step_that_breaks_nothing_is_better_than_a_proven_blend() {
    let library = library();
    let (mut allowed, mut broken) = (0, 0);
    for (design, wanted, outcome) in searches(&library) {
        let Some(best) = outcome.results.first().filter(|_| outcome.proven) else { continue };
        let account = Account::of(&wanted, &library).expect("numbers");
        for position in 0..best.blend.lines().len() {
            for exchange in account.exchanges(&best.blend, position).expect("candidates") {
                broken += usize::from(!exchange.breaks.is_empty());
                if exchange.breaks.is_empty() {
                    allowed += 1;
                    let slack = 1e-9 * best.objective.abs().max(1.0);
                    assert!(exchange.objective >= best.objective - slack, "{exchange:?} beats {best:?}");
                }
            }
            let share = OfSearch::Found(0, OfFound::Share(position));
            let why = of_search(share, &outcome, &wanted, &design, &library).expect("known");
            assert!(!why.inputs[0].value.starts_with("nothing"), "the first blend is proven: {why:?}");
            let objective = format!("objective {}", exact(account.objective(&best.blend).expect("candidates")));
            assert!(why.with_numbers.starts_with(&objective), "{why:?}");
        }
    }
    assert!(allowed > 20 && broken > 20, "{allowed} allowed, {broken} not");
}

#[test]
fn a_held_share_says_so_and_a_range_that_stops_a_step_is_named() {
    let library = library();
    let (design, evaluation) = priced(3, &library);
    let mut wanted = wanted(&design, &evaluation, Aim::SmallestChange, Vec::new(), &library);
    let held = wanted.candidates[0].line.share;
    (wanted.candidates[0].least, wanted.candidates[0].most) = (held, held);
    // The design's own hardness and a point more at least: the change stops where it is reached.
    let hardness = Measure::ALL[0].of(&evaluation, &library).expect("acids");
    let range = Interval::new(hardness + 1.0, 100.0).expect("in order");
    wanted.demands = vec![Demand { measure: Measure::ALL[0], rule: Rule::Must, range }];
    let outcome = found(&wanted, &library);
    let lines = outcome.results[0].blend.lines();
    let why = |position| {
        let number = OfSearch::Found(0, OfFound::Share(position));
        of_search(number, &outcome, &wanted, &design, &library).expect("known")
    };
    let place = |id: &str| lines.iter().position(|l| l.fat.id.as_str() == id).expect("in it");
    let olive = why(place(wanted.candidates[0].line.fat.id.as_str()));
    assert!(olive.inputs[0].value.contains("held"), "{olive:?}");
    assert!(olive.changes.iter().all(|c| c.effect.contains("held at")), "a step breaks the lock: {olive:?}");
    let stopped = (0..lines.len()).map(why).filter(|w| w.inputs[0].value.contains("hardness at least")).count();
    assert!(stopped > 0, "some share would go back but for the hardness");
}

#[test]
fn what_a_range_saves_is_what_a_search_with_a_looser_range_finds() {
    const LOOSER: f64 = 0.001;
    let library = library();
    let mut checked = 0;
    for (_, wanted, outcome) in searches(&library) {
        let Some(first) = outcome.binding.first() else { continue };
        // Shares of any size, of any number: what the multiplier is of.
        let any = |demands: Vec<Demand>| {
            let least = Share::nearest(0.0);
            let any = Wanted { demands, step: ShareStep::Any, at_most: None, least, results: 1, ..wanted.clone() };
            found(&any, &library).results.first().map(|r| r.objective)
        };
        let loosened = wanted.demands.iter().map(|d| {
            let is_it = first.demand.starts_with(&d.measure.name().to_lowercase());
            let (low, high) = (d.range.min(), d.range.max());
            let (low, high) = match is_it {
                true if first.demand.contains("at least") => (low - LOOSER, high),
                true => (low, high + LOOSER),
                false => (low, high),
            };
            Demand { range: Interval::new(low, high).expect("in order"), ..*d }
        });
        let (Some(before), Some(after)) = (any(wanted.demands.clone()), any(loosened.collect())) else { continue };
        close((before - after) / LOOSER, first.saves, 0.05, &first.demand);
        checked += 1;
    }
    assert!(checked > 3, "only {checked} ranges bind");
}

#[test]
fn the_gap_of_a_search_that_goes_on_is_redone() {
    let library = library();
    let (design, evaluation) = priced(3, &library);
    let soft = around(&evaluation, &library, Rule::May, 2.0, 3.0);
    let [_, nearest, _] = aims(&design, &library);
    let wanted =
        Wanted { candidates: candidates(&design, &library), ..wanted(&design, &evaluation, nearest, soft, &library) };
    let mut search = BlendSearch::start(wanted.clone(), &library).expect("a search");
    let mut open = 0;
    for _ in 0..200 {
        let ended = search.step(5);
        let outcome = search.outcome();
        match of_search(OfSearch::Gap, &outcome, &wanted, &design, &library) {
            Ok(why) => {
                let gap = outcome.gap().expect("a gap");
                assert!((redo(&why.with_numbers) - gap).abs() < 1e-6 * outcome.results[0].objective, "{why:?}");
                assert_eq!(why.changes.is_empty(), outcome.done, "{why:?}");
                open += usize::from(gap > 0.0);
            }
            Err(error) => assert!(outcome.gap().is_none(), "{error}"),
        }
        if ended {
            break;
        }
    }
    assert!(open > 0, "it was proven at once");
}

#[test]
fn a_blend_picked_on_the_curve_is_explained_by_the_fats_with_a_price() {
    let library = library();
    let (mut design, evaluation) = priced(3, &library);
    // One fat of the design has no price: the curve is without it.
    let without = design.blend.lines()[1].fat.id.clone();
    design.prices.retain(|p| p.material != without.as_str());
    for aim in aims(&design, &library).into_iter().skip(1) {
        let demands = around(&evaluation, &library, Rule::May, 2.0, 3.0);
        let wanted = wanted(&design, &evaluation, aim, demands, &library);
        for found in trade_off(&wanted, &library, 5).expect("a curve") {
            let why = |number| of_picked(number, &found, &wanted, &design, &library).expect("known");
            let objective = why(OfFound::Objective);
            // The shares are rounded to a ten-thousandth of a percent.
            close(redo(&objective.with_numbers), found.objective, 1e-4, &objective.text());
            let price = why(OfFound::PricePerKg);
            close(redo(&price.with_numbers), found.price_per_kg.expect("priced"), 1e-6, &price.text());
            let off = why(OfFound::Differs);
            let known = differs(&found.blend, &wanted, &design, &library).expect("acids");
            close(redo(&off.with_numbers), known, 1e-5, &off.text());
            assert!(why(OfFound::Share(0)).key == "picked.fats.0.share_pct", "its key");
        }
        let cheapest = Wanted { aim: Aim::Cheapest, ..wanted.clone() };
        let outcome = found(&wanted, &library);
        let refused = of_picked(OfFound::Objective, &outcome.results[0], &cheapest, &design, &library);
        assert!(refused.is_err(), "the price itself has no curve");
    }
}

#[test]
fn a_percent_more_of_a_fat_does_what_its_price_says() {
    let library = library();
    let (design, evaluation) = priced(3, &library);
    let wanted = wanted(&design, &evaluation, Aim::Cheapest, Vec::new(), &library);
    let price = |line: &FatLine| wanted.price_per_kg(&line.fat.id).expect("priced");
    let own = design.blend.lines();
    let now: f64 = own.iter().map(|l| l.share.fraction() * price(l)).sum();
    let found = Found { blend: design.blend.clone(), objective: now, price_per_kg: Some(now) };
    let about = Sought { wanted: &wanted, design: &design, library: &library };
    let effects = about.more_of_each(&found.blend, now, |b| about.price_of(b));
    assert_eq!(effects.len(), own.len());
    for (line, (_, effect)) in own.iter().zip(effects) {
        // The others have cost what is left, and give way in proportion.
        let part = line.share.fraction();
        let others = (now - part * price(line)) / (1.0 - part);
        close(effect, 0.01 * (price(line) - others), 1e-9, &line.fat.name);
    }
}

#[test]
fn the_hint_gives_the_size_of_its_change_and_the_scores_of_both() {
    let library = library();
    let mut hints = 0;
    for index in 0..EXAMPLES.len() {
        let (design, _) = priced(index, &library);
        let mut lines = design.blend.lines().to_vec();
        let count = lines.len() as f64;
        for line in &mut lines {
            (line.share, line.locked) = (Share::nearest(100.0 / count), false);
        }
        let design = Design { blend: Blend::new(lines).expect("fats"), ..design };
        let evaluation = evaluate(&design, &library);
        let Some(nudge) = nudge(&design, &evaluation, &library) else { continue };
        hints += 1;
        let why = of_nudge(&nudge, &design, &evaluation, &library);
        let size: f64 = nudge.moves.iter().map(|m| (m.to - m.from).powi(2)).sum();
        close(redo(&why.with_numbers), size, 1e-6, &why.text());
        let made = evaluate(&Design { blend: nudge.blend.clone(), ..design.clone() }, &library);
        for estimate in made.estimates.iter().flatten() {
            let input = why.inputs.iter().find(|i| i.name == estimate.estimate.name()).expect("its score");
            let after = format!("→ {},", estimate.estimate.unit().number(estimate.value, estimate.estimate.decimals()));
            assert!(input.value.contains(&after), "{input:?} is not {after}");
        }
    }
    assert!(hints > 0, "every even blend is inside");
}

#[test]
fn keys_lead_to_numbers_and_what_is_none_is_told_those_there_are() {
    for pattern in SEARCH_KEYS {
        let key = pattern.replace('N', "3").replace('M', "12");
        let number: OfSearch = key.parse().expect("a key");
        assert_eq!(number.key(), key);
    }
    for key in ["", "results.0", "results.x.objective", "results.0.fats.-1.share_pct", "binding.0", "gap.0"] {
        let error = key.parse::<OfSearch>().expect_err("no key").to_string();
        assert!(SEARCH_KEYS.iter().all(|pattern| error.contains(pattern)), "{error}");
    }
    let library = library();
    let (design, evaluation) = priced(0, &library);
    let wanted = wanted(&design, &evaluation, Aim::SmallestChange, Vec::new(), &library);
    let outcome = found(&wanted, &library);
    for key in ["results.9.objective", "results.0.fats.40.share_pct", "binding.0.saves"] {
        let number = key.parse().expect("a key");
        let error = of_search(number, &outcome, &wanted, &design, &library).expect_err("there is no such number");
        assert!(matches!(error, WhyError::NotKnown { .. }), "{error}");
    }
}
