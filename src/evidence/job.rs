//! What one job read of a zone, as its record has it.

use schemars::JsonSchema;
use serde::Serialize;

use super::estimate::{Gauge, Measured};
use super::odd::Expected;
use super::sample::Sample;
use crate::book::Job;
use crate::record::{Instrument, Reading};
use crate::source::{Place, keys};

/// A caliper's errors, where the job says nothing of its instrument: DIN 862, up to 300 mm.
const UNSTATED: Gauge = Gauge {
    max_error: 0.03,
    resolution: 0.01,
};

/// Fewest readings in a row that two jobs hardly ever share to the last digit. Honest readings scatter by
/// several steps of a caliper: two agree in one case of seven, four in one of 2,000.
const FEWEST_TO_COPY: usize = 4;

/// How far an old pad's edge may be from the record's thickness and still be that pad, mm: half the
/// usual step between stocked thicknesses. Under another pad the cooler may have sat elsewhere.
const SAME_PAD_MM: f64 = 0.25;

/// One of the two things that are read of an old pad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Quantity {
    /// Thickness where nothing squeezed it.
    Edge,
    /// Thickness where the part squeezed it.
    Imprint,
}

/// What one job read of one thing.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct JobValue {
    /// The readings, mm.
    pub readings_mm: Vec<f64>,
    /// Their mean, mm.
    pub mean_mm: f64,
    /// Their standard deviation, mm; null of one.
    pub deviation_mm: Option<f64>,
    /// How far off the mean may be, either way, with a probability of 95 %, mm.
    pub uncertainty_mm: f64,
    /// Effective degrees of freedom of that.
    pub degrees: f64,
    /// Whether it lies too far from the other jobs.
    pub outlying: bool,
    #[serde(skip)]
    pub(crate) measured: Measured,
    #[serde(skip)]
    pub(crate) place: Place,
}

/// What one job read of a zone.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct JobEvidence {
    /// The day.
    pub date: String,
    /// Who measured.
    pub bench: String,
    /// The revision of its board.
    pub revision: Option<String>,
    /// Its edge readings.
    pub edge: Option<JobValue>,
    /// Its imprint readings.
    pub imprint: Option<JobValue>,
    /// The job whose readings it has to the last digit, by position in this list: it counts as that
    /// job's bench.
    pub copy_of: Option<usize>,
    #[serde(skip)]
    pub(super) number: usize,
}

impl Quantity {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Edge, Self::Imprint];

    /// Returns its name.
    pub fn word(self) -> &'static str {
        match self {
            Self::Edge => "edge",
            Self::Imprint => "imprint",
        }
    }

    /// Returns its key in a job record.
    pub fn key(self) -> &'static str {
        match self {
            Self::Edge => "edge_mm",
            Self::Imprint => "imprint_mm",
        }
    }

    /// Returns its readings.
    pub(crate) fn of(self, reading: &Reading) -> &[f64] {
        match self {
            Self::Edge => &reading.edge_mm,
            Self::Imprint => &reading.imprint_mm,
        }
    }
}

impl JobEvidence {
    /// Reads jobs that measured a zone, in their order. Readings that slipped are left out: what they were
    /// meant to be is for their bench to say.
    pub(super) fn all(zone: &str, expected: &Expected, jobs: &[&Job]) -> Vec<Self> {
        let jobs = jobs.iter();
        let mut jobs: Vec<Self> = jobs
            .filter_map(|job| Self::of(job, zone, expected))
            .collect();
        number_benches(&mut jobs);
        jobs
    }

    fn of(job: &Job, zone: &str, expected: &Expected) -> Option<Self> {
        let record = &job.record;
        let [edge, imprint] =
            Quantity::ALL.map(|quantity| JobValue::of(job, zone, quantity, expected));
        (edge.is_some() || imprint.is_some()).then(|| Self {
            date: record.date.to_string(),
            bench: record.bench.clone(),
            revision: record.revision.clone(),
            edge,
            imprint,
            copy_of: None,
            number: 0,
        })
    }

    /// Returns what it read of one thing.
    pub fn value(&self, quantity: Quantity) -> Option<&JobValue> {
        match quantity {
            Quantity::Edge => self.edge.as_ref(),
            Quantity::Imprint => self.imprint.as_ref(),
        }
    }

    pub(super) fn value_mut(&mut self, quantity: Quantity) -> Option<&mut JobValue> {
        match quantity {
            Quantity::Edge => self.edge.as_mut(),
            Quantity::Imprint => self.imprint.as_mut(),
        }
    }

    /// Tells whether its old pad may have been of this thickness, mm: its edge does not say otherwise.
    pub(crate) fn is_of(&self, pad_mm: Option<f64>) -> bool {
        let both = pad_mm.zip(self.edge.as_ref());
        both.is_none_or(|(pad_mm, edge)| (pad_mm - edge.mean_mm).abs() <= SAME_PAD_MM)
    }

    /// Returns its values, edge before imprint.
    pub(crate) fn values(&self) -> impl Iterator<Item = &JobValue> {
        [&self.edge, &self.imprint].into_iter().flatten()
    }

    /// Tells whether another job has the same readings to the last digit, and so many that chance does
    /// not explain it.
    fn is_copy_of(&self, other: &Self) -> bool {
        let readings = |job: &Self| -> Vec<f64> {
            let values = job.values().flat_map(|value| &value.readings_mm);
            values.copied().collect()
        };
        let (own, others) = (readings(self), readings(other));
        let varied = own.iter().any(|one| one.total_cmp(&own[0]).is_ne());
        varied && own.len() >= FEWEST_TO_COPY && own == others
    }
}

impl JobValue {
    fn of(job: &Job, zone: &str, quantity: Quantity, expected: &Expected) -> Option<Self> {
        let slipped = |one: f64| expected.slip(one, quantity).is_some();
        let readings = job.record.reading.iter().enumerate();
        let here = readings.filter(|(_, reading)| reading.zone == zone);
        let read: Vec<(usize, f64)> = here
            .flat_map(|(index, reading)| quantity.of(reading).iter().map(move |&one| (index, one)))
            .filter(|&(_, one)| !slipped(one))
            .collect();
        let &(first, _) = read.first()?;
        let readings_mm: Vec<f64> = read.into_iter().map(|(_, one)| one).collect();
        let sample = Sample::of(&readings_mm)?;
        Some(Self {
            readings_mm,
            mean_mm: sample.mean,
            deviation_mm: (sample.count > 1).then_some(sample.deviation),
            uncertainty_mm: 0.0,
            degrees: 0.0,
            outlying: false,
            measured: Measured {
                bench: 0,
                sample,
                gauge: gauge(job.record.instrument.as_ref()),
            },
            place: job.at(keys!["reading", first, quantity.key()]),
        })
    }
}

/// Returns an instrument's errors, with a caliper's where they are not stated.
pub(crate) fn gauge(instrument: Option<&Instrument>) -> Gauge {
    let stated = |key: fn(&Instrument) -> Option<f64>| instrument.and_then(key);
    Gauge {
        max_error: stated(|one| one.max_error_mm).unwrap_or(UNSTATED.max_error),
        resolution: stated(|one| one.resolution_mm).unwrap_or(UNSTATED.resolution),
    }
}

/// Numbers the benches, and counts a job that is likely another's copy as that job's bench.
fn number_benches(jobs: &mut [JobEvidence]) {
    for index in 0..jobs.len() {
        let (before, rest) = jobs.split_at_mut(index);
        let job = &mut rest[0];
        job.copy_of = before.iter().position(|other| job.is_copy_of(other));
        let same = before.iter().position(|other| other.bench == job.bench);
        let first = job.copy_of.or(same);
        job.number = first.map_or(index, |first| before[first].number);
        let number = job.number;
        for value in [&mut job.edge, &mut job.imprint].into_iter().flatten() {
            value.measured.bench = number;
        }
    }
}
