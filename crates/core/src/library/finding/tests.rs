//! What everyday words find. The words are from memory, as the synonyms are.

use super::*;
use crate::library::{Library, Tables};

/// The ids that `text` finds, and nothing for a guess.
fn ids<'a, T: Findable>(library: &Library, among: &'a [T], text: &str) -> Vec<&'a str> {
    let found = library.names.find(among, text);
    if found.is_guess { Vec::new() } else { found.materials.iter().map(|m| m.id().as_str()).collect() }
}

/// The first that `text` finds.
fn first<'a, T: Findable>(library: &Library, among: &'a [T], text: &str) -> &'a str {
    ids(library, among, text).first().copied().unwrap_or("nothing")
}

fn check<T: Findable>(library: &Library, among: &[T], words: &[(&str, &str)]) {
    let wrong: Vec<_> = words.iter().map(|(text, id)| (text, id, first(library, among, text))).collect();
    let wrong: Vec<_> = wrong.iter().filter(|(_, expected, actual)| *expected != actual).collect();
    assert!(wrong.is_empty(), "text, expected, found: {wrong:#?}");
}

#[test]
fn an_everyday_word_finds_the_fat_that_is_meant_by_it() {
    let library = Library::embedded().expect("assets parse");
    let words = [
        ("olive", "olive_virgin"),
        ("olive oil", "olive_virgin"),
        ("Extra Virgin", "olive_virgin"),
        ("EVOO", "olive_virgin"),
        ("virgin oliv", "olive_virgin"),
        ("pomace", "olive_pomace"),
        ("coco", "coconut"),
        ("cocoa", "cocoa_butter"),
        ("cacao", "cocoa_butter"),
        ("copra", "coconut"),
        ("palm", "palm"),
        ("palm k", "palm_kernel"),
        ("pko", "palm_kernel"),
        ("rapeseed", "canola"),
        ("rape", "canola"),
        ("canola", "canola"),
        ("erucic rapeseed", "canola"),
        ("rapeseed high", "rapeseed_high_erucic"),
        ("sunflower", "sunflower"),
        ("high-oleic sunflower", "sunflower_high_oleic"),
        ("soybean", "soya"),
        ("soy", "soya"),
        ("groundnut", "peanut"),
        ("corn oil", "maize"),
        ("linseed", "flaxseed"),
        ("flax", "flaxseed"),
        ("hempseed", "hemp"),
        ("hemp oil", "hemp"),
        ("grape seed oil", "grapeseed"),
        ("almond", "almond"),
        ("karité", "shea"),
        ("KARITE", "shea"),
        ("shea", "shea"),
        ("mango butter", "mango_kernel"),
        ("ricinus", "castor"),
        ("ca", "castor"),
        ("he", "hemp"),
        ("starflower", "borage"),
        ("jojoba oil", "jojoba"),
        ("bees wax", "beeswax"),
        ("wool wax", "lanolin"),
        ("stearic", "stearic_acid_50"),
        ("coconut oil", "coconut"),
        ("coconut", "coconut"),
        ("mct", "mct"),
        ("medium-chain triglycerides", "mct"),
        ("tea seed oil", "camellia"),
        ("mowrah", "mahua"),
        ("hydrogenated castor", "castor_hydrogenated"),
        ("colophony", "rosin"),
        ("suet", "tallow_beef"),
        ("tallow", "tallow_beef"),
        ("pork fat", "lard"),
        ("schmaltz", "poultry_fat"),
        ("ghee", "butterfat"),
        ("Butyrospermum", "shea"),
        ("Olea europaea", "olive_virgin"),
    ];
    check(&library, library.fats(), &words);
}

#[test]
fn an_everyday_word_finds_the_addition_that_is_meant_by_it() {
    let library = Library::embedded().expect("assets parse");
    let words = [
        ("goats milk", "goat_milk"),
        ("goat's milk", "goat_milk"),
        ("goat’s milk", "goat_milk"),
        ("ewe's milk", "sheep_milk"),
        ("milk", "cow_milk"),
        ("yoghurt", "yogurt"),
        ("coconut milk", "coconut_milk_canned"),
        ("butter milk", "buttermilk"),
        ("baking soda", "sodium_bicarbonate"),
        ("bicarb", "sodium_bicarbonate"),
        ("sea salt", "salt"),
        ("oatmeal", "oats"),
        ("oat", "oats"),
        ("colloidal oatmeal", "oat_flour"),
        ("activated charcoal", "charcoal"),
        ("white clay", "kaolin"),
        ("china clay", "kaolin"),
        ("clay", "kaolin"),
        ("vitamin c", "ascorbic_acid"),
        ("citric", "citric_acid"),
        ("lactate", "sodium_lactate_60"),
        ("sodium lactate 60%", "sodium_lactate_60"),
        ("edta", "tetrasodium_edta"),
        ("apple cider vinegar", "cider_vinegar"),
        ("apple sauce", "apple_puree"),
        ("banana puree", "banana"),
        ("pumpkin", "pumpkin_canned"),
        ("table sugar", "sugar"),
        ("treacle", "molasses"),
        ("marigold", "calendula_petals"),
        ("aloe", "aloe_juice"),
        ("stout", "beer"),
        ("coffee", "coffee_brewed"),
        ("lemon", "lemon_juice"),
        ("milk powder", "cow_milk_powder"),
        ("goat milk powder", "goat_milk_powder"),
        ("green clay", "clay_green"),
        ("rhassoul", "clay_ghassoul"),
        ("mica", "mica"),
        ("red oxide", "iron_oxide_red"),
        ("ultramarine", "ultramarine_blue"),
        ("oat milk", "oat_milk"),
        ("glycerine", "glycerol"),
        ("silk", "silk"),
        ("vitamin E", "vitamin_e"),
        ("ROE", "rosemary_extract"),
        ("cocoa", "cocoa_powder"),
        ("cornflour", "corn_starch"),
    ];
    check(&library, library.additions(), &words);
}

#[test]
fn an_everyday_word_finds_the_scent_that_is_meant_by_it() {
    let library = Library::embedded().expect("assets parse");
    let words = [
        ("lav", "lavender"),
        ("lavender essential oil", "lavender"),
        ("spike", "lavender_spike"),
        ("may chang", "litsea"),
        ("mint", "peppermint"),
        ("orange", "orange_sweet"),
        ("orange blossom", "neroli"),
        ("bitter orange", "orange_bitter"),
        ("lemon", "lemon"),
        ("lemon grass", "lemongrass"),
        ("cedar", "cedarwood_atlas"),
        ("clove", "clove_bud"),
        ("cinnamon", "cinnamon_bark"),
        ("sage", "sage"),
        ("clary", "clary_sage"),
        ("rose", "rose"),
        ("rose geranium", "geranium"),
        ("pine", "pine_scotch"),
        ("ylang-ylang", "ylang_complete"),
        ("ylangylang", "ylang_complete"),
        ("olibanum", "frankincense"),
        ("immortelle", "helichrysum"),
        ("bay leaf", "laurel_leaf"),
        ("aniseed", "anise"),
        ("teatree", "tea_tree"),
        ("patch", "patchouli"),
        ("vetivert", "vetiver"),
        ("Roman chamomile", "chamomile_roman"),
        ("chamomile", "chamomile_german"),
        ("bay", "bay"),
        ("ho leaf", "ho_wood"),
        ("tangerine", "tangerine"),
        ("sandalwood", "sandalwood"),
    ];
    check(&library, library.scents(), &words);
}

#[test]
fn what_is_another_material_is_not_offered_for_it() {
    let library = Library::embedded().expect("assets parse");
    let offered = |found: Found<'_, _>| found.materials.iter().map(|m: &&Arc<Fat>| m.name.clone()).collect::<Vec<_>>();
    for fat in ["hydrogenated soya", "brazil nut", "meadowfoam"] {
        assert!(offered(library.names.find(library.fats(), fat)).is_empty(), "{fat}");
    }
    assert!(library.names.find(library.fats(), "camelina").is_guess, "camellia is another oil");
    // Its saponification value is a third higher.
    for text in ["fractionated coconut", "fractionated coconut oil", "fractionated"] {
        assert_eq!(ids(&library, library.fats(), text), ["mct"], "{text}");
    }
    for text in ["soda ash", "baking powder", "cream of tartar", "dead sea salt", "Epsom salt"] {
        let found = library.names.find(library.additions(), text).materials;
        assert!(found.is_empty(), "{text}: {found:?}");
    }
    for text in ["milk powder", "powdered milk", "coconut milk powder", "dried milk"] {
        let found = library.names.find(library.additions(), text);
        assert!(!found.is_guess && !found.materials.is_empty(), "{text}");
        for powder in found.materials {
            assert!(powder.contents.value.water.get() < 10.0, "{text} is no {}", powder.name);
        }
    }
}

/// Its name and each of its synonyms find each of `among` first.
fn each_is_found<T: Findable>(library: &Library, among: &[T]) {
    for material in among {
        let synonyms = &library.names.known(material).expect("a row").synonyms;
        for name in [material.name(), material.id().as_str()].into_iter().chain(synonyms.iter().map(String::as_str)) {
            assert_eq!(first(library, among, name), material.id().as_str(), "{name}");
            assert_eq!(first(library, among, &format!(" {}! ", name.to_uppercase())), material.id().as_str(), "{name}");
        }
    }
}

#[test]
fn each_name_and_synonym_finds_its_own_material_first() {
    let library = Library::embedded().expect("assets parse");
    each_is_found(&library, library.fats());
    each_is_found(&library, library.additions());
    each_is_found(&library, library.scents());
}

/// The usual ten stand first and the rest by the alphabet.
fn usual_ones_stand_first<T: Findable>(library: &Library, among: &[T]) {
    let all = library.names.find(among, " … ").materials;
    assert_eq!(all.len(), among.len(), "all are there");
    let (usual, rest) = all.split_at(USUAL);
    let ranks: Vec<u8> = usual.iter().map(|m| library.names.rank(*m)).collect();
    assert_eq!(ranks, (1..=10).collect::<Vec<_>>(), "the usual ten have the first ten ranks");
    assert!(rest.iter().all(|m| library.names.rank(*m) > 10), "and no other has");
    assert!(rest.is_sorted_by_key(|m| folded(m.name())), "the rest by the alphabet");
}

#[test]
fn without_a_word_the_usual_ten_stand_first() {
    let library = Library::embedded().expect("assets parse");
    usual_ones_stand_first(&library, library.fats());
    usual_ones_stand_first(&library, library.additions());
    usual_ones_stand_first(&library, library.scents());
    assert_eq!(library.names.find::<Arc<Fat>>(&[], "").materials.len(), 0);
}

#[test]
fn a_small_slip_is_asked_about_and_never_taken_for_the_name() {
    let library = Library::embedded().expect("assets parse");
    for (slip, meant) in [
        ("oilve", "olive_virgin"),
        ("cocnut", "coconut"),
        ("babasu", "babassu"),
        ("jojobba oil", "jojoba"),
        ("sunflwer", "sunflower"),
        ("hazlenut", "hazelnut"),
        ("macadmia nut", "macadamia"),
    ] {
        let found = library.names.find(library.fats(), slip);
        assert!(found.is_guess, "{slip} is no name");
        assert_eq!(found.materials.first().map(|m| m.id.as_str()), Some(meant), "{slip}");
    }
    let scent = library.names.find(library.scents(), "lavendar essential oil");
    assert_eq!(scent.materials.first().map(|m| m.id.as_str()), Some("lavender"));
    assert!(library.names.find(library.fats(), "xyzzy").materials.is_empty(), "nothing is near");
    let question = |text: &str| library.names.did_you_mean(library.fats(), text);
    assert_eq!(question("olive oil"), "; did you mean olive_virgin or olive_pomace?");
    assert_eq!(question("olive"), "; did you mean olive_virgin or olive_pomace?");
    assert_eq!(question("babasu"), "; did you mean babassu?");
    assert_eq!([question("xyzzy"), question(" ")], ["", ""]);
}

#[test]
fn a_material_of_ones_own_is_found_by_its_name() {
    let library = Library::embedded().expect("assets parse");
    let mut own = Fat::clone(library.fat("olive_virgin").expect("tabled"));
    own.id = MaterialId::new("own_oil").expect("an id");
    own.name = "Grandmother’s Öl, pressed 2024".into();
    let all: Vec<Arc<Fat>> = library.fats().iter().cloned().chain([Arc::new(own)]).collect();
    for text in ["grandmothers ol", "GRANDMOTHER'S", "öl pressed", "2024"] {
        assert_eq!(first(&library, &all, text), "own_oil", "{text}");
    }
    assert_eq!(first(&library, &all, "olive oil"), "olive_virgin", "it has no synonyms of the library’s");
}

#[test]
fn any_text_at_all_is_searched_for() {
    let library = Library::embedded().expect("assets parse");
    for text in
        ["½", "\u{fb01}g", "\u{65e5}\u{672c}", "ß", &"olive ".repeat(10_000), &"x".repeat(100_000), &"x".repeat(1000)]
    {
        assert_eq!(first(&library, library.fats(), text), "nothing", "{text}");
    }
    for text in ["\u{301}", "´", "\0", "--"] {
        assert_eq!(first(&library, library.fats(), text), "olive_virgin", "{text:?} is no word");
    }
    assert_eq!(first(&library, library.fats(), &"olive ".repeat(100)), "olive_virgin");
}

#[test]
fn a_row_that_is_missing_or_shares_a_synonym_is_refused_with_its_material() {
    let refused = |from: &str, to: &str| {
        let names = Tables::EMBEDDED.names.replacen(from, to, 1);
        assert_ne!(names, Tables::EMBEDDED.names, "{from} is there");
        Library::parse(&Tables { names: &names, ..Tables::EMBEDDED }).expect_err("spoilt").to_string()
    };
    let row = "fat,hemp,20,hempseed; hemp oil\n";
    for (to, why) in [
        ("", "hemp: is a material without a row here"),
        ("fat,hemp,20,\n", "hemp: has an empty name"),
        ("fat,hemp,20,hempseed; …\n", "hemp: has an empty name"),
        ("fat,hemp,20,hempseed; Olive Oil\n", "hemp: “olive oil” is olive_virgin too"),
        ("fat,hemp,20,hempseed; neem\n", "“neem” is"),
        ("fat,hemp,20,hempseed\nfat,hemp,20,hemp oil\n", "hemp: stands twice"),
        ("fat,hemp,20,hempseed\nfat,hump,20,hump oil\n", "hump: is no material of the tables"),
    ] {
        let error = refused(row, to);
        assert!(error.starts_with("names.csv: ") && error.contains(why), "{error}");
    }
}
