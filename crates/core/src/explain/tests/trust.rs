//! What is said of how far to trust a number, where designs differ in it.

use super::super::why;
use super::{example, library};
use crate::design::document;
use crate::evaluate;

fn trust(key: &str, text: &str) -> String {
    let library = library();
    let design = document::read(text.as_bytes(), &library).expect("a design");
    why(key, &design, &evaluate(&design, &library), &library).expect("known").trust
}

const PLAIN: &str = r#"(barwright: 1, fats: [(fat: "coconut", share: 100)])"#;
const SALT: &str = r#"(barwright: 1, fats: [(fat: "coconut", share: 100)],
    additions: [(addition: "salt", amount: PercentOfFats(50), stage: AtTrace)])"#;

#[test]
fn a_bar_of_much_salt_is_said_to_dry_further() {
    for key in ["cure.free_water_g", "batch.bar_cured_g", "chemistry.tfm_cured_pct"] {
        assert!(trust(key, SALT).contains("salt, clay, meal or wax"), "{key}: {}", trust(key, SALT));
        assert!(!trust(key, PLAIN).contains("salt, clay"), "{key}: {}", trust(key, PLAIN));
    }
    let wax = PLAIN.replace("coconut", "beeswax");
    assert!(trust("batch.bar_cured_g", &wax).contains("salt, clay, meal or wax"), "wax holds none either");
}

#[test]
fn spare_alkali_is_said_to_burn_and_no_fat_to_stay_free() {
    let library = library();
    let text = PLAIN.replace("fats:", "superfat: -3, fats:");
    let design = document::read(text.as_bytes(), &library).expect("a design");
    let evaluation = evaluate(&design, &library);
    let about = crate::quantities::About::new(&design, &evaluation, &library);
    let style = crate::bench::label::ListStyle::AsInTheBar;
    let ingredients = crate::bench::label::Ingredients::of(&design, &evaluation, &library).expect("fats");
    for ingredient in ingredients.ingredients(style) {
        let quantity = crate::quantities::IngredientPercent(style, ingredient.name.clone());
        let says = crate::explain::of_quantity(&quantity, about).expect("known").trust;
        assert_eq!(says.contains("burns skin"), ingredient.name == "Sodium Hydroxide", "{}: {says}", ingredient.name);
        assert!(!says.contains("stays free"), "{}: {says}", ingredient.name);
    }
    let withheld = why("label.as_in_the_bar_pct.0", &design, &evaluation, &library).expect_err("withheld").to_string();
    assert!(withheld.contains("STOP: There is 3 % more alkali"), "{withheld}");
}

#[test]
fn an_allergen_is_told_of_the_lightest_bar() {
    let library = library();
    let carrot = example(1, &library);
    let evaluation = evaluate(&carrot, &library);
    let says = why("label.allergen_findings.0.bar_pct", &carrot, &evaluation, &library).expect("known").trust;
    assert!(says.contains("the lightest bar, with 5 % of water"), "{says}");
}

#[test]
fn a_key_that_this_design_lacks_says_what_such_keys_can_be() {
    let library = library();
    let carrot = example(1, &library);
    let evaluation = evaluate(&carrot, &library);
    let says = |key: &str| why(key, &carrot, &evaluation, &library).expect_err(key).to_string();
    for (key, part) in [
        ("cure.days.99999.bar_g", "0 to 3650"),
        ("cure.days.-1.bar_g", "0 to 3650"),
        ("cost.bar_at_margin_pct.100", "under 100"),
        ("label.as_in_the_bar_pct.99", "from 0 to the last that there is"),
        ("acids_pct.99:9", "that the blend holds"),
        ("size.bar_mm.9", "size.bar_mm.N"),
        ("estimates.gold.low", "E is a score"),
        ("fats.gold.mass_g", "id of a material"),
        ("acids_pct.99:9.fats.0", "A is a fatty acid that the blend holds, as 18:1; N is a position"),
    ] {
        assert!(says(key).contains(part) && !says(key).contains("choose one of"), "{key}: {}", says(key));
    }
    for key in ["batch.gold_g", "", "cure", "cure.days", "label.as_put_in_pct", "cure.days.7.gold"] {
        assert!(says(key).contains("choose one of"), "“{key}”: {}", says(key));
    }
}
