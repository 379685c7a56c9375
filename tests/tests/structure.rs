//! The shape of the sources, as DEVELOPERS.md promises it: which module may use which, and what stands where.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The rooms of core in the order in which one may use another: only those before it.
const ROOMS: [&str; 19] = [
    "listed",
    "trust",
    "num",
    "units",
    "number",
    "formula",
    "quantity",
    "library",
    "design",
    "chemistry",
    "evaluate",
    "cost",
    "cautions",
    "bench",
    "find",
    "quantities",
    "troubles",
    "explain",
    "render",
];

fn sources(of: &str) -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates").join(of).join("src");
    let mut found = Vec::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text = std::fs::read_to_string(&path).expect("a text");
                found.push((path.strip_prefix(&root).expect("inside").to_path_buf(), text));
            }
        }
    }
    found.sort();
    assert!(found.len() > 5, "the sources of {of} are found");
    found
}

/// Without comments and without tests.
fn code(path: &Path, text: &str) -> String {
    let is_test = path.components().any(|c| c.as_os_str().to_string_lossy().trim_end_matches(".rs") == "tests");
    if is_test {
        return String::new();
    }
    let until_tests = text.split("\n#[cfg(test)]\nmod ").next().unwrap_or_default();
    let lines = until_tests.lines().map(|line| line.split("//").next().unwrap_or_default());
    lines.collect::<Vec<_>>().join("\n")
}

/// The first names behind `crate::`, of grouped imports too.
fn used(code: &str) -> BTreeSet<String> {
    let word = |text: &str| text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut names = BTreeSet::new();
    for rest in code.split("crate::").skip(1) {
        match rest.strip_prefix('{') {
            Some(group) => {
                let mut depth = 0;
                let inside: String = group
                    .chars()
                    .take_while(|c| {
                        depth += i32::from(*c == '{') - i32::from(*c == '}');
                        depth >= 0
                    })
                    .collect();
                let mut depth = 0;
                let split = inside.split(|c| {
                    depth += i32::from(c == '{') - i32::from(c == '}');
                    c == ',' && depth == 0
                });
                names.extend(split.map(|part| word(part.trim())));
            }
            None => drop(names.insert(word(rest))),
        }
    }
    names
}

/// Where an item that core re-exports at its root comes from.
fn room_of(name: &str) -> Option<&str> {
    match name {
        "Design" => Some("design"),
        "Evaluation" => Some("evaluate"),
        "Library" => Some("library"),
        _ => ROOMS.into_iter().find(|room| *room == name),
    }
}

#[test]
fn a_room_of_core_uses_only_those_before_it() {
    let place = |room: &str| ROOMS.iter().position(|one| *one == room);
    let mut wrong = Vec::new();
    let mut met = BTreeSet::new();
    for (path, text) in sources("core") {
        let first = path.components().next().expect("a name").as_os_str().to_string_lossy().into_owned();
        let room = first.trim_end_matches(".rs").to_owned();
        if room == "lib" {
            continue;
        }
        let at = place(&room).unwrap_or_else(|| panic!("{room} is no room of the list"));
        for name in used(&code(&path, &text)) {
            let of = room_of(&name).unwrap_or_else(|| panic!("{}: crate::{name} is in no room", path.display()));
            if place(of) > Some(at) {
                wrong.push(format!("{} uses {of}", path.display()));
            }
        }
        met.insert(room);
    }
    assert!(wrong.is_empty(), "against the order: {wrong:#?}");
    assert_eq!(met.len(), ROOMS.len(), "each room is there");
}

#[test]
fn imports_are_read_from_groups_too() {
    let text = "use crate::{Design, library::{fats::Fat, acids}, evaluate};\nlet x = crate::units::Grams(1.0);";
    assert_eq!(used(text).into_iter().collect::<Vec<_>>(), ["Design", "evaluate", "library", "units"]);
    assert_eq!(code(Path::new("a.rs"), "// crate::render\nlet a = 1;"), "\nlet a = 1;");
}

/// What would read a clock or a file, start a thread or draw.
const OUTSIDE: [&str; 11] = [
    "std::fs",
    "std::env",
    "std::net",
    "std::process",
    "std::thread",
    "SystemTime",
    "Instant::now",
    "Utc::now",
    "Local::now",
    "println!",
    "egui",
];

#[test]
fn core_and_solver_touch_nothing_outside() {
    for of in ["core", "solver"] {
        for (path, text) in sources(of) {
            let code = code(&path, &text);
            for word in OUTSIDE {
                assert!(!code.contains(word), "{of}/{}: {word}", path.display());
            }
        }
    }
}

/// A percent is made and unmade where its types are: `units`, and the quantity that shows it.
#[test]
fn percents_are_converted_in_one_place() {
    let mut wrong = Vec::new();
    for (path, text) in sources("core") {
        if ["units.rs", "quantity.rs"].iter().any(|home| path == Path::new(home)) {
            continue;
        }
        let code = code(&path, &text);
        for (i, line) in code.lines().enumerate() {
            if ["* 100.0", "/ 100.0", "100.0 *", "*= 100.0", "/= 100.0", "from(100.0)"]
                .iter()
                .any(|way| line.contains(way))
            {
                wrong.push(format!("{}:{}: {}", path.display(), i + 1, line.trim()));
            }
        }
    }
    assert!(wrong.is_empty(), "{} places: {wrong:#?}", wrong.len());
}

#[test]
fn the_readme_says_what_each_direct_dependency_is_for() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let read = |file: &str| std::fs::read_to_string(root.join(file)).expect("a text");
    let mut used = BTreeSet::new();
    for of in ["solver", "core", "gui"] {
        let manifest = read(&format!("crates/{of}/Cargo.toml"));
        let mut is_shipped = false;
        for line in manifest.lines() {
            if line.starts_with('[') {
                is_shipped = line.ends_with("dependencies]") && !line.contains("dev-");
            } else if is_shipped && !line.starts_with('#') {
                used.extend(line.split(['.', ' ', '=']).next().map(str::to_owned));
            }
        }
    }
    used.retain(|name| !name.is_empty() && !name.starts_with("barwright"));
    let readme = read("README.md");
    let table =
        readme.split("| dependency | for |").nth(1).expect("the table").split("\n\n").next().unwrap_or_default();
    let cells = table.lines().filter_map(|line| line.split('|').nth(1));
    let told: BTreeSet<String> = cells.flat_map(|cell| cell.split('`').skip(1).step_by(2)).map(str::to_owned).collect();
    assert!(used.len() > 15, "the dependencies are found: {used:?}");
    assert_eq!(told, used, "README.md, “What it is built of”");
}
