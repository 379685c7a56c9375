//! What a file says cannot steer a terminal: no command prints a sign of a file that moves the cursor, turns the
//! direction of reading or begins a line of its own, in its output or in its errors.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Clears the screen, goes up, sets the title; a bell, a return, the same by one sign, and what turns the text.
const WILD: &str =
    "w\u{1b}[2J\u{1b}[1A\u{1b}]0;x\u{7}\r\u{9b}2J\u{202e}\u{2066}\u{200f}\nFAKED fine\u{2028}FAKED\u{85}d";

fn barwright(home: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_barwright"));
    for kept in ["HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"] {
        command.env(kept, home);
    }
    for display in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(display);
    }
    command.args(arguments).output().expect("the program starts")
}

/// A design in which each text is wild.
fn design() -> String {
    let wild = format!("{WILD:?}");
    // Notes have lines of their own, which stand where notes stand.
    let notes = format!("{:?}", WILD.replace("FAKED", "noted"));
    let figure = format!("(min: 180, max: 190, source: {wild}, trust: FromMemory)");
    format!(
        "(barwright: 1, name: {wild}, notes: {notes}, currency: {wild}, style: {wild}, superfat: -30.0,
        fats: [(fat: \"own_a\", share: 60), (fat: \"coconut\", share: 40)],
        additions: [(addition: \"own_b\", amount: PercentOfFats(2))],
        scents: [(scent: \"own_c\", amount: PercentOfFats(9))],
        prices: [(material: \"own_a\", pack_g: 1000, price: 9), (material: {wild}, pack_g: 1000, price: 9)],
        materials: [
            Fat((id: \"own_a\", name: {wild}, kind: Triglyceride, sv: {figure}, inci: (fat: {wild}, fat_status: {wild},
                sodium_soap: {wild}, potassium_soap: {wild}, soap_status: {wild}),
                profile: [(acid: \"18:1\", min: 90, typical: 100, max: 100, source: {wild}, trust: FromMemory)])),
            Addition((id: \"own_b\", name: {wild}, kind: Puree, water: 80, source: {wild}, inci: {wild},
                inci_status: {wild}, advice: {wild},
                acid: Some((name: {wild}, content: 10, molar_mass: 192.1, protons: 3, source: {wild})))),
            Scent((id: \"own_c\", name: {wild}, inci: {wild}, inci_status: {wild}, limit_pct: Some(1),
                constituents: [(name: {wild}, cas: \"78-70-6\", most: 30, source: {wild})])),
        ])"
    )
}

/// What in `said` could steer a terminal.
fn steers(said: &[u8]) -> Option<String> {
    let Ok(text) = std::str::from_utf8(said) else { return Some("no UTF-8".into()) };
    let turns = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}');
    // Tables end their lines with two signs.
    let text = text.replace("\r\n", "\n");
    let sign = text.char_indices().find(|(_, c)| (c.is_control() && !matches!(c, '\n' | '\t')) || turns(*c));
    if let Some((at, sign)) = sign {
        let before: String = text[..at].chars().rev().take(60).collect::<Vec<_>>().into_iter().rev().collect();
        return Some(format!("{sign:?} behind {before:?}"));
    }
    None
}

/// A line of `said` that begins with what a file says.
fn forged(said: &[u8]) -> Option<String> {
    let text = String::from_utf8_lossy(said);
    text.lines().find(|line| line.starts_with("FAKED")).map(|line| format!("a line {line:?}"))
}

#[test]
fn no_command_prints_what_steers_a_terminal() {
    let folder = tempfile::tempdir().expect("a folder");
    let home = folder.path();
    let file = home.join("wild.barwright");
    std::fs::write(&file, design()).expect("it is written");
    let broken = home.join("broken.barwright");
    std::fs::write(&broken, design().replace("kind: Triglyceride", &format!("kind: {WILD:?}"))).expect("it is written");
    let named: PathBuf = home.join("na\u{1b}[2Jme\u{202e}.barwright");
    std::fs::write(&named, "no design").expect("it is written");
    let [file, broken, named, folder] = [file.as_path(), &broken, &named, home].map(|p| p.to_str().expect("UTF-8"));
    let commands: &[&[&str]] = &[
        &["report", file],
        &["report", file, "--why", "batch.naoh_g"],
        &["report", file, "--why", "fats.own_a.mass_g"],
        &["report", file, "--why", "cost.batch"],
        &["report", file, "--why", WILD],
        &["sheet", file, "--text"],
        &["sheet", file, "--csv"],
        &["sheet", file],
        &["label", file],
        &["card", file],
        &["compare", file, file],
        &["compare", file, file, "--why", "batch.naoh_g"],
        &["find", file],
        &["find", file, "--without", WILD],
        &["log", file],
        &["folder", folder],
        &["troubles", file],
        &["troubles", WILD],
        &["shelf", "--folder", folder],
        &["shelf", "trace", WILD, "--folder", folder],
        &["report", broken],
        &["report", named],
        &["sheet", named, "--csv"],
        &[WILD],
        &["--wild", WILD],
    ];
    let mut wrong = Vec::new();
    for arguments in commands {
        let output = barwright(home, arguments);
        for (of, said) in [("output", &output.stdout), ("errors", &output.stderr)] {
            // The sheet as text breaks long lines anywhere.
            let wraps = arguments.contains(&"--text");
            let what = steers(said).or_else(|| forged(said).filter(|_| !wraps));
            wrong.extend(what.map(|what| format!("{of} of {:?}: {what}", arguments[0])));
        }
    }
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), commands.len(), wrong.join("\n"));
    let report = barwright(home, &["report", file]);
    let report = String::from_utf8_lossy(&report.stdout).into_owned();
    assert!(report.contains("STOP"), "the Stop stands: {report}");
}
