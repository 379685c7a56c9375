//! Which items the text report and a comparison list, in the one order of both.

use super::{
    About, AlkaliForAcids, AllFats, AnyQuantity, BarAtSale, BarCount, BarFresh, Batter, BatterMl, Carotenes,
    ChanceLyeHeavy, CostSum, CrystallisesBelow, FatsMelted, FattyMatter, FattyMatterAtSale, FreeFat, Glycerol,
    IodineValue, JugConcentration, JugLeastWater, JugWater, Koh, LeastSuperfat, LyeConcentration, LyeDensity, LyeMl,
    Meeting, MinutesToMix, Naoh, Peak, PlannedSuperfat, SaponificationCalculated, SaponificationValue, SuperfatHigh,
    SuperfatLow, SuperfatP05, SuperfatP95, SuperfatWithSugars, Titre, WantedMl, WaterToWeigh, WaterTotal,
};
use crate::number::short;

/// Under which heading an item stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Section {
    /// The batch; in a comparison with its water and its jug.
    Batch,
    /// The superfat that results.
    Margin,
    /// The water.
    Water,
    /// The jug.
    Jug,
    /// Figures of the blend.
    Blend,
    /// What it costs.
    Cost,
}

/// Where an item is worth a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// Everywhere, if only to say that it is not known.
    Always,
    /// Where it is known.
    Known,
    /// Where it is more than nothing.
    Some,
}

/// An item of a list.
#[derive(Debug, Clone, Copy)]
pub struct Listed {
    /// The item.
    pub quantity: &'static dyn AnyQuantity,
    /// Where it stands in the report.
    pub report: Option<(Section, When)>,
    /// Where it stands in a comparison.
    pub comparison: Option<(Section, When)>,
    /// What the report says behind the number.
    pub words: fn(About<'_>) -> String,
}

impl Listed {
    const fn of(quantity: &'static dyn AnyQuantity) -> Self {
        Self { quantity, report: None, comparison: None, words: |_| String::new() }
    }

    const fn reported(self, section: Section, when: When) -> Self {
        Self { report: Some((section, when)), ..self }
    }

    const fn compared(self, section: Section, when: When) -> Self {
        Self { comparison: Some((section, when)), ..self }
    }

    const fn both(self, section: Section) -> Self {
        self.reported(section, When::Always).compared(section, When::Always)
    }

    const fn words(self, words: fn(About<'_>) -> String) -> Self {
        Self { words, ..self }
    }
}

use Section::{Batch, Blend, Cost, Jug, Margin, Water};
use When::{Always, Known};

/// The items in their order.
pub static LISTED: &[Listed] = &[
    Listed::of(&AllFats).both(Batch),
    Listed::of(&FatsMelted).reported(Batch, Known).words(|_| " before the lye".into()),
    Listed::of(&Naoh).compared(Batch, Always),
    Listed::of(&Koh).compared(Batch, When::Some),
    Listed::of(&AlkaliForAcids)
        .reported(Batch, When::Some)
        .compared(Batch, When::Some)
        .words(|_| "   of the weighed alkali".into()),
    Listed::of(&WaterToWeigh).compared(Batch, Always),
    Listed::of(&WaterTotal).reported(Water, Always).compared(Batch, Always),
    Listed::of(&LyeConcentration)
        .reported(Water, Always)
        .compared(Batch, Always)
        .words(|_| " alkali in alkali and water that counts".into()),
    Listed::of(&PlannedSuperfat).both(Batch),
    Listed::of(&FreeFat).both(Batch).words(|_| " of all fat, that of additions with it".into()),
    Listed::of(&JugConcentration).reported(Jug, Always).compared(Batch, Always),
    Listed::of(&JugWater).reported(Jug, Always),
    Listed::of(&JugLeastWater).reported(Jug, Always),
    Listed::of(&Peak).reported(Jug, Known).compared(Batch, Always),
    Listed::of(&MinutesToMix)
        .reported(Jug, Known)
        .words(|of| format!(", about, at {} °C", short(of.design.process.mix_c.get(), 1))),
    Listed::of(&Meeting).reported(Jug, Known),
    Listed::of(&CrystallisesBelow).reported(Jug, Known).words(|_| ", about".into()),
    Listed::of(&LyeDensity).reported(Jug, Known),
    Listed::of(&LyeMl).reported(Jug, Known),
    Listed::of(&Batter).both(Batch),
    Listed::of(&BatterMl).reported(Batch, Known).compared(Batch, Always).words(|_| " at 40 °C, about".into()),
    Listed::of(&WantedMl).reported(Batch, Known),
    Listed::of(&BarCount).both(Batch),
    Listed::of(&BarFresh).both(Batch),
    Listed::of(&BarAtSale).compared(Batch, Always),
    Listed::of(&Glycerol).reported(Batch, Always),
    Listed::of(&Carotenes).compared(Batch, When::Some),
    Listed::of(&SuperfatLow).both(Margin),
    Listed::of(&SuperfatP05).reported(Margin, Always),
    Listed::of(&SuperfatP95).reported(Margin, Always),
    Listed::of(&SuperfatHigh).both(Margin),
    Listed::of(&SuperfatWithSugars)
        .reported(Margin, Known)
        .words(|_| ", or none of it: milk and honey may take some of the lye".into()),
    Listed::of(&ChanceLyeHeavy).both(Margin),
    Listed::of(&LeastSuperfat).both(Margin),
    Listed::of(&SaponificationValue)
        .both(Blend)
        .words(|_| ", the published narrowed by the acids, or supplier’s".into()),
    Listed::of(&SaponificationCalculated).reported(Blend, Always),
    Listed::of(&IodineValue).both(Blend).words(|_| ", calculated from the acids".into()),
    Listed::of(&Titre).both(Blend).words(|_| ", ±3 in hard charges, worse in soft ones".into()),
    Listed::of(&FattyMatter).both(Blend),
    Listed::of(&FattyMatterAtSale).compared(Blend, Always),
    Listed::of(&CostSum::AtLeast).reported(Cost, Known),
    Listed::of(&CostSum::Batch).reported(Cost, Known).compared(Cost, Always),
    Listed::of(&CostSum::Bar).reported(Cost, Known).compared(Cost, Always),
    Listed::of(&CostSum::PerHundred).reported(Cost, Known).compared(Cost, Always),
    Listed::of(&CostSum::Shopping).reported(Cost, Known),
];
