//! The order of steps that turns the board over least, and changes the bit least. Plain numbers.

use std::collections::BTreeMap;

/// What a step needs at hand; nothing where it does not matter.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Needs {
    /// The side of the board that is up.
    pub side: Option<usize>,
    /// The bit in the driver.
    pub bit: Option<usize>,
}

/// An order of steps.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Order {
    /// The steps that can be taken, first to last.
    pub steps: Vec<usize>,
    /// How often the board is turned over.
    pub turn_overs: usize,
    /// How often the bit is changed.
    pub bit_changes: usize,
    /// Whether no order has fewer of either.
    pub is_exact: bool,
}

/// Most situations that are looked into: a board has a few dozen.
const MOST_SITUATIONS: usize = 2000;

/// Returns the order that turns the board over least, then changes the bit least, then takes the
/// earliest steps first.
///
/// The first of every pair of `before` comes before the second. Steps on a cycle, and those that wait
/// for one, are left out. A step that costs nothing here and now is never better taken later: the
/// change it would save, it would save there too. So only what is next to be turned or changed to is
/// searched, each situation once; where there are more than 2,000 the rest is taken as it
/// comes, and the order is not called exact.
///
/// # Panics
/// If a pair names a step that there is not.
pub fn search(steps: &[Needs], before: &[(usize, usize)]) -> Order {
    let mut search = Search::new(steps, before);
    let mut now = Situation::new(steps.len());
    let mut order = Vec::with_capacity(steps.len());
    let mut spent = Cost::default();
    while let Some(step) = search.next(&now) {
        spent = spent.and(now.take(step, steps[step]));
        order.push(step);
    }
    Order {
        steps: order,
        turn_overs: spent.turn_overs,
        bit_changes: spent.bit_changes,
        is_exact: search.is_exact,
    }
}

/// What is paid for an order, the dearer first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Cost {
    turn_overs: usize,
    bit_changes: usize,
}

impl Cost {
    fn and(self, other: Self) -> Self {
        Self {
            turn_overs: self.turn_overs + other.turn_overs,
            bit_changes: self.bit_changes + other.bit_changes,
        }
    }
}

/// What is done, which side is up and which bit is in the driver.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Situation {
    done: Vec<bool>,
    side: Option<usize>,
    bit: Option<usize>,
}

impl Situation {
    fn new(count: usize) -> Self {
        Self {
            done: vec![false; count],
            side: None,
            bit: None,
        }
    }

    /// Returns what a step costs here.
    fn cost(&self, needs: Needs) -> Cost {
        Cost {
            turn_overs: usize::from(differs(self.side, needs.side)),
            bit_changes: usize::from(differs(self.bit, needs.bit)),
        }
    }

    /// Takes a step and returns what it cost.
    fn take(&mut self, step: usize, needs: Needs) -> Cost {
        let cost = self.cost(needs);
        self.done[step] = true;
        self.side = needs.side.or(self.side);
        self.bit = needs.bit.or(self.bit);
        cost
    }

    /// Tells whether a step changes nothing but what is done.
    fn is_at_hand(&self, needs: Needs) -> bool {
        needs.side.is_none_or(|side| self.side == Some(side))
            && needs.bit.is_none_or(|bit| self.bit == Some(bit))
    }
}

/// Tells whether what is at hand must be changed; the first side and the first bit are no change.
fn differs(here: Option<usize>, needed: Option<usize>) -> bool {
    matches!((here, needed), (Some(here), Some(needed)) if here != needed)
}

struct Search<'a> {
    steps: &'a [Needs],
    waits_for: Vec<Vec<usize>>,
    known: BTreeMap<Situation, Cost>,
    is_exact: bool,
}

impl<'a> Search<'a> {
    fn new(steps: &'a [Needs], before: &[(usize, usize)]) -> Self {
        let mut waits_for = vec![Vec::new(); steps.len()];
        for &(first, then) in before {
            waits_for[then].push(first);
        }
        for firsts in &mut waits_for {
            firsts.sort_unstable();
            firsts.dedup();
        }
        Self {
            steps,
            waits_for,
            known: BTreeMap::new(),
            is_exact: true,
        }
    }

    /// Returns the earliest step that leaves the least to pay.
    fn next(&mut self, now: &Situation) -> Option<usize> {
        let target = self.least(now.clone());
        let mut best: Option<(Cost, usize)> = None;
        for step in self.free(now) {
            let mut then = now.clone();
            let cost = then.take(step, self.steps[step]);
            let total = cost.and(self.least(then));
            if best.is_none_or(|(least, _)| total < least) {
                best = Some((total, step));
            }
            if total <= target {
                break;
            }
        }
        best.map(|(_, step)| step)
    }

    /// Returns the steps that can be taken.
    fn free(&self, now: &Situation) -> Vec<usize> {
        let is_free = |step: &usize| {
            !now.done[*step] && self.waits_for[*step].iter().all(|&first| now.done[first])
        };
        (0..self.steps.len()).filter(is_free).collect()
    }

    /// Returns the least that is still to be paid.
    fn least(&mut self, mut now: Situation) -> Cost {
        let free = self.take_at_hand(&mut now);
        if let Some(&known) = self.known.get(&now) {
            return known;
        }
        let bound = self.bound(&now);
        let mut best: Option<Cost> = None;
        for next in self.changes(&now, &free) {
            let is_spent = self.known.len() >= MOST_SITUATIONS;
            if best.is_some() && (best == Some(bound) || is_spent) {
                self.is_exact &= best == Some(bound);
                break;
            }
            let mut then = now.clone();
            let cost = now.cost(next);
            then.side = next.side.or(then.side);
            then.bit = next.bit.or(then.bit);
            let total = cost.and(self.least(then));
            best = Some(best.map_or(total, |least| least.min(total)));
        }
        let best = best.unwrap_or_default();
        self.known.insert(now, best);
        best
    }

    /// Takes every step that is at hand, and returns those that are free and are not.
    fn take_at_hand(&self, now: &mut Situation) -> Vec<usize> {
        loop {
            let free = self.free(now);
            let (here, elsewhere): (Vec<usize>, Vec<usize>) = free
                .into_iter()
                .partition(|&step| now.is_at_hand(self.steps[step]));
            if here.is_empty() {
                return elsewhere;
            }
            for step in here {
                now.done[step] = true;
            }
        }
    }

    /// Returns what can be changed to, the cheapest first.
    fn changes(&self, now: &Situation, free: &[usize]) -> Vec<Needs> {
        let mut changes: Vec<Needs> = Vec::new();
        for &step in free {
            let needs = self.steps[step];
            if !changes.contains(&needs) {
                changes.push(needs);
            }
        }
        changes.sort_by_key(|&needs| now.cost(needs));
        changes
    }

    /// Returns what is to be paid at least: every side and every bit still needed and not at hand, once.
    fn bound(&self, now: &Situation) -> Cost {
        let distinct = |here: Option<usize>, of: fn(&Needs) -> Option<usize>| {
            let left = (0..self.steps.len()).filter(|&step| !now.done[step]);
            let mut needed: Vec<usize> = left.filter_map(|step| of(&self.steps[step])).collect();
            needed.sort_unstable();
            needed.dedup();
            match here {
                Some(here) => needed.iter().filter(|&&needed| needed != here).count(),
                None => needed.len().saturating_sub(1),
            }
        };
        Cost {
            turn_overs: distinct(now.side, |needs| needs.side),
            bit_changes: distinct(now.bit, |needs| needs.bit),
        }
    }
}
