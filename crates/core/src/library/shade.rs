//! The colour of soap as a screen shows it.

use std::fmt;

/// A colour, sRGB.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shade {
    /// Red, green and blue.
    pub rgb: [u8; 3],
}

impl Shade {
    /// A bar without a colourant, in whose place any bar is drawn as long as its colour is not forecast (our choice).
    pub const PLAIN: Self = Self { rgb: [0xec, 0xdf, 0xbf] };
}

/// Text that is no colour.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is no colour: write a # and six digits of 0–9 and a–f, as #b4523a")]
pub struct BadShade(String);

impl Shade {
    /// Reads a colour as pages of the web write it.
    ///
    /// # Errors
    /// [`BadShade`] if it is written otherwise.
    ///
    /// ```
    /// use barwright_core::library::shade::Shade;
    /// assert_eq!(Shade::read("#B4523a").map(|s| s.rgb), Ok([0xb4, 0x52, 0x3a]));
    /// assert!(Shade::read("brick").is_err());
    /// ```
    pub fn read(text: &str) -> Result<Self, BadShade> {
        let digits = text.trim().strip_prefix('#').unwrap_or_else(|| text.trim());
        let is_six = digits.len() == 6 && digits.bytes().all(|b| b.is_ascii_hexdigit());
        let number = u32::from_str_radix(digits, 16).ok().filter(|_| is_six);
        let [_, rgb @ ..] =
            number.map(u32::to_be_bytes).ok_or_else(|| BadShade(text.trim().chars().take(40).collect()))?;
        Ok(Self { rgb })
    }
}

impl fmt::Display for Shade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [red, green, blue] = self.rgb;
        write!(f, "#{red:02x}{green:02x}{blue:02x}")
    }
}
