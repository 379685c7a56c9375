//! What reducing sugars may take of the alkali: 0 to 2 mol for a mol (from memory), and nothing that protects counts it.

#[path = "../src/designs/mod.rs"]
mod designs;

use barwright_acceptance::assert_relative;
use barwright_core::design::document;
use barwright_core::library::additions::{Addition, AdditionLine, Amount};
use barwright_core::units::{AmountMass, Share};
use barwright_core::{Design, Evaluation, Library, cautions, evaluate};
use designs::{LIBRARY, any_design, tried};
use proptest::prelude::*;
use proptest::sample::select;
use std::sync::Arc;

fn library() -> Library {
    Library::embedded().expect("assets parse")
}

fn with(additions: &str, library: &Library) -> (Design, Evaluation) {
    let text = format!(
        r#"(barwright: 1, superfat: 3, size: FatMass(1000), fats: [(fat: "olive_virgin", share: 70, supplier: Some((sv: 190))),
            (fat: "coconut", share: 30, supplier: Some((sv: 256)))], additions: [{additions}])"#
    );
    let design = document::read(text.as_bytes(), library).unwrap_or_else(|e| panic!("{e}: {text}"));
    let evaluation = evaluate(&design, library);
    (design, evaluation)
}

/// 1000 g of fats take (700 × 190 + 300 × 256) ÷ 1000 = 209.8 g KOH, 3.73942 mol.
const NEED_MOL: f64 = 209.8 / 56.105;

#[test]
fn the_milder_edge_is_two_mol_for_a_mol_by_hand() {
    let library = library();
    // 20 g of honey with 82.12 % of sugars, at most 99 % of them reducing, of 180.16 g/mol.
    let honey = 2.0 * 20.0 * 0.8212 * 0.99 / 180.16;
    // 300 g of goat’s milk with 4.45 % of lactose, 342.3 g/mol.
    let milk = 2.0 * 300.0 * 0.0445 / 342.3;
    for (additions, moles) in [
        (r#"(addition: "honey", amount: Grams(20), stage: AtTrace)"#, honey),
        (r#"(addition: "goat_milk", amount: Grams(300), stage: IntoJug)"#, milk),
        (
            r#"(addition: "goat_milk", amount: Grams(300), stage: IntoJug), (addition: "honey", amount: Grams(20), stage: AtTrace)"#,
            honey + milk,
        ),
        // Not known: all of 12.23 % as glucose.
        (r#"(addition: "banana", amount: Grams(50), stage: IntoFats)"#, 2.0 * 50.0 * 0.1223 / 180.156),
    ] {
        let edge = with(additions, &library).1.sugars.unwrap_or_else(|| panic!("{additions} reduces"));
        assert_relative(additions, edge.alkali.0, moles * 39.997, 1e-9);
        assert_relative(additions, edge.superfat, 3.0 + 100.0 * moles / NEED_MOL, 1e-9);
    }
}

#[test]
fn sucrose_what_lies_on_top_and_what_has_none_have_no_edge() {
    let library = library();
    for additions in [
        r#"(addition: "sugar", amount: Grams(30), stage: IntoJug)"#,
        r#"(addition: "honey", amount: Grams(30), stage: OnTop)"#,
        r#"(addition: "salt", amount: Grams(30), stage: IntoJug)"#,
        "",
    ] {
        assert_eq!(with(additions, &library).1.sugars, None, "{additions}");
    }
    // More than all the alkali for the fats is not taken.
    let much = with(r#"(addition: "honey", amount: Grams(2000), stage: AtTrace)"#, &library).1;
    assert_relative("all of it", much.sugars.expect("an edge").superfat, 100.0, 1e-12);
}

/// What protects: the weights of lye and water, the margin, and each Stop.
fn protects(design: &Design) -> (Vec<u64>, Vec<&'static str>) {
    let evaluation = evaluate(design, &LIBRARY);
    let masses = &evaluation.masses;
    let mut numbers = vec![masses.alkali.naoh.0, masses.alkali.koh.0, masses.superfat, masses.water_to_weigh.0];
    if let Some(margin) = &evaluation.margin {
        numbers.extend([margin.low, margin.high, margin.chance_bound(), margin.chance_lye_heavy()]);
        numbers.extend([0.01, 0.001].map(|chance| margin.least_superfat(chance)));
    }
    let told = cautions::of(design, &evaluation, &LIBRARY);
    let stops = told.iter().filter(|c| c.blocks()).map(|c| c.code).collect();
    (numbers.into_iter().map(f64::to_bits).collect(), stops)
}

proptest! {
    #![proptest_config(tried(400))]

    /// A law: with what sugars may take or without it, what protects is the same to the last bit.
    #[test]
    fn sugars_never_lower_what_protects(
        design in any_design(),
        name in select(&["honey", "goat_milk", "banana", "coconut_milk_canned", "beer"][..]),
        grams in 0.5..400.0,
    ) {
        let amount = Amount::Grams(AmountMass::new(grams).expect("a mass"));
        let usual = AdditionLine::usual(Arc::clone(LIBRARY.addition(name).expect("tabled")));
        let mut sweet = design;
        sweet.additions.push(AdditionLine { amount, ..usual });
        // The same additions with nothing known of sugars in them, which leaves the milder edge out.
        let mut plain = sweet.clone();
        for line in &mut plain.additions {
            let mut addition = Addition::clone(&line.addition);
            addition.contents.value.sugars = Some(Share::nearest(0.0));
            line.addition = Arc::new(addition);
        }
        prop_assert!(evaluate(&plain, &LIBRARY).sugars.is_none(), "no edge without sugars");
        if let Some(edge) = evaluate(&sweet, &LIBRARY).sugars {
            prop_assert!(edge.superfat >= evaluate(&sweet, &LIBRARY).masses.superfat, "the milder edge");
        }
        prop_assert_eq!(protects(&sweet), protects(&plain));
    }
}
