//! What the person set once and wants to find again; not part of any design.

use crate::files::{self, FileError};
use crate::views::design::edge::Edge;
use barwright_core::bench::label::Region;
use barwright_core::units::Measures;
use eframe::egui::ThemePreference;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// The preferences.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Preferences {
    /// Units in which numbers are shown and typed.
    pub measures: Measures,
    /// Where the bars are sold, which decides the paper and the names on a label to begin with.
    pub region: Region,
    /// Light, dark or as the system has it.
    pub theme: ThemePreference,
    /// Whether the hints for newcomers are shown.
    pub hints: bool,
    /// Who makes the batches, as it stands in their records.
    pub maker: String,
    /// Where the column of the blend ends in the Design view.
    pub edge: Edge,
    /// The folder whose designs the Shelf view shows, if one was chosen.
    #[serde(with = "crate::paths::option")]
    pub folder: Option<PathBuf>,
    /// Files opened or saved last, newest first.
    #[serde(with = "crate::paths::list")]
    pub recent: Vec<PathBuf>,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            measures: Measures::METRIC,
            region: Region::EuUk,
            theme: ThemePreference::System,
            hints: true,
            maker: String::new(),
            edge: Edge::default(),
            folder: None,
            recent: Vec::new(),
        }
    }
}

/// The longest file that is read, bytes.
const MOST_BYTES: usize = 1 << 20;
/// How many recent files are kept.
const MOST_RECENT: usize = 8;

impl Preferences {
    /// Reads the file at `path`; a missing or unreadable one gives the defaults. One that cannot be read is put aside,
    /// and the second value says where.
    pub fn load(path: &Path) -> (Self, Option<PathBuf>) {
        let mut preferences: Self = match files::read_whole(path, MOST_BYTES) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return (Self::default(), None),
            Ok(bytes) if let Ok(read) = ron::de::from_bytes(&bytes) => read,
            _ => return (Self::default(), Some(put_aside(path))),
        };
        preferences.recent.truncate(MOST_RECENT);
        (preferences, None)
    }

    /// Writes the file at `path`, making its folder.
    ///
    /// # Errors
    /// [`FileError`]
    pub fn save(&self, path: &Path) -> Result<(), FileError> {
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::new());
        let text = text.map_err(|error| FileError::Format(error.to_string()))?;
        files::write_own(path, text.as_bytes())
    }

    /// Puts `path` at the head of the recent files.
    pub fn remember(&mut self, path: &Path) {
        self.forget(path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(MOST_RECENT);
    }

    /// Takes `path` out of the recent files.
    pub fn forget(&mut self, path: &Path) {
        self.recent.retain(|p| p != path);
    }
}

/// Where the preferences live on this system; `None` if it names no home.
pub fn path() -> Option<PathBuf> {
    directories::ProjectDirs::from("dev", "Fernhollow", "Barwright")
        .map(|dirs| dirs.config_dir().join("preferences.ron"))
}

/// Where size and place of the window live; `None` if the system names no home.
pub fn window_path() -> Option<PathBuf> {
    let dirs = directories::ProjectDirs::from("dev", "Fernhollow", "Barwright")?;
    Some(dirs.state_dir().unwrap_or_else(|| dirs.data_local_dir()).join("window.ron"))
}

/// Puts the unreadable file at `path` aside, beside it; gives where it is then.
fn put_aside(path: &Path) -> PathBuf {
    let aside = path.with_added_extension("unreadable");
    files::put_aside(path, &aside).unwrap_or_else(|_| path.to_owned())
}

/// Makes sure that the toolkit can read what it kept of the window at `path`: it reads whatever is there to its end.
/// Gives where it is put if not.
pub fn check_window(path: &Path) -> Option<PathBuf> {
    match files::read_whole(path, MOST_BYTES) {
        Ok(_) => None,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => None,
        Err(_) => Some(put_aside(path)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn preferences_come_back_and_a_broken_file_gives_the_defaults() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("new").join("preferences.ron");
        let mut preferences =
            Preferences { measures: Measures::US, region: Region::Us, hints: false, ..Preferences::default() };
        for i in 0..10 {
            preferences.remember(Path::new(&format!("{i}.barwright")));
        }
        preferences.remember(Path::new("5.barwright"));
        preferences.save(&path).expect("it writes");
        let (read, aside) = Preferences::load(&path);
        assert_eq!((&read, aside), (&preferences, None));
        assert_eq!(read.recent.len(), MOST_RECENT);
        assert_eq!(read.recent[0], Path::new("5.barwright"));
        std::fs::write(&path, "(measures: Stone").expect("writes");
        let (read, aside) = Preferences::load(&path);
        assert_eq!(read, Preferences::default());
        let aside = std::fs::read_to_string(aside.expect("it is put aside")).expect("reads");
        assert_eq!(aside, "(measures: Stone");
        assert_eq!(Preferences::load(&path), (Preferences::default(), None), "told once");
    }

    #[cfg(unix)]
    #[test]
    fn a_file_whose_name_is_no_text_does_not_keep_preferences_from_being_saved() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("preferences.ron");
        let name = <std::ffi::OsStr as std::os::unix::ffi::OsStrExt>::from_bytes(b"/home/\xff.barwright");
        let mut preferences = Preferences { folder: Some("/home".into()), ..Preferences::default() };
        preferences.remember(Path::new(&name));
        preferences.save(&path).expect("it writes");
        assert_eq!(Preferences::load(&path), (preferences, None));
    }
}
