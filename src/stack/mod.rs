//! How a rigid cooler seats on pads and dies: pressure laws, force balance, bond lines, tolerances.
//!
//! The kernels take plain numbers and know no record, so that a handbook's example can be put to
//! them as it is printed; [`gap`] and [`Fit`] read a board's record into them. Lengths are millimetres,
//! forces newtons, pressures kilopascals.

mod action;
mod assembly;
mod balance;
pub mod bond;
mod choice;
mod chosen;
pub mod conduction;
mod domain;
mod fit;
mod frame;
pub mod gap;
pub mod law;
mod layer;
mod model;
mod newton;
mod others;
mod power;
mod pressure;
mod reach;
mod report;
mod seating;
mod shelf;
mod slices;
mod spread;
mod substitution;
mod symmetric;
pub mod tolerance;
mod trouble;
mod window;
mod yields;

pub use assembly::{
    Assembly, Cooler, Die, DieSeated, DieVerdict, Faces, Fitted, Gap, Material, Moment, Outcome,
    Paste, PieceSeated, Seated, Verdict, ZoneSeated,
};
pub use choice::Choice;
pub use chosen::{Chosen, FitChoice};
pub use domain::Domain;
pub(crate) use domain::{not_negative, positive};
pub use fit::{Fit, Trial, TriedPad, ZoneFit};
pub use law::{Foundation, Law, PadCurve, PadLaw, PasteLaw, Response};
pub use others::{FitSpread, FitSubstitute, FitWrong, FitYield};
pub use report::{FitDie, FitFacts, FitGap, FitPiece, FitZone};
pub use seating::{Plate, Problem, Reaction, Screw, Seating, Stop, Support, held};
pub(crate) use shelf::not_stocked;
pub use shelf::{Offer, Shelf};
pub(crate) use shelf::{SAME_THICKNESS_MM, pad_curve};
pub use substitution::{NearestWrong, Substitute};
pub use trouble::Trouble;
pub use window::{Clash, SCAN_STEP_MM, Window};
pub use yields::{Tolerances, Yield, ZoneTolerance};
