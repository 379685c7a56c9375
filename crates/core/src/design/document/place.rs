//! Where in a file something stands, for errors that are found only after reading.

use super::DocumentError;

/// A piece of RON text as far as places need it, with the byte where it begins.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Token<'a> {
    Word(&'a str),
    Text(&'a str),
    Sign(char),
}

/// Splits RON into words, strings and signs; comments and space fall away.
struct Tokens<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Iterator for Tokens<'a> {
    type Item = (usize, Token<'a>);

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            let rest = &self.text[self.at..];
            let begin = self.at;
            let first = rest.chars().next()?;
            let until = |end: Option<usize>| end.unwrap_or(rest.len());
            if rest.starts_with("//") {
                self.at += until(rest.find('\n'));
            } else if rest.starts_with("/*") {
                self.at += until(rest.find("*/").map(|i| i + 2));
            } else if let Some((open, close)) = raw_string(rest) {
                let end = rest[open..].find(&close);
                let body = &rest[open..open + end.unwrap_or(rest.len() - open)];
                self.at += open + body.len() + end.map_or(0, |_| close.len());
                return Some((begin, Token::Text(body)));
            } else if first == '"' {
                let mut escaped = false;
                let end = rest[1..].find(|c| {
                    let closes = c == '"' && !escaped;
                    escaped = c == '\\' && !escaped;
                    closes
                });
                let body = &rest[1..=end.unwrap_or(rest.len() - 1)];
                self.at += 1 + body.len() + end.map_or(0, |_| 1);
                return Some((begin, Token::Text(body)));
            } else if first.is_alphanumeric() || first == '_' {
                let end = until(rest.find(|c: char| !(c.is_alphanumeric() || c == '_')));
                self.at += end;
                return Some((begin, Token::Word(&rest[..end])));
            } else {
                self.at += first.len_utf8();
                if !first.is_whitespace() {
                    return Some((begin, Token::Sign(first)));
                }
            }
        }
    }
}

/// Length of the opening of a raw string at the start of `rest`, and what closes it.
fn raw_string(rest: &str) -> Option<(usize, String)> {
    let after = rest.strip_prefix('r')?;
    let hashes = after.bytes().take_while(|b| *b == b'#').count();
    (after.as_bytes().get(hashes) == Some(&b'"')).then(|| (hashes + 2, format!("\"{}", "#".repeat(hashes))))
}

/// The place of byte `offset`, saying `message`.
fn at(text: &str, offset: usize, message: String) -> DocumentError {
    let before = &text[..offset];
    let line = 1 + before.matches('\n').count();
    let column = 1 + before.chars().rev().take_while(|c| *c != '\n').count();
    DocumentError::At { line, column, message }
}

/// The place of the first thing at or behind `position`, since the reader stops in front of the
/// space and the comments that lead to what it then cannot use.
pub(super) fn behind(text: &str, position: ron::error::Position, message: String) -> DocumentError {
    let line_start: usize = text.split_inclusive('\n').take(position.line - 1).map(str::len).sum();
    let in_line = text[line_start..].char_indices().nth(position.col - 1).map_or(text.len() - line_start, |(i, _)| i);
    let next = Tokens { text, at: line_start + in_line }.next().map_or(text.len(), |(i, _)| i);
    at(text, next, message)
}

/// The place of the string of the `nth` field (from 0) named `field` that holds `value`; the
/// start of the text if there is none, as when the value is written with escapes.
pub(super) fn of_field(text: &str, field: &str, value: &str, nth: usize, message: String) -> DocumentError {
    let tokens: Vec<_> = Tokens { text, at: 0 }.collect();
    let fields = tokens
        .windows(3)
        .filter(|w| w[0].1 == Token::Word(field) && w[1].1 == Token::Sign(':') && w[2].1 == Token::Text(value));
    at(text, fields.map(|w| w[2].0).nth(nth).unwrap_or(0), message)
}

/// The place of the first field named `field`.
pub(super) fn of_name(text: &str, field: &str, message: String) -> DocumentError {
    let tokens: Vec<_> = Tokens { text, at: 0 }.collect();
    let found = tokens.windows(2).find(|w| w[0].1 == Token::Word(field) && w[1].1 == Token::Sign(':'));
    at(text, found.map_or(0, |w| w[0].0), message)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strings_and_comments_do_not_pass_for_fields() {
        let text = "(name: \"fat: \\\"plum\\\"\", // fat: \"plum\"\n r#\"fat: \"plum\"\"#,\n fats: [(fat: \"plum\")])";
        let error = of_field(text, "fat", "plum", 0, "here".into());
        assert_eq!(error, DocumentError::At { line: 3, column: 15, message: "here".into() });
    }

    #[test]
    fn an_unfinished_text_ends_the_search() {
        for text in ["\"", "r#\"", "/*", "//", "\"\\", "r", "é\"é"] {
            let error = of_field(text, "fat", "plum", 0, String::new());
            assert_eq!(error, DocumentError::At { line: 1, column: 1, message: String::new() }, "{text:?}");
        }
    }
}
