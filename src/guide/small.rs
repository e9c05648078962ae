//! The small maps beside the moves of a sheet.

use minijinja::value::Value;

use super::facts::{Act, BoardFacts, Move};
use crate::book::{Board, Thing};
use crate::drawing::{self, Element, side_of};
use crate::record::schema::Words as _;
use crate::record::{Phase, Side};

/// Returns what the small maps of a page have in common.
pub(super) fn ground(board: &Board) -> Value {
    let sides = Side::ALL
        .iter()
        .filter_map(|&side| drawing::ground(board, side));
    Value::from_safe_string(sides.map(|svg| svg.serialise()).collect())
}

/// Returns a small map for each move of the sheet of a phase; an empty one where there is nothing to draw
/// on.
pub(super) fn beside_moves(board: &Board, facts: &BoardFacts, phase: Option<Phase>) -> Vec<Value> {
    let moves = match phase {
        Some(Phase::Open) => &facts.order.opening,
        Some(Phase::Close) => &facts.order.closing,
        _ => return Vec::new(),
    };
    moves.iter().map(|one| beside(board, one)).collect()
}

fn beside(board: &Board, one: &Move) -> Value {
    let things: Vec<Thing> = one
        .ids
        .iter()
        .filter_map(|id| thing(board, one.act, id))
        .collect();
    let side = one
        .side_up
        .or_else(|| Some(side_of(board, *things.first()?)));
    let svg = side.and_then(|side| drawing::small(board, side, &things));
    Value::from_safe_string(svg.as_ref().map(Element::serialise).unwrap_or_default())
}

/// Returns what an id of a move means: a zone may have its part's.
fn thing(board: &Board, act: Act, id: &str) -> Option<Thing> {
    let is_meant = |thing: &Thing| match act {
        Act::Screws => matches!(thing, Thing::Fasteners(_)),
        Act::Swing | Act::Body => matches!(thing, Thing::Body(_)),
        Act::Plug => matches!(thing, Thing::Connector(_)),
        Act::Pads => matches!(thing, Thing::Zone(_)),
    };
    let mut named = board.things().filter(|&(_, other)| other == id);
    named
        .find(|(thing, _)| is_meant(thing))
        .map(|(thing, _)| thing)
}
