//! The slim bar at the top: menus, what is open, the views, undo.

use super::{App, View};
use crate::command::Command;
use crate::examples;
use crate::theme::{self, Tokens};
use crate::widgets::name;
use barwright_core::bench::label::Region;
use barwright_core::units::{LengthUnit, MassUnit, Measures, TemperatureUnit, VolumeUnit};
use eframe::egui::{
    self, Align, Button, ComboBox, Frame, Layout, Margin, MenuBar, Panel, RichText, ThemePreference, Ui,
};
use std::path::{Path, PathBuf};

/// A menu entry for `command`, with its key and its tooltip.
fn entry(ui: &mut Ui, command: Command, text: &str, enabled: bool) -> bool {
    let mut button = Button::new(text);
    if let Some(shortcut) = command.shortcut() {
        button = button.shortcut_text(ui.ctx().format_shortcut(&shortcut));
    }
    ui.add_enabled(enabled, button).on_hover_text(command.tip()).clicked()
}

/// Width of the views and of what stands at the right end, and the least in which the state of a file can be read,
/// points.
const BESIDE_STATE: f32 = 590.0;
const LEAST_STATE: f32 = 90.0;

impl App {
    pub(super) fn top_bar(&mut self, ui: &mut Ui) {
        let tokens = Tokens::of(ui);
        let mut commands = Vec::new();
        let frame = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(12, 7));
        Panel::top("top bar").frame(frame).show(ui, |ui| {
            MenuBar::new().ui(ui, |ui| {
                ui.spacing_mut().button_padding = egui::vec2(8.0, 3.0);
                ui.menu_button("File", |ui| self.file_menu(ui, &mut commands));
                ui.menu_button("View", |ui| self.view_menu(ui, &mut commands));
                let help = Command::ShowHelp;
                let keys = help.shortcut().map_or_else(String::new, |s| ui.ctx().format_shortcut(&s));
                let button = ui.add(Button::selectable(self.view == View::Help, help.text()));
                if button.on_hover_text(format!("{} ({keys})", help.tip())).clicked() {
                    commands.push(help);
                }
                ui.separator();
                self.open_designs(ui);
                ui.separator();
                for (view, command) in [
                    (View::Design, Command::ShowDesign),
                    (View::Compare, Command::ShowCompare),
                    (View::Find, Command::ShowFind),
                    (View::Make, Command::ShowMake),
                    (View::Log, Command::ShowLog),
                    (View::Shelf, Command::ShowShelf),
                ] {
                    let chosen = self.view == view;
                    let text = RichText::new(command.text()).font(theme::strong(13.0));
                    if ui.add(Button::selectable(chosen, text)).on_hover_text(command.tip()).clicked() {
                        commands.push(command);
                    }
                }
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| self.right_end(ui, &mut commands));
            });
        });
        self.pending.extend(commands);
    }

    fn right_end(&mut self, ui: &mut Ui, commands: &mut Vec<Command>) {
        let measures = self.preferences.measures;
        for (choice, of) in [(Measures::US, "US"), (Measures::METRIC, "Metric")] {
            let response = ui.selectable_label(measures == choice, choice.signs());
            name(ui, &response, &format!("{of} units"));
            let tip = format!("{of} units: {}; each can be chosen apart under View", choice.words());
            if response.on_hover_text(tip).clicked() {
                self.preferences.measures = choice;
            }
        }
        ui.separator();
        let (undo, redo) = self.steps();
        for (command, step) in [(Command::Redo, redo), (Command::Undo, undo)] {
            let keys = command.shortcut().map_or_else(String::new, |s| ui.ctx().format_shortcut(&s));
            let response = ui.add_enabled(step.is_some(), Button::new(command.text()));
            let tip = step.map_or_else(|| command.tip().to_owned(), |s| format!("{}: {s} ({keys})", command.text()));
            if response.on_hover_text(tip).clicked() {
                commands.push(command);
            }
        }
        if let Some(step) = &self.steps().0 {
            let text = RichText::new(step).small().color(Tokens::of(ui).quiet);
            if ui.available_width() > LEAST_STATE {
                ui.add(egui::Label::new(text).truncate()).on_hover_text("The last step");
            }
        }
    }

    /// Which design is shown, its file, and whether it is saved.
    fn open_designs(&mut self, ui: &mut Ui) {
        let quiet = Tokens::of(ui).quiet;
        let active = self.active().key;
        let mut chosen = active;
        let width = 190.0_f32.min(ui.available_width() - BESIDE_STATE + 20.0).max(110.0);
        let combo = ComboBox::from_id_salt("open designs")
            .selected_text(RichText::new(self.active().title()).font(theme::strong(13.0)))
            .width(width)
            .truncate();
        let place = egui::vec2(width, ui.spacing().interact_size.y);
        // The list takes what room it is given, so a long name would else push the views off the bar.
        let response = ui.allocate_ui_with_layout(place, Layout::left_to_right(Align::Center), |ui| {
            ui.set_max_width(width);
            combo.show_ui(ui, |ui| {
                for open in &self.designs {
                    let unsaved = if open.would_lose() { " •" } else { "" };
                    let text = format!("{} – {}{unsaved}", open.title(), open.file_name());
                    ui.selectable_value(&mut chosen, open.key, text);
                }
            })
        });
        let response = response.inner;
        name(ui, &response.response, "Open designs");
        response.response.on_hover_text("The open designs");
        if chosen != active {
            self.activate(chosen);
        }
        let open = self.active();
        let state = match (&open.path, open.is_unsaved()) {
            _ if self.saving == Some(open.key) => "Saving…".to_owned(),
            (None, _) => "no file yet".to_owned(),
            // A long name is cut at its end, so what matters stands first.
            (Some(_), true) => format!("unsaved: {}", open.file_name()),
            (Some(_), false) => format!("saved: {}", open.file_name()),
        };
        let label = egui::Label::new(RichText::new(state).color(quiet)).truncate();
        let place = open.path.as_ref().map_or_else(|| "Not in a file yet".into(), |p| p.display().to_string());
        // The views and what is at the right come first in a narrow window.
        let width = (ui.available_width() - BESIDE_STATE).min(190.0);
        if width < LEAST_STATE {
            return;
        }
        ui.allocate_ui_with_layout(egui::vec2(width, 20.0), Layout::left_to_right(Align::Center), |ui| {
            // The views stay where they are when the words change.
            ui.set_min_width(width);
            ui.add(label).on_hover_text(place);
        });
    }

    fn file_menu(&mut self, ui: &mut Ui, commands: &mut Vec<Command>) {
        let mut add = |ui: &mut Ui, command: Command| {
            if entry(ui, command, command.text(), true) {
                commands.push(command);
            }
        };
        add(ui, Command::New);
        add(ui, Command::TypeInRecipe);
        add(ui, Command::Duplicate);
        let mut example = None;
        ui.menu_button("Examples", |ui| {
            for (i, e) in examples::ALL.iter().enumerate() {
                if ui.button(e.title).clicked() {
                    example = Some(i);
                }
            }
        });
        ui.separator();
        add(ui, Command::Open);
        add(ui, Command::OpenTyped);
        add(ui, Command::ChooseFolder);
        let mut again = None;
        ui.add_enabled_ui(!self.preferences.recent.is_empty(), |ui| {
            ui.menu_button("Open recent", |ui| {
                for path in &self.preferences.recent {
                    if ui
                        .button(recent_name(path, &self.preferences.recent))
                        .on_hover_text(path.display().to_string())
                        .clicked()
                    {
                        again = Some(path.clone());
                    }
                }
            });
        });
        ui.separator();
        add(ui, Command::Save);
        add(ui, Command::SaveAs);
        add(ui, Command::SaveTyped);
        add(ui, Command::ShareCopy);
        ui.menu_button("Take away", |ui| {
            for command in Command::TAKEN_AWAY {
                add(ui, command);
            }
        });
        ui.separator();
        add(ui, Command::Close);
        add(ui, Command::Quit);
        if let Some(i) = example {
            self.open_example(i);
            self.view = View::Design;
        }
        if let Some(path) = again {
            self.open_recent(&path, ui.ctx());
        }
    }

    fn view_menu(&mut self, ui: &mut Ui, commands: &mut Vec<Command>) {
        let mut theme = self.preferences.theme;
        for (choice, text) in [
            (ThemePreference::System, "Theme of the system"),
            (ThemePreference::Light, "Light theme"),
            (ThemePreference::Dark, "Dark theme"),
        ] {
            ui.radio_value(&mut theme, choice, text);
        }
        if theme != self.preferences.theme {
            self.preferences.theme = theme;
            ui.ctx().set_theme(theme);
        }
        ui.separator();
        ui.menu_button("Units", |ui| units(ui, &mut self.preferences.measures));
        ui.menu_button("Where bars are sold", |ui| {
            for region in Region::ALL {
                let was = self.preferences.region;
                ui.radio_value(&mut self.preferences.region, region, region.words())
                    .on_hover_text("Decides the paper, the names on a label and its checklist to begin with");
                if was != self.preferences.region {
                    self.make_view.set_region(region);
                }
            }
        });
        ui.separator();
        ui.checkbox(&mut self.preferences.hints, "Hints").on_hover_text("Three short lines for newcomers");
        ui.separator();
        let views = [
            Command::ShowDesign,
            Command::ShowCompare,
            Command::ShowFind,
            Command::ShowMake,
            Command::ShowLog,
            Command::ShowShelf,
        ];
        for command in views.into_iter().chain([Command::ShowTroubles, Command::AddFat, Command::WhatToDo]) {
            if entry(ui, command, command.text(), true) {
                commands.push(command);
            }
        }
        ui.menu_button("A material of your own", |ui| {
            for command in Command::OWN {
                if entry(ui, command, command.text(), true) {
                    commands.push(command);
                }
            }
        });
        ui.separator();
        egui::gui_zoom::zoom_menu_buttons(ui);
    }
}

/// What a recent file is called: its name, and its folder where another has the same name.
fn recent_name(path: &Path, all: &[PathBuf]) -> String {
    let Some(file) = path.file_name() else { return path.display().to_string() };
    let file_name = file.to_string_lossy();
    match path.parent().and_then(Path::file_name) {
        Some(folder) if all.iter().filter(|p| p.file_name() == Some(file)).count() > 1 => {
            format!("{file_name} ({})", folder.to_string_lossy())
        }
        _ => file_name.into(),
    }
}

/// The choice of each unit; typed units are understood whatever is chosen.
fn units(ui: &mut Ui, measures: &mut Measures) {
    for unit in MassUnit::ALL {
        ui.radio_value(&mut measures.mass, unit, format!("Masses in {}", unit.sign()));
    }
    ui.separator();
    for unit in TemperatureUnit::ALL {
        ui.radio_value(&mut measures.temperature, unit, format!("Temperatures in {}", unit.sign()));
    }
    ui.separator();
    for unit in LengthUnit::ALL {
        ui.radio_value(&mut measures.length, unit, format!("Lengths in {}", unit.sign()));
    }
    ui.separator();
    for unit in VolumeUnit::ALL {
        ui.radio_value(&mut measures.volume, unit, format!("Volumes in {}", unit.sign()));
    }
}
