//! What shade a bar will be: how much pigment is in it, and what light it sends back.
//!
//! The pigments are added up as mg in a kilogram of cured bar ([`content`]); absorption over scattering gives the
//! light that comes back, band by band, and that a colour ([`optics`]); how strongly a milligram colours is known
//! within a factor of two ([`strength`]), so that a [`forecast`] is a band of colours, never one. Two looks at one bar tell
//! how fast it pales ([`fading`]).

pub mod content;
pub mod fading;
pub mod forecast;
pub mod optics;
pub mod photograph;
pub mod sought;
pub mod strength;
pub mod unknown;
