//! From readings to a value with its uncertainty and its grade.
//!
//! The kernels take plain numbers and know no record: [`sample`] sums readings up, [`uncertainty`] combines
//! what a value is uncertain by, [`consensus`], [`outlier`], [`robust`] and [`interlab`] are the published
//! methods for several values, [`estimate`] puts jobs of benches together, [`nominal`] tells which thickness
//! was bought, [`squeeze`] what gap an imprint asks for, [`Expected::odd`] which readings are likely a slip. [`job`]
//! and [`zone`] read the records.

pub mod consensus;
pub mod distribution;
pub mod estimate;
mod grade;
pub mod interlab;
pub mod job;
pub mod nominal;
mod odd;
pub mod outlier;
pub mod robust;
pub mod sample;
pub mod squeeze;
pub mod uncertainty;
pub mod zone;

pub use grade::Grade;
pub use job::{JobEvidence, JobValue, Quantity};
pub use odd::{Expected, LIMITS, Limits, Odd, Slip, Told};
pub use zone::{Conclusion, Value, ZoneEvidence};
