//! In what order a board is opened and closed.

use schemars::JsonSchema;
use serde::Serialize;

use super::moves::{self, Move};
use super::note::{self, NoteFacts};
use crate::book::Board;
use crate::order::{self, Opening, Step};
use crate::record::{Phase, Side};

/// The moves that open a board and those that close it, and how good their order is.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct OrderFacts {
    /// How often the board is turned over while it is opened.
    pub turn_overs: usize,
    /// How often the bit is changed while it is opened.
    pub bit_changes: usize,
    /// Whether it is proven that no order of opening has fewer turn-overs or changes of bit.
    pub is_exact: bool,
    /// How often the board is turned over while it is closed: more where a heavy cooler lies on the bench.
    pub closing_turn_overs: usize,
    /// How often the bit is changed while it is closed.
    pub closing_bit_changes: usize,
    /// Whether it is proven that no order of closing has fewer turn-overs or changes of bit.
    pub closing_is_exact: bool,
    /// The moves that open it, in order.
    pub opening: Vec<Move>,
    /// The moves that close it: the same ones undone, in the best order.
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
        let closing = order::closing(board);
        let told = |steps: &[Step], words: fn(&Board, &Step, &Opening) -> Move| {
            let mut told: Vec<Move> = steps
                .iter()
                .map(|one| words(board, one, &opening))
                .collect();
            turned(&mut told);
            told
        };
        let mut moves = told(&opening.steps, moves::opened);
        held(&mut moves, |index| {
            moves::hold(board, &opening.steps[..index])
        });
        let mut backwards = told(&closing.steps, moves::closed);
        held(&mut backwards, |index| {
            moves::hold(board, &closing.steps[index..])
        });
        let name = |&body: &usize| board.name(&board.record.body[body].id);
        let reasons = |cycle: &Vec<order::graph::Edge>| {
            let reasons = cycle.iter().map(|edge| edge.in_words(board));
            reasons.collect::<Vec<_>>().join(", ")
        };
        Self {
            turn_overs: opening.turn_overs,
            bit_changes: opening.bit_changes,
            is_exact: opening.is_exact,
            closing_turn_overs: closing.turn_overs,
            closing_bit_changes: closing.bit_changes,
            closing_is_exact: closing.is_exact,
            opening: moves,
            closing: backwards,
            stuck: opening.stuck.iter().map(name).collect(),
            cycles: opening.cycles.iter().map(reasons).collect(),
        }
    }

    /// Gathers the same with the notes of the record, each told with the move that it is about.
    pub fn with_notes(board: &Board) -> (Self, Vec<NoteFacts>) {
        let mut notes = note::notes(board);
        let mut order = Self::of(board);
        tell_notes(&mut order, &mut notes);
        (order, notes)
    }
}

/// Gives each note of opening and closing to the first move that touches what it is about.
fn tell_notes(order: &mut OrderFacts, notes: &mut [NoteFacts]) {
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

/// Says with each turn-over what is to be held to the board.
fn held(moves: &mut [Move], hold: impl Fn(usize) -> Option<String>) {
    for (index, one) in moves.iter_mut().enumerate() {
        if one.turn_over {
            one.hold = hold(index);
        }
    }
}
