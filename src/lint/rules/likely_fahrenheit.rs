use crate::book::{Board, Book};
use crate::heat::{self, likely_fahrenheit};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::Temperatures;
use crate::source::keys;

declare_rule! {
    /// Looks for temperatures that are hard to believe in °C and believable in °F: a room over 45 °C, or a chip
    /// beyond what it bears. They are judged together: beside a room in °C, only a chip over 125 °C is doubted.
    /// `gapbook intake` and `gapbook triage` ask the same before they take one.
    ///
    /// ## Why
    ///
    /// Monitoring programs show either, and a room thermometer has a switch. What healthy boards show is worked
    /// out from every job, so that one in °F makes the next warm board look well.
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
    /// ambient_c = 58.0
    /// heat_w = 95.0
    /// die_c = 52.0
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
    /// ambient_c = 14.0
    /// heat_w = 95.0
    /// die_c = 52.0
    /// ```
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
    /// source = "maker's board specification, table 4"
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// [before]
    /// ambient_c = 24.0
    /// heat_w = 95.0
    /// die_c = 110.0
    /// throttling = true
    /// ```
    ///
    /// ## What to do
    ///
    /// Look at the bench's notes, and write it in °C. If it really was so hot, accept it with a reason.
    "likely-fahrenheit", Consistency, Warning,
    "a temperature that is believable only in °F",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let limits = heat::board::limits(board);
    for job in board.own_jobs() {
        let both = [("before", &job.record.before), ("after", &job.record.after)];
        for (when, written) in both {
            let Some(readings) = written.as_ref().map(heat::board::readings) else {
                continue;
            };
            for (key, _) in Temperatures::NUMBERS {
                let read = heat::board::read_at(key);
                let told = read.and_then(|read| likely_fahrenheit(read, &readings, &limits));
                if let Some(told) = told {
                    report
                        .find(job.at(keys![when, key]), told)
                        .help("look at the bench's notes, and write it in °C");
                }
            }
        }
    }
}
