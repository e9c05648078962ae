use schemars::JsonSchema;
use serde::Serialize;

use crate::book::Board;
use crate::lint::{Finding, Severity};
use crate::markdown;
use crate::record::{NoteKind, Phase};

/// A note of a bench.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct NoteFacts {
    /// The phase in which it matters.
    pub when: Phase,
    /// Its signal word.
    pub kind: NoteKind,
    /// The id it is about, or "board".
    pub on: String,
    /// That in words; nothing for the whole board.
    pub about: Option<String>,
    /// The note, HTML made safe.
    pub html: String,
    /// Whether a move of its phase tells it.
    pub with_move: bool,
}

/// A picture.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PhotoFacts {
    /// Its file below the board's folder in the site.
    pub file: String,
    /// The phase in which it helps.
    pub when: Phase,
    /// The id of what it shows, or "board".
    pub on: String,
    /// What one sees in it.
    pub text: String,
}

/// What the linter says about the record.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FindingFacts {
    /// The rule.
    pub rule: String,
    /// How grave it is.
    pub severity: Severity,
    /// What is wrong.
    pub message: String,
    /// Why it is accepted, if it is.
    pub accepted: Option<String>,
}

pub(super) fn notes(board: &Board) -> Vec<NoteFacts> {
    let mut notes: Vec<NoteFacts> = board
        .record
        .note
        .iter()
        .map(|note| NoteFacts {
            when: note.when,
            kind: note.kind,
            on: note.on.clone(),
            about: (note.on != "board").then(|| board.name(&note.on)),
            html: markdown::html(&note.text),
            with_move: false,
        })
        .collect();
    // The gravest first; a sheet's reader may stop after the first.
    notes.sort_by_key(|note| (note.when, note.kind));
    notes
}

pub(super) fn photos(board: &Board) -> Vec<PhotoFacts> {
    board
        .record
        .photo
        .iter()
        .map(|photo| PhotoFacts {
            file: super::super::photo::site_name(&photo.file),
            when: photo.when,
            on: photo.on.clone(),
            text: photo.text.clone(),
        })
        .collect()
}

pub(super) fn findings(findings: &[&Finding]) -> Vec<FindingFacts> {
    findings
        .iter()
        .map(|finding| FindingFacts {
            rule: finding.rule.name.to_owned(),
            severity: finding.severity,
            message: finding.message.clone(),
            accepted: finding.accepted.clone(),
        })
        .collect()
}
