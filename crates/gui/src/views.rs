//! The views of the window.

pub mod compare;
pub mod design;
pub mod figures;
pub mod find;
pub mod help;
pub mod log;
pub mod make;
pub mod recipe;
pub mod shelf;
pub mod stops;
pub mod troubles;
pub mod why;

use crate::command::Command;
use crate::files::Export;
use crate::open::Key;
use crate::widgets::number_field::{Entry, NumberField};
use barwright_core::Design;
use barwright_core::design::edit::Edit;
use barwright_core::design::history::Gesture;
use barwright_core::design::log::{BatchCode, Entry as LogEntry, Stage};
use barwright_core::design::shelf::ShelfEdit;
use barwright_core::design::words::{Day, Line};
use barwright_core::library::material::MaterialId;
use barwright_core::render::pages::Kind;
use eframe::egui::{Id, Response, Ui};
use std::path::PathBuf;

/// A picture that is to be kept with a batch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPicture {
    /// The batch.
    pub of: BatchCode,
    /// When it was taken.
    pub on: Day,
    /// At which stage.
    pub stage: Stage,
    /// What it shows.
    pub words: Line,
}

/// Which photograph a form wants to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wanted {
    /// The one that the person chooses.
    Chosen,
    /// The one that lies here.
    At(PathBuf),
}

/// What a view asks for beyond edits of the design in hand.
#[derive(Debug)]
pub enum Request {
    /// These designs in the columns of Compare, in this order.
    Columns(Vec<Key>),
    /// A change of this design, as a step of its own.
    Change(Key, Box<Edit>),
    /// The last step of this design is taken back.
    Undo(Key),
    /// A copy of this design in a column of its own, to vary.
    Copy(Key),
    /// One of the designs that come with the program.
    Example(usize),
    /// The compared design's marks are no longer wanted.
    StopComparing,
    /// Another blend is looked for without this fat.
    Replace(MaterialId),
    /// A design of its own, beside the one in hand.
    Open(Box<Design>),
    /// The design in this file, to work on.
    OpenFile(PathBuf),
    /// The design in this file beside the one in hand.
    CompareFile(PathBuf),
    /// The Design view.
    ShowDesign,
    /// The page on what looks wrong.
    ShowTroubles,
    /// The view under a page again.
    ClosePage,
    /// A place to type a blend.
    TypeBlend,
    /// A file with a text.
    Export(Export),
    /// A page for the browser.
    Print(String),
    /// A page or a file of a batch that a Stop stands against: asked about first.
    DespiteStop(Box<Self>),
    /// A batch of this design as it is made.
    Begin(Box<Design>),
    /// An entry of a batch of the design in hand.
    Enter(BatchCode, Box<LogEntry>),
    /// A picture of a batch of the design in hand: asked for, and kept beside the design’s file.
    Picture(NewPicture),
    /// A sentence at the bottom of the window.
    Tell(String),
    /// A photograph for the form that is open.
    Photograph(Wanted),
    /// A page of a batch of the design in hand.
    PrintOfBatch(BatchCode, Kind),
    /// These designs beside the one in hand, in the columns of Compare.
    CompareThese(Vec<Design>),
    /// Changes of the shelf, all or none.
    OnShelf(Vec<ShelfEdit>),
    /// The shelf is read again, and taken if it is free.
    LookAtShelf,
    /// A table of lots, to be looked at before it is taken.
    ReadTable,
    /// A blend is looked for that uses up this fat of the shelf.
    UseUp(MaterialId),
    /// What this command does.
    Run(Command),
}

/// What a view asks for in one frame. Views read designs and never write them.
#[derive(Debug, Default)]
pub struct Changes {
    /// Edits of the design in hand in order, each perhaps a part of a gesture.
    pub edits: Vec<(Edit, Option<Gesture>)>,
    /// Whether a drag ended in this frame.
    pub gesture_ended: bool,
    /// What else is asked for, in order.
    pub requests: Vec<Request>,
}

impl Changes {
    /// Asks for `edit` as a step of its own.
    pub fn edit(&mut self, edit: Edit) {
        self.edits.push((edit, None));
    }

    /// Asks for something beyond an edit.
    pub fn request(&mut self, request: Request) {
        self.requests.push(request);
    }

    /// Asks for `edit` as a part of what is going on at the control named `id`.
    pub fn gesture(&mut self, edit: Edit, id: Id) {
        self.edits.push((edit, Some(Gesture(id.value()))));
    }

    /// Draws `field` and asks for what the person does in it: `edit` of a typed value that `read`
    /// takes, or of the value that `step` gives for the arrow keys (+1 or −1).
    pub fn field<T>(
        &mut self,
        ui: &mut Ui,
        field: &NumberField<'_>,
        read: impl FnOnce(&str) -> Result<T, String>,
        step: impl FnOnce(f64) -> Option<T>,
        edit: impl FnOnce(T) -> Edit,
    ) -> Response {
        let (response, entry) = field.show(ui, read);
        match entry {
            Entry::Typed(value) => self.edit(edit(value)),
            Entry::Steps(steps) => {
                if let Some(value) = step(steps) {
                    self.gesture(edit(value), response.id);
                }
            }
            Entry::None => {}
        }
        self.watch(&response);
        response
    }

    /// Notes when the hand leaves the control of `response`.
    pub fn watch(&mut self, response: &Response) {
        let by_another_way = response.changed() && !response.dragged() && !response.has_focus();
        self.gesture_ended |= response.drag_stopped() || response.lost_focus() || by_another_way;
    }
}
