//! Searches off the thread of the window: with progress, the best so far, and an end at any time.

use barwright_core::Library;
use barwright_core::find::{BlendSearch, FindError, Outcome, Wanted};
use eframe::egui;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

/// Nodes of the search tree between two looks at whether it is still wanted: a few milliseconds.
const SLICE: usize = 100;
/// A search that takes longer ends with the best so far.
const LONGEST: Duration = Duration::from_mins(2);
/// Between two tellings of the best so far.
const TELL: Duration = Duration::from_millis(80);

/// A search that goes on elsewhere; it ends when this is dropped.
#[derive(Debug)]
pub struct SearchJob {
    told: Receiver<Result<Outcome, FindError>>,
    stop: Arc<AtomicBool>,
    /// What was told last.
    pub latest: Option<Result<Outcome, FindError>>,
    /// Whether nothing more will be told.
    pub ended: bool,
    began: Instant,
    /// How long it took, once it has ended.
    pub took: Option<Duration>,
}

impl SearchJob {
    /// Begins to look for `wanted`; `ctx` is woken when there is something to show.
    pub fn start(wanted: Wanted, library: Arc<Library>, ctx: egui::Context) -> Self {
        let (tell, told) = channel();
        let stop = Arc::new(AtomicBool::new(false));
        let stopped = Arc::clone(&stop);
        thread::spawn(move || {
            search(wanted, &library, &stopped, &tell, &ctx);
            drop(tell);
            ctx.request_repaint();
        });
        Self { told, stop, latest: None, ended: false, began: Instant::now(), took: None }
    }

    /// Takes what was told since the last time; whether that was anything.
    pub fn poll(&mut self) -> bool {
        let mut is_news = false;
        loop {
            match self.told.try_recv() {
                Ok(outcome) => {
                    self.latest = Some(outcome);
                    is_news = true;
                }
                Err(std::sync::mpsc::TryRecvError::Empty) => return is_news,
                Err(std::sync::mpsc::TryRecvError::Disconnected) => {
                    self.ended = true;
                    self.took.get_or_insert_with(|| self.began.elapsed());
                    return is_news;
                }
            }
        }
    }

    /// The search as it stands; `None` before anything was told, and if there is none.
    pub fn outcome(&self) -> Option<&Outcome> {
        self.latest.as_ref()?.as_ref().ok()
    }

    /// Ends the search; what was found stays.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

impl Drop for SearchJob {
    fn drop(&mut self) {
        self.stop();
    }
}

fn search(
    wanted: Wanted,
    library: &Library,
    stopped: &AtomicBool,
    tell: &Sender<Result<Outcome, FindError>>,
    ctx: &egui::Context,
) {
    // Nobody listens any more once the window has gone on to something else.
    let say = |outcome| tell.send(outcome).is_ok();
    let mut search = match BlendSearch::start(wanted, library) {
        Ok(search) => search,
        Err(error) => {
            say(Err(error));
            return;
        }
    };
    let began = Instant::now();
    let mut last = began;
    loop {
        let done = search.step(SLICE);
        let stop = stopped.load(Ordering::Relaxed) || began.elapsed() >= LONGEST;
        if done || stop || last.elapsed() >= TELL {
            if !say(Ok(search.outcome())) || done || stop {
                return;
            }
            ctx.request_repaint();
            last = Instant::now();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::examples;
    use barwright_core::evaluate;

    fn wanted(library: &Library) -> Wanted {
        let design = examples::STARTER.design(library).expect("the starter");
        Wanted::of(&design, &evaluate(&design, library), library)
    }

    fn to_the_end(mut job: SearchJob) -> SearchJob {
        while !job.ended {
            thread::sleep(Duration::from_millis(2));
            job.poll();
        }
        job
    }

    #[test]
    fn a_search_tells_what_a_search_in_place_finds() {
        let library = Arc::new(Library::embedded().expect("assets parse"));
        let job = to_the_end(SearchJob::start(wanted(&library), Arc::clone(&library), egui::Context::default()));
        let mut here = BlendSearch::start(wanted(&library), &library).expect("fats");
        while !here.step(SLICE) {}
        assert_eq!(job.latest, Some(Ok(here.outcome())));
    }

    #[test]
    fn a_search_that_is_stopped_keeps_its_best_and_claims_no_proof() {
        let library = Arc::new(Library::embedded().expect("assets parse"));
        // Far more than can be looked at in a test.
        let wanted = Wanted { at_most: Some(12), results: 50, ..wanted(&library) };
        let job = SearchJob::start(wanted, library, egui::Context::default());
        job.stop();
        let job = to_the_end(job);
        let outcome = job.latest.clone().expect("told").expect("a search");
        assert!(!outcome.done && !outcome.proven, "stopped: {outcome:?}");
    }
}
