use crate::book::{Board, Book};
use crate::evidence::{Conclusion, Value, ZoneEvidence, nominal};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Compares the thickness that a zone is recorded with to the consensus of the edge readings. It fires where
    /// the recorded one has a probability of less than 5 %, with the tolerance of pads and the uncertainty of
    /// the readings counted in.
    ///
    /// ## Why
    ///
    /// Whoever reads the guide buys the recorded thickness before the board is open. Half a millimetre too much
    /// holds the die off; half too little leaves the part without contact.
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
    /// edge_mm = [1.51, 1.49, 1.50]
    /// imprint_mm = [1.22, 1.20, 1.21]
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
    /// pad_mm = 1.5
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
    /// edge_mm = [1.51, 1.49, 1.50]
    /// imprint_mm = [1.22, 1.20, 1.21]
    /// ```
    ///
    /// ## What to do
    ///
    /// Correct `pad_mm`. If the old pads were not the maker's but another bench's, leave their readings out and
    /// say so in the job's `note`: they tell what was wrong with that board, not what belongs on it.
    "pad-not-as-measured", Consistency, Warning,
    "old pads were not of the thickness that the record gives",
    Evidence(check)
}

/// The recorded thickness is doubted where its probability is less than this.
const DOUBT: f64 = 0.05;

fn check(book: &Book, board: &Board, zones: &[ZoneEvidence], report: &mut Report<'_>) {
    for (index, evidence) in zones.iter().enumerate() {
        let zone = &board.record.zone[index];
        let Some(pad_mm) = zone.pad_mm else {
            continue;
        };
        let doubted = evidence
            .conclusions()
            .find_map(|one| doubted(book, one, pad_mm));
        let Some((edge, likeliest)) = doubted else {
            continue;
        };
        let message = format!(
            "`{}` is recorded as {pad_mm} mm, and old pads read {:.2} ± {:.2} mm at the edge{}",
            zone.id, edge.value_mm, edge.uncertainty_mm, likeliest,
        );
        let finding = report.find(board.at(keys!["zone", index, "pad_mm"]), message);
        finding.help("correct `pad_mm`, or leave out readings of pads that were not the maker's");
        for job in evidence
            .jobs
            .iter()
            .filter_map(|job| job.edge.as_ref())
            .take(3)
        {
            finding.also(job.place.clone(), format!("mean {:.2} mm", job.mean_mm));
        }
    }
}

/// Returns the consensus of the edge readings where it is not of the recorded thickness, with what it is
/// likely of, in words.
fn doubted(book: &Book, conclusion: &Conclusion, pad_mm: f64) -> Option<(Value, String)> {
    let edge = conclusion.edge?;
    // Edge and imprint the wrong way round are another rule's.
    let swapped = conclusion
        .imprint
        .is_some_and(|imprint| imprint.value_mm > edge.value_mm);
    let mut stocked_mm = nominal::stocked_mm(&book.stock);
    stocked_mm.push(pad_mm);
    let standard = edge.standard();
    let weighed = nominal::weigh(edge.value_mm, standard, &stocked_mm);
    let recorded = weighed.last().map_or(0.0, |one| one.probability);
    if swapped || recorded >= DOUBT {
        return None;
    }
    let likeliest = nominal::likeliest(&weighed).map_or_else(
        || ": no thickness in stock".to_owned(),
        |one| {
            let percent = 100.0 * one.probability;
            format!(": likeliest {} mm, with {percent:.0} %", one.thickness_mm)
        },
    );
    Some((edge, likeliest))
}
