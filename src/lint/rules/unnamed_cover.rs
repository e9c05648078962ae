use crate::book::{Board, Book, share_a_revision};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::{Body, BodyKind, Fasteners};
use crate::source::keys;

declare_rule! {
    /// Looks for screws whose heads all lie under a label, a lid, or a body that lies over the one they
    /// hold, and whose `under` does not name it.
    ///
    /// ## Why
    ///
    /// The guide would have screws taken out that nobody sees. A screw forgotten under a label is how a body is
    /// pulled while one screw still holds it.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "plate"
    /// kind = "bracket"
    /// side = "front"
    ///
    /// [[body]]
    /// id = "seal"
    /// kind = "label"
    /// side = "front"
    /// at = [[5.0, 5.0, 12.0, 12.0]]
    ///
    /// [[fasteners]]
    /// id = "plate-screw"
    /// from = "front"
    /// at = [[10.0, 10.0]]
    /// holds = ["plate", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "plate"
    /// kind = "bracket"
    /// side = "front"
    ///
    /// [[body]]
    /// id = "seal"
    /// kind = "label"
    /// side = "front"
    /// at = [[5.0, 5.0, 12.0, 12.0]]
    ///
    /// [[fasteners]]
    /// id = "plate-screw"
    /// from = "front"
    /// at = [[10.0, 10.0]]
    /// holds = ["plate", "pcb"]
    /// under = ["seal"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Name in `under` what hides the heads. If it has a hole for each of them, accept it with that reason.
    "unnamed-cover", Completeness, Warning,
    "screws lie under something that `under` does not name",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (position, group) in board.record.fasteners.iter().enumerate() {
        let only = board.revisions_of_fasteners(position);
        for (index, body) in board.record.body.iter().enumerate() {
            let is_named = group.under.iter().any(|id| is_piece_of(board, id, index));
            let is_held = group.holds.iter().any(|id| is_piece_of(board, id, index));
            if is_named || is_held || !hides(board, body, group) {
                continue;
            }
            if !share_a_revision(only, &body.only) {
                continue;
            }
            let message = format!(
                "`{}` lies over every head of `{}`, whose `under` does not name it",
                body.id, group.id
            );
            report
                .find(board.at(keys!["fasteners", position, "id"]), message)
                .also(board.at(keys!["body", index, "at"]), "its outline")
                .help(format!("add \"{}\" to `under`, if it hides them", body.id));
        }
    }
}

/// Tells whether an id names a body or one that is one piece with it.
fn is_piece_of(board: &Board, id: &str, body: usize) -> bool {
    let named = board.body(id).map(|(index, _)| board.whole(index));
    named == Some(board.whole(body))
}

/// Tells whether a body without holes would hide every head of a group.
fn hides(board: &Board, body: &Body, group: &Fasteners) -> bool {
    let is_over = |id: &String| body.over.contains(id) && board.body(id).is_some();
    let is_lid = matches!(body.kind, BodyKind::Label | BodyKind::Cover);
    let is_above = group.from.side() == Some(body.side);
    let covers = |screw| body.at.iter().any(|at| at.distance_to(screw) <= 0.0);
    is_above
        && (is_lid || group.holds.iter().any(is_over))
        && group.at.iter().all(|&screw| covers(screw))
}
