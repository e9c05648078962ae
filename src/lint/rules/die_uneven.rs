use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::stackup::dies;
use crate::lint::{Report, StackUp};
use crate::source::keys;
use crate::stack::DieVerdict;

declare_rule! {
    /// Seats each cooler on its die and its pads, and looks for dies whose bond line is twice as thick at one
    /// corner as at another, or thicker than the book's greatest at one.
    /// Boards whose clamp forces nobody recorded are left alone: equal forces are a guess there.
    ///
    /// ## Why
    ///
    /// Where pads or screws are stronger on one side, the cooler leans. One edge of the die carries the load
    /// and may chip; the other has thick paste and runs hot, though the mean pressure looks well.
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
    /// id = "left-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [34.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 70.0
    ///
    /// [[fasteners]]
    /// id = "right-screws"
    /// from = "back"
    /// at = [[66.0, 16.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 10.0
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
    /// id = "left-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [34.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 40.0
    ///
    /// [[fasteners]]
    /// id = "right-screws"
    /// from = "back"
    /// at = [[66.0, 16.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// clamp_n = 40.0
    /// ```
    ///
    /// ## What to do
    ///
    /// Compare the zones on both sides of the die, and the force and the place of each screw.
    "die-uneven", Consistency, Warning,
    "the cooler lies at a tilt on the die",
    Stack(check)
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    for (stack, part, die) in dies(stacks, DieVerdict::Uneven) {
        if stack.assumes_clamp() {
            continue;
        }
        let id = &board.record.part[part].id;
        let [least, greatest] = die.bond_um;
        let message = format!(
            "the cooler lies at a tilt on `{id}`{}: bond line {least:.0} to {greatest:.0} µm under \
             {:.0} kPa",
            stack.on(),
            die.mean_kpa,
        );
        report
            .find(board.at(keys!["part", part, "id"]), message)
            .help("even out the pads on both sides of it, or the screws");
    }
}
