use crate::book::Board;
use crate::lint::rule::declare_rule;
use crate::lint::{Report, StackUp};
use crate::record::Seat;
use crate::source::keys;
use crate::stack::{Domain, Faces};

declare_rule! {
    /// Looks for coolers whose screws, together, pull beside everything that carries them, or so near to its
    /// edge that the cooler falls over.
    ///
    /// ## Why
    ///
    /// A cooler stands on its die and its pads. Screws that pull beside these tip it: the die is loaded at one
    /// edge, and the record misses a screw, a pad or a coordinate.
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
    /// at = [[88.0, 16.0], [88.0, 44.0]]
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
    /// Compare the places of the screws and their forces with the board. A group that was left out, or one
    /// taken from the back of the board, is the usual cause.
    "load-unbalanced", Consistency, Error,
    "the screws pull the cooler over",
    Stack(check)
}

fn check(board: &Board, stacks: &[StackUp<'_>], report: &mut Report<'_>) {
    let mut bodies = board.record.body.iter();
    let Some(cooler) = bodies.position(|body| body.seats_on(Seat::Die).is_some()) else {
        return;
    };
    for stack in stacks.iter().filter(|stack| knows_all(stack)) {
        let Err(domain @ (Domain::CannotBalance { .. } | Domain::Tips { .. })) = &stack.seated
        else {
            continue;
        };
        let id = &board.record.body[cooler].id;
        let message = format!("`{id}`{} {domain}", stack.on());
        let finding = report.find(board.at(keys!["body", cooler, "id"]), message);
        finding.help("look for a screw that is missing, misplaced or given a wrong force");
        for (group, _) in board.fasteners_of(id) {
            finding.also(board.at(keys!["fasteners", group, "at"]), "these pull it");
        }
        return;
    }
}

/// Tells whether every gap is known: pads in an unknown one might carry what seems to tip.
fn knows_all(stack: &StackUp<'_>) -> bool {
    let gaps = &stack.fit.assembly.zones;
    gaps.iter().all(|gap| gap.faces != Faces::Unknown)
}
