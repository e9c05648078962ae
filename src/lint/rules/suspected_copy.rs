use std::collections::BTreeMap;

use crate::book::{Board, Book};
use crate::evidence::{JobEvidence, JobValue, ZoneEvidence};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::Place;

declare_rule! {
    /// Looks for two jobs with the same readings of a zone, edge and imprint, in the same order to the last
    /// digit: four or more that are not all alike.
    ///
    /// ## Why
    ///
    /// Two honest jobs share four readings once in two thousand. A copied record makes one bench look like two,
    /// and a value look better known than it is. A suspected copy is counted as the bench that it copies.
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
    /// zone = "mem"
    /// edge_mm = [2.01, 1.98, 2.02]
    /// imprint_mm = [1.62, 1.60, 1.61]
    /// # file: osk/demo/jobs/2026-04-02-netloft-3.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-04-02
    /// bench = "netloft-3"
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
    /// # file: osk/demo/jobs/2026-04-02-netloft-3.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-04-02
    /// bench = "netloft-3"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [1.99, 2.00, 2.02]
    /// imprint_mm = [1.61, 1.63, 1.60]
    /// ```
    ///
    /// ## What to do
    ///
    /// Ask the bench. If a record was begun from another's file and its readings were left in, take them out. If
    /// chance did it, accept the finding.
    "suspected-copy", Consistency, Warning,
    "two jobs have the same readings to the last digit",
    Evidence(check)
}

fn check(_: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    // A job is copied whole: one finding for all its zones.
    let mut pairs: BTreeMap<_, (Place, Place, &JobEvidence, Vec<&str>)> = BTreeMap::new();
    for (zone, evidence) in board.record.zone.iter().zip(zones) {
        for job in &evidence.jobs {
            let Some(original) = job.copy_of.map(|original| &evidence.jobs[original]) else {
                continue;
            };
            let place = |job: &JobEvidence| {
                job.values()
                    .next()
                    .map(|value: &JobValue| value.place.clone())
            };
            if let (Some(here), Some(there)) = (place(job), place(original)) {
                let pair = pairs.entry((here.file, there.file));
                let pair = pair.or_insert_with(|| (here, there, original, Vec::new()));
                pair.3.push(&zone.id);
            }
        }
    }
    for (here, there, original, zones) in pairs.into_values() {
        let zones: Vec<String> = zones.iter().map(|zone| format!("`{zone}`")).collect();
        let message = format!(
            "the readings of {} are those of `{}` on {} to the last digit",
            zones.join(", "),
            original.bench,
            original.date,
        );
        report
            .find(here, message)
            .also(there, "the same readings")
            .help("ask the bench, and take out what it did not measure itself");
    }
}
