//! Design files: RON text with a version, read and written without losing anything.

mod place;
mod v1;

use crate::design::Design;
use crate::design::log::Log;
use crate::design::shelf::Shelf;
use crate::library::Library;
use serde::Deserialize;

/// The format version this program writes.
pub const VERSION: u32 = 1;
/// The longest file that is read, bytes; a design with a hundred fats and five hundred batches takes a third of it.
pub const MOST_BYTES: usize = 16 << 20;
/// The version of the shelf’s file that this program writes.
pub const SHELF_VERSION: u32 = 1;
/// Extension of design files.
pub const EXTENSION: &str = "barwright";

/// Why bytes are no design. The file itself is never touched by reading.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DocumentError {
    /// Longer than any design.
    #[error("the file is {bytes} bytes long; a design has at most {MOST_BYTES}")]
    TooLarge {
        /// Its length.
        bytes: usize,
    },
    /// Not UTF-8.
    #[error("byte {offset} is not UTF-8 text, so this is no design file")]
    NotText {
        /// Where the first bad byte is.
        offset: usize,
    },
    /// Text, but not of this kind.
    #[error("this is not a Barwright design: it does not begin with (barwright: {VERSION}, …")]
    NotADesign,
    /// Text, but no shelf.
    #[error("this is no shelf of this program: it does not begin with (barwright_shelf: {SHELF_VERSION}, …")]
    NotAShelf,
    /// From another version of the program.
    #[error(
        "the file has format version {found} and this program reads version {VERSION}; \
         open it with a program that knows version {found}. The file was not changed"
    )]
    Version {
        /// The version in the file.
        found: u32,
    },
    /// Something in the text is wrong.
    #[error("line {line}, column {column}: {message}")]
    At {
        /// Line, from 1.
        line: usize,
        /// Column in characters, from 1.
        column: usize,
        /// What is wrong there.
        message: String,
    },
}

#[derive(Deserialize)]
struct Header {
    barwright: u32,
}

/// The reader's error with its place, in words that do not speak of the reader.
fn at(text: &str, error: &ron::error::SpannedError) -> DocumentError {
    let message = match &error.code {
        ron::Error::Message(text) => text.clone(),
        ron::Error::ExceededRecursionLimit => "brackets are nested deeper than in any design".into(),
        code => code.to_string(),
    };
    place::behind(text, error.span.start, message)
}

/// Whether `error` says that the text is not even built like a design.
const fn is_another_kind(error: &ron::Error) -> bool {
    matches!(
        error,
        ron::Error::MissingStructField { .. }
            | ron::Error::ExpectedNamedStructLike(_)
            | ron::Error::ExpectedDifferentStructName { .. }
            | ron::Error::ExpectedStructLike
    )
}

/// Whether `bytes` are a design's, of this or another version of the format, be there mistakes in it or not.
///
/// ```
/// use barwright_core::design::document::is_design;
/// assert!(is_design(b"(barwright: 7, fats: wrong)") && !is_design(b"<!DOCTYPE html>"));
/// assert!(is_design(b"/* mine */ design( // so\n name: \"x\", fats: [], barwright : 1)"));
/// ```
pub fn is_design(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else { return false };
    // Comments, extensions of the notation, a name and other fields may stand before it.
    let names =
        |field: &str| text.match_indices(field).any(|(at, _)| text[at + field.len()..].trim_start().starts_with(':'));
    names("barwright") && (names("fats") || text.trim_start_matches('\u{feff}').trim_start().starts_with('('))
}

/// What a design’s file holds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Document {
    /// The design.
    pub design: Design,
    /// What was made of it.
    pub log: Log,
}

/// The text in `bytes`.
fn text_in(bytes: &[u8]) -> Result<&str, DocumentError> {
    if bytes.len() > MOST_BYTES {
        return Err(DocumentError::TooLarge { bytes: bytes.len() });
    }
    let text = std::str::from_utf8(bytes).map_err(|e| DocumentError::NotText { offset: e.valid_up_to() })?;
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}

/// Reads a design with its batches. Fats whose record the file does not hold are filled in from `library`.
///
/// # Errors
/// [`DocumentError`], with line and column where there is a place to name.
pub fn read_with_log(bytes: &[u8], library: &Library) -> Result<Document, DocumentError> {
    let text = text_in(bytes)?;
    let header: Header = ron::from_str(text).map_err(|e| {
        if text.contains("barwright") && !is_another_kind(&e.code) { at(text, &e) } else { DocumentError::NotADesign }
    })?;
    match header.barwright {
        VERSION => v1::read(text, library),
        found => Err(DocumentError::Version { found }),
    }
}

/// Reads the design alone, as what is only told of it needs; who saves it again reads it [with its
/// log](read_with_log).
///
/// # Errors
/// As of [`read_with_log`].
///
/// ```
/// use barwright_core::design::document;
/// use barwright_core::{Library};
/// let library = Library::embedded()?;
/// let text = r#"(barwright: 1, name: "Plain", fats: [(fat: "olive_virgin", share: 100)])"#;
/// assert_eq!(document::read(text.as_bytes(), &library)?.name, "Plain");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn read(bytes: &[u8], library: &Library) -> Result<Design, DocumentError> {
    read_with_log(bytes, library).map(|document| document.design)
}

/// `text`, unless it is longer than what is read again.
fn readable(text: String) -> Result<String, ron::Error> {
    if text.len() > MOST_BYTES {
        return Err(ron::Error::Message(format!(
            "it would be {} bytes long, and at most {MOST_BYTES} are read again: go on with a copy without the log",
            text.len()
        )));
    }
    Ok(text)
}

/// Writes `design` and its `log` as text that [`read_with_log`] turns back into the same.
///
/// # Errors
/// A message where the text would be longer than what is read again; nothing else is known that makes it fail.
pub fn write_with_log(design: &Design, log: &Log, library: &Library) -> Result<String, ron::Error> {
    v1::write(design, log, library).and_then(readable)
}

/// Writes `design` without batches.
///
/// # Errors
/// As of [`write_with_log`].
pub fn write(design: &Design, library: &Library) -> Result<String, ron::Error> {
    write_with_log(design, &Log::default(), library)
}

#[derive(Deserialize)]
struct ShelfHeader {
    barwright_shelf: u32,
}

/// Reads a shelf.
///
/// # Errors
/// [`DocumentError`], with line and column where there is a place to name.
pub fn read_shelf(bytes: &[u8], library: &Library) -> Result<Shelf, DocumentError> {
    let text = text_in(bytes)?;
    let header: ShelfHeader = ron::from_str(text).map_err(|e| {
        let is_one = text.contains("barwright_shelf") && !is_another_kind(&e.code);
        if is_one { at(text, &e) } else { DocumentError::NotAShelf }
    })?;
    match header.barwright_shelf {
        SHELF_VERSION => v1::read_shelf(text, library),
        found => Err(DocumentError::Version { found }),
    }
}

/// Writes `shelf` as text that [`read_shelf`] turns back into the same.
///
/// # Errors
/// As of [`write_with_log`].
pub fn write_shelf(shelf: &Shelf, library: &Library) -> Result<String, ron::Error> {
    v1::write_shelf(shelf, library).and_then(readable)
}

#[cfg(test)]
mod tests;
