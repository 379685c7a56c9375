//! What is shown: reports as text and JSON, the bench sheet, what one takes away.

pub mod card;
pub mod pages;
pub mod record;
pub mod report;
pub mod sheet;
pub mod shelf;

/// `text` without what can steer a terminal or turn the direction of what follows.
fn plain(text: &str) -> String {
    let turns = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}');
    text.chars().filter(|c| !turns(*c)).map(|c| if c.is_control() && c != '\n' { ' ' } else { c }).collect()
}
