use std::collections::BTreeSet;

use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::{Report, StackUp};
use crate::source::keys;
use crate::stack::gap::Finding;

declare_rule! {
    /// Looks for zones of whose gap nothing is known: no pad of the maker's, no imprint of an old one, and not
    /// every height.
    ///
    /// ## Why
    ///
    /// The guide can say where a pad goes, and not which. One measurement on the bench, before the old pad is
    /// thrown away, settles it for everybody.
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
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 40.0
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
    /// recess_mm = 0.8
    /// recess_tolerance_mm = 0.1
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 40.0
    /// ```
    ///
    /// ## What to do
    ///
    /// Take the measurement that the finding names the next time the board is open. An imprint is the thickness
    /// of an old pad where the part squeezed it.
    "gap-unknown", Completeness, Advice,
    "nothing is known of a gap",
    Stack(check)
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    let mut told = BTreeSet::new();
    for zone in stacks.iter().flat_map(|stack| &stack.fit.zones) {
        // Where a face is nobody's, that is to be put right first.
        let has_faces = board.zones[zone.zone].faces.iter().all(Option::is_some);
        if zone.finding.gap != Finding::Unknown || !has_faces || !told.insert(zone.zone) {
            continue;
        }
        let message = format!("nothing is known of the gap at `{}`", zone.id);
        let finding = report.find(board.at(keys!["zone", zone.zone, "id"]), message);
        if let Some(settle) = &zone.finding.settle {
            finding.help(format!("measure {settle}: it would settle it"));
        }
    }
}
