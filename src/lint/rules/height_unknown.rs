use std::collections::BTreeSet;

use crate::book::{Board, Book, Face, Zone};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::{PartKind, Seat};
use crate::source::keys;

declare_rule! {
    /// Looks for heights that a gap depends on and nobody gave: of parts that pads touch, of the die that a
    /// cooler seats on, of standoffs, and of bodies with pads on their far face.
    ///
    /// ## Why
    ///
    /// The gap is the difference of two heights. Without one of them nothing can be said about which pad
    /// fits it before somebody has measured an old one.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "hub"
    /// kind = "controller"
    /// side = "front"
    /// at = [[20.0, 20.0, 12.0, 12.0]]
    ///
    /// [[zone]]
    /// id = "hub"
    /// between = ["hub", "cooler"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "hub"
    /// kind = "controller"
    /// side = "front"
    /// at = [[20.0, 20.0, 12.0, 12.0]]
    /// height_mm = 1.2
    ///
    /// [[zone]]
    /// id = "hub"
    /// between = ["hub", "cooler"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure it with the depth rod of a caliper from the bare board, or name the part's `package`. Until
    /// then the imprints of old pads stand in for it.
    "height-unknown", Completeness, Advice,
    "a height that a gap depends on is not known",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    look_at_parts(board, report);
    look_at_bodies(board, report);
}

fn look_at_parts(board: &Board, report: &mut Report<'_>) {
    let touched: BTreeSet<usize> = board.zones.iter().filter_map(Zone::part).collect();
    for (index, part) in board.record.part.iter().enumerate() {
        // A package that the book does not have is a reference to put right, not a height to measure.
        if board.heights[index].is_some() || part.package.is_some() {
            continue;
        }
        let carries = || {
            board
                .record
                .body
                .iter()
                .any(|body| body.side == part.side && body.seats_on(Seat::Die).is_some())
        };
        let what = if touched.contains(&index) {
            "which pads touch"
        } else if part.kind == PartKind::Die && carries() {
            "which a cooler seats on"
        } else {
            continue;
        };
        let message = format!("the height of `{}`, {what}, is not known", part.id);
        report
            .find(board.at(keys!["part", index, "id"]), message)
            .help("measure `height_mm` from the bare board, or name the part's `package`");
    }
}

fn look_at_bodies(board: &Board, report: &mut Report<'_>) {
    let touched: BTreeSet<usize> = board.zones.iter().flat_map(Zone::bodies).collect();
    let beneath: BTreeSet<usize> = board
        .zones
        .iter()
        .filter_map(|zone| match zone.faces {
            [Some(Face::Body(near)), Some(Face::Body(_))] => Some(near),
            _ => None,
        })
        .collect();
    for (index, body) in board.record.body.iter().enumerate() {
        let on_standoffs = body.seats_on(Seat::Standoffs);
        if touched.contains(&index) && on_standoffs.is_some_and(|seats| seats.height_mm.is_none()) {
            let message = format!(
                "the height of the standoffs under `{}`, which pads touch, is not known",
                body.id
            );
            report
                .find(board.at(keys!["body", index, "seats"]), message)
                .help("measure `height_mm` of a standoff from the bare board");
        }
        if beneath.contains(&index) && body.thickness_mm.is_none() {
            let message = format!(
                "the thickness of `{}`, whose far face takes pads, is not known",
                body.id
            );
            report
                .find(board.at(keys!["body", index, "id"]), message)
                .help("measure its `thickness_mm`");
        }
    }
}
