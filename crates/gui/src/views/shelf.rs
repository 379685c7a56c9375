//! What there is: the first page has the designs of a folder.

pub mod folder;

use super::Changes;
use crate::theme::{self, Tokens};
use barwright_core::Library;
use eframe::egui::{Align, Button, Context, Frame, Layout, Margin, Panel, RichText, Ui};
use folder::FolderPage;
use std::path::PathBuf;
use std::sync::Arc;

/// The pages of the view.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Page {
    /// The designs of a folder.
    #[default]
    Designs,
}

impl Page {
    const ALL: [Self; 1] = [Self::Designs];

    const fn title(self) -> &'static str {
        match self {
            Self::Designs => "Designs",
        }
    }

    const fn tip(self) -> &'static str {
        match self {
            Self::Designs => "All designs of a folder, to find one again",
        }
    }
}

/// What the view remembers between frames.
#[derive(Debug, Default)]
pub struct ShelfView {
    page: Page,
    folder: FolderPage,
}

impl ShelfView {
    /// A view that keeps what it read in the folder `cache` for the next start.
    pub fn keeping(cache: Option<PathBuf>) -> Self {
        Self { page: Page::default(), folder: FolderPage::keeping(cache) }
    }

    /// Readies the view for being opened, with the designs of `folder`.
    pub fn open(&mut self, folder: Option<PathBuf>, library: &Arc<Library>, ctx: &Context) {
        self.folder.open(folder, library, ctx);
    }

    /// Draws the view.
    pub fn show(&mut self, ui: &mut Ui, library: &Arc<Library>) -> Changes {
        let mut changes = Changes::default();
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
                    }
                }
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| match self.page {
                    Page::Designs => self.folder.head(ui, library, &mut changes),
                });
            });
        });
        match self.page {
            Page::Designs => self.folder.show(ui, library, &mut changes),
        }
        changes
    }
}
