//! A photograph whose colours are read: decoded within bounds, and kept small.

use super::{PictureError, kind, read};
use barwright_core::chemistry::colour::photograph::{Light, mean};
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits, imageops::FilterType};
use std::io::Cursor;
use std::path::Path;

/// The most points that are decoded.
const MOST_POINTS: u64 = 60_000_000;
/// The most memory that decoding takes, bytes: three for each point, and as much again for the way there.
const MOST_MEMORY: u64 = 6 * MOST_POINTS;
/// The most points along a side that are kept.
const KEPT: u32 = 1200;
/// A place is so wide, as a part of the photograph's longer side: its mean evens out the grain.
const PLACE: u32 = 60;

/// A photograph in the points of a screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photograph {
    /// Points along its width and height.
    pub size: [usize; 2],
    /// Its points, row by row, each with red, green and blue.
    pub points: Vec<u8>,
}

impl Photograph {
    /// Reads the PNG or JPEG at `path`, upright and with at most 1200 points along a side.
    ///
    /// # Errors
    /// [`PictureError`] if it is no such picture, damaged or too large; never more than a bounded memory is taken.
    pub fn open(path: &Path) -> Result<Self, PictureError> {
        let bytes = read(path)?;
        let format = match kind(&bytes) {
            Some("png") => ImageFormat::Png,
            Some(_) => ImageFormat::Jpeg,
            None => return Err(PictureError::NoPicture(path.into())),
        };
        let damaged = |error| match error {
            ImageError::Limits(_) => PictureError::TooManyPoints(path.into()),
            _ => PictureError::Damaged(path.into()),
        };
        let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
        let mut limits = Limits::default();
        limits.max_alloc = Some(MOST_MEMORY);
        reader.limits(limits);
        let mut decoder = reader.into_decoder().map_err(damaged)?;
        let (width, height) = decoder.dimensions();
        if u64::from(width) * u64::from(height) > MOST_POINTS || decoder.total_bytes() > MOST_MEMORY {
            return Err(PictureError::TooManyPoints(path.into()));
        }
        let upright = decoder.orientation().unwrap_or(Orientation::NoTransforms);
        let mut image = DynamicImage::from_decoder(decoder).map_err(damaged)?;
        if width.max(height) > KEPT {
            // Points are left out, not mixed: a mean of what is written is no mean of light.
            image = image.resize(KEPT, KEPT, FilterType::Nearest);
        }
        image.apply_orientation(upright);
        let image = image.into_rgb8();
        let size = [image.width() as usize, image.height() as usize];
        Ok(Self { size, points: image.into_raw() })
    }

    /// The mean light of the place around `at`, a part of the width and of the height.
    pub fn light(&self, at: [f32; 2]) -> Option<Light> {
        let [width, height] = self.size;
        let half = (width.max(height) / PLACE as usize / 2).max(1);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the picture")]
        let middle = |part: f32, side: usize| (part.clamp(0.0, 1.0) * side as f32) as usize;
        let around = |middle: usize, side: usize| middle.saturating_sub(half)..(middle + half + 1).min(side);
        let rows = around(middle(at[1], height), height);
        let columns = around(middle(at[0], width), width);
        mean(rows.flat_map(|y| {
            let points = self.points.get(3 * (y * width + columns.start)..3 * (y * width + columns.end));
            points.unwrap_or_default().chunks_exact(3).map(|p| [p[0], p[1], p[2]])
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{ExtendedColorType, ImageEncoder};
    use std::path::PathBuf;

    fn written(folder: &Path, name: &str, bytes: &[u8]) -> PathBuf {
        let path = folder.join(name);
        std::fs::write(&path, bytes).expect("writes");
        path
    }

    /// A picture that is `left` in its left half and `right` in its right one.
    fn halves(left: [u8; 3], right: [u8; 3], [width, height]: [u32; 2]) -> Vec<u8> {
        (0..width * height).flat_map(|i| if i % width < width / 2 { left } else { right }).collect()
    }

    fn png(points: &[u8], [width, height]: [u32; 2]) -> Vec<u8> {
        let mut bytes = Vec::new();
        let encoder = image::codecs::png::PngEncoder::new(&mut bytes);
        encoder.write_image(points, width, height, ExtendedColorType::Rgb8).expect("encodes");
        bytes
    }

    fn jpeg(points: &[u8], [width, height]: [u32; 2]) -> Vec<u8> {
        let mut bytes = Vec::new();
        let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 95);
        encoder.write_image(points, width, height, ExtendedColorType::Rgb8).expect("encodes");
        bytes
    }

    #[test]
    fn a_place_has_the_colour_that_lies_there() {
        let folder = tempfile::tempdir().expect("a folder");
        let (left, right, size) = ([200, 180, 90], [240, 240, 240], [1800, 600]);
        let points = halves(left, right, size);
        for (name, bytes) in [("a.png", png(&points, size)), ("a.jpg", jpeg(&points, size))] {
            let photograph = Photograph::open(&written(folder.path(), name, &bytes)).expect("a picture");
            assert_eq!(photograph.size, [1200, 400], "made smaller");
            for (at, colour) in [([0.25, 0.5], left), ([0.75, 0.1], right), ([0.0, 0.0], left), ([1.0, 1.0], right)] {
                let (read, wanted) = (photograph.light(at).expect("light"), mean([colour]).expect("light"));
                for i in 0..3 {
                    assert!((read[i] - wanted[i]).abs() < 0.02, "{name} at {at:?}: {read:?} against {wanted:?}");
                }
            }
        }
    }

    /// The check sum of a PNG's part (PNG specification, W3C, annex D).
    fn crc(bytes: &[u8]) -> u32 {
        !bytes.iter().fold(!0_u32, |crc, byte| {
            (0..8).fold(crc ^ u32::from(*byte), |c, _| if c & 1 == 1 { 0xedb8_8320 ^ (c >> 1) } else { c >> 1 })
        })
    }

    #[test]
    fn hostile_files_are_refused_before_they_take_memory() {
        let folder = tempfile::tempdir().expect("a folder");
        let open = |name: &str, bytes: &[u8]| Photograph::open(&written(folder.path(), name, bytes));
        let size = [64, 64];
        let good = png(&halves([9; 3], [200; 3], size), size);
        // Says that it is huge, with a right check sum: 29,000 points each way would be 2.5 GB.
        let mut huge = good.clone();
        huge[16..20].copy_from_slice(&29_000_u32.to_be_bytes());
        huge[20..24].copy_from_slice(&29_000_u32.to_be_bytes());
        let sum = crc(&huge[12..29]).to_be_bytes();
        huge[29..33].copy_from_slice(&sum);
        assert!(matches!(open("huge.png", &huge), Err(PictureError::TooManyPoints(_))));
        // The same of a JPEG, in its frame header (ITU-T T.81, B.2.2).
        let mut wide = jpeg(&halves([9; 3], [200; 3], size), size);
        let frame = wide.windows(2).position(|w| w == [0xff, 0xc0]).expect("a frame");
        wide[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
        assert!(matches!(open("wide.jpg", &wide), Err(PictureError::TooManyPoints(_))));
        for cut in [9, 33, 50, good.len() / 2] {
            assert!(open("cut.png", &good[..cut]).is_err(), "cut after {cut}");
        }
        let whole = jpeg(&halves([9; 3], [200; 3], size), size);
        assert!(open("cut.jpg", &whole[..whole.len() / 3]).is_err());
        for bytes in [&b""[..], b"not a picture", b"GIF89a\x01\0\x01\0", b"\xff\xd8\xff", b"<svg/>"] {
            assert!(open("none.png", bytes).is_err(), "{bytes:?}");
        }
        assert!(Photograph::open(folder.path()).is_err(), "a folder is none");
    }
}
