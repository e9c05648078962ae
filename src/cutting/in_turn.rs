//! A plan sheet after sheet, each as full as it can be.

use std::cmp::Reverse;

use super::fullest::Fullest;
use super::order::Order;
use super::tree::Node;
use crate::dice::Dice;

/// The seed of the prices' luck: the same order gives the same plan.
const SEED: u64 = 0x7368_6565_7473_0001;

/// Cells along a sheet, at most: on one of 100 mm they are half a millimetre, which is what a ruler reads.
const MOST_CELLS: u32 = 240;

/// Cells along a sheet, at least: in coarser ones sheets come out worse than piece by piece.
const FEWEST_CELLS: u32 = 40;

/// Counts that the table may hold, one for each kind and rectangle: 32 MB.
const MOST_COUNTS: u64 = 1 << 24;

/// What a sheet full of the smallest pieces is worth. An area is under 2⁴² steps, blade and all, so that
/// their product stays within 64 bits.
const FULL: u64 = 1 << 20;

/// How many times its worth a piece may cost.
const DEAREST: u64 = 2;

/// Prices are off by so many hundredths at most, so that no pass repeats the last.
const LUCK: usize = 2;

/// Plans a grown order of distinct kinds from new sheets, pass after pass until `effort` pairs of rectangles
/// were looked at; nothing where that is too few for a pass.
///
/// The first pass takes the fullest sheet, with some favour for large pieces, and then the fullest of what
/// is left. What lay on sheets that came out poorly costs more in the next pass, and so is cut earlier.
/// Even where the sheets cannot be fewer, another pass may leave a larger remnant.
///
/// # References
/// Belov and Scheithauer (2007), *Setup and open-stacks minimization in one-dimensional stock cutting*,
/// INFORMS Journal on Computing 19, 27–35, for sequential value correction. From memory.
pub(super) fn in_turn(order: &Order, effort: u64) -> Option<Vec<Node>> {
    let mut passes = Passes::of(order, cells(order, effort)?, effort);
    let mut best: Option<Vec<Node>> = None;
    while let Some(sheets) = passes.next_pass() {
        let cost = |sheets: &Vec<Node>| {
            let free = |node: &Node| node.largest_free(order.sheet, order.kerf);
            (sheets.len(), Reverse(sheets.iter().map(free).max()))
        };
        best = best.into_iter().chain([sheets]).min_by_key(cost);
    }
    best
}

/// Returns how many cells may lie along a sheet so that a pass can be expected to come to its end.
fn cells(order: &Order, effort: u64) -> Option<u32> {
    let pieces = order.pieces.iter();
    let area: u64 = pieces
        .map(|one| one.size.area() * u64::from(one.count))
        .sum();
    let sheets = area.div_ceil(order.sheet.area());
    let kinds = order.pieces.len() as u64;
    let is_affordable = |&cells: &u32| {
        let cells = u64::from(cells);
        let looks = cells * cells * (cells / 2 + kinds);
        looks * sheets <= effort && cells * cells * kinds <= MOST_COUNTS
    };
    (FEWEST_CELLS..=MOST_CELLS).rev().find(is_affordable)
}

struct Passes<'a> {
    order: &'a Order,
    table: Fullest<'a>,
    dice: Dice,
    /// What a piece of each kind is worth by its area.
    worth: Vec<u64>,
    /// What it costs by the sheets that it lay on.
    price: Vec<u64>,
    /// How many hundredths a price may be off.
    luck: usize,
}

impl<'a> Passes<'a> {
    fn of(order: &'a Order, most_cells: u32, effort: u64) -> Self {
        let sheet = order.sheet.area();
        let worth = order.pieces.iter().map(|piece| {
            let area = piece.size.area();
            let share = FULL * area / sheet;
            // A large piece is worth up to half as much again: small ones find room later, too.
            (share + share * area / (2 * sheet)).max(1)
        });
        let worth: Vec<u64> = worth.collect();
        Self {
            order,
            table: Fullest::of(order, most_cells, effort),
            dice: Dice::of(SEED, 0),
            price: worth.clone(),
            worth,
            luck: 0,
        }
    }

    /// Returns the sheets of a whole plan, while there is effort left.
    fn next_pass(&mut self) -> Option<Vec<Node>> {
        let pieces = self.order.pieces.iter();
        let count = |count: u32| u16::try_from(count).expect("invariant: the order was checked");
        let mut wanted: Vec<u16> = pieces.map(|piece| count(piece.count)).collect();
        let mut sheets = Vec::new();
        while wanted.iter().any(|&count| count > 0) {
            let prices = self.prices();
            let (counts, node) = self.table.fill(&prices, &wanted)?;
            sheets.push(node);
            // A last sheet is no measure: it need not be full.
            if counts != wanted {
                self.learn(&counts, &wanted);
            }
            wanted
                .iter_mut()
                .zip(counts)
                .for_each(|(wanted, count)| *wanted -= count);
        }
        self.luck = LUCK;
        Some(sheets)
    }

    fn prices(&mut self) -> Vec<u32> {
        let (dice, luck) = (&mut self.dice, self.luck);
        let mut off = |price: u64| price * (100 - luck + dice.below(2 * luck + 1)) as u64 / 100;
        let prices = self.price.iter().map(|&price| off(price).max(1));
        prices
            .map(|price| u32::try_from(price).expect("invariant: a few sheets' worth"))
            .collect()
    }

    /// Moves the price of what lies on a sheet towards what it took up with its share of the waste.
    fn learn(&mut self, counts: &[u16], wanted: &[u16]) {
        let pieces = self.order.pieces.iter().map(|piece| piece.size.area());
        let filled: u64 = pieces
            .zip(counts)
            .map(|(area, &count)| area * u64::from(count))
            .sum();
        let share = (FULL * filled / self.order.sheet.area()).max(FULL / DEAREST);
        for (kind, price) in self.price.iter_mut().enumerate() {
            if counts[kind] > 0 {
                let due = self.worth[kind] * FULL / share;
                let [new, old] = [counts[kind], wanted[kind]].map(u64::from);
                *price = (*price * old + due * new) / (old + new);
            }
        }
    }
}
