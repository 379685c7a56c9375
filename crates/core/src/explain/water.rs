//! Water and the strength of the lye.

use super::sum::{grams, number, sum};
use super::{About, Input, Parts};
use crate::chemistry::masses::water_of;
use crate::design::WaterRule;
use crate::formula::Plain;
use crate::number::short;
use crate::units::Grams;

impl About<'_> {
    /// What the design's rule asks for: in symbols, with numbers, and as an input.
    fn water_wanted(self) -> (&'static str, String, Input) {
        let b = &self.evaluation.masses;
        let pure = grams(b.alkali.pure());
        match self.design.water {
            WaterRule::LyeConcentration(c) => {
                let c = c.get();
                let numbers = format!("{pure} × {} ÷ {}", number(100.0 - c), number(c));
                ("pure alkali × (100 − c) ÷ c", numbers, Input::chosen("Lye concentration c", percent(c)))
            }
            WaterRule::WaterToAlkali(r) => {
                let rule = Input::chosen("Water to alkali r", format!("{} : 1", short(r.get(), 3)));
                ("pure alkali × r", format!("{pure} × {}", number(r.get())), rule)
            }
            WaterRule::PercentOfFats(p) => {
                let numbers = format!("{} × {} ÷ 100", grams(b.fats), number(p.get()));
                ("fats × p ÷ 100", numbers, Input::chosen("Water in percent of the fats p", percent(p.get())))
            }
        }
    }

    /// The water that additions and potassium hydroxide bring and that counts.
    fn brought(self) -> Vec<Grams> {
        let b = &self.evaluation.masses;
        let counted = self.design.additions.iter().filter(|l| l.counts_as_water).map(|l| water_of(Plain, l, b.fats));
        std::iter::once(b.alkali.water()).chain(counted).filter(|m| m.0 > 0.0).collect()
    }

    fn water_inputs(self) -> Vec<Input> {
        let b = &self.evaluation.masses;
        let mut inputs = vec![self.water_wanted().2, self.pure_alkali(), self.size()];
        if b.alkali.water().0 > 0.0 {
            let how = "what is not pure in it counts as water";
            inputs.push(Input::worked_out("Water in the potassium hydroxide", grams(b.alkali.water()), how));
        }
        inputs.extend(self.contents("water", |l| l.addition.contents.value.water.get(), |l| l.counts_as_water));
        inputs
    }

    pub(super) fn pure_alkali(self) -> Input {
        let value = grams(self.evaluation.masses.alkali.pure());
        Input::worked_out("Pure alkali", value, "what is weighed × its purity, with what acids take")
    }

    pub(super) fn water_total(self) -> Parts {
        let b = &self.evaluation.masses;
        let (formula, numbers, _) = self.water_wanted();
        let trust = if b.water_excess.0 > 0.0 {
            "Additions and alkali bring more water than the rule asks for; water cannot be taken out again, so the sum \
             of theirs stands."
        } else {
            "Exact: the rule is the design’s own. Water in additions is from food tables, and what is grown varies."
        };
        let (formula, numbers) = if b.water_excess.0 > 0.0 {
            ("Σ water that additions and potassium hydroxide bring", sum(self.brought().into_iter().map(grams)))
        } else {
            (formula, numbers)
        };
        Parts { formula, numbers, inputs: self.water_inputs(), trust: trust.into() }
    }

    pub(super) fn water_to_weigh(self) -> Parts {
        let b = &self.evaluation.masses;
        let brought = self.brought();
        let less = brought.iter().fold(String::new(), |text, m| text + " − " + &grams(*m));
        let wanted = self.water_wanted().1;
        let numbers = if b.water_excess.0 > 0.0 {
            format!("at least nothing: max({wanted}{less}; 0 g)")
        } else {
            format!("{wanted}{less}")
        };
        let formula = match self.design.water {
            WaterRule::LyeConcentration(_) => {
                "pure alkali × (100 − c) ÷ c − water in potassium hydroxide and additions"
            }
            WaterRule::WaterToAlkali(_) => "pure alkali × r − water in potassium hydroxide and additions",
            WaterRule::PercentOfFats(_) => "fats × p ÷ 100 − water in potassium hydroxide and additions",
        };
        Parts {
            formula,
            numbers,
            inputs: self.water_inputs(),
            trust:
                "An exact balance: every gram of water is counted once. Water in additions is from food tables, and \
                    what is grown varies."
                    .into(),
        }
    }

    pub(super) fn frozen(self) -> Parts {
        let (b, part) = (&self.evaluation.masses, self.design.process.jug_frozen);
        let how = "water to weigh, water in the potassium hydroxide, and that of additions that go into the jug";
        Parts {
            formula: "water in the jug × part of it that is frozen",
            numbers: format!("{} × {}", grams(b.water_in_jug), number(part.fraction())),
            inputs: vec![
                Input::worked_out("Water in the jug", grams(b.water_in_jug), how),
                Input::chosen("Frozen part", percent(part.get())),
            ],
            trust:
                "Exact arithmetic on what the design says. It is a part of the weights above, not one more: ice, or \
                    milk and puree by the water in them."
                    .into(),
        }
    }

    pub(super) fn lye_concentration(self) -> Parts {
        let b = &self.evaluation.masses;
        let (pure, water) = (grams(b.alkali.pure()), grams(b.water_total));
        let whence = if b.water_excess.0 > 0.0 {
            "what additions and alkali bring, more than the rule wants"
        } else {
            "the design’s rule for the water"
        };
        Parts {
            formula: "100 × pure alkali ÷ (pure alkali + water that counts)",
            numbers: format!("100 × {pure} ÷ ({pure} + {water})"),
            inputs: vec![
                self.pure_alkali(),
                Input::worked_out("Water that counts", water, whence),
                self.water_wanted().2,
            ],
            trust:
                "Exact by definition. The lye in the jug can be stronger: only the water that is in the jug when the \
                    alkali goes in dilutes it there."
                    .into(),
        }
    }
}

fn percent(value: f64) -> String {
    format!("{} %", short(value, 3))
}
