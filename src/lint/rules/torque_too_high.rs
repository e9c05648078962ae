use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::order::Fastening;
use crate::order::torque::{NUT_FACTORS, USUAL_CLASS};
use crate::source::keys;

declare_rule! {
    /// Looks for torques above what the screw or the thread it engages stands where it is slippery (nut factor
    /// 0.15). A screw without a `class` is taken as class 4.8.
    ///
    /// ## Why
    ///
    /// Nobody knows how slippery a thread is. At this torque a dry screw may be sound and an oiled one
    /// stretched, its head off, or the standoff stripped. A torque in newton centimetres taken for newton metres
    /// is a hundred times too high.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// thread = "M2"
    /// from = "front"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    /// torque_nm = 0.3
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[body]]
    /// id = "cover"
    /// kind = "cover"
    /// side = "front"
    ///
    /// [[fasteners]]
    /// id = "cover-screws"
    /// thread = "M2"
    /// from = "front"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cover", "pcb"]
    /// class = "8.8"
    /// torque_nm = 0.3
    /// ```
    ///
    /// ## What to do
    ///
    /// Look the torque up again, and its unit. If the screws are stronger than usual, give their `class`.
    "torque-too-high", Consistency, Warning,
    "a torque is more than the screw or its thread stands",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, group) in board.record.fasteners.iter().enumerate() {
        let (Some(torque_nm), Some(fastening)) = (group.torque_nm, Fastening::of(board, group))
        else {
            continue;
        };
        let ceiling = fastening.ceiling();
        if torque_nm <= ceiling.torque_nm {
            continue;
        }
        let stands = match (ceiling.strips, group.engages) {
            (true, Some(engages)) => format!("the {engages} they engage stands"),
            _ => format!("they stand as class {}", fastening.strength.class),
        };
        let breaking = fastening.strength.breaking_nm(&fastening.thread);
        let breaking = breaking
            .map(|breaking| format!("; such a screw may break at {breaking:.2} N·m"))
            .unwrap_or_default();
        let message = format!(
            "`{}` are tightened to {torque_nm} N·m, and {stands} {:.2} N·m at a nut factor of {}{breaking}",
            group.id, ceiling.torque_nm, NUT_FACTORS[0]
        );
        let finding = report.find(board.at(keys!["fasteners", index, "torque_nm"]), message);
        if fastening.has_class {
            finding.help("look the torque up again, and its unit");
        } else {
            finding.help(format!(
                "look the torque up again, and its unit; give their `class` if it is more than {USUAL_CLASS}"
            ));
        }
    }
}
