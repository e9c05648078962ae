use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::order::{depth_mm, reach_mm};
use crate::source::keys;

declare_rule! {
    /// Looks for screws that reach further than the standoff of the body they hold and the board together:
    /// they come out on the other side. Screws with a spring, from the edge, or into a body on the other side are
    /// not judged.
    ///
    /// ## Why
    ///
    /// Such a screw presses on what lies behind the board, or bottoms before its head is down and bends the
    /// board instead of holding it.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// schema = 1
    ///
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// thickness_mm = 1.6
    ///
    /// [[body]]
    /// id = "plate"
    /// kind = "backplate"
    /// side = "back"
    /// seats = { on = "standoffs", height_mm = 2.0 }
    /// thickness_mm = 1.5
    ///
    /// [[fasteners]]
    /// id = "plate-screws"
    /// thread = "M2"
    /// length_mm = 9.0
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["plate", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// schema = 1
    ///
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// thickness_mm = 1.6
    ///
    /// [[body]]
    /// id = "plate"
    /// kind = "backplate"
    /// side = "back"
    /// seats = { on = "standoffs", height_mm = 2.0 }
    /// thickness_mm = 1.5
    ///
    /// [[fasteners]]
    /// id = "plate-screws"
    /// thread = "M2"
    /// length_mm = 4.5
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["plate", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure the screw under its head, the body's thickness and its standoffs again; one of the three is
    /// not so.
    "screw-too-long", Geometry, Error,
    "screws come out on the other side of the board",
    Board(check)
}

/// How far a screw may seem to come out, mm: what a caliper and a worn washer explain.
const UNCERTAIN_MM: f64 = 0.2;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, group) in board.record.fasteners.iter().enumerate() {
        let (Some(reach), Some(depth)) = (reach_mm(board, group), depth_mm(board, group)) else {
            continue;
        };
        if reach <= depth + UNCERTAIN_MM {
            continue;
        }
        let message = format!(
            "`{}` reach {reach:.1} mm beyond the body they hold, and standoff and board are {depth:.1} mm",
            group.id
        );
        report
            .find(board.at(keys!["fasteners", index, "length_mm"]), message)
            .help(
                "measure their length under the head, the body's thickness and its standoffs again",
            );
    }
}
