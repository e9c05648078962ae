use crate::book::{Board, Book};
use crate::heat::{self, MISREAD_LOAD_SHARE, Normal, misread_heat};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::Part;
use crate::source::keys;
use crate::units::number;

declare_rule! {
    /// Looks for more heat than the board gives off under full load: of its parts together, each as often as it
    /// is placed, or read by a job. Half as much again is let pass, since not all parts are hottest at once. Parts
    /// that only some revisions have are each judged alone, since they may stand for one another.
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
    "parts or a job have far more heat than the board",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let Some(full_w) = board.record.board.heat_w else {
        return;
    };
    // Where the parts already tell that the board's heat is wrong, each job would only repeat it.
    if !parts(board, full_w, report) {
        jobs(board, full_w, report);
    }
}

/// Finds parts that give off too much, and returns whether they do.
fn parts(board: &Board, full_w: f64, report: &mut Report<'_>) -> bool {
    let parts = || board.record.part.iter().enumerate();
    let hottest = parts().max_by(|(_, left), (_, right)| heat_w(left).total_cmp(&heat_w(right)));
    // What belongs to some revisions may stand for one another.
    let together = parts().filter(|(_, part)| part.only.is_empty());
    let together: f64 = together.map(|(_, part)| heat_w(part)).sum();
    let Some((index, part)) = hottest else {
        return false;
    };
    let own_w = heat_w(part);
    let sum_w = together.max(own_w);
    if sum_w <= MISREAD_LOAD_SHARE * full_w {
        return false;
    }
    let message = format!(
        "the parts give off {} W, `{}` alone {} W, and the whole board {} W",
        number(sum_w),
        part.id,
        number(own_w),
        number(full_w)
    );
    report
        .find(board.at(keys!["part", index, "heat_w"]), message)
        .also(board.at(keys!["board", "heat_w"]), "the whole board")
        .help("look for the decimal point in either; a part's heat is that of each");
    true
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
