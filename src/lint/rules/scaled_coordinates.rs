use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::{Part, PartKind};
use crate::source::keys;
use crate::units::Rect;

declare_rule! {
    /// Looks at the sizes of memory packages and power stages: where every one is far too small in
    /// millimetres and right in inches, centimetres or metres, the record is in that unit.
    ///
    /// ## Why
    ///
    /// A plan in inches draws a whole board into one corner, and pads would be cut to a twenty-fifth of
    /// their size.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[0.79, 0.79, 0.47, 0.55], [0.79, 1.57, 0.47, 0.55]]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[part]]
    /// id = "mem"
    /// kind = "memory"
    /// side = "front"
    /// package = "fbga-180"
    /// at = [[20.0, 20.0, 12.0, 14.0], [20.0, 40.0, 12.0, 14.0]]
    /// ```
    ///
    /// ## What to do
    ///
    /// Give every coordinate in millimetres: an inch is 25.4 mm.
    "scaled-coordinates", Geometry, Error,
    "the plan is not in millimetres",
    Board(check)
}

/// The units that a plan is mistaken for, and how many millimetres each has; the largest first.
const UNITS: [(&str, f64); 3] = [("metres", 1000.0), ("inches", 25.4), ("centimetres", 10.0)];

/// The fewest places that show a unit: one alone may be mistyped.
const FEWEST_PLACES: usize = 2;

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let parts = || board.record.part.iter().enumerate();
    let judged =
        || parts().filter_map(|(index, part)| Some((index, part, believable_mm(part.kind)?)));
    let sizes: Vec<(f64, (f64, f64))> = judged()
        .flat_map(|(_, part, range)| sides(part).map(move |side| (side, range)))
        .collect();
    if sizes.len() < 2 * FEWEST_PLACES {
        return;
    }
    let outline = board.outline();
    let all = Rect::around(board.record.part.iter().flat_map(|part| &part.at));
    let fits = |factor: f64| match (outline, all) {
        (Some(outline), Some(all)) => {
            all.right() * factor <= outline.right() && all.top() * factor <= outline.top()
        }
        _ => false,
    };
    let mut possible: Vec<(&str, f64)> = UNITS
        .into_iter()
        .filter(|&(_, factor)| {
            let is_believable = |&(side, (least, most)): &(f64, (f64, f64))| {
                (least..=most).contains(&(side * factor))
            };
            sizes.iter().all(is_believable)
        })
        .collect();
    // A unit in which the plan fits the outline comes first; if none does, the outline is scaled too.
    possible.sort_by_key(|&(_, factor)| !fits(factor));
    let (Some((unit, factor)), Some((index, part, _))) = (possible.first(), judged().next()) else {
        return;
    };
    let place = &part.at[0];
    let message = format!(
        "a place of `{}` measures {} x {} mm, which is believable in {unit} ({factor} mm each)",
        part.id, place.width, place.height,
    );
    report
        .find(board.at(keys!["part", index, "at"]), message)
        .help(format!("multiply every coordinate by {factor}"));
}

/// Returns the least and greatest believable length of a place's sides, mm: of the packages in common
/// use, with room. The greatest is less than ten times the least, so no believable size is taken for
/// one in another unit. The sizes of dies and inductors vary too much to tell.
fn believable_mm(kind: PartKind) -> Option<(f64, f64)> {
    match kind {
        PartKind::Memory => Some((5.0, 20.0)),
        PartKind::PowerStage => Some((2.5, 10.0)),
        PartKind::Die | PartKind::Inductor | PartKind::Controller | PartKind::Other => None,
    }
}

fn sides(part: &Part) -> impl Iterator<Item = f64> {
    part.at.iter().flat_map(|place| [place.width, place.height])
}
