//! The moves that open a board, in the order they are made.

use super::bodies;
use crate::book::Board;
use crate::record::{BodyKind, Connector, ConnectorKind, From, Side};

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

/// Returns the moves that open a board.
///
/// Bodies come off as [`bodies`] orders them. Supplies are unplugged first, once the covers over
/// them are off. Of a body's screws the sprung ones come out last and together, so that closing,
/// which is the reverse, seats the die before anything else is drawn tight. A body on the driver's
/// side, or an I/O bracket, is lifted as soon as its last screw is out: nothing holds it any more.
pub fn opening(board: &Board) -> Vec<Move> {
    let mut opening = Opening::new(board);
    for step in bodies(board).steps {
        if !opening.is_lifted(step[0]) {
            opening.take_off(&step);
        }
    }
    opening.supplies(true);
    opening.moves
}

/// Returns a board's zones in the order their pads are laid bare; those that no move lays bare come last.
pub fn peeling(board: &Board) -> Vec<usize> {
    let moves = opening(board).into_iter();
    let mut zones: Vec<usize> = moves
        .filter_map(|one| match one {
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

/// A board being opened.
struct Opening<'a> {
    board: &'a Board,
    moves: Vec<Move>,
    lifted: Vec<bool>,
    out: Vec<bool>,
    unplugged: Vec<bool>,
    bare: Vec<bool>,
}

impl<'a> Opening<'a> {
    fn new(board: &'a Board) -> Self {
        let record = &board.record;
        Self {
            board,
            moves: Vec::new(),
            lifted: vec![false; record.body.len()],
            out: vec![false; record.fasteners.len()],
            unplugged: vec![false; record.connector.len()],
            bare: vec![false; record.zone.len()],
        }
    }

    fn is_lifted(&self, body: usize) -> bool {
        self.lifted[self.board.whole(body)]
    }

    fn take_off(&mut self, step: &[usize]) {
        let is_cover = matches!(
            self.board.record.body[step[0]].kind,
            BodyKind::Cover | BodyKind::Label
        );
        self.supplies(!is_cover);
        self.take_out(step);
        if self.is_lifted(step[0]) {
            return;
        }
        let ties: Vec<usize> = self.ties(step);
        if !ties.is_empty() {
            self.moves.push(Move::Swing(step.to_vec()));
            for plug in ties {
                self.unplug(plug);
            }
        }
        self.lift(step);
    }

    /// Unplugs the supplies that no cover hides any more, or with `all` every one.
    fn supplies(&mut self, all: bool) {
        let board = self.board;
        for (index, plug) in board.record.connector.iter().enumerate() {
            let is_supply = plug.ties.is_none() && is_supply(plug);
            if is_supply && !self.unplugged[index] && (all || !self.is_covered(plug.side)) {
                self.unplug(index);
            }
        }
    }

    fn is_covered(&self, side: Side) -> bool {
        let bodies = self.board.record.body.iter().enumerate();
        bodies
            .filter(|(_, body)| body.side == side && body.kind == BodyKind::Cover)
            .any(|(index, _)| !self.is_lifted(index))
    }

    fn unplug(&mut self, plug: usize) {
        self.unplugged[plug] = true;
        self.moves.push(Move::Unplug(plug));
    }

    /// Takes out what holds a step's bodies, the sprung groups last and together.
    fn take_out(&mut self, step: &[usize]) {
        let board = self.board;
        let holding: Vec<usize> = (0..self.out.len())
            .filter(|&group| !self.out[group] && holds(board, group, step))
            .collect();
        let (sprung, plain): (Vec<usize>, Vec<usize>) = holding
            .into_iter()
            .partition(|&group| board.record.fasteners[group].sprung);
        let mut batches: Vec<Vec<usize>> = plain.into_iter().map(|group| vec![group]).collect();
        batches.extend((!sprung.is_empty()).then_some(sprung));
        for groups in batches {
            for &group in &groups {
                self.out[group] = true;
            }
            self.moves.push(Move::TakeOut(groups.clone()));
            self.lift_what_comes_loose(&groups);
        }
    }

    /// Lifts the bodies that the groups just taken out were the last to hold, where they lie on the
    /// driver's side or are I/O brackets.
    fn lift_what_comes_loose(&mut self, groups: &[usize]) {
        let board = self.board;
        for (index, body) in board.record.body.iter().enumerate() {
            let own: Vec<usize> = board
                .fasteners_of(&body.id)
                .map(|(group, _)| group)
                .collect();
            let is_loose = own.iter().any(|group| groups.contains(group))
                && own.iter().all(|&group| self.out[group]);
            let at_hand = body.kind == BodyKind::IoBracket
                || groups
                    .iter()
                    .all(|&group| from_side(board, group) == Some(body.side));
            let over = board.record.body.iter().enumerate();
            let is_free = over
                .filter(|(_, other)| other.over.contains(&body.id))
                .all(|(other, _)| self.is_lifted(other));
            let is_whole = board.whole(index) == index;
            if is_whole && is_loose && at_hand && is_free && !self.is_lifted(index) {
                let step: Vec<usize> = std::iter::once(index)
                    .chain(
                        (0..board.record.body.len())
                            .filter(|&piece| piece != index && board.whole(piece) == index),
                    )
                    .collect();
                if self.ties(&step).is_empty() {
                    self.lift(&step);
                }
            }
        }
    }

    fn lift(&mut self, step: &[usize]) {
        for &body in step {
            self.lifted[body] = true;
        }
        self.moves.push(Move::Lift(step.to_vec()));
        let board = self.board;
        let bare: Vec<usize> = board
            .zones()
            .filter(|(index, _, zone)| {
                !self.bare[*index] && zone.bodies().any(|b| step.contains(&b))
            })
            .map(|(index, _, _)| index)
            .collect();
        if !bare.is_empty() {
            for &zone in &bare {
                self.bare[zone] = true;
            }
            self.moves.push(Move::Peel(bare));
        }
    }

    /// Returns the connectors whose cables still lead to a step's bodies.
    fn ties(&self, step: &[usize]) -> Vec<usize> {
        let in_step = |id: &String| {
            self.board
                .body(id)
                .is_some_and(|(body, _)| step.contains(&body))
        };
        let plugs = self.board.record.connector.iter().enumerate();
        plugs
            .filter(|(index, plug)| {
                !self.unplugged[*index] && plug.ties.as_ref().is_some_and(in_step)
            })
            .map(|(index, _)| index)
            .collect()
    }
}

/// Tells whether a connector feeds the board from outside.
fn is_supply(plug: &Connector) -> bool {
    matches!(plug.kind, ConnectorKind::Power | ConnectorKind::Battery)
}

/// Tells whether a group of fasteners holds a step's bodies to something else: screws within one
/// piece stay in.
fn holds(board: &Board, group: usize, step: &[usize]) -> bool {
    let in_step = |id: &String| board.body(id).is_some_and(|(body, _)| step.contains(&body));
    let held = &board.record.fasteners[group].holds;
    held.iter().any(in_step) && !held.iter().all(in_step)
}

/// Returns the side of the board that a group is driven from; none from the edge.
fn from_side(board: &Board, group: usize) -> Option<Side> {
    match board.record.fasteners[group].from {
        From::Front => Some(Side::Front),
        From::Back => Some(Side::Back),
        From::Edge => None,
    }
}
