//! How a rigid cooler seats on pads and dies: pressure laws, force balance, bond lines, tolerances.
//!
//! The kernels take plain numbers and know no record, so that a handbook's example can be put to
//! them as it is printed. Lengths are millimetres, forces newtons, pressures kilopascals; a
//! kilopascal over a square millimetre is a millinewton.

mod action;
mod assembly;
mod balance;
pub mod bond;
mod domain;
mod frame;
pub mod law;
mod layer;
mod model;
mod newton;
mod seating;
mod slices;
mod symmetric;
pub mod tolerance;

pub use assembly::{
    Assembly, Cooler, Die, DieSeated, DieVerdict, Faces, Fitted, Gap, Material, Moment, Outcome,
    Paste, PieceSeated, Seated, Verdict, ZoneSeated,
};
pub use domain::Domain;
pub(crate) use domain::{not_negative, positive};
pub use law::{Foundation, Law, PadCurve, PadLaw, PasteLaw, Response};
pub use seating::{Plate, Problem, Reaction, Screw, Seating, Stop, Support, held};
