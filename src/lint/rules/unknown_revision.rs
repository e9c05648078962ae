use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::nearest::did_you_mean;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for jobs on a revision that their board's record does not list, where it lists any.
    ///
    /// ## Why
    ///
    /// Two revisions of one board may take different pads. A reading that belongs to neither cannot say
    /// which.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// revisions = ["R1.2", "R1.3"]
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// revision = "R12"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// revisions = ["R1.2", "R1.3"]
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// revision = "R1.2"
    /// ```
    ///
    /// ## What to do
    ///
    /// Copy the revision from the board's own marking. If it is a new one, add it to the record's
    /// `revisions`.
    "unknown-revision", Consistency, Error,
    "a job is on a revision that its board does not have",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let known = &board.record.board.revisions;
    if known.is_empty() {
        return;
    }
    for job in board.own_jobs() {
        let Some(revision) = &job.record.revision else {
            continue;
        };
        if known.contains(revision) {
            continue;
        }
        let hint = did_you_mean(revision, known.iter().map(String::as_str));
        let message = format!("`{}` has no revision `{revision}`{hint}", board.id());
        report
            .find(job.at(keys!["revision"]), message)
            .also(
                board.at(keys!["board", "revisions"]),
                "the board's revisions",
            )
            .help("copy it from the board's marking, or add it to the record's `revisions`");
    }
}
