use crate::book::{Board, Book};
use crate::evidence::{Quantity, ZoneEvidence, robust};
use crate::lint::Report;
use crate::lint::rule::declare_rule;

declare_rule! {
    /// Looks for jobs whose mean lies too far from the others' of the same zone: by the generalised ESD test
    /// from six jobs on, below that by its ζ score against the robust mean (ISO 13528), 3 or more.
    ///
    /// ## Why
    ///
    /// One slip, such as a reading of the wrong zone, moves the consensus and widens its interval for everybody.
    /// The value stays in the consensus until its bench has looked: being far out is no proof.
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
    /// # file: osk/demo/jobs/2026-04-02-netloft-3.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-04-02
    /// bench = "netloft-3"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.00, 1.99, 1.98]
    /// # file: osk/demo/jobs/2026-04-20-ropewalk-1.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-04-20
    /// bench = "ropewalk-1"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.01, 2.00, 1.99]
    /// # file: osk/demo/jobs/2026-05-03-slipway-1.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-05-03
    /// bench = "slipway-1"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.21, 2.20, 2.22]
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
    /// # file: osk/demo/jobs/2026-04-02-netloft-3.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-04-02
    /// bench = "netloft-3"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.00, 1.99, 1.98]
    /// # file: osk/demo/jobs/2026-04-20-ropewalk-1.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-04-20
    /// bench = "ropewalk-1"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.01, 2.00, 1.99]
    /// # file: osk/demo/jobs/2026-05-03-slipway-1.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-05-03
    /// bench = "slipway-1"
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.02, 2.01, 2.02]
    /// ```
    ///
    /// ## What to do
    ///
    /// Look at the job's notes and photos. If the reading was of another zone or another pad, correct the job.
    /// If it stands, accept the finding and say what was different about that board.
    "outlying-job", Consistency, Warning,
    "a job reads far from all others",
    Evidence(check)
}

fn check(_: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    for (zone, evidence) in board.record.zone.iter().zip(zones) {
        for quantity in Quantity::ALL {
            let read = || evidence.jobs.iter().filter_map(|job| job.value(quantity));
            for value in read().filter(|value| value.outlying) {
                let others = read().filter(|other| !other.outlying);
                let others: Vec<f64> = others.map(|other| other.mean_mm).collect();
                let message = format!(
                    "this job reads {:.2} ± {:.2} mm at the {} of `{}`, far from the {} others: {:.2} mm",
                    value.mean_mm,
                    value.uncertainty_mm,
                    quantity.word(),
                    zone.id,
                    others.len(),
                    robust::median(&others).unwrap_or(f64::NAN),
                );
                report
                    .find(value.place.clone(), message)
                    .help("see whether it was another zone or another pad, and correct it");
            }
        }
    }
}
