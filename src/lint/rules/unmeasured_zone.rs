use crate::book::{Board, Book};
use crate::evidence::ZoneEvidence;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks for zones without a reading on boards of which jobs measured other zones. A board that no job has
    /// opened is not told: its guide says so on every sheet.
    ///
    /// ## Why
    ///
    /// Old pads are measured in the minute before they are thrown away, or never. Which zone is still missing is
    /// best known before the next opening.
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
    /// [[part]]
    /// id = "coil"
    /// kind = "inductor"
    /// side = "front"
    /// height_mm = 1.2
    /// tolerance_mm = 0.1
    /// at = [[60.0, 20.0, 8.0, 8.0]]
    ///
    /// [[zone]]
    /// id = "coil"
    /// between = ["coil", "cooler"]
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
    /// [[part]]
    /// id = "coil"
    /// kind = "inductor"
    /// side = "front"
    /// height_mm = 1.2
    /// tolerance_mm = 0.1
    /// at = [[60.0, 20.0, 8.0, 8.0]]
    ///
    /// [[zone]]
    /// id = "coil"
    /// between = ["coil", "cooler"]
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
    ///
    /// [[reading]]
    /// zone = "coil"
    /// edge_mm = [2.00, 2.01, 1.99]
    /// imprint_mm = [1.52, 1.50, 1.51]
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure this zone first the next time the board is open: its edge and its imprint, before it is peeled.
    "unmeasured-zone", Completeness, Advice,
    "a zone that no job has measured, on a board that jobs have",
    Evidence(check)
}

fn check(_: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    if zones.iter().all(|evidence| evidence.jobs.is_empty()) {
        return;
    }
    for (index, evidence) in zones.iter().enumerate() {
        if !evidence.jobs.is_empty() {
            continue;
        }
        let message = format!("no job has measured `{}`", board.record.zone[index].id);
        report
            .find(board.at(keys!["zone", index, "id"]), message)
            .help("measure it before it is peeled, the next time the board is open");
    }
}
