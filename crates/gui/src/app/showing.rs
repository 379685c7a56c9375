//! How each view is shown: what it is given, and what is done with what it asks for.

use super::dialogs::Dialog;
use super::{App, View};
use crate::open::OpenDesign;
use crate::views::Changes;
use crate::views::design::{Compared, Scene, scores_of};
use crate::views::stops::{self, Stopped};
use crate::views::{help, log, shelf as shelf_pages};
use barwright_core::Library;
use barwright_core::chemistry::scale::resized;
use barwright_core::design::edit::Edit;
use eframe::egui::{self, Ui, UiBuilder};
use std::sync::Arc;

impl App {
    /// The view that is shown, under what stands above all of them.
    pub(super) fn show_view(&mut self, ui: &mut Ui) {
        match self.view {
            View::Design => self.design(ui),
            View::Compare => self.compare(ui),
            View::Find => self.look_for_a_blend(ui),
            View::Make => self.make(ui),
            View::Log => self.log(ui),
            View::Shelf => {
                let (measures, region) = (self.preferences.measures, self.preferences.region);
                let (keeper, open) = (&self.shelf, &self.designs[self.index()]);
                let scene = shelf_pages::Scene {
                    keeper,
                    library: &self.library,
                    measures,
                    region,
                    designs: &self.designs,
                    open,
                };
                let changes = self.shelf_view.show(ui, scene);
                self.meet(changes.requests, ui.ctx());
            }
            View::Troubles => self.troubles(ui),
            View::Help => {
                let changes = help::show(ui, &mut self.help_view, &self.places);
                self.meet(changes.requests, ui.ctx());
            }
        }
    }

    /// What the columns of a view share.
    fn scene<'a>(&'a self, library: &'a Library, compared: Option<Compared>) -> Scene<'a> {
        let (measures, region, hints) = (self.preferences.measures, self.preferences.region, self.preferences.hints);
        Scene { library, measures, region, hints, shelf: &self.shelf, compared }
    }

    /// The Stops of what the view shows, above it.
    pub(super) fn stops(&mut self, ui: &mut Ui) {
        let (library, measures) = (Arc::clone(&self.library), self.preferences.measures);
        let of = |open: &OpenDesign, title: Option<String>| Stopped {
            key: open.key,
            title,
            // Where nothing is typed yet, nothing is dangerous.
            told: if open.design().blend.lines().is_empty() { [].into() } else { open.cautions(&library, measures) },
        };
        let shown: Vec<Stopped> = match self.view {
            // Its page tells them with what they mean for what is seen.
            View::Troubles => return,
            View::Compare => {
                self.columns().into_iter().filter_map(|key| self.find(key)).map(|o| of(o, Some(o.title()))).collect()
            }
            View::Make => {
                let open = self.active();
                let batch = self.make_view.batch(open, &library).ok();
                let scaled = batch.map(|batch| batch.cautions(&library, measures));
                let designed = of(open, None);
                vec![Stopped {
                    told: scaled.filter(|_| !designed.told.is_empty()).unwrap_or(designed.told),
                    ..designed
                }]
            }
            // A record tells its own, of what was weighed.
            View::Log => vec![of(self.active(), Some("The design as it is now".into()))],
            View::Design | View::Find | View::Shelf | View::Help => vec![of(self.active(), None)],
        };
        if let Some((key, edit)) = stops::show(ui, &shown) {
            self.change(key, edit);
            ui.ctx().request_repaint();
        }
    }

    /// What lots of the shelf would change in the design in hand, above it.
    pub(super) fn offers(&mut self, ui: &mut Ui) {
        if !matches!(self.view, View::Design | View::Make) {
            return;
        }
        let (key, index, library) = (self.active().key, self.index(), Arc::clone(&self.library));
        if let Some(edit) =
            self.offers.show(ui, &self.designs[index], (&self.shelf, &library, self.preferences.measures))
        {
            self.change(key, edit);
            ui.ctx().request_repaint();
        }
    }

    fn design(&mut self, ui: &mut Ui) {
        let library = Arc::clone(&self.library);
        let (index, full) = (self.index(), ui.available_width());
        let mut view = std::mem::take(&mut self.design_view);
        let compared = self.scene_compared();
        let mut causes = view.causes(ui, &self.designs[index], &self.scene(&library, compared.clone()));
        self.ask_of_grams(index, &mut causes);
        let refused = self.designs[index].refused.is_some();
        let mut requests = self.designs[index].carry_out(causes, &library);
        if refused != self.designs[index].refused.is_some() {
            // The reason stands in the column that is drawn already.
            ui.ctx().request_repaint();
        }
        let effects = view.effects(ui, full, &self.designs[index], &self.scene(&library, compared));
        self.design_view = view;
        requests.extend(self.designs[index].carry_out(effects, &library));
        self.meet(requests, ui.ctx());
    }

    /// Takes a change of the size out of `changes` that amounts in grams may follow, and asks whether they do.
    /// Steps of the arrow keys go by the answer that was given last, so that they are not held up each time.
    fn ask_of_grams(&mut self, index: usize, changes: &mut Changes) {
        let open = &self.designs[index];
        let at = |(edit, _): &(Edit, _)| resized(open.design(), edit);
        if let Some((i, scaled)) = changes.edits.iter().enumerate().find_map(|(i, e)| Some((i, at(e)?))) {
            let answer = open.grams_follow.filter(|_| changes.edits[i].1.is_some());
            if let Some(follow) = answer {
                if follow {
                    changes.edits[i].0 = Edit::Scale(scaled);
                }
                return;
            }
            let (edit, _) = changes.edits.remove(i);
            self.dialog = Some(Dialog::Resize { key: open.key, edit: Box::new(edit), scaled });
        }
    }

    fn look_for_a_blend(&mut self, ui: &mut Ui) {
        let library = Arc::clone(&self.library);
        let index = self.index();
        let mut view = std::mem::take(&mut self.find_view);
        view.shelf = (Arc::clone(self.shelf.shelf()), self.shelf.revision());
        let changes = view.show(ui, &self.designs[index], &library, &self.scene(&library, None));
        self.find_view = view;
        let requests = self.designs[index].carry_out(changes, &library);
        self.meet(requests, ui.ctx());
    }

    fn make(&mut self, ui: &mut Ui) {
        let library = Arc::clone(&self.library);
        let index = self.index();
        self.make_view.shelf = (Arc::clone(self.shelf.shelf()), self.shelf.revision());
        let changes = self.make_view.show(ui, &self.designs[index], &library, self.preferences.measures);
        let requests = self.designs[index].carry_out(changes, &library);
        self.meet(requests, ui.ctx());
    }

    fn log(&mut self, ui: &mut Ui) {
        let library = Arc::clone(&self.library);
        let index = self.index();
        let given = log::Given {
            open: &self.designs[index],
            logs: self.designs.iter().map(|open| Arc::clone(open.log())).collect(),
            logs_revision: self.designs.iter().map(|open| open.key.0 + open.log_revision()).fold(0, u64::wrapping_add),
            shelf: &self.shelf,
            library: &library,
            measures: self.preferences.measures,
            region: self.preferences.region,
        };
        // Its controls keep their ids, and so the focus, when the line at the bottom comes and goes.
        let place = UiBuilder::new().scope_id(egui::Id::unique("log view"));
        let (view, maker) = (&mut self.log_view, &mut self.preferences.maker);
        let changes = ui.scope_builder(place, |ui| view.show(ui, &given, maker)).inner;
        let requests = self.designs[index].carry_out(changes, &library);
        self.meet(requests, ui.ctx());
    }

    fn troubles(&mut self, ui: &mut Ui) {
        let library = Arc::clone(&self.library);
        let index = self.index();
        let changes = self.troubles_view.show(ui, &self.designs[index], &library, self.preferences.measures);
        let requests = self.designs[index].carry_out(changes, &library);
        self.meet(requests, ui.ctx());
    }

    fn compare(&mut self, ui: &mut Ui) {
        let columns = self.columns();
        let changes = self.compare_view.show(ui, &self.designs, &columns, &self.library, self.preferences.measures);
        // It edits no design but by asking: each change names its own.
        self.meet(changes.requests, ui.ctx());
    }

    fn scene_compared(&mut self) -> Option<Compared> {
        let key = self.compared.filter(|k| *k != self.active)?;
        let library = Arc::clone(&self.library);
        let open = self.designs.iter_mut().find(|d| d.key == key)?;
        Some(Compared { title: open.title(), scores: scores_of(&open.evaluation(&library)) })
    }
}
