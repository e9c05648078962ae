//! The folder a site is written into.
//!
//! A file is written whole under a temporary name and then renamed, and only where its bytes
//! changed. What an earlier compile wrote and this one did not is removed; nothing else ever is.
//! A compile that is stopped half-way leaves whole files, all of them listed, and one folder of
//! temporary ones, which the next compile clears.

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Component, Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::Failure;
use crate::source::read_bounded;

/// The file that lists what a compile wrote, and marks the folder as this program's own.
pub const MANIFEST: &str = ".gapbook-site";

/// The manifest's first line.
const HEADING: &str = "gapbook site: the files below are written and removed by gapbook compile";

/// Largest list that is read, bytes: a hundred times that of ten thousand boards.
const LARGEST_MANIFEST: u64 = 1 << 30;

/// The folder of files that are being written: what a stopped compile leaves in it is in one place.
const UNFINISHED: &str = ".gapbook-unfinished";

/// A site being written.
#[derive(Debug)]
pub(super) struct Site {
    root: PathBuf,
    before: BTreeSet<String>,
    written: Mutex<BTreeSet<String>>,
    changed: AtomicUsize,
}

/// What a compile did to its folder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tally {
    /// Files that the site has now.
    pub files: usize,
    /// Files whose bytes changed, or that are new.
    pub changed: usize,
    /// Files that were removed.
    pub removed: usize,
}

impl Site {
    /// Opens a folder to write a site into, making it if it is not there.
    ///
    /// # Errors
    /// When the folder holds anything and no earlier compile marked it as its own.
    pub(super) fn open(root: &Path) -> Result<Self, Failure> {
        fs::create_dir_all(root).map_err(|error| Failure::io("make the folder", root, &error))?;
        let manifest = root.join(MANIFEST);
        let is_marked = fs::symlink_metadata(&manifest).is_ok();
        let before = if is_marked {
            read_manifest(&manifest)?
        } else {
            check_empty(root)?;
            BTreeSet::new()
        };
        clear_unfinished(root)?;
        // Marked at once, so that a compile that is stopped half-way can be taken up again.
        write_manifest(root, &before)?;
        Ok(Self {
            root: root.to_path_buf(),
            before,
            written: Mutex::new(BTreeSet::new()),
            changed: AtomicUsize::new(0),
        })
    }

    /// Writes one file of the site, if its bytes changed.
    ///
    /// # Errors
    /// When it cannot be written, or a folder on its way is a link.
    pub(super) fn write(&self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        debug_assert!(is_safe(name), "names in the site are this program's own");
        if let Some(link) = self.link_above(name) {
            return Err(Failure::new(format!(
                "`{}` is a link; a site follows none",
                link.display()
            ))
            .help("delete the link, or give another folder with --out"));
        }
        let path = self.root.join(name);
        self.list(name)
            .map_err(|error| Failure::io("write", &self.root.join(MANIFEST), &error))?;
        if !has_bytes(&path, bytes) {
            replace(&self.root, name, bytes)
                .map_err(|error| Failure::io("write", &path, &error))?;
            self.changed.fetch_add(1, Ordering::Relaxed);
        }
        Ok(())
    }

    /// Notes a file as written, and adds it to the manifest before it appears, unless it is listed.
    fn list(&self, name: &str) -> io::Result<()> {
        let mut written = self.written.lock().expect("invariant: no writer panics");
        if written.insert(name.to_owned()) && !self.before.contains(name) {
            let mut manifest = fs::OpenOptions::new()
                .append(true)
                .open(self.root.join(MANIFEST))?;
            manifest.write_all(format!("{name}\n").as_bytes())?;
        }
        Ok(())
    }

    /// Returns the first folder on the way to a file that is a link, if one is.
    fn link_above(&self, name: &str) -> Option<PathBuf> {
        let mut folders = name
            .match_indices('/')
            .map(|(at, _)| self.root.join(&name[..at]));
        folders.find(|folder| folder.is_symlink())
    }

    /// Removes what an earlier compile wrote and this one did not, and lists what is there now.
    ///
    /// # Errors
    /// When a file cannot be removed, or the list not be written.
    pub(super) fn finish(self) -> Result<Tally, Failure> {
        let mut written = self.written.lock().expect("invariant: no writer panics");
        let written = std::mem::take(&mut *written);
        let is_ours = |name: &&String| is_safe(name) && self.link_above(name).is_none();
        let mut removed = 0;
        for name in self.before.difference(&written).filter(is_ours) {
            let path = self.root.join(name);
            match fs::remove_file(&path) {
                Ok(()) => removed += 1,
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                Err(error) => return Err(Failure::io("remove", &path, &error)),
            }
            remove_empty_folders(&self.root, &path);
        }
        write_manifest(&self.root, &written)?;
        Ok(Tally {
            files: written.len(),
            changed: self.changed.load(Ordering::Relaxed),
            removed,
        })
    }
}

impl Drop for Site {
    /// Leaves no empty folder behind, whether the compile came to its end or not.
    fn drop(&mut self) {
        fs::remove_dir(self.root.join(UNFINISHED)).ok();
    }
}

/// Makes sure that a folder without a manifest holds nothing.
fn check_empty(root: &Path) -> Result<(), Failure> {
    let entries = fs::read_dir(root).map_err(|error| Failure::io("look into", root, &error))?;
    let is_foreign = |entry: io::Result<fs::DirEntry>| {
        entry.map_or(true, |entry| entry.file_name() != UNFINISHED)
    };
    if entries.into_iter().any(is_foreign) {
        return Err(Failure::new(format!(
            "`{}` holds files that no compile wrote; they are left alone",
            root.display()
        ))
        .help("give an empty folder, or one that is not there yet, with --out"));
    }
    Ok(())
}

/// Removes what a compile that was stopped was just writing.
fn clear_unfinished(root: &Path) -> Result<(), Failure> {
    let folder = root.join(UNFINISHED);
    match fs::remove_dir_all(&folder) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            Err(Failure::io("remove", &folder, &error))
        }
        _ => Ok(()),
    }
}

/// Reads the names in a manifest.
///
/// A compile that was stopped may have left its last name unfinished; a file of that name was not
/// begun.
fn read_manifest(path: &Path) -> Result<BTreeSet<String>, Failure> {
    let names = read_bounded(path, LARGEST_MANIFEST).ok().and_then(|bytes| {
        let text = String::from_utf8(bytes).ok()?;
        let names = text.strip_prefix(HEADING)?.strip_prefix('\n')?;
        let whole = names.split_inclusive('\n');
        let whole = whole.filter_map(|line| line.strip_suffix('\n'));
        Some(whole.map(str::to_owned).collect())
    });
    names.ok_or_else(|| {
        Failure::new(format!(
            "`{}` is not a list this program wrote",
            path.display()
        ))
        .help("give another folder, or delete that file if the folder is a site")
    })
}

fn write_manifest(root: &Path, names: &BTreeSet<String>) -> Result<(), Failure> {
    let path = root.join(MANIFEST);
    let mut text = format!("{HEADING}\n");
    for name in names {
        text.push_str(name);
        text.push('\n');
    }
    if has_bytes(&path, text.as_bytes()) {
        return Ok(());
    }
    replace(root, MANIFEST, text.as_bytes()).map_err(|error| Failure::io("write", &path, &error))
}

/// Tells whether a name stays below the folder it is joined to.
fn is_safe(name: &str) -> bool {
    !name.is_empty()
        && Path::new(name)
            .components()
            .all(|step| matches!(step, Component::Normal(_)))
}

fn has_bytes(path: &Path, bytes: &[u8]) -> bool {
    let same_length = fs::symlink_metadata(path)
        .is_ok_and(|found| found.is_file() && found.len() == bytes.len() as u64);
    same_length && fs::read(path).is_ok_and(|found| found == bytes)
}

/// Writes a file of a site whole: a reader sees the old bytes or the new, never half of either.
fn replace(root: &Path, name: &str, bytes: &[u8]) -> io::Result<()> {
    let unfinished = root.join(UNFINISHED);
    let mut temporary = match tempfile::NamedTempFile::new_in(&unfinished) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            fs::create_dir_all(&unfinished)?;
            tempfile::NamedTempFile::new_in(&unfinished)?
        }
        other => other?,
    };
    temporary.write_all(bytes)?;
    make_readable(temporary.as_file())?;
    let path = root.join(name);
    match temporary.persist(&path) {
        Err(failed) if failed.error.kind() == io::ErrorKind::NotFound => {
            fs::create_dir_all(path.parent().unwrap_or(root))?;
            failed.file.persist(&path)?;
        }
        other => drop(other?),
    }
    Ok(())
}

/// Temporary files are private; a site is for everybody.
#[cfg(unix)]
fn make_readable(file: &fs::File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    file.set_permissions(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn make_readable(_: &fs::File) -> io::Result<()> {
    Ok(())
}

/// Removes the folders above a removed file that are now empty.
fn remove_empty_folders(root: &Path, removed: &Path) {
    for folder in removed
        .ancestors()
        .skip(1)
        .take_while(|folder| *folder != root)
    {
        if fs::remove_dir(folder).is_err() {
            break;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_changed_is_written_and_only_our_own_is_removed() {
        let folder = tempfile::tempdir().expect("a folder");
        let root = folder.path().join("site");
        let site = Site::open(&root).expect("made");
        site.write("a/one.html", b"1").expect("written");
        site.write("two.html", b"2").expect("written");
        assert_eq!(
            site.finish().expect("finished"),
            Tally {
                files: 2,
                changed: 2,
                removed: 0
            }
        );
        fs::write(root.join("mine.txt"), "keep").expect("written");

        let site = Site::open(&root).expect("ours");
        site.write("two.html", b"2").expect("the same");
        assert_eq!(
            site.finish().expect("finished"),
            Tally {
                files: 1,
                changed: 0,
                removed: 1
            }
        );
        assert!(!root.join("a").exists(), "an empty folder of ours goes too");
        assert!(root.join("mine.txt").exists(), "what is not ours stays");
    }

    #[test]
    fn a_folder_of_somebody_else_is_refused() {
        let folder = tempfile::tempdir().expect("a folder");
        fs::write(folder.path().join("letter.txt"), "dear").expect("written");
        assert!(Site::open(folder.path()).is_err(), "not empty and not ours");
    }

    #[test]
    fn a_forged_list_cannot_reach_outside() {
        let folder = tempfile::tempdir().expect("a folder");
        let outside = folder.path().join("outside.txt");
        fs::write(&outside, "keep").expect("written");
        let root = folder.path().join("site");
        fs::create_dir(&root).expect("made");
        let forged = format!("{HEADING}\n../outside.txt\n{}\n", outside.display());
        fs::write(root.join(MANIFEST), forged).expect("written");
        let tally = Site::open(&root)
            .expect("reads as ours")
            .finish()
            .expect("finished");
        assert_eq!(tally.removed, 0, "nothing was removed");
        assert!(outside.exists(), "and the file is still there");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_in_the_site_leads_nowhere() {
        let folder = tempfile::tempdir().expect("a folder");
        let outside = folder.path().join("outside");
        fs::create_dir(&outside).expect("made");
        fs::write(outside.join("index.html"), "keep").expect("written");
        let root = folder.path().join("site");
        fs::create_dir(&root).expect("made");
        std::os::unix::fs::symlink(&outside, root.join("boards")).expect("linked");
        let listed = format!("{HEADING}\nboards/index.html\n");
        fs::write(root.join(MANIFEST), listed).expect("written");

        let site = Site::open(&root).expect("reads as ours");
        let refused = site.write("boards/index.html", b"new").expect_err("a link");
        assert!(refused.to_string().contains("is a link"), "{refused}");
        assert_eq!(site.finish().expect("finished").removed, 0, "nor removed");
        let kept = fs::read_to_string(outside.join("index.html")).expect("there");
        assert_eq!(kept, "keep", "what the link leads to is left alone");

        fs::remove_file(root.join(MANIFEST)).expect("removed");
        std::os::unix::fs::symlink("/dev/zero", root.join(MANIFEST)).expect("linked");
        assert!(Site::open(&root).is_err(), "nor is the list a link");
    }

    #[test]
    fn a_compile_that_was_stopped_leaves_nothing_behind() {
        let folder = tempfile::tempdir().expect("a folder");
        let site = Site::open(folder.path()).expect("made");
        site.write("a/one.html", b"1").expect("written");
        // As if it were stopped here, within a file and within the name of the next.
        std::mem::forget(site);
        let unfinished = folder.path().join(UNFINISHED);
        fs::create_dir_all(&unfinished).expect("made");
        fs::write(unfinished.join("half"), "ha").expect("written");
        let mut manifest = fs::OpenOptions::new()
            .append(true)
            .open(folder.path().join(MANIFEST))
            .expect("the list is there");
        manifest.write_all(b"a").expect("written");

        let site = Site::open(folder.path()).expect("ours");
        site.write("two.html", b"2").expect("written");
        let tally = site.finish().expect("finished");
        assert_eq!((tally.files, tally.removed), (1, 1), "the page is known");
        let mut left: Vec<_> = fs::read_dir(folder.path())
            .expect("there")
            .map(|entry| entry.expect("readable").file_name())
            .collect();
        left.sort();
        assert_eq!(left, [MANIFEST, "two.html"], "and nothing else is there");
    }
}
