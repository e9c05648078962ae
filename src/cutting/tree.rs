//! A layout as the solvers build it: a tree of edge-to-edge cuts, in sizes grown by the blade.

use super::order::Size;
use super::plan::{Axis, Cut, Layout, Patch, Placed, Source};

/// A rectangle of stock, and what becomes of it. Its size is known from what it lies in.
#[derive(Clone, Debug)]
pub(super) enum Node {
    /// Nothing yet.
    Free,
    /// One piece, which fills it.
    Piece {
        /// Which of the order's pieces.
        piece: usize,
        /// Whether it was turned by a quarter.
        turned: bool,
    },
    /// Slices that lie along an axis and fill it.
    Slices(Axis, Vec<Slice>),
}

/// One of several slices that fill a rectangle.
#[derive(Clone, Debug)]
pub(super) struct Slice {
    /// Its extent along the axis.
    pub(super) length: u32,
    /// What becomes of it.
    pub(super) node: Node,
}

impl Node {
    /// Returns slices in their simplest form: no slice is sliced the same way again, what is free lies
    /// together at the end, and one slice alone is no slice.
    pub(super) fn slices(axis: Axis, slices: impl IntoIterator<Item = (u32, Self)>) -> Self {
        let mut filled = Vec::new();
        let mut free = 0;
        for (length, node) in slices {
            match node {
                Self::Free => free += length,
                Self::Slices(along, inner) if along == axis => {
                    for slice in inner {
                        match slice.node {
                            Self::Free => free += slice.length,
                            _ => filled.push(slice),
                        }
                    }
                }
                node => filled.push(Slice { length, node }),
            }
        }
        if filled.is_empty() {
            return Self::Free;
        }
        if free > 0 {
            filled.push(Slice {
                length: free,
                node: Self::Free,
            });
        }
        match filled.len() {
            1 => filled.pop().map_or(Self::Free, |only| only.node),
            _ => Self::Slices(axis, filled),
        }
    }

    /// Returns a node of one size in the lower-left corner of a larger rectangle, cut free so that the
    /// larger strip stays whole.
    pub(super) fn in_corner(self, own: Size, within: Size) -> Self {
        let beside = u64::from(within.width - own.width) * u64::from(within.height);
        let above = u64::from(within.height - own.height) * u64::from(within.width);
        let first = if beside >= above { Axis::X } else { Axis::Y };
        self.cut_free(own, within, first)
    }

    /// Returns a node in the lower-left corner of a larger rectangle, cut free in this direction first.
    pub(super) fn cut_free(self, own: Size, within: Size, first: Axis) -> Self {
        let second = first.across();
        let rest = |axis| (within.along(axis) - own.along(axis), Self::Free);
        let strip = Self::slices(second, [(own.along(second), self), rest(second)]);
        Self::slices(first, [(own.along(first), strip), rest(first)])
    }

    /// Counts the pieces, by the order's position.
    pub(super) fn count(&self, counts: &mut [u32]) {
        match self {
            Self::Free => {}
            Self::Piece { piece, .. } => counts[*piece] += 1,
            Self::Slices(_, slices) => slices.iter().for_each(|one| one.node.count(counts)),
        }
    }

    /// Counts the free rectangles.
    pub(super) fn leftovers(&self) -> u32 {
        match self {
            Self::Free => 1,
            Self::Piece { .. } => 0,
            Self::Slices(_, slices) => slices.iter().map(|one| one.node.leftovers()).sum(),
        }
    }

    /// Returns the area of the largest free rectangle, the blade's loss taken off.
    pub(super) fn largest_free(&self, own: Size, kerf: u32) -> u64 {
        match self {
            Self::Free => own.shrunk(kerf).map_or(0, Size::area),
            Self::Piece { .. } => 0,
            Self::Slices(axis, slices) => {
                let of = |one: &Slice| one.node.largest_free(own.with(*axis, one.length), kerf);
                slices.iter().map(of).max().unwrap_or(0)
            }
        }
    }

    /// Returns the layout that a person follows: slices are cut off one by one from the left or from
    /// below, and then each is cut up in turn.
    pub(super) fn layout(&self, source: Source, stock: Size, kerf: u32) -> Layout {
        let mut layout = Layout {
            source,
            cuts: Vec::new(),
            pieces: Vec::new(),
            remnants: Vec::new(),
        };
        self.follow(Patch::whole(stock), kerf, &mut layout);
        let largest_first = |one: &Patch| (std::cmp::Reverse(one.size.area()), *one);
        layout.remnants.sort_by_key(largest_first);
        layout
    }

    fn follow(&self, patch: Patch, kerf: u32, layout: &mut Layout) {
        match self {
            Self::Free => layout.remnants.push(patch),
            Self::Piece { piece, turned } => layout.pieces.push(Placed {
                piece: *piece,
                turned: *turned,
                patch,
            }),
            Self::Slices(axis, slices) => {
                let whole = patch.size.along(*axis);
                let mut freed = Vec::new();
                let mut from = 0;
                for slice in slices {
                    // A last slice thinner than the blade is lost whole.
                    let to = (from + slice.length).saturating_sub(kerf);
                    if to > from {
                        freed.push((patch.slice(*axis, from, to), &slice.node));
                    }
                    if to < whole && to > from {
                        layout.cuts.push(Cut {
                            part: patch.slice(*axis, from, whole),
                            axis: *axis,
                            at: to - from,
                        });
                    }
                    from += slice.length;
                }
                for (patch, node) in freed {
                    node.follow(patch, kerf, layout);
                }
            }
        }
    }
}
