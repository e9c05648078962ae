//! What the jobs of a board say about a zone: plain means and ranges, and how well it is known.

use schemars::JsonSchema;
use serde::Serialize;

use crate::record::Job;
use crate::record::schema::{Words, words};

words! {
    /// How well a value is known; computed from the jobs, never declared.
    #[derive(PartialOrd, Ord)]
    pub enum Grade {
        /// No job measured it.
        Unmeasured = "unmeasured",
        /// One job measured it.
        OneJob = "one job",
        /// Several jobs of one bench measured it.
        OneBench = "one bench",
        /// Several benches measured it.
        IndependentBenches = "independent benches",
    }
}

impl Grade {
    /// Returns the grade of a value that these benches measured, one entry a job.
    pub fn of(benches: &[&str]) -> Self {
        match benches {
            [] => Self::Unmeasured,
            [_] => Self::OneJob,
            [first, rest @ ..] if rest.iter().all(|bench| bench == first) => Self::OneBench,
            _ => Self::IndependentBenches,
        }
    }
}

/// Some readings of one thing, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Spread {
    /// How many readings.
    pub count: usize,
    /// Their mean, mm.
    pub mean_mm: f64,
    /// The least, mm.
    pub least_mm: f64,
    /// The greatest, mm.
    pub greatest_mm: f64,
}

impl Spread {
    /// Returns the plain mean and range of readings, mm; nothing where there are none.
    pub fn of(readings_mm: &[f64]) -> Option<Self> {
        let least_mm = readings_mm.iter().copied().reduce(f64::min)?;
        let greatest_mm = readings_mm.iter().copied().reduce(f64::max)?;
        let count = readings_mm.len();
        #[expect(clippy::cast_precision_loss, reason = "a few hundred readings at most")]
        let mean_mm = readings_mm.iter().sum::<f64>() / count as f64;
        Some(Self {
            count,
            mean_mm,
            least_mm,
            greatest_mm,
        })
    }
}

/// What the jobs say about one zone.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ZoneEvidence {
    /// Edge readings: nearly the free thickness.
    pub edge: Option<Spread>,
    /// Imprint readings: nearly the gap.
    pub imprint: Option<Spread>,
    /// How well it is known.
    pub grade: Grade,
}

/// Gathers what jobs measured at a zone.
pub fn of_zone<'a>(zone: &str, jobs: impl IntoIterator<Item = &'a Job>) -> ZoneEvidence {
    let (mut edge, mut imprint, mut benches) = (Vec::new(), Vec::new(), Vec::new());
    for job in jobs {
        let mut measured = false;
        for reading in job.reading.iter().filter(|reading| reading.zone == zone) {
            edge.extend_from_slice(&reading.edge_mm);
            imprint.extend_from_slice(&reading.imprint_mm);
            measured |= !(reading.edge_mm.is_empty() && reading.imprint_mm.is_empty());
        }
        if measured {
            benches.push(&*job.bench);
        }
    }
    ZoneEvidence {
        edge: Spread::of(&edge),
        imprint: Spread::of(&imprint),
        grade: Grade::of(&benches),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bench_counts_once() {
        assert_eq!(Grade::of(&[]), Grade::Unmeasured, "none");
        assert_eq!(Grade::of(&["a"]), Grade::OneJob, "one");
        assert_eq!(Grade::of(&["a", "a"]), Grade::OneBench, "twice the same");
        assert_eq!(
            Grade::of(&["a", "a", "b"]),
            Grade::IndependentBenches,
            "another"
        );
    }
}
