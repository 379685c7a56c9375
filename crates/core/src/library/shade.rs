//! The colour of soap as a screen shows it.

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
