use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::phrase::and_more;
use crate::lint::rule::declare_rule;
use crate::source::keys;
use crate::units::Rect;

declare_rule! {
    /// Looks for pieces of a zone that touch no place of the part they should lie on. Zones that would fit
    /// if they were mirrored are left to `mirrored-coordinates`.
    ///
    /// ## Why
    ///
    /// A pad beside its part cools nothing, and the map would say that the part is cared for.
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
    /// at = [[20.0, 20.0, 9.0, 8.0], [30.0, 30.0, 9.0, 8.0]]
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
    /// at = [[20.0, 20.0, 9.0, 8.0], [20.0, 30.0, 9.0, 8.0]]
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
    /// Correct the piece's place, or name the part that it lies on in `between`. A pad on the bare board
    /// lies between `"pcb"` and a body.
    "zone-off-its-part", Geometry, Error,
    "a pad lies beside its part",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, written, zone) in board.zones() {
        let Some(part) = zone.part() else { continue };
        let places = board.places_of(zone);
        let touches = |piece: &Rect| {
            places
                .iter()
                .any(|place| place.overlap_with(piece).is_some())
        };
        let mut off = (0..written.at.len()).filter(|&piece| !touches(&written.at[piece]));
        let Some(first) = off.next() else { continue };
        if board.mirroring(zone).is_some() {
            continue;
        }
        let piece = &written.at[first];
        let distances = places.iter().map(|place| place.distance_between(piece));
        let message = format!(
            "a pad of zone `{}` lies {:.1} mm beside the nearest place of part `{}`{}",
            written.id,
            distances.fold(f64::INFINITY, f64::min),
            board.record.part[part].id,
            and_more(1 + off.count()),
        );
        report
            .find(board.at(keys!["zone", index, "at", first]), message)
            .also(board.at(keys!["part", part, "at"]), "the part's places")
            .help("correct the piece's place, or name the part it lies on in `between`");
    }
}
