//! What reducing sugars may take of the alkali: 0 to 2 mol for a mol (from memory), and nothing that protects counts it.

use barwright_acceptance::assert_relative;
use barwright_core::design::document;
use barwright_core::{Design, Evaluation, Library, cautions, evaluate};

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

/// A law: with sugar the lye is the same, and no number that protects is milder.
#[test]
fn sugar_never_lowers_what_protects() {
    let library = library();
    for superfat in ["-2", "0", "1", "3", "8"] {
        let of = |honey: f64| {
            let text = format!(
                r#"(barwright: 1, superfat: {superfat}, size: FatMass(800), lye_rests_on: Possible, water: PercentOfFats(33),
                    fats: [(fat: "almond", share: 50), (fat: "coconut", share: 30), (fat: "shea", share: 20)],
                    additions: [(addition: "honey", amount: Grams({honey:?}), stage: IntoJug, counts_as_water: false)])"#
            );
            let design = document::read(text.as_bytes(), &library).unwrap_or_else(|e| panic!("{e}: {text}"));
            let evaluation = evaluate(&design, &library);
            (cautions::of(&design, &evaluation, &library), evaluation)
        };
        let (told_without, without) = of(0.0);
        let margin = without.margin.as_ref().expect("fats");
        for grams in [0.5, 10.0, 40.0, 200.0] {
            let (told, with) = of(grams);
            let here = with.margin.as_ref().expect("fats");
            assert_relative("alkali", with.masses.alkali.weighed().0, without.masses.alkali.weighed().0, 1e-15);
            assert!(here.chance_lye_heavy() >= margin.chance_lye_heavy() - 1e-12, "{superfat}, {grams} g: the chance");
            assert!(
                here.least_superfat(0.01) >= margin.least_superfat(0.01) - 1e-9,
                "{superfat}, {grams} g: the least"
            );
            assert!(here.low <= margin.low + 1e-12, "{superfat}, {grams} g: the low end");
            for caution in told_without.iter().filter(|c| c.level != cautions::Level::Note) {
                let same = told.iter().any(|c| c.code == caution.code && c.level >= caution.level);
                assert!(same, "{superfat}, {grams} g: {} is no more told", caution.code);
            }
            assert!(with.sugars.is_some_and(|s| s.superfat > with.masses.superfat), "only the milder edge moves");
        }
    }
}
