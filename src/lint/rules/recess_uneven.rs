use std::collections::BTreeSet;

use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::{Report, StackUp};
use crate::source::Place;
use crate::stack::ZoneFit;
use crate::stack::gap::{imprints, rebound};

declare_rule! {
    /// Looks for zones whose imprints ask for different recesses of one face: readings that no single gap
    /// explains, with the pad's rebound and the instruments' errors counted in.
    ///
    /// ## Why
    ///
    /// A zone is one gap filled by pads of one thickness. Where its pieces were squeezed to different
    /// thicknesses, the face over them has a step, and one thickness fits only some of them; or a
    /// reading belongs to another zone.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "die" }
    ///
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[38.0, 20.0, 24.0, 20.0]]
    /// height_mm = 1.9
    /// tolerance_mm = 0.05
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[18.0, 23.0, 12.0, 14.0], [70.0, 23.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 60.0
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.0, 2.01]
    /// imprint_mm = [1.30, 1.31, 1.80, 1.79]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "die" }
    ///
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[38.0, 20.0, 24.0, 20.0]]
    /// height_mm = 1.9
    /// tolerance_mm = 0.05
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[18.0, 23.0, 12.0, 14.0], [70.0, 23.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 2.0
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 60.0
    /// # file: osk/demo/jobs/2026-03-14-quayside-2.toml
    /// schema = 1
    /// board = "osk-demo"
    /// date = 2026-03-14
    /// bench = "quayside-2"
    /// [[reading]]
    /// zone = "mem"
    /// edge_mm = [2.0, 2.01]
    /// imprint_mm = [1.70, 1.69, 1.72, 1.71]
    /// ```
    ///
    /// ## What to do
    ///
    /// Split the zone in two, each with its own `at` and `pad_mm`, if the face has a step. Otherwise find
    /// the reading that was entered under the wrong zone.
    "recess-uneven", Consistency, Warning,
    "readings ask for different recesses of one face",
    Stack(check)
}

/// One reading, with the gaps that it allows.
struct Read {
    reading_mm: f64,
    low_mm: f64,
    high_mm: f64,
    place: Place,
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    let mut told = BTreeSet::new();
    for zone in stacks.iter().flat_map(|stack| &stack.fit.zones) {
        let reads = reads(board, zone);
        let thin = reads.iter().min_by(|a, b| a.high_mm.total_cmp(&b.high_mm));
        let thick = reads.iter().max_by(|a, b| a.low_mm.total_cmp(&b.low_mm));
        let (Some(thin), Some(thick)) = (thin, thick) else {
            continue;
        };
        if thick.low_mm <= thin.high_mm || !told.insert(zone.zone) {
            continue;
        }
        let message = format!(
            "imprints of {:.2} and {:.2} mm at `{}` ask for gaps of {:.2} mm at most and {:.2} mm at \
             least: the recess over it differs by {:.2} mm or more",
            thin.reading_mm,
            thick.reading_mm,
            zone.id,
            thin.high_mm,
            thick.low_mm,
            thick.low_mm - thin.high_mm,
        );
        let finding = report.find(thin.place.clone(), message);
        finding.help("split the zone where the face has a step, or correct the reading");
        if thick.place != thin.place {
            finding.also(thick.place.clone(), "the thicker imprint");
        }
    }
}

fn reads(board: &Board, zone: &ZoneFit<'_>) -> Vec<Read> {
    let rebound = rebound(zone.pad);
    let of_job = imprints(board, zone.zone);
    of_job
        .flat_map(|imprint| {
            let read = move |&reading_mm: &f64| Read {
                reading_mm,
                low_mm: reading_mm / (1.0 + rebound) - imprint.error_mm,
                high_mm: reading_mm + imprint.error_mm,
                place: imprint.place.clone(),
            };
            imprint.readings_mm.iter().map(read)
        })
        .collect()
}
