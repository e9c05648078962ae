use crate::book::{Board, Book};
use crate::evidence::{ZoneEvidence, distribution, uncertainty};
use crate::lint::Report;
use crate::lint::rule::declare_rule;

declare_rule! {
    /// Looks for edge readings of a job that scatter by more than a soft pad (2 % of its thickness, at least
    /// 0.02 mm; common practice) and the instrument's permissible error explain: once in a thousand by chance.
    /// Imprints are not looked at: they follow the gap, and where that differs is for `recess-uneven`.
    ///
    /// ## Why
    ///
    /// Readings that lie far apart are of different things: two zones in one list, a torn edge, a pinched pad.
    /// Their mean is then a number of no pad.
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
    /// edge_mm = [1.75, 2.02, 2.25]
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
    /// Look for the reading that is of something else, and leave it out. If the pads of one zone really differ,
    /// the zone is two zones.
    "scatter-beyond-instrument", Consistency, Warning,
    "readings of one pad scatter more than a pad and an instrument explain",
    Evidence(check)
}

/// Scatter of readings along a soft pad, as a fraction of its thickness, and the least, mm (common practice).
const PAD: f64 = 0.02;
const PAD_MM: f64 = 0.02;

/// Probability with which chance alone exceeds the limit.
const CHANCE: f64 = 0.001;

fn check(_: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    for (zone, evidence) in board.record.zone.iter().zip(zones) {
        for value in evidence.jobs.iter().filter_map(|job| job.edge.as_ref()) {
            let (sample, gauge) = (value.measured.sample, value.measured.gauge);
            let pad_mm = f64::max(PAD_MM, PAD * sample.mean);
            let explained_mm = pad_mm.hypot(uncertainty::rectangular(gauge.max_error));
            if sample.count < 2
                || sample.squares() <= limit(sample.degrees()) * explained_mm.powi(2)
            {
                continue;
            }
            let message = format!(
                "edge readings of `{}` scatter from {} to {} mm, a standard deviation of {:.2} mm where                  the pad and the instrument explain {explained_mm:.2} mm",
                zone.id, sample.least, sample.greatest, sample.deviation,
            );
            report
                .find(value.place.clone(), message)
                .help("leave out the reading that is of something else, or split the zone");
        }
    }
}

/// Returns how many times the explained variance the sum of squares may be.
fn limit(degrees: f64) -> f64 {
    distribution::chi_square_quantile(1.0 - CHANCE, degrees)
}
