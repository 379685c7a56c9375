//! A form to match the colour of a bar that was made: by two sliders, or by a photograph with white paper beside it.

use super::{Context, Form, Refused};
use crate::clock;
use crate::open::OpenDesign;
use crate::pictures::photograph::Photograph;
use crate::pictures::{self, PictureError};
use crate::shelf::ShelfKeeper;
use crate::theme::Tokens;
use crate::views::Wanted;
use crate::views::design::colour::{no_swatch, swatch};
use crate::widgets::day_field::day_field;
use crate::widgets::number_field::{NumberField, complain};
use crate::widgets::{arrows, name, slider, small};
use barwright_core::Library;
use barwright_core::bench::colour as words;
use barwright_core::bench::day;
use barwright_core::bench::from_shelf::that_coloured;
use barwright_core::bench::label::Region;
use barwright_core::chemistry::colour::forecast::Seen;
use barwright_core::chemistry::colour::optics::Lab;
use barwright_core::chemistry::colour::photograph::{Light, beside_paper};
use barwright_core::chemistry::colour::sought::{REACH, Sought, Way};
use barwright_core::design::Calibration;
use barwright_core::design::edit::Edit;
use barwright_core::design::log::{BatchCode, Happened, LotId};
use barwright_core::design::own_bar::{Again, ColourSeen, OwnBar, with, without};
use barwright_core::design::shelf::{Lot, Shelf, ShelfEdit};
use barwright_core::design::words::Day;
use barwright_core::evaluate::evaluate;
use barwright_core::render::{plain_line, shelf};
use eframe::egui::{
    self, Color32, ColorImage, ComboBox, EventFilter, Grid, Id, Key, Pos2, Rect, RichText, Sense, Stroke,
    TextureHandle, TextureOptions, Ui, pos2, vec2,
};
use std::fmt;
use std::path::PathBuf;
use std::sync::Arc;

/// So many of the latest batches are offered.
const BATCHES: usize = 12;
/// The patch that is to look like the bar, points.
const PATCH: [f32; 2] = [436.0, 92.0];
/// The height of the patch beside a photograph, which needs the room, points.
const LOW_PATCH: f32 = 46.0;
/// The width of a photograph, and between which heights it is shown, points.
const SHOWN: (f32, [f32; 2]) = (436.0, [110.0, 230.0]);
/// What the rest of the form takes at most, points.
const REST: f32 = 450.0;
/// How far an arrow key moves the cross-hair, as a part of the photograph.
const STEP: f32 = 0.02;

/// A bar that can be matched.
#[derive(Debug)]
struct Bar {
    title: String,
    sought: Sought,
    batch: Option<BatchCode>,
    /// Its pictures, with their days.
    pictures: Vec<(PathBuf, Day)>,
    lots: Vec<Coloured>,
    /// What it looked like when it was seen before.
    before: Option<OwnBar>,
}

/// A lot of the shelf that may have coloured it.
#[derive(Debug)]
struct Coloured {
    lot: LotId,
    words: String,
    /// Whether the colour is kept with it.
    keeps: bool,
}

/// What the colour tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tells {
    /// How strongly its colourants colour.
    Strength,
    /// How it paled since it was seen before.
    Paling,
}

/// What was chosen in a photograph.
struct Taken {
    photograph: Photograph,
    texture: Option<TextureHandle>,
    /// Where the cross-hair is, as parts of the width and the height.
    at: [f32; 2],
    paper: Option<([f32; 2], Light)>,
    bar: Option<([f32; 2], Light)>,
}

impl fmt::Debug for Taken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Taken").field("at", &self.at).finish_non_exhaustive()
    }
}

/// The form for an own bar.
#[derive(Debug)]
pub struct OwnBarForm {
    bars: Vec<Bar>,
    chosen: usize,
    /// Where the sliders stand.
    sliders: [f64; 3],
    /// The first of them, as it was drawn.
    first: Option<Id>,
    taken: Option<Taken>,
    failed: Option<String>,
    asks: Option<Wanted>,
    tells: Tells,
    /// When it looked like this.
    day: Day,
    region: Region,
    /// What was taken, to be kept on the shelf as well.
    seen: Option<OwnBar>,
}

impl OwnBarForm {
    /// The form for the design of `open` and the batches made of it, with days as `region` has them; `None` if the colour
    /// of none tells anything.
    pub fn of(open: &OpenDesign, library: &Library, keeper: &ShelfKeeper, region: Region) -> Option<Self> {
        let shelf = Some(keeper.shelf()).filter(|_| keeper.refusal().is_none());
        let known = &open.design().calibration.own_bars;
        let bar = |title: String, sought: Sought, batch: Option<BatchCode>, pictures: Vec<(PathBuf, Day)>| {
            let is_it = |bar: &&OwnBar| bar.batch == batch && bar.of.differs(&sought.makeup).is_none();
            let before = known.iter().rev().find(is_it).filter(|bar| !bar.of.is_plain()).cloned();
            let coloured = |shelf: &Arc<Shelf>| -> Vec<Coloured> {
                let lots = that_coloured(shelf, &sought.makeup, batch, library);
                lots.into_iter().map(|lot| Coloured::of(lot, (shelf, library), batch, before.as_ref())).collect()
            };
            let lots = shelf.map_or_else(Vec::new, coloured);
            Bar { title, sought, batch, pictures, lots, before }
        };
        let evaluation = open.evaluation(library);
        let now = words::forecast(open.design(), &evaluation, library).and_then(|forecast| Sought::of(&forecast));
        let now = now.map(|sought| bar("A bar of this design as it is now".into(), sought, None, Vec::new()));
        let made = open.log().batches().iter().rev().take(BATCHES).filter_map(|batch| {
            let evaluation = evaluate(&batch.made, library);
            let sought = Sought::of(&words::forecast(&batch.made, &evaluation, library)?)?;
            let pictures = batch.standing().into_iter().filter_map(|(_, entry)| match &entry.what {
                Happened::Pictured(picture) => Some((pictures::path(open.path.as_deref()?, &picture.file), entry.on)),
                _ => None,
            });
            let pictures = pictures.filter(|(path, _)| path.is_file()).collect();
            Some(bar(format!("Batch {}", batch.code), sought, Some(batch.code), pictures))
        });
        let bars: Vec<Bar> = now.into_iter().chain(made).collect();
        let is_some = !bars.is_empty();
        let mut form = Self {
            bars,
            chosen: 0,
            sliders: [0.0; 3],
            first: None,
            taken: None,
            failed: None,
            asks: None,
            tells: Tells::Strength,
            day: Day(clock::today()),
            region,
            seen: None,
        };
        is_some.then(|| {
            form.guess();
            form
        })
    }

    /// Takes the look for what it most likely tells.
    fn guess(&mut self) {
        let Bar { before, batch, .. } = &self.bars[self.chosen];
        let is_same = before.as_ref().is_some_and(|bar| bar.has_likely_paled(*batch, self.day));
        self.tells = if is_same { Tells::Paling } else { Tells::Strength };
    }

    /// What is said with the colour: when it was that, what it tells of a bar seen before, and the lots that keep it.
    fn said(&mut self, ui: &mut Ui) {
        let id = Id::unique("day of the own bar");
        let now = self.day;
        ui.horizontal(|ui| {
            ui.label("It looked like this on");
            let called = ("Day of the look", "Choose the day of the look");
            if let Some(day) = day_field(ui, id, called, now.0, self.region) {
                self.day = Day(day);
            }
        });
        NumberField::complaint(ui, id);
        if self.day != now {
            self.guess();
        }
        let bar = &mut self.bars[self.chosen];
        if let Some(before) = &bar.before {
            let seen = Seen::of(before).words();
            ui.radio_value(&mut self.tells, Tells::Paling, format!("It is {seen}, seen another time: how it pales"));
            ui.radio_value(&mut self.tells, Tells::Strength, "How strongly its colourants colour, in place of that");
        }
        for coloured in &mut bar.lots {
            ui.checkbox(&mut coloured.keeps, format!("Keep it with {} too", coloured.words));
        }
        let place = if bar.lots.iter().any(|lot| lot.keeps) {
            "in this design, and is offered to others that use the lot next"
        } else {
            "in this design"
        };
        small(ui, format!("It counts for the same colourants, fats and warmth after pouring, {place}."));
    }

    /// The colour that was found, or why there is none yet.
    fn colour(&self) -> Result<Lab, String> {
        match &self.taken {
            None => Ok(self.bars[self.chosen].sought.colour(self.sliders)),
            Some(Taken { paper: Some((_, paper)), bar: Some((_, bar)), .. }) => {
                beside_paper(*bar, *paper).map_err(|e| e.to_string())
            }
            Some(Taken { paper: None, .. }) => Err("say where the white paper is".into()),
            Some(_) => Err("say where the bar is".into()),
        }
    }

    fn put(&mut self, photograph: Result<Photograph, PictureError>) {
        (self.taken, self.failed) = match photograph {
            Ok(photograph) => {
                let at = [0.5, 0.5];
                (Some(Taken { photograph, texture: None, at, paper: None, bar: None }), None)
            }
            Err(error) => (None, Some(error.to_string())),
        };
    }

    fn sliders(&mut self, ui: &mut Ui) {
        let ends: &[[&str; 2]] = match self.bars[self.chosen].sought.way {
            Way::Strength => &[["paler", "deeper"], ["yellower", "redder"]],
            Way::Plain => &[["lighter", "darker"], ["whiter", "yellower"]],
            Way::Free => &[["lighter", "darker"], ["greener", "redder"], ["bluer", "yellower"]],
        };
        let first = &mut self.first;
        Grid::new("sliders of the own bar").num_columns(3).spacing([10.0, 6.0]).show(ui, |ui| {
            for ([from, to], value) in ends.iter().zip(&mut self.sliders) {
                small(ui, *from);
                let slider = slider(ui, true, 300.0, value, -REACH..=REACH, Some(0.25));
                name(ui, &slider, &format!("From {from} to {to}"));
                first.get_or_insert(slider.id);
                small(ui, *to);
                ui.end_row();
            }
        });
        small(ui, "Move them until the patch looks like the bar, held beside it in daylight.");
    }
}

impl Form for OwnBarForm {
    fn title(&self) -> String {
        "Match a bar I made".into()
    }

    fn take(&self) -> &'static str {
        "It looks like this"
    }

    fn first(&self) -> Id {
        self.first.unwrap_or_else(|| Id::unique("first of the own bar"))
    }

    fn width(&self) -> f32 {
        PATCH[0]
    }

    fn wants_photograph(&mut self) -> Option<Wanted> {
        self.asks.take()
    }

    fn take_photograph(&mut self, photograph: Result<Photograph, PictureError>) {
        self.put(photograph);
    }

    fn fields(&mut self, ui: &mut Ui, _: &Context<'_>) -> Option<Edit> {
        if self.bars.len() > 1 {
            let now = self.bars[self.chosen].title.clone();
            let mut changed = false;
            let combo = ComboBox::from_id_salt("which own bar").selected_text(now).width(ui.available_width());
            let shown = combo.show_ui(ui, |ui| {
                for (i, bar) in self.bars.iter().enumerate() {
                    if ui.selectable_value(&mut self.chosen, i, &bar.title).clicked() {
                        (self.sliders, changed) = ([0.0; 3], true);
                    }
                }
            });
            name(ui, &shown.response, "Which bar");
            if changed {
                self.guess();
            }
        } else {
            ui.label(&self.bars[self.chosen].title);
        }
        ui.add_space(4.0);
        let patch = [PATCH[0], if self.taken.is_some() { LOW_PATCH } else { PATCH[1] }];
        match self.colour() {
            Ok(colour) => swatch(ui, colour, patch, "as matched"),
            // What is below keeps its place.
            Err(_) => no_swatch(ui, patch, "not matched yet"),
        }
        if let Some(taken) = &mut self.taken {
            photograph(ui, taken);
        } else {
            self.sliders(ui);
        }
        if let Some(why) = &self.failed {
            complain(ui, why);
        }
        ui.add_space(4.0);
        ui.horizontal_wrapped(|ui| {
            if self.taken.is_some() {
                if ui.button("By sliders instead").clicked() {
                    self.taken = None;
                }
            } else if ui.button("From a photograph…").clicked() {
                (self.asks, self.failed) = (Some(Wanted::Chosen), None);
            }
            let mut chosen = None;
            for (path, day) in &self.bars[self.chosen].pictures {
                let called = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
                if ui.button(&called).on_hover_text(format!("Of {}", day::shown(day.0))).clicked() {
                    chosen = Some((path.clone(), *day));
                }
            }
            if let Some((path, day)) = chosen {
                self.asks = Some(Wanted::At(path));
                self.day = day;
                self.guess();
            }
        });
        self.said(ui);
        None
    }

    fn on_shelf(&self) -> Vec<ShelfEdit> {
        let Some(seen) = &self.seen else { return Vec::new() };
        let kept = self.bars[self.chosen].lots.iter().filter(|coloured| coloured.keeps);
        kept.map(|coloured| ShelfEdit::Looked(coloured.lot, Box::new(seen.clone()))).collect()
    }

    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, Refused> {
        let colour = self.colour().map_err(Refused::from)?;
        let colour = ColourSeen::new([colour.l, colour.a, colour.b]).map_err(|e| Refused::from(e.to_string()))?;
        let Bar { sought, batch, before, .. } = &self.bars[self.chosen];
        let day = self.day;
        if day > Day(clock::today()) {
            return Err(Refused::from("that day is still to come".to_owned()));
        }
        let known = context.design.calibration.clone();
        let bar = match before {
            Some(before) if self.tells == Tells::Paling => {
                let seen = before.seen_also(Again { colour, day });
                seen.ok_or_else(|| Refused::from("both looks are of one day: say when it looked like this".to_owned()))?
            }
            _ => OwnBar { colour, day, batch: *batch, of: sought.makeup.clone(), again: None },
        };
        let own_bars = with(&known.own_bars, bar.clone()).into();
        self.seen = Some(bar);
        Ok(Edit::Calibration(Calibration { own_bars, ..known }))
    }
}

impl Coloured {
    /// `lot`, which keeps the colour if its batch took it, or if it holds what was seen `before`.
    fn of(lot: &Lot, (shelf, library): (&Shelf, &Library), batch: Option<BatchCode>, before: Option<&OwnBar>) -> Self {
        let came = lot.produce.as_ref().and_then(|p| p.harvested).or(lot.bought);
        let of_day = came.map_or_else(String::new, |day| format!(", {}", day::shown(day.0)));
        let words = format!("{}, {}{of_day},", lot.id, plain_line(&shelf::name(&lot.stuff, shelf, library)));
        let took = batch.and_then(|code| shelf.batch(code)).is_some();
        let holds = before.is_some_and(|bar| lot.own_bars.contains(bar));
        Self { lot: lot.id, words, keeps: took || holds }
    }
}

/// The design without the own bar that was `seen`.
pub fn forgotten(known: &Calibration, seen: Seen) -> Edit {
    let own_bars = without(&known.own_bars, seen.day, seen.batch).into();
    Edit::Calibration(Calibration { own_bars, ..known.clone() })
}

/// Draws the photograph, in which the pointer or the arrow keys say where the paper and the bar are.
fn photograph(ui: &mut Ui, taken: &mut Taken) {
    let asks = match (&taken.paper, &taken.bar) {
        (None, _) => "Click the white paper beside the bar, where it is not burnt out.",
        (Some(_), None) => "Now click the bar.",
        (Some(_), Some(_)) => "Both are there. Click the bar again where another place is more like it.",
    };
    ui.label(RichText::new(asks).strong());
    let Taken { photograph, texture, .. } = taken;
    let texture = texture.get_or_insert_with(|| {
        let image = ColorImage::from_rgb(photograph.size, &photograph.points);
        ui.ctx().load_texture("photograph of a bar", image, TextureOptions::LINEAR)
    });
    let natural = texture.size_vec2();
    let (width, [least, most]) = SHOWN;
    let height = (ui.ctx().content_rect().height() - REST).clamp(least, most);
    let scale = (width / natural.x).min(height / natural.y);
    let (rect, response) = ui.allocate_exact_size(natural * scale, Sense::click());
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    ui.painter().image(texture.id(), rect, whole, Color32::WHITE);
    name(ui, &response, "The photograph; the arrow keys move the cross-hair, the buttons below take its place");
    let by_pointer = response.interact_pointer_pos().filter(|_| response.clicked_by(egui::PointerButton::Primary));
    if let Some(pos) = by_pointer {
        let part = (pos - rect.min) / rect.size();
        taken.at = [part.x.clamp(0.0, 1.0), part.y.clamp(0.0, 1.0)];
        response.request_focus();
    }
    if response.has_focus() {
        let arrows_stay = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, arrows_stay));
        let (right, down) =
            ui.input(|i| (arrows(i, Key::ArrowRight, Key::ArrowLeft), arrows(i, Key::ArrowDown, Key::ArrowUp)));
        #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
        let moved = |at: f32, steps: f64| (at + STEP * steps as f32).clamp(0.0, 1.0);
        taken.at = [moved(taken.at[0], right), moved(taken.at[1], down)];
    }
    let place = |[x, y]: [f32; 2]| rect.min + vec2(x, y) * rect.size();
    for (mark, taken) in [("paper", &taken.paper), ("bar", &taken.bar)] {
        if let Some((at, _)) = taken {
            let at = place(*at);
            ring(ui, at);
            let font = egui::FontId::proportional(12.0);
            ui.painter().text(at + vec2(9.0, 1.0), egui::Align2::LEFT_CENTER, mark, font.clone(), Color32::BLACK);
            ui.painter().text(at + vec2(8.0, 0.0), egui::Align2::LEFT_CENTER, mark, font, Color32::WHITE);
        }
    }
    cross(ui, place(taken.at), rect);
    let (mut is_paper, mut is_bar) = (false, false);
    ui.horizontal(|ui| {
        is_paper = ui.button("White paper is at the cross").clicked();
        is_bar = ui.button("The bar is at the cross").clicked();
    });
    if by_pointer.is_some() {
        if taken.paper.is_none() { is_paper = true } else { is_bar = true }
    }
    let light = taken.photograph.light(taken.at).map(|light| (taken.at, light));
    if is_paper {
        taken.paper = light;
    } else if is_bar {
        taken.bar = light;
    }
    if let (Some((_, paper)), Some((_, bar))) = (taken.paper, taken.bar)
        && let Err(why) = beside_paper(bar, paper)
    {
        complain(ui, &why.to_string());
        if ui.button("Choose the paper anew").clicked() {
            taken.paper = None;
        }
    }
}

/// A place that was taken, seen on any ground.
fn ring(ui: &Ui, at: Pos2) {
    ui.painter().circle_stroke(at, 5.0, Stroke::new(3.0, Color32::BLACK));
    ui.painter().circle_stroke(at, 5.0, Stroke::new(1.5, Color32::WHITE));
}

/// The cross-hair.
fn cross(ui: &Ui, at: Pos2, within: Rect) {
    let accent = Tokens::of(ui).accent;
    for (width, colour) in [(3.0, Color32::WHITE), (1.5, accent)] {
        let painter = ui.painter_at(within);
        painter.hline(at.x - 12.0..=at.x + 12.0, at.y, Stroke::new(width, colour));
        painter.vline(at.x, at.y - 12.0..=at.y + 12.0, Stroke::new(width, colour));
    }
}
