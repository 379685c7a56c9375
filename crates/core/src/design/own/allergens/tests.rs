use super::*;
use crate::library::Library;

fn read(text: &str) -> Result<(Vec<Constituent>, Vec<ListedAllergen>), String> {
    let library = Library::embedded().expect("assets parse");
    Pasted::read(text, &library.allergens).lists().map_err(|e| e.to_string())
}

#[test]
fn a_suppliers_list_is_matched_to_the_allergens_of_the_annex() {
    let (with, without) = read(
        "Allergen  CAS  %\nLinalool 12,5 %\nd-Limonene (5989-27-5) 3.2\n- Coumarin\nalpha-Isomethyl Ionone; 127-51-5; 0.1 – 1\n\
         HEXYL CINNAMAL <5%\nwater; 7732-18-5; 2\nGeraniol 0",
    )
    .expect("all known");
    let figures: Vec<(&str, f64)> = with.iter().map(|c| (c.name.as_str(), c.most.get())).collect();
    let expected = [
        ("Linalool", 12.5),
        ("d-Limonene", 3.2),
        ("alpha-Isomethyl Ionone", 1.0),
        ("HEXYL CINNAMAL", 5.0),
        ("water", 2.0),
    ];
    assert_eq!(figures, expected);
    assert!(with[0].cas.numbers().any(|n| n == "78-70-6"), "its number comes from the annex: {:?}", with[0].cas);
    assert_eq!(without, [ListedAllergen { name: "Coumarin".into(), most: Share::nearest(100.0) }]);
}

#[test]
fn what_is_not_known_is_told_with_its_place() {
    for (text, told) in [
        ("Linalool 3\nmoonbeam musk 4", "Line 2, “moonbeam musk 4”: no allergen is called so"),
        ("moonbeam musk", "no allergen is called so"),
        ("Linalool 78-70-7 3", "a digit of it is wrong"),
        ("Linalool 130 %", "more than all"),
        ("Coumarin\ncoumarin", "stands twice"),
        ("water 7732-18-5", "how much"),
    ] {
        let error = read(text).expect_err(text);
        assert!(error.contains(told), "{text}: {error}");
    }
    for text in ["", ";", "%", "- ", "-;-;-", "\u{202e}", "1-1-1", "% Linalool", "Linalool;;;;"] {
        let _ = read(text);
    }
    assert!(read(&"Linalool 3\n".repeat(10_000)).expect_err("long").contains("longer"), "it ends");
}

#[test]
fn every_scent_of_the_library_is_written_and_read_back() {
    let library = Library::embedded().expect("assets parse");
    for scent in library.scents() {
        let (with, without) = read(&written(scent)).unwrap_or_else(|e| panic!("{}: {e}", scent.id));
        assert!(without.is_empty(), "{}: {without:?}", scent.id);
        let own = crate::design::own::OwnScent {
            name: scent.name.clone(),
            constituents: with,
            inci: scent.inci.clone(),
            ..Default::default()
        };
        let back = own.record(scent.id.clone(), Some(scent), &library).expect("as tabled");
        assert_eq!(back, **scent);
    }
}
