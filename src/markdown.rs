//! Markdown that strangers wrote, as HTML that can do no harm.
//!
//! What Markdown may do here is little: paragraphs, lists, emphasis, code, and links to elsewhere.
//! This module knows no record; it takes a text and returns one.

use pulldown_cmark::html::push_html;
use pulldown_cmark::{CodeBlockKind, CowStr, Event, LinkType, Options, Parser, Tag, TagEnd};

/// The schemes a link may have, each with what must follow it.
const SAFE_SCHEMES: [&str; 3] = ["http://", "https://", "mailto:"];

/// Most characters of a part that are told.
const MOST_TOLD: usize = 60;

/// A part of a text that its HTML does not show as it was meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnsafePart {
    /// Raw HTML: its tags are dropped.
    Html(String),
    /// A link to something else than http, https or mailto: its words stay.
    Link(String),
    /// An image: its words stay.
    Image(String),
}

/// Returns a text's HTML.
///
/// Raw HTML is dropped, unsafe links and images become their words, and headings become bold
/// paragraphs: a note has no place in a page's outline.
pub fn html(text: &str) -> String {
    let mut open_links = Vec::new();
    let events = Parser::new_ext(text, Options::empty());
    let safe = events.filter_map(|event| made_safe(event, &mut open_links));
    let mut page = String::with_capacity(text.len() + text.len() / 2);
    push_html(&mut page, safe);
    page
}

/// Returns the parts of a text that [`html`] does not show as they were meant.
pub fn unsafe_parts(text: &str) -> Vec<UnsafePart> {
    // Most notes hold none of these, and to parse ten thousand boards' notes takes seconds.
    if !text.contains(['<', '[']) {
        return Vec::new();
    }
    let mut parts = Vec::new();
    let mut in_block = false;
    for event in Parser::new_ext(text, Options::empty()) {
        match event {
            Event::Start(Tag::HtmlBlock) => in_block = true,
            // A block comes line by line, and an element as two tags; to be told once is enough.
            Event::Html(html) if std::mem::take(&mut in_block) => {
                parts.push(UnsafePart::Html(told(&html)));
            }
            Event::InlineHtml(html) if !html.starts_with("</") => {
                parts.push(UnsafePart::Html(told(&html)));
            }
            Event::Start(Tag::Link {
                link_type,
                dest_url,
                ..
            }) if safe_target(link_type, &dest_url).is_none() => {
                parts.push(UnsafePart::Link(told(&dest_url)));
            }
            Event::Start(Tag::Image { dest_url, .. }) => {
                parts.push(UnsafePart::Image(told(&dest_url)));
            }
            _ => {}
        }
    }
    parts
}

/// Returns what is to be shown in an event's place, if anything; `open_links` remembers, for each
/// link begun, whether it was shown.
fn made_safe<'a>(event: Event<'a>, open_links: &mut Vec<bool>) -> Option<Event<'a>> {
    match event {
        Event::Html(_)
        | Event::InlineHtml(_)
        | Event::Start(Tag::HtmlBlock | Tag::Image { .. })
        | Event::End(TagEnd::HtmlBlock | TagEnd::Image) => None,
        Event::Start(Tag::Heading { .. }) => Some(Event::Html("<p><strong>".into())),
        Event::End(TagEnd::Heading(_)) => Some(Event::Html("</strong></p>\n".into())),
        Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(_))) => Some(Event::Start(
            Tag::CodeBlock(CodeBlockKind::Fenced(CowStr::Borrowed(""))),
        )),
        Event::Start(Tag::Link {
            link_type,
            dest_url,
            ..
        }) => {
            let target = safe_target(link_type, &dest_url);
            open_links.push(target.is_some());
            target.map(|target| Event::Html(opening_tag(&target).into()))
        }
        Event::End(TagEnd::Link) => {
            let shown = open_links.pop().unwrap_or(false);
            shown.then(|| Event::Html("</a>".into()))
        }
        other => Some(other),
    }
}

/// Returns where a link leads, if it may be followed.
///
/// Browsers pass over white space and controls within a scheme, so they are taken out before it is
/// judged, and what was judged is what is written.
fn safe_target(link_type: LinkType, target: &str) -> Option<String> {
    let mut bare: String = target
        .chars()
        .filter(|character| !character.is_whitespace() && !character.is_control())
        .collect();
    if link_type == LinkType::Email {
        bare.insert_str(0, "mailto:");
    }
    let lower = bare.to_ascii_lowercase();
    let rest = SAFE_SCHEMES
        .iter()
        .find_map(|scheme| lower.strip_prefix(scheme))?;
    let leads_somewhere = !rest.starts_with(['/', '\\']) && !rest.is_empty();
    leads_somewhere.then_some(bare)
}

fn opening_tag(target: &str) -> String {
    let rel = if target.to_ascii_lowercase().starts_with("mailto:") {
        ""
    } else {
        " rel=\"noreferrer noopener\""
    };
    format!("<a href=\"{}\"{rel}>", escaped(target))
}

/// Returns a link's target as an attribute's value: what no URL may hold is percent-encoded.
fn escaped(target: &str) -> String {
    use std::fmt::Write as _;

    let mut value = String::with_capacity(target.len());
    for byte in target.bytes() {
        match byte {
            b'&' => value.push_str("&amp;"),
            b'\'' => value.push_str("&#39;"),
            byte if byte.is_ascii_alphanumeric() || b"-._~:/?#[]@!$()*+,;=%".contains(&byte) => {
                value.push(char::from(byte));
            }
            byte => write!(value, "%{byte:02X}").expect("invariant: a string takes all text"),
        }
    }
    value
}

/// Returns the first line of a part, cut to what fits into a sentence.
fn told(part: &str) -> String {
    let line = part.trim().lines().next().unwrap_or_default();
    match line.char_indices().nth(MOST_TOLD) {
        Some((cut, _)) => format!("{}…", &line[..cut]),
        None => line.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_markdown_is_shown() {
        assert_eq!(
            html("Twist *before* you lift.\n\n- a `b`\n"),
            "<p>Twist <em>before</em> you lift.</p>\n<ul>\n<li>a <code>b</code></li>\n</ul>\n",
            "paragraph, emphasis, list, code"
        );
        assert_eq!(
            html("# One\n"),
            "<p><strong>One</strong></p>\n",
            "a heading is a bold paragraph"
        );
        assert_eq!(
            html("```js\"><b>\nx < 1\n```\n"),
            "<pre><code>x &lt; 1\n</code></pre>\n",
            "a code block without its label"
        );
        assert!(unsafe_parts("x < 1, [1], `<b>`").is_empty(), "no tags");
    }

    #[test]
    fn safe_links_are_followed() {
        assert_eq!(
            html("[a](https://example.org/x?a=1&b='2' \"t\")"),
            "<p><a href=\"https://example.org/x?a=1&amp;b=&#39;2&#39;\" \
             rel=\"noreferrer noopener\">a</a></p>\n",
            "escaped, and without a referrer"
        );
        assert_eq!(
            html("<bench@example.org> [b](MAILTO:b@example.org)"),
            "<p><a href=\"mailto:bench@example.org\">bench@example.org</a> \
             <a href=\"MAILTO:b@example.org\">b</a></p>\n",
            "mail"
        );
    }

    #[test]
    fn hostile_links_are_words() {
        for target in [
            "javascript:alert(1)",
            "JaVaScRiPt:alert(1)",
            "javascript&colon;alert(1)",
            "&#106;avascript:alert(1)",
            "&#x6A;&#x61;vascript&#58;alert(1)",
            "java&Tab;script:alert(1)",
            "java&NewLine;script:alert(1)",
            "&#1;javascript:alert(1)",
            "\u{a0}javascript:alert(1)",
            "data:text/html,x",
            "vbscript:x",
            "file:///etc/hosts",
            "blob:x",
            "//example.org/x",
            "\\\\\\\\example.org",
            "/\\\\example.org",
            "\\\\/example.org",
            "https:example.org",
            "https:////example.org",
            "https://",
            "http:\\\\\\\\example.org",
            "page.html",
            "#part",
            "",
        ] {
            let text = format!("[w](<{target}>)");
            assert_eq!(html(&text), "<p>w</p>\n", "{target:?} leads nowhere");
            assert_eq!(unsafe_parts(&text).len(), 1, "{target:?} is told");
        }
    }

    #[test]
    fn other_ways_to_write_a_link_are_judged_alike() {
        assert_eq!(
            html("<javascript:alert(1)>"),
            "<p>javascript:alert(1)</p>\n",
            "autolink"
        );
        assert_eq!(
            html("[w][r]\n\n[r]: javascript:alert(1)\n"),
            "<p>w</p>\n",
            "reference"
        );
        assert_eq!(
            html("[r]\n\n[r]: <data:,x> 'title'\n"),
            "<p>r</p>\n",
            "short reference"
        );
        assert_eq!(
            html("![[w](javascript:x)](y.png) [v](https://example.org)"),
            "<p>w <a href=\"https://example.org\" rel=\"noreferrer noopener\">v</a></p>\n",
            "within an image"
        );
    }

    #[test]
    fn quotes_do_not_end_the_attribute() {
        let page = html("[w](<https://example.org/\" onclick=\"x>)");
        assert!(!page.contains("onclick=\""), "one attribute: {page}");
        assert!(page.contains("/%22onclick=%22x"), "encoded: {page}");
    }

    #[test]
    fn raw_html_is_dropped_and_told_once() {
        let text =
            "A <b onmouseover=x>bold</b> word.\n\n<script>\nalert(1)\n</script>\n\n![p](q.png)\n";
        assert_eq!(
            html(text),
            "<p>A bold word.</p>\n<p>p</p>\n",
            "tags and blocks are gone"
        );
        assert_eq!(
            unsafe_parts(text),
            [
                UnsafePart::Html("<b onmouseover=x>".into()),
                UnsafePart::Html("<script>".into()),
                UnsafePart::Image("q.png".into()),
            ],
            "each once"
        );
    }
}
