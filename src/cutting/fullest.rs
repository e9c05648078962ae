//! The fullest sheet: of the pieces still wanted, those that are worth most together on one sheet.

use super::order::{Order, Size};
use super::plan::Axis;
use super::tree::Node;

/// Kinds whose counts are compared in the time in which a pair is looked at: as many as go at once.
const KINDS_PER_PAIR: u64 = 8;

/// A rectangle's width and height in cells.
type Cells = [usize; 2];

/// How the best of a rectangle is cut from it.
#[derive(Clone, Copy, Debug)]
enum How {
    /// Nothing fits.
    Nothing,
    /// One piece, which fills it as far as whole cells go.
    Piece { kind: usize, turned: bool },
    /// As the rectangle that is a cell shorter.
    Shorter(Axis),
    /// As two rectangles, the first so many cells long.
    Cut(Axis, usize),
}

/// What rectangles are worth, in lines of those that differ along one axis only.
#[derive(Debug)]
struct Lines {
    length: usize,
    worth: Vec<u32>,
    /// Where the worth of each line rises.
    rises: Vec<Vec<usize>>,
}

/// The best that each rectangle yields, for one sheet after another of an order.
///
/// From the smallest rectangle of whole cells to the sheet, the best way to cut each into two such rectangles
/// is kept: of the pairs whose pieces are no more than are wanted, the one worth most. With pieces without
/// end that would be the best of all; with few left it is a good one.
///
/// # References
/// Gilmore and Gomory (1966), *The theory and computation of knapsack functions*, Operations Research
/// 14, 1045–1074, for rectangles cut in two. From memory.
#[derive(Debug)]
pub(super) struct Fullest<'a> {
    order: &'a Order,
    /// A cell's width and height, in steps.
    cell: Size,
    sheet: Cells,
    rows: Lines,
    columns: Lines,
    how: Vec<How>,
    /// How many pieces of each kind come of each rectangle, one kind after another.
    counts: Vec<u16>,
    /// Pairs of rectangles that may still be looked at.
    effort: u64,
}

impl<'a> Fullest<'a> {
    /// Returns the table of a grown order of distinct kinds, whose sheets are no more than so many cells
    /// long, for as many sheets as can be filled by looking at `effort` pairs of rectangles.
    ///
    /// A cell is the greatest step that all pieces share. Where such cells are too many, it is some of them:
    /// pieces are then planned a little larger than they are, and cut at their own size all the same.
    pub(super) fn of(order: &'a Order, most_cells: u32, effort: u64) -> Self {
        let sizes = order.pieces.iter().map(|piece| piece.size);
        let step = sizes.fold(0, |step, size| {
            divisor(divisor(step, size.width), size.height)
        });
        let cell = |side: u32| step * (side / step).div_ceil(most_cells).max(1);
        let cell = Size::new(cell(order.sheet.width), cell(order.sheet.height));
        let sheet = [
            order.sheet.width / cell.width,
            order.sheet.height / cell.height,
        ];
        let sheet = sheet.map(|cells| cells as usize);
        let [across, up] = sheet.map(|cells| cells + 1);
        Self {
            order,
            cell,
            sheet,
            rows: Lines::new(up, across),
            columns: Lines::new(across, up),
            how: vec![How::Nothing; across * up],
            counts: vec![0; across * up * order.pieces.len()],
            effort,
        }
    }

    /// Returns the most valuable sheet, by what a piece of each kind is worth and how many are wanted: how
    /// many it yields, and how they are cut. Nothing, where the effort is spent before.
    pub(super) fn fill(&mut self, worth: &[u32], wanted: &[u16]) -> Option<(Vec<u16>, Node)> {
        self.rows.clear();
        self.columns.clear();
        self.counts.fill(0);
        self.lay_single(worth, wanted);
        for across in 1..=self.sheet[0] {
            for up in 1..=self.sheet[1] {
                self.settle([across, up], worth, wanted);
            }
            if self.effort == 0 {
                return None;
            }
        }
        let counts = self.counts_of(self.sheet).to_vec();
        let (size, node) = self.node(self.roomiest(&counts));
        Some((counts, node.in_corner(size, self.order.sheet)))
    }

    /// Lays each piece that is wanted in the smallest rectangle that holds it, each way.
    fn lay_single(&mut self, worth: &[u32], wanted: &[u16]) {
        self.how.fill(How::Nothing);
        for (kind, piece) in self.order.pieces.iter().enumerate() {
            for (turned, way) in self.order.ways(piece.size) {
                if wanted[kind] == 0 || !self.order.sheet.holds(way) {
                    continue;
                }
                let at = self.at(self.around(way));
                if worth[kind] > self.single(at, worth) {
                    self.how[at] = How::Piece { kind, turned };
                }
            }
        }
    }

    /// Returns the smallest rectangle around a piece.
    fn around(&self, way: Size) -> Cells {
        let across = way.width.div_ceil(self.cell.width) as usize;
        let up = way.height.div_ceil(self.cell.height) as usize;
        // What is as long as the sheet but for a part of a cell has nothing beside it.
        [across.min(self.sheet[0]), up.min(self.sheet[1])]
    }

    fn single(&self, at: usize, worth: &[u32]) -> u32 {
        match self.how[at] {
            How::Piece { kind, .. } => worth[kind],
            _ => 0,
        }
    }

    /// Finds the best of a rectangle, all smaller ones being known.
    fn settle(&mut self, cells: Cells, worth: &[u32], wanted: &[u16]) {
        let [across, up] = cells;
        let at = self.at(cells);
        let (mut best, mut how) = (self.single(at, worth), self.how[at]);
        let lines = [
            (Axis::X, &self.rows, up, across),
            (Axis::Y, &self.columns, across, up),
        ];
        for (axis, lines, line, length) in lines {
            let shorter = lines.of(line)[length - 1];
            if shorter > best {
                (best, how) = (shorter, How::Shorter(axis));
            }
        }
        // Its counts are cleared, found and compared in the end.
        let counting = 1 + self.order.pieces.len() as u64 / KINDS_PER_PAIR;
        let mut looks = 3 * counting;
        for (axis, lines, line, length) in lines {
            for (first, both) in lines.halves(line, length) {
                looks += 1;
                if both <= best {
                    continue;
                }
                looks += counting;
                if self.are_wanted(halves(cells, axis, first), wanted) {
                    (best, how) = (both, How::Cut(axis, first));
                }
            }
        }
        self.effort = self.effort.saturating_sub(looks);
        self.how[at] = how;
        self.rows.set(up, across, best);
        self.columns.set(across, up, best);
        self.count(cells);
    }

    /// Tells whether two rectangles together yield no more than is wanted.
    fn are_wanted(&self, halves: [Cells; 2], wanted: &[u16]) -> bool {
        let [one, other] = halves.map(|half| self.counts_of(half));
        // Without a branch for each kind: this is where the time goes.
        let both = one.iter().zip(other).zip(wanted);
        let over = both.fold(0, |over, ((one, other), wanted)| {
            over | u16::from(one.saturating_add(*other) > *wanted)
        });
        over == 0
    }

    fn count(&mut self, cells: Cells) {
        let kinds = self.order.pieces.len();
        let own = self.at(cells) * kinds;
        match self.how[self.at(cells)] {
            How::Nothing => {}
            How::Piece { kind, .. } => self.counts[own + kind] = 1,
            How::Shorter(axis) => {
                let from = self.at(shorter(cells, axis)) * kinds;
                self.counts.copy_within(from..from + kinds, own);
            }
            How::Cut(axis, first) => {
                let [one, other] = halves(cells, axis, first).map(|half| self.at(half) * kinds);
                for kind in 0..kinds {
                    self.counts[own + kind] = self.counts[one + kind] + self.counts[other + kind];
                }
            }
        }
    }

    fn at(&self, [across, up]: Cells) -> usize {
        across * (self.sheet[1] + 1) + up
    }

    fn counts_of(&self, cells: Cells) -> &[u16] {
        let kinds = self.order.pieces.len();
        &self.counts[self.at(cells) * kinds..][..kinds]
    }

    /// Returns the rectangle that yields as much as the sheet and leaves the largest strip beside it.
    fn roomiest(&self, counts: &[u16]) -> Cells {
        let [wide, high] = self.sheet;
        let all = (1..=wide).flat_map(|across| (1..=high).map(move |up| [across, up]));
        let strip = |&[across, up]: &Cells| ((wide - across) * high).max((high - up) * wide);
        let full = all.filter(|&cells| self.counts_of(cells) == counts);
        full.max_by_key(strip).unwrap_or(self.sheet)
    }

    /// Returns how a rectangle is cut, at its pieces' own sizes, and how large they are together.
    fn node(&self, cells: Cells) -> (Size, Node) {
        match self.how[self.at(cells)] {
            How::Nothing => (Size::new(0, 0), Node::Free),
            How::Piece { kind, turned } => {
                let size = self.order.pieces[kind].size;
                let size = if turned { size.turned() } else { size };
                let piece = Node::Piece {
                    piece: kind,
                    turned,
                };
                (size, piece)
            }
            How::Shorter(axis) => self.node(shorter(cells, axis)),
            How::Cut(axis, first) => {
                let halves = halves(cells, axis, first).map(|half| self.node(half));
                let across = axis.across();
                let [broad, other] = halves.each_ref().map(|(size, _)| size.along(across));
                let broad = broad.max(other);
                let slices = halves.map(|(own, node)| {
                    (
                        own.along(axis),
                        node.in_corner(own, own.with(across, broad)),
                    )
                });
                let length = slices.iter().map(|(length, _)| length).sum();
                let size = Size::new(length, length).with(across, broad);
                (size, Node::slices(axis, slices))
            }
        }
    }
}

impl Lines {
    fn new(lines: usize, length: usize) -> Self {
        Self {
            length,
            worth: vec![0; lines * length],
            rises: vec![Vec::new(); lines],
        }
    }

    fn clear(&mut self) {
        self.worth.fill(0);
        self.rises.iter_mut().for_each(Vec::clear);
    }

    fn of(&self, line: usize) -> &[u32] {
        &self.worth[line * self.length..][..self.length]
    }

    /// Sets what the next rectangle of a line is worth.
    fn set(&mut self, line: usize, at: usize, worth: u32) {
        if worth > self.of(line)[at - 1] {
            self.rises[line].push(at);
        }
        self.worth[line * self.length + at] = worth;
    }

    /// Returns the ways to cut a line's rectangle in two, the shorter first, with what both are worth.
    ///
    /// Where the worth of the shorter does not rise, the same pieces come of a shorter one still.
    fn halves(&self, line: usize, length: usize) -> impl Iterator<Item = (usize, u32)> {
        let worth = self.of(line);
        let rises = self.rises[line].iter().copied();
        rises
            .take_while(move |first| 2 * first <= length)
            .map(move |first| (first, worth[first] + worth[length - first]))
    }
}

fn shorter([across, up]: Cells, axis: Axis) -> Cells {
    match axis {
        Axis::X => [across - 1, up],
        Axis::Y => [across, up - 1],
    }
}

fn halves([across, up]: Cells, axis: Axis, first: usize) -> [Cells; 2] {
    match axis {
        Axis::X => [[first, up], [across - first, up]],
        Axis::Y => [[across, first], [across, up - first]],
    }
}

/// Returns the greatest common divisor.
fn divisor(one: u32, other: u32) -> u32 {
    if other == 0 {
        one
    } else {
        divisor(other, one % other)
    }
}

#[cfg(test)]
mod tests {
    use super::super::order::Piece;
    use super::*;

    /// Width and height of the pieces of OR-Library's gcut1 and gcut2, on sheets of 250 by 250.
    const GCUT: [&[[u32; 2]]; 2] = [
        &[
            [167, 184],
            [114, 118],
            [167, 152],
            [83, 140],
            [70, 86],
            [143, 166],
            [120, 160],
            [66, 148],
            [87, 141],
            [69, 165],
        ],
        &[
            [120, 133],
            [135, 186],
            [86, 75],
            [103, 73],
            [66, 85],
            [135, 97],
            [91, 175],
            [131, 176],
            [71, 176],
            [153, 72],
            [87, 148],
            [168, 107],
            [118, 90],
            [140, 109],
            [132, 159],
            [152, 93],
            [135, 68],
            [121, 158],
            [68, 94],
            [155, 76],
        ],
    ];

    fn gcut(pieces: &[[u32; 2]], may_turn: bool) -> Order {
        let piece = |&[width, height]: &[u32; 2]| Piece {
            size: Size::new(width, height),
            count: 1000,
        };
        Order {
            sheet: Size::new(250, 250),
            offcuts: Vec::new(),
            pieces: pieces.iter().map(piece).collect(),
            may_turn,
            kerf: 0,
        }
    }

    /// Returns the area that the fullest sheet uses.
    fn fullest(order: &Order, wanted: u16) -> u64 {
        let areas = order.pieces.iter().map(|piece| piece.size.area());
        let areas: Vec<u32> = areas
            .map(|area| u32::try_from(area).expect("small"))
            .collect();
        let wanted = vec![wanted; areas.len()];
        let (counts, node) = Fullest::of(order, 250, u64::MAX)
            .fill(&areas, &wanted)
            .expect("effort without end");
        let mut cut = vec![0; areas.len()];
        node.count(&mut cut);
        let cut: Vec<u16> = cut
            .into_iter()
            .map(|count| u16::try_from(count).expect("few"))
            .collect();
        assert_eq!(cut, counts, "it yields what it says");
        areas
            .iter()
            .zip(counts)
            .map(|(&area, count)| u64::from(area) * u64::from(count))
            .sum()
    }

    // Beasley (1985), Journal of the Operational Research Society 36, 297-306, with any number of each
    // piece. The values for pieces that may be turned are those of an exact solver of our own.
    #[test]
    fn with_pieces_without_end_it_is_the_best() {
        for (pieces, as_they_lie, turned) in [(GCUT[0], 56_460, 58_136), (GCUT[1], 60_536, 60_611)]
        {
            assert_eq!(fullest(&gcut(pieces, false), 1000), as_they_lie);
            assert_eq!(fullest(&gcut(pieces, true), 1000), turned);
        }
    }

    // One of each piece: Thomopulos (2016), optima proven by integer programming.
    #[test]
    fn with_one_of_each_it_is_nearly_the_best() {
        for (pieces, as_they_lie, turned) in [(GCUT[0], 48_368, 58_136), (GCUT[1], 59_307, 60_403)]
        {
            for (may_turn, best) in [(false, as_they_lie), (true, turned)] {
                let found = fullest(&gcut(pieces, may_turn), 1);
                assert!(
                    found <= best && 100 * found >= 98 * best,
                    "{found} of {best}"
                );
            }
        }
    }
}
