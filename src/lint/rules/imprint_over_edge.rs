use crate::book::{Board, Book};
use crate::evidence::ZoneEvidence;
use crate::lint::Report;
use crate::lint::rule::declare_rule;

declare_rule! {
    /// Looks for jobs whose imprint is thicker than their edge by more than both are uncertain.
    ///
    /// ## Why
    ///
    /// A pad is thinner where the part squeezed it. The other way round the two were mixed up, and the guide
    /// would have the gap for the pad and the pad for the gap.
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
    /// edge_mm = [1.62, 1.60, 1.61]
    /// imprint_mm = [2.01, 1.98, 2.02]
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
    /// Put each under its own key: `edge_mm` is where nothing squeezed the pad, `imprint_mm` where the part did.
    /// If the edge had been torn or stretched, leave it out.
    "imprint-over-edge", Consistency, Warning,
    "a squeezed pad reads thicker than an unsqueezed one",
    Evidence(check)
}

fn check(_: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    for (zone, evidence) in board.record.zone.iter().zip(zones) {
        for job in &evidence.jobs {
            let (Some(edge), Some(imprint)) = (&job.edge, &job.imprint) else {
                continue;
            };
            let over = imprint.mean_mm - edge.mean_mm;
            if over <= edge.uncertainty_mm.hypot(imprint.uncertainty_mm) {
                continue;
            }
            let message = format!(
                "the imprint at `{}` is {over:.2} mm thicker than the edge: {:.2} and {:.2} mm",
                zone.id, imprint.mean_mm, edge.mean_mm,
            );
            report
                .find(imprint.place.clone(), message)
                .also(edge.place.clone(), "the edge")
                .help("put each under its own key, or leave out an edge that was torn");
        }
    }
}
