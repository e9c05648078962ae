use schemars::JsonSchema;
use serde::Serialize;

use super::screws::how_to_unplug;
use crate::book::Board;
use crate::order::{self, tray_letter};
use crate::record::schema::{Words, words};
use crate::record::{BodyKind, FastenerKind, Fasteners};

/// One move of opening a board.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Move {
    /// What kind of move it is.
    pub act: Act,
    /// What to do, one sentence.
    pub text: String,
    /// The same in a few words.
    pub short: String,
    /// The ids it touches.
    pub ids: Vec<String>,
    /// The tray that screws go into.
    pub tray: Option<String>,
}

words! {
    /// A kind of move.
    pub enum Act {
        /// Take screws out.
        TakeOut = "take-out",
        /// Free a tied body and open it like a book.
        Swing = "swing",
        /// Unplug a connector.
        Unplug = "unplug",
        /// Lift a body away.
        Lift = "lift",
        /// Peel and measure pads.
        Peel = "peel",
    }
}

/// Returns the moves that open a board, body by body in the order they come off.
pub(super) fn opening(board: &Board) -> Vec<Move> {
    let mut moves = Vec::new();
    let mut out = vec![false; board.record.fasteners.len()];
    let mut bare = vec![false; board.record.zone.len()];
    for step in order::bodies(board).steps {
        let ids: Vec<&str> = step
            .iter()
            .map(|&body| &*board.record.body[body].id)
            .collect();
        let body = step[0];
        for (index, group) in board.record.fasteners.iter().enumerate() {
            if !out[index] && group.holds.iter().any(|id| ids.contains(&id.as_str())) {
                out[index] = true;
                moves.push(take_out(board, index, group));
            }
        }
        unplug(board, body, &ids, &mut moves);
        moves.push(lift(board, body, &ids));
        moves.extend(peel(board, &ids, &mut bare));
    }
    moves
}

fn take_out(board: &Board, index: usize, group: &Fasteners) -> Move {
    let what = format!("{} × {}", group.at.len(), board.name(&group.id));
    let text = match group.kind {
        FastenerKind::Screw => {
            let thread = group.thread.as_deref().unwrap_or("thread not known");
            let length = group
                .length_mm
                .map_or_else(String::new, |length| format!(" × {length}"));
            let drive = group.drive.as_deref().map_or_else(
                || "bit not known: try before you turn".to_owned(),
                |drive| format!("with {drive}"),
            );
            let spring = if group.sprung {
                ", a turn at a time crosswise: they are sprung"
            } else {
                ""
            };
            format!(
                "Take out {what} ({thread}{length}) from the {}, {drive}{spring}.",
                group.from
            )
        }
        FastenerKind::Clip => {
            format!(
                "Unhook {what} from the {}, with plastic, one end at a time.",
                group.from
            )
        }
        FastenerKind::PushPin => {
            format!("Squeeze {what} together behind the board and push them out.")
        }
    };
    Move {
        act: Act::TakeOut,
        text,
        short: format!("out, from the {}", group.from),
        ids: vec![group.id.clone()],
        tray: Some(tray_letter(index)),
    }
}

/// Adds the moves that part a body from its cables: it is opened like a book, unplugged, and only
/// then lifted.
fn unplug(board: &Board, body: usize, ids: &[&str], moves: &mut Vec<Move>) {
    let ties: Vec<_> = board
        .record
        .connector
        .iter()
        .filter(|plug| plug.ties.as_deref().is_some_and(|tied| ids.contains(&tied)))
        .collect();
    if ties.is_empty() {
        return;
    }
    let name = board.name(&board.record.body[body].id);
    let slack = ties
        .iter()
        .filter_map(|plug| plug.slack_mm)
        .reduce(f64::min);
    let far = slack.map_or_else(
        || "only as far as its cables go: their slack is not known".to_owned(),
        |slack| format!("no further than {slack} mm: its cables hold"),
    );
    moves.push(Move {
        act: Act::Swing,
        text: format!("Free the {name} and open it like a book, {far}."),
        short: slack.map_or_else(
            || format!("{name}: open like a book, slack not known"),
            |slack| format!("{name}: open like a book to {slack} mm"),
        ),
        ids: vec![board.record.body[body].id.clone()],
        tray: None,
    });
    for plug in ties {
        moves.push(Move {
            act: Act::Unplug,
            text: format!(
                "Unplug {}: {}.",
                board.name(&plug.id),
                how_to_unplug(plug.latch)
            ),
            short: format!("unplug {}", board.name(&plug.id)),
            ids: vec![plug.id.clone()],
            tray: None,
        });
    }
}

fn lift(board: &Board, body: usize, ids: &[&str]) -> Move {
    let record = &board.record.body[body];
    let name = board.name(&record.id);
    let text = match record.kind {
        BodyKind::Label => format!("Peel the {name} off and keep it."),
        BodyKind::Cooler => format!("Twist the {name} a little, then lift it straight off."),
        BodyKind::Backplate | BodyKind::Bracket | BodyKind::Stiffener => {
            format!("Work round the edge of the {name} and lift it; never pull at one corner.")
        }
        BodyKind::IoBracket | BodyKind::Shroud | BodyKind::Cover => {
            format!("Lift the {name} away.")
        }
    };
    let along: Vec<String> = ids.iter().skip(1).map(|id| board.name(id)).collect();
    let text = if along.is_empty() {
        text
    } else {
        format!("{text} The {} comes with it.", along.join(" and the "))
    };
    Move {
        act: Act::Lift,
        text,
        short: format!("lift {name}"),
        ids: ids.iter().map(|&id| id.to_owned()).collect(),
        tray: None,
    }
}

/// Returns the move that measures the zones which lifting these bodies lays bare.
fn peel(board: &Board, ids: &[&str], bare: &mut [bool]) -> Option<Move> {
    let mut zones = Vec::new();
    for (zone, bare) in board.record.zone.iter().zip(bare) {
        if !*bare && zone.between.iter().any(|face| ids.contains(&face.as_str())) {
            *bare = true;
            zones.push(zone.id.clone());
        }
    }
    if zones.is_empty() {
        return None;
    }
    let names = zones
        .iter()
        .map(|id| board.name(id))
        .collect::<Vec<_>>()
        .join("; ");
    Some(Move {
        act: Act::Peel,
        text: format!("Before any pad is moved, measure it: {names}."),
        short: format!("measure {names}"),
        ids: zones,
        tray: None,
    })
}
