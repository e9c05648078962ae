//! What temperatures say of a board: whether to open it, whether a job has cured it, and where to look if not.
//!
//! The kernels take plain numbers; [`board`] alone looks at records and at a solved stack-up.

pub mod board;
mod cause;
mod estimate;
pub mod fahrenheit;
mod healthy;
mod odd;
mod proof;
mod reading;
mod rise;
mod state;
mod triage;

pub use cause::{Cause, Difference, Hypothesis, Suspect, Whence, rank};
pub use estimate::Estimate;
pub use healthy::{Range, predict};
pub use odd::{impossible, likely_fahrenheit, odd, without_fahrenheit};
pub use proof::{Change, Changed, Proof, Proved, prove};
pub use reading::{Limits, Normal, Read, Readings, Sensor};
pub use rise::{AMBIENT_K, HEAT_SHARE, SENSOR_K, excess_per_watt, per_watt};
pub use state::{
    COLD_K, COLD_SHARE, FAINT_LOAD_SHARE, FAN_SHARE, FULL_LOAD_SHARE, MISREAD_LOAD_SHARE, NEAR_K,
    SensorState, Standing, misread_heat,
};
pub use triage::{HOT_ROOM_C, HOTSPOT_FAR_K, HOTSPOT_ROOM_K, Triage, Verdict, triage};
