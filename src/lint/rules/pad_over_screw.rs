use crate::book::{Board, Book, share_a_revision};
use crate::lint::Report;
use crate::lint::phrase::and_more;
use crate::lint::rule::declare_rule;
use crate::record::From;
use crate::source::keys;
use crate::units::{OVERLAP_MM, Point, Rect, head_radius_mm};

declare_rule! {
    /// Looks for pads that come closer to a screw than its head needs, on either side of the board: a
    /// screw stands at its place on every level. Screws from the edge are not looked at.
    ///
    /// ## Why
    ///
    /// A pad over a screw hides its head, and a pad beside it is caught and torn by the driver. One of the
    /// two is not where the record says.
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
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// thread = "M2.5"
    /// from = "back"
    /// at = [[34.0, 27.0], [90.0, 50.0]]
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
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// thread = "M2.5"
    /// from = "back"
    /// at = [[36.0, 27.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure the screw and the piece again. Where both are right, cut the piece shorter and say so with
    /// the zone's `at`. A screw that is used from the back still has its place seen from the front.
    "pad-over-screw", Geometry, Error,
    "a pad lies where a screw stands",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, written, zone) in board.zones() {
        let only = board.revisions_of_zone(index);
        for (position, group) in board.record.fasteners.iter().enumerate() {
            let radius = head_radius_mm(group.thread.as_deref());
            let near = nearest(&zone.pieces, &group.at, radius - OVERLAP_MM);
            let Some(near) = near.filter(|_| group.from != From::Edge) else {
                continue;
            };
            if !share_a_revision(only, board.revisions_of_fasteners(position)) {
                continue;
            }
            let message = format!(
                "a pad of `{}` lies {:.1} mm from a screw of `{}`, whose head reaches {radius:.1} mm{}",
                written.id,
                near.distance_mm,
                group.id,
                and_more(near.count),
            );
            report
                .find(board.at(board.piece_path(index, near.piece)), message)
                .also(
                    board.at(keys!["fasteners", position, "at", near.screw]),
                    "the screw's centre",
                )
                .help("measure both again, or cut the pad short of the screw");
        }
    }
}

/// The piece and screw that are nearest each other, among those that are too near.
#[derive(Debug, PartialEq)]
struct Near {
    piece: usize,
    screw: usize,
    distance_mm: f64,
    count: usize,
}

fn nearest(pieces: &[Rect], screws: &[Point], least_mm: f64) -> Option<Near> {
    let mut found: Option<Near> = None;
    for (piece, rect) in pieces.iter().enumerate() {
        for (screw, &point) in screws.iter().enumerate() {
            let distance_mm = rect.distance_to(point);
            if distance_mm >= least_mm {
                continue;
            }
            let count = 1 + found.as_ref().map_or(0, |near| near.count);
            let this = Near {
                piece,
                screw,
                distance_mm,
                count,
            };
            let nearer = found.filter(|near| near.distance_mm <= distance_mm);
            found = Some(nearer.map_or(this, |near| Near { count, ..near }));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_screw_is_shown_and_the_others_counted() {
        let pieces = [[0.0, 0.0, 10.0, 10.0], [30.0, 0.0, 10.0, 10.0]].map(Rect::from);
        let screws = [[12.0, 5.0], [31.0, 11.0], [13.0, 14.0]].map(Point::from);
        let near = Near {
            piece: 1,
            screw: 1,
            distance_mm: 1.0,
            count: 2,
        };
        assert_eq!(nearest(&pieces, &screws, 2.4), Some(near), "2 mm and 1 mm");
        assert_eq!(nearest(&pieces, &screws, 0.9), None, "all far enough");
        let corner = nearest(&pieces[..1], &screws[2..], 5.5).map(|near| near.distance_mm);
        assert_eq!(corner, Some(5.0), "3 and 4 from the corner");
    }
}
