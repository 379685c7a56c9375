//! The Design view: the blend, the bar it makes, and the batch to weigh.

pub mod acids;
pub mod additions;
pub mod bar;
pub mod batch;
pub mod blend;
pub mod colour;
pub mod controls;
pub mod edge;
pub mod form;
pub mod greeting;
pub mod jug;
pub mod lye;
pub mod margin;
pub mod notes;
pub mod picture;
pub mod poured;
pub mod process;
pub mod scents;
pub mod size;
pub mod water;

use super::why::{self, Explanations, Owner, Subject};
use super::{Changes, Request};
use crate::open::{OpenDesign, State};
use crate::pictures::PictureError;
use crate::pictures::photograph::Photograph;
use crate::shelf::ShelfKeeper;
use crate::theme::{Tokens, fat_colour};
use crate::widgets::{column, picker::Picker, steady::steady, within};
use barwright_core::bench::label::Region;
use barwright_core::design::Spare;
use barwright_core::explain::{of_nudge, of_quantity};
use barwright_core::library::estimates::{Estimate, Scores};
use barwright_core::library::material::MaterialId;
use barwright_core::units::Measures;
use barwright_core::{Evaluation, Library};
use edge::Edge;
use eframe::egui::{self, Color32, Frame, Panel, Ui};
use form::{AdditionForm, ColourantForm, Context, FatForm, Form, Forms, ScentForm, Taken};
use process::Reading;

/// A kind of material of one's own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Own {
    /// A fat.
    Fat,
    /// An addition.
    Addition,
    /// A colourant.
    Colourant,
    /// A scent.
    Scent,
}

/// What the view remembers between frames.
#[derive(Debug, Default)]
pub struct DesignView {
    /// The field that adds a fat.
    pub picker: Picker,
    /// The field that adds an addition.
    pub addition_picker: Picker,
    /// The field that adds a scent.
    pub scent_picker: Picker,
    /// The form that is open.
    forms: Forms,
    /// The fats whose shares were typed in this sitting, and hold.
    pub typed: Vec<MaterialId>,
    /// The fat whose slider is held, so that the lanes show which way they go.
    pub held: Option<MaterialId>,
    /// A reading of the jug that is being typed.
    pub reading: Reading,
    /// The estimate whose details are open.
    pub open_lane: Option<Estimate>,
    /// How the acids are shown.
    pub acids: acids::Shown,
    /// Where the column of the blend ends.
    pub edge: Edge,
    explanations: Explanations<State>,
}

/// A design to compare with, as far as the lanes need it.
#[derive(Debug, Clone)]
pub struct Compared {
    /// What it is called.
    pub title: String,
    /// Its scores.
    pub scores: Option<Scores>,
}

/// What the columns share.
#[derive(Debug)]
pub struct Scene<'a> {
    /// The tables.
    pub library: &'a Library,
    /// Unit of masses.
    pub measures: Measures,
    /// Whose order a typed day has.
    pub region: Region,
    /// Whether hints are shown.
    pub hints: bool,
    /// The shelf.
    pub shelf: &'a ShelfKeeper,
    /// The design to compare with.
    pub compared: Option<Compared>,
}

impl Scene<'_> {
    /// The maker’s own materials that the shelf keeps.
    pub fn own(&self) -> &Spare {
        &self.shelf.shelf().own
    }

    /// The colour of the fat named `id`.
    pub fn colour(&self, id: &str) -> Color32 {
        fat_colour(id)
    }
}

/// Scores of an evaluation.
pub fn scores_of(evaluation: &Evaluation) -> Option<Scores> {
    evaluation.estimates.as_ref().map(|all| Scores(all.map(|r| r.value)))
}

impl DesignView {
    /// A view whose blend ends at `edge`.
    pub fn with_edge(edge: Edge) -> Self {
        Self { edge, ..Self::default() }
    }

    /// Draws the left column and the open form. What is moved here is carried out before the others are drawn, so
    /// that every number follows in the same frame.
    pub fn causes(&mut self, ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>) -> Changes {
        let mut changes = Changes::default();
        let full = ui.max_rect();
        let plain = Frame::new().fill(Tokens::of(ui).ground);
        let width = self.edge.width(full.width());
        Panel::left("blend").resizable(false).frame(plain).exact_size(width).show(ui, |ui| {
            column(ui, "blend column", within(16, 8), |ui| {
                blend::show(ui, open, self, scene, &mut changes);
                steady(ui, "lye", |ui| lye::show(ui, open, scene, &mut changes));
                steady(ui, "additions", |ui| additions::show(ui, open, self, scene, &mut changes));
                steady(ui, "scents", |ui| scents::show(ui, open, self, scene, &mut changes));
                steady(ui, "size", |ui| size::show(ui, open, scene, &mut changes));
                steady(ui, "process", |ui| process::show(ui, open, self, scene, &mut changes));
                steady(ui, "poured", |ui| poured::show(ui, open, scene, &mut changes));
                notes::show(ui, open, &mut changes);
            });
        });
        self.edge.show(ui, full, full.left() + width);
        self.show_form(ui, open, scene.library, &mut changes);
        changes
    }

    /// Draws the other two columns, of `full` width with the left one.
    pub fn effects(&mut self, ui: &mut Ui, full: f32, open: &OpenDesign, scene: &Scene<'_>) -> Changes {
        let tokens = Tokens::of(ui);
        let mut changes = Changes::default();
        let plain = Frame::new().fill(tokens.ground);
        let bar = ui.available_width() - (full * 0.25).clamp(250.0, 400.0);
        // From left to right, so that the Tab key goes the same way.
        Panel::left("bar").resizable(false).frame(plain).exact_size(bar).show(ui, |ui| {
            column(ui, "bar column", within(16, 8), |ui| {
                if open.design().blend.lines().is_empty() {
                    greeting::show(ui, &mut changes);
                } else {
                    bar::show(ui, open, self, scene, &mut changes);
                }
            });
        });
        let figures = Frame::new().fill(tokens.panel);
        egui::CentralPanel::no_frame().frame(figures).show(ui, |ui| batch::show(ui, open, scene, &mut changes));
        let evaluated = open.evaluated(scene.library);
        why::show(ui, scene.measures, &self.explanations, open.state(), |whose, subject| {
            let about = evaluated.about(scene.library);
            let why = match subject {
                Subject::Quantity(quantity) => of_quantity(quantity.as_ref(), about),
                Subject::Hint => {
                    let nudge = evaluated.nudge(scene.library)?;
                    Ok(of_nudge(nudge, about.design, about.evaluation, about.library))
                }
                _ => return None,
            };
            (whose == Owner::Shown).then_some(why)
        });
        if !changes.edits.is_empty() {
            // What the left column shows is a frame behind only here.
            ui.ctx().request_repaint();
        }
        changes
    }
}

impl DesignView {
    /// Forgets what is half typed: it belongs to the design that was shown.
    pub fn forget(&mut self) {
        let Self { open_lane, acids, edge, .. } = *self;
        *self = Self { open_lane, acids, edge, ..Self::default() };
    }

    /// Draws the open form, if one is.
    fn show_form(&mut self, ui: &Ui, open: &OpenDesign, library: &Library, changes: &mut Changes) {
        let context = Context { library, design: open.design(), refused: None };
        let taken = self.forms.show(ui, &context);
        changes.requests.extend(self.forms.wants_photograph().map(Request::Photograph));
        if let Some(Taken { edit, on_shelf }) = taken {
            changes.edit(edit);
            if !on_shelf.is_empty() {
                changes.request(Request::OnShelf(on_shelf));
            }
            for picker in [&mut self.picker, &mut self.addition_picker, &mut self.scent_picker] {
                picker.clear();
            }
        }
    }

    /// Gives the open form the photograph that it asked for.
    pub fn take_photograph(&mut self, photograph: Result<Photograph, PictureError>) {
        self.forms.take_photograph(photograph);
    }

    /// Opens `form`, or the one like it that was put aside.
    pub fn open(&mut self, form: impl Form + 'static) {
        self.forms.open(form);
    }

    /// Opens the form for a material of one's own called `name`.
    pub fn open_own(&mut self, own: Own, name: String) {
        match own {
            Own::Fat => self.open(FatForm::named(name, self.typed.clone())),
            Own::Addition => self.open(AdditionForm::named(name)),
            Own::Colourant => self.open(ColourantForm::named(name)),
            Own::Scent => self.open(ScentForm::named(name)),
        }
    }
}
