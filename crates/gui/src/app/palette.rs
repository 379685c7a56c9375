//! What to do, found by typed words: every command with its key.

use super::App;
use crate::command::Command;
use crate::theme::Tokens;
use crate::widgets::{name, quiet};
use eframe::egui::{
    self, Align, Align2, Button, Context, Frame, Id, Key, Layout, Margin, Modal, Modifiers, ScrollArea, TextEdit, Ui,
};

/// What was typed, and which command is chosen.
#[derive(Debug, Default)]
pub(super) struct Palette {
    text: String,
    chosen: usize,
}

/// What follows from it in this frame.
enum Chosen {
    Nothing,
    Run(Command),
}

/// The commands that have words beginning with each of `text`, those with all in their name first.
fn found(text: &str) -> Vec<Command> {
    let words: Vec<String> = text.split_whitespace().map(str::to_lowercase).collect();
    let holds = |said: &str| {
        let said = said.to_lowercase();
        let said_words = said.split(|c: char| !c.is_alphanumeric());
        words.iter().all(|word| said_words.clone().any(|w| w.starts_with(word.as_str())))
    };
    let others = Command::ALL.into_iter().filter(|c| *c != Command::WhatToDo);
    let (named, rest): (Vec<_>, Vec<_>) = others.partition(|c| holds(c.text()));
    let told = rest.into_iter().filter(|c| holds(&format!("{} {}", c.text(), c.tip())));
    named.into_iter().chain(told).collect()
}

impl App {
    pub(super) fn show_palette(&mut self, ctx: &Context) {
        let Some(mut palette) = self.palette.take() else { return };
        let fill = if ctx.theme() == egui::Theme::Dark { &crate::theme::DARK } else { &crate::theme::LIGHT };
        let frame = Frame::window(&ctx.global_style()).fill(fill.panel).inner_margin(Margin::same(14));
        let id = Id::unique("what to do");
        let area = Modal::default_area(id).anchor(Align2::CENTER_TOP, egui::vec2(0.0, 60.0));
        let shown = Modal::new(id).area(area).frame(frame).show(ctx, |ui| palette.show(ui, |c| self.can_run(c)));
        let closes = shown.should_close();
        match shown.inner {
            Chosen::Run(command) => {
                self.run(command, ctx);
                ctx.request_repaint();
            }
            Chosen::Nothing if !closes => self.palette = Some(palette),
            Chosen::Nothing => ctx.request_repaint(),
        }
    }

    /// Whether `command` would do anything now.
    fn can_run(&self, command: Command) -> bool {
        match command {
            Command::Undo => self.steps().0.is_some(),
            Command::Redo => self.steps().1.is_some(),
            _ => true,
        }
    }
}

impl Palette {
    fn show(&mut self, ui: &mut Ui, can_run: impl Fn(Command) -> bool) -> Chosen {
        ui.set_width(460.0);
        let found = found(&self.text);
        let last = found.len().saturating_sub(1);
        let (up, down, enter) = ui.input_mut(|i| {
            let mut pressed = |key| i.consume_key(Modifiers::NONE, key);
            (pressed(Key::ArrowUp), pressed(Key::ArrowDown), pressed(Key::Enter))
        });
        self.chosen = (self.chosen.saturating_sub(usize::from(up)) + usize::from(down)).min(last);
        let field = TextEdit::singleline(&mut self.text)
            .id(Id::unique("words of what to do"))
            .hint_text("What to do: a few words")
            .desired_width(f32::INFINITY)
            .margin(Margin::symmetric(8, 6));
        let field = ui.add(field);
        name(ui, &field, "What to do");
        field.request_focus();
        if field.changed() {
            self.chosen = 0;
        }
        ui.add_space(4.0);
        if found.is_empty() {
            quiet(ui, "No command has these words");
        }
        let mut run = found.get(self.chosen).copied().filter(|_| enter);
        ScrollArea::vertical().max_height(330.0).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            for (i, command) in found.iter().enumerate() {
                let row = self.row(ui, i, *command, can_run(*command));
                if i == self.chosen && (up || down || field.changed()) {
                    row.scroll_to_me(None);
                }
                if row.clicked() {
                    run = Some(*command);
                }
            }
        });
        ui.add_space(4.0);
        quiet(ui, found.get(self.chosen).map_or("", |c| c.tip()));
        match run.filter(|c| can_run(*c)) {
            Some(command) => Chosen::Run(command),
            // A chosen command that has nothing to do leaves the list as it is.
            None => Chosen::Nothing,
        }
    }

    fn row(&self, ui: &mut Ui, i: usize, command: Command, enabled: bool) -> egui::Response {
        let text = command.text();
        ui.with_layout(Layout::top_down_justified(Align::Min), |ui| {
            let mut button = Button::selectable(i == self.chosen, text);
            if let Some(shortcut) = command.shortcut() {
                let keys = egui::RichText::new(ui.ctx().format_shortcut(&shortcut)).color(Tokens::of(ui).quiet);
                button = button.shortcut_text(keys);
            }
            // The field keeps the focus: the arrow keys go through the list.
            ui.add_enabled(enabled, button.sense(egui::Sense::CLICK))
        })
        .inner
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commands_are_found_by_their_words_in_any_order_names_first() {
        assert_eq!(found("FAT add"), [Command::AddFat]);
        assert_eq!(found("save as")[0], Command::SaveAs);
        assert_eq!(found("side by side")[0], Command::ShowCompare, "by what it does");
        assert_eq!(found("").len() + 1, Command::ALL.len(), "all but itself");
        assert!(found("no such thing").is_empty());
    }
}
