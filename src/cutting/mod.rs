//! From pieces to sheets and cuts: straight cuts, edge to edge, with a ruler and a blade.
//!
//! The kernel takes whole numbers and knows no record: [`Order`] in, [`Plan`] out, and [`check()`] proves
//! any plan by following it. [`demand()`] reads what boards are fitted with into orders, and [`CutFacts`]
//! says what comes of it in millimetres and in words.

mod bound;
mod check;
mod demand;
mod exact;
mod frontier;
mod fullest;
mod in_turn;
mod order;
mod plan;
mod report;
mod roomiest;
mod search;
mod shelves;
mod solve;
mod strips;
mod tree;
mod wording;

pub use check::{Wrong, check};
pub use demand::{Demand, Unsized, Wanted, demand, fits_a_sheet};
pub use order::{MOST_PIECES, Order, Piece, Refusal, Size};
pub use plan::{Axis, Cut, Layout, Patch, Placed, Plan, Source};
pub use report::{
    CutBoard, CutFacts, CutLayout, CutLine, CutPiece, CutPlace, CutStep, CutStock, CutZone, Remnant,
};
pub use solve::{Effort, plan};
pub use strips::{Strip, strips};
