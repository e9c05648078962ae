use crate::book::{Board, Book, share_a_revision};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::{Body, BodyKind, Part, PartKind};
use crate::source::keys;

declare_rule! {
    /// Looks for memory and power stages that lie under a cooler, bracket or backplate and that no zone
    /// names.
    ///
    /// ## Why
    ///
    /// These parts die of heat first. Whoever opens the board looks for their pads, and the record does not
    /// say whether there are none or nobody wrote them down.
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
    /// [[fasteners]]
    /// id = "cooler-screws"
    /// from = "back"
    /// at = [[10.0, 10.0], [90.0, 50.0]]
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
    /// ```
    ///
    /// ## What to do
    ///
    /// Add a `[[zone]]` between the part and the body over it. If the maker fitted no pads, accept the
    /// finding and say so: the guide shows the reason.
    "part-without-zone", Completeness, Warning,
    "memory or power stages without pads",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, part) in board.record.part.iter().enumerate() {
        let needs_pads = matches!(part.kind, PartKind::Memory | PartKind::PowerStage);
        let has_zone = board
            .record
            .zone
            .iter()
            .any(|zone| zone.between.contains(&part.id));
        if !needs_pads || has_zone {
            continue;
        }
        let mut bodies = board.record.body.iter().enumerate();
        let Some((over, body)) = bodies.find(|(_, body)| lies_over(body, part)) else {
            continue;
        };
        let message = format!(
            "`{}` ({} x {}) lies under `{}`, and no zone names it",
            part.id,
            part.at.len(),
            part.kind,
            body.id,
        );
        report
            .find(board.at(keys!["part", index, "id"]), message)
            .also(board.at(keys!["body", over, "id"]), "this body")
            .help("add its zone, or accept this and say that the maker fitted no pads");
    }
}

/// Tells whether a body that takes heat lies over a part; one without an outline lies over its side.
fn lies_over(body: &Body, part: &Part) -> bool {
    let takes_heat = matches!(
        body.kind,
        BodyKind::Cooler | BodyKind::Bracket | BodyKind::Backplate
    );
    let mut covered = body.at.iter();
    takes_heat
        && body.side == part.side
        && share_a_revision(&body.only, &part.only)
        && (body.at.is_empty()
            || covered.any(|area| {
                part.at
                    .iter()
                    .any(|place| area.overlap_with(place).is_some())
            }))
}
