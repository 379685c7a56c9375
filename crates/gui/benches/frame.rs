//! CPU time of a whole frame at 1280×720, without a GPU: layout, input, evaluation and
//! tessellation. `cargo bench -p barwright`.

use barwright::examples::{ALL, STARTER};
use barwright::open::{Key, OpenDesign};
use barwright::theme;
use barwright::views::compare::CompareView;
use barwright::views::design::{DesignView, Scene};
use barwright::views::find::FindView;
use barwright::views::make::MakeView;
use barwright_core::Library;
use barwright_core::design::edit::Edit;
use barwright_core::library::material::MaterialId;
use barwright_core::units::{Measures, Share};
use divan::Bencher;
use eframe::egui::{Context, Pos2, RawInput, Rect, Ui, vec2};
use std::sync::Arc;
use std::time::Duration;

fn main() {
    divan::main();
}

/// A window with nothing in it yet.
struct Window {
    ctx: Context,
    library: Arc<Library>,
}

impl Window {
    fn new() -> Self {
        let library = Library::embedded().expect("assets parse").into();
        let ctx = Context::default();
        theme::install(&ctx);
        Self { ctx, library }
    }

    /// A design of ten fats: a long blend.
    fn design(&self, key: u64) -> OpenDesign {
        let mut open = OpenDesign::new(Key(key), STARTER.design(&self.library).expect("it opens"), None, true);
        for id in ["shea", "lard", "canola", "palm", "rice_bran", "almond"] {
            let fat = self.library.fat(id).expect("in the library").clone();
            open.edit(Edit::AddFat(fat, Share::nearest(5.0)), None, &self.library);
        }
        open
    }

    fn example(&self, key: u64, index: usize) -> OpenDesign {
        OpenDesign::new(Key(key), ALL[index].design(&self.library).expect("it opens"), None, true)
    }

    fn scene(&self) -> Scene<'_> {
        Scene { library: &self.library, measures: Measures::METRIC, hints: true, compared: None }
    }

    /// Draws a frame with `content` in it.
    fn frame(&self, content: impl FnMut(&mut Ui)) -> usize {
        let input =
            RawInput { screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 720.0))), ..RawInput::default() };
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

#[divan::bench]
fn design(bencher: Bencher<'_, '_>) {
    let (window, mut view) = (Window::new(), DesignView::default());
    let mut open = window.design(1);
    measure(bencher, || window.design_frame(&mut view, &mut open));
}

#[divan::bench]
fn design_while_a_share_moves(bencher: Bencher<'_, '_>) {
    let (window, mut view) = (Window::new(), DesignView::default());
    let mut open = window.design(1);
    measure(bencher, || {
        slide(&mut open, &window.library);
        window.design_frame(&mut view, &mut open)
    });
}

#[divan::bench]
fn compare_two(bencher: Bencher<'_, '_>) {
    let (window, view) = (Window::new(), CompareView::default());
    let designs = [window.example(1, 0), window.example(2, 1)];
    let keys = designs.each_ref().map(|d| d.key);
    measure(bencher, || window.frame(|ui| drop(view.show(ui, &designs, &keys, &window.library, Measures::METRIC))));
}

#[divan::bench]
fn find(bencher: Bencher<'_, '_>) {
    let (window, mut view) = (Window::new(), FindView::default());
    let open = window.example(1, 0);
    let mut frame = || window.frame(|ui| drop(view.show(ui, &open, &window.library, &window.scene())));
    // Until the search has ended.
    for _ in 0..300 {
        frame();
        std::thread::sleep(Duration::from_millis(10));
    }
    measure(bencher, frame);
}

#[divan::bench]
fn make(bencher: Bencher<'_, '_>) {
    let (window, mut view) = (Window::new(), MakeView::default());
    let open = window.example(1, 0);
    measure(bencher, || window.frame(|ui| drop(view.show(ui, &open, &window.library, Measures::METRIC))));
}
