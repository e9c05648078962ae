use crate::book::{Board, Book};
use crate::evidence::{Quantity, ZoneEvidence};
use crate::lint::Report;
use crate::lint::rule::declare_rule;

declare_rule! {
    /// Looks for zones of which all jobs together have one or two readings of the edge, or of the imprint.
    ///
    /// ## Why
    ///
    /// Three readings show a slip; two that differ do not tell which is wrong. The uncertainty then rests on how
    /// readings usually scatter, not on how these do.
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
    /// edge_mm = [2.01, 1.98]
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
    /// Take three readings of each, at different places, next time the board is open.
    "too-few-readings", Completeness, Advice,
    "fewer than three readings of a pad",
    Evidence(check)
}

/// Fewest readings that tell how they scatter (common practice).
const FEWEST: usize = 3;

fn check(_: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    for (zone, evidence) in board.record.zone.iter().zip(zones) {
        let few: Vec<_> = Quantity::ALL
            .into_iter()
            .filter_map(|quantity| {
                let read: Vec<_> = evidence
                    .jobs
                    .iter()
                    .filter_map(|job| job.value(quantity))
                    .collect();
                let count = read
                    .iter()
                    .map(|value| value.readings_mm.len())
                    .sum::<usize>();
                let first = read.first().filter(|_| count < FEWEST)?;
                Some((
                    format!("{count} of the {}", quantity.word()),
                    first.place.clone(),
                ))
            })
            .collect();
        let Some((_, place)) = few.first() else {
            continue;
        };
        let counts: Vec<&str> = few.iter().map(|(count, _)| &**count).collect();
        let message = format!("few readings at `{}`: {}", zone.id, counts.join(", "));
        report.find(place.clone(), message).help(format!(
            "take {FEWEST} of each the next time the board is open"
        ));
    }
}
