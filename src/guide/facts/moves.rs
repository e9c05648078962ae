//! The moves of opening, and of closing as their reverse, in words.

use schemars::JsonSchema;
use serde::Serialize;

use super::screws::how_to_unplug;
use crate::book::Board;
use crate::order::{self, tray_letter};
use crate::record::schema::{Words, words};
use crate::record::{Body, BodyKind, FastenerKind, Fasteners, Seat};

/// One move of opening or closing a board.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Move {
    /// What kind of move it is.
    pub act: Act,
    /// What to do, in a sentence or two.
    pub text: String,
    /// The same in a few words.
    pub short: String,
    /// The ids it touches.
    pub ids: Vec<String>,
    /// The trays that screws go into, or come from.
    pub trays: Vec<String>,
}

words! {
    /// A kind of move.
    pub enum Act {
        /// Take screws out, or put them in.
        Screws = "screws",
        /// Open a tied body like a book, or close it.
        Swing = "swing",
        /// Unplug a connector, or plug it in.
        Plug = "plug",
        /// Lift a body away, or put it on.
        Body = "body",
        /// Peel and measure pads, or lay them.
        Pads = "pads",
    }
}

/// A body heavier than this, g, lies on the bench and the board is put onto it: about the mass of a
/// bare graphics board (common practice).
const HEAVY_G: f64 = 400.0;

/// Returns the moves that open a board, and those that close it.
pub(super) fn both_ways(board: &Board) -> (Vec<Move>, Vec<Move>) {
    let moves = order::opening(board);
    let opening = moves.iter().map(|one| opened(board, one, &moves)).collect();
    let closing = moves
        .iter()
        .rev()
        .map(|one| closed(board, one, &moves))
        .collect();
    (opening, closing)
}

fn opened(board: &Board, one: &order::Move, all: &[order::Move]) -> Move {
    match one {
        order::Move::Unplug(plug) => {
            let (name, latch) = connector(board, *plug);
            let how = how_to_unplug(latch);
            worded(
                board,
                one,
                format!("Unplug {name}: {how}."),
                format!("unplug {name}"),
            )
        }
        order::Move::TakeOut(groups) => take_out(board, one, groups),
        order::Move::Swing(step) => {
            let name = body_name(board, step);
            let far = slack(board, step).map_or_else(
                || "only as far as its cables go: their slack is not known".to_owned(),
                |slack| format!("no further than {slack} mm: its cables hold"),
            );
            let free = if is_pasted(&board.record.body[step[0]]) {
                format!("Twist the {name} a few degrees until the paste lets go, then open it")
            } else {
                format!("Free the {name} and open it")
            };
            let short = slack(board, step).map_or_else(
                || format!("{name}: open like a book, slack not known"),
                |slack| format!("{name}: open like a book to {slack} mm"),
            );
            worded(board, one, format!("{free} like a book, {far}."), short)
        }
        order::Move::Lift(step) => {
            let is_swung = all
                .iter()
                .any(|other| matches!(other, order::Move::Swing(swung) if swung == step));
            let name = body_name(board, step);
            let text = format!(
                "{}{}",
                lift(board, step, is_swung),
                along(board, step, "comes")
            );
            worded(board, one, text, format!("lift {name}"))
        }
        order::Move::Peel(zones) => {
            let names = zone_names(board, zones);
            let text = format!("Before any pad is moved, measure it: {names}.");
            worded(board, one, text, format!("measure {names}"))
        }
    }
}

fn closed(board: &Board, one: &order::Move, all: &[order::Move]) -> Move {
    match one {
        order::Move::Unplug(plug) => {
            let (name, _) = connector(board, *plug);
            let text =
                format!("Plug {name} in until it seats; lay its cable clear of fans and screws.");
            worded(board, one, text, format!("plug {name} in"))
        }
        order::Move::TakeOut(groups) => put_in(board, one, groups),
        order::Move::Swing(step) => {
            let name = body_name(board, step);
            let meet = if is_pasted(&board.record.body[step[0]]) {
                " The die meets it flat, not edge first."
            } else {
                ""
            };
            let text =
                format!("Close the {name} and the board like a book, level at the end.{meet}");
            worded(board, one, text, format!("close {name}"))
        }
        order::Move::Lift(step) => {
            let is_swung = all
                .iter()
                .any(|other| matches!(other, order::Move::Swing(swung) if swung == step));
            let name = body_name(board, step);
            let text = format!(
                "{}{}",
                put_on(board, step, is_swung),
                along(board, step, "goes")
            );
            worded(board, one, text, format!("put {name} on"))
        }
        order::Move::Peel(zones) => {
            let names = zone_names(board, zones);
            let text = format!("Lay the pads, both films off, each covering its part: {names}.");
            worded(board, one, text, format!("lay {names}"))
        }
    }
}

/// Puts a move's words, ids, trays and revisions together.
fn worded(board: &Board, one: &order::Move, text: String, short: String) -> Move {
    let record = &board.record;
    let ids_of_bodies = |step: &[usize]| {
        step.iter()
            .map(|&body| record.body[body].id.clone())
            .collect()
    };
    let (act, ids, only): (Act, Vec<String>, &[String]) = match one {
        order::Move::Unplug(plug) => {
            let plug = &record.connector[*plug];
            (Act::Plug, vec![plug.id.clone()], &plug.only)
        }
        order::Move::TakeOut(groups) => {
            let ids = groups
                .iter()
                .map(|&group| record.fasteners[group].id.clone())
                .collect();
            (Act::Screws, ids, &record.fasteners[groups[0]].only)
        }
        order::Move::Swing(step) => (Act::Swing, ids_of_bodies(step), &record.body[step[0]].only),
        order::Move::Lift(step) => (Act::Body, ids_of_bodies(step), &record.body[step[0]].only),
        order::Move::Peel(zones) => {
            let ids = zones
                .iter()
                .map(|&zone| record.zone[zone].id.clone())
                .collect();
            (Act::Pads, ids, &[])
        }
    };
    let trays = match one {
        order::Move::TakeOut(groups) => groups.iter().map(|&group| tray_letter(group)).collect(),
        _ => Vec::new(),
    };
    let revisions = if only.is_empty() {
        String::new()
    } else {
        format!(" ({} only)", only.join(", "))
    };
    Move {
        act,
        text: text + &revisions,
        short: short + &revisions,
        ids,
        trays,
    }
}

fn take_out(board: &Board, one: &order::Move, groups: &[usize]) -> Move {
    let record = &board.record.fasteners;
    let first = &record[groups[0]];
    let what: Vec<String> = groups
        .iter()
        .map(|&group| count_and_size(board, &record[group]))
        .collect();
    let what = what.join(" and ");
    let is_sprung = first.sprung;
    let crosswise = match (is_sprung, groups.len()) {
        (false, _) => "",
        (true, 1) => ", a turn at a time, crosswise: they are sprung",
        (true, _) => ", all together, a turn at a time, crosswise: they are sprung",
    };
    let from = first.from;
    let (text, short) = match first.kind {
        FastenerKind::Screw if first.captive => (
            format!(
                "Loosen {what} from the {from}{crosswise}; they are captive and stay in. Where numbers are printed beside them, from the highest down."
            ),
            format!("loose, from the {from}"),
        ),
        FastenerKind::Screw => (
            format!("Take out {what} from the {from}{crosswise}."),
            format!("out, from the {from}"),
        ),
        FastenerKind::Clip => (
            format!("Unhook {what} from the {from}, with plastic, one end at a time."),
            format!("unhooked, from the {from}"),
        ),
        FastenerKind::PushPin => (
            format!("Squeeze {what} together behind the board and push them out."),
            "pushed out".to_owned(),
        ),
    };
    worded(board, one, text, short)
}

fn put_in(board: &Board, one: &order::Move, groups: &[usize]) -> Move {
    let record = &board.record.fasteners;
    let first = &record[groups[0]];
    let what: Vec<String> = groups
        .iter()
        .map(|&group| count_and_size(board, &record[group]))
        .collect();
    let what = what.join(" and ");
    let count: usize = groups.iter().map(|&group| record[group].at.len()).sum();
    let (text, short) = match first.kind {
        FastenerKind::Screw => {
            let passes = if count > 2 {
                ": all finger-tight first, then crosswise in passes of 30, 70 and 100 %, then once round"
            } else {
                ""
            };
            let numbers = if first.captive {
                " Where numbers are printed beside them, from the lowest up."
            } else {
                ""
            };
            let how_tight = match (first.torque_nm, first.sprung) {
                (Some(torque), _) => format!("{torque} N·m."),
                (None, true) => "Until they stop: the springs set the force.".to_owned(),
                (None, false) => "No torque is recorded: snug, and stop.".to_owned(),
            };
            (
                format!("Drive {what} in{passes}. {how_tight}{numbers}"),
                "in".to_owned(),
            )
        }
        FastenerKind::Clip => (format!("Hook {what} on again."), "hooked".to_owned()),
        FastenerKind::PushPin => (
            format!("Push {what} in until they spread."),
            "pushed in".to_owned(),
        ),
    };
    worded(board, one, text, short)
}

/// Says how many fasteners of which size and bit: "4 × cooler screws (M2.5 × 7, PH1)".
fn count_and_size(board: &Board, group: &Fasteners) -> String {
    let what = format!("{} × {}", group.at.len(), board.name(&group.id));
    if group.kind != FastenerKind::Screw {
        return what;
    }
    let thread = group.thread.as_deref().unwrap_or("thread not known");
    let length = group
        .length_mm
        .map_or_else(String::new, |length| format!(" × {length}"));
    let drive = group
        .drive
        .as_deref()
        .unwrap_or("bit not known: try before you turn");
    format!("{what} ({thread}{length}, {drive})")
}

fn lift(board: &Board, step: &[usize], is_swung: bool) -> String {
    let body = &board.record.body[step[0]];
    let name = body_name(board, step);
    match body.kind {
        BodyKind::Label => format!("Peel the {name} off and keep it."),
        _ if is_swung => format!("Lift the {name} away."),
        _ if is_pasted(body) => {
            format!(
                "Twist the {name} a few degrees until the paste lets go, then lift it straight off."
            )
        }
        BodyKind::Backplate | BodyKind::Bracket | BodyKind::Stiffener => {
            format!("Work round the edge of the {name} and lift it; never pull at one corner.")
        }
        _ => format!("Lift the {name} off evenly."),
    }
}

fn put_on(board: &Board, step: &[usize], is_swung: bool) -> String {
    let body = &board.record.body[step[0]];
    let name = body_name(board, step);
    let is_heavy = body.kind == BodyKind::Cooler && body.mass_g.is_some_and(|mass| mass >= HEAVY_G);
    match (body.kind, is_heavy, is_swung) {
        (BodyKind::Label, ..) => format!("Stick the {name} on again."),
        (_, true, true) => {
            let far = slack(board, step).map_or_else(String::new, |slack| {
                format!(", no further than {slack} mm away")
            });
            format!(
                "The {name} is the heavier: lay it on its back, and hold the board beside it like a \
                 book{far}."
            )
        }
        (_, false, true) => format!("Hold the {name} beside the board like a book."),
        (_, true, false) => format!(
            "The {name} is the heavier: lay it on its back, and put the board onto it, level."
        ),
        (_, false, false) => format!("Put the {name} on, level."),
    }
}

/// Tells whether a body sticks to the die by paste.
fn is_pasted(body: &Body) -> bool {
    body.seats
        .as_ref()
        .is_some_and(|seats| seats.on == Seat::Die)
}

/// Says what comes or goes with a body because it is one piece with it.
fn along(board: &Board, step: &[usize], verb: &str) -> String {
    let names: Vec<String> = step[1..]
        .iter()
        .map(|&body| board.name(&board.record.body[body].id))
        .collect();
    match &names[..] {
        [] => String::new(),
        [one] => format!(" The {one} {verb} with it."),
        several => format!(
            " With it {} the {}.",
            plural(verb),
            several.join(" and the ")
        ),
    }
}

fn plural(verb: &str) -> &str {
    if verb == "goes" { "go" } else { "come" }
}

fn body_name(board: &Board, step: &[usize]) -> String {
    board.name(&board.record.body[step[0]].id)
}

fn connector(board: &Board, plug: usize) -> (String, Option<crate::record::Latch>) {
    let plug = &board.record.connector[plug];
    (board.name(&plug.id), plug.latch)
}

fn zone_names(board: &Board, zones: &[usize]) -> String {
    let names = zones
        .iter()
        .map(|&zone| board.name(&board.record.zone[zone].id));
    names.collect::<Vec<_>>().join("; ")
}

/// Returns the least slack of the cables that lead to a step's bodies, mm.
fn slack(board: &Board, step: &[usize]) -> Option<f64> {
    let in_step = |id: &String| board.body(id).is_some_and(|(body, _)| step.contains(&body));
    let plugs = board.record.connector.iter();
    plugs
        .filter(|plug| plug.ties.as_ref().is_some_and(in_step))
        .filter_map(|plug| plug.slack_mm)
        .reduce(f64::min)
}
