use super::heat_beyond_board::believed_w;
use crate::book::{Board, Book};
use crate::heat::{self, Proved};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::Ended;
use crate::source::keys;

declare_rule! {
    /// Looks for jobs that are said to have ended well and whose temperatures say otherwise: the board
    /// throttles, crashes, is at a limit, or is warmer than before by more than the readings may be off.
    ///
    /// ## Why
    ///
    /// Jobs that ended well show what is normal for a board. A failed one among them makes the next
    /// failure look normal.
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
    /// heat_w = 100.0
    /// [limits]
    /// die_c = 90.0
    /// source = "maker's sheet"
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// ended = "well"
    /// [before]
    /// ambient_c = 24.0
    /// heat_w = 95.0
    /// die_c = 70.0
    /// [after]
    /// ambient_c = 24.0
    /// heat_w = 95.0
    /// die_c = 82.0
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
    /// heat_w = 100.0
    /// [limits]
    /// die_c = 90.0
    /// source = "maker's sheet"
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// ended = "well"
    /// [before]
    /// ambient_c = 24.0
    /// heat_w = 95.0
    /// die_c = 82.0
    /// [after]
    /// ambient_c = 24.0
    /// heat_w = 95.0
    /// die_c = 70.0
    /// ```
    ///
    /// ## What to do
    ///
    /// Write `ended = "failed"`: failed jobs are read most. `gapbook prove` says where to look.
    "success-disproved", Consistency, Warning,
    "a job is said to have ended well and its temperatures say otherwise",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let limits = heat::board::limits(board);
    for job in board.own_jobs() {
        let Some(after) = job.record.after.as_ref().map(heat::board::readings) else {
            continue;
        };
        if job.record.ended != Some(Ended::Well) {
            continue;
        }
        let before = job.record.before.as_ref().map(heat::board::readings);
        let normal = heat::Normal {
            full_w: believed_w(board),
            ..heat::Normal::default()
        };
        let proof = heat::prove(before.as_ref(), &after, (&limits, &normal), &[]);
        // At a limit and not throttling, it is the limit that is doubted.
        let is_limit_doubted = after.throttling == Some(false);
        let why = if after.complains() {
            "throttles or crashes"
        } else if limits.is_reached(&after) && !is_limit_doubted {
            "is at a limit"
        } else if proof.verdict == Proved::Worse {
            "is warmer than before, for each watt and over the room"
        } else {
            continue;
        };
        report
            .find(
                job.at(keys!["ended"]),
                format!("the job is said to have ended well, and the board {why}"),
            )
            .also(job.at(keys!["after"]), "what it read afterwards")
            .help("write `ended = \"failed\"`, or put the readings right");
    }
}
