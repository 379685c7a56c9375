//! Design files: RON text with a version, read and written without losing anything.

mod place;
mod v1;

use crate::design::Design;
use crate::library::Library;
use serde::Deserialize;

/// The format version this program writes.
pub const VERSION: u32 = 1;
/// The longest file that is read, bytes; a design with a hundred fats takes a tenth of it.
pub const MOST_BYTES: usize = 4 << 20;
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

/// Reads a design. Fats whose record the file does not hold are filled in from `library`.
///
/// # Errors
/// [`DocumentError`], with line and column where there is a place to name.
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
    if bytes.len() > MOST_BYTES {
        return Err(DocumentError::TooLarge { bytes: bytes.len() });
    }
    let text = std::str::from_utf8(bytes).map_err(|e| DocumentError::NotText { offset: e.valid_up_to() })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let header: Header = ron::from_str(text).map_err(|e| {
        if text.contains("barwright") && !is_another_kind(&e.code) { at(text, &e) } else { DocumentError::NotADesign }
    })?;
    match header.barwright {
        VERSION => v1::read(text, library),
        found => Err(DocumentError::Version { found }),
    }
}

/// Writes `design` as text that [`read`] turns back into the same design.
///
/// # Errors
/// A message from the RON writer; no design is known that makes it fail.
pub fn write(design: &Design, library: &Library) -> Result<String, ron::Error> {
    v1::write(design, library)
}
