//! A drawing as a tree of elements, serialised once.

pub use crate::units::number;
use crate::units::push_number;

/// One SVG element.
#[derive(Clone, Debug)]
pub struct Element {
    name: &'static str,
    attributes: Vec<(&'static str, Attribute)>,
    children: Vec<Self>,
    text: String,
}

/// An attribute's value; most are words and lengths, which are not made into text before they are
/// written.
#[derive(Clone, Debug)]
enum Attribute {
    Word(&'static str),
    Length(f64),
    Text(String),
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
    pub fn classed(name: &'static str, class: &'static str) -> Self {
        let mut element = Self::new(name);
        element.attributes.push(("class", Attribute::Word(class)));
        element
    }

    /// Returns a drawing that stands alone, of a class and with a width and height in drawing units.
    pub fn drawing(class: &'static str, [width, height]: [f64; 2]) -> Self {
        Self::classed("svg", class)
            .with("xmlns", "http://www.w3.org/2000/svg")
            .with(
                "viewBox",
                format!("0 0 {} {}", number(width), number(height)),
            )
    }

    /// Adds an attribute.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl Into<String>) -> Self {
        self.attributes.push((name, Attribute::Text(value.into())));
        self
    }

    /// Adds attributes that are lengths in drawing units.
    #[must_use]
    pub fn lengths<const N: usize>(mut self, lengths: [(&'static str, f64); N]) -> Self {
        self.attributes
            .extend(lengths.map(|(name, length)| (name, Attribute::Length(length))));
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
            out.push(' ');
            out.push_str(name);
            out.push_str("=\"");
            match value {
                Attribute::Word(word) => escape(word, out),
                Attribute::Length(length) => push_number(*length, out),
                Attribute::Text(text) => escape(text, out),
            }
            out.push('"');
        }
        if self.children.is_empty() && self.text.is_empty() {
            out.push_str("/>");
            return;
        }
        out.push('>');
        escape(&self.text, out);
        for child in &self.children {
            child.write(out);
        }
        out.push_str("</");
        out.push_str(self.name);
        out.push('>');
    }
}

/// Writes text with the characters that XML reserves, or does not know, replaced.
fn escape(text: &str, out: &mut String) {
    let is_special = |c: char| matches!(c, '&' | '<' | '>' | '"') || c.is_control();
    let mut rest = text;
    while let Some(at) = rest.find(is_special) {
        let (plain, from) = rest.split_at(at);
        let mut characters = from.chars();
        let special = characters.next().unwrap_or_default();
        out.push_str(plain);
        out.push_str(match special {
            '&' => "&amp;",
            '<' => "&lt;",
            '>' => "&gt;",
            '"' => "&quot;",
            '\t' | '\n' | '\r' => " ",
            _ => "\u{fffd}",
        });
        rest = characters.as_str();
    }
    out.push_str(rest);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_cannot_leave_its_element() {
        let element = Element::new("text")
            .with("class", "a\"><script>")
            .text("</text><script>&\u{0}");
        assert_eq!(
            element.serialise(),
            "<text class=\"a&quot;&gt;&lt;script&gt;\">\
             &lt;/text&gt;&lt;script&gt;&amp;\u{fffd}</text>",
            "escaped"
        );
    }
}
