//! The machine-readable side of a site: one JSON file a board, an index, and their schemas.

use schemars::JsonSchema;
use serde::Serialize;

use super::facts::BoardFacts;
use crate::book::Job;
use crate::record;

/// The form of the bundle's files.
const FORMAT: u32 = 1;

/// What `data/boards/<id>.json` holds.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BoardBundle<'a> {
    /// The version of this form; 1.
    pub format: u32,
    /// What the guide says.
    pub facts: &'a BoardFacts,
    /// The record as written.
    pub record: &'a record::Board,
    /// Its jobs as written.
    pub jobs: Vec<&'a record::Job>,
}

/// What `data/index.json` holds.
#[derive(Debug, Serialize, JsonSchema)]
pub struct IndexBundle<'a> {
    /// The version of this form; 1.
    pub format: u32,
    /// The book's title.
    pub title: &'a str,
    /// Its publisher.
    pub publisher: &'a str,
    /// The licence of its records.
    pub licence: &'a str,
    /// Its boards.
    pub boards: &'a [IndexEntry],
}

/// One board in the index.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct IndexEntry {
    /// The record's name; its file is `boards/<id>.json`, its guide `../boards/<id>/index.html`.
    pub id: String,
    /// Maker and model.
    pub name: String,
    /// Who made it.
    pub maker: String,
    /// What kind of board it is.
    pub class: record::Class,
    /// What is printed on it.
    pub markings: Vec<String>,
    /// Its pads, in words.
    pub pads: Vec<String>,
    /// The bits that open it.
    pub bits: Vec<String>,
    /// How well the least known of its pads is known.
    pub grade: crate::evidence::Grade,
    /// How well its pads are known, in words.
    pub grade_in_words: String,
}

impl IndexEntry {
    /// Returns a board's line in the index.
    pub(super) fn of(facts: &BoardFacts) -> Self {
        let mut pads: Vec<String> = facts
            .zones
            .iter()
            .filter_map(|zone| zone.pad_mm)
            .map(|pad_mm| format!("{} mm", crate::drawing::thickness(pad_mm)))
            .collect();
        let mut bits: Vec<String> = facts
            .trays
            .iter()
            .filter_map(|tray| tray.drive.clone())
            .collect();
        for list in [&mut pads, &mut bits] {
            list.sort();
            list.dedup();
        }
        Self {
            id: facts.id.clone(),
            name: facts.name.clone(),
            maker: facts.maker.clone(),
            class: facts.class,
            markings: facts.markings.clone(),
            pads,
            bits,
            grade: facts.grade,
            grade_in_words: facts.grade_in_words.clone(),
        }
    }
}

/// Returns a bundle's bytes: compact JSON and a final newline.
pub(super) fn bytes(bundle: &impl Serialize) -> Vec<u8> {
    let mut bytes = serde_json::to_vec(bundle).expect("invariant: facts are plain data");
    bytes.push(b'\n');
    bytes
}

pub(super) fn of_board<'a>(
    facts: &'a BoardFacts,
    record: &'a record::Board,
    jobs: &[&'a Job],
) -> BoardBundle<'a> {
    let jobs = jobs.iter().map(|job| &job.record).collect();
    BoardBundle {
        format: FORMAT,
        facts,
        record,
        jobs,
    }
}

pub(super) fn of_index<'a>(
    book: &'a super::BookFacts,
    boards: &'a [IndexEntry],
) -> IndexBundle<'a> {
    let super::BookFacts {
        title,
        publisher,
        licence,
        ..
    } = book;
    IndexBundle {
        format: FORMAT,
        title,
        publisher,
        licence,
        boards,
    }
}
