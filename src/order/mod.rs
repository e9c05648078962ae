//! What comes off before what, and which tray its screws go into.

mod bodies;
mod opening;
mod trays;

pub use bodies::{BodyOrder, Sequence, bodies, sequence};
pub use opening::{Move, opening, peeling};
pub use trays::tray_letter;
