use schemars::JsonSchema;
use serde::Serialize;

use crate::book::{Board, Book, Job};
use crate::heat::{self, Proved, Readings};
use crate::markdown;
use crate::record::{self, Ended, Fitted, Instrument, Reading, Temperatures};

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
        failed: failed(board, record),
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

/// Says what was wrong after a job: what it shows, or else that the bench says so.
fn failed(board: &Board, job: &record::Job) -> Vec<String> {
    let after = job.after.as_ref().map(heat::board::readings);
    let shown = after.map(|after| shown(&after, &heat::board::limits(board)));
    let mut shown = shown.unwrap_or_default();
    if shown.is_empty() && job.ended == Some(Ended::Failed) {
        shown.push("the bench says so".to_owned());
    }
    shown
}

/// Says what is wrong with readings after a job: it throttles, crashes, or is at a limit.
fn shown(after: &Readings, limits: &heat::Limits) -> Vec<String> {
    let complaints = [
        (after.throttling, "throttling"),
        (after.crashing, "crashing"),
    ];
    let complaints = complaints
        .into_iter()
        .filter(|(is_so, _)| *is_so == Some(true))
        .map(|(_, word)| word.to_owned());
    let at_limit = limits.reached(after).map(|(sensor, is_passed)| {
        let word = if is_passed { "over" } else { "at" };
        format!("{sensor} {word} its limit")
    });
    complaints.chain(at_limit).collect()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_seen_counts_as_what_was_read() {
        let after: Temperatures =
            toml::from_str("die_c = 90.0\nhotspot_c = 99.0\nsymptoms = [\"shuts-down\"]")
                .expect("temperatures");
        let limits = heat::Limits {
            die_c: Some(90.0),
            hotspot_c: Some(98.0),
            memory_c: Some(100.0),
        };
        assert_eq!(
            shown(&heat::board::readings(&after), &limits),
            ["crashing", "die at its limit", "hotspot over its limit"],
            "as the verdict takes it"
        );
    }
}
