//! The colours of the fats: a fat has the same one in every view, in every file and for ever.

use super::hex;
use eframe::egui::Color32;

/// Twelve hues, each in five tones, and a row of hues between them. All have at least 3 : 1 against the grounds of both themes, which leaves a narrow
/// band of lightness; neighbours in a stack are told apart by a gap and a label besides.
const TONES: [[Color32; 12]; 6] = [
    [
        hex(0x00ae_5e59),
        hex(0x00b8_7646),
        hex(0x0092_701d),
        hex(0x0088_8937),
        hex(0x0057_803e),
        hex(0x003f_956c),
        hex(0x0006_8383),
        hex(0x002f_8fb6),
        hex(0x0050_75b3),
        hex(0x0087_7cc3),
        hex(0x0094_639f),
        hex(0x00b9_6e92),
    ],
    [
        hex(0x00c0_6e68),
        hex(0x00a7_6536),
        hex(0x00a3_8031),
        hex(0x0078_7925),
        hex(0x0066_904e),
        hex(0x002c_845c),
        hex(0x000f_9494),
        hex(0x0016_7ea5),
        hex(0x0060_86c5),
        hex(0x0077_6cb1),
        hex(0x00a5_73b0),
        hex(0x00a7_5e82),
    ],
    [
        hex(0x009f_7470),
        hex(0x009a_7760),
        hex(0x008e_7d59),
        hex(0x007f_815b),
        hex(0x006f_8564),
        hex(0x0060_8771),
        hex(0x0054_8787),
        hex(0x005b_8498),
        hex(0x006c_7fa0),
        hex(0x007f_7a9f),
        hex(0x008f_7695),
        hex(0x009b_7385),
    ],
    [
        hex(0x00d3_5551),
        hex(0x00c3_6507),
        hex(0x00a0_7809),
        hex(0x0082_8303),
        hex(0x004d_8e17),
        hex(0x000e_905f),
        hex(0x0013_8d8d),
        hex(0x0006_88b4),
        hex(0x0042_7dde),
        hex(0x0083_6eda),
        hex(0x00ad_60bf),
        hex(0x00c8_5692),
    ],
    [
        hex(0x008b_6c69),
        hex(0x0087_6e5e),
        hex(0x007e_7259),
        hex(0x0074_755a),
        hex(0x0068_7860),
        hex(0x005e_796a),
        hex(0x0056_7a79),
        hex(0x005b_7786),
        hex(0x0066_748b),
        hex(0x0073_708a),
        hex(0x007f_6d84),
        hex(0x0088_6c78),
    ],
    [
        hex(0x00c9_5c3b),
        hex(0x00af_6d08),
        hex(0x0090_7c07),
        hex(0x006a_8711),
        hex(0x0038_8c45),
        hex(0x0010_8c76),
        hex(0x000e_889f),
        hex(0x002f_80c6),
        hex(0x0067_73d8),
        hex(0x0097_65c9),
        hex(0x00b9_5aa9),
        hex(0x00c9_5475),
    ],
];

/// The hue and the tone of each fat of the library, chosen so that fats that often go together are far apart. Another
/// fat gets a line of its own and changes none of these.
const FATS: [(&str, u8, u8); 64] = [
    ("coconut", 7, 0),
    ("palm", 2, 0),
    ("canola", 1, 3),
    ("mustard", 8, 0),
    ("sunflower_high_oleic", 11, 0),
    ("rice_bran", 10, 0),
    ("safflower_high_oleic", 6, 0),
    ("flaxseed", 7, 1),
    ("sesame", 8, 1),
    ("soya", 9, 1),
    ("palm_kernel", 5, 0),
    ("palm_stearin", 11, 1),
    ("palm_olein", 10, 1),
    ("babassu", 3, 1),
    ("walnut", 0, 1),
    ("sunflower", 3, 0),
    ("sunflower_mid_oleic", 1, 1),
    ("safflower", 4, 1),
    ("rapeseed_high_erucic", 6, 1),
    ("peanut", 1, 0),
    ("cottonseed", 5, 1),
    ("maize", 2, 2),
    ("grapeseed", 0, 2),
    ("olive_virgin", 4, 0),
    ("olive_pomace", 2, 1),
    ("almond", 8, 2),
    ("apricot_kernel", 5, 2),
    ("hazelnut", 10, 2),
    ("avocado", 11, 2),
    ("rosehip", 4, 2),
    ("hemp", 7, 2),
    ("macadamia", 9, 2),
    ("argan", 6, 2),
    ("castor", 9, 0),
    ("cocoa_butter", 5, 3),
    ("shea", 0, 0),
    ("mango_kernel", 3, 2),
    ("kokum", 1, 2),
    ("sal", 4, 3),
    ("illipe", 8, 3),
    ("murumuru", 0, 3),
    ("neem", 3, 3),
    ("pumpkin_seed", 9, 3),
    ("wheat_germ", 2, 3),
    ("borage", 10, 3),
    ("evening_primrose", 7, 3),
    ("jojoba", 6, 3),
    ("beeswax", 9, 4),
    ("lanolin", 11, 4),
    ("stearic_acid_50", 1, 4),
    ("lard", 7, 4),
    ("tallow_beef", 11, 3),
    ("tallow_mutton", 3, 4),
    ("goose_fat", 5, 4),
    ("duck_fat", 6, 4),
    ("emu", 4, 4),
    ("butterfat", 10, 4),
    ("poultry_fat", 8, 4),
    ("mct", 6, 5),
    ("stearic_acid_95", 2, 4),
    ("camellia", 4, 5),
    ("mahua", 11, 5),
    ("castor_hydrogenated", 9, 5),
    ("rosin", 0, 4),
];

/// The colour of the fat named `id`; of one of one's own by its name alone.
pub fn fat_colour(id: &str) -> Color32 {
    let known = FATS.iter().find(|(fat, ..)| *fat == id).map(|(_, hue, tone)| (usize::from(*hue), usize::from(*tone)));
    let (hue, tone) = known.unwrap_or_else(|| {
        let place = scattered(id);
        (place % TONES[0].len(), place / TONES[0].len())
    });
    TONES[tone % TONES.len()][hue % TONES[0].len()]
}

/// A place for a name that the library does not have, the same in every session.
fn scattered(name: &str) -> usize {
    // The row that came later is left out: it would move the colours that own fats have.
    const PLACES: usize = TONES[0].len() * (TONES.len() - 1);
    // Horner's rule, with any odd factor that mixes the letters.
    name.bytes().fold(0, |place, byte| (31 * place + usize::from(byte)) % PLACES)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::examples;
    use crate::theme::{DARK, LIGHT, contrast};
    use barwright_core::Library;
    use std::collections::BTreeSet;

    #[test]
    fn no_two_fats_of_the_library_look_the_same() {
        let library = Library::embedded().expect("assets parse");
        let colours: BTreeSet<[u8; 4]> = library.fats().iter().map(|f| fat_colour(f.id.as_str()).to_array()).collect();
        assert_eq!(colours.len(), library.fats().len(), "a colour for each fat");
    }

    #[test]
    fn every_fat_of_the_library_has_a_line() {
        let library = Library::embedded().expect("assets parse");
        for fat in library.fats() {
            assert!(FATS.iter().any(|(id, ..)| *id == fat.id.as_str()), "{}: choose a hue and a tone", fat.id);
        }
        for (id, hue, tone) in FATS {
            assert!(usize::from(hue) < TONES[0].len() && usize::from(tone) < TONES.len(), "{id}");
        }
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
                    let [one, other] = [a, b].map(|id| fat_colour(id).to_array());
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
            let colour = fat_colour(fat.id.as_str());
            for (theme, tokens) in [("light", LIGHT), ("dark", DARK)] {
                for ground in [tokens.ground, tokens.panel] {
                    let ratio = contrast(colour, ground);
                    assert!(ratio >= 3.0, "{theme}: {} has {ratio:.2}", fat.id);
                }
            }
        }
    }

    #[test]
    fn a_fat_of_ones_own_has_a_colour_that_its_name_alone_decides() {
        let colours: BTreeSet<[u8; 4]> =
            ["own_tallow", "own_ghee", "own_marula"].map(|id| fat_colour(id).to_array()).into();
        assert_eq!(colours.len(), 3, "names scatter");
        assert_eq!(fat_colour("own_ghee"), fat_colour("own_ghee"), "each time the same");
    }
}
