//! What the person set once and wants to find again; not part of any design.

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
    pub folder: Option<PathBuf>,
    /// Files opened or saved last, newest first.
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

/// How many recent files are kept.
const MOST_RECENT: usize = 8;

impl Preferences {
    /// Reads the file at `path`; a missing or unreadable one gives the defaults.
    pub fn load(path: &Path) -> Self {
        let read = std::fs::read_to_string(path).ok().and_then(|text| ron::from_str::<Self>(&text).ok());
        let mut preferences = read.unwrap_or_default();
        preferences.recent.truncate(MOST_RECENT);
        preferences
    }

    /// Writes the file at `path`, making its folder.
    ///
    /// # Errors
    /// From the system.
    pub fn save(&self, path: &Path) -> std::io::Result<()> {
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder)?;
        }
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::new()).map_err(std::io::Error::other)?;
        crate::files::write_safely(path, text.as_bytes())
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
        let read = Preferences::load(&path);
        assert_eq!(read, preferences);
        assert_eq!(read.recent.len(), MOST_RECENT);
        assert_eq!(read.recent[0], Path::new("5.barwright"));
        std::fs::write(&path, "(measures: Stone").expect("writes");
        assert_eq!(Preferences::load(&path), Preferences::default());
    }
}
