//! How a rigid cooler seats on pads and dies: pressure laws, force balance, bond lines, tolerances.
//!
//! The kernels take plain numbers and know no record, so that a handbook's example can be put to
//! them as it is printed; [`gap`] and [`Fit`] read a board's record into them. Lengths are millimetres, forces newtons, pressures kilopascals; a
//! kilopascal over a square millimetre is a millinewton.

mod action;
mod assembly;
mod balance;
pub mod bond;
mod domain;
mod fit;
mod frame;
pub mod gap;
pub mod law;
mod layer;
mod model;
mod newton;
mod report;
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
pub use fit::{Fit, Trial, TriedPad, ZoneFit};
pub use law::{Foundation, Law, PadCurve, PadLaw, PasteLaw, Response};
pub use report::{FitDie, FitFacts, FitGap, FitPiece, FitYield, FitZone};
pub use seating::{Plate, Problem, Reaction, Screw, Seating, Stop, Support, held};
