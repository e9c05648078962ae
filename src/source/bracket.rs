//! Brackets that are never closed: where they open, and where they were meant to close.
//!
//! A TOML parser takes everything after such a bracket for its contents, and complains about each
//! line of it. Here the text is read for its brackets alone, and statements are known by their looks,
//! so that the parser can be asked again about the text as it was meant.

/// Deepest nesting of brackets that is followed; records nest four deep.
const DEEPEST: usize = 64;

/// Most unclosed brackets of one text that are looked for.
const MOST: usize = 20;

/// A bracket that is never closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Unclosed {
    /// The byte where it opens.
    pub(super) at: usize,
    /// The bracket itself.
    pub(super) bracket: char,
    /// The byte before which it should have been closed.
    end: usize,
    /// What is missing there: the other bracket, and a comma where the list goes on without one.
    missing: &'static str,
}

/// Finds the brackets of a text that are never closed, in the order of where that is noticed.
///
/// A list is over where a statement begins, where another bracket closes round it, and, since no list
/// of a record mixes the two, where a list begins after a plain value.
pub(super) fn unclosed(text: &str) -> Vec<Unclosed> {
    let mut scan = Scan {
        text,
        at: 0,
        open: Vec::new(),
        last: 0,
        comma: None,
        found: Vec::new(),
    };
    scan.run();
    scan.found.sort_by_key(|one| one.end);
    scan.found
}

/// Returns a text with its unclosed brackets closed.
pub(super) fn close(text: &str, unclosed: &[Unclosed]) -> String {
    let mut closed = String::with_capacity(text.len() + 2 * unclosed.len());
    let mut from = 0;
    for one in unclosed {
        closed.push_str(&text[from..one.end]);
        closed.push_str(one.missing);
        from = one.end;
    }
    closed.push_str(&text[from..]);
    closed
}

/// Returns where a byte of the closed text is in the text as written.
pub(super) fn as_written(at: usize, unclosed: &[Unclosed]) -> usize {
    let mut added = 0;
    for one in unclosed {
        if one.end + added >= at {
            break;
        }
        added += one.missing.len().min(at - one.end - added);
    }
    at - added
}

/// A bracket whose other one has not come yet.
struct Open {
    at: usize,
    bracket: u8,
    /// Whether a plain value, or a key, stands in it.
    has_plain: bool,
    /// Whether something follows it on its line.
    is_inline: bool,
    /// A list within it that began on a line of values and was closed by a bracket alone on another
    /// line: if one bracket is missing in the end, it is that list's.
    suspect: Option<Unclosed>,
}

impl Open {
    fn unclosed(&self, end: usize, missing: &'static str) -> Unclosed {
        Unclosed {
            at: self.at,
            bracket: char::from(self.bracket),
            end,
            missing,
        }
    }
}

struct Scan<'a> {
    text: &'a str,
    at: usize,
    open: Vec<Open>,
    /// The end of the last value.
    last: usize,
    /// The end of the comma after it, where there is one.
    comma: Option<usize>,
    found: Vec<Unclosed>,
}

impl Scan<'_> {
    fn run(&mut self) {
        let mut at_line_start = true;
        while let Some(&byte) = self.text.as_bytes().get(self.at) {
            if self.found.len() >= MOST || self.open.len() > DEEPEST {
                return;
            }
            let begins_line = at_line_start;
            at_line_start = byte == b'\n' || (begins_line && matches!(byte, b' ' | b'\t' | b'\r'));
            match byte {
                b' ' | b'\t' | b'\r' | b'\n' => self.at += 1,
                b'#' => self.skip_line(),
                _ if begins_line && self.begins_statement() => {
                    self.give_up();
                    let is_heading = byte == b'[';
                    if is_heading {
                        self.skip_line();
                    } else {
                        self.take(1);
                    }
                }
                b'"' | b'\'' => self.take(string_length(&self.text[self.at..])),
                b'[' | b'{' => self.open(byte),
                b']' | b'}' => self.close(byte, begins_line),
                b',' => {
                    self.at += 1;
                    self.comma = Some(self.at);
                }
                _ => self.take(1),
            }
        }
        self.give_up();
    }

    fn skip_line(&mut self) {
        let rest = &self.text[self.at..];
        self.at += rest.find('\n').unwrap_or(rest.len());
    }

    /// Passes over part of a plain value, or of a key.
    fn take(&mut self, length: usize) {
        if let Some(open) = self.open.last_mut() {
            open.has_plain = true;
        }
        self.at += length;
        (self.last, self.comma) = (self.at, None);
    }

    fn open(&mut self, bracket: u8) {
        let ends_list = |open: &mut Open| open.bracket == b'[' && open.has_plain;
        if let Some(list) = self.open.pop_if(ends_list) {
            let missing = if self.comma.is_some() { "]" } else { "]," };
            self.found.push(list.unclosed(self.last, missing));
        }
        let rest = self.text[self.at + 1..].trim_start_matches([' ', '\t']);
        self.open.push(Open {
            at: self.at,
            bracket,
            has_plain: false,
            is_inline: !rest.starts_with(['\r', '\n', '#']),
            suspect: None,
        });
        self.at += 1;
        (self.last, self.comma) = (self.at, None);
    }

    fn close(&mut self, closing: u8, begins_line: bool) {
        let own = if closing == b']' { b'[' } else { b'{' };
        if let Some(depth) = self.open.iter().rposition(|open| open.bracket == own) {
            while self.open.len() > depth + 1 {
                self.give_up_innermost();
            }
            let closed = self.open.pop().expect("invariant: one was found");
            let within = self.open.last_mut().filter(|outer| outer.bracket == b'[');
            if let Some(outer) = within
                && begins_line
                && closed.is_inline
            {
                let end = self.comma.unwrap_or(self.last);
                outer.suspect = Some(closed.unclosed(end, closing_of(closed.bracket)));
            }
        }
        self.at += 1;
        (self.last, self.comma) = (self.at, None);
    }

    /// Takes every open bracket for one that is never closed.
    fn give_up(&mut self) {
        while !self.open.is_empty() {
            self.give_up_innermost();
        }
    }

    fn give_up_innermost(&mut self) {
        if let Some(mut open) = self.open.pop() {
            let end = self.comma.unwrap_or(self.last);
            let own = open.unclosed(end, closing_of(open.bracket));
            self.found.push(open.suspect.take().unwrap_or(own));
        }
    }

    /// Tells whether this line begins with what can only be a statement: a heading or a key.
    fn begins_statement(&self) -> bool {
        let line = self.text[self.at..].lines().next().unwrap_or_default();
        if is_heading(line) {
            return true;
        }
        let may_go_on = |open: &Open| {
            open.bracket == b'{' && (self.comma.is_some() || self.last == open.at + 1)
        };
        is_assignment(line) && !self.open.last().is_some_and(may_go_on)
    }
}

fn closing_of(bracket: u8) -> &'static str {
    if bracket == b'[' { "]" } else { "}" }
}

fn is_of_key(letter: char) -> bool {
    letter.is_ascii_alphanumeric() || matches!(letter, '_' | '-' | '.')
}

/// Tells whether a line is a heading, such as `[[zone]]`, and not a list within a list.
fn is_heading(line: &str) -> bool {
    let inner = line.strip_prefix('[').unwrap_or("");
    let inner = inner.strip_prefix('[').unwrap_or(inner).trim_start();
    let key = &inner[..inner
        .find(|letter| !is_of_key(letter))
        .unwrap_or(inner.len())];
    let after = inner[key.len()..].trim_start();
    let is_value = matches!(key, "true" | "false" | "inf" | "nan");
    let ends = after.is_empty() || after.starts_with([']', '#']);
    key.starts_with(|first: char| first.is_ascii_alphabetic()) && !is_value && ends
}

/// Tells whether a line gives a key its value.
fn is_assignment(line: &str) -> bool {
    let after = line.trim_start_matches(is_of_key);
    after.len() < line.len() && after.trim_start().starts_with('=')
}

/// Returns how long the string is that a text begins with; one that is not closed ends with its line,
/// or with the text.
fn string_length(text: &str) -> usize {
    let quote = &text[..1];
    let long = &quote.repeat(3);
    if let Some(inner) = text.strip_prefix(long.as_str()) {
        let end = if quote == "\"" {
            unescaped(inner, long)
        } else {
            inner.find(long.as_str())
        };
        return end.map_or(text.len(), |end| end + 2 * long.len());
    }
    let line = text[1..].lines().next().unwrap_or_default();
    let end = if quote == "\"" {
        unescaped(line, quote)
    } else {
        line.find(quote)
    };
    end.map_or(1 + line.len(), |end| end + 2)
}

/// Returns where a quote stands that no backslash makes a plain character.
fn unescaped(text: &str, quote: &str) -> Option<usize> {
    let mut from = 0;
    loop {
        let next = from + text[from..].find(['\\', '"'])?;
        if text[next..].starts_with(quote) {
            return Some(next);
        }
        let is_escape = text[next..].starts_with('\\');
        let passed = text[next..].chars().take(if is_escape { 2 } else { 1 });
        from = next + passed.map(char::len_utf8).sum::<usize>();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns the line and what follows each unclosed bracket of a text, and the text closed.
    fn found(text: &str) -> (Vec<(usize, &str)>, String) {
        let unclosed = unclosed(text);
        let places = unclosed.iter().map(|one| {
            let line = text[..one.at].matches('\n').count() + 1;
            let rest = &text[one.at..];
            (line, &rest[..rest.len().min(4)])
        });
        (places.collect(), close(text, &unclosed))
    }

    #[test]
    fn a_list_in_a_list_is_pointed_at() {
        let list = "at = [\n  [1.0, 2.0,\n  [3.0, 4.0],\n]\nb = 2\n";
        let (places, closed) = found(list);
        assert_eq!(places, [(2, "[1.0")], "the list that is not closed");
        assert_eq!(closed, list.replace("2.0,", "2.0],"), "closed at its end");
        let (places, closed) = found("at = [\n  [1.0, 2.0\n  [3.0, 4.0],\n]\nb = 2\n");
        assert_eq!(places, [(2, "[1.0")], "its comma is missing too");
        assert!(closed.contains("2.0],\n"), "{closed}");
        let (places, _) = found("at = [\n  [1.0, 2.0],\n  [3.0, 4.0,\n]\nb = 2\n");
        assert_eq!(places, [(3, "[3.0")], "the last of the lists");
    }

    #[test]
    fn what_follows_is_read_again() {
        let text = "a = [1, 2\nb = 3\nc = { d = 4\n[[e]]\nf = [{ g = [5 }]\n";
        let (places, closed) = found(text);
        assert_eq!(places, [(1, "[1, "), (3, "{ d "), (5, "[5 }")], "each");
        let expected = "a = [1, 2]\nb = 3\nc = { d = 4}\n[[e]]\nf = [{ g = [5] }]\n";
        assert_eq!(closed, expected, "each closed");
        let unclosed = unclosed(text);
        for (at, letter) in closed
            .char_indices()
            .filter(|(_, one)| one.is_alphanumeric())
        {
            let written = text[as_written(at, &unclosed)..].chars().next();
            assert_eq!(written, Some(letter), "byte {at} of the closed text");
        }
    }

    #[test]
    fn good_text_has_none() {
        let text = "a = [\"[\", 'x]', \"\"\"\n[ \\\"\"\"\", '''{\n''']\n[[b.c]] # [\n\
                    d = { e = [1], # {\n f = [] }\n[g]\nh = [[true, false],\n  [true]]\n";
        assert_eq!(
            found(text).0,
            [],
            "brackets in texts and comments do not count"
        );
    }

    #[test]
    fn wild_text_ends() {
        for text in [
            "[".repeat(5000),
            "]}".repeat(5000),
            "a = [\"\\".into(),
            "a = [\"\"\"é\\".into(),
        ] {
            let unclosed = unclosed(&text);
            assert!(
                close(&text, &unclosed).len() >= text.len(),
                "nothing is lost"
            );
        }
    }
}
