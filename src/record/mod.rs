//! What a contributor may write: plain types, field for field, one record kind per file.
//!
//! The doc comments are the editor's hover text and the schema's descriptions. Nothing here reads a
//! file or judges a value; ranges are stated once, in the schema, and checked by the linter.

mod board;
mod book;
mod job;
pub mod schema;
mod stock;

pub use board::{
    Accept, Board, BoardHead, Body, BodyKind, Class, Connector, ConnectorKind, Engages,
    FastenerKind, Fasteners, From, Keepout, Latch, Limits, Note, NoteKind, Part, PartKind, Phase,
    Photo, Removal, Seat, Seats, Side, Zone,
};
pub use book::{Book, BookHead, Cutting, Level, Thresholds};
pub use job::{
    Date, Ended, Fitted, Instrument, InstrumentKind, Job, NoDay, Reading, Symptom, Temperatures,
};
pub use stock::{Deflection, Offcut, Offcuts, Package, Packages, Pad, Pads, Paste, Pastes};

/// The schema version that this program reads.
pub const SCHEMA_VERSION: u32 = 1;
