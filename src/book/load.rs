use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::board::{MOST_PLACES, extent};
use super::{Board, Book, Job, Role, SourceFile, Stock};
use crate::Failure;
use crate::progress::Progress;
use crate::record::schema::Kind;
use crate::record::{self, Cutting, SCHEMA_VERSION, Thresholds};
use crate::source::{
    self, Fault, FaultKind, FileId, Found, LARGEST_RECORD, Validator, picture_fault, read_bounded,
    walk,
};

/// The file that marks a folder as a book.
pub const MARKER: &str = "gapbook.toml";

/// Finds the book that a path belongs to: the nearest folder above it with a `gapbook.toml`, or its
/// `boards` folder.
///
/// # Errors
/// When there is no such path, or no book above it.
pub fn find_root(start: &Path) -> Result<PathBuf, Failure> {
    let absolute =
        std::path::absolute(start).map_err(|error| Failure::io("look at", start, &error))?;
    if !absolute.exists() {
        return Err(Failure::new(format!("there is no `{}`", start.display()))
            .help("give the folder of a book, or a record in it"));
    }
    if absolute.join("boards").join(MARKER).is_file() {
        return Ok(start.join("boards"));
    }
    if start.join(MARKER).is_file() {
        return Ok(start.to_path_buf());
    }
    let above = absolute
        .ancestors()
        .find(|folder| folder.join(MARKER).is_file());
    above.map(Path::to_path_buf).ok_or_else(|| {
        Failure::new(format!("found no book at or above `{}`", start.display())).help(
            "a book is a folder with a `gapbook.toml`; this one begins a book:\n\n    \
             schema = 1\n    [book]\n    title = \"Our boards\"\n    publisher = \"Our bench\"\n    \
             licence = \"CC-BY-4.0\"\n\n  then add <maker>/<board>/board.toml beside it",
        )
    })
}

/// What a record file says, by its kind.
enum Read {
    Book(record::Book),
    Pads(record::Pads),
    Offcuts(record::Offcuts),
    Pastes(record::Pastes),
    Packages(record::Packages),
    Board(Box<record::Board>),
    Job(Box<record::Job>),
    Nothing,
}

impl Book {
    /// Loads a book from its folder, in parallel. What is wrong with a file is kept with it.
    ///
    /// # Errors
    /// When the folder is not there.
    pub fn load(root: &Path, progress: &dyn Progress) -> Result<Self, Failure> {
        if !root.is_dir() {
            return Err(Failure::new(format!(
                "there is no folder `{}`",
                root.display()
            )));
        }
        let walked = walk(root);
        let validators: BTreeMap<Kind, Validator> = Kind::ALL
            .into_par_iter()
            .map(|kind| (kind, Validator::new(kind.schema())))
            .collect();
        progress.begin("reading", walked.len());
        let read_one = |(index, found): (usize, Found)| {
            let id = FileId(u32::try_from(index).expect("invariant: the walk bounds the files"));
            let read = read(id, found, &validators);
            progress.step();
            read
        };
        let (files, reads): (Vec<_>, Vec<_>) =
            walked.into_par_iter().enumerate().map(read_one).unzip();
        Ok(Self::assemble(files, reads))
    }

    /// Loads a list of pads that lies outside a book, as a book of nothing else. What is wrong with it is kept
    /// with it.
    pub fn of_pads(path: &Path) -> Self {
        let found = Found {
            name: path.to_string_lossy().into_owned(),
            path: path.to_path_buf(),
            obstacle: None,
        };
        let kind = Kind::Pads;
        let validators = BTreeMap::from([(kind, Validator::new(kind.schema()))]);
        let (file, read) = read_as(Role::Record(kind), FileId(0), found, &validators);
        Self::assemble(vec![file], vec![read])
    }

    fn assemble(files: Vec<SourceFile>, reads: Vec<Read>) -> Self {
        let mut book = Self {
            files,
            head: None,
            rules: BTreeMap::new(),
            thresholds: Thresholds::default(),
            cutting: Cutting::default(),
            stock: Stock::default(),
            boards: Vec::new(),
            last_day: None,
            orphans: Vec::new(),
        };
        let mut boards = Vec::new();
        let mut jobs = Vec::new();
        for (file, read) in book.files.iter().map(|file| file.id).zip(reads) {
            match read {
                Read::Book(record) => {
                    (book.head, book.rules) = (Some(record.book), record.rules);
                    (book.thresholds, book.cutting) = (record.thresholds, record.cutting);
                }
                Read::Pads(record) => book.stock.pads = record.pad,
                Read::Offcuts(record) => book.stock.offcuts = record.offcut,
                Read::Pastes(record) => book.stock.pastes = record.paste,
                Read::Packages(record) => book.stock.packages = record.package,
                Read::Board(record) => boards.push((file, record)),
                Read::Job(record) => jobs.push(Job {
                    file,
                    record: *record,
                }),
                Read::Nothing => {}
            }
        }
        let stock = &book.stock;
        let resolve = |(file, record): (FileId, Box<record::Board>)| {
            let folder = folder_of(&book.files[file.0 as usize].name).to_owned();
            Board::resolve(file, folder, *record, stock)
        };
        book.boards = boards.into_par_iter().map(resolve).collect();
        book.boards
            .sort_by(|left, right| left.folder.cmp(&right.folder));
        book.hand_out_jobs(jobs);
        book.hand_out_photos();
        book
    }

    fn hand_out_jobs(&mut self, jobs: Vec<Job>) {
        for job in jobs {
            let folder = folder_of(&self.files[job.file.0 as usize].name);
            match self
                .boards
                .binary_search_by(|board| (*board.folder).cmp(folder))
            {
                Ok(at) => self.boards[at].jobs.push(job),
                Err(_) => self.orphans.push(job),
            }
        }
        for board in &mut self.boards {
            board.jobs.sort_by_key(|job| (job.record.date, job.file));
        }
    }

    fn hand_out_photos(&mut self) {
        for file in &self.files {
            let folder = folder_of(&file.name);
            if file.role == Role::Photo
                && let Ok(at) = self
                    .boards
                    .binary_search_by(|board| (*board.folder).cmp(folder))
            {
                self.boards[at].photos.push(file.id);
            }
        }
    }
}

/// Returns the board's folder that a file belongs to: the first two steps of its name.
fn folder_of(name: &str) -> &str {
    name.match_indices('/')
        .nth(1)
        .map_or(name, |(at, _)| &name[..at])
}

/// Tells what a file is to the book by its name alone.
fn role(name: &str) -> Role {
    let steps: Vec<&str> = name.split('/').collect();
    match &steps[..] {
        [MARKER] => Role::Record(Kind::Book),
        ["stock", "pads.toml"] => Role::Record(Kind::Pads),
        ["stock", "offcuts.toml"] => Role::Record(Kind::Offcuts),
        ["stock", "pastes.toml"] => Role::Record(Kind::Pastes),
        ["stock", "packages.toml"] => Role::Record(Kind::Packages),
        [_, _, "board.toml"] => Role::Record(Kind::Board),
        [_, _, "jobs", job] if job.strip_suffix(".toml").is_some() => Role::Record(Kind::Job),
        [_, _, "photos", _] => Role::Photo,
        _ => Role::Stray,
    }
}

fn read(id: FileId, found: Found, validators: &BTreeMap<Kind, Validator>) -> (SourceFile, Read) {
    read_as(role(&found.name), id, found, validators)
}

fn read_as(
    role: Role,
    id: FileId,
    found: Found,
    validators: &BTreeMap<Kind, Validator>,
) -> (SourceFile, Read) {
    let mut file = SourceFile {
        id,
        name: found.name,
        path: found.path,
        role,
        text: String::new(),
        faults: Vec::new(),
    };
    if let Some(obstacle) = found.obstacle {
        file.faults.push(Fault::of_file(obstacle));
        return (file, Read::Nothing);
    }
    if role == Role::Photo {
        file.faults.extend(picture_fault(&file.path));
    }
    let Role::Record(kind) = role else {
        return (file, Read::Nothing);
    };
    match read_text(&file.path) {
        Ok(text) => file.text = text,
        Err(fault) => {
            file.faults.push(fault);
            return (file, Read::Nothing);
        }
    }
    let validator = &validators[&kind];
    let read = match kind {
        Kind::Book => parse(&mut file, validator).map(Read::Book),
        Kind::Pads => parse(&mut file, validator).map(Read::Pads),
        Kind::Offcuts => parse(&mut file, validator).map(Read::Offcuts),
        Kind::Pastes => parse(&mut file, validator).map(Read::Pastes),
        Kind::Packages => parse(&mut file, validator).map(Read::Packages),
        Kind::Board => parse(&mut file, validator)
            .filter(|record| is_bounded(record, &mut file.faults))
            .map(|record| Read::Board(Box::new(record))),
        Kind::Job => parse(&mut file, validator).map(|record| Read::Job(Box::new(record))),
    };
    (file, read.unwrap_or(Read::Nothing))
}

/// Refuses a board's record that gives more than any board has.
fn is_bounded(record: &record::Board, faults: &mut Vec<Fault>) -> bool {
    let extent = extent(record);
    if extent > MOST_PLACES {
        faults.push(Fault {
            spot: source::Spot::File,
            kind: FaultKind::Refused(format!(
                "the record gives {extent} things and places, and at most {MOST_PLACES} are read"
            )),
        });
    }
    extent <= MOST_PLACES
}

fn read_text(path: &Path) -> Result<String, Fault> {
    String::from_utf8(read_bounded(path, LARGEST_RECORD)?).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        Fault {
            spot: source::Spot::File,
            kind: FaultKind::Unreadable(format!("byte {at} is not UTF-8")),
        }
    })
}

fn parse<T: serde::de::DeserializeOwned>(
    file: &mut SourceFile,
    validator: &Validator,
) -> Option<T> {
    let document = source::parse(&file.text, SCHEMA_VERSION, validator);
    file.faults = document.faults;
    document.record
}
