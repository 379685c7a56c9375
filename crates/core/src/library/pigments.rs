//! What colours a bar: the pigments of fats and additions, and how they look over the visible light.

use super::LibraryError;
use super::material::{MaterialId, Of};
use super::materials::rows;
use crate::trust::Trust;
use serde::Deserialize;
use std::collections::HashMap;

/// In how many bands the visible light is divided, of 10 nm from 400 to 700.
pub const BANDS: usize = 31;

/// A value for each band.
pub type Curve = [f64; BANDS];

/// The wavelength of the first band, nm.
const FIRST_NM: f64 = 400.0;
/// From a band to the next, nm.
pub(crate) const STEP_NM: f64 = 10.0;
/// Absorptivity of beta-carotene in petroleum ether, 1 % in 1 cm, against which strengths are told (from memory).
const CAROTENE: f64 = 2592.0;
/// The 10 and 90 % points of a normal distribution, standard deviations from its middle.
pub(crate) const DECILE: f64 = 1.281_551_565_545;

/// What can be said of a bar that a pigment colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Family {
    /// Its shade, from how much of it there is.
    Forecast,
    /// It whitens, and weakens every other colour.
    White,
    /// Its hue in words; how strong it is only an own bar tells.
    Calibrate,
    /// The way from its first hue to its last, in words.
    Path,
    /// That its colour does not survive lye.
    Dies,
    /// That it browns, and no number.
    Browns,
}

/// How a pigment absorbs light.
#[derive(Debug, Clone, PartialEq)]
pub struct Absorber {
    /// Its absorption by the band, that of as much beta-carotene at its peak being 1.
    pub curve: Curve,
    /// Which part of it survives the making.
    pub share_left: f64,
}

/// A pigment, or a group of them that behaves alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Pigment {
    /// Its name.
    pub name: String,
    /// What can be said.
    pub family: Family,
    /// How it absorbs, where a shade can be forecast.
    pub absorber: Option<Absorber>,
    /// What a percent of it in the bar adds to the scattering of light, 1/cm.
    pub scattering: Option<f64>,
    /// What becomes of it, in words that stand behind the material's name.
    pub words: String,
    /// Where that was read.
    pub source: String,
    /// How far the source was seen.
    pub trust: Trust,
}

/// How much of a pigment a material holds, mg in 100 g.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Content {
    /// The least.
    pub least: f64,
    /// What is usual.
    pub typical: f64,
    /// The most.
    pub most: f64,
}

impl Content {
    /// How far it scatters, as the standard deviation of its logarithm: least and most count as what one of ten
    /// materials is under and one of ten is over (our judgement).
    pub fn spread(&self) -> f64 {
        (self.most / self.least).ln() / (2.0 * DECILE)
    }
}

/// A pigment in a material.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// Its place in [`Pigments::all`].
    pigment: usize,
    /// How much, where it is known.
    pub content: Option<Content>,
    /// Where that was read.
    pub source: String,
    /// How far the source was seen.
    pub trust: Trust,
}

/// A band of visible light: its wavelength, nm, and what a white gives to X, Y and Z in it under daylight (D65, the
/// observer of 1931).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Band {
    /// Its middle, nm.
    pub nm: f64,
    /// What it gives to X, Y and Z, of which all bands together are the white.
    pub xyz: [f64; 3],
}

/// The pigments of the library's materials.
#[derive(Debug, Clone)]
pub struct Pigments {
    /// The bands of visible light.
    pub bands: [Band; BANDS],
    all: Vec<Pigment>,
    fats: HashMap<MaterialId, Vec<Held>>,
    additions: HashMap<MaterialId, Vec<Held>>,
}

/// The texts of the three tables.
#[derive(Debug, Clone, Copy)]
pub(super) struct Texts<'a> {
    pub(super) bands: &'a str,
    pub(super) behaviour: &'a str,
    pub(super) pigments: &'a str,
}

#[derive(Deserialize)]
struct BandRow {
    nm: f64,
    x: f64,
    y: f64,
    z: f64,
    carotenes: f64,
    xanthophylls: f64,
    lycopene: f64,
}

#[derive(Deserialize)]
struct BehaviourRow {
    pigment: String,
    family: Family,
    e1pct_1cm: Option<f64>,
    share_left: Option<f64>,
    scattering_per_cm_per_pct: Option<f64>,
    words: String,
    source: String,
    trust: Trust,
}

#[derive(Deserialize)]
struct PigmentRow {
    of: Of,
    id: MaterialId,
    pigment: String,
    min_mg_per_100g: Option<f64>,
    typical_mg_per_100g: Option<f64>,
    max_mg_per_100g: Option<f64>,
    source: String,
    trust: Trust,
}

/// The row of what the maker brings.
const OWN: &str = "own colourant";

const BANDS_CSV: &str = "bands.csv";
const BEHAVIOUR_CSV: &str = "pigment_behaviour.csv";
const PIGMENTS_CSV: &str = "pigments.csv";

fn wrong(table: &'static str, id: &dyn std::fmt::Display, what: &str) -> LibraryError {
    LibraryError::Material { table, id: id.to_string(), what: what.into() }
}

/// A shape over the bands, by the pigment that has it.
type Shape = (&'static str, Curve);

/// The bands, and the shapes of the pigments that are tabled over them, by the names of their columns.
fn bands(text: &str) -> Result<([Band; BANDS], [Shape; 3]), LibraryError> {
    let rows: Vec<BandRow> = rows(BANDS_CSV, text)?;
    let is_there = |(i, row): (usize, &BandRow)| (FIRST_NM + STEP_NM * i as f64 - row.nm).abs() < 1e-9;
    if rows.len() != BANDS || !rows.iter().enumerate().all(is_there) {
        return Err(wrong(BANDS_CSV, &"nm", "31 bands from 400 to 700 in steps of 10 are wanted"));
    }
    let column = |of: fn(&BandRow) -> f64| std::array::from_fn(|i| of(&rows[i]));
    let bands = std::array::from_fn(|i| Band { nm: rows[i].nm, xyz: [rows[i].x, rows[i].y, rows[i].z] });
    let shapes = [
        ("carotenes", column(|r| r.carotenes)),
        ("xanthophylls", column(|r| r.xanthophylls)),
        ("lycopene", column(|r| r.lycopene)),
    ];
    let all = rows.iter().flat_map(|r| [r.x, r.y, r.z]).chain(shapes.iter().flat_map(|(_, curve)| *curve));
    if !all.into_iter().all(|value| (0.0..=1.0).contains(&value)) {
        return Err(wrong(BANDS_CSV, &"nm", "a weight or a shape is not from 0 to 1"));
    }
    Ok((bands, shapes))
}

impl BehaviourRow {
    fn pigment(self, shapes: &[Shape]) -> Result<Pigment, LibraryError> {
        let wrong = |what| wrong(BEHAVIOUR_CSV, &self.pigment, what);
        let shape = shapes.iter().find(|(name, _)| *name == self.pigment).map(|(_, curve)| curve);
        let absorber = match (self.family, shape, self.e1pct_1cm, self.share_left) {
            (Family::Forecast, Some(shape), Some(e), Some(share_left))
                if (1.0..1e5).contains(&e) && (0.0..=1.0).contains(&share_left) =>
            {
                Some(Absorber { curve: shape.map(|k| k * e / CAROTENE), share_left })
            }
            (Family::Forecast, ..) => return Err(wrong("its shape, absorptivity or share left is missing or wrong")),
            (_, _, None, None) => None,
            _ => return Err(wrong("what is not forecast has no absorptivity")),
        };
        let scattering = self.scattering_per_cm_per_pct;
        if (self.family == Family::White) != scattering.is_some()
            || scattering.is_some_and(|s| !(0.0..1e3).contains(&s))
        {
            return Err(wrong("only what whitens has a scattering, of 0 or more"));
        }
        if self.words.is_empty() || self.source.is_empty() {
            return Err(wrong("has no words or no source"));
        }
        let Self { pigment: name, family, words, source, trust, .. } = self;
        Ok(Pigment { name, family, absorber, scattering, words, source, trust })
    }
}

impl Pigments {
    /// Reads the three tables; `known` says whether there is such a fat or addition.
    pub(super) fn parse(texts: Texts<'_>, known: impl Fn(Of, &MaterialId) -> bool) -> Result<Self, LibraryError> {
        let (bands, shapes) = bands(texts.bands)?;
        let behaviours = rows::<BehaviourRow>(BEHAVIOUR_CSV, texts.behaviour)?;
        let all = behaviours.into_iter().map(|row| row.pigment(&shapes)).collect::<Result<Vec<_>, _>>()?;
        let mut read = Self { bands, all, fats: HashMap::new(), additions: HashMap::new() };
        for row in rows::<PigmentRow>(PIGMENTS_CSV, texts.pigments)? {
            let wrong = |what: &str| wrong(PIGMENTS_CSV, &row.id, what);
            if !known(row.of, &row.id) {
                return Err(wrong("is no such material"));
            }
            let Some(pigment) = read.all.iter().position(|p| p.name == row.pigment) else {
                return Err(wrong("is of a pigment that has no row"));
            };
            if row.source.is_empty() {
                return Err(wrong("has no source"));
            }
            let content = match (row.min_mg_per_100g, row.typical_mg_per_100g, row.max_mg_per_100g) {
                (None, None, None) => None,
                (least, Some(typical), most) => {
                    // Where one figure was read the others are assumed: half and double.
                    let (least, most) = (least.unwrap_or(typical / 2.0), most.unwrap_or(typical * 2.0));
                    let is_range = least > 0.0 && least <= typical && typical <= most && most <= 1e5;
                    Some(is_range.then_some(Content { least, typical, most }).ok_or_else(|| wrong("is no range"))?)
                }
                _ => return Err(wrong("has no typical content")),
            };
            if content.is_none() && read.all[pigment].family == Family::Forecast {
                return Err(wrong("is forecast without a content"));
            }
            let held = Held { pigment, content, source: row.source.clone(), trust: row.trust };
            let of = match row.of {
                Of::Fat => &mut read.fats,
                Of::Addition => &mut read.additions,
                Of::Scent => return Err(wrong("scents have no pigments here")),
            };
            let held_already: &mut Vec<Held> = of.entry(row.id.clone()).or_default();
            if held_already.iter().any(|h| h.pigment == pigment) {
                return Err(wrong("stands twice"));
            }
            held_already.push(held);
        }
        Ok(read)
    }

    /// What stands for a material of the maker's own, of whose colour nothing is tabled.
    pub fn of_own(&self) -> Option<&Pigment> {
        self.all.iter().find(|p| p.name == OWN)
    }

    /// All pigments, in the order of their table.
    pub fn all(&self) -> &[Pigment] {
        &self.all
    }

    /// Those of fat `id`.
    pub fn of_fat(&self, id: &MaterialId) -> impl Iterator<Item = (&Pigment, &Held)> {
        self.held(self.fats.get(id))
    }

    /// Those of addition `id`.
    pub fn of_addition(&self, id: &MaterialId) -> impl Iterator<Item = (&Pigment, &Held)> {
        self.held(self.additions.get(id))
    }

    /// Whether addition `id`, which colours or whitens, does not only whiten; one that is not tabled is held to colour.
    pub fn colours(&self, id: &MaterialId) -> bool {
        self.of_addition(id).all(|(pigment, _)| pigment.family != Family::White)
    }

    fn held<'a>(&'a self, held: Option<&'a Vec<Held>>) -> impl Iterator<Item = (&'a Pigment, &'a Held)> {
        held.into_iter().flatten().map(|h| (&self.all[h.pigment], h))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::{Library, Tables};

    #[test]
    fn what_colours_and_what_does_not_is_told_apart() {
        let library = Library::embedded().expect("assets parse");
        let families = |id: &str| {
            let addition = library.addition(id).expect("an addition");
            library.pigments.of_addition(&addition.id).map(|(p, _)| p.family).collect::<Vec<_>>()
        };
        assert_eq!(families("carrot_boiled"), [Family::Forecast]);
        assert_eq!(families("beetroot_raw"), [Family::Dies]);
        assert_eq!(families("titanium_dioxide"), [Family::White]);
        assert_eq!(families("spinach_raw"), [Family::Forecast, Family::Path]);
        assert_eq!(families("salt"), []);
    }

    #[test]
    fn the_bands_sum_to_the_white_of_daylight() {
        let library = Library::embedded().expect("assets parse");
        let sum = |i: usize| library.pigments.bands.iter().map(|b| b.xyz[i]).sum::<f64>();
        // CIE, D65 and the observer of 1931.
        for (i, white) in [0.950_47, 1.0, 1.088_83].into_iter().enumerate() {
            assert!((sum(i) - white).abs() < 0.001, "{i}: {} against {white}", sum(i));
        }
    }

    #[test]
    fn rows_that_cannot_be_are_refused() {
        for (row, says) in [
            ("addition,manna,carotenes,1,2,3,a book,read", "is no such material"),
            ("addition,salt,stardust,1,2,3,a book,read", "is of a pigment that has no row"),
            ("addition,salt,carotenes,3,2,1,a book,read", "is no range"),
            ("addition,salt,carotenes,,,,a book,read", "is forecast without a content"),
            ("addition,salt,carotenes,1,2,3,,read", "has no source"),
            ("addition,carrot_raw,carotenes,1,2,3,a book,read", "stands twice"),
        ] {
            let text = format!("{}{row}\n", Tables::EMBEDDED.pigments);
            let error = Library::parse(&Tables { pigments: &text, ..Tables::EMBEDDED }).expect_err(says);
            assert!(error.to_string().ends_with(says), "{row}: {error}");
        }
    }
}
