//! A job's skeleton, to fill in with an editor.
//!
//! Nothing in it can be taken for a measurement: what is not known is commented out, and what stands for a
//! value is no TOML.

use std::fmt::{Display, Write as _};

use gapbook::Failure;
use gapbook::book::Board;
use gapbook::heat::{self, Read, Sensor};
use gapbook::record::schema::Words;
use gapbook::record::{Date, Ended, InstrumentKind, Symptom, Temperatures};
use gapbook::source::TO_FILL_IN;

use super::question::zones;
use super::{Subject, dialogue, draft, job};
use crate::cli::Outcome;
use crate::cli::text::line;

/// Where the meaning of a key stands, characters from its own beginning.
const MEANING: usize = 24;

/// Writes a skeleton and says where it is, and which are there already.
pub(super) fn run(subject: &Subject<'_>, date: Date, bench: &str) -> Result<Outcome, Failure> {
    let name = draft::free_name(&subject.jobs, date, bench)?;
    let next = format!(
        "Put a value in place of each `{TO_FILL_IN}` that you know, and take the `#` from its line and its \
         heading.{}",
        earlier(subject, &name, date, bench)
    );
    let path = draft::write(&subject.jobs, &name, &skeleton(subject, date, bench))?;
    dialogue::declare(subject, &path, &next)
}

/// Says which jobs of this bench and day are there, so that nobody fills in two skeletons of one job.
fn earlier(subject: &Subject<'_>, name: &str, date: Date, bench: &str) -> String {
    let first = format!("{date}-{bench}");
    if name == first {
        return String::new();
    }
    let empty = job::begun(subject, date, bench).written();
    let blank = subject.board.own_jobs();
    let blank = blank.filter(|job| job.record.written() == empty);
    let files: Vec<String> = blank
        .map(|job| format!("`{}`", line(&subject.book.file(job.file).name)))
        .collect();
    if files.is_empty() {
        return format!("\n`{first}` is there already: this is another job of that day.");
    }
    format!(
        "\nAn earlier skeleton of that day is there, with nothing filled in: {}. If it is for the same job, \
         delete one of them.",
        files.join(", ")
    )
}

fn skeleton(subject: &Subject<'_>, date: Date, bench: &str) -> String {
    let board = subject.board;
    let zones = zones(board, None);
    let mut sheet = Sheet(job::begun(subject, date, bench).written());
    sheet.remark(&format!(
        "Put a value in place of each {TO_FILL_IN} that you know, and take the # from its line and its \
         heading. Leave the rest."
    ));
    head(&mut sheet, board);
    sheet.heading("[instrument]", "what it was measured with");
    sheet.open("kind", &choice::<InstrumentKind>());
    sheet.open("resolution_mm", "smallest step it shows, mm");
    sheet.open("max_error_mm", "its greatest error, ± mm");
    sheet.heading("[before]", "under steady load, before it is opened");
    temperatures(&mut sheet, board);
    for &zone in &zones {
        reading(&mut sheet, board, zone);
    }
    for &zone in &zones {
        fitted(&mut sheet, board, zone);
    }
    sheet.heading("[after]", "the same load, after it is closed");
    temperatures(&mut sheet, board);
    sheet.0
}

fn head(sheet: &mut Sheet, board: &Board) {
    let revisions = &board.record.board.revisions;
    if !revisions.is_empty() {
        let revisions = line(&quoted(revisions));
        sheet.open("revision", &format!("as printed on the board: {revisions}"));
    }
    sheet.open("reason", "in quotes: why it was opened");
    sheet.open("paste", "in quotes: a key of stock/pastes.toml");
    sheet.open("note", "in quotes: what the next bench should know");
    sheet.open("ended", &choice::<Ended>());
}

fn temperatures(sheet: &mut Sheet, board: &Board) {
    let sensors = sensors(board);
    for (key, what) in Temperatures::NUMBERS {
        let has = match heat::board::read_at(key) {
            Some(Read::Sensor(sensor)) => sensors.contains(&sensor),
            _ => true,
        };
        if has {
            sheet.open(key, what);
        }
    }
    for (key, question) in Temperatures::QUESTIONS {
        sheet.open(key, &format!("true or false: {question}"));
    }
    sheet.list("symptoms", &format!("any of {}", quoted(Symptom::ALL)));
}

/// Returns the sensors that a board has: those with a limit and those that a job has read; all of them
/// where neither tells.
fn sensors(board: &Board) -> Vec<Sensor> {
    let limits = heat::board::limits(board);
    let read: Vec<_> = board
        .own_jobs()
        .flat_map(|job| [&job.record.before, &job.record.after])
        .flatten()
        .map(heat::board::readings)
        .collect();
    let has = |&sensor: &Sensor| {
        limits.of(sensor).is_some() || read.iter().any(|read| read.of(sensor).is_some())
    };
    let known: Vec<Sensor> = Sensor::ALL.iter().copied().filter(has).collect();
    if known.is_empty() {
        return Sensor::ALL.to_vec();
    }
    known
}

fn reading(sheet: &mut Sheet, board: &Board, zone: usize) {
    let written = &board.record.zone[zone];
    let expected = written
        .pad_mm
        .map_or_else(|| "not known".to_owned(), |pad_mm| format!("{pad_mm:?} mm"));
    let only = match board.revisions_of_zone(zone) {
        [] => String::new(),
        only => format!(", {} only", line(&only.join(", "))),
    };
    let name = line(&board.zone_name(zone));
    sheet.remark(&format!("{name}; expected: {expected}{only}"));
    sheet.entry("reading", &written.id);
    sheet.list("edge_mm", "where nothing squeezed it, mm, with commas");
    sheet.list("imprint_mm", "where the part did, mm, with commas");
}

fn fitted(sheet: &mut Sheet, board: &Board, zone: usize) {
    sheet.remark(&line(&board.zone_name(zone)));
    sheet.entry("fitted", &board.record.zone[zone].id);
    sheet.open("pad_mm", "its thickness when new, mm");
    sheet.open("pad", "in quotes: a key of stock/pads.toml");
    sheet.open("why", "in quotes: why it is another than recorded, if so");
}

/// Returns the words that a key can have, as they are written.
fn choice<T: Words + Display>() -> String {
    let words = quoted(T::ALL);
    words
        .rsplit_once(", ")
        .map_or_else(|| words.clone(), |(some, last)| format!("{some} or {last}"))
}

fn quoted<T: ToString>(words: &[T]) -> String {
    let quoted = words
        .iter()
        .map(|word| toml::Value::from(word.to_string()).to_string());
    quoted.collect::<Vec<_>>().join(", ")
}

/// The text of a skeleton. Remarks have two marks, so that taking one from every line leaves them remarks.
struct Sheet(String);

impl Sheet {
    fn remark(&mut self, text: &str) {
        self.put(&format!("\n## {text}"));
    }

    fn heading(&mut self, table: &str, what: &str) {
        self.put(&format!("\n# {table:<MEANING$}# {what}"));
    }

    fn entry(&mut self, list: &str, zone: &str) {
        self.put(&format!("# [[{list}]]\n# zone = \"{zone}\""));
    }

    fn open(&mut self, key: &str, what: &str) {
        self.value(key, &TO_FILL_IN.to_string(), what);
    }

    fn list(&mut self, key: &str, what: &str) {
        self.value(key, &format!("[{TO_FILL_IN}]"), what);
    }

    fn value(&mut self, key: &str, value: &str, what: &str) {
        let written = format!("{key} = {value}");
        self.put(&format!("# {written:<MEANING$}# {what}"));
    }

    fn put(&mut self, text: &str) {
        writeln!(self.0, "{text}").expect("invariant: a string takes any text");
    }
}
