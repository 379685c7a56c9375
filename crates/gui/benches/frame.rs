//! CPU time of a whole frame of the Design view at 1280×720, without a GPU: layout, input,
//! evaluation and tessellation. `cargo bench -p barwright`.

use barwright::examples::STARTER;
use barwright::open::{Key, OpenDesign};
use barwright::theme;
use barwright::views::design::{DesignView, Scene};
use barwright_core::Library;
use barwright_core::design::edit::Edit;
use barwright_core::library::material::MaterialId;
use barwright_core::units::{MassUnit, Share};
use eframe::egui::{Context, Pos2, RawInput, Rect, vec2};

fn main() {
    divan::main();
}

/// A window with the Design view and nothing else.
struct Window {
    ctx: Context,
    library: Library,
    open: OpenDesign,
    view: DesignView,
}

impl Window {
    fn new() -> Self {
        let library = Library::embedded().expect("assets parse");
        let mut open = OpenDesign::new(Key(1), STARTER.design(&library).expect("the starter opens"), None, true);
        // Ten fats: a long blend.
        for id in ["shea", "lard", "canola", "palm", "rice_bran", "almond"] {
            let fat = library.fat(id).expect("in the library").clone();
            open.edit(Edit::AddFat(fat, Share::nearest(5.0)), None, &library);
        }
        let ctx = Context::default();
        theme::install(&ctx);
        let mut window = Self { ctx, library, open, view: DesignView::default() };
        // The first frames settle sizes and fill the font atlas.
        for _ in 0..4 {
            window.frame();
        }
        window
    }

    fn frame(&mut self) -> usize {
        let input =
            RawInput { screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 720.0))), ..RawInput::default() };
        let Self { ctx, library, open, view } = self;
        let mut output = ctx.run_ui(input, |ui| {
            let scene = Scene { library, unit: MassUnit::Gram, hints: true, compared: None };
            let full = ui.available_width();
            let causes = view.causes(ui, open, &scene);
            open.carry_out(causes, library);
            let effects = view.effects(ui, full, open, &scene);
            open.carry_out(effects, library);
        });
        let shapes = std::mem::take(&mut output.shapes);
        let drawn = ctx.tessellate(shapes, output.pixels_per_point).len();
        output.drop_without_applying_deltas();
        drawn
    }
}

#[divan::bench]
fn still(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::new();
    bencher.bench_local(|| window.frame());
}

#[divan::bench]
fn while_a_share_moves(bencher: divan::Bencher<'_, '_>) {
    let mut window = Window::new();
    let coconut = MaterialId::new("coconut").expect("a good id");
    let mut share = 10.0;
    bencher.bench_local(|| {
        share = if share > 60.0 { 10.0 } else { share + 0.5 };
        let Window { open, library, .. } = &mut window;
        open.edit(Edit::Share(coconut.clone(), Share::nearest(share)), None, library);
        window.frame()
    });
}
