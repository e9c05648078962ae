//! What jobs of several benches come to: one value, its uncertainty, and what that is made of.
//!
//! A reading is off by its own scatter; a job by what its board differs from others; a bench, in all its
//! jobs, by the error of its instrument and by how its hands close the jaws. So jobs are first combined
//! within their bench, and then benches: a bench counts once, and its instrument does not become better by
//! being used often.

use super::consensus::{Agreement, Reported, agreement, mandel_paule, weighted_mean};
use super::sample::{Sample, as_f64};
use super::uncertainty::{COVERAGE, Component, half_width_beside, rectangular, resolution};

/// Scatter of readings on a soft pad, mm (common practice), and how many degrees of freedom that knowledge
/// is worth: two readings alone say little about how they scatter (JCGM 100:2008, 4.2.4, pools what is
/// known of a procedure).
const USUAL_SCATTER: Component = Component {
    standard: 0.02,
    degrees: 4.0,
};

/// How differently two benches close the jaws on a soft pad, plus or minus, mm; rectangular (common
/// practice). It is in no instrument's error.
const HAND_MM: f64 = 0.02;

/// A length gauge, as far as its errors go.
///
/// # Units
/// mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// Its maximum permissible error, plus or minus.
    pub max_error: f64,
    /// The smallest step it shows.
    pub resolution: f64,
}

/// The readings of one thing in one job.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The bench, by any number that is its own.
    pub bench: usize,
    /// The readings, mm.
    pub sample: Sample,
    /// What they were read with.
    pub gauge: Gauge,
}

/// How readings scatter and boards differ, as all jobs together tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Variation {
    /// Scatter of one reading.
    pub reading: Component,
    /// Spread between jobs of one bench beyond that: boards differ. Zero degrees where no bench did two.
    pub between_jobs: Component,
}

/// The value on which jobs agree, with its uncertainty.
///
/// # Units
/// mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Consensus {
    /// The value.
    pub value: f64,
    /// Its combined standard uncertainty, with the effective degrees of freedom.
    pub uncertainty: Component,
    /// How far either way the value is with a probability of 95 %.
    pub expanded: f64,
    /// Spread between benches beyond what their instruments and jobs explain.
    pub between_benches: f64,
    /// How benches agree; nothing of one bench.
    pub agreement: Option<Agreement>,
}

/// What the jobs of one bench come to.
struct Bench {
    mean: Reported,
    max_error: f64,
}

impl Variation {
    /// Finds out how readings scatter, pooled over jobs, and how jobs of one bench differ on boards of one
    /// kind; the jobs by the kind of their board.
    pub fn of(kinds: &[Vec<Measured>]) -> Self {
        let prior = USUAL_SCATTER.standard.powi(2) * USUAL_SCATTER.degrees;
        let jobs = || kinds.iter().flatten();
        let squares: f64 = jobs().map(|job| job.sample.squares()).sum();
        let own: f64 = jobs().map(|job| job.sample.degrees()).sum();
        let degrees = USUAL_SCATTER.degrees + own;
        let reading = Component {
            standard: ((prior + squares) / degrees).sqrt(),
            degrees,
        };
        let reported = |jobs: Vec<&Measured>| -> Vec<Reported> {
            jobs.iter().map(|job| job.reported(reading)).collect()
        };
        let benches = kinds.iter().flat_map(|jobs| by_bench(jobs));
        let benches: Vec<Vec<Reported>> = benches.map(reported).collect();
        let groups: Vec<&[Reported]> = benches.iter().map(Vec::as_slice).collect();
        let between_jobs = Component {
            standard: mandel_paule(&groups),
            degrees: as_f64(jobs().count() - benches.len()),
        };
        Self {
            reading,
            between_jobs,
        }
    }

    /// Returns how readings scatter, without how boards differ: what one job is uncertain by.
    fn of_one_job(&self) -> Self {
        Self {
            between_jobs: Component::known(0.0),
            ..*self
        }
    }
}

impl Measured {
    /// Returns the job's mean, with what is its own to be uncertain by: not its bench's errors.
    fn reported(&self, reading: Component) -> Reported {
        let of_mean = reading.standard / as_f64(self.sample.count).sqrt();
        Reported {
            value: self.sample.mean,
            standard: of_mean.hypot(resolution(self.gauge.resolution)),
        }
    }
}

impl Consensus {
    /// Combines jobs; nothing of none. `variation` is theirs, or that of more jobs than these.
    ///
    /// # References
    /// Mandel–Paule within benches and between them (Paule and Mandel 1982); Welch–Satterthwaite for the
    /// degrees of freedom (JCGM 100:2008, G.4); the largest of the rectangular errors is kept rectangular.
    pub fn of(jobs: &[Measured], variation: &Variation) -> Option<Self> {
        let benches: Vec<Bench> = by_bench(jobs)
            .iter()
            .map(|jobs| Bench::of(jobs, variation))
            .collect();
        if benches.is_empty() {
            return None;
        }
        let whole: Vec<Reported> = benches.iter().map(Bench::whole).collect();
        let between = mandel_paule(&[&whole]);
        let mean = weighted_mean(&whole, between);
        let shares: Vec<f64> = whole
            .iter()
            .map(|one| (mean.standard / one.standard.hypot(between)).powi(2))
            .collect();
        let (largest, rest) = parts(&benches, &shares, between, variation);
        let rectangle = Component::known(rectangular(largest));
        Some(Self {
            value: mean.value,
            uncertainty: Component::combined(&[rest, rectangle]),
            expanded: half_width_beside(largest, rest, COVERAGE),
            between_benches: between,
            agreement: (whole.len() > 1).then(|| agreement(&whole)),
        })
    }

    /// Returns what one job says of its own board.
    pub fn of_job(job: Measured, variation: &Variation) -> Self {
        let own = Self::of(&[job], &variation.of_one_job());
        own.expect("invariant: one job is enough")
    }
}

impl Bench {
    fn of(jobs: &[&Measured], variation: &Variation) -> Self {
        let between = variation.between_jobs.standard;
        let reported: Vec<Reported> = jobs
            .iter()
            .map(|job| job.reported(variation.reading))
            .collect();
        let mean = weighted_mean(&reported, between);
        let share = |one: &Reported| (mean.standard / one.standard.hypot(between)).powi(2);
        let errors = reported.iter().zip(jobs);
        Self {
            max_error: errors
                .map(|(one, job)| share(one) * job.gauge.max_error)
                .sum(),
            mean,
        }
    }

    /// Returns its mean with everything that it is uncertain by.
    fn whole(&self) -> Reported {
        let errors = rectangular(self.max_error).hypot(rectangular(HAND_MM));
        Reported {
            value: self.mean.value,
            standard: self.mean.standard.hypot(errors),
        }
    }
}

/// Splits the uncertainty of a mean of benches: the largest rectangular half width, and the rest combined.
fn parts(
    benches: &[Bench],
    shares: &[f64],
    between: f64,
    variation: &Variation,
) -> (f64, Component) {
    let length =
        |standards: &mut dyn Iterator<Item = f64>| -> f64 { standards.fold(0.0, f64::hypot) };
    let each = || benches.iter().zip(shares);
    let from_jobs = Component {
        standard: length(&mut each().map(|(bench, share)| share * bench.mean.standard)),
        degrees: if variation.between_jobs.standard > 0.0 {
            variation.between_jobs.degrees
        } else {
            variation.reading.degrees
        },
    };
    let from_benches = Component {
        standard: length(&mut shares.iter().map(|share| share * between)),
        degrees: f64::max(1.0, as_f64(benches.len()) - 1.0),
    };
    let mut errors: Vec<f64> = each()
        .flat_map(|(bench, share)| [share * bench.max_error, share * HAND_MM])
        .collect();
    errors.sort_by(f64::total_cmp);
    let largest = errors.pop().unwrap_or_default();
    let others = errors
        .into_iter()
        .map(|half| Component::known(rectangular(half)));
    let rest: Vec<Component> = [from_jobs, from_benches]
        .into_iter()
        .chain(others)
        .collect();
    (largest, Component::combined(&rest))
}

/// Groups jobs by their bench, in the order in which benches first appear.
fn by_bench(jobs: &[Measured]) -> Vec<Vec<&Measured>> {
    let mut groups: Vec<Vec<&Measured>> = Vec::new();
    for job in jobs {
        match groups.iter_mut().find(|group| group[0].bench == job.bench) {
            Some(group) => group.push(job),
            None => groups.push(vec![job]),
        }
    }
    groups
}
