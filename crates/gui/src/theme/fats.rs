//! The colours of the fats: a fat has the same one in every view, whatever else is open.

use super::hex;
use barwright_core::Library;
use eframe::egui::Color32;

/// The hues, chosen to stay apart for colour-blind eyes. Their order, and the turn, keep fats that often
/// go together as far apart as these hues can, also for eyes that see no green.
const HUES: [Color32; 12] = [
    hex(0x006f_a3c7),
    hex(0x005f_6f80),
    hex(0x008a_993b),
    hex(0x007a_588c),
    hex(0x00c5_7f94),
    hex(0x004f_8a5b),
    hex(0x003d_7c8b),
    hex(0x006b_4f3a),
    hex(0x00b8_885a),
    hex(0x00a6_99c9),
    hex(0x00a8_503f),
    hex(0x00d0_a63a),
];

/// What each further dozen of fats is mixed with, and how much of it.
const SHADES: [(Color32, f32); 5] = [
    (Color32::WHITE, 0.0),
    (Color32::WHITE, 0.3),
    (Color32::BLACK, 0.3),
    (Color32::WHITE, 0.5),
    (Color32::from_gray(140), 0.55),
];

/// How far the hues turn from one dozen to the next.
const TURN: usize = 3;

/// The colour of the fat named `id`: by its place in the library, or by its name if it is of one's own.
pub fn fat_colour(id: &str, library: &Library) -> Color32 {
    let place = library.fats().iter().position(|fat| fat.id.as_str() == id).unwrap_or_else(|| scattered(id));
    let dozen = place / HUES.len();
    let hue = HUES[(place + TURN * dozen) % HUES.len()];
    let (other, part) = SHADES[dozen % SHADES.len()];
    hue.lerp_to_gamma(other, part)
}

/// A place for a name that the library does not have, the same in every session.
fn scattered(name: &str) -> usize {
    const PLACES: usize = HUES.len() * SHADES.len();
    // Horner's rule, with any odd factor that mixes the letters.
    name.bytes().fold(0, |place, byte| (31 * place + usize::from(byte)) % PLACES)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::examples;
    use crate::theme::{DARK, LIGHT, contrast};
    use std::collections::BTreeSet;

    #[test]
    fn no_two_fats_of_the_library_look_the_same() {
        let library = Library::embedded().expect("assets parse");
        let colours: BTreeSet<[u8; 4]> =
            library.fats().iter().map(|f| fat_colour(f.id.as_str(), &library).to_array()).collect();
        assert_eq!(colours.len(), library.fats().len(), "a colour for each fat");
    }

    #[test]
    fn fats_that_go_together_are_told_apart() {
        let library = Library::embedded().expect("assets parse");
        let soaps = library.styles().iter().flat_map(|s| &s.references);
        let mut blends: Vec<Vec<String>> =
            soaps.map(|soap| soap.fats.iter().map(|(fat, _)| fat.id.to_string()).collect()).collect();
        for example in examples::ALL.iter().chain([&examples::STARTER]) {
            let design = example.design(&library).expect("it opens");
            blends.push(design.blend.lines().iter().map(|l| l.fat.id.to_string()).collect());
        }
        for blend in blends {
            for (i, a) in blend.iter().enumerate() {
                for b in &blend[..i] {
                    let [one, other] = [a, b].map(|id| fat_colour(id, &library).to_array());
                    let squares = one.iter().zip(other).map(|(x, y)| f64::from(x.abs_diff(y)).powi(2));
                    let apart = squares.sum::<f64>().sqrt();
                    assert!(apart >= 45.0, "{a} and {b} are {apart:.0} steps of colour apart");
                }
            }
        }
    }

    #[test]
    fn every_fat_stands_out_from_what_is_behind_it() {
        let library = Library::embedded().expect("assets parse");
        for fat in library.fats() {
            let colour = fat_colour(fat.id.as_str(), &library);
            for (theme, tokens) in [("light", LIGHT), ("dark", DARK)] {
                for ground in [tokens.ground, tokens.panel] {
                    let ratio = contrast(colour, ground);
                    assert!(ratio >= 1.25, "{theme}: {} has {ratio:.2}", fat.id);
                }
            }
        }
    }

    #[test]
    fn a_fat_of_ones_own_has_a_colour_that_its_name_alone_decides() {
        let library = Library::embedded().expect("assets parse");
        let colours: BTreeSet<[u8; 4]> =
            ["own_tallow", "own_ghee", "own_marula"].map(|id| fat_colour(id, &library).to_array()).into();
        assert_eq!(colours.len(), 3, "names scatter");
        assert_eq!(fat_colour("own_ghee", &library), fat_colour("own_ghee", &library), "each time the same");
    }
}
