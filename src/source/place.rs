//! Places: a file and a key path, turned into a line and column only when something is printed.

use std::fmt;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

/// A file of the book, by its position in the book's list of files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// One step down a TOML tree.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Into a table, by key.
    Key(Box<str>),
    /// Into an array, by position.
    Index(usize),
}

impl From<&str> for Step {
    fn from(key: &str) -> Self {
        Self::Key(key.into())
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Self {
        Self::Index(index)
    }
}

/// A route of keys and positions from a record's root, such as `zone[3].pad_mm`.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct KeyPath(pub Vec<Step>);

impl KeyPath {
    /// Reads a JSON pointer whose numbers are positions in arrays.
    pub fn from_pointer(pointer: &str) -> Self {
        let step = |part: &str| match part.parse() {
            Ok(index) => Step::Index(index),
            Err(_) => Step::from(part.replace("~1", "/").replace("~0", "~").as_str()),
        };
        Self(pointer.split('/').skip(1).map(step).collect())
    }

    /// Returns this path with one more step.
    #[must_use]
    pub fn then(&self, step: impl Into<Step>) -> Self {
        let mut longer = self.clone();
        longer.0.push(step.into());
        longer
    }

    /// Returns the table and position of the list item this path leads into: `("zone", 3)`.
    pub fn item(&self) -> Option<(&str, usize)> {
        match &self.0[..] {
            [Step::Key(table), Step::Index(index), ..] => Some((table, *index)),
            _ => None,
        }
    }
}

impl fmt::Display for KeyPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (position, step) in self.0.iter().enumerate() {
            match step {
                Step::Key(key) if position == 0 => write!(f, "{key}")?,
                Step::Key(key) => write!(f, ".{key}")?,
                Step::Index(index) => write!(f, "[{index}]")?,
            }
        }
        Ok(())
    }
}

/// Builds a [`KeyPath`] from keys and positions: `keys!["zone", 3, "pad_mm"]`.
macro_rules! keys {
    ($($step:expr),+ $(,)?) => {
        $crate::source::KeyPath(vec![$($crate::source::Step::from($step)),+])
    };
}
pub(crate) use keys;

/// What within a file is meant.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// The file as a whole.
    File,
    /// The bytes from one position to another: where the text is not TOML there are no keys to name.
    Bytes(usize, usize),
    /// The value at a key path.
    Value(KeyPath),
    /// The last key of a key path.
    Key(KeyPath),
}

/// A spot in a file: what a finding points at.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The file.
    pub file: FileId,
    /// What within it.
    pub spot: Spot,
}

/// Where a spot is in its text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Location {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Bytes, on character boundaries and within the text.
    pub bytes: Range<usize>,
}

/// Where the lines of a text begin, found once: a text may hold as many faults as it has lines.
pub(super) struct Lines(Vec<usize>);

impl Lines {
    /// Finds the lines of a text.
    pub(super) fn of(text: &str) -> Self {
        let after_ends = text.match_indices('\n').map(|(at, _)| at + 1);
        Self(std::iter::once(0).chain(after_ends).collect())
    }

    /// Returns the number, from 1, of the line that a byte is on.
    pub(super) fn number(&self, at: usize) -> usize {
        self.0.partition_point(|&start| start <= at)
    }
}

/// Turns spots of one text into locations, in order, parsing the text once.
///
/// A spot that is not there (an absent key, say) is located at the nearest thing above it.
pub fn locate<'a>(text: &str, spots: impl IntoIterator<Item = &'a Spot>) -> Vec<Location> {
    let (root, _) = DeTable::parse_recoverable(text);
    let lines = Lines::of(text);
    let locate_one = |spot: &Spot| {
        let bytes = match spot {
            Spot::File => 0..0,
            Spot::Bytes(start, end) => *start..*end,
            Spot::Value(path) => span(root.get_ref(), path, false),
            Spot::Key(path) => span(root.get_ref(), path, true),
        };
        at_bytes(text, &lines, bytes)
    };
    spots.into_iter().map(locate_one).collect()
}

/// Clamps a byte range to the text's characters and finds its line and column.
fn at_bytes(text: &str, lines: &Lines, bytes: Range<usize>) -> Location {
    let start = text.floor_char_boundary(bytes.start.min(text.len()));
    let end = text.ceil_char_boundary(bytes.end.clamp(start, text.len()));
    let line = lines.number(start);
    let column = text[lines.0[line - 1]..start].chars().count() + 1;
    Location {
        line,
        column,
        bytes: start..end,
    }
}

/// Returns the bytes of a key path's value, or of its last key, or of the nearest thing above.
fn span(root: &DeTable<'_>, path: &KeyPath, aim_at_key: bool) -> Range<usize> {
    let mut found = 0..0;
    let mut table = Some(root);
    let mut array = None;
    for step in &path.0 {
        let value = match step {
            Step::Key(key) => {
                let Some((key, value)) = table.and_then(|table| table.get_key_value(&**key)) else {
                    break;
                };
                found = if aim_at_key { key.span() } else { value.span() };
                value
            }
            Step::Index(index) => {
                let Some(value) = array.and_then(|array: &toml::de::DeArray<'_>| array.get(*index))
                else {
                    break;
                };
                found = value.span();
                value
            }
        };
        table = value.get_ref().as_table();
        array = match value.get_ref() {
            DeValue::Array(array) => Some(array),
            _ => None,
        };
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str =
        "schema = 1\n\n[[zone]]\nid = \"é\" \npad_mm = 2.0\n[[zone]]\npad_mm = 3.5\n";

    fn line_and_text(spot: &Spot) -> (usize, usize, &'static str) {
        let location = locate(TEXT, [spot]).remove(0);
        (location.line, location.column, &TEXT[location.bytes])
    }

    #[test]
    fn a_key_path_becomes_a_line_and_column() {
        assert_eq!(
            line_and_text(&Spot::Value(keys!["zone", 1, "pad_mm"])),
            (7, 10, "3.5"),
            "value"
        );
        assert_eq!(
            line_and_text(&Spot::Key(keys!["zone", 0, "pad_mm"])),
            (5, 1, "pad_mm"),
            "key"
        );
        assert_eq!(
            line_and_text(&Spot::Value(keys!["zone", 0, "id"])),
            (4, 6, "\"é\""),
            "text"
        );
    }

    #[test]
    fn an_absent_key_points_at_its_table() {
        let location = locate(TEXT, [&Spot::Value(keys!["zone", 1, "recess_mm"])]).remove(0);
        assert_eq!(location.line, 6, "the header of the second zone");
    }

    #[test]
    fn wild_bytes_are_clamped() {
        let location = locate(TEXT, [&Spot::Bytes(29, usize::MAX)]).remove(0);
        assert_eq!(location.bytes.end, TEXT.len(), "clamped to the text");
    }

    #[test]
    fn pointers_and_paths_print_alike() {
        let path = KeyPath::from_pointer("/zone/3/pad_mm");
        assert_eq!(path.to_string(), "zone[3].pad_mm", "dotted form");
        assert_eq!(path.item(), Some(("zone", 3)), "the list item");
    }
}
