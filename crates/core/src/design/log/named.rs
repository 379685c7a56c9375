//! What the choices of a record are called on screen and on paper.

use super::{Aspect, Batter, CutLike, Flaw, Gel, HeatOf, How, Stage, TimeOf, What};
use crate::design::Design;

impl What {
    /// Its name in `design`.
    pub fn name(self, design: &Design) -> &str {
        let named = match self {
            Self::Fat(i) => design.blend.lines().get(i).map(|l| l.fat.name.as_str()),
            Self::Addition(i) => design.additions.get(i).map(|l| l.addition.name.as_str()),
            Self::Scent(i) => design.scents.get(i).map(|l| l.scent.name.as_str()),
            Self::Water => Some("Water"),
            Self::SodiumHydroxide => Some("Sodium hydroxide (NaOH)"),
            Self::PotassiumHydroxide => Some("Potassium hydroxide (KOH)"),
        };
        named.unwrap_or("something that the design does not have")
    }
}

macro_rules! words {
    ($name:ident { $($variant:ident: $words:literal),+ $(,)? }) => {
        impl $name {
            /// Its words.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$variant => $words,)+ }
            }
        }
    };
}

words!(HeatOf { LyePeak: "Lye at its hottest", Lye: "Lye at mixing", Fats: "Fats at mixing", Room: "Room" });
words!(TimeOf { LyeStood: "Lye stood", Emulsion: "To emulsion", Trace: "To trace", Pour: "To pouring" });
words!(Batter {
    Easy: "easy",
    Slow: "slow",
    FalseTrace: "false trace",
    Riced: "riced",
    Seized: "seized",
    Separated: "separated",
    Heaved: "heaved",
});
words!(Gel { None: "no gel", Ring: "a ring of gel", Full: "full gel" });
words!(CutLike { Soft: "soft", Clean: "clean", Crumbly: "crumbly" });
words!(Flaw { Ash: "ash", Pockets: "pockets", Cracks: "cracks" });
words!(Stage {
    Batter: "batter",
    Mould: "in the mould",
    Cut: "as cut",
    Curing: "curing",
    Cured: "cured",
    InUse: "in use",
});
words!(Aspect {
    Hardness: "hardness",
    LatherVolume: "lather volume",
    LatherPersistence: "lather persistence",
    Feel: "mildness",
    Lasting: "lasting",
    Scent: "scent",
    Colour: "colour",
});
words!(How { Given: "given", Sold: "sold", Kept: "kept" });
