//! For every bag of pieces, the smallest rectangles that it can be cut from.

use super::order::{Order, Size};
use super::plan::Axis;
use super::tree::Node;

/// Candidates that are kept before the worse ones are dropped.
const PRUNE_AT: usize = 512;

/// One smallest rectangle of a bag: a narrower one would have to be higher.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    /// The rectangle.
    pub(super) size: Size,
    /// How many leftovers come of it.
    pub(super) leftovers: u32,
    how: How,
}

impl Corner {
    /// Returns how many leftovers come of it when it is cut from something larger.
    pub(super) fn leftovers_in(&self, within: Size) -> u32 {
        let narrower = u32::from(self.size.width < within.width);
        let lower = u32::from(self.size.height < within.height);
        self.leftovers + narrower + lower
    }
}

/// How a bag is cut from one of its rectangles.
#[derive(Clone, Copy, Debug)]
enum How {
    Piece {
        turned: bool,
    },
    /// A first cut in this direction, with this bag before it, and a corner of each of the two.
    Cut {
        axis: Axis,
        first: usize,
        corners: [usize; 2],
    },
}

/// Which rectangles of a bag are kept.
#[derive(Clone, Copy, Debug)]
pub(super) enum Keep {
    /// The smallest, of equal ones that with the fewest leftovers.
    Smallest,
    /// Also larger ones from which fewer leftovers come, if no more than this.
    Leftovers(u32),
}

/// The smallest rectangles of every bag of an order's pieces.
///
/// A bag holds so many of each kind. Bags are numbered by mixed radix, so that a bag's number less that
/// of one within it is the number of what remains, and one within has a smaller number.
#[derive(Debug)]
pub(super) struct Frontiers {
    kinds: Vec<Size>,
    counts: Vec<u32>,
    strides: Vec<usize>,
    keep: Keep,
    /// A bag's corners, from the narrowest to the lowest.
    of: Vec<Vec<Corner>>,
}

/// Returns the number of pairs of a bag and one within it, where it is not more than `most`.
pub(super) fn pairs(order: &Order, most: u64) -> Option<u64> {
    order.pieces.iter().try_fold(1_u64, |product, piece| {
        let count = u64::from(piece.count);
        let pairs = (count + 1).checked_mul(count + 2)? / 2;
        product
            .checked_mul(pairs)
            .filter(|&product| product <= most)
    })
}

impl Frontiers {
    /// Works out every bag's rectangles that are no larger than `largest` in either direction.
    pub(super) fn of(order: &Order, largest: Size, keep: Keep) -> Self {
        let counts: Vec<u32> = order.pieces.iter().map(|piece| piece.count).collect();
        let mut strides = Vec::with_capacity(counts.len());
        let mut bags = 1;
        for &count in &counts {
            strides.push(bags);
            bags *= count as usize + 1;
        }
        let mut frontiers = Self {
            kinds: order.pieces.iter().map(|piece| piece.size).collect(),
            counts,
            strides,
            keep,
            of: Vec::with_capacity(bags),
        };
        frontiers.of.push(Vec::new());
        for bag in 1..bags {
            let corners = match frontiers.single(bag) {
                Some(kind) => frontiers.ways(order, kind, largest),
                None => frontiers.joined(bag, largest),
            };
            frontiers.of.push(corners);
        }
        frontiers
    }

    /// Returns the bag that holds everything.
    pub(super) fn all(&self) -> usize {
        self.of.len() - 1
    }

    /// Returns how many pieces of each kind a bag holds.
    pub(super) fn held(&self, bag: usize) -> impl Iterator<Item = usize> {
        let counts = self.counts.iter().zip(&self.strides);
        counts.map(move |(&count, &stride)| bag / stride % (count as usize + 1))
    }

    /// Returns the area of a bag's pieces, each less a blade's width.
    pub(super) fn area(&self, bag: usize, kerf: u32) -> u64 {
        let each = self.held(bag).zip(&self.kinds);
        each.map(|(held, kind)| held as u64 * kind.shrunk(kerf).map_or(0, Size::area))
            .sum()
    }

    /// Returns the kind of a bag that holds one piece alone.
    fn single(&self, bag: usize) -> Option<usize> {
        self.strides.iter().position(|&stride| stride == bag)
    }

    /// Visits every bag within a bag, the empty one and itself left out.
    pub(super) fn within(&self, bag: usize, mut visit: impl FnMut(usize)) {
        let most: Vec<usize> = self.held(bag).collect();
        let mut held = vec![0; most.len()];
        let mut inner = 0;
        loop {
            let Some(kind) = (0..most.len()).find(|&kind| held[kind] < most[kind]) else {
                return;
            };
            for (lower, stride) in held.iter_mut().zip(&self.strides).take(kind) {
                inner -= std::mem::take(lower) * stride;
            }
            held[kind] += 1;
            inner += self.strides[kind];
            if inner < bag {
                visit(inner);
            }
        }
    }

    /// Returns the rectangles of one piece.
    fn ways(&self, order: &Order, kind: usize, largest: Size) -> Vec<Corner> {
        let ways = order.ways(order.pieces[kind].size);
        let ways = ways.filter(|(_, size)| largest.holds(*size));
        let corner = |(turned, size)| Corner {
            size,
            leftovers: 0,
            how: How::Piece { turned },
        };
        let mut corners = ways.map(corner).collect();
        self.prune(&mut corners);
        corners
    }

    /// Drops rectangles that hold another; where leftovers are looked at, only if as few of them come when
    /// the other is cut from it.
    fn prune(&self, corners: &mut Vec<Corner>) {
        corners.sort_unstable_by_key(|one| (one.size.width, one.size.height, one.leftovers));
        let mut kept: Vec<Corner> = Vec::new();
        for corner in corners.drain(..) {
            let is_worse = |other: &Corner| match self.keep {
                Keep::Smallest => corner.size.holds(other.size),
                Keep::Leftovers(_) => {
                    corner.size.holds(other.size)
                        && other.leftovers_in(corner.size) <= corner.leftovers
                }
            };
            if !kept.iter().rev().any(is_worse) {
                kept.push(corner);
            }
        }
        *corners = kept;
    }

    /// Joins every two bags that make up a bag, side by side and one above the other.
    fn joined(&self, bag: usize, largest: Size) -> Vec<Corner> {
        let mut corners = Vec::new();
        if self.area(bag, 0) > largest.area() {
            return corners;
        }
        let mut many = PRUNE_AT;
        self.within(bag, |first| {
            if first > bag - first {
                return;
            }
            let halves = Halves {
                first,
                one: &self.of[first],
                other: &self.of[bag - first],
                largest,
            };
            match self.keep {
                Keep::Smallest => halves.join_smallest(&mut corners),
                Keep::Leftovers(most) => halves.join_all(most, &mut corners),
            }
            if corners.len() > many {
                self.prune(&mut corners);
                many = 2 * corners.len() + PRUNE_AT;
            }
        });
        self.prune(&mut corners);
        corners
    }

    /// Returns the shortest rectangle of a bag in one direction that is no longer than `most` across, and
    /// how many leftovers come of it in a slice as broad as that.
    pub(super) fn shortest(&self, bag: usize, axis: Axis, most: u32) -> Option<(u32, &Corner)> {
        let across = axis.across();
        let corners = self.of[bag].iter();
        let narrow = corners.filter(|corner| corner.size.along(across) <= most);
        let leftovers = |one: &Corner| one.leftovers + u32::from(one.size.along(across) < most);
        narrow
            .map(|one| (leftovers(one), one))
            .min_by_key(|&(leftovers, one)| (one.size.along(axis), leftovers))
    }

    /// Returns a bag's rectangle that leaves the fewest leftovers in stock, if any fits, and how many.
    pub(super) fn in_stock(&self, bag: usize, stock: Size) -> Option<(u32, &Corner)> {
        let corners = self.of[bag].iter();
        let held = corners.filter(|corner| stock.holds(corner.size));
        held.map(|corner| (corner.leftovers_in(stock), corner))
            .min_by_key(|&(leftovers, _)| leftovers)
    }

    /// Returns the cuts of a bag from a rectangle in which one of its corners fits.
    pub(super) fn node(&self, bag: usize, corner: &Corner, within: Size) -> Node {
        let node = match corner.how {
            How::Piece { turned } => Node::Piece {
                piece: self.single(bag).expect("invariant: one piece alone"),
                turned,
            },
            How::Cut {
                axis,
                first,
                corners,
            } => {
                let across = corner.size.along(axis.across());
                let half = |bag: usize, at: usize| {
                    let corner = &self.of[bag][at];
                    let slice = corner.size.with(axis.across(), across);
                    (corner.size.along(axis), self.node(bag, corner, slice))
                };
                let halves = [half(first, corners[0]), half(bag - first, corners[1])];
                Node::slices(axis, halves)
            }
        };
        node.in_corner(corner.size, within)
    }
}

/// Two bags that make up a third, each with its corners.
struct Halves<'a> {
    first: usize,
    one: &'a [Corner],
    other: &'a [Corner],
    largest: Size,
}

impl Halves<'_> {
    /// Returns a corner of each next to each other along an axis: where one is narrower than the other, a
    /// strip beside it is left over.
    fn join(&self, axis: Axis, corners: [usize; 2]) -> Corner {
        let across = axis.across();
        let (one, other) = (&self.one[corners[0]], &self.other[corners[1]]);
        let [broad, other_broad] = [one, other].map(|corner| corner.size.along(across));
        let length = one.size.along(axis) + other.size.along(axis);
        let narrower = u32::from(broad != other_broad);
        Corner {
            size: Size::new(length, length).with(across, broad.max(other_broad)),
            leftovers: one.leftovers + other.leftovers + narrower,
            how: How::Cut {
                axis,
                first: self.first,
                corners,
            },
        }
    }

    /// Joins every two corners both ways.
    fn join_all(&self, most: u32, corners: &mut Vec<Corner>) {
        for one in 0..self.one.len() {
            for other in 0..self.other.len() {
                let ways = [Axis::X, Axis::Y].map(|axis| self.join(axis, [one, other]));
                let is_kept = |one: &Corner| self.largest.holds(one.size) && one.leftovers <= most;
                corners.extend(ways.into_iter().filter(is_kept));
            }
        }
    }

    /// Joins along each axis at every extent across at which one of the two changes.
    ///
    /// Seen along the axis, both are gone through from the shortest and broadest to the longest and
    /// narrowest. At each step the two shortest are joined, and the broader one gives way to its next.
    fn join_smallest(&self, corners: &mut Vec<Corner>) {
        for axis in [Axis::X, Axis::Y] {
            let at = |list: &[Corner], step: usize| match axis {
                Axis::X => step,
                Axis::Y => list.len() - 1 - step,
            };
            let (mut one, mut other) = (0, 0);
            while one < self.one.len() && other < self.other.len() {
                let pair = [at(self.one, one), at(self.other, other)];
                let joined = self.join(axis, pair);
                if joined.size.along(axis) > self.largest.along(axis) {
                    break; // The next are longer still.
                }
                if self.largest.holds(joined.size) {
                    corners.push(joined);
                }
                let broad = self.one[pair[0]].size.along(axis.across());
                let other_broad = self.other[pair[1]].size.along(axis.across());
                one += usize::from(broad >= other_broad);
                other += usize::from(other_broad >= broad);
            }
        }
    }
}
