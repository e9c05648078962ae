//! Markdown as plain text for a terminal.

use pulldown_cmark::{Event, Parser, Tag, TagEnd};

use super::{line, wrap};
use crate::cli::output::BOLD;

/// Columns that code and list items stand in.
const STEP: usize = 2;

/// Returns Markdown as lines of at most so many columns; code lines are never broken.
///
/// Raw HTML is dropped; links are followed by where they lead.
pub(in crate::cli) fn lines(markdown: &str, width: usize) -> Vec<String> {
    let mut page = Page {
        width,
        ..Page::default()
    };
    for event in Parser::new(markdown) {
        page.take(event);
    }
    page.flush();
    while page.lines.last().is_some_and(String::is_empty) {
        page.lines.pop();
    }
    page.lines
}

#[derive(Default)]
struct Page {
    width: usize,
    lines: Vec<String>,
    text: String,
    /// The number of the next item, for each list that is open; `None` where it has no numbers.
    lists: Vec<Option<u64>>,
    /// What stands before an item's first line.
    bullet: Option<String>,
    in_code: bool,
    links: Vec<String>,
}

impl Page {
    fn take(&mut self, event: Event<'_>) {
        match event {
            Event::Start(tag) => self.start(tag),
            Event::End(tag) => self.end(tag),
            Event::Text(text) if self.in_code => self.code(&text),
            Event::Text(text) => self.text.push_str(&line(&text)),
            Event::Code(code) => {
                self.text.push('`');
                self.text.push_str(&line(&code));
                self.text.push('`');
            }
            Event::SoftBreak => self.text.push(' '),
            Event::HardBreak => self.flush(),
            _ => {}
        }
    }

    fn start(&mut self, tag: Tag<'_>) {
        match tag {
            Tag::List(first) => {
                self.flush();
                self.lists.push(first);
            }
            Tag::Item => {
                self.flush();
                let bullet = match self.lists.last_mut() {
                    Some(Some(number)) => {
                        *number += 1;
                        format!("{}. ", *number - 1)
                    }
                    _ => "- ".to_owned(),
                };
                self.bullet = Some(bullet);
            }
            Tag::CodeBlock(_) => {
                self.flush();
                self.in_code = true;
            }
            Tag::Link { dest_url, .. } => self.links.push(line(&dest_url)),
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Heading(_) => {
                let heading = std::mem::take(&mut self.text);
                self.lines.push(format!("{BOLD}{heading}{BOLD:#}"));
                self.blank();
            }
            TagEnd::Paragraph | TagEnd::BlockQuote(_) => {
                self.flush();
                self.blank();
            }
            TagEnd::Item => self.flush(),
            TagEnd::List(_) => {
                self.lists.pop();
                self.blank();
            }
            TagEnd::CodeBlock => {
                self.in_code = false;
                self.blank();
            }
            TagEnd::Link => {
                if let Some(address) = self.links.pop()
                    && !self.text.ends_with(&address)
                {
                    self.text.push_str(" (");
                    self.text.push_str(&address);
                    self.text.push(')');
                }
            }
            _ => {}
        }
    }

    fn code(&mut self, text: &str) {
        for code in text.lines() {
            let code = line(code);
            self.lines
                .push(format!("{:width$}{code}", "", width = 2 * STEP));
        }
    }

    /// Sets the text so far as lines of its own.
    fn flush(&mut self) {
        let text = std::mem::take(&mut self.text);
        if text.trim().is_empty() {
            return;
        }
        let bullet = self.bullet.take().unwrap_or_default();
        let hang = bullet.len().max(STEP * usize::from(!self.lists.is_empty()));
        let indent = STEP * self.lists.len().saturating_sub(1);
        let mut before = format!("{:indent$}{bullet:hang$}", "");
        for text in wrap(&text, self.width.saturating_sub(indent + hang)) {
            self.lines.push(format!("{before}{text}"));
            before = " ".repeat(indent + hang);
        }
    }

    fn blank(&mut self) {
        if self.lines.last().is_some_and(|last| !last.is_empty()) {
            self.lines.push(String::new());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::lines;

    #[test]
    fn markdown_becomes_plain_lines() {
        let text = "Twist *before* you\nlift, see [notes](https://example.org).\n\n- one `two`\n\
                    - three four five six seven\n\n```toml\na   = 1\n```\n<b>raw</b>\n";
        assert_eq!(
            lines(text, 24),
            [
                "Twist before you lift,",
                "see notes",
                "(https://example.org).",
                "",
                "- one `two`",
                "- three four five six",
                "  seven",
                "",
                "    a   = 1",
                "",
                "raw",
            ],
            "wrapped, marked and without HTML"
        );
    }

    #[test]
    fn hostile_markdown_ends_and_stays_harmless() {
        let nested = format!("{}x", "> - ".repeat(300));
        assert!(
            !lines(&nested, 20).is_empty(),
            "deep nesting in few columns"
        );
        let escape = lines("a\u{1b}[2J", 20).concat();
        assert!(
            !escape.contains('\u{1b}'),
            "no control reaches the terminal"
        );
    }
}
