//! A drawing as a tree of elements, serialised once.

use std::fmt::{Display, Write as _};

/// One SVG element.
#[derive(Clone, Debug)]
pub struct Element {
    name: &'static str,
    attributes: Vec<(&'static str, String)>,
    children: Vec<Self>,
    text: String,
}

impl Element {
    /// Returns an empty element.
    pub fn new(name: &'static str) -> Self {
        Self {
            name,
            attributes: Vec::new(),
            children: Vec::new(),
            text: String::new(),
        }
    }

    /// Returns an element with a class, as most are.
    pub fn classed(name: &'static str, class: &str) -> Self {
        Self::new(name).with("class", class)
    }

    /// Adds an attribute.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl Display) -> Self {
        self.attributes.push((name, value.to_string()));
        self
    }

    /// Adds attributes that are lengths in drawing units.
    #[must_use]
    pub fn lengths<const N: usize>(mut self, lengths: [(&'static str, f64); N]) -> Self {
        for (name, value) in lengths {
            self.attributes.push((name, number(value)));
        }
        self
    }

    /// Sets the text inside.
    #[must_use]
    pub fn text(mut self, text: impl Into<String>) -> Self {
        self.text = text.into();
        self
    }

    /// Adds a child.
    pub fn push(&mut self, child: Self) {
        self.children.push(child);
    }

    /// Adds children.
    #[must_use]
    pub fn holding(mut self, children: impl IntoIterator<Item = Self>) -> Self {
        self.children.extend(children);
        self
    }

    /// Writes the element out.
    pub fn serialise(&self) -> String {
        let mut out = String::with_capacity(4096);
        self.write(&mut out);
        out
    }

    fn write(&self, out: &mut String) {
        out.push('<');
        out.push_str(self.name);
        for (name, value) in &self.attributes {
            write!(out, " {name}=\"{}\"", Escaped(value)).expect("invariant: a String takes all");
        }
        if self.children.is_empty() && self.text.is_empty() {
            out.push_str("/>");
            return;
        }
        write!(out, ">{}", Escaped(&self.text)).expect("invariant: a String takes all");
        for child in &self.children {
            child.write(out);
        }
        write!(out, "</{}>", self.name).expect("invariant: a String takes all");
    }
}

/// Returns a number with at most two decimals and no needless zeros: a hundredth of a millimetre is
/// finer than any printer.
pub fn number(value: f64) -> String {
    let rounded = format!("{value:.2}");
    let trimmed = rounded.trim_end_matches('0').trim_end_matches('.');
    if trimmed == "-0" {
        "0".to_owned()
    } else {
        trimmed.to_owned()
    }
}

/// Text with the characters that XML reserves replaced.
struct Escaped<'a>(&'a str);

impl Display for Escaped<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for character in self.0.chars() {
            match character {
                '&' => f.write_str("&amp;")?,
                '<' => f.write_str("&lt;")?,
                '>' => f.write_str("&gt;")?,
                '"' => f.write_str("&quot;")?,
                // XML has no way to write the other control characters.
                '\t' | '\n' | '\r' => f.write_char(' ')?,
                control if control.is_control() => f.write_char('\u{fffd}')?,
                other => f.write_char(other)?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        let cases = [
            (1.0, "1"),
            (2.50, "2.5"),
            (-0.001, "0"),
            (10.0, "10"),
            (3.456, "3.46"),
        ];
        for (value, written) in cases {
            assert_eq!(number(value), written, "{value}");
        }
    }

    #[test]
    fn text_cannot_leave_its_element() {
        let element = Element::classed("text", "a\"><script>").text("</text><script>&\u{0}");
        assert_eq!(
            element.serialise(),
            "<text class=\"a&quot;&gt;&lt;script&gt;\">\
             &lt;/text&gt;&lt;script&gt;&amp;\u{fffd}</text>",
            "escaped"
        );
    }
}
