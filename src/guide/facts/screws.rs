use schemars::JsonSchema;
use serde::Serialize;

use crate::book::Board;
use crate::order::tray_letter;
use crate::record::{ConnectorKind, Engages, FastenerKind, From, Latch, Side};

/// One tray: a group of like screws.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TrayFacts {
    /// The tray's letter.
    pub letter: String,
    /// The group's id.
    pub id: String,
    /// Its name in words.
    pub name: String,
    /// How many.
    pub count: usize,
    /// What kind of fastener they are.
    pub kind: FastenerKind,
    /// Thread.
    pub thread: Option<String>,
    /// Length under the head, mm.
    pub length_mm: Option<f64>,
    /// Drive and size.
    pub drive: Option<String>,
    /// The side the driver works from.
    pub from: From,
    /// What they hold, in words.
    pub holds: Vec<String>,
    /// What hides them, in words.
    pub under: Vec<String>,
    /// Whether a spring sets their force.
    pub sprung: bool,
    /// Whether they stay in the body when they are loose.
    pub captive: bool,
    /// Force of one, seated, N.
    pub clamp_n: Option<f64>,
    /// What the thread engages.
    pub engages: Option<Engages>,
    /// The maker's torque, N·m.
    pub torque_nm: Option<f64>,
    /// Revisions they belong to; empty is all.
    pub only: Vec<String>,
}

/// One connector.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ConnectorFacts {
    /// Its id.
    pub id: String,
    /// Its name in words.
    pub name: String,
    /// What it carries.
    pub kind: ConnectorKind,
    /// The side of the board.
    pub side: Side,
    /// The body its cable leads to, in words.
    pub ties: Option<String>,
    /// How it is locked.
    pub latch: Option<Latch>,
    /// How to unplug it.
    pub how: String,
    /// How far the tied body can be moved, mm.
    pub slack_mm: Option<f64>,
    /// Revisions it belongs to; empty is all.
    pub only: Vec<String>,
}

pub(super) fn trays(board: &Board) -> Vec<TrayFacts> {
    let names = |ids: &[String]| {
        let name = |id: &String| {
            if id == "pcb" {
                "board".to_owned()
            } else {
                board.name(id)
            }
        };
        ids.iter().map(name).collect()
    };
    board
        .record
        .fasteners
        .iter()
        .enumerate()
        .map(|(index, group)| TrayFacts {
            letter: tray_letter(index),
            id: group.id.clone(),
            name: board.name(&group.id),
            count: group.at.len(),
            kind: group.kind,
            thread: group.thread.clone(),
            length_mm: group.length_mm,
            drive: group.drive.clone(),
            from: group.from,
            holds: names(&group.holds),
            under: names(&group.under),
            sprung: group.sprung,
            captive: group.captive,
            clamp_n: group.clamp_n,
            engages: group.engages,
            torque_nm: group.torque_nm,
            only: board.revisions_of_fasteners(index).to_vec(),
        })
        .collect()
}

pub(super) fn connectors(board: &Board) -> Vec<ConnectorFacts> {
    board
        .record
        .connector
        .iter()
        .map(|plug| ConnectorFacts {
            id: plug.id.clone(),
            name: board.name(&plug.id),
            kind: plug.kind,
            side: plug.side,
            ties: plug.ties.as_ref().map(|body| board.name(body)),
            latch: plug.latch,
            how: how_to_unplug(plug.latch).to_owned(),
            slack_mm: plug.slack_mm,
            only: plug.only.clone(),
        })
        .collect()
}

/// Says how a latch is opened (common practice).
pub(super) fn how_to_unplug(latch: Option<Latch>) -> &'static str {
    match latch {
        Some(Latch::Friction) => "walk it out by its shell, never by the wires",
        Some(Latch::SideClips) => "press both side clips outwards, then lift the shell",
        Some(Latch::TopLatch) => "press the latch on top down, then pull the shell straight out",
        Some(Latch::FlipBar) => "flip the bar up first; the ribbon then slides out without force",
        Some(Latch::Screw) => "undo its screws first",
        None => "how it locks is not known: look before you pull, and never pull the wires",
    }
}
