//! Plan geometry in millimetres: the one quantity every module shares.
//!
//! Coordinates run from the board's lower-left corner seen from the front, x right, y up, on both
//! sides. Raw numbers elsewhere carry their unit in their name. How a number is written is here too, since
//! every module may write one.

mod clash;
mod cover;
mod flip;
mod number;
mod plan;
mod sizes;
mod thread;

pub use clash::Clash;
pub use cover::{covered_area, shared_area};
pub use flip::Flip;
pub use number::number;
pub(crate) use number::push_number;
pub use plan::{OVERLAP_MM, Point, Rect};
pub use sizes::sizes;
pub(crate) use thread::INCH_MM;
pub use thread::{head_radius_mm, nominal_mm};

/// Micrometres in a millimetre.
pub(crate) const UM_PER_MM: f64 = 1000.0;
