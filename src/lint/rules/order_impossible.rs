use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::lint::waiting::{self, Knot};

declare_rule! {
    /// Looks for bodies and screws that wait for each other: what lies over, hides or holds what, round to
    /// where it began. Bodies that wait for such a ring cannot be reached either, and are named.
    ///
    /// ## Why
    ///
    /// The opening order is worked out from what holds, hides and ties what. Where that bites its own
    /// tail one of these facts is wrong, and a guide that guesses which has a body pulled against its
    /// screws.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    /// over = ["plate"]
    ///
    /// [[body]]
    /// id = "plate"
    /// kind = "bracket"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// from = "front"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    /// under = ["plate"]
    ///
    /// [[fasteners]]
    /// id = "plate-screws"
    /// from = "front"
    /// at = [[20.0, 10.0], [80.0, 50.0]]
    /// holds = ["plate", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    /// over = ["plate"]
    ///
    /// [[body]]
    /// id = "plate"
    /// kind = "bracket"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// from = "front"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    ///
    /// [[fasteners]]
    /// id = "plate-screws"
    /// from = "front"
    /// at = [[20.0, 10.0], [80.0, 50.0]]
    /// holds = ["plate", "pcb"]
    /// under = ["cover"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Go round the ring on the bench: each line shown is one of its facts, and one of them is not so. Often two
    /// groups of screws have each other's `under`, or `over` names the body above in place of the one below.
    "order-impossible", Consistency, Error,
    "bodies and screws wait for each other",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let help = "one of these is not so: correct its `over`, `under` or `holds`";
    waiting::report(board, Knot::Other, report, help);
}
