use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for bodies that are part of another one and are screwed to the board by themselves, with
    /// screws that do not hold that other body.
    ///
    /// ## Why
    ///
    /// What is part of the cooler comes off with the cooler. Screws of its own into the board would hold it
    /// back, and the guide would have the cooler pulled against them.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    ///
    /// [[body]]
    /// id = "rail"
    /// kind = "bracket"
    /// side = "front"
    /// part_of = "cooler"
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    ///
    /// [[fasteners]]
    /// id = "rail-screws"
    /// from = "front"
    /// at = [[20.0, 10.0], [20.0, 50.0]]
    /// holds = ["rail", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    ///
    /// [[body]]
    /// id = "rail"
    /// kind = "bracket"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    ///
    /// [[fasteners]]
    /// id = "rail-screws"
    /// from = "front"
    /// at = [[20.0, 10.0], [20.0, 50.0]]
    /// holds = ["rail", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Look whether the body stays on the board when the cooler is off: then delete `part_of`. If its screws
    /// go into the cooler, say so in `holds`.
    "integrated-body-screwed", Consistency, Error,
    "a body that is part of another is screwed to the board",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, body) in board.record.body.iter().enumerate() {
        let Some(parent) = &body.part_of else {
            continue;
        };
        let whole = &board.record.body[board.whole(index)].id;
        for (position, group) in board.fasteners_of(&body.id) {
            let holds = |id: &str| group.holds.iter().any(|held| held == id);
            if !holds("pcb") || holds(parent) || (whole != &body.id && holds(whole)) {
                continue;
            }
            let message = format!(
                "`{}` is part of `{parent}`, and `{}` screws it to the board",
                body.id, group.id,
            );
            report
                .find(board.at(keys!["body", index, "part_of"]), message)
                .also(
                    board.at(keys!["fasteners", position, "holds"]),
                    format!("they do not hold `{parent}`"),
                )
                .help("delete `part_of` if it stays on the board, or correct what the screws hold");
        }
    }
}
