//! How much pigment is in a kilogram of cured bar.

use crate::chemistry::cure::Cure;
use crate::chemistry::inputs;
use crate::chemistry::masses::{Masses, mass_of};
use crate::design::Design;
use crate::design::own_bar::{Makeup, Stood};
use crate::formula::{Input, Plain, Reading};
use crate::library::material::MaterialId;
use crate::library::pigments::{Absorber, Content, Held, Pigment, Pigments};
use crate::number::{short, significant};
use crate::units::{AmountPerKg, BarPerFats, Grams};
use std::collections::BTreeMap;

/// What some pigment is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carrier {
    /// The line of the blend at this place.
    Fat(usize),
    /// The addition at this place.
    Addition(usize),
}

/// A pigment that absorbs, in one material of a design.
#[derive(Debug, Clone, Copy)]
pub struct Part<'a, N = f64> {
    /// What it is in.
    pub carrier: Carrier,
    /// Which.
    pub pigment: &'a Pigment,
    /// How it absorbs.
    pub absorber: &'a Absorber,
    /// How much of it the material holds.
    pub content: &'a Content,
    /// What is left of it in the cured bar, mg in a kilogram.
    pub mg_per_kg: N,
}

/// All bars of a batch together as they are sold; `None` without fats.
pub fn all_bars<R: Reading>(r: R, masses: &Masses<R::N>, cure: Option<&Cure<R::N>>) -> Option<Grams<R::N>> {
    let bars = cure?.bar_at_sale(r) * inputs::bars(r, masses.bars);
    (bars.value() > 0.0).then_some(bars)
}

/// What of a design gives its bars their colour; `None` without fats.
pub fn makeup(design: &Design, masses: &Masses, cure: Option<&Cure>, pigments: &Pigments) -> Option<Makeup> {
    let bars = all_bars(Plain, masses, cure)?.0;
    let fats = masses.fats.0;
    let mut of_fats: Vec<_> = design.blend.lines().iter().map(|line| (line.fat.id.clone(), line.share)).collect();
    of_fats.sort_by(|a, b| a.0.cmp(&b.0));
    // The same material may go in at two stages.
    let mut colourants: BTreeMap<&MaterialId, f64> = BTreeMap::new();
    for line in design.additions.iter().filter(|line| line.stage.fills_mould()) {
        let id = &line.addition.id;
        let mass = mass_of(Plain, line, masses.fats).0;
        if mass > 0.0 && (line.addition.is_makers() || pigments.of_addition(id).next().is_some()) {
            *colourants.entry(id).or_default() += mass;
        }
    }
    let per_kg = |mass: f64| AmountPerKg::nearest(mass / fats * 1000.0);
    Some(Makeup {
        fats: of_fats,
        colourants: colourants.into_iter().map(|(id, mass)| (id.clone(), per_kg(mass))).collect(),
        bar_per_fats: BarPerFats::nearest(bars / fats),
        stood: Stood::of(&design.process),
    })
}

/// The pigments that absorb in a bar of this makeup, with what is left of each, mg in a kilogram; whether they are a
/// fat's stands beside them.
pub fn of_makeup<'a>(of: &Makeup, pigments: &'a Pigments) -> Vec<(bool, &'a Absorber, f64)> {
    let mut found = Vec::new();
    let mut add = |is_fat, per_fats: f64, (pigment, held): (&'a Pigment, &'a Held)| {
        if let (Some(absorber), Some(content)) = (&pigment.absorber, &held.content) {
            let mg = left(Plain, Grams(per_fats), "", pigment, held, absorber, content) / of.bar_per_fats.get();
            found.push((is_fat, absorber, mg));
        }
    };
    for (id, share) in &of.fats {
        pigments.of_fat(id).for_each(|held| add(true, share.fraction(), held));
    }
    for (id, amount) in &of.colourants {
        pigments.of_addition(id).for_each(|held| add(false, amount.get() / 1000.0, held));
    }
    found
}

/// The pigments that absorb, in the order of the lines; what lies on top of the mould colours no bar. Empty without
/// fats.
pub fn parts<'a, R: Reading>(
    r: R,
    design: &Design,
    masses: &Masses<R::N>,
    cure: Option<&Cure<R::N>>,
    pigments: &'a Pigments,
) -> Vec<Part<'a, R::N>> {
    let Some(bars) = all_bars(r, masses, cure) else { return Vec::new() };
    let mut parts = Vec::new();
    let mut add = |carrier, name: &str, mass: &dyn Fn() -> Grams<R::N>, (pigment, held): (&'a Pigment, &'a Held)| {
        if let (Some(absorber), Some(content)) = (&pigment.absorber, &held.content) {
            let mg_per_kg = left(r, mass(), name, pigment, held, absorber, content) / bars.0;
            parts.push(Part { carrier, pigment, absorber, content, mg_per_kg });
        }
    };
    for (i, line) in design.blend.lines().iter().enumerate() {
        let mass = || masses.fats * inputs::share(r, line);
        for of in pigments.of_fat(&line.fat.id) {
            add(Carrier::Fat(i), &line.fat.name, &mass, of);
        }
    }
    for (i, line) in design.additions.iter().enumerate().filter(|(_, l)| l.stage.fills_mould()) {
        let mass = || mass_of(r, line, masses.fats);
        for of in pigments.of_addition(&line.addition.id) {
            add(Carrier::Addition(i), &line.addition.name, &mass, of);
        }
    }
    parts
}

/// From mg in 100 g, of grams, to mg in a kilogram of grams: 1000 over 100.
const MG_IN_100_G_TO_KG: f64 = 10.0;

/// What is left in the bars of the pigment that `mass` grams of a material bring; divided by their mass it is in mg/kg.
fn left<R: Reading>(
    r: R,
    mass: Grams<R::N>,
    name: &str,
    pigment: &Pigment,
    held: &Held,
    absorber: &Absorber,
    content: &Content,
) -> R::N {
    let per_100_g = r.input("mg in 100 g", content.typical, "", || {
        let Content { least, typical, most } = *content;
        // To three digits, as food tables have them at the most.
        let figure = |mg: f64| short(mg, if mg >= 100.0 { 0 } else { 2 });
        let value = format!("{} mg in 100 g, from {} to {}", figure(typical), figure(least), figure(most));
        Input::sourced(&format!("{} in {name}", capitalised(&pigment.name)), value, &held.source, held.trust)
    });
    let share_left = r.input("part left", absorber.share_left, "", || {
        let name = format!("Part of the {} that is left in the bar", pigment.name);
        Input::sourced(&name, significant(absorber.share_left), &pigment.source, pigment.trust)
    });
    mass.0 * per_100_g * share_left * R::N::from(MG_IN_100_G_TO_KG)
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
