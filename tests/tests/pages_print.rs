//! Recipe cards, labels, tags and cards for the cure on paper: a browser prints them on A4 and US Letter, and what
//! is on the pages is read back from the PDF.
//!
//! Sources: ISO 216 (A4 is 210 × 297 mm) and ANSI Y14.1 (Letter is 8.5 × 11 in) for the pages; Chromium prints,
//! Poppler reads.

use barwright_core::bench::label::{ListStyle, NO_BATCH, Region};
use barwright_core::design::document;
use barwright_core::render::card::Card;
use barwright_core::render::pages::{Kind, Options, PieceSize, Withheld, page};
use barwright_core::render::sheet::Paper;
use barwright_core::units::{Measures, Superfat};
use barwright_core::{Design, Library, evaluate};
use std::path::Path;
use std::process::Command;

fn runs(program: &str) -> bool {
    Command::new(program).arg("--version").output().is_ok()
}

/// Whether all that is needed is there.
///
/// # Panics
/// If it is not and the environment says that this is the continuous integration.
#[expect(clippy::print_stderr, reason = "a check that is passed over must be seen")]
fn can_print() -> bool {
    let can = runs("chromium") && runs("pdftotext");
    assert!(can || std::env::var_os("CI").is_none(), "chromium and poppler-utils must be installed where CI is set");
    if !can {
        eprintln!("passed over: printing needs chromium and poppler-utils");
    }
    can
}

fn run(command: &mut Command) -> String {
    let output = command.output().expect("it starts");
    assert!(output.status.success(), "{command:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// The number of `name="…"` in a tag, in points.
fn attribute(tag: &str, name: &str) -> f64 {
    let rest = tag.split_once(&format!("{name}=\"")).expect("the attribute").1;
    rest.split_once('"').expect("its end").0.parse().expect("a number")
}

/// Prints `html`, looks whether anything is cut, and gives pages and words.
fn printed(what: &str, html: &str, paper: Paper) -> (usize, Vec<String>) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (file, pdf) = (folder.path().join("page.html"), folder.path().join("page.pdf"));
    std::fs::write(&file, html).expect("writes");
    run(Command::new("chromium")
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .arg("--no-pdf-header-footer")
        .arg(format!("--user-data-dir={}", folder.path().join("profile").display()))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", file.display())));
    let boxes = run(Command::new("pdftotext").arg("-bbox").arg(&pdf).arg("-"));
    let pages: Vec<&str> = boxes.split("<page ").skip(1).collect();
    let (wide, high) = paper.millimetres();
    let (wide, high) = (wide / 25.4 * 72.0, high / 25.4 * 72.0);
    let margin = 9.5 / 25.4 * 72.0;
    let mut words = Vec::new();
    for page in &pages {
        assert!((attribute(page, "width") - wide).abs() < 1.0, "{what}: {}", &page[..60]);
        assert!((attribute(page, "height") - high).abs() < 1.0, "{what}: {}", &page[..60]);
        for word in page.split("<word ").skip(1) {
            let inside = attribute(word, "xMin") >= margin
                && attribute(word, "xMax") <= wide - margin
                && attribute(word, "yMin") >= margin
                && attribute(word, "yMax") <= high - margin;
            assert!(inside, "{what}: {} is cut", word.lines().next().unwrap_or_default());
            words.push(word.split_once('>').and_then(|w| w.1.split_once('<')).expect("a word").0.to_owned());
        }
    }
    (pages.len(), words)
}

fn examples(library: &Library) -> Vec<Design> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../assets/examples");
    let paths = std::fs::read_dir(folder).expect("it is there").map(|entry| entry.expect("an entry").path());
    let read = |path| document::read(&std::fs::read(path).expect("reads"), library).expect("valid");
    paths.filter(|path| path.is_file()).map(read).collect()
}

const fn options(paper: Paper) -> Options {
    Options { paper, style: ListStyle::AsPutIn, region: Region::EuUk }
}

#[test]
fn every_kind_of_page_prints_with_nothing_cut() {
    if !can_print() {
        return;
    }
    let library = Library::embedded().expect("the tables parse");
    for mut design in examples(&library) {
        design.process.made_on = Some("2026-09-30".into());
        let evaluation = evaluate(&design, &library);
        for paper in Paper::ALL {
            let what = |kind: &str| format!("{}, {kind} on {}", design.name, paper.words());
            let card = Card::of(&design, &evaluation, &library, Measures::METRIC).html(paper);
            let (pages, _) = printed(&what("card"), &card, paper);
            assert!((1..=3).contains(&pages), "{}: {pages} pages", what("card"));
            for kind in [Kind::Labels(PieceSize::USUAL[4]), Kind::Tags, Kind::Curing] {
                let html = page(kind, &design, &evaluation, &library, options(paper)).expect("a page");
                let what = what(&format!("{kind:?}"));
                let (pages, words) = printed(&what, &html, paper);
                assert_eq!(pages, 1, "{what}");
                let pieces = html.matches("<section>").count();
                let mark = if kind == Kind::Curing { "SAFE" } else { "draft," };
                assert_eq!(words.iter().filter(|w| *w == mark).count(), pieces, "{what}: every piece bears its mark");
            }
        }
    }
}

#[test]
fn labels_and_tags_are_withheld_while_a_stop_stands_and_the_curing_card_bears_it() {
    let library = Library::embedded().expect("the tables parse");
    for mut design in examples(&library) {
        design.process.made_on = Some("2026-09-30".into());
        let evaluation = evaluate(&design, &library);
        let sound = page(Kind::Curing, &design, &evaluation, &library, options(Paper::A4)).expect("a card");
        assert!(sound.contains("Test on <b>") && !sound.contains("STOP"), "{}", design.name);
        design.superfat = Superfat::new(-4.0).expect("in range");
        let evaluation = evaluate(&design, &library);
        for kind in [Kind::Labels(PieceSize::default()), Kind::Tags] {
            let withheld = page(kind, &design, &evaluation, &library, options(Paper::A4));
            assert!(matches!(withheld, Err(Withheld::Stopped(_))), "{}: {withheld:?}", design.name);
        }
        let card = page(Kind::Curing, &design, &evaluation, &library, options(Paper::A4)).expect("a card");
        assert!(card.contains("STOP: ") && card.contains("Do not use") && !card.contains("Test on"), "{}", design.name);
    }
}

#[test]
fn a_label_leaves_the_weight_blank_and_names_no_batch() {
    let library = Library::embedded().expect("the tables parse");
    let design = &mut examples(&library)[0];
    design.process.made_on = Some("2031-07-09".into());
    design.name = "</title><script>x".into();
    let evaluation = evaluate(design, &library);
    for kind in [Kind::Labels(PieceSize::USUAL[4]), Kind::Tags] {
        let html = page(kind, design, &evaluation, &library, options(Paper::A4)).expect("a page");
        assert!(html.contains(NO_BATCH), "{kind:?}");
        assert!(!html.contains("2031") && !html.contains("<script"), "{kind:?}");
    }
}
