//! The architecture, held by a test: each module knows only those above it.

use std::path::Path;

/// The library's modules, from what knows nothing to what knows everything.
const ORDER: &[&str] = &[
    "dice", "failure", "progress", "units", "source", "record", "markdown", "book", "evidence",
    "stack", "heat", "order", "cutting", "lint", "drawing", "guide",
];

fn rank(module: &str) -> usize {
    ORDER
        .iter()
        .position(|&known| known == module)
        .unwrap_or_else(|| panic!("`{module}` has no place in the order of modules"))
}

/// Returns the modules that a source text names after `crate::`.
fn named(text: &str) -> impl Iterator<Item = &str> {
    text.match_indices("crate::").filter_map(|(at, _)| {
        let rest = &text[at + "crate::".len()..];
        let end = rest.find(|c: char| !c.is_ascii_lowercase() && c != '_')?;
        let followed = rest[end..].starts_with("::") || rest[end..].starts_with(';');
        (end > 0 && followed).then(|| &rest[..end])
    })
}

#[test]
fn each_module_knows_only_those_above_it() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut wrong = Vec::new();
    for entry in walkdir::WalkDir::new(&root)
        .into_iter()
        .map(|entry| entry.expect("readable"))
    {
        let below = entry
            .path()
            .strip_prefix(&root)
            .expect("below")
            .to_string_lossy()
            .into_owned();
        let module = below
            .split(['/', '.'])
            .next()
            .unwrap_or_default()
            .to_owned();
        let is_source = entry
            .path()
            .extension()
            .is_some_and(|ending| ending == "rs");
        if !is_source || ["lib", "main", "cli"].contains(&&*module) {
            continue;
        }
        let text = std::fs::read_to_string(entry.path()).expect("readable");
        for other in named(&text).filter(|other| rank(other) > rank(&module)) {
            wrong.push(format!("{below} knows `{other}`, which comes after it"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The library neither prints nor asks the clock or the environment; clippy.toml bans the calls, and
/// this holds the ban to every file.
#[test]
fn clippy_exceptions_give_their_reason() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for entry in walkdir::WalkDir::new(&root)
        .into_iter()
        .map(|entry| entry.expect("readable"))
    {
        if entry.path().extension().is_none_or(|ending| ending != "rs") {
            continue;
        }
        let text = std::fs::read_to_string(entry.path()).expect("readable");
        assert!(
            !text.contains("#[allow("),
            "{}: use expect(…, reason = …)",
            entry.path().display()
        );
    }
}
