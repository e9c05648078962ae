//! Findings put before a reader: text for people, JSON lines for machines.

mod json;
mod text;

pub use json::json_line;
pub use text::text;
