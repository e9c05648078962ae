use crate::book::{Board, Book};
use crate::heat::{self, MISREAD_LOAD_SHARE, Normal, misread_heat};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::{Part, PartKind};
use crate::source::keys;
use crate::units::number;

declare_rule! {
    /// Looks for more heat than the board gives off under full load: of its parts together, each as often as it
    /// is placed, or read by a job. Half as much again is let pass, since not all parts are hottest at once. Parts
    /// that only some revisions have are each judged alone, since they may stand for one another. A board that
    /// gives off five times what all its parts do, its dies among them, is told as well.
    ///
    /// ## Why
    ///
    /// A decimal point that slipped in a heat makes every rise for each watt, and every drop across a pad, ten
    /// times too large or too small.
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
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// [before]
    /// ambient_c = 24.0
    /// heat_w = 950.0
    /// die_c = 84.0
    /// ```
    ///
    /// ```toml fails
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// outline_mm = [100.0, 60.0]
    /// heat_w = 100.0
    /// [[part]]
    /// id = "die"
    /// kind = "die"
    /// side = "front"
    /// height_mm = 2.4
    /// heat_w = 900.0
    /// at = [[40.0, 20.0, 20.0, 20.0]]
    /// ```
    ///
    /// ```toml fails
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// outline_mm = [100.0, 60.0]
    /// heat_w = 1000.0
    /// [[part]]
    /// id = "die"
    /// kind = "die"
    /// side = "front"
    /// height_mm = 2.4
    /// heat_w = 90.0
    /// at = [[40.0, 20.0, 20.0, 20.0]]
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// [before]
    /// ambient_c = 24.0
    /// heat_w = 95.0
    /// die_c = 84.0
    /// [after]
    /// ambient_c = 24.0
    /// heat_w = 96.0
    /// die_c = 70.0
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
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// [before]
    /// ambient_c = 24.0
    /// heat_w = 95.0
    /// die_c = 84.0
    /// ```
    ///
    /// ```toml passes
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// outline_mm = [100.0, 60.0]
    /// heat_w = 100.0
    /// [[part]]
    /// id = "die"
    /// kind = "die"
    /// side = "front"
    /// height_mm = 2.4
    /// heat_w = 90.0
    /// at = [[40.0, 20.0, 20.0, 20.0]]
    /// ```
    ///
    /// ## What to do
    ///
    /// Look for the decimal point: in the part's heat, which is that of each, in the job's, or in the board's.
    "heat-beyond-board", Consistency, Warning,
    "the heat of parts or of a job is far from the board's",
    Board(check)
}

/// How many times the heat of all parts a board may give off: what the record leaves out, and what is lost
/// between. Our own choice: less than a decimal point that slipped, and far more than any such loss.
const MOST_BEYOND_PARTS: f64 = 5.0;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let Some(full_w) = board.record.board.heat_w else {
        return;
    };
    // Where the parts already tell that the board's heat is wrong, each job would only repeat it.
    match believed_w(board) {
        Some(full_w) => jobs(board, full_w, report),
        None => parts(board, full_w, report),
    }
}

/// Returns a board's heat under full load, W, unless its parts contradict it.
pub(super) fn believed_w(board: &Board) -> Option<f64> {
    let full_w = board.record.board.heat_w?;
    (!is_above(board, full_w) && !is_below(board, full_w)).then_some(full_w)
}

/// Tells whether parts give off more than the whole board.
fn is_above(board: &Board, full_w: f64) -> bool {
    least_w(board) > MISREAD_LOAD_SHARE * full_w
}

/// Tells whether parts give off next to nothing of what the board does. Without the heat of each die, nothing
/// is known of the most of it.
fn is_below(board: &Board, full_w: f64) -> bool {
    let dies = || {
        let parts = board.record.part.iter();
        parts.filter(|part| part.kind == PartKind::Die)
    };
    let are_known = dies().next().is_some() && dies().all(|die| heat_w(die) > 0.0);
    are_known && full_w >= MOST_BEYOND_PARTS * most_w(board)
}

/// Returns what the parts of any one revision give off at least, W: those that only some have may stand for
/// one another.
fn least_w(board: &Board) -> f64 {
    let parts = || board.record.part.iter();
    let together: f64 = parts()
        .filter(|part| part.only.is_empty())
        .map(heat_w)
        .sum();
    parts().map(heat_w).fold(together, f64::max)
}

/// Returns what all parts give off, W.
fn most_w(board: &Board) -> f64 {
    board.record.part.iter().map(heat_w).sum()
}

/// Tells that the heat of parts is far from the board's.
fn parts(board: &Board, full_w: f64, report: &mut Report<'_>) {
    let parts = board.record.part.iter().enumerate();
    let hottest = parts.max_by(|(_, left), (_, right)| heat_w(left).total_cmp(&heat_w(right)));
    let Some((index, part)) = hottest else {
        return;
    };
    let is_above = is_above(board, full_w);
    let sum_w = if is_above {
        least_w(board)
    } else {
        most_w(board)
    };
    let message = format!(
        "the parts give off {} W, `{}` alone {} W, and the whole board {} W",
        number(sum_w),
        part.id,
        number(heat_w(part)),
        number(full_w)
    );
    let of_part = (board.at(keys!["part", index, "heat_w"]), "the hottest part");
    let of_board = (board.at(keys!["board", "heat_w"]), "the whole board");
    let (found, also) = if is_above {
        (of_part, of_board)
    } else {
        (of_board, of_part)
    };
    report
        .find(found.0, message)
        .also(also.0, also.1)
        .help("look for the decimal point in either; a part's heat is that of each");
}

/// Returns the heat of a part in all its places, W.
fn heat_w(part: &Part) -> f64 {
    let each = part.heat_w.unwrap_or(0.0);
    part.at.iter().map(|_| each).sum()
}

fn jobs(board: &Board, full_w: f64, report: &mut Report<'_>) {
    let normal = Normal {
        full_w: Some(full_w),
        ..Normal::default()
    };
    for job in board.own_jobs() {
        let both = [("before", &job.record.before), ("after", &job.record.after)];
        for (when, written) in both {
            let readings = written.as_ref().map(heat::board::readings);
            let told = readings.and_then(|readings| misread_heat(&readings, &normal));
            if let Some(told) = told {
                report
                    .find(job.at(keys![when, "heat_w"]), told)
                    .help("look for the decimal point, or leave it out");
            }
        }
    }
}
