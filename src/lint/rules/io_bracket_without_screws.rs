use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::BodyKind;
use crate::source::keys;

declare_rule! {
    /// Looks for I/O brackets that no group of fasteners holds and that are not part of another body.
    ///
    /// ## Why
    ///
    /// The bracket's screws are the ones that get forgotten: they sit on the edge, often tie the cooler to
    /// the bracket, and the cooler is bent when it is lifted against them.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "io-bracket"
    /// kind = "io-bracket"
    /// side = "front"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "io-bracket"
    /// kind = "io-bracket"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "io-screws"
    /// from = "edge"
    /// at = [[-4.0, 10.0], [-4.0, 50.0]]
    /// holds = ["io-bracket", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Add the bracket's screws with what they hold: the board, or the cooler.
    "io-bracket-without-screws", Completeness, Warning,
    "an I/O bracket has no screws",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, body) in board.record.body.iter().enumerate() {
        let is_held = body.part_of.is_some() || board.fasteners_of(&body.id).next().is_some();
        if body.kind != BodyKind::IoBracket || is_held {
            continue;
        }
        let message = format!("no screws hold the I/O bracket `{}`", body.id);
        report
            .find(board.at(keys!["body", index, "id"]), message)
            .help("add its screws: `from = \"edge\"`, and what they hold besides it");
    }
}
