//! What follows from a design: masses, lye, jug, scores, margin, drying. Numbers only, never words.

pub mod alkali;
pub mod as_weighed;
pub mod colour;
pub mod cure;
pub mod drying;
pub mod fatty_matter;
pub mod in_water;
pub mod inputs;
pub mod jug;
pub mod keeping;
pub mod margin;
pub mod masses;
pub mod recipe;
pub mod rounding;
pub mod scale;
pub mod scents;
pub mod size;
pub mod solution;
pub mod spread;
pub mod sugars;
pub mod titre;
pub mod water;
