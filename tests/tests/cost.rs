//! Costs, packs and prices, worked out by hand.
//!
//! No publication: cost is mass times price by pack, a margin is a part of the selling price.

use barwright_acceptance::assert_within;
use barwright_acceptance::judged;
use barwright_core::bench::price;
use barwright_core::cautions::NoStop;
use barwright_core::cost::{Cost, Total};
use barwright_core::design::Price;
use barwright_core::design::document;
use barwright_core::design::edit::Edit;
use barwright_core::formula::Plain;
use barwright_core::quantities::{About, AnyQuantity, CostSum};
use barwright_core::render::report::Report;
use barwright_core::units::{Money, PackMass, SalesMargin, Share, Superfat};
use barwright_core::{Design, Library};
use std::sync::Arc;

/// 600 g of olive and 400 g of coconut oil; honey into the fats and at trace, 10 g each.
const DESIGN: &str = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 60), (fat: "coconut", share: 40)],
    size: FatMass(1000), bars: 10,
    additions: [
        (addition: "honey", amount: Grams(10), stage: IntoFats),
        (addition: "honey", amount: Grams(10), stage: AtTrace),
    ],
    scents: [(scent: "lavender", amount: Grams(20))],
    prices: [PRICES])"#;

const PRICES: &str = r#"
    (material: "olive_virgin", pack_g: 500, price: 6), (material: "coconut", pack_g: 400, price: 5),
    (material: "naoh", pack_g: 1000, price: 8), (material: "honey", pack_g: 250, price: 4),
    (material: "lavender", pack_g: 10, price: 3.5), (material: "argan", pack_g: 100, price: 9)"#;

fn library() -> Library {
    Library::embedded().expect("assets/data parses")
}

fn design(prices: &str, library: &Library) -> Design {
    document::read(DESIGN.replace("PRICES", prices).as_bytes(), library).expect("a design")
}

fn cost(design: &Design, library: &Library) -> Cost {
    Cost::of(design, &judged(design, library)).expect("a batch")
}

fn sum(total: Total) -> f64 {
    total.complete().unwrap_or_else(|| panic!("{total:?} is not complete"))
}

#[test]
fn the_batch_costs_what_its_masses_take_of_the_packs() {
    let library = library();
    let design = design(PRICES, &library);
    let evaluation = judged(&design, &library);
    let cost = Cost::of(&design, &evaluation).expect("a batch");
    assert_eq!(cost.missing().count(), 0, "all have a price");
    // 600/500·6 + 400/400·5 + 20/250·4 + 20/10·3.5, and sodium hydroxide at 0.008 a gram; no argan.
    let naoh = evaluation.masses.alkali.naoh.0;
    let by_hand = 7.2 + 5.0 + 0.32 + 7.0 + 0.008 * naoh;
    assert_within("batch", sum(cost.batch(Plain)), by_hand, 1e-9);
    assert_within("bar", sum(cost.bar(Plain)), by_hand / 10.0, 1e-10);
    let at_sale = evaluation.cure.expect("a bar").bar_at_sale(Plain).0;
    assert_within("100 g", sum(cost.per_100_g_cured(Plain)), by_hand / 10.0 / at_sale * 100.0, 1e-10);
    let names: Vec<&str> = cost.lines().iter().map(|l| l.material.as_str()).collect();
    assert_eq!(names, ["olive_virgin", "coconut", "naoh", "honey", "lavender"], "each once; water is free");
}

#[test]
fn whole_packs_are_bought_and_what_is_left_is_said() {
    let library = library();
    let cost = cost(&design(PRICES, &library), &library);
    let bought: Vec<(f64, f64)> =
        cost.lines().iter().filter_map(|line| cost.purchase(Plain, line)).map(|p| (p.packs, p.left.0)).collect();
    // 400 g of coconut oil in packs of 400 g is one pack, and two bottles of lavender are used up.
    assert_eq!(bought.iter().map(|b| b.0).collect::<Vec<_>>(), [2.0, 1.0, 1.0, 1.0, 2.0]);
    for ((_, left), by_hand) in bought.iter().zip([400.0, 0.0, f64::NAN, 230.0, 0.0]) {
        assert!(by_hand.is_nan() || (left - by_hand).abs() < 1e-9, "left {left}, expected {by_hand}");
    }
    assert_within("to pay", sum(cost.shopping(Plain)), 12.0 + 5.0 + 8.0 + 4.0 + 7.0, 1e-9);
}

#[test]
fn a_missing_price_is_named_and_makes_every_sum_a_lower_bound() {
    let library = library();
    let without = PRICES.replace("\"honey\"", "\"treacle\"").replace("\"naoh\"", "\"lye\"");
    let design = design(&without, &library);
    let evaluation = judged(&design, &library);
    let cost = Cost::of(&design, &evaluation).expect("a batch");
    assert_eq!(cost.missing().collect::<Vec<_>>(), ["Sodium hydroxide (NaOH)", "Honey"]);
    for total in [cost.batch(Plain), cost.bar(Plain), cost.per_100_g_cured(Plain), cost.shopping(Plain)] {
        assert_eq!(total.complete(), None, "{total:?} is not all of it");
        assert!(total.known() > 0.0, "{total:?} is what is known");
    }
    assert_within("known", cost.batch(Plain).known(), 19.2, 1e-9);
    let said = evaluation.cautions.iter().find(|c| c.code == "price-missing").expect("said");
    assert!(!said.is_for_the_bench(), "at the scale nobody asks for prices");
    assert!(said.why.contains("Honey") && said.why.contains("19.20 EUR"), "{}", said.why);
    let json = Report::new(&design, &evaluation, &library).json().expect("a report");
    let value: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert!(value["cost"]["batch"].is_null() && value["cost"]["bar"].is_null(), "{}", value["cost"]);
    assert_eq!(value["cost"]["missing"], serde_json::json!(["naoh", "honey"]));
}

#[test]
fn a_design_without_prices_has_no_cost_and_no_caution_of_it() {
    let library = library();
    let design = design("", &library);
    let evaluation = judged(&design, &library);
    assert!(evaluation.cautions.iter().all(|c| c.code != "price-missing"), "nothing was begun");
    let cost = Cost::of(&design, &evaluation).expect("a batch");
    assert_eq!((cost.batch(Plain), cost.missing().count()), (Total::AtLeast(0.0), 5));
    assert_eq!(Cost::of(&Design::default(), &judged(&Design::default(), &library)), None, "no fats, no batch");
}

#[test]
fn bought_water_counts_when_it_has_a_price() {
    let library = library();
    let with = design(&format!(r#"{PRICES}, (material: "water", pack_g: 1000, price: 2)"#), &library);
    let water = judged(&with, &library).masses.water_to_weigh.0;
    let more = sum(cost(&with, &library).batch(Plain)) - sum(cost(&design(PRICES, &library), &library).batch(Plain));
    assert_within("water", more, water * 0.002, 1e-9);
}

/// What costs 60 % of its price has a margin of 40 %.
#[test]
fn a_margin_is_a_part_of_the_price_and_a_stopped_design_has_no_price() {
    let library = library();
    let of = |design: &Design, margin: f64| {
        let evaluation = judged(design, &library);
        let clear = NoStop::of(design, &evaluation, &library).map_err(|_stopped| "stopped")?;
        let cost = Cost::of(design, &evaluation).expect("fats");
        let margin = SalesMargin::new(margin).expect("in range");
        Ok::<_, &str>((cost.bar(Plain), price::of_bar(Plain, &cost, margin, &clear)))
    };
    let mut priced = design(PRICES, &library);
    for (margin, left) in [(0.0, 1.0), (40.0, 0.6), (50.0, 0.5), (75.0, 0.25)] {
        let (bar, asked) = of(&priced, margin).expect("no Stop");
        assert_within(&format!("at {margin} %"), sum(bar), sum(asked) * left, 1e-12);
    }
    assert!(SalesMargin::new(100.0).is_err(), "no price leaves all of itself");
    let (_, asked) = of(&design("", &library), 50.0).expect("no Stop");
    assert_eq!(asked, Total::AtLeast(0.0), "what is missing stays missing");
    priced.superfat = Superfat::new(-1.0).expect("in range");
    assert_eq!(of(&priced, 40.0), Err("stopped"), "lye-heavy");
    let evaluation = judged(&priced, &library);
    let about = About::new(&priced, &evaluation, &library);
    let asked = CostSum::AtMargin(SalesMargin::new(40.0).expect("in range"));
    let why_not = AnyQuantity::value(&asked, about).expect_err("no price").reason();
    assert!(why_not.contains("STOP: There is 1 % more alkali"), "{why_not}");
}

#[test]
fn a_price_is_set_replaced_and_taken_away_under_its_name() {
    let library = library();
    let price = |pack, price| Price {
        material: "honey".into(),
        pack_g: PackMass::new(pack).expect("in range"),
        price: Money::new(price).expect("in range"),
    };
    let before = design(PRICES, &library);
    let set = Edit::SetPrice(price(500.0, 7.0));
    assert_eq!(set.name(&before), "price of Honey");
    let after = set.apply(&before, &library).expect("possible");
    assert_eq!(after.prices.len(), 6, "replaced");
    assert_eq!(after.prices[3], price(500.0, 7.0), "in its place");
    let remove = Edit::RemovePrice("naoh".into());
    assert_eq!(remove.name(&after), "remove the price of Sodium hydroxide (NaOH)");
    let without = remove.apply(&after, &library).expect("possible");
    assert_eq!(cost(&without, &library).missing().collect::<Vec<_>>(), ["Sodium hydroxide (NaOH)"]);
    let crowns = Edit::Currency("crowns".into()).apply(&without, &library).expect("possible");
    assert_eq!(crowns.currency, "crowns");
}

#[test]
fn a_fat_and_an_addition_of_the_same_id_have_prices_of_their_own() {
    let library = library();
    let text = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 100)], size: FatMass(1000),
        additions: [(addition: "avocado", amount: Grams(50), stage: IntoFats)],
        prices: [(material: "avocado", pack_g: 100, price: 2)])"#;
    let pulp = document::read(text.as_bytes(), &library).expect("a design");
    let oil = Arc::clone(library.fat("avocado").expect("in the library"));
    let both = Edit::AddFat(oil, Share::nearest(20.0)).apply(&pulp, &library).expect("a fat");
    let of = |design: &Design| -> Vec<(String, f64, bool)> {
        let cost = cost(design, &library);
        let avocados = cost.lines().iter().filter(|l| l.material.contains("avocado"));
        avocados.map(|l| (l.material.clone(), l.mass.0, l.price.is_some())).collect()
    };
    assert_eq!(of(&pulp), [("avocado".to_owned(), 50.0, true)], "an addition alone keeps its name");
    let [(oil, oil_g, oil_priced), (puree, puree_g, puree_priced)] = &of(&both)[..] else { panic!("{:?}", of(&both)) };
    assert_eq!((oil.as_str(), puree.as_str()), ("avocado", "addition:avocado"));
    assert_within("oil", *oil_g, 200.0, 1e-9);
    assert_within("pulp", *puree_g, 50.0, 1e-9);
    assert!(!oil_priced && *puree_priced, "the price stays with the pulp it was given for");
}
