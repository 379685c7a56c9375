//! The bench sheet on paper: a browser prints every example on A4 and US Letter, and what is on the pages is
//! read back from the PDF.
//!
//! Sources: ISO 216 (A4 is 210 × 297 mm) and ANSI Y14.1 (Letter is 8.5 × 11 in) for the pages; Chromium prints,
//! Poppler reads.

use barwright_core::chemistry::scale::Scale;
use barwright_core::design::document;
use barwright_core::render::sheet::{Options, Paper, Sheet};
use barwright_core::units::{Measures, Multiple};
use barwright_core::{Design, Library, evaluate};
use std::path::{Path, PathBuf};
use std::process::Command;

/// The program `names` has first, or `None` where there is none of them.
fn program(names: &[&'static str]) -> Option<&'static str> {
    let runs = |name: &&str| Command::new(name).arg("--version").output().is_ok();
    names.iter().copied().find(|n| runs(n))
}

/// The browser, if all that is needed is there.
///
/// # Panics
/// If it is not and the environment says that this is the continuous integration.
#[expect(clippy::print_stderr, reason = "a check that is passed over must be seen")]
fn browser() -> Option<&'static str> {
    let chromium = program(&["chromium", "chromium-browser", "google-chrome"]);
    if chromium.is_some() && program(&["pdftotext"]).is_some() {
        return chromium;
    }
    assert!(std::env::var_os("CI").is_none(), "chromium and poppler-utils must be installed where CI is set");
    eprintln!("passed over: printing the bench sheet needs chromium and poppler-utils");
    None
}

fn run(command: &mut Command) -> String {
    let output = command.output().expect("it starts");
    assert!(output.status.success(), "{command:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// Prints `html` with `browser` and gives the path of the PDF.
fn print(browser: &str, folder: &Path, html: &str) -> PathBuf {
    let (page, pdf, profile) = (folder.join("sheet.html"), folder.join("sheet.pdf"), folder.join("profile"));
    std::fs::write(&page, html).expect("writes");
    run(Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .arg("--no-pdf-header-footer")
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", page.display())));
    pdf
}

/// The number of `name="…"` in a tag, in points.
fn attribute(tag: &str, name: &str) -> f64 {
    let rest = tag.split_once(&format!("{name}=\"")).expect("the attribute").1;
    rest.split_once('"').expect("its end").0.parse().expect("a number")
}

fn without_spaces(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

fn check(browser: &str, design: &Design, library: &Library, paper: Paper, scale: Option<Scale>) {
    let measures = match paper {
        Paper::A4 => Measures::METRIC,
        Paper::Letter => Measures::US,
    };
    let options = Options { scale, measures, ..Options::default() };
    let sheet = Sheet::of(design, &evaluate(design, library), library, &options).expect("a sheet");
    let folder = tempfile::tempdir().expect("a temporary folder");
    let pdf = print(browser, folder.path(), &sheet.html(paper));
    let what = format!("{} on {}", design.name, paper.words());

    let boxes = run(Command::new("pdftotext").arg("-bbox").arg(&pdf).arg("-"));
    let pages: Vec<&str> = boxes.split("<page ").skip(1).collect();
    assert!((1..=2).contains(&pages.len()), "{what}: {} pages", pages.len());
    let (wide, high) = match paper {
        Paper::A4 => (210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0),
        Paper::Letter => (8.5 * 72.0, 11.0 * 72.0),
    };
    // No word may reach into the margins, which are 10 mm at the least.
    let margin = 10.0 / 25.4 * 72.0 - 1.0;
    for page in pages {
        assert!((attribute(page, "width") - wide).abs() < 1.0, "{what}: {}", &page[..60]);
        assert!((attribute(page, "height") - high).abs() < 1.0, "{what}: {}", &page[..60]);
        for word in page.split("<word ").skip(1) {
            let inside = attribute(word, "xMin") >= margin
                && attribute(word, "xMax") <= wide - margin
                && attribute(word, "yMin") >= margin
                && attribute(word, "yMax") <= high - margin;
            assert!(inside, "{what}: {} is cut", word.lines().next().unwrap_or_default());
        }
    }

    let lines: Vec<String> =
        run(Command::new("pdftotext").arg("-layout").arg(&pdf).arg("-")).lines().map(without_spaces).collect();
    for row in &sheet.rows {
        let (name, weight) = (without_spaces(&row.name), without_spaces(&sheet.weight(row.weight)));
        let found = lines.iter().any(|l| l.contains(&name) && l.ends_with(&weight));
        assert!(found, "{what}: no line has {name} with {weight}:\n{}", lines.join("\n"));
    }
    let first = run(Command::new("pdftotext").args(["-f", "1", "-l", "1", "-layout"]).arg(&pdf).arg("-"));
    for words in ["Firstaid", "Eye:rinseatonce", "emergencynumber"] {
        assert!(without_spaces(&first).contains(words), "{what}: {words} is not on page 1");
    }
    let all = lines.concat();
    for heading in ["Getready", "Makethelye", "Temperatures", "Times", "Theblend", "Always", "Testbeforeuse"] {
        assert!(all.contains(heading), "{what}: {heading} is missing");
    }
}

#[test]
fn every_kind_of_design_prints_on_two_pages_at_the_most_with_nothing_cut() {
    let Some(browser) = browser() else { return };
    let library = Library::embedded().expect("the tables parse");
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let examples = std::fs::read_dir(root.join("../assets/examples")).expect("it is there");
    let examples = examples.map(|entry| entry.expect("an entry").path()).filter(|path| path.is_file());
    // A design of each kind whose method is its own.
    let kinds = [
        "milk_for_all_water",
        "milk_in_the_jug",
        "salt_bar",
        "wax_mixed_warm",
        "spice_in_the_fats",
        "puree_at_two_stages",
        "honey_in_the_oven",
        "cavities",
    ];
    let kinds = kinds.map(|name| root.join("cases").join(name).with_extension("barwright"));
    let mut seen = 0;
    for path in examples.chain(kinds) {
        let bytes = std::fs::read(path).expect("reads");
        let mut design = document::read(&bytes, &library).expect("valid");
        for paper in Paper::ALL {
            check(browser, &design, &library, paper, None);
        }
        // Wider: weights with thousands, dates, the note on the scale.
        design.process.made_on = Some("2026-09-30".into());
        let large = Some(Scale::Times(Multiple::new(12.5).expect("in range")));
        check(browser, &design, &library, Paper::A4, large);
        seen += 1;
    }
    assert_eq!(seen, 15, "the starter, six examples and eight kinds");
}

#[test]
fn each_page_of_a_stopped_design_has_the_stop() {
    let Some(browser) = browser() else { return };
    let library = Library::embedded().expect("the tables parse");
    for name in ["superfat_minus_4", "no_cut_no_cure", "scents_18"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases/doubt").join(format!("{name}.barwright"));
        let design = document::read(&std::fs::read(path).expect("reads"), &library).expect("valid");
        let sheet = Sheet::of(&design, &evaluate(&design, &library), &library, &Options::default()).expect("a sheet");
        let first = without_spaces(&sheet.stops().next().expect("it is stopped"));
        for paper in Paper::ALL {
            let folder = tempfile::tempdir().expect("a temporary folder");
            let pdf = print(browser, folder.path(), &sheet.html(paper));
            let text = run(Command::new("pdftotext").arg("-raw").arg(&pdf).arg("-"));
            let pages: Vec<String> = text.split('\u{c}').map(without_spaces).filter(|p| !p.is_empty()).collect();
            assert!((1..=4).contains(&pages.len()), "{name}: {} pages", pages.len());
            for (i, page) in pages.iter().enumerate() {
                assert!(page.contains(&first), "{name} on {}: page {} lacks {first}", paper.words(), i + 1);
            }
            for stop in sheet.stops() {
                assert!(pages[0].contains(&without_spaces(&stop)), "{name}: page 1 has every Stop");
            }
        }
    }
}
