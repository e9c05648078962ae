use std::collections::BTreeMap;

use crate::book::{Book, SourceFile};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::Spot;

declare_rule! {
    /// Looks for two files or folders whose names differ in nothing but capital letters.
    ///
    /// ## Why
    ///
    /// On some systems they are one file. Whoever fetches the book there gets only one of the two, and
    /// cannot tell which.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// # file: osk/README.md
    /// Boards by Osk.
    /// # file: osk/Readme.md
    /// Boards by Osk.
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// # file: osk/README.md
    /// Boards by Osk.
    /// ```
    ///
    /// ## What to do
    ///
    /// Rename one of them, or join them. Makers, boards and jobs are named in lower case.
    "names-differ-in-case", Reading, Warning,
    "two names that some systems take for one",
    Book(check)
}

fn check(book: &Book, report: &mut Report<'_>) {
    // Of two names that differ in case only, one at least has a capital: few names do.
    let mut by_lower: BTreeMap<String, Vec<(&str, &SourceFile)>> = BTreeMap::new();
    for file in &book.files {
        for path in paths(&file.name).filter(|path| path.contains(char::is_uppercase)) {
            let alike = by_lower.entry(path.to_lowercase()).or_default();
            if alike.last().is_none_or(|&(known, _)| known != path) {
                alike.push((path, file));
            }
        }
    }
    for (lower, mut alike) in by_lower {
        if let Some(file) = below(book, &lower) {
            alike.insert(0, (&lower, file));
        }
        let Some((&(first, first_file), others)) = alike.split_first() else {
            continue;
        };
        for &(other, file) in others {
            let message = format!("`{other}` and `{first}` differ only in case");
            report
                .find(file.at(&Spot::File), message)
                .also(first_file.at(&Spot::File), "the other")
                .help("rename one of them; on some systems they are one file");
        }
    }
}

/// Returns a file's path and those of the folders it is in.
fn paths(name: &str) -> impl Iterator<Item = &str> {
    let folders = name.match_indices('/').map(|(at, _)| &name[..at]);
    folders.chain(std::iter::once(name))
}

/// Returns a file that has this path or lies in a folder that has it.
fn below<'a>(book: &'a Book, path: &str) -> Option<&'a SourceFile> {
    let folder = format!("{path}/");
    let first = book.files.partition_point(|file| *file.name < *folder);
    let within = book.files.get(first);
    let within = within.filter(|file| file.name.starts_with(&folder));
    within.or_else(|| book.file_named(path))
}
