//! The bench sheet: to print, to keep as a file, or to look at here.

use super::{MakeView, page};
use crate::files::{Export, name_of};
use crate::open::OpenDesign;
use crate::theme::Tokens;
use crate::views::Request;
use crate::widgets::number_field::{before_change, complain};
use crate::widgets::section;
use barwright_core::Library;
use barwright_core::bench::schedule;
use barwright_core::render::sheet::{Options, Paper};
use barwright_core::units::Measures;
use eframe::egui::{Align, Frame, Layout, Margin, RichText, Ui};

/// Draws the panel; gives what is asked for.
pub fn show(
    ui: &mut Ui,
    view: &mut MakeView,
    open: &OpenDesign,
    library: &Library,
    measures: Measures,
) -> Option<Request> {
    // The latest that is begun of the day in the schedule.
    let day = open.design().process.made_on.as_deref().and_then(|day| schedule::day(day).ok());
    let batch = open.log().batches().iter().rev().map(|batch| batch.code).find(|code| Some(code.day().0) == day);
    let options = Options { scale: view.scale, start: Some(view.time), measures, batch };
    let made = open.sheet(options, library);
    let mut request = None;
    let head = Frame::new().inner_margin(Margin { left: 16, right: 16, top: 4, bottom: 0 });
    head.show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.set_min_height(28.0);
            section(ui, "Bench sheet");
            before_change(ui);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                for paper in Paper::ALL.into_iter().rev() {
                    ui.selectable_value(&mut view.paper, paper, paper.words());
                }
            });
        });
    });
    let sheet = match made {
        Ok(sheet) => sheet,
        Err(error) => {
            complain(ui, &error.to_string());
            return None;
        }
    };
    let base = name_of(&open.design().name);
    let export = |what, extension: &'static str, text| {
        Request::Export(Export { what, extension, name: format!("{base} sheet.{extension}"), text })
    };
    let within = Frame::new().inner_margin(Margin { left: 16, right: 16, top: 0, bottom: 4 });
    let tools = |ui: &mut Ui| {
        let print = ui.button(RichText::new("Print…").color(Tokens::of(ui).accent));
        if print.on_hover_text("Open the sheet in the browser, which prints it").clicked() {
            request = Some(Request::Print(sheet.html(view.paper)));
        }
        ui.menu_button("Keep as a file", |ui| {
            if ui.button("Save as web page…").on_hover_text("For paper or a phone, in one file").clicked() {
                request = Some(export("Bench sheet", "html", sheet.html(view.paper)));
            }
            if ui.button("Save as text…").clicked() {
                request = Some(export("Bench sheet", "txt", sheet.text()));
            }
            if ui.button("Save as table…").on_hover_text("What to weigh, as CSV").clicked() {
                match sheet.csv() {
                    Ok(csv) => request = Some(export("Weights", "csv", csv)),
                    Err(error) => {
                        complain(ui, &error.to_string());
                    }
                }
            }
        });
    };
    within.show(ui, |ui| ui.horizontal_wrapped(tools));
    page::show(ui, &sheet);
    let is_stopped = sheet.stops().next().is_some();
    request.map(|request| if is_stopped { Request::DespiteStop(Box::new(request)) } else { request })
}
