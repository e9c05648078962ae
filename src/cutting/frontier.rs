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
    /// A first cut in this direction, with this bag before it.
    Cut {
        axis: Axis,
        first: usize,
    },
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
    pub(super) fn of(order: &Order, largest: Size) -> Self {
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
            of: Vec::with_capacity(bags),
        };
        frontiers.of.push(Vec::new());
        for bag in 1..bags {
            let corners = match frontiers.single(bag) {
                Some(kind) => ways(order, kind, largest),
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
            for lower in 0..kind {
                inner -= held[lower] * self.strides[lower];
                held[lower] = 0;
            }
            held[kind] += 1;
            inner += self.strides[kind];
            if inner < bag {
                visit(inner);
            }
        }
    }

    /// Joins every two bags that make up a bag, side by side and one above the other.
    fn joined(&self, bag: usize, largest: Size) -> Vec<Corner> {
        let mut corners = Vec::new();
        self.within(bag, |first| {
            let (one, other) = (&self.of[first], &self.of[bag - first]);
            if first > bag - first || one.is_empty() || other.is_empty() {
                return;
            }
            join(
                one.iter(),
                other.iter(),
                (Axis::X, first),
                largest,
                &mut corners,
            );
            let (one, other) = (one.iter().rev(), other.iter().rev());
            join(one, other, (Axis::Y, first), largest, &mut corners);
            if corners.len() > PRUNE_AT {
                prune(&mut corners);
            }
        });
        prune(&mut corners);
        corners
    }

    /// Returns the shortest rectangle of a bag in one direction that is no longer than `most` across.
    pub(super) fn shortest(&self, bag: usize, axis: Axis, most: u32) -> Option<&Corner> {
        let across = axis.across();
        let is_within = |corner: &&Corner| corner.size.along(across) <= most;
        // Corners fall in height and rise in width.
        let at = match axis {
            Axis::X => self.of[bag].partition_point(|corner| corner.size.height > most),
            Axis::Y => self.of[bag]
                .partition_point(|corner| corner.size.width <= most)
                .checked_sub(1)?,
        };
        self.of[bag].get(at).filter(is_within)
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
            How::Cut { axis, first } => {
                let across = corner.size.along(axis.across());
                let half = |bag| {
                    let corner = self.shortest(bag, axis, across);
                    let corner = corner.expect("invariant: it was joined from this");
                    let length = corner.size.along(axis);
                    (
                        length,
                        self.node(bag, corner, corner.size.with(axis.across(), across)),
                    )
                };
                Node::slices(axis, [half(first), half(bag - first)])
            }
        };
        node.in_corner(corner.size, within)
    }
}

/// Returns the rectangles of one piece.
fn ways(order: &Order, kind: usize, largest: Size) -> Vec<Corner> {
    let ways = order.ways(order.pieces[kind].size);
    let mut corners: Vec<Corner> = ways
        .filter(|(_, size)| largest.holds(*size))
        .map(|(turned, size)| Corner {
            size,
            leftovers: 0,
            how: How::Piece { turned },
        })
        .collect();
    prune(&mut corners);
    corners
}

/// Joins two bags along an axis, at every extent across at which one of them changes.
///
/// Both are given from the shortest and broadest to the longest and narrowest, seen along the axis. At
/// each step the two shortest are joined, and the broader one gives way to its next.
fn join<'a>(
    mut one: impl Iterator<Item = &'a Corner>,
    mut other: impl Iterator<Item = &'a Corner>,
    (axis, first): (Axis, usize),
    largest: Size,
    corners: &mut Vec<Corner>,
) {
    let across = axis.across();
    let (mut left, mut right) = (one.next(), other.next());
    while let (Some(a), Some(b)) = (left, right) {
        let (broad_a, broad_b) = (a.size.along(across), b.size.along(across));
        let length = a.size.along(axis) + b.size.along(axis);
        if length > largest.along(axis) {
            return; // The next are longer still.
        }
        let broad = broad_a.max(broad_b);
        if broad <= largest.along(across) {
            corners.push(Corner {
                size: Size::new(length, length).with(across, broad),
                leftovers: a.leftovers + b.leftovers + u32::from(broad_a != broad_b),
                how: How::Cut { axis, first },
            });
        }
        if broad_a >= broad_b {
            left = one.next();
        }
        if broad_b >= broad_a {
            right = other.next();
        }
    }
}

/// Drops rectangles that hold another, and of equal ones all but that with the fewest leftovers.
fn prune(corners: &mut Vec<Corner>) {
    corners.sort_unstable_by_key(|one| (one.size.width, one.size.height, one.leftovers));
    let mut lowest = u32::MAX;
    corners.retain(|corner| {
        let keeps = corner.size.height < lowest;
        lowest = lowest.min(corner.size.height);
        keeps
    });
}
