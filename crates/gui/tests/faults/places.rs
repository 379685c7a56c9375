//! Files and folders that are not as they should be.

use super::{library, number_at, save};
use barwright::files::{FileError, backup_path};
use barwright::safely::Watch;
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::Path;
use std::process::{Command, Output};

fn watch() -> Watch {
    Watch::default()
}

#[test]
fn a_name_is_saved_every_time_or_refused_the_first_time() {
    let library = library();
    let folder = tempfile::tempdir().expect("a temporary folder");
    // The longest name is 255 bytes (NAME_MAX, POSIX and Linux), and the backup takes four more.
    for length in 230..=255 {
        let name = format!("{}.barwright", "n".repeat(length - ".barwright".len()));
        let path = folder.path().join(name);
        let tries = [1, 2, 3].map(|number| save(&path, number, &library, &watch()).is_ok());
        assert_eq!(tries, [length <= 251; 3], "{length} bytes");
        assert_eq!(path.exists(), length <= 251, "{length} bytes");
    }
}

#[test]
fn a_read_only_file_stays_and_its_person_is_told() {
    let library = library();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("bar.barwright");
    save(&path, 1, &library, &watch()).expect("saved");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).expect("set");
    let error = save(&path, 2, &library, &watch()).expect_err("it is read-only");
    assert!(matches!(error, FileError::ReadOnly { .. }) && error.to_string().contains("is read-only"), "{error}");
    assert_eq!(number_at(&path, &library), Some(1));
    assert!(!backup_path(&path).exists(), "nor was a backup made");
}

#[test]
fn a_save_where_none_can_be_is_refused_and_makes_nothing() {
    let library = library();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let at = |name: &str| folder.path().join(name);
    symlink("round.barwright", at("round.barwright")).expect("linked");
    symlink("gone/bar.barwright", at("nowhere.barwright")).expect("linked");
    fs::create_dir(at("folder.barwright")).expect("made");
    let made = Command::new("mkfifo").arg(at("pipe.barwright")).status().expect("mkfifo");
    assert!(made.success(), "a pipe");
    symlink("/dev/zero", at("endless.barwright")).expect("linked");
    let before = fs::read_dir(folder.path()).expect("reads").count();
    for name in ["round", "nowhere", "folder", "pipe", "endless", "vanished/bar"] {
        let error = save(&at(&format!("{name}.barwright")), 1, &library, &watch()).expect_err(name);
        assert!(matches!(error, FileError::Write { .. }), "{name}: {error}");
    }
    assert_eq!(fs::read_dir(folder.path()).expect("reads").count(), before, "nothing is left behind");
}

/// Runs the program without a display where a file can have no more than `blocks` of 512 bytes (`ulimit -f`, POSIX): a
/// write fails in its middle, as on a full disk.
fn with_little_room(blocks: u32, arguments: &[&Path]) -> Output {
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
    let program = env!("CARGO_BIN_EXE_barwright");
    Command::new("sh").arg("-c").arg(script).arg(program).args(arguments).output().expect("it runs")
}

/// A table of this many lots, as the program writes one.
pub(super) fn table(lots: usize) -> String {
    let line = "sodium hydroxide,1000\n";
    format!("material,grams\n{}", line.repeat(lots))
}

#[test]
fn a_disk_without_room_keeps_the_old_shelf_and_the_old_sheet() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let at = |name: &str| folder.path().join(name);
    fs::write(at("one.csv"), table(1)).expect("writes");
    fs::write(at("many.csv"), table(900)).expect("writes");
    let import = |table: &str, blocks| {
        let [table, shelf] = [at(table), at("shelf")];
        with_little_room(blocks, &["shelf".as_ref(), "import".as_ref(), &table, "--folder".as_ref(), &shelf])
    };
    let first = import("one.csv", 10_000);
    assert!(first.status.success(), "{}", String::from_utf8_lossy(&first.stderr));
    let before = fs::read(at("shelf").join("shelf.ron")).expect("a shelf");
    let full = import("many.csv", 16);
    let said = String::from_utf8_lossy(&full.stderr);
    assert_eq!(full.status.code(), Some(2), "{said}");
    assert!(said.contains("Nothing there was changed") && said.lines().count() == 1, "{said}");
    assert_eq!(fs::read(at("shelf").join("shelf.ron")).expect("a shelf"), before);
    // A sheet is larger than that too.
    let design = at("bar.barwright");
    save(&design, 1, &library(), &watch()).expect("saved");
    fs::write(at("sheet.html"), "the sheet before").expect("writes");
    let full = with_little_room(4, &["sheet".as_ref(), &design, "-o".as_ref(), &at("sheet.html")]);
    assert_eq!(full.status.code(), Some(2), "{}", String::from_utf8_lossy(&full.stderr));
    assert_eq!(fs::read_to_string(at("sheet.html")).expect("reads"), "the sheet before");
    let device = with_little_room(10_000, &["sheet".as_ref(), &design, "-o".as_ref(), "/dev/full".as_ref()]);
    assert_eq!(device.status.code(), Some(2), "a device that is full");
    fs::set_permissions(at("sheet.html"), fs::Permissions::from_mode(0o444)).expect("set");
    let refused = with_little_room(10_000, &["sheet".as_ref(), &design, "-o".as_ref(), &at("sheet.html")]);
    let said = String::from_utf8_lossy(&refused.stderr);
    assert!(refused.status.code() == Some(2) && said.contains("read-only"), "{said}");
}
