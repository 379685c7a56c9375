//! Price against likeness, as a curve to pick from.

use super::FindView;
use super::ask::{AimChoice, Ask};
use crate::cache::Kept;
use crate::open::{OpenDesign, State};
use crate::theme::Tokens;
use crate::views::design::Scene;
use crate::widgets::{heading, name, small, still_plot};
use barwright_core::find::{FindError, Found, Wanted, differs, trade_off};
use barwright_core::quantities::{OfFound, Sought};
use barwright_core::{Design, Library};
use eframe::egui::Ui;
use egui_plot::{Line, PlotPoint, Points};
use std::rc::Rc;

/// How many points the curve has.
const POINTS: usize = 24;
/// How near a click must be to a point, in points of the screen.
const NEAR: f32 = 20.0;

/// The curve of what was asked for last.
pub type Curve = Kept<(State, Ask, u64), Rc<Drawn>>;

/// A curve, or why there is none.
#[derive(Debug)]
pub struct Drawn {
    wanted: Rc<Wanted>,
    spots: Result<Vec<Spot>, FindError>,
}

/// A blend that was picked on the curve.
#[derive(Debug)]
pub struct Picked {
    /// The blend.
    pub found: Found,
    /// What it is the best for.
    pub wanted: Rc<Wanted>,
}

/// A blend on the curve.
#[derive(Debug)]
struct Spot {
    /// Percent that differs from the aim.
    differs: f64,
    price: f64,
    found: Found,
}

impl Drawn {
    fn of(wanted: Wanted, design: &Design, library: &Library) -> Self {
        let spot = |found: Found| {
            let price = found.price_per_kg?;
            Some(Spot { differs: differs(&found.blend, &wanted, design, library)?, price, found })
        };
        let spots = trade_off(&wanted, library, POINTS).map(|all| all.into_iter().filter_map(spot).collect());
        Self { spots, wanted: Rc::new(wanted) }
    }
}

/// Draws the curve.
pub fn show(ui: &mut Ui, view: &mut FindView, open: &OpenDesign, scene: &Scene<'_>) {
    let design = open.design();
    // The price itself has no likeness: then it is likeness to this design.
    let ask = match view.ask.aim {
        AimChoice::Cheapest => Ask { aim: AimChoice::ThisDesign, ..view.ask.clone() },
        _ => view.ask.clone(),
    };
    let (shelf, revision, priced) = (&view.shelf.0, view.shelf.1, view.priced(open));
    let drawn = view.curve.get((open.state(), ask.clone(), revision), || {
        let wanted = ask.wanted(&priced, &open.evaluation(scene.library), shelf, scene.library);
        Rc::new(Drawn::of(wanted, design, scene.library))
    });
    heading(ui, "What a saving costs in likeness");
    let spots = match &drawn.spots {
        Ok(spots) if spots.is_empty() => {
            ui.label("The ranges that must hold cannot be met with the fats that have a price.");
            return;
        }
        Ok(spots) => spots,
        Err(error) => {
            ui.add(eframe::egui::Label::new(crate::views::design::bar::capital(&format!("{error}."))).wrap());
            small(ui, "Prices are typed under Fats and prices.");
            return;
        }
    };
    let of = Sought { wanted: &drawn.wanted, design, library: scene.library };
    if let Some(found) = plot(ui, spots, of, view.picked.as_ref().map(|picked| &picked.found)) {
        view.pick(Some(Picked { found, wanted: Rc::clone(&drawn.wanted) }));
    }
    small(
        ui,
        "Each point is the best blend at its price, with shares of any size and any number of the fats that have a price. Click a point to look at its blend.",
    );
}

fn plot(ui: &mut Ui, spots: &[Spot], of: Sought<'_>, picked: Option<&Found>) -> Option<Found> {
    let tokens = Tokens::of(ui);
    let ends = |of: fn(&Spot) -> f64| {
        let (low, high) =
            spots.iter().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        let room = ((high - low) * 0.08).max(0.05 * high.abs()).max(0.01);
        (low - room, high + room)
    };
    let ((left, right), (bottom, top)) = (ends(|s| s.differs), ends(|s| s.price));
    let points: Vec<[f64; 2]> = spots.iter().map(|s| [s.differs, s.price]).collect();
    let shown = still_plot(ui, "price against likeness")
        .height((ui.clip_rect().bottom() - ui.cursor().top() - 72.0).clamp(200.0, 400.0))
        .x_axis_label(format!("{}, {}", OfFound::Differs.name(of), OfFound::Differs.unit(of)))
        .y_axis_label(OfFound::PricePerKg.unit(of))
        .default_x_bounds(left, right)
        .default_y_bounds(bottom, top)
        .show(ui, |plot| {
            plot.set_plot_bounds_x(left..=right);
            plot.set_plot_bounds_y(bottom..=top);
            plot.line(Line::new("price", points.clone()).color(tokens.accent).width(1.5));
            plot.points(Points::new("blends", points.clone()).color(tokens.accent).radius(4.0));
            if let Some(spot) = spots.iter().find(|s| Some(&s.found) == picked) {
                plot.points(Points::new("picked", vec![[spot.differs, spot.price]]).color(tokens.ink).radius(7.0));
            }
            let clicked = plot.response().clicked();
            plot.response().interact_pointer_pos().filter(|_| clicked).and_then(|at| {
                let distance = |s: &Spot| plot.screen_from_plot(PlotPoint::new(s.differs, s.price)).distance(at);
                let nearest = spots.iter().min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
                (distance(nearest) <= NEAR).then(|| nearest.found.clone())
            })
        });
    let (first, last) = (spots.first()?, spots.last()?);
    let says = format!(
        "Price against likeness: from {} at {} to {} at {}",
        OfFound::PricePerKg.shown(first.price, of),
        OfFound::Differs.shown(first.differs, of),
        OfFound::PricePerKg.shown(last.price, of),
        OfFound::Differs.shown(last.differs, of)
    );
    name(ui, &shown.response, &says);
    shown.inner
}
