//! The pads of one side, and what each must not be mistaken for.

use super::hatch;
use super::view::View;
use crate::book::{Board, share_a_revision};
use crate::units::Rect;

/// One piece of a zone's pads, on a drawing.
#[derive(Debug)]
pub(super) struct Piece {
    /// Its zone, by position.
    pub(super) zone: usize,
    /// Where it is drawn.
    pub(super) drawn: Rect,
    /// The zones that have a pad at its place, its own and those of other revisions of the board.
    pub(super) zones: Vec<usize>,
    /// The thickness that it is hatched by. It is left blank where that is not known, where revisions
    /// take different pads, so that no one of them is taken for all, and where it lies on a body over
    /// another pad.
    pub(super) hatched_mm: Option<f64>,
}

/// Returns the pieces of a side, in the record's order.
pub(super) fn pieces(board: &Board, view: &View) -> Vec<Piece> {
    let is_seen = |zone: &usize| board.zones[*zone].side == Some(view.side);
    let seen: Vec<usize> = (0..board.zones.len()).filter(is_seen).collect();
    let of_zone = |&zone: &usize| {
        let others = Others::of(board, &seen, zone);
        let piece = move |place: &Rect| {
            let mut zones = vec![zone];
            zones.extend(
                others
                    .other_revisions
                    .iter()
                    .filter(|&&other| touches(board, other, place)),
            );
            zones.sort_unstable();
            let is_over = others
                .beneath
                .iter()
                .any(|&other| touches(board, other, place));
            Piece {
                zone,
                drawn: view.rect(place),
                hatched_mm: common_mm(board, &zones).filter(|_| !is_over),
                zones,
            }
        };
        board.zones[zone]
            .pieces
            .iter()
            .map(piece)
            .collect::<Vec<_>>()
    };
    seen.iter().flat_map(of_zone).collect()
}

/// The zones that may have a pad at the same place as one zone.
struct Others {
    other_revisions: Vec<usize>,
    beneath: Vec<usize>,
}

impl Others {
    fn of(board: &Board, seen: &[usize], zone: usize) -> Self {
        let revisions = board.revisions_of_zone(zone);
        let shares = |other: usize| share_a_revision(revisions, board.revisions_of_zone(other));
        let others = || seen.iter().copied().filter(|&other| other != zone);
        let is_carried = board.zones[zone].carrier().is_some();
        let is_beneath =
            |&other: &usize| is_carried && board.zones[other].is_on_board() && shares(other);
        Self {
            other_revisions: others().filter(|&other| !shares(other)).collect(),
            beneath: others().filter(is_beneath).collect(),
        }
    }
}

/// Tells whether a zone has a pad at a place.
fn touches(board: &Board, zone: usize, place: &Rect) -> bool {
    let mut pieces = board.zones[zone].pieces.iter();
    pieces.any(|piece| piece.overlap_with(place).is_some())
}

/// Returns the thickness that zones have in common, to what a hatch can tell.
fn common_mm(board: &Board, zones: &[usize]) -> Option<f64> {
    let pad_mm = |&zone: &usize| board.record.zone[zone].pad_mm;
    let first = pad_mm(zones.first()?)?;
    let same = |mm: f64| hatch::name("", mm) == hatch::name("", first);
    zones
        .iter()
        .all(|zone| pad_mm(zone).is_some_and(same))
        .then_some(first)
}
