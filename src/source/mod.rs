//! Files, text, TOML and places: what was written, and where.
//!
//! This module knows files and key paths; it does not know what any key means. What is wrong with a
//! file as text is kept as a list of [`Fault`]s beside it, for the linter to put into words.

mod bracket;
mod check;
mod document;
mod fault;
mod file;
mod picture;
mod place;
mod walk;

pub use check::Validator;
pub use document::{Document, TO_FILL_IN, is_hidden, parse};
pub use fault::{Fault, FaultKind, PictureFault, Wanted};
pub use file::{LARGEST_RECORD, read_bounded};
pub use picture::{LARGEST_PICTURE, MOST_PIXELS, picture_fault};
pub(crate) use place::keys;
pub use place::{FileId, KeyPath, Location, Place, Spot, Step, locate};
pub use walk::{Found, walk};
