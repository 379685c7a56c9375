//! What there is: designs of a folder, lots, bars, what is to be made and bought, where things went, tools.

mod bars;
mod fields;
pub mod folder;
mod import;
mod lots;
pub mod offers;
mod plans;
mod scene;
mod table;
mod trace;
mod workshop;

pub use scene::Scene;

use super::{Changes, Request};
use crate::theme::{self, Tokens};
use bars::BarsPage;
use barwright_core::Library;
use eframe::egui::{Align, Button, Context, Frame, Label, Layout, Margin, Panel, RichText, Ui};
use folder::FolderPage;
use import::ImportPage;
use lots::LotsPage;
use plans::PlansPage;
use std::path::PathBuf;
use std::sync::Arc;
use trace::TracePage;
use workshop::WorkshopPage;

/// The pages of the view.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Page {
    /// The designs of a folder.
    #[default]
    Designs,
    /// What there is of each material.
    Lots,
    /// Finished bars.
    Bars,
    /// Planned batches and what is to be bought for them.
    Plans,
    /// Where things went.
    Trace,
    /// Tools.
    Workshop,
    /// A table of lots.
    Import,
}

impl Page {
    const ALL: [Self; 7] =
        [Self::Designs, Self::Lots, Self::Bars, Self::Plans, Self::Trace, Self::Workshop, Self::Import];

    const fn title(self) -> &'static str {
        match self {
            Self::Designs => "Designs",
            Self::Lots => "Lots",
            Self::Bars => "Bars",
            Self::Plans => "To make, to buy",
            Self::Trace => "Trace",
            Self::Workshop => "Workshop",
            Self::Import => "Import",
        }
    }

    const fn tip(self) -> &'static str {
        match self {
            Self::Designs => "All designs of a folder, to find one again",
            Self::Lots => "What there is of each material, until when it is good, what it cost",
            Self::Bars => "Finished bars by batch, and where they went",
            Self::Plans => "Planned batches, what to buy for them, what can be made now, what ends soon",
            Self::Trace => "From a lot to the people who have its bars, and back",
            Self::Workshop => "Scales, jugs, moulds and the oven",
            Self::Import => "Lots from a table, and back into one",
        }
    }
}

/// What the view remembers between frames.
#[derive(Debug, Default)]
pub struct ShelfView {
    page: Page,
    folder: FolderPage,
    lots: LotsPage,
    bars: BarsPage,
    plans: PlansPage,
    trace: TracePage,
    workshop: WorkshopPage,
    import: ImportPage,
}

impl ShelfView {
    /// A view that keeps what it read in the folder `cache` for the next start.
    pub fn keeping(cache: Option<PathBuf>) -> Self {
        Self { folder: FolderPage::keeping(cache), ..Self::default() }
    }

    /// Readies the view for being opened, with the designs of `folder`.
    pub fn open(&mut self, folder: Option<PathBuf>, library: &Arc<Library>, ctx: &Context) {
        self.folder.open(folder, library, ctx);
    }

    /// Shows what is in the table `file` before it is taken.
    pub fn import(&mut self, file: String, bytes: Vec<u8>) {
        self.page = Page::Import;
        self.import.take(file, bytes);
    }

    /// Shows the planned batches.
    pub const fn show_plans(&mut self) {
        self.page = Page::Plans;
    }

    /// Draws the view.
    pub fn show(&mut self, ui: &mut Ui, scene: Scene<'_>) -> Changes {
        let mut changes = Changes::default();
        let library = scene.library;
        let frame = Frame::new().fill(Tokens::of(ui).ground);
        let top = frame.inner_margin(Margin { left: 16, right: 16, top: 8, bottom: 4 });
        Panel::top("shelf top").frame(top).show_separator_line(false).show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.set_min_height(28.0);
                for page in Page::ALL {
                    let text = RichText::new(page.title()).font(theme::strong(15.0));
                    let button = ui.add(Button::selectable(page == self.page, text));
                    if button.on_hover_text(page.tip()).clicked() {
                        self.page = page;
                        if page == Page::Trace {
                            self.trace.open();
                        }
                    }
                }
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| match self.page {
                    Page::Designs => self.folder.head(ui, library, &mut changes),
                    Page::Lots => self.lots.head(ui, scene),
                    Page::Bars => self.bars.head(ui),
                    Page::Plans | Page::Trace | Page::Workshop | Page::Import => {}
                });
            });
        });
        if self.page != Page::Designs {
            refusal(ui, scene, &mut changes);
        }
        match self.page {
            Page::Designs => self.folder.show(ui, library, &mut changes),
            Page::Lots => self.lots.show(ui, scene, &mut changes),
            Page::Bars => {
                if let Some(asked) = self.bars.show(ui, scene, &mut changes) {
                    self.trace.ask(asked);
                    self.page = Page::Trace;
                    ui.ctx().request_repaint();
                }
            }
            Page::Plans => self.plans.show(ui, scene, &mut changes),
            Page::Trace => self.trace.show(ui, scene, &mut changes),
            Page::Workshop => self.workshop.show(ui, scene, &mut changes),
            Page::Import => self.import.show(ui, scene, &mut changes),
        }
        changes
    }
}

/// Says above the page why the shelf cannot be changed, if it cannot.
fn refusal(ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) {
    let Some(why) = scene.keeper.refusal() else { return };
    let tokens = Tokens::of(ui);
    let frame = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(16, 6));
    Panel::top("shelf refusal").frame(frame).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let button = ui.button("Look again");
                if button.on_hover_text("Read the shelf again, and take it if it is free now").clicked() {
                    changes.request(Request::LookAtShelf);
                }
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    let text = format!("Only to look at: {why}.");
                    ui.add(Label::new(RichText::new(text).color(tokens.care)).wrap());
                });
            });
        });
    });
}
