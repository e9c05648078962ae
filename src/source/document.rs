//! One file's text, parsed once: a typed record for those who compute, faults for those who read.

use std::num::{IntErrorKind, ParseIntError};
use std::ops::Range;

use serde::de::DeserializeOwned;
use serde_json::Value;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::bracket::{Unclosed, as_written, close, unclosed};
use super::check::shortened;
use super::place::Lines;
use super::{Fault, FaultKind, KeyPath, Spot, Validator, Wanted, keys};

/// What stands in a skeleton for a value that somebody is to fill in. It is no TOML, so that it cannot be
/// taken for one.
pub const TO_FILL_IN: char = '…';

/// Deepest nesting of values that is looked at; the parser itself stops near eighty.
const DEEPEST: usize = 64;

/// Most faults kept for one file: beyond that, one more says nothing new.
const MOST_FAULTS: usize = 20;

/// What one file says.
#[derive(Debug)]
pub struct Document<T> {
    /// The record, unless the text cannot be read as one.
    pub record: Option<T>,
    /// What is wrong with the text.
    pub faults: Vec<Fault>,
}

/// Parses a text as TOML, checks it against a schema, and reads a record from it.
///
/// Every syntax error is a fault; a text with one is not looked at further, since what the parser
/// recovered is a guess.
pub fn parse<T: DeserializeOwned>(text: &str, version: u32, validator: &Validator) -> Document<T> {
    let mut hidden = hidden_faults(text);
    let (root, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        let syntax = syntax_faults(text, slips(text, &errors), &hidden);
        hidden.extend(syntax);
        return Document {
            record: None,
            faults: hidden,
        };
    }
    let mut reading = Reading {
        text,
        validator,
        faults: hidden,
    };
    let json = reading.table(root.get_ref(), &KeyPath::default(), 0);
    let mut faults = reading.faults;
    match json.get("schema") {
        Some(Value::Number(written)) if written.as_u64() != Some(u64::from(version)) => {
            let kind = FaultKind::UnknownVersion(written.to_string());
            // Another version has other keys; to judge them by this one would mislead.
            faults.push(Fault::at_value(keys!["schema"], kind));
        }
        _ => {
            let known = faults.iter().filter(|fault| fault.blocks());
            let known: Vec<&Spot> = known.take(MOST_FAULTS).map(|fault| &fault.spot).collect();
            let is_new = |fault: &Fault| !known.contains(&&fault.spot);
            let more: Vec<Fault> = validator.faults(&json).into_iter().filter(is_new).collect();
            faults.extend(more);
        }
    }
    let record = if faults.iter().any(Fault::blocks) {
        None
    } else {
        match T::deserialize(toml::Deserializer::from(root)) {
            Ok(record) => Some(record),
            Err(error) => {
                let kind = FaultKind::Refused(error.message().to_owned());
                faults.push(Fault {
                    spot: spot_of(&error),
                    kind,
                });
                None
            }
        }
    };
    faults.truncate(MOST_FAULTS);
    Document { record, faults }
}

/// Finds the characters that do not show, one a line, wherever they stand: comments too.
fn hidden_faults(text: &str) -> Vec<Fault> {
    let written = text.char_indices();
    let mut found: Vec<(usize, char)> = written
        .filter(|&(at, character)| is_hidden(character) && !is_mark_of_order(at, character))
        .take(MOST_FAULTS)
        .collect();
    if found.is_empty() {
        return Vec::new();
    }
    let lines = Lines::of(text);
    found.dedup_by_key(|&mut (at, _)| lines.number(at));
    let fault = |(at, character): (usize, char)| Fault {
        spot: Spot::Bytes(at, at + character.len_utf8()),
        kind: FaultKind::Hidden(character),
    };
    found.into_iter().map(fault).collect()
}

/// Tells whether a character is the byte order mark that some editors put before a text: TOML
/// passes over it.
fn is_mark_of_order(at: usize, character: char) -> bool {
    at == 0 && character == '\u{feff}'
}

/// Something that a parser tripped on.
struct Slip {
    bytes: Range<usize>,
    kind: FaultKind,
}

/// Returns what is wrong with a text that is not TOML.
///
/// After a bracket that is never closed every line is an error to the parser: then only the bracket is
/// told, with the errors that are left when it is closed.
fn slips(text: &str, errors: &[toml::de::Error]) -> Vec<Slip> {
    let unclosed = unclosed(text);
    let closed = close(text, &unclosed);
    let left = if unclosed.is_empty() {
        Vec::new()
    } else {
        DeTable::parse_recoverable(&closed).1
    };
    // What looks like a missing bracket may be something else: then closing it does not help.
    if unclosed.is_empty() || unclosed.len() + left.len() > errors.len() {
        return errors.iter().map(|error| slip(text, error, &[])).collect();
    }
    let of_brackets = unclosed.iter().map(|one| Slip {
        bytes: one.at..one.at + 1,
        kind: FaultKind::Unclosed(one.bracket),
    });
    of_brackets
        .chain(left.iter().map(|error| slip(text, error, &unclosed)))
        .collect()
}

/// Returns where a text with these brackets unclosed has an error of the closed one.
fn slip(text: &str, error: &toml::de::Error, unclosed: &[Unclosed]) -> Slip {
    let span = error.span().unwrap_or(0..0);
    let bytes = as_written(span.start, unclosed)..as_written(span.end, unclosed);
    let is_open = text
        .get(bytes.clone())
        .is_some_and(|at| at.trim() == TO_FILL_IN.encode_utf8(&mut [0; 4]));
    let why = if is_open {
        format!("`{TO_FILL_IN}` stands for a value that nobody has filled in")
    } else {
        error.message().to_owned()
    };
    Slip {
        bytes,
        kind: FaultKind::Syntax(why),
    }
}

/// Turns slips into faults, one a line: one slip otherwise gives several.
///
/// A line with a hidden character is passed over: that is what the parser tripped on.
fn syntax_faults(text: &str, mut slips: Vec<Slip>, hidden: &[Fault]) -> Vec<Fault> {
    let lines = Lines::of(text);
    let line = |at: usize| lines.number(at);
    let tripped: Vec<usize> = hidden
        .iter()
        .filter_map(|fault| match fault.spot {
            Spot::Bytes(at, _) => Some(line(at)),
            _ => None,
        })
        .collect();
    slips.sort_by_key(|slip| slip.bytes.start);
    slips.dedup_by_key(|slip| line(slip.bytes.start));
    slips
        .into_iter()
        .filter(|slip| !tripped.contains(&line(slip.bytes.start)))
        .take(MOST_FAULTS)
        .map(|slip| Fault {
            spot: Spot::Bytes(slip.bytes.start, slip.bytes.end),
            kind: slip.kind,
        })
        .collect()
}

fn spot_of(error: &toml::de::Error) -> Spot {
    error
        .span()
        .map_or(Spot::File, |span| Spot::Bytes(span.start, span.end))
}

/// Turns the TOML tree into JSON for the schema, noting what JSON cannot carry.
struct Reading<'a> {
    text: &'a str,
    validator: &'a Validator,
    faults: Vec<Fault>,
}

impl Reading<'_> {
    fn table(&mut self, table: &DeTable<'_>, path: &KeyPath, depth: usize) -> Value {
        let entry = |(key, value): (&Spanned<_>, &Spanned<DeValue<'_>>)| {
            let name: &std::borrow::Cow<'_, str> = key.get_ref();
            let path = path.then(&**name);
            self.escaped(name, key.span(), Spot::Key(path.clone()));
            (name.to_string(), self.value(value, &path, depth + 1))
        };
        Value::Object(table.iter().map(entry).collect())
    }

    fn value(&mut self, value: &Spanned<DeValue<'_>>, path: &KeyPath, depth: usize) -> Value {
        if depth > DEEPEST {
            let kind = FaultKind::Refused(format!("values are nested more than {DEEPEST} deep"));
            self.faults.push(Fault::at_value(path.clone(), kind));
            return Value::Null;
        }
        match value.get_ref() {
            DeValue::String(text) => {
                self.escaped(text, value.span(), Spot::Value(path.clone()));
                let written = Value::String(text.to_string());
                if self.validator.wanted_type(path) == Some("day") {
                    self.mistaken(shortened(&written), "day", path);
                }
                written
            }
            DeValue::Integer(number) => {
                match i64::from_str_radix(number.as_str(), number.radix()) {
                    Ok(number) => number.into(),
                    Err(error) if is_overflow(&error) => self.not_finite(number.as_str(), path),
                    // The parser leaves a number without digits, such as `0x`, for later.
                    Err(_) => self.no_number(value.span()),
                }
            }
            DeValue::Float(number) => {
                match number.as_str().parse().map(serde_json::Number::from_f64) {
                    Ok(Some(number)) => Value::Number(number),
                    Ok(None) => self.not_finite(number.as_str(), path),
                    Err(_) => self.no_number(value.span()),
                }
            }
            DeValue::Boolean(truth) => Value::Bool(*truth),
            DeValue::Datetime(datetime) => {
                match self.validator.wanted_type(path) {
                    Some("day") | None => {}
                    Some(wanted) => self.mistaken(datetime.to_string(), wanted, path),
                }
                Value::String(datetime.to_string())
            }
            DeValue::Array(items) => {
                let mut item = |(index, item): (usize, &Spanned<DeValue<'_>>)| {
                    self.value(item, &path.then(index), depth + 1)
                };
                Value::Array(items.iter().enumerate().map(&mut item).collect())
            }
            DeValue::Table(table) => self.table(table, path, depth),
        }
    }

    /// Notes a text where a day belongs, or a day elsewhere: JSON cannot tell the two apart.
    fn mistaken(&mut self, found: String, wanted: &str, path: &KeyPath) {
        let wanted = Wanted::Type(vec![wanted.to_owned()]);
        let kind = FaultKind::Unfit { found, wanted };
        self.faults.push(Fault::at_value(path.clone(), kind));
    }

    fn not_finite(&mut self, written: &str, path: &KeyPath) -> Value {
        let kind = FaultKind::NotFinite(written.to_owned());
        self.faults.push(Fault::at_value(path.clone(), kind));
        Value::Null
    }

    fn no_number(&mut self, span: Range<usize>) -> Value {
        self.faults.push(Fault {
            spot: Spot::Bytes(span.start, span.end),
            kind: FaultKind::Syntax("invalid number".to_owned()),
        });
        Value::Null
    }

    /// Looks for a hidden character that a text spells as an escape: a plain one is found already.
    fn escaped(&mut self, meaning: &str, span: Range<usize>, spot: Spot) {
        let written = &self.text[span];
        let hidden = meaning
            .chars()
            .find(|&character| is_hidden(character) && !written.contains(character));
        if let Some(hidden) = hidden {
            let kind = FaultKind::Hidden(hidden);
            self.faults.push(Fault { spot, kind });
        }
    }
}

/// Tells whether a number was one, but beyond the 64 bits of a whole one.
fn is_overflow(error: &ParseIntError) -> bool {
    matches!(
        error.kind(),
        IntErrorKind::PosOverflow | IntErrorKind::NegOverflow
    )
}

/// Tells whether a character does not show, or turns the direction of the text around it.
///
/// Controls other than line ends and tabs (Unicode general category Cc), and the zero-width,
/// bidirectional and invisible formatting characters of Unicode Standard Annex #9 and of
/// categories Cf and Zl, Zp.
pub fn is_hidden(character: char) -> bool {
    (character.is_control() && !matches!(character, '\n' | '\r' | '\t'))
        || matches!(
            character,
            '\u{ad}'
                | '\u{61c}'
                | '\u{180e}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{e0000}'..='\u{e007f}'
        )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_characters_are_found_in_comments_and_once_a_line() {
        let text = "\u{feff}a = 1 # \u{202e}\u{202e}\nb = \"\u{200b}\"\n";
        let found: Vec<_> = hidden_faults(text)
            .into_iter()
            .map(|one| one.kind)
            .collect();
        let expected = [FaultKind::Hidden('\u{202e}'), FaultKind::Hidden('\u{200b}')];
        assert_eq!(found, expected, "the mark of byte order is passed over");
    }

    /// Returns the line and the kind of every syntax fault of a text.
    fn syntax(text: &str) -> Vec<(usize, FaultKind)> {
        let (_, errors) = DeTable::parse_recoverable(text);
        syntax_faults(text, slips(text, &errors), &[])
            .into_iter()
            .map(|fault| match fault.spot {
                Spot::Bytes(at, _) => (Lines::of(text).number(at), fault.kind),
                other => panic!("no bytes: {other:?}"),
            })
            .collect()
    }

    #[test]
    fn an_unclosed_bracket_is_one_fault() {
        let below =
            "height_mm = 2.4\nheat_w = 3.0\n\n[[zone]]\nid = \"x\"\npad_mm = 2.0\n".repeat(9);
        for (text, line, bracket) in [
            ("at = [\n  [129.0, 46.0,\n  [140.0, 46.0],\n]\n", 2, '['),
            ("at = [\n  [129.0, 46.0\n  [140.0, 46.0],\n]\n", 2, '['),
            ("at = [\n  [129.0, 46.0],\n  [140.0, 46.0],\n\n", 1, '['),
            ("seats = { on = \"die\"\nmass_g = 2.0\n", 1, '{'),
        ] {
            let found = syntax(&format!("{text}{below}"));
            let expected = [(line, FaultKind::Unclosed(bracket))];
            assert_eq!(found, expected, "{text}");
        }
    }

    #[test]
    fn what_is_still_to_be_filled_in_is_told_as_such() {
        let told = "`…` stands for a value that nobody has filled in";
        for text in ["a = …\n", "a = […] # mm\n"] {
            let found = syntax(text);
            let kinds: Vec<&FaultKind> = found.iter().map(|(_, kind)| kind).collect();
            let is_told = matches!(kinds[..], [FaultKind::Syntax(why)] if why == told);
            assert!(is_told, "{text}: {found:?}");
        }
    }

    #[test]
    fn independent_errors_are_all_told() {
        let text = "a = 1 2\nat = [\n  [1.0, 2.0,\n  [3.0, 4.x],\n]\nb = = 3\nc = [5\n\
                    [[d]]\ne = yes\nf = \"g\n";
        let lines: Vec<usize> = syntax(text).into_iter().map(|(line, _)| line).collect();
        assert_eq!(lines, [1, 3, 4, 6, 7, 9, 10], "each on its line");
    }

    #[test]
    fn ordinary_text_is_not_hidden() {
        assert!(
            !"Größe 2,0 mm — 日本 \t\n".chars().any(is_hidden),
            "shown characters"
        );
        assert!(
            ['\u{202e}', '\u{200b}', '\u{0}', '\u{feff}']
                .into_iter()
                .all(is_hidden),
            "not shown"
        );
    }
}
