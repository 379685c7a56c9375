//! A small push: the least change of shares that brings every score into its guideline range.

use super::formulation::Formulation;
use super::practice::Practice;
use super::wanted::{Aim, Candidate, Demand, Measure, Rule, ShareStep, Wanted, candidates};
use crate::design::Design;
use crate::design::blend::{Blend, FatLine};
use crate::evaluate::{Evaluation, scores};
use crate::library::Library;
use crate::library::estimates::Place;
use crate::library::fats::Fat;
use crate::library::material::MaterialId;
use crate::units::{Share, in_percent};
use barwright_solver::Solver;
use std::sync::Arc;

/// The least change that brings every score inside.
#[derive(Debug, Clone, PartialEq)]
pub struct Nudge {
    /// The blend after it.
    pub blend: Blend,
    /// A fat that comes in, if those of the design alone cannot do it.
    pub newcomer: Option<Arc<Fat>>,
    /// The shares that move, percent, the largest move first.
    pub moves: Vec<Move>,
}

/// A share that moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// The fat.
    pub fat: Arc<Fat>,
    /// Its share before, percent.
    pub from: f64,
    /// And after.
    pub to: f64,
}

/// A share may be rounded to so many parts of a percent.
const TENTHS: f64 = 10.0;
/// A fat that comes in has at least so much, percent.
const LEAST_NEW: f64 = 1.0;
/// A move below this is none, percent.
const STILL: f64 = 0.05;

/// The least change (the least sum of squared changes in percent) of the shares of `design` that
/// brings every score into the range of its style, with its locked fats held: among its own fats
/// if that can be, else with one more of the library. `None` if all scores are inside, if they are
/// not known, or if no such change does it.
pub fn nudge(design: &Design, evaluation: &Evaluation, library: &Library) -> Option<Nudge> {
    let estimates = evaluation.estimates.as_ref()?;
    let is_outside = estimates.iter().any(|r| r.place.is_some_and(|p| p != Place::Inside));
    if !is_outside || !design.blend.is_whole() {
        return None;
    }
    let demands =
        estimates.iter().filter_map(|r| Some(Demand::shown(Measure::Estimate(r.estimate), Rule::Must, r.range?)));
    let own: Vec<Candidate> = design.blend.lines().iter().map(Candidate::of_design).collect();
    let mut wanted = Wanted {
        aim: Aim::SmallestChange,
        demands: demands.collect(),
        candidates: own,
        at_most: None,
        least: Share::nearest(0.0),
        step: ShareStep::Any,
        practices: Practice::defaults(),
        results: 1,
        free_fat: evaluation.masses.free_fat,
        prices: Vec::new(),
        has_whole_blend: true,
    };
    if let Some((_, shares)) = smallest(&wanted, library) {
        return described(design, evaluation, &wanted, &shares, None, library);
    }
    let mut best: Option<(f64, Vec<f64>, Candidate)> = None;
    for candidate in candidates(design, library) {
        let is_own = design.blend.line(&candidate.line.fat.id).is_some();
        if is_own || wanted.practices.iter().any(|practice| practice.leaves_out(&candidate, library)) {
            continue;
        }
        let newcomer = Candidate { least: Share::nearest(LEAST_NEW), ..candidate };
        wanted.candidates.push(newcomer.clone());
        let change = smallest(&wanted, library);
        wanted.candidates.pop();
        if let Some((objective, shares)) = change
            && best.as_ref().is_none_or(|(least, _, _)| objective < *least)
        {
            best = Some((objective, shares, newcomer));
        }
    }
    let (_, shares, newcomer) = best?;
    let fat = Arc::clone(&newcomer.line.fat);
    wanted.candidates.push(newcomer);
    described(design, evaluation, &wanted, &shares, Some(fat), library)
}

/// The least change for `wanted` and its shares in percent; `None` if the ranges cannot be met.
fn smallest(wanted: &Wanted, library: &Library) -> Option<(f64, Vec<f64>)> {
    let formulation = Formulation::of(wanted, library).ok()?;
    // Candidates without a share to give are no variables.
    let solution = Solver::default().solve(&formulation.problem).ok()?;
    let share = |c: &Candidate| {
        let is_same = |id: &MaterialId| *id == c.line.fat.id;
        let place = formulation.candidates.iter().position(|v| is_same(&v.line.fat.id));
        place.map_or(0.0, |i| in_percent(solution.w[i]))
    };
    Some((solution.objective, wanted.candidates.iter().map(share).collect()))
}

fn described(
    design: &Design,
    evaluation: &Evaluation,
    wanted: &Wanted,
    shares: &[f64],
    newcomer: Option<Arc<Fat>>,
    library: &Library,
) -> Option<Nudge> {
    let blend_of = |shares: &[f64]| {
        let line = |(c, share): (&Candidate, &f64)| {
            let share = if c.is_held() { c.least } else { Share::nearest(*share) };
            FatLine { share, ..c.line.clone() }
        };
        Blend::new(wanted.candidates.iter().zip(shares).map(line).collect()).ok()
    };
    let is_inside = |blend: &Blend| {
        let Some(scores) = scores(blend, evaluation.masses.free_fat, library) else { return false };
        let estimates = evaluation.estimates.iter().flatten();
        estimates
            .into_iter()
            .all(|r| r.range.is_none_or(|range| Place::of(r.estimate, scores.get(r.estimate), range) == Place::Inside))
    };
    // Round numbers if they do it too.
    let blend =
        blend_of(&rounded(wanted, shares)).filter(|b| b.is_whole() && is_inside(b)).or_else(|| blend_of(shares))?;
    let from = |fat: &Fat| design.blend.line(&fat.id).map_or(0.0, |l| l.share.get());
    let mut moves: Vec<Move> = blend
        .lines()
        .iter()
        .map(|line| Move { fat: Arc::clone(&line.fat), from: from(&line.fat), to: line.share.get() })
        .filter(|m| (m.to - m.from).abs() >= STILL)
        .collect();
    moves.sort_by(|a, b| (b.to - b.from).abs().total_cmp(&(a.to - a.from).abs()));
    (!moves.is_empty()).then_some(Nudge { blend, newcomer, moves })
}

/// The shares in tenths of a percent; the largest that is free takes up what rounding leaves.
fn rounded(wanted: &Wanted, shares: &[f64]) -> Vec<f64> {
    let held = |i: usize| wanted.candidates[i].is_held();
    let round = |(i, share): (usize, &f64)| if held(i) { *share } else { (share * TENTHS).round() / TENTHS };
    let mut round: Vec<f64> = shares.iter().enumerate().map(round).collect();
    let rest = Share::MAX - round.iter().sum::<f64>();
    let free = (0..round.len()).filter(|i| !held(*i));
    if let Some(largest) = free.max_by(|a, b| round[*a].total_cmp(&round[*b])) {
        round[largest] += rest;
    }
    round
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::evaluate;

    fn of(fats: &[(&str, f64, bool)]) -> (Library, Design) {
        let library = Library::embedded().expect("assets parse");
        let line =
            |(fat, share, locked): &(&str, f64, bool)| format!("(fat: {fat:?}, share: {share:?}, locked: {locked})");
        let fats: Vec<String> = fats.iter().map(line).collect();
        let text = format!("(barwright: 1, fats: [{}])", fats.join(", "));
        let design = document::read(text.as_bytes(), &library).expect("a design");
        (library, design)
    }

    fn all_inside(design: &Design, library: &Library) -> bool {
        let estimates = evaluate(design, library).estimates.expect("tabled acids");
        estimates.iter().all(|r| r.place == Some(Place::Inside))
    }

    #[test]
    fn the_change_brings_every_score_inside_and_nothing_smaller_does() {
        let (library, design) = of(&[("olive_virgin", 60.0, false), ("coconut", 15.0, false), ("palm", 25.0, false)]);
        assert!(!all_inside(&design, &library), "something to do");
        let found = nudge(&design, &evaluate(&design, &library), &library).expect("there is a way");
        let moved = Design { blend: found.blend.clone(), ..design.clone() };
        assert!(all_inside(&moved, &library), "{found:?}");
        assert!(found.blend.is_whole(), "the shares sum to 100");
        // Nine tenths of the way something is still outside.
        let part = |line: &FatLine| {
            let from = design.blend.line(&line.fat.id).map_or(0.0, |l| l.share.get());
            FatLine { share: Share::nearest(from + 0.9 * (line.share.get() - from)), ..line.clone() }
        };
        let blend = Blend::new(found.blend.lines().iter().map(part).collect()).expect("fats");
        assert!(!all_inside(&Design { blend, ..design }, &library), "a smaller step does not do it");
    }

    #[test]
    fn a_lock_holds_and_a_bar_that_is_inside_is_left_alone() {
        let (library, design) = of(&[("olive_virgin", 60.0, true), ("coconut", 15.0, false), ("palm", 25.0, false)]);
        if let Some(found) = nudge(&design, &evaluate(&design, &library), &library) {
            let olive = found.blend.lines()[0].share.get();
            assert!((olive - 60.0).abs() < 1e-12, "locked, yet {olive}");
        }
        let starter = [
            ("olive_virgin", 44.0, false),
            ("coconut", 26.0, false),
            ("cocoa_butter", 22.0, false),
            ("castor", 8.0, false),
        ];
        let (library, design) = of(&starter);
        assert!(all_inside(&design, &library), "the starting design");
        assert_eq!(nudge(&design, &evaluate(&design, &library), &library), None);
    }

    #[test]
    fn where_the_own_fats_cannot_do_it_one_more_comes_in() {
        let (library, design) = of(&[("olive_virgin", 50.0, false), ("palm", 50.0, false)]);
        let found = nudge(&design, &evaluate(&design, &library), &library).expect("one fat does it");
        assert!(found.newcomer.is_some(), "neither foams: {found:?}");
        assert!(all_inside(&Design { blend: found.blend, ..design }, &library), "inside");
    }
}
