//! A compiler and linter for a plain-text book of pad-cooled boards.
//!
//! Data flows one way, and each module knows only those above it:
//!
//! - [`units`]: plan geometry in millimetres;
//! - [`source`]: files, text, TOML and places: what was written, and where;
//! - [`record`]: what a contributor may write, field for field;
//! - [`book`]: what the records mean together;
//! - [`stack`]: how a cooler seats on pads and dies;
//! - [`heat`]: temperature drops;
//! - [`lint`]: rules over the book, giving findings.

mod failure;
pub mod progress;

pub mod units;

pub mod source;

pub mod record;

pub mod book;

pub mod stack;

pub mod heat;

pub mod lint;

pub use failure::Failure;
