//! What the entries teach: the jug’s cooling and the batter’s density, offered to the design; what bars lose in use; the
//! scores by one’s own bars, beside those of the table.

use super::{Changes, Given, Page};
use crate::theme::Tokens;
use crate::views::Request;
use crate::widgets::{heading, small};
use barwright_core::bench::learnt::of_log;
use barwright_core::bench::learnt::own_bars::OwnBars;
use barwright_core::bench::learnt::preferences::Bar;
use barwright_core::bench::record::Record;
use barwright_core::design::Calibration;
use barwright_core::design::edit::Edit;
use barwright_core::design::log::Batch;
use barwright_core::library::estimates::Estimate;
use barwright_core::number::fixed;
use barwright_core::units::{BatterDensity, TimeConstant};
use eframe::egui::{Grid, RichText, Ui};
use std::sync::Arc;

/// A score by the table and by one’s own bars.
#[derive(Debug)]
pub(super) struct ByOwnBars {
    estimate: Estimate,
    table: f64,
    own: f64,
    sd: f64,
    judgements: usize,
}

/// What a record teaches.
#[derive(Debug)]
pub(super) struct Lessons {
    /// Time constant of the jug, minutes, with its standard deviation.
    jug: Option<(TimeConstant, f64)>,
    /// Density of the batter, g/mL, with its standard deviation.
    batter: Option<(BatterDensity, f64)>,
    /// Grams lost in ten washes, how far bars differ, and how many were weighed.
    wear: Option<(f64, Option<f64>, usize)>,
    scores: Vec<ByOwnBars>,
}

impl Lessons {
    pub(super) fn of(given: &Given<'_>, batch: &Batch, record: &Record) -> Self {
        let jug = of_log::jug_of(batch, record).map(|jug| (jug.constant, jug.minutes().sd));
        let batter = of_log::batter_of(batch, record);
        let batter = batter.and_then(|learnt| Some((BatterDensity::new(learnt.value).ok()?, learnt.sd)));
        let wear = of_log::wear_of(batch).map(|wear| (wear.grams, wear.sd, wear.bars));
        Self { jug, batter, wear, scores: scores(given, record) }
    }
}

/// The scores of `record` that were judged at all.
fn scores(given: &Given<'_>, record: &Record) -> Vec<ByOwnBars> {
    let own = OwnBars::of(given.logs.iter().map(Arc::as_ref), given.library);
    let Ok(result) = &record.result else { return Vec::new() };
    let evaluation = &result.evaluation;
    let Some(composition) = &evaluation.composition else { return Vec::new() };
    let bar = Bar { composition, free_fat: evaluation.masses.free_fat.fraction() };
    let score = |estimate: Estimate| {
        let judgements = own.judgements(estimate);
        let learnt = own.taught(estimate, given.library)?.score(bar);
        let table = evaluation.estimate(estimate)?.value;
        Some(ByOwnBars { estimate, table, own: learnt.value, sd: learnt.sd, judgements })
    };
    Estimate::ALL.into_iter().filter_map(score).collect()
}

/// Draws what is taught, as far as anything is.
pub(super) fn show(ui: &mut Ui, page: &Page<'_>, changes: &mut Changes) {
    let Lessons { jug, batter, wear, scores } = &page.taught.lessons;
    if jug.is_none() && batter.is_none() && wear.is_none() && scores.is_empty() {
        return;
    }
    heading(ui, "What it teaches");
    let key = page.given.open.key;
    let known = page.given.open.design().calibration.clone();
    let mut offer = |ui: &mut Ui, text: String, button: &str, calibration: Calibration| {
        ui.horizontal_wrapped(|ui| {
            ui.label(text);
            if calibration == known {
                ui.label(RichText::new("the design counts with it").color(Tokens::of(ui).quiet));
            } else if ui.button(button).clicked() {
                changes.request(Request::Change(key, Box::new(Edit::Calibration(calibration))));
            }
        });
    };
    if let Some((constant, sd)) = jug {
        let text = format!(
            "By its readings the jug cools to a third in about {} min (± {}).",
            fixed(constant.get(), 0),
            fixed(*sd, 0)
        );
        offer(ui, text, "Use it for the jug", Calibration { jug_cooling_min: Some(*constant), ..known.clone() });
    }
    if let Some((density, sd)) = batter {
        let text = format!("The batter has about {} g/ml (± {}).", fixed(density.get(), 3), fixed(*sd, 3));
        offer(ui, text, "Use it for the batter", Calibration { batter_g_per_ml: Some(*density), ..known.clone() });
    }
    if let Some((grams, sd, bars)) = wear {
        let sd = sd.map(|sd| format!(" ± {}", fixed(sd, 1))).unwrap_or_default();
        let bars = if *bars == 1 { "one bar".to_owned() } else { format!("{bars} bars") };
        ui.label(format!("Lost in ten washes: {}{sd} g, by {bars}.", fixed(*grams, 1)));
    }
    if !scores.is_empty() {
        Grid::new(page.id("own bars")).num_columns(4).spacing([18.0, 3.0]).show(ui, |ui| {
            for title in ["", "by the table", "by your own bars", "judgements"] {
                ui.label(RichText::new(title).small().color(Tokens::of(ui).quiet));
            }
            ui.end_row();
            for score in scores {
                ui.label(score.estimate.name());
                ui.label(fixed(score.table, score.estimate.decimals()));
                ui.label(format!("{} ± {}", fixed(score.own, 0), fixed(score.sd, 0)));
                ui.label(score.judgements.to_string());
                ui.end_row();
            }
        });
        small(
            ui,
            "By which bars of the open designs were judged to have more; it stands beside the table and never in its \
             place. Open the designs whose bars you want to be counted.",
        );
    }
}
