//! Pictures of a batch: checked before they are taken, and kept beside the design’s file in a folder of their own.

pub mod photograph;

use crate::files::{self, FileError};
use barwright_core::design::log::{BatchCode, NoPictureName, PictureName, Stage};
use std::path::{Path, PathBuf};

/// What picture files are called.
pub const EXTENSIONS: [&str; 3] = ["png", "jpg", "jpeg"];
/// The largest picture that is kept, bytes.
const MOST_BYTES: usize = 20_000_000;
/// The most pictures of one batch.
const MOST_OF_BATCH: u32 = 200;

/// Why a picture is not kept.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// The design has no file that it could lie beside.
    #[error("save the design first: its pictures lie in a folder beside its file")]
    NoFile,
    /// It could not be read or written.
    #[error("{path}: {error}", path = path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// What the system said.
        error: std::io::Error,
    },
    /// It could not be put beside the design.
    #[error(transparent)]
    Write(#[from] FileError),
    /// What is in the file is no picture.
    #[error("{} is no PNG or JPEG picture, by what is in it", .0.display())]
    NoPicture(PathBuf),
    /// It is too large.
    #[error("{} is larger than 20 MB: make it smaller first", .0.display())]
    TooLarge(PathBuf),
    /// It has more points than are held in memory.
    #[error("{} has more points than are read here (60 million): make it smaller first", .0.display())]
    TooManyPoints(PathBuf),
    /// It begins like a picture and cannot be read to its end.
    #[error("{} cannot be read as a picture: it is damaged or cut off", .0.display())]
    Damaged(PathBuf),
    /// There are as many as a batch has.
    #[error("a batch has at most {MOST_OF_BATCH} pictures")]
    TooMany,
    /// Its name would be none.
    #[error(transparent)]
    Name(#[from] NoPictureName),
}

/// The kind of picture that begins with `bytes`, by its extension; `None` for anything else, and for one that says it
/// has no size or a huge one.
fn kind(bytes: &[u8]) -> Option<&'static str> {
    const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";
    const JPEG: &[u8] = b"\xff\xd8\xff";
    /// The most points along a side.
    const MOST: u32 = 30_000;
    if bytes.starts_with(PNG) {
        // The first part of a PNG holds its width and height (PNG specification, W3C).
        let side = |at: usize| bytes.get(at..at + 4)?.try_into().ok().map(u32::from_be_bytes);
        let is_sized = |n: Option<u32>| n.is_some_and(|n| (1..=MOST).contains(&n));
        let has_header = bytes.get(12..16) == Some(b"IHDR");
        return (has_header && is_sized(side(16)) && is_sized(side(20))).then_some("png");
    }
    bytes.starts_with(JPEG).then_some("jpg")
}

/// The folder for the pictures of the design at `design`.
pub fn folder(design: &Path) -> PathBuf {
    design.with_extension("pictures")
}

/// Where the picture `name` of the design at `design` lies.
pub fn path(design: &Path, name: &PictureName) -> PathBuf {
    folder(design).join(name.as_str())
}

/// The bytes of the file at `source`, if it is one and no larger than a picture that is kept.
fn read(source: &Path) -> Result<Vec<u8>, PictureError> {
    let failed = |error| PictureError::File { path: source.into(), error };
    // A pipe or a device is none, and is not read.
    if !std::fs::metadata(source).map_err(failed)?.is_file() {
        return Err(PictureError::NoPicture(source.into()));
    }
    let bytes = files::read_bounded(source, MOST_BYTES).map_err(failed)?;
    if bytes.len() > MOST_BYTES {
        return Err(PictureError::TooLarge(source.into()));
    }
    Ok(bytes)
}

/// Copies the picture at `source` into the folder of the design at `design`, as one of `code` taken at `stage`.
///
/// # Errors
/// [`PictureError`]; nothing is kept then.
pub fn keep(source: &Path, design: &Path, code: BatchCode, stage: Stage) -> Result<PictureName, PictureError> {
    let bytes = read(source)?;
    let extension = kind(&bytes).ok_or_else(|| PictureError::NoPicture(source.into()))?;
    let folder = folder(design);
    let failed = |path: &Path| {
        let path = path.to_owned();
        move |error| PictureError::File { path, error }
    };
    std::fs::create_dir_all(&folder).map_err(failed(&folder))?;
    for nth in 1..=MOST_OF_BATCH {
        let name = PictureName::new(&format!("{code} {} {nth}.{extension}", stage.words()))?;
        let to = folder.join(name.as_str());
        if !to.exists() {
            files::write_plain(&to, &bytes)?;
            return Ok(name);
        }
    }
    Err(PictureError::TooMany)
}

#[cfg(test)]
mod tests {
    use super::*;
    use barwright_core::design::words::Day;

    fn png(width: u32) -> Vec<u8> {
        let mut bytes = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
        bytes.extend(width.to_be_bytes());
        bytes.extend(8_u32.to_be_bytes());
        bytes
    }

    #[test]
    fn only_what_is_a_picture_is_kept_and_none_over_another() {
        let place = tempfile::tempdir().expect("a temporary folder");
        let (design, source) = (place.path().join("bar.barwright"), place.path().join("a.png"));
        let code = BatchCode::of(Day::try_from("2026-11-28".to_owned()).expect("a day"), 0);
        let keep = || keep(&source, &design, code, Stage::Cut);
        for bytes in [b"not a picture".to_vec(), Vec::new(), b"\x89PNG\r\n\x1a\n".to_vec(), png(0), png(4_000_000)] {
            std::fs::write(&source, bytes).expect("writes");
            assert!(matches!(keep(), Err(PictureError::NoPicture(_))));
        }
        assert!(!folder(&design).exists(), "nothing is made of it");
        std::fs::write(&source, png(8)).expect("writes");
        let names = [keep().expect("a picture"), keep().expect("another")];
        assert_eq!(names.each_ref().map(PictureName::as_str), ["2026-11-28A as cut 1.png", "2026-11-28A as cut 2.png"]);
        assert!(path(&design, &names[0]).exists());
        std::fs::File::create(&source).and_then(|f| f.set_len(MOST_BYTES as u64 + 1)).expect("a large file");
        assert!(matches!(keep(), Err(PictureError::TooLarge(_))));
    }
}
