//! How long it takes to parse the tables, and to read and write a design.

use barwright_core::Design;
use barwright_core::design::document;
use barwright_core::library::{Library, Tables};
use divan::Bencher;
use divan::counter::BytesCount;

const TEN: &str = r#"(barwright: 1, fats: [
    (fat: "olive_virgin", share: 25), (fat: "coconut", share: 20), (fat: "palm", share: 12),
    (fat: "lard", share: 10), (fat: "shea", share: 8), (fat: "cocoa_butter", share: 6),
    (fat: "canola", share: 6), (fat: "castor", share: 5), (fat: "almond", share: 5),
    (fat: "butterfat", share: 3)])"#;

fn main() {
    divan::main();
}

fn library() -> Library {
    Library::embedded().expect("the embedded tables parse")
}

fn ten_fats(library: &Library) -> Design {
    document::read(TEN.as_bytes(), library).expect("the design is good")
}

#[divan::bench]
fn parse(bencher: Bencher<'_, '_>) {
    let tables = Tables::EMBEDDED;
    let bytes = [tables.acids, tables.fats, tables.profiles, tables.weights, tables.styles].map(str::len);
    bencher.counter(BytesCount::new(bytes.iter().sum::<usize>())).bench(|| Library::parse(divan::black_box(&tables)));
}

/// A design of ten fats with all their records, as it is saved.
#[divan::bench]
fn read_document(bencher: Bencher<'_, '_>) {
    let library = library();
    let text = document::write(&ten_fats(&library), &library).expect("it can be written");
    bencher.counter(BytesCount::of_str(&text)).bench(|| document::read(divan::black_box(text.as_bytes()), &library));
}

#[divan::bench]
fn write_document(bencher: Bencher<'_, '_>) {
    let library = library();
    let design = ten_fats(&library);
    bencher.bench(|| document::write(divan::black_box(&design), &library));
}
