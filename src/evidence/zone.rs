//! What the jobs of a board say about one zone: read off the records, and concluded.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use super::consensus::Reported;
use super::estimate::{Consensus, Measured, Variation};
use super::grade::Grade;
use super::interlab::Spread;
use super::job::{JobEvidence, JobValue, Quantity};
use super::nominal::{self, Nominal};
use super::odd::Expected;
use super::outlier::outlying;
use super::sample::Sample;
use super::squeeze::{self, Extent};
use super::uncertainty::{COVERAGE, Component};
use crate::book::{Board, Book, Job};
use crate::record::Zone;

/// Two jobs read different pads where the probability that they read the same is less than this.
const DISSENT: f64 = 0.05;

/// Standard deviation between boards of one revision, as a fraction, where no bench measured two: half the
/// tolerance that makers of pads state (common practice).
const BOARDS_DIFFER: f64 = 0.05;

/// A value that jobs agree on.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub struct Value {
    /// The consensus, mm.
    pub value_mm: f64,
    /// How far off it may be, either way, with a probability of 95 %, mm.
    pub uncertainty_mm: f64,
    /// Effective degrees of freedom of that.
    pub degrees: f64,
    /// How many readings.
    pub readings: usize,
    /// How many jobs.
    pub jobs: usize,
    /// How many benches.
    pub benches: usize,
    /// Standard deviation of readings within a bench, mm; null of one bench.
    pub within_bench_mm: Option<f64>,
    /// Standard deviation between benches beyond that, mm; null of one bench.
    pub between_benches_mm: Option<f64>,
    /// How many times further apart benches are than they claim; null of one bench.
    pub birge_ratio: Option<f64>,
    /// How well it is known.
    pub grade: Grade,
    #[serde(skip)]
    pub(crate) estimate: Consensus,
}

/// What some jobs say about a zone.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Conclusion {
    /// Consensus of the edge readings: nearly the free thickness. Null where jobs dissent, since a mean
    /// of two different pads is no pad.
    pub edge: Option<Value>,
    /// Consensus of the imprint readings: nearly the gap. Null where jobs dissent.
    pub imprint: Option<Value>,
    /// The stocked thickness that the edge readings are likeliest of.
    pub nominal: Option<Nominal>,
    /// The gap that the imprint asks for, mm.
    pub gap: Option<Extent>,
    /// The strain that the maker chose, as a fraction of the free thickness.
    pub strain: Option<Extent>,
    /// How well the zone is known.
    pub grade: Grade,
    /// What would raise the grade; null of the best.
    pub raised_by: Option<&'static str>,
}

/// What the jobs on boards of one revision say about a zone.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct RevisionEvidence {
    /// The revision.
    pub revision: String,
    /// What they say.
    #[serde(flatten)]
    pub conclusion: Conclusion,
}

/// Whether two revisions differ.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Difference {
    /// In what.
    pub quantity: Quantity,
    /// The two revisions.
    pub revisions: [String; 2],
    /// How much greater the second's is, mm.
    pub difference_mm: f64,
    /// How far off that may be, either way, with a probability of 95 %, mm.
    pub uncertainty_mm: f64,
    /// Whether they really differ: by more than that.
    pub differ: bool,
}

/// What the jobs say about one zone.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ZoneEvidence {
    /// What all of them say together; no value where revisions differ.
    #[serde(flatten)]
    pub conclusion: Conclusion,
    /// What the jobs of each revision say, where jobs name more than one.
    pub revisions: Vec<RevisionEvidence>,
    /// How the revisions compare, each with each.
    pub differences: Vec<Difference>,
    /// Whether two revisions really differ, so that all of them together have no value.
    pub apart: bool,
    /// What each job read that measured it, oldest first.
    pub jobs: Vec<JobEvidence>,
}

/// What is to be known of a board and a book to conclude from readings.
struct Context {
    /// Thicknesses that can be bought, mm.
    stocked_mm: Vec<f64>,
    /// How much an imprint of the maker's pad springs back.
    rebound: f64,
    edge: Variation,
    imprint: Variation,
}

impl ZoneEvidence {
    /// Gathers what all jobs of a board measured, zone by zone.
    pub fn all(book: &Book, board: &Board) -> Vec<Self> {
        let jobs: Vec<&Job> = board.own_jobs().collect();
        let zones = 0..board.record.zone.len();
        zones
            .map(|zone| Self::of(book, board, zone, &jobs))
            .collect()
    }

    /// Gathers what jobs measured at a zone, by its position, and concludes from it.
    pub fn of(book: &Book, board: &Board, zone: usize, jobs: &[&Job]) -> Self {
        let written = &board.record.zone[zone];
        let expected = Expected::of(book, board, zone);
        Self::concluded(
            book,
            written,
            JobEvidence::all(&written.id, &expected, jobs),
        )
    }

    /// Gathers what the jobs measured that found the record's pad at a zone, not another.
    pub(crate) fn of_makers_pad(book: &Book, board: &Board, zone: usize) -> Self {
        let written = &board.record.zone[zone];
        let jobs: Vec<&Job> = board.own_jobs().collect();
        let expected = Expected::of(book, board, zone);
        let mut jobs = JobEvidence::all(&written.id, &expected, &jobs);
        jobs.retain(|job| job.is_of(written.pad_mm));
        Self::concluded(book, written, jobs)
    }

    fn concluded(book: &Book, zone: &Zone, mut jobs: Vec<JobEvidence>) -> Self {
        let by_revision = Context::new(book, zone, &kinds(&jobs));
        let revisions = by_revision.revisions(&jobs);
        let differences = by_revision.differences(&revisions);
        let apart = differences.iter().any(|one| one.differ);
        let (context, conclusion) = if apart {
            (by_revision, Conclusion::apart(&revisions))
        } else {
            let all: Vec<&JobEvidence> = jobs.iter().collect();
            let together = Context::new(book, zone, std::slice::from_ref(&all));
            let conclusion = together.conclude(&all);
            (together, conclusion)
        };
        let alike = !apart && conclusion.grade != Grade::Dissent;
        for quantity in Quantity::ALL {
            context.judge(&mut jobs, quantity, alike);
        }
        Self {
            conclusion,
            revisions,
            differences,
            apart,
            jobs,
        }
    }

    /// Returns what is known of the zone, apart where revisions differ.
    pub(crate) fn conclusions(&self) -> impl Iterator<Item = &Conclusion> {
        let own = self.revisions.iter().filter(|_| self.apart);
        let all = Some(&self.conclusion).filter(|_| !self.apart);
        all.into_iter().chain(own.map(|own| &own.conclusion))
    }

    /// Returns what is known of the zone on boards of a revision: all jobs together, unless revisions
    /// differ.
    pub fn on(&self, revision: Option<&str>) -> &Conclusion {
        let mut revisions = self.revisions.iter().filter(|_| self.apart);
        let own = revisions.find(|one| Some(&*one.revision) == revision);
        own.map_or(&self.conclusion, |own| &own.conclusion)
    }
}

impl Context {
    /// Returns what is to be known to conclude from jobs, by the kind of their board.
    fn new(book: &Book, zone: &Zone, kinds: &[Vec<&JobEvidence>]) -> Self {
        let variation = |quantity| {
            let measured = kinds.iter().map(|jobs| measured(jobs, quantity));
            Variation::of(&measured.collect::<Vec<_>>())
        };
        let material = zone.pad.as_deref().and_then(|pad| book.stock.pad(pad));
        Self {
            stocked_mm: nominal::stocked_mm(&book.stock),
            rebound: squeeze::rebound(material),
            edge: variation(Quantity::Edge),
            imprint: variation(Quantity::Imprint),
        }
    }

    /// Says how well each job's mean is known, and of boards that are alike, which lies too far out.
    fn judge(&self, jobs: &mut [JobEvidence], quantity: Quantity, alike: bool) {
        let mut values: Vec<&mut JobValue> = jobs
            .iter_mut()
            .filter_map(|job| job.value_mut(quantity))
            .collect();
        let mut reported = Vec::new();
        for value in &mut values {
            let estimate = Consensus::of_job(value.measured, self.variation(quantity));
            value.uncertainty_mm = estimate.expanded;
            value.degrees = estimate.uncertainty.degrees;
            reported.push(Reported {
                value: value.mean_mm,
                standard: estimate.uncertainty.standard,
            });
        }
        for (value, outlying) in values.into_iter().zip(outlying(&reported)) {
            value.outlying = outlying && alike;
        }
    }

    fn variation(&self, quantity: Quantity) -> &Variation {
        match quantity {
            Quantity::Edge => &self.edge,
            Quantity::Imprint => &self.imprint,
        }
    }

    /// Concludes from some of the jobs.
    fn conclude(&self, jobs: &[&JobEvidence]) -> Conclusion {
        if self.is_dissent(jobs) {
            return Conclusion::unknown(Grade::Dissent);
        }
        let edge = self.value(jobs, Quantity::Edge);
        let imprint = self.value(jobs, Quantity::Imprint);
        let nominal = edge.and_then(|edge| {
            nominal::likeliest(&nominal::weigh(
                edge.value_mm,
                edge.standard(),
                &self.stocked_mm,
            ))
        });
        let gap = imprint.map(|imprint| squeeze::gap(&imprint.estimate, self.rebound));
        let strain = edge.zip(gap);
        let grade = grade(jobs);
        Conclusion {
            strain: strain.map(|(edge, gap)| squeeze::strain(&edge.estimate, &gap)),
            edge,
            imprint,
            nominal,
            gap,
            grade,
            raised_by: grade.raised_by(),
        }
    }

    /// Tells whether two of the jobs cannot have measured pads of the same thickness.
    fn is_dissent(&self, jobs: &[&JobEvidence]) -> bool {
        let weighed: Vec<Vec<Nominal>> = jobs
            .iter()
            .filter_map(|job| {
                let edge = job.edge.as_ref()?;
                let own = Consensus::of_job(edge.measured, &self.edge);
                let standard = own.uncertainty.standard;
                Some(nominal::weigh(edge.mean_mm, standard, &self.stocked_mm))
            })
            .collect();
        weighed.iter().enumerate().any(|(index, one)| {
            let mut others = weighed[..index].iter();
            others.any(|other| nominal::same(one, other) < DISSENT)
        })
    }

    fn value(&self, jobs: &[&JobEvidence], quantity: Quantity) -> Option<Value> {
        let jobs: Vec<&JobEvidence> = jobs
            .iter()
            .copied()
            .filter(|job| job.value(quantity).is_some())
            .collect();
        let measured = measured(&jobs, quantity);
        let estimate = Consensus::of(&measured, self.variation(quantity))?;
        let of_benches = of_benches(&jobs, quantity);
        let spread = Spread::of(&of_benches);
        Some(Value {
            value_mm: estimate.value,
            uncertainty_mm: estimate.expanded,
            degrees: estimate.uncertainty.degrees,
            readings: measured.iter().map(|one| one.sample.count).sum(),
            jobs: jobs.len(),
            benches: of_benches.len(),
            within_bench_mm: spread.map(|spread| spread.within),
            between_benches_mm: spread.map(|spread| spread.between),
            birge_ratio: estimate.agreement.map(|one| one.birge_ratio()),
            grade: grade(&jobs),
            estimate,
        })
    }

    /// Concludes from the jobs of each revision, where jobs name more than one.
    fn revisions(&self, jobs: &[JobEvidence]) -> Vec<RevisionEvidence> {
        let named = jobs.iter().filter_map(|job| job.revision.as_deref());
        let named: BTreeSet<&str> = named.collect();
        if named.len() < 2 {
            return Vec::new();
        }
        let of = |revision: &str| {
            let own: Vec<&JobEvidence> = jobs
                .iter()
                .filter(|job| job.revision.as_deref() == Some(revision))
                .collect();
            RevisionEvidence {
                revision: revision.to_owned(),
                conclusion: self.conclude(&own),
            }
        };
        named.into_iter().map(of).collect()
    }

    /// Compares the revisions, each with each.
    fn differences(&self, revisions: &[RevisionEvidence]) -> Vec<Difference> {
        let mut found = Vec::new();
        for (index, right) in revisions.iter().enumerate() {
            for left in &revisions[..index] {
                for quantity in Quantity::ALL {
                    found.extend(self.difference(left, right, quantity));
                }
            }
        }
        found
    }

    fn difference(
        &self,
        left: &RevisionEvidence,
        right: &RevisionEvidence,
        quantity: Quantity,
    ) -> Option<Difference> {
        let of = |revision: &RevisionEvidence| revision.conclusion.value(quantity);
        let pair = [of(left)?, of(right)?];
        // One board of each tells nothing of how boards differ.
        let is_known = self.variation(quantity).between_jobs.degrees > 0.0;
        let boards = |value: &Value| {
            let relative = if is_known { 0.0 } else { BOARDS_DIFFER };
            Component::known(relative * value.value_mm)
        };
        let [one, other] = pair.each_ref().map(|value| value.estimate.uncertainty);
        let [more, yet_more] = pair.each_ref().map(boards);
        let uncertainty_mm = Component::combined(&[one, other, more, yet_more]).expanded(COVERAGE);
        let difference_mm = pair[1].value_mm - pair[0].value_mm;
        Some(Difference {
            quantity,
            revisions: [left.revision.clone(), right.revision.clone()],
            difference_mm,
            uncertainty_mm,
            differ: difference_mm.abs() > uncertainty_mm,
        })
    }
}

impl Value {
    /// Returns its standard uncertainty, mm.
    pub fn standard(&self) -> f64 {
        self.estimate.uncertainty.standard
    }
}

impl Conclusion {
    fn unknown(grade: Grade) -> Self {
        Self {
            edge: None,
            imprint: None,
            nominal: None,
            gap: None,
            strain: None,
            grade,
            raised_by: grade.raised_by(),
        }
    }

    /// Returns what is known of all revisions together where they differ: no value, and the least grade.
    fn apart(revisions: &[RevisionEvidence]) -> Self {
        let grades = revisions.iter().map(|one| one.conclusion.grade);
        Self::unknown(grades.min().unwrap_or(Grade::Unmeasured))
    }

    /// Returns the consensus of one thing.
    pub fn value(&self, quantity: Quantity) -> Option<Value> {
        match quantity {
            Quantity::Edge => self.edge,
            Quantity::Imprint => self.imprint,
        }
    }
}

/// Groups jobs by the revision of their board.
fn kinds(jobs: &[JobEvidence]) -> Vec<Vec<&JobEvidence>> {
    let mut kinds: BTreeMap<Option<&str>, Vec<&JobEvidence>> = BTreeMap::new();
    for job in jobs {
        kinds.entry(job.revision.as_deref()).or_default().push(job);
    }
    kinds.into_values().collect()
}

fn measured(jobs: &[&JobEvidence], quantity: Quantity) -> Vec<Measured> {
    let values = jobs.iter().filter_map(|job| job.value(quantity));
    values.map(|value| value.measured).collect()
}

/// Returns the grade of what these jobs measured.
fn grade(jobs: &[&JobEvidence]) -> Grade {
    let benches: Vec<usize> = jobs.iter().map(|job| job.number).collect();
    Grade::of(&benches)
}

/// Sums up all readings of each bench.
fn of_benches(jobs: &[&JobEvidence], quantity: Quantity) -> Vec<Sample> {
    let mut benches: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
    for job in jobs {
        let readings = job.value(quantity).map(|value| &value.readings_mm);
        let bench = benches.entry(job.number).or_default();
        bench.extend(readings.into_iter().flatten());
    }
    benches
        .values()
        .filter_map(|read| Sample::of(read))
        .collect()
}
