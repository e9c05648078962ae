//! The way to cut a bag from one sheet that leaves the largest single remnant.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::frontier::Frontiers;
use super::order::Size;
use super::plan::{Axis, Source};
use super::tree::Node;

/// How good a way is: the remnant's area, then how few leftovers.
type Worth = (u64, Reverse<u32>);

/// Where the search stands: what is left of the sheet, what is still to be cut, and in which direction.
type Spot = (Size, usize, Axis);

/// A stock that may hold the remnant.
#[derive(Clone, Copy, Debug)]
pub(super) struct Holder {
    /// What is cut.
    pub(super) source: Source,
    /// Its size.
    pub(super) stock: Size,
    /// The bag that is cut from it.
    pub(super) bag: usize,
    /// How many leftovers come of the other stocks.
    pub(super) others: u32,
}

/// The search, with what it has found.
///
/// Follow the cuts that free the remnant: each takes a slice off, in which a bag is cut. Two slices in a
/// row in one direction are one slice with both bags, which is no longer; so directions alternate, and
/// each slice is the shortest in which its bag can be cut.
#[derive(Debug)]
pub(super) struct Roomiest<'a> {
    frontiers: &'a Frontiers,
    kerf: u32,
    effort: u64,
    /// The best of each spot, and the bag of its next slice; none where what remains does not fit.
    found: BTreeMap<Spot, Option<(Worth, usize)>>,
}

impl<'a> Roomiest<'a> {
    /// Returns a search that looks at no more than `effort` slices.
    pub(super) fn new(frontiers: &'a Frontiers, kerf: u32, effort: u64) -> Self {
        Self {
            frontiers,
            kerf,
            effort,
            found: BTreeMap::new(),
        }
    }

    /// Tells whether it ran out of effort: what it found may then not be the best.
    pub(super) fn is_exhausted(&self) -> bool {
        self.effort == 0
    }

    /// Returns which stock with which bag leaves the largest remnant, and how it is cut.
    pub(super) fn of_holders(&mut self, mut holders: Vec<Holder>) -> (Holder, Node) {
        let most = |one: &Holder| self.most(one.stock, one.bag);
        holders.sort_by_cached_key(|one| (Reverse(most(one)), one.others, one.source, one.bag));
        let mut best: Option<(Worth, Holder, Axis)> = None;
        for &holder in &holders {
            let most = self.most(holder.stock, holder.bag);
            if best.is_some_and(|((area, _), ..)| most < area) || self.is_exhausted() {
                break;
            }
            for axis in [Axis::X, Axis::Y] {
                let worth = self.best(holder.stock, holder.bag, axis);
                let worth = worth.map(|(area, Reverse(own))| (area, Reverse(own + holder.others)));
                if let Some(worth) = worth.filter(|&one| best.is_none_or(|best| one > best.0)) {
                    best = Some((worth, holder, axis));
                }
            }
        }
        if let Some((_, holder, axis)) = best {
            return (holder, self.node((holder.stock, holder.bag, axis)));
        }
        let &holder = holders.first().expect("invariant: some stock holds a bag");
        let held = self.frontiers.in_stock(holder.bag, holder.stock);
        let (_, corner) = held.expect("invariant: the stock holds the bag");
        (
            holder,
            self.frontiers.node(holder.bag, corner, holder.stock),
        )
    }

    /// Returns the most that can be left of a size when a bag is cut from it.
    fn most(&self, size: Size, bag: usize) -> u64 {
        let whole = size.shrunk(self.kerf).map_or(0, Size::area);
        whole.saturating_sub(self.frontiers.area(bag, self.kerf))
    }

    fn best(&mut self, size: Size, bag: usize, axis: Axis) -> Option<Worth> {
        if bag == 0 {
            return Some((self.most(size, 0), Reverse(u32::from(size.area() > 0))));
        }
        let spot = (size, bag, axis);
        if let Some(found) = self.found.get(&spot) {
            return found.map(|(worth, _)| worth);
        }
        self.frontiers.in_stock(bag, size)?;
        let mut best: Option<(Worth, usize)> = None;
        for (most, first, leftovers) in self.slices(spot) {
            if best.is_some_and(|((area, _), _)| most < area) || self.is_exhausted() {
                break;
            }
            self.effort -= 1;
            let rest = self.rest(spot, first);
            let worth = self.best(rest, bag - first, axis.across());
            let worth = worth.map(|(area, Reverse(others))| (area, Reverse(leftovers + others)));
            if let Some(worth) = worth.filter(|&one| best.is_none_or(|(best, _)| one > best)) {
                best = Some((worth, first));
            }
        }
        self.found.insert(spot, best);
        best.map(|(worth, _)| worth)
    }

    /// Returns the bags that the next slice may hold, with the most that each can leave, the most first,
    /// and the slice's leftovers.
    fn slices(&self, (size, bag, axis): Spot) -> Vec<(u64, usize, u32)> {
        let broad = size.along(axis.across());
        let mut slices = Vec::new();
        let mut add = |first: usize| {
            let Some((leftovers, corner)) = self.frontiers.shortest(first, axis, broad) else {
                return;
            };
            let length = corner.size.along(axis);
            if length <= size.along(axis) {
                let rest = size.with(axis, size.along(axis) - length);
                slices.push((self.most(rest, bag - first), first, leftovers));
            }
        };
        self.frontiers.within(bag, &mut add);
        add(bag);
        slices.sort_by_key(|&(most, first, leftovers)| (Reverse(most), leftovers, first));
        slices
    }

    /// Returns what a slice leaves.
    fn rest(&self, (size, _, axis): Spot, first: usize) -> Size {
        size.with(axis, size.along(axis) - self.length((size, first, axis)))
    }

    fn length(&self, (size, first, axis): Spot) -> u32 {
        let corner = self
            .frontiers
            .shortest(first, axis, size.along(axis.across()));
        let (_, corner) = corner.expect("invariant: the slice was found");
        corner.size.along(axis)
    }

    /// Returns the cuts of a spot's best way.
    fn node(&self, spot: Spot) -> Node {
        let (size, bag, axis) = spot;
        let Some(&Some((_, first))) = self.found.get(&spot) else {
            return Node::Free;
        };
        let corner = self
            .frontiers
            .shortest(first, axis, size.along(axis.across()));
        let (_, corner) = corner.expect("invariant: the slice was found");
        let length = corner.size.along(axis);
        let slice = self.frontiers.node(first, corner, size.with(axis, length));
        let rest = self.rest(spot, first);
        let rest_node = self.node((rest, bag - first, axis.across()));
        Node::slices(axis, [(length, slice), (rest.along(axis), rest_node)])
    }
}
