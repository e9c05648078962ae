//! How screws are driven in: in which order, in which passes, and how tight.

use schemars::JsonSchema;
use serde::Serialize;

use crate::book::Board;
use crate::order::{self, Fastening, torque, tray_letter};
use crate::record::{FastenerKind, Fasteners};

/// How the screws of one move are tightened.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Tightening {
    /// The screws in the order in which they are tightened, as the maps number them.
    pub sequence: Vec<String>,
    /// The passes, in words.
    pub passes: String,
    /// How tight, a sentence for each tray.
    pub how_tight: Vec<String>,
}

/// Most screws that need no passes: two cannot be drawn crooked by one of them.
const FEW: usize = 2;

/// Returns how the screws of groups that are driven together are tightened; none where they are no screws.
pub(super) fn of(board: &Board, groups: &[usize]) -> Option<Tightening> {
    let record = &board.record.fasteners;
    let is_screw = |&&group: &&usize| record[group].kind == FastenerKind::Screw;
    groups.iter().find(is_screw)?;
    let crossing = order::crossing(board, groups);
    let tag = |(number, &(group, _)): (usize, &order::Screw)| {
        format!("{}{}", tray_letter(group), number + 1)
    };
    let passes = if crossing.len() > order::MOST_CROSSED {
        "too many to work a crossing sequence out: this is the record's order; all finger-tight first, \
         then in passes of 30, 70 and 100 %, each crosswise, then once round"
    } else if crossing.len() > FEW {
        "all finger-tight first, then in this order in passes of 30, 70 and 100 %, then once round"
    } else {
        "finger-tight first, then tight"
    };
    Some(Tightening {
        sequence: crossing.iter().enumerate().map(tag).collect(),
        passes: passes.to_owned(),
        how_tight: groups
            .iter()
            .map(|&group| how_tight(board, &record[group]))
            .collect(),
    })
}

/// Says how tight: a torque where the record has one, else the ceiling, named so; where a spring sets the
/// force, no pull follows from a torque.
fn how_tight(board: &Board, group: &Fasteners) -> String {
    let fastening = Fastening::of(board, group);
    match (group.torque_nm, group.sprung, &fastening) {
        (Some(torque), _, Some(fastening)) if torque > fastening.ceiling().torque_nm => format!(
            "{torque} N·m is recorded, more than the ceiling: doubt it. {}",
            in_words(group, fastening)
        ),
        (Some(torque), true, _) => {
            format!("{torque} N·m, where they stop: the springs set the force.")
        }
        (Some(torque), false, Some(fastening)) => {
            let band = torque::preload_n(torque, fastening.thread.nominal_mm);
            let [least, greatest] = band.map(tens);
            format!("{torque} N·m: each then pulls with {least} to {greatest} N.")
        }
        (Some(torque), false, None) => format!("{torque} N·m."),
        (None, true, _) => "Until they stop: the springs set the force.".to_owned(),
        (None, false, Some(fastening)) => format!(
            "No torque is recorded: snug, and stop. {}",
            in_words(group, fastening)
        ),
        (None, false, None) => "No torque is recorded: snug, and stop.".to_owned(),
    }
}

/// Says what a screw stands, as a ceiling.
fn in_words(group: &Fasteners, fastening: &Fastening) -> String {
    let ceiling = fastening.ceiling();
    // Rounded down: it is a ceiling.
    let torque = (ceiling.torque_nm * 100.0).floor() / 100.0;
    let thread = group.thread.as_deref().unwrap_or_default();
    let why = if let (true, Some(engages)) = (ceiling.strips, group.engages) {
        format!("the {engages} strips above it")
    } else {
        let class = fastening.strength.class;
        let taken = if fastening.has_class {
            format!("of class {class}")
        } else {
            format!("taken as class {class}")
        };
        let article = article(thread);
        format!("{article} {thread} {taken} stands no more")
    };
    format!("Ceiling, not a target: {torque} N·m; {why}.")
}

/// Returns the article of a thread as it is read out: an M3, an 8-32, a #4-40, a 6-32.
fn article(thread: &str) -> &'static str {
    if thread.starts_with(['M', '8']) {
        "an"
    } else {
        "a"
    }
}

/// Rounds to tens: nothing finer is known of a preload.
fn tens(newtons: f64) -> f64 {
    (newtons / 10.0).round() * 10.0
}
