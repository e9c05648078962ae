//! In what order a board is opened and closed.

use schemars::JsonSchema;
use serde::Serialize;

use super::moves::{self, Move};
use super::note::NoteFacts;
use crate::book::Board;
use crate::order::{self, Opening, Step};
use crate::record::{Phase, Side};

/// The moves that open a board and those that close it, and how good their order is.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct OrderFacts {
    /// How often the board is turned over while it is opened.
    pub turn_overs: usize,
    /// How often the bit is changed.
    pub bit_changes: usize,
    /// Whether it is proven that no order has fewer of either.
    pub is_exact: bool,
    /// The moves that open it, in order.
    pub opening: Vec<Move>,
    /// The moves that close it: the same, reversed.
    pub closing: Vec<Move>,
    /// Bodies that the record gives no order for, in words.
    pub stuck: Vec<String>,
    /// Why, in words: what waits for what until it waits for itself.
    pub cycles: Vec<String>,
}

impl OrderFacts {
    /// Gathers in what order a board is opened and closed.
    pub fn of(board: &Board) -> Self {
        let opening = order::opening(board);
        let backwards: Vec<Step> = opening
            .steps
            .iter()
            .rev()
            .map(|step| moves::reversed(board, step))
            .collect();
        let told = |steps: &[Step], words: fn(&Board, &Step, &Opening) -> Move| {
            let mut told: Vec<Move> = steps
                .iter()
                .map(|one| words(board, one, &opening))
                .collect();
            turned(&mut told);
            told
        };
        let name = |&body: &usize| board.name(&board.record.body[body].id);
        let reasons = |cycle: &Vec<order::graph::Edge>| {
            let reasons = cycle.iter().map(|edge| edge.in_words(board));
            reasons.collect::<Vec<_>>().join(", ")
        };
        Self {
            turn_overs: opening.turn_overs,
            bit_changes: opening.bit_changes,
            is_exact: opening.is_exact,
            opening: told(&opening.steps, moves::opened),
            closing: told(&backwards, moves::closed),
            stuck: opening.stuck.iter().map(name).collect(),
            cycles: opening.cycles.iter().map(reasons).collect(),
        }
    }
}

/// Gives each note of opening and closing to the first move that touches what it is about.
pub(super) fn tell_notes(order: &mut OrderFacts, notes: &mut [NoteFacts]) {
    for (phase, moves) in [
        (Phase::Open, &mut order.opening),
        (Phase::Close, &mut order.closing),
    ] {
        for (index, note) in notes
            .iter_mut()
            .enumerate()
            .filter(|(_, note)| note.when == phase)
        {
            let telling = moves.iter_mut().find(|one| one.ids.contains(&note.on));
            note.with_move = telling.is_some();
            if let Some(telling) = telling {
                telling.notes.push(index);
            }
        }
    }
}

/// Marks the moves before which the board is turned over.
fn turned(moves: &mut [Move]) {
    let mut up: Option<Side> = None;
    for one in moves {
        one.turn_over = up.is_some() && one.side_up.is_some() && up != one.side_up;
        up = one.side_up.or(up);
    }
}
