use crate::book::{Board, Book, Job};
use crate::evidence::{Expected, Odd, Quantity};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::Zone;
use crate::source::keys;

declare_rule! {
    /// Looks for readings that no pad of the zone can have, and that would be believable with the decimal point
    /// moved or in inches. What is expected is the record's `pad_mm`, or where it gives none, what the jobs read
    /// of the edge. `gapbook intake` and the form on the *Measure* sheet tell the same while the pad still lies
    /// on the bench. Where every edge reading of several jobs would have slipped alike, the record's `pad_mm` did.
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

fn check(book: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, zone) in board.record.zone.iter().enumerate() {
        let expected = Expected::of(book, board, index);
        let Some((edges, edge_mm)) = all_slipped(board, zone, &expected) else {
            look(board, zone, &expected, report);
            continue;
        };
        let pad_mm = zone.pad_mm.unwrap_or_default();
        report
            .find(
                board.at(keys!["zone", index, "pad_mm"]),
                format!(
                    "`{}` has {pad_mm} mm here, and all {edges} edge readings of its jobs are like {edge_mm} mm",
                    zone.id
                ),
            )
            .help("look for the decimal point here: jobs do not slip all alike");
    }
}

/// Returns how many edge readings several jobs give of a zone, and the first, where all slipped alike: then
/// it was the record's thickness that did.
fn all_slipped(board: &Board, zone: &Zone, expected: &Expected) -> Option<(usize, f64)> {
    zone.pad_mm?;
    let edges = |job: &Job| -> Vec<f64> {
        let of_zone = job.record.reading.iter();
        let of_zone = of_zone.filter(|reading| reading.zone == zone.id);
        of_zone
            .flat_map(|reading| Quantity::Edge.of(reading))
            .copied()
            .collect()
    };
    let jobs = board
        .own_jobs()
        .map(edges)
        .filter(|edges| !edges.is_empty());
    let jobs: Vec<Vec<f64>> = jobs.collect();
    let edges: Vec<f64> = jobs.concat();
    let mut slips = edges
        .iter()
        .map(|&edge| match expected.slip(edge, Quantity::Edge) {
            Some(Odd::Slip { slip, .. }) => Some(slip.what),
            _ => None,
        });
    let first = slips.next()??;
    let is_alike = slips.all(|slip| slip == Some(first));
    (jobs.len() > 1 && is_alike).then(|| (edges.len(), edges[0]))
}

fn look(board: &Board, zone: &Zone, expected: &Expected, report: &mut Report<'_>) {
    for job in board.own_jobs() {
        let readings = job.record.reading.iter().enumerate();
        for (index, reading) in readings.filter(|(_, reading)| reading.zone == zone.id) {
            for quantity in Quantity::ALL {
                let read = quantity.of(reading).iter().enumerate();
                let mut slipped =
                    read.filter_map(|(at, &one)| Some((at, one, expected.slip(one, quantity)?)));
                // A whole list slips together: one finding.
                let Some((at, read_mm, slip)) = slipped.next() else {
                    continue;
                };
                let message = format!(
                    "{} of `{}`: {}",
                    quantity.word(),
                    zone.id,
                    slip.told(read_mm)
                );
                report
                    .find(job.at(keys!["reading", index, quantity.key(), at]), message)
                    .help("write it in millimetres as it was meant, or leave it out");
            }
        }
    }
}
