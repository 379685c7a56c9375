//! Work on files, off the thread that draws: one piece after the other, in the order in which it was asked for.

use eframe::egui;
use std::collections::VecDeque;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

type Errand<T> = Box<dyn FnOnce() -> T + Send>;

/// How long the window waits for an errand before it draws on: most are done by then, and nothing flickers.
pub const PATIENCE: Duration = Duration::from_millis(60);

/// Errands on a thread of their own. What is asked for is done, also when this is dropped.
#[derive(Debug)]
pub struct Errands<T> {
    asked: Option<Sender<Errand<T>>>,
    results: Receiver<T>,
    worker: Option<JoinHandle<()>>,
    arrived: VecDeque<T>,
    /// How many were asked for and have given nothing yet.
    under_way: usize,
    patience: Duration,
}

impl<T: Send + 'static> Errands<T> {
    /// Waits for each as long as `patience`; `ctx` is woken when one is done later.
    pub fn start(patience: Duration, ctx: egui::Context) -> Self {
        let (errands, inbox) = mpsc::channel::<Errand<T>>();
        let (tell, results) = mpsc::channel();
        let work = move || {
            for errand in inbox {
                // Nobody listens any more once the window is closed.
                let _ = tell.send(errand());
                ctx.request_repaint();
            }
        };
        // If it cannot start, there is nobody at the other end, and errands are done where they are asked for.
        let worker = std::thread::Builder::new().name("files".into()).spawn(work).ok();
        Self { asked: Some(errands), results, worker, arrived: VecDeque::new(), under_way: 0, patience }
    }

    /// Asks for `errand`, and waits for it and those before it a little.
    pub fn ask(&mut self, errand: impl FnOnce() -> T + Send + 'static) {
        let refused = match &self.asked {
            Some(asked) => asked.send(Box::new(errand)).err().map(|refused| refused.0),
            None => None,
        };
        self.under_way += 1;
        if let Some(errand) = refused {
            self.arrived.push_back(errand());
        }
        let until = Instant::now() + self.patience;
        while self.under_way > self.arrived.len() {
            match self.results.recv_timeout(until.saturating_duration_since(Instant::now())) {
                Ok(result) => self.arrived.push_back(result),
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    /// What came of the next errand, if it is done.
    ///
    /// # Errors
    /// [`Broken`] if an errand panicked: those after it were not done.
    pub fn poll(&mut self) -> Result<Option<T>, Broken> {
        match self.results.try_recv() {
            Ok(result) => self.arrived.push_back(result),
            Err(mpsc::TryRecvError::Disconnected) if self.under_way > self.arrived.len() => {
                self.under_way = self.arrived.len();
                return Err(Broken);
            }
            Err(_) => {}
        }
        let next = self.arrived.pop_front();
        self.under_way -= usize::from(next.is_some());
        Ok(next)
    }

    /// Whether something is not done yet, or its result not taken.
    pub const fn is_busy(&self) -> bool {
        self.under_way > 0
    }
}

/// The thread for files ended before its time.
#[derive(Debug, thiserror::Error)]
#[error("work on files broke off; do it once more, and save, somewhere else if you can")]
pub struct Broken;

impl<T> Drop for Errands<T> {
    fn drop(&mut self) {
        self.asked = None;
        if let Some(worker) = self.worker.take() {
            // One that panicked has told so.
            let _ = worker.join();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::{Arc, Mutex};

    #[test]
    fn errands_are_done_in_order_and_never_two_at_once() {
        let done = Arc::new(Mutex::new(Vec::new()));
        let mut errands = Errands::start(Duration::ZERO, egui::Context::default());
        for n in 0..20 {
            let done = Arc::clone(&done);
            errands.ask(move || {
                let mut done = done.try_lock().expect("nobody else is at work");
                // The first ones take longer than the last ones.
                std::thread::sleep(Duration::from_micros(20 * (20 - n)));
                done.push(n);
                n
            });
        }
        let mut told = Vec::new();
        while errands.is_busy() {
            told.extend(errands.poll().expect("none breaks off"));
        }
        let all: Vec<u64> = (0..20).collect();
        assert_eq!((&told, &*done.lock().expect("whole")), (&all, &all));
    }

    #[test]
    fn with_patience_a_result_is_there_at_once_and_what_was_asked_for_is_done_at_the_end() {
        let mut errands = Errands::start(Duration::from_mins(1), egui::Context::default());
        errands.ask(|| 1);
        assert_eq!(errands.poll().expect("well"), Some(1));
        let (sender, receiver) = mpsc::channel();
        let mut errands = Errands::start(Duration::ZERO, egui::Context::default());
        errands.ask(move || {
            std::thread::sleep(Duration::from_millis(20));
            sender.send(2)
        });
        drop(errands);
        assert_eq!(receiver.try_recv(), Ok(2), "the end waits for it");
    }

    #[test]
    fn one_that_breaks_off_is_told_and_the_next_ones_are_done_in_place() {
        let mut errands = Errands::start(Duration::from_mins(1), egui::Context::default());
        errands.ask(|| panic!("told to"));
        assert!(errands.poll().is_err());
        assert!(!errands.is_busy(), "nobody waits for it for ever");
        errands.ask(|| 3);
        assert_eq!(errands.poll().expect("well"), Some(3));
    }
}
