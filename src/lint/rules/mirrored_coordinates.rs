use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::{Body, Fasteners, From, Part, PartKind, Seat, Side};
use crate::source::keys;
use crate::units::{Flip, Point, Rect};

declare_rule! {
    /// Looks for places that only make sense from another corner of the board: pads that all miss their
    /// part and all hit it when mirrored, parts on the back that lie behind their fellows on the front only
    /// when mirrored, and sprung screws from the back with the die outside of them unless mirrored.
    ///
    /// ## Why
    ///
    /// Who turns the board over and measures from the left edge measures from the right one. The map of the
    /// back is drawn mirrored by itself, so such places end up on the wrong side of it.
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
    /// height_mm = 1.9
    /// at = [[30.0, 25.0, 14.0, 12.0]]
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[4.0, 15.0, 12.0, 14.0], [4.0, 35.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 1.0
    /// at = [[84.0, 15.0, 12.0, 14.0], [84.0, 35.0, 12.0, 14.0]]
    ///
    /// [[fasteners]]
    /// id = "cooler-x"
    /// thread = "M2.5"
    /// from = "back"
    /// at = [[46.0, 14.0], [78.0, 14.0], [46.0, 48.0], [78.0, 48.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
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
    /// height_mm = 1.9
    /// at = [[30.0, 25.0, 14.0, 12.0]]
    ///
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[4.0, 15.0, 12.0, 14.0], [4.0, 35.0, 12.0, 14.0]]
    ///
    /// [[zone]]
    /// id = "mem"
    /// between = ["mem", "cooler"]
    /// pad_mm = 1.0
    ///
    /// [[fasteners]]
    /// id = "cooler-x"
    /// thread = "M2.5"
    /// from = "back"
    /// at = [[54.0, 14.0], [22.0, 14.0], [54.0, 48.0], [22.0, 48.0]]
    /// holds = ["cooler", "pcb"]
    /// sprung = true
    /// ```
    ///
    /// ## What to do
    ///
    /// Give every place from the board's lower-left corner seen from the front, on the back too: take x
    /// measured from the back away from the board's width (for a rectangle, its width as well).
    "mirrored-coordinates", Geometry, Warning,
    "places were measured from another corner",
    Board(check)
}

/// How near two places back to back lie to each other, centre to centre along each axis, mm.
const BACK_TO_BACK_MM: f64 = 0.5;

/// The fewest places of a part that can show a pattern: fewer lie opposite each other by chance.
const FEWEST_PLACES: usize = 4;

/// The fewest screws that can stand round a die.
const FEWEST_SCREWS: usize = 3;

const HELP: &str =
    "give x from the left edge seen from the front and y from the lower edge, on the back too";

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    look_at_zones(board, report);
    if let Some(outline) = board.outline() {
        look_at_back_parts(board, &outline, report);
        look_at_screws(board, &outline, report);
    }
}

fn look_at_zones(board: &Board, report: &mut Report<'_>) {
    for (index, written, zone) in board.zones() {
        let (Some(flip), Some(part)) = (board.mirroring(zone), zone.part()) else {
            continue;
        };
        let message = format!(
            "every pad of zone `{}` misses part `{}`, and hits it when mirrored {flip}",
            written.id, board.record.part[part].id,
        );
        report
            .find(board.at(keys!["zone", index, "at"]), message)
            .also(board.at(keys!["part", part, "at"]), "the part's places")
            .help(HELP);
    }
}

fn look_at_back_parts(board: &Board, outline: &Rect, report: &mut Report<'_>) {
    let parts = || board.record.part.iter().enumerate();
    let shows_a_pattern = |part: &Part| part.side == Side::Back && part.at.len() >= FEWEST_PLACES;
    for (index, back) in parts().filter(|(_, part)| shows_a_pattern(part)) {
        let twin = parts().find(|(_, front)| {
            front.side == Side::Front
                && front.kind == back.kind
                && are_opposed(back, front, outline)
        });
        let Some((front, twin)) = twin else { continue };
        let message = format!(
            "the {} places of `{}` lie behind those of `{}` only when mirrored left to right",
            back.at.len(),
            back.id,
            twin.id,
        );
        report
            .find(board.at(keys!["part", index, "at"]), message)
            .also(board.at(keys!["part", front, "at"]), "its fellows in front")
            .help(HELP);
    }
}

/// Tells whether nearly all places of a back part have a front one behind them when mirrored, and not
/// half of them as they are given.
fn are_opposed(back: &Part, front: &Part, outline: &Rect) -> bool {
    let has_fellow = |place: &Rect| {
        let centre = place.centre();
        front.at.iter().map(Rect::centre).any(|other| {
            (other.x - centre.x).abs() <= BACK_TO_BACK_MM
                && (other.y - centre.y).abs() <= BACK_TO_BACK_MM
        })
    };
    let given = back.at.iter().filter(|place| has_fellow(place)).count();
    let mirrored = back
        .at
        .iter()
        .map(|place| Flip::Sideways.rect(place, outline));
    let mirrored = mirrored.filter(has_fellow).count();
    10 * mirrored >= 9 * back.at.len() && 2 * given < back.at.len()
}

/// Looks at the springs that pull a body onto its die: they stand round it, or the body would tilt.
fn look_at_screws(board: &Board, outline: &Rect, report: &mut Report<'_>) {
    let on_die = |body: &&Body| body.seats_on(Seat::Die).is_some();
    for body in board.record.body.iter().filter(on_die) {
        let groups: Vec<(usize, &Fasteners)> = board
            .fasteners_of(&body.id)
            .filter(|(_, group)| group.sprung)
            .collect();
        let screws = groups.iter().flat_map(|(_, group)| &group.at);
        let screws: Vec<Rect> = screws.copied().map(Rect::at_point).collect();
        let from_back = groups.iter().all(|(_, group)| group.from == From::Back);
        let Some(given) = Rect::around(&screws).filter(|_| from_back) else {
            continue;
        };
        let mirrored = Flip::Sideways.rect(&given, outline);
        let surrounds_a_die = |hull: Rect| {
            die_centres(board, body.side).any(|die| hull.distance_to(die) < f64::EPSILON)
        };
        if screws.len() < FEWEST_SCREWS || surrounds_a_die(given) || !surrounds_a_die(mirrored) {
            continue;
        }
        for (index, group) in groups {
            let message = format!(
                "the sprung screws of `{}` stand beside the die, and round it when mirrored left to right",
                group.id,
            );
            report
                .find(board.at(keys!["fasteners", index, "at"]), message)
                .help(HELP);
        }
    }
}

fn die_centres(board: &Board, side: Side) -> impl Iterator<Item = Point> {
    let parts = board.record.part.iter();
    let dies = parts.filter(move |part| part.kind == PartKind::Die && part.side == side);
    dies.flat_map(|die| die.at.iter().map(Rect::centre))
}
