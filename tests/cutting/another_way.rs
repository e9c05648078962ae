//! The exact solver, held against one that tries every cut at every whole position.

use std::collections::BTreeMap;

use gapbook::cutting::{Effort, Order, Plan, Size, check, plan};
use rayon::prelude::*;

use crate::{Numbers, order};

/// Sheets, offcuts, remnant (negative: more is better), cuts: the less the better.
type Score = (usize, usize, i64, usize);

/// One side of a cut, and the set that is cut from it.
type Side = ((u32, u32), u32);

/// Tries every way to cut single pieces, given as a set of bits, from rectangles.
struct EveryCut<'a> {
    order: &'a Order,
    singles: Vec<Size>,
    fewest: BTreeMap<(u32, u32, u32), Option<usize>>,
    best: BTreeMap<(u32, u32, u32), Option<(i64, usize)>>,
}

impl<'a> EveryCut<'a> {
    fn new(order: &'a Order) -> Self {
        let singles = order
            .pieces
            .iter()
            .flat_map(|piece| std::iter::repeat_n(piece.size, piece.count as usize));
        Self {
            order,
            singles: singles.collect(),
            fewest: BTreeMap::new(),
            best: BTreeMap::new(),
        }
    }

    fn is_piece(&self, width: u32, height: u32, set: u32) -> bool {
        let size = Size::new(width, height);
        set.is_power_of_two() && {
            let single = self.singles[set.trailing_zeros() as usize];
            single == size || self.order.may_turn && single.turned() == size
        }
    }

    fn area(&self, set: u32) -> u64 {
        let in_set = self.singles.iter().enumerate();
        let in_set = in_set.filter(|(index, _)| set >> index & 1 == 1);
        in_set.map(|(_, single)| single.area()).sum()
    }

    /// Returns the two sides of every cut.
    fn cuts(&self, width: u32, height: u32) -> Vec<[(u32, u32); 2]> {
        let kerf = self.order.kerf;
        let upright = (1..width).map(|at| {
            let rest = width.saturating_sub(at + kerf);
            [(at, height), (rest, if rest > 0 { height } else { 0 })]
        });
        let level = (1..height).map(|at| {
            let rest = height.saturating_sub(at + kerf);
            [(width, at), (if rest > 0 { width } else { 0 }, rest)]
        });
        upright.chain(level).collect()
    }

    /// Returns the fewest cuts that free a set from a rectangle.
    fn fewest(&mut self, width: u32, height: u32, set: u32) -> Option<usize> {
        if set == 0 || self.is_piece(width, height, set) {
            return Some(0);
        }
        if self.area(set) > u64::from(width) * u64::from(height) {
            return None;
        }
        if let Some(&known) = self.fewest.get(&(width, height, set)) {
            return known;
        }
        let mut fewest: Option<usize> = None;
        for [one, other] in self.cuts(width, height) {
            for inner in subsets(set) {
                let Some(first) = self.fewest(one.0, one.1, inner) else {
                    continue;
                };
                if let Some(second) = self.fewest(other.0, other.1, set & !inner) {
                    let cuts = 1 + first + second;
                    fewest = Some(fewest.map_or(cuts, |known| known.min(cuts)));
                }
            }
        }
        self.fewest.insert((width, height, set), fewest);
        fewest
    }

    /// Returns the largest remnant beside a set in a rectangle, negative, and the fewest cuts for it.
    fn best(&mut self, width: u32, height: u32, set: u32) -> Option<(i64, usize)> {
        if set == 0 {
            return Some((-(i64::from(width) * i64::from(height)), 0));
        }
        if self.is_piece(width, height, set) {
            return Some((0, 0));
        }
        self.fewest(width, height, set)?;
        if let Some(&known) = self.best.get(&(width, height, set)) {
            return known;
        }
        let mut best: Option<(i64, usize)> = None;
        for [one, other] in self.cuts(width, height) {
            for inner in subsets(set) {
                let outer = set & !inner;
                let sides = [(one, inner), (other, outer)];
                for (holder, rest) in [(sides[0], sides[1]), (sides[1], sides[0])] {
                    let found = self.best_on(holder, rest);
                    best = best.into_iter().chain(found).min();
                }
            }
        }
        self.best.insert((width, height, set), best);
        best
    }

    /// Returns the same of a cut, with the remnant on the first of its sides.
    fn best_on(&mut self, holder: Side, rest: Side) -> Option<(i64, usize)> {
        let ((width, height), set) = rest;
        let cuts = self.fewest(width, height, set)?;
        let ((width, height), set) = holder;
        let (remnant, more) = self.best(width, height, set)?;
        Some((remnant, 1 + cuts + more))
    }

    /// Returns the best score of a set from the offcuts after the first few, and sheets.
    fn score(&mut self, offcut: usize, set: u32) -> Option<Score> {
        if set == 0 {
            return Some((0, 0, 0, 0));
        }
        let offcuts = &self.order.offcuts;
        let (stock, is_sheet) = match offcuts.get(offcut) {
            Some(&size) => (size, false),
            None => (self.order.sheet, true),
        };
        let next = if is_sheet { offcut } else { offcut + 1 };
        let unused = if is_sheet {
            None
        } else {
            self.score(next, set)
        };
        let mut best = unused;
        for inner in subsets(set).filter(|&inner| inner > 0) {
            // The cuts of the others count, and only one stock has to hold the remnant: its own best is
            // set against the fewest cuts of all the rest, whichever it is.
            let Some(fewest) = self.fewest(stock.width, stock.height, inner) else {
                continue;
            };
            let Some(own) = self.best(stock.width, stock.height, inner) else {
                continue;
            };
            for (remnant, cuts) in [(own.0, own.1), (0, fewest)] {
                for (sheets, used, others, more) in self.scores(next, set & !inner) {
                    let score = (
                        sheets + usize::from(is_sheet),
                        used + usize::from(!is_sheet),
                        remnant.min(others),
                        cuts + more,
                    );
                    best = Some(best.map_or(score, |known| known.min(score)));
                }
            }
        }
        best
    }

    /// Returns the scores of the rest that may be best together with a first stock: with its own remnant,
    /// and with none but fewer cuts.
    fn scores(&mut self, offcut: usize, set: u32) -> Vec<Score> {
        let best = self.score(offcut, set);
        let fewest = self.fewest_of_all(offcut, set);
        best.into_iter().chain(fewest).collect()
    }

    /// Returns the fewest stocks, and then the fewest cuts, of a set; the remnant does not matter.
    fn fewest_of_all(&mut self, offcut: usize, set: u32) -> Option<Score> {
        if set == 0 {
            return Some((0, 0, 0, 0));
        }
        let (stock, is_sheet) = match self.order.offcuts.get(offcut) {
            Some(&size) => (size, false),
            None => (self.order.sheet, true),
        };
        let next = if is_sheet { offcut } else { offcut + 1 };
        let mut best = if is_sheet {
            None
        } else {
            self.fewest_of_all(next, set)
        };
        for inner in subsets(set).filter(|&inner| inner > 0) {
            let Some(cuts) = self.fewest(stock.width, stock.height, inner) else {
                continue;
            };
            if let Some((sheets, used, _, more)) = self.fewest_of_all(next, set & !inner) {
                let own = usize::from(is_sheet);
                let score = (sheets + own, used + 1 - own, 0, cuts + more);
                best = Some(best.map_or(score, |known| known.min(score)));
            }
        }
        best
    }
}

/// Returns every set within a set.
fn subsets(set: u32) -> impl Iterator<Item = u32> {
    let mut next = Some(set);
    std::iter::from_fn(move || {
        let inner = next?;
        next = (inner > 0).then(|| (inner - 1) & set);
        Some(inner)
    })
}

fn score(plan: &Plan) -> Score {
    let offcuts = plan.layouts.len() - plan.sheets();
    let remnant = i64::try_from(plan.largest_remnant()).expect("small");
    (plan.sheets(), offcuts, -remnant, plan.cuts())
}

/// A random small order, by number.
fn small(case: u64) -> Order {
    let mut numbers = Numbers(case);
    let sheet = [numbers.between(3, 7), numbers.between(3, 7)];
    let kinds = numbers.between(1, 3);
    let mut left = 5;
    let mut pieces = Vec::new();
    for _ in 0..kinds {
        let size = [numbers.between(1, sheet[0]), numbers.between(1, sheet[1])];
        let count = numbers.between(1, 2).min(left);
        left -= count;
        pieces.push([size[0], size[1], count]);
    }
    let mut order = order(sheet, &pieces);
    order.may_turn = numbers.between(0, 1) == 1;
    order.kerf = numbers.between(0, 2) / 2;
    if numbers.between(0, 2) == 0 {
        let size = Size::new(numbers.between(1, sheet[0]), numbers.between(1, sheet[1]));
        order.offcuts.push(size);
    }
    order
}

#[test]
fn a_thousand_small_orders_agree_with_every_cut() {
    (1..=1000_u64).into_par_iter().for_each(|case| {
        let order = small(case);
        let found = plan(&order, Effort::BRIEF).expect("small");
        assert_eq!(check(&order, &found), Ok(()), "case {case}");
        assert!(found.sheets_are_proven(), "case {case}: sheets");
        assert!(found.remnant_is_proven, "case {case}: remnant");
        let mut every = EveryCut::new(&order);
        let all = (1 << every.singles.len()) - 1;
        let best = every.score(0, all).expect("pieces fit");
        let score = score(&found);
        let goals = |score: Score| (score.0, score.1, score.2);
        assert_eq!(goals(score), goals(best), "case {case}: {order:?}");
        // With a blade and no remnant, fewer cuts are not looked for.
        if found.largest_remnant() > 0 || order.kerf == 0 {
            assert!(found.is_proven(), "case {case}: cuts");
            assert_eq!(score, best, "case {case}: {order:?}");
        }
        assert!(found.least_cuts <= best.3, "case {case}: the bound on cuts");
    });
}
