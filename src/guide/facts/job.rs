use schemars::JsonSchema;
use serde::Serialize;

use crate::book::{Board, Job};
use crate::markdown;
use crate::record::{Fitted, Instrument, Reading, Temperatures};

/// One job, as the guide tells it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct JobFacts {
    /// The day.
    pub date: String,
    /// Who measured.
    pub bench: String,
    /// The revision of that board.
    pub revision: Option<String>,
    /// Why it was opened.
    pub reason: Option<String>,
    /// The paste fitted.
    pub paste: Option<String>,
    /// What the bench saw, HTML made safe.
    pub note_html: Option<String>,
    /// What it measured with.
    pub instrument: Option<Instrument>,
    /// Temperatures before.
    pub before: Option<Temperatures>,
    /// Temperatures after.
    pub after: Option<Temperatures>,
    /// What it measured.
    pub readings: Vec<Reading>,
    /// What it fitted.
    pub fitted: Vec<Fitted>,
    /// What it fitted that the record does not have, in words.
    pub differs: Vec<String>,
}

pub(super) fn facts(board: &Board, job: &Job) -> JobFacts {
    let record = &job.record;
    JobFacts {
        date: record.date.to_string(),
        bench: record.bench.clone(),
        revision: record.revision.clone(),
        reason: record.reason.clone(),
        paste: record.paste.clone(),
        note_html: record.note.as_deref().map(markdown::html),
        instrument: record.instrument.clone(),
        before: record.before.clone(),
        after: record.after.clone(),
        readings: record.reading.clone(),
        fitted: record.fitted.clone(),
        differs: record
            .fitted
            .iter()
            .filter_map(|fitted| differs(board, fitted))
            .collect(),
    }
}

/// Says how a fitted pad differs from the record's, if it does.
fn differs(board: &Board, fitted: &Fitted) -> Option<String> {
    /// Pads are sold in steps of a quarter of a millimetre; less than this is a rounding.
    const SAME_MM: f64 = 0.05;
    let zone = board
        .record
        .zone
        .iter()
        .find(|zone| zone.id == fitted.zone)?;
    let pad_mm = zone.pad_mm?;
    if (pad_mm - fitted.pad_mm).abs() < SAME_MM {
        return None;
    }
    let why = fitted
        .why
        .as_deref()
        .map_or_else(String::new, |why| format!(": {why}"));
    Some(format!(
        "{} {} mm instead of {pad_mm} mm{why}",
        board.name(&zone.id),
        fitted.pad_mm
    ))
}
