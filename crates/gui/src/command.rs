//! Everything a person can ask the window to do; menus and keys read from this one list.

use crate::keyboard;
use eframe::egui::{Context, Key, KeyboardShortcut, Modifiers};

/// A command without arguments.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Command {
    /// An empty design.
    New,
    /// A design from a file.
    Open,
    /// The same, by a typed path.
    OpenTyped,
    /// To its file.
    Save,
    /// To another file.
    SaveAs,
    /// The same, by a typed path.
    SaveTyped,
    /// The design alone in a file for others.
    ShareCopy,
    /// A copy of this design beside it.
    Duplicate,
    /// A recipe from a book.
    TypeInRecipe,
    /// Closes this design.
    Close,
    /// Closes the window.
    Quit,
    /// Takes back a step.
    Undo,
    /// Does it again.
    Redo,
    /// Moves to the field that adds a fat.
    AddFat,
    /// A blend typed or pasted as a list.
    TypeBlend,
    /// A fat that is in no table.
    OwnFat,
    /// An addition that is in no table.
    OwnAddition,
    /// A colourant that is in no table.
    OwnColourant,
    /// A fragrance oil or another scent that is in no table.
    OwnScent,
    /// Shows the Design view.
    ShowDesign,
    /// Shows the Compare view.
    ShowCompare,
    /// Shows the Find view.
    ShowFind,
    /// Shows the Make view.
    ShowMake,
    /// Shows the Log view.
    ShowLog,
    /// Shows the Shelf view.
    ShowShelf,
    /// Another folder of designs for the Shelf view.
    ChooseFolder,
    /// The same, by a typed path.
    TypeFolder,
    /// Shows what looks wrong in a bar and what it means, or the view before again.
    ShowTroubles,
    /// Shows what the window is for, or the view before again.
    ShowHelp,
    /// Finds a command by its words.
    WhatToDo,
    /// Copies the recipe card.
    CopyCard,
    /// Saves the recipe card as a page.
    SaveCardPage,
    /// Saves it as Markdown.
    SaveCardMarkdown,
    /// Saves it as text.
    SaveCardText,
    /// Prints labels for the bars.
    PrintLabels,
    /// Prints gift tags.
    PrintTags,
    /// Prints the card that lies on bars while they cure.
    PrintCuring,
}

impl Command {
    /// All of them.
    pub const ALL: [Self; 37] = [
        Self::New,
        Self::Open,
        Self::OpenTyped,
        Self::Save,
        Self::SaveAs,
        Self::SaveTyped,
        Self::ShareCopy,
        Self::Duplicate,
        Self::TypeInRecipe,
        Self::Close,
        Self::Quit,
        Self::Undo,
        Self::Redo,
        Self::AddFat,
        Self::TypeBlend,
        Self::OwnFat,
        Self::OwnAddition,
        Self::OwnColourant,
        Self::OwnScent,
        Self::ShowDesign,
        Self::ShowCompare,
        Self::ShowFind,
        Self::ShowMake,
        Self::ShowLog,
        Self::ShowShelf,
        Self::ChooseFolder,
        Self::TypeFolder,
        Self::ShowTroubles,
        Self::ShowHelp,
        Self::WhatToDo,
        Self::CopyCard,
        Self::SaveCardPage,
        Self::SaveCardMarkdown,
        Self::SaveCardText,
        Self::PrintLabels,
        Self::PrintTags,
        Self::PrintCuring,
    ];

    /// Those that make a material of one's own.
    pub const OWN: [Self; 4] = [Self::OwnFat, Self::OwnAddition, Self::OwnColourant, Self::OwnScent];

    /// Those that give a person something to take away.
    pub const TAKEN_AWAY: [Self; 7] = [
        Self::CopyCard,
        Self::SaveCardPage,
        Self::SaveCardMarkdown,
        Self::SaveCardText,
        Self::PrintLabels,
        Self::PrintTags,
        Self::PrintCuring,
    ];

    /// Text of the button.
    pub const fn text(self) -> &'static str {
        match self {
            Self::New => "New",
            Self::Open => "Open…",
            Self::OpenTyped => "Open by path…",
            Self::Save => "Save",
            Self::SaveAs => "Save as…",
            Self::SaveTyped => "Save by path…",
            Self::ShareCopy => "Save a copy to share…",
            Self::Duplicate => "Duplicate",
            Self::TypeInRecipe => "Type in a recipe…",
            Self::Close => "Close",
            Self::Quit => "Quit",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::AddFat => "Add a fat",
            Self::TypeBlend => "Type or paste a blend…",
            Self::OwnFat => "A fat of your own…",
            Self::OwnAddition => "An addition of your own…",
            Self::OwnColourant => "A colourant of your own…",
            Self::OwnScent => "A fragrance oil or scent of your own…",
            Self::ShowDesign => "Design",
            Self::ShowCompare => "Compare",
            Self::ShowFind => "Find",
            Self::ShowMake => "Make",
            Self::ShowLog => "Log",
            Self::ShowShelf => "Shelf",
            Self::ChooseFolder => "Choose a folder…",
            Self::TypeFolder => "Folder by path…",
            Self::ShowTroubles => "Troubles",
            Self::ShowHelp => "Help",
            Self::WhatToDo => "What to do…",
            Self::CopyCard => "Copy the recipe card",
            Self::SaveCardPage => "Save the card as a web page…",
            Self::SaveCardMarkdown => "Save the card as Markdown…",
            Self::SaveCardText => "Save the card as text…",
            Self::PrintLabels => "Print labels…",
            Self::PrintTags => "Print gift tags…",
            Self::PrintCuring => "Print curing cards…",
        }
    }

    /// What it does, for the tooltip.
    pub const fn tip(self) -> &'static str {
        match self {
            Self::New => "Begin an empty design",
            Self::Open => "Open a design from a file",
            Self::OpenTyped => "Open a design by typing where its file is",
            Self::Save => "Save this design to its file",
            Self::SaveAs => "Save this design to another file",
            Self::SaveTyped => "Save this design by typing where its file goes",
            Self::ShareCopy => "The design in a file of its own, without its batches, pictures and people",
            Self::Duplicate => "Make a copy of this design beside it, to vary and compare",
            Self::TypeInRecipe => "Make a design of a recipe given in grams, and see the superfat it really has",
            Self::Close => "Close this design",
            Self::Quit => "Close the window",
            Self::Undo => "Take back the last step",
            Self::Redo => "Do the step again that was taken back",
            Self::AddFat => "Type a part of a fat’s name to add it",
            Self::TypeBlend => "A fat and its amount on each line, in percent, as weights or as parts",
            Self::OwnFat => "Its saponification value, and its fatty acids as on the certificate",
            Self::OwnAddition => "What it holds: water, sugars, acid",
            Self::OwnColourant => "Pigment, mica, oxide, clay or plant powder, with its usual amount",
            Self::OwnScent => "Its supplier’s limit, allergens, vanillin and flash point",
            Self::ShowDesign => "Blend, bar and batch of one design",
            Self::ShowCompare => "Two to four designs side by side",
            Self::ShowFind => {
                "The best blend for what you ask: the nearest without a fat, the cheapest inside the ranges"
            }
            Self::ShowMake => "Dates, cure, label and cost of a batch of this design",
            Self::ShowLog => "What was made of this design: weights, what was seen, test, where the bars went",
            Self::ShowShelf => "All designs of a folder with their scores and their cost, to find one again",
            Self::ChooseFolder => "Show the designs of another folder",
            Self::TypeFolder => "Show the designs of a folder by typing where it is",
            Self::CopyCard => {
                "Copy the recipe as text, to share: weights in grams, ounces and percent, nothing of one batch"
            }
            Self::SaveCardPage => "The recipe as a page that other programs can read too",
            Self::SaveCardMarkdown => "The recipe for a site or a forum that takes Markdown",
            Self::SaveCardText => "The recipe as plain text",
            Self::PrintLabels => "A page of labels; the weight stays blank until the bars are weighed",
            Self::PrintTags => "A page of tags to give with a bar",
            Self::PrintCuring => "Cards to lie on the bars until they are tested: curing, not yet safe",
            Self::ShowHelp => "What each view is for, keys, where files lie, licences",
            Self::WhatToDo => "Type a few words and press Enter: every command, with its key",
            Self::ShowTroubles => {
                "When something looks wrong in the pot, the mould or the bar: is it safe, why, what to do"
            }
        }
    }

    /// Its key, if it has one.
    pub const fn shortcut(self) -> Option<KeyboardShortcut> {
        const COMMAND_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
        let (modifiers, key) = match self {
            Self::New => (Modifiers::COMMAND, Key::N),
            Self::Open => (Modifiers::COMMAND, Key::O),
            Self::Save => (Modifiers::COMMAND, Key::S),
            Self::SaveAs => (COMMAND_SHIFT, Key::S),
            Self::Duplicate => (Modifiers::COMMAND, Key::D),
            Self::Close => (Modifiers::COMMAND, Key::W),
            Self::Undo => (Modifiers::COMMAND, Key::Z),
            Self::Redo => (COMMAND_SHIFT, Key::Z),
            Self::AddFat => (Modifiers::COMMAND, Key::K),
            Self::TypeBlend => (Modifiers::COMMAND, Key::B),
            Self::ShowDesign => (Modifiers::COMMAND, Key::Num1),
            Self::ShowCompare => (Modifiers::COMMAND, Key::Num2),
            Self::ShowFind => (Modifiers::COMMAND, Key::Num3),
            Self::ShowMake => (Modifiers::COMMAND, Key::Num4),
            Self::ShowLog => (Modifiers::COMMAND, Key::Num5),
            Self::ShowShelf => (Modifiers::COMMAND, Key::Num6),
            Self::ShowTroubles => (Modifiers::COMMAND, Key::T),
            Self::ShowHelp => (Modifiers::NONE, Key::F1),
            Self::WhatToDo => (COMMAND_SHIFT, Key::P),
            // The toolkit itself turns Ctrl+Q into a request to close the window.
            Self::OpenTyped
            | Self::SaveTyped
            | Self::ShareCopy
            | Self::ChooseFolder
            | Self::TypeFolder
            | Self::TypeInRecipe
            | Self::OwnFat
            | Self::OwnAddition
            | Self::OwnColourant
            | Self::OwnScent
            | Self::Quit
            | Self::CopyCard
            | Self::SaveCardPage
            | Self::SaveCardMarkdown
            | Self::SaveCardText
            | Self::PrintLabels
            | Self::PrintTags
            | Self::PrintCuring => return None,
        };
        Some(KeyboardShortcut::new(modifiers, key))
    }

    /// A second key that people have in their hands.
    pub const fn other_shortcut(self) -> Option<KeyboardShortcut> {
        match self {
            Self::Redo => Some(KeyboardShortcut::new(Modifiers::COMMAND, Key::Y)),
            _ => None,
        }
    }

    /// The commands whose keys were pressed in this frame. Keys with more modifiers are looked
    /// at first, or Ctrl+S would swallow Ctrl+Shift+S. A field with unfinished text keeps undo
    /// and redo to itself.
    pub fn pressed(ctx: &Context) -> Vec<Self> {
        let typing = keyboard::is_typing(ctx);
        let mut keyed: Vec<(KeyboardShortcut, Self)> = Self::ALL
            .into_iter()
            .filter(|c| !(typing && matches!(c, Self::Undo | Self::Redo)))
            .flat_map(|c| c.shortcut().into_iter().chain(c.other_shortcut()).map(move |s| (s, c)))
            .collect();
        keyed.sort_by_key(|(s, _)| !s.modifiers.shift);
        ctx.input_mut(|input| keyed.into_iter().filter(|(s, _)| input.consume_shortcut(s)).map(|(_, c)| c).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_commands_share_a_key() {
        let keys = Command::ALL.into_iter().flat_map(|c| [c.shortcut(), c.other_shortcut()]).flatten();
        let keys: Vec<_> = keys.collect();
        for (i, key) in keys.iter().enumerate() {
            assert!(!keys[..i].contains(key), "{key:?} stands for two commands");
        }
    }
}
