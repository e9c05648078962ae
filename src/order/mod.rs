//! What comes off before what, which tray its screws go into, and how they go back.
//!
//! [`graph`] reads off a record what holds, hides and ties what; [`search()`] orders that, and
//! [`cycle`] tells why it cannot; [`opening`] makes moves of it. [`tightening()`], [`torque`],
//! [`engagement`] and [`driver`] are about the screws themselves.

mod closing;
mod crossing;
pub mod cycle;
pub mod driver;
pub mod engagement;
mod fastening;
pub mod graph;
mod opening;
mod search;
mod thread;
mod tightening;
pub mod torque;
mod trays;

pub use closing::{Closing, closing, is_heavy};
pub use crossing::{Screw, crossing, screw_numbers};
pub use fastening::{Fastening, depth_mm, reach_mm};
pub use opening::{Move, Opening, Step, loose_beneath, opening, peeling, unheld};
pub use search::{Needs, Order, search};
pub use thread::Thread;
pub use tightening::{MOST_CROSSED, tightening};
pub use torque::Strength;
pub use trays::tray_letter;
