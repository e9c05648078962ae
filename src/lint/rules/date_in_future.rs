use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for jobs with a date after the day on which the book is checked. Only `gapbook lint` knows that
    /// day: a guide is compiled without a clock, so that the same book always gives the same pages.
    ///
    /// ## Why
    ///
    /// Jobs are shown oldest first, and the newest dates the guide. A slip in the year keeps a job newest for
    /// ever.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// # file: osk/demo/jobs/2062-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2062-03-14
    /// bench = "quayside-2"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.01, 1.98, 2.02]
    /// imprint_mm = [1.62, 1.60, 1.61]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.7 }
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.01, 1.98, 2.02]
    /// imprint_mm = [1.62, 1.60, 1.61]
    /// ```
    ///
    /// ## What to do
    ///
    /// Correct the date. It is the day on which the board was open.
    "date-in-future", Consistency, Warning,
    "a job is dated after today",
    Board(check)
}

fn check(book: &Book, board: &Board, report: &mut Report<'_>) {
    let Some(last) = book.last_day else {
        return;
    };
    for job in board.own_jobs().filter(|job| job.record.date > last) {
        let message = format!(
            "this job is of {}, and today is {last} at most",
            job.record.date
        );
        report
            .find(job.at(keys!["date"]), message)
            .help("correct the date: the day on which the board was open");
    }
}
