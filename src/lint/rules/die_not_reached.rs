use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::stackup::dies;
use crate::lint::{Report, StackUp};
use crate::source::keys;
use crate::stack::DieVerdict;
use crate::units::UM_PER_MM;

declare_rule! {
    /// Looks for dies over which standoffs, or a taller die, keep the cooler so far away that paste does not
    /// bridge the gap: more than twice the book's greatest bond line (100 µm unless it says otherwise).
    ///
    /// ## Why
    ///
    /// Paste fills tenths of a millimetre at most. Over a wider gap there is air, and no pad elsewhere is to
    /// blame: a height is false, or a pad belongs on the die.
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
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[38.0, 20.0, 24.0, 20.0]]
    /// height_mm = 2.4
    /// tolerance_mm = 0.05
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 2.43 }
    ///
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[38.0, 20.0, 24.0, 20.0]]
    /// height_mm = 2.4
    /// tolerance_mm = 0.05
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[34.0, 16.0], [66.0, 16.0], [34.0, 44.0], [66.0, 44.0]]
    /// holds = ["cooler", "pcb"]
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure the die and the standoffs from the bare board. If the gap is real, record the pad on the die as
    /// a zone of its own.
    "die-not-reached", Consistency, Error,
    "the cooler does not reach the die",
    Stack(check)
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    for (stack, part, die) in dies(stacks, DieVerdict::NotReached) {
        let id = &board.record.part[part].id;
        let [least, greatest] = die.bond_um;
        let message = format!(
            "the cooler does not reach `{id}`{}: {:.2} to {:.2} mm are left over it",
            stack.on(),
            least / UM_PER_MM,
            greatest / UM_PER_MM,
        );
        report
            .find(board.at(keys!["part", part, "height_mm"]), message)
            .help("measure both heights again, or record the pad that lies on it");
    }
}
