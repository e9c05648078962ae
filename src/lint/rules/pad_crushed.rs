use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::stackup::pads;
use crate::lint::{Report, StackUp};
use crate::source::keys;
use crate::stack::Verdict;

declare_rule! {
    /// Looks for pads that are squeezed by more than their material's `max_strain`, or the book's limit (50 %
    /// unless it says otherwise) where it gives none: in the gap that the recorded heights leave, or where the
    /// cooler comes to rest.
    ///
    /// ## Why
    ///
    /// A crushed pad splits or squeezes out, lifts the cooler off the die, and bends the board under the part
    /// it presses on.
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
    /// recess_mm = 0.1
    /// recess_tolerance_mm = 0.1
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 90.0
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
    /// clamp_n = 90.0
    /// ```
    ///
    /// ## What to do
    ///
    /// Check the thickness, and the heights on both sides; a thickness of a neighbouring zone is a common slip.
    "pad-crushed", Consistency, Warning,
    "a pad is squeezed beyond what it takes",
    Stack(check)
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    for ill in pads(stacks, Verdict::Crushed) {
        let thresholds = &ill.stack.fit.assembly.thresholds;
        let limit = ill.zone.material.max_strain.unwrap_or(thresholds.crushed);
        let message = format!("{}; it takes {:.0} %", ill.says(), 100.0 * limit);
        report
            .find(board.at(keys!["zone", ill.zone.zone, "pad_mm"]), message)
            .help("check its thickness and the heights on both sides, or fit a thinner pad");
    }
}
