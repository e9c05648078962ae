//! Assignments of candidates to zones, from the best on.

use std::cmp::Ordering;

use super::candidate::{Costs, Entry, FREE};

/// Some of the assignments: a list of candidates for each zone.
pub(super) struct Part {
    pub(super) lists: Vec<Vec<Entry>>,
    /// The least costs of the zones from each on.
    open: Vec<Costs>,
}

impl Part {
    pub(super) fn of(lists: Vec<Vec<Entry>>) -> Self {
        let mut open = vec![FREE; lists.len() + 1];
        for (number, list) in lists.iter().enumerate().rev() {
            let least = |cost: usize| {
                let costs = list.iter().map(|entry| entry.costs[cost]);
                costs.fold(f64::INFINITY, f64::min)
            };
            let later = open[number + 1];
            open[number] = std::array::from_fn(|cost| later[cost] + least(cost));
        }
        Self { lists, open }
    }
}

/// An assignment on its way to be looked at, as far as zones are assigned: the least of the order is the
/// best.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Node {
    /// The force, N, with the lightest candidate in each open zone.
    force_n: Key,
    /// The candidates, by their positions in the zones' lists.
    pub(super) order: Vec<usize>,
    pub(super) part: usize,
    /// The same, by their positions in the part's lists.
    ranks: Vec<usize>,
}

impl Node {
    pub(super) fn root(number: usize, part: &Part) -> Self {
        Self::new(number, part, Vec::new())
    }

    fn new(number: usize, part: &Part, ranks: Vec<usize>) -> Self {
        let lightest = ranks.iter().copied().chain(std::iter::repeat(0));
        let entries = part.lists.iter().zip(lightest);
        let force_n = entries.map(|(list, rank)| list[rank].force_n).sum();
        let assigned = ranks.iter().zip(&part.lists);
        Self {
            force_n: Key(force_n),
            order: assigned.map(|(&rank, list)| list[rank].index).collect(),
            part: number,
            ranks,
        }
    }

    /// Returns the same with the next candidate in the zone that was assigned last.
    pub(super) fn sibling(&self, part: &Part) -> Option<Self> {
        let mut ranks = self.ranks.clone();
        let last = ranks.last_mut()?;
        *last += 1;
        let exists = *last < part.lists[ranks.len() - 1].len();
        exists.then(|| Self::new(self.part, part, ranks))
    }

    /// Returns the same with the lightest candidate in the next zone.
    pub(super) fn child(&self, part: &Part) -> Self {
        let mut ranks = self.ranks.clone();
        ranks.push(0);
        Self::new(self.part, part, ranks)
    }

    pub(super) fn costs(&self, part: &Part) -> Costs {
        let mut costs = part.open[self.ranks.len()];
        for (&rank, list) in self.ranks.iter().zip(&part.lists) {
            for (sum, cost) in costs.iter_mut().zip(list[rank].costs) {
                *sum += cost;
            }
        }
        costs
    }
}

/// A number in its total order.
#[derive(Clone, Copy, Debug)]
pub(super) struct Key(pub(super) f64);

impl Ord for Key {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl PartialOrd for Key {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Key {}
