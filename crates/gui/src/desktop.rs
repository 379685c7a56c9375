//! The program in the menu of one person's Linux or BSD desktop: menu entry, icon, the kind of file that designs are.
//! A package of the system brings the same files for everybody.

use crate::APP_ID;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const ENTRY: &str = include_str!("../../../assets/dev.fernhollow.barwright.desktop");
const METAINFO: &[u8] = include_bytes!("../../../assets/dev.fernhollow.barwright.metainfo.xml");
const KIND_OF_FILE: &[u8] = include_bytes!("../../../assets/dev.fernhollow.barwright.mime.xml");
const DRAWN_ICON: &[u8] = include_bytes!("../../../assets/icon.svg");
const ICON: &[u8] = include_bytes!("../../../assets/icon.png");

/// What starts the program in the entry of a package, where it is found by its name.
const BY_NAME: &str = "Exec=barwright %F\n";

/// Why the program could not be put into the menu, or taken out of it.
#[derive(Debug, thiserror::Error)]
pub enum DesktopError {
    /// The system has other menus.
    #[error("menu entries of this kind are those of Linux and BSD desktops; this system has its own")]
    OtherSystem,
    /// The system did not tell where the person's data lie.
    #[error("the folder for the data of programs is not known; set HOME")]
    NoFolder,
    /// The system did not tell where the program lies.
    #[error("where this program lies is not known: {0}")]
    NoProgram(std::io::Error),
    /// A menu entry cannot name the program.
    #[error("a menu entry cannot name {path}: its name has {sign}; move the program elsewhere", path = path.display())]
    Unnameable {
        /// The program.
        path: PathBuf,
        /// What a menu entry cannot have.
        sign: &'static str,
    },
    /// A file could not be written or removed.
    #[error("{path} could not be changed: {error}", path = path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        error: std::io::Error,
    },
}

/// The person's folder for the data of programs, where desktops look for menu entries (XDG Base Directory).
///
/// # Errors
/// [`DesktopError::OtherSystem`] or [`DesktopError::NoFolder`].
pub fn data_folder() -> Result<PathBuf, DesktopError> {
    if !cfg!(all(unix, not(target_os = "macos"))) {
        return Err(DesktopError::OtherSystem);
    }
    directories::BaseDirs::new().map(|dirs| dirs.data_dir().into()).ok_or(DesktopError::NoFolder)
}

/// Where each file goes, below the folder of data.
fn places(data: &Path) -> [PathBuf; 5] {
    [
        data.join("applications").join(format!("{APP_ID}.desktop")),
        data.join("metainfo").join(format!("{APP_ID}.metainfo.xml")),
        data.join("mime/packages").join(format!("{APP_ID}.xml")),
        data.join("icons/hicolor/scalable/apps").join(format!("{APP_ID}.svg")),
        data.join("icons/hicolor/256x256/apps").join(format!("{APP_ID}.png")),
    ]
}

/// Writes menu entry, icon and kind of file below `data`, so that the menu starts `program`; gives what was written.
///
/// # Errors
/// [`DesktopError::Unnameable`], before anything was written, or [`DesktopError::File`].
pub fn install(data: &Path, program: &Path) -> Result<Vec<PathBuf>, DesktopError> {
    let entry = entry(program)?;
    let contents = [entry.as_bytes(), METAINFO, KIND_OF_FILE, DRAWN_ICON, ICON];
    let places = places(data);
    for (path, content) in places.iter().zip(contents) {
        let folder = path.parent().unwrap_or(data);
        let written = std::fs::create_dir_all(folder).and_then(|()| std::fs::write(path, content));
        written.map_err(|error| DesktopError::File { path: path.clone(), error })?;
    }
    Ok(places.into())
}

/// Removes what [`install`] wrote below `data`; gives what was there.
///
/// # Errors
/// [`DesktopError::File`].
pub fn remove(data: &Path) -> Result<Vec<PathBuf>, DesktopError> {
    let mut removed = Vec::new();
    for path in places(data) {
        match std::fs::remove_file(&path) {
            Ok(()) => removed.push(path),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {}
            Err(error) => return Err(DesktopError::File { path, error }),
        }
    }
    Ok(removed)
}

/// Tells the desktop that the files below `data` changed; gives the tools that are not there or failed.
pub fn refresh(data: &Path) -> Vec<&'static str> {
    let tools = [("update-mime-database", "mime"), ("update-desktop-database", "applications")];
    let failed = tools.iter().filter(|(tool, folder)| {
        let folder = data.join(folder);
        // Without a folder there is nothing to tell.
        let run = || Command::new(tool).arg(&folder).stdout(Stdio::null()).stderr(Stdio::null()).status();
        folder.is_dir() && !run().is_ok_and(|status| status.success())
    });
    failed.map(|(tool, _)| *tool).collect()
}

/// The menu entry that starts `program`.
fn entry(program: &Path) -> Result<String, DesktopError> {
    let unnameable = |sign| DesktopError::Unnameable { path: program.into(), sign };
    let name = program.to_str().ok_or_else(|| unnameable("letters that are no text"))?;
    // The specification forbids the one; of the other, GLib looks for a program that has it twice, as it is written.
    if name.contains(['=', '%']) {
        return Err(unnameable("a sign = or %"));
    }
    if name.chars().any(char::is_control) {
        return Err(unnameable("a sign that cannot be seen"));
    }
    Ok(ENTRY.replace(BY_NAME, &format!("TryExec={}\nExec={} %F\n", escaped(name), escaped(&quoted(name)))))
}

/// `argument` as one argument of a command line in a menu entry (Desktop Entry Specification 1.5, the key Exec).
fn quoted(argument: &str) -> String {
    let mut quoted = String::from("\"");
    for sign in argument.chars() {
        match sign {
            '"' | '`' | '$' | '\\' => quoted.extend(['\\', sign]),
            _ => quoted.push(sign),
        }
    }
    quoted.push('"');
    quoted
}

/// `text` as a value of a menu entry (Desktop Entry Specification 1.5, values of type string).
fn escaped(text: &str) -> String {
    text.replace('\\', r"\\")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(program: &str) -> (String, String) {
        let entry = entry(Path::new(program)).expect("it can be named");
        let line = |key: &str| entry.lines().find_map(|line| line.strip_prefix(key)).expect("it is there").to_owned();
        (line("TryExec="), line("Exec="))
    }

    #[test]
    fn a_menu_entry_names_the_program_as_the_specification_has_it() {
        // Desktop Entry Specification 1.5: in quotes, a backslash before ` " $ \, which is doubled in a string.
        let plain = lines("/opt/soap/barwright");
        assert_eq!(plain, ("/opt/soap/barwright".into(), r#""/opt/soap/barwright" %F"#.into()));
        let odd = lines(r#"/o p/$a`b"c\d/barwright"#);
        assert_eq!(odd.0, r#"/o p/$a`b"c\\d/barwright"#);
        assert_eq!(odd.1, r#""/o p/\\$a\\`b\\"c\\\\d/barwright" %F"#);
        for name in ["/a=b/barwright", "/50%/barwright", "/a\nb/barwright"] {
            let refused = entry(Path::new(name));
            assert!(matches!(refused, Err(DesktopError::Unnameable { .. })), "{name:?}: {refused:?}");
        }
    }

    #[test]
    fn what_is_installed_is_removed_and_nothing_else() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let other = folder.path().join("applications/other.desktop");
        std::fs::create_dir_all(other.parent().expect("a folder")).expect("it is made");
        std::fs::write(&other, "other").expect("writes");
        let written = install(folder.path(), Path::new("/opt/barwright")).expect("installs");
        assert!(written.iter().all(|path| path.is_file()), "{written:?}");
        assert_eq!(install(folder.path(), Path::new("/opt/barwright")).expect("again"), written);
        assert_eq!(remove(folder.path()).expect("removes"), written);
        assert_eq!(remove(folder.path()).expect("again"), Vec::<PathBuf>::new());
        assert!(other.is_file() && !written.iter().any(|path| path.exists()), "only ours");
    }
}
