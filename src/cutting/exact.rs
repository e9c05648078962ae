//! The best plan of a small order, by going through every bag of its pieces.

use super::frontier::{Frontiers, Keep, pairs};
use super::order::{Order, Size};
use super::plan::Source;
use super::roomiest::{Holder, Roomiest};
use super::solve::Effort;
use super::tree::Node;

/// What is cut from which stock, and how much of that is proven.
#[derive(Debug)]
pub(super) struct Solution {
    /// Each stock that is used.
    pub(super) stocks: Vec<(Source, Node)>,
    /// Whether no plan needs fewer sheets.
    pub(super) sheets_are_proven: bool,
    /// Whether no plan with as few sheets and offcuts leaves a larger single remnant.
    pub(super) remnant_is_proven: bool,
    /// Whether no plan with as few sheets and offcuts and as large a remnant makes fewer cuts.
    pub(super) cuts_are_proven: bool,
}

/// How dear it is to cut a bag: new sheets, then offcuts, then leftovers.
type Cost = (u32, u32, u32);

/// Dearer than any bag.
const UNMET: Cost = (u32::MAX, u32::MAX, u32::MAX);

/// What every bag costs, with more and more of the offcuts.
struct Deal<'a> {
    order: &'a Order,
    frontiers: &'a Frontiers,
    offcuts: Vec<usize>,
    /// The costs with sheets alone, then with the first offcut too, and so on.
    stages: Vec<Vec<Cost>>,
}

/// Offcuts among which the remnant's place is sought: without each of them, everything is dealt anew.
const MOST_HOLDERS: usize = 3;

/// Plans a grown order of distinct kinds exactly, where no more pairs of bags have to be looked at than
/// the effort allows; the remnant is then sought with as much again.
pub(super) fn exact(order: &Order, effort: Effort) -> Option<Solution> {
    let pairs = pairs(order, effort.exact)?;
    let found = dealt(order, Keep::Smallest, effort.exact);
    let found = found.expect("invariant: each piece fits a sheet");
    let (leftovers, remnant) = (found.leftovers(), found.remnant(order));
    // Where no remnant counts, strips may be longer than need be, and fewer cuts are not looked for.
    let is_sought = found.remnant_is_proven && (remnant > 0 || order.kerf == 0);
    if leftovers == 0 {
        return Some(Solution {
            cuts_are_proven: true,
            ..found
        });
    }
    if !is_sought || pairs > effort.cuts {
        return Some(found);
    }
    // A plan with fewer cuts has fewer leftovers, so no rectangle with as many is part of it.
    let Some(fewer) = dealt(order, Keep::Leftovers(leftovers - 1), effort.exact) else {
        return Some(Solution {
            cuts_are_proven: true,
            ..found
        });
    };
    let is_as_good = fewer.used() == found.used() && fewer.remnant(order) == remnant;
    let cuts_are_proven = fewer.remnant_is_proven;
    let best = if is_as_good && fewer.leftovers() < leftovers {
        fewer
    } else {
        found
    };
    Some(Solution {
        remnant_is_proven: true,
        cuts_are_proven,
        ..best
    })
}

/// Deals an order's pieces to stocks, with the largest remnant; nothing where the rectangles that are kept
/// do not do.
fn dealt(order: &Order, keep: Keep, effort: u64) -> Option<Solution> {
    let stock = order.offcuts.iter().copied();
    let largest = stock.fold(order.sheet, |all, one| {
        Size::new(all.width.max(one.width), all.height.max(one.height))
    });
    let frontiers = Frontiers::of(order, largest, keep);
    let every = Deal::of(order, &frontiers, (0..order.offcuts.len()).collect());
    if every.cost() == UNMET {
        return None;
    }
    let used = every.used();
    let is_whole = used.len() == order.offcuts.len() || order.offcuts.len() <= MOST_HOLDERS;
    let deal = if is_whole {
        every
    } else {
        Deal::of(order, &frontiers, used)
    };

    let mut holders = deal.holders(Source::Sheet, deal.cost());
    for &offcut in &deal.offcuts {
        let others = deal.without(offcut);
        holders.extend(others.holders(Source::Offcut(offcut), deal.cost()));
    }
    let mut roomiest = Roomiest::new(&frontiers, order.kerf, effort);
    let (Holder { source, bag, .. }, node) = roomiest.of_holders(holders);
    let others = match source {
        Source::Sheet => deal,
        Source::Offcut(offcut) => deal.without(offcut),
    };
    let mut stocks = vec![(source, node)];
    stocks.extend(others.stocks(frontiers.all() - bag));
    Some(Solution {
        stocks,
        sheets_are_proven: true,
        remnant_is_proven: is_whole && !roomiest.is_exhausted(),
        cuts_are_proven: false,
    })
}

impl Solution {
    /// Counts the sheets and the offcuts.
    fn used(&self) -> (usize, usize) {
        let is_sheet = |(source, _): &&(Source, Node)| *source == Source::Sheet;
        let sheets = self.stocks.iter().filter(is_sheet).count();
        (sheets, self.stocks.len() - sheets)
    }

    /// Counts what is left over, what the blade takes among it.
    fn leftovers(&self) -> u32 {
        self.stocks.iter().map(|(_, node)| node.leftovers()).sum()
    }

    /// Returns the area of the largest remnant.
    fn remnant(&self, order: &Order) -> u64 {
        let stocks = self.stocks.iter();
        let largest =
            stocks.map(|(source, node)| node.largest_free(order.stock(*source), order.kerf));
        largest.max().unwrap_or(0)
    }
}

impl Order {
    /// Returns the size of what a layout is cut from.
    pub(super) fn stock(&self, source: Source) -> Size {
        match source {
            Source::Sheet => self.sheet,
            Source::Offcut(at) => self.offcuts[at],
        }
    }
}

impl<'a> Deal<'a> {
    fn of(order: &'a Order, frontiers: &'a Frontiers, offcuts: Vec<usize>) -> Self {
        let mut deal = Self {
            order,
            frontiers,
            stages: vec![of_sheets(order.sheet, frontiers)],
            offcuts,
        };
        for stage in 0..deal.offcuts.len() {
            let next = (0..=frontiers.all()).map(|bag| deal.with_offcut(stage, bag).0);
            let next = next.collect();
            deal.stages.push(next);
        }
        deal
    }

    /// Returns the deal without one of its offcuts.
    fn without(&self, offcut: usize) -> Self {
        let others = self
            .offcuts
            .iter()
            .copied()
            .filter(|&other| other != offcut);
        Self::of(self.order, self.frontiers, others.collect())
    }

    /// Returns the offcuts that the cheapest way to cut everything uses.
    fn used(&self) -> Vec<usize> {
        let offcut = |(source, _): (Source, Node)| match source {
            Source::Sheet => None,
            Source::Offcut(at) => Some(at),
        };
        let stocks = self.stocks(self.frontiers.all());
        let mut used: Vec<usize> = stocks.into_iter().filter_map(offcut).collect();
        used.sort_unstable();
        used
    }

    /// Returns what everything costs.
    fn cost(&self) -> Cost {
        let last = self.stages.last().expect("invariant: sheets are a stage");
        last[self.frontiers.all()]
    }

    /// Returns what a bag costs with one more offcut, and what to cut from that one; nothing is an empty
    /// bag.
    fn with_offcut(&self, stage: usize, bag: usize) -> (Cost, usize) {
        let costs = &self.stages[stage];
        let offcut = self.order.offcuts[self.offcuts[stage]];
        let mut best = (costs[bag], 0);
        each_within(self.frontiers, bag, |inner| {
            if let Some((leftovers, _)) = self.frontiers.in_stock(inner, offcut) {
                let cost = sum(costs[bag - inner], (0, 1, leftovers));
                best = best.min((cost, inner));
            }
        });
        best
    }

    /// Returns the bags that a stock may hold, with the rest from others, for as few sheets and offcuts;
    /// and the leftovers of the others.
    fn holders(&self, source: Source, (sheets, offcuts, _): Cost) -> Vec<Holder> {
        let costs = self.stages.last().expect("invariant: sheets are a stage");
        let all = self.frontiers.all();
        let own = match source {
            Source::Sheet => (1, 0, 0),
            Source::Offcut(_) => (0, 1, 0),
        };
        let stock = self.order.stock(source);
        let holder = |bag: usize| {
            let total = sum(costs[all - bag], own);
            let is_one = (total.0, total.1) == (sheets, offcuts)
                && self.frontiers.in_stock(bag, stock).is_some();
            is_one.then_some(Holder {
                source,
                stock,
                bag,
                others: total.2,
            })
        };
        (1..=all).filter_map(holder).collect()
    }

    /// Returns what is cut from which stock for a bag.
    fn stocks(&self, mut bag: usize) -> Vec<(Source, Node)> {
        let mut stocks = Vec::new();
        let mut cut = |source: Source, bag: usize| {
            let stock = self.order.stock(source);
            let held = self.frontiers.in_stock(bag, stock);
            let (_, corner) = held.expect("invariant: the deal holds it");
            stocks.push((source, self.frontiers.node(bag, corner, stock)));
        };
        for stage in (0..self.offcuts.len()).rev() {
            let (_, inner) = self.with_offcut(stage, bag);
            if inner > 0 {
                cut(Source::Offcut(self.offcuts[stage]), inner);
                bag -= inner;
            }
        }
        while bag > 0 {
            let (_, inner) = next_sheet(&self.stages[0], self.order.sheet, self.frontiers, bag);
            cut(Source::Sheet, inner);
            bag -= inner;
        }
        stocks
    }
}

/// Visits every bag within a bag but the empty one, itself last.
fn each_within(frontiers: &Frontiers, bag: usize, mut visit: impl FnMut(usize)) {
    if bag > 0 {
        frontiers.within(bag, &mut visit);
        visit(bag);
    }
}

/// Returns what every bag costs from new sheets alone.
fn of_sheets(sheet: Size, frontiers: &Frontiers) -> Vec<Cost> {
    let mut costs = vec![(0, 0, 0)];
    for bag in 1..=frontiers.all() {
        let (cost, _) = next_sheet(&costs, sheet, frontiers, bag);
        costs.push(cost);
    }
    costs
}

/// Returns what a bag costs from new sheets, and what to cut from the first of them.
fn next_sheet(costs: &[Cost], sheet: Size, frontiers: &Frontiers, bag: usize) -> (Cost, usize) {
    let mut best = (UNMET, 0);
    each_within(frontiers, bag, |inner| {
        let rest = costs[bag - inner];
        if rest.0 < best.0.0
            && let Some((leftovers, _)) = frontiers.in_stock(inner, sheet)
        {
            best = best.min((sum(rest, (1, 0, leftovers)), inner));
        }
    });
    best
}

fn sum(one: Cost, other: Cost) -> Cost {
    let add = u32::saturating_add;
    (
        add(one.0, other.0),
        add(one.1, other.1),
        add(one.2, other.2),
    )
}
