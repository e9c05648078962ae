//! What the records mean together: ids resolved, defaults applied, one immutable [`Book`].

mod board;
mod load;
mod stock;

use std::collections::BTreeMap;
use std::ops::Range;
use std::path::PathBuf;

pub use board::{Board, Face, Height, HeightOrigin, Job, Thing, Zone, is_on, share_a_revision};
pub use load::{MARKER, find_root};
pub use stock::Stock;

use crate::record::schema::Kind;
use crate::record::{BookHead, Cutting, Date, Level, Thresholds};
use crate::source::{Fault, FileId, Place, Spot};

/// A book of boards, as loaded from its folder.
#[derive(Debug)]
pub struct Book {
    /// Every file below the root, sorted by name; a [`FileId`] is a position in it. What cannot be
    /// read, such as a link or a closed folder, is among them with its fault.
    pub files: Vec<SourceFile>,
    /// Title and publisher, where the book has a `gapbook.toml` that can be read.
    pub head: Option<BookHead>,
    /// Rules raised or lowered by the book.
    pub rules: BTreeMap<String, Level>,
    /// From where on a pad or a die counts as ill fitted.
    pub thresholds: Thresholds,
    /// How pads are cut.
    pub cutting: Cutting,
    /// What can be fitted, and the usual heights of packages.
    pub stock: Stock,
    /// Boards whose record can be read, sorted by folder.
    pub boards: Vec<Board>,
    /// The last day that a job can be of; not known to a library without a clock, unless its caller says.
    pub last_day: Option<Date>,
    /// Jobs in a folder whose board cannot be read or is not there.
    pub orphans: Vec<Job>,
}

/// What a file is to the book, by its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// A record of this kind.
    Record(Kind),
    /// A picture in a board's photos folder.
    Photo,
    /// Nothing that the book reads.
    Stray,
}

/// One file of the book.
#[derive(Debug)]
pub struct SourceFile {
    /// Its position among the book's files.
    pub id: FileId,
    /// Its path below the root, with forward slashes.
    pub name: String,
    /// Its path on this machine.
    pub path: PathBuf,
    /// What it is to the book.
    pub role: Role,
    /// Its text, where it is a record that could be read.
    pub text: String,
    /// What is wrong with it as a file, a text or a picture.
    pub faults: Vec<Fault>,
}

impl SourceFile {
    /// Returns a place in this file.
    pub fn at(&self, spot: &Spot) -> Place {
        Place {
            file: self.id,
            spot: spot.clone(),
        }
    }
}

impl Book {
    /// Returns a file.
    pub fn file(&self, id: FileId) -> &SourceFile {
        &self.files[id.0 as usize]
    }

    /// Returns the file with this name below the root.
    pub fn file_named(&self, name: &str) -> Option<&SourceFile> {
        let at = self.files.binary_search_by(|file| (*file.name).cmp(name));
        at.ok().map(|at| &self.files[at])
    }

    /// Returns the files in a folder and below it, by the first and the one after the last: names are
    /// sorted, so they lie together.
    pub fn files_below(&self, folder: &str) -> Range<FileId> {
        let inside = format!("{folder}/");
        let start = self.files.partition_point(|file| file.name < inside);
        let is_inside = |file: &SourceFile| file.name.starts_with(&inside);
        let end = start + self.files[start..].partition_point(is_inside);
        let id = |at| FileId(u32::try_from(at).expect("invariant: the walk bounds the files"));
        id(start)..id(end)
    }

    /// Returns the board with this id.
    pub fn board(&self, id: &str) -> Option<&Board> {
        self.boards.iter().find(|board| board.id() == id)
    }
}
