//! Which files make up a book.

use std::path::{Path, PathBuf};

use walkdir::WalkDir;

/// Deepest file of a book below its root: `<maker>/<board>/jobs/<job>.toml`.
const DEEPEST: usize = 4;

/// Most files a book may have; beyond it the walk stops and says so.
const MOST_FILES: usize = 2_000_000;

/// One file of a book.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Found {
    /// Its path below the book's root, with forward slashes.
    pub name: String,
    /// Its path on this machine.
    pub path: PathBuf,
}

/// Something below the root that is not a file to read.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Oddity {
    /// A symbolic link: not followed, wherever it leads.
    Link(Found),
    /// A folder or file that could not be looked at, and why.
    Closed(Found, String),
    /// A name that is not UTF-8.
    Unnameable(Found),
}

/// The files of a book and what was odd on the way.
#[derive(Debug, Default)]
pub struct Walk {
    /// Regular files, sorted by name.
    pub files: Vec<Found>,
    /// Everything that was not read, sorted.
    pub oddities: Vec<Oddity>,
}

/// Walks a book's folder without following links or descending beyond a book's depth.
pub fn walk(root: &Path) -> Walk {
    let mut seen = Walk::default();
    let entries = WalkDir::new(root)
        .min_depth(1)
        .max_depth(DEEPEST)
        .follow_links(false)
        .into_iter()
        .filter_entry(|entry| entry.depth() == 0 || !is_hidden(entry.file_name()));
    for entry in entries.take(MOST_FILES) {
        match entry {
            Ok(entry) => {
                let found = found(root, entry.path());
                if entry.path_is_symlink() {
                    seen.oddities.push(Oddity::Link(found));
                } else if entry.path().to_str().is_none() {
                    seen.oddities.push(Oddity::Unnameable(found));
                } else if !entry.file_type().is_dir() {
                    seen.files.push(found);
                }
            }
            Err(error) => {
                let path = error.path().unwrap_or(root);
                let why = error
                    .io_error()
                    .map_or("it loops".to_owned(), ToString::to_string);
                seen.oddities.push(Oddity::Closed(found(root, path), why));
            }
        }
    }
    seen.files.sort();
    seen.oddities.sort();
    seen
}

/// Tells whether a name belongs to an editor or a version control system.
fn is_hidden(name: &std::ffi::OsStr) -> bool {
    name.as_encoded_bytes().starts_with(b".")
}

fn found(root: &Path, path: &Path) -> Found {
    let below = path.strip_prefix(root).unwrap_or(path);
    let steps: Vec<_> = below.iter().map(|step| step.to_string_lossy()).collect();
    Found {
        name: steps.join("/"),
        path: path.to_path_buf(),
    }
}
