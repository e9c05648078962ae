use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::phrase::and_more;
use crate::lint::rule::declare_rule;
use crate::source::keys;
use crate::units::Clash;

declare_rule! {
    /// Looks for pads on the board or its parts that reach more than 0.1 mm into a keep-out of their
    /// side, in both directions.
    ///
    /// ## Why
    ///
    /// A keep-out marks small components that stand there. A pad pressed onto them cracks their solder, or
    /// lies on them and no longer on its part.
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
    /// at = [[19.5, 20.0, 13.0, 14.0]]
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    ///
    /// [[keepout]]
    /// side = "front"
    /// at = [[32.2, 20.0, 4.0, 10.0]]
    /// why = "capacitors beside the memory"
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
    /// pad_mm = 2.0
    /// at = [[19.5, 20.0, 12.5, 14.0]]
    ///
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
    /// holds = ["cooler", "pcb"]
    ///
    /// [[keepout]]
    /// side = "front"
    /// at = [[32.2, 20.0, 4.0, 10.0]]
    /// why = "capacitors beside the memory"
    /// ```
    ///
    /// ## What to do
    ///
    /// Trim the piece, or draw the keep-out closer round its components.
    "pad-over-keepout", Geometry, Error,
    "a pad lies on components that it must not touch",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, written, zone) in board.zones().filter(|(_, _, zone)| zone.is_on_board()) {
        for (position, keepout) in board.record.keepout.iter().enumerate() {
            if zone.side != Some(keepout.side) {
                continue;
            }
            let Some(clash) = Clash::between(&keepout.at, &zone.pieces) else {
                continue;
            };
            let (area, piece) = clash.first;
            let message = format!(
                "a pad of `{}` covers {:.1} x {:.1} mm of a keep-out{}",
                written.id,
                clash.shared.width,
                clash.shared.height,
                and_more(clash.count),
            );
            let why = keepout.why.as_deref().unwrap_or("no pad may touch this");
            report
                .find(board.at(board.piece_path(index, piece)), message)
                .also(board.at(keys!["keepout", position, "at", area]), why)
                .help("trim the pad, or draw the keep-out closer");
        }
    }
}
