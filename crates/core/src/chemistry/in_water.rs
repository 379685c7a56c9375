//! How much of an addition makes a wanted part of the water.

use crate::chemistry::masses::{Masses, PerGram, ROUNDING, water_of};
use crate::design::Design;
use crate::formula::Plain;
use crate::library::additions::{AdditionLine, Amount};
use crate::units::{AmountPercent, percent_of};

/// The addition at `index` with so much of it that its water takes the place of all the water to
/// weigh; `None` if it holds none or there is no batch.
pub fn in_place_of_water(design: &Design, index: usize) -> Option<AdditionLine> {
    let mut next = design.clone();
    let per_gram = PerGram::of(Plain, design);
    // Acid in it takes alkali, which asks for water again, so a few rounds are needed.
    for _ in 0..50 {
        let batch = per_gram.solve(Plain, &next).1;
        let line = next.additions.get(index)?;
        let held = line.addition.contents.value.water.fraction();
        if held <= 0.0 || batch.fats.0 <= 0.0 {
            return None;
        }
        let change = (batch.water_to_weigh - batch.water_excess) / held;
        let mass = line.amount.mass(batch.fats) + change;
        if mass.0 < 0.0 {
            return None;
        }
        let amount = line.amount.with_mass(mass, batch.fats);
        next.additions[index] = AdditionLine { amount, counts_as_water: true, ..line.clone() };
        if change.0.abs() < 1e-6 {
            break;
        }
    }
    Some(next.additions.swap_remove(index))
}

/// The addition at `index` with so much of it that its own water is `part` of all the water that counts, 1 for
/// all of it; `None` if it holds none, there is no batch, or no such amount is.
///
/// In percent of the fats where it was in grams, so that it stays this part when the batch is resized. It is no
/// amount of a kind of its own, which followed the water: acid in it takes alkali, which asks for water, so that
/// every line would hang on all others, and a puree that stands ready would change when the superfat does. What
/// is weighed as water gives way instead.
pub fn as_part_of_water(design: &Design, index: usize, part: f64) -> Option<AdditionLine> {
    let mut next = design.clone();
    let per_gram = PerGram::of(Plain, design);
    let held = next.additions.get(index)?.addition.contents.value.water.fraction();
    for _ in 0..100 {
        let batch = per_gram.solve(Plain, &next).1;
        if held <= 0.0 || batch.fats.0 <= 0.0 {
            return None;
        }
        let line = &next.additions[index];
        let amount = match line.amount {
            Amount::Grams(_) => Amount::PercentOfFats(AmountPercent::nearest(0.0)),
            Amount::PercentOfFats(_) | Amount::GramsPerKgFats(_) => line.amount,
        };
        let (before, wanted) = (line.amount.mass(batch.fats), batch.water_wanted * (part / held));
        let amount = amount.with_mass(wanted, batch.fats);
        next.additions[index] = AdditionLine { amount, counts_as_water: true, ..line.clone() };
        if (wanted - before).0.abs() <= 1e-9 * wanted.0 {
            // At the end of what an amount holds there is less than was asked for.
            let reached = amount.mass(batch.fats).0 >= wanted.0 * (1.0 - ROUNDING);
            return reached.then(|| next.additions.swap_remove(index));
        }
    }
    None
}

/// The water of the addition at `index` in percent of all the water that the rule asks for; `None` without any.
pub fn percent_of_water(design: &Design, index: usize, batch: &Masses) -> Option<f64> {
    let line = design.additions.get(index)?;
    let water = water_of(Plain, line, batch.fats);
    (batch.water_wanted.0 > 0.0).then(|| percent_of(water.0, batch.water_wanted.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chemistry::size::solve;
    use crate::design::document;
    use crate::library::Library;

    #[test]
    fn an_addition_takes_the_asked_part_of_the_water_by_any_rule_or_there_is_no_such_amount() {
        let library = Library::embedded().expect("assets parse");
        for rule in ["LyeConcentration(31)", "WaterToAlkali(2.2)", "PercentOfFats(34)"] {
            for id in ["apple_puree", "goat_milk", "cider_vinegar", "lemon_juice"] {
                for part in [0.0, 0.1, 0.5, 1.0] {
                    let text = format!(
                        "(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100)], water: {rule}, \
                         additions: [(addition: \"{id}\", amount: Grams(20))])"
                    );
                    let mut design = document::read(text.as_bytes(), &library).expect("a design");
                    let Some(line) = as_part_of_water(&design, 0, part) else { panic!("{id}, {part}, {rule}") };
                    design.additions[0] = line;
                    let batch = solve(Plain, &design).1;
                    let percent = percent_of_water(&design, 0, &batch).expect("there is water");
                    assert!((percent - 100.0 * part).abs() < 1e-6, "{id}, {rule}: {percent} for {part}");
                }
            }
        }
        let salt = "(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100)], additions: [(addition: \"salt\", amount: Grams(20))])";
        let design = document::read(salt.as_bytes(), &library).expect("a design");
        assert_eq!(as_part_of_water(&design, 0, 0.3), None, "it holds no water");
        assert_eq!(as_part_of_water(&design, 7, 0.3), None, "no such line");
        assert_eq!(as_part_of_water(&Design::default(), 0, 0.3), None, "no fats");
    }
}
