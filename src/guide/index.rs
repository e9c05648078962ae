//! The pages that lead to a board: the index, a page a maker, and what the index searches.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::bundle::IndexEntry;
use super::templates::Templates;
use super::{BookFacts, Withheld};
use crate::Failure;

/// Up to how many boards the index lists them all; beyond that it lists the makers.
const LISTED: usize = 300;

#[derive(Serialize)]
struct Maker<'a> {
    name: &'a str,
    slug: String,
    boards: Vec<&'a IndexEntry>,
}

#[derive(Serialize)]
struct Context<'a> {
    book: &'a BookFacts,
    root: &'static str,
    makers: &'a [Maker<'a>],
    maker: Option<&'a Maker<'a>>,
    count: usize,
    listed: bool,
    withheld: &'a [Withheld],
}

/// Renders the index and the makers' pages.
pub(super) fn render(
    templates: &Templates,
    book: &BookFacts,
    entries: &[IndexEntry],
    withheld: &[Withheld],
) -> Result<Vec<(String, String)>, Failure> {
    let makers = makers(entries);
    let context = |root, maker| Context {
        book,
        root,
        makers: &makers,
        maker,
        count: entries.len(),
        listed: entries.len() <= LISTED,
        withheld,
    };
    let mut pages = vec![(
        "index.html".to_owned(),
        templates.render("index.html", context("", None))?,
    )];
    for maker in &makers {
        let page = templates.render("maker.html", context("../", Some(maker)))?;
        pages.push((format!("makers/{}.html", maker.slug), page));
    }
    Ok(pages)
}

fn makers(entries: &[IndexEntry]) -> Vec<Maker<'_>> {
    let mut by_name: BTreeMap<&str, Vec<&IndexEntry>> = BTreeMap::new();
    for entry in entries {
        by_name.entry(&entry.maker).or_default().push(entry);
    }
    let mut slugs = Slugs::default();
    by_name
        .into_iter()
        .map(|(name, boards)| Maker {
            name,
            slug: slugs.of(name),
            boards,
        })
        .collect()
}

/// The makers' pages so far. Two makers may be spelt so alike that their pages would be one.
#[derive(Default)]
struct Slugs {
    taken: BTreeSet<String>,
    /// How often each plain slug was asked for.
    asked: BTreeMap<String, usize>,
}

impl Slugs {
    /// Returns a name as a file's name that is nobody else's.
    fn of(&mut self, name: &str) -> String {
        let plain = slug(name);
        let number = self.asked.entry(plain.clone()).or_default();
        loop {
            *number += 1;
            let slug = match *number {
                1 => plain.clone(),
                number => format!("{plain}-{number}"),
            };
            if self.taken.insert(slug.clone()) {
                return slug;
            }
        }
    }
}

/// Names that are devices on some systems, whatever their ending.
const DEVICES: [&str; 4] = ["aux", "con", "nul", "prn"];

/// Returns a name as a file's name.
fn slug(name: &str) -> String {
    let kept: String = name
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '-'
            }
        })
        .collect();
    let trimmed = kept.trim_matches('-');
    let is_device = DEVICES.contains(&trimmed)
        || ["com", "lpt"].iter().any(|port| {
            let number = trimmed.strip_prefix(port);
            number.is_some_and(|number| matches!(number.as_bytes(), [b'0'..=b'9']))
        });
    if trimmed.is_empty() {
        "maker".to_owned()
    } else if is_device {
        format!("maker-{trimmed}")
    } else {
        trimmed.to_owned()
    }
}

/// Returns the script that holds what the index searches: a page opened from a file may load a
/// script, but not a JSON file.
pub(super) fn search(entries: &[IndexEntry]) -> Result<Vec<u8>, Failure> {
    let rows: Vec<_> = entries
        .iter()
        .map(|entry| {
            (
                &entry.id,
                &entry.name,
                entry.markings.join(" · "),
                format!(
                    "{} {} {}",
                    entry.class,
                    spellings(&entry.pads),
                    entry.bits.join(" ")
                ),
            )
        })
        .collect();
    let json = serde_json::to_string(&rows)
        .map_err(|error| Failure::new(format!("could not write the search list: {error}")))?;
    Ok(format!("window.gapbookBoards = {json};\n").into_bytes())
}

/// Returns thicknesses as people type them: "2.0 mm" also as "2mm". The search closes up what is typed
/// before "mm".
fn spellings(pads: &[String]) -> String {
    let both = pads.iter().flat_map(|pad| {
        let short = pad.replacen(".0 mm", " mm", 1);
        [Some(pad.clone()), (short != *pad).then_some(short)]
    });
    both.flatten().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::{Slugs, spellings};

    #[test]
    fn whole_millimetres_are_spelt_without_decimals_too() {
        let pads = ["1.25 mm", "2.0 mm"].map(str::to_owned);
        assert_eq!(spellings(&pads), "1.25 mm 2.0 mm 2 mm", "both ways");
    }

    #[test]
    fn every_maker_has_a_page_of_its_own() {
        let mut slugs = Slugs::default();
        let found = [
            "Osk", "osk!", "Osk 2", "..", "日本", "CON", "Com1", "../osk",
        ]
        .map(|name| slugs.of(name));
        let expected = [
            "osk",
            "osk-2",
            "osk-2-2",
            "maker",
            "maker-2",
            "maker-con",
            "maker-com1",
            "osk-3",
        ];
        assert_eq!(found, expected, "plain, and never the same twice");
        // Were each compared with each, these would take minutes.
        let last = (0..20_000).map(|_| slugs.of("日本")).last();
        assert_eq!(last.as_deref(), Some("maker-20002"), "in one pass");
    }
}
