//! Everything a guide says about one board, as plain data.
//!
//! The sheets' templates and the machine-readable bundle are written from the same facts, so that
//! they cannot disagree. Numbers stay numbers; the templates choose decimals and say "not known".

mod job;
mod moves;
mod note;
mod screws;
mod zone;

use schemars::JsonSchema;
use serde::Serialize;

pub use job::JobFacts;
pub use moves::{Act, Move};
pub use note::{FindingFacts, NoteFacts, PhotoFacts};
pub use screws::{ConnectorFacts, TrayFacts};
pub use zone::ZoneFacts;

use crate::book::{Board, Book, Job};
use crate::evidence::Grade;
use crate::lint::{Finding, Severity};
use crate::order;
use crate::record::schema::Words as _;
use crate::record::{Body, BodyKind, Class, Limits, PartKind};

/// One board, as its guide tells it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BoardFacts {
    /// The record's name.
    pub id: String,
    /// Maker and model.
    pub name: String,
    /// Who made it.
    pub maker: String,
    /// Its model.
    pub model: String,
    /// What kind of board it is.
    pub class: Class,
    /// What is printed on it.
    pub markings: Vec<String>,
    /// Its known revisions.
    pub revisions: Vec<String>,
    /// Width and height, mm.
    pub outline_mm: Option<[f64; 2]>,
    /// Thickness of the bare board, mm.
    pub thickness_mm: Option<f64>,
    /// Heat under full load, W.
    pub heat_w: Option<f64>,
    /// Where throttling or shutdown begins.
    pub limits: Option<Limits>,
    /// The day of the newest job.
    pub issued: Option<String>,
    /// Who measured.
    pub benches: Vec<String>,
    /// How well the least known of its pads is known.
    pub grade: Grade,
    /// How well the best known of its pads is known.
    pub best_grade: Grade,
    /// What to know before the first pull, in sentences.
    pub before_pulling: Vec<String>,
    /// Its dies that take paste: no zone names them.
    pub pasted: Vec<String>,
    /// Its bodies.
    pub bodies: Vec<BodyFacts>,
    /// Its zones, in the record's order.
    pub zones: Vec<ZoneFacts>,
    /// Its screws, a tray for each group.
    pub trays: Vec<TrayFacts>,
    /// Its connectors.
    pub connectors: Vec<ConnectorFacts>,
    /// The moves that open it, in order.
    pub moves: Vec<Move>,
    /// The moves that close it: the same, reversed.
    pub closing: Vec<Move>,
    /// Its jobs, oldest first.
    pub jobs: Vec<JobFacts>,
    /// Notes of the benches.
    pub notes: Vec<NoteFacts>,
    /// Pictures.
    pub photos: Vec<PhotoFacts>,
    /// What the linter says that is not accepted, and what is.
    pub findings: Vec<FindingFacts>,
}

/// One body.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BodyFacts {
    /// Its id.
    pub id: String,
    /// Its name in words.
    pub name: String,
    /// What it is and rests on, in words.
    pub what: String,
    /// Mass, g.
    pub mass_g: Option<f64>,
    /// Revisions it belongs to; empty is all.
    pub only: Vec<String>,
}

impl BoardFacts {
    /// Gathers what a guide says about a board. `jobs` are those that can be trusted, and `findings`
    /// the linter's about this board.
    pub fn gather(book: &Book, board: &Board, jobs: &[&Job], findings: &[&Finding]) -> Self {
        let head = &board.record.board;
        let zones = zone::facts(book, board, jobs);
        let (moves, closing) = moves::both_ways(board);
        let grades = || zones.iter().map(|zone| zone.evidence.grade);
        let benches: std::collections::BTreeSet<&str> =
            jobs.iter().map(|job| &*job.record.bench).collect();
        Self {
            id: head.id.clone(),
            name: format!("{} {}", head.maker, head.model),
            maker: head.maker.clone(),
            model: head.model.clone(),
            class: head.class,
            markings: head.markings.clone(),
            revisions: head.revisions.clone(),
            outline_mm: head.outline_mm,
            thickness_mm: head.thickness_mm,
            heat_w: head.heat_w,
            limits: board.record.limits.clone(),
            issued: jobs
                .iter()
                .map(|job| job.record.date)
                .max()
                .map(|date| date.to_string()),
            benches: benches.into_iter().map(str::to_owned).collect(),
            grade: grades().min().unwrap_or(Grade::Unmeasured),
            best_grade: grades().max().unwrap_or(Grade::Unmeasured),
            before_pulling: before_pulling(board),
            pasted: pasted(board),
            bodies: board
                .record
                .body
                .iter()
                .map(|body| body_facts(board, body))
                .collect(),
            trays: screws::trays(board),
            connectors: screws::connectors(board),
            moves,
            closing,
            zones,
            jobs: jobs.iter().map(|job| job::facts(board, job)).collect(),
            notes: note::notes(board),
            photos: note::photos(board),
            findings: note::findings(findings),
        }
    }

    /// Tells whether the record is likely wrong somewhere, and the guide says so on every sheet.
    pub fn is_doubtful(&self) -> bool {
        self.findings
            .iter()
            .any(|finding| finding.accepted.is_none() && finding.severity != Severity::Advice)
    }
}

/// Returns the names of the dies that touch their cooler through paste.
fn pasted(board: &Board) -> Vec<String> {
    let is_padded = |part: usize| board.zones.iter().any(|zone| zone.part() == Some(part));
    let parts = board.record.part.iter().enumerate();
    parts
        .filter(|(index, part)| part.kind == PartKind::Die && !is_padded(*index))
        .map(|(_, part)| board.name(&part.id))
        .collect()
}

fn body_facts(board: &Board, body: &Body) -> BodyFacts {
    let mut what = body
        .kind
        .word()
        .replace('-', " ")
        .replace("io bracket", "I/O bracket");
    if let Some(parent) = &body.part_of {
        what = format!("{what}, one piece with the {}", board.name(parent));
    } else if let Some(seats) = &body.seats {
        let on = match (seats.on, seats.height_mm) {
            (crate::record::Seat::Die, _) => "on the die".to_owned(),
            (crate::record::Seat::Standoffs, Some(height)) => {
                format!("on standoffs {height} mm high")
            }
            (crate::record::Seat::Standoffs, None) => "on standoffs".to_owned(),
        };
        what = format!("{what}, seated {on}");
    }
    BodyFacts {
        id: body.id.clone(),
        name: board.name(&body.id),
        what,
        mass_g: body.mass_g,
        only: body.only.clone(),
    }
}

/// Says what most often kills a board of this build before the first pull: what is separate from
/// what, what hides screws, and which cables hold.
fn before_pulling(board: &Board) -> Vec<String> {
    let record = &board.record;
    let mut sentences = Vec::new();
    for body in &record.body {
        if matches!(body.kind, BodyKind::Bracket | BodyKind::Stiffener) {
            sentences.push(match &body.part_of {
                Some(parent) => {
                    format!(
                        "The {} is one piece with the {}.",
                        board.name(&body.id),
                        board.name(parent)
                    )
                }
                None => format!(
                    "The {} is separate: it stays when other bodies lift.",
                    board.name(&body.id)
                ),
            });
        }
    }
    for (index, group) in record.fasteners.iter().enumerate() {
        if !group.under.is_empty() {
            let covers: Vec<String> = group.under.iter().map(|id| board.name(id)).collect();
            sentences.push(format!(
                "Tray {} is hidden by the {}.",
                order::tray_letter(index),
                covers.join(" and the ")
            ));
        }
    }
    for body in &record.body {
        let ties: Vec<_> = record
            .connector
            .iter()
            .filter(|plug| plug.ties.as_ref() == Some(&body.id))
            .collect();
        if ties.is_empty() {
            continue;
        }
        let cables = if ties.len() == 1 {
            "One cable holds"
        } else {
            "Cables hold"
        };
        let count = if ties.len() == 1 {
            String::new()
        } else {
            format!(" ({})", ties.len())
        };
        let slack = ties
            .iter()
            .filter_map(|plug| plug.slack_mm)
            .reduce(f64::min)
            .map_or_else(
                || "slack not known".to_owned(),
                |slack| format!("{slack} mm of slack"),
            );
        sentences.push(format!(
            "{cables}{count} the {}: {slack}.",
            board.name(&body.id)
        ));
    }
    let stuck: Vec<String> = order::bodies(board)
        .stuck
        .iter()
        .map(|&body| board.name(&record.body[body].id))
        .collect();
    if !stuck.is_empty() {
        sentences.push(format!(
            "The record gives no order for the {}.",
            stuck.join(" and the ")
        ));
    }
    sentences
}
