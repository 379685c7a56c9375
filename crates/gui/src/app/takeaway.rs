//! What a person takes away of the design that is shown: the recipe card, labels, tags, cards for the cure.

use super::{App, View};
use crate::command::Command;
use crate::files::{Export, name_of};
use barwright_core::design::document;
use barwright_core::render::card::Card;
use barwright_core::render::pages::{Kind, page};
use eframe::egui;
use std::sync::Arc;

impl App {
    /// The design that is shown in a file of its own, without what was made of it and for whom.
    pub(super) fn share_copy(&mut self, ctx: &egui::Context) {
        let open = self.active();
        match document::write(open.design(), &self.library) {
            Ok(text) => {
                let name = format!("{} to share.{}", name_of(&open.title()), document::EXTENSION);
                self.export(Export { what: "Design to share", extension: document::EXTENSION, name, text }, ctx);
            }
            Err(error) => self.fail(error),
        }
    }

    /// Carries out one of [`Command::TAKEN_AWAY`]; in the Make view for the batch as it is scaled there.
    pub(super) fn take_away(&mut self, command: Command, ctx: &egui::Context) {
        let library = Arc::clone(&self.library);
        let open = self.active();
        let batch = match self.view {
            View::Make => self.make_view.batch(open, &library),
            _ => Ok(open.evaluated(&library)),
        };
        let batch = match batch {
            Ok(batch) => batch,
            Err(error) => return self.fail(error),
        };
        let measures = self.preferences.measures;
        let card = || Card::of(&batch.design, &batch.evaluation, &library, measures);
        let base = name_of(&batch.design.name);
        let export = |extension: &'static str, text| Export {
            what: "Recipe card",
            extension,
            name: format!("{base} recipe.{extension}"),
            text,
        };
        let options = self.make_view.page_options();
        let kind = match command {
            Command::CopyCard => {
                ctx.copy_text(card().text());
                return self.tell("The recipe card is copied".into());
            }
            Command::SaveCardPage => return self.export(export("html", card().html(options.paper)), ctx),
            Command::SaveCardMarkdown => return self.export(export("md", card().markdown()), ctx),
            Command::SaveCardText => return self.export(export("txt", card().text()), ctx),
            Command::PrintLabels => Kind::Labels(self.make_view.label_size()),
            Command::PrintTags => Kind::Tags,
            Command::PrintCuring => Kind::Curing,
            _ => return,
        };
        match page(kind, &batch.design, &batch.evaluation, &library, options) {
            Ok(page) => self.print(page, ctx),
            Err(withheld) => self.fail(withheld),
        }
    }
}
