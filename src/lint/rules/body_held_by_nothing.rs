use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::BodyKind;
use crate::source::keys;

declare_rule! {
    /// Looks for bodies that no group of fasteners holds and that are not part of another body. Labels
    /// stick by themselves; I/O brackets have a rule of their own.
    ///
    /// ## Why
    ///
    /// The opening order is worked out from what holds what. A body that nothing holds seems to lift off
    /// at once, and is torn from the screws or clips that nobody wrote down.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "back"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "back"
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Name the body in the `holds` of its screws or clips; or, if it comes off in one piece with another
    /// body, name that one in `part_of`.
    "body-held-by-nothing", Completeness, Warning,
    "nothing holds a body",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, body) in board.record.body.iter().enumerate() {
        let is_exempt = matches!(body.kind, BodyKind::Label | BodyKind::IoBracket);
        let is_held = body.part_of.is_some() || board.fasteners_of(&body.id).next().is_some();
        if is_exempt || is_held {
            continue;
        }
        let message = format!("no fasteners hold `{}`", body.id);
        report
            .find(board.at(keys!["body", index, "id"]), message)
            .help("name it in the `holds` of its screws, or the body it is one piece with in `part_of`");
    }
}
