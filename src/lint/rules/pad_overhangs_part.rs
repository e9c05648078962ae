use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;
use crate::units::Rect;

declare_rule! {
    /// Looks for pieces that reach more than 1 mm beyond the part they lie on. A strip over several places
    /// of one part is judged against the rectangle round all of those.
    ///
    /// ## Why
    ///
    /// What hangs over the part's edge cools nothing, touches what stands beside it, and takes a share of
    /// the cooler's force with it when it is squeezed there.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[body]]
    /// id = "cooler"
    /// kind = "cooler"
    /// side = "front"
    /// seats = { on = "standoffs", height_mm = 6.0 }
    ///
    /// [[part]]
    /// id = "coils"
    /// kind = "inductor"
    /// side = "front"
    /// height_mm = 4.5
    /// at = [[20.0, 20.0, 9.0, 8.0], [20.0, 30.0, 9.0, 8.0]]
    ///
    /// [[zone]]
    /// id = "coils"
    /// between = ["coils", "cooler"]
    /// pad_mm = 2.0
    /// at = [[17.5, 20.0, 12.0, 18.0]]
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
    /// seats = { on = "standoffs", height_mm = 6.0 }
    ///
    /// [[part]]
    /// id = "coils"
    /// kind = "inductor"
    /// side = "front"
    /// height_mm = 4.5
    /// at = [[20.0, 20.0, 9.0, 8.0], [20.0, 30.0, 9.0, 8.0]]
    ///
    /// [[zone]]
    /// id = "coils"
    /// between = ["coils", "cooler"]
    /// pad_mm = 2.0
    /// at = [[19.5, 20.0, 10.0, 18.0]]
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
    /// Give the piece the size of its part. If the maker's pad really is that large, accept the finding and
    /// say so.
    "pad-overhangs-part", Geometry, Warning,
    "a pad reaches beyond its part",
    Board(check)
}

/// How far a piece may reach beyond its part on each side, mm: what a blade and a hand do, common
/// practice.
const OVERHANG_MM: f64 = 1.0;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, written, zone) in board.zones() {
        let Some(part) = zone.part() else { continue };
        let places = board.places_of(zone);
        // A zone that gives no pieces has its part's places themselves.
        for (position, piece) in written.at.iter().enumerate() {
            let under = places
                .iter()
                .filter(|place| place.overlap_with(piece).is_some());
            let Some(under) = Rect::around(under) else {
                continue;
            };
            let overhang = under.excess_of(piece);
            if overhang <= OVERHANG_MM {
                continue;
            }
            let message = format!(
                "a pad of zone `{}` reaches {overhang:.1} mm beyond part `{}`; up to {OVERHANG_MM:.1} mm is usual",
                written.id, board.record.part[part].id,
            );
            report
                .find(board.at(keys!["zone", index, "at", position]), message)
                .also(board.at(keys!["part", part, "at"]), "the part's places")
                .help("give the piece its part's size, or check which part it lies on");
        }
    }
}
