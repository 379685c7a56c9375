//! What is seen from pouring to unmoulding.

use super::{Cause, Fault, Safety, When};

pub(super) const FAULTS: &[Fault] = &[
    Fault {
        code: "volcano",
        name: "Volcano",
        when: When::InTheMould,
        seen: "The batter heaves, splits and climbs out of the mould, hot and bubbling",
        safety: Safety::SafeAfter(
            "Only if it sank back to one even mass, nothing was lost and no liquid stands in it, and the bar has passed its \
             test. In doubt do not use it.",
        ),
        causes: &[
            (Cause::SugarInOven, "sugar heats by itself, and the oven on top of it boils the batter"),
            (Cause::HotOven, "the oven is hotter or longer than the batter stands"),
            (Cause::Sugar, "honey, milk, fruit and beer heat the batter"),
            (Cause::HotMix, "it was hot before it gelled"),
            (Cause::FastScents, "it heats the batter too"),
            (Cause::Alcohol, "it boils early"),
            (Cause::KeptWarm, "the mould is wrapped too well"),
        ],
        now: "Oven off. Goggles and gloves on, keep the face away and put a tray under the mould. Unwrap it and let it stand \
              cool; do not lean over it and do not press it down by hand.",
        next_time: "No oven and no wrapping with sugar in the batter, mix cooler, and put the mould in a cool place.",
    },
    Fault {
        code: "cracks",
        name: "Cracks on top",
        when: When::InTheMould,
        seen: "The loaf splits along its top while it is hot",
        safety: Safety::Safe("Dry cracks are a matter of looks. If anything wet stands in them, do not use it."),
        causes: &[
            (Cause::SugarInOven, "the middle swells with the heat of sugar and oven"),
            (Cause::HotOven, "the middle gets hotter than the top"),
            (Cause::Sugar, "it heats the middle"),
            (Cause::StrongLye, "little water leaves a stiff top"),
            (Cause::MuchFiller, "clays and meals drink the water"),
            (Cause::KeptWarm, "the mould is wrapped too well"),
        ],
        now: "Take the wrapping off and let it cool. With gloves the top can be smoothed while it is soft.",
        next_time: "Keep it cooler, use a little more water, and wet clays before they go in.",
    },
    Fault {
        code: "gel-ring",
        name: "Partial gel ring",
        when: When::InTheMould,
        seen: "A darker, more see-through disc or oval in the middle of the loaf or the bar",
        safety: Safety::Safe("Both parts are soap: a matter of looks. An even colour would be no test either."),
        causes: &[
            (Cause::NoGel, "the middle gelled by its own heat and the edge did not"),
            (Cause::CoolRoom, "it chills the edge"),
            (Cause::Sugar, "it warms the middle"),
            (Cause::ThinLye, "it gels sooner, so that half of the loaf does"),
        ],
        now: "Nothing has to be done.",
        next_time: "Either warm it through, in the oven or wrapped, or keep it so cool that nothing gels.",
    },
    Fault {
        code: "soda-ash",
        name: "Soda ash",
        when: When::InTheMould,
        seen: "A white, dusty or crusty film on the top or the outside",
        safety: Safety::SafeAfter(
            "The film is alkaline: wipe, steam or plane it off with gloves on. Then the bar may be used once it has passed its \
             test. If it stings or is gritty inside, do not use it.",
        ),
        causes: &[
            (Cause::ThinLye, "much water carries alkali to the top, where the air turns it to soda"),
            (Cause::NoGel, "a batter that does not gel stays raw for longer"),
            (Cause::CoolRoom, "the cold slows the batter down while air reaches it"),
            (Cause::CoolMix, "a cool batter reacts slowly"),
            (Cause::ThinTrace, "it was poured at a thin trace"),
            (Cause::AirOnTop, "the top was open to the air in the first days"),
        ],
        now: "Leave it until the cut, then steam it, wipe it with a wet cloth or plane it away, gloves on.",
        next_time: "Use stronger lye, cover the top close, keep it warm or gel it, and pour a little thicker.",
    },
    Fault {
        code: "sticking",
        name: "Sticks to the mould",
        when: When::InTheMould,
        seen: "The soap does not come out of the mould, or tears and leaves a skin on it",
        safety: Safety::Safe("A matter of looks. Wear gloves: the soap is raw."),
        causes: &[
            (Cause::CutEarly, "it is still too soft"),
            (Cause::SoftBlend, "soft fats need longer to set"),
            (Cause::ThinLye, "much water keeps it soft"),
            (Cause::NoGel, "without a gel it sets later"),
            (Cause::HighSuperfat, "much free fat keeps it soft"),
            (Cause::Potash, "potassium soap is soft"),
            (Cause::MouldWall, "the mould is unlined or its wall is rough"),
        ],
        now: "Wait a day or two and try again, or put it in the freezer for a few hours and press it out at once, gloves on.",
        next_time: "Line the mould, use less water, and leave it for longer.",
    },
    Fault {
        code: "air-holes",
        name: "Air holes",
        when: When::InTheMould,
        seen: "Dry, empty round holes or pinholes in the cut or at the side",
        safety: Safety::SafeAfter(
            "Only if every hole is dry inside and the bar has passed its test. A wet hole is a pocket: do not use it.",
        ),
        causes: &[
            (Cause::AirStirredIn, "the blender drew air, or the batter fell into the mould from high"),
            (Cause::FastScents, "the batter was stiff before it was poured"),
            (Cause::HotMix, "a batter that thickens fast keeps its bubbles"),
            (Cause::SugarInOven, "it boiled a little in the oven"),
            (Cause::HotOven, "it boiled a little in the oven"),
        ],
        now: "Look into the holes with gloves on. If they are dry, nothing has to be done.",
        next_time: "Tap the blender's head free of air under the surface, pour low and along the side, and tap the filled mould.",
    },
];
