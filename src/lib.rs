//! A compiler and linter for a plain-text book of pad-cooled boards.
//!
//! Data flows one way, and each module knows only those above it:
//!
//! - [`units`]: plan geometry in millimetres;
//! - [`source`]: files, text, TOML and places: what was written, and where;
//! - [`record`]: what a contributor may write, field for field;
//! - [`markdown`]: Markdown that strangers wrote, as HTML that can do no harm;
//! - [`book`]: what the records mean together;
//! - [`evidence`]: what the jobs say about a value, and how well it is known;
//! - [`stack`]: how a cooler seats on pads and dies;
//! - [`heat`]: what temperatures say of a board, before a job and after;
//! - [`order`]: what comes off before what, and into which tray;
//! - [`cutting`]: from pieces to sheets, cuts and offcuts;
//! - [`lint`]: rules over the book, giving findings;
//! - [`drawing`]: the maps of a board, as SVG;
//! - [`guide`]: pages, index and data, written as a site.

mod dice;
mod failure;
pub mod progress;

pub mod units;

pub mod source;

pub mod record;

pub mod markdown;

pub mod book;

pub mod evidence;

pub mod stack;

pub mod heat;

pub mod order;

pub mod cutting;

pub mod lint;

pub mod drawing;

pub mod guide;

pub use failure::Failure;
