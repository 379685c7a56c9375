//! How much of the alkali reducing sugars may take: glucose, fructose and lactose turn to acids in lye, sucrose does
//! not.
//!
//! It is the milder edge of the superfat and no more. How much they take depends on heat and time, and may be nothing:
//! the alkali that is weighed, the chance of a lye-heavy bar, the least superfat and all cautions count none of it.

use crate::chemistry::alkali::koh_to_naoh;
use crate::chemistry::inputs;
use crate::chemistry::masses::{Masses, mass_of};
use crate::design::Design;
use crate::formula::{Input, Num, Reading};
use crate::library::Library;
use crate::library::acids::molar_mass;
use crate::library::additions::Addition;
use crate::library::sugars::{HEXOSE, Reducing};
use crate::number::short;
use crate::trust::Trust;
use crate::units::{Grams, from_percent, in_percent};

/// The most alkali that a mole of reducing sugar takes, mol (from memory: none to two acids come of it).
const MOST_PER_MOL: f64 = 2.0;

/// What the sugars of a batch may do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SugarEdge<N = f64> {
    /// The most alkali that they take, pure and divided as the design divides it.
    pub alkali: Grams<N>,
    /// The superfat if they take it all, percent.
    pub superfat: N,
}

impl<N: Num> SugarEdge<N> {
    /// The edge of `masses`; `None` where no sugar that may be reducing meets lye, and without fats.
    pub fn read<R: Reading<N = N>>(r: R, design: &Design, masses: &Masses<N>, library: &Library) -> Option<Self> {
        let exact = masses.exact_koh;
        if exact.value() <= 0.0 {
            return None;
        }
        let mut moles = N::from(0.0);
        for line in design.additions.iter().filter(|line| line.stage.meets_lye()) {
            let addition = &line.addition;
            let Some(content) = inputs::sugar_content(r, addition) else { continue };
            let known = library.sugars.of(&addition.id);
            let sugar = mass_of(r, line, masses.fats).0 * content;
            moles += sugar * reducing(r, addition, known) / molar_mass_of(r, addition, known);
        }
        let per_mol = r.input("mol per mol", MOST_PER_MOL, "", || {
            Input::sourced(
                "Alkali that a mole of reducing sugar takes at the most",
                "2 mol".into(),
                "a sugar of six carbons can end as two acids",
                Trust::FromMemory,
            )
        });
        let koh = Grams(moles * per_mol * r.constant(molar_mass::KOH));
        // More than there is for the fats cannot be taken.
        let there = exact * (N::from(1.0) - inputs::superfat(r, design));
        let koh = if koh.value() > there.value() { there } else { koh };
        let koh_share = inputs::koh_share(r, design);
        (koh.value() > 0.0).then(|| Self {
            alkali: koh * koh_share + koh_to_naoh(r, koh * (N::from(1.0) - koh_share)),
            superfat: masses.superfat + in_percent(koh.0 / exact.0),
        })
    }
}

/// The names of what brings such sugars into the lye of a batch of `fats`, each once.
pub fn brought_by<'a>(design: &'a Design, fats: Grams, library: &Library) -> Vec<&'a str> {
    let mut names = Vec::new();
    for line in design.additions.iter().filter(|line| line.stage.meets_lye() && line.amount.mass(fats).0 > 0.0) {
        let addition = &line.addition;
        let part = library.sugars.of(&addition.id).map_or(1.0, |known| from_percent(known.part.value.max()));
        let brings = addition.contents.value.sugars.is_some_and(|sugars| sugars.get() * part > 0.0);
        if brings && !names.contains(&addition.name.as_str()) {
            names.push(addition.name.as_str());
        }
    }
    names
}

/// The most that is reducing of the sugars of `addition`, as a fraction.
fn reducing<R: Reading>(r: R, addition: &Addition, known: Option<&Reducing>) -> R::N {
    let most = known.map_or(1.0, |k| from_percent(k.part.value.max()));
    r.input("reducing part", most, "", || {
        let name = format!("Reducing part of the sugars of {}, at the most", addition.name);
        match known {
            Some(Reducing { what, part, .. }) => {
                let value = format!("{} %: {what}", short(part.value.max(), 1));
                Input::sourced(&name, value, &part.source, part.trust)
            }
            None => Input::worked_out(&name, "100 %".into(), "not known, so that it may be all"),
        }
    })
}

fn molar_mass_of<R: Reading>(r: R, addition: &Addition, known: Option<&Reducing>) -> R::N {
    let mass = known.map_or(HEXOSE, |k| k.molar_mass);
    r.input("M(sugars)", mass, "", || {
        let name = format!("Molar mass of the sugars of {}", addition.name);
        Input::worked_out(&name, format!("{} g/mol", short(mass, 2)), "their formula; glucose where it is not known")
    })
}
