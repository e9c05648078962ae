use schemars::JsonSchema;
use serde::Serialize;

use crate::book::{Board, Book, Job};
use crate::heat::{self, Proved};
use crate::markdown;
use crate::record::{self, Ended, Fitted, Instrument, Limits, Reading, Temperatures};

/// One job, as the guide tells it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct JobFacts {
    /// Its name among the board's jobs: its file's.
    pub id: String,
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
    /// What was still wrong afterwards, in words; nothing where it ended well or nobody said.
    pub failed: Vec<String>,
    /// What it came to, by its temperatures; null where it read none afterwards.
    pub proved: Option<Proved>,
    /// What it measured.
    pub readings: Vec<Reading>,
    /// What it fitted.
    pub fitted: Vec<Fitted>,
    /// What it fitted that the record does not have, in words.
    pub differs: Vec<String>,
}

pub(super) fn facts(book: &Book, board: &Board, job: &Job) -> JobFacts {
    let record = &job.record;
    JobFacts {
        id: id(book, job),
        date: record.date.to_string(),
        bench: record.bench.clone(),
        revision: record.revision.clone(),
        reason: record.reason.clone(),
        paste: record.paste.clone(),
        note_html: record.note.as_deref().map(markdown::html),
        instrument: record.instrument.clone(),
        before: record.before.clone(),
        after: record.after.clone(),
        failed: failed(record, board.record.limits.as_ref()),
        proved: heat::board::proved(board, job),
        readings: record.reading.clone(),
        fitted: record.fitted.clone(),
        differs: record
            .fitted
            .iter()
            .filter_map(|fitted| differs(board, fitted))
            .collect(),
    }
}

/// Returns the name of a job's file without its ending: no two jobs of a board have the same.
fn id(book: &Book, job: &Job) -> String {
    let name = &book.file(job.file).name;
    let last = name.rsplit('/').next().unwrap_or(name);
    last.trim_end_matches(".toml")
        .replace(char::is_whitespace, "-")
}

/// Says what was wrong after a job: what its temperatures show, or else that the bench says so.
fn failed(job: &record::Job, limits: Option<&Limits>) -> Vec<String> {
    let mut shown = job
        .after
        .as_ref()
        .map_or_else(Vec::new, |after| shown(after, limits));
    if shown.is_empty() && job.ended == Some(Ended::Failed) {
        shown.push("the bench says so".to_owned());
    }
    shown
}

/// Says what is wrong with temperatures after a job: it throttles, crashes, or is at a limit.
fn shown(after: &Temperatures, limits: Option<&Limits>) -> Vec<String> {
    let ended = [
        (after.throttling, "throttling"),
        (after.crashing, "crashing"),
    ];
    let ended = ended
        .into_iter()
        .filter(|(is_so, _)| *is_so == Some(true))
        .map(|(_, word)| word.to_owned());
    let sensors = limits.map(|limits| {
        [
            ("die", after.die_c, limits.die_c),
            ("hotspot", after.hotspot_c, limits.hotspot_c),
            ("memory", after.memory_c, limits.memory_c),
        ]
    });
    let beside = |name: &str, read: Option<f64>, limit: Option<f64>| {
        let (read, limit) = (read?, limit?);
        let word = if read > limit { "over" } else { "at" };
        (read >= limit).then(|| format!("{name} {word} its limit"))
    };
    let at_limit = sensors
        .into_iter()
        .flatten()
        .filter_map(|(name, read, limit)| beside(name, read, limit));
    ended.chain(at_limit).collect()
}

/// Says how a fitted pad differs from the record's, if it does.
fn differs(board: &Board, fitted: &Fitted) -> Option<String> {
    let (_, zone) = board.zone(&fitted.zone)?;
    let pad_mm = zone.pad_mm.filter(|_| fitted.is_another_than(zone))?;
    let of = |pad: &Option<String>| pad.as_ref().map_or_else(String::new, |id| format!(" {id}"));
    let why = fitted
        .why
        .as_deref()
        .map_or_else(String::new, |why| format!(": {why}"));
    Some(format!(
        "{} {} mm{} instead of {pad_mm} mm{}{why}",
        board.name(&zone.id),
        fitted.pad_mm,
        of(&fitted.pad),
        of(&zone.pad)
    ))
}
