use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::{Report, Severity, rule};
use crate::record::Accept;
use crate::source::keys;

declare_rule! {
    /// Looks for an `[[accept]]` that no finding answers to, or that tries to accept an error.
    ///
    /// ## Why
    ///
    /// An acceptance that outlives its finding would hide the next one at the same place. An error cannot
    /// be accepted at all: it cannot be true, or would harm.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[accept]]
    /// rule = "shared-marking"
    /// at = "board"
    /// why = "it was measured long ago"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 6.0, 10.0]]
    /// ```
    ///
    /// ## What to do
    ///
    /// Delete the `[[accept]]`, or correct its `rule` and `at`.
    "idle-accept", Identity, Warning,
    "an acceptance that accepts nothing",
    Accept(check)
}

fn check(board: &Board, (index, accept): (usize, &Accept), report: &mut Report<'_>) {
    let Some(accepted) = rule(&accept.rule) else {
        return;
    };
    let why = if accepted.severity == Severity::Error {
        "an error, which cannot be accepted"
    } else {
        "which finds nothing there"
    };
    let message = format!("`{}` at `{}` is accepted, {why}", accept.rule, accept.at);
    report
        .find(board.at(keys!["accept", index, "rule"]), message)
        .help("delete this acceptance");
}
