use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::stackup::overloaded;
use crate::lint::{Report, StackUp};
use crate::source::keys;

declare_rule! {
    /// Seats each cooler on its die and its pads, and looks for dies that get more pressure than the book's
    /// greatest (1,000 kPa unless it says otherwise).
    ///
    /// ## Why
    ///
    /// A bare die chips at its edge, and a package bends, long before a screw feels tight. Such a pressure is
    /// mostly a slip in `clamp_n`: a nought too many, or the force of all screws where one's belongs.
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
    /// recess_mm = 0.8
    /// recess_tolerance_mm = 0.1
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 400.0
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
    /// Check `clamp_n`: it is the force of one screw, seated. Where it is right, a limit of the die's maker can be
    /// put into `gapbook.toml` as `greatest_die_kpa`.
    "die-overloaded", Consistency, Warning,
    "a die is pressed harder than it takes",
    Stack(check)
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    for (stack, part, die) in overloaded(stacks) {
        let id = &board.record.part[part].id;
        let greatest_kpa = stack.fit.assembly.thresholds.greatest_die_kpa;
        let message = format!(
            "`{id}` gets {:.0} N and {:.0} kPa{}, and a die takes {greatest_kpa} kPa at most",
            die.force_n,
            die.mean_kpa,
            stack.on(),
        );
        report
            .find(board.at(keys!["part", part, "id"]), message)
            .help("check `clamp_n`: it is the force of one screw, seated");
    }
}
