use std::collections::BTreeSet;

use crate::book::{Board, Book};
use crate::evidence::{ZoneEvidence, nominal};
use crate::lint::Report;
use crate::lint::rule::declare_rule;

declare_rule! {
    /// Looks for jobs whose instrument's permissible error or smallest step reaches half way from what it read
    /// to the next stocked thickness.
    ///
    /// ## Why
    ///
    /// The claim of an edge reading is which thickness was bought. A ruler's 2 mm may as well be 1.5 or 2.5.
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
    /// [instrument]
    /// kind = "gauge"
    /// resolution_mm = 0.5
    /// max_error_mm = 0.5
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.0, 2.0, 2.5]
    /// imprint_mm = [1.5, 1.5, 2.0]
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
    /// [instrument]
    /// kind = "caliper"
    /// resolution_mm = 0.01
    /// max_error_mm = 0.03
    ///
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.01, 1.98, 2.02]
    /// imprint_mm = [1.62, 1.60, 1.61]
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure with a caliper, or correct the instrument's `max_error_mm` and `resolution_mm`. A coarse reading
    /// does no harm, it only counts for little.
    "instrument-too-coarse", Consistency, Advice,
    "an instrument cannot tell one stocked thickness from the next",
    Evidence(check)
}

fn check(book: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    let stocked_mm = nominal::stocked_mm(&book.stock);
    let mut told = BTreeSet::new();
    for (zone, evidence) in board.record.zone.iter().zip(zones) {
        for value in evidence.jobs.iter().filter_map(|job| job.edge.as_ref()) {
            let gauge = value.measured.gauge;
            let error_mm = f64::max(gauge.max_error, gauge.resolution / 2.0);
            let Some(step_mm) = step_mm(value.mean_mm, &stocked_mm) else {
                continue;
            };
            if error_mm < step_mm / 2.0 || !told.insert(value.place.file) {
                continue;
            }
            let message = format!(
                "an instrument that is off by up to {error_mm} mm cannot tell {:.2} mm at `{}` from a \
                 pad of {step_mm} mm more or less",
                value.mean_mm, zone.id,
            );
            report
                .find(value.place.clone(), message)
                .help("measure with a caliper, or correct what is said of the instrument");
        }
    }
}

/// Returns how far the stocked thickness nearest to what was read is from the next.
fn step_mm(read_mm: f64, stocked_mm: &[f64]) -> Option<f64> {
    let away = |from: f64| move |mm: &f64| (mm - from).abs();
    let least = |distances: &mut dyn Iterator<Item = f64>| distances.reduce(f64::min);
    let nearest = stocked_mm
        .iter()
        .min_by(|a, b| away(read_mm)(a).total_cmp(&away(read_mm)(b)))?;
    least(
        &mut stocked_mm
            .iter()
            .map(away(*nearest))
            .filter(|&step| step > 1e-6),
    )
}
