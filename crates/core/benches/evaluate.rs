//! How long it takes to work out a design, and to move one of its shares.
//!
//! The aim for ten fats is under 5 µs: a slider then costs the frame nothing.

use barwright_core::bench::label::Label;
use barwright_core::chemistry::spread;
use barwright_core::design::document;
use barwright_core::explain;
use barwright_core::explain::compare::{Side, compare};
use barwright_core::library::material::MaterialId;
use barwright_core::units::{Days, Measures, Percent, Share, Superfat};
use barwright_core::{Design, Library, evaluate};
use divan::Bencher;

/// How many fats the design has.
#[derive(Clone, Copy, Debug)]
enum Fats {
    Four,
    Ten,
}

impl Fats {
    const fn text(self) -> &'static str {
        match self {
            Self::Four => {
                r#"(barwright: 1, fats: [
                    (fat: "olive_virgin", share: 44), (fat: "coconut", share: 26),
                    (fat: "cocoa_butter", share: 22), (fat: "castor", share: 8)])"#
            }
            Self::Ten => {
                r#"(barwright: 1, fats: [
                    (fat: "olive_virgin", share: 25), (fat: "coconut", share: 20), (fat: "palm", share: 12),
                    (fat: "lard", share: 10), (fat: "shea", share: 8), (fat: "cocoa_butter", share: 6),
                    (fat: "canola", share: 6), (fat: "castor", share: 5), (fat: "almond", share: 5),
                    (fat: "butterfat", share: 3)])"#
            }
        }
    }
}

fn main() {
    divan::main();
}

fn library() -> Library {
    Library::embedded().expect("the embedded tables parse")
}

/// A new design: its fats are the library's own records.
fn new_design(text: &str, library: &Library) -> Design {
    document::read(text.as_bytes(), library).expect("the design is good")
}

/// The same design saved and opened: its fats are records of its own, equal to the library's.
fn opened_design(text: &str, library: &Library) -> Design {
    let saved = document::write(&new_design(text, library), library).expect("it can be written");
    new_design(&saved, library)
}

#[divan::bench(args = [Fats::Four, Fats::Ten], sample_size = 100)]
fn evaluate_new(bencher: Bencher<'_, '_>, fats: Fats) {
    let library = library();
    let design = new_design(fats.text(), &library);
    bencher.bench(|| evaluate(divan::black_box(&design), &library));
}

#[divan::bench(args = [Fats::Four, Fats::Ten], sample_size = 100)]
fn evaluate_opened(bencher: Bencher<'_, '_>, fats: Fats) {
    let library = library();
    let design = opened_design(fats.text(), &library);
    bencher.bench(|| evaluate(divan::black_box(&design), &library));
}

/// A batch that fills a mould, with additions and scents: the fats are solved for.
#[divan::bench(sample_size = 100)]
fn evaluate_mould(bencher: Bencher<'_, '_>) {
    let library = library();
    let text = r#"(barwright: 1, fats: [
        (fat: "olive_virgin", share: 44), (fat: "coconut", share: 26),
        (fat: "cocoa_butter", share: 22), (fat: "castor", share: 8)],
        size: Mould((shape: Loaf((length_mm: 296, width_mm: 70, height_mm: 60)), fill: 90)),
        additions: [(addition: "apple_puree", amount: PercentOfFats(8)), (addition: "citric_acid", amount: Grams(5))],
        scents: [(scent: "lavender", amount: PercentOfFats(2))])"#;
    let design = new_design(text, &library);
    bencher.bench(|| evaluate(divan::black_box(&design), &library));
}

/// The spread of all seven scores of ten fats.
#[divan::bench(sample_size = 20)]
fn spread_ten(bencher: Bencher<'_, '_>) {
    let library = library();
    let design = new_design(Fats::Ten.text(), &library);
    bencher.bench(|| spread::scores(&divan::black_box(&design).blend, Percent(5.0), &library));
}

/// One step of a slider over ten fats, back and forth so that the blend does not wear out.
#[divan::bench]
fn set_share(bencher: Bencher<'_, '_>) {
    let mut blend = new_design(Fats::Ten.text(), &library()).blend;
    let id = MaterialId::new("olive_virgin").expect("a good id");
    let mut up = false;
    bencher.bench_local(|| {
        up = !up;
        blend.set_share(divan::black_box(&id), Share::nearest(if up { 26.0 } else { 25.0 }))
    });
}

/// What the hint under a slider looks for: among the design's own fats, or with every other fat of
/// the library as the one that comes in.
#[divan::bench(args = [("own fats", 12), ("a newcomer", 60)], sample_size = 2)]
fn nudge(bencher: Bencher<'_, '_>, (what, olive): (&str, u32)) {
    let library = library();
    let rest = if what == "own fats" {
        format!(
            r#"(fat: "coconut", share: 12), (fat: "cocoa_butter", share: {}), (fat: "castor", share: 8)"#,
            80 - olive
        )
    } else {
        format!(r#"(fat: "palm", share: {})"#, 100 - olive)
    };
    let design =
        new_design(&format!(r#"(barwright: 1, fats: [(fat: "olive_virgin", share: {olive}), {rest}])"#), &library);
    let evaluation = evaluate(&design, &library);
    let found = barwright_core::find::nudge(&design, &evaluation, &library).expect("there is a way");
    assert_eq!(found.newcomer.is_some(), what == "a newcomer", "{found:?}");
    bencher.bench(|| barwright_core::find::nudge(divan::black_box(&design), &evaluation, &library));
}

/// The label with both ingredient lists and the allergens of three scents.
#[divan::bench(sample_size = 20)]
fn label(bencher: Bencher<'_, '_>) {
    let library = library();
    let text = r#"(barwright: 1, fats: [
        (fat: "olive_virgin", share: 44), (fat: "coconut", share: 26),
        (fat: "cocoa_butter", share: 22), (fat: "castor", share: 8)],
        additions: [(addition: "apple_puree", amount: PercentOfFats(8)), (addition: "citric_acid", amount: Grams(5))],
        scents: [(scent: "lavender", amount: PercentOfFats(2)), (scent: "geranium", amount: PercentOfFats(1)),
            (scent: "orange_sweet", amount: PercentOfFats(1))])"#;
    let design = new_design(text, &library);
    let evaluation = evaluate(&design, &library);
    bencher.bench(|| Label::of(divan::black_box(&design), &evaluation, &library));
}

/// What makes two designs of four and of ten fats differ, as a small window tells it every frame:
/// of a row that is cheap and of one that takes the sum of the spreads.
#[divan::bench(args = ["batch.naoh_g", "margin.least_superfat_pct"], sample_size = 10)]
fn explain_difference(bencher: Bencher<'_, '_>, key: &str) {
    let library = library();
    let designs = [Fats::Four, Fats::Ten].map(|fats| new_design(fats.text(), &library));
    let [a, mut b] = designs;
    b.superfat = Superfat::nearest(8.0);
    b.alkali.koh_share = Share::nearest(10.0);
    b.process.cure_days = Days::nearest(42.0);
    let evaluations = [&a, &b].map(|design| evaluate(design, &library));
    let [of_a, of_b] = &evaluations;
    let sides = [Side { design: &a, evaluation: of_a }, Side { design: &b, evaluation: of_b }];
    let rows = compare(&sides, Measures::METRIC, &library).into_iter().flat_map(|group| group.rows);
    let row = rows.into_iter().find(|row| row.key == key).expect("a row");
    bencher.bench(|| explain::difference(divan::black_box(&row), 1, &sides, Measures::METRIC, &library));
}

#[divan::bench(sample_size = 10)]
fn explain_shared_acids(bencher: Bencher<'_, '_>) {
    let library = library();
    let [a, b] = [Fats::Four, Fats::Ten].map(|fats| new_design(fats.text(), &library));
    let evaluations = [&a, &b].map(|design| evaluate(design, &library));
    let [of_a, of_b] = &evaluations;
    let sides = [Side { design: &a, evaluation: of_a }, Side { design: &b, evaluation: of_b }];
    bencher.bench(|| explain::shared_acids(1, divan::black_box(&sides), &library));
}

/// A number explained with its slopes along all that can be moved, as the same window tells it every
/// frame: a weight, a chance, the titre at the end of its spread, a percent of the label.
#[divan::bench(args = ["batch.naoh_g", "margin.chance_lye_heavy", "chemistry.titre_high_c", "label.as_in_the_bar_pct.0"], sample_size = 5)]
fn explain(bencher: Bencher<'_, '_>, key: &str) {
    let library = library();
    let design = new_design(Fats::Ten.text(), &library);
    let evaluation = evaluate(&design, &library);
    bencher.bench(|| explain::why(key, divan::black_box(&design), &evaluation, &library));
}
