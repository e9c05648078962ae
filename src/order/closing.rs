//! The moves that close a board: those that open it, undone in the best order.

use super::graph::{Graph, Node, side_number, side_up};
use super::opening::{Move, Step, moves};
use super::search::{Needs, search};
use crate::book::Board;
use crate::record::{Body, BodyKind, Side};

/// A cooler as heavy as this, g, lies on the bench and the board is put onto it: about the mass of a
/// bare graphics board (common practice).
const HEAVY_G: f64 = 400.0;

/// How a board is closed.
#[derive(Clone, Debug, Default)]
pub struct Closing {
    /// The moves of opening that are undone, first to last.
    pub steps: Vec<Step>,
    /// How often the board is turned over.
    pub turn_overs: usize,
    /// How often the bit is changed.
    pub bit_changes: usize,
    /// Whether no order has fewer of either.
    pub is_exact: bool,
}

/// What is undone in one go.
struct Part {
    moves: Vec<Move>,
    up: Option<Side>,
    needs: Needs,
}

/// Returns how a board is closed: what had to come before in opening comes after; of all such orders the
/// one that turns the board over least, then changes the bit least, then is the opening reversed.
///
/// A heavy body lies on the bench and the board is put onto it, its other side up, so that the opening
/// reversed need not be the best order.
pub fn closing(board: &Board) -> Closing {
    let graph = Graph::of(board);
    let needs = graph.needs(board);
    let opened = search(&needs, &graph.pairs()).steps;
    let mut parts = Vec::new();
    let mut of_node = vec![Vec::new(); graph.nodes.len()];
    for &node in opened.iter().rev() {
        for part in parts_of(board, &graph.nodes[node], needs[node]) {
            of_node[node].push(parts.len());
            parts.push(part);
        }
    }
    let within = of_node.iter().flat_map(|parts| parts.windows(2));
    let mut before: Vec<(usize, usize)> = within.map(|pair| (pair[0], pair[1])).collect();
    for (first, then) in graph.pairs() {
        let undone = of_node[then].iter();
        before
            .extend(undone.flat_map(|&one| of_node[first].iter().map(move |&other| (one, other))));
    }
    let needs: Vec<Needs> = parts.iter().map(|part| part.needs).collect();
    let order = search(&needs, &before);
    let mut up = None;
    let mut steps = Vec::new();
    for part in order.steps.iter().map(|&part| &parts[part]) {
        up = part.up.or(up);
        steps.extend(part.moves.iter().map(|one| Step {
            one: one.clone(),
            up,
        }));
    }
    Closing {
        steps,
        turn_overs: order.turn_overs,
        bit_changes: order.bit_changes,
        is_exact: order.is_exact,
    }
}

/// Returns a step of opening as it is undone: pads are laid with their own side up, and then a heavy body lies
/// on the bench.
fn parts_of(board: &Board, node: &Node, needs: Needs) -> Vec<Part> {
    let undone = moves(board, node).into_iter().rev();
    let (pads, rest): (Vec<Move>, Vec<Move>) = undone.partition(|one| matches!(one, Move::Peel(_)));
    let up = side_up(board, node);
    let turned = match node {
        Node::TakeOff(body) if is_heavy(&board.record.body[*body]) => {
            Some(board.record.body[*body].side.other())
        }
        _ => up,
    };
    let part = |moves: Vec<Move>, up: Option<Side>| Part {
        needs: Needs {
            side: up.map(side_number),
            ..needs
        },
        moves,
        up,
    };
    let parts = [part(pads, up), part(rest, turned)];
    parts
        .into_iter()
        .filter(|part| !part.moves.is_empty())
        .collect()
}

/// Tells whether a body is the heavier, onto which the board is put.
pub fn is_heavy(body: &Body) -> bool {
    body.kind == BodyKind::Cooler && body.mass_g.is_some_and(|mass_g| mass_g >= HEAVY_G)
}
