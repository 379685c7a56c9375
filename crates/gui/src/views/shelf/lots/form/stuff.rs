//! What a lot is of: its kind, and then the material by its name.

use super::super::super::scene::Scene;
use crate::widgets::name;
use crate::widgets::picker::Picker;
use barwright_core::design::shelf::Stuff;
use barwright_core::design::words::Line;
use barwright_core::library::finding::Findable;
use barwright_core::library::material::MaterialId;
use eframe::egui::{ComboBox, Id, RichText, TextEdit, Ui};
use std::sync::Arc;

/// The kinds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Kind {
    #[default]
    Fat,
    Addition,
    Scent,
    SodiumHydroxide,
    PotassiumHydroxide,
    Other,
}

impl Kind {
    const ALL: [Self; 6] =
        [Self::Fat, Self::SodiumHydroxide, Self::PotassiumHydroxide, Self::Addition, Self::Scent, Self::Other];

    const fn words(self) -> &'static str {
        match self {
            Self::Fat => "Fat or oil",
            Self::Addition => "Addition",
            Self::Scent => "Scent",
            Self::SodiumHydroxide => "Sodium hydroxide (NaOH)",
            Self::PotassiumHydroxide => "Potassium hydroxide (KOH)",
            Self::Other => "Anything else",
        }
    }
}

/// What is chosen so far.
#[derive(Debug, Default)]
pub(super) struct StuffField {
    kind: Kind,
    chosen: Option<MaterialId>,
    other: String,
    picker: Picker,
}

/// Names the field of the material within its form.
pub(super) const ID: &str = "material";
pub(super) const PICK: &str = "Material of the lot";

impl StuffField {
    pub(super) fn of(stuff: Option<Stuff>) -> Self {
        let (kind, chosen, other) = match stuff {
            None => (Kind::Fat, None, String::new()),
            Some(Stuff::Fat(id)) => (Kind::Fat, Some(id), String::new()),
            Some(Stuff::Addition(id)) => (Kind::Addition, Some(id), String::new()),
            Some(Stuff::Scent(id)) => (Kind::Scent, Some(id), String::new()),
            Some(Stuff::SodiumHydroxide) => (Kind::SodiumHydroxide, None, String::new()),
            Some(Stuff::PotassiumHydroxide) => (Kind::PotassiumHydroxide, None, String::new()),
            Some(Stuff::Other(name)) => (Kind::Other, None, name.to_string()),
        };
        Self { kind, chosen, other, picker: Picker::default() }
    }

    /// What the lot is of; `None` while nothing is chosen.
    pub(super) fn stuff(&self) -> Option<Stuff> {
        Some(match self.kind {
            Kind::Fat => Stuff::Fat(self.chosen.clone()?),
            Kind::Addition => Stuff::Addition(self.chosen.clone()?),
            Kind::Scent => Stuff::Scent(self.chosen.clone()?),
            Kind::SodiumHydroxide => Stuff::SodiumHydroxide,
            Kind::PotassiumHydroxide => Stuff::PotassiumHydroxide,
            Kind::Other => Stuff::Other(Line::new(&self.other).ok().filter(|l| !l.is_empty())?),
        })
    }

    pub(super) fn show(&mut self, ui: &mut Ui, form: Id, scene: Scene<'_>) {
        let combo = ComboBox::from_id_salt(form.with("kind")).selected_text(self.kind.words()).width(200.0);
        let before = self.kind;
        let shown = combo.show_ui(ui, |ui| {
            for kind in Kind::ALL {
                ui.selectable_value(&mut self.kind, kind, kind.words());
            }
        });
        name(ui, &shown.response, "Kind of material");
        if self.kind != before {
            self.chosen = None;
            self.picker.clear();
        }
        if let Some(stuff) = self.stuff().filter(|_| self.chosen.is_some()) {
            ui.horizontal(|ui| {
                ui.label(RichText::new(scene.name(&stuff)).font(crate::theme::strong(13.5)));
                if ui.button("Another…").on_hover_text("Choose another material").clicked() {
                    self.chosen = None;
                }
            });
            return;
        }
        let (library, own) = (scene.library, &scene.shelf().own);
        let id = form.with(ID);
        let names = &library.names;
        let picker = &mut self.picker;
        self.chosen = match self.kind {
            Kind::Fat => picked(picker.show(ui, id, PICK, names, &all(library.fats(), &own.fats), |_| None)),
            Kind::Addition => {
                picked(picker.show(ui, id, PICK, names, &all(library.additions(), &own.additions), |_| None))
            }
            Kind::Scent => picked(picker.show(ui, id, PICK, names, &all(library.scents(), &own.scents), |_| None)),
            Kind::SodiumHydroxide | Kind::PotassiumHydroxide => None,
            Kind::Other => {
                let field = ui.add(TextEdit::singleline(&mut self.other).id(id).hint_text("liners, boxes, labels"));
                name(ui, &field, PICK);
                crate::keyboard::goes_on(ui, &field);
                None
            }
        };
        if self.chosen.is_some() {
            // The hand goes on with how much came.
            ui.memory_mut(|m| m.request_focus(form.with(super::read::CAME)));
        }
    }
}

fn picked<T: Findable>(picked: Option<Arc<T>>) -> Option<MaterialId> {
    picked.map(|material| material.id().clone())
}

/// The tables’ materials and those of the maker’s own.
fn all<T: Findable>(known: &[Arc<T>], own: &[Arc<T>]) -> Vec<Arc<T>> {
    let others = own.iter().filter(|o| !known.iter().any(|k| k.id() == o.id()));
    known.iter().chain(others).cloned().collect()
}
