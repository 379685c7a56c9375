//! The colour of a bar in a photograph that has white paper beside it.
//!
//! What a camera writes is turned to light (IEC 61966-2-1) and scaled by the paper, channel by channel, so that the
//! colour of the lamp and the exposure fall out.

use super::optics::Lab;
use palette::{FromColor, LinSrgb, Srgb};

/// White paper, L* (from memory: office paper has 93 to 96). It sends back nine tenths of the light, not all.
const PAPER: f64 = 95.0;
/// A channel from which on a camera may have cut the light off.
const BURNT_OUT: f64 = 0.985;
/// Paper darker than this tells too little of the lamp, as linear light.
const DARK: f64 = 0.08;
/// So much lighter than the paper no soap is.
const LIGHTER: f64 = 1.1;

/// Light in the three channels of a screen, linear, 1 being the most that a picture holds.
pub type Light = [f64; 3];

/// Why places in a photograph give no colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoReading {
    /// The paper is white to the end.
    #[error("the paper is burnt out there: take a place in the shade, or a darker photograph")]
    BurntOut,
    /// The paper is too dark.
    #[error("that is too dark for white paper: take another place, or a lighter photograph")]
    Dark,
    /// The bar is lighter than the paper.
    #[error("the bar is lighter than the paper there: were the two taken in turn?")]
    Lighter,
}

/// The mean light of points, each as a picture has it; `None` of none.
pub fn mean(points: impl IntoIterator<Item = [u8; 3]>) -> Option<Light> {
    let (mut sum, mut count) = ([0.0; 3], 0_u32);
    for [red, green, blue] in points {
        let light: LinSrgb<f64> = Srgb::new(red, green, blue).into_linear();
        for (sum, light) in sum.iter_mut().zip([light.red, light.green, light.blue]) {
            *sum += light;
        }
        count += 1;
    }
    (count > 0).then(|| sum.map(|sum| sum / f64::from(count)))
}

/// The colour under daylight of what sends back `bar` where white paper sends back `paper`.
///
/// # Errors
/// [`NoReading`] if the paper cannot be white paper, or the bar no bar beside it.
pub fn beside_paper(bar: Light, paper: Light) -> Result<Lab, NoReading> {
    if paper.iter().any(|light| *light >= BURNT_OUT) {
        return Err(NoReading::BurntOut);
    }
    if paper.iter().any(|light| *light < DARK) {
        return Err(NoReading::Dark);
    }
    let part: Light = std::array::from_fn(|i| bar[i] / paper[i]);
    if part.iter().all(|part| *part > LIGHTER) {
        return Err(NoReading::Lighter);
    }
    let white = LinSrgb::<f64>::from_color(Lab::new(PAPER, 0.0, 0.0));
    let [red, green, blue] = part;
    let light = LinSrgb::new(red * white.red, green * white.green, blue * white.blue);
    let seen = Lab::from_color(light);
    Ok(Lab::new(seen.l.clamp(0.0, 100.0), seen.a, seen.b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chemistry::colour::optics::{difference, on_screen};

    /// A surface as a camera writes it under a lamp.
    fn taken(colour: Lab, lamp: Light) -> [u8; 3] {
        let light = LinSrgb::<f64>::from_color(colour);
        let light = LinSrgb::new(light.red * lamp[0], light.green * lamp[1], light.blue * lamp[2]);
        let written: Srgb<u8> = Srgb::<f64>::from_linear(light).into_format();
        [written.red, written.green, written.blue]
    }

    #[test]
    fn the_lamp_and_the_exposure_fall_out() {
        let (bar, paper) = (Lab::new(80.0, 10.0, 45.0), Lab::new(PAPER, 0.0, 0.0));
        for lamp in [[1.0, 1.0, 1.0], [1.0, 0.8, 0.55], [0.5, 0.5, 0.6], [0.3, 0.25, 0.2]] {
            let light = |colour| mean(vec![taken(colour, lamp); 9]).expect("points");
            let read = beside_paper(light(bar), light(paper)).expect("a colour");
            assert!(difference(read, bar) < 1.5, "under {lamp:?}: {read:?}");
        }
        // Without the paper it would be far off.
        let raw = mean([taken(bar, [1.0, 0.8, 0.55])]).expect("a point");
        let raw = Lab::from_color(LinSrgb::new(raw[0], raw[1], raw[2]));
        assert!(difference(raw, bar) > 10.0, "{raw:?}");
    }

    #[test]
    fn a_mean_is_of_light_not_of_what_is_written() {
        // Half black and half white is 188, not 128 (IEC 61966-2-1).
        let grey = mean([[0; 3], [255; 3]]).expect("points");
        let written: Srgb<u8> = Srgb::<f64>::from_linear(LinSrgb::new(grey[0], grey[1], grey[2])).into_format();
        assert_eq!(written.red, 188);
        assert_eq!(mean([]), None);
        assert_eq!(on_screen(Lab::new(100.0, 0.0, 0.0)), [255; 3]);
    }

    #[test]
    fn places_that_cannot_be_paper_or_bar_are_refused() {
        assert_eq!(beside_paper([0.5; 3], [1.0, 0.9, 0.8]), Err(NoReading::BurntOut));
        assert_eq!(beside_paper([0.05; 3], [0.05; 3]), Err(NoReading::Dark));
        assert_eq!(beside_paper([0.8; 3], [0.4; 3]), Err(NoReading::Lighter));
    }
}
