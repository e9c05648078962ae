use crate::book::{Board, Book};
use crate::evidence::ZoneEvidence;
use crate::evidence::squeeze::rebound;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::Zone;
use crate::source::Place;

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
    /// edge_mm = [2.0, 2.01, 1.99]
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
    /// edge_mm = [2.0, 2.01, 1.99]
    /// imprint_mm = [1.70, 1.69, 1.72, 1.71]
    /// ```
    ///
    /// ## What to do
    ///
    /// Split the zone in two, each with its own `at` and `pad_mm`, if the face has a step. Otherwise find
    /// the reading that was entered under the wrong zone.
    "recess-uneven", Consistency, Warning,
    "readings ask for different recesses of one face",
    Evidence(check)
}

/// One reading, with the gaps that it allows.
struct Read {
    reading_mm: f64,
    low_mm: f64,
    high_mm: f64,
    place: Place,
}

fn check(book: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    for (zone, evidence) in board.record.zone.iter().zip(zones) {
        let reads = reads(book, zone, evidence);
        let thin = reads.iter().min_by(|a, b| a.high_mm.total_cmp(&b.high_mm));
        let thick = reads.iter().max_by(|a, b| a.low_mm.total_cmp(&b.low_mm));
        let (Some(thin), Some(thick)) = (thin, thick) else {
            continue;
        };
        if thick.low_mm <= thin.high_mm {
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

fn reads(book: &Book, zone: &Zone, evidence: &ZoneEvidence) -> Vec<Read> {
    let material = zone.pad.as_deref().and_then(|pad| book.stock.pad(pad));
    let rebound = rebound(material);
    let jobs = evidence.jobs.iter().filter(|job| job.is_of(zone.pad_mm));
    jobs.filter_map(|job| job.imprint.as_ref())
        .flat_map(|imprint| {
            let error_mm = imprint.measured.gauge.max_error;
            let read = move |&reading_mm: &f64| Read {
                reading_mm,
                low_mm: reading_mm / (1.0 + rebound) - error_mm,
                high_mm: reading_mm + error_mm,
                place: imprint.place.clone(),
            };
            imprint.readings_mm.iter().map(read)
        })
        .collect()
}
