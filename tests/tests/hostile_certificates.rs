//! Certificates that cannot be, and names that try to be more than names.
//!
//! Source: what the acids of olive oil in `assets/data` allow, 188.1 to 194.4 with free acid and moisture, worked out
//! apart by `peers/by_hand.py`; the rest is arithmetic.

use barwright_acceptance::judged;
use barwright_core::cautions::Level;
use barwright_core::design::{Design, document};
use barwright_core::render::{card::Card, report};
use barwright_core::units::Measures;
use barwright_core::{Library, evaluate};
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

fn olive(more: &str) -> String {
    format!(r#"(barwright: 1, superfat: 6, fats: [(fat: "olive_virgin", share: 100, {more})])"#)
}

fn read(text: &str) -> Design {
    document::read(text.as_bytes(), &LIBRARY).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn a_certificate_is_judged_by_what_the_acids_allow() {
    let published: f64 = LIBRARY.fat("olive_virgin").expect("in the library").sv.value.max();
    let cases = [
        (206.0, Some(("sv-too-high", Level::Stop, "194.4 is the most that its fatty acids allow"))),
        (195.5, Some(("sv-outside", Level::Care, "188.1 to 194.4"))),
        (193.0, None),
        (189.0, None),
    ];
    for (sv, expected) in cases {
        let told = judged(&read(&olive(&format!("supplier: Some((sv: {sv}, pm: 1))"))), &LIBRARY);
        let said = told.cautions.iter().find(|c| ["sv-too-high", "sv-outside"].contains(&c.code));
        assert_eq!(said.map(|c| (c.code, c.level)), expected.map(|(code, level, _)| (code, level)), "{sv}");
        for (caution, (.., words)) in said.iter().zip(expected) {
            assert!(caution.why.contains(words), "{}", caution.why);
        }
    }
    assert!(published > 194.5, "the published range alone would let more pass: {published}");
}

#[test]
fn acids_that_sum_to_130_are_refused_with_the_fat() {
    let acids =
        |oleic: f64| olive(&format!(r#"supplier_acids: [(acid: "18:1", share: {oleic}), (acid: "16:0", share: 40)]"#));
    let error = document::read(acids(90.0).as_bytes(), &LIBRARY).expect_err("refused").to_string();
    assert!(error.contains("130 %") && error.contains("olive_virgin"), "{error}");
    assert!(document::read(acids(60.0).as_bytes(), &LIBRARY).is_ok(), "while 100 is a profile");
}

#[test]
fn no_name_steers_a_terminal_or_turns_the_text() {
    let named = |name: &str| {
        format!(
            r#"(barwright: 1, name: "{name}", notes: "{name}", fats: [(fat: "pressing", share: 100)], materials: [Fat((
            id: "pressing", name: "{name}", kind: Triglyceride,
            sv: (min: 186, max: 194, source: "{name}", trust: Maker)))])"#
        )
    };
    for name in
        ["Bell\u{7} and \u{1b}[2Jclear", "turned \u{202e}lio evilo", "null\u{0}", "long \u{200b}".repeat(20).as_str()]
    {
        let Ok(design) = document::read(named(name).as_bytes(), &LIBRARY) else { continue };
        let evaluation = evaluate(&design, &LIBRARY);
        let texts = [
            report::text(&design, &evaluation, &LIBRARY),
            report::label_text(&design, &evaluation, &LIBRARY),
            Card::of(&design, &evaluation, &LIBRARY, Measures::default()).text(),
        ];
        for text in texts {
            let steers = |c: char| c.is_control() && c != '\n' || matches!(c, '\u{202a}'..='\u{202e}');
            assert!(!text.contains(steers), "{name:?} in {text:?}");
        }
    }
}
