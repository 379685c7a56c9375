//! CPU time of a whole frame at two sizes, with a long blend and with one of a great many fats, without a GPU: layout,
//! input, evaluation and tessellation. `cargo bench -p barwright`.

use barwright::examples::STARTER;
use barwright::keyboard;
use barwright::open::{Key, OpenDesign};
use barwright::shelf::ShelfKeeper;
use barwright::theme;
use barwright::views::compare::CompareView;
use barwright::views::design::{DesignView, Scene};
use barwright::views::find::FindView;
use barwright::views::make::MakeView;
use barwright_core::Library;
use barwright_core::bench::label::Region;
use barwright_core::design::document::Document;
use barwright_core::design::edit::Edit;
use barwright_core::library::material::MaterialId;
use barwright_core::units::{Measures, Share};
use divan::Bencher;
use eframe::egui::{Context, Pos2, RawInput, Rect, Ui};
use std::fmt;
use std::sync::Arc;
use std::time::Duration;

fn main() {
    divan::main();
}

/// How large the window is, and how many fats the blend has.
#[derive(Debug, Clone, Copy)]
struct Case {
    size: [f32; 2],
    fats: usize,
}

impl fmt::Display for Case {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { size: [width, height], fats } = self;
        write!(f, "{width}×{height}, {fats} fats")
    }
}

const SMALL: [f32; 2] = [1280.0, 720.0];
const LARGE: [f32; 2] = [1920.0, 1080.0];
const CASES: [Case; 4] = [
    Case { size: SMALL, fats: 10 },
    Case { size: SMALL, fats: 60 },
    Case { size: LARGE, fats: 10 },
    Case { size: LARGE, fats: 60 },
];

/// A window with nothing in it yet.
struct Window {
    ctx: Context,
    library: Arc<Library>,
    shelf: ShelfKeeper,
    case: Case,
}

impl Window {
    fn new(case: Case) -> Self {
        let library: Arc<Library> = Library::embedded().expect("assets parse").into();
        let ctx = Context::default();
        theme::install(&ctx);
        keyboard::install(&ctx);
        let shelf = ShelfKeeper::open(None, &library);
        Self { ctx, library, shelf, case }
    }

    /// The starter with as many fats as are asked for, or all that the library has.
    fn design(&self, key: u64) -> OpenDesign {
        let design = STARTER.design(&self.library).expect("it opens");
        let document = Document { design, ..Document::default() };
        let mut open = OpenDesign::new(Key(key), document, None, true);
        for fat in self.library.fats() {
            if open.design().blend.lines().len() == self.case.fats {
                break;
            }
            open.edit(Edit::AddFat(fat.clone(), Share::nearest(1.0)), None, &self.library);
        }
        open
    }

    fn scene(&self) -> Scene<'_> {
        Scene {
            library: &self.library,
            measures: Measures::METRIC,
            region: Region::EuUk,
            hints: true,
            shelf: &self.shelf,
            compared: None,
        }
    }

    /// Draws a frame with `content` in it.
    fn frame(&self, content: impl FnMut(&mut Ui)) -> usize {
        let screen = Rect::from_min_size(Pos2::ZERO, self.case.size.into());
        let input = RawInput { screen_rect: Some(screen), ..RawInput::default() };
        let mut output = self.ctx.run_ui(input, content);
        let shapes = std::mem::take(&mut output.shapes);
        let drawn = self.ctx.tessellate(shapes, output.pixels_per_point).len();
        output.drop_without_applying_deltas();
        drawn
    }

    fn design_frame(&self, view: &mut DesignView, open: &mut OpenDesign) -> usize {
        let scene = self.scene();
        self.frame(|ui| {
            let full = ui.available_width();
            let causes = view.causes(ui, open, &scene);
            open.carry_out(causes, &self.library);
            let effects = view.effects(ui, full, open, &scene);
            open.carry_out(effects, &self.library);
        })
    }
}

/// Measures `frame` once the first ones have settled sizes and filled the font atlas.
fn measure(bencher: Bencher<'_, '_>, mut frame: impl FnMut() -> usize) {
    for _ in 0..4 {
        frame();
    }
    bencher.bench_local(frame);
}

/// Moves the share of coconut oil a little with each call.
fn slide(open: &mut OpenDesign, library: &Library) {
    let coconut = MaterialId::new("coconut").expect("a good id");
    let share = open.design().blend.line(&coconut).map_or(0.0, |l| l.share.get());
    let next = if share > 60.0 { 10.0 } else { share + 0.5 };
    open.edit(Edit::Share(coconut, Share::nearest(next)), None, library);
}

#[divan::bench(args = CASES)]
fn design(bencher: Bencher<'_, '_>, case: Case) {
    let (window, mut view) = (Window::new(case), DesignView::default());
    let mut open = window.design(1);
    measure(bencher, || window.design_frame(&mut view, &mut open));
}

#[divan::bench(args = CASES)]
fn design_while_a_share_moves(bencher: Bencher<'_, '_>, case: Case) {
    let (window, mut view) = (Window::new(case), DesignView::default());
    let mut open = window.design(1);
    measure(bencher, || {
        slide(&mut open, &window.library);
        window.design_frame(&mut view, &mut open)
    });
}

#[divan::bench(args = CASES)]
fn compare_two(bencher: Bencher<'_, '_>, case: Case) {
    let (window, view) = (Window::new(case), CompareView::default());
    let designs = [window.design(1), window.design(2)];
    let keys = designs.each_ref().map(|d| d.key);
    measure(bencher, || window.frame(|ui| drop(view.show(ui, &designs, &keys, &window.library, Measures::METRIC))));
}

#[divan::bench(args = CASES)]
fn find(bencher: Bencher<'_, '_>, case: Case) {
    let (window, mut view) = (Window::new(case), FindView::default());
    let open = window.design(1);
    let mut frame = || window.frame(|ui| drop(view.show(ui, &open, &window.library, &window.scene())));
    // Until the search has ended.
    for _ in 0..300 {
        frame();
        std::thread::sleep(Duration::from_millis(10));
    }
    measure(bencher, frame);
}

#[divan::bench(args = CASES)]
fn make(bencher: Bencher<'_, '_>, case: Case) {
    let (window, mut view) = (Window::new(case), MakeView::default());
    let open = window.design(1);
    measure(bencher, || window.frame(|ui| drop(view.show(ui, &open, &window.library, Measures::METRIC))));
}
