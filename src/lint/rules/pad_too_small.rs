use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;
use crate::units::{Rect, shared_area};

declare_rule! {
    /// Looks for places of a part that a zone's pads touch, but cover by less than a quarter.
    ///
    /// ## Why
    ///
    /// So small a piece carries little heat and is squeezed flat. Most often it was measured in another
    /// place, or width and height were swapped.
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
    /// at = [[20.0, 20.0, 10.0, 10.0]]
    ///
    /// [[zone]]
    /// id = "coils"
    /// between = ["coils", "cooler"]
    /// pad_mm = 2.0
    /// at = [[23.0, 23.0, 4.0, 4.0]]
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
    /// at = [[20.0, 20.0, 10.0, 10.0]]
    ///
    /// [[zone]]
    /// id = "coils"
    /// between = ["coils", "cooler"]
    /// pad_mm = 2.0
    /// at = [[21.0, 21.0, 8.0, 8.0]]
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
    /// Measure the piece again: a place is `[x, y, width, height]`. Without `at`, pads are as large as
    /// their part.
    "pad-too-small", Geometry, Warning,
    "a pad covers little of the place under it",
    Board(check)
}

/// The share of a place that pads on it cover at least; common practice cuts them to its size, and
/// putty a little smaller.
const LEAST_SHARE: f64 = 0.25;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, written, zone) in board.zones() {
        let Some(part) = zone.part() else { continue };
        for (position, place) in board.places_of(zone).iter().enumerate() {
            let touches = |piece: &&Rect| place.overlap_with(piece).is_some();
            let Some(first) = written.at.iter().position(|piece| touches(&piece)) else {
                continue;
            };
            let covers = |piece: &Rect| piece.shared_area(place) >= LEAST_SHARE * place.area();
            if written.at.iter().any(covers) {
                continue;
            }
            let on_it: Vec<Rect> = written.at.iter().filter(touches).copied().collect();
            let share = shared_area(&on_it, &[*place]) / place.area();
            if share >= LEAST_SHARE {
                continue;
            }
            let message = format!(
                "pads of `{}` cover {:.0} % of a place of {:.1} x {:.1} mm; at least {:.0} % is usual",
                written.id,
                100.0 * share,
                place.width,
                place.height,
                100.0 * LEAST_SHARE,
            );
            report
                .find(board.at(keys!["zone", index, "at", first]), message)
                .also(board.at(keys!["part", part, "at", position]), "this place")
                .help("measure the piece again: [x, y, width, height]");
        }
    }
}
