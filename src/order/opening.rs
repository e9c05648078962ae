//! The moves that open a board, in the order they are made.

use std::collections::BTreeSet;

use super::graph::{Edge, Graph, Node, held_by, side_up, swung_by};
use super::search::search;
use crate::book::{Board, Face};
use crate::record::Side;

/// One move of opening a board; things are named by their position in the record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Move {
    /// Unplug a connector.
    Unplug(usize),
    /// Take out groups of fasteners: several only where they share one body's springs.
    TakeOut(Vec<usize>),
    /// Free a body whose cables still hold it, and open it like a book.
    Swing(Vec<usize>),
    /// Lift a body, the first, and those that are one piece with it.
    Lift(Vec<usize>),
    /// Measure and peel the pads of zones laid bare.
    Peel(Vec<usize>),
}

/// A move, and the side of the board that is up when it is made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The move.
    pub one: Move,
    /// The side that is up; none as long as it does not matter.
    pub up: Option<Side>,
}

/// How a board is opened.
#[derive(Clone, Debug, Default)]
pub struct Opening {
    /// The moves, first to last.
    pub steps: Vec<Step>,
    /// How often the board is turned over.
    pub turn_overs: usize,
    /// How often the bit is changed.
    pub bit_changes: usize,
    /// Whether no order has fewer of either.
    pub is_exact: bool,
    /// Bodies that no order takes off: each waits for one that waits for it, or for such a body.
    pub stuck: Vec<usize>,
    /// Why: the reasons round each cycle.
    pub cycles: Vec<Vec<Edge>>,
}

/// Returns how a board is opened: of all orders that what holds, hides and ties allows, the one that
/// turns the board over least, then changes the bit least, then keeps to the record's order.
pub fn opening(board: &Board) -> Opening {
    let graph = Graph::of(board);
    let order = search(&graph.needs(board), &graph.pairs());
    let mut steps = Vec::new();
    let mut up = None;
    for &node in &order.steps {
        let node = &graph.nodes[node];
        up = side_up(board, node).or(up);
        steps.extend(moves(board, node).into_iter().map(|one| Step { one, up }));
    }
    let stuck = graph.stuck();
    Opening {
        steps,
        turn_overs: order.turn_overs,
        bit_changes: order.bit_changes,
        is_exact: order.is_exact,
        cycles: if stuck.is_empty() {
            Vec::new()
        } else {
            graph.cycles()
        },
        stuck: stuck_bodies(board, &graph, &stuck),
    }
}

/// Returns a board's zones in the order their pads are laid bare; those that no move lays bare come last.
pub fn peeling(board: &Board) -> Vec<usize> {
    let steps = opening(board).steps.into_iter();
    let mut zones: Vec<usize> = steps
        .filter_map(|step| match step.one {
            Move::Peel(zones) => Some(zones),
            _ => None,
        })
        .flatten()
        .collect();
    let left: Vec<usize> = (0..board.zones.len())
        .filter(|zone| !zones.contains(zone))
        .collect();
    zones.extend(left);
    zones
}

/// Returns the bodies that a move leaves loose under the board: its screws are the last to hold them, and
/// they lie on the side that is down.
pub fn loose_beneath(board: &Board, step: &Step, all: &Opening) -> Vec<usize> {
    let (Move::TakeOut(taken), Some(up)) = (&step.one, step.up) else {
        return Vec::new();
    };
    let out = |step: &Step| match &step.one {
        Move::TakeOut(groups) => groups.clone(),
        _ => Vec::new(),
    };
    let later = all.steps.iter().skip_while(|other| *other != step).skip(1);
    let later: Vec<usize> = later.flat_map(out).collect();
    let holds = |groups: &[usize], body: usize| {
        let mut held = groups.iter().map(|&group| held_by(board, group).0);
        held.any(|held| held.contains(&body))
    };
    let is_loose = |&body: &usize| {
        let is_beneath = board.record.body[body].side != up && board.whole(body) == body;
        is_beneath && holds(taken, body) && !holds(&later, body)
    };
    (0..board.record.body.len()).filter(is_loose).collect()
}

/// Returns the bodies on the board that no screw holds while some moves of opening are made and not undone:
/// of those that screws can hold, and that are not lifted.
pub fn unheld(board: &Board, made: &[Step]) -> Vec<usize> {
    let mut lifted = BTreeSet::new();
    let mut out = BTreeSet::new();
    for step in made {
        match &step.one {
            Move::Lift(bodies) => lifted.extend(bodies.iter().copied()),
            Move::TakeOut(groups) => out.extend(groups.iter().copied()),
            Move::Unplug(_) | Move::Swing(_) | Move::Peel(_) => {}
        }
    }
    let groups = (0..board.record.fasteners.len()).map(|group| (group, held_by(board, group)));
    let holding: Vec<(usize, BTreeSet<usize>)> = groups
        .filter(|(_, (held, into_board))| held.len() > 1 || *into_board)
        .map(|(group, (held, _))| (group, held))
        .collect();
    let is_unheld = |&body: &usize| {
        let mut of_body = holding
            .iter()
            .filter(|(_, held)| held.contains(&body))
            .peekable();
        let is_on = board.whole(body) == body && !lifted.contains(&body);
        is_on && of_body.peek().is_some() && of_body.all(|(group, _)| out.contains(group))
    };
    (0..board.record.body.len()).filter(is_unheld).collect()
}

fn stuck_bodies(board: &Board, graph: &Graph, stuck: &BTreeSet<usize>) -> Vec<usize> {
    let of_node = |&node: &usize| match graph.nodes[node] {
        Node::TakeOff(body) => board.pieces(body),
        Node::Unplug(_) | Node::TakeOut(_) => Vec::new(),
    };
    let mut bodies: Vec<usize> = stuck.iter().flat_map(of_node).collect();
    bodies.sort_unstable();
    bodies
}

/// Returns the moves of one step.
pub(super) fn moves(board: &Board, node: &Node) -> Vec<Move> {
    match node {
        Node::Unplug(plug) => vec![Move::Unplug(*plug)],
        Node::TakeOut(groups) => vec![Move::TakeOut(groups.clone())],
        Node::TakeOff(body) => take_off(board, *body),
    }
}

fn take_off(board: &Board, body: usize) -> Vec<Move> {
    let pieces = board.pieces(body);
    let plugs = 0..board.record.connector.len();
    let ties: Vec<usize> = plugs
        .filter(|&plug| swung_by(board, plug) == Some(body))
        .collect();
    let mut moves = Vec::new();
    if !ties.is_empty() {
        moves.push(Move::Swing(pieces.clone()));
        moves.extend(ties.into_iter().map(Move::Unplug));
    }
    moves.push(Move::Lift(pieces));
    let bare = bared_by(board, body);
    moves.extend((!bare.is_empty()).then_some(Move::Peel(bare)));
    moves
}

/// Returns the zones that a body lays bare: those whose outer face is its own or one of its pieces'.
fn bared_by(board: &Board, body: usize) -> Vec<usize> {
    let whole = |face: Option<Face>| match face {
        Some(Face::Body(body)) => Some(board.whole(body)),
        _ => None,
    };
    let is_bared = |zone: &crate::book::Zone| {
        let [near, far] = zone.faces.map(whole);
        far.or(near) == Some(body) && near != far
    };
    let zones = board.zones();
    zones
        .filter(|(_, _, zone)| is_bared(zone))
        .map(|(index, ..)| index)
        .collect()
}
