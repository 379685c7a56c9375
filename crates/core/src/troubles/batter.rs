//! What is seen in the jug and the pot.

use super::{Cause, Fault, Safety, When};

pub(super) const FAULTS: &[Fault] = &[
    Fault {
        code: "browned-lye",
        name: "Browned lye",
        when: When::Mixing,
        seen: "The lye turns yellow, orange or brown in the jug, thickens or smells sharp",
        safety: Safety::SafeAfter(
            "If nothing boiled over and nothing was lost, the colour alone is no danger: the bar may be used once it has \
             passed its test.",
        ),
        causes: &[
            (Cause::FoodInJug, "milk, honey or fruit scorches in the heat of dissolving"),
            (Cause::HotJug, "the hotter the jug, the more of the sugar browns"),
            (Cause::OldMaterials, "impure water or an old alkali colours the lye"),
        ],
        now: "Stand back from the vapour, keep the jug in the sink and let it cool in cold water. If some boiled over, the \
              weights no longer hold: do not go on.",
        next_time: "Freeze the milk or the fruit and add the alkali in small portions, or make the lye with plain water and \
                    put the rest into the fats.",
    },
    Fault {
        code: "false-trace",
        name: "False trace",
        when: When::Mixing,
        seen: "The batter is thick early but dull or grainy, and goes thin or parts when it is stirred or warmed",
        safety: Safety::SafeAfter(
            "Only if it was brought to a true trace in time. If liquid stands on it or below it later, do not use it.",
        ),
        causes: &[
            (Cause::ColdFats, "hard fats set before they meet the lye and look like trace"),
            (Cause::CoolRoom, "a cold room or cold tools chill the batter"),
            (Cause::PoorMixing, "it was poured before fats and lye were one"),
        ],
        now: "Goggles on. Warm the pot gently in warm water until the batter is smooth and clear again, then blend to a trace \
              that stays.",
        next_time: "Melt the hard fats until they are clear, let lye and fats meet warmer, and warm pot and tools.",
    },
    Fault {
        code: "slow-trace",
        name: "No trace",
        when: When::Mixing,
        seen: "The batter stays thin for a long time and does not thicken",
        safety: Safety::SafeAfter(
            "If the weights are right and it thickens evenly in the end, the bar may be used once it has passed its test.",
        ),
        causes: &[
            (Cause::MuchOleic, "fats rich in oleic acid take their time"),
            (Cause::ThinLye, "the more water, the slower it goes"),
            (Cause::CoolMix, "warmth drives it on and cold holds it back"),
            (Cause::WeighingSlip, "too little alkali or too much water was weighed"),
        ],
        now: "Go on in short bursts with rests between, and warm it gently. Check the weights that you wrote down: if the \
              alkali is short or not known, do not use the batch.",
        next_time: "Use stronger lye and a little more warmth.",
    },
    Fault {
        code: "seized",
        name: "Seized at once",
        when: When::Mixing,
        seen: "The batter sets in the pot within seconds, hot, as a stiff lump",
        safety: Safety::SafeAfter(
            "Only if it is one even mass without liquid, and the bar has passed its test. With wet pockets do not use it.",
        ),
        causes: &[
            (Cause::FastScents, "spice and some flower scents speed the batter up"),
            (Cause::HotMix, "heat speeds it up"),
            (Cause::FreeAcids, "such acids turn to soap at once"),
            (Cause::StrongLye, "little water leaves no time"),
            (Cause::MuchScent, "it speeds the batter up and takes room in it"),
            (Cause::Alcohol, "it drives the batter on"),
            (Cause::OverMixing, "it was blended too long"),
        ],
        now: "Gloves on: it is hot and caustic. Press it into the mould without gaps, or let the whole pot pass through a hot, \
              even gel. Do not thin it with water by guess.",
        next_time: "Put such scents into the fats before the lye, mix cooler, use a little more water and stir by hand.",
    },
    Fault {
        code: "riced",
        name: "Riced",
        when: When::Mixing,
        seen: "Little firm grains like rice swim in a thin liquid",
        safety: Safety::SafeAfter(
            "Only if it was stirred smooth while it was wet and the bar has passed its test. Grains in a wet bar: do not use it.",
        ),
        causes: &[
            (Cause::FastScents, "the scent sets parts of the fats before the rest"),
            (Cause::MuchScent, "more scent than the batter takes up"),
            (Cause::ColdFats, "bits of a hard fat set in a cool batter"),
            (Cause::PoorMixing, "the scent went in at one place"),
        ],
        now: "Blend at once until the grains are gone. If they stay and liquid stands between them, do not pour it for use.",
        next_time: "Mix the scent into the fats before the lye, keep the batter warm and stir the whole pot.",
    },
    Fault {
        code: "separated",
        name: "Separated",
        when: When::Mixing,
        seen: "Oil floats on top, or a clear or cloudy liquid stands or weeps in the pot, the mould or the loaf",
        safety: Safety::DoNotUse(
            "Where fat lies free, lye lies free too. The liquid may be strong lye and burns skin and eyes.",
        ),
        causes: &[
            (Cause::PoorMixing, "fats and lye never became one"),
            (Cause::ColdFats, "set fats passed for trace"),
            (Cause::MuchScent, "more than the batter takes up drives it apart"),
            (Cause::LyeHeavy, "there is more alkali than the fats can take"),
            (Cause::MuchSalt, "it drives soap out of its water"),
            (Cause::HotOven, "it boiled and parted in the oven"),
            (Cause::WeighingSlip, "a fat was left out or weighed twice"),
        ],
        now: "Goggles and gloves on, children and animals out. While it is still liquid in the pot it can be warmed gently and \
              blended until it is one. In the mould leave it alone: touch no liquid, put the whole in a closed plastic tub \
              and do not use it.",
        next_time: "Weigh with a list that is ticked off, mix until no oil shines in the trail, and keep the pot warm enough for \
                    the hardest fat.",
    },
];
