//! A job that is not finished yet: every answer is on the disk before the next question is asked.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use gapbook::Failure;
use gapbook::record::Date;
use gapbook::source::read_bounded;
use toml::{Table, Value};

/// What drafts end in. They lie beside the job they will become, and begin with a dot, so that the book
/// does not read them.
const ENDING: &str = ".draft";

/// Largest draft that is read, bytes.
const LARGEST: u64 = 1 << 20;

/// Most jobs that one bench writes of one board in one day: one for each letter.
const LETTERS: std::ops::RangeInclusive<char> = 'b'..='z';

/// An unfinished job, and its file.
#[derive(Debug)]
pub(super) struct Draft {
    folder: PathBuf,
    /// The job's file, without its ending.
    name: String,
    /// What was answered, as it was typed, by the key of the question; oldest first.
    answers: Table,
}

impl Draft {
    /// Returns a draft without answers, under a name that nothing has yet.
    pub(super) fn new(folder: &Path, date: Date, bench: &str) -> Result<Self, Failure> {
        let head = [("date", date.to_string()), ("bench", bench.to_owned())];
        let answers = head.map(|(key, value)| (key.to_owned(), Value::from(value)));
        Ok(Self {
            folder: folder.to_path_buf(),
            name: free_name(folder, date, bench)?,
            answers: answers.into_iter().collect(),
        })
    }

    /// Returns the drafts in a folder, the newest job first.
    pub(super) fn all(folder: &Path) -> Result<Vec<Self>, Failure> {
        let Ok(entries) = fs::read_dir(folder) else {
            return Ok(Vec::new());
        };
        let names = entries.filter_map(|entry| {
            let name = entry.ok()?.file_name().into_string().ok()?;
            let name = name.strip_prefix('.')?.strip_suffix(ENDING)?;
            Some(name.to_owned())
        });
        let drafts = names.map(|name| Self::read(folder, name));
        let mut drafts: Vec<Self> = drafts.collect::<Result<_, _>>()?;
        drafts.sort_by(|left, right| right.name.cmp(&left.name));
        Ok(drafts)
    }

    fn read(folder: &Path, name: String) -> Result<Self, Failure> {
        let path = folder.join(format!(".{name}{ENDING}"));
        let bytes = read_bounded(&path, LARGEST).ok();
        let text = bytes.and_then(|bytes| String::from_utf8(bytes).ok());
        let answers: Option<Table> = text.and_then(|text| toml::from_str(&text).ok());
        let draft = answers.map(|answers| Self {
            folder: folder.to_path_buf(),
            name,
            answers,
        });
        draft.filter(|draft| draft.head().is_some()).ok_or_else(|| {
            Failure::new(format!("`{}` is no draft that can be read", path.display())).help(
                "it was changed by hand or by a disk: correct it, or delete it to begin again",
            )
        })
    }

    fn head(&self) -> Option<(Date, &str)> {
        let bench = self.answers.get("bench")?.as_str()?;
        super::answer::bench(bench).ok()?;
        Some((self.answers.get("date")?.as_str()?.parse().ok()?, bench))
    }

    /// Returns the day of the job.
    pub(super) fn date(&self) -> Date {
        self.head().expect("invariant: a draft has a head").0
    }

    /// Returns who measured.
    pub(super) fn bench(&self) -> &str {
        self.head().expect("invariant: a draft has a head").1
    }

    /// Returns the file it is kept in.
    pub(super) fn path(&self) -> PathBuf {
        self.folder.join(format!(".{}{ENDING}", self.name))
    }

    /// Returns what was answered.
    pub(super) fn answers(&self) -> &Table {
        &self.answers
    }

    /// Returns how many questions were answered.
    pub(super) fn len(&self) -> usize {
        self.answers.len() - 2
    }

    /// Keeps an answer, on the disk too; one to the same question is replaced.
    pub(super) fn put(&mut self, key: &str, typed: &str) -> Result<(), Failure> {
        self.answers.remove(key);
        self.answers.insert(key.to_owned(), Value::from(typed));
        self.save()
    }

    /// Takes the newest answer back, and returns whether there was one.
    pub(super) fn undo(&mut self) -> Result<bool, Failure> {
        let newest = self.answers.keys().next_back().cloned();
        let Some(key) = newest.filter(|_| self.len() > 0) else {
            return Ok(false);
        };
        self.answers.remove(&key);
        self.save().map(|()| true)
    }

    /// Writes the draft whole: whoever pulls the plug leaves this answer or the one before, never half.
    fn save(&self) -> Result<(), Failure> {
        let path = self.path();
        let new = path.with_extension("new");
        let text = toml::to_string(&self.answers).expect("invariant: a table is TOML");
        let written = fs::create_dir_all(&self.folder)
            .and_then(|()| durably(File::create(&new)?, &text))
            .and_then(|()| fs::rename(&new, &path));
        written.map_err(|error| unwritten(&path, &error))?;
        // Where a folder cannot be opened, as on Windows, its entries are written with the file.
        if let Ok(folder) = File::open(&self.folder) {
            folder.sync_all().ok();
        }
        Ok(())
    }

    /// Writes the finished job, unless its file is there, and removes the draft; returns the file.
    pub(super) fn finish(self, record: &str) -> Result<PathBuf, Failure> {
        let path = write(&self.folder, &self.name, record)?;
        fs::remove_file(self.path()).ok();
        Ok(path)
    }
}

/// Writes a job under a name that nothing has yet; returns its file.
pub(super) fn write(folder: &Path, name: &str, record: &str) -> Result<PathBuf, Failure> {
    let path = folder.join(format!("{name}.toml"));
    let file = fs::create_dir_all(folder)
        .and_then(|()| OpenOptions::new().write(true).create_new(true).open(&path));
    match file {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Err(Failure::new(format!(
            "`{}` is there already",
            path.display()
        ))
        .help("no job is overwritten: rename it, and run this again")),
        file => file
            .and_then(|file| durably(file, record))
            .map_err(|error| unwritten(&path, &error))
            .map(|()| path),
    }
}

/// Returns the name of a day's job of a bench; the second of a day has a letter, and so on.
pub(super) fn free_name(folder: &Path, date: Date, bench: &str) -> Result<String, Failure> {
    let name = format!("{date}-{bench}");
    let others = LETTERS.map(|letter| format!("{name}-{letter}"));
    let is_free = |name: &String| {
        let files = [format!("{name}.toml"), format!(".{name}{ENDING}")];
        files
            .iter()
            .all(|file| folder.join(file).symlink_metadata().is_err())
    };
    std::iter::once(name.clone())
        .chain(others)
        .find(is_free)
        .ok_or_else(|| {
            let folder = folder.display();
            Failure::new(format!("`{folder}` has every name that begins with {name}"))
                .help("give another --date or --bench")
        })
}

fn durably(mut file: File, text: &str) -> io::Result<()> {
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

fn unwritten(path: &Path, error: &io::Error) -> Failure {
    Failure::new(format!("could not write `{}`: {error}", path.display()))
        .help("make room, or make the folder writable; what was answered before is kept")
}
