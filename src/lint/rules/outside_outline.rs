use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::{BodyKind, Fasteners};
use crate::source::{KeyPath, keys};
use crate::units::Rect;

declare_rule! {
    /// Looks at every part, pad, screw, connector and keep-out, and asks whether it lies on the board.
    /// Bodies may reach beyond it, and so may the screws of an I/O bracket, by up to 10 mm. Where most places
    /// lie beyond it, the outline itself is told, once.
    ///
    /// ## Why
    ///
    /// A place beyond the edge was mistyped or measured from another corner. On the map it would send a
    /// driver, or a blade, to the wrong spot.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[90.0, 20.0, 20.0, 20.0]]
    /// height_mm = 2.4
    /// ```
    ///
    /// ```toml fails
    /// # file: osk/demo/board.toml
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// outline_mm = [60.0, 100.0]
    ///
    /// [[keepout]]
    /// side = "front"
    /// at = [[40.0, 20.0, 40.0, 10.0], [80.0, 20.0, 6.0, 10.0]]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[part]]
    /// id = "gpu"
    /// kind = "die"
    /// side = "front"
    /// at = [[60.0, 20.0, 20.0, 20.0]]
    /// height_mm = 2.4
    /// ```
    ///
    /// ## What to do
    ///
    /// Measure again from the board's lower-left corner, seen from the front, x to the right and y up;
    /// or correct `outline_mm`: first the board's width, along x, then its height.
    "outside-outline", Geometry, Error,
    "something lies beyond the board's edge",
    Board(check)
}

/// How far a place may reach over the edge, mm: the rounding of a ruler.
const SLACK_MM: f64 = 0.5;

/// How far the screws of an I/O bracket may lie beyond the edge, mm: it stands off the board.
const IO_BRACKET_SLACK_MM: f64 = 10.0;

/// The fewest places beyond the edge that convict the outline: one alone may be mistyped.
const FEWEST_BEYOND: usize = 2;

/// A place that is to lie on the board.
struct Spot {
    path: KeyPath,
    rect: Rect,
    slack_mm: f64,
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let Some(outline) = board.outline() else {
        return;
    };
    let spots = spots(board);
    let beyond: Vec<&Spot> = spots.iter().filter(|spot| !spot.is_on(&outline)).collect();
    let turned = Rect::of_size([outline.height, outline.width]);
    if beyond.len() >= FEWEST_BEYOND && spots.iter().all(|spot| spot.is_on(&turned)) {
        exchanged(board, &outline, (beyond[0], beyond.len()), report);
        return;
    }
    if beyond.len() >= FEWEST_BEYOND && 2 * beyond.len() > spots.len() {
        let Rect { width, height, .. } = outline;
        let (count, all) = (beyond.len(), spots.len());
        report
            .find(
                board.at(keys!["board", "outline_mm"]),
                format!("{count} of {all} places lie beyond the board's {width:.1} x {height:.1} mm"),
            )
            .also(board.at(beyond[0].path.clone()), "the first of them")
            .help("look at the outline first, it is in millimetres; if it is right, the places were measured from another corner");
        return;
    }
    for spot in beyond {
        let message = format!(
            "{} lies {:.1} mm beyond the board's {:.1} x {:.1} mm",
            what(board, &spot.path),
            outline.excess_of(&spot.rect),
            outline.width,
            outline.height,
        );
        report
            .find(board.at(spot.path.clone()), message)
            .also(
                board.at(keys!["board", "outline_mm"]),
                "the board's outline",
            )
            .help("measure from the lower-left corner seen from the front, or correct the outline");
    }
}

/// Tells once that the outline's two numbers are exchanged.
fn exchanged(
    board: &Board,
    outline: &Rect,
    (first, count): (&Spot, usize),
    report: &mut Report<'_>,
) {
    let Rect { width, height, .. } = outline;
    let message = format!(
        "{count} places lie beyond the board's {width:.1} x {height:.1} mm, and all would lie on it \
         if it were {height:.1} x {width:.1} mm"
    );
    report
        .find(board.at(keys!["board", "outline_mm"]), message)
        .also(board.at(first.path.clone()), "the first of them")
        .help(format!(
            "write [{height:.1}, {width:.1}]: first the width, along x, then the height, along y"
        ));
}

/// Returns a place's owner in words; a keep-out has no id.
fn what(board: &Board, path: &KeyPath) -> String {
    match path.item() {
        Some(("keepout", _)) => "a keep-out".into(),
        _ => format!("`{}`", board.id_at(path).unwrap_or("board")),
    }
}

impl Spot {
    fn is_on(&self, outline: &Rect) -> bool {
        outline.holds(&self.rect, self.slack_mm)
    }
}

/// Returns every place that is to lie on the board.
fn spots(board: &Board) -> Vec<Spot> {
    let record = &board.record;
    let parts = record.part.iter().map(|part| &part.at).enumerate();
    let zones = record.zone.iter().map(|zone| &zone.at).enumerate();
    let keepouts = record.keepout.iter().map(|keepout| &keepout.at).enumerate();
    let areas = parts
        .map(|one| ("part", one))
        .chain(zones.map(|one| ("zone", one)))
        .chain(keepouts.map(|one| ("keepout", one)));
    let areas = areas.flat_map(|(table, (index, at))| {
        at.iter().enumerate().map(move |(position, &rect)| Spot {
            path: keys![table, index, "at", position],
            rect,
            slack_mm: SLACK_MM,
        })
    });
    let screws = record.fasteners.iter().enumerate();
    let screws = screws.flat_map(|(index, group)| {
        let slack_mm = slack_of(board, group);
        group
            .at
            .iter()
            .enumerate()
            .map(move |(position, &point)| Spot {
                path: keys!["fasteners", index, "at", position],
                rect: Rect::at_point(point),
                slack_mm,
            })
    });
    let plugs = record.connector.iter().enumerate();
    let plugs = plugs.map(|(index, connector)| Spot {
        path: keys!["connector", index, "at"],
        rect: Rect::at_point(connector.at),
        slack_mm: SLACK_MM,
    });
    areas.chain(screws).chain(plugs).collect()
}

/// Returns how far a group of screws may lie beyond the edge, mm.
fn slack_of(board: &Board, group: &Fasteners) -> f64 {
    let is_io_bracket = |id: &String| {
        board
            .body(id)
            .is_some_and(|(_, body)| body.kind == BodyKind::IoBracket)
    };
    if group.holds.iter().any(is_io_bracket) {
        IO_BRACKET_SLACK_MM
    } else {
        SLACK_MM
    }
}
