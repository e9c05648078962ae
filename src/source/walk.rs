//! Which files make up a book.

use std::path::{Path, PathBuf};

use walkdir::WalkDir;

use super::FaultKind;

/// Deepest file of a book below its root: `<maker>/<board>/jobs/<job>.toml`.
const DEEPEST: usize = 4;

/// Most files a book may have; beyond it the walk stops and says so.
const MOST_FILES: usize = 2_000_000;

/// One thing below a book's root that is not a folder to look into.
#[derive(Clone, Debug)]
pub struct Found {
    /// Its path below the book's root, with forward slashes.
    pub name: String,
    /// Its path on this machine.
    pub path: PathBuf,
    /// Why it is not to be read, if it is not.
    pub obstacle: Option<FaultKind>,
}

/// Walks a book's folder without following links or descending beyond a book's depth.
///
/// Everything found is returned, sorted by name: what cannot be read too, with the reason.
pub fn walk(root: &Path) -> Vec<Found> {
    walk_up_to(root, MOST_FILES)
}

fn walk_up_to(root: &Path, most: usize) -> Vec<Found> {
    let mut entries = WalkDir::new(root)
        .min_depth(1)
        .max_depth(DEEPEST)
        .follow_links(false)
        .into_iter()
        .filter_entry(|entry| entry.depth() == 0 || !is_hidden(entry.file_name()));
    let mut seen = Vec::new();
    for entry in entries.by_ref().take(most) {
        match entry {
            Ok(entry) if is_looked_into(&entry) => {}
            Ok(entry) => seen.push(found(root, entry.path(), obstacle(&entry))),
            Err(error) => {
                let path = error.path().unwrap_or(root);
                let why = error
                    .io_error()
                    .map_or("it loops".to_owned(), ToString::to_string);
                seen.push(found(root, path, Some(FaultKind::Unreadable(why))));
            }
        }
    }
    if entries.next().is_some() {
        let why = format!("the book has more than {most} files and folders; the rest is not read");
        seen.push(found(root, root, Some(FaultKind::Unreadable(why))));
    }
    seen.sort_by(|left, right| (&left.name, &left.path).cmp(&(&right.name, &right.path)));
    seen
}

/// Tells whether an entry is a folder that the walk goes down into: not one at the deepest level, nor
/// one that stands where a record should.
fn is_looked_into(entry: &walkdir::DirEntry) -> bool {
    let name = entry.file_name().as_encoded_bytes();
    entry.file_type().is_dir()
        && entry.path().to_str().is_some()
        && entry.depth() < DEEPEST
        && !name.ends_with(b".toml")
}

/// Returns why an entry is not to be read, if it is not.
fn obstacle(entry: &walkdir::DirEntry) -> Option<FaultKind> {
    if entry.path_is_symlink() {
        Some(FaultKind::Link)
    } else if entry.path().to_str().is_none() {
        Some(FaultKind::Unreadable("its name is not UTF-8".into()))
    } else {
        None
    }
}

/// Tells whether a name belongs to an editor or a version control system.
fn is_hidden(name: &std::ffi::OsStr) -> bool {
    name.as_encoded_bytes().starts_with(b".")
}

fn found(root: &Path, path: &Path, obstacle: Option<FaultKind>) -> Found {
    let below = path.strip_prefix(root).unwrap_or(path);
    let steps: Vec<_> = below.iter().map(|step| step.to_string_lossy()).collect();
    Found {
        name: steps.join("/"),
        path: path.to_path_buf(),
        obstacle,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_walked_is_told() {
        let root = tempfile::tempdir().unwrap();
        for folder in [
            "osk/demo/board.toml",
            "osk/demo/photos/old",
            "osk/demo/jobs",
        ] {
            std::fs::create_dir_all(root.path().join(folder)).unwrap();
        }
        let names = |most| -> Vec<String> {
            let found = walk_up_to(root.path(), most).into_iter();
            found.map(|one| one.name).collect()
        };
        let expected = ["osk/demo/board.toml", "osk/demo/photos/old"];
        assert_eq!(
            names(MOST_FILES),
            expected,
            "folders where a file should be"
        );
        assert_eq!(names(1), [""], "the root stands for what was not reached");
    }
}
