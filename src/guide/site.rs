//! The folder a site is written into.
//!
//! A file is written whole under a temporary name and then renamed, and only where its bytes
//! changed. What an earlier compile wrote and this one did not is removed; nothing else ever is.

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Component, Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::Failure;

/// The file that lists what a compile wrote, and marks the folder as this program's own.
pub const MANIFEST: &str = ".gapbook-site";

/// The manifest's first line.
const HEADING: &str = "gapbook site: the files below are written and removed by gapbook compile";

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
        let before = match fs::read(&manifest) {
            Ok(bytes) => read_manifest(&bytes).ok_or_else(|| {
                Failure::new(format!(
                    "`{}` is not a list this program wrote",
                    manifest.display()
                ))
                .help("give another folder, or delete that file if the folder is a site")
            })?,
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                let mut entries =
                    fs::read_dir(root).map_err(|error| Failure::io("look into", root, &error))?;
                if entries.next().is_some() {
                    return Err(Failure::new(format!(
                        "`{}` holds files that no compile wrote; they are left alone",
                        root.display()
                    ))
                    .help("give an empty folder, or one that is not there yet, with --out"));
                }
                BTreeSet::new()
            }
            Err(error) => return Err(Failure::io("read", &manifest, &error)),
        };
        let site = Self {
            root: root.to_path_buf(),
            before,
            written: Mutex::new(BTreeSet::new()),
            changed: AtomicUsize::new(0),
        };
        // Marked at once, so that a compile that is stopped half-way can be taken up again.
        site.write_manifest(&site.before)?;
        Ok(site)
    }

    /// Writes one file of the site, if its bytes changed.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(super) fn write(&self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        debug_assert!(is_safe(name), "names in the site are this program's own");
        let path = self.root.join(name);
        if !has_bytes(&path, bytes) {
            replace(&path, bytes).map_err(|error| Failure::io("write", &path, &error))?;
            self.changed.fetch_add(1, Ordering::Relaxed);
        }
        let mut written = self.written.lock().expect("invariant: no writer panics");
        written.insert(name.to_owned());
        Ok(())
    }

    /// Removes what an earlier compile wrote and this one did not, and lists what is there now.
    ///
    /// # Errors
    /// When a file cannot be removed, or the list not be written.
    pub(super) fn finish(self) -> Result<Tally, Failure> {
        let written =
            std::mem::take(&mut *self.written.lock().expect("invariant: no writer panics"));
        let mut removed = 0;
        for name in self
            .before
            .difference(&written)
            .filter(|name| is_safe(name))
        {
            let path = self.root.join(name);
            match fs::remove_file(&path) {
                Ok(()) => removed += 1,
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                Err(error) => return Err(Failure::io("remove", &path, &error)),
            }
            remove_empty_folders(&self.root, &path);
        }
        self.write_manifest(&written)?;
        Ok(Tally {
            files: written.len(),
            changed: self.changed.into_inner(),
            removed,
        })
    }

    fn write_manifest(&self, names: &BTreeSet<String>) -> Result<(), Failure> {
        let path = self.root.join(MANIFEST);
        let mut text = format!("{HEADING}\n");
        for name in names {
            text.push_str(name);
            text.push('\n');
        }
        if has_bytes(&path, text.as_bytes()) {
            return Ok(());
        }
        replace(&path, text.as_bytes()).map_err(|error| Failure::io("write", &path, &error))
    }
}

/// Returns the names in a manifest, or nothing where it is not one.
fn read_manifest(bytes: &[u8]) -> Option<BTreeSet<String>> {
    let text = std::str::from_utf8(bytes).ok()?;
    let (heading, names) = text.split_once('\n')?;
    (heading == HEADING).then(|| names.lines().map(str::to_owned).collect())
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

/// Writes a file whole: a reader sees the old bytes or the new, never half of either.
fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut temporary = match tempfile::NamedTempFile::new_in(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            fs::create_dir_all(folder)?;
            tempfile::NamedTempFile::new_in(folder)?
        }
        other => other?,
    };
    temporary.write_all(bytes)?;
    make_readable(temporary.as_file())?;
    temporary.persist(path)?;
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
}
