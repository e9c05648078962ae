use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::BodyKind;
use crate::source::keys;
use crate::units::Rect;

declare_rule! {
    /// Looks at every part, pad, screw, connector and keep-out, and asks whether it lies on the board.
    /// Bodies may reach beyond it, and so may the screws of an I/O bracket, by up to 10 mm.
    ///
    /// ## Why
    ///
    /// A place beyond the edge was mistyped or measured from another corner. On the map it would send a
    /// driver, or a blade, to the wrong spot.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[90.0, 20.0, 20.0, 20.0]]
    /// height_mm = 2.4
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[60.0, 20.0, 20.0, 20.0]]
    /// height_mm = 2.4
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure again from the board's lower-left corner, seen from the front, x to the right and y up;
    /// or correct `outline_mm`.
    "outside-outline", Geometry, Error,
    "something lies beyond the board's edge",
    Board(check)
}

/// How far a place may reach over the edge, mm: the rounding of a ruler.
const SLACK_MM: f64 = 0.5;

/// How far the screws of an I/O bracket may lie beyond the edge, mm: it stands off the board.
const IO_BRACKET_SLACK_MM: f64 = 10.0;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let Some(outline) = board.outline() else {
        return;
    };
    let record = &board.record;
    let mut look =
        |table: &str, index: usize, position: Option<usize>, rect: Rect, slack: f64| {
            if outline.holds(&rect, slack) {
                return;
            }
            let mut path = keys![table, index, "at"];
            if let Some(position) = position {
                path = path.then(position);
            }
            let what = board.id_at(&path).unwrap_or(table).to_owned();
            let message = format!(
                "`{what}` lies {:.1} mm beyond the board's {:.1} x {:.1} mm",
                outline.excess_of(&rect),
                outline.width,
                outline.height,
            );
            report
            .find(board.at(path), message)
            .also(board.at(keys!["board", "outline_mm"]), "the board's outline")
            .help("measure from the lower-left corner seen from the front, or correct the outline");
        };
    for (index, part) in record.part.iter().enumerate() {
        for (position, &place) in part.at.iter().enumerate() {
            look("part", index, Some(position), place, SLACK_MM);
        }
    }
    for (index, zone) in record.zone.iter().enumerate() {
        for (position, &place) in zone.at.iter().enumerate() {
            look("zone", index, Some(position), place, SLACK_MM);
        }
    }
    for (index, group) in record.fasteners.iter().enumerate() {
        let of_io_bracket = group.holds.iter().any(|id| {
            board
                .body(id)
                .is_some_and(|(_, body)| body.kind == BodyKind::IoBracket)
        });
        let slack = if of_io_bracket {
            IO_BRACKET_SLACK_MM
        } else {
            SLACK_MM
        };
        for (position, &point) in group.at.iter().enumerate() {
            let spot = Rect::at_point(point);
            look("fasteners", index, Some(position), spot, slack);
        }
    }
    for (index, connector) in record.connector.iter().enumerate() {
        let spot = Rect::at_point(connector.at);
        look("connector", index, None, spot, SLACK_MM);
    }
    for (index, keepout) in record.keepout.iter().enumerate() {
        for (position, &place) in keepout.at.iter().enumerate() {
            look("keepout", index, Some(position), place, SLACK_MM);
        }
    }
}
