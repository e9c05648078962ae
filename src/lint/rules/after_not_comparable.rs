use super::heat_beyond_board::believed_w;
use crate::book::{Board, Book};
use crate::heat::{self, Normal, misread_heat};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for temperatures after a job that were read under a much smaller load than before or than
    /// the board's full one, or in a room more than 10 K warmer or colder.
    ///
    /// ## Why
    ///
    /// The rise over the room for each watt takes out small differences. It does not take out a fan that
    /// turns slower in the cold, or heat that is spent elsewhere at idle: such a board looks cured and is
    /// not.
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
    /// [after]
    /// ambient_c = 24.0
    /// heat_w = 40.0
    /// die_c = 50.0
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
    /// [after]
    /// ambient_c = 24.0
    /// heat_w = 96.0
    /// die_c = 70.0
    /// ```
    ///
    /// ## What to do
    ///
    /// Read it again after ten minutes under the load that made it throttle, in the same room.
    "after-not-comparable", Consistency, Warning,
    "temperatures after a job were read under another load or in another room",
    Board(check)
}

/// How much warmer or colder the room may be, K. Common practice.
const ROOM_K: f64 = 10.0;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for job in board.own_jobs() {
        let Some(after) = job.record.after.as_ref().map(heat::board::readings) else {
            continue;
        };
        let before = job
            .record
            .before
            .as_ref()
            .map(heat::board::readings)
            .unwrap_or_default();
        // A board that throttles gives off less heat: that is what was read, and the job failed.
        let full = Normal {
            full_w: believed_w(board),
            ..Normal::default()
        };
        // A heat that is itself doubted is told there.
        let seen_w = before
            .heat_w
            .filter(|_| misread_heat(&before, &full).is_none());
        let load = full.full_w.into_iter().chain(seen_w).reduce(f64::max);
        let too_little = load.zip(after.heat_w).filter(|&(load, heat_w)| {
            !after.complains() && heat_w < heat::board::FULL_LOAD_SHARE * load
        });
        if let Some((load, heat_w)) = too_little {
            report
                .find(
                    job.at(keys!["after", "heat_w"]),
                    format!("{heat_w} W after the job cannot be compared with {load} W"),
                )
                .help("read it again under full load");
        }
        let rooms = before.ambient_c.zip(after.ambient_c);
        if let Some((was, is)) = rooms.filter(|(was, is)| (was - is).abs() > ROOM_K) {
            report
                .find(
                    job.at(keys!["after", "ambient_c"]),
                    format!(
                        "a room at {is} °C after the job cannot be compared with one at {was} °C"
                    ),
                )
                .help("read it again in the same room");
        }
    }
}
