//! A folder of 5,000 designs as the Shelf view reads it: at first sight, at the second of this start and at the first of
//! the next, and a frame of the list. `cargo bench -p barwright --bench folder`.

use barwright::examples;
use barwright::folder::FolderList;
use barwright::keyboard;
use barwright::open::{Key, OpenDesign};
use barwright::shelf::ShelfKeeper;
use barwright::theme;
use barwright::views::shelf::{Scene, ShelfView};
use barwright_core::bench::label::Region;
use barwright_core::design::document::{self, Document};
use barwright_core::design::log::Log;
use barwright_core::units::{Measures, Superfat};
use barwright_core::{Design, Library};
use divan::Bencher;
use eframe::egui::{Context, Pos2, RawInput, Rect};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};

fn main() {
    divan::main();
}

const DESIGNS: usize = 5_000;

/// The folder and where summaries of it are kept.
struct Folder {
    temporary: tempfile::TempDir,
    library: Arc<Library>,
}

impl Folder {
    /// Examples with other names and superfats, last changed an hour ago.
    fn new() -> Self {
        let library = Arc::new(Library::embedded().expect("assets parse"));
        let temporary = tempfile::tempdir().expect("a temporary folder");
        std::fs::create_dir(temporary.path().join("designs")).expect("a folder");
        let examples = examples::ALL.map(|example| example.design(&library).expect("an example"));
        let hour_ago = SystemTime::now() - Duration::from_hours(1);
        for i in 0..DESIGNS {
            let mut design = examples[i % examples.len()].clone();
            design.name = format!("{} {i}", design.name);
            design.superfat = Superfat::nearest(3.0 + (i % 60) as f64 / 10.0);
            let path = temporary.path().join("designs").join(format!("{i:04}.barwright"));
            std::fs::write(&path, document::write(&design, &library).expect("a text")).expect("writes");
            let file = std::fs::File::options().write(true).open(&path).expect("opens");
            file.set_modified(hour_ago).expect("a time");
        }
        Self { temporary, library }
    }

    fn designs(&self) -> PathBuf {
        self.temporary.path().join("designs")
    }

    fn cache(&self) -> PathBuf {
        self.temporary.path().join("cache")
    }

    fn read(&self, cache: Option<&Path>) -> FolderList {
        let cache = cache.map(Path::to_owned);
        to_the_end(FolderList::read(self.designs(), cache, Arc::clone(&self.library), Context::default()))
    }
}

fn to_the_end(mut list: FolderList) -> FolderList {
    while list.is_reading() {
        std::thread::sleep(Duration::from_millis(1));
        list.poll();
    }
    assert_eq!(list.rows.len(), DESIGNS, "all are read");
    list
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn cold(bencher: Bencher<'_, '_>) {
    let folder = Folder::new();
    bencher.bench_local(|| folder.read(None));
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn warm_at_the_next_start(bencher: Bencher<'_, '_>) {
    let folder = Folder::new();
    drop(folder.read(Some(&folder.cache())));
    bencher.bench_local(|| folder.read(Some(&folder.cache())));
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn warm_at_a_second_look(bencher: Bencher<'_, '_>) {
    let folder = Folder::new();
    let mut list = Some(folder.read(None));
    bencher.bench_local(|| {
        let mut again = list.take().expect("a list");
        again.read_again(None, Arc::clone(&folder.library), Context::default());
        list = Some(to_the_end(again));
    });
}

#[divan::bench]
fn frame(bencher: Bencher<'_, '_>) {
    let folder = Folder::new();
    let ctx = Context::default();
    theme::install(&ctx);
    keyboard::install(&ctx);
    let mut view = ShelfView::keeping(Some(folder.cache()));
    drop(folder.read(Some(&folder.cache())));
    view.open(Some(folder.designs()), &folder.library, &ctx);
    let keeper = ShelfKeeper::open(None, &folder.library);
    let document = Document { design: Design::default(), log: Log::default() };
    let designs = [OpenDesign::new(Key(1), document, None, true)];
    let scene = Scene {
        keeper: &keeper,
        library: &folder.library,
        measures: Measures::METRIC,
        region: Region::EuUk,
        designs: &designs,
        open: &designs[0],
    };
    let mut frame = || {
        let rect = Rect::from_min_size(Pos2::ZERO, [1920.0, 1080.0].into());
        let input = RawInput { screen_rect: Some(rect), ..RawInput::default() };
        let output = ctx.run_ui(input, |ui| drop(view.show(ui, scene)));
        let primitives = ctx.tessellate(output.shapes.clone(), output.pixels_per_point).len();
        output.drop_without_applying_deltas();
        primitives
    };
    // Until it is read.
    for _ in 0..100 {
        frame();
        std::thread::sleep(Duration::from_millis(10));
    }
    bencher.bench_local(frame);
}
