use crate::book::{Board, Book};
use crate::heat::{self, SENSOR_K, Sensor};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::schema::Words as _;
use crate::source::keys;

declare_rule! {
    /// Looks for jobs after which a board runs well at a temperature above one of its limits: it is said
    /// not to throttle, and is hotter than where throttling begins.
    ///
    /// ## Why
    ///
    /// A limit says where throttling or shutdown begins. If healthy boards go beyond it, the limit is too
    /// low, and good boards will be opened because of it; or the reading is wrong.
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
    /// die_c = 70.0
    /// source = "a guess"
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// [after]
    /// ambient_c = 24.0
    /// heat_w = 95.0
    /// die_c = 74.0
    /// throttling = false
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
    /// [after]
    /// ambient_c = 24.0
    /// heat_w = 95.0
    /// die_c = 74.0
    /// throttling = false
    /// ```
    ///
    /// ## What to do
    ///
    /// Look the limit up again. If it is right, the board does throttle, or the sensor is another one.
    "limit-below-healthy", Consistency, Warning,
    "a limit is below what boards show that do not throttle",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let limits = heat::board::limits(board);
    for job in board.own_jobs() {
        let Some(after) = job.record.after.as_ref().map(heat::board::readings) else {
            continue;
        };
        if after.throttling != Some(false) || after.crashing == Some(true) {
            continue;
        }
        for &sensor in Sensor::ALL {
            let (Some(read), Some(limit)) = (after.of(sensor), limits.of(sensor)) else {
                continue;
            };
            if read <= limit + SENSOR_K {
                continue;
            }
            let key = format!("{sensor}_c");
            let message = format!(
                "the {sensor} is at {read} °C and does not throttle, {} K over the limit of {limit} °C",
                read - limit
            );
            report
                .find(board.at(keys!["limits", &*key]), message)
                .also(job.at(keys!["after", &*key]), "what this job read")
                .help("look the limit up again, or the reading");
        }
    }
}
