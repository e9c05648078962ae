//! From readings to a value with its uncertainty and its grade.
//!
//! The kernels take plain numbers and know no record: [`sample`] sums readings up, [`uncertainty`] combines
//! what a value is uncertain by, [`consensus`], [`outlier`], [`robust`] and [`interlab`] are the published
//! methods for several values, [`estimate`] puts jobs of benches together, [`nominal`] tells which thickness
//! was bought, [`squeeze`] what gap an imprint asks for, [`slip`] which readings are none. [`job`] and [`zone`] read the records.

pub mod consensus;
pub mod distribution;
pub mod estimate;
mod grade;
pub mod interlab;
pub mod job;
pub mod nominal;
pub mod outlier;
pub mod robust;
pub mod sample;
pub mod slip;
pub mod squeeze;
pub mod uncertainty;
pub mod zone;

pub use grade::Grade;
pub use job::{JobEvidence, JobValue, Quantity};
pub use zone::{Conclusion, Value, ZoneEvidence};
