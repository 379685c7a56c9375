//! The form in which a blend is typed or pasted as a list.

use super::{Context, Form, Refused};
use crate::theme::{self, Tokens};
use crate::widgets::{cut, name, small};
use barwright_core::design::edit::Edit;
use barwright_core::design::written::{Line, Says, Written};
use barwright_core::number::{self, fixed};
use barwright_core::units::{FatMass, Grams, MassUnit};
use eframe::egui::{Align, Id, Label, Layout, RichText, ScrollArea, TextEdit, Ui};

/// The form for a blend.
#[derive(Debug, Clone)]
pub struct BlendForm {
    text: String,
    /// What is written, as it was last understood.
    written: Written,
    /// Whether the batch becomes as large as the weights say.
    takes_size: bool,
    unit: MassUnit,
}

impl BlendForm {
    /// An empty form for a person who weighs in `unit`.
    pub fn new(unit: MassUnit) -> Self {
        Self { text: String::new(), written: Written::default(), takes_size: true, unit }
    }

    /// The mass of the fats, if it is written and wanted.
    fn size(&self) -> Option<FatMass> {
        self.written.mass().filter(|_| self.takes_size)
    }
}

fn text_id() -> Id {
    Id::unique("a blend as a list")
}

impl Form for BlendForm {
    fn title(&self) -> String {
        "Type or paste a blend".into()
    }

    fn take(&self) -> &'static str {
        "Use this blend"
    }

    fn first(&self) -> Id {
        text_id()
    }

    fn fields(&mut self, ui: &mut Ui, context: &Context<'_>) -> Option<Edit> {
        small(ui, "A fat and its amount on each line, in percent, as weights or as parts. Lye and water follow.");
        let field = TextEdit::multiline(&mut self.text)
            .id(text_id())
            .hint_text("Olive oil 40 %\nCoconut oil 30 %\n…")
            .desired_rows(7)
            .char_limit(20_000)
            .desired_width(f32::INFINITY);
        let response = ui.add(field);
        name(ui, &response, "The blend, a fat on each line");
        if response.changed() {
            self.written = Written::read(&self.text, context.library, self.unit);
        }
        if self.written.lines.is_empty() {
            return None;
        }
        ui.add_space(4.0);
        ScrollArea::vertical().id_salt("blend as understood").max_height(190.0).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for line in &self.written.lines {
                understood(ui, line, self.unit);
            }
        });
        self.sum(ui);
        None
    }

    fn edit(&mut self, _: &Context<'_>) -> Result<Edit, Refused> {
        let blend = self.written.blend().map_err(|e| e.to_string())?;
        Ok(Edit::WriteBlend(blend, self.size()))
    }
}

impl BlendForm {
    /// What it comes to.
    fn sum(&mut self, ui: &mut Ui) {
        let quiet = Tokens::of(ui).quiet;
        ui.separator();
        match self.written.blend() {
            Ok(blend) if blend.is_whole() => {
                ui.label(RichText::new("100 %").font(theme::strong(13.0)));
            }
            Ok(blend) => {
                let text = super::super::blend::off_whole(&blend).unwrap_or_default();
                ui.label(RichText::new(format!("{} %, {text}", fixed(blend.total(), 1))).font(theme::strong(13.0)));
            }
            Err(error) => {
                ui.add(Label::new(RichText::new(error.to_string()).color(quiet)).wrap());
            }
        }
        if let Some(mass) = self.written.mass() {
            let text = format!("Make the batch of {} of fats", number::mass(Grams(mass.get()), self.unit));
            ui.checkbox(&mut self.takes_size, text);
        }
    }
}

/// A line with what was understood of it.
fn understood(ui: &mut Ui, line: &Line, unit: MassUnit) {
    let tokens = Tokens::of(ui);
    ui.horizontal(|ui| match &line.says {
        Says::Fat(fat, amount) => {
            ui.label(RichText::new("✓").color(tokens.fine));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.label(amount.words(unit));
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    cut::one_line(ui, &fat.name, |name| RichText::new(name));
                });
            });
        }
        Says::Follows => {
            ui.label(RichText::new("–").color(tokens.quiet));
            ui.add(
                Label::new(RichText::new(format!("{}: left out, it follows", line.text)).color(tokens.quiet)).wrap(),
            );
        }
        Says::Unread(why) => {
            ui.label(RichText::new("?").color(tokens.care));
            ui.add(Label::new(RichText::new(format!("{}: {why}", line.text)).color(tokens.care)).wrap());
        }
    });
}
