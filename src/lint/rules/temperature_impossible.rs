use crate::book::{Board, Book};
use crate::heat::{self, impossible, without_fahrenheit};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for temperatures under load that cannot be: a sensor colder than the room, or a hotspot
    /// below its die's mean, by more than sensors may be off. A temperature that is likely in °F is left to
    /// `likely-fahrenheit`.
    ///
    /// ## Why
    ///
    /// A running board gives off heat. Such readings were taken at different times, swapped, or written
    /// in different units, and every comparison with them is wrong.
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
    /// heat_w = 95.0
    /// die_c = 84.0
    /// hotspot_c = 72.0
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
    /// die_c = 72.0
    /// hotspot_c = 84.0
    /// ```
    ///
    /// ## What to do
    ///
    /// Look at the bench's notes. Leave out what cannot be put right: a missing reading does no harm.
    "temperature-impossible", Consistency, Error,
    "a temperature is colder than the room, or a hotspot below its die's mean",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let limits = heat::board::limits(board);
    for job in board.own_jobs() {
        let both = [("before", &job.record.before), ("after", &job.record.after)];
        for (when, written) in both {
            let readings = written.as_ref().map(heat::board::readings);
            let why =
                readings.and_then(|readings| impossible(&without_fahrenheit(&readings, &limits)));
            let Some(why) = why else { continue };
            report.find(job.at(keys![when]), why).help(
                "see that all are in °C and of one moment; leave out what cannot be put right",
            );
        }
    }
}
