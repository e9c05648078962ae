use crate::book::{Board, Book};
use crate::evidence::Quantity;
use crate::evidence::job::expected_mm;
use crate::evidence::slip::slip;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::Zone;
use crate::source::keys;

declare_rule! {
    /// Looks for readings of less than a quarter or more than four times what the zone's pad has, that would be
    /// believable with the decimal point moved or in inches. What is expected is the record's `pad_mm`, or where
    /// it gives none, the middle of all edge readings.
    ///
    /// ## Why
    ///
    /// 2.0 mm shown in inches is 0.079, and a caliper's display switches at a touch. Such a reading is no
    /// evidence, and is left out of the consensus.
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
    /// imprint_mm = [0.063, 0.064, 0.063]
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
    /// Write the reading in millimetres, as it was meant. Do not turn one unit into the other by guessing: if it
    /// is not certain, leave it out.
    "misplaced-decimal", Consistency, Error,
    "a reading is ten times too large or small, or in inches",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for zone in &board.record.zone {
        if let Some(expected_mm) = expected_mm(zone, board.own_jobs()) {
            look(board, zone, expected_mm, report);
        }
    }
}

fn look(board: &Board, zone: &Zone, expected_mm: f64, report: &mut Report<'_>) {
    for job in board.own_jobs() {
        let readings = job.record.reading.iter().enumerate();
        for (index, reading) in readings.filter(|(_, reading)| reading.zone == zone.id) {
            for quantity in Quantity::ALL {
                let read = quantity.of(reading).iter().enumerate();
                let mut slipped =
                    read.filter_map(|(at, &one)| Some((at, one, slip(one, expected_mm)?)));
                // A whole set slips together: one finding.
                let Some((at, read_mm, slip)) = slipped.next() else {
                    continue;
                };
                let how = if slip.inches {
                    "read in inches"
                } else {
                    "its decimal point is in the wrong place"
                };
                let message = format!(
                    "{} {read_mm} mm cannot be a pad of {expected_mm} mm: {how}, it is {:.2} mm",
                    quantity.word(),
                    slip.meant,
                );
                report
                    .find(job.at(keys!["reading", index, quantity.key(), at]), message)
                    .help("write it in millimetres as it was meant, or leave it out");
            }
        }
    }
}
