//! Plan geometry in millimetres: the one quantity every module shares.
//!
//! Coordinates run from the board's lower-left corner seen from the front, x right, y up, on both
//! sides. Raw numbers elsewhere carry their unit in their name.

mod plan;

pub use plan::{Point, Rect};
