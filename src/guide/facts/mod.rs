//! Everything a guide says about one board, as plain data.
//!
//! The sheets' templates and the machine-readable bundle are written from the same facts, so that
//! they cannot disagree. Numbers stay numbers; the templates choose decimals and say "not known".

mod before;
mod cutting;
mod fit;
mod heat;
mod job;
mod moves;
mod note;
mod order;
mod screws;
mod thing;
mod tightening;
mod zone;

use schemars::JsonSchema;
use serde::Serialize;

pub use cutting::CuttingFacts;
pub use fit::WrongPad;
pub use heat::{HeatFacts, SensorFacts};
pub use job::JobFacts;
pub use moves::{Act, Move};
pub use note::{FindingFacts, NoteFacts, PhotoFacts};
pub use order::OrderFacts;
pub use screws::{ConnectorFacts, TrayFacts};
pub use thing::{BodyFacts, PartFacts};
pub use tightening::Tightening;
pub use zone::{HeightFrom, ZoneFacts};

use crate::book::{Board, Book, Job};
use crate::evidence::Grade;
use crate::lint::{Finding, Severity};
use crate::record::{Class, Limits, PartKind};
use crate::stack::{Fit, FitFacts};

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
    /// Both in words, with the zones on which jobs dissent.
    pub grade_in_words: String,
    /// What to know before the first pull, in sentences.
    pub before_pulling: Vec<String>,
    /// Its dies that take paste: no zone names them.
    pub pasted: Vec<String>,
    /// Its bodies.
    pub bodies: Vec<BodyFacts>,
    /// Its parts.
    pub parts: Vec<PartFacts>,
    /// Its zones, in the record's order.
    pub zones: Vec<ZoneFacts>,
    /// What its stack-up comes to, with the pads and the revision that it names.
    pub fit: FitFacts,
    /// The pad that is most easily fitted wrong, where one is near.
    pub wrong_pad: Option<WrongPad>,
    /// Whether other revisions have another stack-up.
    pub fit_varies: bool,
    /// Its screws, a tray for each group.
    pub trays: Vec<TrayFacts>,
    /// Its connectors.
    pub connectors: Vec<ConnectorFacts>,
    /// In what order it is opened and closed.
    pub order: OrderFacts,
    /// How its pads are cut from new sheets, for each revision whose pads differ.
    pub cutting: Vec<CuttingFacts>,
    /// Its jobs, oldest first.
    pub jobs: Vec<JobFacts>,
    /// What it shows under load when healthy, and its limits.
    pub heat: HeatFacts,
    /// Notes of the benches.
    pub notes: Vec<NoteFacts>,
    /// Pictures.
    pub photos: Vec<PhotoFacts>,
    /// What the linter says that is not accepted, and what is.
    pub findings: Vec<FindingFacts>,
}

impl BoardFacts {
    /// Gathers what a guide says about a board. `jobs` are those that can be trusted, and `findings`
    /// the linter's about this board.
    pub fn gather(book: &Book, fit: &Fit<'_>, jobs: &[&Job], findings: &[&Finding]) -> Self {
        let board = fit.board;
        let stack_up = fit::facts(book, fit);
        let head = &board.record.board;
        let zones = zone::facts(book, board, jobs);
        let (order, notes) = OrderFacts::with_notes(board);
        let grades = || zones.iter().map(|zone| zone.evidence.conclusion.grade);
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
            grade_in_words: grade_in_words(&zones),
            before_pulling: before::pulling(board),
            pasted: pasted(board),
            bodies: thing::bodies(board),
            parts: thing::parts(board),
            wrong_pad: fit::wrong_pad(board, &stack_up),
            fit: stack_up,
            fit_varies: board.varies(),
            trays: screws::trays(board),
            connectors: screws::connectors(board),
            order,
            zones,
            cutting: cutting::plans(book, board),
            jobs: jobs
                .iter()
                .map(|job| job::facts(book, board, job))
                .collect(),
            heat: heat::facts(board),
            notes,
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

/// Says how well the pads are known, from the least known to the best, and on which zones jobs dissent.
fn grade_in_words(zones: &[ZoneFacts]) -> String {
    let is_dissent = |zone: &&ZoneFacts| zone.evidence.conclusion.grade == Grade::Dissent;
    let dissent: Vec<&str> = zones
        .iter()
        .filter(is_dissent)
        .map(|zone| &*zone.name)
        .collect();
    let agreed = || {
        let agreed = zones.iter().filter(|zone| !is_dissent(zone));
        agreed.map(|zone| zone.evidence.conclusion.grade)
    };
    let mut words = match (agreed().min(), agreed().max()) {
        (Some(least), Some(best)) if least == best => vec![least.to_string()],
        (Some(least), Some(best)) => vec![format!("{least} to {best}")],
        _ if dissent.is_empty() => vec![Grade::Unmeasured.to_string()],
        _ => Vec::new(),
    };
    if !dissent.is_empty() {
        words.push(format!("{} on {}", Grade::Dissent, dissent.join("; ")));
    }
    words.join("; ")
}

/// Returns the names of the dies that touch their cooler through paste.
fn pasted(board: &Board) -> Vec<String> {
    let parts = board.record.part.iter().enumerate();
    parts
        .filter(|(index, part)| part.kind == PartKind::Die && !board.is_padded(*index))
        .map(|(_, part)| board.name(&part.id))
        .collect()
}
