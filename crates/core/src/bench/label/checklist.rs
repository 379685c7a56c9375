//! What a maker has to see to before selling, by region. A checklist, not legal advice.

use super::{Label, ListStyle, WEIGH_THE_LIGHTEST};
use crate::chemistry::cure::Cure;
use crate::design::Design;
use crate::library::allergens::AllergenList;
use crate::number::{fixed, short};
use crate::trust::Trust;

listed! {
    /// Where the bars are sold.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
    pub enum Region {
        /// The European Union and the United Kingdom.
        #[default]
        EuUk,
        /// The United States.
        Us,
    }
    /// All.
    ALL
}

impl Region {
    /// An ingredient by the name that is printed here: in the US water and scent have English ones (21 CFR
    /// 701.3, from memory).
    ///
    /// ```
    /// use barwright_core::bench::label::Region;
    /// assert_eq!(Region::Us.name("Aqua"), "Water");
    /// assert_eq!(Region::EuUk.name("Aqua"), "Aqua");
    /// ```
    pub fn name(self, name: &str) -> &str {
        match (self, name) {
            (Self::Us, "Aqua") => "Water",
            (Self::Us, "Parfum") => "Fragrance",
            _ => name,
        }
    }

    /// The region in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::EuUk => "European Union and United Kingdom",
            Self::Us => "United States",
        }
    }
}

/// A point to see to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckItem {
    /// What to do.
    pub text: String,
    /// Where it is asked for, or "this design".
    pub source: String,
    /// How far the source was seen; `None` for what follows from the design.
    pub trust: Option<Trust>,
}

/// What stands above every checklist.
pub const NO_ADVICE: &str = "A checklist, not legal advice: rules differ from place to place and change. \
    Local rules come first; ask the authority or a licensed professional.";

/// The rules for cosmetics, of which soap is one in both markets.
const REGULATION: &str = "Regulation (EC) 1223/2009, in Great Britain as retained";

/// Points for every bar sold in a region; the sources were not seen.
const EU_UK: [(&str, &str); 14] = [
    ("A responsible person is named, with an address in the market, on every bar or its wrap.", "articles 4 and 19"),
    (
        "A safety assessment by a qualified assessor is done for this recipe, before the first sale.",
        "article 10 and Annex I",
    ),
    ("The product information file is kept.", "article 11"),
    ("The product is notified at the portal (EU: CPNP; UK: SCPN).", "article 13"),
    ("A batch number is on the bar, and the batch can be traced by it.", "article 19"),
    ("What it is for stands on it where that is not plain: a bar of soap says it by itself.", "article 19"),
    ("The country of origin is named on what is brought in from outside the market.", "article 19"),
    (
        "The weight at sale is on the label: declare no more than your lightest bar weighs on the day, never a forecast.",
        "article 19",
    ),
    ("The period after opening or a date of minimum durability is on the label.", "article 19"),
    (
        "The ingredient list stands under the word “Ingredients”, in falling weight; what is under 1 % in any \
         order, colourants last.",
        "article 19",
    ),
    (
        "It is made by good manufacturing practice, which is presumed where the harmonised standard is kept (EN ISO \
         22716): clean rooms, written steps, what went into each batch, what was checked.",
        "article 8",
    ),
    (
        "Nothing is claimed that is not so and cannot be shown: the common criteria for claims hold for words, names \
         and pictures. To treat or to prevent a disease is no claim for a cosmetic.",
        "article 20, and Regulation (EU) 655/2013",
    ),
    (
        "A serious undesirable effect is told without delay to the authority of the place where it happened, and what \
         was done about it.",
        "article 23",
    ),
    (
        "Weight, date, warnings and what it is for are in the language that the country of sale asks for; the \
         ingredients by their common names are the same everywhere.",
        "article 19 (5) and the country’s own law",
    ),
];

const US: [(&str, &str); 14] = [
    (
        "It may be called soap, and is no cosmetic, if most of what is not water is alkali salts of fatty acids, \
         if these do the washing, and if nothing more than soap is claimed for it.",
        "21 CFR 701.20",
    ),
    (
        "A claim to moisturise, scent or colour the skin makes it a cosmetic, one to treat or to kill germs a \
         drug: other rules then hold.",
        "21 CFR 701.20 and the Act",
    ),
    (
        "A cosmetic lists its ingredients in falling weight by their US names: Water for Aqua, Fragrance for \
         Parfum.",
        "21 CFR 701.3",
    ),
    (
        "The net weight is on the front, in ounces and grams: declare no more than your lightest bar weighs on the day, \
         never a forecast.",
        "Fair Packaging and Labeling Act",
    ),
    ("Name and place of the maker or seller are on the label.", "Fair Packaging and Labeling Act"),
    (
        "True soap is a consumer product: its safety is the Consumer Product Safety Commission’s part. A defect that \
         could be a substantial hazard is reported to it at once.",
        "Consumer Product Safety Act, section 15 (b); 15 U.S.C. 2064",
    ),
    (
        "What irritates or burns beyond what soap does needs a warning on it, and may be barred from the household.",
        "Federal Hazardous Substances Act; 16 CFR 1500",
    ),
    (
        "Where the bar is a cosmetic: the place where it is made is registered and renewed every two years, and the \
         product is listed with its ingredients every year. Small businesses are exempt from both.",
        "the 2022 act (MoCRA), section 607 of the FD&C Act; 612 for small businesses",
    ),
    (
        "Where the bar is a cosmetic: its safety is substantiated, and the records of it are kept.",
        "the 2022 act (MoCRA), section 608 of the FD&C Act",
    ),
    (
        "Where the bar is a cosmetic: a serious adverse event is reported within 15 business days, and records of \
         all are kept for six years (three for small businesses).",
        "the 2022 act (MoCRA), section 605 of the FD&C Act",
    ),
    (
        "Where the bar is a cosmetic: an address, telephone number or web contact for adverse events is on the label, \
         and the fragrance allergens once the rule names them.",
        "the 2022 act (MoCRA), section 609 of the FD&C Act",
    ),
    (
        "Where the bar is a cosmetic: it is made by good manufacturing practice, as the rule will set it; small \
         businesses are exempt.",
        "the 2022 act (MoCRA), section 606 of the FD&C Act; 612 for small businesses",
    ),
    (
        "Where the bar is a cosmetic: only permitted colours are in it, each within its conditions, and those that need \
         it from a certified lot. Plant powders are not permitted as colours unless listed.",
        "section 721 of the FD&C Act; 21 CFR 73, 74 and 82",
    ),
    ("Where the bar is a cosmetic whose safety was not substantiated, it says so on the front.", "21 CFR 740.10"),
];

/// The checklist for `region`: what follows from the design first, then what holds for every bar.
pub fn checklist(region: Region, design: &Design, label: &Label, cure: &Cure) -> Vec<CheckItem> {
    let mut items = of_the_design(region, design, label, cure);
    let rule = |text: &str, source: String| CheckItem { text: text.into(), source, trust: Some(Trust::FromMemory) };
    match region {
        Region::EuUk => items.extend(EU_UK.iter().map(|(text, part)| rule(text, format!("{REGULATION}, {part}")))),
        Region::Us => items.extend(US.iter().map(|(text, source)| rule(text, (*source).into()))),
    }
    items
}

fn of_the_design(region: Region, design: &Design, label: &Label, cure: &Cure) -> Vec<CheckItem> {
    let mut items = Vec::new();
    let mut add = |text: String| items.push(CheckItem { text, source: "this design".into(), trust: None });
    let grams = fixed(label.bar_at_sale.0, 0);
    let days = short(cure.days().get(), 1);
    add(format!(
        "{WEIGH_THE_LIGHTEST} {grams} g after {days} days is a forecast, for planning alone. {}",
        cure.shape_words()
    ));
    let unconfirmed = label.unconfirmed();
    if !unconfirmed.is_empty() {
        add(format!("Confirm these names, which were not found in the inventory read: {}.", unconfirmed.join(", ")));
    }
    if !design.scents.is_empty() {
        for scent in &label.allergens.unknown {
            add(format!("Ask the supplier of {scent} for its allergens: they are not known here."));
        }
        for scent in &label.allergens.said_none {
            add(format!("{scent} has no allergens by its supplier’s word alone: keep the document that says so."));
        }
        add(allergens(region, design.allergen_list).into());
        let esters: Vec<&str> = label.allergens.esters().collect();
        if !esters.is_empty() {
            add(format!("Lye may take esters apart in part; they count as put in: {}.", esters.join(", ")));
        }
    }
    if label.ingredients(ListStyle::AsPutIn).iter().any(super::Ingredient::is_colourant) {
        add("See that the colourants are allowed in soap where it is sold.".into());
    }
    if region == Region::Us {
        add(format!("Of what is not water in this bar, {} % is soap.", fixed(label.soap_of_dry, 0)));
    }
    items
}

/// What to know of the lists of allergens.
const fn allergens(region: Region, list: AllergenList) -> &'static str {
    match (region, list) {
        (Region::EuUk, AllergenList::Extended) => {
            "Allergens are named by the extended list, the rule in the EU and Northern Ireland for what is newly \
             placed on the market since 31 July 2026. They count with the largest published figures; a supplier’s \
             certificate is better."
        }
        (Region::EuUk, AllergenList::FirstTwentyFour) => {
            "Allergens are named by the first 24, which holds in the EU and Northern Ireland for stock placed on the \
             market before 31 July 2026, until 31 July 2028, and as far as known in Great Britain."
        }
        (Region::EuUk, AllergenList::Off) => "No allergens are named, by your choice; the EU and the UK ask for them.",
        (Region::Us, AllergenList::Off) => {
            "No allergens are named, by your choice; no list was in force as far as read."
        }
        (Region::Us, _) => "Allergens are named by the European list; in the US none was in force as far as read.",
    }
}
