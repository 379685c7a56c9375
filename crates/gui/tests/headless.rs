//! The program run as a command, without a display.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn barwright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_barwright"))
        .args(arguments)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .output()
        .expect("the program starts")
}

fn examples() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/examples");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("it is there")
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.is_file())
        .collect();
    files.sort();
    files
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

#[test]
fn without_a_display_the_starter_is_reported_and_the_way_to_a_window_is_told() {
    let output = barwright(&[]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let out = text(&output.stdout);
    for part in ["Fernhollow starter", "Sodium hydroxide (NaOH)", "To open the window"] {
        assert!(out.contains(part), "{part} is missing:\n{out}");
    }
}

#[test]
fn a_command_that_is_misspelt_is_not_taken_for_a_file_that_cannot_be_read() {
    let told = |typed: &str| {
        let output = barwright(&[typed]);
        assert_eq!(output.status.code(), Some(2), "{typed}");
        text(&output.stderr)
    };
    for (typed, meant) in [("reprt", "report"), ("Labels", "label")] {
        let said = told(typed);
        assert!(said.contains(&format!("did you mean `barwright {meant}`")), "{typed}: {said}");
    }
    for other in ["orchard", "reprt.barwright", "./reprt"] {
        assert!(told(other).contains("could not be read"), "{other} is meant as a file");
    }
}

#[test]
fn every_example_reports_as_text_and_as_json() {
    let files = examples();
    assert_eq!(files.len(), 7, "the starter and six examples");
    for file in files {
        let file = file.to_str().expect("UTF-8");
        let plain = barwright(&["report", file]);
        assert_eq!(plain.status.code(), Some(0), "{file}");
        assert!(text(&plain.stdout).contains("To weigh"), "{file}");
        let json = barwright(&["report", file, "--json"]);
        let value: serde_json::Value = serde_json::from_slice(&json.stdout).expect("JSON");
        for part in [
            "name",
            "format",
            "batch",
            "fats",
            "jug",
            "margin",
            "chemistry",
            "acids_pct",
            "estimates",
            "cost",
            "label",
            "cautions",
        ] {
            assert!(value.get(part).is_some(), "{file}: no key {part}");
        }
        assert!(value["batch"]["naoh_g"].as_f64().is_some_and(|g| g > 0.0), "{file}: no lye");
    }
}

#[test]
fn the_label_has_both_lists_the_allergens_and_the_weight_at_sale() {
    for file in examples() {
        let file = file.to_str().expect("UTF-8");
        let label = barwright(&["label", file]);
        assert_eq!(label.status.code(), Some(0), "{file}");
        let label = text(&label.stdout);
        for part in ["Ingredients, as put in", "Ingredients, as in the bar", "Allergens to name", "Weight at sale"] {
            assert!(label.contains(part), "{file}: no “{part}” in {label}");
        }
    }
    assert_eq!(barwright(&["label", "no-such-file.barwright"]).status.code(), Some(2));
}

#[test]
fn the_bench_sheet_is_printed_or_written_and_never_over_its_design() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for file in examples() {
        let design = file.to_str().expect("UTF-8");
        let out = folder.path().join("sheet.html");
        let written = barwright(&["sheet", design, "-o", out.to_str().expect("UTF-8"), "--times", "2"]);
        assert_eq!(written.status.code(), Some(0), "{design}: {}", text(&written.stderr));
        let html = std::fs::read_to_string(&out).expect("it was written");
        assert!(html.starts_with("<!DOCTYPE html>") && html.contains("Scaled 2 times"), "{design}");
        let plain = text(&barwright(&["sheet", design, "--text"]).stdout);
        assert!(plain.contains("Sodium hydroxide (NaOH)") && plain.contains("in doubt"), "{design}: {plain}");
        let csv = text(&barwright(&["sheet", design, "--csv"]).stdout);
        assert!(csv.starts_with("step,name,weight_g,exact_g,note"), "{design}: {csv}");
    }
    let own = folder.path().join("own.barwright");
    std::fs::copy(&examples()[0], &own).expect("copies");
    let before = std::fs::read(&own).expect("reads");
    let own = own.to_str().expect("UTF-8");
    for refused in [
        &["sheet", own, "-o", own][..],
        &["sheet", own, "--times", "0"],
        &["sheet", own, "--times", "2", "--bars", "9"],
        &["sheet", own, "--text", "--csv"],
        &["sheet", own, "--fats", "1000000000"],
        &["sheet", own, "--use-up", "shea"],
        &["sheet", own, "--use-up", "beef_tallow=200"],
        &["sheet", own, "--mould", "240x70"],
        &["sheet", own, "--mould", "240x70x60", "--times", "2"],
        &["sheet", "no-such-file.barwright"],
    ] {
        let output = barwright(refused);
        assert_eq!(output.status.code(), Some(2), "{refused:?}");
        assert!(output.stdout.is_empty() && !output.stderr.is_empty(), "{refused:?}");
    }
    assert_eq!(std::fs::read(own).expect("reads"), before, "the design is as it was");
}

#[test]
fn a_sheet_uses_up_a_fat_or_fills_a_mould() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("own.barwright");
    let design = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 60), (fat: "shea", share: 40)],
        additions: [(addition: "honey", amount: Grams(10))])"#;
    std::fs::write(&file, design).expect("writes");
    let own = file.to_str().expect("UTF-8");
    let csv = |arguments: &[&str]| {
        let output = barwright(&[&["sheet", own, "--csv"], arguments].concat());
        assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", text(&output.stderr));
        text(&output.stdout)
    };
    let weight = |csv: &str, name: &str| -> f64 {
        let line = csv.lines().find(|l| l.contains(name)).unwrap_or_else(|| panic!("{name} in {csv}"));
        line.split(',').nth(3).and_then(|n| n.parse().ok()).unwrap_or_else(|| panic!("{line}"))
    };
    // 500 g of fats by default, 200 g of them shea.
    let used = csv(&["--use-up", "shea=312 g"]);
    assert!((weight(&used, "Shea") - 312.0).abs() < 1e-6 && (weight(&used, "Honey") - 15.6).abs() < 1e-6, "{used}");
    let filled = csv(&["--mould", "240x70x60", "--fill", "50"]);
    let whole = csv(&["--mould", "24 cm x 7 cm x 6 cm"]);
    let ratio = weight(&whole, "Olive") / weight(&filled, "Olive");
    assert!((ratio - 2.0).abs() < 1e-6, "half full takes half: {ratio}");
    assert!((weight(&whole, "Honey") / weight(&whole, "Olive") - 10.0 / 300.0).abs() < 1e-4, "in proportion");
}

#[test]
fn the_library_is_listed_with_every_fat() {
    let json = barwright(&["fats", "--json"]);
    let value: serde_json::Value = serde_json::from_slice(&json.stdout).expect("JSON");
    let fats = value.as_array().expect("a list");
    assert_eq!(fats.len(), 64);
    for fat in fats {
        for key in [
            "fat",
            "name",
            "kind",
            "sv_min",
            "sv_max",
            "sv_calculated",
            "iv_min",
            "iv_max",
            "iv_calculated",
            "sources",
            "profile",
        ] {
            assert!(fat.get(key).is_some(), "{}: no key {key}", fat["fat"]);
        }
    }
    assert!(text(&barwright(&["fats"]).stdout).contains("olive_virgin"), "the table too");
}

#[test]
fn bad_input_exits_2_with_one_line_and_changes_no_file() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bad.barwright");
    for (content, reason) in [
        ("(barwright: 1, fats: [(fat: \"coconut\", share: -3)])", "a share must lie between 0 and 100"),
        ("(barwright: 1, fats: [(fat: \"snake\", share: 100)])", "neither in the library"),
        ("(barwright: 1, fats: [(fat: \"soybean\", share: 100)])", "did you mean soya?"),
        ("(barwright: 1, fats: [], superfat: inf)", "superfat must lie between"),
        ("(barwright: 9, fats: [])", "format version 9"),
        ("not a design at all", "not a Barwright design"),
        ("\u{1F9FC}", "not a Barwright design"),
    ] {
        std::fs::write(&path, content).expect("writes");
        let output = barwright(&["report", path.to_str().expect("UTF-8"), "--json"]);
        let err = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{content}: {err}");
        assert!(err.contains(reason), "{content}: {err}");
        assert_eq!(err.trim_end().lines().count(), 1, "one line: {err}");
        assert!(output.stdout.is_empty(), "{content}");
        assert_eq!(std::fs::read_to_string(&path).expect("reads"), content);
        assert_eq!(std::fs::read_dir(folder.path()).expect("it is there").count(), 1, "no other file");
    }
    assert_eq!(barwright(&["report", "/no/such/file"]).status.code(), Some(2));
    assert_eq!(barwright(&["dance"]).status.code(), Some(2), "an unknown command");
}

#[test]
fn a_design_with_cautions_still_reports_and_exits_0() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("heavy.barwright");
    std::fs::write(&path, "(barwright: 1, fats: [(fat: \"coconut\", share: 90)], superfat: -3)").expect("writes");
    let output = barwright(&["report", path.to_str().expect("UTF-8")]);
    assert_eq!(output.status.code(), Some(0));
    let out = text(&output.stdout);
    assert!(out.contains("STOP: There is 3 % more alkali"), "{out}");
    assert!(out.contains("STOP: The shares sum to 90.00 %"), "{out}");
}

#[test]
fn a_number_is_explained_and_an_unknown_one_lists_those_there_are() {
    for file in examples() {
        let output = barwright(&["report", file.to_str().expect("UTF-8"), "--why", "batch.naoh_g"]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        let out = text(&output.stdout);
        for part in ["Sodium hydroxide to weigh: ", "Formula", "39.997 ÷ 56.105", "What would change it most"] {
            assert!(out.contains(part), "{part} is missing:\n{out}");
        }
    }
    let file = &examples()[0];
    let output = barwright(&["report", file.to_str().expect("UTF-8"), "--why", "batch.gold\n_g"]);
    let err = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert_eq!(err.trim_end().lines().count(), 1, "one line: {err}");
    assert!(err.contains("batch.gold _g") && err.contains("jug.peak_c"), "{err}");
    assert!(output.stdout.is_empty(), "nothing is explained");
}

#[test]
fn a_blend_is_found_or_what_collides_is_named() {
    let starter = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/examples/fernhollow-starter.barwright");
    let file = starter.to_str().expect("UTF-8");
    let found = |arguments: &[&str]| {
        let output = barwright(&[&["find", file, "--json"], arguments].concat());
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap_or_default();
        (output.status.code(), json, text(&output.stderr))
    };
    let (code, json, err) =
        found(&["--without", "cocoa_butter", "--within-ranges", "--at-most", "4", "--results", "2"]);
    assert_eq!(code, Some(0), "{err}");
    assert_eq!(json["proven"], true, "{json}");
    assert_eq!(json["collisions"], serde_json::json!([]), "nothing collides");
    assert!(json["gap"].as_f64().is_some_and(|gap| (0.0..1e-6).contains(&gap)), "proven: {json}");
    let results = json["results"].as_array().expect("a list");
    assert_eq!(results.len(), 2, "as asked");
    for result in results {
        let fats = result["fats"].as_array().expect("a list");
        let sum: f64 = fats.iter().filter_map(|f| f["share_pct"].as_f64()).sum();
        assert!(fats.len() <= 4 && (sum - 100.0).abs() < 1e-9, "{result}");
        assert!(fats.iter().all(|f| f["fat"] != "cocoa_butter"), "{result}");
        assert_eq!(result["estimates"]["hardness"]["place"], "inside", "{result}");
        assert!(result["cost_per_kg_fats"].is_null(), "nothing has a price");
        assert!(result["differs_pct"].as_f64().is_some_and(|part| part > 0.0), "without its cocoa butter: {result}");
    }
    let (code, json, _) = found(&["--allow", "all", "--range", "hardness=90..", "--range", "iodine_value=80.."]);
    assert_eq!(code, Some(3), "{json}");
    let collisions = json["collisions"].to_string();
    assert!(collisions.contains("hardness at least 90") && collisions.contains("iodine value at least 80"), "{json}");
    assert!(!json["nearest_miss"]["fats"].as_array().expect("a list").is_empty(), "{json}");
    let plain = barwright(&["find", file, "--only", "olive_virgin,coconut", "--smallest-change", "--step", "5"]);
    assert!(text(&plain.stdout).contains("proven the best"), "{}", text(&plain.stdout));
    for (arguments, reason) in [
        (&["--cheapest"][..], "prices are needed"),
        (&["--without", "snake"], "called “snake”"),
        (&["--only", "snake"], "called “snake”"),
        (&["--only", "extra virgin"], "did you mean olive_virgin?"),
        (&["--without", "babasu"], "did you mean babassu?"),
        (
            &["--only", "coconut,olive_virgin", "--without", "coconut"],
            "coconut stands after --only and after --without",
        ),
        (&["--range", "hardness=50..40"], "no range"),
        (&["--range", "shine=1..2"], "choose one of hardness"),
        (&["--step", "7"], "steps of 1 or 5"),
        (&["--results", "0"], "at least one"),
    ] {
        let (code, _, err) = found(arguments);
        assert_eq!(code, Some(2), "{arguments:?}: {err}");
        assert!(err.contains(reason) && err.trim_end().lines().count() == 1, "{arguments:?}: {err}");
    }
}

#[test]
fn designs_are_compared_as_a_table_and_as_json() {
    let files = examples();
    let files: Vec<&str> = files.iter().map(|f| f.to_str().expect("UTF-8")).collect();
    let report = |file: &str| -> serde_json::Value {
        serde_json::from_slice(&barwright(&["report", file, "--json"]).stdout).expect("JSON")
    };
    let (a, b) = (files[0], files[6]);
    let output = barwright(&["compare", a, b, "--json"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(json.as_object().map(serde_json::Map::len), Some(2), "designs and differences");
    assert_eq!(json["designs"], serde_json::json!([report(a), report(b)]), "the reports as they are");
    let differences = json["differences"].as_object().expect("keys and numbers");
    assert!(differences.values().all(serde_json::Value::is_number), "numbers only: {json}");
    let of =
        |design: usize, pointer: &str| json["designs"][design].pointer(pointer).and_then(serde_json::Value::as_f64);
    for (key, pointer) in [
        ("batch.naoh_g", "/batch/naoh_g"),
        ("margin.superfat_low_pct", "/margin/superfat_low_pct"),
        ("estimates.hardness", "/estimates/hardness/value"),
        ("chemistry.iodine_value", "/chemistry/iodine_value"),
    ] {
        let expected = of(1, pointer).expect("known") - of(0, pointer).expect("known");
        let got = differences[key].as_f64().expect("a number");
        assert!((got - expected).abs() < 1e-9, "{key}: {got} for {expected}, unrounded");
    }
    let share = |design: usize, fat: &str| {
        let fats = json["designs"][design]["fats"].as_array().expect("a list");
        fats.iter().find(|f| f["fat"] == fat).and_then(|f| f["share_pct"].as_f64()).unwrap_or(0.0)
    };
    for (key, difference) in differences.iter().filter(|(k, _)| k.starts_with("fats.") && k.ends_with(".share_pct")) {
        let fat = key.trim_start_matches("fats.").trim_end_matches(".share_pct");
        let expected = share(1, fat) - share(0, fat);
        assert!(difference.as_f64().is_some_and(|d| (d - expected).abs() < 1e-9), "{key}: {difference}");
    }
    let same = barwright(&["compare", a, a, "--json"]);
    let same: serde_json::Value = serde_json::from_slice(&same.stdout).expect("JSON");
    let none = same["differences"].as_object().expect("keys and numbers");
    assert!(none.len() > 50 && none.values().all(|v| v.as_f64() == Some(0.0)), "a design differs from itself: {same}");
    let four = barwright(&["compare", files[0], files[1], files[2], files[3], "--json"]);
    let four: serde_json::Value = serde_json::from_slice(&four.stdout).expect("JSON");
    assert_eq!(four["designs"].as_array().map(Vec::len), Some(4));
    assert_eq!(four["differences"].as_array().map(Vec::len), Some(3), "each against the first");
    let table = text(&barwright(&["compare", a, b]).stdout);
    for part in
        ["B − A", "Sodium hydroxide to weigh", "Hardness", "Chance that the bar is lye-heavy", "same", "A bar at sale"]
    {
        assert!(table.contains(part), "{part} is missing:\n{table}");
    }
    for (arguments, code) in
        [(&["compare", a][..], 2), (&["compare", a, "no-such-file"], 2), (&["compare", a, a, a, a, a], 2)]
    {
        assert_eq!(barwright(arguments).status.code(), Some(code), "{arguments:?}");
    }
}

#[test]
fn a_difference_is_explained() {
    let files = ["apple-oat-loaf", "winter-tallow"].map(|name| format!("../../assets/examples/{name}.barwright"));
    let run = |key: &str| barwright(&["compare", &files[0], &files[1], "--why", key]);
    let out = run("batch.naoh_g");
    assert_eq!(out.status.code(), Some(0), "{}", text(&out.stderr));
    for part in ["B less A", "number of B − number of A", "What makes the difference", "blend"] {
        assert!(text(&out.stdout).contains(part), "{part} is missing: {}", text(&out.stdout));
    }
    let out = run("acids_pct");
    assert!(text(&out.stdout).contains("min("), "the acids in common: {}", text(&out.stdout));
    let out = run("batch.gold_g");
    assert_eq!(out.status.code(), Some(2), "no such number");
    assert!(text(&out.stderr).contains("batch.naoh_g"), "those there are: {}", text(&out.stderr));
}

#[test]
fn a_number_of_a_search_is_explained() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/examples/apple-oat-loaf.barwright");
    let file = file.to_str().expect("a path");
    let run = |key: &str| barwright(&["find", file, "--only", "olive_virgin,coconut,castor,shea", "--why", key]);
    for (key, part) in [
        ("results.0.objective", "squared percent"),
        ("results.0.fats.0.share_pct", "Share of"),
        ("results.0.cost_per_kg_fats", "not known, since"),
        ("gap", "objective of the last blend − the least"),
    ] {
        let out = run(key);
        let all = format!("{}{}", text(&out.stdout), text(&out.stderr));
        assert!(all.contains(part), "{key} says {part}: {all}");
    }
    let out = run("results.0.gold");
    assert_eq!(out.status.code(), Some(2), "no such number");
    assert!(text(&out.stderr).contains("results.N.objective"), "those there are: {}", text(&out.stderr));
}

#[test]
fn troubles_are_told_without_a_design_and_by_the_numbers_of_one() {
    let plain = barwright(&["troubles"]);
    assert_eq!(plain.status.code(), Some(0), "{}", text(&plain.stderr));
    let out = text(&plain.stdout);
    for part in ["Soda ash (soda-ash)", "Do not use: ", "Likely causes:", "Next time: ", "common practice, no source"] {
        assert!(out.contains(part), "{part} is missing:\n{out}");
    }
    assert!(!out.contains("In this design"), "there is none");

    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("thin.barwright");
    let design = |superfat: f64| {
        format!(
            "(barwright: 1, fats: [(fat: \"olive_virgin\", share: 70), (fat: \"coconut\", share: 30)], \
             superfat: {superfat}, water: LyeConcentration(24.0), process: (room_c: 17.0))"
        )
    };
    std::fs::write(&path, design(6.0)).expect("writes");
    let file = path.to_str().expect("UTF-8");
    let out = text(&barwright(&["troubles", file, "--fault", "soda-ash"]).stdout);
    let thin = out.find("In this design: Lye concentration 24.0 %; under 28 % is thin").expect("its number");
    assert!(out.find("Air on the top").is_some_and(|general| general > thin), "what is supported comes first:\n{out}");
    assert!(out.contains("In this design: Room 17 °C; under 18 °C"), "{out}");
    assert!(!out.contains("(zap)"), "only the one asked for:\n{out}");
    for nothing in ["", "  "] {
        let output = barwright(&["troubles", file, "--fault", nothing]);
        assert_eq!(output.status.code(), Some(2), "no name is not the name of all");
        assert!(output.stdout.is_empty(), "{}", text(&output.stdout));
    }

    let json = |arguments: &[&str]| -> serde_json::Value {
        let output = barwright(&[&["troubles"], arguments, &["--json"]].concat());
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        serde_json::from_slice(&output.stdout).expect("JSON")
    };
    let all = json(&[]);
    let faults = all["troubles"].as_array().expect("a list");
    assert!(faults.len() >= 20 && all["design"].is_null(), "{all}");
    for fault in faults {
        let told = ["fault", "name", "when", "seen", "safety_text", "now", "next_time"];
        assert!(told.iter().all(|key| fault[key].as_str().is_some_and(|text| !text.is_empty())), "{fault}");
        assert!(["safe", "safe-after", "do-not-use"].iter().any(|one| fault["safety"] == **one), "{fault}");
        let causes = fault["causes"].as_array().expect("a list");
        assert!(!causes.is_empty() && causes.iter().all(|cause| cause["support"].is_null()), "{fault}");
    }
    let ash = json(&[file, "--fault", "soda-ash"]);
    let first = &ash["troubles"][0]["causes"][0]["support"];
    assert_eq!(first["key"], "batch.lye_concentration_pct", "{ash}");
    assert_eq!(first["text"], "24.0 %", "{ash}");
    let room = &ash["troubles"][0]["causes"][2]["support"];
    assert!(room["key"].is_null() && room["text"] == "17 °C", "{ash}");

    // A stop forbids the bar, whatever is seen.
    std::fs::write(&path, design(-3.0)).expect("writes");
    let out = text(&barwright(&["troubles", file, "--fault", "drag-marks"]).stdout);
    assert!(
        out.contains("STOP: There is 3 % more alkali") && out.contains("Do not use: The design has a stop"),
        "{out}"
    );
    let stopped = json(&[file]);
    assert!(stopped["stops"].as_array().is_some_and(|stops| !stops.is_empty()), "{stopped}");
    let faults = stopped["troubles"].as_array().expect("a list");
    assert!(faults.iter().all(|fault| fault["safety"] == "do-not-use"), "{stopped}");

    for refused in [&["troubles", "no-such-file"][..], &["troubles", "--fault", "no such thing"]] {
        let output = barwright(refused);
        assert_eq!(output.status.code(), Some(2), "{refused:?}");
        let err = text(&output.stderr);
        assert!(output.stdout.is_empty() && err.trim_end().lines().count() == 1, "one line: {err}");
    }
    let err = text(&barwright(&["troubles", "--fault", "no such thing"]).stderr);
    assert!(err.contains("soda-ash") && err.contains("zap"), "{err}");
}

fn case(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/cases/doubt").join(format!("{name}.barwright"));
    path.to_str().expect("UTF-8").to_owned()
}

#[test]
fn the_day_of_making_is_said_on_the_command_line_as_people_write_it() {
    let file = &examples()[0];
    let design = file.to_str().expect("UTF-8");
    let sheet = |more: &[&str]| barwright(&[&["sheet", design, "--text"], more].concat());
    for more in [["--start", "2026-11-28"].as_slice(), &["--start", "28/11/2026"], &["--start", "28 Nov 2026"]] {
        let text = text(&sheet(more).stdout);
        assert!(text.contains("Saturday 28 November 2026"), "{more:?}: {text}");
    }
    let us = text(&sheet(&["--units", "us", "--start", "11/28/2026"]).stdout);
    assert!(us.contains("Saturday 28 November 2026"), "{us}");
    assert_eq!(sheet(&["--start", "today"]).status.code(), Some(0));
    let refused = sheet(&["--start", "soon"]);
    assert_eq!(refused.status.code(), Some(2));
    let said = text(&refused.stderr);
    assert!(said.contains("“soon” is no day; write today, tomorrow") && said.lines().count() == 1, "{said}");
}

#[test]
fn a_stopped_design_has_no_label_and_a_sheet_with_the_stop() {
    for (name, words) in [
        ("superfat_minus_4", "There is 4 % more alkali"),
        ("purity_90", "is said to be 90 % pure"),
        ("certificate_204", "cannot be"),
        ("oven_180", "In an oven of 180 °C"),
        ("potash_60", "that makes a paste"),
    ] {
        let file = case(name);
        let label = barwright(&["label", &file]);
        let (out, err) = (text(&label.stdout), text(&label.stderr));
        assert_eq!(label.status.code(), Some(3), "{name}: {err}");
        assert!(out.contains("STOP: ") && out.contains(words), "{name}: {out}");
        assert!(!out.contains("Ingredients, ") && err.contains(words) && err.lines().count() == 1, "{name}: {err}");
        for form in ["--text", "--csv", "--paper=a4"] {
            let sheet = barwright(&["sheet", &file, form]);
            let err = text(&sheet.stderr);
            assert_eq!(sheet.status.code(), Some(0), "{name}: {err}");
            assert!(err.contains("STOP: ") && err.contains(words), "{name} {form}: {err}");
            assert!(text(&sheet.stdout).contains("STOP"), "{name} {form}");
        }
        let report = barwright(&["report", &file, "--json"]);
        assert_eq!(report.status.code(), Some(0), "{name}");
        let json: serde_json::Value = serde_json::from_slice(&report.stdout).expect("JSON");
        assert!(json["label"].is_null(), "{name}: {}", json["label"]);
        assert!(json["cure"]["settled_day"].is_null(), "{name}: no bar of it is ever ready");
        for key in ["label.as_put_in_pct.0", "cost.bar_at_margin_pct.50", "cure.settled_day"] {
            let why = barwright(&["report", &file, "--why", key]);
            assert_eq!(why.status.code(), Some(3), "{name}: {key}");
            assert!(text(&why.stderr).contains(words), "{name}: {key}: {}", text(&why.stderr));
        }
    }
    for name in ["oven_95", "potash_20", "yesterday"] {
        let label = barwright(&["label", &case(name)]);
        assert_eq!(label.status.code(), Some(0), "{name}: care withholds nothing");
        assert!(text(&label.stdout).contains("Ingredients, as put in"), "{name}");
    }
}

#[test]
fn an_output_never_replaces_a_design() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = |name: &str| folder.path().join(name).to_str().expect("UTF-8").to_owned();
    let own = case("potash_5");
    let design = std::fs::read(&own).expect("reads");
    for name in ["two.barwright", "two.barwright.bak", "renamed.html"] {
        std::fs::write(path(name), &design).expect("writes");
        let output = barwright(&["sheet", &own, "-o", &path(name)]);
        assert_eq!(output.status.code(), Some(2), "{name}");
        assert!(text(&output.stderr).contains("holds a design"), "{name}: {}", text(&output.stderr));
        assert_eq!(std::fs::read(path(name)).expect("reads"), design, "{name} is as it was");
    }
    std::fs::write(path("broken.barwright"), "no design any more").expect("writes");
    assert_eq!(barwright(&["sheet", &own, "-o", &path("broken.barwright")]).status.code(), Some(2), "by its name");
    let dash = barwright(&["sheet", &own, "--text", "-o", "-"]);
    assert!(text(&dash.stdout).contains("To weigh"), "{}", text(&dash.stderr));
    assert_eq!(text(&dash.stdout), text(&barwright(&["sheet", &own, "--text"]).stdout), "standard output");
}

#[cfg(unix)]
#[test]
fn an_output_goes_into_links_and_pipes_and_leaves_them_there() {
    use std::io::Read;
    use std::os::unix::fs::{FileTypeExt, symlink};
    let folder = tempfile::tempdir().expect("a temporary folder");
    let own = case("potash_5");
    let path = |name: &str| folder.path().join(name);
    let write = |name: &str| {
        let output = barwright(&["sheet", &own, "--text", "-o", path(name).to_str().expect("UTF-8")]);
        assert_eq!(output.status.code(), Some(0), "{name}: {}", text(&output.stderr));
    };
    std::fs::write(path("old.txt"), "old").expect("writes");
    for (link, target) in [("to a file", "old.txt"), ("to nothing yet", "new.txt")] {
        symlink(path(target), path(link)).expect("a link");
        write(link);
        assert!(std::fs::symlink_metadata(path(link)).expect("it is there").is_symlink(), "{link}: still a link");
        assert!(std::fs::read_to_string(path(target)).expect("reads").contains("To weigh"), "{link}: behind it");
    }
    let made = Command::new("mkfifo").arg(path("pipe")).status().is_ok_and(|status| status.success());
    if made {
        let reader = std::thread::spawn({
            let pipe = path("pipe");
            move || {
                let mut read = String::new();
                std::fs::File::open(pipe).and_then(|mut f| f.read_to_string(&mut read)).map(|_| read)
            }
        });
        write("pipe");
        assert!(reader.join().expect("it ends").expect("reads").contains("To weigh"), "through the pipe");
        assert!(std::fs::metadata(path("pipe")).expect("it is there").file_type().is_fifo(), "still a pipe");
    }
}

#[test]
fn a_design_with_the_line_ends_of_windows_is_the_same_design() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for file in examples() {
        let there = folder.path().join(file.file_name().expect("a name"));
        let plain = std::fs::read_to_string(&file).expect("reads").replace("\r\n", "\n");
        std::fs::write(&there, plain.replace('\n', "\r\n")).expect("writes");
        let [here, there] = [&file, &there].map(|path| barwright(&["report", path.to_str().expect("UTF-8"), "--json"]));
        assert_eq!(there.status.code(), Some(0), "{}: {}", file.display(), text(&there.stderr));
        assert_eq!(text(&there.stdout), text(&here.stdout), "{}", file.display());
    }
}

#[cfg(all(unix, not(target_os = "macos")))]
#[test]
fn the_program_goes_into_the_menu_of_one_person_and_out_again() {
    let home = tempfile::tempdir().expect("a temporary folder");
    let run = |argument: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_barwright"))
            .arg(argument)
            .env("HOME", home.path())
            .env("XDG_DATA_HOME", home.path().join("data"))
            .output()
            .expect("the program starts");
        assert_eq!(output.status.code(), Some(0), "{argument}: {}", text(&output.stderr));
        text(&output.stdout)
    };
    let entry = home.path().join("data/applications/dev.fernhollow.barwright.desktop");
    assert!(run("--uninstall-desktop").contains("nothing was changed"), "it was not there");
    let told = run("--install-desktop");
    assert!(told.contains(entry.to_str().expect("UTF-8")), "{told}");
    let program = format!("Exec=\"{}\" %F\n", env!("CARGO_BIN_EXE_barwright"));
    assert!(std::fs::read_to_string(&entry).expect("it is there").contains(&program), "it starts {program}");
    assert!(run("--uninstall-desktop").contains("Removed"), "it was there");
    assert!(!entry.exists(), "it is gone");
    let both = barwright(&["--install-desktop", "some.barwright"]);
    assert_eq!(both.status.code(), Some(2), "a file beside it would be passed over");
}

#[test]
fn a_card_and_a_label_page_go_to_a_file_or_to_the_output_and_never_over_a_design() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("one.barwright");
    let other = folder.path().join("two.barwright");
    for path in [&file, &other] {
        std::fs::copy(&examples()[0], path).expect("copies");
    }
    let (one, two) = (file.to_str().expect("UTF-8"), other.to_str().expect("UTF-8"));
    let page = folder.path().join("page.html");
    let page_name = page.to_str().expect("UTF-8");
    for arguments in [&["card", one][..], &["label", one, "--pages", "curing"], &["sheet", one]] {
        let printed = barwright(arguments);
        assert_eq!(printed.status.code(), Some(0), "{arguments:?}: {}", text(&printed.stderr));
        let dash = barwright(&[arguments, &["-o", "-"]].concat());
        assert_eq!(dash.stdout, printed.stdout, "{arguments:?}: - is the output");
        assert_eq!(barwright(&[arguments, &["-o", page_name]].concat()).status.code(), Some(0), "{arguments:?}");
        assert_eq!(std::fs::read(&page).expect("it is there"), printed.stdout, "{arguments:?}");
        let before = std::fs::read(&other).expect("it is there");
        for design in [one, two] {
            assert_eq!(barwright(&[arguments, &["-o", design]].concat()).status.code(), Some(2), "{arguments:?}");
        }
        assert_eq!(std::fs::read(&other).expect("it is there"), before, "{arguments:?}: untouched");
    }
    for form in ["--text", "--markdown", "--fragment"] {
        assert!(text(&barwright(&["card", one, form]).stdout).contains("Together"), "{form}");
    }
}

#[test]
fn label_pages_of_a_stopped_design_are_withheld_with_exit_3() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("stopped.barwright");
    std::fs::write(&file, "(barwright: 1, fats: [(fat: \"coconut\", share: 100.0)], superfat: -4.0)").expect("writes");
    let file = file.to_str().expect("UTF-8");
    for (which, code) in [("labels", 3), ("tags", 3), ("curing", 0)] {
        let output = barwright(&["label", file, "--pages", which]);
        assert_eq!(output.status.code(), Some(code), "{which}: {}", text(&output.stderr));
        assert_eq!(output.stdout.is_empty(), code == 3, "{which}");
        assert!(text(if code == 3 { &output.stderr } else { &output.stdout }).contains("STOP"), "{which}");
    }
    let own = case("potash_5");
    let dated = text(&barwright(&["label", &own, "--pages", "curing", "--start", "2026-03-14"]).stdout);
    assert!(dated.contains("<b>14 March 2026</b>") && dated.contains("Test on <b>"), "both days:\n{dated}");
    let undated = text(&barwright(&["label", &own, "--pages", "curing"]).stdout);
    assert!(!undated.contains("March"), "the design has no day");
    let wrong = barwright(&["label", &own, "--pages", "curing", "--start", "14 March"]);
    assert_eq!(wrong.status.code(), Some(2), "no day");
    let card = barwright(&["card", file, "--text"]);
    assert_eq!(card.status.code(), Some(0), "a card bears its Stop");
    assert!(text(&card.stdout).contains("STOP") && text(&card.stderr).contains("STOP"), "on both");
}

#[test]
fn a_folder_is_listed_a_line_a_design_and_what_is_broken_with_its_reason() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for file in examples() {
        std::fs::copy(&file, folder.path().join(file.file_name().expect("a name"))).expect("copies");
    }
    let wild = "(barwright: 1, name: \"\u{202e}wild\\u{1b}[2J\\nname\", fats: [], superfat: 5.0)";
    std::fs::write(folder.path().join("wild.Barwright"), wild).expect("writes");
    std::fs::write(folder.path().join("cut.barwright"), "(barwright: 1, fats: [").expect("writes");
    std::fs::write(folder.path().join("notes.txt"), "no design").expect("writes");
    std::fs::create_dir(folder.path().join("within.barwright")).expect("a folder");
    #[cfg(unix)]
    {
        use std::os::unix::ffi::OsStrExt;
        std::os::unix::fs::symlink(folder.path(), folder.path().join("loop.barwright")).expect("a link");
        std::os::unix::fs::symlink("nowhere", folder.path().join("lost.barwright")).expect("a link");
        let odd = std::ffi::OsStr::from_bytes(b"odd\xff\x1b[1m.barwright");
        std::fs::copy(&examples()[0], folder.path().join(odd)).expect("copies");
    }
    let path = folder.path().to_str().expect("UTF-8");
    let plain = barwright(&["folder", path]);
    assert_eq!(plain.status.code(), Some(0), "{}", text(&plain.stderr));
    let out = text(&plain.stdout);
    assert!(out.chars().all(|c| c == '\n' || !c.is_control()) && !out.contains('\u{202e}'), "{out}");
    let rows: Vec<&str> = out.lines().collect();
    let files = 7 + 2 + if cfg!(unix) { 2 } else { 0 };
    assert_eq!(rows.len(), 2 + files + 1, "two heads, a line a file, the count: {out}");
    assert!(rows[2].starts_with("Apple oat loaf") && rows[2].contains("apple-oat-loaf.barwright"), "{out}");
    assert!(out.contains("cut.barwright: not read: line 1, column"), "{out}");
    assert!(!out.contains("within") && !out.contains("loop") && !out.contains("notes"), "{out}");
    assert!(rows.iter().any(|row| row.contains("wild [2J name") && row.contains("Stop")), "{out}");

    let json = barwright(&["folder", path, "--json"]);
    assert_eq!(json.status.code(), Some(0));
    let out = text(&json.stdout);
    assert!(out.chars().all(|c| c == '\n' || !c.is_control()) && !out.contains('\u{202e}'), "{out}");
    let lines: Vec<serde_json::Value> = out.lines().map(|l| serde_json::from_str(l).expect("JSON")).collect();
    assert_eq!(lines.len(), files);
    let report = barwright(&["report", examples()[0].to_str().expect("UTF-8"), "--json"]);
    let report: serde_json::Value = serde_json::from_slice(&report.stdout).expect("JSON");
    let line = lines.iter().find(|line| line["name"] == report["name"]).expect("it is listed");
    for path in ["/estimates/hardness/value", "/cost/bar", "/batch/bars", "/batch/superfat_pct"] {
        assert_eq!(line.pointer(path), report.pointer(path), "{path}");
    }
    assert!(lines.iter().any(|line| line["file"] == "cut.barwright" && line["error"].is_string()));
    assert!(lines.iter().any(|line| line["name"] == "wild [2J name"), "a name in one line: {out}");
    let gone = barwright(&["folder", "no-such-folder"]);
    assert_eq!((gone.status.code(), gone.stdout.len()), (Some(2), 0));
    assert!(text(&gone.stderr).contains("no-such-folder could not be read"));
    assert_eq!(barwright(&["folder", examples()[0].to_str().expect("UTF-8")]).status.code(), Some(2), "a file");
}
