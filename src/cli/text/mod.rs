//! Text for a terminal: made harmless, wrapped and set in columns.

pub(super) mod markdown;
mod table;

use std::fmt::Write as _;
use std::io::{self, Write};

use gapbook::book::Board;
use gapbook::source::is_hidden;
use serde::Serialize;
use unicode_width::UnicodeWidthChar as _;

pub(super) use table::Table;

use super::output::BOLD;

/// Stands for a character that does not show and has no picture.
const REPLACED: char = '\u{fffd}';

/// Returns a record's text as one line in which every character shows.
///
/// Control characters become their pictures, so that a record cannot drive the terminal; what turns
/// or hides the text around it is replaced.
pub(super) fn line(text: &str) -> String {
    let shown = |character: char| match character {
        '\n' | '\r' | '\t' => ' ',
        '\0'..' ' => char::from_u32(0x2400 + u32::from(character)).unwrap_or(REPLACED),
        '\u{7f}' => '\u{2421}',
        hidden if is_hidden(hidden) => REPLACED,
        shown => shown,
    };
    text.chars().map(shown).collect()
}

/// Returns text that the program has laid out, without anything that drives the terminal but colour.
pub(super) fn rendered(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(character) = rest.chars().next() {
        let length = match character {
            '\u{1b}' => colour_length(rest),
            _ => None,
        };
        let (taken, left) = rest.split_at(length.unwrap_or(character.len_utf8()));
        match length {
            None if is_hidden(character) => safe.push(REPLACED),
            _ => safe.push_str(taken),
        }
        rest = left;
    }
    safe
}

/// Returns the length of the colour sequence (ECMA-48, SGR) that a text begins with, if it does.
fn colour_length(text: &str) -> Option<usize> {
    let parameters = text.strip_prefix("\u{1b}[")?;
    let end = parameters.find(|character: char| !matches!(character, '0'..='9' | ';' | ':'))?;
    parameters[end..]
        .starts_with('m')
        .then_some("\u{1b}[".len() + end + 1)
}

/// Returns what a board's answer is headed with: its maker and model.
pub(super) fn heading(board: &Board) -> String {
    let head = &board.record.board;
    format!("{BOLD}{} {}{BOLD:#}", line(&head.maker), line(&head.model))
}

/// Writes a value as one line of JSON.
pub(super) fn write_json(out: &mut dyn Write, value: &impl Serialize) -> io::Result<()> {
    let written = serde_json::to_string(value).map_err(io::Error::other)?;
    writeln!(out, "{}", json(&written))
}

/// Returns JSON in which every character shows; what it says stays the same.
pub(super) fn json(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        if is_hidden(character) {
            // Outside its strings JSON has none, and in them each can be written by its number.
            for unit in character.encode_utf16(&mut [0; 2]) {
                write!(safe, "\\u{unit:04x}").expect("invariant: a string takes any text");
            }
        } else {
            safe.push(character);
        }
    }
    safe
}

/// Prints a heading.
pub(super) fn title(out: &mut dyn Write, text: &str) -> io::Result<()> {
    writeln!(out, "\n{BOLD}{text}{BOLD:#}")
}

/// Prints a list of sentences, each set in from the left.
pub(super) fn points(out: &mut dyn Write, sentences: &[String], width: usize) -> io::Result<()> {
    for sentence in sentences {
        let lines = wrap(&line(sentence), width.saturating_sub(4));
        for (index, line) in lines.iter().enumerate() {
            let mark = if index == 0 { "- " } else { "  " };
            writeln!(out, "  {mark}{line}")?;
        }
    }
    Ok(())
}

/// Returns how many columns a text takes.
pub(super) fn columns(text: &str) -> usize {
    text.chars()
        .map(|character| character.width().unwrap_or(0))
        .sum()
}

/// Breaks a text into lines of at most so many columns, at spaces where there are any.
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines = Vec::new();
    let mut current = String::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let gap = usize::from(!current.is_empty());
        if gap == 1 && columns(&current) + gap + columns(word) > width {
            lines.push(std::mem::take(&mut current));
        } else if gap == 1 {
            current.push(' ');
        }
        for character in word.chars() {
            if !current.is_empty() && columns(&current) + character.width().unwrap_or(0) > width {
                lines.push(std::mem::take(&mut current));
            }
            current.push(character);
        }
    }
    if !current.is_empty() || lines.is_empty() {
        lines.push(current);
    }
    lines
}

/// Returns a number of things in words: "1 board", "3 boards".
pub(super) fn count(number: usize, one: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} {one}{plural}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_cannot_drive_the_terminal() {
        assert_eq!(
            line("a\u{1b}[2Jb\nc\u{202e}"),
            "a\u{241b}[2Jb c\u{fffd}",
            "escape, line, turn"
        );
        assert_eq!(
            line("\u{9b}31m\u{7f}"),
            "\u{fffd}31m\u{2421}",
            "C1 and delete"
        );
    }

    #[test]
    fn only_colour_passes_in_laid_out_text() {
        let text = "\u{1b}[1;31mred\u{1b}[0m\n\u{1b}[2J\u{9b}x\u{1b}";
        let safe = "\u{1b}[1;31mred\u{1b}[0m\n\u{fffd}[2J\u{fffd}x\u{fffd}";
        assert_eq!(rendered(text), safe, "clearing the screen does not");
    }

    #[test]
    fn json_says_the_same_in_characters_that_show() {
        let written = serde_json::json!({ "a": "\u{9b}\u{e0001}ü" }).to_string();
        let safe = json(&written);
        assert_eq!(safe, r#"{"a":"\u009b\udb40\udc01ü"}"#, "by number");
        let (before, after): (serde_json::Value, serde_json::Value) = (
            serde_json::from_str(&written).unwrap(),
            serde_json::from_str(&safe).unwrap(),
        );
        assert_eq!(before, after, "the same value");
    }

    #[test]
    fn lines_break_at_spaces_and_long_words_anywhere() {
        assert_eq!(wrap("one two  three", 7), ["one two", "three"], "at spaces");
        assert_eq!(
            wrap("abcdefgh ij", 3),
            ["abc", "def", "gh", "ij"],
            "a long word"
        );
        assert_eq!(wrap("日本日本", 5), ["日本", "日本"], "wide characters");
        assert_eq!(wrap("", 5), [""], "an empty line is a line");
    }
}
