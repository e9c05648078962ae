//! What the jobs of a board say about a zone: plain means and ranges, and how well it is known.

mod odd;

use schemars::JsonSchema;
use serde::Serialize;

pub use odd::{At, Expected, LIMITS, Limits, Odd, Slip, Told};

use crate::record::Job;
use crate::record::schema::{Words, words};

words! {
    /// How well a value is known; computed from the jobs, never declared.
    #[derive(PartialOrd, Ord)]
    pub enum Grade {
        /// Jobs measured different things: it is known less than where nobody looked, since whichever
        /// figure one takes, a bench read another.
        Dissent = "dissent",
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

/// The grid on which maker's pads are told apart, mm: they are sold in steps of half a millimetre, and
/// the quarters between them are a repairer's (common practice).
const GRID_MM: f64 = 0.5;

/// Means closer than this agree, mm, though each may be nearest to another thickness: an edge reading
/// scatters by a tenth of a millimetre either way (common practice).
const AGREE_MM: f64 = 0.2;

/// Means further apart than this dissent where the stock does not tell which pads there are, mm (common
/// practice: more than half a step, and more than a caliper's scatter on a soft pad).
const APART_MM: f64 = 0.3;

/// What one job read of a zone.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct JobEvidence {
    /// The day.
    pub date: String,
    /// Who measured.
    pub bench: String,
    /// Its edge readings.
    pub edge: Option<Spread>,
    /// Its imprint readings.
    pub imprint: Option<Spread>,
}

/// What the jobs say about one zone.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ZoneEvidence {
    /// Edge readings of all jobs: nearly the free thickness. None where jobs dissent, since a mean of
    /// two different pads is no pad.
    pub edge: Option<Spread>,
    /// Imprint readings of all jobs: nearly the gap. None where jobs dissent.
    pub imprint: Option<Spread>,
    /// What each job read that measured it, oldest first.
    pub jobs: Vec<JobEvidence>,
    /// How well it is known.
    pub grade: Grade,
}

/// Gathers what jobs measured at a zone. `stocked_mm` are the thicknesses that can be bought; none
/// where that is not known.
pub fn of_zone<'a>(
    zone: &str,
    jobs: impl IntoIterator<Item = &'a Job>,
    stocked_mm: &[f64],
) -> ZoneEvidence {
    let (mut edge, mut imprint, mut measured) = (Vec::new(), Vec::new(), Vec::new());
    for job in jobs {
        let (first_edge, first_imprint) = (edge.len(), imprint.len());
        for reading in job.reading.iter().filter(|reading| reading.zone == zone) {
            edge.extend_from_slice(&reading.edge_mm);
            imprint.extend_from_slice(&reading.imprint_mm);
        }
        let of_job = JobEvidence {
            date: job.date.to_string(),
            bench: job.bench.clone(),
            edge: Spread::of(&edge[first_edge..]),
            imprint: Spread::of(&imprint[first_imprint..]),
        };
        if of_job.edge.is_some() || of_job.imprint.is_some() {
            measured.push(of_job);
        }
    }
    let means: Vec<f64> = measured
        .iter()
        .filter_map(|job| Some(job.edge?.mean_mm))
        .collect();
    if is_dissent(&means, stocked_mm) {
        return ZoneEvidence {
            edge: None,
            imprint: None,
            jobs: measured,
            grade: Grade::Dissent,
        };
    }
    let benches: Vec<&str> = measured.iter().map(|job| &*job.bench).collect();
    ZoneEvidence {
        edge: Spread::of(&edge),
        imprint: Spread::of(&imprint),
        grade: Grade::of(&benches),
        jobs: measured,
    }
}

/// Tells whether two jobs cannot have measured the same pad: their mean edge readings are nearest to
/// different stocked thicknesses on the grid of half millimetres, or where none is stocked, far apart.
fn is_dissent(means_mm: &[f64], stocked_mm: &[f64]) -> bool {
    let is_on_grid = |mm: &f64| (mm / GRID_MM - (mm / GRID_MM).round()).abs() < 1e-6;
    let grid: Vec<f64> = stocked_mm.iter().copied().filter(is_on_grid).collect();
    let nearest = |mean: f64| {
        let closer = |a: &f64, b: &f64| (a - mean).abs().total_cmp(&(b - mean).abs());
        grid.iter().copied().min_by(closer)
    };
    let dissent = |left: f64, right: f64| {
        let apart = (left - right).abs();
        match (nearest(left), nearest(right)) {
            (Some(one), Some(other)) => apart > AGREE_MM && (one - other).abs() > f64::EPSILON,
            _ => apart > APART_MM,
        }
    };
    // The furthest apart fall on different thicknesses if any two do.
    let least = means_mm.iter().copied().reduce(f64::min);
    let greatest = means_mm.iter().copied().reduce(f64::max);
    least
        .zip(greatest)
        .is_some_and(|(least, greatest)| dissent(least, greatest))
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
    #[test]
    fn different_pads_are_a_dissent() {
        const STOCKED: [f64; 6] = [0.5, 1.0, 1.5, 1.75, 2.0, 2.5];
        let cases: [(&[f64], &[f64], bool); 8] = [
            (&[], &STOCKED, false),
            (&[1.98], &STOCKED, false),
            (&[1.98, 2.0, 2.49], &STOCKED, true),
            (&[1.98, 1.77], &STOCKED, false), // both 2.0: quarters do not count
            (&[2.2, 2.3], &STOCKED, false),   // 2.0 and 2.5, but a scatter apart
            (&[1.45, 1.8], &STOCKED, true),
            (&[1.98, 2.25], &[], false),
            (&[1.98, 2.49], &[], true),
        ];
        for (means_mm, stocked_mm, expected) in cases {
            assert_eq!(is_dissent(means_mm, stocked_mm), expected, "{means_mm:?}");
        }
    }
}
