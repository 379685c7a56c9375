//! The window, the files and the commands of Barwright. No chemistry lives here: numbers come
//! from `barwright_core` and are only placed on the screen.

pub mod app;
pub mod cache;
pub mod cli;
pub mod clock;
pub mod command;
pub mod desktop;
pub mod errands;
pub mod evaluated;
pub mod examples;
pub mod files;
pub mod folder;
pub mod jobs;
pub mod keyboard;
pub mod lock;
pub mod open;
pub mod paths;
pub mod pictures;
pub mod preferences;
pub mod recovery;
pub mod safely;
pub mod shelf;
pub mod theme;
pub mod views;
pub mod widgets;

/// Reverse-DNS name of the program: window class, desktop file, folders.
pub const APP_ID: &str = "dev.fernhollow.barwright";
