//! What is shown: reports as text and JSON, the bench sheet, what one takes away.

pub mod card;
pub mod pages;
pub mod record;
pub mod report;
pub mod sheet;
pub mod shelf;

/// Whether `c` turns the direction of what follows it.
const fn turns(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{61c}')
}

/// `text` without what can steer a terminal or turn the direction of what follows.
fn plain(text: &str) -> String {
    text.chars().filter(|c| !turns(*c)).map(|c| if c.is_control() && c != '\n' { ' ' } else { c }).collect()
}

/// The same as a part of a line: nothing in it begins another.
pub fn plain_line(text: &str) -> String {
    let begins_a_line = |c: char| matches!(c, '\n' | '\u{2028}' | '\u{2029}');
    plain(text).chars().map(|c| if begins_a_line(c) { ' ' } else { c }).collect()
}
