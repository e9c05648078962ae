use crate::book::{Board, Book, Job};
use crate::lint::Report;
use crate::lint::nearest::did_you_mean;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for readings and fitted pads of a job whose zone its board does not have, or does not have on
    /// the job's revision.
    ///
    /// ## Why
    ///
    /// What a bench measured counts only for the zone it is written under. Under a name that nothing has,
    /// the work is lost.
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
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    ///
    /// [[reading]]
    /// zone = "men"
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
    /// Name a zone of the board's record, or add the zone that was measured to it.
    "measured-zone-missing", Consistency, Error,
    "a job measured a zone that its board does not have",
    Board(check)
}

/// Most names that are compared for a hint, which is slow: more zones than any board has.
const MOST_NAMES: usize = 100;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for job in board.own_jobs() {
        let read = job.record.reading.iter().enumerate();
        for (index, reading) in read {
            look(board, job, ("reading", index), &reading.zone, report);
        }
        let fitted = job.record.fitted.iter().enumerate();
        for (index, fitted) in fitted {
            look(board, job, ("fitted", index), &fitted.zone, report);
        }
    }
}

fn look(
    board: &Board,
    job: &Job,
    (table, index): (&str, usize),
    name: &str,
    report: &mut Report<'_>,
) {
    let place = job.at(keys![table, index, "zone"]);
    let Some((position, zone)) = board.zone(name) else {
        let names = board.record.zone.iter().map(|zone| zone.id.as_str());
        let hint = did_you_mean(name, names.take(MOST_NAMES));
        let message = format!("`{}` has no zone `{name}`{hint}", board.id());
        report
            .find(place, message)
            .help("name a zone of the board's record, or add this one to it");
        return;
    };
    let Some(revision) = &job.record.revision else {
        return;
    };
    if !zone.only.is_empty() && !zone.only.contains(revision) {
        let message = format!(
            "zone `{name}` is on {} only, and this board was {revision}",
            zone.only.join(", "),
        );
        report
            .find(place, message)
            .also(job.at(keys!["revision"]), "the job's revision")
            .also(board.at(keys!["zone", position, "only"]), "the zone's")
            .help("correct the zone or the revision, whichever was mistaken");
    }
}
