//! The jug.

use super::{About, NO_ALKALI, Unknown, quantities};
use crate::chemistry::jug::{Jug, Reach};
use crate::formula::{Num, Reading};
use crate::library::additions::AdditionLine;
use crate::number::{fixed, short};
use crate::quantity::Unit;
use crate::units::Share;

quantities! {
    /// The jug, in the order of the report.
    JUG;
    /// Water in the jug.
    JugWater("jug.water_g", "Water in the jug", Grams, 1) {
        |_r, of| jug(of).map(|_| of.evaluation.masses.water_in_jug.0),
        |_| "An exact balance; water in additions is from food tables, and what is grown varies."
    }
    /// Least water that dissolves the alkali.
    JugLeastWater("jug.least_water_g", "Least water that dissolves the alkali", Grams, 1) {
        |_r, of| jug(of).map(|j| j.least_water.0),
        |of| if of.evaluation.masses.alkali.pure_koh.0 > 0.0 {
            "A rule of thumb. At its limit sodium lye is thick and slow to clear at 20 °C, and potassium lye holds all that \
             it can. Weigh more water into the jug rather than less."
        } else {
            "A rule of thumb with room to spare at 20 °C: at the rule’s limit the lye is thick and slow to clear. Weigh more \
             water into the jug rather than less."
        }
    }
    /// Strength of the lye in the jug.
    JugConcentration("jug.concentration_pct", "Lye concentration in the jug", Percent, 1) {
        |_r, of| jug(of).map(|j| j.concentration),
        |_| "Exact by definition, when all of the jug’s water is there before the alkali goes in."
    }
    /// The most the jug warms to.
    Peak("jug.peak_c", "The most the jug warms to", Celsius, 0) {
        |_r, of| jug(of)?.peak.map_err(|e| e.to_string().into()),
        |of| if of.design.additions.iter().any(is_food_in_jug) {
            "For alkali, water and acid an upper bound: as if no heat were lost while all dissolves, with what lye scorches \
             frozen beforehand. What lye does to the sugars, fat and protein of what else is in the jug gives heat too, which \
             is not in it."
        } else {
            "An upper bound: as if no heat were lost while all dissolves. Stirred in slowly in an open jug it stays below."
        }
    }
    /// Where the lye crystallises.
    CrystallisesBelow("jug.crystallises_below_c", "The lye crystallises below", Celsius, 0) {
        |_r, of| jug(of).and_then(crystallises_below),
        |of| if of.besides_in_jug() > 0.0 {
            "The curve of sodium hydroxide and water alone, read off a published diagram to ±1 °C: what else is in the jug, \
             and alkali that acids have taken up there, shift it by more."
        } else {
            "The curve was read off a published diagram, to ±1 °C; lye can also stay liquid below it for a while."
        }
    }
    /// Density of the lye.
    LyeDensity("jug.density_g_per_ml", "Density of the lye in the room", GramsPerMillilitre, 3) {
        |_r, of| jug(of)?.density.map_err(|e| e.to_string().into()),
        |_| "Fitted to measurements, and given only within their range. What additions bring into the jug besides water is \
             not in it."
    }
    /// Volume of the lye.
    LyeMl("jug.volume_ml", "Volume of the lye in the room", Millilitres, 0) {
        |_r, of| {
            let jug = jug(of)?;
            jug.volume_ml().ok_or_else(|| jug.density.err().map_or_else(String::new, |e| e.to_string()).into())
        },
        |of| {
            let besides = of.besides_in_jug();
            if besides > 0.0 {
                format!(
                    "Alkali and water alone: {} g of what else goes into the jug are not in it, and acids have taken up some \
                     of the alkali. {TALL}",
                    fixed(besides, 1)
                )
            } else {
                format!("Good to the millilitre. {TALL}")
            }
        }
    }
    /// The least jug to take.
    LeastJug("jug.least_jug_ml", "A jug to hold at least", Millilitres, 0) {
        |r, of| jug(of)?.least_jug_ml(r).map_err(|e| e.to_string().into()),
        |_| "Alkali, water and what else goes into the jug, and as much room again for steam and froth. Milk, fruit and \
             beer may want more."
    }
    /// Time until the jug can be used.
    MinutesToMix("jug.minutes_to_mix", "Time until the jug can be used", Minutes, 0) {
        |_r, of| {
            let jug = jug(of)?;
            let mix = short(of.design.process.mix_c.get(), 1);
            match jug.ready {
                Some(Reach::After(minutes)) => Ok(minutes),
                Some(Reach::NeverSoWarm) => Err(format!("the jug never gets as warm as the {mix} °C wanted").into()),
                Some(Reach::NeverSoCold) => {
                    Err(format!("what the jug stands in is not colder than the {mix} °C wanted").into())
                }
                None => Err(jug.peak.err().map_or_else(String::new, |e| e.to_string()).into()),
            }
        },
        |of| if of.design.calibration.jug_cooling_min.is_some() {
            "Newton’s law of cooling with your own reading; it holds for this jug, this fill and this place."
        } else {
            "A rough guide: how fast a jug cools depends on its size, wall and draught. Type one later reading of your own \
             jug to do better."
        }
    }
    /// Where lye and fats meet.
    Meeting("jug.meeting_c", "Lye and fats meet at", Celsius, 0) {
        |_r, of| {
            let jug = jug(of)?;
            jug.meeting.ok_or_else(|| {
                jug.peak.err().map_or_else(|| "the heat of this lye is not tabled".into(), |e| e.to_string()).into()
            })
        },
        |_| "A heat balance without losses to the pot and the air, at the moment of pouring; the reaction then warms the \
             batter further."
    }
}

/// What is said of every jug.
const TALL: &str = "Choose a jug that holds twice as much: it steams and may foam.";

fn jug<N>(of: About<'_, N>) -> Result<&Jug<N>, Unknown> {
    of.evaluation.jug.as_ref().ok_or_else(|| NO_ALKALI.into())
}

fn crystallises_below<N: Num>(jug: &Jug<N>) -> Result<N, Unknown> {
    let percent = jug.concentration.value();
    jug.crystallises_below.ok_or_else(|| {
        if (10.0..=70.0).contains(&percent) {
            "the crystallisation of potassium lye is not tabled here".into()
        } else {
            format!("it is tabled from 10 to 70 % and this lye has {} %", fixed(percent, 2)).into()
        }
    })
}

/// Whether it brings what lye takes apart, with heat that is not reckoned with.
fn is_food_in_jug(line: &AdditionLine) -> bool {
    let contents = &line.addition.contents.value;
    line.stage.is_in_jug() && contents.fat.get() + contents.sugars.map_or(0.0, Share::get) > 0.0
}

impl About<'_> {
    /// What additions bring into the jug besides water, g.
    fn besides_in_jug(self) -> f64 {
        let fats = self.evaluation.masses.fats;
        let into_jug = self.design.additions.iter().filter(|l| l.stage.is_in_jug());
        into_jug.map(|l| l.amount.mass(fats).0 * (1.0 - l.addition.contents.value.water.fraction())).sum()
    }
}
