//! From pieces to sheets and cuts: straight cuts, edge to edge, with a ruler and a blade.
//!
//! The kernel takes whole numbers and knows no record: [`Order`] in, [`Plan`] out, and [`check()`] proves
//! any plan by following it.

mod bound;
mod check;
mod exact;
mod frontier;
mod order;
mod plan;
mod roomiest;
mod search;
mod shelves;
mod solve;
mod tree;

pub use check::{Wrong, check};
pub use order::{MOST_PIECES, Order, Piece, Refusal, Size};
pub use plan::{Axis, Cut, Layout, Patch, Placed, Plan, Source};
pub use solve::{Effort, plan};
