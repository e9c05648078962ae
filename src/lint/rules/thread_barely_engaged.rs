use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::order::{Fastening, reach_mm};
use crate::source::keys;

declare_rule! {
    /// Looks for screws that reach less far into their thread than handbooks ask for its material: 0.8 of
    /// the diameter into steel, 1.3 into brass, 1.5 into aluminium, 2 into plastic. Screws with a spring or from
    /// the edge are not judged.
    ///
    /// ## Why
    ///
    /// A screw that holds by two turns strips its thread before it is tight. The thread is in the board's
    /// standoff or in the cooler, and is not replaced.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "plate"
    /// kind = "backplate"
    /// side = "back"
    /// seats = { on = "standoffs", height_mm = 4.0 }
    /// thickness_mm = 1.5
    ///
    /// [[fasteners]]
    /// id = "plate-screws"
    /// thread = "M2"
    /// length_mm = 3.0
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["plate", "pcb"]
    /// engages = "brass"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "plate"
    /// kind = "backplate"
    /// side = "back"
    /// seats = { on = "standoffs", height_mm = 4.0 }
    /// thickness_mm = 1.5
    ///
    /// [[fasteners]]
    /// id = "plate-screws"
    /// thread = "M2"
    /// length_mm = 4.5
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["plate", "pcb"]
    /// engages = "brass"
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure the screw under its head and the body it clamps. Where both are right the maker chose a short
    /// screw: accept it with that reason, and say in a note that it strips easily.
    "thread-barely-engaged", Geometry, Warning,
    "screws hold by too few turns",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, group) in board.record.fasteners.iter().enumerate() {
        let Some(reach) = reach_mm(board, group) else {
            continue;
        };
        let Some(fastening) = Fastening::of(board, group) else {
            continue;
        };
        let (Some(material), Some(engages)) = (fastening.material, group.engages) else {
            continue;
        };
        let least = material.least_mm(&fastening.thread);
        if reach >= least - UNCERTAIN_MM {
            continue;
        }
        let reached = if reach > 0.0 {
            format!("reach {reach:.1} mm into {engages}")
        } else {
            format!("do not reach into the {engages} they engage")
        };
        let message = format!(
            "`{}` {reached}; handbooks ask for {least:.1} mm, {} of the diameter",
            group.id, material.least_diameters
        );
        report
            .find(board.at(keys!["fasteners", index, "length_mm"]), message)
            .also(
                board.at(keys!["fasteners", index, "engages"]),
                "what they engage",
            )
            .help("measure their length under the head, and the thickness of what they clamp");
    }
}

/// How much of an engagement lengths of half a millimetre's grid leave open, mm.
const UNCERTAIN_MM: f64 = 0.1;
