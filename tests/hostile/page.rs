//! Whether anything in a site could run, by parsers that know nothing of this program.

use std::path::Path;

use scraper::{ElementRef, Html};

/// Elements that bring something of their own into a page, or change how the rest is read.
const FOREIGN: [&str; 14] = [
    "applet", "audio", "base", "embed", "frame", "frameset", "iframe", "math", "noscript",
    "object", "source", "template", "video", "portal",
];

/// Checks every file of a site: no script but the site's own, nothing that waits to run, no page or
/// picture from elsewhere, drawings and data well-formed.
pub(crate) fn check_site(site: &Path) {
    for (name, bytes) in crate::common::snapshot(site) {
        let name = name.to_str().expect("the site's names are plain");
        let ending = Path::new(name)
            .extension()
            .and_then(|ending| ending.to_str());
        let text = || std::str::from_utf8(&bytes).expect("UTF-8");
        match ending {
            Some("html") => check_page(name, text()),
            Some("svg") => check_drawing(name, text()),
            Some("json") => {
                let json: Result<serde_json::Value, _> = serde_json::from_slice(&bytes);
                assert!(json.is_ok(), "{name}: {json:?}");
            }
            Some("js") if name.ends_with("boards.js") => check_list(name, text()),
            _ => {}
        }
    }
}

fn check_page(name: &str, text: &str) {
    let page = Html::parse_document(text);
    let mut elements = page
        .root_element()
        .descendants()
        .filter_map(ElementRef::wrap);
    let fault = elements.find_map(|element| fault_of_page(&element));
    assert_eq!(fault, None, "{name}");
    check_numbers(name, text);
}

/// Returns what in an element of a page could run or load, if anything.
fn fault_of_page(element: &ElementRef<'_>) -> Option<String> {
    let value = element.value();
    let told = |what: &str| Some(format!("{what}: {}", element.html()));
    match value.name() {
        "script" => {
            let ours = value
                .attr("src")
                .is_some_and(|file| file.trim_start_matches("../").starts_with("assets/"));
            if !ours || element.text().next().is_some() {
                return told("foreign script");
            }
        }
        "link" | "style" if value.attr("rel") != Some("stylesheet") => {
            return told("foreign style");
        }
        "meta" if value.attr("http-equiv") == Some("refresh") => return told("leads away"),
        foreign if FOREIGN.contains(&foreign) => return told("foreign element"),
        _ => {}
    }
    let bad = value.attrs().find(|&(key, target)| match key {
        "href" => !is_followed(target),
        "src" | "action" | "formaction" | "xlink:href" | "data" => !is_ours(target),
        key => key.starts_with("on") || key == "srcdoc" || key == "style",
    });
    bad.and_then(|(key, target)| told(&format!("{key}={target}")))
}

/// Tells whether a link stays in the site or leads where a reader may be led.
fn is_followed(target: &str) -> bool {
    let lower = target.to_ascii_lowercase();
    is_ours(target)
        || ["http://", "https://", "mailto:"]
            .iter()
            .any(|scheme| lower.starts_with(scheme))
}

/// Tells whether an address is one of the site's own: a relative one in plain letters.
fn is_ours(target: &str) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || "/._-#".contains(c);
    !target.starts_with('/') && target.chars().all(plain)
}

fn check_drawing(name: &str, text: &str) {
    let svg = roxmltree::Document::parse(text);
    let svg = svg.unwrap_or_else(|error| panic!("{name} is not well-formed: {error}"));
    for node in svg.descendants().filter(roxmltree::Node::is_element) {
        let tag = node.tag_name().name();
        assert!(
            ![
                "script",
                "foreignObject",
                "image",
                "use",
                "a",
                "animate",
                "set"
            ]
            .contains(&tag),
            "{name}: <{tag}>"
        );
        for attribute in node.attributes() {
            let key = attribute.name();
            assert!(
                !key.starts_with("on") && !key.ends_with("href") && key != "style",
                "{name}: {key}"
            );
        }
    }
    check_numbers(name, text);
}

/// Checks that no number of a board came out as none.
fn check_numbers(name: &str, text: &str) {
    if !name.starts_with("boards/") {
        return;
    }
    let words = text.split(|c: char| !c.is_ascii_alphanumeric());
    let mut bad = words.filter(|word| ["NaN", "inf", "Infinity"].contains(word));
    assert_eq!(bad.next(), None, "{name} has numbers alone");
}

/// Checks the list that the index searches: an assignment of JSON, on one line.
fn check_list(name: &str, text: &str) {
    let list = text
        .strip_prefix("window.gapbookBoards = ")
        .and_then(|list| list.strip_suffix(";\n"));
    let list = list.unwrap_or_else(|| panic!("{name}: {text}"));
    let json: Result<Vec<serde_json::Value>, _> = serde_json::from_str(list);
    assert!(json.is_ok(), "{name}: {json:?}");
}
