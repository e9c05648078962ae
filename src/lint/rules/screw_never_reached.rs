use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::lint::waiting::{self, Knot};

declare_rule! {
    /// Looks for screws into the board that are hidden by the very body they hold: it never comes off, and
    /// they are never reached.
    ///
    /// ## Why
    ///
    /// A driver cannot reach them while the body is on, and the body cannot come off while they are in.
    /// Screws that go through a hole in a body are not hidden by it. Screws that hold one body to another from
    /// inside are: those are reached when both are off, and are no fault.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// from = "front"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    /// under = ["cover"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// from = "front"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Name in `under` what must come off before a driver reaches the heads: a label, a lid, another body. If
    /// the heads are reached through holes, nothing hides them.
    "screw-never-reached", Consistency, Error,
    "screws are hidden by the body they hold",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let help =
        "name in `under` what comes off before; a body with holes for the driver hides nothing";
    waiting::report(board, Knot::Screw, report, help);
}
