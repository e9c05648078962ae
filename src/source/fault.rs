//! What is wrong with a file as text, as data: the linter puts it into words.

use super::{KeyPath, Spot};

/// One thing wrong with a file, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Where.
    pub spot: Spot,
    /// What.
    pub kind: FaultKind,
}

/// What a key's value should have been.
#[derive(Clone, Debug, PartialEq)]
pub enum Wanted {
    /// One of these types, in the schema's words; "day" is TOML's local date.
    Type(Vec<String>),
    /// One of these words.
    Word(Vec<String>),
    /// At least this.
    AtLeast(f64),
    /// More than this.
    MoreThan(f64),
    /// At most this.
    AtMost(f64),
    /// A list or text of at least this many items or characters.
    Longer(u64),
    /// A list or text of at most this many items or characters.
    Shorter(u64),
    /// Text of this form (a regular expression).
    Form(String),
}

/// Why a picture cannot be shown.
#[derive(Clone, Debug, PartialEq)]
pub enum PictureFault {
    /// The file is larger than a picture may be, bytes.
    TooLarge(u64),
    /// By its content it is neither PNG, JPEG nor WebP.
    Foreign,
    /// Its header cannot be read, and why.
    Broken(String),
    /// It has more pixels than a picture may have: width and height.
    TooManyPixels(u32, u32),
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq)]
pub enum FaultKind {
    /// A symbolic link: not followed, wherever it leads.
    Link,
    /// The file could not be read, or its text or name is not UTF-8.
    Unreadable(String),
    /// The file is larger than a record may be, bytes.
    TooLarge(u64),
    /// The text is not TOML.
    Syntax(String),
    /// The text is not TOML, since this bracket is never closed.
    Unclosed(char),
    /// A key that the record kind does not have; those it has there.
    UnknownKey {
        /// The key as written.
        key: String,
        /// The keys that are known at that place.
        known: Vec<String>,
    },
    /// A key that must be there is not.
    MissingKey(String),
    /// A value that is not what it should be.
    Unfit {
        /// The value as written, shortened.
        found: String,
        /// What it should have been.
        wanted: Wanted,
    },
    /// `schema` names a version that this program does not read.
    UnknownVersion(String),
    /// A number that is not finite.
    NotFinite(String),
    /// A character that does not show, or that turns the direction of text.
    Hidden(char),
    /// A picture that cannot be shown.
    Picture(PictureFault),
    /// The record type refused it for a reason the schema cannot state.
    Refused(String),
}

impl Fault {
    /// Returns a fault at a value.
    pub(crate) fn at_value(path: KeyPath, kind: FaultKind) -> Self {
        Self {
            spot: Spot::Value(path),
            kind,
        }
    }

    /// Returns a fault of a whole file.
    pub(crate) fn of_file(kind: FaultKind) -> Self {
        Self {
            spot: Spot::File,
            kind,
        }
    }

    /// Tells whether the record cannot be trusted further: its other rules are not run.
    pub fn blocks(&self) -> bool {
        !matches!(self.kind, FaultKind::Hidden(_))
    }
}
