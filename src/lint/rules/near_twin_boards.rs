use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::Side;
use crate::source::keys;
use crate::units::Rect;

declare_rule! {
    /// Looks for two records of what is nearly one board: outlines within 0.5 mm, and nine of ten places
    /// of parts within 0.5 mm too.
    ///
    /// ## Why
    ///
    /// One board under two names splits its jobs, so that neither guide learns what the other measured.
    /// Or a record was begun as a copy and not yet put right.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[part]]
    /// id = "coils"
    /// kind = "inductor"
    /// side = "front"
    /// at = [[10.0, 5.0, 8.0, 8.0], [20.0, 5.0, 8.0, 8.0], [30.0, 5.0, 8.0, 8.0], [40.0, 5.0, 8.0, 8.0],
    ///   [10.0, 45.0, 8.0, 8.0], [40.0, 45.0, 8.0, 8.0], [60.0, 45.0, 8.0, 8.0], [85.0, 45.0, 8.0, 8.0]]
    /// # file: osk/twin/board.toml
    /// schema = 1
    /// [board]
    /// id = "osk-twin"
    /// maker = "Osk"
    /// model = "Twin"
    /// class = "other"
    /// outline_mm = [100.2, 60.0]
    /// [[part]]
    /// id = "chokes"
    /// kind = "inductor"
    /// side = "front"
    /// at = [[10.3, 5.0, 8.0, 8.0], [20.0, 5.0, 8.0, 8.0], [30.0, 5.0, 8.0, 8.0], [40.0, 5.0, 8.0, 8.0],
    ///   [10.0, 45.0, 8.0, 8.0], [40.0, 45.0, 8.0, 8.0], [60.0, 45.0, 8.0, 8.0], [85.0, 45.0, 8.0, 8.0]]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[part]]
    /// id = "coils"
    /// kind = "inductor"
    /// side = "front"
    /// at = [[10.0, 5.0, 8.0, 8.0], [20.0, 5.0, 8.0, 8.0], [30.0, 5.0, 8.0, 8.0], [40.0, 5.0, 8.0, 8.0],
    ///   [10.0, 45.0, 8.0, 8.0], [40.0, 45.0, 8.0, 8.0], [60.0, 45.0, 8.0, 8.0], [85.0, 45.0, 8.0, 8.0]]
    /// # file: osk/twin/board.toml
    /// schema = 1
    /// [board]
    /// id = "osk-twin"
    /// maker = "Osk"
    /// model = "Twin"
    /// class = "other"
    /// outline_mm = [100.2, 60.0]
    /// [[part]]
    /// id = "chokes"
    /// kind = "inductor"
    /// side = "front"
    /// at = [[12.0, 5.0, 8.0, 8.0], [22.0, 5.0, 8.0, 8.0], [32.0, 5.0, 8.0, 8.0], [42.0, 5.0, 8.0, 8.0],
    ///   [10.0, 45.0, 8.0, 8.0], [40.0, 45.0, 8.0, 8.0], [60.0, 45.0, 8.0, 8.0], [85.0, 45.0, 8.0, 8.0]]
    /// ```
    ///
    /// ## What to do
    ///
    /// If they are one board, keep one record with both names' markings and revisions. If two makers do
    /// sell the same layout, accept this finding and say so.
    "near-twin-boards", Identity, Warning,
    "two records of nearly the same board",
    Book(check)
}

/// How far apart two edges may be and still be one, mm: what two people measure differently.
const SAME_MM: f64 = 0.5;

/// The share of places that must coincide, per cent.
const SHARE_PERCENT: usize = 90;

/// Fewest places that tell a layout: below that, boards of one form factor look alike.
const FEWEST: usize = 8;

/// A cell of plan, [`SAME_MM`] wide: coinciding places are in one cell or in neighbours.
type Cell = (Side, i32, i32);

/// What a board is compared by.
struct Layout<'a> {
    board: &'a Board,
    outline: Rect,
    places: Vec<(Side, Rect)>,
}

fn check(book: &Book, report: &mut Report<'_>) {
    let mut known: Vec<Layout<'_>> = Vec::new();
    let mut by_cell: BTreeMap<Cell, Vec<usize>> = BTreeMap::new();
    for layout in book.boards.iter().filter_map(Layout::of) {
        let candidates = candidates(&layout, &by_cell);
        let twin = candidates.into_iter().find_map(|other| {
            let same = layout.coinciding(&known[other])?;
            Some((&known[other], same))
        });
        if let Some((other, same)) = twin {
            // The earlier one stands for both, so that a thousand copies are not a million pairs.
            tell(&layout, other, same, report);
            continue;
        }
        for place in &layout.places {
            by_cell.entry(cell(place)).or_default().push(known.len());
        }
        known.push(layout);
    }
}

impl<'a> Layout<'a> {
    fn of(board: &'a Board) -> Option<Self> {
        let places: Vec<(Side, Rect)> = board
            .record
            .part
            .iter()
            .flat_map(|part| part.at.iter().map(|&place| (part.side, place)))
            .collect();
        (places.len() >= FEWEST).then_some(Self {
            board,
            outline: board.outline()?,
            places,
        })
    }

    /// Returns how many places coincide with another's, if that makes the two nearly one board.
    fn coinciding(&self, other: &Self) -> Option<usize> {
        let needed = needed(self.places.len().max(other.places.len()));
        let may_be = is_near(&self.outline, &other.outline)
            && self.places.len() >= needed
            && other.places.len() >= needed;
        if !may_be {
            return None;
        }
        let has_its_like = |&&(side, place): &&(Side, Rect)| {
            let mut others = other.places.iter();
            others.any(|(its_side, its)| *its_side == side && is_near(its, &place))
        };
        let same = self.places.iter().filter(has_its_like).count();
        (same >= needed).then_some(same)
    }
}

/// Returns how many of so many places must coincide.
fn needed(places: usize) -> usize {
    (places * SHARE_PERCENT).div_ceil(100)
}

fn is_near(left: &Rect, right: &Rect) -> bool {
    let near = |left: f64, right: f64| (left - right).abs() <= SAME_MM;
    near(left.x, right.x)
        && near(left.y, right.y)
        && near(left.width, right.width)
        && near(left.height, right.height)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "coordinates are at most a metre"
)]
fn cell(&(side, place): &(Side, Rect)) -> Cell {
    let column = |along: f64| (along / SAME_MM).floor() as i32;
    (side, column(place.x), column(place.y))
}

/// Returns the layouts that may be a layout's twin, without comparing it to all.
///
/// Of a twin's places at most a tenth are elsewhere, so of any tenth and one more of this layout's
/// places one at least has its like there. The rarest places are asked: they have the fewest.
fn candidates(layout: &Layout<'_>, by_cell: &BTreeMap<Cell, Vec<usize>>) -> BTreeSet<usize> {
    let count = layout.places.len();
    let mut cells: Vec<Cell> = layout.places.iter().map(cell).collect();
    cells.sort_by_key(|cell| by_cell.get(cell).map_or(0, Vec::len));
    cells.truncate(count - needed(count) + 1);
    let mut found = BTreeSet::new();
    for (side, column, row) in cells {
        for column in column - 1..=column + 1 {
            let row = by_cell.range((side, column, row - 1)..=(side, column, row + 1));
            found.extend(row.flat_map(|(_, layouts)| layouts));
        }
    }
    found
}

fn tell(layout: &Layout<'_>, other: &Layout<'_>, same: usize, report: &mut Report<'_>) {
    let message = format!(
        "`{}` is nearly `{}`: {same} of {} places of parts lie within {SAME_MM} mm",
        layout.board.id(),
        other.board.id(),
        layout.places.len().max(other.places.len()),
    );
    let path = || keys!["board", "outline_mm"];
    report
        .find(layout.board.at(path()), message)
        .label(size(&layout.outline))
        .also(other.board.at(path()), size(&other.outline))
        .help("keep one record with the markings of both, or accept it and say how they differ");
}

fn size(outline: &Rect) -> String {
    format!("{:.1} x {:.1} mm", outline.width, outline.height)
}
